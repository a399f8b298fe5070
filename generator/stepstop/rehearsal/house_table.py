"""What a rehearsal needs to know of the simulated houses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from stepstop.house.acts import Acts

Floats = NDArray[np.float64]
Ints = NDArray[np.signedinteger[Any]]
Bools = NDArray[np.bool_]


class Case(Protocol):
    """One hypothesis: a cause in a house."""

    @property
    def cause(self) -> str:
        """Cause id."""

    @property
    def house(self) -> str:
        """Name of the configuration, with the fault's variant."""

    @property
    def wanted(self) -> str:
        """`heat` or `cool`."""

    @property
    def weather(self) -> str:
        """`frost`, `cool`, `mild` or `hot`."""

    @property
    def half(self) -> str:
        """One of `choices.HALVES`."""

    @property
    def complaints(self) -> tuple[tuple[str, float], ...]:
        """(tree id, chance that the caller begins there), adding up to 1."""

    @property
    def weight(self) -> float:
        """Its share of all calls."""


class Table(Protocol):
    """Every case in every state of acts."""

    @property
    def cases(self) -> Sequence[Case]:
        """The hypotheses; their weights add up to 1."""

    def answers(self, acts: Acts, finding: str) -> Mapping[str, Floats]:
        """Value -> chance that an accurate person tells it, shape (cases,), adding up to 1."""

    def works(self, acts: Acts) -> Bools:
        """(cases,): the house does what is wanted after these acts."""

    def mendable(self, may_do: str) -> Bools:
        """(cases,): some acts within reach, by `walk` or from the `chair`, make it work."""
