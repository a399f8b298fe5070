"""The question pages as files: the same course and edition always give the same bytes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain
from pathlib import Path
from posixpath import join
from typing import Any

from stepstop.collecting import no_collecting
from stepstop.course import Course
from stepstop.edition import Edition
from stepstop.offline import HOME, Offline
from stepstop.pages.address import (
    BRIEF,
    CALL,
    CALL_DATA,
    CALL_SCRIPT,
    CODE,
    CODE_SCRIPT,
    CONTROL,
    COUNTER,
    EMBED,
    ORIGINS,
    REHEARSED,
    START,
    TRAIL,
    WAITING_SCRIPT,
    file_of,
    technician_file,
)
from stepstop.pages.aside import LOST, lost_view, moved_views
from stepstop.pages.atlas import Atlas, Spoken, atlas_of, atlases_of
from stepstop.pages.call import call_data, call_view, calls_beside
from stepstop.pages.company import Fill
from stepstop.pages.control import control_view
from stepstop.pages.counter import counter_view, has_counter
from stepstop.pages.embedding import Shown, embedding
from stepstop.pages.front import Stub, code_view, equipment_views, start_view, stubs
from stepstop.pages.likely import has_technician_copy
from stepstop.pages.likely_data import likely_data
from stepstop.pages.origins import origins_view
from stepstop.pages.outcome import outcome_view
from stepstop.pages.pocket import pocket_views
from stepstop.pages.rehearsed import rehearsed_view
from stepstop.pages.rendering import Renderer
from stepstop.pages.slots import Filler, form_of, kept_in, slot
from stepstop.pages.step import step_view
from stepstop.pages.technician import technician_view
from stepstop.pages.trail_data import trail_data
from stepstop.pages.views import Frame
from stepstop.pages.waiting import waiting_views

BRIEF_PARTS = ("loading", "ways", "telling", "ranking", "account", "visit")
"""The scripts that make a brief of a trail, in their order."""
CODE_PARTS = ("loading", "ways", "telling", "code")
"""Those that make an account of a code."""
CALL_PARTS = (
    "loading",
    "ways",
    "telling",
    "ranking",
    "account",
    "putting",
    "matching",
    "tapping",
    "counting",
    "answering",
    "noting",
    "call",
)
"""Those of an agent's page."""

WAITING_PARTS = ("loading", "ways", "reckoning", "putting", "waiting")
"""Those of a page about waiting."""

__all__ = ["Stub", "build_site", "page_files", "site_files", "stubs", "whole_site"]


def build_site(
    course: Course, edition: Edition, *, overrides: tuple[Path, ...] = (), home: str = ""
) -> dict[str, bytes]:
    """Page below the site's root -> its content, sorted by name, for a proven course.

    `overrides` are folders whose `stepstop/` templates, style sheet and drawings come first.
    `home` is the path of the site's root on its host (`/guide/`), where that is known: only the
    page for missing addresses needs it, which a host shows at any depth.
    """
    return Forms([(course, edition)], overrides=overrides, home=home).pages([edition])


def whole_site(
    course: Course,
    edition: Edition,
    *,
    overrides: tuple[Path, ...] = (),
    home: str = "",
    others: Sequence[Spoken] = (),
) -> dict[str, bytes]:
    """The same with what lets the pages work offline, and in other languages."""
    return dict(sorted(site_files(course, edition, overrides=overrides, home=home, others=others)))


def site_files(
    course: Course,
    edition: Edition,
    *,
    overrides: tuple[Path, ...] = (),
    home: str = "",
    others: Sequence[Spoken] = (),
) -> Iterator[tuple[str, bytes]]:
    """(file, content) of the whole site, one after another: none is kept, however many there are.

    `others` is the course in the other languages of the site, each with its edition; what works
    offline is another thing in each. What is kept is each line once, since what works offline is
    made of all pages, and comes last.
    """
    with no_collecting():
        spoken = [(course, edition), *others]
        editions = [each for _, each in spoken]
        parts = _all_made(spoken, overrides)
        fillers = _fillers(parts, editions)
        for made in parts:
            own = made.atlas.edition
            fill = fillers[own.tongue.code]
            for name, content in made.files(editions, fill, home):
                yield f"{own.folder}{name}", content


def page_files(course: Course, edition: Edition) -> Iterator[tuple[str, bytes]]:
    """(file, content) of the pages that walks are made of, and of nothing beside them."""
    with no_collecting():
        renderer, atlas = Renderer((), edition.tongue), atlas_of(course, edition)
        for name, template, view in _walked(atlas):
            yield name, renderer.render(template, view)


class _Made:
    """The pages of a course as they are rendered, with slots where they are a company's."""

    def __init__(
        self, atlas: Atlas, overrides: tuple[Path, ...], first: _Made | None = None
    ) -> None:
        """`first` are those in the company's language, where it is another one."""
        self._renderer = Renderer(overrides, atlas.edition.tongue)
        self._first = first or self
        self.accounts: dict[str, bytes] = {}
        """Data of accounts in the company's language, for phones that keep pages in another."""
        if first is not None:
            self._renderer.knows(first.words)
        self.atlas = atlas
        not_kept = self._renderer.render("lost.html", lost_view(atlas, HOME))
        self.offline = Offline(not_kept, atlas, overrides)

    def files(
        self, editions: Sequence[Edition], fill: Filler, home: str
    ) -> Iterator[tuple[str, bytes]]:
        """Everything below the folder of the language; `home` is the path of the site's root."""
        edition = self.edition(editions)
        for name, content in self.rendered(home):
            yield name, form_of(content).filled(fill) if edition.is_branded else content
        yield from self.beside(edition)
        yield from self.offline.files(edition, fill).items()

    def edition(self, editions: Sequence[Edition]) -> Edition:
        """The one of a site's editions that is in this language."""
        return next(each for each in editions if each.tongue == self.atlas.edition.tongue)

    def rendered(self, home: str) -> Iterator[tuple[str, bytes]]:
        """Each page and each script; what works offline is made of all of them."""
        for name, content in self._rendered(home and join(home, self.atlas.edition.folder)):
            self.offline.add(name, content)
            yield name, content
        for name, content in calls_beside(self.atlas):
            self.offline.add_beside(name, content)
        for name, content in self._first.accounts.items() if self._first is not self else ():
            self.offline.add_theirs(f"../{name}", self._theirs(content))

    def _rendered(self, home: str) -> Iterator[tuple[str, bytes]]:
        render, script = self._renderer.render, self._renderer.script
        for name, template, view in _pages(self.atlas, home):
            yield name, render(template, view)
        for name, template, view in _technicians(self._first.atlas):
            page = self._first.render(template, replace(view, frame=self._framed(view.frame)))
            yield name, page if self._first is self else self._theirs(page)
        yield BRIEF, script(*BRIEF_PARTS)
        yield CODE_SCRIPT, script(*CODE_PARTS)
        if self.atlas.course.library.catalogue.waiting:
            yield WAITING_SCRIPT, script(*WAITING_PARTS)
        yield CALL_SCRIPT, script(*CALL_PARTS)
        yield EMBED, script("embed")
        yield CALL_DATA, call_data(self.atlas)
        for name, content in chain([(TRAIL, trail_data(self.atlas))], likely_data(self.atlas)):
            if self._first is self and self.atlas.others:
                self.accounts[name] = content
            yield name, content

    @property
    def words(self) -> str:
        """The words of an account in this language, for pages in another one."""
        return self._renderer.words("their-words")

    def render(self, template: str, view: Any) -> bytes:
        """A page in the words of this language."""
        return self._renderer.render(template, view)

    def _framed(self, frame: Frame) -> Frame:
        """The frame of a page in the company's language, whatever language is around it."""
        edition = self.atlas.edition
        theirs = "" if edition.is_first else "../"
        return replace(frame, hash=edition.hash, others=(), theirs=theirs)

    def _theirs(self, page: bytes) -> bytes:
        """A file in the company's language: what fills it is, too, but for the edition's hash."""
        return kept_in(self._first.atlas.edition.tongue.code, page, but=("hash",))

    def beside(self, edition: Edition) -> Iterator[tuple[str, bytes]]:
        """What a company's site has for the company's own, at its root."""
        if edition.brand is not None and edition.is_first:
            together = self.atlas.together.values()
            yield from embedding(edition.brand.company, [Shown.of(each) for each in together])

    def fill(self, editions: Sequence[Edition], beside: Mapping[str, Filler]) -> Filler:
        """What stands in the slots in the editions of a site; `beside` has it for each language."""
        edition = self.edition(editions)
        if edition.brand is None:
            return str  # There is no slot.
        return Fill(edition.brand, self.atlas.course.library, edition, self._renderer, beside)


def _fillers(parts: Sequence[_Made], editions: Sequence[Edition]) -> Mapping[str, Filler]:
    """Code of each language of a site -> what fills its pages; each knows the others."""
    fillers: dict[str, Filler] = {}
    for made in parts:
        fillers[made.atlas.edition.tongue.code] = made.fill(editions, fillers)
    return fillers


def _all_made(spoken: Sequence[Spoken], overrides: tuple[Path, ...]) -> tuple[_Made, ...]:
    """The pages of a course in each language, those of the company's own language first."""
    # Slots are left in pages for whatever is a company's, of which the hash is made, too.
    forms = [(c, replace(e, hash=slot("hash")) if e.is_branded else e) for c, e in spoken]
    first, *further = atlases_of(forms)
    root = _Made(first, overrides)
    return root, *(_Made(atlas, overrides, root) for atlas in further)


class Forms:
    """The pages of a course for a place, rendered once: for nobody, or for any company there."""

    def __init__(
        self, spoken: Sequence[Spoken], *, overrides: tuple[Path, ...] = (), home: str = ""
    ) -> None:
        """`spoken` is the course in each language of the site, with its edition."""
        with no_collecting():
            self._spoken = tuple(spoken)
            self._made = _all_made(spoken, overrides)
            self._files = tuple(
                {name: form_of(content) for name, content in made.rendered(home)}
                for made in self._made
            )

    def fit(self, spoken: Sequence[Spoken]) -> bool:
        """Whether the pages of a course in these editions can be made of these forms."""
        return len(spoken) == len(self._spoken) and all(
            course is own
            and replace(edition, hash=mine.hash, brand=mine.brand) == mine
            and edition.is_branded == mine.is_branded
            for (course, edition), (own, mine) in zip(spoken, self._spoken, strict=True)
        )

    def pages(self, editions: Sequence[Edition]) -> dict[str, bytes]:
        """Page below the site's root -> its content, sorted by name, for editions of these.

        They have the courses, the place and the date that these forms were made with.
        """
        return dict(sorted(self._filled(editions, with_offline=False)))

    def site(self, editions: Sequence[Edition]) -> dict[str, bytes]:
        """The same with what lets the pages work offline."""
        return dict(sorted(self._filled(editions, with_offline=True)))

    def _filled(
        self, editions: Sequence[Edition], *, with_offline: bool
    ) -> Iterator[tuple[str, bytes]]:
        fillers = _fillers(self._made, editions)
        for made, forms in zip(self._made, self._files, strict=True):
            edition = made.edition(editions)
            fill, folder = fillers[edition.tongue.code], edition.folder
            yield from ((f"{folder}{name}", form.filled(fill)) for name, form in forms.items())
            yield from made.beside(edition)
            if with_offline:
                offline = made.offline.files(edition, fill)
                yield from ((f"{folder}{name}", content) for name, content in offline.items())


def _pages(atlas: Atlas, home: str) -> Iterator[tuple[str, str, Any]]:
    """(file, template, view) of every page but those for technicians."""
    yield START, "start.html", start_view(atlas)
    yield LOST, "lost.html", lost_view(atlas, home)
    yield ORIGINS, "sources.html", origins_view(atlas)
    yield CODE, "code.html", code_view(atlas)
    for name, unit in equipment_views(atlas):
        yield name, "equipment.html", unit
    yield CALL, "call.html", call_view(atlas)
    if has_counter(atlas):
        yield COUNTER, "counter.html", counter_view(atlas)
    for name, wait in waiting_views(atlas):
        yield name, "waiting.html", wait
    for name, view in moved_views(atlas):
        yield name, "moved.html", view
    for name, pocket in pocket_views(atlas):
        yield name, "pocket.html", pocket
    yield from _walked(atlas)


def _technicians(atlas: Atlas) -> Iterator[tuple[str, str, Any]]:
    """(file, template, view) of every page that technicians read: in the company's language."""
    yield CONTROL, "control.html", control_view(atlas)
    if atlas.edition.tells_rehearsal:
        yield REHEARSED, "rehearsed.html", rehearsed_view(atlas)
    for page in atlas.pages.values():
        if page.outcome is not None and has_technician_copy(page.outcome):
            yield technician_file(page.id), "technician.html", technician_view(page, atlas)


def _walked(atlas: Atlas) -> Iterator[tuple[str, str, Any]]:
    """(file, template, view) of every page of the course."""
    for page in atlas.pages.values():
        if page.step is not None:
            yield file_of(page.id), "step.html", step_view(page, atlas)
        elif page.outcome is not None:
            template = "danger.html" if page.outcome.kind == "danger" else "outcome.html"
            yield file_of(page.id), template, outcome_view(page, atlas)
