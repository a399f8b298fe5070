"""Oil burners, ductless heads, baseboards: their starts, as far as a person meets them.

Common practice, no source; see `pace` for the times. Oil: motor and spark together, flame seen
within the safety time or a lock-out that only its button ends. Ductless: its own electronics, no
control circuit of letters.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import HORIZON, Story, Teller
from stepstop.house.wiring import LONG, asks, blower_called, line_power, mode, signals


def _teller(house: House) -> Teller:
    return Teller(-LONG if house.called == "long" else 0.0, HORIZON)


def oil_burner(house: House) -> Story:
    """The story of an oil-fired furnace."""
    teller = _teller(house)
    teller.show("dark")
    if not line_power(house):
        return teller.story()
    seen = signals(house)
    blows = house.blower == "always" or blower_called(house, seen)
    if blows:
        big_fan(house, teller, inf)
    if house.locked or house.board == "dead" or "W_IN" not in seen.in_:
        return teller.story(locked=house.locked)
    teller.wait(PACES[house.pace].thermostat if house.called == "fresh" else 0.0)
    if house.oil != "good" or not house.sensor:
        return _oil_lock_out(house, teller)
    return _oil_heat(house, teller, blows=blows)


def _oil_lock_out(house: House, teller: Teller) -> Story:
    """No flame is seen within the safety time: the red button comes out."""
    seconds = PACES[house.pace].oil_safety
    teller.spell("burner", seconds)
    if house.oil == "good":
        teller.spell("flame", seconds)
    teller.wait(seconds)
    teller.click()
    return teller.story(locked=True)


def _oil_heat(house: House, teller: Teller, *, blows: bool) -> Story:
    """Flame at once, the fan after it, and the heat guard if too little air moves."""
    pace = PACES[house.pace]
    seconds = until_hot(house, pace.oil_fan)
    while not teller.over:
        teller.click()
        teller.spell("burner", seconds)
        teller.spell("flame", seconds)
        if seconds > pace.oil_fan and not blows:
            fan = seconds - pace.oil_fan + pace.blower_off
            big_fan(house, teller, fan, since=teller.now + pace.oil_fan)
        teller.wait(seconds + pace.cool_down)
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
