"""A language as pages use it: its code, its own name, and its words for the phrases of the pages.

A phrase is a fixed text of a template, a script, a drawing or a module that makes pages; the texts
of trees are no phrases (`prose` finds those). Phrases are written in English and put into words
while templates and scripts are read, so that a page costs the same in every language.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

Worded = Callable[..., str]
"""Has the words for a phrase, with what is given put in, as `Tongue.worded`."""

ISOLATE, ISOLATED = "\u2068", "\u2069"
"""FIRST STRONG ISOLATE, POP DIRECTIONAL ISOLATE: what is between them keeps an order of its own."""


class NoWords(Exception):
    """A phrase has no words in a language: a page is missing them, so it can't be made."""


@dataclass(frozen=True, slots=True)
class Tongue:
    """A language of an edition."""

    code: str
    """BCP 47, as in `lang`; also the folder of its pages, where it is not the first language."""
    name: str
    """Its own name, as its readers write it."""
    direction: str = "ltr"
    """`ltr` or `rtl`."""
    phrases: Mapping[str, str] | None = field(default=None, compare=False, repr=False)
    """Phrase -> its words; None for the language that phrases are written in."""
    names: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)
    """Code of a language -> its name in this one, as far as the site has it."""

    def worded(self, phrase: str, **given: object) -> str:
        """The words for a phrase, with what is given put in for `{name}`; raises `NoWords`."""
        said = phrase
        if self.phrases is not None:
            said = self.phrases.get(phrase, "")
            if not said:
                raise NoWords(f"the language {self.code} has no words for “{phrase}”")
        for name, value in given.items():
            said = said.replace(f"{{{name}}}", self.apart(str(value)))
        return said

    def name_of(self, other: Tongue) -> str:
        """The name of a language within a sentence of this one; else as its readers write it."""
        return self.names.get(other.code, other.name)

    def apart(self, value: str) -> str:
        """What is put into a phrase, so that it keeps its order where the phrase is right to left.

        Numbers with a gap, a hyphen or a unit would else change places with what is beside them.
        """
        return f"{ISOLATE}{value}{ISOLATED}" if self.direction == "rtl" else value


ENGLISH = Tongue("en", "English")
"""What trees and phrases are written in."""


def phrase(text: str) -> str:
    """`text`, which becomes words later: marks it for those who gather the phrases."""
    return text
