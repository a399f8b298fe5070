"""What a company says in its own words, in each of its languages: all of it, and alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from stepstop.company.model import Company
from stepstop.grammar import Grammar
from stepstop.language.messages import differing
from stepstop.model import Library
from stepstop.problems import Problem, near, quoted
from stepstop.rules import spoken
from stepstop.source import Located, spot_of

LibraryIn = Callable[[str], Library | None]
"""Code of a language -> the trees in it, with the lists that words are judged by; None where the
pages lack words in it."""


def problems_of(company: Company, library_in: LibraryIn) -> Iterator[Problem]:
    """What is missing or wrong in the company's own words."""
    yield from _translations(company)
    for number, code in enumerate(company.languages):
        library = library_in(code)
        if library is None:
            message = f"the pages lack words in the language `{code}`"
            mend = f"`stepstop translate {code}`, and again with --pages, tells which"
            yield Problem(spot_of(code), "missing-language", message, mend)
            continue
        said = company.translations.get(code) if number else company
        names = () if number else company.kept
        if said is not None:
            yield from spoken(_written(said.sentences().values()), library)
            yield from _on_danger(said.sentences(), library.catalogue.rulebook.grammar)
            names = (*said.names().values(), *names)
        yield from spoken(_written(names), library, is_prose=False)


def _on_danger(sentences: Mapping[str, str], grammar: Grammar) -> Iterator[Problem]:
    """What to do in danger is said by the pages alone: they are proven, these words are not."""
    for way, text in sentences.items():
        if found := grammar.danger.search(text):
            message = f"`{way}` speaks of danger, or of being safe from it: {quoted(found[0])}"
            mend = "leave it out: the pages say what to do in danger"
            yield Problem(spot_of(text), "speaks-of-danger", message, mend)


def _written(texts: Iterable[str]) -> tuple[str, ...]:
    """The texts that are there."""
    return tuple(text for text in texts if text and isinstance(text, Located))


def _translations(company: Company) -> Iterator[Problem]:
    """Words that a further language lacks or has too many, or that say something else."""
    further, own = company.languages[1:], {**company.sentences(), **company.names()}
    for code in further:
        if code not in company.translations:
            wanted = ", ".join(f"`{way}`" for way, text in own.items() if text)
            message = f"what the company says has no words in `{code}`"
            mend = f"add `translations: {{{code}: ...}}` with {wanted}"
            yield Problem(spot_of(code), "missing-translation", message, mend)
    for code, translation in company.translations.items():
        if code not in further:
            message = f"`{code}` is none of the further languages that `languages` names"
            mend = near(code, further) or "add it there, behind the company's own, or take it out"
            yield Problem(spot_of(code), "unused-translation", message, mend)
            continue
        said = {**translation.sentences(), **translation.names()}
        for way in dict.fromkeys((*own, *said)):
            yield from _compared(way, own.get(way, ""), said.get(way, ""), code)
        for way, text in company.sentences().items():
            if text and text == said.get(way):
                message = f"`{way}` is the same as in the company's own language"
                mend = f"say it in the language `{code}`"
                yield Problem(spot_of(said[way]), "missing-translation", message, mend)


def _compared(way: str, text: str, said: str, code: str) -> Iterator[Problem]:
    if not text:
        if said:
            message = f"`{way}` has words here, and the company says nothing of it"
            yield Problem(spot_of(said), "unused-translation", message, "take it out")
    elif isinstance(said, Located):
        if said:  # Something else than a text may stand there, which is told where it is read.
            yield from differing(text, said)
    else:
        message = f"`{way}` has no words here for {quoted(text)}"
        mend = "write them: nothing untranslated is shown on a page about safety"
        yield Problem(spot_of(code), "missing-translation", message, mend)
