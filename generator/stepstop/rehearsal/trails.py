"""The most likely wrong call about a cause, page by page.

Best first: of all calls under way the most likely one takes the next page (Dijkstra's method, with
chances multiplied in the place of lengths added), so the first wrong end is the most likely one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count

import numpy as np

from stepstop.callers import Errors
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.judge import Ended, marks
from stepstop.rehearsal.propagate import ways
from stepstop.rehearsal.slips import Memory, Part, remembered

MOST = 200_000
"""Calls under way that are looked at before the search gives up."""


@dataclass(frozen=True, slots=True)
class Under:
    """A call under way."""

    chance: float
    node: int
    case: int
    caller: int
    complaint: str
    memory: Memory = ()
    exposed: bool = False
    trail: tuple[str, ...] = ()
    """Labels of the pages behind, each with what was told in brackets."""


@dataclass(frozen=True, slots=True)
class Trail:
    """A wrong call."""

    share: float
    """Of all calls about this cause."""
    house: str
    caller: str
    pages: tuple[str, ...]
    """Labels with answers in brackets, the outcome last."""
    end: str
    """Kind, urgency and state left of the outcome."""
    right: str
    """What would have been right, with the reason."""


def worst_trail(bench: Bench, errors: Errors, cause: str) -> Trail | None:
    """The most likely call about `cause` that ends wrong, or None where none is found."""
    return _Search(bench, errors).first(cause)


class _Search:
    def __init__(self, bench: Bench, errors: Errors) -> None:
        self.bench, self.errors = bench, errors
        self.order = count()
        self.waiting: list[tuple[float, int, Under]] = []
        self.ways: dict[tuple[int, Memory, int], list[Part]] = {}

    def first(self, cause: str) -> Trail | None:
        for call in self._begun(cause):
            self._wait(call)
        for _ in range(MOST):
            if not self.waiting:
                return None
            call = heappop(self.waiting)[2]
            if self.bench.journey.nodes[call.node].options:
                for further in self._further(call):
                    self._wait(further)
            elif self._is_wrong(call):
                return self._told(call)
        return None

    def _wait(self, call: Under) -> None:
        heappush(self.waiting, (-call.chance, next(self.order), call))

    def _begun(self, cause: str) -> Iterator[Under]:
        bench = self.bench
        cases = [(i, case) for i, case in enumerate(bench.table.cases) if case.cause == cause]
        whole = sum(case.weight for _, case in cases)
        for i, case in cases:
            for complaint, share in case.complaints:
                for seat, caller in enumerate(bench.people):
                    chance = case.weight / whole * share * caller.weight
                    if chance > 0.0:
                        yield Under(chance, bench.journey.roots[complaint], i, seat, complaint)

    def _further(self, call: Under) -> Iterator[Under]:
        bench = self.bench
        node = bench.journey.nodes[call.node]
        for part in self._ways(call):
            chance = part.chance[0, call.caller if part.chance.shape[1] > 1 else 0]
            if chance <= 0.0:
                continue
            option = node.options[part.option]
            later = bench.journey.later[option.to]
            unsafe = option.done and node.page.check is not None
            exposed = unsafe and bool(bench.unsafe(node.page.check.id)[call.case])  # type: ignore[union-attr]
            said = f" ({option.values[0]})" if option.values else ""
            yield replace(
                call,
                chance=call.chance * float(chance),
                node=option.to,
                memory=remembered(call.memory, part.kept, option, later),
                exposed=call.exposed or exposed,
                trail=(*call.trail, f"{node.page.tree} > {node.page.label}{said}"),
            )

    def _ways(self, call: Under) -> list[Part]:
        key = (call.node, call.memory, call.case)
        if key not in self.ways:
            cases = np.array([call.case])
            self.ways[key] = ways(self.bench, call.node, call.memory, self.errors, cases)
        return self.ways[key]

    def _is_wrong(self, call: Under) -> bool:
        bench, node = self.bench, self.bench.journey.nodes[call.node]
        cases = np.array([call.case])
        works = bench.table.works(node.acts)[cases][:, None]
        end = bench.end_of(node.page)
        ended = Ended(end, (), call.complaint, cases, works, call.exposed)
        return not marks(bench, ended)["right"][0, call.caller]

    def _told(self, call: Under) -> Trail:
        bench, node = self.bench, self.bench.journey.nodes[call.node]
        case, caller = bench.table.cases[call.case], bench.people[call.caller]
        end = bench.end_of(node.page)
        rank = {each.rank: each.id for each in bench.catalogue.urgencies.values()}
        works = bool(bench.table.works(node.acts)[call.case])
        row = bench.row_for(case.cause, caller, call.complaint, case.wanted, case.weather)
        kinds = " or ".join(row.kinds(works=works))
        state = "works" if works else "fails"
        urgency = f"{row.soonest} to {row.latest}" if row.soonest != row.latest else row.latest
        return Trail(
            call.chance,
            case.house,
            caller.id,
            (*call.trail, f"{node.page.tree} > {node.page.label}"),
            f"{end.kind or 'no outcome'}, {rank.get(end.rank, '-')}, {end.left or '-'}; "
            f"house {state}",
            f"{kinds}, {urgency}, {' or '.join(row.left)}: {row.why}",
        )
