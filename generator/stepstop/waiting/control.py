"""Arithmetic of the control circuit for licensed technicians: loads, fuses, wire, short circuits.

Volts, amperes, VA and ohms of sinusoidal 60 Hz as plain magnitudes; wire lengths in feet, one way.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import exp, inf, log, pi

NOMINAL = 24.0
"""Volts of the secondary at its rated load."""
GAUGES = (16, 18, 20, 22, 24)
FOOT = 0.3048
CONDUCTIVITY = 58.0e6
"""S/m of annealed copper at 20 °C: International Annealed Copper Standard, 1913 (from memory)."""
ALPHA = 0.00393
"""Change of copper's resistance for each °C, from 20 °C (from memory)."""

CLASS_2_FUSE = 100.0
"""VA: a source that is not inherently limited has a fuse of at most so many by its voltage, in A.

NEC Chapter 9 Table 11(A), above 20 and up to 30 V ac (from memory; its notes seen).
"""
CLASS_2_SHORT = 1000.0
"""VA: such a source gives at most so many by its voltage, in A."""
INHERENT_SHORT = 8.0
"""A: an inherently limited source gives at most so much, after one minute."""

GATES = (
    (1.10, 360_000.0, inf),
    (1.35, 0.75, 600.0),
    (1.60, 0.25, 50.0),
    (2.00, 0.15, 5.0),
    (3.50, 0.04, 0.5),
    (6.00, 0.02, 0.1),
)
"""Current by rating, and seconds between which a regular blade fuse opens.

ISO 8820-3 type C, SAE J1284. 160 % and 200 % are seen in an engineering note; the others are from
memory. A fuse of a larger size, or of glass, has others.
"""


def current(load: float, volts: float = NOMINAL) -> float:
    """A that a load in VA takes."""
    return load / volts


@dataclass(frozen=True, slots=True)
class Load:
    """A transformer with what hangs on it."""

    total: float
    """VA of all loads together, as if all were on at once."""
    amperes: float
    share: float
    """Of the transformer's rating."""
    left: float
    """VA that it could still carry; below 0 it is overloaded."""


def load(rating: float, loads: Iterable[float]) -> Load:
    """The sum of loads in VA on a transformer with a rating in VA."""
    total = sum(loads)
    return Load(total, current(total), total / rating, rating - total)


def fuse_limit(volts: float = NOMINAL) -> float:
    """A: the largest fuse as the Class 2 overcurrent device of a source not inherently limited."""
    return CLASS_2_FUSE / volts


def ohms_per_kilofoot(gauge: int, celsius: float = 20.0) -> float:
    """Resistance of a solid copper wire of this AWG, in ohm for 1000 ft.

    Diameter by ASTM B258: 0.127 mm x 92^((36 - n) / 39).
    """
    metres: float = 0.127e-3 * 92.0 ** ((36 - gauge) / 39.0)
    area = pi * metres * metres / 4.0
    cold = 1000.0 * FOOT / (CONDUCTIVITY * area)
    return cold * (1.0 + ALPHA * (celsius - 20.0))


def loop(gauge: int, feet: float, celsius: float = 20.0) -> float:
    """Ohm out and back over a run of so many feet one way."""
    return ohms_per_kilofoot(gauge, celsius) * 2.0 * feet / 1000.0


def drop(gauge: int, feet: float, amperes: float, celsius: float = 20.0) -> float:
    """V that are lost out and back."""
    return loop(gauge, feet, celsius) * amperes


@dataclass(frozen=True, slots=True)
class AtCoil:
    """A coil at the end of a run."""

    amperes: float
    volts: float


def at_coil(load_va: float, gauge: int, feet: float, celsius: float = 20.0) -> AtCoil:
    """What a coil of so many VA at `NOMINAL` gets at the end of a run, taken as a resistance."""
    coil = NOMINAL * NOMINAL / load_va
    amperes = NOMINAL / (coil + loop(gauge, feet, celsius))
    return AtCoil(amperes, amperes * coil)


def short_circuit(
    rating: float, regulation: float, gauge: int, feet: float, celsius: float = 20.0
) -> float:
    """A of a short circuit at the end of a run on a transformer of `rating` VA.

    Its voltage without load is by `regulation` (0.1 for 10 %) above `NOMINAL`, and its own
    resistance that share of its rated load's. A real inherently limited transformer has more.
    """
    return NOMINAL * (1.0 + regulation) / (own(rating, regulation) + loop(gauge, feet, celsius))


def own(rating: float, regulation: float) -> float:
    """Ohm of a transformer's own."""
    return regulation * NOMINAL * NOMINAL / rating


@dataclass(frozen=True, slots=True)
class Opens:
    """Seconds between which a fuse opens."""

    least: float
    most: float


def opens(amperes: float, rating: float) -> Opens:
    """When a regular blade fuse opens: between the gates of `GATES`, straight on a log-log chart.

    Below 110 % it need never open, and so `most` is infinite up to 135 %. Beyond 600 % it is taken
    as fast as there.
    """
    ratio = amperes / rating
    if ratio < GATES[0][0]:
        return Opens(inf, inf)
    for (low, fast, slow), (high, faster, slower) in pairwise(GATES):
        if ratio < high:
            share = log(ratio / low) / log(high / low)
            return Opens(_between(fast, faster, share), _between(slow, slower, share))
    return Opens(GATES[-1][1], GATES[-1][2])


def _between(first: float, second: float, share: float) -> float:
    return inf if first == inf else exp(log(first) + share * (log(second) - log(first)))
