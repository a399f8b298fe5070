"""Electric heaters along the wall, switched by a thermostat on house power, one for each room.

Common practice, no source; see `pace` for the times.
"""

from __future__ import annotations

from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import HORIZON, Story, Teller
from stepstop.house.wiring import LONG, mode


def baseboard(house: House) -> Story:
    """The story of the heaters that fail or are well; other rooms have their own."""
    teller = Teller(-LONG if house.called == "long" else 0.0, HORIZON)
    teller.show("dark")
    if not (house.supply == "whole" and house.breaker == "in-line" and house.elements):
        return teller.story()
    if not _switched_on(house) or house.limit == "stuck":
        return teller.story()
    teller.click()
    if house.grilles == "open":
        teller.always("elements")
    else:
        # Curtains or furniture keep the heat in, and its heat guard opens by turns.
        pace = PACES[house.pace]
        teller.by_turns("elements", pace.hot, pace.warm, since=teller.now)
    return teller.story()


def _switched_on(house: House) -> bool:
    if house.mains_contact == "welded":
        return True
    calls = house.thermostat_alive and mode(house) == "heat"
    return calls and house.mains_contact == "good"


def one_room_only(house: House) -> bool:
    """Whether the heaters of other rooms are warm: each has its thermostat."""
    return house.heating == "baseboard" and house.heaters > 1 and house.supply == "whole"
