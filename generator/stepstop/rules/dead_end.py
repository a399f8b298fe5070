"""From every step some answers lead to an outcome or to the start page."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop import graph
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.tally import Tally

FLAW = "dead-end"
SUMMARY = "a step has no answer, or a round of steps has no way out"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each step that can't be left, and each round that no answer leads out of."""
    for page in proof.steps():
        tally.count()
        if not page.moves:
            yield Problem(page.spot, FLAW, f"`{page.name}` has no answer", "give it answers")
    out = can_end(proof)
    for walk in proof.rounds():
        if walk[0] not in out:
            page = proof.course.pages[walk[0]]
            message = f"no answer leads out of the round that begins at `{page.name}`"
            mend = "lead one of these answers to an outcome"
            yield Problem(page.spot, FLAW, message, mend, proof.walked(walk))


def can_end(proof: Proof) -> set[str]:
    """The pages from which an outcome or the start page can be reached."""
    before: dict[str, list[str]] = {}
    for page, targets in proof.edges.items():
        for target in targets:
            before.setdefault(target, []).append(page)
    ends = [page.id for page in proof.course.pages.values() if page.step is None]
    return graph.reachable(before, ends)
