"""All callers at once: shares of callers carried through the journey, page by page.

At a node the share of each class of cases and each caller is parted among the answers and moves on;
walks that did the same to the house meet again. Nothing is drawn at random and nothing is cut off:
what arrives at the ends is exact but for rounding.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from stepstop.callers import Errors
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.choices import HALVES
from stepstop.rehearsal.house_table import Floats, Ints
from stepstop.rehearsal.lumps import Lumps
from stepstop.rehearsal.slips import Memory, Part, parts, recalled, remembered


@dataclass(frozen=True, slots=True)
class Key:
    """What callers on one node have in common besides."""

    memory: Memory = ()
    exposed: bool = False
    """A check was done that exposes people while this cause is there."""
    pages: int = 0
    """Pages before this one, where lengths are kept apart."""
    seconds: int = 0
    """Seconds that they took, where lengths are kept apart."""


Arrive = Callable[[int, dict[Key, Floats]], None]
"""Told of each node when all its callers are there: its number, and their shares.

Shares have the shape (classes, callers, halves of the houses).
"""
Boxes = dict[int, dict[Key, Floats]]
"""Shares that wait at nodes."""


def ways(bench: Bench, number: int, memory: Memory, errors: Errors, cases: Ints) -> list[Part]:
    """How callers with these cases and this memory part on a node."""
    node = bench.journey.nodes[number]
    finding = bench.catalogue.findings.get(node.page.finding)
    if finding is None:
        return [Part(j, chance, None) for j, chance in enumerate(bench.truths.of(node, cases))]
    rates = errors.of(finding.id, is_danger=finding.is_danger)
    lasts = finding.kind != "reading"
    errs = rates.unsure + rates.mistaken > 0.0
    again = any(finding.id in bench.journey.later[option.to] for option in node.options)
    kept = recalled(memory, finding.id)
    truth = bench.truths.of(node, cases)
    return list(
        parts(node, truth, rates, kept=kept, tracked=again and (errs or lasts), lasts=lasts)
    )


@dataclass(frozen=True)
class Walkers:
    """Callers with one complaint and one model of errors, ready to walk."""

    bench: Bench
    complaint: str
    lumps: Lumps
    errors: Errors
    lengths: bool
    """Whether walks of different lengths are kept apart: their whole distribution is wanted."""

    def walk(self, arrive: Arrive) -> None:
        """Carry all to their ends; `arrive` is told of every node, ends and others."""
        waiting: Boxes = {self.lumps.root: {Key(): self._begin()}}
        for number in self.lumps.reached:
            here = waiting.pop(number, {})
            arrive(number, here)
            self._pass_on(number, here, waiting)

    def _begin(self) -> Floats:
        """Shares at the first page."""
        bench, lumps = self.bench, self.lumps
        weights = bench.weights(self.complaint)[lumps.members]
        callers = np.array([caller.weight for caller in bench.people])
        mass = np.zeros((len(lumps.cases[lumps.root]), len(callers), len(HALVES)))
        for half in range(len(HALVES)):
            mine = np.where(bench.half_of[lumps.members] == half, weights, 0.0)
            classes = np.bincount(lumps.begins, weights=mine, minlength=len(mass))
            mass[:, :, half] = classes[:, None] * callers
        return mass

    def _pass_on(self, number: int, here: dict[Key, Floats], waiting: Boxes) -> None:
        cases = self.lumps.cases[number]
        parted: dict[Memory, list[Part]] = {}
        for key, mass in here.items():
            if key.memory not in parted:
                parted[key.memory] = ways(self.bench, number, key.memory, self.errors, cases)
            going: dict[tuple[int, Key], Floats] = {}
            for part in parted[key.memory]:
                for to, new, share in self._sent(number, key, part, mass):
                    going[to, new] = going[to, new] + share if (to, new) in going else share
            for (to, new), share in going.items():
                box = waiting.setdefault(to, {})
                moved = self.lumps.moved(number, to, share)
                box[new] = box[new] + moved if new in box else moved

    def _sent(
        self, number: int, key: Key, part: Part, mass: Floats
    ) -> Iterator[tuple[int, Key, Floats]]:
        """(next node, what is common there, shares) of those who answer like this."""
        share = mass * part.chance[:, :, None]
        if not share.any():
            return
        node = self.bench.journey.nodes[number]
        option = node.options[part.option]
        later = self.bench.journey.later[option.to]
        new = replace(key, memory=remembered(key.memory, part.kept, option, later))
        if self.lengths:
            new = replace(new, pages=key.pages + 1, seconds=key.seconds + node.seconds)
        if new.exposed or not option.done or node.page.check is None:
            yield option.to, new, share
            return
        unsafe = self.bench.unsafe(node.page.check.id)[self.lumps.cases[number]]
        for exposed in (False, True):
            some = share * (unsafe == exposed)[:, None, None]
            if some.any():
                yield option.to, replace(new, exposed=exposed), some
