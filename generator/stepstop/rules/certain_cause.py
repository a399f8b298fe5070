"""No page names one cause as certain."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally
from stepstop.wording import Refused

FLAW = "certain-cause"
SUMMARY = "one cause is named as if it were certain"

LEAST = 2
"""Causes of a `call`: what a homeowner sees never leaves just one."""


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each `call` with fewer than two causes, and each wording that is too sure."""
    for tree in proof.library.trees.values():
        for outcome in tree.outcomes.values():
            tally.count()
            causes = len(set(outcome.causes))
            if outcome.kind == "call" and causes < LEAST and not tree.is_stock:
                message = f"`{outcome.id}` is a call and names fewer than {LEAST} likely causes"
                yield Problem(spot_of(outcome.id), FLAW, message, f"name the {LEAST} likeliest")
    certain = Refused(proof.library.catalogue.rulebook.certain)
    for speech in proof.speeches:
        tally.count()
        for wording, found in certain.find(speech.text):
            message = f"'{found}' in `{speech.owner}` is too sure: {wording.why}"
            yield Problem(spot_of(speech.text), FLAW, message, "say `may` or `often`")
