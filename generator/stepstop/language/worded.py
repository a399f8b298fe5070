"""The rules about words, held by a language's own words and lists.

A rule tells what is wrong at the spot of a text. Here each text stands, in its translation, at the
spot where it is written in the trees, so that a tree's texts are pooled as they are in English;
what is found is then told at the line of the entry.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from stepstop.course import Course, lay_out
from stepstop.grammar import Grammar
from stepstop.language.lists import Lists, grammar_of, lists_file, read_lists, ruled
from stepstop.language.messages import Words
from stepstop.language.prose import Text, reworded
from stepstop.model import Calls, Instead, Library
from stepstop.problems import Problem, quoted, sorted_once
from stepstop.proof import Proof
from stepstop.rules import WORDED
from stepstop.source import Located, Spot, spot_of, whole
from stepstop.tally import Tally

Ruling = tuple[Lists, Grammar]
"""What the rules about words go by in a language."""

IN_A_BREATH = (
    "heard.ask",
    "step.speak",
    "card.say",
    "calls.first",
    "calls.there",
    "calls.repeat",
)
"""Kinds of texts that an agent says at once."""


def worded_wrong(course: Course, words: Words, trees: Path) -> list[Problem]:
    """What the rules about words find in a language's words: each at the line of its entry.

    `trees` is the folder with the lists of the language.
    Texts without words are left as they are; `messages.problems` tells those.
    """
    ruling, problems = ruling_for(words, trees)
    return problems if ruling is None else examined(course.library, words, ruling)


def ruling_for(words: Words, trees: Path) -> tuple[Ruling | None, list[Problem]]:
    """What the rules about words go by in the language of `words`, or None and why not."""
    code = Path(words.file).stem
    grammar = grammar_of(code)
    if grammar is None:
        message = f"the rules about words don't know how the language `{code}` is built"
        mend = "only a developer can tell them: write a grammar beside that of Spanish"
        return None, [Problem(whole(Path(words.file)), "missing-language", message, mend)]
    lists, problems = read_lists(lists_file(trees, code))
    return (None if lists is None else (lists, grammar)), sorted_once(problems)


def examined(library: Library, words: Words, ruling: Ruling) -> list[Problem]:
    """What the rules find, going by lists and a grammar that are known."""
    lists, grammar = ruling
    told = _Told(words)
    put: Library = reworded(library, told.put)
    lists_here = replace(lists, instead=told.on_calls(lists.instead, put))
    proof, tally = Proof(lay_out(ruled(put, lists_here, grammar))), Tally()
    found = [problem for rule in WORDED for problem in rule.examine(proof, tally)]
    on_calls = _on_calls(told, library.catalogue.calls, lists)
    return sorted_once((*told.moved(found), *on_calls))


@dataclass(slots=True)
class _Told:
    """Puts translations where their texts are written, and knows their entries."""

    words: Words
    entries: dict[Spot, Spot] = field(default_factory=dict)
    """Spot of a text in the trees -> that of its entry."""
    pairs: list[tuple[Text, str]] = field(default_factory=list)
    """Each text with its translation."""

    def put(self, text: Text) -> str:
        """The translation of a text, at the spot of the text."""
        said = self.words.of.get(text.key, "")
        if not said:
            return text.text
        spot = spot_of(text.text)
        self.entries[spot] = self.words.spots[text.key]
        put = Located(said, spot)
        self.pairs.append((text, put))
        return put

    def on_calls(self, instead: tuple[Instead, ...], library: Library) -> tuple[Instead, ...]:
        """What is said instead, put where calls stand: it is pooled with what is said on them."""
        file = library.catalogue.calls.spot.file
        moved = []
        for each in instead:
            spot = Spot(file, spot_of(each.spoken).line, 0)  # No text of the trees has a column 0.
            self.entries[spot] = spot_of(each.spoken)
            moved.append(replace(each, spoken=Located(each.spoken, spot)))
        return tuple(moved)

    def moved(self, problems: Iterable[Problem]) -> Iterator[Problem]:
        """The problems of translations, at their entries; what has none is about the trees."""
        for problem in problems:
            if problem.spot in self.entries:
                yield replace(problem, spot=self.entries[problem.spot])


def _on_calls(told: _Told, calls: Calls, lists: Lists) -> Iterator[Problem]:
    """What an agent could not say so, or not at once; `calls` has what is said in English."""
    used = set()
    for text, said in told.pairs:
        entry = told.entries[spot_of(said)]
        spoken = said
        for each in lists.instead:
            if each.written in spoken:
                used.add(each)
                spoken = spoken.replace(each.written, each.spoken)
        if spoken == said and calls.spoken(text.text) != text.text:
            message = f"on the telephone an agent can't say {quoted(said)}"
            mend = (
                f"put what to say `instead` into the lists; in English: {calls.spoken(text.text)}"
            )
            yield Problem(entry, "missing-translation", message, mend)
        words, most = len(said.split()), lists.limits.longest_breath
        if text.context in IN_A_BREATH and words > most:
            message = f"the text has {words} words, more than {most} to say in one breath"
            yield Problem(entry, "text-too-long", message, "make two of it, or shorten it")
    for each in lists.instead:
        if each not in used:
            message = f"no text has {quoted(each.written)} any more"
            yield Problem(spot_of(each.written), "unused-translation", message, "take it out")
