"""Every number in advice has a source, or is marked as common practice."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally

FLAW = "unsourced-number"
SUMMARY = "a number in advice has neither a source nor the mark `common-practice`"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each text with a digit whose step, check or outcome names no source."""
    for speech in proof.speeches:
        if not speech.has_number:
            continue
        tally.count()
        if not speech.source:
            message = f"`{speech.owner}` has a number and no source"
            yield Problem(spot_of(speech.text), FLAW, message, "add `source`")
