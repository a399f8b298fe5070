"""Better orders: which neighbouring steps should change places, as far as the safety rules allow.

Two steps that both may end the walk cost least with the greater chance of an end per minute first
(Kadane and Simon 1977: see `chance.best_order`). That holds if each ends the walk for others than
the second one does, and if neither its chance nor its minutes depend on what came before. Steps
share covers, walks and waits, so this only picks what is worth a try. The library with the steps
changed is then proved by all safety rules, and its walks are counted as the others are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from stepstop import chance
from stepstop.course import Course, lay_out
from stepstop.effort import spans
from stepstop.effort.carry import World, walkers
from stepstop.effort.costs import Cost, Count
from stepstop.effort.houses import Tabulate, moved_to
from stepstop.effort.swaps import Pair, pairs, same_place, swapped
from stepstop.journey import lay
from stepstop.model import KINDS, Library, Step
from stepstop.proof import Proof
from stepstop.rules import verdict
from stepstop.source import Spot

ROUNDING = 1e-9
"""A change of a share that is no larger is none."""
WORTH = 5.0 / 60.0
"""Least gain of a proposal in minutes, for each caller who comes to the pair."""


@dataclass(frozen=True, slots=True)
class Try:
    """One of a pair of steps, as an action that may end the walk."""

    step: str
    spot: Spot
    ends: float
    """Share of those who come to the pair whose walk ends here, or leaves the file."""
    minutes: float
    """Expected, of whoever comes to it."""


@dataclass(frozen=True, slots=True)
class Compared:
    """Two neighbours as they stand."""

    pair: Pair
    first: Try
    second: Try
    callers: float
    """Who come to the pair, as a share of all calls."""
    complaints: frozenset[str]
    """What they called about."""

    @property
    def by_ratio(self) -> float:
        """Minutes that the other order saves whoever comes here, if ends and costs are apart."""
        ends = {"first": self.first.ends, "second": self.second.ends}
        minutes = {"first": self.first.minutes, "second": self.second.minutes}
        now = chance.expected_cost(["first", "second"], ends, minutes)
        return now - chance.expected_cost(["second", "first"], ends, minutes)


@dataclass(frozen=True, slots=True)
class Refused:
    """A swap that safety forbids."""

    compared: Compared
    flaws: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Counted:
    """A swap that all safety rules allow, with its walks counted."""

    compared: Compared
    minutes: Mapping[str, float]
    """Complaint -> expected minutes of a walk that it saves; below zero where it costs some."""
    saved: float
    """Minutes a call, all calls together."""
    kinds: Mapping[str, float]
    """Kind of end -> by how much more of all calls end so; those that change."""

    @property
    def each(self) -> float:
        """Minutes that it saves whoever comes to the pair."""
        return self.saved / self.compared.callers


@dataclass(frozen=True, slots=True)
class Orders:
    """What comparing neighbours gave."""

    pairs: int
    """Neighbours that could change places in one way."""
    held: tuple[Pair, ...]
    """Left out: the first of them asks about danger, and nothing is moved before that."""
    unvisited: int
    """Left out: nobody comes to them."""
    in_order: int
    """Already in the better order, or the other one would save less than `WORTH`."""
    refused: tuple[Refused, ...]
    proposed: tuple[Counted, ...]
    """The greatest saving first."""
    not_borne_out: tuple[Counted, ...]
    """Counted, they save less than `WORTH`."""


def orders(
    world: World,
    met: spans.Count,
    now: Mapping[str, Cost],
    *,
    tabulate: Tabulate,
    progress: Callable[[str], None] = lambda _: None,
) -> Orders:
    """Compare all neighbours.

    `met` holds the walks as they are, and `now` what they cost by complaint.
    """
    library = world.bench.journey.course.library
    found = list(pairs(library))
    held = [pair for pair in found if asks_danger(pair, library)]
    visited = [p for p in found if p not in held and met.of(p.tree, p.first).entered > 0.0]
    better = [c for c in (compared(pair, met, library) for pair in visited) if c.by_ratio >= WORTH]
    refused, counted = [], []
    for number, each in enumerate(better, 1):
        progress(f"trying other orders: {number} of {len(better)}")
        changed = swapped(library, each.pair)
        if flaws := flaws_of(changed):
            refused.append(Refused(each, flaws))
        else:
            counted.append(recounted(each, world, changed, now, tabulate))
    return Orders(
        pairs=len(found),
        held=tuple(held),
        unvisited=len(found) - len(held) - len(visited),
        in_order=len(visited) - len(better),
        refused=tuple(refused),
        proposed=tuple(c for c in by_saving(counted) if c.each >= WORTH),
        not_borne_out=tuple(c for c in by_saving(counted) if c.each < WORTH),
    )


def by_saving(counted: Iterable[Counted]) -> list[Counted]:
    """The greatest saving first."""
    return sorted(counted, key=lambda c: (-c.saved, c.compared.pair.tree, c.compared.pair.first))


def asks_danger(pair: Pair, library: Library) -> bool:
    """Whether the first step, or some step of the shared tree in its place, asks about danger."""
    tree = library.trees[pair.tree]
    return any(_is_danger(step, library) for step in _within(tree.steps[pair.first], library))


def _within(step: Step, library: Library) -> Iterator[Step]:
    """A step, or all steps of the shared trees that stand in its place."""
    if not step.uses:
        yield step
        return
    for inner in library.trees[step.uses].steps.values():
        yield from _within(inner, library)


def _is_danger(step: Step, library: Library) -> bool:
    check = library.catalogue.checks.get(step.check)
    finding = library.catalogue.findings.get(check.result if check else step.finding)
    return finding is not None and finding.is_danger


def compared(pair: Pair, met: spans.Count, library: Library) -> Compared:
    """The neighbours as walks meet them; somebody comes to the first."""
    steps = library.trees[pair.tree].steps
    one, other = met.of(pair.tree, pair.first), met.of(pair.tree, pair.second)
    is_here = pair.on.name in steps and not pair.on.is_exit
    onward = other.passed if is_here else _answered(steps[pair.second], pair, met)
    first = _try(steps[pair.first], one, one.passed, one.entered)
    second = _try(steps[pair.second], other, onward, one.entered)
    return Compared(pair, first, second, one.entered, frozenset(one.complaints))


def _answered(step: Step, pair: Pair, met: spans.Count) -> float:
    """Who goes on from a step whose way on leaves its file."""
    onward = (a for a in step.answers if same_place(a.target, pair.on))
    return fsum(met.answered.get(answer.spot, 0.0) for answer in onward)


def _try(step: Step, span: spans.Span, passed: float, callers: float) -> Try:
    ends = max(0.0, span.entered - passed) / callers
    return Try(step.id, step.spot, ends, span.minutes / span.entered if span.entered else 0.0)


def flaws_of(library: Library) -> tuple[str, ...]:
    """The flaws that the safety rules find, each once."""
    found = verdict(Proof(lay_out(library)))
    return tuple(sorted({problem.flaw for problem in found.problems}))


def recounted(
    each: Compared,
    world: World,
    changed: Library,
    now: Mapping[str, Cost],
    tabulate: Tabulate,
) -> Counted:
    """What the changed library saves, its walks carried from page to page.

    Only complaints whose callers come to the pair can change.
    """
    bench = moved_to(world.bench, lay(lay_out(changed)), tabulate)
    new = {name: walked(World(bench, world.errors), name) for name in sorted(each.complaints)}
    saved = {name: now[name].all_minutes - cost.all_minutes for name, cost in new.items()}
    course = bench.journey.course
    before, after = kinds([now[name] for name in new], course), kinds(new.values(), course)
    changes = {kind: after[kind] - before[kind] for kind in after}
    return Counted(
        each,
        saved,
        fsum(now[name].calls * each for name, each in saved.items()),
        {kind: change for kind, change in changes.items() if abs(change) > ROUNDING},
    )


def walked(world: World, complaint: str) -> Cost:
    """What the walks of one complaint cost."""
    mine = walkers(world, complaint)
    count = Count(mine)
    for met in mine.walk():
        count.add(met)
    return count.cost()


def kinds(costs: Iterable[Cost], course: Course) -> dict[str, float]:
    """Kind of outcome -> share of all calls that end so."""
    shares = dict.fromkeys(KINDS, 0.0)
    for cost in costs:
        for end, share in cost.ends.items():
            outcome = course.pages[end].outcome
            if outcome is not None:
                shares[outcome.kind] += cost.calls * share
    return shares
