"""The start page, and what other pages need to lead to a complaint."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stepstop.course import Course
from stepstop.model import Tree
from stepstop.pages import views
from stepstop.pages.address import REHEARSED, START, file_of
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame


@dataclass(frozen=True, slots=True)
class Stub:
    """A complaint, for lists and searches outside the question pages."""

    title: str
    words: tuple[str, ...]
    """What people say who have it."""
    path: str
    """File of its first page below the site's root."""


def stubs(course: Course) -> tuple[Stub, ...]:
    """Every complaint of the course, in the order of its title."""
    return tuple(sorted(_stubs(course), key=lambda stub: (stub.title, stub.path)))


def start_view(atlas: Atlas) -> views.StartView:
    """The view of the start page."""
    trees = [tree for tree in atlas.course.library.trees.values() if _is_read(tree)]
    return views.StartView(
        frame(
            START,
            "Heating or cooling has stopped: what you can look at before you call",
            atlas,
            trees=trees,
            description="No heat or no cooling? Danger first, then the few things that you may "
            "look at or do yourself, and when to stop and call.",
        ),
        tuple(
            views.ComplaintView(views.Link(stub.path, stub.title), stub.words)
            for stub in stubs(atlas.course)
        ),
        REHEARSED if atlas.edition.tells_rehearsal else "",
    )


def _stubs(course: Course) -> Iterator[Stub]:
    for tree, root in zip(course.library.roots(), course.roots, strict=True):
        if tree.role == "complaint":
            yield Stub(str(tree.title), tuple(str(word) for word in tree.words), file_of(root))


def _is_read(tree: Tree) -> bool:
    return bool(tree.steps or tree.outcomes)
