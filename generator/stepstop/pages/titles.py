"""The title of every page, each another, so that history and tabs can be told apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from stepstop.course import FULL, Page
from stepstop.model import Library, Place
from stepstop.pages.words import fill, plain


def titles(pages: Iterable[Page], library: Library, place: Place) -> dict[str, str]:
    """Page id -> its title: the headline, then the complaint and what this walk is narrowed to."""
    found: dict[str, str] = {}
    seen: Counter[str] = Counter()
    for page in sorted(pages, key=lambda page: page.id):
        title = " · ".join([plain(fill(headline(page), place)), *_context(page, library)])
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


def _context(page: Page, library: Library) -> list[str]:
    tree = library.trees[page.tree]
    words = [] if tree.role == "shared" else [tree.title]
    if tree.equipment:
        words.append(tree.equipment)
    if page.mode.boundary != FULL:
        words.append(page.mode.boundary)
    return [*words, "call first"] if page.mode.hurry else words
