"""Oil heat: a gun burner with its safety time and red button, and a warm-air furnace round it.

Common practice, no source; see `pace` for the times. Motor and spark start together, oil comes at
once or after a wait, and a cell that looks for light must see the flame within the safety time. If
it doesn't, the burner locks out, and only its red button ends that; no page asks to press it.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import HORIZON, Story, Teller
from stepstop.house.wiring import LONG, blower_called, line_power, signals


def oil_burns(house: House) -> bool:
    """Whether a flame lights: oil that is fit to burn reaches the nozzle, and a spark is there."""
    return house.tank != "empty" and house.oil == "good" and house.burner == "good"


def burner_start(house: House, teller: Teller) -> bool:
    """Tell one start of the burner, up to a flame that is seen; False if it ends in a lock-out.

    The clock stands where the flame lights, or where the lock-out comes. For furnace and boiler.
    """
    pace = PACES[house.pace]
    burns = oil_burns(house)
    proved = burns and _seen(house)
    teller.click()
    _motor(house, teller, pace.oil_purge + (0.0 if proved else pace.oil_safety))
    teller.wait(pace.oil_purge)
    teller.bang = teller.bang or (burns and house.burners == "late")
    if proved:
        return True
    if burns:
        teller.spell("flame", pace.oil_safety)
    teller.wait(pace.oil_safety)
    teller.click()
    return False


def _seen(house: House) -> bool:
    """Whether the cell sees the flame; soot from a chimney that does not draw blinds it."""
    return house.sensor and house.chimney == "clear"


def _motor(house: House, teller: Teller, seconds: float) -> None:
    """The motor turns, or hums, or does nothing."""
    if house.burner != "dead":
        teller.spell("burner-hum" if house.burner == "hum" else "burner", seconds)


def burner_asked(house: House) -> bool:
    """Whether power and a call reach the burner, and nothing holds it back."""
    free = house.limit == "good" and house.board != "dead" and not house.locked
    return free and line_power(house) and "W_IN" in signals(house).in_


def oil_furnace(house: House) -> Story:
    """The story of an oil-fired warm-air furnace."""
    teller = Teller(-LONG if house.called == "long" else 0.0, HORIZON)
    teller.show("dark")
    blows = house.blower == "always" or blower_called(house, signals(house))
    blows = blows and line_power(house)
    if blows:
        big_fan(house, teller, inf)
    if not burner_asked(house):
        return teller.story(locked=house.locked)
    teller.wait(PACES[house.pace].thermostat if house.called == "fresh" else 0.0)
    return _heat(house, teller, blows=blows)


def _heat(house: House, teller: Teller, *, blows: bool) -> Story:
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
