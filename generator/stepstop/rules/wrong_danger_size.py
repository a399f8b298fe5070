"""A danger gets the outcome of its own size: out of the house, away from the thing, or stay."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Move, Page
from stepstop.model import UNSURE, Finding, Outcome
from stepstop.problems import Problem
from stepstop.proof import Proof, answered
from stepstop.tally import Tally

FLAW = "wrong-danger-size"
SUMMARY = "a danger leads to an outcome made for another size of danger"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each danger answer that ends in an outcome of another size."""
    for page in proof.steps():
        finding = proof.library.catalogue.findings.get(page.finding)
        if finding is None or not finding.is_danger:
            continue
        for move in page.moves:
            outcome = proof.course.pages[move.to].outcome
            sizes = _sizes(finding, move.value, outcome) if outcome else ()
            if outcome and sizes:
                tally.count()
                if not any(fits(size, outcome) for size in sizes):
                    yield _problem(page, move, sizes, outcome)


def _sizes(finding: Finding, value: str, outcome: Outcome) -> tuple[str, ...]:
    """The sizes of which one must fit `outcome`, where `value` leads; none if any outcome may.

    In doubt it may be any that the finding has, `stay-clear` last of all, and always `house`.
    """
    if value == UNSURE and outcome.kind == "danger":  # `danger-goes-on` holds doubt that calls
        dangers = {each.danger for each in finding.values.values() if each.danger}
        return tuple(sorted({*(dangers - {"stay-clear"} or dangers), "house"}))
    known = finding.values.get(value)
    return (known.danger,) if known and known.danger else ()


def fits(size: str, outcome: Outcome) -> bool:
    """Whether `outcome` is one for a danger of `size`."""
    if size == "off-and-call":
        off = outcome.leave is not None and outcome.leave.state.startswith("off-")
        return outcome.kind == "danger" or (outcome.kind == "call" and off)
    if size == "stay-clear":
        return outcome.kind in ("danger", "call")
    return outcome.kind == "danger" and outcome.danger_from == size


def _problem(page: Page, move: Move, sizes: tuple[str, ...], outcome: Outcome) -> Problem:
    size = " or ".join(f"`{size}`" for size in sizes)
    message = f"`{move.value}` on `{page.name}` is a danger of size {size}, "
    message += f"and `{outcome.id}` is {_kind(outcome)}"
    mend = f"lead it to an outcome for {size}"
    return Problem(move.via, FLAW, message, mend, (), answered(move))


def _kind(outcome: Outcome) -> str:
    if outcome.danger_from:
        return f"a danger from `{outcome.danger_from}`"
    state = f" left {outcome.leave.state}" if outcome.leave else ""
    return f"a {outcome.kind}{state}"
