"""A company's file to a whole `Company`, or all the problems that stand in the way."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from stepstop.company import colours
from stepstop.company.colours import Themes
from stepstop.company.logo import MOST_READ, read_logo
from stepstop.company.model import BOOK, CALL, LEAVABLE, PRESSING, TEXT, Brand, Company
from stepstop.company.said import LibraryIn, problems_of
from stepstop.company.schema import COMPANY
from stepstop.language.tongue import ENGLISH
from stepstop.model import Library
from stepstop.names import unknown
from stepstop.problems import Problem, sorted_once
from stepstop.shapes import Desk
from stepstop.source import Spot, spot_of
from stepstop.yaml_reader import read_text, text_of

MAX_NAME = 60
"""Characters of a company's name: it stands on every page."""
_ONE_PAGE = re.compile(r"[?#]|\.html?/?\Z")


def read_company(
    path: Path, library: Library, behind: Themes, library_in: LibraryIn | None = None
) -> tuple[Brand | None, tuple[Problem, ...]]:
    """The company in the file `path`, or all the problems that stand in the way.

    Its names are those of `library`; its colours stand before those of `behind`. Its texts pass
    the rules about words of the library in each of its languages, which `library_in` has: without
    it, only the language that `library` is written in is known.
    """
    desk, name = Desk(), path.as_posix()
    text, found = text_of(path, name)
    desk.problems += found
    company = None if text is None else _company(text, name, desk)
    logo = Picture()
    if company is not None:
        desk.problems += _names(company, path, library)
        desk.problems += _contradictions(company, library)
        desk.problems += problems_of(company, library_in or {ENGLISH.code: library}.get)
        if company.colours is not None:
            desk.problems += colours.problems(company.colours, behind)
        if company.logo:
            logo = _picture(path.parent / company.logo, spot_of(company.logo), desk)
    problems = tuple(sorted_once(desk.problems))
    if problems or company is None or text is None:
        return None, problems
    return Brand(company, logo.markup, text.encode() + b"\0" + logo.content), ()


def _company(text: str, name: str, desk: Desk) -> Company | None:
    """The company that the text of a file tells of; `name` is the file's in spots."""
    node, found = read_text(text, name)
    desk.problems += found
    return None if node is None else COMPANY.read(node, desk)


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it stands in a page, and as its file has it."""

    markup: str = ""
    content: bytes = b""


def _names(company: Company, path: Path, library: Library) -> Iterator[Problem]:
    """Every name that leads nowhere."""
    catalogue, stem = library.catalogue, path.stem
    if company.id and company.id != stem:
        message = f"`{company.id}` stands in the file `{path.name}`"
        mend = f"give both one name: `company: {stem}`, or {company.id}.yml"
        yield Problem(spot_of(company.id), "wrong-name", message, mend)
    yield from unknown(company.place, "place", catalogue.places)
    for urgency in company.offers:
        yield from unknown(urgency, "urgency", catalogue.urgencies)
    if company.unserved is not None:
        trees = [t.id for t in library.trees.values() if t.role in LEAVABLE]
        for tree in company.unserved.trees:
            yield from unknown(tree, "tree of a complaint", trees)
    if company.leave_out is not None:
        out, rulebook = company.leave_out, catalogue.rulebook
        for check in out.checks:
            yield from unknown(check, "check", catalogue.checks)
        for hazard in out.hazards:
            yield from unknown(hazard, "hazard", catalogue.hazards)
        for location in out.locations:
            yield from unknown(location, "location", rulebook.locations)
    outcomes = [f"{t.id}/{name}" for t in library.trees.values() for name in t.outcomes]
    for name, to in company.sooner.items():
        yield from unknown(name, "urgency or outcome", catalogue.urgencies, outcomes)
        yield from unknown(to, "urgency", catalogue.urgencies)


def _contradictions(company: Company, library: Library) -> Iterator[Problem]:
    """What can't both hold, or could lead somebody astray."""
    for rule in (_shown_name, _folder, _offers, _after, _sooner, _frames):
        yield from rule(company, library)


def _shown_name(company: Company, library: Library) -> Iterator[Problem]:
    if len(company.name) > MAX_NAME:
        message = f"the name has {len(company.name)} characters, more than {MAX_NAME}"
        mend = "it stands on every page: use the short one"
        yield Problem(spot_of(company.name), "text-too-long", message, mend)


def _folder(company: Company, library: Library) -> Iterator[Problem]:
    """Links to pages, on labels too, are made by writing on after the address."""
    if _ONE_PAGE.search(company.address):
        message = "this is the address of one page, and `address` is that of all"
        mend = "leave out the page's name, and `?` or `#` with what follows"
        yield Problem(spot_of(company.address), "unsafe-link", message, mend)


def _offers(company: Company, library: Library) -> Iterator[Problem]:
    for urgency, ways in company.offers.items():
        known = library.catalogue.urgencies.get(urgency)
        if known and known.rank <= PRESSING and ways and ways[0] != CALL:
            message = f"`{urgency}` is not first called about"
            mend = "put `call` first: a text or a form may not be read in time"
            yield Problem(spot_of(ways[0]), "less-urgent", message, mend)
        for way, given in ((TEXT, company.text), (BOOK, company.book)):
            if way in ways and not given:
                spot = next(spot_of(each) for each in ways if each == way)
                message = f"`{way}` is offered, and the key `{way}` is missing"
                yield Problem(spot, "contradiction", message, f"add `{way}`, or don't offer it")


def _after(company: Company, library: Library) -> Iterator[Problem]:
    after = company.after
    if after is not None and after.phone and after.phone == company.phone:
        message = "the number outside the hours is the one in the hours"
        yield Problem(spot_of(after.phone), "contradiction", message, "delete it here")


def _sooner(company: Company, library: Library) -> Iterator[Problem]:
    urgencies = library.catalogue.urgencies
    outcomes = {
        f"{t.id}/{name}": o for t in library.trees.values() for name, o in t.outcomes.items()
    }
    for name, to in company.sooner.items():
        was = name if name in urgencies else outcomes[name].urgency if name in outcomes else ""
        if not (was in urgencies and to in urgencies):
            continue  # Told elsewhere, or an outcome after which nobody comes.
        if urgencies[to].rank >= urgencies[was].rank:
            than = f"`{was}`" if was == name else f"`{was}`, as `{name}` is in the trees"
            message = f"`{to}` is not more urgent than {than}"
            mend = "a company may only have somebody come sooner"
            yield Problem(spot_of(to), "less-urgent", message, mend)


def _frames(company: Company, library: Library) -> Iterator[Problem]:
    if company.hosts and not company.address:
        message = "`hosts` may show the pages, and `address` doesn't say where they lie"
        yield Problem(spot_of(company.hosts[0]), "contradiction", message, "add `address`")


def _picture(path: Path, spot: Spot, desk: Desk) -> Picture:
    """The picture in the file `path`, which `spot` names; an empty one where it can't be shown."""
    try:
        with path.open("rb") as file:
            content = file.read(MOST_READ + 1)
        size = path.stat().st_size
    except OSError as error:
        message = f"the picture can't be opened: {error.strerror or 'no reason given'}"
        desk.report(spot, "missing-file", message, "put it beside this file, or delete `logo`")
        return Picture()
    if size > MOST_READ:
        message = f"the picture has {size:,} bytes, more than {MOST_READ:,}"
        mend = "save a small vector picture, without photos in it"
        desk.report(spot, "file-too-large", message, mend)
        return Picture()
    logo = read_logo(content)
    for message, mend in logo.faults:
        desk.report(spot, "unsafe-picture", message, mend)
    return Picture(logo.markup, content)
