"""An outcome says how soon, what to say, what to do and who may do the work."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.model import Outcome
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally

FLAW = "outcome-incomplete"
SUMMARY = "an outcome lacks how soon, what to say, what to do or who may do it"

SENTENCES = 2
"""What a worried person can read to whoever answers the phone."""


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each thing that an outcome leaves unsaid."""
    for tree in proof.library.trees.values():
        for outcome in tree.outcomes.values():
            tally.count()
            for what, mend in lacking(outcome, proof):
                message = f"`{outcome.id}` ({outcome.kind}) {what}"
                yield Problem(spot_of(outcome.id), FLAW, message, mend)


def lacking(outcome: Outcome, proof: Proof) -> Iterator[tuple[str, str]]:
    """What `outcome` lacks, each with how to mend it."""
    ranks = {u.id: u.rank for u in proof.library.catalogue.urgencies.values()}
    if outcome.urgency not in ranks:
        yield "doesn't say how soon", "add `urgency`"
    elif ranks.get(outcome.hurry_urgency, -1) > ranks[outcome.urgency]:
        yield "is less urgent in a hurry", "make `hurry-urgency` the same or more urgent"
    elif outcome.kind == "danger" and ranks[outcome.urgency] != 0:
        yield "is a danger and not urgent now", "make its urgency the highest one"
    if outcome.kind == "call" and len(outcome.say) != SENTENCES:
        yield f"needs {SENTENCES} sentences in `say` and has {len(outcome.say)}", "fill in `say`"
    if outcome.kind != "solved" and not outcome.who:
        yield "doesn't say who may do the work", "add `who`"
    if not outcome.do:
        yield "doesn't say what to do now", "add `do`"
    if outcome.kind == "danger" and not outcome.danger_from:
        yield "doesn't say from what", "add `from`: house, thing or nobody"
    if outcome.kind != "danger" and outcome.danger_from:
        yield "says `from` and is no danger", "delete `from`, or make it a danger"
