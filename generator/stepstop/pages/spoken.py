"""What an agent says on a page, from the same texts as those that a homeowner reads."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from stepstop import model
from stepstop.company.model import LEAVABLE
from stepstop.course import Page
from stepstop.model import NOT_DONE, UNSURE
from stepstop.pages.atlas import Atlas
from stepstop.pages.outcome import is_companys, left, soon
from stepstop.pages.slots import slot
from stepstop.pages.step import answer_text, choices
from stepstop.pages.titles import headline
from stepstop.pages.words import plain, sentence

SURE, NOT_SURE, CAN_NOT = 0, 1, 2
"""Kinds of answers: of somebody who can tell, who can't, and who can't do it now."""


class Spoken:
    """Makes the speech of pages, as plain data."""

    def __init__(self, atlas: Atlas, *, in_html: bool = False) -> None:
        """`in_html` is for slots that are filled where they stand in HTML, and not in data."""
        self.atlas, self._in_html = atlas, in_html
        self.catalogue = atlas.course.library.catalogue

    def body(self, page: Page) -> dict[str, Any]:
        """All that is said on a page, empty where it has nothing of a kind."""
        return self._step(page) if page.step else self._outcome(page)

    def calls(self) -> dict[str, Any]:
        """How a call begins, and what to say when it does not go its way."""
        calls = self.catalogue.calls
        return {
            "first": self.text(calls.first),
            "there": self.text(calls.there),
            "repeat": self.text(calls.repeat),
            "minutes": calls.back_minutes,
            "nobody": self.texts(calls.nobody),
            "cards": [
                [card.id, card.key, self.text(card.name), self.texts(card.say), self.texts(card.do)]
                for card in calls.cards.values()
            ],
        }

    def _step(self, page: Page) -> dict[str, Any]:
        step, check = page.step, page.check
        assert step is not None
        finding = self.catalogue.findings.get(page.finding)
        return {
            "kind": step.kind,
            "title": self.text(headline(page)),
            "say": self._spoken(step.speak or (step.look if check else (step.ask, *step.look))),
            "hear": self._heard(finding.hear if finding else ()),
            "taps": bool(finding and finding.taps),
            "health": bool(finding and finding.health),
            "danger": bool(finding and finding.is_danger),
            "signs": self._signs((*(check.cautions if check else ()), *step.cautions)),
            "answers": [
                self._answer(move.answer, answer_text(move, self.atlas)) for move in choices(page)
            ],
            "why": self.text(step.why),
            **(self._check(check) if check else {}),
        }

    def _check(self, check: model.Check) -> dict[str, Any]:
        return {
            "before": self._spoken(check.before),
            "stop": self._spoken(check.stop_if),
            "never": self._spoken(check.never),
            "do": self._spoken(check.do),
            "minutes": check.minutes,
            "waits": check.waits,
        }

    def _answer(self, answer: model.Answer, text: str) -> list[Any]:
        kind = SURE
        if NOT_DONE in answer.values:
            kind = CAN_NOT
        elif UNSURE in answer.values:
            kind = NOT_SURE
        return [text, kind]

    def _heard(self, heard: Iterable[model.Heard]) -> list[list[str]]:
        return [[self.text(t) for t in (each.they_say, each.may_be, each.ask)] for each in heard]

    def _signs(self, cautions: Iterable[model.Caution]) -> list[list[str]]:
        return [[each.word, self.text(each.text)] for each in cautions]

    def _outcome(self, page: Page) -> dict[str, Any]:
        outcome = page.outcome
        assert outcome is not None
        how_soon, how_left = soon(page, self.atlas), left(outcome, self.atlas)
        first = (f"{outcome.title}.",) if outcome.kind == "danger" else ()
        return {
            "kind": outcome.kind,
            "title": self.text(outcome.title),
            "say": self._spoken((*first, *outcome.do)),
            "outside": self._spoken(outcome.after) if outcome.gate else [],
            "soon": [how_soon.say, plain(how_soon.advice)] if how_soon else [],
            "left": f"{how_left.state}, {plain(how_left.until)}" if how_left else "",
            "who": self._comes(page, outcome),
            "never": self.texts(outcome.never),
        }

    def _comes(self, page: Page, outcome: model.Outcome) -> str:
        """Who comes. A company may leave the equipment to others: then a slot, which says that."""
        tree = self.atlas.course.library.trees[page.tree]
        if is_companys(outcome, self.atlas) and tree.role in LEAVABLE:
            name = "comes-shown" if self._in_html else "comes"
            return slot(name, page.tree, outcome.who)
        who = self.catalogue.who[outcome.who].say if outcome.who else ""
        return plain(sentence(self.atlas.said(who)))

    def text(self, text: str) -> str:
        """A text for this place."""
        return self.atlas.plain(text)

    def _spoken(self, texts: Sequence[str]) -> list[str]:
        return self.texts([self.catalogue.calls.spoken(text) for text in texts])

    def texts(self, texts: Sequence[str]) -> list[str]:
        """Texts for this place."""
        return [self.text(text) for text in texts]
