"""Shapes of YAML values: each reads a node into a typed value and reports what doesn't fit.

A shape returns `None` where the node doesn't fit, after reporting it. Lists leave such an item out;
records and maps go on with a blank in its place, so that all mistakes of all files are found in one
run. What holds a blank is looked over for more mistakes and then thrown away: `loader.load` returns
nothing as soon as anything was reported.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Protocol, TypeGuard

from stepstop import patterns
from stepstop.problems import Problem, Related, near, quoted
from stepstop.source import Located, Spot
from stepstop.yaml_reader import Fields, Gap, Items, Node, Scalar

MAX_TEXT = 1000
"""Characters of one text: more than a phone's screen holds, and short enough for any pattern."""
MAX_NAME = 60
"""Characters of a name: pages are files, and their names are made of three names at most."""
MAX_NUMBER = 1_000_000
PLACEHOLDERS = ("emergency", "gas-line", "power-company")
"""What a text may leave to the place, in braces."""

_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*\Z")
_WHOLE = re.compile(r"[0-9]{1,9}\Z")
_DECIMAL = re.compile(r"[0-9]{1,9}(\.[0-9]{1,9})?\Z")
_BRACE = re.compile(r"\{([^{}]*)\}|[{}]")


@dataclass(slots=True)
class Desk:
    """Where the problems of a reading are put."""

    problems: list[Problem] = field(default_factory=list)
    hints: dict[Spot, str] = field(default_factory=dict)
    """Spot -> the name that may have been meant there, should something be wrong with it."""

    def report(self, spot: Spot, flaw: str, message: str, mend: str = "", *related: Related) -> Any:
        """Put down one problem; returns None, which stands for what could not be read."""
        self.problems.append(Problem(spot, flaw, message, mend, (), related))
        return None


Given = Mapping[str, Any] | None
"""Fields of a record that are known from elsewhere: the key that it stands under."""


class Shape(Protocol):
    """Reads a node."""

    def read(self, node: Node, desk: Desk) -> Any:
        """The typed value, or None after a report."""

    def blank(self, spot: Spot) -> Any:
        """What stands in the place of a value that didn't fit."""


def wrapped(shape: Any) -> Any:
    """What a shape of its own wraps: a record, requirements, items, another shape; else None."""
    names = ("record", "either", "items", "shape")
    return next((getattr(shape, name) for name in names if hasattr(shape, name)), None)


class AnyNames(dict[str, Any]):
    """A mapping that couldn't be read: it is empty, and any name may have been in it."""

    def __contains__(self, name: object) -> bool:
        return True

    def __bool__(self) -> bool:
        return True


class AnyItems(tuple[Any, ...]):
    """A list that couldn't be read: it is empty, and any name may have been in it."""

    __slots__ = ()

    def __contains__(self, name: object) -> bool:
        return True


def wrong(node: Node, wanted: str, desk: Desk, *, mend: str = "") -> None:
    """Report that `wanted` is expected where `node` stands, unless it was reported already."""
    kinds = {Scalar: "a single value", Items: "a list", Fields: "a set of keys"}
    if isinstance(node, Scalar) and not node.text:
        message = f"{wanted} is expected here, not nothing"
        desk.report(node.spot, "empty-text", message, "write it, or delete the key")
    elif not isinstance(node, Gap):
        message = f"{wanted} is expected here, not {kinds[type(node)]}"
        desk.report(node.spot, "wrong-type", message, mend or f"write {wanted}")


def is_word(node: Node, wanted: str, desk: Desk) -> TypeGuard[Scalar]:
    """Whether one value stands there that isn't empty; else it is reported that `wanted` is."""
    if isinstance(node, Scalar) and node.text:
        return True
    wrong(node, wanted, desk)
    return False


class Word:
    """What shapes of a single text have in common."""

    __slots__ = ()

    def blank(self, spot: Spot) -> Located:
        """An empty text."""
        return Located("", spot)


@dataclass(frozen=True, slots=True)
class Text(Word):
    """One text that isn't empty; white space inside is folded to single spaces."""

    most_words: int = 0
    """What is said aloud has no more words than that; 0: as many as it likes."""

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The text with its spot."""
        if not isinstance(node, Scalar):
            mend = "a text with `: ` in it, or one that begins with `{` or `[`, needs quotes"
            wrong(node, "a text", desk, mend=mend)
            return None
        folded = " ".join(node.text.split())
        if not folded:
            wrong(Scalar("", node.spot), "a text", desk)
            return None
        if len(folded) > MAX_TEXT:
            message = f"the text has {len(folded):,} characters, more than {MAX_TEXT:,}"
            desk.report(node.spot, "text-too-long", message, "write several short ones")
            return None
        words = len(folded.split())
        if self.most_words and words > self.most_words:
            message = (
                f"the text has {words} words, more than {self.most_words} to say in one breath"
            )
            desk.report(node.spot, "text-too-long", message, "make two of it")
            return None
        if "{" in folded or "}" in folded:
            _braces(folded, node.spot, desk)
        return Located(folded, node.spot)


@dataclass(frozen=True, slots=True)
class Date(Word):
    """A day of the calendar, YYYY-MM-DD."""

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The date with its spot."""
        if not is_word(node, "a date", desk):
            return None
        if not _is_date(node.text):
            message = f"{quoted(node.text)} is no date like 2026-01-31"
            desk.report(node.spot, "wrong-type", message, "write year, month and day")
            return None
        return Located(node.text, node.spot)


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _braces(text: str, spot: Spot, desk: Desk) -> None:
    for found in _BRACE.finditer(text):
        if found.group(1) not in PLACEHOLDERS:
            known = " or ".join(f"`{{{name}}}`" for name in PLACEHOLDERS)
            mend = near(found.group(1) or "", PLACEHOLDERS) or f"in braces only {known} may stand"
            desk.report(
                spot, "unknown-word", f"{quoted(found.group())} is nothing to fill in", mend
            )


@dataclass(frozen=True, slots=True)
class Pattern(Word):
    """A regular expression that is right and can't take long."""

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The pattern with its spot."""
        if not is_word(node, "a regular expression", desk):
            return None
        if len(node.text) > MAX_TEXT:
            message = f"the pattern has {len(node.text):,} characters, more than {MAX_TEXT:,}"
            desk.report(node.spot, "text-too-long", message, "write several short ones")
            return None
        fault = patterns.fault(node.text)
        if fault is not None:
            message = f"{quoted(node.text)}: {fault[1]}"
            desk.report(node.spot, fault[0], message, "write a simpler pattern, or several")
            return None
        return Located(node.text, node.spot)


@dataclass(frozen=True, slots=True)
class Id(Word):
    """A name in small letters, digits and single hyphens."""

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The id with its spot."""
        if not is_word(node, "a name", desk):
            return None
        if not _ID.match(node.text):
            message = f"{quoted(node.text)} is not a name"
            mend = "use small letters, digits and single hyphens"
            desk.report(node.spot, "odd-name", message, mend)
            return None
        if len(node.text) > MAX_NAME:
            message = f"the name has {len(node.text):,} characters, more than {MAX_NAME}"
            desk.report(node.spot, "text-too-long", message, "choose a short one")
            return None
        return Located(node.text, node.spot)


@dataclass(frozen=True, slots=True)
class Reference(Word):
    """The name of a step or outcome, maybe of another file: `name` or `file/name`."""

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The reference with its spot."""
        if not is_word(node, "a name", desk):
            return None
        parts = node.text.split("/")
        if len(parts) > 2 or not all(_ID.match(part) for part in parts):
            message = f"{quoted(node.text)} is not the name of a page"
            desk.report(node.spot, "odd-name", message, "write `name` or `file/name`")
            return None
        return Located(node.text, node.spot)


@dataclass(frozen=True, slots=True)
class OneOf(Word):
    """One of a closed set of words."""

    words: tuple[str, ...]

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The word with its spot."""
        if not is_word(node, f"one of {', '.join(self.words)}", desk):
            return None
        if node.text not in self.words:
            message = f"{quoted(node.text)} is not one of {', '.join(self.words)}"
            mend = near(node.text, self.words) or "write one of them"
            desk.report(node.spot, "unknown-word", message, mend)
            return None
        return Located(node.text, node.spot)


@dataclass(frozen=True, slots=True)
class Number:
    """A number from `least` to `MAX_NUMBER`; whole unless `whole` is false."""

    least: float = 0
    whole: bool = True

    def read(self, node: Node, desk: Desk) -> float | int | None:
        """The number."""
        kind = "a whole number" if self.whole else "a number"
        if not is_word(node, kind, desk):
            return None
        if not (_WHOLE if self.whole else _DECIMAL).match(node.text):
            message = f"{quoted(node.text)} is not {kind}"
            desk.report(node.spot, "wrong-type", message, "write it in digits")
            return None
        number = int(node.text) if self.whole else float(node.text)
        if not self.least <= number <= MAX_NUMBER:
            message = f"{node.text} is not between {self.least:g} and {MAX_NUMBER:,}"
            desk.report(node.spot, "wrong-type", message, "write a number between them")
            return None
        return number

    def blank(self, spot: Spot) -> float | int:
        """The least number."""
        return int(self.least) if self.whole else self.least


@dataclass(frozen=True, slots=True)
class Flag:
    """`yes` or `no`."""

    def read(self, node: Node, desk: Desk) -> bool | None:
        """True for `yes`."""
        word = OneOf(("yes", "no")).read(node, desk)
        return None if word is None else word == "yes"

    def blank(self, spot: Spot) -> bool:
        """No."""
        return False


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list; one single value may stand for a list of one."""

    item: Shape
    least: int = 0
    """How many items must be there."""
    once: bool = False
    """Whether each item may stand once only."""

    def read(self, node: Node, desk: Desk) -> tuple[Any, ...] | None:
        """The items that fit."""
        if isinstance(node, Gap):
            return None
        nodes = node.nodes if isinstance(node, Items) else (node,)
        if len(nodes) < self.least:
            message = "the list is empty, and something must be in it"
            desk.report(node.spot, "empty-list", message, "fill it in")
            return None
        read = [self.item.read(each, desk) for each in nodes]
        items = tuple(each for each in read if each is not None)
        if self.once and len(set(items)) < len(items):
            _twice(items, desk)
        return items

    def blank(self, spot: Spot) -> tuple[Any, ...]:
        """A list that any name may have been in."""
        return AnyItems()


def _twice(names: Collection[Located], desk: Desk) -> None:
    first: dict[str, Located] = {}
    for name in names:
        if name in first:
            related = Related(first[name].spot, "it stands here first")
            message = f"`{name}` stands twice in this list"
            desk.report(name.spot, "duplicate-key", message, "keep one", related)
        first.setdefault(name, name)


@dataclass(frozen=True, slots=True)
class MapOf:
    """A mapping from names to values."""

    value: Shape
    key: Shape = field(default_factory=Id)
    keyed: str = ""
    """Field of a record value that takes the key, or empty."""
    least: int = 0
    """How many entries must be there."""

    def read(self, node: Node, desk: Desk) -> dict[str, Any] | None:
        """The entries, with a blank for each value that doesn't fit."""
        if not isinstance(node, Fields):
            wrong(node, "a set of names", desk)
            return None
        if len(node.entries) < self.least:
            message = "nothing is here, and something must be"
            desk.report(node.spot, "empty-list", message, "fill it in")
            return None
        out: dict[str, Any] = {}
        for key, value in node.entries:
            name = self.key.read(key, desk)
            read = self._value(name or self.key.blank(key.spot), value, desk)
            if name is not None:
                out[name] = read
        return out

    def _value(self, name: Located, node: Node, desk: Desk) -> Any:
        given = ({self.keyed: name},) if self.keyed else ()
        read = self.value.read(node, desk, *given)
        return self.value.blank(name.spot, *given) if read is None else read

    def blank(self, spot: Spot) -> dict[str, Any]:
        """A mapping that any name may have been in."""
        return AnyNames()


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record."""

    shape: Shape
    about: str
    """What it means, for the reference of keys."""
    default: Any = None
    needed: bool = False
    name: str = ""
    """Field of the class where it differs from the key with hyphens for underscores."""


@dataclass(frozen=True, slots=True)
class Record:
    """A mapping with known keys, made into `make(**fields, spot=...)`."""

    make: Callable[..., Any]
    keys: Mapping[str, Key]
    short: str = ""
    """Key that a single value or list stands for, where the record may be shortened to it."""

    def read(self, node: Node, desk: Desk, given: Given = None) -> Any:
        """What `make` returns, with a blank for each key that is missing or doesn't fit."""
        node = self._long(node)
        if not isinstance(node, Fields):
            needed = ", ".join(f"{name}: ..." for name, key in self.keys.items() if key.needed)
            wrong(node, "a set of keys", desk, mend=f"write `{{{needed}}}`" if needed else "")
            return None
        values = self._defaults(node.spot) | self._values(node, desk)
        self._missing(node, desk)
        return self.make(**values, **(given or {}), spot=_own_spot(given, node.spot))

    def blank(self, spot: Spot, given: Given = None) -> Any:
        """What `make` returns for nothing but blanks."""
        return self.make(**self._defaults(spot), **(given or {}), spot=_own_spot(given, spot))

    def _long(self, node: Node) -> Node:
        if self.short and isinstance(node, Scalar | Items):
            return Fields(((Scalar(self.short, node.spot), node),), node.spot)
        return node

    def _defaults(self, spot: Spot) -> dict[str, Any]:
        return {
            self._field(name): key.shape.blank(spot) if key.needed else key.default
            for name, key in self.keys.items()
        }

    def _values(self, node: Fields, desk: Desk) -> dict[str, Any]:
        values: dict[str, Any] = {}
        free = self.keys.keys() - {name.text for name, _ in node.entries}
        for name, value in node.entries:
            key = self.keys.get(name.text)
            if key is None:
                message = f"the key {quoted(name.text)} is not known here"
                mend = near(name.text, free) or f"known keys: {', '.join(self.keys)}"
                desk.report(name.spot, "unknown-key", message, mend)
                continue
            read = key.shape.read(value, desk)
            values[self._field(name.text)] = key.shape.blank(value.spot) if read is None else read
        return values

    def _missing(self, node: Fields, desk: Desk) -> None:
        there = {name.text for name, _ in node.entries}
        for name, key in self.keys.items():
            if key.needed and name not in there:
                message = f"the key `{name}` is missing here"
                desk.report(node.spot, "missing-key", message, f"add `{name}`: {key.about}")

    def _field(self, name: str) -> str:
        return self.keys[name].name or name.replace("-", "_")


def _own_spot(given: Given, spot: Spot) -> Spot:
    """The spot of the key that a record stands under, or else its own."""
    own: Spot = getattr((given or {}).get("id"), "spot", spot)
    return own
