"""The edition: for whom a site is built, when, and a short hash of all that decides its pages."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from hashlib import sha256
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from stepstop import __version__, ranking, rehearsed, shipped
from stepstop.company.model import Brand
from stepstop.course import Course
from stepstop.language.tongue import ENGLISH, Tongue, phrase
from stepstop.model import Place
from stepstop.overlay.layers import files_of
from stepstop.places import left_out

if TYPE_CHECKING:
    from hashlib import _Hash as Digest

STOCK = "endings"
"""Tree that holds the outcomes which every page's frame leads to."""
STOP_AND_CALL = "stop-and-call"
"""The outcome of `STOCK` behind the link of the same name on every page."""

UNDATED = phrase("undated")
"""In place of a date that an edition doesn't have, or of a year that a source doesn't name."""


class EditionError(Exception):
    """What was asked for can't be built; the message says why."""


@dataclass(frozen=True, slots=True)
class Edition:
    """For whom, when, and from what a site is built."""

    place: Place
    date: str
    """ISO date, or empty."""
    hash: str
    """8 hex digits over all that decides pages: trees, templates, drawings, place, version, what is
    kept of a rehearsal; not over the date."""
    rehearsed: rehearsed.Rehearsed | None
    """What is kept of a rehearsal of these very trees."""
    rankings: Mapping[str, ranking.Ranking]
    """Tree -> the table by which causes are ranked after its trails; none of a stale rehearsal."""
    tells_rehearsal: bool
    """Whether there is a page that tells how it was rehearsed."""
    works_offline: bool
    """Whether a phone keeps the pages for a time without a network."""
    brand: Brand | None = None
    """The company whose edition it is."""
    tongue: Tongue = ENGLISH
    """The language that its pages are in."""
    tongues: tuple[Tongue, ...] = (ENGLISH,)
    """All languages of the site; the first one's pages lie at its root, and it is the company's."""

    fingerprint: str = ""
    """Of what a rehearsal of its course would find: what is kept of one is kept under it."""
    address: str = ""
    """The address of the site's root, with a slash at its end, where it is known."""

    @property
    def is_first(self) -> bool:
        """Whether its pages lie at the site's root."""
        return self.tongue == self.tongues[0]

    @property
    def folder(self) -> str:
        """Folder of its pages below the site's root: empty, or ending with a slash."""
        return self.folder_of(self.tongue)

    @property
    def others(self) -> tuple[Tongue, ...]:
        """The other languages of the site, in their order."""
        return tuple(tongue for tongue in self.tongues if tongue != self.tongue)

    @property
    def companys(self) -> str:
        """The company's language by its name in that of the pages."""
        return self.tongue.name_of(self.tongues[0])

    def folder_of(self, tongue: Tongue) -> str:
        """The folder of a language's pages: empty, or ending with a slash."""
        return "" if tongue == self.tongues[0] else f"{tongue.code}/"

    @property
    def is_branded(self) -> bool:
        """Whether it is a company's."""
        return self.brand is not None

    @property
    def dated(self) -> str:
        """The date as a page shows it, in its language."""
        return self.date or self.tongue.worded(UNDATED)


class Editions:
    """Editions of the trees in a folder; what several of them share is read once."""

    def __init__(
        self,
        trees: Path,
        *,
        today: str | None = None,
        rehearsal_page: bool = True,
        offline: bool = True,
        overrides: tuple[Path, ...] = (),
        environ: Mapping[str, str] = os.environ,
    ) -> None:
        """All of them have the same date and looks; see `edition_for`. Raises `EditionError`."""
        self._trees, self._tells_rehearsal, self._offline = trees, rehearsal_page, offline
        self._date = edition_date(today, environ)
        self._files = sha256()
        _add(self._files, chain(_trees(trees), _looks(overrides)))
        self._last: tuple[Course, _Kept] | None = None

    def of(self, course: Course, *, place: str = "us", brand: Brand | None = None) -> Edition:
        """That of a course of these trees for a place, or for a company and the company's place.

        It is the course of what the place has, see `places.course_in`.
        Raises `EditionError`.
        """
        library = course.library
        place = brand.company.place if brand else place
        known = library.catalogue.places
        if place not in known:
            raise EditionError(f"no place `{place}`; known: {', '.join(sorted(known))}")
        if out := left_out(library, place):
            raise AssertionError(f"`{out[0]}` is left out in {place}, and it is in this course")
        stock = library.trees.get(STOCK)
        if stock is None or STOP_AND_CALL not in stock.outcomes:
            raise EditionError(f"no outcome `{STOP_AND_CALL}` in shared/{STOCK}.yml")
        kept = self._kept(course)
        digest = kept.digest.copy()
        if not self._offline:
            _add(digest, [("offline", b"no")])
        if brand is not None:
            _add(digest, [("company", brand.content)])
        digest.update(f"{place}\0{__version__}".encode())
        return Edition(
            known[place],
            self._date,
            digest.hexdigest()[:8],
            kept.rehearsed,
            kept.rankings,
            self._tells_rehearsal,
            self._offline,
            brand,
            fingerprint=kept.fingerprint,
        )

    def _kept(self, course: Course) -> _Kept:
        """What is kept of a rehearsal of `course`, read once while it is asked for in a row."""
        if self._last is None or self._last[0] is not course:
            of = rehearsed.fingerprint(self._trees, course)
            found = rehearsed.read(self._trees, course, of)
            tables = ranking.read(rehearsed.kept(self._trees, of), of) if found else {}
            digest = self._files.copy()
            _add(digest, _rehearsal(found, told=self._tells_rehearsal))
            _add(digest, ((f"ranking/{tree}", _plain(each)) for tree, each in tables.items()))
            self._last = course, _Kept(of, found, tables, digest)
        return self._last[1]


@dataclass(frozen=True, slots=True)
class _Kept:
    """What is kept of a rehearsal of a course."""

    fingerprint: str
    rehearsed: rehearsed.Rehearsed | None
    rankings: Mapping[str, ranking.Ranking]
    digest: Digest
    """Of all that decides its pages, but for whom they are."""


def edition_for(
    course: Course,
    trees: Path,
    *,
    place: str = "us",
    today: str | None = None,
    rehearsal_page: bool = True,
    offline: bool = True,
    overrides: tuple[Path, ...] = (),
    brand: Brand | None = None,
    environ: Mapping[str, str] = os.environ,
) -> Edition:
    """The edition of the trees in the folder `trees`, whose course is `course`, for a place.

    That of a company, `brand`, is for the company's own place.

    Its date is `today` (YYYY-MM-DD), else that of SOURCE_DATE_EPOCH in `environ`, else empty: no
    clock is read. Raises `EditionError` for a date that is none, an unknown place, and trees
    without the outcome that every page's "stop and call" leads to.
    """
    editions = Editions(
        trees,
        today=today,
        rehearsal_page=rehearsal_page,
        offline=offline,
        overrides=overrides,
        environ=environ,
    )
    return editions.of(course, place=place, brand=brand)


def _plain(table: ranking.Ranking) -> bytes:
    return json.dumps(table.data, sort_keys=True).encode()


def edition_date(today: str | None, environ: Mapping[str, str]) -> str:
    """`today` (YYYY-MM-DD), else the day of SOURCE_DATE_EPOCH in `environ`, else empty.

    Raises `EditionError` for a date that is none.
    """
    if today:
        return _checked(today)
    epoch = environ.get("SOURCE_DATE_EPOCH", "")
    if not epoch:
        return ""
    try:
        return datetime.fromtimestamp(int(epoch), UTC).date().isoformat()
    except (ValueError, OverflowError, OSError) as error:
        raise EditionError(f"SOURCE_DATE_EPOCH is `{epoch}`, not a number of seconds") from error


def _checked(today: str) -> str:
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", today, re.ASCII):
        try:
            return date.fromisoformat(today).isoformat()
        except ValueError:
            pass
    raise EditionError(f"`{today}` is not a date like 2026-01-31")


def _add(digest: Digest, parts: Iterable[tuple[str, bytes]]) -> None:
    """Add each part with its name and its size, so that none can pass for two others."""
    for name, content in parts:
        digest.update(f"{name}\0{len(content)}\0".encode())
        digest.update(content)


def _trees(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Each file that pages are made of, and what is laid over it."""
    for origin in sorted(files_of(folder), key=lambda each: each.name):
        for path in (origin.path, *origin.changes):
            yield f"trees/{origin.name}", path.read_bytes()


def _looks(overrides: tuple[Path, ...]) -> Iterator[tuple[str, bytes]]:
    """Templates and drawings by name; of equal names the one that pages are made with."""
    for name, path in sorted(look_files(overrides).items()):
        yield f"look/{name}", path.read_bytes()


def _rehearsal(kept: rehearsed.Rehearsed | None, *, told: bool) -> Iterator[tuple[str, bytes]]:
    """What pages take of a rehearsal: nothing of one that is stale."""
    if kept is not None:
        yield "rehearsed", rehearsed.written(kept, "")
    if not told:
        yield "rehearsal-page", b"no"


def look_folders(overrides: tuple[Path, ...]) -> tuple[Path, ...]:
    """The folders with templates and drawings: those of `overrides` in order, then the shipped."""
    return tuple(each / "stepstop" for each in (*overrides, shipped.folder("site_overrides")))


def look_files(overrides: tuple[Path, ...]) -> dict[str, Path]:
    """Name below its folder -> file, for each template, script and drawing; the first wins."""
    found: dict[str, Path] = {}
    for folder in look_folders(overrides):
        for pattern in (
            "*.html",
            "*.css",
            "*.js",
            "drawings/*.svg",
            "icon*",
            "*.webmanifest",
            "languages/*.po",
        ):
            for path in folder.glob(pattern):
                found.setdefault(path.relative_to(folder).as_posix(), path)
    return found
