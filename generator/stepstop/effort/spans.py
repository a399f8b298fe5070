"""Who enters a written step, goes on behind it, and how long they stay.

A shared tree that stands in a step's place is that step: its pages are the step's span. Everything
is added up over all copies.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import zip_longest

from stepstop.course import Course, Page
from stepstop.effort.carry import Met, Walkers
from stepstop.effort.idle import answers
from stepstop.source import Spot

Written = tuple[str, str]
"""(tree, step)."""
Chain = tuple[Written, ...]
"""The steps that a page stands in, the outermost first; the last is its own."""


@dataclass(slots=True)
class Span:
    """Of one written step; shares of all calls."""

    entered: float = 0.0
    passed: float = 0.0
    """Who leaves it for another step of the same file."""
    minutes: float = 0.0
    """All that they spend in it, together."""
    complaints: set[str] = field(default_factory=set)
    """Of those who enter."""


class Count:
    """Adds up spans, node by node."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self.spans: dict[Written, Span] = {}
        self.answered: dict[Spot, float] = {}
        """Spot of an answer -> share of all calls that give it."""
        self._chains: dict[str, Chain] = {}

    def of(self, tree: str, step: str) -> Span:
        """The span of a written step, empty where nobody comes."""
        return self.spans.get((tree, step), Span())

    def add(self, met: Met, walkers: Walkers) -> None:
        """Count those on one node, and where they go next."""
        if not met.callers:
            return
        chain = self.chain(met.node.page)
        for written in chain:
            self._span(written).minutes += met.callers * met.node.seconds / 60
        if met.number == walkers.lumps.root:
            self._enter(chain, met.callers, walkers.complaint)
        for option, flow in zip(met.node.options, met.flows, strict=True):
            if flow:
                there = self.chain(walkers.world.nodes[option.to].page)
                self._move(chain, there, flow, walkers.complaint)
        self._answer(met)

    def _answer(self, met: Met) -> None:
        if met.node.page.finding:
            for answer, flow in zip(answers(met), met.flows, strict=True):
                self.answered[answer.spot] = self.answered.get(answer.spot, 0.0) + flow

    def _move(self, here: Chain, there: Chain, flow: float, complaint: str) -> None:
        """Those who go from one page to another leave some spans and enter others.

        The chains part where the outermost of these begin; a step goes on in its file if the other
        page stands in a step of the same copy of that file.
        """
        shared = sum(1 for _ in common(here, there))
        self._enter(there[shared:], flow, complaint)
        beside = shared < min(len(here), len(there)) and here[shared][0] == there[shared][0]
        if beside:
            self._span(here[shared]).passed += flow

    def _enter(self, chain: Chain, flow: float, complaint: str) -> None:
        for written in chain:
            span = self._span(written)
            span.entered += flow
            span.complaints.add(complaint)

    def _span(self, written: Written) -> Span:
        return self.spans.setdefault(written, Span())

    def chain(self, page: Page) -> Chain:
        """The steps that a page stands in; none for an end."""
        if page.id not in self._chains:
            self._chains[page.id] = tuple(_chain(page, self.course)) if page.step else ()
        return self._chains[page.id]


def _chain(page: Page, course: Course) -> Iterator[Written]:
    trees = course.library.trees
    home = trees[page.tree]
    for name in page.name.split("."):
        yield home.id, name
        step = home.steps[name]
        home = trees[step.uses] if step.uses else home


def common(one: Chain, other: Chain) -> Iterator[Written]:
    """What both begin with."""
    for mine, yours in zip_longest(one, other):
        if mine != yours:
            return
        yield mine
