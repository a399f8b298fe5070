"""The account of a survey as plain data, for programs and for the text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import fsum
from typing import Any

from stepstop.effort.carry import World
from stepstop.effort.costs import PURPOSES, Cost
from stepstop.effort.idle import Dead, Idle
from stepstop.effort.orders import Compared, Counted, Orders, Try
from stepstop.effort.survey import Survey
from stepstop.effort.swaps import Pair
from stepstop.effort.telling import Telling
from stepstop.model import Library
from stepstop.source import Spot

Data = dict[str, Any]

FORMAT = 1
HEADING = "simulated, not field results"


def account(survey: Survey, world: World) -> Data:
    """Everything that was found; shares are of all calls, times are in minutes."""
    bench = world.bench
    library = bench.journey.course.library
    idleness = survey.idleness
    return {
        "format": FORMAT,
        "heading": HEADING,
        "cases": len(bench.table.cases),
        "causes": len(bench.causes),
        "callers": len(bench.people),
        "complaints": {cost.complaint: _cost(cost) for cost in survey.costs},
        "whole": whole(survey.costs),
        "one-way": [_idle(each) for each in idleness.one_way],
        "same-ends": [_idle(each) for each in idleness.same_ends],
        "dead-answers": [_dead(each) for each in idleness.dead],
        "dead-unsure": [_dead(each) for each in idleness.dead_unsure],
        "unvisited": [_idle(each) for each in idleness.unvisited],
        "steps": [_telling(each) for each in survey.tellings],
        "orders": _orders(survey.orders, library),
    }


def place(spot: Spot) -> str:
    """File and line."""
    return f"{spot.file}:{spot.line}"


def _cost(cost: Cost) -> Data:
    return {
        "calls": cost.calls,
        "steps": cost.all_steps,
        "minutes": cost.all_minutes,
        "worst-steps": cost.worst_steps,
        "worst-minutes": cost.worst_minutes,
        "answers": cost.ways,
        "ends": len(cost.ends),
        "ends-bits": cost.bits,
        "entropy-bound": cost.entropy_bound,
        "huffman-bound": cost.huffman_bound,
        "ratio": cost.ratio,
        "purposes": _purposes(cost.steps, cost.minutes),
    }


def _purposes(steps: Mapping[str, float], minutes: Mapping[str, float]) -> Data:
    return {name: {"steps": steps[name], "minutes": minutes[name]} for name in PURPOSES}


def whole(costs: Sequence[Cost]) -> Data:
    """All complaints together: means by calls, and the worst of all."""
    calls = fsum(cost.calls for cost in costs)

    def mean(each: Iterable[float]) -> float:
        return fsum(c.calls * value for c, value in zip(costs, each, strict=True)) / calls

    steps, bound = mean(c.all_steps for c in costs), mean(c.huffman_bound for c in costs)
    return {
        "calls": calls,
        "steps": steps,
        "minutes": mean(c.all_minutes for c in costs),
        "worst-steps": max(c.worst_steps for c in costs),
        "worst-minutes": max(c.worst_minutes for c in costs),
        "entropy-bound": mean(c.entropy_bound for c in costs),
        "huffman-bound": bound,
        "ratio": steps / bound if bound > 0.0 else None,
        "purposes": _purposes(
            {name: mean(c.steps[name] for c in costs) for name in PURPOSES},
            {name: mean(c.minutes[name] for c in costs) for name in PURPOSES},
        ),
    }


def _idle(idle: Idle) -> Data:
    return {"step": idle.step, "kind": idle.kind, "at": place(idle.spot), "callers": idle.callers}


def _dead(dead: Dead) -> Data:
    return {
        "step": dead.step,
        "say": dead.say,
        "values": list(dead.values),
        "at": place(dead.spot),
        "callers": dead.callers,
        "taken": dead.taken,
    }


def _telling(telling: Telling) -> Data:
    return {
        "step": telling.step,
        "at": place(telling.spot),
        "callers": telling.callers,
        "bits": telling.bits,
        "minutes": telling.minutes,
        "bits-a-minute": telling.rate,
    }


def _orders(found: Orders, library: Library) -> Data:
    return {
        "pairs": found.pairs,
        "held-behind-danger": [_pair(each, library) for each in found.held],
        "unvisited": found.unvisited,
        "in-order": found.in_order,
        "refused": [
            {**_compared(each.compared), "flaws": list(each.flaws)} for each in found.refused
        ],
        "proposed": [_counted(each) for each in found.proposed],
        "not-borne-out": [_counted(each) for each in found.not_borne_out],
    }


def _pair(pair: Pair, library: Library) -> Data:
    steps = library.trees[pair.tree].steps
    return {"first": place(steps[pair.first].spot), "second": place(steps[pair.second].spot)}


def _compared(compared: Compared) -> Data:
    return {
        "tree": compared.pair.tree,
        "first": _try(compared.first),
        "second": _try(compared.second),
        "callers": compared.callers,
        "minutes-by-ratio": compared.by_ratio,
    }


def _try(each: Try) -> Data:
    return {"step": each.step, "at": place(each.spot), "ends": each.ends, "minutes": each.minutes}


def _counted(counted: Counted) -> Data:
    return {
        **_compared(counted.compared),
        "minutes": counted.each,
        "minutes-a-call": counted.saved,
        "minutes-by-complaint": dict(counted.minutes),
        "ends": dict(counted.kinds),
    }
