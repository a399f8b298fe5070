"""From a company's file and the proven trees to its own proven course."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stepstop.company.colours import themes
from stepstop.company.model import Brand
from stepstop.company.narrowed import is_changed, prove
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


def for_company(path: Path, course: Course, overrides: tuple[Path, ...] = ()) -> Made:
    """The company in the file `path` with its pages, which are those of `course` or fewer.

    What the company leaves out or makes more urgent is proven anew by all rules.
    """
    behind = themes(look_files(overrides)["page.css"].read_text(encoding="utf-8"))
    brand, problems = read_company(path, course.library, behind)
    if brand is None:
        return Made(None, None, problems)
    if not is_changed(brand.company):
        return Made(brand, course)
    own, problems = prove(brand.company, course)
    return Made(None, None, problems) if problems else Made(brand, own)
