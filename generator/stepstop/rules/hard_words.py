"""A worried person understands the page at first reading."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.model import Rulebook
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.reading_ease import Measures
from stepstop.source import Spot, spot_of
from stepstop.tally import Tally
from stepstop.wording import Refused

FLAW = "hard-words"
SUMMARY = "a text is harder to read than it may be"

FEW = 20
"""Words of a file below which the formula, an average, says nothing."""


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each hard word, each long sentence, and each file that reads too hard."""
    rulebook = proof.library.catalogue.rulebook
    hard, grammar = Refused(rulebook.hard), rulebook.grammar
    by_text: dict[str, Measures] = {}
    by_file: dict[str, list[Measures]] = {}
    firsts: dict[str, Spot] = {}
    for speech in proof.speeches:
        tally.count()
        for wording, found in hard.find(speech.text):
            message = f"'{found}' in `{speech.owner}`: {wording.why}"
            yield Problem(spot_of(speech.text), FLAW, message, "use a plainer word, or explain it")
        if speech.text not in by_text:
            by_text[speech.text] = grammar.measures(speech.text)
        known = by_text[speech.text]
        by_file.setdefault(speech.file, []).append(known)
        firsts.setdefault(speech.file, spot_of(speech.text))
        if known.longest > rulebook.limits.longest_sentence:
            limit = rulebook.limits.longest_sentence
            message = f"a sentence in `{speech.owner}` has {known.longest} words, more than {limit}"
            yield Problem(spot_of(speech.text), FLAW, message, "make two of it")
    for file, said in sorted(by_file.items()):
        yield from _whole(file, said, rulebook, firsts[file])


def _whole(file: str, said: list[Measures], rulebook: Rulebook, spot: Spot) -> Iterator[Problem]:
    """How a file reads as a whole: the formula misleads on single short questions."""
    if sum(each.words for each in said) < FEW:
        return
    how = rulebook.grammar.too_hard(said, rulebook.limits.grade)
    if how:
        message = f"{file} reads {how}"
        yield Problem(spot, FLAW, message, "shorter words, shorter sentences")
