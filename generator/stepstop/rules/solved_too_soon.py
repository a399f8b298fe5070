"""Nothing counts as solved that only a reset brought back."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import EFFECT, Proof, happened
from stepstop.tally import Tally

FLAW = "solved-too-soon"
SUMMARY = "`solved` follows a breaker reset, a cleared lock-out or a cleared flue"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each `solved` outcome reached after an effect that hides its reason."""
    solved = {p.id for p in proof.outcomes() if p.outcome and p.outcome.kind == "solved"}
    for effect in proof.library.catalogue.effects.values():
        if not effect.clears:
            continue
        tally.count(len(solved))
        for page, witness in proof.bad((EFFECT + effect.id,), happened, solved):
            message = f"`{page.name}` says solved after a {effect.clears} was cleared"
            mend = "lead there to a `watch` or `call` outcome: the reason is still there"
            yield Problem(witness.via, FLAW, message, mend, witness.path)
