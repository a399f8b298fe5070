"""Every value of a finding has an answer, and every check can be left undone."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Page
from stepstop.model import NOT_DONE
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.tally import Tally

FLAW = "answers-incomplete"
SUMMARY = "a value of the finding has no answer, or a check can't be left undone"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each step on which something that may be seen can't be answered."""
    for page in proof.steps():
        if not page.finding or not page.moves:
            continue  # no answer at all is a dead end
        tally.count()
        for value in missing(proof, page):
            message = f"`{page.name}` has no answer for `{value}`"
            yield Problem(page.spot, FLAW, message, f"add an answer with `is: {value}`")
        for move in page.moves:
            if not move.value:
                message = f"an answer of `{page.name}` stands for no value"
                yield Problem(move.answer.spot, FLAW, message, "say in `is` what it records")


def missing(proof: Proof, page: Page) -> list[str]:
    """The values of the page's finding, and `not-done` on a check, that no answer has."""
    answered = {move.value for move in page.moves}
    values = proof.library.catalogue.findings[page.finding].values
    wanted = [*values, *([NOT_DONE] if page.check else [])]
    return [value for value in wanted if value not in answered]
