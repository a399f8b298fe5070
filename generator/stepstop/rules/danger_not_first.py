"""Every danger is ruled out before anything else is asked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from stepstop.model import Finding
from stepstop.problems import Problem
from stepstop.proof import Proof, told
from stepstop.sweep import Values
from stepstop.tally import Tally

FLAW = "danger-not-first"
SUMMARY = "a step can be reached before every danger has been ruled out"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each first step that some path reaches with a danger not ruled out."""
    findings = proof.library.catalogue.findings
    dangers = {name for name, finding in findings.items() if finding.is_danger}
    guarded = frozenset(p.id for p in proof.steps() if p.check or p.finding not in dangers)
    for finding in must_be_known(findings):

        def unknown(values: Values, fine: tuple[str, ...] = finding.harmless) -> bool:
            return values[0] not in fine

        tally.count(len(guarded))
        for page, witness in proof.first_bad((finding.id,), unknown, guarded):
            message = f"`{page.name}` can be reached with `{finding.id}` {told(witness.values[0])}"
            mend = "lead every path to it through the whole danger screen"
            yield Problem(witness.via, FLAW, message, mend, witness.path)


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
