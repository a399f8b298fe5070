"""Boilers: zone, guards, ignition, pump; warm water stands for warm air.

Four sorts: cast iron on gas, condensing, on oil, and steam. Common practice, no source; see `pace`
for the times.
"""

from __future__ import annotations

from stepstop.house.house import House
from stepstop.house.oil import oil_burns
from stepstop.house.pace import PACES
from stepstop.house.story import Story, begun
from stepstop.house.wiring import line_power, signals

BOARDS = ("gas", "condensing")
"""Sorts of boiler whose light tells what failed."""
GUARDED = ("low", "high", "over")
"""Water and pressure with which a guard keeps the burner off."""


def boiler(house: House) -> Story:
    """The story of a boiler with a zone valve and a pump."""
    pace = PACES[house.pace]
    teller = begun(house.called)
    seen = signals(house)
    powered = line_power(house) and house.board != "dead" and "LOGIC" in seen.in_
    teller.show(house.idle_light if powered else "dark")
    if not (powered and "W_IN" in seen.in_) or house.locked:
        return teller.story(locked=house.locked)
    teller.wait(pace.thermostat if house.called == "fresh" else 0.0)
    teller.wait(pace.zone)
    if house.water_side == "zone-shut":
        return teller.story()
    guards = house.water_side not in GUARDED and house.limit == "good"
    teller.click()
    if not (guards and drawn(house) and lights(house)):
        teller.show(_told(house))
        return teller.story(locked=guards and drawn(house))
    teller.wait(pace.purge)
    teller.always("flame")
    if house.water_side == "good":
        teller.always("pump")
    return teller.story()


def _told(house: House) -> str:
    """What the light says of a start that failed; without a board of its own it only shines."""
    if house.boiler not in BOARDS:
        return house.idle_light
    if house.water_side in GUARDED:
        return "boiler-water"
    if house.limit != "good":
        return "limit"
    return "ignition" if drawn(house) else "pressure"


def drawn(house: House) -> bool:
    """Whether fumes get out, and the water of a condensing boiler too."""
    ends = house.boiler != "condensing" or (house.flue == "clear" and house.trap == "clear")
    return house.chimney == "clear" and ends


def lights(house: House) -> bool:
    """Whether its burner lights and its flame is noticed."""
    if house.boiler == "oil":
        return oil_burns(house) and house.sensor
    return house.gas and house.igniter and house.pilot == "lit" and house.valve == "good"
