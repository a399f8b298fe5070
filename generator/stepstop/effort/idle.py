"""What is asked for nothing: questions that change nothing, and answers that are true of nobody.

Everything is counted by the place where it is written, once for all its copies.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256

import numpy as np

from stepstop.effort.carry import Met, Walkers
from stepstop.model import Answer, Step
from stepstop.rehearsal.house_table import Floats
from stepstop.source import Spot

SAME = 1e-9
"""Chances that differ by no more count as equal."""


@dataclass(frozen=True, slots=True)
class Idle:
    """A step whose answer changes nothing."""

    step: str
    kind: str
    """`question` or `check`."""
    spot: Spot
    callers: float
    """Visits, as a share of all calls."""


@dataclass(frozen=True, slots=True)
class Dead:
    """An answer that is true of no simulated caller who comes to it."""

    step: str
    say: str
    values: tuple[str, ...]
    spot: Spot
    callers: float
    """Visits of its step, as a share of all calls."""
    taken: float
    """Share of all calls that take it all the same, by mistake or because they can't tell."""


@dataclass(frozen=True, slots=True)
class Idleness:
    """What was found."""

    one_way: tuple[Idle, ...]
    """All answers lead to the same page."""
    same_ends: tuple[Idle, ...]
    """Other steps: whatever is answered, each caller ends alike."""
    dead: tuple[Dead, ...]
    """Answers of somebody who could tell."""
    dead_unsure: tuple[Dead, ...]
    """Answers of somebody who can't tell, or hasn't done it."""
    unvisited: tuple[Idle, ...]
    """Steps that no simulated caller comes to."""


@dataclass(slots=True)
class _Use:
    """Of one written step."""

    step: Step
    callers: float = 0.0
    is_one_way: bool = True
    is_same: bool = True
    true: dict[Spot, float] = field(default_factory=dict)
    taken: dict[Spot, float] = field(default_factory=dict)


class Count:
    """Looks at the walks of each complaint: `add` on the way, `look_back` once they have ended."""

    def __init__(self) -> None:
        self.uses: dict[Spot, _Use] = {}

    def add(self, met: Met) -> None:
        """Count those on one node."""
        step = met.node.page.step
        if step is None or not met.node.page.finding:
            return
        use = self.uses.setdefault(step.spot, _Use(step))
        use.callers += met.callers
        use.is_one_way &= len({move.to for move in met.node.page.moves}) == 1
        for j, answer in enumerate(answers(met)):
            true = float((met.mass * met.truth[j]).sum())
            use.true[answer.spot] = use.true.get(answer.spot, 0.0) + true
            use.taken[answer.spot] = use.taken.get(answer.spot, 0.0) + met.flows[j]

    def look_back(self, walkers: Walkers, came: Mapping[int, Floats]) -> None:
        """Compare what is behind the answers, for those who `came` to each node.

        A distribution over ends is told by its mean of one number drawn for each end: two that
        differ have the same mean by an odd chance only.
        """
        later: dict[int, Floats] = {}
        for number in reversed(walkers.lumps.reached):
            met = walkers.met(number, came[number])
            if not met.node.options:
                later[number] = np.full(met.mass.shape, drawn_for(met.node.page.id))
                continue
            behind = walkers.behind(met, later)
            shares = zip(met.taken, behind, strict=True)
            later[number] = np.asarray(sum(taken * each for taken, each in shares))
            step = met.node.page.step
            if step is not None and step.spot in self.uses and not _alike(behind, met.mass > 0.0):
                self.uses[step.spot].is_same = False

    def found(self) -> Idleness:
        """What changes nothing, and who is never there, in the order of the files."""
        uses = [use for _, use in sorted(self.uses.items())]
        met = [use for use in uses if use.callers]
        dead = [each for use in met for each in _dead(use)]
        return Idleness(
            tuple(_idle(use) for use in uses if use.is_one_way),
            tuple(_idle(use) for use in met if use.is_same and not use.is_one_way),
            tuple(each for answer, each in dead if answer.is_sure),
            tuple(each for answer, each in dead if not answer.is_sure),
            tuple(_idle(use) for use in uses if not use.callers),
        )


def answers(met: Met) -> Iterator[Answer]:
    """The written answer that each option comes from."""
    step = met.node.page.step
    assert step is not None
    for option in met.node.options:
        yield next(each for each in step.answers if set(option.values) <= set(each.values))


def drawn_for(end: str) -> float:
    """A number from 0 to 1 that looks random and is always the same for this end."""
    return int.from_bytes(sha256(end.encode()).digest()[:8], "big") / 2.0**64


def _alike(behind: list[Floats], there: np.ndarray) -> bool:
    """Whether all of `behind` are equal for those who are there."""
    first = behind[0][there]
    return all(bool((np.abs(each[there] - first) <= SAME).all()) for each in behind[1:])


def _idle(use: _Use) -> Idle:
    return Idle(use.step.id, use.step.kind, use.step.spot, use.callers)


def _dead(use: _Use) -> Iterator[tuple[Answer, Dead]]:
    for answer in use.step.answers:
        if use.true.get(answer.spot, 0.0) == 0.0:
            taken = use.taken.get(answer.spot, 0.0)
            yield (
                answer,
                Dead(use.step.id, answer.say, answer.values, answer.spot, use.callers, taken),
            )
