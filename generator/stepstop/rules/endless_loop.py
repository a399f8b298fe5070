"""No path comes back to where it was."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.rules.dead_end import can_end
from stepstop.tally import Tally

FLAW = "endless-loop"
SUMMARY = "a path leads back to a step it has been at"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each set of steps that lead to one another, with its shortest round.

    A set that nothing leads out of is left to `dead-end`.
    """
    tally.count(len(proof.edges))
    out = can_end(proof)
    for walk in proof.rounds():
        if walk[0] in out:
            page = proof.course.pages[walk[0]]
            message = f"`{page.name}` leads back to itself"
            mend = "lead one of these answers to an outcome"
            yield Problem(page.spot, FLAW, message, mend, proof.walked(walk))
