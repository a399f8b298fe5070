"""A finding parts the ways only where it means something."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Page
from stepstop.model import UNKNOWNS, Clause
from stepstop.problems import Problem, Related
from stepstop.proof import Proof, spoken
from stepstop.tally import Tally

FLAW = "weak-evidence"
SUMMARY = "answers part ways on a finding whose meaning isn't established"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each step that branches on a finding before what gives it meaning."""
    for finding in proof.library.catalogue.findings.values():
        pages = proof.asking(finding.id)
        for clause in finding.means_if:
            tally.count(len(pages))
            branching = frozenset(page.id for page in pages if _branches(page))
            yield from _unfounded(proof, clause, branching)


def _branches(page: Page) -> bool:
    """Whether sure answers lead to different pages (an answer may also stand for `unsure`)."""
    return len({move.to for move in page.moves if move.value not in UNKNOWNS}) > 1


def _unfounded(proof: Proof, clause: Clause, branching: frozenset[str]) -> Iterator[Problem]:
    for page, witness in proof.unmet(clause, branching):
        message = f"`{page.name}` parts ways on `{page.finding}` "
        message += f"where {spoken(clause)} isn't established"
        related = (Related(clause.spot, "what must be known for it to mean anything"),)
        mend = "ask that first, or let all sure answers go to the same step"
        yield Problem(witness.via, FLAW, message, mend, witness.path, related)
