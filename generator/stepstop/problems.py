"""An author's mistake as data: found, collected, sorted, shown all at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from stepstop.source import Spot

SHOWN = 60
"""Characters of a value that a message repeats."""

READING_FLAWS = {
    "contradiction": "two things that are written can't both hold",
    "cut-off-text": "` #` in an unquoted text begins a comment, so the rest is not read",
    "duplicate-key": "a key or name stands twice where it may stand once",
    "empty-file": "a file says nothing",
    "empty-list": "a list is empty where something must be in it",
    "empty-text": "a value is left out, or is `null`",
    "file-too-large": "a file is larger than anyone writes by hand",
    "hidden-character": "a character can't be seen, or looks like a space and is none",
    "missing-file": "the folder, or a file that must be there, is not there",
    "missing-key": "a key that must be there is not there",
    "name-taken": "a name is used for two things, or kept for a page that we make",
    "nested-too-deep": "lists or shared trees stand in each other too often",
    "no-trees": "the folder has no tree",
    "not-yaml": "the punctuation or the indent can't be read as YAML",
    "odd-key": "a key is not a plain word",
    "odd-name": "a name has other signs than small letters, digits and single hyphens",
    "several-documents": "`---` begins a second document in a file",
    "slow-pattern": "a regular expression may take very long",
    "text-too-long": "a text or name is longer than any page can show",
    "unknown-file": "a file stands where it is not read",
    "unknown-key": "a key is not known here",
    "unknown-name": "a name leads nowhere",
    "unknown-word": "a value is not one of the words allowed here",
    "unreadable-file": "a file can't be opened, or is not UTF-8",
    "unused-name": "a name is declared and nothing uses it",
    "wrong-name": "a name is not the one that its file, folder or role asks for",
    "wrong-type": "a text, list, number or set of keys stands where another is expected",
    "yaml-alias": "an anchor (`&`) or alias (`*`) is used",
    "yaml-tag": "a tag (`!`) is used",
}
"""Flaws found while reading, before any rule looks: name -> when it is caught."""

REVIEW_FLAWS = {
    "not-reviewed": "no licensed technician has looked a tree over, or none is written down",
    "review-overdue": "a tree was to be looked over again before this date",
}
"""Flaws found only where `verify --strict-review` asks for them: name -> when it is caught."""

OVERLAY_FLAWS = {
    "below-changed": "what lies below a change is another than when somebody last looked at it",
}
"""Flaws found only in overlays: name -> when it is caught."""

LANGUAGE_FLAWS = {
    "markup-differs": "words have other elements of HTML than the phrase of a template",
    "missing-language": "a language's words or lists are not there, or the rules don't know it",
    "missing-translation": "a text has no words in a language, or none that are certain",
    "not-gettext": "the file with a language's words is no gettext file",
    "number-differs": "a number is lost or changed on the way to another language",
    "placeholder-differs": "{emergency}, {gas-line} or {power-company} is lost on that way",
    "translation-too-long": "words are too long for the places where the text stands",
    "unused-translation": "words are there for a text that is not there, or not any more",
}
"""Flaws of words in further languages, the trees', the pages' or a company's: name -> when it is
caught."""

COMPANY_FLAWS = {
    "danger-left-out": "without what a company leaves out, questions about danger are not asked",
    "less-urgent": "a company has somebody come later, or lets them wait for an answer",
    "looks-like-danger": "a color is a red, which stands for danger on these pages",
    "low-contrast": "a color can't be read well enough on light or dark pages",
    "speaks-of-danger": "a company's sentence speaks of danger, of which the proven pages alone do",
    "unsafe-link": "a web address is not a whole one with https, or could do something else",
    "unsafe-picture": "a picture could act, load something, or can't stand in a page",
}
"""Flaws found only in the file of a company: name -> when it is caught."""


@dataclass(frozen=True, slots=True, order=True)
class Related:
    """A second place that the reader of a problem wants to see."""

    spot: Spot
    text: str
    """What is to be seen there, lower-case start, no full stop."""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One mistake in the files of an author."""

    spot: Spot
    flaw: str
    """Name of the flaw, as `stepstop explain` takes it."""
    message: str
    """One sentence, fact first, lower-case start, ids in backticks, no full stop."""
    mend: str = ""
    """What to change, in words of the trade."""
    path: tuple[str, ...] = ()
    """The shortest walk that shows the flaw: names of pages, with the answer taken in brackets."""
    related: tuple[Related, ...] = field(default=())


def sorted_once(problems: Iterable[Problem]) -> list[Problem]:
    """The problems in order of file and line, each flaw once a spot (with its shortest path)."""
    best: dict[tuple[Spot, str, str], Problem] = {}
    for problem in problems:
        key = (problem.spot, problem.flaw, problem.message)
        if key not in best or _rank(problem) < _rank(best[key]):
            best[key] = problem
    return sorted(best.values())


def _rank(problem: Problem) -> tuple[int, Problem]:
    return len(problem.path), problem


def near(name: str, known: Iterable[str]) -> str:
    """A hint that names the ids nearest to `name`, or an empty text."""
    if len(name) > SHOWN:
        return ""
    close: Sequence[str] = get_close_matches(name, sorted(known), n=3, cutoff=0.6)
    return f"did you mean {' or '.join(f'`{each}`' for each in close)}?" if close else ""


def quoted(text: str) -> str:
    """A value as a message repeats it: in backticks, on one line, cut to `SHOWN` characters."""
    folded = " ".join(text[: 4 * SHOWN].split())
    cut = folded[:SHOWN] + "…" if len(folded) > SHOWN or len(text) > 4 * SHOWN else folded
    return f"`{cut}`"
