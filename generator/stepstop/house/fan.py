"""The big fan as it is switched on, and the heat guard that watches whether it moves enough air.

Common practice, no source; see `pace` for the times.
"""

from __future__ import annotations

from math import inf

from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import Teller


def big_fan(house: House, teller: Teller, seconds: float, *, since: float | None = None) -> None:
    """Tell that the fan is switched on for `seconds`: it runs, hums or stops hot by turns."""
    start = teller.now if since is None else since
    if house.blower in ("good", "always"):
        teller.spell("blower", seconds, since=start)
    elif house.blower == "hum":
        teller.spell("blower-hum", seconds, since=start)
    elif house.blower == "overheats":
        rest = PACES[house.pace].fan_hot
        teller.by_turns("blower", rest, rest, since=start, until=start + seconds)


def until_hot(house: House, fan_after: float) -> float:
    """Seconds of heat until the guard opens, with the fan on after `fan_after`; inf if never."""
    pace = PACES[house.pace]
    if house.blower in ("dead", "hum"):
        return pace.hot
    if house.blower == "overheats":
        return fan_after + pace.fan_hot + pace.hot
    starved = house.filter != "clean" or house.grilles != "open" or house.coil == "ice"
    return pace.warm if starved else inf
