"""The page of a call agent, and the file with all that it says: every page of the course as speech.

One page serves all complaints, so that whatever the caller says stays in it: nothing is kept, and
nothing stands in an address. It loads the course (`trail.js`), this file, and at the end the table
of likely causes of the complaint, as ends of walks do.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from stepstop import model
from stepstop.course import Page
from stepstop.edition import Edition
from stepstop.language.tongue import Tongue, phrase
from stepstop.pages import views
from stepstop.pages.address import CALL, CALL_DATA, link
from stepstop.pages.atlas import Atlas, stop_and_call
from stepstop.pages.frame import frame
from stepstop.pages.slots import kept_in, opened
from stepstop.pages.spoken import Spoken
from stepstop.pages.step import answer_text, choices
from stepstop.pages.trail_data import numbered, script_with
from stepstop.trail import URGENCY_WORDS

TITLE = phrase("A call: what to say, what you may hear, what to do")
_ALOUD = {
    "first-yes": phrase("Yes, or not sure"),
    "first-no": phrase("No to all of it"),
    "facts-say": phrase("What number can I call you back on? And the address?"),
    "there-yes": phrase("Yes, at the house"),
    "there-no": phrase("No, somewhere else"),
    "find-say": phrase(
        "Tell me in your own words what is wrong. Or do you have a code from the pages?"
    ),
    "before": phrase("Only if all of this is true"),
    "stop-if": phrase("Stop at once if"),
    "each-done": phrase("Tell me when that is done."),
    "never": phrase("Never"),
    "soon": phrase("How soon:"),
    "who-comes": phrase("Who comes:"),
    "DANGER": phrase("DANGER"),
    "WARNING": phrase("WARNING"),
    "CAUTION": phrase("CAUTION"),
    "NOTICE": phrase("NOTICE"),
}
"""Phrases that are said to a caller, or that callers say: the page has them in each language."""


def call_view(atlas: Atlas) -> views.CallView:
    """The view of the page."""
    title = atlas.worded(TITLE)
    around = frame(CALL, title, atlas, trees=atlas.course.library.written())
    return views.CallView(around, tuple(_tongues(atlas.edition)))


def _tongues(edition: Edition) -> Iterator[views.CallTongue]:
    """The other languages of the site."""
    for tongue in edition.others:
        folder = _file_in(tongue, edition).removesuffix(CALL_DATA)
        yield views.CallTongue(folder, tongue.code, tongue.name, tongue.direction)


def _file_in(tongue: Tongue, edition: Edition) -> str:
    """The file with what is said in another language, from the folder of this one."""
    return link(f"{edition.folder}{CALL}", f"{edition.folder_of(tongue)}{CALL_DATA}")


def calls_beside(atlas: Atlas) -> Iterator[tuple[str, bytes]]:
    """(file, content) of what the page may load in the other languages, from its own folder."""
    for other in atlas.others:
        tongue = other.edition.tongue
        yield _file_in(tongue, atlas.edition), kept_in(tongue.code, call_data(other))


def call_data(atlas: Atlas) -> bytes:
    """The file: `bodies`, what is said on pages; `pages`, by the numbers of the trails' data.

    `version` is that of the course's shape: files of two languages that have the same one number
    their pages alike, but not their bodies.

    A page is [body, next pages less this one's number (null: the start), words that answers add to
    a trail (null: it ends there), acts done]; an outcome's is [body].
    """
    return opened(script_with("calls", _Data(atlas).whole()))


class _Data:
    def __init__(self, atlas: Atlas) -> None:
        self.atlas = atlas
        self.spoken = Spoken(atlas)
        self.number = numbered(atlas.ways.by_page)
        self.bodies: dict[str, int] = {}
        self.known: dict[Any, int] = {}
        """What decides what is said on a page -> the number of its body."""
        self.words: dict[str, int] = {}

    def whole(self) -> dict[str, Any]:
        """All that the page takes from the trees."""
        atlas = self.atlas
        pages = [self._page(atlas.pages[page]) for page in self.number]
        stops = [self._body(atlas.pages[stop_and_call(hurry=each)]) for each in (False, True)]
        return {
            "version": atlas.ways.version,
            "danger": self.number[atlas.danger],
            "complaints": list(map(self._complaint, atlas.course.library.complaints())),
            "calls": self.spoken.calls(),
            "aloud": {name: atlas.worded(said) for name, said in _ALOUD.items()},
            "words": list(self.words),
            "raised": URGENCY_WORDS[True],
            "stops": stops,
            "bodies": [json.loads(each) for each in self.bodies],
            "pages": pages,
        }

    def _complaint(self, tree: model.Tree) -> list[Any]:
        """[tree, its title, what callers say who have it]."""
        return [tree.id, self.spoken.text(tree.title), self.spoken.texts(tree.words)]

    def _page(self, page: Page) -> list[Any]:
        body = self._body(page)
        if page.step is None:
            return [body]
        ways, here = self.atlas.ways, self.number[page.id]
        moves = choices(page)
        to = [self.number[m.to] - here if m.to in self.number else None for m in moves]
        words = [self._word(ways.word_of(page, m.answer, m.to)) for m in moves]
        return [body, to, words, ways.once_on(page)]

    def _word(self, word: str | None) -> int | None:
        return None if word is None else self.words.setdefault(word, len(self.words))

    def _body(self, page: Page) -> int:
        """The number of what is said on a page; pages that say the same have one."""
        answers = tuple((id(m.answer), answer_text(m, self.atlas)) for m in choices(page))
        written = id(page.step or page.outcome), id(page.check)
        key = written, page.finding, page.urgency, answers
        if key not in self.known:
            said = {k: v for k, v in self.spoken.body(page).items() if v not in ("", [], 0, False)}
            self.known[key] = self.bodies.setdefault(json.dumps(said), len(self.bodies))
        return self.known[key]
