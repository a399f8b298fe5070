"""What a site generator is handed: our pages, a stub for each complaint, facts for its frame."""

from __future__ import annotations

import hashlib
import html
import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from stepstop import shipped
from stepstop.companies import for_company
from stepstop.company.model import Brand
from stepstop.course import Course
from stepstop.edition import Edition, EditionError, edition_for
from stepstop.language.tongue import ENGLISH, NoWords
from stepstop.model import Place, Tree
from stepstop.overlay.layers import folders
from stepstop.pages.address import REHEARSED, file_of, pocket_file
from stepstop.pages.frame import reviewed, reviews
from stepstop.pages.words import PageError, fill_all, plain
from stepstop.picture.drawing import drawing
from stepstop.picture.flow import flow
from stepstop.picture.shares import Shares, read
from stepstop.places import course_in
from stepstop.problems import Problem
from stepstop.rehearsed import kept
from stepstop.site import site_files
from stepstop.source import Spot, spot_of
from stepstop.tongues import Languages, MissingWords
from stepstop.verify import verify

STUBS = "complaints"
"""Folder of the stub pages, among the hand-written ones."""


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be built."""

    trees: Path
    place: str
    today: str | None
    overrides: tuple[Path, ...]
    home: str
    """Path of the site's root on its host, or empty where nobody knows."""
    rehearsal_page: bool
    """Whether a page tells how the edition was rehearsed."""
    offline: bool
    """Whether a phone keeps the pages for a time without a network."""
    company: Path | None
    """File of the company whose edition it is."""
    named: str
    """The file that holds the options, for messages."""
    address: str = ""
    """The whole address of the site's root, with a slash at its end, or empty."""
    languages: tuple[str, ...] = (ENGLISH.code,)
    """Codes of the languages, that of the site's root first. A company's file has its own."""


@dataclass(frozen=True, slots=True)
class Stub:
    """A page in Markdown that says what a complaint is and leads to its first question."""

    markdown: str
    spot: Spot
    """Where the complaint's title is written, for an edit link."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What the frame of every hand-written page says about the edition."""

    place: str
    date: str
    hash: str
    disclaimer: tuple[str, ...]
    company: str
    """Name of the company whose edition it is, or empty."""
    reviews: tuple[str, ...]
    """Who looked over the trees; empty as soon as nobody did with one of them."""
    danger: str
    """Path of the danger page below the site's root."""
    rehearsed: str
    """Path of the page that tells how the edition was rehearsed, or empty."""
    in_language: Mapping[str, Facts] = field(default_factory=dict)
    """Code of a language -> the same in it, for each language of the site."""


@dataclass(frozen=True, slots=True)
class Bundle:
    """The outcome of an order: pages and no problem, or problems and no page."""

    problems: tuple[Problem, ...] = ()
    pages: Callable[[], Iterator[tuple[str, bytes]]] = lambda: iter(())
    """(path below the site's root, content), made one after another: raises `BundleError`."""
    stubs: Mapping[str, Stub] = field(default_factory=dict)
    """Path below the folder of hand-written pages -> stub."""
    facts: Facts | None = None
    is_rehearsed: bool = False
    """Whether pages show what a rehearsal of these very trees has found."""


class BundleError(Exception):
    """A page can't be made; nothing may be published."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def bundle(order: Order, *, keep: bool = False) -> Bundle:
    """What `order` comes to, proven or not at all; its pages are made now if they are to be kept.

    Otherwise they are made when they are asked for, and memory holds none.
    """
    found = verify(order.trees, overrides=order.overrides)
    if found.problems or found.course is None:
        return Bundle(found.problems)
    course, brand = found.course, None
    if order.company is None:
        course = course_in(course, order.place)
    languages = Languages(course.library, order.trees, order.overrides)
    if order.company is not None:
        made = for_company(order.company, course, order.overrides, languages.library_in)
        if made.course is None:
            return Bundle(made.problems)
        course, brand = made.course, made.brand
    try:
        proven = _proven(course, brand, order, languages)
        pages = tuple(proven.pages()) if keep else ()
    except EditionError as error:
        return Bundle((_wrong(error, order),))
    except MissingWords as error:
        return Bundle(error.problems)
    except BundleError as error:
        return Bundle((error.problem,))
    return replace(proven, pages=lambda: iter(pages)) if keep else proven


def _wrong(error: Exception, order: Order) -> Problem:
    return Problem(Spot(order.named, 0, 0), "wrong-option", str(error))


def _proven(course: Course, brand: Brand | None, order: Order, languages: Languages) -> Bundle:
    edition = edition_for(
        course,
        order.trees,
        place=order.place,
        today=order.today,
        rehearsal_page=order.rehearsal_page,
        offline=order.offline,
        overrides=order.overrides,
        brand=brand,
    )
    edition = replace(edition, address=order.address)
    codes = order.languages if brand is None else brand.company.languages
    spoken = languages.spoken(course, edition, codes)
    own, first = spoken[0]
    complaints = list(own.library.complaints())
    stubs = {name: stub for there, each in spoken for name, stub in _stubs(there, each)}
    known = {each.tongue.code: _facts(there, each) for there, each in spoken}
    facts = replace(_facts(own, first), in_language=known)

    def pages() -> Iterator[tuple[str, bytes]]:
        try:
            yield from site_files(
                own, first, overrides=order.overrides, home=order.home, others=spoken[1:]
            )
        except (PageError, NoWords) as error:
            raise BundleError(_wrong(error, order)) from error
        shares = read(kept(order.trees, edition.fingerprint), edition.fingerprint)
        for tree in complaints:
            picture = _picture(own, tree, shares.get(tree.id), first.place)
            yield f"{STUBS}/{tree.id}.svg", picture

    return Bundle((), pages, stubs, facts, is_rehearsed=edition.rehearsed is not None)


def _starts(course: Course) -> Iterator[tuple[Tree, str]]:
    """Each tree that people begin with, and the file of its first page."""
    for tree, root in zip(course.library.roots(), course.roots, strict=True):
        yield tree, file_of(root)


def _stubs(course: Course, edition: Edition) -> Iterator[tuple[str, Stub]]:
    for tree, start in _starts(course):
        if tree.role == "complaint":
            name = f"{edition.folder}{STUBS}/{tree.id}.md"
            yield name, _stub(tree, start, pocket_file(tree.id), edition)


def _picture(course: Course, tree: Tree, shares: Shares | None, place: Place) -> bytes:
    """The tree as a picture, below the folder of stubs; boxes lead to their pages."""
    content = flow(course, tree, shares, place)
    return drawing(content, page=lambda box: f"../{box.page}.html" if box.page else "").encode()


def _facts(course: Course, edition: Edition) -> Facts:
    place = edition.place
    danger = next(start for tree, start in _starts(course) if tree.role == "danger")
    return Facts(
        place=place.name,
        date=edition.dated,
        hash=edition.hash,
        disclaimer=tuple(plain(said) for said in fill_all(place.disclaimer, place)),
        company=str(edition.brand.company.name) if edition.brand else "",
        reviews=_reviews(course, edition),
        danger=edition.folder + danger,
        rehearsed=edition.folder + REHEARSED if edition.tells_rehearsal else "",
    )


def _reviews(course: Course, edition: Edition) -> tuple[str, ...]:
    """Who looked it over: of a company's edition, whom the company names."""
    if edition.brand is None:
        return reviews(course.library.trees.values(), edition.date, edition.tongue.worded)
    own = edition.brand.company.review
    return (reviewed(own, edition.date, edition.tongue.worded),) if own else ()


def _stub(tree: Tree, start: str, pocket: str, edition: Edition) -> Stub:
    worded = edition.tongue.worded
    # Of a heading, some themes make a title with its escapes undone: theirs is given escaped, for
    # double quotes too. A single one would be escaped twice where a theme escapes by itself.
    title = html.escape(tree.title, quote=False).replace('"', "&quot;")
    title = json.dumps(title, ensure_ascii=False)
    lines = [f"---\ntitle: {title}\nlang: {edition.tongue.code}\n---"]
    lines += [f"# {_shown(tree.title)}"]
    begin = worded("Start with the first question")
    lines.append(f"**[{begin}](../{start})**")
    lines.append(worded("Weak signal? [Keep all steps as one file]({file}).", file=f"../{pocket}"))
    if edition.is_first:
        picture = f"{tree.id}.svg"
        lines.append(worded("For authors: [the whole tree as a picture]({file}).", file=picture))
    if tree.words:
        said = ", ".join(_shown(word) for word in tree.words)
        lines.append(worded("People also say: {words}.", words=said))
    if tree.equipment:
        lines.append(worded("For: {equipment}.", equipment=_shown(tree.equipment)))
    return Stub("\n\n".join(lines) + "\n", spot_of(tree.title))


def _shown(text: str) -> str:
    """`text` so that Markdown shows it as it stands."""
    return re.sub(r"([\\`*_{}\[\]])", r"\\\1", html.escape(text, quote=False))


def fingerprint(order: Order) -> str:
    """Equal for two orders only if the same bundle comes of them."""
    digest = hashlib.sha256(repr(order).encode())
    for path in _sources(order):
        try:
            content = path.read_bytes()
        except OSError:
            continue  # An editor's passing file; a real one that can't be read is told elsewhere.
        digest.update(f"{path.as_posix()}\0{len(content)}\0".encode())
        digest.update(content)
    return digest.hexdigest()


def _sources(order: Order) -> Iterator[Path]:
    if order.company is not None:
        yield from sorted(each for each in order.company.parent.glob("*") if each.is_file())
    looks = (shipped.folder("site_overrides"), *order.overrides)
    for folder in (*folders(order.trees), *(each / "stepstop" for each in looks)):
        yield from sorted(path for path in folder.rglob("*") if path.is_file())
