"""What a rehearsal needs, gathered: the journey, who calls, what is right, and the houses."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from stepstop.belief import Belief, Likely
from stepstop.callers import MODELS, Callers, Errors, read_callers
from stepstop.course import Course
from stepstop.house.acts import CHECKS, Acts
from stepstop.house.history import HISTORY
from stepstop.journey import Journey, lay
from stepstop.model import Library
from stepstop.problems import Problem, near
from stepstop.rehearsal.account import Wish
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.choices import PAIRS
from stepstop.rehearsal.figures import Shown
from stepstop.rehearsal.house_table import Table
from stepstop.rehearsal.truths import Truths
from stepstop.rehearsal.variations import misled, up_and_down, without
from stepstop.verdicts import Verdicts, read_verdicts

FOLDER = "rehearsal"
"""Below the trees: who calls, and the verdicts."""

Progress = Callable[[str], None]
Tabulate = Callable[[Journey, bool, Progress], Table]
"""Makes the table for a journey; the flag asks for houses off the grid."""


@dataclass(frozen=True)
class Ready:
    """A rehearsal that can begin."""

    bench: Bench
    belief: Belief
    """What ranks causes on the pages."""
    factor: float
    """By which errors are multiplied."""

    @cached_property
    def likely(self) -> Mapping[str, tuple[Likely, ...]]:
        """`tree/outcome` -> the causes to show there; not every rehearsal asks."""
        return self.belief.at_outcomes()

    @cached_property
    def shown(self) -> Shown:
        """Id of each outcome page that shows causes -> those that belief ranks first there."""
        return {
            page.id: tuple(each.cause for each in self.likely[name])
            for page in self.bench.journey.course.pages.values()
            if page.outcome and (name := f"{page.tree}/{page.outcome.id}") in self.likely
        }

    def wish(self, model: str, *, calls: int, seed: int, half: str) -> Wish:
        """What is asked of it: one of `MODELS`, or `all`."""
        names = tuple(MODELS) if model == "all" else (model,)
        errors: dict[str, Errors] = {
            name: self.bench.callers.errors_of(name).times(self.factor) for name in names
        }
        return Wish(errors, calls, seed, half)


def prepare(
    course: Course,
    trees: Path,
    *,
    vary: str = "nothing",
    withheld: str = "",
    seed: int = 1,
    progress: Progress = lambda _: None,
    tabulated: Tabulate | None = None,
) -> tuple[Ready | None, list[Problem]]:
    """The rehearsal of a proven course, or None and the problems of its files.

    `vary` is one of `choices.VARIATIONS`, or `choices.PAIRS`; belief knows nothing of
    pairs, nor of complaints that are not the callers' own. A `withheld` cause is called about, and
    belief does not know of it.
    """
    catalogue = course.library.catalogue
    verdicts, wrong = read_verdicts(trees / FOLDER / "verdicts.yml", course.library)
    callers, odd = read_callers(trees / FOLDER / "callers.yml", catalogue)
    problems = [*wrong, *odd, *_unknown_checks(course)]
    if verdicts is None or callers is None or problems:
        return None, problems
    journey = lay(course)
    single = (tabulated or _tabulated)(journey, vary == "houses", progress)
    table = single
    if vary == PAIRS:
        table = simulated(course.library, journey.acts, progress=progress, pairs=True)
    if vary == "weights":
        table = single = up_and_down(single, seed=seed)
    if vary == "complaints":
        table = misled(single, journey.roots)
    bench = _bench(journey, table, callers, verdicts, silent=vary == "history")
    known = without(single, withheld) if withheld else single
    belief = Belief(journey, known, callers)
    return Ready(bench, belief, 2.0 if vary == "errors" else 1.0), []


def _bench(
    journey: Journey, table: Table, callers: Callers, verdicts: Verdicts, *, silent: bool
) -> Bench:
    catalogue = journey.course.library.catalogue
    truths = Truths(table, callers, catalogue, frozenset(HISTORY) if silent else frozenset())
    return Bench(journey, table, callers, verdicts, truths)


def _unknown_checks(course: Course) -> list[Problem]:
    """A problem for each check on a page whose doing the house model does not know."""
    used = {page.check.id: page.check for page in course.pages.values() if page.check}
    return [
        Problem(
            check.spot,
            "unknown-name",
            f"the simulated house does not know the check `{name}`",
            near(name, CHECKS),
        )
        for name, check in used.items()
        if name not in CHECKS
    ]


def _tabulated(journey: Journey, off_grid: bool, progress: Progress) -> Table:
    return simulated(journey.course.library, journey.acts, progress=progress, off_grid=off_grid)


def simulated(
    library: Library,
    acts: Iterable[Acts],
    *,
    progress: Progress = lambda _: None,
    off_grid: bool = False,
    pairs: bool = False,
) -> Table:
    """The houses with the library's causes in these states of acts, kept in the user's cache."""
    from stepstop.house.table import tabulate

    causes = library.catalogue.causes.values()
    return tabulate(
        {cause.id: cause.frequency for cause in causes},
        acts,
        off_grid=off_grid,
        pairs=pairs,
        cache=_cache(),
        workers=os.cpu_count() or 1,
        progress=lambda done, of: progress(f"simulating houses: {done} of {of} parts"),
    )


def _cache() -> Path:
    """Where tables are kept between runs."""
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home) / "stepstop"
