"""Causes that nobody can tell apart by what the pages ask."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import combinations

import numpy as np

from stepstop import graph
from stepstop.journey import Node
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.house_table import Ints
from stepstop.rehearsal.lumps import lumped
from stepstop.rehearsal.truths import Truths

Seat = tuple[str, str, str, str]
"""A house without its fault: configuration, what is wanted, weather, complaint."""
Looks = dict[str, dict[Seat, frozenset[int]]]
"""Cause -> house -> the ways in which the pages may be answered there, as numbers of classes."""


def alike(bench: Bench, told: frozenset[str]) -> list[tuple[str, ...]]:
    """Groups of causes with the same answers on every page, in every house that both may be in.

    Findings in `told` are left out: declared chances of what people remember are no evidence that
    a house could give. A group may be held together by a third cause, which is alike to both.
    """
    looks = _looks(bench, told)
    pairs = [(a, b) for a, b in combinations(sorted(looks), 2) if _same(looks[a], looks[b])]
    edges: dict[str, list[str]] = {}
    for a, b in pairs:
        edges.setdefault(a, []).append(b)
        edges.setdefault(b, []).append(a)
    return sorted({tuple(sorted(graph.reachable(edges, [a]))) for a in edges})


def _same(one: Mapping[Seat, frozenset[int]], other: Mapping[Seat, frozenset[int]]) -> bool:
    both = one.keys() & other.keys()
    return bool(both) and all(one[seat] == other[seat] for seat in both)


def _looks(bench: Bench, told: frozenset[str]) -> Looks:
    truths = Truths(bench.table, bench.callers, bench.catalogue, told)
    looks: Looks = {}
    for complaint in bench.complaints:
        members = np.flatnonzero(bench.weights(complaint))
        root, nothing = bench.journey.roots[complaint], _judges_nothing(len(bench.table.cases))
        begins = lumped(bench.journey, root, truths, members, nothing).begins
        for cause, seat, number in _seats(bench, complaint, members, begins):
            known = looks.setdefault(cause, {})
            known[seat] = known.get(seat, frozenset()) | {number}
    return looks


def _judges_nothing(cases: int) -> Callable[[Node], Ints]:
    same = np.zeros(cases, dtype=np.int64)
    return lambda _: same


def _seats(
    bench: Bench, complaint: str, members: Ints, begins: Ints
) -> Iterator[tuple[str, Seat, int]]:
    for member, number in zip(members.tolist(), begins.tolist(), strict=True):
        case = bench.table.cases[member]
        yield case.cause, (case.house.split("#")[0], case.wanted, case.weather, complaint), number
