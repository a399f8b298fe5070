"""Callers of one complaint carried from page to page, and what is ahead of them carried back.

Shares are exact but for rounding. An answer goes wrong by itself, whatever went wrong before: that
keeps a page free of memory, and differs from a rehearsal only where a finding is asked again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from stepstop.callers import Errors
from stepstop.journey import Node
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.house_table import Floats, Ints
from stepstop.rehearsal.lumps import Lumps, lumped
from stepstop.rehearsal.slips import parts


@dataclass(frozen=True, slots=True)
class World:
    """Pages, houses and callers, with how callers err."""

    bench: Bench
    errors: Errors

    @property
    def nodes(self) -> Sequence[Node]:
        """The pages, each with what was done before it, in the order of walks."""
        return self.bench.journey.nodes

    def true(self, node: Node, cases: Ints) -> Floats:
        """(options, cases, callers): chance of each option by what is true; an axis may be 1."""
        return self.bench.truths.of(node, cases)

    def taken(self, node: Node, truth: Floats) -> Floats:
        """Chance that each option is taken, errors counted in; the shape of `truth`."""
        finding = self.bench.catalogue.findings.get(node.page.finding)
        if finding is None:
            return truth
        rates = self.errors.of(finding.id, is_danger=finding.is_danger)
        chances = np.zeros_like(truth)
        for part in parts(node, truth, rates, kept=None, tracked=False, lasts=False):
            chances[part.option] += part.chance
        return chances


@dataclass(frozen=True)
class Met:
    """The callers on one node. Shapes are (options, classes of cases, callers)."""

    number: int
    node: Node
    cases: Ints
    """One case of each class."""
    mass: Floats
    """(classes, callers): shares of all calls."""
    truth: Floats
    """Chances of the options by what is true; an axis may be 1."""
    taken: Floats
    """Chances that they are taken."""

    @cached_property
    def callers(self) -> float:
        """Share of all calls that come here."""
        return float(self.mass.sum())

    @cached_property
    def moves(self) -> tuple[Floats, ...]:
        """By option those who take it, (classes, callers)."""
        return tuple(np.asarray(self.mass * taken) for taken in self.taken)

    @cached_property
    def flows(self) -> tuple[float, ...]:
        """By option the share of all calls that take it."""
        return tuple(float(moving.sum()) for moving in self.moves)


@dataclass(frozen=True)
class Walkers:
    """All who begin with one complaint."""

    world: World
    complaint: str
    lumps: Lumps

    @property
    def root(self) -> Node:
        """Where they begin."""
        return self.world.nodes[self.lumps.root]

    @cached_property
    def begin(self) -> Floats:
        """(classes, callers) on the first page, as shares of all calls."""
        bench, lumps = self.world.bench, self.lumps
        size = len(lumps.cases[lumps.root])
        weights = bench.weights(self.complaint)[lumps.members]
        classes = np.bincount(lumps.begins, weights=weights, minlength=size)
        return np.outer(classes, [caller.weight for caller in bench.people])

    def walk(self) -> Iterator[Met]:
        """Every node that some way leads to, in order, with all who come to it."""
        waiting: dict[int, Floats] = {self.lumps.root: self.begin}
        for number in self.lumps.reached:
            nobody = np.zeros((len(self.lumps.cases[number]), len(self.world.bench.people)))
            met = self.met(number, waiting.pop(number, nobody))
            yield met
            if met.callers:
                self._pass_on(met, waiting)

    def met(self, number: int, mass: Floats) -> Met:
        """These callers on a node, with what they answer."""
        node, cases = self.world.nodes[number], self.lumps.cases[number]
        truth = self.world.true(node, cases)
        return Met(number, node, cases, mass, truth, self.world.taken(node, truth))

    def _pass_on(self, met: Met, waiting: dict[int, Floats]) -> None:
        for option, moving in zip(met.node.options, met.moves, strict=True):
            if moving.any():
                moved = self.lumps.moved(met.number, option.to, moving[:, :, None])[:, :, 0]
                there = waiting.get(option.to)
                waiting[option.to] = moved if there is None else there + moved

    def behind(self, met: Met, later: Mapping[int, Floats]) -> list[Floats]:
        """What `later` says of the node behind each option, for the classes of this one."""
        goes = self.lumps.goes
        return [later[o.to][goes[met.number, o.to]] for o in met.node.options]


def walkers(
    world: World, complaint: str, *, alike: Callable[[Node], Ints] | None = None
) -> Walkers:
    """The callers of `complaint`, cases that are answered alike taken together.

    `alike` numbers the cases at an end: those of one number are one there. Left out: of one cause.
    """
    bench = world.bench
    members = np.flatnonzero(bench.weights(complaint))
    root = bench.journey.roots[complaint]
    lumps = lumped(bench.journey, root, bench.truths, members, alike or (lambda _: bench.cause_of))
    return Walkers(world, complaint, lumps)
