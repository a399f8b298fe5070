"""What changed for agents since an earlier edition: a page for the shift.

The earlier edition is a folder that an export or a build wrote: what its agent's page says stands
in `calls.js`, and which page says it in `trail.js`.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

from stepstop.course import Course
from stepstop.edition import Edition
from stepstop.language.tongue import ENGLISH, Worded, phrase
from stepstop.pages import views
from stepstop.pages.address import CALL_DATA, START, TRAIL
from stepstop.pages.atlas import atlas_of
from stepstop.pages.call import call_data
from stepstop.pages.company import filled
from stepstop.pages.frame import frame
from stepstop.pages.rendering import Renderer
from stepstop.pages.trail_data import data_in, trail_data

TITLE = phrase("What changed for calls")
_NAMES = {
    "title": phrase("Headline"),
    "say": phrase("Say"),
    "do": phrase("Do"),
    "before": phrase("Only if"),
    "stop": phrase("Stop at once if"),
    "never": phrase("Never"),
    "hear": phrase("You may hear"),
    "signs": phrase("Signs"),
    "answers": phrase("Answers"),
    "outside": phrase("From outside only"),
    "soon": phrase("How soon"),
    "left": phrase("How it is left"),
    "who": phrase("Who comes"),
    "minutes": phrase("Minutes"),
    "kind": phrase("Kind of step or ending"),
}
"""Part of what is said -> its name; what agents don't say is not compared."""

_OF_CALLS = {
    "first": phrase("First words"),
    "there": phrase("At the house?"),
    "repeat": phrase("Said back"),
    "minutes": phrase("Minutes to call back"),
    "nobody": phrase("Nobody answers"),
}
"""The same of what belongs to all calls."""


class NoEdition(Exception):
    """A folder that is no earlier edition; the message says why."""


_EDITION = re.compile(r"([^.:>]*, [^,<]*, [0-9a-f]{8})\.</p>")
"""The place, the date and the hash, at the end of a page in any language."""
_LANGUAGE = re.compile(r'<html lang="([^"]+)"')


@dataclass(frozen=True, slots=True)
class Told:
    """What agents were told by an edition."""

    edition: str
    """Its date and hash, or empty."""
    pages: Mapping[str, Mapping[str, Any]]
    """Page id -> what is said on it."""
    complaints: Mapping[str, tuple[str, tuple[str, ...]]]
    """Tree -> (title, what callers say)."""
    calls: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Change:
    """A step or ending that is new, gone, or said otherwise."""

    tree: str
    title: str
    what: str
    """`new`, `gone` or `changed`."""
    parts: tuple[tuple[str, str, str], ...] = ()
    """(part, before, now)."""


@dataclass(frozen=True, slots=True)
class ChangesView:
    """The page."""

    frame: views.Frame
    before: str
    general: tuple[tuple[str, str, str], ...]
    """(part, before, now) of what belongs to all calls."""
    groups: tuple[tuple[str, tuple[Change, ...]], ...]
    """(complaint, its changes)."""
    count: int


def read_told(folder: Path, code: str) -> Told:
    """What the edition in a folder tells agents in a language; raises `NoEdition`.

    In an edition of several languages, others than the first have a folder of their own.
    """
    if (folder / code / CALL_DATA).is_file():
        folder = folder / code
    try:
        texts = {name: (folder / name).read_text("utf-8") for name in (CALL_DATA, TRAIL)}
        start = (folder / START).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = getattr(error, "strerror", None) or "it can't be read"
        raise NoEdition(f"{folder} has no edition with a page for agents: {why}") from error
    found = _LANGUAGE.search(start)
    if found is None or found[1] != code:
        other = f"is in the language {found[1]}" if found else "says no language"
        raise NoEdition(f"{folder} {other}, so what it says can't be compared with `{code}`")
    return _told(texts[CALL_DATA], texts[TRAIL], _mark(start))


def _mark(start: str) -> str:
    """The edition as its start page names it."""
    found = _EDITION.search(start)
    return html.unescape(found[1].strip()) if found else ""


def _told(calls: str, trail: str, edition: str) -> Told:
    try:
        said, ways = map(data_in, (calls, trail))
        shapes = [ways["shapes"][page[0]] for page in ways["pages"]]
        ids = [f"{ways['trees'][shape[0]][0]}/{shape[1]}" for shape in shapes]
        pages = {page: said["bodies"][row[0]] for page, row in zip(ids, said["pages"], strict=True)}
        complaints = {tree: (title, tuple(words)) for tree, title, words in said["complaints"]}
        return Told(edition, pages, complaints, said["calls"])
    except (ValueError, LookupError, TypeError) as error:
        raise NoEdition(f"{CALL_DATA} and {TRAIL} don't fit each other: export it anew") from error


def changes_page(
    course: Course, edition: Edition, before: Told, *, overrides: tuple[Path, ...] = ()
) -> tuple[bytes, int]:
    """(the page, how many changes it tells) from an earlier edition to this one."""
    atlas = atlas_of(course, edition)
    renderer = Renderer(overrides, edition.tongue)
    calls = filled(call_data(atlas), edition, course.library, renderer)
    now = _told(calls.decode(), trail_data(atlas).decode(), f"{edition.dated}, {edition.hash}")
    titles = {str(tree.id): str(tree.title) for tree in course.library.trees.values()}
    found = changes(before, now, atlas.worded)
    groups = tuple(
        (titles.get(tree) or before.complaints.get(tree, (tree, ()))[0], tuple(each))
        for tree, each in groupby(found, key=lambda change: change.tree)
    )
    general = tuple(_general(before, now, atlas.worded))
    view = ChangesView(
        frame(START, atlas.worded(TITLE), atlas, trees=course.library.written()),
        before.edition,
        general,
        groups,
        len(found) + len(general),
    )
    page = renderer.render("changes.html", view)
    return filled(page, edition, course.library, renderer), view.count


def changes(before: Told, now: Told, worded: Worded = ENGLISH.worded) -> list[Change]:
    """Steps and endings that are new, gone or said otherwise, by tree; copies of a step are one."""
    found: dict[Change, None] = {}
    for page in sorted(before.pages.keys() | now.pages.keys()):
        tree = page.split("/")[0]
        old, new = before.pages.get(page), now.pages.get(page)
        if old is None and new is not None:
            found[Change(tree, new["title"], "new")] = None
        elif new is None and old is not None:
            found[Change(tree, old["title"], "gone")] = None
        elif old is not None and new is not None and old != new:
            parts = tuple(_parts(old, new, worded))
            if parts:
                found[Change(tree, new["title"], "changed", parts)] = None
    return sorted(found, key=lambda change: (change.tree, change.what, change.title))


def _parts(
    old: Mapping[str, Any], new: Mapping[str, Any], worded: Worded
) -> Iterator[tuple[str, str, str]]:
    for key, name in _NAMES.items():
        # A note has one answer, which names the step after it: that is told there.
        is_note = key == "answers" and old.get("kind") == new.get("kind") == "note"
        if old.get(key) != new.get(key) and not is_note:
            yield worded(name), _text(old.get(key)), _text(new.get(key))


def _general(before: Told, now: Told, worded: Worded) -> Iterator[tuple[str, str, str]]:
    for key, name in _OF_CALLS.items():
        if before.calls.get(key) != now.calls.get(key):
            yield worded(name), _text(before.calls.get(key)), _text(now.calls.get(key))
    old, new = (
        {card[0]: card[1:] for card in each.calls.get("cards", ())} for each in (before, now)
    )
    for card in sorted(old.keys() | new.keys()):
        if old.get(card) != new.get(card):
            title = worded("When it does not go its way")
            yield title, _text(old.get(card)), _text(new.get(card))
    for tree in sorted(before.complaints.keys() | now.complaints.keys()):
        one, other = before.complaints.get(tree), now.complaints.get(tree)
        if one != other:
            yield worded("Complaint and callers' words"), _text(one), _text(other)


def _text(value: Any) -> str:
    """What is said, in one line: texts are joined, kinds of answers left out."""
    if value is None:
        return ""
    if isinstance(value, (str, int)) and not isinstance(value, bool):
        return str(value)
    return " · ".join(filter(None, (_text(each) for each in _lines(value))))


def _lines(value: Iterable[Any]) -> Iterator[Any]:
    for each in value:
        # An answer is a text with its kind.
        if isinstance(each, list) and len(each) == 2 and isinstance(each[1], int):
            yield each[0]
        else:
            yield each
