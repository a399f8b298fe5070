"""Single calls drawn at random: an independent cross-check of the exact figures.

Nothing is shared with the propagation but the journey, what houses and callers are, and the table
of verdicts: each call walks page by page, errs by its own draws, and is judged by plain rules.
Calls are drawn stratified by cause, so that rare causes are checked as well as common ones.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import accumulate
from math import sqrt
from random import Random

import numpy as np

from stepstop.callers import Caller, Errors
from stepstop.journey import Node, Option
from stepstop.model import KINDS, NOT_DONE, UNSURE, Value
from stepstop.rehearsal.bench import Bench, End
from stepstop.rehearsal.figures import SUMS, Shown, Tally
from stepstop.rehearsal.house_table import Floats, Ints
from stepstop.verdicts import Row

LEAST = 400
"""Calls of each cause, where there are enough for all."""
LIMIT = 4.5
"""Standard errors, beside one call, by which a share may differ from the exact one.

The chance that a right share lies outside is below one in a hundred thousand.
"""


@dataclass(frozen=True, slots=True)
class Sampled:
    """What the drawn calls came to, and whether they agree with the exact figures."""

    calls: int
    seed: int
    shares: dict[str, tuple[float, float]]
    """Name -> (share or mean by the drawn calls, standard error)."""
    farthest: float
    """Largest difference between drawn and exact, as a share of what is allowed."""
    apart: tuple[str, ...]
    """Names of figures that differ by more than is allowed, with their cause if it is one's own."""
    lengths: dict[tuple[int, int], float]
    """(pages, seconds) of calls without a danger end -> share of calls."""

    @property
    def agrees(self) -> bool:
        """Whether no figure differs by more than is allowed."""
        return not self.apart


@dataclass(frozen=True, slots=True)
class Spread:
    """The options of a node, looked up by value."""

    node: Node
    by_value: dict[str, int]
    sure: tuple[int, ...]

    def option(self, *values: str) -> int:
        """The option for the first of `values` that the page offers."""
        return next(self.by_value[value] for value in values if value in self.by_value)


@dataclass(slots=True)
class Call:
    """One call under way."""

    case: int
    caller: Caller
    complaint: str
    kept: dict[str, tuple[str, str]] = field(default_factory=dict)
    """Finding -> how its answer went, and what was told."""
    exposed: bool = False
    pages: int = 0
    seconds: int = 0


class Sampler:
    """Draws calls of one model of errors."""

    def __init__(self, bench: Bench, errors: Errors, shown: Shown, seed: int) -> None:
        self.bench, self.errors, self.shown = bench, errors, shown
        self.random = Random(seed)
        self.spreads = [_spread(node) for node in bench.journey.nodes]
        self.ends = [bench.end_of(node.page) for node in bench.journey.nodes]
        self.people = bench.people
        self.caller_steps = list(accumulate(caller.weight for caller in self.people))
        urgencies = bench.catalogue.urgencies
        self.rank = {name: urgency.rank for name, urgency in urgencies.items()}

    # ---- drawing ----

    def call(self, cases: Sequence[int], steps: Sequence[float]) -> tuple[Call, int]:
        """One call about one of `cases`, and the number of the node that it ends on."""
        case = cases[self._drawn(steps)]
        chosen = self.bench.table.cases[case].complaints
        complaint = chosen[self._drawn(list(accumulate(share for _, share in chosen)))][0]
        call = Call(case, self.people[self._drawn(self.caller_steps)], complaint)
        return call, self._walk(call)

    def _drawn(self, steps: Sequence[float]) -> int:
        return min(bisect(steps, self.random.random() * steps[-1]), len(steps) - 1)

    def _walk(self, call: Call) -> int:
        number = self.bench.journey.roots[call.complaint]
        while self.spreads[number].node.options:
            spread = self.spreads[number]
            option = spread.node.options[self._chosen(call, spread)]
            self._do(call, spread.node, option)
            number = option.to
        call.pages += 1
        return number

    def _do(self, call: Call, node: Node, option: Option) -> None:
        call.pages += 1
        call.seconds += node.seconds
        if option.done and node.page.check is not None:
            judged = self.bench.verdicts.causes[self.bench.table.cases[call.case].cause]
            call.exposed |= judged.is_hazard and node.page.check.id in judged.unsafe
        for finding in option.settles & call.kept.keys():
            call.kept[finding] = (call.kept[finding][0], "")

    def _chosen(self, call: Call, spread: Spread) -> int:
        """Number of the option that this caller chooses."""
        finding = spread.node.page.finding
        if not finding:
            return 0
        true = self._true(call, spread)
        if true not in spread.sure:
            return true
        way, said = self._way(call, finding, len(spread.sure))
        if said in spread.by_value:
            return spread.by_value[said]
        chosen = self._told(spread, true, way)
        lasts = self.bench.catalogue.findings[finding].kind != "reading" and way != "unsure"
        call.kept[finding] = (way, spread.node.options[chosen].values[0] if lasts else "")
        return chosen

    def _way(self, call: Call, finding: str, choices: int) -> tuple[str, str]:
        """How the answer goes: as it went before, or drawn anew."""
        if finding in call.kept:
            return call.kept[finding]
        is_danger = self.bench.catalogue.findings[finding].is_danger
        rates = self.errors.of(finding, is_danger=is_danger)
        drawn = self.random.random()
        if drawn < rates.unsure:
            return "unsure", ""
        return (
            "mistaken" if drawn < rates.unsure + rates.mistaken and choices > 1 else "right"
        ), ""

    def _told(self, spread: Spread, true: int, way: str) -> int:
        if way == "unsure":
            return spread.option(UNSURE, NOT_DONE)
        if way == "mistaken" and len(spread.sure) > 1:
            return self.random.choice([option for option in spread.sure if option != true])
        return true

    # ---- what is true ----

    def _true(self, call: Call, spread: Spread) -> int:
        node, finding = spread.node, spread.node.page.finding
        if node.page.at and node.page.at not in call.caller.reaches:
            order = (NOT_DONE, UNSURE) if node.page.check else (UNSURE, NOT_DONE)
            return spread.option(*order)
        if finding in self.bench.truths.silent:
            return spread.option(UNSURE, NOT_DONE)
        case = self.bench.table.cases[call.case]
        value = call.caller.told(finding, case.wanted, case.weather)
        if value is None:
            value = self._sensed(call, node, finding)
        return spread.option(value, UNSURE, NOT_DONE)

    def _sensed(self, call: Call, node: Node, finding: str) -> str:
        """What this caller meets in the house."""
        values = self.bench.catalogue.findings[finding].values
        listed = [v for v in values.values() if v.danger and v.implies]
        if call.caller.nose == "weak" and listed:
            return self._first_sign(call, node, listed)
        value = self._value(call, node, finding)
        if call.caller.nose == "weak" and self.bench.callers.weak_nose.get(finding) == value:
            return self.bench.catalogue.findings[finding].harmless[0]
        return value

    def _first_sign(self, call: Call, node: Node, listed: Sequence[Value]) -> str:
        known = self.bench.catalogue.findings
        for sign in listed:
            pairs = sign.implies.items()
            single, shown = next((f, v) for f, v in pairs if known[f].values[v].danger)
            noticed = self.bench.callers.weak_nose.get(single) != shown
            if noticed and self._value(call, node, single) == shown:
                return sign.id
        return next(v.id for v in known[node.page.finding].values.values() if not v.danger)

    def _value(self, call: Call, node: Node, finding: str) -> str:
        chances = self.bench.table.answers(node.seen, finding)
        drawn, values = self.random.random(), list(chances)
        steps = list(accumulate(float(chances[value][call.case]) for value in values))
        return values[min(bisect(steps, drawn), len(steps) - 1)]

    # ---- judging ----

    def judged(self, call: Call, number: int) -> Iterator[str]:
        """The marks that this call gets."""
        bench, node, end = self.bench, self.bench.journey.nodes[number], self.ends[number]
        case, seat = bench.table.cases[call.case], self.people.index(call.caller)
        row = bench.row_for(case.cause, call.caller, call.complaint, case.wanted, case.weather)
        works = bool(bench.table.works(node.acts)[call.case])
        shown = self.shown.get(node.page.id, ())
        yield from self._right(row, end, works=works)
        yield from self._harm(call, row, end, seat, works=works)
        yield from self._mended(call, row, end, seat, works=works)
        if shown:
            yield "shows"
        if case.cause in shown:
            yield "shown"
        if not end.kind:
            yield "no-end"

    def _right(self, row: Row, end: End, *, works: bool) -> Iterator[str]:
        kind = end.kind in row.kinds(works=works)
        in_time = works or end.rank <= self.rank[row.latest]
        urgency = end.rank >= self.rank[row.soonest] and in_time
        state = end.left in row.left
        least = min(KINDS.index(each) for each in row.kinds(works=works))
        cautious = bool(end.kind) and KINDS.index(end.kind) >= least
        given = {
            "kind": kind,
            "urgency": urgency,
            "state": state,
            "kind-and-urgency": kind and urgency,
            "right": kind and urgency and state,
            "cautious": cautious,
            "cautious-in-time": cautious and in_time,
        }
        yield from (name for name, is_so in given.items() if is_so)

    def _harm(self, call: Call, row: Row, end: End, seat: int, *, works: bool) -> Iterator[str]:
        asked = int(self.bench.danger[call.case, seat])
        hazard = self.bench.verdicts.causes[self.bench.table.cases[call.case].cause].is_hazard
        if end.kind == "danger":
            yield "danger-end"
            if not hazard and not asked:
                yield "false-danger"
        if asked:
            yield "true-danger"
            if not end.kind or KINDS.index(end.kind) < asked:
                yield "missed-danger"
        solved = end.kind == "solved" and "solved" not in row.kinds(works=works)
        running = end.left == "running" and "running" not in row.left
        if hazard and (call.exposed or solved or running):
            yield "unsafe-shown" if self.bench.signed[call.case, seat] else "unsafe-hidden"

    def _mended(self, call: Call, row: Row, end: End, seat: int, *, works: bool) -> Iterator[str]:
        hazard = self.bench.verdicts.causes[self.bench.table.cases[call.case].cause].is_hazard
        fixable = bool(self.bench.fixable[call.case, seat]) and bool(row.works)
        if fixable:
            yield "fixable"
        if fixable and works:
            yield "fixed"
        if end.kind in ("call", "danger"):
            calm = bool(row.works) and "call" not in row.works and not hazard
            if calm if works else fixable:
                yield "needless"


def _spread(node: Node) -> Spread:
    by_value = {value: j for j, option in enumerate(node.options) for value in option.values}
    sure = tuple(j for j, option in enumerate(node.options) if option.is_sure)
    return Spread(node, by_value, sure)


# ---- adding up ----


@dataclass
class _Stratum:
    """The calls of one cause."""

    cause: str
    weight: float
    calls: int
    sums: Floats
    squares: Floats

    @cached_property
    def means(self) -> Floats:
        """By name: share of the calls, or mean."""
        return self.sums / self.calls

    @cached_property
    def variances(self) -> Floats:
        """By name: variance of the mean."""
        return (self.squares / self.calls - self.means**2) / self.calls


def sample(
    bench: Bench,
    errors: Errors,
    shown: Shown,
    exact: Tally,
    *,
    calls: int,
    seed: int,
    tick: Callable[[int], object] = lambda _: None,
) -> Sampled:
    """`calls` drawn calls, compared with the exact tally of the same callers."""
    sampler = Sampler(bench, errors, shown, seed)
    strata, lengths = [], dict[tuple[int, int], float]()
    weights = np.array([case.weight for case in bench.table.cases])
    for number, count in _shared_out(bench, weights, calls):
        cases = np.flatnonzero(bench.cause_of == number)
        strata.append(_stratum(sampler, cases, weights, count, lengths))
        tick(count)
    return _compared(strata, exact, seed, lengths, longest(bench.journey.nodes))


def _shared_out(bench: Bench, weights: Floats, calls: int) -> list[tuple[int, int]]:
    """(number of the cause, calls): `LEAST` each and the rest by weight, where there are enough."""
    causes = len(bench.causes)
    least = min(LEAST, max(1, calls // causes))
    rest = max(0, calls - least * causes)
    whole = np.bincount(bench.cause_of, weights=weights, minlength=causes)
    return [(i, least + int(rest * whole[i] / whole.sum())) for i in range(causes)]


def _stratum(
    sampler: Sampler,
    cases: Ints,
    weights: Floats,
    count: int,
    lengths: dict[tuple[int, int], float],
) -> _Stratum:
    numbers, steps = cases.tolist(), list(accumulate(weights[cases].tolist()))
    sums, squares = np.zeros(len(SUMS)), np.zeros(len(SUMS))
    place = {name: i for i, name in enumerate(SUMS)}
    for _ in range(count):
        call, end = sampler.call(numbers, steps)
        values = dict.fromkeys(sampler.judged(call, end), 1.0)
        values |= {"calls": 1.0, "pages": call.pages, "seconds": call.seconds}
        for name, value in values.items():
            sums[place[name]] += value
            squares[place[name]] += value * value
        if "danger-end" not in values:
            length = (call.pages, call.seconds)
            lengths[length] = lengths.get(length, 0.0) + steps[-1] / count
    cause = sampler.bench.table.cases[numbers[0]].cause
    return _Stratum(cause, steps[-1], count, sums, squares)


def longest(nodes: Sequence[Node]) -> dict[str, float]:
    """Pages and seconds of the longest walks: by so much a single call can differ at the most."""
    pages, seconds = [0.0] * len(nodes), [0.0] * len(nodes)
    for number in reversed(range(len(nodes))):
        to = [option.to for option in nodes[number].options]
        pages[number] = 1 + max((pages[each] for each in to), default=0.0)
        seconds[number] = nodes[number].seconds + max((seconds[each] for each in to), default=0.0)
    return {"pages": max(pages), "seconds": max(seconds)}


def _compared(
    strata: Sequence[_Stratum],
    exact: Tally,
    seed: int,
    lengths: dict[tuple[int, int], float],
    most: Mapping[str, float],
) -> Sampled:
    shares, apart, farthest = {}, [], 0.0
    for i, name in enumerate(SUMS):
        drawn = sum(each.weight * each.means[i] for each in strata)
        error = sqrt(max(0.0, sum(each.weight**2 * each.variances[i] for each in strata)))
        shares[name] = (float(drawn), float(error))
        for what, ratio in _differences(strata, exact, name, most.get(name, 1.0)):
            farthest = max(farthest, ratio)
            if ratio > 1.0:
                apart.append(what)
    calls = sum(each.calls for each in strata)
    return Sampled(calls, seed, shares, farthest, tuple(apart), lengths)


def _differences(
    strata: Sequence[_Stratum], exact: Tally, name: str, most: float
) -> Iterator[tuple[str, float]]:
    """(what, difference as a share of what is allowed) for each cause and for all together.

    `most` is what a single call can add.
    """
    i, difference, variance, slack = SUMS.index(name), 0.0, 0.0, 0.0
    for each in strata:
        true = exact.total(name, cause=each.cause) / exact.total("calls", cause=each.cause)
        own = _variance(each, i, name, true)
        step = most / each.calls
        far = float(each.means[i]) - true
        yield f"{name} of {each.cause}", _ratio(far, own, step)
        difference += each.weight * far
        variance += each.weight**2 * own
        slack = max(slack, each.weight * step)
    yield name, _ratio(difference, variance, slack)


def _variance(stratum: _Stratum, i: int, name: str, true: float) -> float:
    """Of a mean; that of a share follows from the exact one, so that rare is not impossible."""
    if name in ("pages", "seconds"):
        return float(stratum.variances[i])
    return max(0.0, true * (1.0 - true)) / stratum.calls


def _ratio(difference: float, variance: float, slack: float) -> float:
    return abs(difference) / (LIMIT * sqrt(max(0.0, variance)) + slack + 1e-6)
