"""Every danger is ruled out before anything else is asked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from stepstop.course import Page
from stepstop.model import Finding, Tree
from stepstop.problems import Problem
from stepstop.proof import Proof, Values, told
from stepstop.source import spot_of
from stepstop.tally import Tally

FLAW = "danger-not-first"
SUMMARY = "a step can be reached before every danger has been ruled out"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each first step that some path reaches with a danger not ruled out."""
    yield from _beginnings(proof, tally)
    findings = proof.library.catalogue.findings
    dangers = {name for name, finding in findings.items() if finding.is_danger}
    guarded = frozenset(p.id for p in proof.steps() if p.check or p.finding not in dangers)
    for finding in must_be_known(findings):

        def unknown(page: Page, values: Values, fine: tuple[str, ...] = finding.harmless) -> bool:
            return page.id in guarded and values[0] not in fine

        tally.count(len(guarded))
        for page, witness in proof.first_bad((finding.id,), unknown):
            message = f"`{page.name}` can be reached with `{finding.id}` {told(witness.values[0])}"
            mend = "lead every path to it through the whole danger screen"
            yield Problem(witness.via, FLAW, message, mend, witness.path)


def _beginnings(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each complaint that begins with an ending which isn't held to a danger.

    With nothing asked, nothing is ruled out: only leaving, keeping away or staying is told unasked,
    and only as an ending that a danger answer leads to, which holds its size and its gate. Who
    offers less than the library does may leave the questions out: that is no flaw of the trees.
    """
    if proof.course.is_narrowed:
        return
    told_to_go = set(_told_to_go(proof))
    for tree_id, root in proof.course.begins.items():
        page, tree = proof.course.pages[root], proof.library.trees[tree_id]
        if page.outcome is None:
            continue
        tally.count()
        if page.outcome.kind != "danger":
            message = f"`{tree.id}` begins with `{page.name}`, which is no danger ending"
            yield _at_the_end(tree, message, proof.walked((root,)))
        elif root not in told_to_go:
            message = f"`{tree.id}` begins with `{page.name}`, which no danger answer leads to"
            yield _at_the_end(tree, message, proof.walked((root,)))


def _told_to_go(proof: Proof) -> Iterator[str]:
    """Ids of the pages that an answer which reports danger leads to."""
    findings = proof.library.catalogue.findings
    for page in proof.steps():
        for move in page.moves:
            known = findings[page.finding].values.get(move.value) if page.finding else None
            if known is not None and known.danger:
                yield move.to


def _at_the_end(tree: Tree, message: str, path: tuple[str, ...]) -> Problem:
    mend = "begin with the danger screen, or with the ending of one of its answers"
    return Problem(spot_of(tree.starts_with), FLAW, message, mend, path)


def must_be_known(findings: Mapping[str, Finding]) -> list[Finding]:
    """The danger findings, without the lists whose every danger has a finding of its own.

    A list is known to be one by its values: each danger in it implies a danger in a finding that
    is no list itself, so that doubt about the list is settled by asking one by one.
    """
    dangers = {name: finding for name, finding in findings.items() if finding.is_danger}
    own = {name: each for name, each in dangers.items() if not _is_told_by(dangers, each)}
    return [each for each in dangers.values() if not _is_told_by(own, each)]


def _is_told_by(others: Mapping[str, Finding], finding: Finding) -> bool:
    """Whether each danger in `finding` implies a danger in one of `others`."""
    values = [value for value in finding.values.values() if value.danger]
    return all(any(_dangers_in(others, value.implies)) for value in values)


def _dangers_in(others: Mapping[str, Finding], implied: Mapping[str, str]) -> Iterator[str]:
    for name, value in implied.items():
        known = others[name].values.get(value) if name in others else None
        if known is not None and known.danger:
            yield name
