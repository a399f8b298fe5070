"""What only the pages of one complaint ask: smells, noises, where water shows, how long it runs.

Shares where people differ are judgement, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from stepstop.house.doing import Scene, delivers, stops
from stepstop.house.house import DUCTED
from stepstop.house.wiring import LONG, screen, water_high

Sensed = str | Mapping[str, float]

SECONDS, MINUTES = 60.0, 900.0
"""Heat that lasts no longer than the one is told in seconds, than the other in minutes."""


def _smell(s: Scene) -> Sensed:
    return s.found.smell or "other"


def _smell_fades(s: Scene) -> Sensed:
    return "fades" if s.found.smell == "dusty" else "stays"


def noise(s: Scene) -> str:
    """The loudest noise of the house."""
    told, outdoors = s.whole.indoor, s.whole.outdoor
    if told.seconds("blower-hum", -LONG, 600.0) or told.seconds("inducer-hum", -LONG, 600.0):
        return "hum-indoors"
    if outdoors.seconds("outdoor-hum", -LONG, 600.0):
        return "hum-outdoors"
    if s.found.noise:
        return s.found.noise
    if s.now.trap != "clear" and s.now.heating == "gas-plastic" and s.now.wanted == "heat":
        return "gurgle"
    if s.now.defrost == "now":
        return "steam"
    starved = s.now.filter != "clean" or s.now.grilles != "open"
    return "whistle" if starved and s.now.heating in DUCTED else "ticks"


def _works_now(s: Scene) -> Sensed:
    if delivers(s.now):
        return "yes" if stops(s.now) else "never-stops"
    if screen(s.now) == "blank":
        return "nothing"
    return "no-heat" if s.now.wanted == "heat" else "no-cooling"


def _run_time(s: Scene) -> Sensed:
    """The shortest time from a start to a stop, by what gives the heat."""
    spells = [e for e in s.whole.indoor.spells if e.what in ("flame", "elements", "some-elements")]
    spells += [e for e in s.whole.outdoor.spells if e.what == "compressor"]
    if not spells:
        return "unsure"
    shortest = min(each.end - each.start for each in spells)
    if shortest <= SECONDS:
        return "seconds"
    return "minutes" if shortest <= MINUTES else "longer"


def _which_breaker(s: Scene) -> Sensed:
    if not s.found.labelled or s.found.breaker == "odd-panel":
        return "unsure"
    return "outdoor" if s.found.outdoor_breaker == "out-of-line" else "indoor"


def _water_where(s: Scene) -> Sensed:
    if water_high(s.now) or s.now.drain == "blocked":
        seen = 0.5 if s.now.pan or s.now.pump else 0.1
        return {"pan": seen, "outside-drip": 0.2, "ceiling": 0.8 - seen}
    if s.now.coil == "ice":
        return {"pan": 0.4, "nothing": 0.6}
    return "nothing"


def _flooded(s: Scene) -> Sensed:
    return "stood" if ("water", "at-wires") in s.found.signs else "none"


def _outdoor_hit(s: Scene) -> Sensed:
    if s.found.cooling not in ("air-conditioner", "heat-pump"):
        return "none-there"
    if s.found.surroundings == "tilted-or-hit" or s.found.cable == "damaged":
        return {"hit": 0.7, "not-seen": 0.3}
    return {"as-always": 0.7, "not-seen": 0.3}


def _served_by(s: Scene) -> Sensed:
    others = {"boiler": "water", "baseboard": "own-dial", "ductless": "wall-box"}
    return others.get(s.found.heating, "grille")


TOLD: Mapping[str, Callable[[Scene], Sensed]] = {
    "flooded": _flooded,
    "heat-or-cool": lambda s: s.found.wanted,
    "noise": noise,
    "outdoor-hit": _outdoor_hit,
    "outdoor-job": lambda s: s.found.wanted,
    "run-time": _run_time,
    "served-by": _served_by,
    "smell": _smell,
    "smell-fades": _smell_fades,
    "water-where": _water_where,
    "which-breaker": _which_breaker,
    "works-now": _works_now,
}
"""Finding -> how a person meets it."""
