"""Oil burners and boilers: their starts, as far as a person meets them.

Common practice, no source; see `pace` for the times. Oil: motor and spark together, flame seen
within the safety time or a lock-out that only its button ends. Boiler: zone, guards, ignition,
pump.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import HORIZON, Story, Teller
from stepstop.house.wiring import LONG, blower_called, line_power, signals


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
