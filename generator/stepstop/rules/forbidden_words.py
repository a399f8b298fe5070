"""No text tells anyone to do what only a technician, or nobody, may do."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally
from stepstop.wording import Refused

FLAW = "forbidden-words"
SUMMARY = "a text outside `never` lines has words that only belong there"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each forbidden wording in a text that isn't a never-line."""
    forbidden = Refused(proof.library.catalogue.rulebook.forbidden)
    for speech in proof.speeches:
        if speech.is_never:
            continue
        tally.count()
        for wording, found in forbidden.find(speech.text):
            message = f"'{found}' in `{speech.owner}`: {wording.why}"
            mend = "leave it out, or say it in a `never` line"
            yield Problem(spot_of(speech.text), FLAW, message, mend)
