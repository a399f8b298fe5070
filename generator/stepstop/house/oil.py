"""The oil burner of a warm-air furnace: motor and spark together, flame in time or a lock-out.

Common practice, no source; see `pace` for the times. Flame is seen within the safety time, or the
burner locks out, which only its button ends. That button is never pressed on a walk.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import Story, Teller, begun
from stepstop.house.wiring import blower_called, line_power, signals


def oil_burner(house: House) -> Story:
    """The story of an oil-fired furnace."""
    teller = begun(house.called)
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
    if house.burner == "dead":
        return teller.story()
    if house.oil != "good" or not house.sensor or house.burner == "hum":
        return _oil_lock_out(house, teller)
    return _oil_heat(house, teller, blows=blows)


def _oil_lock_out(house: House, teller: Teller) -> Story:
    """No flame is seen within the safety time: the red button comes out."""
    seconds = PACES[house.pace].oil_safety
    teller.spell("burner" if house.burner == "good" else "burner-hum", seconds)
    if house.oil == "good" and house.burner == "good":
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
