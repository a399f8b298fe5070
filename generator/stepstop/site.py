"""The question pages as files: the same course and edition always give the same bytes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from stepstop.course import Course
from stepstop.edition import Edition
from stepstop.offline import HOME, offline_files
from stepstop.pages.address import (
    BRIEF,
    CODE,
    CODE_SCRIPT,
    COUNTER,
    ORIGINS,
    REHEARSED,
    START,
    TRAIL,
    file_of,
    technician_file,
)
from stepstop.pages.aside import LOST, lost_view, moved_views
from stepstop.pages.atlas import Atlas, atlas_of
from stepstop.pages.company import Fill
from stepstop.pages.counter import counter_view, has_counter
from stepstop.pages.front import Stub, code_view, start_view, stubs
from stepstop.pages.likely import has_technician_copy
from stepstop.pages.likely_data import likely_data
from stepstop.pages.origins import origins_view
from stepstop.pages.outcome import outcome_view
from stepstop.pages.pocket import pocket_views
from stepstop.pages.rehearsed import rehearsed_view
from stepstop.pages.rendering import Renderer
from stepstop.pages.slots import form_of, slot
from stepstop.pages.step import step_view
from stepstop.pages.technician import technician_view
from stepstop.pages.trail_data import trail_data

BRIEF_PARTS = ("loading", "ways", "telling", "ranking", "visit")
"""The scripts that make a brief of a trail, in their order."""
CODE_PARTS = ("loading", "ways", "telling", "code")
"""Those that make an account of a code."""

__all__ = ["Stub", "build_site", "stubs", "whole_site"]


def build_site(
    course: Course, edition: Edition, *, overrides: tuple[Path, ...] = (), home: str = ""
) -> dict[str, bytes]:
    """Page below the site's root -> its content, sorted by name, for a proven course.

    `overrides` are folders whose `stepstop/` templates, style sheet and drawings come first.
    `home` is the path of the site's root on its host (`/guide/`), where that is known: only the
    page for missing addresses needs it, which a host shows at any depth.
    """
    return _Site(course, edition, overrides).files(home)


def whole_site(
    course: Course, edition: Edition, *, overrides: tuple[Path, ...] = (), home: str = ""
) -> dict[str, bytes]:
    """The same with what lets the pages work offline."""
    site = _Site(course, edition, overrides)
    pages = site.files(home)
    offline = offline_files(pages, site.not_kept(), site.atlas, overrides)
    return dict(sorted({**pages, **offline}.items()))


class _Site:
    """The pages of an edition; those of a company are forms first, and then filled in."""

    def __init__(self, course: Course, edition: Edition, overrides: tuple[Path, ...]) -> None:
        self.renderer = Renderer(overrides)
        self.atlas = atlas_of(course, edition)
        self._forms, self._fill = self.atlas, None
        if edition.brand is not None:
            self._forms = replace(self.atlas, edition=replace(edition, hash=slot("hash")))
            self._fill = Fill(edition.brand, course.library, edition, self.renderer)

    def files(self, home: str) -> dict[str, bytes]:
        """Page below the site's root -> its content, sorted by name."""
        renderer = self.renderer
        files = {
            name: renderer.render(template, view)
            for name, template, view in _pages(self._forms, home)
        }
        files |= {BRIEF: renderer.script(*BRIEF_PARTS), CODE_SCRIPT: renderer.script(*CODE_PARTS)}
        files |= {TRAIL: trail_data(self._forms)}
        files |= dict(likely_data(self._forms))
        return {name: self._filled(content) for name, content in sorted(files.items())}

    def not_kept(self) -> bytes:
        """What is shown for a page that a phone doesn't keep."""
        return self._filled(self.renderer.render("lost.html", lost_view(self._forms, HOME)))

    def _filled(self, content: bytes) -> bytes:
        return content if self._fill is None else form_of(content).filled(self._fill)


def _pages(atlas: Atlas, home: str) -> Iterator[tuple[str, str, Any]]:
    """(file, template, view) of every page."""
    yield START, "start.html", start_view(atlas)
    yield LOST, "lost.html", lost_view(atlas, home)
    yield ORIGINS, "sources.html", origins_view(atlas)
    yield CODE, "code.html", code_view(atlas)
    if has_counter(atlas):
        yield COUNTER, "counter.html", counter_view(atlas)
    if atlas.edition.tells_rehearsal:
        yield REHEARSED, "rehearsed.html", rehearsed_view(atlas)
    for name, view in moved_views(atlas):
        yield name, "moved.html", view
    for name, pocket in pocket_views(atlas):
        yield name, "pocket.html", pocket
    for page in atlas.pages.values():
        if page.step is not None:
            yield file_of(page.id), "step.html", step_view(page, atlas)
        elif page.outcome is not None:
            template = "danger.html" if page.outcome.kind == "danger" else "outcome.html"
            yield file_of(page.id), template, outcome_view(page, atlas)
            if has_technician_copy(page.outcome):
                copy = technician_view(page, atlas)
                yield technician_file(page.id), "technician.html", copy
