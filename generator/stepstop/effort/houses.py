"""Houses for pages in another order: what the table does not know yet is simulated besides."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from stepstop.house.acts import Acts
from stepstop.journey import Journey
from stepstop.model import Library
from stepstop.rehearsal import prepare
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.house_table import Bools, Case, Floats, Table

Tabulate = Callable[[Sequence[Acts]], Table]
"""Makes a table of the same cases in these states of acts."""


@dataclass(frozen=True, eq=False)
class Joined:
    """Two tables of the same cases as one."""

    table: Table
    known: frozenset[Acts]
    """States of acts that `table` is asked for."""
    more: Table
    """Asked for all others."""

    @property
    def cases(self) -> Sequence[Case]:
        """As in both."""
        return self.table.cases

    def answers(self, acts: Acts, finding: str) -> Mapping[str, Floats]:
        """As in the table that knows these acts."""
        return self._of(acts).answers(acts, finding)

    def works(self, acts: Acts) -> Bools:
        """As in the table that knows these acts."""
        return self._of(acts).works(acts)

    def mendable(self, may_do: str) -> Bools:
        """Mendable by acts of either."""
        return np.asarray(self.table.mendable(may_do) | self.more.mendable(may_do))

    def _of(self, acts: Acts) -> Table:
        return self.table if acts in self.known else self.more


def moved_to(bench: Bench, journey: Journey, tabulate: Tabulate) -> Bench:
    """The bench with other pages, its houses simulated wherever these lead."""
    known = frozenset(bench.journey.acts)
    missing = sorted(set(journey.acts) - known)
    table = Joined(bench.table, known, tabulate(missing)) if missing else bench.table
    return replace(bench, journey=journey, table=table, truths=replace(bench.truths, table=table))


def simulated(library: Library, cases: Sequence[Case]) -> Tabulate:
    """Simulates the houses of the library's causes; raises ValueError unless they are `cases`."""

    def tabulate(acts: Sequence[Acts]) -> Table:
        table = prepare.simulated(library, acts)
        if [case.cause for case in table.cases] != [case.cause for case in cases]:
            raise ValueError("the houses for other orders are not those of the table")
        return table

    return tabulate
