"""What a homeowner calls about: the complaint chosen, by what is met at once and what happened.

Each complaint has a pull on the people whose house shows it; they divide among the complaints that
pull in proportion. Pulls are judgement, common practice, no source. What the house has but nobody
meets before they look for it pulls nobody.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from stepstop.house.acts import NONE
from stepstop.house.doing import Scene, delivers, scene
from stepstop.house.history import what_changed
from stepstop.house.house import House
from stepstop.house.remembered import WELL, blows_cold, fresh, runs_on, starts_and_stops
from stepstop.house.wiring import screen

MOMENT = 600.0
"""When somebody happens to look at the light, in seconds of the house's own clock."""
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
        return runs_on(self.house)


def _plain(wanted: str) -> Callable[[Met], float]:
    """Nobody says "no heat" who only hears a fan that goes on."""
    return lambda met: float(
        met.house.wanted == wanted and not (met.runs_on and delivers(met.house))
    )


def _fan_never_stops(met: Met) -> float:
    return 1.5 * met.runs_on


def _nothing_responds(met: Met) -> float:
    return 1.5 * (screen(met.house) == "blank" and not met.runs_on)


def _blinking_light(met: Met) -> float:
    """Few look at the light first, and only a code strikes them."""
    code = met.scene.whole.indoor.light_at(MOMENT) not in WELL
    return 0.15 * (met.house.window and code)


def _starts_then_stops(met: Met) -> float:
    """By what goes on as found, or by what comes of a call made anew, which fewer try."""
    if starts_and_stops(met.house, met.scene.whole):
        return 1.5
    return 0.5 * starts_and_stops(met.house, fresh(met.house))


def _cold_air(met: Met) -> float:
    """Cold air while heat is wanted; a fan that also runs on with OFF is mostly called a fan."""
    cold = met.house.wanted == "heat" and blows_cold(met.house)
    return cold * (0.5 if met.runs_on else 1.5)


def _after_thermostat_change(met: Met) -> float:
    """About half of those who tell of work at the thermostat or its wires."""
    return what_changed(met.cause)["thermostat-or-wires"]


PULLS: Mapping[str, Callable[[Met], float]] = {
    "no-heat": _plain("heat"),
    "no-cooling": _plain("cool"),
    "fan-never-stops": _fan_never_stops,
    "nothing-responds": _nothing_responds,
    "blinking-light": _blinking_light,
    "starts-then-stops": _starts_then_stops,
    "cold-air": _cold_air,
    "after-thermostat-change": _after_thermostat_change,
}
"""Complaint (a tree's id) -> its pull on somebody with this cause in this house; 1 is that of the
plain complaint, no heat or no cooling."""

FEELS_COLD = ("normal-defrost", "warm-but-feels-cool")
"""Causes of houses that work and that people feel at a grille: half of them call the air cold."""


def chosen(cause: str, house: House, perceived: str = "") -> dict[str, float]:
    """Chances of the complaint that the caller chooses, adding up to 1."""
    met = Met(cause, scene(house, NONE))
    plain = "no-cooling" if house.wanted == "cool" else "no-heat"
    pulls = {name: pull(met) for name, pull in PULLS.items()}
    if perceived:
        pulls = {perceived: 1.0, "cold-air": float(cause in FEELS_COLD)}
    whole = sum(pulls.values())
    told = {name: (1.0 - ASTRAY) * pull / whole for name, pull in pulls.items() if pull > 0.0}
    for tree in (plain, "nothing-responds"):
        told[tree] = told.get(tree, 0.0) + ASTRAY / 2
    return told
