"""Boilers, ductless heads, baseboards: their starts, as far as a person meets them.

Common practice, no source; see `pace` for the times. Boiler: zone, guards, ignition, pump.
Ductless: its own electronics, no control circuit of letters.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import HORIZON, Story, Teller
from stepstop.house.wiring import LONG, asks, line_power, mode, signals


def _teller(house: House) -> Teller:
    return Teller(-LONG if house.called == "long" else 0.0, HORIZON)


def boiler(house: House) -> Story:
    """The story of a gas boiler with a zone valve and a pump; warm water stands for warm air."""
    pace = PACES[house.pace]
    teller = _teller(house)
    seen = signals(house)
    powered = line_power(house) and house.board != "dead" and "LOGIC" in seen.in_
    teller.show(house.idle_light if powered else "dark")
    if not (powered and "W_IN" in seen.in_) or house.locked:
        return teller.story(locked=house.locked)
    teller.wait(pace.thermostat if house.called == "fresh" else 0.0)
    teller.wait(pace.zone)
    guards = house.water_side != "low" and house.chimney == "clear" and house.limit == "good"
    lit = house.gas and house.igniter and house.pilot == "lit" and house.valve == "good"
    teller.click()
    if not (guards and lit):
        return teller.story(locked=guards)
    teller.wait(pace.purge)
    teller.always("flame")
    if house.water_side == "good":
        teller.always("pump")
    return teller.story()


def ductless(house: House) -> Story:
    """The story of a ductless head and its outdoor unit."""
    pace = PACES[house.pace]
    teller = _teller(house)
    powered = house.supply == "whole" and house.breaker == "in-line" and house.board != "dead"
    teller.show("steady" if powered else "dark")
    if not powered or not asks(house) or mode(house) == "off":
        return teller.story()
    if not house.rested:
        teller.wait(pace.delay)
    if house.compressor == "good" and house.capacitor and house.outdoor_fan:
        teller.always("compressor")
        teller.always("outdoor-fan")
    if mode(house) == "heat":
        teller.wait(pace.preheat)
    big_fan(house, teller, inf)
    return teller.story()


def baseboard(house: House) -> Story:
    """The story of electric heaters along the wall, switched by a thermostat on house power."""
    teller = _teller(house)
    teller.show("dark")
    powered = house.supply == "whole" and house.breaker == "in-line"
    if powered and house.thermostat_alive and mode(house) == "heat" and house.elements:
        teller.always("elements")
    return teller.story()
