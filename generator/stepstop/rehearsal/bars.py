"""The bars that rehearsed figures are held to, and whether they are met."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from stepstop.rehearsal.figures import Shown, Tally, ceiling, macro_shown, quantile


@dataclass(frozen=True, slots=True)
class View:
    """One tally as it is looked at: whole, or one half of the houses."""

    tally: Tally
    shown: Shown
    half: str
    """One of `HALVES`, or empty for both."""

    def share(self, name: str, of: str = "calls") -> float | None:
        """`name` as a share of `of`."""
        return self.tally.share(name, of, half=self.half)

    def of_ceiling(self, *, macro: bool = False) -> float | None:
        """How much of what could be shown is shown."""
        best = ceiling(self.tally, self.shown, half=self.half, macro=macro)
        got = macro_shown(self.tally, half=self.half) if macro else self.share("shown", "shows")
        return None if not best or got is None else got / best

    def worst_mended(self) -> float | None:
        """Of the causes that callers could mend, the smallest share that ends mended."""
        fixed = self.tally.by_cause("fixed", half=self.half)
        fixable = self.tally.by_cause("fixable", half=self.half)
        there = fixable > 0.0
        return float(np.min(fixed[there] / fixable[there])) if there.any() else None

    def quantile(self, share: float, of: str) -> float | None:
        """Pages or minutes that this share of walks without a danger end does not exceed."""
        return quantile(self.tally, share, of=of, half=self.half)


@dataclass(frozen=True, slots=True)
class Bar:
    """One figure with what it must reach."""

    name: str
    accurate: bool
    """Whether it holds for accurate callers, or else for those who err."""
    value: Callable[[View], float | None]
    limit: float
    least: bool
    """Whether the limit is the least, or else the most."""
    unit: str = "%"
    """`%` for a share, else what is counted."""

    def met(self, value: float | None) -> bool | None:
        """Whether `value` reaches the bar; None where there is nothing to measure."""
        if value is None:
            return None
        far = 1e-9
        return value >= self.limit - far if self.least else value <= self.limit + far


BARS = (
    Bar("outcome kind and urgency right", True, lambda v: v.share("kind-and-urgency"), 0.98, True),
    Bar("true cause shown, of the ceiling", True, lambda v: v.of_ceiling(), 0.97, True),
    Bar("the same, every cause alike", True, lambda v: v.of_ceiling(macro=True), 0.97, True),
    Bar("unsafe although a sign was there", True, lambda v: v.share("unsafe-shown"), 0.0, False),
    Bar("mendable: the house works", True, lambda v: v.share("fixed", "fixable"), 0.97, True),
    Bar("the same, worst cause", True, lambda v: v.worst_mended(), 0.90, True),
    Bar("pages, half of calls", True, lambda v: v.quantile(0.5, "pages"), 14, False, "pages"),
    Bar("minutes, half of calls", True, lambda v: v.quantile(0.5, "minutes"), 15, False, "min"),
    Bar("pages, 95 of 100 calls", True, lambda v: v.quantile(0.95, "pages"), 22, False, "pages"),
    Bar("danger end without danger", False, lambda v: v.share("false-danger"), 0.02, False),
    Bar("outcome kind right or more cautious", False, lambda v: v.share("cautious"), 0.95, True),
)
"""Lengths are of walks without a danger end."""


def measured(view: View, model: str) -> list[tuple[Bar, float | None]]:
    """The bars that hold for this model of callers, with their values."""
    return [(bar, bar.value(view)) for bar in BARS if bar.accurate == (model == "accurate")]
