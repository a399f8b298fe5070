"""An outcome says what state the unit is left in, and until when."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally

FLAW = "state-not-said"
SUMMARY = "an outcome doesn't say in what state the unit is left"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each outcome without `leave`."""
    for tree in proof.library.trees.values():
        for outcome in tree.outcomes.values():
            tally.count()
            if outcome.leave is None:
                message = f"`{outcome.id}` doesn't say how the unit is left"
                mend = "add `leave` with `state` and `until`"
                yield Problem(spot_of(outcome.id), FLAW, message, mend)
