"""Nodal analysis of resistors and supplies: the voltage of each node, the current of each branch.

Figures are RMS magnitudes and every part is a resistance, so a coil's lag against the others is
left out: a sum of currents comes out a little high, never low. Method: Ho, Ruehli and Brennan, "The
modified nodal approach to network analysis", IEEE Trans. Circuits and Systems 22(6), 1975, in its
plain form, each supply being a current source beside its own resistance (Norton).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

LEAK_OHMS = 1e9
"""From every node to ground, so that a node with nothing on it has a voltage (0).

Its error: a node at 27 V loses 27 nA, all nodes of a control circuit together under 1 microampere;
behind 6 kohm, the highest resistance that anything here is fed through, under 1 millivolt.
"""


@dataclass(frozen=True, slots=True)
class Branch:
    """A resistance above 0 between two nodes; its current counts from `a` to `b`."""

    name: str
    a: str
    b: str
    ohms: float


@dataclass(frozen=True, slots=True)
class Supply:
    """An ideal source of `volts` from `b` up to `a` with `ohms` above 0 in series.

    Its current counts as given out at `a`.
    """

    name: str
    a: str
    b: str
    volts: float
    ohms: float


@dataclass(frozen=True, slots=True)
class Solution:
    """Volts against ground for each node, amperes for each branch and supply."""

    volts: Mapping[str, float]
    amps: Mapping[str, float]


def solve(branches: Iterable[Branch], supplies: Iterable[Supply], *, ground: str = "C") -> Solution:
    """The one solution of the network; floating nodes are held by `LEAK_OHMS`.

    Raises ValueError where two parts share a name or one has no resistance.
    """
    branches, supplies = list(branches), list(supplies)
    _check([*branches, *supplies])
    volts = _volts(branches, supplies, ground)
    amps = {one.name: (volts[one.a] - volts[one.b]) / one.ohms for one in branches}
    for source in supplies:
        across = volts[source.a] - volts[source.b]
        amps[source.name] = (source.volts - across) / source.ohms
    return Solution(volts, amps)


def _check(parts: Sequence[Branch | Supply]) -> None:
    if len({part.name for part in parts}) < len(parts):
        raise ValueError("two parts share a name")
    for part in parts:
        if not part.ohms > 0.0:
            raise ValueError(f"{part.name} has no resistance: {part.ohms} ohm")


def _volts(branches: list[Branch], supplies: list[Supply], ground: str) -> dict[str, float]:
    """Node -> volts: conductances times volts are the currents put in."""
    parts: list[Branch | Supply] = [*branches, *supplies]
    number = {ground: 0}
    for part in parts:
        number.setdefault(part.a, len(number))
        number.setdefault(part.b, len(number))
    size = len(number)
    matrix = [[0.0] * size for _ in range(size)]
    for part in parts:
        _stamp(matrix, number[part.a], number[part.b], 1.0 / part.ohms)
    for node in range(size):
        matrix[node][node] += 1.0 / LEAK_OHMS
    put_in = [0.0] * size
    for source in supplies:
        put_in[number[source.a]] += source.volts / source.ohms
        put_in[number[source.b]] -= source.volts / source.ohms
    inner = np.linalg.solve(np.array(matrix)[1:, 1:], np.array(put_in)[1:]).tolist()
    return dict(zip(number, [0.0, *inner], strict=True))


def _stamp(matrix: list[list[float]], a: int, b: int, siemens: float) -> None:
    """Add one conductance between two nodes."""
    matrix[a][a] += siemens
    matrix[b][b] += siemens
    matrix[a][b] -= siemens
    matrix[b][a] -= siemens
