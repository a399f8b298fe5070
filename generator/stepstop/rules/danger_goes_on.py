"""An answer that reports danger ends the walk, and a doubtful one never goes on as if safe."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Move, Page, holds
from stepstop.model import START_PAGE, UNSURE, Finding
from stepstop.problems import Problem
from stepstop.proof import Proof, Values, answered
from stepstop.rules.danger_not_first import must_be_known
from stepstop.rules.wrong_danger_size import fits
from stepstop.tally import Tally

FLAW = "danger-goes-on"
SUMMARY = "an answer that reports danger, or doubt about it, does not end the walk"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each danger answer, or unsure one, that goes on."""
    yield from _late(proof, tally)
    for page in proof.steps():
        finding = proof.library.catalogue.findings.get(page.finding)
        if finding is None or not finding.is_danger:
            continue
        for move in page.moves:
            tally.count()
            value = finding.values.get(move.value)
            size = value.danger if value else ""
            if move.value == UNSURE:
                yield from _unsure(proof, page, move, finding)
            elif size == "stay-clear":
                yield from _stays_clear(proof, page, move)
            elif size:
                yield from _danger(proof, page, move)


def _late(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each ending that some doubt comes to by way of other questions about danger.

    Left apart: doubt that leads there itself, and findings whose doubt comes to other steps, too:
    `danger-not-first` shows those, and where they are mended so is this.
    """
    findings = proof.library.catalogue.findings
    dangers = {name for name, finding in findings.items() if finding.is_danger}
    steps = frozenset(p.id for p in proof.steps() if p.check or p.finding not in dangers)
    for finding in must_be_known(findings):
        straight = {m.to for p in proof.steps() for m in p.moves if _doubts(p, m, finding)}
        endings = {p.id for p in proof.outcomes() if not _stops(p, finding)} - straight
        tally.count(len(endings))

        def doubted(page: Page, values: Values, at: frozenset[str] = steps | endings) -> bool:
            return page.id in at and values[0] == UNSURE

        reached = list(proof.first_bad((finding.id,), doubted))
        if all(page.outcome for page, _ in reached):
            for page, witness in reached:
                message = f"`{page.name}` can be reached with `{finding.id}` unsure"
                mend = "lead the doubt to the danger outcome"
                yield Problem(witness.via, FLAW, message, mend, witness.path)


def _doubts(page: Page, move: Move, finding: Finding) -> bool:
    return page.finding == finding.id and move.value == UNSURE


def _danger(proof: Proof, page: Page, move: Move) -> Iterator[Problem]:
    after = proof.course.pages[move.to]
    if after.outcome is None:
        message = f"the answer `{move.value}` on `{page.name}` goes on to `{after.name}`"
        yield _problem(move, message, "lead it to an outcome of its own size")


def _unsure(proof: Proof, page: Page, move: Move, finding: Finding) -> Iterator[Problem]:
    after = proof.course.pages[move.to]
    next_finding = proof.library.catalogue.findings.get(after.finding)
    asks_danger = next_finding is not None and next_finding.is_danger and after.check is None
    if not asks_danger and not _stops(after, finding):
        message = f"`unsure` on the danger question `{page.name}` goes on to `{after.name}`"
        yield _problem(move, message, "lead it to the danger outcome, or ask one by one")


def _stops(after: Page, finding: Finding) -> bool:
    """Whether `after` is an outcome for somebody who can't rule out any danger of `finding`."""
    if after.outcome is None:
        return False
    sizes = {value.danger for value in finding.values.values() if value.danger}
    return after.outcome.kind == "danger" or all(fits(size, after.outcome) for size in sizes)


def _stays_clear(proof: Proof, page: Page, move: Move) -> Iterator[Problem]:
    after = proof.course.pages[move.to]
    boundaries = proof.library.catalogue.rulebook.boundaries
    look = boundaries.get("look")
    kept = look is not None and holds(look, boundaries[after.mode.boundary])
    if after.outcome is None and after.id != START_PAGE and not kept:
        message = f"`{move.value}` on `{page.name}` goes on to `{after.name}` "
        message += "as if there were nothing to stay clear of"
        yield _problem(move, message, "add `keep-to: look`")


def _problem(move: Move, message: str, mend: str) -> Problem:
    return Problem(move.via, FLAW, message, mend, (), answered(move))
