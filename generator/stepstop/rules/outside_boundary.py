"""What isn't listed as offered is refused."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from stepstop.course import FULL, holds
from stepstop.model import Boundary, Check
from stepstop.problems import Problem, Related
from stepstop.proof import Proof
from stepstop.tally import Tally

FLAW = "outside-boundary"
SUMMARY = "a step is outside what a homeowner may be asked to do"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each step with a check, hazard or location that its boundary doesn't list."""
    for page in proof.steps():
        tally.count()
        boundary = proof.course.boundaries[page.mode.boundary]
        for what, name in _outside(page.at, page.check, boundary):
            message = f"`{page.name}` has the {what} `{name}`, which `{boundary.id}` doesn't offer"
            related = (Related(boundary.spot, f"what `{boundary.id}` offers"),)
            mend = "leave it to the technician: lead to an outcome"
            yield Problem(page.spot, FLAW, message, mend, (), related)
    yield from _nested(proof, tally)


def _outside(at: str, check: Check | None, boundary: Boundary) -> Iterator[tuple[str, str]]:
    if at and at not in boundary.locations:
        yield "location", at
    if check is not None:
        if check.id not in boundary.checks:
            yield "check", check.id
        for hazard in check.hazards:
            if hazard not in boundary.hazards:
                yield "hazard", hazard


def _nested(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """Every boundary is inside `full`, and of any two one is inside the other."""
    boundaries = proof.library.catalogue.rulebook.boundaries
    for boundary in boundaries.values():
        tally.count()
        for name in _more(boundary, boundaries[FULL]):
            message = f"`{boundary.id}` offers `{name}`, which `{FULL}` doesn't"
            yield Problem(boundary.spot, FLAW, message, "a boundary can only narrow")
    for one, other in combinations(boundaries.values(), 2):
        if FULL not in (one.id, other.id) and not (holds(one, other) or holds(other, one)):
            message = f"neither of `{one.id}` and `{other.id}` is inside the other"
            related = (Related(one.spot, f"what `{one.id}` offers"),)
            mend = "let one of them offer all that the other does: a walk keeps to the narrower one"
            yield Problem(other.spot, FLAW, message, mend, (), related)


def _more(boundary: Boundary, full: Boundary) -> Iterator[str]:
    for what in ("checks", "hazards", "locations"):
        for name in getattr(boundary, what):
            if name not in getattr(full, what):
                yield name
