"""A library in another language: the same trees, with a language's words for every text."""

from __future__ import annotations

from stepstop.language.messages import Words
from stepstop.language.prose import Text, reworded
from stepstop.language.tongue import NoWords
from stepstop.model import Library
from stepstop.source import Located


def speaking(library: Library, words: Words) -> Library:
    """`library` with the words for each text, which know their line; raises `NoWords`.

    Ids and all that walks, proof and belief go by are as they were, so that a page has the same
    address in every language and a trail leads to the same page.
    """

    def put(text: Text) -> str:
        said = words.of.get(text.key, "")
        if not said:
            raise NoWords(f"{words.file} has no words for “{text.text}” ({text.context})")
        return Located(said, words.spots[text.key])

    spoken: Library = reworded(library, put)
    return spoken
