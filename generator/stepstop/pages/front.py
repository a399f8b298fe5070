"""The start page, the pages of equipment, and what other pages need to lead to a complaint."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from stepstop.course import Course
from stepstop.language.tongue import phrase
from stepstop.model import HEADINGS, Equipment, Tree
from stepstop.pages import origins, rehearsed, views
from stepstop.pages.address import (
    CODE,
    ORIGINS,
    REHEARSED,
    START,
    equipment_file,
    file_of,
    link,
)
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import companys_link, frame


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
    "danger": phrase("Smells, alarms, water"),
    "heat": phrase("Heating"),
    "cooling": phrase("Cooling"),
    "any": phrase("Heating or cooling"),
}


def stubs(course: Course) -> tuple[Stub, ...]:
    """Every complaint of the course, in the order of its title."""
    return tuple(sorted(_stubs(course).values(), key=lambda stub: (stub.title, stub.path)))


def start_view(atlas: Atlas) -> views.StartView:
    """The view of the start page."""
    return views.StartView(
        frame(
            START,
            atlas.worded("Heating or cooling has stopped: what you can look at before you call"),
            atlas,
            trees=atlas.course.library.written(),
            description=atlas.worded(
                "No heat or no cooling? Danger first, then the few things that you may look at or "
                "do yourself, and when to stop and call."
            ),
        ),
        tuple(_parts(stubs(atlas.course), START, atlas)),
        tuple(_about(atlas)),
        CODE,
    )


def equipment_views(atlas: Atlas) -> Iterator[tuple[str, views.EquipmentView]]:
    """The page of each unit that somebody may stand at, by its file."""
    found = _stubs(atlas.course)
    for unit in atlas.course.library.catalogue.equipment.values():
        listed = [found[complaint] for complaint in unit.complaints]
        file = equipment_file(unit.id)
        yield file, _equipment_view(unit, file, tuple(_parts(listed, file, atlas)), atlas)


def _equipment_view(
    unit: Equipment, file: str, parts: tuple[views.ListPart, ...], atlas: Atlas
) -> views.EquipmentView:
    headline = atlas.worded("At {unit}: what do you notice?", unit=atlas.plain(unit.name))
    around = frame(file, headline, atlas, trees=atlas.course.library.written())
    return views.EquipmentView(around, unit.id, headline, atlas.said(unit.look), parts)


def code_view(atlas: Atlas) -> views.CodeView:
    """The view of the page on which somebody goes on from a code."""
    title = atlas.worded("Go on from a code")
    return views.CodeView(frame(CODE, title, atlas, trees=atlas.course.library.written()))


def _parts(found: Iterable[Stub], file: str, atlas: Atlas) -> Iterator[views.ListPart]:
    """The list on the page in `file` in its parts, danger first, each in the order of `found`."""
    given = tuple(found)
    for under in HEADINGS:
        mine = tuple(_complaint(stub, file) for stub in given if stub.under == under)
        if mine:
            yield atlas.worded(_HEADINGS[under]), mine


def _complaint(stub: Stub, file: str) -> views.ComplaintView:
    return views.ComplaintView(views.Link(link(file, stub.path), stub.title), stub.words)


def _about(atlas: Atlas) -> Iterator[views.Link]:
    yield views.Link(ORIGINS, atlas.worded(origins.TITLE))
    if atlas.edition.tells_rehearsal:
        yield companys_link(REHEARSED, atlas.worded(rehearsed.TITLE), atlas)


def _stubs(course: Course) -> dict[str, Stub]:
    """Complaint -> its stub."""
    roots = zip(course.library.roots(), course.roots, strict=True)
    return {tree.id: _stub(tree, root) for tree, root in roots if tree.role == "complaint"}


def _stub(tree: Tree, root: str) -> Stub:
    words = tuple(str(word) for word in tree.words)
    return Stub(str(tree.title), words, file_of(root), str(tree.under))
