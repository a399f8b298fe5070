"""The words of an answer don't belie what it records.

Which words agree, deny and doubt stands in the rulebook. Only what is plainly another thing is
told: "No" for a value called `yes` or one that reports danger, "Yes" for `no` and `none`, no doubt
for `unsure`, and doubt for anything else.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from stepstop.model import UNSURE, Answer, Says, Step
from stepstop.problems import Problem, quoted
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally

FLAW = "says-otherwise"
SUMMARY = "the words of an answer say another thing than it records"

AGREE, DENY = ("yes",), ("no", "none")
"""Values that say by their name whether it is so."""


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each answer whose words are plainly those of another one."""
    library = proof.library
    says = library.catalogue.rulebook.says
    for tree in library.trees.values():
        for step in tree.steps.values():
            dangers = _dangers(step, proof)
            for answer in step.answers:
                if answer.say and answer.values:
                    tally.count()
                    yield from _belied(answer, dangers, says)


def _dangers(step: Step, proof: Proof) -> frozenset[str]:
    """The values of what a step asks that report danger."""
    catalogue = proof.library.catalogue
    check = catalogue.checks.get(step.check)
    finding = catalogue.findings.get(check.result if check else step.finding)
    values = finding.values.values() if finding else ()
    return frozenset(value.id for value in values if value.danger)


def _belied(answer: Answer, dangers: frozenset[str], says: Says) -> Iterator[Problem]:
    for value in answer.values:
        if value == UNSURE:
            if says.doubt and not _has(says.doubt, answer.say):
                words = " or ".join(f"'{each}'" for each in says.doubt)
                yield _problem(answer, value, "which has no doubt in it", f"say {words}")
        elif UNSURE not in answer.values and _has(says.only_doubt, answer.say):
            yield _problem(answer, value, "which is doubt", f"record `{UNSURE}`, or say what is so")
        elif (value in AGREE or value in dangers) and _begins(says.no, answer.say):
            yield _problem(answer, value, "which denies it", "exchange the words or the values")
        elif value in DENY and _begins(says.yes, answer.say):
            yield _problem(answer, value, "which agrees", "exchange the words or the values")


def _problem(answer: Answer, value: str, why: str, mend: str) -> Problem:
    message = f"`{value}` is recorded for {quoted(answer.say)}, {why}"
    return Problem(spot_of(answer.say), FLAW, message, mend)


def _begins(words: tuple[str, ...], text: str) -> bool:
    return bool(words) and _known(words).match(text) is not None


def _has(words: tuple[str, ...], text: str) -> bool:
    return bool(words) and _known(words).search(text) is not None


@lru_cache(maxsize=16)
def _known(words: tuple[str, ...]) -> re.Pattern[str]:
    """Any of the words, as whole words, however they are capitalized."""
    each = "|".join(re.escape(word) for word in words)
    return re.compile(rf"(?<!\w)(?:{each})(?!\w)", re.IGNORECASE)
