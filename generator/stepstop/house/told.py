"""What only the pages of one complaint ask: smells, noises, where water shows, how long it runs.

Shares where people differ are judgement, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from stepstop.house.boiler import drawn, lights
from stepstop.house.doing import Scene, delivers, filter_reached, stops
from stepstop.house.gas import pilot_burns
from stepstop.house.house import DUCTED, SPLIT
from stepstop.house.story import LONG, Story
from stepstop.house.water import Sensed, humidifier_box, water_where
from stepstop.house.wiring import screen

Sense = Callable[[Scene], Sensed]

LOOK = 560.0
"""When somebody who has waited at a grille stands at the unit, in seconds after the call."""

STANDING = (LOOK, LOOK + 300.0)
"""While a person stands at the unit, in seconds after the call."""
HEARD = 0.5
"""Share of people who heard an oil burner's last start where it can be heard; judgement."""
FOGGED = 0.8
"""Share of people who notice fogged windows or stuffy air of a blocked chimney; judgement."""
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


def _flooded(s: Scene) -> Sensed:
    return "stood" if ("water", "at-wires") in s.found.signs else "none"


def _outdoor_hit(s: Scene) -> Sensed:
    if s.found.cooling not in SPLIT:
        return "none-there"
    if s.found.surroundings == "tilted-or-hit" or s.found.cable == "damaged":
        return {"hit": 0.7, "not-seen": 0.3}
    return {"as-always": 0.7, "not-seen": 0.3}


def _served_by(s: Scene) -> Sensed:
    others = {"boiler": "water", "baseboard": "own-dial", "ductless": "wall-box"}
    return others.get(s.found.heating, "grille")


# ---- oil, small flames, boilers ----


def _oil_smell(s: Scene) -> Sensed:
    """A burner that sprayed and did not light, or lit late, leaves oil behind."""
    pumped = s.found.tank == "filled" and s.found.oil != "air"
    unlit = s.found.burner == "no-spark" or s.found.oil == "bad" or s.found.burners == "late"
    return {"smell": 0.1, "none": 0.9} if pumped and unlit else "none"


def _red_button(s: Scene) -> Sensed:
    out = s.now.locked or s.whole.indoor.locked
    return {"out": 0.9, "not-seen": 0.1} if out else {"in": 0.9, "not-seen": 0.1}


def _burner_sounds(s: Scene) -> Sensed:
    told = s.whole.indoor
    if told.seconds("burner-hum", *STANDING):
        return "hums"
    runs = told.longest("burner", *STANDING)
    if runs > SECONDS:
        return "runs"
    return "starts-stops" if runs else "silent"


def _oil_gauge(s: Scene) -> Sensed:
    """It is read only where the tank stands indoors."""
    if s.found.gauge == "none" or s.found.tank_place != "indoors":
        return "none-found"
    shown = "empty" if s.found.tank == "empty" and s.found.gauge == "right" else "some"
    return {shown: 0.9, "none-found": 0.1}


def _oil_last_start(s: Scene) -> Sensed:
    """What was heard of the start that ended in the lock-out, before anybody went to look."""
    past = s.was.indoor
    if not (s.found.audible and past.locked):
        return "not-heard"
    heard = _burner_ran(past)
    return {heard: HEARD, "not-heard": 1.0 - HEARD} if heard else "not-heard"


def _burner_ran(told: Story) -> str:
    """How far a start of an oil burner got that did not last; empty if nothing was to be heard."""
    if told.seconds("burner-hum", -LONG, 0.0):
        return "hums"
    if told.seconds("flame", -LONG, 0.0):
        return "flame-seconds"
    return "no-roar" if told.seconds("burner", -LONG, 0.0) else ""


def _pilot_flame(s: Scene) -> Sensed:
    shown = "lit" if pilot_burns(s.now) else "out"
    return {shown: 0.85, "not-seen": 0.15}


def _stuffy_air(s: Scene) -> Sensed:
    return {"seen": FOGGED, "none": 1.0 - FOGGED} if s.now.chimney == "blocked" else "none"


def _main_flame(s: Scene) -> Sensed:
    return "lights" if s.whole.indoor.seconds("flame", *STANDING) else "small-only"


def _boiler_danger(s: Scene) -> Sensed:
    return "yes" if s.now.water_side == "over" else "none"


def _boiler_pipe(s: Scene) -> Sensed:
    return "hot" if s.whole.indoor.at("flame", LOOK) else "cold"


def _boiler_screen(s: Scene) -> Sensed:
    if s.found.boiler != "condensing":
        return "none"
    if s.whole.indoor.light_at(LOOK) == "dark":
        return "dark"
    asked = s.now.water_side not in ("good", "zone-shut") or not drawn(s.now) or not lights(s.now)
    return "code" if asked else "normal"


def _boiler_water(s: Scene) -> Sensed:
    shown = {"low": "low", "high": "high"}.get(s.now.water_side, "usual")
    return {shown: 0.9, "none-found": 0.1}


# ---- wall units ----


def _head_modes(s: Scene) -> Sensed:
    if s.found.heads == "opposed":
        return "mixed"
    return {"one": 0.5, "same": 0.5}


def _head_lights(s: Scene) -> Sensed:
    light = s.whole.indoor.light_at(LOOK)
    return {"dark": "dark", "steady": "steady"}.get(light, "blinks")


def _head_air(s: Scene) -> Sensed:
    if not s.whole.indoor.at("blower", 900.0):
        return "none"
    return "weak" if s.now.filter != "clean" else "strong"


def _screens(s: Scene) -> Sensed:
    if not filter_reached(s.found):
        return "not-done"
    return "were-clean" if s.found.filter == "clean" else "rinsed"


TOLD: Mapping[str, Sense] = {
    "boiler-danger": _boiler_danger,
    "boiler-escape": _boiler_danger,
    "boiler-pipe": _boiler_pipe,
    "boiler-screen": _boiler_screen,
    "boiler-water": _boiler_water,
    "burner-sounds": _burner_sounds,
    "cold-where": lambda s: "all" if s.now.zones == "good" else "part",
    "flooded": _flooded,
    "head-after": lambda s: "works" if delivers(s.now) else "no-change",
    "head-air": _head_air,
    "head-lights": _head_lights,
    "head-modes": _head_modes,
    "heat-or-cool": lambda s: s.found.wanted,
    "humidifier-box": humidifier_box,
    "main-flame": _main_flame,
    "noise": noise,
    "oil-delivery": lambda s: s.found.delivery,
    "oil-gauge": _oil_gauge,
    "oil-last-start": _oil_last_start,
    "oil-smell": _oil_smell,
    "outdoor-hit": _outdoor_hit,
    "outdoor-job": lambda s: s.found.wanted,
    "pilot-flame": _pilot_flame,
    "red-button": _red_button,
    "room-air-after": lambda s: "same" if s.now.zones == "good" else "less",
    "run-time": _run_time,
    "screens-result": _screens,
    "served-by": _served_by,
    "smell": _smell,
    "smell-fades": _smell_fades,
    "stuffy-air": _stuffy_air,
    "tank-place": lambda s: s.found.tank_place,
    "water-where": water_where,
    "which-breaker": _which_breaker,
    "works-now": _works_now,
}
"""Finding -> how a person meets it."""
