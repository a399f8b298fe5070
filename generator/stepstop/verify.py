"""A folder of trees to a proven course, or all problems: what every command begins with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from stepstop import shipped
from stepstop.course import Course, lay_out
from stepstop.loader import load
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.rules import verdict


@dataclass(frozen=True, slots=True)
class Verified:
    """The result of reading and proving a folder."""

    problems: tuple[Problem, ...]
    examined: dict[str, int]
    """Flaw -> places examined; empty where reading already failed."""
    course: Course | None
    """There as soon as reading succeeded, proven only where there are no problems."""

    @property
    def is_proven(self) -> bool:
        """Whether pages may be published."""
        return self.course is not None and not self.problems


def verify(
    folder: Path,
    *,
    overrides: tuple[Path, ...] = (),
    progress: Callable[[str], None] = lambda _: None,
) -> Verified:
    """Read and prove the trees in `folder`; `overrides` are folders with more drawings."""
    drawings = shipped.drawing_names((shipped.folder("site_overrides"), *overrides))
    library, problems = load(folder, drawings=drawings, progress=progress)
    if library is None:
        return Verified(tuple(problems), {}, None)
    progress("proving every path")
    course = lay_out(library)
    found = verdict(Proof(course))
    return Verified(found.problems, found.examined, course)
