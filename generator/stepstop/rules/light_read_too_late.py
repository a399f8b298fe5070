"""The board's light is read before anything that cuts its power."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import EFFECT, Proof, happened
from stepstop.tally import Tally

FLAW = "light-read-too-late"
SUMMARY = "something is read after an effect that may have wiped it"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each step that reads a finding after an effect that spoils it."""
    for finding in proof.library.catalogue.findings.values():
        for effect in finding.spoiled_by:
            reading = {page.id for page in proof.asking(finding.id)}
            tally.count(len(reading))
            for page, witness in proof.bad((EFFECT + effect,), happened, reading):
                message = f"`{page.name}` reads `{finding.id}` after `{effect}`"
                mend = "read it before that step on this path, or ask whether it is alive instead"
                yield Problem(witness.via, FLAW, message, mend, witness.path)
