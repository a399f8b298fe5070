"""A worried person understands the page at first reading."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop import reading_ease
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally
from stepstop.wording import Refused, Speech

FLAW = "hard-words"
SUMMARY = "a text is harder to read than it may be"

FEW = 20
"""Words of a file below which the formula, an average, says nothing."""


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each hard word, each long sentence, and each file that reads too hard."""
    rulebook = proof.library.catalogue.rulebook
    hard = Refused(rulebook.hard)
    by_file: dict[str, list[Speech]] = {}
    for speech in proof.speeches:
        tally.count()
        by_file.setdefault(speech.file, []).append(speech)
        for wording, found in hard.find(speech.text):
            message = f"'{found}' in `{speech.owner}`: {wording.why}"
            yield Problem(spot_of(speech.text), FLAW, message, "use a plainer word, or explain it")
        longest = reading_ease.measures(speech.text).longest
        if longest > rulebook.limits.longest_sentence:
            limit = rulebook.limits.longest_sentence
            message = f"a sentence in `{speech.owner}` has {longest} words, more than {limit}"
            yield Problem(spot_of(speech.text), FLAW, message, "make two of it")
    for file, said in sorted(by_file.items()):
        yield from _grade(file, said, rulebook.limits.grade)


def _grade(file: str, said: list[Speech], limit: float) -> Iterator[Problem]:
    """The grade of a file as a whole: the formula misleads on single short questions."""
    texts = [speech.text for speech in said]
    if sum(reading_ease.measures(text).words for text in texts) < FEW:
        return
    grade = reading_ease.grade_of(texts)
    if grade > limit:
        message = f"{file} reads at grade {grade:.1f}, above {limit:g} (Flesch-Kincaid)"
        yield Problem(spot_of(said[0].text), FLAW, message, "shorter words, shorter sentences")
