"""What a house smells of: the one smell that a person would name, by what gets hot or stays wet."""

from __future__ import annotations

from stepstop.house.story import HORIZON
from stepstop.house.units import Doings


def smell(whole: Doings) -> str:
    """The smell in the words of the finding `smell-kind`, the most dangerous first."""
    house = whole.house
    if ("gas-smell", "gas-or-exhaust") in house.signs:
        return "gas-or-fumes"
    if house.scorched:
        return "electrical"
    if house.heating == "oil" and house.oil == "no-flame":
        return "oil"
    if house.dust and _heats(whole):
        return "dusty"
    wet = whole.outdoor.seconds("compressor", 0.0, HORIZON) > 0.0
    return "musty" if house.coil == "slimy" and wet else "other"


def _heats(whole: Doings) -> bool:
    hot = ("flame", "elements", "some-elements")
    return any(whole.indoor.seconds(what, 0.0, HORIZON) > 0.0 for what in hot)
