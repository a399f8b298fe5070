"""Where a house lets water out, and how somebody meets that water.

Chances are judgement, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

from stepstop.house.doing import Scene
from stepstop.house.house import House

Sensed = str | Mapping[str, float]
"""A finding's value as somebody meets it, or values with their chances."""

COOLING = ("pan", "spare", "drain", "ice")
"""Sources that give water while it cools."""
HEATING = ("trap", "humidifier")
"""Sources that give water while it heats."""
ABOVE = ("pan", "drain", "ice", "trap", "humidifier", "pump", "roof")
"""Sources whose water a ceiling below the unit shows."""


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


def stands(house: House) -> bool:
    """Whether water stands where somebody sees it without looking for it."""
    return "water" in dict(house.signs)


def water_where(s: Scene) -> Sensed:
    """The place where water shows that is no puddle; `nothing`: it has dried."""
    source = comes_from(s.found)
    if s.found.attic and source in ABOVE:
        return {"ceiling": 0.8, "nothing": 0.2}
    told: Mapping[str, Sensed] = {
        "roof": {"ceiling": 0.6, "nothing": 0.4},
        "spare": {"outside-drip": 0.9, "unsure": 0.1},
        "drain": {"pan": 0.6, "nothing": 0.3, "outside-drip": 0.1}
        if s.found.pan
        else {"nothing": 0.8, "outside-drip": 0.2},
        "pump": "pan",
        "ice": {"pan": 0.4, "nothing": 0.6} if s.found.pan else "nothing",
        "trap": "pan" if s.found.pump else "nothing",
    }
    return told.get(source, "nothing")


def water_when(s: Scene) -> Sensed:
    """What ran when the water came, as people tell it."""
    source = comes_from(s.found)
    if source in COOLING or (source == "pump" and s.found.wanted == "cool"):
        return "cooling"
    if source in (*HEATING, "pump"):
        return "heating"
    return {"neither": 0.8, "cooling": 0.1, "heating": 0.1}


def humidifier_box(s: Scene) -> Sensed:
    """The box with a water hose on a duct, from a dry place."""
    if s.found.leak == "humidifier":
        return {"wet": 0.8, "dry": 0.2}
    return "dry" if s.found.control.humidifier else "none"
