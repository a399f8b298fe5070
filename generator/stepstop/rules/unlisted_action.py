"""Only checks of the catalogue ask anyone to do something."""

from __future__ import annotations

import re
from collections.abc import Iterator

from stepstop.grammar import Grammar
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally

FLAW = "unlisted-action"
SUMMARY = "a step or ending asks for an action that no check of the catalogue covers"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each action verb that stands as an instruction in what a step says itself."""
    rulebook = proof.library.catalogue.rulebook
    in_steps, at_ends = (
        _told(verbs, rulebook.grammar) for verbs in (rulebook.action_words, rulebook.hands_on)
    )
    for speech in proof.speeches:
        if not (speech.is_question or speech.is_ending):
            continue
        tally.count()
        for found in (in_steps if speech.is_question else at_ends).finditer(speech.text):
            message = f"'{found.group(1)}' in `{speech.owner}` asks for an action"
            mend = "ask only to look, listen, read, smell or tell; or use a check"
            if speech.is_ending:
                mend = "at the end nobody puts hands on the unit: use a check before"
            yield Problem(spot_of(speech.text), FLAW, message, mend)


def _told(verbs: tuple[str, ...], grammar: Grammar) -> re.Pattern[str]:
    """Any of the verbs as an instruction; nothing where there are none."""
    either = "|".join(grammar.forms(verb) for verb in verbs) or r"(?!)"
    return re.compile(rf"{grammar.before_action}({either})\b(?!\s*(?:\?|/))", re.IGNORECASE)
