"""From companies' files and the proven trees to their own proven courses."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stepstop.company.colours import themes
from stepstop.company.model import Brand
from stepstop.company.narrowed import NO_LIMITS, Limits, limits_of, prove
from stepstop.company.reading import read_company
from stepstop.course import Course
from stepstop.edition import look_files
from stepstop.problems import Problem


@dataclass(frozen=True, slots=True)
class Made:
    """A company with its own course, or the problems of either."""

    brand: Brand | None
    course: Course | None
    problems: tuple[Problem, ...] = ()


class Making:
    """Makes companies from their files; what several leave out alike is proven once."""

    def __init__(self, course: Course, overrides: tuple[Path, ...] = ()) -> None:
        self._course = course
        self._behind = themes(look_files(overrides)["page.css"].read_text(encoding="utf-8"))
        self._proven: dict[Limits, Course] = {NO_LIMITS: course}

    def made(self, path: Path) -> Made:
        """The company in the file `path` with its pages: those of the course, or fewer.

        What the company leaves out or makes more urgent is proven anew by all rules.
        """
        brand, problems = read_company(path, self._course.library, self._behind)
        if brand is None:
            return Made(None, None, problems)
        limits = limits_of(brand.company)
        if limits not in self._proven:
            own, problems = prove(brand.company, self._course)
            if problems:
                return Made(None, None, problems)
            self._proven[limits] = own
        return Made(brand, self._proven[limits])


def for_company(path: Path, course: Course, overrides: tuple[Path, ...] = ()) -> Made:
    """The one company in the file `path`."""
    return Making(course, overrides).made(path)


def company_files(folder: Path) -> list[Path]:
    """The companies' files in a folder, in the order of their names."""
    return sorted(path for path in folder.glob("*.yml") if path.is_file())
