"""The same rehearsal in another world: do the figures hold where the assumptions don't?"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from random import Random

from stepstop.house.acts import Acts
from stepstop.house.complaints import astray
from stepstop.rehearsal.house_table import Bools, Case, Floats, Table

FACTOR = 3.0
"""By which weights of causes are multiplied or divided."""


@dataclass(frozen=True, slots=True)
class Weighted:
    """A case with another weight."""

    cause: str
    house: str
    wanted: str
    weather: str
    half: str
    complaints: tuple[tuple[str, float], ...]
    weight: float


@dataclass(frozen=True, eq=False)
class Reweighted:
    """A table with other weights of its cases."""

    table: Table
    cases: Sequence[Case]

    def answers(self, acts: Acts, finding: str) -> Mapping[str, Floats]:
        """As in the table."""
        return self.table.answers(acts, finding)

    def works(self, acts: Acts) -> Bools:
        """As in the table."""
        return self.table.works(acts)

    def mendable(self, may_do: str) -> Bools:
        """As in the table."""
        return self.table.mendable(may_do)


def reweighted(table: Table, factors: Mapping[str, float]) -> Reweighted:
    """The table with the weight of each cause multiplied by its factor; they add up to 1 again."""
    weights = [case.weight * factors.get(case.cause, 1.0) for case in table.cases]
    whole = sum(weights)
    cases = [
        Weighted(c.cause, c.house, c.wanted, c.weather, c.half, c.complaints, weight / whole)
        for c, weight in zip(table.cases, weights, strict=True)
    ]
    return Reweighted(table, tuple(cases))


def misled(table: Table, trees: Container[str]) -> Reweighted:
    """The table with everybody beginning where a caller goes who has gone astray.

    Whoever has none of these among `trees` keeps their own complaint.
    """
    cases = []
    for c in table.cases:
        there = sorted(tree for tree in astray(c.wanted) if tree in trees)
        told = tuple((tree, 1.0 / len(there)) for tree in there) or c.complaints
        cases.append(Weighted(c.cause, c.house, c.wanted, c.weather, c.half, told, c.weight))
    return Reweighted(table, tuple(cases))


def up_and_down(table: Table, *, seed: int) -> Reweighted:
    """Each cause three times as heavy or a third, drawn by `seed`."""
    drawn = Random(seed)
    causes = sorted({case.cause for case in table.cases})
    return reweighted(table, {c: drawn.choice((FACTOR, 1.0 / FACTOR)) for c in causes})


def without(table: Table, cause: str) -> Reweighted:
    """The table with nobody who has `cause`."""
    return reweighted(table, {cause: 0.0})
