"""The question pages of a course, proven or not, as the oracle reads them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from stepstop.course import Course
from stepstop.edition import edition_for
from stepstop.pages.address import file_of
from stepstop.pages.atlas import atlas_of
from stepstop.pages.outcome import outcome_view
from stepstop.pages.rendering import Renderer
from stepstop.pages.step import step_view


@cache
def _renderer() -> Renderer:
    return Renderer(())


def pages(course: Course, trees: Path) -> Mapping[str, bytes]:
    """Address -> page, of every step and ending."""
    atlas = atlas_of(course, edition_for(course, trees, place="us", today="2026-11-25"))
    render = _renderer().render
    found = {}
    for page in atlas.pages.values():
        if page.step is not None:
            found[file_of(page.id)] = render("step.html", step_view(page, atlas))
        elif page.outcome is not None:
            template = "danger.html" if page.outcome.kind == "danger" else "outcome.html"
            found[file_of(page.id)] = render(template, outcome_view(page, atlas))
    return found


def starts(course: Course) -> list[str]:
    """Addresses of the first pages."""
    return [file_of(root) for root in course.roots]
