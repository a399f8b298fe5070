"""What the rules about words must know of a language beside its lists: how its sentences are built.

Lists say which words are refused; a grammar says where an instruction stands, which clause tells to
phone, how many syllables a word has, and by which published formula a text reads too hard.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stepstop.reading_ease import Measures, grade_of, measures


@dataclass(frozen=True, slots=True)
class Grammar:
    """How a language is built, as far as the rules ask."""

    measures: Callable[[str], Measures]
    """What a text comes to."""
    too_hard: Callable[[Sequence[Measures], float], str]
    """How texts read together that are harder than a bar, or nothing; they hold a word."""
    forms: Callable[[str], str]
    """A pattern for a verb of the lists, in all forms in which pages may ask for it."""
    before_action: str
    """A pattern for what stands before a verb that is an instruction."""
    clause: re.Pattern[str]
    """Parts the clauses of a sentence."""
    calls: re.Pattern[str]
    """What stands in a clause that tells to phone."""
    calls_not: re.Pattern[str]
    """What stands in one that says not to."""
    danger: re.Pattern[str]
    """What speaks of danger, or says that there is none."""

    def tells_to_phone(self, text: str) -> bool:
        """Whether some clause of `text` says to phone and isn't about not doing so."""
        clauses = self.clause.split(text)
        return any(self.calls.search(c) and not self.calls_not.search(c) for c in clauses)


def _above_grade(said: Sequence[Measures], grade: float) -> str:
    found = grade_of(said)
    return f"at grade {found:.1f}, above {grade:g} (Flesch-Kincaid)" if found > grade else ""


_CALL = (
    r"(?:\b(?:call|calling|dial|dialing|phoning|ring(?!\s+(?:the\s+|a\s+|any\s+)?(?:door)?bell))\b"
    r"|(?<!\bthe )(?<!\ba )(?<!\bany )(?<!\bthis )(?<!\byour )(?<!\bmobile )(?<!\bcell )\bphone\b"
    r"|\b(?:use|pick\s+up)\s+(?:the|a|any|this|your)\s+(?:mobile\s+|cell\s+)?phone\b"
    r"|\{(?:emergency|gas-line|power-company)\})"
)

ENGLISH = Grammar(
    measures=measures,
    too_hard=_above_grade,
    forms=re.escape,
    before_action=(
        r"(?:^|[.!?;:,]\s+"
        r"|\b(?:and|then|or|please|now|gently|carefully|just|to|must|should)\s+)"
    ),
    clause=re.compile(r"[.;:!?,]|\b(?:and|then|but)\b", re.I),
    calls=re.compile(_CALL, re.I),
    calls_not=re.compile(
        r"\b(?:no|not|nobody|never|without|cannot|can't|don't)\b(?:\s+[\w']+){0,3}?\s+"
        rf"{_CALL}|\bbefore\s+(?:\w+\s+)?{_CALL}",
        re.I,
    ),
    danger=re.compile(
        r"\b(?:smell\w*|odou?rs?|smoke|fire|alarms?|monoxide|shocks?|gas\s+(?:line|pipe|valve|leak)s?"
        r"|(?:completely|totally|perfectly|quite)\s+safe|safe\s+to)\b",
        re.I,
    ),
)
"""Of English, which trees are written in."""
