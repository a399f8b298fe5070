"""Ductless heads and baseboards: their starts, as far as a person meets them.

Common practice, no source; see `pace` for the times. A ductless system has electronics of its own,
no control circuit of letters.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import Story, begun
from stepstop.house.wiring import asks, mode


def ductless(house: House) -> Story:
    """The story of a ductless head and its outdoor unit."""
    pace = PACES[house.pace]
    teller = begun(house.called)
    powered = house.supply == "whole" and house.breaker == "in-line" and house.board != "dead"
    teller.show("steady" if powered else "dark")
    if powered and house.head == "code":
        teller.show("other")
        return teller.story()
    if house.heads == "opposed":
        return teller.story()
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
    teller = begun(house.called)
    teller.show("dark")
    powered = house.supply == "whole" and house.breaker == "in-line"
    if powered and house.thermostat_alive and mode(house) == "heat" and house.elements:
        teller.always("elements")
    return teller.story()
