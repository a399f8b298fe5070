"""The journey: every page together with what was done to the house on the way to it.

A page alone does not say what is seen next: that depends on the acts of the walk as well. The
journey is the product of both, so that each of its nodes has one answer for each house.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from stepstop import graph
from stepstop.course import Course, Move, Page
from stepstop.house.acts import NONE, Acts, after
from stepstop.model import NOT_DONE, UNKNOWNS
from stepstop.rules.too_long import QUESTION_SECONDS

Place = tuple[str, Acts]
"""(page id, what was done before it)."""
Doing = Callable[[Acts, str], Acts]
"""What a check makes of the acts before it."""


@dataclass(frozen=True, slots=True)
class Option:
    """One answer of a page, with where it leads."""

    values: tuple[str, ...]
    """The values of the finding that it stands for; none on a note."""
    to: int
    """Number of the next node."""
    done: bool
    """Whether it says that the page's check was done."""
    settles: frozenset[str]
    """Findings that it settles besides the one that is asked."""

    @property
    def is_sure(self) -> bool:
        """Whether the person could tell."""
        return bool(self.values) and not set(self.values) & set(UNKNOWNS)


@dataclass(frozen=True, slots=True)
class Node:
    """A page as somebody meets it who has done `acts`."""

    page: Page
    acts: Acts
    seen: Acts
    """What its answers are about: the acts with the page's own check done."""
    options: tuple[Option, ...]

    @property
    def seconds(self) -> int:
        """How long it takes: a check its minutes, another step `QUESTION_SECONDS`."""
        if self.page.check is not None:
            return self.page.check.minutes * 60
        return QUESTION_SECONDS * (self.page.step is not None)


@dataclass(frozen=True)
class Journey:
    """All nodes, each before whatever it leads to."""

    course: Course
    nodes: tuple[Node, ...]
    roots: Mapping[str, int]
    """Id of a tree that people begin with -> number of its first node."""

    @cached_property
    def acts(self) -> tuple[Acts, ...]:
        """Every state of acts that an answer can be about or a walk can end in, sorted."""
        return tuple(sorted({acts for node in self.nodes for acts in (node.acts, node.seen)}))

    @cached_property
    def repeated(self) -> frozenset[str]:
        """The findings that some walk asks more than once."""
        later = asked_later(self.nodes, frozenset(node.page.finding for node in self.nodes))
        return frozenset(
            node.page.finding
            for node in self.nodes
            if any(node.page.finding in later[option.to] for option in node.options)
        ) - {""}

    @cached_property
    def later(self) -> tuple[frozenset[str], ...]:
        """By node: which of the `repeated` findings are asked on it or further on."""
        return tuple(asked_later(self.nodes, self.repeated))

    def reached(self, start: int) -> list[int]:
        """Numbers of the nodes that a walk from `start` can come to, in order."""
        edges = {n: [o.to for o in self.nodes[n].options] for n in range(start, len(self.nodes))}
        return sorted(graph.reachable(edges, [start]))


def asked_later(nodes: Sequence[Node], findings: frozenset[str]) -> list[frozenset[str]]:
    """By node: which of `findings` are asked on it or on some way from it; nodes in order."""
    later: list[frozenset[str]] = [frozenset()] * len(nodes)
    for number in reversed(range(len(nodes))):
        node = nodes[number]
        here = findings & {node.page.finding}
        later[number] = here.union(*(later[option.to] for option in node.options))
    return later


def lay(course: Course, *, doing: Doing = after, start: Acts = NONE) -> Journey:
    """The journey of `course`, begun in a house where `start` was done.

    Raises `graph.HasCycle` where pages lead to one another in a circle, and whatever `doing`
    raises for a check that it does not know.
    """
    begins = [(root, start) for root in course.begins.values()]
    leads = _leads(course, begins, doing)
    places = graph.topological_order(leads)
    number = {place: i for i, place in enumerate(places)}
    nodes = tuple(_node(course, place, number, doing) for place in places)
    roots = {tree: number[root, start] for tree, root in course.begins.items()}
    return Journey(course, nodes, roots)


def _leads(course: Course, begins: Sequence[Place], doing: Doing) -> dict[Place, list[Place]]:
    leads: dict[Place, list[Place]] = {}
    waiting = list(begins)
    while waiting:
        place = waiting.pop()
        if place not in leads:
            leads[place] = list(dict.fromkeys(to for _, to in _moves(course, place, doing)))
            waiting += leads[place]
    return leads


def _moves(course: Course, place: Place, doing: Doing) -> Iterator[tuple[Move, Place]]:
    page, acts = course.pages[place[0]], place[1]
    then = acts if page.check is None else doing(acts, page.check.id)
    for move in page.moves:
        yield move, (move.to, acts if move.value == NOT_DONE else then)


def _node(course: Course, place: Place, number: Mapping[Place, int], doing: Doing) -> Node:
    page, acts = course.pages[place[0]], place[1]
    seen = acts if page.check is None else doing(acts, page.check.id)
    moves: dict[tuple[int, int], list[Move]] = {}
    for move, to in _moves(course, place, doing):
        moves.setdefault((id(move.answer), number[to]), []).append(move)
    options = tuple(_option(page, to, each) for (_, to), each in moves.items())
    return Node(page, acts, seen, options)


def _option(page: Page, to: int, moves: Sequence[Move]) -> Option:
    values = tuple(move.value for move in moves if move.value)
    settled = frozenset(finding for move in moves for finding in move.sets) - {page.finding}
    done = page.check is not None and NOT_DONE not in values
    return Option(values, to, done, settled)
