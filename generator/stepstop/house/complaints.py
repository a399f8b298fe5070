"""What a homeowner calls about: the complaint chosen, by what is met at once and what happened.

Each complaint has a pull on the people whose house shows it; they divide among the complaints that
pull in proportion. Pulls are judgement, common practice, no source. What the house has but nobody
meets before they look for it pulls nobody.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from stepstop.house.acts import NONE
from stepstop.house.doing import Scene, delivers, fan_stops, scene
from stepstop.house.history import what_changed
from stepstop.house.house import DUCTED, House, outdoors_wanted
from stepstop.house.story import UNCODED
from stepstop.house.told import noise
from stepstop.house.units import air
from stepstop.house.water import comes_from, stands
from stepstop.house.wiring import screen

ASTRAY = 0.03
"""Share of callers who choose a complaint that isn't theirs; judgement."""
FAINT = 0.02
"""A weaker pull pulls nobody."""
SOON = 600.0
"""Seconds after which somebody who asks for warmth or cold thinks that it fails."""


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


Pull = Callable[[Met], float]


def _plain(wanted: str) -> Pull:
    """Nobody says "no heat" who only hears a fan that goes on."""
    return lambda met: float(
        met.house.wanted == wanted and not (met.runs_on and delivers(met.house))
    )


def _fan_never_stops(met: Met) -> float:
    return 1.5 * met.runs_on


def _nothing_responds(met: Met) -> float:
    return 1.5 * (screen(met.house) == "blank" and not met.runs_on)


def _signed(finding: str, pull: float) -> Pull:
    return lambda met: pull * (finding in dict(met.house.signs))


def _burning_smell(met: Met) -> float:
    signs = dict(met.house.signs)
    strong = "fire-signs" in signs or "scorch-or-bang" in signs
    return 1.5 * strong + 3.0 * bool(met.house.smell)


def _noise(met: Met) -> float:
    heard = noise(met.scene)
    hums = heard.startswith("hum")
    return 0.5 * hums + 0.4 * (heard == "steam") + 0.2 * (heard == "gurgle")


def _blinking_light(met: Met) -> float:
    light = met.scene.whole.indoor.light_at(SOON)
    return 0.15 * (met.house.window and light not in UNCODED)


def _starts_then_stops(met: Met) -> float:
    """Warmth or cold that comes and goes by itself, while it is asked for."""
    right = "cold" if met.house.wanted == "cool" else "hot"
    felt = [air(met.scene.whole, 60.0 * minute) == right for minute in range(2, 30)]
    stops = any(was and not is_ for was, is_ in pairwise(felt))
    lit = [s for s in met.scene.whole.indoor.spells if s.what == "flame"]
    return 1.0 * (stops or len(lit) > 1)


def _cold_air(met: Met) -> float:
    if met.house.wanted != "heat" or met.house.heating not in DUCTED:
        return 0.0
    blows = met.scene.whole.indoor.at("blower", SOON)
    return 0.7 * (blows and air(met.scene.whole, SOON) == "room")


def _outdoor_silent(met: Met) -> float:
    outdoors, indoors = met.scene.whole.outdoor, met.scene.whole.indoor
    runs = ("outdoor-fan", "compressor", "outdoor-hum")
    silent = not any(outdoors.at(what, SOON) for what in runs)
    return 0.7 * (outdoors_wanted(met.house) and silent and indoors.at("blower", SOON))


def _indoor_silent(met: Met) -> float:
    turns = met.scene.whole.outdoor.at("outdoor-fan", SOON)
    return 0.7 * (
        outdoors_wanted(met.house) and turns and not met.scene.whole.indoor.at("blower", SOON)
    )


def _ice(met: Met) -> float:
    outdoors = met.house.outdoor_ice in ("solid-ice", "snowed-in")
    return 0.6 * (outdoors or (met.house.coil == "ice" and met.house.wanted == "cool"))


SEEN = {"drain": 0.5, "pump": 0.5, "ice": 0.2, "trap": 0.3, "humidifier": 0.4, "roof": 0.3}
"""Source of water that has not run out on the floor -> the pull of a drip or a wet spot."""


def _water(met: Met) -> float:
    return 2.0 * stands(met.house) + SEEN.get(comes_from(met.house), 0.0)


def _breaker_trips(met: Met) -> float:
    house = met.house
    out = "out-of-line" in (house.breaker, house.outdoor_breaker)
    holds = house.breaker_holds and house.outdoor_holds
    return out * (0.5 if holds else 1.5)


def _after(value: str, pull: float) -> Pull:
    """What happened before counts for those who would tell it."""
    return lambda met: pull * what_changed(met.cause).get(value, 0.0) ** 2


def _after_storm(met: Met) -> float:
    hit = met.house.surroundings == "tilted-or-hit"
    flooded = met.cause == "flooded-unit"
    return 2.0 * flooded + 0.5 * hit + _after("storm-or-outage", 0.7)(met)


def _one_room(met: Met) -> float:
    return 2.0 * (met.house.zones != "good") + 0.3 * met.house.mains


PULLS: Mapping[str, Pull] = {
    "no-heat": _plain("heat"),
    "no-cooling": _plain("cool"),
    "fan-never-stops": _fan_never_stops,
    "nothing-responds": _nothing_responds,
    "gas-smell": _signed("gas-smell", 3.0),
    "co-alarm": _signed("co-alarm", 3.0),
    "burning-smell": _burning_smell,
    "noise": _noise,
    "blinking-light": _blinking_light,
    "starts-then-stops": _starts_then_stops,
    "cold-air": _cold_air,
    "outdoor-silent": _outdoor_silent,
    "indoor-silent": _indoor_silent,
    "ice": _ice,
    "water": _water,
    "breaker-trips": _breaker_trips,
    "after-power-cut": _after("storm-or-outage", 1.5),
    "after-storm-or-flood": _after_storm,
    "after-thermostat-change": _after("thermostat-or-wires", 2.0),
    "one-room": _one_room,
}
"""Complaint (a tree's id) -> its pull on somebody with this cause in this house; 1 is that of the
plain complaint, no heat or no cooling."""


EVERYWHERE = ("no-heat", "no-cooling", "fan-never-stops", "nothing-responds")
"""Complaints of a house that fails; one that only seems to fail has none of them by itself."""


def astray(wanted: str) -> tuple[str, str]:
    """Complaints of somebody who has not chosen their own, each as likely as the other."""
    return ("no-cooling" if wanted == "cool" else "no-heat", "nothing-responds")


def chosen(cause: str, house: House, perceived: str = "") -> dict[str, float]:
    """Chances of the complaint that the caller chooses, adding up to 1."""
    met = Met(cause, scene(house, NONE))
    pulls = {name: pull(met) for name, pull in PULLS.items()}
    pulls = {name: pull for name, pull in pulls.items() if pull >= FAINT}
    if perceived:
        pulls = {name: pull for name, pull in pulls.items() if name not in EVERYWHERE}
        pulls[perceived] = 1.0
    whole = sum(pulls.values())
    told = {name: (1.0 - ASTRAY) * pull / whole for name, pull in pulls.items() if pull > 0.0}
    for tree in astray(house.wanted):
        told[tree] = told.get(tree, 0.0) + ASTRAY / 2
    return told
