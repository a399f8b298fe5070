"""No phone inside where there may be gas, and no number before danger has been asked about."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepstop.grammar import Grammar
from stepstop.model import UNSURE, Finding, Outcome
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally
from stepstop.wording import Speech

FLAW = "number-before-danger"
SUMMARY = "a page tells to phone before the person is out of danger, or has a number of its own"

_NUMBER = re.compile(r"(?<![\w,.])(\+?\d(?:[\s().-]{0,3}\d){6,}|\b(911|112|999|000)\b)")


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each number in a tree's text, and each call before the gate of a gas page."""
    for speech in proof.speeches:
        tally.count()
        if _NUMBER.search(speech.text):
            yield _number(speech)
    grammar = proof.library.catalogue.rulebook.grammar
    for outcome in {id(o): o for o in _no_phone(proof)}.values():
        tally.count()
        yield from _gate(outcome, grammar)


def _no_phone(proof: Proof) -> Iterator[Outcome]:
    findings = proof.library.catalogue.findings
    for page in proof.steps():
        for move in page.moves:
            outcome = proof.course.pages[move.to].outcome
            if outcome and page.finding and no_phone(findings[page.finding], move.value):
                yield outcome


def no_phone(finding: Finding, value: str) -> bool:
    """Whether somebody who answers `value` may not phone inside; in doubt nobody may."""
    values = finding.values.values()
    return any(v.no_phone_inside for v in values if value in (v.id, UNSURE))


def _number(speech: Speech) -> Problem:
    message = f"a phone number is written here, in `{speech.owner}`"
    mend = "write {emergency}, {gas-line} or {power-company}: the place knows the number"
    return Problem(spot_of(speech.text), FLAW, message, mend)


def _gate(outcome: Outcome, grammar: Grammar) -> Iterator[Problem]:
    if not outcome.gate or not outcome.after:
        message = f"`{outcome.id}` is for people who may not phone inside and has no gate"
        yield Problem(spot_of(outcome.id), FLAW, message, "add `gate` and `after`")
    for text in (outcome.title, *outcome.do):
        if grammar.tells_to_phone(text):
            message = f"`{outcome.id}` tells to phone before the person is outside"
            yield Problem(spot_of(text), FLAW, message, "say it in `after`, behind the gate")
