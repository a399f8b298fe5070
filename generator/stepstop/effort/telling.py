"""What each written step tells about the cause, for the minutes that it takes."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from stepstop import chance
from stepstop.effort.carry import Met
from stepstop.rehearsal.house_table import Floats, Ints
from stepstop.source import Spot


@dataclass(frozen=True, slots=True)
class Telling:
    """A written step, its copies taken together."""

    step: str
    spot: Spot
    callers: float
    """Visits, as a share of all calls: the same caller may come to two copies of it."""
    bits: float
    """Expected information about the cause, a visit."""
    minutes: float
    """A visit."""

    @property
    def rate(self) -> float:
        """Bits a minute."""
        return self.bits / self.minutes if self.minutes > 0.0 else 0.0


def bits(met: Met, cause_of: Ints) -> float:
    """By how many bits the entropy of the cause drops here on average, for those who come here.

    `cause_of` numbers the causes of all cases. Quinlan's gain: see `chance.information`.
    """
    joint = _by_cause(met, cause_of)
    whole = joint.sum(axis=0)
    there = whole > 0.0
    if not there.any():
        return 0.0
    split = {str(option): row[there] / whole[there] for option, row in enumerate(joint)}
    return chance.information(whole[there], split)


def _by_cause(met: Met, cause_of: Ints) -> Floats:
    """(options, causes): those who take each option."""
    seats, size = cause_of[met.cases], int(cause_of.max()) + 1
    rows = [np.bincount(seats, moving.sum(axis=1), size) for moving in met.moves]
    return np.array(rows, dtype=np.float64)


@dataclass(slots=True)
class _Sum:
    step: str
    callers: float = 0.0
    bits: float = 0.0
    minutes: float = 0.0


@dataclass(slots=True)
class Count:
    """Adds up what written steps tell, node by node."""

    cause_of: Ints
    sums: dict[Spot, _Sum] = field(default_factory=dict)

    def add(self, met: Met) -> None:
        """Count those on one node; notes tell nothing."""
        step = met.node.page.step
        if step is None or not met.node.page.finding or not met.callers:
            return
        found = self.sums.setdefault(step.spot, _Sum(step.id))
        found.callers += met.callers
        found.bits += met.callers * bits(met, self.cause_of)
        found.minutes += met.callers * met.node.seconds / 60

    def tellings(self) -> tuple[Telling, ...]:
        """Every step that some caller comes to, in the order of the files."""
        return tuple(
            Telling(s.step, spot, s.callers, s.bits / s.callers, s.minutes / s.callers)
            for spot, s in sorted(self.sums.items())
        )
