"""The effort of a library's walks: all that is counted, gathered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from stepstop.course import Course
from stepstop.effort import costs, idle, spans, telling
from stepstop.effort.carry import Walkers, World, walkers
from stepstop.effort.costs import Cost
from stepstop.effort.houses import Tabulate, simulated
from stepstop.effort.idle import Idleness
from stepstop.effort.orders import Orders, orders
from stepstop.effort.telling import Telling
from stepstop.problems import Problem
from stepstop.rehearsal import prepare as gather
from stepstop.rehearsed import inputs

Progress = Callable[[str], None]


MODEL = "both"
"""Callers are sometimes unsure and sometimes mistaken, as often as declared."""


@dataclass(frozen=True, slots=True)
class Ready:
    """A survey that can begin."""

    world: World
    tabulate: Tabulate
    """Simulates houses where another order leads to acts that no walk leads to now."""

    @property
    def complaints(self) -> tuple[str, ...]:
        """What simulated callers call about."""
        return self.world.bench.complaints

    def survey(self, complaints: Sequence[str], *, progress: Progress = lambda _: None) -> Survey:
        """See `survey`."""
        return survey(self.world, complaints, tabulate=self.tabulate, progress=progress)


def prepare(
    course: Course, trees: Path, *, progress: Progress = lambda _: None
) -> tuple[Ready | None, list[Problem]]:
    """The survey of a proven course, or None and the problems of its files on callers."""
    found, problems = gather.prepare(course, inputs(trees), progress=progress)
    if found is None:
        return None, problems
    bench = found.bench
    more = simulated(course.library, bench.table.cases)
    return Ready(World(bench, bench.callers.errors_of(MODEL)), more), []


@dataclass(frozen=True, slots=True)
class Survey:
    """What was found."""

    costs: tuple[Cost, ...]
    """One a complaint."""
    tellings: tuple[Telling, ...]
    idleness: Idleness
    orders: Orders


def survey(
    world: World,
    complaints: Sequence[str],
    *,
    tabulate: Tabulate,
    progress: Progress = lambda _: None,
) -> Survey:
    """Carry the callers of these complaints through the pages, and count.

    Each of `complaints` has callers.
    """
    count = _Counts(world)
    for complaint in complaints:
        progress(f"counting steps: {complaint}")
        count.add(walkers(world, complaint))
    now = {cost.complaint: cost for cost in count.costs}
    better = orders(world, count.spans, now, tabulate=tabulate, progress=progress)
    return Survey(tuple(count.costs), count.telling.tellings(), count.idle.found(), better)


class _Counts:
    """Everything that is counted while callers are carried."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.costs: list[Cost] = []
        self.telling = telling.Count(world.bench.cause_of)
        self.idle = idle.Count()
        self.spans = spans.Count(world.bench.journey.course)

    def add(self, mine: Walkers) -> None:
        """Count the callers of one complaint."""
        cost, came = costs.Count(mine), {}
        for met in mine.walk():
            came[met.number] = met.mass
            cost.add(met)
            self.telling.add(met)
            self.idle.add(met)
            self.spans.add(met, mine)
        self.idle.look_back(mine, came)
        self.costs.append(cost.cost())
