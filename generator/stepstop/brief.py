"""The brief: what the answers of a trail tell a technician, each with how it is known.

`brief.js` makes the same of the same trail; a test holds that both say the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from stepstop.language.tongue import ENGLISH, Worded, phrase
from stepstop.model import BRIEF_FIELDS, NOT_DONE, UNSURE, Finding
from stepstop.trail import URGENCY_WORDS, Followed, Way, Ways

SEEN, TOLD, INFERRED = phrase("seen"), phrase("told"), phrase("inferred")
DONE = phrase("done on this visit")
OR = phrase("or")
"""Between the values of one answer."""
NOT_CHECKED = {
    UNSURE: phrase("not checked: could not tell"),
    NOT_DONE: phrase("not checked: not done"),
}
"""Why something that was asked is not known."""

TITLES = {
    "safety": phrase("Safety"),
    "access": phrase("Access"),
    "people": phrase("People, cold and heat"),
    "wanted": phrase("Wanted from it"),
    "equipment": phrase("Equipment"),
    "since": phrase("When it fails"),
    "changed": phrase("What changed"),
    "thermostat": phrase("Thermostat"),
    "works": phrase("What works"),
    "sounds": phrase("Sounds and flame"),
    "light": phrase("Light on the unit, raw"),
    "air": phrase("Air, fan and warmth"),
    "outdoor": phrase("Outdoor unit"),
    "water": phrase("Water"),
    "electrical": phrase("Switches, breakers, panels"),
    "filter": phrase("Filter"),
    "pipes": phrase("Pipe ends outdoors"),
    "fuel": phrase("Fuel"),
    "smells": phrase("Smells"),
    "other": phrase("More"),
}
"""Part of the brief -> its title."""

HEALTH = {
    URGENCY_WORDS[False]: phrase("asked, not kept here; urgency not raised"),
    URGENCY_WORDS[True]: phrase("asked, not kept here; urgency raised: call first"),
}
"""Word of an urgency -> what the brief says of the answers behind it."""

Text = Callable[[str], str]
"""Fills a text for a place."""


@dataclass(frozen=True, slots=True)
class Brief:
    """What a trail tells."""

    fails: str
    """The complaint, with the equipment where it was asked."""
    danger: str
    """What was answered about danger last; empty where nobody asked."""
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    """(title, its lines) in a dispatcher's order; none is empty."""
    tried: tuple[str, ...]
    """Each check that was offered, in order, with what happened."""
    missing: tuple[str, ...]
    """Titles of the parts of which nothing is known."""


def brief(ways: Ways, followed: Followed, text: Text, worded: Worded = ENGLISH.worded) -> Brief:
    """The brief of a trail; its texts are filled by `text`, its phrases put by `worded`."""
    return _Writer(ways, text, worded).brief(followed)


class _Writer:
    def __init__(self, ways: Ways, text: Text, worded: Worded) -> None:
        self.ways, self.text, self.worded = ways, text, worded
        self.catalogue = ways.course.library.catalogue

    def brief(self, followed: Followed) -> Brief:
        lines: dict[str, list[str]] = {name: [] for name in BRIEF_FIELDS}
        danger = ""
        tried: list[str] = []
        for way in followed.ways:
            for field, line in self._lines(way):
                lines[field].append(line)
            danger = self._danger(way) or danger
            tried += self._tried(way)
        lines["electrical"] += self._done(followed)
        title = {name: self.worded(each) for name, each in TITLES.items()}
        parts = tuple((title[name], tuple(each)) for name, each in lines.items() if each)
        missing = tuple(title[n] for n, each in lines.items() if not each and n != "other")
        return Brief(self._fails(followed), danger, parts, tuple(tried), missing)

    def _fails(self, followed: Followed) -> str:
        trees = self.ways.course.library.trees
        title = trees[followed.trail.root].title
        named = [self.ways.pages[way.page].tree for way in followed.ways]
        kinds = [trees[name].equipment for name in named if trees[name].equipment]
        return self.text(f"{title} ({kinds[-1]})" if kinds else title)

    def _danger(self, way: Way) -> str:
        """What was answered about danger; empty for any other answer."""
        page = self.ways.pages[way.page]
        finding = self.catalogue.findings.get(page.finding)
        if way.answer is None or finding is None or _part(finding) != "safety":
            return ""
        known = [
            self.text(finding.values[v].about) for v in way.answer.values if v in finding.values
        ]
        said = f"“{self.text(way.answer.say)}”"
        return f"{self._either(known)} {said}" if known else said

    def _either(self, texts: Iterable[str]) -> str:
        return f" {self.worded(OR)} ".join(texts)

    def _done(self, followed: Followed) -> Iterator[str]:
        """Acts that may happen once and have, on this walk or on another of this visit."""
        effects = self.catalogue.effects
        for name in self.ways.once:
            if name in followed.trail.done:
                yield f"{self.text(effects[name].about)} [{self.worded(DONE)}]"

    def _lines(self, way: Way) -> Iterator[tuple[str, str]]:
        """(part, line) of each thing that an answer tells."""
        if way.answer is None:
            yield "people", self.worded(HEALTH[way.word])
            return
        page = self.ways.pages[way.page]
        finding = self.catalogue.findings[page.finding]
        values = way.answer.values
        unknown = next((NOT_CHECKED[v] for v in values if v in NOT_CHECKED), "")
        known = TOLD if finding.kind != "reading" and page.at == "chair" else SEEN
        how = self.worded(unknown or known)
        said = self.text(way.answer.say)
        if unknown:
            line = f"{self.text(finding.about)} [{how}] “{said}”"
        else:
            value = self._either(self.text(finding.values[v].about) for v in values)
            line = f"{self.text(finding.about)}: {value} [{how}] “{said}”"
        yield _part(finding), line
        settled = dict(page.check.changes) if page.check and NOT_DONE not in values else {}
        if len(values) == 1 and not unknown:
            settled |= finding.values[values[0]].implies
        for name, value in settled.items():
            other = self.catalogue.findings[name]
            if _part(other) != "safety" and not other.health:
                about = self.text(other.values[value].about)
                yield _part(other), f"{self.text(other.about)}: {about} [{self.worded(INFERRED)}]"

    def _tried(self, way: Way) -> Iterator[str]:
        page = self.ways.pages[way.page]
        if way.answer is not None and page.check is not None:
            yield f"{self.text(page.check.name)}: “{self.text(way.answer.say)}”"


def _part(finding: Finding) -> str:
    return finding.field or "other"
