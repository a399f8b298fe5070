"""All texts that a homeowner may read, each with whose it is."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from stepstop.model import Calls, Check, Library, Outcome, Step, Wait, Wording
from stepstop.source import spot_of

OWN = "company"
"""Whose texts stand among those of the trees, and the source of the numbers in them."""
CALLS = ("common-practice",)
"""The source of what is said on the telephone."""
_DIGIT = re.compile(r"\d")
_REFERS_BACK = re.compile(r"\\[1-9]|\(\?[P(]")


@dataclass(frozen=True, slots=True)
class Speech:
    """One text that a homeowner may read."""

    text: str
    owner: str
    """Id of the step, check, outcome or cause."""
    source: tuple[str, ...]
    is_never: bool = False
    is_question: bool = False
    """Whether it may only ask to look, listen, read, smell or tell: what a step adds of its own."""
    is_ending: bool = False
    """Whether it says what to do once the walk is over: no hands on the unit."""

    @property
    def has_number(self) -> bool:
        """Whether a digit stands in it, so that it needs a source."""
        return _DIGIT.search(self.text) is not None

    @property
    def file(self) -> str:
        """The file that it is written in."""
        return spot_of(self.text).file


def speeches(library: Library) -> Iterator[Speech]:
    """Every text that a page for homeowners takes from trees, checks, causes and never-lines."""
    catalogue = library.catalogue
    for check in catalogue.checks.values():
        yield from _check(check)
    for cause in catalogue.causes.values():
        yield Speech(cause.plain, cause.id, cause.source)
    for finding in catalogue.findings.values():
        for heard in finding.hear:
            yield Speech(heard.ask, finding.id, CALLS, is_question=True)
    yield from _calls(catalogue.calls)
    for text in catalogue.rulebook.never:
        yield Speech(text, "never", ("common-practice",), is_never=True)
    for unit in catalogue.equipment.values():
        for text in (unit.name, unit.label, unit.look):
            yield Speech(text, unit.id, (), is_question=True)
    for wait in catalogue.waiting.values():
        yield from _wait(wait)
    for text in library.texts:
        yield Speech(text, OWN, (OWN,), is_question=True)
    for tree in library.trees.values():
        if tree.role != "shared":
            yield Speech(tree.title, tree.id, ())
        for step in tree.steps.values():
            yield from _step(step)
        for outcome in tree.outcomes.values():
            for text in outcome_speeches(outcome):
                yield Speech(text, outcome.id, outcome.source, is_ending=True)
            for text in outcome.never:
                yield Speech(text, outcome.id, outcome.source, is_never=True)


def outcome_speeches(outcome: Outcome) -> Iterator[str]:
    """What an outcome's page says, never-lines apart."""
    yield outcome.title
    yield from outcome.say
    yield from outcome.do
    if outcome.gate:
        yield outcome.gate
    yield from outcome.after
    if outcome.leave:
        yield outcome.leave.until


def _check(check: Check) -> Iterator[Speech]:
    told = (check.name, *check.do, *check.before, *check.stop_if)
    for text in (*told, *(c.text for c in check.cautions)):
        yield Speech(text, check.id, check.source)
    for text in check.never:
        yield Speech(text, check.id, check.source, is_never=True)


def _calls(calls: Calls) -> Iterator[Speech]:
    """What an agent says to a caller; what the agent does is not for homeowners."""
    for text in (calls.first, calls.there, calls.repeat):
        if text:
            yield Speech(text, "calls", CALLS, is_question=True)
    for each in calls.instead:
        yield Speech(each.spoken, "calls", CALLS)
    for card in calls.cards.values():
        for text in card.say:
            yield Speech(text, card.id, CALLS)


def _wait(wait: Wait) -> Iterator[Speech]:
    for text in (wait.title, *wait.lead, wait.ask, *(answer.say for answer in wait.answers)):
        yield Speech(text, wait.id, (), is_question=True)
    for line in wait.lines:
        yield Speech(line.say, wait.id, line.source, is_question=True)
    for part in wait.parts.values():
        for text in (part.title, *part.do):
            yield Speech(text, part.id, part.source)
        for text in part.never:
            yield Speech(text, part.id, part.source, is_never=True)


def _step(step: Step) -> Iterator[Speech]:
    told = (step.ask, *step.look, step.why, *step.speak)
    for text in (*told, *(c.text for c in step.cautions)):
        if text:
            yield Speech(text, step.id, step.source, is_question=True)
    for answer in step.answers:
        if answer.say:
            yield Speech(answer.say, step.id, step.source)


class Refused:
    """Refused wordings, ready to be looked for."""

    def __init__(self, wordings: Sequence[Wording]) -> None:
        self._wordings = wordings
        patterns = [each.pattern for each in wordings]
        # Nearly always none stands there, so all are tried as one; not so where one refers back to
        # a group of its own, which would have another number among others.
        apart = any(_REFERS_BACK.search(pattern) for pattern in patterns)
        either = "|".join(f"(?:{pattern})" for pattern in patterns)
        self._any = None if apart or not patterns else _compiled(either)
        self._without: set[str] = set()

    def find(self, text: str) -> Iterator[tuple[Wording, str]]:
        """Those that stand in `text`, each with the words found."""
        if text in self._without:
            return
        if self._any is not None and not self._any.search(text):
            self._without.add(text)
            return
        for wording in self._wordings:
            found = _compiled(wording.pattern).search(text)
            if found:
                yield wording, found.group()


@lru_cache(maxsize=1024)
def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE)
