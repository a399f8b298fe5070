"""What a walk costs, expected and at worst, and below what no tree with the same ends could go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import fsum

from stepstop import chance, graph
from stepstop.callers import ABOUT_PEOPLE, BY_CASE, Callers
from stepstop.course import Page
from stepstop.effort.carry import Met, Walkers
from stepstop.model import Catalogue

PURPOSES = {
    "danger": "rule a danger out",
    "people": "who is at home, how cold or hot it is",
    "readiness": "what callers know of themselves",
    "notes": "notes, which ask nothing",
    "causes": "tell causes apart, or mend",
}
"""What a step is for -> in words; all but the last are a fixed cost of safety and care."""


def purpose(page: Page, catalogue: Catalogue, callers: Callers) -> str:
    """Which of `PURPOSES` a step serves."""
    finding = catalogue.findings.get(page.finding)
    if finding is None:
        return "notes"
    if finding.is_danger:
        return "danger"
    if finding.id in ABOUT_PEOPLE:
        return "people"
    is_own = finding.id in callers.findings and finding.id not in BY_CASE
    return "readiness" if is_own else "causes"


@dataclass(frozen=True)
class Cost:
    """Of the walks of one complaint; the page that a walk ends on is no step."""

    complaint: str
    calls: float
    """Share of all calls that begin with it."""
    steps: Mapping[str, float]
    """Purpose -> expected steps of a walk."""
    minutes: Mapping[str, float]
    """Purpose -> expected minutes of a walk."""
    ends: Mapping[str, float]
    """Id of the page where walks end -> share of the walks."""
    ways: int
    """Most answers that a page has here, at least 2."""
    worst_steps: int
    """Over all paths, whether or not a simulated caller takes them."""
    worst_minutes: float

    @property
    def all_steps(self) -> float:
        """Expected steps of a walk."""
        return fsum(self.steps.values())

    @property
    def all_minutes(self) -> float:
        """Expected minutes of a walk."""
        return fsum(self.minutes.values())

    @cached_property
    def bits(self) -> float:
        """Entropy of the ends."""
        return chance.entropy(list(self.ends.values()))

    @cached_property
    def entropy_bound(self) -> float:
        """Steps that no tree of pages with `ways` answers goes below (Shannon 1948)."""
        return chance.entropy_bound(list(self.ends.values()), self.ways)

    @cached_property
    def huffman_bound(self) -> float:
        """The same, and such pages could reach it if they might ask anything (Huffman 1952).

        It holds for trees with several ways to one end too: to part the walks of an end only adds
        steps.
        """
        return chance.huffman_depth(list(self.ends.values()), ways=self.ways)

    @property
    def ratio(self) -> float | None:
        """Expected steps over the higher bound; None where all walks end alike."""
        return self.all_steps / self.huffman_bound if self.huffman_bound > 0.0 else None


class Count:
    """Counts the walks of one complaint node by node."""

    def __init__(self, walkers: Walkers) -> None:
        self.walkers = walkers
        self.steps = dict.fromkeys(PURPOSES, 0.0)
        self.minutes = dict.fromkeys(PURPOSES, 0.0)
        self.ends: dict[str, float] = {}
        self.ways = 2

    def add(self, met: Met) -> None:
        """Count those on one node."""
        page, bench = met.node.page, self.walkers.world.bench
        self.ways = max(self.ways, len(met.node.options))
        if page.step is not None:
            served = purpose(page, bench.catalogue, bench.callers)
            self.steps[served] += met.callers
            self.minutes[served] += met.callers * met.node.seconds / 60
        elif met.callers:
            self.ends[page.id] = self.ends.get(page.id, 0.0) + met.callers

    def cost(self) -> Cost:
        """What was counted, a walk."""
        calls = fsum(self.ends.values())
        steps, minutes = worst(self.walkers)
        return Cost(
            self.walkers.complaint,
            calls,
            {name: each / calls for name, each in self.steps.items()},
            {name: each / calls for name, each in self.minutes.items()},
            {name: each / calls for name, each in sorted(self.ends.items())},
            self.ways,
            steps,
            minutes,
        )


def worst(walkers: Walkers) -> tuple[int, float]:
    """Steps of the walk with the most steps, and minutes of the longest."""
    nodes = walkers.world.nodes
    reached = walkers.lumps.reached
    edges = {number: [option.to for option in nodes[number].options] for number in reached}
    steps = {number: int(nodes[number].page.step is not None) for number in reached}
    seconds = {number: nodes[number].seconds for number in reached}
    most, _ = graph.longest_path(edges, steps, [walkers.lumps.root])
    longest, _ = graph.longest_path(edges, seconds, [walkers.lumps.root])
    return int(most), longest / 60
