"""From companies' files and the proven trees to their own proven courses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from operator import attrgetter
from pathlib import Path

from stepstop.company.colours import themes
from stepstop.company.model import Brand
from stepstop.company.narrowed import NO_LIMITS, Limits, limits_of, prove
from stepstop.company.reading import read_company
from stepstop.company.said import LibraryIn
from stepstop.course import Course
from stepstop.edition import look_files
from stepstop.places import course_in, left_out
from stepstop.problems import Problem
from stepstop.source import Spot


@dataclass(frozen=True, slots=True)
class Made:
    """A company with its own course, or the problems of either."""

    path: Path
    brand: Brand | None
    course: Course | None
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class _Read:
    """A company whose file has no problem."""

    path: Path
    brand: Brand

    @property
    def limits(self) -> Limits:
        """What it leaves out or makes more urgent."""
        return limits_of(self.brand.company)

    @property
    def place(self) -> str:
        """Whose complaints it has."""
        return self.brand.company.place

    @property
    def like(self) -> tuple[Limits, str]:
        """Equal for companies whose pages differ in name and looks alone."""
        return self.limits, self.place


def each_made(
    paths: Iterable[Path],
    course: Course,
    overrides: tuple[Path, ...] = (),
    library_in: LibraryIn | None = None,
) -> Iterator[Made]:
    """The company in each file with its pages: those of the course in its place, or fewer.

    `library_in` has the trees in other languages, see `read_company`.

    What companies leave out or make more urgent is proven anew by all rules, once for all that do
    the same: they come one after the other, so that one course of theirs is held at a time. Those
    whose files have problems come first.
    """
    behind = themes(look_files(overrides)["page.css"].read_text(encoding="utf-8"))
    found = []
    for path in paths:
        brand, problems = read_company(path, course.library, behind, library_in)
        if brand is None:
            yield Made(path, None, None, problems)
        else:
            found.append(_Read(path, brand))
    met = {each: left_out(course.library, each) for each in course.library.catalogue.places}
    found.sort(key=lambda each: (met[each.place], *each.like, each.path))
    for out, there in groupby(found, key=lambda each: met[each.place]):
        near = list(there)
        whole = course_in(course, near[0].place) if out else course
        for limits, same in groupby(near, key=attrgetter("limits")):
            yield from _proven(list(same), limits, whole)


def _proven(same: list[_Read], limits: Limits, whole: Course) -> Iterator[Made]:
    """Companies with the same limits."""
    first, course = same[0], whole
    problems: tuple[Problem, ...] = ()
    if limits != NO_LIMITS:
        course, problems = prove(first.brand.company, whole)
    for each in same:
        if problems:
            yield Made(each.path, None, None, _said_of(each, problems, first))
        else:
            yield Made(each.path, each.brand, course)


def _said_of(one: _Read, problems: tuple[Problem, ...], other: _Read) -> tuple[Problem, ...]:
    """What the other company's limits bring, said of one with the same."""
    mine, theirs = (each.brand.company.leave_out for each in (one, other))
    if mine is None or theirs is None:
        return problems

    def moved(spot: Spot) -> Spot:
        return mine.spot if spot == theirs.spot else spot

    return tuple(
        replace(
            problem,
            spot=moved(problem.spot),
            related=tuple(replace(r, spot=moved(r.spot)) for r in problem.related),
        )
        for problem in problems
    )


def for_company(
    path: Path,
    course: Course,
    overrides: tuple[Path, ...] = (),
    library_in: LibraryIn | None = None,
) -> Made:
    """The one company in the file `path`, see `each_made`."""
    return next(each_made([path], course, overrides, library_in))


def company_files(folder: Path) -> list[Path]:
    """The companies' files in a folder, in the order of their names."""
    return sorted(path for path in folder.glob("*.yml") if path.is_file())
