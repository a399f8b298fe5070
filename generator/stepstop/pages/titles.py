"""The title of every page, each another, so that history and tabs can be told apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from stepstop.course import FULL, Page
from stepstop.language.tongue import ENGLISH, Worded, phrase
from stepstop.model import Library, Place
from stepstop.pages.words import fill, plain

_BOUNDARIES = {"look": phrase("look"), "chair": phrase("chair")}
"""Boundary -> how a title names it; any other goes by its id."""


def titles(
    pages: Iterable[Page], library: Library, place: Place, worded: Worded = ENGLISH.worded
) -> dict[str, str]:
    """Page id -> its title: the headline, then the complaint and what this walk is narrowed to."""
    found: dict[str, str] = {}
    seen: Counter[str] = Counter()
    for page in sorted(pages, key=lambda page: page.id):
        title = " · ".join([plain(fill(headline(page), place)), *_context(page, library, worded)])
        seen[title] += 1
        found[page.id] = title if seen[title] == 1 else f"{title} · {seen[title]}"
    return found


def headline(page: Page) -> str:
    """What the page asks, offers or tells, slots not yet filled."""
    if page.check:
        return page.check.name
    if page.step:
        return page.step.ask
    assert page.outcome is not None
    return page.outcome.title


def _context(page: Page, library: Library, worded: Worded) -> list[str]:
    tree = library.trees[page.tree]
    words = [] if tree.role == "shared" else [tree.title]
    if tree.equipment:
        words.append(tree.equipment)
    if page.mode.boundary != FULL:
        known = _BOUNDARIES.get(page.mode.boundary)
        words.append(worded(known) if known else page.mode.boundary)
    return [*words, worded("call first")] if page.mode.hurry else words
