"""The keys of every YAML file as a page in Markdown, made of the shapes that read them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import singledispatch
from typing import Any

from stepstop.callers import FILE as CALLERS
from stepstop.company.schema import COMPANY
from stepstop.company.shapes import Clock, Known, Link
from stepstop.language.lists import LISTS
from stepstop.overlay.layers import FILE as OVER_FILE
from stepstop.overlay.layers import OVER
from stepstop.schema import CATALOGUE_FILES, STEP_KEYS, TREE
from stepstop.shapes import (
    Date,
    Flag,
    Id,
    Key,
    ListOf,
    MapOf,
    Number,
    OneOf,
    Pattern,
    Record,
    Reference,
    Shape,
    Text,
    wrapped,
)
from stepstop.verdicts import FILE as VERDICTS

HEAD = """\
# Every key of every file

Made of what reads the files, so it is what holds. *Needed* keys must be there. Where a list is
wanted, a single value may stand for a list of one. A *name* has small letters, digits and single
hyphens. How to write a tree is told [for authors](authors.md); what the rules ask is on
[their own pages](rules/index.md).
"""


def page() -> str:
    """The page; always the same."""
    return "\n".join([HEAD, *_Page().sections()])


class _Page:
    """Writes a section for each kind of file, and a table for each record in it."""

    def __init__(self) -> None:
        self._told: set[int] = set()

    def sections(self) -> Iterator[str]:
        yield from self._file("A tree: `complaints/*.yml`, `shared/*.yml`", {"": TREE})
        for stem, keys in CATALOGUE_FILES.items():
            yield from self._file(f"`catalogue/{stem}.yml`", keys)
        yield from self._file("A company: `companies/*.yml`", {"": COMPANY})
        yield from self._file("`rehearsal/callers.yml`", {"": CALLERS})
        yield from self._file("`rehearsal/verdicts.yml`", {"": VERDICTS})
        yield from self._file("A language: `languages/*.yml`", {"": LISTS})
        yield from self._file(f"An overlay: `{OVER_FILE}`", {"": OVER})

    def _file(self, title: str, tops: Mapping[str, Shape]) -> Iterator[str]:
        yield f"## {title}\n"
        for name, shape in tops.items():
            if name:
                yield f"At the top: `{name}`, {said(shape)}.\n"
            yield from self._tables(shape, name or title.partition(":")[0].lower().strip("`"))

    def _tables(self, shape: Any, title: str) -> Iterator[str]:
        """A table for each record in the shape that has none yet, the outer ones first."""
        for keys, name in _records(shape, title):
            if id(keys) in self._told:
                continue
            self._told.add(id(keys))
            yield f"### {name}\n"
            yield "| key | needed | value | what it means |\n| --- | --- | --- | --- |"
            for key_name, key in keys.items():
                yield _row(key_name, key)
            yield ""
            for key_name, key in keys.items():
                yield from self._tables(key.shape, f"{name}: `{key_name}`")


def _row(name: str, key: Key) -> str:
    needed = "yes" if key.needed else ""
    cells = (f"`{name}`", needed, said(key.shape), key.about)
    return f"| {' | '.join(_cell(each) for each in cells)} |"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _records(shape: Any, title: str) -> Iterator[tuple[Mapping[str, Key], str]]:
    """The records that a shape holds at first, with a title for each."""
    if isinstance(shape, Record):
        yield shape.keys, title
    elif isinstance(shape, ListOf):
        yield from _records(shape.item, title)
    elif isinstance(shape, MapOf):
        yield from _records(shape.value, title)
    elif hasattr(shape, "records"):
        yield from ((STEP_KEYS[mark], f"{title}, with `{mark}`") for mark in shape.records)
    elif (inner := wrapped(shape)) is not None:
        yield from _records(inner, title)


@singledispatch
def said(shape: Any) -> str:
    """A shape in words; one that wraps another is told as that."""
    if hasattr(shape, "records"):
        return "a set of keys, by what the step is"
    inner = wrapped(shape)
    if inner is None:
        raise TypeError(type(shape))
    return said(inner)


@said.register
def _(shape: Text) -> str:
    return f"a text of {shape.most_words} words at the most" if shape.most_words else "a text"


@said.register
def _(shape: Date) -> str:
    return "a date, 2026-01-31"


@said.register
def _(shape: Pattern) -> str:
    return "a regular expression"


@said.register
def _(shape: Id) -> str:
    return "a name"


@said.register
def _(shape: Reference) -> str:
    return "`name` or `file/name`"


@said.register
def _(shape: OneOf) -> str:
    return ", ".join(f"`{word}`" for word in shape.words)


@said.register
def _(shape: Flag) -> str:
    return "`yes`, `no`"


@said.register
def _(shape: Number) -> str:
    return f"a {'whole ' if shape.whole else ''}number from {shape.least:g}"


@said.register
def _(shape: Known) -> str:
    return shape.wanted


@said.register
def _(shape: Link) -> str:
    return "a web address with https"


@said.register
def _(shape: Clock) -> str:
    return 'a time, "07:30"'


@said.register
def _(shape: ListOf) -> str:
    return f"list: {said(shape.item)}"


@said.register
def _(shape: MapOf) -> str:
    return f"{said(shape.key)} for each: {said(shape.value)}"


@said.register
def _(shape: Record) -> str:
    short = f"; `{shape.short}` may stand alone" if shape.short else ""
    return f"a set of keys{short}"
