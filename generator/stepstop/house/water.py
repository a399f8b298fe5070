"""Where a house lets water out, and how somebody meets that water.

Chances are judgement, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

from stepstop.house.doing import Scene
from stepstop.house.house import PUMPS, House

Sensed = str | Mapping[str, float]

COOLING = ("pan", "spare", "drain", "ice")
"""Sources that give water while it cools."""
HEATING = ("trap", "humidifier")
"""Sources that give water while it heats."""


def comes_from(house: House) -> str:
    """What lets water out: flood, roof, humidifier, pan, spare, drain, pump, ice, trap or nothing.

    `spare`: a blocked drain whose spare pipe drips outdoors.
    """
    if house.leak:
        return house.leak
    cools = house.wanted == "cool"
    if cools and house.drain != "clear":
        return "spare" if house.drain == "spare" else "drain"
    if house.pump and not house.pump_works:
        return "pump"
    if cools and house.coil == "ice":
        return "ice"
    return "trap" if house.heating == "gas-plastic" and house.trap != "clear" else ""


def water_where(s: Scene) -> Sensed:
    """The place where water is seen first."""
    source = comes_from(s.found)
    if s.found.attic and source in ("pan", "drain", "ice", "trap", "humidifier", "pump"):
        return {"ceiling": 0.8, "floor": 0.2}
    told: Mapping[str, Sensed] = {
        "flood": "floor",
        "roof": {"rain": 0.6, "floor": 0.4},
        "humidifier": "floor",
        "pan": "floor",
        "spare": "outdoors",
        "drain": {"tray": 0.6, "floor": 0.3, "outdoors": 0.1},
        "pump": "tray",
        "ice": {"ice": 0.5, "floor": 0.5},
        "trap": "tray" if s.found.pump else "floor",
    }
    return told.get(source) or _elsewhere(s.found)


def _elsewhere(house: House) -> Sensed:
    """Water of a house whose unit leaks none."""
    if house.heating == "boiler":
        return "pipes"
    if house.cooling == "ductless":
        return "wall-box"
    wets = house.wanted == "cool" or house.heating in PUMPS
    return {"outdoors": 0.6, "unsure": 0.4} if wets else "unsure"


def ceiling_wet(s: Scene) -> Sensed:
    """Whether a ceiling shows the water of a unit above it."""
    if not s.found.attic or comes_from(s.found) in ("", "spare", "flood"):
        return "none"
    return {"drips": 0.4, "stain": 0.6}


def water_when(s: Scene) -> Sensed:
    """What ran when the water came, as people tell it."""
    source = comes_from(s.found)
    if source in COOLING or (source == "pump" and s.found.wanted == "cool"):
        return "cooling"
    if source in (*HEATING, "pump"):
        return "heating"
    return {"neither": 0.8, "cooling": 0.1, "heating": 0.1}


def stood_in_water(s: Scene) -> Sensed:
    """Whether water has stood up to the unit, or came in near it."""
    return {"flood": "reached", "roof": "near"}.get(s.found.leak, "none")


def humidifier_box(s: Scene) -> Sensed:
    """The box with a water hose on a duct."""
    if s.found.leak == "humidifier":
        return {"wet": 0.8, "dry": 0.2}
    return "dry" if s.found.control.humidifier else "none"
