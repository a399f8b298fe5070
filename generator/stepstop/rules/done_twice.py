"""A once-only effect happens once on a path at the most, linked trees included."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import EFFECT, Proof, happened
from stepstop.tally import Tally

FLAW = "done-twice"
SUMMARY = "something that may be done once can happen twice on one path"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each check that a path offers again after its once-only effect."""
    for effect in proof.library.catalogue.effects.values():
        if not effect.once:
            continue

        doing = {p.id for p in proof.steps() if p.check and effect.id in p.check.effects}
        tally.count(len(doing))
        for page, witness in proof.bad((EFFECT + effect.id,), happened, doing):
            message = f"`{page.name}` can come after `{effect.id}` has already happened"
            mend = "lead the second time to an outcome: if it came back, stop and call"
            yield Problem(witness.via, FLAW, message, mend, witness.path)
