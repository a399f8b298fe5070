"""The steps of one tree as its file has them, what leads where, and the share of callers there.

A shared tree that stands in a step's place is that step. What lies in other files is a box for the
file, or for all endings of one kind in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from stepstop.course import Course, Page
from stepstop.model import START_PAGE, Place, Step, Tree
from stepstop.pages.words import fill, plain
from stepstop.source import Spot

Key = tuple[str, str]
"""(kind of box, name)."""
STEP, END, ELSEWHERE, ENDS, LIST = "step", "end", "elsewhere", "ends", "list"


@dataclass(frozen=True, slots=True)
class Box:
    """A step, an outcome, or what lies in another file."""

    key: Key
    shape: str
    """`question`, `check`, `note`, `use`, `elsewhere`, or a kind of outcome."""
    name: str
    text: str
    page: str
    """Id of a page of it, or empty."""
    spot: Spot | None
    """Where it is written, if in this tree's file or one that it leads to."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A way from one box to another."""

    tail: Key
    head: Key
    answers: tuple[str, ...]
    """What is said by those who go this way; empty behind a shared tree."""
    share: float | None
    """Of this tree's callers; None where it was not counted."""


@dataclass(frozen=True, slots=True)
class Flow:
    """The picture's content."""

    tree: Tree
    boxes: tuple[Box, ...]
    edges: tuple[Edge, ...]


def flow(
    course: Course,
    tree: Tree,
    shares: Mapping[tuple[Key, Key], float] | None = None,
    place: Place | None = None,
) -> Flow:
    """All boxes and edges of a tree that walks go through; `shares` by tail and head.

    Texts are those of a place; left out: the first, since pictures are for authors.
    """
    place = place or next(iter(course.library.catalogue.places.values()))
    first: dict[Key, Page | None] = {}
    answers: dict[tuple[Key, Key], dict[str, None]] = {}
    for page in _pages(course, tree):
        tail = key_of(page, tree)
        _note(first, tail, page)
        for move in page.moves:
            there = course.pages.get(move.to)
            head = key_of(there, tree) if there else (LIST, START_PAGE)
            if head == tail:
                continue
            _note(first, head, there)
            said = answers.setdefault((tail, head), {})
            if "." not in page.name and move.answer.say:
                said.setdefault(_plain(move.answer.say, place))
    boxes = {key: _box(key, page, course, tree, place) for key, page in first.items()}
    edges = (
        Edge(tail, head, tuple(said), None if shares is None else shares.get((tail, head), 0.0))
        for (tail, head), said in answers.items()
    )
    return Flow(tree, tuple(boxes.values()), tuple(edges))


def _pages(course: Course, tree: Tree) -> Iterator[Page]:
    """The tree's own pages with steps."""
    return (p for p in course.pages.values() if p.tree == tree.id and p.step is not None)


def _note(first: dict[Key, Page | None], key: Key, page: Page | None) -> None:
    """Keep the page that stands for a box: the one of an unhurried walk with nothing left out."""
    known = first.get(key)
    if page is not None and (known is None or len(page.id) < len(known.id)):
        first[key] = page
    first.setdefault(key, None)


def key_of(page: Page, tree: Tree) -> Key:
    """The box that a page stands in, seen from a tree."""
    if page.step is not None:
        return (STEP, page.name.split(".")[0]) if page.tree == tree.id else (ELSEWHERE, page.tree)
    if page.outcome is None:
        return (LIST, START_PAGE)
    if page.tree == tree.id:
        return (END, page.outcome.id)
    return (ENDS, f"{page.tree} {page.outcome.kind}")


def _box(key: Key, page: Page | None, course: Course, tree: Tree, place: Place) -> Box:
    kind, name = key
    trees = course.library.trees
    if page is None or kind == LIST:
        return Box(key, ELSEWHERE, "start", "The list of complaints", "", None)
    if kind == STEP:
        step = tree.steps[name]
        return Box(
            key, str(step.kind), name, _plain(_text(step, course), place), page.id, step.spot
        )
    if kind == END:
        assert page.outcome is not None
        title = _plain(page.outcome.title, place)
        return Box(key, page.outcome.kind, name, title, page.id, page.outcome.spot)
    other = trees[page.tree]
    if kind == ENDS:
        assert page.outcome is not None
        of = f"endings of {other.id}"
        return Box(key, page.outcome.kind, of, _plain(other.title, place), page.id, other.spot)
    return Box(key, ELSEWHERE, other.id, _plain(other.title, place), page.id, other.spot)


def _text(step: Step, course: Course) -> str:
    """What the box says: the question, the check's name, the headline, the shared tree's title."""
    library = course.library
    if step.uses:
        return library.trees[step.uses].title
    return library.catalogue.checks[step.check].name if step.check else step.ask


def _plain(text: str, place: Place) -> str:
    return plain(fill(text, place))
