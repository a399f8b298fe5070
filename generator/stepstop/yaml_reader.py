"""YAML text to a tree of located nodes, by libyaml's events and no guessing of types.

Every scalar stays text (`off`, `no`, `12:30` included). What YAML offers beyond plain mappings,
sequences and scalars (anchors, aliases, tags, several documents) is a problem, and so is whatever
could hide something from the reader of the file: control and bidirectional characters, spaces that
are none, text lost in a comment, duplicate keys, nesting deeper than anyone writes.
"""

from __future__ import annotations

import re
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from stepstop.problems import Problem, Related, quoted
from stepstop.source import Spot

MAX_BYTES = 2_000_000
"""A larger file is refused unread: a tree of 200 steps takes some 100,000 bytes."""
MAX_DEPTH = 24
"""Nesting of a real tree stays below 10."""
MAX_HIDDEN = 10
"""Hidden characters shown one by one; a file with more is broken as a whole."""

_BREAK = re.compile("\r\n|\r|\n")
_SPACES = "\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000"
_HIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f"
    "\u200b-\u200f\u2028-\u202e\u2060-\u206f\u3164\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff"
    f"\ud800-\udfff\U0001d173-\U0001d17a\U000e0000-\U000e0fff{_SPACES}]"
)
_SPACE = re.compile(f"[{_SPACES}]")
_COMMENT = re.compile(r"[ \t]#[^\s#!]")
_CUT = re.compile(r"[ \t]*#[^\s#!]")
_NULLS = frozenset(("~", "null", "Null", "NULL"))

_HINTS = (
    ("mapping values are not allowed", "put quotes around a text with `: ` in it"),
    ("cannot start any token", "indent by spaces, not tabs; quote a text that begins so"),
    ("violates indentation", "indent by spaces, not tabs"),
    ("unexpected end of stream", "close the quotes"),
    ("expected ',' or", "close the bracket, or quote a text with a comma or bracket in it"),
    ("expected ':'", "a key needs a colon and a space after it"),
    ("expected '-'", "give every item of the list the same indent and `- `"),
    ("unknown escape", "use single quotes around a text with a backslash in it"),
)
"""Words of libyaml -> what the author most likely has to change."""
_HINT = "look at the indent, the colons and the quotes of this line and the one above"


class Scalar(NamedTuple):
    """A single value, always text."""

    text: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Items:
    """A YAML sequence."""

    nodes: tuple[Node, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Fields:
    """A YAML mapping; keys are scalars, each once."""

    entries: tuple[tuple[Scalar, Node], ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Gap:
    """Where a value stood that was refused and reported already."""

    spot: Spot


Node = Scalar | Items | Fields | Gap


class _Stop(Exception):
    """Reading can't go on; the problem is what the author is told."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def lines_of(text: str) -> list[str]:
    """The lines of a text, broken where libyaml and `Spot.line` break them."""
    return _BREAK.split(text)


def read_file(path: Path, name: str) -> tuple[Node | None, list[Problem]]:
    """The root node of the YAML file at `path` (`name` in spots) or None, and the problems."""
    text, problems = text_of(path, name)
    return (None, problems) if text is None else read_text(text, name)


def text_of(path: Path, name: str) -> tuple[str | None, list[Problem]]:
    """What the file at `path` (`name` in spots) holds, or None and why it can't be read."""
    try:
        data = _bytes(path, name)
        return data.decode("utf-8"), []
    except _Stop as stop:
        return None, [stop.problem]
    except OSError as error:
        message = f"the file can't be read: {error.strerror or 'no reason given'}"
        mend = "look at its name, its place and who may read it"
        return None, [Problem(Spot(name, 0, 0), "unreadable-file", message, mend)]
    except UnicodeDecodeError as error:
        return None, [_not_utf8(data, error.start, name)]


def _bytes(path: Path, name: str) -> bytes:
    """What the file holds; raises OSError, or `_Stop` for what is too large or no file."""
    whole = Spot(name, 0, 0)
    if not stat.S_ISREG(path.stat().st_mode):
        mend = "put a file in its place, or delete it"
        raise _Stop(Problem(whole, "unreadable-file", "this is not a file", mend))
    with path.open("rb") as file:
        data = file.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        message = f"the file has more than {MAX_BYTES:,} bytes"
        raise _Stop(Problem(whole, "file-too-large", message, "split it into several trees"))
    return data


def _not_utf8(data: bytes, start: int, name: str) -> Problem:
    before = lines_of(data[:start].decode("utf-8"))
    spot = Spot(name, len(before), len(before[-1]) + 1)
    message = f"the byte {data[start]:02X} here is not UTF-8"
    return Problem(spot, "unreadable-file", message, "save the file as UTF-8")


def read_text(text: str, name: str) -> tuple[Node | None, list[Problem]]:
    """The root node of a YAML text (called `name` in spots), or None, and the problems."""
    problems = list(_hidden_characters(text, name))
    if problems:
        return None, problems
    reader = _Reader(name, _comments(text))
    take = reader.taking()
    try:
        for event in yaml.parse(text, Loader=yaml.CLoader):
            take[type(event)](event)
    except _Stop as stop:
        return None, [*reader.problems, stop.problem]
    except yaml.YAMLError as error:
        return None, [*reader.problems, _syntax_problem(error, name)]
    if _is_empty(reader.root):
        whole = Spot(name, 0, 0)
        mend = "fill it in, or delete it"
        empty = Problem(whole, "empty-file", "the file says nothing", mend)
        return None, [*reader.problems, empty]
    return reader.root, reader.problems


def _is_empty(root: Node | None) -> bool:
    return root is None or (isinstance(root, Scalar) and not root.text)


def _hidden_characters(text: str, name: str) -> Iterator[Problem]:
    if not _HIDDEN.search(text):
        return
    found = (
        (Spot(name, number, match.start() + 1), match.group())
        for number, line in enumerate(lines_of(text), 1)
        for match in _HIDDEN.finditer(line)
    )
    for spot, character in islice(found, MAX_HIDDEN):
        yield _hidden(spot, character)
    rest = sum(1 for _ in found)
    if rest:
        message = f"{rest:,} more characters can't be seen and may mislead"
        yield Problem(Spot(name, 0, 0), "hidden-character", message, "write the file anew")


def _hidden(spot: Spot, character: str) -> Problem:
    code = f"U+{ord(character):04X}"
    if _SPACE.match(character):
        message = f"the character {code} looks like a space and is none"
        return Problem(spot, "hidden-character", message, "type a plain space")
    message = f"the character {code} can't be seen and may mislead"
    return Problem(spot, "hidden-character", message, "delete it")


def _comments(text: str) -> dict[int, str]:
    """Line, from 0 -> its text, for lines where a hash sign may have cut off a text."""
    if not _COMMENT.search(text):
        return {}
    return {n: line for n, line in enumerate(lines_of(text)) if _COMMENT.search(line)}


def _syntax_problem(error: yaml.YAMLError, name: str) -> Problem:
    if not isinstance(error, yaml.MarkedYAMLError):
        return Problem(Spot(name, 0, 0), "not-yaml", "this is not YAML", _HINT)
    problem = error.problem or "it can't be read"
    hints = [hint for words, hint in _HINTS if words in problem]
    related: tuple[Related, ...] = ()
    spot = _marked(error.problem_mark or error.context_mark, name)
    context = _marked(error.context_mark, name)
    if error.context and context not in (spot, Spot(name, 0, 0)):
        related = (Related(context, error.context),)
    message = f"this is not YAML: {problem}"
    return Problem(spot, "not-yaml", message, (hints or [_HINT])[0], (), related)


def _marked(mark: yaml.Mark | None, name: str) -> Spot:
    return Spot(name, mark.line + 1, mark.column + 1) if mark else Spot(name, 0, 0)


@dataclass(slots=True)
class _Open:
    """A mapping or sequence whose end has not been read yet."""

    spot: Spot
    is_mapping: bool
    nodes: list[Node]


class _Reader:
    """Builds nodes from libyaml's events with a stack of its own, so depth can't overflow.

    Events are `Any`: those that libyaml makes always have marks, which their type doesn't say.
    """

    def __init__(self, name: str, comments: dict[int, str]) -> None:
        self.name = name
        self.comments = comments
        self.root: Node | None = None
        self.problems: list[Problem] = []
        self._stack: list[_Open] = []
        self._documents = 0

    def taking(self) -> dict[type[yaml.Event], Callable[[Any], None]]:
        """Kind of an event -> what takes one, in order.

        A reader with its own methods in it would stay, with all nodes, until garbage is searched.
        """
        return {
            yaml.ScalarEvent: self._scalar,
            yaml.MappingStartEvent: self._open,
            yaml.SequenceStartEvent: self._open,
            yaml.MappingEndEvent: self._close,
            yaml.SequenceEndEvent: self._close,
            yaml.AliasEvent: self._alias,
            yaml.DocumentStartEvent: self._start_document,
            yaml.DocumentEndEvent: self._pass,
            yaml.StreamStartEvent: self._pass,
            yaml.StreamEndEvent: self._pass,
        }

    def _pass(self, event: Any) -> None:
        """Nothing is to be kept of it."""

    def _scalar(self, event: Any) -> None:
        if event.anchor or event.tag:
            self._plain_only(event)
        spot = self._spot(event)
        if event.style:
            self._put(Scalar(event.value, spot))
        elif event.value in _NULLS:
            mend = "delete the key, or say what you mean"
            self._refuse(event, "empty-text", f"`{event.value}` says nothing", mend)
            self._put(Gap(spot))
        else:
            if self.comments:
                self._not_cut_off(event)
            self._put(Scalar(event.value, spot))

    def _not_cut_off(self, event: Any) -> None:
        end = event.end_mark
        cut = _CUT.match(self.comments.get(end.line, ""), end.column)
        if cut and event.value:
            message = f"what comes after ` #` is a comment: the text ends with {_tail(event.value)}"
            spot = Spot(self.name, end.line + 1, cut.end() - 1)
            mend = "put quotes around the text; begin a comment with `# `"
            self.problems.append(Problem(spot, "cut-off-text", message, mend))

    def _alias(self, event: Any) -> None:
        self._refuse(event, "yaml-alias", "an alias (`*`) is not read here", "write it out")
        self._put(Gap(self._spot(event)))

    def _start_document(self, event: Any) -> None:
        self._documents += 1
        if self._documents > 1:
            message = "a second document starts here (`---`)"
            raise _Stop(Problem(self._spot(event), "several-documents", message, "split the file"))

    def _open(self, event: Any) -> None:
        if event.anchor or event.tag:
            self._plain_only(event)
        if len(self._stack) >= MAX_DEPTH:
            message = f"nested deeper than {MAX_DEPTH} levels"
            mend = "close the brackets, or take some out"
            raise _Stop(Problem(self._spot(event), "nested-too-deep", message, mend))
        is_mapping = isinstance(event, yaml.MappingStartEvent)
        self._stack.append(_Open(self._spot(event), is_mapping, []))

    def _close(self, _: Any) -> None:
        done = self._stack.pop()
        self._put(self._mapping(done) if done.is_mapping else Items(tuple(done.nodes), done.spot))

    def _mapping(self, done: _Open) -> Fields:
        entries: dict[str, tuple[Scalar, Node]] = {}
        for key, value in zip(done.nodes[::2], done.nodes[1::2], strict=True):
            if isinstance(key, Items | Fields):
                message = "a key must be a plain word"
                mend = "write the key as one word, without brackets and `?`"
                self.problems.append(Problem(key.spot, "odd-key", message, mend))
            elif isinstance(key, Scalar) and key.text in entries:
                self.problems.append(_twice(key, entries[key.text][0]))
            elif isinstance(key, Scalar):
                entries[key.text] = (key, value)
        return Fields(tuple(entries.values()), done.spot)

    def _put(self, node: Node) -> None:
        if self._stack:
            self._stack[-1].nodes.append(node)
        else:
            self.root = node

    def _plain_only(self, event: Any) -> None:
        if event.anchor:
            self._refuse(event, "yaml-alias", "an anchor (`&`) is not read here", "delete it")
        if event.tag:
            mend = "delete it: every value is read as text"
            self._refuse(event, "yaml-tag", "a tag (`!`) is not read here", mend)

    def _refuse(self, event: Any, flaw: str, message: str, mend: str) -> None:
        self.problems.append(Problem(self._spot(event), flaw, message, mend))

    def _spot(self, event: Any) -> Spot:
        start, end = event.start_mark, event.end_mark
        length = end.column - start.column if end.line == start.line else 1
        return Spot(self.name, start.line + 1, start.column + 1, length or 1)


def _twice(key: Scalar, first: Scalar) -> Problem:
    message = f"the key {quoted(key.text)} stands twice"
    related = (Related(first.spot, "it stands here first"),)
    return Problem(key.spot, "duplicate-key", message, "keep one", (), related)


def _tail(text: str) -> str:
    return quoted(text[-20:])
