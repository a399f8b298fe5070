"""A site in several languages: the first one's pages at its root, each other's in a folder."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from stepstop.course import FULL, Course, lay_out
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
from stepstop.model import Library
from stepstop.overlay.layers import folders, holding
from stepstop.pages.atlas import Spoken
from stepstop.pages.rendering import gathered
from stepstop.problems import Problem, sorted_once
from stepstop.source import spot_of, whole


class MissingWords(Exception):
    """A language of a site lacks words: nothing may be published."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(f"{len(problems)} problems with the words of a language")
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True)
class _Language:
    """A language with what it has for the trees; the one that they are written in needs nothing."""

    tongue: Tongue
    words: Words | None = None
    ruling: Ruling | None = None
    said: bytes = b""
    """Hash of all its words and lists."""

    def speaks(self, library: Library) -> Library:
        """The library in it, by whose lists its words are judged."""
        if self.words is None or self.ruling is None:
            return library
        return ruled(speaking(library, self.words), *self.ruling)


class Languages:
    """The languages that there are words in for a library and the pages: each is read once."""

    def __init__(self, library: Library, trees: Path, overrides: tuple[Path, ...] = ()) -> None:
        """`library` is that of the folder `trees`, or a part of it."""
        self._library, self._trees, self._overrides = library, trees, overrides
        self._known: dict[str, _Language | tuple[Problem, ...]] = {}
        self._libraries: dict[str, Library] = {}
        self._last: tuple[Course, dict[str, Course]] | None = None

    def library_in(self, code: str) -> Library | None:
        """The library in a language; None where there are no words in it, or too few."""
        if code not in self._libraries:
            language = self._of(code)
            if isinstance(language, tuple):
                return None
            self._libraries[code] = language.speaks(self._library)
        return self._libraries[code]

    def tongue(self, code: str) -> Tongue:
        """A language with its words for the phrases of pages; raises `MissingWords`."""
        language = self._of(code)
        if isinstance(language, tuple):
            raise MissingWords(language)
        return language.tongue

    def spoken(self, course: Course, edition: Edition, codes: Sequence[str]) -> tuple[Spoken, ...]:
        """A course of the library, whose edition is given, in each language, in their order.

        Nothing untranslated is shown: raises `MissingWords` for whatever a language lacks, and
        `EditionError` for a code that is none, or named twice. Courses are laid out once for
        editions that follow one another.
        """
        if len(set(codes)) < len(codes) or not codes:
            raise EditionError("`languages` names each language once, the company's own first")
        try:
            names = {code: _names(code, codes) for code in codes}
        except LanguageError as error:
            raise EditionError(str(error)) from error
        found: list[_Language] = []
        wrong: list[Problem] = []
        for language in map(self._of, codes):
            if isinstance(language, tuple):
                wrong += language
            else:
                found.append(language)
        if wrong:
            raise MissingWords(sorted_once(wrong))
        tongues = tuple(replace(each.tongue, names=names[each.tongue.code]) for each in found)
        spoken = []
        for language, tongue in zip(found, tongues, strict=True):
            own = self._course(course, language)
            spoken.append((own, _edition(own, edition, language, tongue, tongues)))
        return tuple(spoken)

    def _of(self, code: str) -> _Language | tuple[Problem, ...]:
        """A language, or what it lacks."""
        if code not in self._known:
            try:
                self._known[code] = _read(code, self._trees, self._library, self._overrides)
            except MissingWords as error:
                self._known[code] = error.problems
        return self._known[code]

    def _course(self, course: Course, language: _Language) -> Course:
        if language.words is None:
            return course
        if self._last is None or self._last[0] is not course:
            self._last = course, {}
        known = self._last[1]
        if language.tongue.code not in known:
            within = course.boundaries[FULL] if course.is_narrowed else None
            known[language.tongue.code] = lay_out(language.speaks(course.library), within=within)
        return known[language.tongue.code]


def _names(code: str, codes: Sequence[str]) -> dict[str, str]:
    """Each language's name in that of `code`."""
    locale = locale_of(code)
    return {each: str(locale_of(each).get_display_name(locale)) for each in codes}


def _edition(
    course: Course,
    edition: Edition,
    language: _Language,
    tongue: Tongue,
    tongues: tuple[Tongue, ...],
) -> Edition:
    codes = [each.code for each in tongues]
    digest = sha256(f"{edition.hash} {tongue.code} {codes}".encode() + language.said)
    changed = edition.hash if tongues == (ENGLISH,) else digest.hexdigest()[:8]
    return replace(
        edition,
        place=course.library.catalogue.places[edition.place.id],
        brand=edition.brand and edition.brand.said_in(tongue.code),
        tongue=tongue,
        tongues=tongues,
        hash=changed,
    )


def _read(code: str, trees: Path, library: Library, overrides: tuple[Path, ...]) -> _Language:
    """A language with its words; raises `MissingWords`, and `LanguageError` for no language."""
    locale = locale_of(code)
    if code == ENGLISH.code:
        return _Language(ENGLISH)
    of_pages, wrong = _of_pages(code, overrides)
    words, unread = words_of(trees, code)
    if words is None:
        raise MissingWords([*wrong, *unread])
    lists = lists_folder(trees, code)
    ruling, unruled = ruling_for(words, lists)
    wrong += missing(texts(library), words) or unruled
    if ruling is not None and not wrong:
        wrong += examined(library, words, ruling)
    if wrong:
        raise MissingWords(wrong)
    name = locale.get_display_name() or code
    phrases = {phrase: said for (_, phrase), said in of_pages.of.items()}
    own = Tongue(code, name[:1].upper() + name[1:], locale.text_direction, phrases)
    digest = sha256(lists_file(lists, code).read_bytes())
    digest.update(repr((sorted(words.of.items()), sorted(phrases.items()))).encode())
    return _Language(own, words, ruling, digest.digest())


def _of_pages(code: str, overrides: tuple[Path, ...]) -> tuple[Words, list[Problem]]:
    """The words for the phrases of the pages: those of the first folder that has them."""
    files, wrong = _read_each(pages_file(folder, code) for folder in look_folders(overrides))
    found = merged(files)
    if not files and not wrong:
        named = whole(pages_file(look_folders(overrides)[-1], code))
        message = "the pages have no words in this language"
        mend = f"`stepstop translate {code} --pages --write` begins the file"
        wrong.append(Problem(named, "missing-language", message, mend))
    if not wrong:
        wrong += missing(gathered(look_files(overrides)), found)
    return found, wrong


def _read_each(paths: Iterable[Path]) -> tuple[list[Words], list[Problem]]:
    """The words of files that are there, those of the first path last, and what can't be read."""
    files: list[Words] = []
    wrong: list[Problem] = []
    for path in reversed(list(paths)):
        if path.exists():
            words, unread = read(path)
            wrong += unread
            files += [words] if words else []
    return files, wrong


def words_of(trees: Path, code: str) -> tuple[Words | None, list[Problem]]:
    """The words of a language for the trees in a folder, or None and why they can't be read.

    Of a text that folders below have words for, too, the words of the upper folder are taken.
    """
    own = file_of(trees, code)
    files, wrong = _read_each(file_of(folder, code) for folder in folders(trees))
    if wrong:
        return None, wrong
    if not files:
        return read(own)
    return replace(merged(files), file=whole(own).file), []


def lists_folder(trees: Path, code: str) -> Path:
    """The folder with a language's lists for the trees in a folder: the topmost that has them."""
    return holding(trees, [f"{FOLDER}/{code}.yml"])


def own_texts(found: Iterable[Text], trees: Path, code: str) -> list[Text]:
    """The texts that the folder's own file of a language is to have words for: those that have none
    below, and those that it says in words of its own.
    """
    own, *below = (file_of(folder, code) for folder in folders(trees))
    known, here = merged(_read_each(below)[0]), merged(_read_each([own])[0])

    def is_own(text: Text) -> bool:
        return not known.of.get(text.key) or text.key in here.of

    return [text for text in found if is_own(text)]


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
