"""A language's words for the texts of a library: a gettext file, which any translator's tool opens.

`languages/CODE.po` below the trees has one entry for each text in each context, with the file and
line that it is from. What is wrong with an entry is told like any other problem: at its line.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from pathlib import Path

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import PoFileError, read_po, write_po

from stepstop.language.prose import Text
from stepstop.problems import Problem, quoted, sorted_once
from stepstop.source import Located, Spot, spot_of, whole

FOLDER = "languages"
"""Folder of these files, beside the trees."""
LONGEST, SPARE = 1.7, 14
"""A translation may have so many times the characters of its text, and some more: it stands on the
same buttons. A judgement."""
_SLOT = re.compile(r"\{[^{}]*\}")
_NUMBER = re.compile(r"\d+")
_MARKUP = re.compile(r"</?[a-z][^<>]*>")

Key = tuple[str, str]
"""Context and text."""


class LanguageError(Exception):
    """There is no such language, or its file can't be written."""


@dataclass(frozen=True, slots=True)
class Words:
    """What a file of a language says."""

    file: str
    of: dict[Key, str]
    """The words for each text, empty where nobody has put it yet."""
    spots: dict[Key, Spot]
    """Where the entry of each text stands."""
    fuzzy: frozenset[Key]
    """Entries that a translator has marked as not certain."""


def file_of(trees: Path, code: str) -> Path:
    """The file of a language."""
    return trees / FOLDER / f"{code}.po"


def problems(found: Iterable[Text], path: Path) -> list[Problem]:
    """What is missing or wrong in the file of a language for some texts: sorted, each at its line.

    A text without words is told where it is written, since its entry may be missing, too.
    """
    words, unread = read(path)
    if words is None:
        return unread
    wanted = _wanted(found)
    unused = [
        Problem(
            spot,
            "unused-translation",
            f"no text is {quoted(key[1])} any more ({key[0]})",
            "take it out: `stepstop translate` with --write does it",
        )
        for key, spot in words.spots.items()
        if key not in wanted
    ]
    return sorted_once([*_missing(wanted, words), *unused])


def missing(found: Iterable[Text], words: Words) -> list[Problem]:
    """What keeps texts from being shown in a language: words that are missing, uncertain or odd."""
    return sorted_once(_missing(_wanted(found), words))


def _missing(wanted: Mapping[Key, list[Text]], words: Words) -> Iterator[Problem]:
    for key, places in wanted.items():
        yield from _examined(key, places, words)


def read(path: Path) -> tuple[Words | None, list[Problem]]:
    """The words of a file, or None and why it can't be read."""
    try:
        data = path.read_bytes()
    except OSError as error:
        message = f"the file can't be read: {error.strerror or 'no reason given'}"
        mend = f"`stepstop translate {path.stem} --write` begins it"
        return None, [Problem(whole(path), "missing-language", message, mend)]
    try:
        catalog = read_po(BytesIO(data), abort_invalid=True)
    except (PoFileError, UnicodeDecodeError, ValueError) as error:
        line = getattr(error, "lineno", None) or 0
        spot = Spot(whole(path).file, line, 1 if line else 0)
        message = f"this is no gettext file: {str(error).partition(' on ')[0]}"
        return None, [Problem(spot, "not-gettext", message, "open it with a translator's tool")]
    of: dict[Key, str] = {}
    spots: dict[Key, Spot] = {}
    fuzzy: set[Key] = set()
    for entry in _messages(catalog):
        key = _key(entry)
        of[key] = str(entry.string)
        spots[key] = Spot(whole(path).file, entry.lineno or 0, 1 if entry.lineno else 0)
        if entry.fuzzy:
            fuzzy.add(key)
    return Words(whole(path).file, of, spots, frozenset(fuzzy)), []


def merged(files: Iterable[Words]) -> Words:
    """The words of several files as one; of a text that is in several, those of the last."""
    of: dict[Key, str] = {}
    spots: dict[Key, Spot] = {}
    fuzzy: set[Key] = set()
    name = ""
    for each in files:
        name = each.file
        of |= each.of
        spots |= each.spots
        fuzzy = (fuzzy - each.of.keys()) | each.fuzzy
    return Words(name, of, spots, frozenset(fuzzy))


def update(found: Iterable[Text], path: Path) -> tuple[int, int]:
    """Write the file anew for some texts: what is there stays, what is new has no words, what is
    unused goes.

    Returns how many texts it has, and how many of them have no words. Raises `LanguageError`.
    """
    locale = locale_of(path.stem)
    words = Words("", {}, {}, frozenset())
    if path.exists():
        known, unread = read(path)
        if known is None:
            raise LanguageError(f"{unread[0].spot}: {unread[0].message}")
        words = known
    catalog = Catalog(
        locale=locale,
        project="Stepstop",
        version="trees",
        msgid_bugs_address="-",
        last_translator="-",
        language_team="-",
        fuzzy=False,
    )
    catalog.header_comment = f"# {locale.english_name} words for the texts of the trees."
    here = path.parent.parent.absolute()
    wanted = _wanted(found)
    for key, places in wanted.items():
        lines = {(_below(spot, here), spot.line): 0 for spot in (spot_of(p.text) for p in places)}
        catalog.add(
            key[1],
            words.of.get(key, ""),
            locations=list(lines),
            flags=("fuzzy",) if key in words.fuzzy else (),
            auto_comments=list(dict.fromkeys(place.place for place in places if place.place))[:3],
            context=key[0],
        )
    content = BytesIO()
    write_po(content, catalog, width=100, sort_by_file=False, ignore_obsolete=True)
    try:
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(_undated(content.getvalue()))
    except OSError as error:
        raise LanguageError(f"{path} can't be written: {error.strerror}") from error
    return len(wanted), sum(1 for key in wanted if not words.of.get(key))


def long_date(day: date, code: str) -> str:
    """A date as people who read the language write it (CLDR, through Babel); `LanguageError`."""
    return format_date(day, "long", locale=locale_of(code))


def locale_of(code: str) -> Locale:
    """The language of a code; raises `LanguageError`."""
    try:
        return Locale.parse(code)
    except (UnknownLocaleError, ValueError) as error:
        raise LanguageError(f"no language has the code {quoted(code)}") from error


def is_language(code: str) -> bool:
    """Whether `code` is that of a language alone, without a country."""
    try:
        return locale_of(code).language == code
    except LanguageError:
        return False


def _wanted(texts: Iterable[Text]) -> dict[Key, list[Text]]:
    """Each text in its context -> the places where it stands, in the order of the files."""
    found: dict[Key, list[Text]] = {}
    for text in sorted(texts, key=lambda each: spot_of(each.text)):
        found.setdefault(text.key, []).append(text)
    return found


def _examined(key: Key, places: list[Text], words: Words) -> Iterator[Problem]:
    context, text = key
    said = words.of.get(key, "")
    if not said:
        message = f"{quoted(text)} ({context}) has no words in {words.file}"
        mend = "translate it: nothing untranslated is shown on a page about safety"
        yield Problem(spot_of(places[0].text), "missing-translation", message, mend)
        return
    spot = words.spots[key]
    if key in words.fuzzy:
        message = f"{quoted(said)} is marked as not certain (fuzzy)"
        mend = "look at it beside the text, and take the mark away"
        yield Problem(spot, "missing-translation", message, mend)
    yield from differing(text, Located(said, spot))


def differing(text: str, said: Located) -> Iterator[Problem]:
    """What the words for a text have otherwise than the text, or too much of; at their spot."""
    spot = said.spot
    for pattern, flaw, what in (
        (_SLOT, "placeholder-differs", "placeholders"),
        (_NUMBER, "number-differs", "numbers"),
        (_MARKUP, "markup-differs", "markup"),
    ):
        there, here = Counter(pattern.findall(text)), Counter(pattern.findall(said))
        if there != here:
            message = f"{quoted(said)} has other {what} than {quoted(text)}"
            wanted, given = (", ".join(sorted(each.elements())) or "none" for each in (there, here))
            mend = f"wanted: {wanted}; here: {given}"
            yield Problem(spot, flaw, message, mend)
    if len(said) > LONGEST * len(text) + SPARE:
        message = f"{quoted(said)} has {len(said)} characters, for {len(text)} of the text"
        yield Problem(spot, "translation-too-long", message, "say it in fewer words")


def _messages(catalog: Catalog) -> Iterator[Message]:
    return (message for message in catalog if message.id)


def _key(message: Message) -> Key:
    return message.context or "", str(message.id)


def _below(spot: Spot, folder: Path) -> str:
    """The path of a spot's file as it is written in the gettext file: below the trees."""
    return Path(os.path.relpath(os.path.abspath(spot.file), folder)).as_posix()


def _undated(content: bytes) -> bytes:
    """Without when, and by which release, it was written: the same words are the same file."""
    passing = (b'"POT-Creation-Date', b'"PO-Revision-Date', b'"Generated-By')
    return b"\n".join(line for line in content.split(b"\n") if not line.startswith(passing))
