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
from stepstop.house.history import WHAT_CHANGED
from stepstop.house.house import DUCTED, House
from stepstop.house.water import comes_from
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


SEEN = {"drain": 0.3, "trap": 0.3, "pump": 0.3, "ice": 0.2, "humidifier": 0.4, "roof": 0.3}
"""Source of water that has not run out on the floor -> the pull of a drip or a wet spot."""


def _water(met: Met) -> float:
    if any(finding == "water" for finding, _ in met.house.signs):
        return 1.5
    return SEEN.get(comes_from(met.house), 0.0)


def _breaker_trips(met: Met) -> float:
    house = met.house
    if "out-of-line" not in (house.breaker, house.outdoor_breaker):
        return 0.4 * (house.heat_breakers < 1.0)
    again = house.trips_on_call or not (house.breaker_holds and house.outdoor_holds)
    return 1.5 if again else 0.5


HALF = 0.5
"""Share of those who would tell of a storm or power cut that choose a complaint named for it."""
STORMS = {
    "flooded-unit": 3.0,
    "outdoor-unit-hit": 1.0,
    "surge-damage": 0.35,
    "outdoor-fuses": 0.1,
    "breaker-tripped": 0.05,
    "outside-pipes-blocked": 0.2,
    "outdoor-snowed-in": 0.15,
    "frozen-drain": 0.1,
    "board-fuse-water": 0.2,
    "outdoor-cable-cut": 0.05,
}
"""Cause -> its pull on somebody who thinks of the storm or the flood first."""
GENERATORS = {"flame-ground-fault": 0.3, "wrong-setting": 0.05, "thermostat-batteries": 0.05}
"""Cause -> its pull on somebody who thinks of the power cut, although few name it afterwards."""


def _after_storm(met: Met) -> float:
    return STORMS.get(met.cause, 0.0)


def _after_power_cut(met: Met) -> float:
    """About half of those who would tell of it, less those who name the storm instead."""
    value, share = WHAT_CHANGED.get(met.cause, ("", 0.0))
    tellers = HALF * share if value == "storm-or-outage" else 0.0
    pull = tellers / (1.0 - tellers)
    return max(pull - _after_storm(met), GENERATORS.get(met.cause, 0.0), 0.0)


PULLS: Mapping[str, Callable[[Met], float]] = {
    "no-heat": _plain("heat"),
    "no-cooling": _plain("cool"),
    "fan-never-stops": _fan_never_stops,
    "nothing-responds": _nothing_responds,
    "water": _water,
    "breaker-trips": _breaker_trips,
    "after-power-cut": _after_power_cut,
    "after-storm-or-flood": _after_storm,
}
"""Complaint (a tree's id) -> its pull on somebody with this cause in this house; 1 is that of the
plain complaint, no heat or no cooling."""


def chosen(cause: str, house: House, perceived: str = "") -> dict[str, float]:
    """Chances of the complaint that the caller chooses, adding up to 1."""
    met = Met(cause, scene(house, NONE))
    plain = "no-cooling" if house.wanted == "cool" else "no-heat"
    pulls = {perceived: 1.0} if perceived else {name: pull(met) for name, pull in PULLS.items()}
    whole = sum(pulls.values())
    told = {name: (1.0 - ASTRAY) * pull / whole for name, pull in pulls.items() if pull > 0.0}
    for tree in (plain, "nothing-responds"):
        told[tree] = told.get(tree, 0.0) + ASTRAY / 2
    return told
