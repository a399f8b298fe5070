"""Only checks of the catalogue ask anyone to do something."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally
from stepstop.wording import speeches

FLAW = "unlisted-action"
SUMMARY = "a step asks for an action that no check of the catalogue covers"

_BEFORE = r"(?:^|[.!?;:,]\s+|\b(?:and|then|or|please|now|gently|carefully|just|to|must|should)\s+)"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each action verb that stands as an instruction in what a step says itself."""
    verbs = "|".join(re.escape(verb) for verb in proof.library.catalogue.rulebook.action_words)
    told = re.compile(rf"{_BEFORE}({verbs})\b(?!\s*(?:\?|/))", re.IGNORECASE)
    for speech in speeches(proof.library):
        if not speech.is_question:
            continue
        tally.count()
        for found in told.finditer(speech.text):
            message = f"'{found.group(1)}' in `{speech.owner}` asks for an action"
            mend = "ask only to look, listen, read, smell or tell; or use a check"
            yield Problem(spot_of(speech.text), FLAW, message, mend)
