"""A once-only effect happens once on a path at the most, linked trees included."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Page
from stepstop.problems import Problem
from stepstop.proof import EFFECT, Proof, Values
from stepstop.tally import Tally

FLAW = "done-twice"
SUMMARY = "something that may be done once can happen twice on one path"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each check that a path offers again after its once-only effect."""
    for effect in proof.library.catalogue.effects.values():
        if not effect.once:
            continue

        def again(page: Page, values: Values, name: str = effect.id) -> bool:
            return page.check is not None and name in page.check.effects and values[0] != "0"

        tally.count(sum(1 for p in proof.steps() if p.check and effect.id in p.check.effects))
        for page, witness in proof.bad((EFFECT + effect.id,), again):
            message = f"`{page.name}` can come after `{effect.id}` has already happened"
            mend = "lead the second time to an outcome: if it came back, stop and call"
            yield Problem(witness.via, FLAW, message, mend, witness.path)
