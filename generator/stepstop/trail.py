"""The trail: the answers of one walk, as a link carries them and as a person can say them.

A link carries a trail in its fragment, which no browser sends anywhere:

    #on=VERSION.BEGUN.LAST.DONE.WORDS

VERSION is the hash of the course's shape, never of its wording. BEGUN is when the walk began, in
minutes since 1970 (UTC), LAST how many minutes later the page before was opened; DONE is which acts
that may happen once have happened, as a sum of powers of two. These three are written to base 36.
WORDS are words of five characters: one for the tree where the walk began, then one an answer.

A word is a hash of what it means (a finding with the answer's values), so that a new edition reads
old links as facts even where it can't follow them. What is known of somebody's health is in no
word: pages that ask for it are passed as one, with a word for the urgency that follows.

Aloud a trail is a number: the tree, the acts, the place of the trail among all that begin there,
the shortest first, and two check digits as ISO/IEC 7064 MOD 97-10 computes them, over the version
too. Every single wrong digit and every swap of two neighbours is caught; so are 96 of 97 codes of
another version.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from stepstop import graph
from stepstop.course import Course, Page
from stepstop.model import NOT_DONE, Answer

WORD = 5
"""Characters of a word, of 6 bits each."""
DIGITS = 36
"""Base of the numbers in a link."""
MOST_WORDS = 200
"""Longer than any walk; a longer link is no trail."""

_LINK = re.compile(
    r"#?on=([\w-]{5})\.([0-9a-z]{1,8})\.([0-9a-z]{1,6})\.([0-9a-z]{1,6})\.((?:[\w-]{5})*)(?:~.*)?",
    re.ASCII,
)


class BadTrail(ValueError):
    """What was given is no trail of this course; the message says why, for its user."""


@dataclass(frozen=True, slots=True)
class Trail:
    """The answers of one walk."""

    root: str
    """Id of the tree where it began."""
    words: tuple[str, ...] = ()
    """One an answer."""
    done: frozenset[str] = frozenset()
    """Effects that may happen once and have happened, on this walk or on one before."""
    begun: int = 0
    """Minutes since 1970 (UTC), or 0 where nobody knows."""
    last: int = 0
    """Minutes from then to the page before."""


@dataclass(frozen=True, slots=True)
class Way:
    """One answer of a page, or what several answers about health come to."""

    word: str
    page: str
    """Id of the page that asks."""
    answer: Answer | None
    """None where what was answered is not told."""
    to: str
    """Id of the page that it leads to."""


@dataclass(frozen=True, slots=True)
class Followed:
    """A trail followed through the course."""

    trail: Trail
    ways: tuple[Way, ...]
    page: str
    """Id of the page where it ends."""


@lru_cache(maxsize=4096)
def word(meaning: str) -> str:
    """The word for a meaning: 30 bits of its SHA-256 in the URL-safe alphabet of RFC 4648."""
    digest = hashlib.sha256(meaning.encode()).digest()
    return base64.urlsafe_b64encode(digest).decode()[:WORD]


def answer_word(finding: str, values: Sequence[str]) -> str:
    """The word of an answer."""
    return word(f"{finding}={'|'.join(values)}")


def tree_word(tree: str) -> str:
    """The word of the tree where a walk begins."""
    return word(f"tree {tree}")


URGENCY_WORDS = {hurry: word(f"urgency {'raised' if hurry else 'as before'}") for hurry in (0, 1)}
"""Whether a walk is hurried after what was answered about health -> its word."""


class Ways:
    """All trails of one course."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self.pages = {page.id: page for page in course.pages.values() if page.tree}
        effects = course.library.catalogue.effects.values()
        self.once = tuple(sorted(effect.id for effect in effects if effect.once))
        """Effects that may happen once, in the order of their powers of two."""
        self.roots = {self.pages[page].tree: page for page in sorted(course.roots)}
        """Tree id -> id of its first page, sorted."""
        self._words = {tree_word(tree): tree for tree in self.roots}
        self._counts: dict[str, list[int]] = {}

    # ---- what follows each page ----

    @cached_property
    def by_page(self) -> Mapping[str, tuple[Way, ...]]:
        """Page id -> its ways, sorted by word; none at an outcome."""
        return {page.id: self._ways(page) for page in self.pages.values()}

    def word_of(self, page: Page, answer: Answer, to: str) -> str | None:
        """What the link of `answer` adds to a trail; empty: nothing, None: the trail ends there.

        A trail ends at a danger, where nobody reads a brief.
        """
        target = self.pages.get(to)
        if target is None or self._is_danger(target):
            return None
        if not page.finding:
            return ""
        if not self._is_health(page):
            return answer_word(page.finding, answer.values)
        if self._is_health(target):
            return ""
        is_told = any(way.to == to for way in self._health_ways(page))
        return URGENCY_WORDS[target.mode.hurry] if is_told else None

    def _ways(self, page: Page) -> tuple[Way, ...]:
        if self._is_health(page):
            return self._health_ways(page)
        found: dict[str, Way] = {}
        for move in page.choices:
            if not page.finding:
                return self._ways(self.pages[move.to]) if move.to in self.pages else ()
            added = self.word_of(page, move.answer, move.to)
            if added:
                found.setdefault(added, Way(added, page.id, move.answer, move.to))
        return tuple(found[each] for each in sorted(found))

    def _health_ways(self, page: Page) -> tuple[Way, ...]:
        """Where the pages about health that begin with `page` lead on to, by urgency.

        None of an urgency with which they lead on to several pages: a link would tell the answers.
        """
        exits: dict[bool, set[str]] = {}
        waiting, seen = [page.id], {page.id}
        while waiting:
            for move in self.pages[waiting.pop()].choices:
                target = self.pages.get(move.to)
                if target is None or self._is_danger(target):
                    continue
                if self._is_health(target):
                    waiting += {target.id} - seen
                    seen.add(target.id)
                else:
                    exits.setdefault(target.mode.hurry, set()).add(target.id)
        ways = [
            Way(URGENCY_WORDS[hurry], page.id, None, next(iter(pages)))
            for hurry, pages in exits.items()
            if len(pages) == 1
        ]
        return tuple(sorted(ways, key=lambda way: way.word))

    def _is_health(self, page: Page) -> bool:
        findings = self.course.library.catalogue.findings
        return bool(page.finding) and findings[page.finding].health

    @staticmethod
    def _is_danger(page: Page) -> bool:
        return page.outcome is not None and page.outcome.kind == "danger"

    def once_on(self, page: Page) -> int:
        """The acts of the page's check that may happen once, as a sum of powers of two."""
        return self.number_of(frozenset(page.check.effects)) if page.check else 0

    def number_of(self, done: frozenset[str]) -> int:
        """These effects as a sum of powers of two."""
        return sum(1 << i for i, effect in enumerate(self.once) if effect in done)

    def effects_of(self, number: int) -> frozenset[str]:
        """The effects of a sum; raises `BadTrail` where there are not so many."""
        if number >= 1 << len(self.once):
            raise BadTrail(f"there are no acts numbered {number}")
        return frozenset(effect for i, effect in enumerate(self.once) if number >> i & 1)

    @cached_property
    def version(self) -> str:
        """The hash of the course's shape, as a word: the same where all trails mean the same."""
        shape = [
            [page, [[way.word, way.to] for way in self.by_page[page]]]
            for page in sorted(self.by_page)
        ]
        return word(json.dumps([self.once, list(self.roots.items()), shape]))

    # ---- following ----

    def follow(self, trail: Trail) -> Followed:
        """Where `trail` leads; raises `BadTrail` where it does not fit this course."""
        if trail.root not in self.roots:
            raise BadTrail(f"no complaint is called {trail.root!r}")
        here, ways = self.roots[trail.root], []
        for number, each in enumerate(trail.words, 1):
            way = next((w for w in self.by_page[here] if w.word == each), None)
            if way is None:
                raise BadTrail(f"answer {number} of the trail is none of `{here}`")
            ways.append(way)
            here = way.to
        return Followed(trail, tuple(ways), here)

    def done_on(self, ways: Sequence[Way]) -> frozenset[str]:
        """Effects that may happen once and have, by these answers."""
        done: set[str] = set()
        for way in ways:
            if way.answer is not None and NOT_DONE not in way.answer.values:
                check = self.pages[way.page].check
                done |= set(check.effects if check else ()) & set(self.once)
        return frozenset(done)

    # ---- in a link ----

    def link(self, trail: Trail) -> str:
        """The fragment, with its `#`."""
        numbers = (trail.begun, trail.last, self.number_of(trail.done))
        middle = ".".join(base36(number) for number in numbers)
        return f"#on={self.version}.{middle}.{tree_word(trail.root)}{''.join(trail.words)}"

    def read_link(self, fragment: str) -> Trail:
        """The trail of a fragment; raises `BadTrail` for any other text and any other version."""
        found = _LINK.fullmatch(fragment)
        if found is None or len(found[5]) > MOST_WORDS * WORD:
            raise BadTrail("this is no link with a trail")
        if found[1] != self.version:
            raise BadTrail("this link is from another edition; only its facts can be read")
        begun, last, done = (int(found[i], DIGITS) for i in (2, 3, 4))
        words = _words(found[5])
        if not words or words[0] not in self._words:
            raise BadTrail("this link does not say where the walk began")
        root = self._words[words[0]]
        return Trail(root, words[1:], self.effects_of(done), begun, last)

    # ---- aloud ----

    def code(self, trail: Trail) -> str:
        """The digits to say; time is not in them. Raises `BadTrail` as `follow` does."""
        self.follow(trail)
        number = self._place(trail)
        acts = f"{self.number_of(trail.done):0{self._act_digits}d}"
        root = list(self.roots).index(trail.root)
        said = f"{root:0{self._root_digits}d}{acts}{number}"
        return said + check_digits(self._seed + said)

    def read_code(self, digits: str) -> Trail:
        """The trail of a code, spaces and dashes left out; raises `BadTrail` for a wrong one."""
        said = re.sub(r"[\s.-]", "", digits)
        wide = self._root_digits + self._act_digits
        if not re.fullmatch(r"[0-9]{1,30}", said, re.ASCII) or len(said) < wide + 3:
            raise BadTrail("a code has digits only, and more of them")
        if int(self._seed + said) % 97 != 1:
            raise BadTrail("a digit is wrong, or the code is from another edition: say it again")
        root, acts, number = (
            said[: self._root_digits],
            said[self._root_digits : wide],
            said[wide:-2],
        )
        trees = list(self.roots)
        if int(root) >= len(trees) or (number[0] == "0" and number != "0"):
            raise BadTrail("there is no such code: say it again")
        words = self._unplaced(trees[int(root)], int(number))
        return Trail(trees[int(root)], words, self.effects_of(int(acts)))

    @cached_property
    def _seed(self) -> str:
        """Digits of the version, which nobody says and the check digits cover."""
        alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
        number = 0
        for character in self.version:
            number = number * 64 + alphabet.index(character)
        return str(number)

    @property
    def _root_digits(self) -> int:
        return len(str(len(self.roots) - 1))

    @property
    def _act_digits(self) -> int:
        return len(str((1 << len(self.once)) - 1))

    def counts(self, page: str) -> list[int]:
        """[k]: how many trails of exactly k more answers begin at `page`."""
        if not self._counts:
            leads = {each: [way.to for way in ways] for each, ways in self.by_page.items()}
            for each in reversed(graph.topological_order(leads)):
                after = [self._counts[way.to] for way in self.by_page[each]]
                long = max((len(counts) for counts in after), default=0)
                totals = [sum(c[k] for c in after if k < len(c)) for k in range(long)]
                self._counts[each] = [1, *totals]
        return self._counts[page]

    def _place(self, trail: Trail) -> int:
        """The trail's place among all of its root: shorter ones first, then by their words."""
        here, long = self.roots[trail.root], len(trail.words)
        place = sum(self.counts(here)[:long])
        for done, each in enumerate(trail.words, 1):
            for way in self.by_page[here]:
                if way.word == each:
                    here = way.to
                    break
                place += self._count(way.to, long - done)
        return place

    def _unplaced(self, tree: str, place: int) -> tuple[str, ...]:
        here = self.roots[tree]
        long = 0
        for count in self.counts(here):
            if place < count:
                break
            place -= count
            long += 1
        else:
            raise BadTrail("there is no such code: say it again")
        words: list[str] = []
        while len(words) < long:
            for way in self.by_page[here]:
                count = self._count(way.to, long - len(words) - 1)
                if place < count:
                    words.append(way.word)
                    here = way.to
                    break
                place -= count
        return tuple(words)

    def _count(self, page: str, answers: int) -> int:
        counts = self.counts(page)
        return counts[answers] if answers < len(counts) else 0


def check_digits(payload: str) -> str:
    """Two check digits for digits, as ISO/IEC 7064:2003 MOD 97-10 computes them."""
    return f"{98 - int(payload) * 100 % 97:02d}"


def in_groups(code: str) -> str:
    """The digits as they are said: in threes, the first group the short one."""
    first = len(code) % 3
    groups = [code[:first], *(code[i : i + 3] for i in range(first, len(code), 3))]
    return " ".join(filter(None, groups))


def _words(text: str) -> tuple[str, ...]:
    return tuple(text[i : i + WORD] for i in range(0, len(text), WORD))


def base36(number: int) -> str:
    """The number as a link writes it."""
    digits = "0123456789abcdefghijklmnopqrstuvwxyz"
    text = ""
    while True:
        number, rest = divmod(number, DIGITS)
        text = digits[rest] + text
        if not number:
            return text
