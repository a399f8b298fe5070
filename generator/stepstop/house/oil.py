"""The oil burner of a warm-air furnace: motor and spark together, flame in time or a lock-out.

Common practice, no source; see `pace` for the times. Oil comes at once or after a wait. A cell that
looks for light must see the flame within the safety time, or the burner locks out, which only its
button ends. That button is never pressed on a walk.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import Story, Teller, begun
from stepstop.house.wiring import blower_called, line_power, signals


def oil_burns(house: House) -> bool:
    """Whether a flame lights: oil that is fit to burn reaches the nozzle, and a spark is there."""
    return house.tank == "filled" and house.oil == "good" and house.burner == "good"


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
    return _oil_heat(house, teller, blows=blows)


def burner_start(house: House, teller: Teller) -> bool:
    """Tell one start of the burner, up to a flame that is seen; False if it ends in a lock-out.

    The clock stands where the flame lights, or where the lock-out comes.
    """
    pace = PACES[house.pace]
    burns = oil_burns(house)
    proved = burns and house.sensor
    teller.click()
    if house.burner != "dead":
        seconds = pace.oil_purge + (0.0 if proved else pace.oil_safety)
        teller.spell("burner-hum" if house.burner == "hum" else "burner", seconds)
    teller.wait(pace.oil_purge)
    teller.bang = teller.bang or (burns and house.burners == "late")
    if proved:
        return True
    if burns:
        teller.spell("flame", pace.oil_safety)
    teller.wait(pace.oil_safety)
    teller.click()
    return False


def _oil_heat(house: House, teller: Teller, *, blows: bool) -> Story:
    """Flame, the fan after it, and the heat guard if too little air moves, again and again."""
    pace = PACES[house.pace]
    seconds = until_hot(house, pace.oil_fan)
    while not teller.over:
        if not burner_start(house, teller):
            return teller.story(locked=True)
        teller.spell("burner", seconds)
        teller.spell("flame", seconds)
        if seconds > pace.oil_fan and not blows:
            fan = seconds - pace.oil_fan + pace.blower_off
            big_fan(house, teller, fan, since=teller.now + pace.oil_fan)
        teller.wait(seconds + pace.cool_down)
    return teller.story()
