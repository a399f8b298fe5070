"""A check requires at least what its hazards require."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.model import Clause
from stepstop.problems import Problem, Related
from stepstop.proof import Proof, spoken
from stepstop.tally import Tally

FLAW = "asks-too-little"
SUMMARY = "a check requires less than its hazards do"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each least requirement of a hazard that a check with it leaves out."""
    catalogue = proof.library.catalogue
    for check in catalogue.checks.values():
        for hazard in (catalogue.hazards[name] for name in check.hazards):
            for clause in hazard.requires:
                tally.count()
                if not any(is_as_strict(own, clause) for own in check.requires):
                    message = f"`{check.id}` doesn't require {spoken(clause)}"
                    related = (Related(clause.spot, f"the hazard `{hazard.id}` requires it"),)
                    mend = "add it to the check's `requires`"
                    yield Problem(check.spot, FLAW, message, mend, (), related)


def is_as_strict(own: Clause, least: Clause) -> bool:
    """Whether whatever satisfies `own` satisfies `least` too."""
    return all(
        finding in least.either and set(values) <= set(least.either[finding])
        for finding, values in own.either.items()
    )
