"""The lists that the rules about words go by in another language: `languages/CODE.yml`.

The trees' own rulebook has them for the language that the trees are written in. A library in
another language gets those of its file, so that the same rules hold for its words.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from stepstop.grammar import Grammar
from stepstop.language.messages import FOLDER
from stepstop.language.spanish import SPANISH
from stepstop.model import Instead, Library, Says, Wording
from stepstop.problems import Problem
from stepstop.schema import INSTEAD, SAYS, WORDING
from stepstop.shapes import Desk, Key, ListOf, Number, Record, Text
from stepstop.source import Located, Spot, spot_of, whole
from stepstop.yaml_reader import read_file

GRAMMARS = {"es": SPANISH}
"""Code of a language -> how it is built."""
_VERBS = re.compile(r"<([^<>]+)>")


@dataclass(frozen=True, slots=True)
class Limits:
    """Numbers that a language's words are held to."""

    longest_sentence: int
    """In words."""
    longest_breath: int
    """Words of what an agent says at once."""
    least_ease: float
    """Score of a tree's pooled text, by the formula of the language."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Lists:
    """What a file says."""

    limits: Limits
    action_words: tuple[str, ...]
    hands_on: tuple[str, ...]
    forbidden: tuple[Wording, ...]
    certain: tuple[Wording, ...]
    hard: tuple[Wording, ...]
    says: Says
    instead: tuple[Instead, ...]
    spot: Spot


_VERBS_SHAPE = ListOf(Text(), least=1)
_WORDINGS = ListOf(WORDING, least=1)

LISTS = Record(
    Lists,
    {
        "limits": Key(
            Record(
                Limits,
                {
                    "longest-sentence": Key(Number(5), "words in a sentence", needed=True),
                    "longest-breath": Key(
                        Number(5), "words that an agent says at once", needed=True
                    ),
                    "least-ease": Key(
                        Number(1, whole=False),
                        "score of a tree's texts; higher is easier",
                        needed=True,
                    ),
                },
            ),
            "numbers that the words are held to",
            needed=True,
        ),
        "action-words": Key(_VERBS_SHAPE, "verbs that only checks may ask for", needed=True),
        "hands-on": Key(
            _VERBS_SHAPE, "those of them that outcomes may not ask for either", needed=True
        ),
        "forbidden": Key(
            _WORDINGS, "instructions that are refused; `<verb>` is each of its forms", needed=True
        ),
        "certain": Key(_WORDINGS, "wording that names one cause as certain", needed=True),
        "hard": Key(_WORDINGS, "words that a homeowner may not know", needed=True),
        "says": Key(SAYS, "words by which answers agree, deny or doubt", needed=True),
        "instead": Key(ListOf(INSTEAD), "written words that are said in another way", ()),
    },
)
"""The keys of the file."""


def lists_file(trees: Path, code: str) -> Path:
    """The file of a language's lists."""
    return trees / FOLDER / f"{code}.yml"


def grammar_of(code: str) -> Grammar | None:
    """How the language with this code is built, if it is known here."""
    return GRAMMARS.get(re.split("[-_]", code)[0])


def read_lists(path: Path) -> tuple[Lists | None, list[Problem]]:
    """The lists of a file, or None and why they can't be read."""
    if not path.exists():
        message = "the lists that the rules about words go by are not there"
        mend = "write them: what the rulebook and `calls.instead` have for English"
        return None, [Problem(whole(path), "missing-language", message, mend)]
    node, problems = read_file(path, whole(path).file)
    desk = Desk(list(problems))
    read: Lists | None = None if node is None else LISTS.read(node, desk)
    return (None if desk.problems else read), desk.problems


def ruled(library: Library, lists: Lists, grammar: Grammar) -> Library:
    """A library in the language of `lists`, which the rules and the calls go by from now on."""
    catalogue = library.catalogue
    limits = replace(
        catalogue.rulebook.limits,
        longest_sentence=lists.limits.longest_sentence,
        grade=lists.limits.least_ease,
    )
    written = _patterns(grammar.forms)
    rulebook = replace(
        catalogue.rulebook,
        limits=limits,
        action_words=lists.action_words,
        hands_on=lists.hands_on,
        forbidden=written(lists.forbidden),
        certain=written(lists.certain),
        hard=written(lists.hard),
        says=lists.says,
        grammar=grammar,
    )
    calls = replace(catalogue.calls, instead=lists.instead)
    return replace(library, catalogue=replace(catalogue, rulebook=rulebook, calls=calls))


def _patterns(forms: Callable[[str], str]) -> Callable[[tuple[Wording, ...]], tuple[Wording, ...]]:
    """Puts the forms of each verb into patterns."""

    def every_form(found: re.Match[str]) -> str:
        return f"(?:{'|'.join(forms(verb) for verb in found[1].split('|'))})"

    def written(wordings: tuple[Wording, ...]) -> tuple[Wording, ...]:
        return tuple(
            replace(
                each, pattern=Located(_VERBS.sub(every_form, each.pattern), spot_of(each.pattern))
            )
            for each in wordings
        )

    return written
