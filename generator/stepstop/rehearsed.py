"""What is kept of a rehearsal for the pages: likely causes at the ends of walks, and figures.

It stands in `FILE` below the trees, written by `stepstop rehearse --write`: JSON with the
keys `format` (1), `of` (the fingerprint of what was rehearsed), `likely` and `figures`, whose parts
are named as the fields of the classes below with a dash for each underscore. A pair `[finding,
value]` is an answer. Figures are shares of calls from 0 to 1 where nothing else is said.

Trees of which a company offers less are others: theirs stands in a folder of `NARROWED`, named by
their fingerprint, so that companies which leave out the same share it.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

from stepstop.belief import in_words
from stepstop.callers import MODELS
from stepstop.course import Course, Page
from stepstop.overlay.layers import folders, holding
from stepstop.plain import made, plain
from stepstop.rules.too_long import QUESTION_SECONDS

FORMAT = 1
FOLDER = "rehearsal"
"""Below the folder of the trees: what was rehearsed, and what it is rehearsed with."""
NAME = "rehearsed.json"
FILE = f"{FOLDER}/{NAME}"
"""Below the folder of the trees."""
NARROWED = "narrowed"
"""Below that folder: what was rehearsed of trees of which a company offers less."""
COMMAND = "stepstop rehearse --write"
"""Makes the file anew."""
INPUTS = ("callers.yml", "verdicts.yml")
"""Beside the file: who calls, and how their calls ought to end."""
DIGITS, CHANCE_DIGITS = 4, 3
_SHORT = 16
"""Digits of a fingerprint in the name of a folder."""

_PACKAGE = Path(__file__).parent
_ROOMS = ("house", "rehearsal")
_MODULES = ("belief", "callers", "chance", "journey", "verdicts")


@dataclass(frozen=True, slots=True)
class Pointed:
    """A cause that the answers on the way to an outcome point to."""

    cause: str
    chance: float
    supports: tuple[tuple[str, str], ...]
    """(finding, value) of answers that speak for it."""
    contradicts: tuple[tuple[str, str], ...]

    @property
    def word(self) -> str:
        """The chance in words; no number of it reaches a page."""
        return in_words(self.chance)


@dataclass(frozen=True, slots=True)
class Bar:
    """A figure with what it must reach."""

    name: str
    value: float | None
    """None where there is nothing to measure."""
    limit: float
    least: bool
    """Whether the limit is the least, or else the most."""
    unit: str
    """`%` for a share, else what is counted."""
    met: bool | None


@dataclass(frozen=True, slots=True)
class Mark:
    """A share of calls, and the same in each half of the houses."""

    says: str
    whole: float | None
    mended_on: float | None
    held_out: float | None


@dataclass(frozen=True, slots=True)
class Part:
    """The calls with one complaint, or about one cause."""

    calls: float
    right: float | None
    shown: float | None
    """Of the ends that show causes: the true one is among them."""
    fixed: float | None
    """Of the calls that could mend it: mended."""


@dataclass(frozen=True, slots=True)
class Exposure:
    """Calls of 100,000 that exposed or left somebody to a hazard."""

    signed: float
    """A sign of it was there to perceive."""
    hidden: float


@dataclass(frozen=True, slots=True)
class Trail:
    """The most likely wrong call about a cause."""

    share: float
    """Of the calls about this cause."""
    house: str
    caller: str
    pages: tuple[str, ...]
    """Labels with answers in brackets."""
    end: str
    right: str


@dataclass(frozen=True, slots=True)
class Worst:
    """A cause that often ends wrong."""

    cause: str
    right: float
    trail: Trail | None


@dataclass(frozen=True, slots=True)
class Ceiling:
    """How often the true cause is among those shown, and the most that could be reached."""

    share: float | None
    ceiling: float | None
    share_by_cause: float | None
    """Every cause counted alike."""
    ceiling_by_cause: float | None


@dataclass(frozen=True, slots=True)
class Model:
    """Figures of callers who err in one way."""

    bars: tuple[Bar, ...]
    marks: Mapping[str, Mark]
    shown: Ceiling
    exposures: Mapping[str, Exposure]
    """By hazard."""
    complaints: Mapping[str, Part]
    causes: Mapping[str, Part]
    worst: tuple[Worst, ...]
    pages: Mapping[str, float]
    """Pages of a walk without a danger end -> share of such walks; empty where not kept apart."""


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures."""

    cases: int
    causes: int
    callers: int
    """Kinds of callers."""
    models: Mapping[str, Model]
    """By how callers err: `accurate`, `unsure`, `mistaken`, `both`."""
    variations: Mapping[str, Mapping[str, tuple[Bar, ...]]]
    """What was assumed otherwise -> how callers err -> bars."""
    alike: tuple[tuple[str, ...], ...]
    """Groups of causes that answer alike on every page, in every house that they share."""
    declared: tuple[str, ...]
    """Causes whose look is declared; no mechanism computes it."""


@dataclass(frozen=True, slots=True)
class Rehearsed:
    """All that is kept."""

    likely: Mapping[str, tuple[Pointed, ...]]
    """`tree/outcome` where somebody comes -> the causes to show, the likeliest first."""
    figures: Figures


# ---- the file ----


def narrowed(trees: Path, of: str) -> Path:
    """The folder for what is kept of trees of which less is offered, by their fingerprint."""
    return trees / FOLDER / NARROWED / of[:_SHORT]


def kept(trees: Path, of: str) -> Path:
    """The folder in which to look for what is kept of a rehearsal with this fingerprint.

    What an overlay leaves as it is was rehearsed below.
    """
    below = folders(trees)
    own = (narrowed(folder, of) for folder in below)
    plain = (folder / FOLDER for folder in below)
    there = (folder for folder in chain(own, plain) if (folder / NAME).is_file())
    return next(there, trees / FOLDER)


def inputs(trees: Path) -> Path:
    """The folder of trees whose files of callers and verdicts hold; an overlay's own come first."""
    return holding(trees, [f"{FOLDER}/{name}" for name in INPUTS])


def read(trees: Path, course: Course, of: str) -> Rehearsed | None:
    """What is kept of a rehearsal of this very course, whose fingerprint is `of`.

    None if it is absent, stale or damaged.
    """
    try:
        data = json.loads((kept(trees, of) / NAME).read_bytes())
        if data.pop("format") != FORMAT or data.pop("of") != of:
            return None
        found = made(Rehearsed, data)
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None
    return found if _is_whole(found.figures) and _is_known(found, course) else None


def written(found: Rehearsed, of: str) -> bytes:
    """The file that holds `found`, rehearsed of what has the fingerprint `of`; always the same."""
    likely = plain(found.likely, digits=CHANCE_DIGITS)
    figures = plain(found.figures, digits=DIGITS)
    data = {"format": FORMAT, "of": of, "likely": likely, "figures": figures}
    text = json.dumps(data, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode()


def summary(found: Rehearsed) -> str:
    """What is in it, in one line."""
    figures = found.figures
    bars = [bar for model in figures.models.values() for bar in model.bars]
    met = sum(bar.met is True for bar in bars)
    return (
        f"likely causes at {len(found.likely)} outcomes; figures of {figures.cases:,} cases of "
        f"{figures.causes} causes, {figures.callers} kinds of callers, "
        f"{len(figures.variations)} other worlds; {met} of {len(bars)} bars met"
    )


def _is_whole(figures: Figures) -> bool:
    """Whether the parts that a page sets side by side fit each other."""
    models = figures.models
    if models.keys() != MODELS.keys():
        return False
    first = next(iter(models.values()))
    return (
        all(model.complaints.keys() == first.complaints.keys() for model in models.values())
        and all(re.fullmatch(r"\d{1,3}", pages) for m in models.values() for pages in m.pages)
        and all(
            len(bars) == len(models[name].bars)
            for world in figures.variations.values()
            for name, bars in world.items()
        )
    )


def _is_known(found: Rehearsed, course: Course) -> bool:
    """Whether the library has every cause, answer and complaint that pages would name."""
    catalogue = course.library.catalogue
    pointed = [each for shown in found.likely.values() for each in shown]
    answers = [pair for each in pointed for pair in (*each.supports, *each.contradicts)]
    names = {each.cause for each in pointed} | set(found.figures.declared)
    names |= {cause for group in found.figures.alike for cause in group}
    for model in found.figures.models.values():
        names |= {*model.causes, *(each.cause for each in model.worst)}
    findings = catalogue.findings
    known = all(f in findings and v in findings[f].values for f, v in answers)
    complaints = {c for model in found.figures.models.values() for c in model.complaints}
    return known and names <= catalogue.causes.keys() and complaints <= course.library.trees.keys()


def not_rehearsed(company: Path | None) -> str:
    """What to say where pages are made without one; `company` is the file of an edition for one."""
    again = f"{COMMAND} --company {company}" if company else COMMAND
    return f"not rehearsed: the pages show the causes that the trees name; {again}"


# ---- the fingerprint ----


def fingerprint(trees: Path, course: Course) -> str:
    """The same for two courses only if a rehearsal of both gives the same figures.

    It is over what decides them and not over wording: pages, moves, findings, checks, ends, causes,
    the files of callers and verdicts in the folder `trees`, and the modules that compute.
    """
    digest = hashlib.sha256()
    for fact in _facts(course):
        digest.update(json.dumps(fact).encode() + b"\n")
    for name in INPUTS:
        digest.update(_content(inputs(trees) / FOLDER / name))
    digest.update(_code(_PACKAGE))
    return digest.hexdigest()


@cache
def _code(package: Path) -> bytes:
    """The modules that compute, read once: a process goes on with the code that it has loaded."""
    rooms = [sorted((package / room).glob("*.py")) for room in _ROOMS]
    modules = [*(package / f"{name}.py" for name in _MODULES), *chain(*rooms)]
    return b"".join(map(_content, modules))


def _content(path: Path) -> bytes:
    """The file with its name and size before it, lines ended alike in every checkout."""
    content = path.read_bytes().replace(b"\r\n", b"\n") if path.is_file() else b""
    return f"{path.parent.name}/{path.name} {len(content)}\n".encode() + content


def _facts(course: Course) -> Iterator[list[Any]]:
    catalogue = course.library.catalogue
    yield ["format", FORMAT, QUESTION_SECONDS, *course.roots]
    for page_id in sorted(course.pages):
        yield ["page", *_page(course.pages[page_id])]
    for name, finding in sorted(catalogue.findings.items()):
        values = [[v.id, v.danger, sorted(v.implies.items())] for v in finding.values.values()]
        yield ["finding", name, finding.kind, values]
    for name, check in sorted(catalogue.checks.items()):
        changes = sorted(check.changes.items())
        yield ["check", name, check.at, check.result, check.minutes, check.effects, changes]
    for name, cause in sorted(catalogue.causes.items()):
        yield ["cause", name, cause.frequency, cause.mended_by]
    for name, urgency in sorted(catalogue.urgencies.items()):
        yield ["urgency", name, urgency.rank]


def _page(page: Page) -> Iterator[Any]:
    yield from (page.id, page.tree, page.label, page.finding, page.at)
    yield from (page.mode.boundary, page.mode.hurry, page.check.id if page.check else "")
    if page.outcome is not None:
        end = page.outcome
        leave = end.leave.state if end.leave else ""
        yield [end.id, end.kind, end.urgency, end.hurry_urgency, leave]
    numbers: dict[int, int] = {}
    for move in page.moves:
        number = numbers.setdefault(id(move.answer), len(numbers))
        yield [number, move.value, move.to, sorted(move.sets.items()), move.effects]
