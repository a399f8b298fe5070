"""Causes ranked after any trail of one complaint, from a table small enough for a phone.

`tables` makes the tables from `Belief`; cases that answer alike in every column and have one cause
are merged, so that what they say together stays exact. A table stands in a file `NAME`, a plain
mapping for each tree where walks begin:

    causes    ids of causes
    cause     by class, which of them; classes are in runs, see `_runs`
    weight    by class, which of `weights`; these add up to 1
    acts      how many states of acts there are; a walk begins in the first
    moves     check -> state of acts after it by the state before
    findings  finding -> values, and the shares of errors: unsure, mistaken
    columns   [finding, mean, dists, by class which of `dists`, or the number of an earlier column
              and `:` and the same less one where it differs from that column, else 0]
    column    "state of acts:finding" -> number of its column

A dist is [value, chance, value, chance, ...]; `mean` is the dist over all cases that are simulated,
of whatever complaint, by which "something else" is weighed. `ranking.js` reads the same.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stepstop import belief as evidence
from stepstop import chance
from stepstop.belief import ELSE, ELSE_WEIGHT, SHARE_OF_ERRORS, TELLING, Belief
from stepstop.course import Page
from stepstop.house.acts import NONE, Acts, after
from stepstop.journey import Node
from stepstop.model import NOT_DONE, UNSURE

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]
Data = dict[str, Any]

NAME = "ranking.json"
"""File beside that of the rehearsal, with which it is written."""
FORMAT = 1
SAME = 1e-9
"""A table's chances differ from those of `Belief` by no more."""
_NEAREST = 4
"""Earlier columns that a column is tried to be written by: those that differ in the fewest runs."""

Told = tuple[int, str, tuple[str, ...]]
"""(state of acts, finding, values that the answer stands for)."""
Reasons = list[tuple[float, str, tuple[str, ...]]]
"""(ratio, finding, values), see `belief.Reason`."""


# ---- reading ----


@dataclass(frozen=True, slots=True)
class Column:
    """How a finding is met in one state of acts."""

    finding: str
    mean: Mapping[str, float]
    dists: tuple[Mapping[str, float], ...]
    which: Numbers
    """(classes,): number of each one's dist."""


class Ranking:
    """The table of one complaint."""

    def __init__(self, data: Data) -> None:
        self.data = data
        self.causes: list[str] = data["causes"]
        self.cause = _numbers(data["cause"])
        self.weights: Floats = np.array(data["weights"])[_numbers(data["weight"])]
        self._rows: dict[Told, Floats] = {}

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        """All columns."""
        found: list[Column] = []
        for finding, mean, dists, runs in self.data["columns"]:
            base, _, changed = runs.rpartition(":")
            which = _numbers(changed)
            if base:
                which = np.where(which, which - 1, found[int(base)].which)
            found.append(Column(finding, _dist(mean), tuple(map(_dist, dists)), which))
        return tuple(found)

    def column(self, acts: int, finding: str) -> Column | None:
        """The column of a finding in a state of acts; None where it tells nothing of the house."""
        number = self.data["column"].get(f"{acts}:{finding}")
        return None if number is None else self.columns[number]

    def moved(self, acts: int, check: str) -> int:
        """The state of acts after a check."""
        moves = self.data["moves"].get(check)
        return acts if moves is None else int(moves[acts])

    def told(self, answers: Sequence[tuple[Page, tuple[str, ...]]]) -> list[Told]:
        """What answers, each on its page, tell of the house."""
        acts, found = 0, []
        for page, values in answers:
            seen = self.moved(acts, page.check.id) if page.check else acts
            if self.column(seen, page.finding):
                found.append((seen, page.finding, values))
            acts = acts if NOT_DONE in values else seen
        return found

    def row(self, told: Told) -> Floats:
        """(classes + 1,): chance of the answer by class, and with something else."""
        if told not in self._rows:
            self._rows[told] = self._made_row(told)
        return self._rows[told]

    def _made_row(self, told: Told) -> Floats:
        acts, finding, values = told
        column = self.column(acts, finding)
        assert column is not None
        rates = self.data["findings"][finding]
        each = [_chance(dist, values, rates) for dist in column.dists]
        mean = _chance(column.mean, values, rates)
        other = 0.5 * mean + 0.5 * len(values) / (rates["values"] + 1)
        return np.append(np.array(each)[column.which], other)

    def reweighted(self, factors: Mapping[str, float]) -> Ranking:
        """The same table with the weights of some causes multiplied, adding up to 1 again."""
        found = Ranking(self.data)
        by = np.array([factors.get(cause, 1.0) for cause in self.causes])
        weights = self.weights * by[self.cause]
        found.weights = weights / weights.sum()
        found.__dict__["columns"] = self.columns
        found._rows = self._rows
        return found

    def chances(self, trail: Sequence[Told]) -> dict[str, float]:
        """Cause -> its chance after the trail, the greatest first; `ELSE` is among them."""
        labels = [*(self.causes[i] for i in self.cause), ELSE]
        return chance.by_label(self._posterior(trail), labels)

    def reasons(self, trail: Sequence[Told], cause: str) -> Reasons:
        """The answers that speak for a cause or against it, the strongest for it first."""
        mine = self.cause == self.causes.index(cause)
        after_all = self._posterior(trail)[:-1]
        found: Reasons = []
        for told in trail:
            row = self.row(told)[:-1]
            with_it, without = _mean(row, after_all * mine), _mean(row, self.weights * ~mine)
            ratio = with_it / without if without > 0.0 else 1.0
            if ratio >= TELLING or ratio <= 1.0 / TELLING:
                found.append((ratio, told[1], told[2]))
        return sorted(found, key=lambda each: (-each[0], each[1]))

    def _posterior(self, trail: Sequence[Told]) -> Floats:
        prior = np.append(self.weights * (1.0 - ELSE_WEIGHT), ELSE_WEIGHT)
        return chance.posterior(prior, [self.row(told) for told in trail])


def _chance(dist: Mapping[str, float], values: Sequence[str], rates: Data) -> float:
    """Chance of an answer, its values' chances added: `Belief.likelihood` for one dist."""
    nothing = dist.get(UNSURE, 0.0) + dist.get(NOT_DONE, 0.0)
    sure, total = 1.0 - nothing, 0.0
    for value in values:
        right = dist.get(value, 0.0)
        if value in (UNSURE, NOT_DONE):
            total += right + (rates["unsure"] * sure if value == UNSURE else 0.0)
        else:
            wrong = rates["mistaken"] * (sure - right) / max(1, rates["values"] - 1)
            total += (1.0 - rates["unsure"] - rates["mistaken"]) * right + wrong
    return total


def _mean(row: Floats, weights: Floats) -> float:
    whole = float(weights.sum())
    return float(row @ weights) / whole if whole > 0.0 else 0.0


def _dist(flat: Sequence[Any]) -> dict[str, float]:
    return dict(zip(flat[::2], flat[1::2], strict=True))


def _numbers(runs: str) -> Numbers:
    parts = [run.partition("*") for run in runs.split(" ")]
    return np.repeat([int(n) for n, _, _ in parts], [int(many or 1) for _, _, many in parts])


def read(folder: Path, of: str) -> dict[str, Ranking]:
    """Tree -> its table, from that folder; none if absent, damaged, or of another state."""
    try:
        data = json.loads((folder / NAME).read_bytes())
        if data["format"] != FORMAT or data["of"] != of:
            return {}
        return {tree: Ranking(each) for tree, each in data["trees"].items()}
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        return {}


# ---- making ----


def written(trees: Mapping[str, Data], of: str) -> bytes:
    """The file with these tables, of what has the fingerprint `of`; always the same."""
    lines = [f"{json.dumps(tree)}: {_compact(data)}" for tree, data in sorted(trees.items())]
    head = f'"format": {FORMAT},\n"of": {json.dumps(of)},\n"trees": {{\n'
    return ("{\n" + head + ",\n".join(lines) + "\n}\n}\n").encode()


def _compact(data: Data) -> str:
    return json.dumps(data, separators=(",", ":"), sort_keys=True, allow_nan=False)


def worst_difference(belief: Belief, trees: Mapping[str, Data], *, trails: int) -> float:
    """The greatest difference of a chance from `Belief`'s, on so many drawn trails of each tree."""
    draw, worst = random.Random(1), 0.0
    for tree, data in trees.items():
        ranking = Ranking(data)
        for _ in range(trails):
            answers, told = _drawn(belief, belief.journey.roots[tree], draw)
            try:
                theirs = belief.along(told, complaint=tree).chances
            except ValueError:
                continue  # Answers that no house gives, with danger left out: nothing to rank.
            ours = ranking.chances(ranking.told(answers))
            worst = max([worst, *(abs(theirs.get(c, 0.0) - ours.get(c, 0.0)) for c in theirs)])
    return worst


def _drawn(
    belief: Belief, number: int, draw: random.Random
) -> tuple[list[tuple[Page, tuple[str, ...]]], list[evidence.Told]]:
    """A walk with any answers, one value each: as answers on pages, and as belief takes it."""
    answers: list[tuple[Page, tuple[str, ...]]] = []
    told: list[evidence.Told] = []
    while options := belief.journey.nodes[number].options:
        node, option = belief.journey.nodes[number], draw.choice(options)
        if option.values:
            value = draw.choice(option.values)
            answers.append((node.page, (value,)))
            told.append(evidence.Told(node.seen, node.page.finding, value))
        number = option.to
    return answers, told


def tables(
    belief: Belief, *, progress: Callable[[str], object] = lambda _: None
) -> dict[str, Data]:
    """Tree -> its table, for those whose answers tell anything of the house."""
    made = {}
    for tree, root in belief.journey.roots.items():
        progress(f"table of {tree}")
        made[tree] = _Maker(belief, tree, root).table()
    return {tree: data for tree, data in made.items() if data["columns"]}


class _Maker:
    def __init__(self, belief: Belief, tree: str, root: int) -> None:
        self.belief = belief
        weights = belief.prior * belief.choosing(tree)
        # A complaint that no case is called about says nothing: see `Belief.along`.
        self.weights = weights if weights.any() else belief.prior
        self.live = np.flatnonzero(self.weights)
        self.nodes = [belief.journey.nodes[number] for number in belief.journey.reached(root)]
        seen = {acts for node in self.nodes for acts in (node.acts, node.seen)}
        self.acts = {each: i for i, each in enumerate([NONE, *sorted(seen - {NONE})])}

    def table(self) -> Data:
        places = sorted({(self.acts[n.seen], n.page.finding) for n in self.nodes if self._asks(n)})
        states = list(self.acts)
        found = [self._column(states[acts], finding) for acts, finding in places]
        distinct: dict[tuple[str, str, bytes], int] = {}
        column: dict[str, int] = {}
        kept: list[tuple[str, list[Any], list[list[Any]], Numbers]] = []
        for (acts, finding), (mean, dists, which) in zip(places, found, strict=True):
            key = (finding, json.dumps([mean, dists]), which.tobytes())
            if key not in distinct:
                distinct[key] = len(kept)
                kept.append((finding, mean, dists, which))
            column[f"{acts}:{finding}"] = distinct[key]
        return self._written(kept, column)

    def _asks(self, node: Node) -> bool:
        finding = node.page.finding
        return bool(finding) and finding not in self.belief.callers.findings

    def _column(self, acts: Acts, finding: str) -> tuple[list[Any], list[list[Any]], Numbers]:
        answers = self.belief.table.answers(acts, finding)
        values = sorted(answers)
        rows = np.stack([answers[value] for value in values], axis=1)
        dists, which = np.unique(rows[self.live], axis=0, return_inverse=True)
        mean = self.belief.prior @ rows
        return _flat(values, mean), [_flat(values, row) for row in dists], which.reshape(-1)

    def _written(
        self, kept: Sequence[tuple[str, list[Any], list[list[Any]], Numbers]], column: Data
    ) -> Data:
        seats = self.belief.seat_of[self.live]
        rows = np.column_stack([seats, *(which for *_, which in kept)])
        classes, which = np.unique(rows, axis=0, return_inverse=True)
        weights = np.bincount(which.reshape(-1), weights=self.weights[self.live])
        names, cause = np.unique(classes[:, 0], return_inverse=True)
        sizes, weight = np.unique(weights / weights.sum(), return_inverse=True)
        columns = [
            [finding, mean, dists, runs]
            for (finding, mean, dists, _), runs in zip(
                kept, _written_by(list(classes.T[1:])), strict=True
            )
        ]
        return {
            "causes": [self.belief.names[seat] for seat in names],
            "cause": _runs(cause),
            "weights": [_short(size) for size in sizes],
            "weight": _runs(weight),
            "acts": len(self.acts),
            "moves": self._moves(),
            "findings": {finding: self._rates(finding) for finding, *_ in kept},
            "columns": columns,
            "column": column,
        }

    def _moves(self) -> dict[str, list[int]]:
        checks = {node.page.check.id for node in self.nodes if node.page.check}
        return {
            # A state that no walk is in before that check stays as it is.
            check: [self.acts.get(after(acts, check), i) for acts, i in self.acts.items()]
            for check in sorted(checks)
        }

    def _rates(self, finding: str) -> Data:
        known = self.belief.findings[finding]
        rates = self.belief.errors.of(finding, is_danger=known.is_danger).times(SHARE_OF_ERRORS)
        return {"values": len(known.values), "unsure": rates.unsure, "mistaken": rates.mistaken}


def _flat(values: Sequence[str], row: Floats) -> list[Any]:
    pairs = zip(values, row, strict=True)
    return [each for value, share in pairs if share > 0.0 for each in (value, _short(share))]


def _short(number: float) -> float:
    """In so many digits that what is lost is far below `SAME`."""
    return float(f"{number:.12g}")


def _runs(numbers: Numbers) -> str:
    """`3*5 4`: five times 3, then 4."""
    edges = np.flatnonzero(np.diff(numbers)) + 1
    starts = np.concatenate([[0], edges])
    sizes = np.diff(np.concatenate([starts, [len(numbers)]]))
    pairs = zip(numbers[starts], sizes, strict=True)
    return " ".join(f"{n}*{size}" if size > 1 else str(n) for n, size in pairs)


def _written_by(columns: Sequence[Numbers]) -> Iterator[str]:
    """Each column in runs, by an earlier one where that is shorter."""
    for i, column in enumerate(columns):
        earlier = np.array(columns[:i]).reshape(i, len(column))
        edges = np.count_nonzero(np.diff(earlier != column, axis=1), axis=1)
        nearest = np.argsort(edges, kind="stable")[:_NEAREST]
        by_base = (
            f"{base}:{_runs(np.where(earlier[base] != column, column + 1, 0))}" for base in nearest
        )
        yield min([_runs(column), *by_base], key=len)
