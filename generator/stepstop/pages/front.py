"""The start page, and what other pages need to lead to a complaint."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stepstop.course import Course
from stepstop.model import HEADINGS
from stepstop.pages import origins, rehearsed, views
from stepstop.pages.address import CODE, ORIGINS, REHEARSED, START, file_of
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
    under: str
    """Part of the list that it belongs to."""


_HEADINGS = {
    "danger": "Smells, alarms, water",
    "heat": "Heating",
    "cooling": "Cooling",
    "any": "Heating or cooling",
}


def stubs(course: Course) -> tuple[Stub, ...]:
    """Every complaint of the course, in the order of its title."""
    return tuple(sorted(_stubs(course), key=lambda stub: (stub.title, stub.path)))


def start_view(atlas: Atlas) -> views.StartView:
    """The view of the start page."""
    return views.StartView(
        frame(
            START,
            "Heating or cooling has stopped: what you can look at before you call",
            atlas,
            trees=atlas.course.library.written(),
            description="No heat or no cooling? Danger first, then the few things that you may "
            "look at or do yourself, and when to stop and call.",
        ),
        tuple(_parts(atlas.course)),
        tuple(_about(atlas)),
        CODE,
    )


def code_view(atlas: Atlas) -> views.CodeView:
    """The view of the page on which somebody goes on from a code."""
    return views.CodeView(
        frame(CODE, "Go on from a code", atlas, trees=atlas.course.library.written())
    )


def _parts(course: Course) -> Iterator[tuple[str, tuple[views.ComplaintView, ...]]]:
    """The list in its parts, each in the order of its titles."""
    found = stubs(course)
    for under in HEADINGS:
        mine = [stub for stub in found if stub.under == under]
        if mine:
            yield _HEADINGS[under], tuple(_complaint(stub) for stub in mine)


def _complaint(stub: Stub) -> views.ComplaintView:
    return views.ComplaintView(views.Link(stub.path, stub.title), stub.words)


def _about(atlas: Atlas) -> Iterator[views.Link]:
    yield views.Link(ORIGINS, origins.TITLE)
    if atlas.edition.tells_rehearsal:
        yield views.Link(REHEARSED, rehearsed.TITLE)


def _stubs(course: Course) -> Iterator[Stub]:
    for tree, root in zip(course.library.roots(), course.roots, strict=True):
        if tree.role == "complaint":
            words = tuple(str(word) for word in tree.words)
            yield Stub(str(tree.title), words, file_of(root), str(tree.under))
