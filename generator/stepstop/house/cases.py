"""The hypotheses: every cause in every house of the grid, with its weight and its complaint."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random

from stepstop.house.acts import NONE
from stepstop.house.complaints import chosen
from stepstop.house.doing import works
from stepstop.house.faults import FAULTS, hurt
from stepstop.house.grid import Plan
from stepstop.house.house import House
from stepstop.house.units import doings

FREQUENCY = {"very-common": 27.0, "common": 9.0, "occasional": 3.0, "rare": 1.0}
"""Weight of a frequency class: each three times the next; judgement of the trade, no statistics."""
PAIRS = 12
"""Pairs of causes that are drawn for each house."""


@dataclass(frozen=True, slots=True)
class Case:
    """One hypothesis: a cause in a house. The weights of all cases add up to 1."""

    cause: str
    house: str
    """Name of the configuration, and of the fault's variant."""
    wanted: str
    """heat or cool."""
    weather: str
    half: str
    """`mended-on` or `held-out`."""
    complaints: tuple[tuple[str, float], ...]
    """(tree id, chance that the caller chooses it), adding up to 1."""
    weight: float
    found: House
    """The house as the caller finds it."""
    has_tree: bool
    """Whether the trees go on for this kind of house."""
    locked: bool
    """The board waits in a lock-out."""


def cases(plans: Iterable[Plan], frequencies: Mapping[str, str]) -> list[Case]:
    """All cases of the causes in `frequencies`, in houses where they show."""
    raw = list(_raw(list(plans), frequencies))
    whole = sum(case.weight for case in raw)
    return [replace(case, weight=case.weight / whole) for case in raw]


def doubles(plans: Iterable[Plan], frequencies: Mapping[str, str]) -> list[Case]:
    """Cases with two faults at once, drawn for each house by its name alone.

    The likeliest variants of both are put in, one after the other. Each pair is two cases, half a
    weight each: one counts for the first cause, the other for the second.
    """
    raw = [case for plan in plans for case in _doubled(plan, frequencies)]
    whole = sum(case.weight for case in raw)
    return [replace(case, weight=case.weight / whole) for case in raw]


def _doubled(plan: Plan, frequencies: Mapping[str, str]) -> Iterator[Case]:
    known = sorted(frequencies.keys() & FAULTS.keys())
    shown = [cause for cause in known if any(True for _ in _shown(plan.house, cause))]
    draw = Random(f"{plan.name}/pairs")
    for _ in range(PAIRS):
        one, other = draw.sample(shown, 2)
        first = max(hurt(plan.house, one), key=lambda variant: variant[1])[2]
        both = max(hurt(first, other), key=lambda variant: variant[1], default=None)
        if both is not None and not works(both[2], NONE):
            weight = plan.weight * FREQUENCY[frequencies[one]] * FREQUENCY[frequencies[other]]
            for cause, beside in ((one, other), (other, one)):
                yield _case(plan, cause, f"with {beside}", both[2], weight / 2)


def _raw(plans: Sequence[Plan], frequencies: Mapping[str, str]) -> Iterator[Case]:
    for plan in plans:
        for cause in sorted(frequencies.keys() & FAULTS.keys()):
            for name, share, house in _shown(plan.house, cause):
                weight = plan.weight * FREQUENCY[frequencies[cause]] * share
                yield _case(plan, cause, name, house, weight)


def _shown(house: House, cause: str) -> Iterator[tuple[str, float, House]]:
    """The variants that somebody would call about."""
    for name, share, edited in hurt(house, cause):
        if FAULTS[cause].perceived or not works(edited, NONE):
            yield name, share, edited


def _case(plan: Plan, cause: str, name: str, house: House, weight: float) -> Case:
    return Case(
        cause,
        f"{plan.name}{'#' * bool(name)}{name}",
        house.wanted,
        house.weather,
        plan.half,
        tuple(sorted(chosen(cause, house, FAULTS[cause].perceived).items())),
        weight,
        house,
        plan.has_tree,
        house.locked or doings(house).indoor.locked,
    )
