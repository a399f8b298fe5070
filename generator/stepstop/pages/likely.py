"""Likely causes at an outcome: those that rehearsed answers point to, else those its tree names."""

from __future__ import annotations

from stepstop.course import Page
from stepstop.edition import STOCK, STOP_AND_CALL
from stepstop.language.tongue import phrase
from stepstop.model import Outcome
from stepstop.pages import views
from stepstop.pages.atlas import Atlas
from stepstop.rehearsed import Pointed

WORDS = {
    "very likely": phrase("very likely"),
    "likely": phrase("likely"),
    "possible": phrase("possible"),
}
"""A chance as `belief` says it -> as pages do."""
FREQUENCIES = {
    "very-common": phrase("very common"),
    "common": phrase("common"),
    "occasional": phrase("occasional"),
    "rare": phrase("rare"),
}
"""How often a cause is met at all, as judged -> in words."""


def has_technician_copy(outcome: Outcome) -> bool:
    """Whether somebody will come who needs an account of what was found."""
    return outcome.kind in ("call", "watch")


def pointed(page: Page, atlas: Atlas) -> tuple[Pointed, ...]:
    """The causes that rehearsed answers point to where somebody comes, the likeliest first.

    None for "stop and call": every page leads there, so that no answers do.
    """
    assert page.outcome is not None
    found, name = atlas.edition.rehearsed, f"{page.tree}/{page.outcome.id}"
    if found is None or not has_technician_copy(page.outcome) or name == f"{STOCK}/{STOP_AND_CALL}":
        return ()
    return found.likely.get(name, ())


def likely_views(page: Page, atlas: Atlas) -> tuple[views.LikelyView, ...]:
    """The causes in a homeowner's words."""
    assert page.outcome is not None
    known = atlas.course.library.catalogue.causes
    words = {each.cause: atlas.worded(WORDS[each.word]) for each in pointed(page, atlas)}
    words = words or dict.fromkeys(page.outcome.causes, "")
    return tuple(
        views.LikelyView(word, atlas.said(known[name].plain)) for name, word in words.items()
    )
