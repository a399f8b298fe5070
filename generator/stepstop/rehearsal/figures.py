"""What rehearsed calls add up to: shares by complaint, cause and half of the houses."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

import numpy as np

from stepstop.callers import Errors
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.choices import HALVES
from stepstop.rehearsal.house_table import Floats, Ints
from stepstop.rehearsal.judge import MARKS, Ended, marks
from stepstop.rehearsal.lumps import lumped
from stepstop.rehearsal.propagate import Key, Walkers

SUMS = ("calls", "pages", "seconds", *MARKS)
"""What is summed: callers, pages and seconds that they take, and callers with each mark."""
LEAST_SHOWN = 4
"""A page is held to the best choice of so many causes, or of as many as it shows."""
Shown = Mapping[str, tuple[str, ...]]
"""Id of an outcome page -> causes that it shows."""


@dataclass(frozen=True)
class Tally:
    """Sums over callers, of one model of errors."""

    complaints: tuple[str, ...]
    causes: tuple[str, ...]
    sums: Floats
    """(names of `SUMS`, complaints, causes, halves)."""
    right_of: Floats
    """(callers, 2): right calls and all calls of each kind of caller."""
    ends: Mapping[str, Floats]
    """Id of an outcome page that shows causes -> callers there, (causes, halves)."""
    false_at: Mapping[str, float]
    """Id of an outcome page -> callers who end in danger there with neither hazard nor sign."""
    lengths: Mapping[tuple[bool, int, int], Floats]
    """(danger end, pages, seconds) -> callers, (halves,); empty where not kept apart."""

    def total(self, name: str, *, complaint: str = "", cause: str = "", half: str = "") -> float:
        """The sum of `name` over all callers, or over those of one complaint, cause and half."""
        part = self.sums[SUMS.index(name)]
        if complaint:
            part = part[[self.complaints.index(complaint)]]
        if cause:
            part = part[:, [self.causes.index(cause)]]
        if half:
            part = part[:, :, [HALVES.index(half)]]
        return float(part.sum())

    def share(
        self, name: str, of: str = "calls", *, complaint: str = "", cause: str = "", half: str = ""
    ) -> float | None:
        """`name` as a share of `of`, or None where there is nobody."""
        whole = self.total(of, complaint=complaint, cause=cause, half=half)
        if whole <= 0.0:
            return None
        return self.total(name, complaint=complaint, cause=cause, half=half) / whole

    def by_cause(self, name: str, *, half: str = "") -> Floats:
        """(causes,): the sum of `name`."""
        part = self.sums[SUMS.index(name)].sum(axis=0)
        return np.asarray(part[:, HALVES.index(half)] if half else part.sum(axis=1))


def rehearse(
    bench: Bench,
    models: Mapping[str, Errors],
    shown: Shown,
    *,
    lengths: Collection[str] = (),
    tick: Callable[[int], object] = lambda _: None,
) -> dict[str, Tally]:
    """Model -> the exact tally of all callers who err like this.

    Of the models in `lengths` the whole distribution of lengths is kept, of others the means.
    """
    counters = {model: Counter(bench, shown) for model in models}
    for complaint in bench.complaints:
        members = np.flatnonzero(bench.weights(complaint))
        root, alike = bench.journey.roots[complaint], bench.alike(complaint)
        lumps = lumped(bench.journey, root, bench.truths, members, alike, progress=tick)
        for model, errors in models.items():
            walkers = Walkers(bench, complaint, lumps, errors, model in lengths)
            counting = _Counting(counters[model], walkers, tick)
            walkers.walk(counting.arrive)
    return {model: counter.tally() for model, counter in counters.items()}


def work(bench: Bench, models: Collection[str]) -> int:
    """How many ticks `rehearse` gives."""
    nodes = sum(len(bench.journey.reached(bench.journey.roots[c])) for c in bench.complaints)
    return nodes * (1 + len(models))


class Counter:
    """Sums up the callers of one model of errors, end by end."""

    def __init__(self, bench: Bench, shown: Shown) -> None:
        self.bench, self.shown = bench, shown
        self.sums = np.zeros((len(SUMS), len(bench.complaints), len(bench.causes), len(HALVES)))
        self.right_of = np.zeros((len(bench.people), 2))
        self.ends: dict[str, Floats] = {}
        self.false_at: dict[str, float] = {}
        self.lengths: dict[tuple[bool, int, int], Floats] = {}

    def tally(self) -> Tally:
        """What was counted."""
        return Tally(
            self.bench.complaints,
            self.bench.causes,
            self.sums,
            self.right_of,
            self.ends,
            self.false_at,
            self.lengths,
        )

    def add(self, name: str, complaint: str, cases: Ints, callers: Floats) -> None:
        """Add callers, (cases, halves), to one of `SUMS`."""
        where = self.sums[SUMS.index(name), self.bench.complaints.index(complaint)]
        np.add.at(where, self.bench.cause_of[cases], callers)

    def count(
        self, number: int, complaint: str, cases: Ints, mass: Floats, *, exposed: bool
    ) -> None:
        """Count callers, (cases, callers, halves), at one end."""
        bench, node = self.bench, self.bench.journey.nodes[number]
        works = bench.table.works(node.acts)[cases][:, None]
        shown = self.shown.get(node.page.id, ())
        ended = Ended(bench.end_of(node.page), shown, complaint, cases, works, exposed)
        marked = marks(bench, ended)
        for name, mark in marked.items():
            if mark.any():
                self.add(name, complaint, cases, np.einsum("ck,ckh->ch", mark, mass))
        self.add("calls", complaint, cases, mass.sum(axis=1))
        self.right_of[:, 0] += np.einsum("ck,ckh->k", marked["right"], mass)
        self.right_of[:, 1] += mass.sum(axis=(0, 2))
        cried = float(np.einsum("ck,ckh->", marked["false-danger"], mass))
        if cried:
            self.false_at[node.page.id] = self.false_at.get(node.page.id, 0.0) + cried
        if shown:
            page = self.ends.setdefault(node.page.id, np.zeros((len(bench.causes), len(HALVES))))
            np.add.at(page, bench.cause_of[cases], mass.sum(axis=1))


@dataclass(frozen=True)
class _Counting:
    """Takes note of what walkers pass and where they end."""

    counter: Counter
    walkers: Walkers
    tick: Callable[[int], object]

    def arrive(self, number: int, here: dict[Key, Floats]) -> None:
        self.tick(1)
        if not here:
            return
        node, cases = self.walkers.bench.journey.nodes[number], self.walkers.lumps.cases[number]
        complaint = self.walkers.complaint
        passing = np.sum([mass.sum(axis=1) for mass in here.values()], axis=0)
        self.counter.add("pages", complaint, cases, passing)
        self.counter.add("seconds", complaint, cases, passing * node.seconds)
        if not node.options:
            self._end(number, here)

    def _end(self, number: int, here: dict[Key, Floats]) -> None:
        cases, complaint = self.walkers.lumps.cases[number], self.walkers.complaint
        for exposed in (False, True):
            ended = [mass for key, mass in here.items() if key.exposed == exposed]
            if ended:
                whole = np.sum(ended, axis=0)
                self.counter.count(number, complaint, cases, whole, exposed=exposed)
        if self.walkers.lengths:
            self._measure(number, here)

    def _measure(self, number: int, here: dict[Key, Floats]) -> None:
        end = self.walkers.bench.end_of(self.walkers.bench.journey.nodes[number].page)
        lengths = self.counter.lengths
        for key, mass in here.items():
            place = (end.kind == "danger", key.pages + 1, key.seconds)
            lengths[place] = lengths.get(place, 0.0) + mass.sum(axis=(0, 1))


def ceiling(tally: Tally, shown: Shown, *, half: str = "", macro: bool = False) -> float | None:
    """The share of true causes that the best choice of causes on these pages would show.

    For each page the causes that most of its callers have are chosen: as many as it shows, at
    least `LEAST_SHOWN`. With `macro` the same choice is counted with every cause alike, however
    many callers have it: ranking by chance, rare causes that look like common ones are not shown.
    """
    pages = {page: _of_half(callers, half) for page, callers in tally.ends.items()}
    whole = sum(pages.values(), np.zeros(len(tally.causes)))
    if whole.sum() <= 0.0:
        return None
    if macro:
        weights = np.divide(1.0, whole, out=np.zeros_like(whole), where=whole > 0.0)
        weights /= np.count_nonzero(whole)
    else:
        weights = np.full_like(whole, 1.0 / whole.sum())
    best = 0.0
    for page, callers in pages.items():
        places = max(LEAST_SHOWN, len(shown[page]))
        chosen = np.argsort(callers, kind="stable")[-places:]
        best += float((callers * weights)[chosen].sum())
    return best


def _of_half(callers: Floats, half: str) -> Floats:
    return np.asarray(callers[:, HALVES.index(half)] if half else callers.sum(axis=1))


def macro_shown(tally: Tally, *, half: str = "") -> float | None:
    """The share of true causes among those shown, each cause counted alike."""
    among, whole = tally.by_cause("shown", half=half), tally.by_cause("shows", half=half)
    there = whole > 0.0
    return float((among[there] / whole[there]).mean()) if there.any() else None


def quantile(tally: Tally, share: float, *, of: str, half: str = "") -> float | None:
    """Pages, or minutes, that this share of walks without a danger end does not exceed."""
    sizes: dict[float, float] = {}
    for (danger, pages, seconds), callers in tally.lengths.items():
        if not danger:
            size = pages if of == "pages" else seconds / 60
            mass = callers[HALVES.index(half)] if half else callers.sum()
            sizes[size] = sizes.get(size, 0.0) + float(mass)
    whole, below = sum(sizes.values()), 0.0
    for size in sorted(sizes):
        below += sizes[size]
        if below >= share * whole * (1.0 - 1e-12):
            return size
    return None


def page_shares(tally: Tally, *, half: str = "") -> dict[int, float]:
    """Pages -> share of the walks without a danger end that have so many; adds up to 1."""
    sums: dict[int, float] = {}
    for (danger, pages, _), callers in tally.lengths.items():
        mass = callers[HALVES.index(half)] if half else callers.sum()
        if not danger and mass > 0.0:
            sums[pages] = sums.get(pages, 0.0) + float(mass)
    whole = sum(sums.values())
    return {pages: sums[pages] / whole for pages in sorted(sums)}
