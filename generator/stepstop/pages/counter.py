"""The page on which people tap along with a blinking light, and how the questions reach it."""

from __future__ import annotations

from stepstop.course import Page
from stepstop.language.tongue import phrase
from stepstop.pages import views
from stepstop.pages.address import COUNTER, file_of, link
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame

TITLE = phrase("Count the blinks: tap along")


def has_counter(atlas: Atlas) -> bool:
    """Whether some question can be answered by tapping along."""
    return any(_is_tapped(page, atlas) for page in atlas.pages.values())


def counter_view(atlas: Atlas) -> views.CounterView:
    """The view of the page."""
    title = atlas.worded(TITLE)
    return views.CounterView(frame(COUNTER, title, atlas, trees=atlas.course.library.written()))


def counter_link(page: Page, atlas: Atlas) -> str:
    """The link from a question to the counter; empty where tapping does not answer it."""
    return link(file_of(page.id), COUNTER) if _is_tapped(page, atlas) else ""


def _is_tapped(page: Page, atlas: Atlas) -> bool:
    findings = atlas.course.library.catalogue.findings
    return bool(page.finding) and findings[page.finding].taps
