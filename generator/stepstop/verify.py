"""A folder of trees to a proven course, or all problems: what every command begins with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from stepstop import places, shipped
from stepstop.collecting import no_collecting
from stepstop.course import Course, lay_out
from stepstop.loader import load
from stepstop.model import Library, Tree
from stepstop.overlay.seen import due
from stepstop.problems import Problem, sorted_once
from stepstop.proof import Proof
from stepstop.rules import verdict
from stepstop.source import spot_of


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


def unreviewed(library: Library, date: str) -> list[Problem]:
    """A problem for each tree that has no review in force on `date` (YYYY-MM-DD).

    Shared trees are part of what a reviewer looks over, so they need one, too.
    """
    return [problem for tree in library.written() if (problem := _unreviewed(tree, date))]


def _unreviewed(tree: Tree, date: str) -> Problem | None:
    if tree.review is None:
        message = f"`{tree.id}` has not been looked over by a licensed technician"
        return Problem(tree.spot, "not-reviewed", message, "have it done, and write `review`")
    if tree.review.is_overdue(date):
        message = f"`{tree.id}` was to be looked over again by {tree.review.due}; today is {date}"
        return Problem(
            spot_of(tree.review.due), "review-overdue", message, "have it done, and write the dates"
        )
    return None


def verify(
    folder: Path,
    *,
    overrides: tuple[Path, ...] = (),
    seen: bool = True,
    progress: Callable[[str], None] = lambda _: None,
) -> Verified:
    """Read and prove the trees in `folder`; `overrides` are folders with more drawings.

    Without `seen`, an overlay may lie over what nobody has looked at since it changed.
    """
    with no_collecting():
        return _verified(folder, overrides, seen, progress)


def _verified(
    folder: Path, overrides: tuple[Path, ...], seen: bool, progress: Callable[[str], None]
) -> Verified:
    drawings = shipped.drawing_names((shipped.folder("site_overrides"), *overrides))
    library, problems = load(folder, drawings=drawings, progress=progress)
    late = due(folder) if seen else []
    if library is None:
        return Verified(tuple(sorted_once((*problems, *late))), {}, None)
    progress("proving every path")
    course = lay_out(library)
    found = verdict(Proof(course))
    proven = found.problems or places.problems(course)
    return Verified(tuple(sorted_once((*proven, *late))), found.examined, course)
