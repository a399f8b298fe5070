"""The table of terms on the page about languages is what the Spanish words really say."""

from __future__ import annotations

import re
from typing import NamedTuple

import pytest

from project.repository import ROOT
from stepstop.language.messages import file_of, read

PAGE = ROOT / "content" / "languages.md"
FREE = ("tree.words", "source.")
"""Kinds that are not held to the table: what people type, and titles of documents."""
EXCEPT = {
    "The indoor and the outdoor unit have a breaker each.": "outdoor unit",
    "Think of the indoor and the outdoor unit.": "outdoor unit",
    "I know who, and it was for no harm: by mistake, cleaning or a trip away": "trip",
}
"""Text -> term: the noun stands just before and is left out, or another sense is meant."""


class Term(NamedTuple):
    """A row of the table."""

    english: tuple[str, ...]
    stems: tuple[str, ...]
    refused: tuple[str, ...]

    def is_in(self, text: str) -> bool:
        """Whether an English text has the term."""
        return any(re.search(_one_or_more(each), text, re.IGNORECASE) for each in self.english)


def _one_or_more(word: str) -> str:
    plural = "es" if re.search("(s|x|ch|sh)$", word) else "s"
    return rf"\b{re.escape(word)}({plural})?\b"


def terms() -> list[Term]:
    table = PAGE.read_text("utf-8").split("### The main terms\n")[1].split("\n### ")[0]
    rows = re.findall(r"^\| (.+?) \| .+? \| (`.+?`) \| ?(.*?) ?\|$", table, re.MULTILINE)
    return [
        Term(tuple(english.split(", ")), _quoted(stems), _quoted(refused))
        for english, stems, refused in rows
    ]


def _quoted(cell: str) -> tuple[str, ...]:
    return tuple(re.findall(r"`(.+?)`", cell))


def spanish() -> list[tuple[str, str]]:
    """(English, Spanish) of each entry that is held to the table."""
    words, found = read(file_of(ROOT / "decision_trees", "es"))
    assert words is not None, found
    return [(text, said) for (kind, text), said in words.of.items() if not kind.startswith(FREE)]


TERMS, ENTRIES = terms(), spanish()


def test_the_table_has_the_main_terms_each_once() -> None:
    page = PAGE.read_text("utf-8").split("### The main terms\n")[1].split("\n### ")[0]
    assert len(TERMS) == len(re.findall(r"^\| (?!---|English)", page, re.MULTILINE))
    assert len(TERMS) >= 40
    english = [each for term in TERMS for each in term.english]
    assert len(set(english)) == len(english)


@pytest.mark.parametrize("term", TERMS, ids=lambda term: term.english[0])
def test_spanish_has_the_chosen_word_wherever_english_has_the_term(term: Term) -> None:
    held = [(text, said) for text, said in ENTRIES if term.is_in(text)]
    assert held, "no text has this term"
    other = {
        text: said
        for text, said in held
        if not any(stem in said.lower() for stem in term.stems)
        and EXCEPT.get(text) not in term.english
    }
    assert other == {}


@pytest.mark.parametrize(
    "term", [each for each in TERMS if each.refused], ids=lambda term: term.english[0]
)
def test_spanish_has_no_word_that_the_table_refuses(term: Term) -> None:
    found = {
        text: said
        for text, said in ENTRIES
        for word in term.refused
        if term.is_in(text) and re.search(rf"\b{word}", said, re.IGNORECASE)
        # Another term in the same text may be just that.
        if not any(word in stem for other in TERMS if other.is_in(text) for stem in other.stems)
    }
    assert found == {}


@pytest.mark.parametrize("text", EXCEPT)
def test_an_exception_is_still_needed(text: str) -> None:
    [said] = {said for english, said in ENTRIES if english == text}
    [term] = [each for each in TERMS if EXCEPT[text] in each.english]
    assert not any(stem in said.lower() for stem in term.stems)


def test_a_warm_panel_or_switch_is_never_only_half_as_dangerous() -> None:
    at = r"\b(panel|switch|breaker|spark)\b.*\bwarm\b|\bwarm\b.*\b(panel|loose|buzzing)\b"
    held = {text: said for text, said in ENTRIES if re.search(at, text, re.IGNORECASE)}
    assert len(held) > 10
    assert {text: said for text, said in held.items() if "calient" not in said} == {}
