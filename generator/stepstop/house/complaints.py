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
from stepstop.house.house import DUCTED, PUMPS, House
from stepstop.house.units import air
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


AT_ONCE = 60.0
"""Seconds after a call at which an outdoor unit that rests is taken for dead."""
WAITED = 450.0
"""Seconds after which people who hear one half of a unit run go and look for the other half."""
ALARMED, NOTICED = 0.7, 0.2
"""Pulls of what people take for the fault, and of what they see on the way and may name."""


def _plain(wanted: str) -> Callable[[Met], float]:
    """Nobody says "no heat" who only hears a fan that goes on."""
    return lambda met: float(
        met.house.wanted == wanted and not (met.runs_on and delivers(met.house))
    )


def _fan_never_stops(met: Met) -> float:
    return 1.5 * met.runs_on


def _nothing_responds(met: Met) -> float:
    return 1.5 * (screen(met.house) == "blank" and not met.runs_on)


def _split(met: Met) -> bool:
    """An outdoor unit is there, and what is wanted hangs on it."""
    house = met.house
    split = house.cooling in ("air-conditioner", "heat-pump")
    return split and (house.wanted == "cool" or house.heating in PUMPS)


def _outdoor_silent(met: Met) -> float:
    """Air comes indoors, and outside all is still: no fan, no hum, no clicks."""
    told = met.scene.whole
    noises = ("outdoor-fan", "compressor", "outdoor-hum", "outdoor-chatter")
    still = not any(told.outdoor.at(noise, AT_ONCE) for noise in noises)
    return ALARMED * (_split(met) and still and told.indoor.at("blower", AT_ONCE))


def _indoor_silent(met: Met) -> float:
    """The fan outside turns, and no air comes indoors."""
    told = met.scene.whole
    return ALARMED * (
        _split(met) and told.outdoor.at("outdoor-fan", WAITED) and air(told, WAITED) == "none"
    )


def _ice(met: Met) -> float:
    """Ice on the pipes or on the outdoor unit; thin frost of one that runs and heats too little."""
    house = met.house
    if not _split(met):
        return 0.0
    iced = house.outdoor_ice in ("solid-ice", "snowed-in") or house.defrost == "now"
    if iced or (house.wanted == "cool" and house.coil == "ice"):
        return ALARMED
    runs = met.scene.whole.outdoor.at("outdoor-fan", WAITED)
    return NOTICED * (house.weather == "frost" and runs and not delivers(house))


PULLS: Mapping[str, Callable[[Met], float]] = {
    "no-heat": _plain("heat"),
    "no-cooling": _plain("cool"),
    "fan-never-stops": _fan_never_stops,
    "nothing-responds": _nothing_responds,
    "outdoor-silent": _outdoor_silent,
    "indoor-silent": _indoor_silent,
    "ice": _ice,
}
"""Complaint (a tree's id) -> its pull on somebody with this cause in this house; 1 is that of the
plain complaint, no heat or no cooling."""


def chosen(cause: str, house: House, perceived: str = "") -> dict[str, float]:
    """Chances of the complaint that the caller chooses, adding up to 1."""
    met = Met(cause, scene(house, NONE))
    plain = "no-cooling" if house.wanted == "cool" else "no-heat"
    pulls = {name: pull(met) for name, pull in PULLS.items()}
    if perceived:
        pulls = {**pulls, "no-heat": 0.0, "no-cooling": 0.0, perceived: 1.0}
    whole = sum(pulls.values())
    told = {name: (1.0 - ASTRAY) * pull / whole for name, pull in pulls.items() if pull > 0.0}
    for tree in (plain, "nothing-responds"):
        told[tree] = told.get(tree, 0.0) + ASTRAY / 2
    return told
