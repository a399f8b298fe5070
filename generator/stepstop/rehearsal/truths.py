"""What callers would truly answer on each page, before they err.

Chances have the shape (options of the page, cases, callers); the length of an axis is 1 where all
cases, or all callers, answer alike.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from stepstop.callers import BY_CASE, Caller, Callers
from stepstop.journey import Node
from stepstop.model import NOT_DONE, UNSURE, Catalogue, Finding
from stepstop.rehearsal.house_table import Case, Floats, Ints, Table

Chances = Mapping[str, Floats]
"""Value -> chance by case."""


def fallback(node: Node) -> int:
    """Number of the option for whoever can't tell: `unsure`, or else `not-done`."""
    return _holding(node, (UNSURE, NOT_DONE))


def undone(node: Node) -> int:
    """Number of the option for whoever can't get there: a check isn't done, a question unsure."""
    return _holding(node, (NOT_DONE, UNSURE) if node.page.check else (UNSURE, NOT_DONE))


def _holding(node: Node, wanted: Sequence[str]) -> int:
    for value in wanted:
        for number, option in enumerate(node.options):
            if value in option.values:
                return number
    raise ValueError(f"{node.page.id} has no answer for somebody who can't tell")


@dataclass(frozen=True)
class Truths:
    """Looks up what is true of houses and callers."""

    table: Table
    callers: Callers
    catalogue: Catalogue
    silent: frozenset[str] = frozenset()
    """Findings that nobody can tell, for figures without them."""

    @property
    def people(self) -> tuple[Caller, ...]:
        """The callers, in the order of the last axis."""
        return tuple(self.callers.profiles.values())

    def of(self, node: Node, cases: Ints) -> Floats:
        """Chances of the options on `node` for these cases (numbers in the table)."""
        return self._within_reach(node, self.known(node, cases))

    def known(self, node: Node, cases: Ints) -> Floats:
        """The same if everybody could reach the place where the page asks."""
        finding = node.page.finding
        if not finding:
            return np.ones((len(node.options), 1, 1)) / max(1, len(node.options))
        if finding in self.silent:
            return _certain(node, fallback(node))
        if finding in self.callers.findings:
            return self._told(node, cases)
        if finding in self._missed:
            return self._smelt(node, cases)
        return _shared(node, picked(self.table.answers(node.seen, finding), cases))

    def told(self, finding: str, case: Case | None) -> tuple[str, ...]:
        """What each caller says of `finding`; no case is needed where the house has no say."""
        wanted, weather = (case.wanted, case.weather) if case else ("", "")
        said = [caller.told(finding, wanted, weather) for caller in self.people]
        return tuple(value for value in said if value is not None)

    def _told(self, node: Node, cases: Ints) -> Floats:
        """What callers know of themselves, some of it by the house that they call from."""
        finding = node.page.finding
        if finding not in BY_CASE:
            return self._by_option(node, self.told(finding, None))[:, None, :]
        kinds = {(c.wanted, c.weather): c for c in (self.table.cases[i] for i in cases)}
        by_kind = {k: self._by_option(node, self.told(finding, c)) for k, c in kinds.items()}
        met = [self.table.cases[i] for i in cases]
        return np.stack([by_kind[case.wanted, case.weather] for case in met], axis=1)

    def _by_option(self, node: Node, said: Sequence[str]) -> Floats:
        """(options, callers): 1 where the caller says what the option stands for."""
        chances = np.zeros((len(node.options), len(said)))
        for column, value in enumerate(said):
            chances[option_of(node, value), column] = 1.0
        return chances

    @cached_property
    def _missed(self) -> Collection[str]:
        """Findings that a weak nose may answer differently."""
        weak = self.callers.weak_nose
        return {f.id for f in self.catalogue.findings.values() if f.id in weak or asks_all(f)}

    def _smelt(self, node: Node, cases: Ints) -> Floats:
        chances = self.sensed(node, node.page.finding)
        by_nose = {nose: _shared(node, picked(c, cases))[:, :, 0] for nose, c in chances.items()}
        return np.stack([by_nose[caller.nose] for caller in self.people], axis=2)

    def sensed(self, node: Node, finding: str) -> dict[str, Chances]:
        """Nose -> what is told of `finding` by its owner."""
        known = self.catalogue.findings[finding]
        normal = self.table.answers(node.seen, finding)
        weak = self._all_weak(node, known) if asks_all(known) else self._weak(known, normal)
        return {"normal": normal, "weak": weak}

    def _weak(self, finding: Finding, normal: Chances) -> Chances:
        missed = self.callers.weak_nose[finding.id]
        kept = {value: chance for value, chance in normal.items() if value != missed}
        if missed in normal:
            harmless = finding.harmless[0]
            kept[harmless] = kept.get(harmless, 0.0) + normal[missed]
        return kept

    def _all_weak(self, node: Node, finding: Finding) -> Chances:
        """Of all signs on one page the first that is true and noticed."""
        left = np.ones(len(self.table.cases))
        chances: dict[str, Floats] = {}
        for value in finding.values.values():
            if value.danger:
                single, shown = self._single(value.implies)
                there = self.table.answers(node.seen, single).get(shown, np.zeros_like(left))
                noticed = self.callers.weak_nose.get(single) != shown
                chances[value.id] = left * there * noticed
                left = left - chances[value.id]
        harmless = next(v.id for v in finding.values.values() if not v.danger)
        return {harmless: left, **chances}

    def _single(self, implies: Mapping[str, str]) -> tuple[str, str]:
        """The one danger among what a value of the whole list implies."""
        known = self.catalogue.findings
        return next((f, v) for f, v in implies.items() if known[f].values[v].danger)

    def _within_reach(self, node: Node, chances: Floats) -> Floats:
        at = node.page.at
        able = np.array([not at or at in caller.reaches for caller in self.people])
        if able.all():
            return chances
        shape = (chances.shape[0], chances.shape[1], len(self.people))
        reached = np.broadcast_to(chances, shape) * able
        reached[undone(node)] += ~able
        return np.asarray(reached)


def option_of(node: Node, value: str) -> int:
    """Number of the option that stands for `value`, or that of whoever can't tell."""
    for number, option in enumerate(node.options):
        if value in option.values:
            return number
    return fallback(node)


def picked(chances: Chances, cases: Ints) -> dict[str, Floats]:
    """The same chances for some of the cases."""
    return {value: chance[cases] for value, chance in chances.items()}


def _shared(node: Node, chances: Chances) -> Floats:
    """Chances of values as chances of options, shape (options, cases, 1)."""
    size = len(next(iter(chances.values())))
    shared = np.zeros((len(node.options), size, 1))
    for value, chance in chances.items():
        shared[option_of(node, value), :, 0] += chance
    return shared


def _certain(node: Node, option: int) -> Floats:
    chances = np.zeros((len(node.options), 1, 1))
    chances[option] = 1.0
    return chances


def asks_all(finding: Finding) -> bool:
    """Whether a page that asks it lists several dangers, each a finding of its own.

    Such a list settles them all: its harmless value says that there is none of them.
    """
    values = finding.values.values()
    return all(any(v.implies for v in values if bool(v.danger) is risky) for risky in (True, False))
