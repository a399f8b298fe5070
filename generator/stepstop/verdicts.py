"""How a call about each cause ought to end, judged from the trade and not from the trees.

The table is written without sight of the trees, because it judges them. Only a rehearsal reads
it: whatever makes trees, pages or advice never imports this module.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stepstop.model import KINDS, LEAVE_STATES, Catalogue, Library
from stepstop.problems import Problem, near, quoted, sorted_once
from stepstop.shapes import Desk, Id, Key, ListOf, MapOf, OneOf, Record, Text
from stepstop.source import Located, Spot, spot_of
from stepstop.yaml_reader import read_file

WHEN: Mapping[str, tuple[str, ...]] = {
    "may-do": ("walk", "chair"),
    "people": ("none", "at-risk"),
    "home": ("within", "too-cold", "too-hot"),
    "weather": ("frost", "cool", "mild", "hot"),
    "wanted": ("heat", "cool"),
}
"""What a row may depend on -> its words; besides, on the `complaint`: a tree's id."""
NO_FAULT = "nothing-wrong-found"
"""Stands for a call with nothing wrong; it may be judged though no catalogue lists it."""
HAZARDS = ("none", "gas", "co", "fire", "shock", "water", "scald", "refrigerant-leak")


@dataclass(frozen=True, slots=True)
class Situation:
    """What a row may depend on, besides the cause."""

    complaint: str
    may_do: str
    people: str
    home: str
    weather: str
    wanted: str

    def fits(self, when: Mapping[str, str]) -> bool:
        """Whether all that `when` names is so."""
        return all(getattr(self, key.replace("-", "_")) == word for key, word in when.items())


@dataclass(frozen=True, slots=True)
class Row:
    """What is right in one situation."""

    when: Mapping[str, str]
    """What must be so for the row to hold; empty for always."""
    works: tuple[str, ...]
    """Kinds of outcome that are right if the unit works again; empty: as if it did not."""
    fails: tuple[str, ...]
    """Kinds of outcome that are right if it does not work."""
    soonest: str
    """The most urgent urgency that is no needless alarm."""
    latest: str
    """The least urgent one that is still right while the unit fails."""
    left: tuple[str, ...]
    """States that the unit may be left in."""
    why: str
    spot: Spot

    def kinds(self, *, works: bool) -> tuple[str, ...]:
        """Kinds of outcome that are right."""
        return self.works if works and self.works else self.fails


@dataclass(frozen=True, slots=True)
class Judged:
    """One cause as judged: what could hurt, what would show it, and how a call ought to end."""

    id: str
    hazard: str
    """What could hurt people while the cause is there, or `none`."""
    signs: tuple[tuple[str, str], ...]
    """(finding, value) pairs that nearly always show."""
    sometimes: tuple[tuple[str, str], ...]
    """Pairs that may show or not."""
    unsafe: tuple[str, ...]
    """Checks that expose people to the hazard."""
    rows: tuple[Row, ...]
    """The first that fits holds; the last fits always."""
    spot: Spot

    @property
    def is_hazard(self) -> bool:
        """Whether something could hurt."""
        return self.hazard != "none"


@dataclass(frozen=True, slots=True)
class Verdicts:
    """The whole table, by cause id."""

    causes: Mapping[str, Judged]
    spot: Spot

    def judge(self, cause: str, situation: Situation) -> Row:
        """The row that holds for a call about `cause`; KeyError for a cause without verdict."""
        return next(row for row in self.causes[cause].rows if situation.fits(row.when))


class _Pair:
    """One finding with one value: `{gas-smell: gas-or-exhaust}`."""

    shape = MapOf(Id(), least=1)

    def read(self, node: Any, desk: Desk) -> tuple[str, str] | None:
        pairs = self.shape.read(node, desk)
        if pairs is None:
            return None
        if len(pairs) > 1:
            message = "a sign is one finding with one value"
            desk.report(node.spot, "wrong-type", message, "make each a line of its own")
            return None
        [(finding, value)] = pairs.items()
        return finding, value

    def blank(self, spot: Spot) -> tuple[str, str]:
        return Located("", spot), Located("", spot)


_PAIRS = ListOf(_Pair())
_KINDS = ListOf(OneOf(KINDS), once=True)

ROW = Record(
    Row,
    {
        "when": Key(MapOf(Id()), "what must be so; left out: always", {}),
        "works": Key(_KINDS, "kinds that are right if it works again", needed=True),
        "fails": Key(ListOf(OneOf(KINDS), least=1, once=True), "kinds if it fails", needed=True),
        "soonest": Key(Id(), "the most urgent that is no needless alarm", needed=True),
        "latest": Key(Id(), "the least urgent that is right while it fails", needed=True),
        "left": Key(
            ListOf(OneOf(LEAVE_STATES), least=1, once=True), "states it may be left in", needed=True
        ),
        "why": Key(Text(), "the reason in one line", needed=True),
    },
)
JUDGED = Record(
    Judged,
    {
        "hazard": Key(OneOf(HAZARDS), "what could hurt people", needed=True),
        "signs": Key(_PAIRS, "what nearly always shows", ()),
        "sometimes": Key(_PAIRS, "what may show", ()),
        "unsafe": Key(ListOf(Id(), once=True), "checks that expose people", ()),
        "rows": Key(ListOf(ROW, least=1), "the verdicts, the first that fits holds", needed=True),
    },
)
FILE = Record(
    lambda verdicts, spot: Verdicts(verdicts, spot),
    {"verdicts": Key(MapOf(JUDGED, keyed="id", least=1), "the verdicts by cause", needed=True)},
)


def read_verdicts(path: Path, library: Library) -> tuple[Verdicts | None, list[Problem]]:
    """The table in `path`, with every name looked up in `library`, or None and all problems."""
    desk = Desk()
    node, problems = read_file(path, path.as_posix())
    desk.problems += problems
    table: Verdicts | None = None if node is None else FILE.read(node, desk)
    if table is not None and not desk.problems:
        for judged in table.causes.values():
            _check_cause(judged, library.catalogue, desk)
            _check_rows(judged.rows, library, desk)
        _check_all_there(table, library.catalogue, desk)
    found = sorted_once(desk.problems)
    return (None if found else table), found


def _check_all_there(table: Verdicts, catalogue: Catalogue, desk: Desk) -> None:
    for cause in catalogue.causes:
        if cause not in table.causes:
            message = f"the cause `{cause}` has no verdict here"
            desk.report(table.spot, "missing-key", message, f"judge `{cause}`, too")


def _check_cause(judged: Judged, catalogue: Catalogue, desk: Desk) -> None:
    _known(judged.id, {*catalogue.causes, NO_FAULT}, "cause", desk)
    for check in judged.unsafe:
        _known(check, catalogue.checks, "check", desk)
    for finding, value in (*judged.signs, *judged.sometimes):
        if _known(finding, catalogue.findings, "finding", desk):
            _known(value, catalogue.findings[finding].values, f"value of `{finding}`", desk)
    if not judged.is_hazard and (judged.signs or judged.sometimes or judged.unsafe):
        message = f"`{judged.id}` has no hazard, and something here tells of one"
        desk.report(judged.spot, "contradiction", message, "name the hazard, or delete the rest")


def _check_rows(rows: Sequence[Row], library: Library, desk: Desk) -> None:
    urgencies = library.catalogue.urgencies
    words = {**WHEN, "complaint": tuple(tree.id for tree in library.complaints())}
    for row in rows:
        _check_when(row.when, words, desk)
        known = [_known(each, urgencies, "urgency", desk) for each in (row.soonest, row.latest)]
        rank = {name: urgency.rank for name, urgency in urgencies.items()}
        if all(known) and rank[row.soonest] > rank[row.latest]:
            message = f"`{row.soonest}` is less urgent than `{row.latest}`"
            desk.report(spot_of(row.soonest), "contradiction", message, "turn them round")
    for row in rows[:-1]:
        if not row.when:
            message = "this row holds always, so the rows after it never do"
            desk.report(row.spot, "contradiction", message, "move it to the end")
    if rows[-1].when:
        message = "the last row may not depend on anything, so that some row always holds"
        desk.report(rows[-1].spot, "missing-key", message, "add a row without `when`")


def _check_when(when: Mapping[str, str], words: Mapping[str, Sequence[str]], desk: Desk) -> None:
    for key, word in when.items():
        if _known(key, words, "thing that a row may depend on", desk):
            _known(word, words[key], f"word of `{key}`", desk)


def _known(name: str, known: Collection[str], what: str, desk: Desk) -> bool:
    """Whether `name` is one of `known`; a problem where it isn't."""
    if name in known:
        return True
    message = f"{quoted(name)} is no {what}"
    desk.report(spot_of(name), "unknown-name", message, near(name, known))
    return False
