"""What answers point to: causes ranked exactly over the declared houses and ways to err.

Hypotheses are cases (a cause in a house). A told answer weighs each of them by the chance that its
owner would have told it; people err in a share of their answers. What fits nothing that is
simulated counts for "something else", which is never ruled out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from stepstop import chance
from stepstop.callers import BY_CASE, Callers, Errors
from stepstop.house.acts import Acts
from stepstop.journey import Journey, Node
from stepstop.model import NOT_DONE, UNSURE

Floats = NDArray[np.float64]

ELSE = "something-else"
ELSE_WEIGHT = 0.03
"""Share of calls whose cause is none of those simulated; judgement."""
MISFIT = 0.5
"""From this chance of something else on the answers don't fit one fault."""
VERY_LIKELY, LIKELY = 0.5, 0.15
"""Least chances of the words."""
SHOWN = (2, 4)
"""Least and most causes that an outcome shows."""
ENOUGH = 0.98
"""No further cause is shown once those before it have this much of the chance together."""
SHARE_OF_ERRORS = 0.5
"""Of the declared errors so much is counted along a trail: half of all callers err in nothing."""
SHARE_AT_OUTCOMES = 0.05
"""The same for who arrives at an outcome: a page is for those who answer as things are, and a few
slips elsewhere must not fill it with what is merely common."""
TELLING = 1.5
"""Least ratio of chances with which an answer speaks for a cause or against it."""


def in_words(share: float) -> str:
    """A chance as pages say it."""
    if share >= VERY_LIKELY:
        return "very likely"
    return "likely" if share >= LIKELY else "possible"


class Case(Protocol):
    """What is asked of a hypothesis."""

    @property
    def cause(self) -> str:
        """Cause id."""

    @property
    def weight(self) -> float:
        """Prior chance."""

    @property
    def complaints(self) -> tuple[tuple[str, float], ...]:
        """(tree id, chance that the caller begins there)."""

    @property
    def wanted(self) -> str:
        """heat or cool."""

    @property
    def weather(self) -> str:
        """How it is outside."""


class Table(Protocol):
    """What is asked of the tabulated houses."""

    @property
    def cases(self) -> Sequence[Case]:
        """The hypotheses."""

    def answers(self, acts: Acts, finding: str) -> Mapping[str, Floats]:
        """Value -> chance by case that somebody who errs in nothing tells it."""


@dataclass(frozen=True, slots=True)
class Told:
    """One answer of a trail."""

    acts: Acts
    """What was done before it, its own page's check included."""
    finding: str
    value: str
    """A value of the finding, or `unsure` or `not-done`."""


@dataclass(frozen=True, slots=True)
class Reason:
    """An answer that speaks for a cause or against it."""

    finding: str
    value: str
    ratio: float
    """Chance of the answer with the cause over its chance with all others."""


@dataclass(frozen=True, slots=True)
class Likely:
    """A cause that answers point to."""

    cause: str
    chance: float
    supports: tuple[Reason, ...]
    contradicts: tuple[Reason, ...]

    @property
    def word(self) -> str:
        """The chance in words; no number reaches a homeowner."""
        return in_words(self.chance)


@dataclass(frozen=True, slots=True)
class Ranking:
    """What a trail points to."""

    chances: Mapping[str, float]
    """Cause -> chance, the greatest first; `ELSE` is among them."""

    @property
    def fits(self) -> bool:
        """Whether one simulated fault explains the answers well enough."""
        return self.chances[ELSE] < MISFIT


class Belief:
    """Ranks causes on the journey through one library's trees."""

    def __init__(self, journey: Journey, table: Table, callers: Callers) -> None:
        self.journey, self.table, self.callers = journey, table, callers
        self.errors: Errors = callers.errors
        self.findings = journey.course.library.catalogue.findings
        self.causes = [case.cause for case in table.cases]
        self.names = sorted(set(self.causes))
        self.seats = {name: i for i, name in enumerate(self.names)}
        self.seat_of = np.array([self.seats[cause] for cause in self.causes])
        self.prior: Floats = np.array([case.weight for case in table.cases])

    # ---- along a trail ----

    def along(self, trail: Sequence[Told], *, complaint: str = "") -> Ranking:
        """The ranking after `trail`, for somebody who chose `complaint`.

        A complaint that no case is called about says nothing.
        """
        rows = [self._row(told) for told in trail if self.tells(told)]
        chosen = self.prior * self.choosing(complaint)
        prior = chosen if chosen.any() else self.prior
        prior = np.append(prior / prior.sum() * (1.0 - ELSE_WEIGHT), ELSE_WEIGHT)
        weights = chance.posterior(prior, rows)
        return Ranking(chance.by_label(weights, [*self.causes, ELSE]))

    def tells(self, told: Told) -> bool:
        """Whether an answer says something of the house, not of the caller alone."""
        return bool(told.finding) and told.finding not in self.callers.findings

    def _row(self, told: Told) -> Floats:
        """P(answer | case) with errors, and P(answer | something else) at the end."""
        row = self.likelihood(told)
        values = len(self.findings[told.finding].values)
        average = float(row @ self.prior)
        return np.append(row, 0.5 * average + 0.5 / (values + 1))

    def likelihood(self, told: Told, *, share: float = SHARE_OF_ERRORS) -> Floats:
        """(cases,): chance that the owner of each house tells this, with that share of errors."""
        truth = self.table.answers(told.acts, told.finding)
        known = self.findings[told.finding]
        rates = self.errors.of(told.finding, is_danger=known.is_danger).times(share)
        nothing = np.zeros(len(self.causes))
        sure = 1.0 - truth.get(UNSURE, nothing) - truth.get(NOT_DONE, nothing)
        if told.value in (UNSURE, NOT_DONE):
            slips = rates.unsure * sure if told.value == UNSURE else nothing
            return np.asarray(truth.get(told.value, nothing) + slips)
        right = truth.get(told.value, nothing)
        others = max(1, len(known.values) - 1)
        wrong = rates.mistaken * (sure - right) / others
        return np.asarray((1.0 - rates.unsure - rates.mistaken) * right + wrong)

    def choosing(self, complaint: str) -> Floats:
        """(cases,): chance that the caller chooses `complaint`."""
        return np.array([dict(case.complaints).get(complaint, 0.0) for case in self.table.cases])

    # ---- at the outcomes ----

    def at_outcomes(self) -> dict[str, tuple[Likely, ...]]:
        """`tree/outcome` where somebody comes -> the causes to show there, likeliest first."""
        carried = _Carried(self)
        ends = carried.ends()
        return {name: self._shown(arrived, carried) for name, arrived in sorted(ends.items())}

    def _shown(self, arrived: _Arrived, carried: _Carried) -> tuple[Likely, ...]:
        weights = arrived.mass / arrived.mass.sum()
        chances = chance.by_label(weights, self.causes)
        return tuple(
            self._likely(cause, chances[cause], carried.trail(arrived, self.seats[cause]), weights)
            for cause in picked(chances)
        )

    def _likely(self, cause: str, share: float, trail: Iterator[Told], weights: Floats) -> Likely:
        """A cause with what speaks for it and against it on the way that most who have it come."""
        mine = self.seat_of == self.seats[cause]
        reasons = [self._reason(told, mine, weights) for told in trail]
        best = sorted(reasons, key=lambda r: (-r.ratio, r.finding))
        supports = [r for r in best if r.ratio >= TELLING][:3]
        contradicts = [r for r in reversed(best) if r.ratio <= 1.0 / TELLING][:2]
        return Likely(cause, share, tuple(supports), tuple(contradicts))

    def _reason(self, told: Told, mine: NDArray[np.bool_], weights: Floats) -> Reason:
        row = self.likelihood(told)
        with_it = _mean(row, np.where(mine, weights, 0.0))
        without = _mean(row, np.where(mine, 0.0, self.prior))
        return Reason(told.finding, told.value, with_it / without if without > 0.0 else 1.0)


def _mean(row: Floats, weights: Floats) -> float:
    whole = float(weights.sum())
    return float(row @ weights) / whole if whole > 0.0 else 0.0


def picked(chances: Mapping[str, float]) -> list[str]:
    """The causes to show of a ranking: `SHOWN`, fewer where the rest has no chance to speak of."""
    least, most = SHOWN
    names: list[str] = []
    together = 0.0
    for name, share in chances.items():
        if len(names) == most or share < 0.002 or (len(names) >= least and together >= ENOUGH):
            break
        names.append(name)
        together += share
    return names


@dataclass(slots=True)
class _Arrived:
    """Callers who end at one outcome."""

    mass: Floats
    """(cases,)."""
    share: Floats
    """(causes,): the greatest share of each cause that ends on one node."""
    most: NDArray[np.int64]
    """(causes,): that node."""


@dataclass(frozen=True, slots=True)
class _Came:
    """By cause the way that most callers with it come to a node; (causes,) each."""

    share: Floats
    number: NDArray[np.int64]
    option: NDArray[np.int64]


class _Carried:
    """All callers carried through the journey once, with the errors declared for them."""

    def __init__(self, belief: Belief) -> None:
        self.belief, self.journey = belief, belief.journey
        self.came: dict[int, _Came] = {}
        self.mass: dict[int, Floats] = {}
        self._kept = lru_cache(maxsize=512)(self._asked)
        self._seasonal = lru_cache(maxsize=64)(self._by_season)

    def ends(self) -> dict[str, _Arrived]:
        """Outcome -> who arrives there."""
        for complaint, root in self.journey.roots.items():
            self.mass[root] = self.belief.prior * self.belief.choosing(complaint)
        found: dict[str, _Arrived] = {}
        for number, node in enumerate(self.journey.nodes):
            mass = self.mass.pop(number, None)
            if mass is None or not mass.any():
                continue
            if node.page.outcome is not None:
                if node.page.outcome.kind in ("call", "watch"):
                    self._arrive(found, node, number, mass)
            elif node.options:
                self._pass_on(number, node, mass)
        return found

    def _pass_on(self, number: int, node: Node, mass: Floats) -> None:
        for j, share in enumerate(self.options(node)):
            moved = mass * share
            if not np.any(moved):
                continue
            to = node.options[j].to
            self.mass[to] = self.mass[to] + moved if to in self.mass else moved
            self._note(to, number, j, self._by_cause(moved))

    def _by_cause(self, mass: Floats) -> Floats:
        seats, size = self.belief.seat_of, len(self.belief.names)
        return np.bincount(seats, weights=mass, minlength=size).astype(np.float64)

    def _note(self, to: int, number: int, option: int, shares: Floats) -> None:
        """Remember this way to a node for the causes of which more come by it than before."""
        if to not in self.came:
            blank = np.full(len(shares), -1, dtype=np.int64)
            self.came[to] = _Came(np.zeros(len(shares)), blank, blank.copy())
        came = self.came[to]
        more = shares > came.share
        came.share[more], came.number[more], came.option[more] = shares[more], number, option

    def _arrive(self, found: dict[str, _Arrived], node: Node, number: int, mass: Floats) -> None:
        assert node.page.outcome is not None
        name = f"{node.page.tree}/{node.page.outcome.id}"
        shares = self._by_cause(mass)
        if name not in found:
            found[name] = _Arrived(mass, shares, np.full(len(shares), number))
            return
        there = found[name]
        there.mass = there.mass + mass
        more = shares > there.share
        there.share[more], there.most[more] = shares[more], number

    def options(self, node: Node) -> list[Floats | float]:
        """By option the chance that it is chosen, by case where the house decides."""
        if not node.page.finding:
            return [1.0 / len(node.options)] * len(node.options)
        if node.page.finding in self.belief.callers.findings:
            return self._own(node)
        values = tuple(option.values for option in node.options)
        return list(self._kept(node.seen, node.page.finding, values))

    def _own(self, node: Node) -> list[Floats | float]:
        """What callers tell of themselves: a share by option, the same with every fault.

        By case where the season that the caller calls in decides.
        """
        values = tuple(option.values for option in node.options)
        if node.page.finding in BY_CASE:
            return list(self._seasonal(node.page.finding, values))
        return list(self._said(node.page.finding, values, "", ""))

    def _by_season(self, finding: str, values: tuple[tuple[str, ...], ...]) -> tuple[Floats, ...]:
        seasons = [(case.wanted, case.weather) for case in self.belief.table.cases]
        shares = {each: self._said(finding, values, *each) for each in set(seasons)}
        by_case = np.array([shares[each] for each in seasons])
        return tuple(by_case.T)

    def _said(
        self, finding: str, values: tuple[tuple[str, ...], ...], wanted: str, weather: str
    ) -> list[float]:
        """By option the share of callers who choose it when that is wanted in that weather."""
        shares = [0.0] * len(values)
        for caller in self.belief.callers.profiles.values():
            value = caller.told(finding, wanted, weather)
            hits = [j for j, each in enumerate(values) if value in each]
            for j in hits[:1] or range(len(shares)):
                shares[j] += caller.weight / (1 if hits else len(shares))
        return shares

    def _asked(
        self, acts: Acts, finding: str, values: tuple[tuple[str, ...], ...]
    ) -> tuple[Floats, ...]:
        rows = [self._chosen(acts, finding, each) for each in values]
        missing = 1.0 - np.sum(rows, axis=0)
        last = next((j for j, v in enumerate(values) if UNSURE in v), len(values) - 1)
        rows[last] = rows[last] + np.maximum(missing, 0.0)
        return tuple(rows)

    def _chosen(self, acts: Acts, finding: str, values: tuple[str, ...]) -> Floats:
        share = SHARE_AT_OUTCOMES
        each = (self.belief.likelihood(Told(acts, finding, v), share=share) for v in values)
        return np.asarray(np.sum(list(each), axis=0))

    def trail(self, arrived: _Arrived, seat: int) -> Iterator[Told]:
        """What most callers with a cause tell of the house on their way to an end, in order."""
        number, steps = int(arrived.most[seat]), []
        while number in self.came and self.came[number].number[seat] >= 0:
            came = self.came[number]
            number, option = int(came.number[seat]), int(came.option[seat])
            steps.append((self.journey.nodes[number], option))
        for node, option in reversed(steps):
            values = node.options[option].values
            told = Told(node.seen, node.page.finding, values[0] if values else "")
            sure = len(values) == 1 and values[0] not in (UNSURE, NOT_DONE)
            if sure and self.belief.tells(told):
                yield told
