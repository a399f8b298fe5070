"""What a practice caller says, word by word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from stepstop.journey import Node
from stepstop.model import Catalogue, Heard
from stepstop.pages.spoken import Spoken
from stepstop.pages.step import answer_text
from stepstop.practice.caller import Told

PLAIN, HINT, HEDGE, UNKNOWN = "plain", "hint", "hedge", "unknown"
"""What first words are: an answer; something that may mean several; nothing; that they can't tell.
"""


@dataclass(frozen=True, slots=True)
class Words:
    """What is said at first, and once the agent asks again."""

    first: str
    again: str
    kind: str
    """What the first words are: `PLAIN`, `HINT`, `HEDGE` or `UNKNOWN`."""
    meant: int
    """The option that the plain words stand for."""


class Voice:
    """Puts what callers tell into words; the same page in the same state gets the same ones."""

    def __init__(self, catalogue: Catalogue, spoken: Spoken, manner: str, seed: int) -> None:
        self.catalogue, self.spoken, self.manner = catalogue, spoken, manner
        self.random = Random(seed)
        self._kept: dict[tuple[str, Told], Words] = {}

    def opening(self, tree: str, words: Sequence[str]) -> str:
        """What they called about, in their words."""
        return self.random.choice(list(words)) if words else tree

    def of(self, node: Node, told: Told) -> Words:
        """What is said on a page."""
        key = (node.page.id, told)
        if key not in self._kept:
            self._kept[key] = self._made(node, told)
        return self._kept[key]

    def _made(self, node: Node, told: Told) -> Words:
        plainly = self.answer(node, told.said)
        if not node.page.finding:
            return Words(plainly, plainly, PLAIN, told.said)
        if not node.options[told.said].is_sure:
            return Words(plainly, plainly, UNKNOWN, told.said)
        if (
            self.manner == "misleading"
            and told.misleads
            and (heard := self._heard(node, told.true))
        ):
            return Words(heard.they_say, self.answer(node, told.true), HINT, told.true)
        if self.manner == "vague":
            if heard := self._heard(node, told.said):
                return Words(heard.they_say, plainly, HINT, told.said)
            if hedges := self.catalogue.calls.hedges:
                return Words(self.random.choice(hedges), plainly, HEDGE, told.said)
        return Words(plainly, plainly, PLAIN, told.said)

    def _heard(self, node: Node, option: int) -> Heard | None:
        """Words that somebody says where this is so, and that don't tell it."""
        values = set(node.options[option].values)
        finding = self.catalogue.findings[node.page.finding]
        found = [each for each in finding.hear if values & set(each.values)]
        return self.random.choice(found) if found else None

    def answer(self, node: Node, option: int) -> str:
        """An option in the words of the page: it has one for each of its answers, in order."""
        return answer_text(node.page.choices[option], self.spoken.atlas)
