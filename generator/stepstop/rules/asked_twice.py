"""Nobody is asked again what they have answered, danger apart."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.model import UNKNOWNS
from stepstop.problems import Problem
from stepstop.proof import Proof, told
from stepstop.sweep import Values
from stepstop.tally import Tally

FLAW = "asked-twice"
SUMMARY = "a path asks again what has been answered"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each question whose finding is known already on some path."""
    for finding in proof.library.catalogue.findings.values():
        questions = {page.id for page in proof.asking(finding.id) if page.check is None}
        if finding.is_danger or not questions:
            continue

        def known(values: Values) -> bool:
            return values[0] not in UNKNOWNS

        tally.count(len(questions))
        for page, witness in proof.bad((finding.id,), known, questions):
            message = f"`{page.name}` asks `{finding.id}`, known already {told(witness.values[0])}"
            mend = "branch where it was answered, and lead each branch past this step"
            yield Problem(witness.via, FLAW, message, mend, witness.path)
