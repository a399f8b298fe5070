"""The bench that ends are judged on: for every case and caller what is right, and what could hurt.

Arrays have the shape (cases, callers). The trees have no say here: right is what the table of
verdicts says of the cause, and whether the simulated house works again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from stepstop.callers import Caller, Callers
from stepstop.course import Page
from stepstop.house.acts import Acts
from stepstop.journey import Journey, Node
from stepstop.model import KINDS, LEAVE_STATES, Catalogue
from stepstop.rehearsal.choices import HALVES
from stepstop.rehearsal.house_table import Bools, Floats, Ints, Table
from stepstop.rehearsal.truths import Truths, asks_all
from stepstop.source import NOWHERE
from stepstop.verdicts import Judged, Row, Situation, Verdicts

CERTAIN = 1.0 - 1e-9
"""A sign is one that this caller perceives when the house shows it without fail."""
GOING = ("house", "thing", "nobody")
"""Sizes of danger that only an end of the kind `danger` is right for."""
STOPPING = "off-and-call"
"""The size of danger that asks for `call` at the least."""
STOPPED_DEVICE = "device-stopped"
"""The value of `people-at-risk` that only `danger` is right for, whatever has failed."""


@dataclass(frozen=True)
class Bench:
    """Everything that a judgement needs, looked up once."""

    journey: Journey
    table: Table
    callers: Callers
    verdicts: Verdicts
    truths: Truths

    @property
    def catalogue(self) -> Catalogue:
        """What the trees share."""
        return self.journey.course.library.catalogue

    @property
    def people(self) -> tuple[Caller, ...]:
        """The callers, in the order of the last axis."""
        return self.truths.people

    @property
    def start(self) -> Acts:
        """What was done before a walk begins."""
        return self.journey.nodes[min(self.journey.roots.values())].acts

    # ---- the cases ----

    @cached_property
    def causes(self) -> tuple[str, ...]:
        """The causes that some case has, sorted."""
        return tuple(sorted({case.cause for case in self.table.cases}))

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """What is judged of each of `causes`."""
        return tuple(self.verdicts.causes[cause] for cause in self.causes)

    @cached_property
    def cause_of(self) -> Ints:
        """(cases,): number of the cause."""
        number = {cause: i for i, cause in enumerate(self.causes)}
        return np.array([number[case.cause] for case in self.table.cases])

    @cached_property
    def half_of(self) -> Ints:
        """(cases,): number of the half."""
        return np.array([HALVES.index(case.half) for case in self.table.cases])

    @cached_property
    def complaints(self) -> tuple[str, ...]:
        """The trees that callers begin with, sorted."""
        return tuple(sorted({tree for case in self.table.cases for tree, _ in case.complaints}))

    def weights(self, complaint: str) -> Floats:
        """(cases,): share of all calls that are about the case and begin with `complaint`."""
        cases = self.table.cases
        return np.array([case.weight * dict(case.complaints).get(complaint, 0.0) for case in cases])

    @cached_property
    def hazardous(self) -> Bools:
        """(cases, 1): something could hurt while the cause is there."""
        return np.array([each.is_hazard for each in self.judged])[self.cause_of][:, None]

    def unsafe(self, check: str) -> Bools:
        """(cases,): doing `check` exposes people to what the cause could do."""
        hurts = [each.is_hazard and check in each.unsafe for each in self.judged]
        return np.array(hurts)[self.cause_of]

    # ---- verdicts ----

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """Every row that can hold, the one for a stopped device first."""
        return (self._device, *(row for each in self.judged for row in each.rows))

    @cached_property
    def _device(self) -> Row:
        first = min(self.catalogue.urgencies.values(), key=lambda urgency: urgency.rank).id
        why = "a stopped medical device comes before heat and cooling"
        return Row({}, ("danger",), ("danger",), first, first, LEAVE_STATES, why, NOWHERE)

    def row_for(self, cause: str, caller: Caller, complaint: str, wanted: str, weather: str) -> Row:
        """What is right for this call."""
        if caller.people == STOPPED_DEVICE:
            return self._device
        people = "at-risk" if caller.at_risk else "none"
        home = caller.home_in(wanted, weather)
        situation = Situation(complaint, caller.may_do, people, home, weather, wanted)
        return self.verdicts.judge(cause, situation)

    @cached_property
    def row_of(self) -> dict[str, Ints]:
        """Complaint -> (cases, callers): number in `rows`."""
        number = {id(row): i for i, row in enumerate(self.rows)}
        kinds = [(case.cause, case.wanted, case.weather) for case in self.table.cases]
        seats = {kind: i for i, kind in enumerate(dict.fromkeys(kinds))}
        where = np.array([seats[kind] for kind in kinds])
        found = {}
        for complaint in self.complaints:
            rows = [
                [number[id(self.row_for(c, who, complaint, w, t))] for who in self.people]
                for c, w, t in seats
            ]
            found[complaint] = np.array(rows)[where]
        return found

    @cached_property
    def right_kinds(self) -> Bools:
        """(works or not, rows, kinds): the kind is right."""
        return np.array(
            [[[k in row.kinds(works=w) for k in KINDS] for row in self.rows] for w in (False, True)]
        )

    @cached_property
    def mends(self) -> Bools:
        """(rows,): the unit may be made to work on a call."""
        return np.array([bool(row.works) for row in self.rows])

    @cached_property
    def ranks(self) -> Ints:
        """(rows, 2): ranks of the soonest and the latest urgency that is right."""
        rank = {name: urgency.rank for name, urgency in self.catalogue.urgencies.items()}
        return np.array([[rank[row.soonest], rank[row.latest]] for row in self.rows])

    @cached_property
    def right_states(self) -> Bools:
        """(rows, states): the unit may be left so."""
        return np.array([[state in row.left for state in LEAVE_STATES] for row in self.rows])

    # ---- signs and mends ----

    @cached_property
    def danger(self) -> Ints:
        """What a sign that the caller perceives asks for at least: 0, or the number of a kind."""
        level: Ints = np.zeros((len(self.table.cases), len(self.people)), dtype=np.int64)
        for finding, value, least in self._danger_values():
            shown = self._perceived(finding, value, self.start)
            level = np.maximum(level, shown * KINDS.index(least))
        stopped = np.array([caller.people == STOPPED_DEVICE for caller in self.people])
        return np.asarray(np.maximum(level, stopped * KINDS.index("danger")))

    def _danger_values(self) -> Iterator[tuple[str, str, str]]:
        for finding in sorted(self._asked):
            known = self.catalogue.findings[finding]
            for value in () if asks_all(known) else known.values.values():
                if value.danger in GOING:
                    yield finding, value.id, "danger"
                elif value.danger == STOPPING:
                    yield finding, value.id, "call"

    @cached_property
    def _asked(self) -> Mapping[str, list[Node]]:
        """Finding -> the nodes that ask it before anything was done to the house."""
        nodes: dict[str, list[Node]] = {}
        for node in self.journey.nodes:
            if node.page.finding and node.acts == self.start:
                nodes.setdefault(node.page.finding, []).append(node)
        return nodes

    def _perceived(self, finding: str, value: str, acts: Acts) -> Bools:
        """(cases, callers): asked after these acts, this caller would tell this value."""
        if finding in self.callers.findings:
            return self._told(finding, value)
        chance = self.table.answers(acts, finding).get(value)
        if chance is None:
            return np.zeros((len(self.table.cases), len(self.people)), dtype=bool)
        missed = self.callers.weak_nose.get(finding) == value
        noticed = np.array([not (missed and caller.nose == "weak") for caller in self.people])
        return np.asarray((chance >= CERTAIN)[:, None] & noticed)

    def _told(self, finding: str, value: str) -> Bools:
        said = [self.truths.told(finding, case) for case in self.table.cases]
        return np.array([[each == value for each in one] for one in said])

    @cached_property
    def signed(self) -> Bools:
        """Something that tells of the hazard would be perceived before anything is done.

        That is whatever the danger screen asks about, and the signs that nearly always show. What
        shows sometimes and is no danger by itself (a breaker that has tripped) tells of nothing.
        """
        seen = self.danger > 0
        for number, judged in enumerate(self.judged):
            mine = (self.cause_of == number)[:, None]
            for finding, value in self._telling(judged):
                seen = seen | (mine & self._shown(judged, finding, value))
        return np.asarray(seen & self.hazardous)

    def _telling(self, judged: Judged) -> Iterator[tuple[str, str]]:
        yield from judged.signs
        known = self.catalogue.findings
        yield from (pair for pair in judged.sometimes if known[pair[0]].values[pair[1]].danger)

    def _shown(self, judged: Judged, finding: str, value: str) -> Bools:
        """Asked somewhere within reach, by nothing that exposes people, the sign is told."""
        shown = np.zeros((len(self.table.cases), len(self.people)), dtype=bool)
        places = {(n.page.at, n.seen): n for n in self._asked.get(finding, ())}
        for (at, seen), node in places.items():
            if node.page.check is None or node.page.check.id not in judged.unsafe:
                reach = [not at or at in caller.reaches for caller in self.people]
                shown |= self._perceived(finding, value, seen) & np.array(reach)
        return shown

    @cached_property
    def fixable(self) -> Bools:
        """The house does not work as found, is no hazard, and this caller could mend it."""
        whole = {how: self.table.mendable(how) for how in ("walk", "chair")}
        none = np.zeros(len(self.table.cases), dtype=bool)
        can = np.stack([whole.get(caller.mends, none) for caller in self.people], axis=1)
        return np.asarray(can & ~self.table.works(self.start)[:, None] & ~self.hazardous)

    # ---- ends ----

    def end_of(self, page: Page) -> End:
        """What is judged of the page that a walk ends on."""
        outcome = page.outcome
        if outcome is None:
            return End("", len(self.catalogue.urgencies), "")
        urgency = (page.mode.hurry and outcome.hurry_urgency) or outcome.urgency
        ranks = {name: each.rank for name, each in self.catalogue.urgencies.items()}
        left = outcome.leave.state if outcome.leave else ""
        return End(outcome.kind, ranks.get(urgency, max(ranks.values())), left)

    def alike(self, complaint: str) -> Callable[[Node], Ints]:
        """Numbers the cases at an end: those with the same number are judged alike there."""
        parts = [self.cause_of[:, None], self.row_of[complaint], self.danger]
        columns = np.concatenate([*parts, self.signed, self.fixable], axis=1).astype(np.int64)
        stamp = np.unique(columns, axis=0, return_inverse=True)[1].reshape(-1)
        return lambda node: stamp * 2 + self.table.works(node.acts)


@dataclass(frozen=True, slots=True)
class End:
    """What is judged of the page that a walk ends on."""

    kind: str
    """Empty where a walk ends without an outcome."""
    rank: int
    """Of its urgency; 0 is the most urgent."""
    left: str
    """State that the unit is left in."""
