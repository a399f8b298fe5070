"""The whole house at work: which story each of its units tells, and the air that comes of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from stepstop.house.boiler import boiler
from stepstop.house.electric import air_handler
from stepstop.house.gas import furnace, standing_pilot
from stepstop.house.house import DUCTED, FURNACES, SPLIT, House
from stepstop.house.oil import oil_burner
from stepstop.house.others import baseboard, ductless
from stepstop.house.outdoor import direction, outdoor_unit
from stepstop.house.pace import PACES
from stepstop.house.story import Story
from stepstop.house.wiring import burnt

SWITCHED = (*SPLIT, "one-box")
"""Kinds of cooling whose compressor is switched by a contactor."""


@dataclass(frozen=True, slots=True)
class Doings:
    """A house at work: its indoor and outdoor stories, and the house after them.

    A ductless system has one story, told for both of its halves.
    """

    house: House
    indoor: Story
    outdoor: Story


@cache
def doings(house: House) -> Doings:
    """What the units do; whatever melts has melted in the house that is given back."""
    house = burnt(house)
    indoor = _indoor(house)
    if house.heating == "ductless":
        return Doings(house, indoor, indoor)
    return Doings(house, indoor, outdoor_unit(house) if house.cooling in SWITCHED else Story())


def _indoor(house: House) -> Story:
    if house.heating in FURNACES:
        return furnace(house)
    tellers = {"gas-pilot": standing_pilot, "oil": oil_burner, "boiler": boiler}
    tellers |= {"ductless": ductless, "baseboard": baseboard}
    return tellers.get(house.heating, air_handler)(house)


def air(whole: Doings, moment: float) -> str:
    """Air at the grilles then: none, hot, warm, some-warmth, cold (cooled), room."""
    house = whole.house
    if house.heating in (*DUCTED, "ductless") and not _flows(whole, moment):
        return "none"
    if house.heating in ("boiler", "baseboard"):
        warm = whole.indoor.at("pump", moment) or whole.indoor.at("elements", moment)
        return "hot" if warm else "none"
    hot = _heat(whole, moment)
    cooled = compressed(whole, moment)
    if cooled and direction(house) == "cool":
        # Flame or all elements give more heat than a coil takes from the air.
        outdone = any(whole.indoor.at(what, moment) for what in ("flame", "elements"))
        return "hot" if hot and outdone else "room" if hot else "cold"
    if hot:
        return hot
    return "warm" if cooled else "room"


def _flows(whole: Doings, moment: float) -> bool:
    return whole.indoor.at("blower", moment) and whole.house.coil != "ice"


def _heat(whole: Doings, moment: float) -> str:
    """Heat from flame or elements: it is there until a while after they end."""
    lag = PACES[whole.house.pace].blower_on + 15.0
    flame = whole.indoor.at("flame", moment) or whole.indoor.at("flame", moment - lag)
    long_enough = whole.indoor.longest("flame", moment - 600.0, moment) >= lag
    if (flame and long_enough) or whole.indoor.at("elements", moment):
        return "hot"
    return "some-warmth" if whole.indoor.at("some-elements", moment) else ""


def compressed(whole: Doings, moment: float) -> bool:
    """Whether the refrigerant circuit moves heat well enough to be felt."""
    house = whole.house
    runs = whole.outdoor.longest("compressor", moment - 180.0, moment) >= 120.0
    fan = whole.outdoor.at("outdoor-fan", moment)
    smothered = house.surroundings == "smothered" and house.weather == "hot"
    iced = house.outdoor_ice in ("solid-ice", "snowed-in") and house.weather == "frost"
    return runs and house.charge == "full" and fan and not smothered and not iced
