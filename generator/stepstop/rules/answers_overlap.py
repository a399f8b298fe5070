"""Every value has one answer, so that nobody has to choose between two that are both true."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.tally import Tally

FLAW = "answers-overlap"
SUMMARY = "a value of the finding has two answers"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each value that stands in more than one answer of a step."""
    for page in proof.steps():
        tally.count()
        for value, times in _repeated(move.value for move in page.moves):
            message = f"`{page.name}` has {times} answers for `{value}`"
            yield Problem(page.spot, FLAW, message, "keep one, or split the finding's value")
        answers = page.step.answers if page.step else ()
        for text, times in _repeated(answer.say for answer in answers):
            message = f"`{page.name}` says '{text}' on {times} answers"
            yield Problem(page.spot, FLAW, message, "say what tells them apart")


def _repeated(texts: Iterable[str]) -> list[tuple[str, int]]:
    """What stands more than once among `texts`, each with how often."""
    return [(text, times) for text, times in sorted(Counter(texts).items()) if times > 1]
