"""What a change of trees does to callers: ways, endings by cause, steps and figures, old and new.

Callers are those of a rehearsal; the same houses with the same causes call about both editions.
Figures are simulated, not field results.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stepstop.course import Course
from stepstop.effort.carry import Walkers, walkers
from stepstop.effort.survey import prepare
from stepstop.model import START_PAGE
from stepstop.picture.flow import flow
from stepstop.problems import Problem
from stepstop.rehearsal.judge import Ended, marks
from stepstop.trail import Ways

MARKS = ("right", "cautious", "missed-danger", "needless", "fixed")
"""Marks of ends that are compared, as `rehearsal.judge` has them."""
TOLD = {
    "right": "ending, urgency and state right",
    "cautious": "ending right or more cautious",
    "missed-danger": "a sign of danger, and no such ending",
    "needless": "a visit that the caller could have spared",
    "fixed": "works again by a safe check",
}
CHANGED = 0.005
"""Share of a cause's callers that must end otherwise before it is told: less is a rounding."""
WORSE = 1e-6
"""By so much a share of danger may grow without a word: rounding."""

Way = tuple[str, str, str]
"""(step, what is answered, where that leads), as the file of a tree has them."""
Ending = tuple[str, str]
"""(kind, urgency)."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Of the callers with one complaint."""

    trails: int
    """Different trails from the first page to an end."""
    steps: float
    """Pages that are met on average."""
    minutes: float
    marks: Mapping[str, float]
    """Mark -> share of callers."""


@dataclass(frozen=True, slots=True)
class Effect:
    """What the trees of one folder do."""

    ways: Mapping[str, frozenset[Way]]
    """By tree."""
    complaints: Mapping[str, Figures]
    endings: Mapping[str, Mapping[Ending, float]]
    """Cause -> ending -> share of its callers."""
    marks: Mapping[str, Mapping[str, float]]
    """Cause -> mark -> share of its callers."""


def effect(
    course: Course, trees: Path, *, progress: Callable[[str], None] = lambda _: None
) -> tuple[Effect | None, list[Problem]]:
    """What proven trees do, or None and the problems of the files on callers."""
    ready, problems = prepare(course, trees, progress=progress)
    if ready is None:
        return None, problems
    world, counted = ready.world, _Counted()
    ways = Ways(course)
    for complaint in ready.complaints:
        progress(f"carrying callers: {complaint}")
        walking = walkers(world, complaint, alike=world.bench.alike(complaint))
        counted.add(walking, sum(ways.counts(ways.roots[complaint])))
    return (
        Effect(_written(course), counted.complaints, counted.endings(), counted.by_cause()),
        [],
    )


def _written(course: Course) -> dict[str, frozenset[Way]]:
    """The ways of every tree that has pages of its own."""
    return {
        tree.id: frozenset(
            (edge.tail[1], answer, edge.head[1])
            for edge in flow(course, tree).edges
            for answer in edge.answers or ("",)
        )
        for tree in course.library.written()
        if tree.role != "shared"
    }


class _Counted:
    """Adds up callers, complaint by complaint."""

    def __init__(self) -> None:
        self.complaints: dict[str, Figures] = {}
        self._callers: dict[str, float] = defaultdict(float)
        self._endings: dict[str, dict[Ending, float]] = defaultdict(lambda: defaultdict(float))
        self._marks: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))

    def add(self, walkers: Walkers, trails: int) -> None:
        """Carry the callers of one complaint to their ends."""
        bench = walkers.world.bench
        whole = float(walkers.begin.sum())
        steps = minutes = 0.0
        found = dict.fromkeys(MARKS, 0.0)
        for met in walkers.walk():
            if not met.callers:
                continue
            if met.node.options:
                steps += met.callers
                minutes += met.callers * met.node.seconds / 60
                continue
            end = bench.end_of(met.node.page)
            works = bench.table.works(met.node.acts)[met.cases][:, None]
            marked = marks(bench, Ended(end, (), walkers.complaint, met.cases, works, False))
            ending = (end.kind or START_PAGE, str(met.node.page.urgency))
            for seat, case in enumerate(met.cases):
                cause, mass = bench.table.cases[int(case)].cause, met.mass[seat]
                share = float(mass.sum())
                self._callers[cause] += share
                self._endings[cause][ending] += share
                for name in MARKS:
                    there = float((mass * marked[name][seat]).sum())
                    self._marks[cause][name] += there
                    found[name] += there
        self.complaints[walkers.complaint] = Figures(
            trails,
            steps / whole,
            minutes / whole,
            {name: each / whole for name, each in found.items()},
        )

    def endings(self) -> dict[str, dict[Ending, float]]:
        """Cause -> ending -> share."""
        return {cause: self._shares(cause, ends) for cause, ends in self._endings.items()}

    def by_cause(self) -> dict[str, dict[str, float]]:
        """Cause -> mark -> share."""
        return {cause: self._shares(cause, found) for cause, found in self._marks.items()}

    def _shares(self, cause: str, sums: Mapping[Any, float]) -> dict[Any, float]:
        return {key: each / self._callers[cause] for key, each in sums.items()}


# ---- telling ----


def as_text(old: Effect, new: Effect) -> str:
    """What changes, as lines for a terminal."""
    return "\n".join(_lines(old, new))


def _lines(old: Effect, new: Effect) -> Iterator[str]:
    yield "Simulated callers, no field results. Shares are before -> after."
    worse = list(_worse(old, new))
    if worse:
        yield ""
        yield "WORSE FOR SAFETY"
        yield from worse
    yield ""
    yield "Ways gained (+) and lost (-), as the files have them"
    yield from _ways(old, new) or ["  none"]
    yield ""
    yield "Complaints"
    yield from _complaints(old, new) or ["  no figure changes"]
    yield ""
    yield "Causes whose callers end otherwise"
    yield from _causes(old, new) or ["  none"]


def is_worse(old: Effect, new: Effect) -> bool:
    """Whether some cause has more missed dangers, or fewer cautious endings."""
    return any(_worse(old, new))


def _worse(old: Effect, new: Effect) -> Iterator[str]:
    """Causes with more missed dangers, or with fewer cautious endings."""
    for cause in sorted(old.marks.keys() & new.marks.keys()):
        one, other = old.marks[cause], new.marks[cause]
        if other["missed-danger"] > one["missed-danger"] + WORSE:
            yield f"  {cause}: {TOLD['missed-danger']} {_change(one, other, 'missed-danger')}"
        if other["cautious"] < one["cautious"] - WORSE:
            yield f"  {cause}: {TOLD['cautious']} {_change(one, other, 'cautious')}"


def _change(one: Mapping[str, float], other: Mapping[str, float], name: str) -> str:
    return f"{one[name]:.2%} -> {other[name]:.2%}"


def _ways(old: Effect, new: Effect) -> list[str]:
    lines = []
    for tree in sorted(old.ways.keys() | new.ways.keys()):
        if tree not in new.ways:
            lines.append(f"  {tree}: the tree is gone")
        elif tree not in old.ways:
            lines.append(f"  {tree}: a new tree")
        else:
            one, other = old.ways[tree], new.ways[tree]
            lines += [f"  - {tree}: {_way(way)}" for way in sorted(one - other)]
            lines += [f"  + {tree}: {_way(way)}" for way in sorted(other - one)]
    return lines


def _way(way: Way) -> str:
    step, answer, to = way
    return f"{step} -> {to}" + (f" ({answer})" if answer else "")


def _complaints(old: Effect, new: Effect) -> list[str]:
    lines = []
    for complaint in sorted(old.complaints.keys() & new.complaints.keys()):
        one, other = old.complaints[complaint], new.complaints[complaint]
        told = []
        if one.trails != other.trails:
            told.append(f"trails {one.trails:,} -> {other.trails:,}")
        for name, before, after in (
            ("steps", one.steps, other.steps),
            ("minutes", one.minutes, other.minutes),
        ):
            if abs(before - after) >= 0.005:
                told.append(f"{name} {before:.2f} -> {after:.2f}")
        for mark in MARKS:
            if abs(one.marks[mark] - other.marks[mark]) >= 0.00005:
                told.append(f"{mark} {_change(one.marks, other.marks, mark)}")
        if told:
            lines.append(f"  {complaint}: {', '.join(told)}")
    return lines


def _causes(old: Effect, new: Effect) -> list[str]:
    """The causes of which most callers end otherwise first."""
    found = []
    for cause in old.endings.keys() & new.endings.keys():
        one, other = old.endings[cause], new.endings[cause]
        gains = {end: other.get(end, 0.0) - one.get(end, 0.0) for end in one.keys() | other.keys()}
        moved = sum(gain for gain in gains.values() if gain > 0.0)
        if moved >= CHANGED:
            found.append((-moved, cause, gains))
    lines = []
    for moved, cause, gains in sorted(found, key=lambda each: each[:2]):
        lines.append(f"  {cause}: {-moved:.1%} of its callers")
        for end, gain in sorted(gains.items(), key=lambda pair: pair[1]):
            if abs(gain) >= CHANGED / 2:
                before, after = old.endings[cause].get(end, 0.0), new.endings[cause].get(end, 0.0)
                name = f"{end[0]}, {end[1]}" if end[1] else end[0]
                lines.append(f"    {name}: {before:.1%} -> {after:.1%}")
    return lines
