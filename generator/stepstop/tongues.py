"""A site in several languages: the first one's pages at its root, each other's in a folder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from stepstop.course import Course, lay_out
from stepstop.edition import Edition, EditionError, look_files, look_folders
from stepstop.language.lists import lists_file, ruled
from stepstop.language.messages import (
    FOLDER,
    LanguageError,
    Words,
    file_of,
    locale_of,
    merged,
    missing,
    read,
)
from stepstop.language.prose import Text, texts
from stepstop.language.speaking import speaking
from stepstop.language.tongue import ENGLISH, Tongue
from stepstop.language.worded import Ruling, examined, ruling_for
from stepstop.pages.atlas import Spoken
from stepstop.pages.rendering import gathered
from stepstop.problems import Problem, sorted_once
from stepstop.source import spot_of, whole


class MissingWords(Exception):
    """A language of a site lacks words: nothing may be published."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(f"{len(problems)} problems with the words of a language")
        self.problems = tuple(problems)


def in_languages(
    course: Course,
    edition: Edition,
    codes: Sequence[str],
    trees: Path,
    overrides: tuple[Path, ...] = (),
) -> tuple[Spoken, ...]:
    """The course, whose edition is given, in each language, in their order.

    Nothing untranslated is shown: raises `MissingWords` for whatever a language lacks, and
    `EditionError` for a code that is none, or named twice.
    """
    if len(set(codes)) < len(codes) or not codes:
        raise EditionError("`languages` names each language once, the company's own first")
    found: list[_Language] = []
    wrong: list[Problem] = []
    for code in codes:
        try:
            found.append(_read(code, codes, trees, course, overrides))
        except MissingWords as error:
            wrong += error.problems
        except LanguageError as error:
            raise EditionError(str(error)) from error
    if wrong:
        raise MissingWords(sorted_once(wrong))
    tongues = tuple(each.tongue for each in found)
    return tuple(_spoken(course, edition, each, tongues) for each in found)


@dataclass(frozen=True, slots=True)
class _Language:
    """A language with what it has for the trees; the one that they are written in needs nothing."""

    tongue: Tongue
    words: Words | None = None
    ruling: Ruling | None = None
    lists: bytes = b""
    """The file that its ruling is from."""


def _spoken(
    course: Course, edition: Edition, language: _Language, tongues: tuple[Tongue, ...]
) -> Spoken:
    tongue, words = language.tongue, language.words
    digest = sha256(f"{edition.hash} {tongue.code} {[each.code for each in tongues]}".encode())
    if words is not None and language.ruling is not None:
        course = lay_out(ruled(speaking(course.library, words), *language.ruling))
        said = sorted(words.of.items()), sorted((tongue.phrases or {}).items())
        digest.update(language.lists)
        digest.update(repr(said).encode())
    changed = edition.hash if tongues == (ENGLISH,) else digest.hexdigest()[:8]
    place = course.library.catalogue.places[edition.place.id]
    return course, replace(edition, place=place, tongue=tongue, tongues=tongues, hash=changed)


def _read(
    code: str,
    codes: Sequence[str],
    trees: Path,
    course: Course,
    overrides: tuple[Path, ...],
) -> _Language:
    """A language of those of a site."""
    locale = locale_of(code)
    names = {each: str(locale_of(each).get_display_name(locale)) for each in codes}
    if code == ENGLISH.code:
        return _Language(replace(ENGLISH, names=names))
    of_pages, wrong = _of_pages(code, overrides)
    words, unread = read(file_of(trees, code))
    if words is None:
        raise MissingWords([*wrong, *unread])
    ruling, unruled = ruling_for(words, trees)
    wrong += missing(texts(course.library), words) or unruled
    if ruling is not None and not wrong:
        wrong += examined(course, words, ruling)
    if wrong:
        raise MissingWords(wrong)
    name = locale.get_display_name() or code
    phrases = {phrase: said for (_, phrase), said in of_pages.of.items()}
    own = Tongue(code, name[:1].upper() + name[1:], locale.text_direction, phrases, names)
    return _Language(own, words, ruling, lists_file(trees, code).read_bytes())


def _of_pages(code: str, overrides: tuple[Path, ...]) -> tuple[Words, list[Problem]]:
    """The words for the phrases of the pages: those of the first folder that has them."""
    files: list[Words] = []
    wrong: list[Problem] = []
    for folder in reversed(look_folders(overrides)):
        path = pages_file(folder, code)
        if path.exists():
            words, unread = read(path)
            wrong += unread
            files += [words] if words else []
    found = merged(files)
    if not files and not wrong:
        named = whole(pages_file(look_folders(overrides)[-1], code))
        message = "the pages have no words in this language"
        mend = f"`stepstop translate {code} --pages --write` begins the file"
        wrong.append(Problem(named, "missing-language", message, mend))
    if not wrong:
        wrong += missing(gathered(look_files(overrides)), found)
    return found, wrong


def pages_file(folder: Path, code: str) -> Path:
    """The file with a language's words for the phrases of the pages, in a folder of templates."""
    return folder / FOLDER / f"{code}.po"


def own_phrases(code: str, overrides: Path | None) -> tuple[Path, list[Text]]:
    """The file of a language for the phrases of the pages, and these: of the shipped pages, or of
    those in a folder that come before them.
    """
    folder = look_folders((overrides,) if overrides else ())[0]
    found = gathered(look_files((overrides,) if overrides else ()))
    if overrides:
        inside = folder.absolute()
        found = [text for text in found if inside in Path(spot_of(text.text).file).parents]
    return pages_file(folder, code), found
