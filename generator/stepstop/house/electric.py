"""Electric heat and the indoor half of a heat pump: sequencer, elements, blower.

Common practice, no source; see `pace` for the times.
"""

from __future__ import annotations

from math import inf

from stepstop.house.control import Settled
from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import Story, Teller, begun
from stepstop.house.wiring import blower_called, calm_light, line_power, signals


def air_handler(house: House) -> Story:
    """The story of an electric furnace or air handler."""
    teller = begun(house.called)
    powered = line_power(house) and house.board != "dead"
    seen = signals(house)
    alive = powered and "LOGIC" in seen.in_
    teller.show(_light(house, seen) if alive else "dark")
    stuck = powered and house.sequencer == "stuck"
    blows = (
        stuck or (powered and house.blower == "always") or (alive and blower_called(house, seen))
    )
    if blows:
        big_fan(house, teller, inf)
    if stuck:
        _heat(house, teller)
    elif alive and _heat_called(seen):
        _sequence(house, teller, blows=blows)
    return teller.story()


def _light(house: House, seen: Settled) -> str:
    low = "F1" in house.control.opens or "LOGIC" in seen.weak
    return "low-voltage" if low else calm_light(house, seen)


def _heat_called(seen: Settled) -> bool:
    return bool({"W_IN", "W2_IN"} & seen.in_)


def _sequence(house: House, teller: Teller, *, blows: bool) -> None:
    """A call for heat: the blower starts with the first stage, whether that heats or not."""
    pace = PACES[house.pace]
    teller.wait(pace.thermostat if house.called == "fresh" else 0.0)
    teller.wait(pace.sequencer)
    if not blows:
        big_fan(house, teller, inf)
    if house.sequencer == "good":
        _heat(house, teller)


def _heat(house: House, teller: Teller) -> None:
    """Stage after stage heats, until the heat guards open and close by turns."""
    share = house.elements * house.heat_breakers
    if not share:
        return
    pace = PACES[house.pace]
    whole = "elements" if share >= 1.0 else "some-elements"
    seconds = until_hot(house, 0.0)
    while not teller.over:
        first = min(pace.stage, seconds)
        teller.spell("some-elements", first)
        teller.spell(whole, seconds - first, since=teller.now + first)
        teller.wait(seconds)
        if not teller.over:
            teller.click()
        teller.wait(pace.cool_down)
