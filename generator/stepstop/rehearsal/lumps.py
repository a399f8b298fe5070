"""Cases that nothing can tell apart any more are one from there on.

For each node of a journey the cases are sorted into classes: two are in one class where every
page from there on is answered alike and every end is judged alike. That is exact: shares of a
class move together whatever callers do. It is the coarsest partition that the ends and pages
allow, found from the ends backwards (partition refinement, as in the lumping of Markov chains:
Kemeny and Snell, "Finite Markov Chains", 1960, section 6.3).

Classes are told apart by hashes of 64 bits; that two of some ten thousand would fall together
by chance has a likelihood below one in a hundred million for a whole journey.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stepstop.journey import Journey, Node
from stepstop.rehearsal.house_table import Floats, Ints
from stepstop.rehearsal.truths import Truths

Hashes = NDArray[np.uint64]
_FIRST, _SECOND, _STEP = (
    np.uint64(0xBF58476D1CE4E5B9),
    np.uint64(0x94D049BB133111EB),
    np.uint64(0x9E3779B97F4A7C15),
)


@dataclass(frozen=True)
class Lumps:
    """The classes of every node that walks from one root can come to."""

    root: int
    reached: tuple[int, ...]
    """Numbers of the nodes, in order."""
    cases: Mapping[int, Ints]
    """Node -> one case of each class."""
    goes: Mapping[tuple[int, int], Ints]
    """(node, next node) -> class there of each class here."""
    members: Ints
    """The cases that are sorted."""
    begins: Ints
    """Class at the root of each of `members`."""

    def moved(self, here: int, there: int, mass: Floats) -> Floats:
        """(classes here, callers, columns) as (classes there, callers, columns)."""
        size, width = len(self.cases[there]), mass.shape[1] * mass.shape[2]
        seats = self.goes[here, there][:, None] * width + np.arange(width)
        sums = np.bincount(seats.ravel(), weights=mass.ravel(), minlength=size * width)
        return np.asarray(sums.reshape(size, *mass.shape[1:]), dtype=np.float64)


def lumped(
    journey: Journey,
    root: int,
    truths: Truths,
    members: Ints,
    judged: Callable[[Node], Ints],
    *,
    progress: Callable[[int], object] = lambda _: None,
) -> Lumps:
    """The classes of some cases at all nodes behind `root`.

    `judged` numbers all cases by how an end is judged for them.
    """
    return _Lumping(journey, truths, members, judged, progress).lumps(root)


class _Lumping:
    def __init__(
        self,
        journey: Journey,
        truths: Truths,
        members: Ints,
        judged: Callable[[Node], Ints],
        progress: Callable[[int], object],
    ) -> None:
        self.journey, self.truths, self.members = journey, truths, members
        self.judged, self.progress = judged, progress
        self.columns: dict[object, Hashes] = {}
        self.hashes: dict[int, Hashes] = {}
        self.classes: dict[int, Ints] = {}
        self.cases: dict[int, Ints] = {}

    def lumps(self, root: int) -> Lumps:
        reached = self.journey.reached(root)
        users = _users({number: self.journey.nodes[number] for number in reached})
        goes: dict[tuple[int, int], Ints] = {}
        for number in reversed(reached):
            first = self._sort(number)
            self.cases[number] = self.members[first]
            for there in dict.fromkeys(o.to for o in self.journey.nodes[number].options):
                goes[number, there] = self.classes[there][first]
            for done in users.get(number, ()):
                del self.hashes[done], self.classes[done]
            self.progress(1)
        return Lumps(root, tuple(reached), self.cases, goes, self.members, self.classes[root])

    def _sort(self, number: int) -> Ints:
        """Sort the members into classes on a node; the first member of each."""
        hashes = self._hashed(number)
        first, classes = sorted_out(hashes)
        self.hashes[number], self.classes[number] = hashes, classes
        return first

    def _hashed(self, number: int) -> Hashes:
        node = self.journey.nodes[number]
        if not node.options:
            return _mixed(self.judged(node)[self.members].astype(np.uint64) + _STEP)
        hashes = self._column(node)
        for there in dict.fromkeys(option.to for option in node.options):
            hashes = _mixed(hashes * _STEP + self.hashes[there])
        return hashes

    def _column(self, node: Node) -> Hashes:
        """How the node's own page is answered, hashed."""
        values = tuple(option.values for option in node.options)
        key = (node.page.finding, node.seen, values)
        if key not in self.columns:
            chances = self.truths.known(node, self.members)
            self.columns[key] = column_hash(chances, len(self.members))
        return self.columns[key]


def sorted_out(hashes: Hashes) -> tuple[Ints, Ints]:
    """The first place of each hash, and the number of the class of each place."""
    order = np.argsort(hashes, kind="stable")
    ordered = hashes[order]
    new = np.concatenate([[True], ordered[1:] != ordered[:-1]])
    classes = np.empty(len(hashes), dtype=np.int32)
    classes[order] = np.cumsum(new) - 1
    return order[new], classes


def _users(nodes: Mapping[int, Node]) -> dict[int, list[int]]:
    """Node -> the nodes that nothing before it leads to, so that they are done with after it."""
    first: dict[int, int] = {}
    for number, node in nodes.items():
        for option in node.options:
            first.setdefault(option.to, number)
    users: dict[int, list[int]] = {}
    for to, number in first.items():
        users.setdefault(number, []).append(to)
    return users


def column_hash(chances: Floats, cases: int) -> Hashes:
    """One hash a case of chances with the shape (options, cases or 1, callers or 1)."""
    hashes = np.full(cases, _STEP, dtype=np.uint64)
    if chances.shape[1] == 1:
        return hashes
    rows = np.ascontiguousarray(chances.transpose(0, 2, 1)).reshape(-1, cases)
    for row in rows:
        hashes = _mixed(hashes * _STEP + (row + 0.0).view(np.uint64))
    return hashes


def _mixed(values: Hashes) -> Hashes:
    """Every bit made to depend on every bit (the finishing step of SplitMix64, G. Steele 2014)."""
    with np.errstate(over="ignore"):
        values = (values ^ (values >> np.uint64(30))) * _FIRST
        values = (values ^ (values >> np.uint64(27))) * _SECOND
    return values ^ (values >> np.uint64(31))
