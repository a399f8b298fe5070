"""What a check or a place requires holds on every path that leads there."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Page
from stepstop.model import Clause
from stepstop.problems import Problem, Related
from stepstop.proof import Proof, Witness, named, spoken, told
from stepstop.rules.history_not_asked import history_clauses
from stepstop.tally import Tally

FLAW = "unmet-requirement"
SUMMARY = "a check or a place can be reached without what it requires"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each clause of a check or location that some path doesn't meet."""
    wanted: dict[tuple[int, str], tuple[Clause, list[str]]] = {}
    for page in proof.steps():
        for clause, owner in requirements(proof, page):
            tally.count()
            wanted.setdefault((id(clause), owner), (clause, []))[1].append(page.id)
    for (_, owner), (clause, pages) in wanted.items():
        for page, witness in proof.unmet(clause, pages):
            yield _problem(page, clause, owner, witness)


def requirements(proof: Proof, page: Page) -> Iterator[tuple[Clause, str]]:
    """The clauses that must hold when `page` is reached, each with whose it is."""
    if page.check is not None:
        history = history_clauses(proof, page.check)
        for clause in page.check.requires:
            if clause not in history:
                yield clause, page.check.id
    location = proof.library.catalogue.rulebook.locations.get(page.at)
    if location is not None:
        for clause in location.requires:
            yield clause, location.id


def _problem(page: Page, clause: Clause, owner: str, witness: Witness) -> Problem:
    states = " and ".join(
        f"`{name}` {told(value)}" for name, value in zip(named(clause), witness.values, strict=True)
    )
    message = f"`{page.name}` can be reached with {states}"
    related = (Related(clause.spot, f"`{owner}` requires {spoken(clause)}"),)
    mend = f"put a step before it, on this path, that establishes {spoken(clause)}"
    return Problem(witness.via, FLAW, message, mend, witness.path, related)
