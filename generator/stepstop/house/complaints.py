"""What a homeowner calls about: the complaint chosen, by what is met at once and what happened.

Each complaint has a pull on the people whose house shows it; they divide among the complaints that
pull in proportion. Pulls are judgement, common practice, no source. What the house has but nobody
meets before they look for it pulls nobody.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from stepstop.house.acts import NONE
from stepstop.house.doing import Scene, delivers, fan_stops, scene
from stepstop.house.house import DUCTED, House
from stepstop.house.noises import noise
from stepstop.house.smells import smell
from stepstop.house.wiring import screen

ASTRAY = 0.03
"""Share of callers who choose a complaint that isn't theirs; judgement."""


@dataclass(frozen=True, slots=True)
class Met:
    """What somebody meets who has not looked for anything yet."""

    cause: str
    scene: Scene

    @property
    def house(self) -> House:
        """The house as it is."""
        return self.scene.now

    @property
    def runs_on(self) -> bool:
        """Air comes from the grilles, and would go on with the thermostat OFF."""
        return not fan_stops(self.house) and self.house.heating in DUCTED


def _plain(wanted: str) -> Callable[[Met], float]:
    """Nobody says "no heat" who only hears a fan that goes on."""
    return lambda met: float(
        met.house.wanted == wanted and not (met.runs_on and delivers(met.house))
    )


def _fan_never_stops(met: Met) -> float:
    return 1.5 * met.runs_on


def _nothing_responds(met: Met) -> float:
    return 1.5 * (screen(met.house) == "blank" and not met.runs_on)


def _shows(met: Met, finding: str) -> bool:
    return finding in dict(met.house.signs)


def _gas_smell(met: Met) -> float:
    return 8.0 * _shows(met, "gas-smell")


def _co_alarm(met: Met) -> float:
    return 8.0 * _shows(met, "co-alarm")


def _burning_smell(met: Met) -> float:
    return 2.0 * (smell(met.scene.was) == "electrical") + 2.0 * _shows(met, "fire-signs")


NOISES: Mapping[str, float] = {
    "bang": 1.0,
    "whoosh": 0.5,
    "rattle": 0.5,
    "squeal": 0.5,
    "hum-no-fan": 0.3,
    "gurgle": 0.2,
    "roar": 0.2,
    "whistle": 0.1,
}
"""Kind of noise -> its pull; nobody calls about metal that ticks, and few hear a hiss."""


def _noise(met: Met) -> float:
    return NOISES.get(noise(met.scene.was).kind, 0.0)


WITNESSED: Mapping[str, Callable[[Met], float]] = {
    "gas-smell": _gas_smell,
    "co-alarm": _co_alarm,
    "burning-smell": _burning_smell,
    "noise": _noise,
}
"""Complaints of something that is smelled or heard, whether the house does its work or not."""

PULLS: Mapping[str, Callable[[Met], float]] = {
    "no-heat": _plain("heat"),
    "no-cooling": _plain("cool"),
    "fan-never-stops": _fan_never_stops,
    "nothing-responds": _nothing_responds,
    **WITNESSED,
}
"""Complaint (a tree's id) -> its pull on somebody with this cause in this house; 1 is that of the
plain complaint, no heat or no cooling."""


def chosen(cause: str, house: House, perceived: str = "") -> dict[str, float]:
    """Chances of the complaint that the caller chooses, adding up to 1.

    Whoever takes a house that works for a broken one chooses `perceived`, or what they witness.
    """
    met = Met(cause, scene(house, NONE))
    plain = "no-cooling" if house.wanted == "cool" else "no-heat"
    pulls = {name: pull(met) for name, pull in (WITNESSED if perceived else PULLS).items()}
    if perceived:
        pulls[perceived] = max(1.0, pulls.get(perceived, 0.0))
    whole = sum(pulls.values())
    told = {name: (1.0 - ASTRAY) * pull / whole for name, pull in pulls.items() if pull > 0.0}
    for tree in (plain, "nothing-responds"):
        told[tree] = told.get(tree, 0.0) + ASTRAY / 2
    return told
