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
from stepstop.house.room_senses import only_one_room
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
    """A remote without its screen is no blank thermostat: then a wall box gives no heat."""
    blank = screen(met.house) == "blank" and met.house.heating != "ductless"
    return 1.5 * (blank and not met.runs_on)


def _one_room(met: Met) -> float:
    return 2.0 * (only_one_room(met.house) and not met.runs_on)


PULLS: Mapping[str, Callable[[Met], float]] = {
    "no-heat": _plain("heat"),
    "no-cooling": _plain("cool"),
    "fan-never-stops": _fan_never_stops,
    "nothing-responds": _nothing_responds,
    "one-room": _one_room,
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
