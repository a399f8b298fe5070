"""A worried person understands the page at first reading."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.reading_ease import Measures, grade_of, measures
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
    hard = Refused(rulebook.hard)
    by_text: dict[str, Measures] = {}
    by_file: dict[str, list[Measures]] = {}
    firsts: dict[str, Spot] = {}
    for speech in proof.speeches:
        tally.count()
        for wording, found in hard.find(speech.text):
            message = f"'{found}' in `{speech.owner}`: {wording.why}"
            yield Problem(spot_of(speech.text), FLAW, message, "use a plainer word, or explain it")
        if speech.text not in by_text:
            by_text[speech.text] = measures(speech.text)
        known = by_text[speech.text]
        by_file.setdefault(speech.file, []).append(known)
        firsts.setdefault(speech.file, spot_of(speech.text))
        if known.longest > rulebook.limits.longest_sentence:
            limit = rulebook.limits.longest_sentence
            message = f"a sentence in `{speech.owner}` has {known.longest} words, more than {limit}"
            yield Problem(spot_of(speech.text), FLAW, message, "make two of it")
    for file, said in sorted(by_file.items()):
        yield from _grade(file, said, rulebook.limits.grade, firsts[file])


def _grade(file: str, said: list[Measures], limit: float, spot: Spot) -> Iterator[Problem]:
    """The grade of a file as a whole: the formula misleads on single short questions."""
    if sum(each.words for each in said) < FEW:
        return
    grade = grade_of(said)
    if grade > limit:
        message = f"{file} reads at grade {grade:.1f}, above {limit:g} (Flesch-Kincaid)"
        yield Problem(spot, FLAW, message, "shorter words, shorter sentences")
