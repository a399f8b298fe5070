"""All scripts on paper, for the day when the network is down: numbers in the place of links.

Pages from which every walk says the same are one step of the booklet: that the person at home is at
risk only changes how soon somebody comes, and both are printed.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from stepstop.course import Course, Mode, Page
from stepstop.edition import Edition
from stepstop.graph import alike, reachable
from stepstop.language.tongue import phrase
from stepstop.model import HEADINGS, Tree
from stepstop.pages import views
from stepstop.pages.address import START
from stepstop.pages.atlas import Atlas, atlas_of, stop_and_call
from stepstop.pages.company import filled
from stepstop.pages.frame import frame
from stepstop.pages.outcome import soon
from stepstop.pages.rendering import Renderer
from stepstop.pages.slots import slot
from stepstop.pages.spoken import Spoken
from stepstop.pages.step import choices
from stepstop.reading_ease import without_accents

TITLE = phrase("Scripts for calls")
PAPERS = {"letter": "8.5in 11in", "a4": "210mm 297mm"}
"""Name of a size of paper -> its width and height."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A step or an ending with its number."""

    number: int
    body: dict[str, Any]
    """What is said, as `Spoken.body` gives it."""
    answers: tuple[tuple[str, int, int], ...]
    """(answer, its kind, number of the step that follows; 0: back to where the call was)."""
    hurried: str
    """How soon where somebody is at risk, if that is sooner."""
    is_once: bool
    """Whether it may be done once on a call."""


@dataclass(frozen=True, slots=True)
class Section:
    """A complaint with the steps that no complaint before it has."""

    title: str
    begin: int
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class BookletView:
    """All that is printed."""

    frame: views.Frame
    paper: str
    calls: dict[str, Any]
    danger: int
    stop: int
    """Number of the ending for a call that stops early."""
    sections: tuple[Section, ...]
    """That of danger first."""
    index: tuple[tuple[str, int], ...]
    """(what callers say, where to begin), in the order of the words."""
    count: int


def booklet(
    course: Course,
    edition: Edition,
    *,
    paper: str,
    complaints: Iterable[str] = (),
    overrides: tuple[Any, ...] = (),
) -> bytes:
    """The booklet as HTML to be printed: of these complaints, or of all."""
    atlas = atlas_of(course, edition)
    if edition.is_branded:
        atlas = replace(atlas, edition=replace(edition, hash=slot("hash")))
    renderer = Renderer(overrides, edition.tongue)
    page = renderer.render("booklet.html", booklet_view(atlas, paper, tuple(complaints)))
    return filled(page, edition, course.library, renderer)


def booklet_view(atlas: Atlas, paper: str, complaints: tuple[str, ...] = ()) -> BookletView:
    """The view of a booklet."""
    trees = list(_trees(atlas, complaints))
    folded = _Folded(atlas, [atlas.danger, *(atlas.roots[tree.id] for tree in trees)])
    sections = folded.sections(
        [
            (atlas.worded("Danger"), atlas.danger),
            *((str(t.title), atlas.roots[t.id]) for t in trees),
        ]
    )
    words = [
        (str(word), folded.number_of(atlas.roots[t.id]))
        for t in trees
        for word in (t.title, *t.words)
    ]
    early = folded.stop_and_call()
    return BookletView(
        frame(START, atlas.worded(TITLE), atlas, trees=atlas.course.library.written()),
        PAPERS[paper],
        folded.spoken.calls(),
        folded.number_of(atlas.danger),
        early.begin,
        (*sections, early),
        tuple(sorted(set(words), key=lambda each: (_letters(each[0]), each))),
        folded.count,
    )


def _letters(words: str) -> str:
    """What words are sorted by: an accent changes no place in the alphabet."""
    return without_accents(words.lower())


def _trees(atlas: Atlas, wanted: tuple[str, ...]) -> Iterator[Tree]:
    """The complaints as the start page lists them."""
    trees = [t for t in atlas.course.library.complaints() if not wanted or t.id in wanted]
    yield from sorted(trees, key=lambda tree: (HEADINGS.index(tree.under), str(tree.title)))


class _Folded:
    """The pages of a course as steps of a booklet."""

    def __init__(self, atlas: Atlas, roots: list[str]) -> None:
        self.atlas, self.spoken = atlas, Spoken(atlas, in_html=True)
        self._pages = atlas.ways.pages
        leads = {page.id: [move.to for move in choices(page)] for page in self._pages.values()}
        within = reachable(leads, roots)
        self._leads = leads
        self._class = alike(
            leads, {page: self._label(page) for page in self._pages if page in within}
        )
        self._numbers: dict[int, int] = {}

    def _label(self, page_id: str) -> str:
        """What a step of the booklet says, but for how soon somebody comes."""
        page = self._pages[page_id]
        body = {**self.spoken.body(page), "soon": self._soon(page)}
        return json.dumps([body, self.atlas.ways.once_on(page)])

    def _soon(self, page: Page) -> list[str]:
        """How soon without hurry and with it."""
        if page.outcome is None:
            return []
        return [
            found.say if found else ""
            for hurry in (False, True)
            for found in [soon(replace(page, mode=Mode(page.mode.boundary, hurry)), self.atlas)]
        ]

    def number_of(self, page_id: str) -> int:
        """The number of the step that a page is; 0 for the start page."""
        found = self._class.get(page_id)
        return 0 if found is None else self._numbers.setdefault(found, len(self._numbers) + 1)

    def sections(self, begins: list[tuple[str, str]]) -> tuple[Section, ...]:
        """The steps in the order of walks, each in the first section that has it."""
        order: dict[int, str] = {}
        parts = []
        for title, root in begins:
            found: list[str] = []
            waiting = [root]
            for page_id in waiting:
                number = self.number_of(page_id)
                if number and number not in order:
                    order[number] = page_id
                    found.append(page_id)
                    waiting += self._leads[page_id]
            parts.append((title, root, found))
        return tuple(
            Section(title, self.number_of(root), tuple(self._entry(self._pages[p]) for p in found))
            for title, root, found in parts
        )

    def stop_and_call(self) -> Section:
        """The ending for a call that stops early, unless a section has it."""
        page_id, title = stop_and_call(hurry=False), self.atlas.worded("When you stop early")
        number = self.number_of(page_id)
        if number:
            return Section(title, number, ())
        self._numbers[-1] = self.count + 1
        entry = replace(self._entry(self.atlas.pages[page_id]), number=self.count)
        return Section(title, self.count, (entry,))

    @property
    def count(self) -> int:
        """How many steps there are so far."""
        return len(self._numbers)

    def _entry(self, page: Page) -> Entry:
        body = self.spoken.body(page)
        how_soon = self._soon(page)
        moves = choices(page)
        return Entry(
            self.number_of(page.id),
            {**body, "soon": how_soon[0] if how_soon else ""},
            tuple(
                (text, kind, self.number_of(move.to))
                for (text, kind), move in zip(body.get("answers", ()), moves, strict=True)
            ),
            how_soon[1] if how_soon and how_soon[1] != how_soon[0] else "",
            bool(self.atlas.ways.once_on(page)),
        )
