"""The course as scripts follow trails through it: one file of the site, loaded with a brief.

It holds what `trail.py` and `brief.py` read of the library, in numbers where names repeat.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from stepstop.brief import DONE, HEALTH, INFERRED, NOT_CHECKED, OR, SEEN, TITLES, TOLD
from stepstop.course import Page
from stepstop.model import BRIEF_FIELDS, Finding
from stepstop.pages.atlas import Atlas
from stepstop.trail import Way, tree_word

UNKNOWN = {value: -1 - number for number, value in enumerate(NOT_CHECKED)}
"""`unsure` and `not-done` as numbers of values."""


def trail_data(atlas: Atlas) -> bytes:
    """The file: a script that keeps its data for those of the page."""
    return script_with("trail", _Data(atlas).whole())


def script_with(name: str, data: Any) -> bytes:
    """A script that hands `data` to the page as `stepstop[name]`."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return f"(self.stepstop ||= {{}})[{json.dumps(name)}] = {text};\n".encode()


def data_in(script: str) -> Any:
    """The data of a script that `script_with` made; raises ValueError for any other text."""
    return json.loads(script.partition(" = ")[2].rstrip().removesuffix(";"))


def numbered(names: Iterable[str]) -> dict[str, int]:
    """Name -> its number in the order given."""
    return {name: number for number, name in enumerate(names)}


def value_number(finding: Finding, value: str) -> int:
    """The number of a value; those of what is not known are below zero."""
    return UNKNOWN[value] if value in UNKNOWN else list(finding.values).index(value)


class _Numbers:
    """Gives each of some values a number, in the order of their coming."""

    def __init__(self) -> None:
        self.of: dict[Any, int] = {}

    def __call__(self, value: Any) -> int:
        return self.of.setdefault(value, len(self.of))


class _Data:
    def __init__(self, atlas: Atlas) -> None:
        self.text, self.worded, self.ways = atlas.plain, atlas.worded, atlas.ways
        library = atlas.course.library
        self.trees, self.catalogue = library.trees, library.catalogue
        self.tree, self.answer, self.shape = _Numbers(), _Numbers(), _Numbers()
        self.finding = numbered(self.catalogue.findings)
        self.check = numbered(self.catalogue.checks)
        self.number = numbered(self.ways.by_page)

    def whole(self) -> dict[str, Any]:
        pages = [self._page(page) for page in self.ways.by_page]
        return {
            "version": self.ways.version,
            "once": [self.text(self.catalogue.effects[name].about) for name in self.ways.once],
            "roots": [
                [tree, tree_word(tree), self.text(self.trees[tree].title), self.number[page]]
                for tree, page in self.ways.roots.items()
            ],
            "titles": [self.worded(TITLES[name]) for name in BRIEF_FIELDS],
            "unknown": list(map(self.worded, NOT_CHECKED.values())),
            "health": {word: self.worded(said) for word, said in HEALTH.items()},
            "how": self._how(),
            "findings": [self._finding(name) for name in self.finding],
            "checks": [self._check(name) for name in self.check],
            "trees": [[n, self.text(self.trees[n].equipment)] for n in self.tree.of],
            "answers": [list(each) for each in self.answer.of],
            "shapes": [list(each) for each in self.shape.of],
            "pages": pages,
        }

    def _how(self) -> dict[str, str]:
        """How something is known, and what stands between two values."""
        return {
            "seen": self.worded(SEEN),
            "told": self.worded(TOLD),
            "inferred": self.worded(INFERRED),
            "done": self.worded(DONE),
            "or": f" {self.worded(OR)} ",
        }

    def _finding(self, name: str) -> list[Any]:
        """[about, part, is a reading, [[about of a value, [finding, value, ...]], ...]]."""
        finding = self.catalogue.findings[name]
        part = BRIEF_FIELDS.index(finding.field or "other")
        values = [[self.text(v.about), self._settled(v.implies)] for v in finding.values.values()]
        return [self.text(finding.about), part, int(finding.kind == "reading"), values]

    def _check(self, name: str) -> list[Any]:
        """[name, acts that may happen once, [finding, value, ...]]."""
        check = self.catalogue.checks[name]
        once = frozenset(check.effects) & frozenset(self.ways.once)
        return [self.text(check.name), self.ways.number_of(once), self._settled(check.changes)]

    def _settled(self, settled: Mapping[str, str]) -> list[int]:
        """What a brief tells as inferred, in pairs of numbers."""
        findings = self.catalogue.findings
        told = [
            (name, value)
            for name, value in settled.items()
            if (findings[name].field or "other") != "safety" and not findings[name].health
        ]
        return [n for name, value in told for n in (self.finding[name], self._value(name, value))]

    def _value(self, finding: str, value: str) -> int:
        return value_number(self.catalogue.findings[finding], value)

    def _page(self, page_id: str) -> list[int]:
        """[shape, then by way the next page's number less this one's]."""
        page, ways = self.ways.pages[page_id], self.ways.by_page[page_id]
        here = self.number[page_id]
        return [self.shape(self._shape(page, ways)), *(self.number[w.to] - here for w in ways)]

    def _shape(self, page: Page, ways: Sequence[Way]) -> tuple[Any, ...]:
        """(tree, rest of the page's id, tree that asks, told from the chair, check, answers...)."""
        tree = self.tree(page.tree)
        name = page.id.removeprefix(f"{page.tree}/")
        if not ways:
            return (tree, name)
        asks = self.ways.pages[ways[0].page]
        check = self.check[asks.check.id] if asks.check else -1
        answers = (self._answer(way, asks) for way in ways)
        return (tree, name, self.tree(asks.tree), int(asks.at == "chair"), check, *answers)

    def _answer(self, way: Way, asks: Page) -> int:
        """Number of [word, finding, say, values...]; of a word alone where health was asked."""
        if way.answer is None:
            return self.answer((way.word,))
        values = (self._value(asks.finding, value) for value in way.answer.values)
        said = self.text(way.answer.say)
        return self.answer((way.word, self.finding[asks.finding], said, *values))
