"""A rehearsal in the declared world and in others, as it is kept for the pages."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from stepstop import rehearsed
from stepstop.belief import Likely, Reason
from stepstop.callers import MODELS
from stepstop.course import Course
from stepstop.house.faults import FAULTS
from stepstop.house.history import HISTORY
from stepstop.problems import Problem
from stepstop.rehearsal.account import Data, Wish, account
from stepstop.rehearsal.alike import alike
from stepstop.rehearsal.bars import Bar, View, measured
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.choices import VARIATIONS
from stepstop.rehearsal.figures import Shown, rehearse
from stepstop.rehearsal.house_table import Table
from stepstop.rehearsal.prepare import Progress, Ready, prepare

PLAIN = VARIATIONS[0]
VARIED = {
    "weights": ("accurate", "both"),
    "errors": ("both",),
    "history": ("accurate", "both"),
    "houses": ("accurate", "both"),
    "complaints": ("accurate", "both"),
}
"""Other world -> the callers whose bars are measured there: accurate ones have no errors."""


def record(
    course: Course, trees: Path, *, progress: Progress = lambda _: None
) -> tuple[rehearsed.Rehearsed | None, list[Problem]]:
    """What is kept of the rehearsal of a proven course, or None and the problems of its files."""
    ready, problems = prepare(course, trees, progress=progress)
    if ready is None:
        return None, problems
    found, shown, table = _declared(ready, progress), ready.shown, ready.bench.table
    del ready  # A world is large: one at a time.
    worlds = {}
    for name in sorted(VARIED):
        same = None if name == "houses" else table
        worlds[name] = _varied(_world(course, trees, name, same, progress), name, shown, progress)
    return replace(found, figures=replace(found.figures, variations=worlds)), []


def _declared(ready: Ready, progress: Progress) -> rehearsed.Rehearsed:
    """Likely causes and figures in the world as it is declared, without any other."""
    bench = ready.bench
    wish = ready.wish("all", calls=0, seed=1, half="")
    ticking = Ticking("rehearsing", wish.ticks(bench), progress)
    data = account(bench, ready.shown, wish, tick=ticking.tick)
    pointed = {name: tuple(map(_pointed, each)) for name, each in ready.likely.items()}
    return rehearsed.Rehearsed(pointed, _figures(bench, data))


@dataclass(slots=True)
class Ticking:
    """Tells of work that is counted in ticks, each hundredth once."""

    what: str
    whole: int
    progress: Progress
    done: int = 0

    def tick(self, count: int) -> None:
        """So much more is done."""
        before, self.done = self.done, self.done + count
        if 100 * before // self.whole < 100 * self.done // self.whole:
            self.progress(f"{self.what}: {100 * self.done // self.whole} %")


Bars = Mapping[str, tuple[rehearsed.Bar, ...]]


def _world(
    course: Course, trees: Path, name: str, table: Table | None, progress: Progress
) -> Ready:
    """Another world, made of the houses in `table` where they are the same."""
    same = None if table is None else lambda *_: table
    ready, problems = prepare(course, trees, vary=name, progress=progress, tabulated=same)
    assert ready is not None, problems
    return ready


def _varied(ready: Ready, name: str, shown: Shown, progress: Progress) -> Bars:
    """The bars in another world; the pages, with the causes that they show, stay as they are."""
    errors = {
        model: ready.bench.callers.errors_of(model).times(ready.factor) for model in VARIED[name]
    }
    ticking = Ticking(f"other {name}", Wish(errors).ticks(ready.bench), progress)
    lengths = [model for model in errors if model == "accurate"]
    tallies = rehearse(ready.bench, errors, shown, lengths=lengths, tick=ticking.tick)
    return {
        model: tuple(_measured(bar, value) for bar, value in measured(view, model))
        for model in errors
        for view in [View(tallies[model], shown, "")]
    }


def _measured(bar: Bar, value: float | None) -> rehearsed.Bar:
    met = bar.met(value)
    reached = None if met is None else bool(met)
    return rehearsed.Bar(bar.name, _single(value), float(bar.limit), bar.least, bar.unit, reached)


def _single(value: float | None) -> float | None:
    """Of whatever sort of float, a plain one."""
    return None if value is None else float(value)


def _pointed(likely: Likely) -> rehearsed.Pointed:
    def pairs(reasons: tuple[Reason, ...]) -> tuple[tuple[str, str], ...]:
        return tuple((each.finding, each.value) for each in reasons)

    supports, contradicts = pairs(likely.supports), pairs(likely.contradicts)
    return rehearsed.Pointed(likely.cause, likely.chance, supports, contradicts)


# ---- the account, part by part ----


def _figures(bench: Bench, data: Data) -> rehearsed.Figures:
    return rehearsed.Figures(
        data["cases"],
        data["causes"],
        data["callers"],
        {model: _model(bench, data["models"][model]) for model in MODELS},
        {},
        tuple(alike(bench, frozenset(HISTORY))),
        tuple(c for c in bench.causes if c in FAULTS and not FAULTS[c].mechanism),
    )


def _model(bench: Bench, data: Data) -> rehearsed.Model:
    return rehearsed.Model(
        bars=tuple(_bar(each) for each in data["bars"]),
        marks=_each(_mark, data["figures"]),
        shown=_ceiling(data["shown"]),
        exposures=_each(_exposure, data["exposures"]),
        complaints=_each(_part, data["complaints"]),
        causes=_each(_part, data["by-cause"]),
        worst=tuple(_worst(bench, each) for each in data["worst"]),
        pages={str(pages): float(share) for pages, share in data["pages"].items()},
    )


Kept = TypeVar("Kept")


def _each(keep: Callable[[Data], Kept], parts: Mapping[str, Data]) -> dict[str, Kept]:
    return {name: keep(part) for name, part in parts.items()}


def _bar(data: Data) -> rehearsed.Bar:
    limit = data["least"] if "least" in data else data["most"]
    met = None if data["met"] is None else bool(data["met"])
    value, least = _single(data["value"]), "least" in data
    return rehearsed.Bar(data["name"], value, float(limit), least, data["unit"], met)


def _mark(data: Data) -> rehearsed.Mark:
    return rehearsed.Mark(
        data["says"], data["all"], _single(data["mended-on"]), _single(data["held-out"])
    )


def _ceiling(data: Data) -> rehearsed.Ceiling:
    names = ("share", "ceiling", "share-by-cause", "ceiling-by-cause")
    return rehearsed.Ceiling(*(_single(data[name]) for name in names))


def _exposure(data: Data) -> rehearsed.Exposure:
    return rehearsed.Exposure(data["unsafe-shown"], data["unsafe-hidden"])


def _part(data: Data) -> rehearsed.Part:
    return rehearsed.Part(data["calls"], data["right"], data["shown"], data["fixed"])


def _worst(bench: Bench, data: Data) -> rehearsed.Worst:
    told = data["trail"]
    trail = None
    if told is not None:
        caller = str(bench.callers.profiles[told["caller"]].about)
        pages = tuple(str(page) for page in told["pages"])
        trail = rehearsed.Trail(
            told["share"], told["house"], caller, pages, told["end"], told["right"]
        )
    return rehearsed.Worst(data["cause"], data["right"], trail)
