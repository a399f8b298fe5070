"""A ductless head on the wall and its outdoor unit: their own electronics, no circuit of letters.

Common practice, no source; see `pace` for the times. One breaker feeds the outdoor unit, and that
feeds the heads. A head that can't do what it is asked for shows a code; one that only has to wait
(its fan before a winter start, a defrost, another head in the opposite mode) shows that it waits.
"""

from __future__ import annotations

from math import inf

from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import HORIZON, Story, Teller
from stepstop.house.wiring import LONG, asks, fed_outside, mode


def head_powered(house: House) -> bool:
    """Whether the head has power."""
    return house.supply == "whole" and house.breaker == "in-line" and fed_outside(house)


def stands_by(house: House) -> bool:
    """Whether another head in the opposite mode keeps this one waiting: the first one counts."""
    return house.heads > 1 and house.others == "opposed"


def _asked(house: House) -> bool:
    return asks(house) and mode(house) in ("heat", "cool") and house.board != "dead"


def _teller(house: House) -> Teller:
    return Teller(-LONG if house.called == "long" else 0.0, HORIZON)


def _lost(house: House) -> bool:
    """Whether head and outdoor unit have given up on each other."""
    return house.locked or not house.link


def _stops_after(house: House) -> float:
    """Seconds that the outdoor unit runs until it gives up with a code; inf if it never does."""
    if not house.inverter or house.compressor != "good":
        return 0.0
    guarded = house.water_guard and house.drain == "blocked" and mode(house) == "cool"
    return PACES[house.pace].pressure_trip if guarded or not house.outdoor_fan else inf


def head(house: House) -> Story:
    """The story of the head: its lights, and its fan once there is heat or cold to blow."""
    teller = _teller(house)
    if not head_powered(house) or not _asked(house):
        teller.show("dark")
        return teller.story(locked=house.locked)
    if _lost(house):
        teller.show("code")
        return teller.story(locked=house.locked)
    if stands_by(house):
        teller.show("waiting")
        return teller.story()
    _blow(house, teller)
    return teller.story()


def _blow(house: House, teller: Teller) -> None:
    """The fan: still until there is heat, still while the outdoor unit melts its ice."""
    pace = PACES[house.pace]
    begun = teller.now + (0.0 if house.rested else pace.delay)
    ends = _stops_after(house)
    gives_up = begun + max(ends, pace.delay) if ends < inf else inf
    since = begun + pace.preheat if mode(house) == "heat" else teller.now
    melts, melted = _melting(house, begun)
    if melts <= since:
        since, melts, melted = max(since, melted), inf, inf
    lit = [(teller.now, "waiting"), (since, "steady"), (melts, "waiting"), (melted, "steady")]
    teller.light += [(at, what) for at, what in lit if at < min(gives_up, teller.end)]
    if gives_up < teller.end:
        teller.light.append((gives_up, "code"))
    for start, end in ((since, min(melts, gives_up)), (melted, gives_up)):
        if start < end:
            big_fan(house, teller, end - start, since=start)


def _melting(house: House, begun: float) -> tuple[float, float]:
    """From when to when a defrost goes on, told from the moment of the call or of the look."""
    if house.defrost != "now" or mode(house) != "heat":
        return inf, inf
    start = max(begun, 0.0)
    return start, start + PACES[house.pace].defrost


def outdoor_half(house: House) -> Story:
    """The story of the outdoor unit; it works for the other heads, too."""
    teller = _teller(house)
    if not head_powered(house):
        return teller.story()
    if stands_by(house):
        if not _stops_after(house) < inf:
            teller.always("compressor")
            teller.always("outdoor-fan")
        return teller.story()
    if not _asked(house) or _lost(house):
        return teller.story()
    teller.wait(0.0 if house.rested else PACES[house.pace].delay)
    _run(house, teller)
    return teller.story()


def _run(house: House, teller: Teller) -> None:
    seconds = _stops_after(house)
    starved = min(until_hot(house, 0.0), _smothered(house))
    if seconds < inf:
        teller.spell("compressor", seconds)
        if house.outdoor_fan:
            teller.spell("outdoor-fan", seconds)
    elif starved < inf:
        for motor in ("compressor", "outdoor-fan"):
            teller.by_turns(motor, starved, PACES[house.pace].cool_down, since=teller.now)
    else:
        teller.always("compressor")
        _fan(house, teller)


def _smothered(house: House) -> float:
    """Seconds that it runs in its own hot air until it stops."""
    hot = house.surroundings == "smothered" and house.weather == "hot" and mode(house) == "cool"
    return PACES[house.pace].pressure_trip if hot else inf


def _fan(house: House, teller: Teller) -> None:
    begins, ends = _melting(house, teller.now)
    teller.spell("outdoor-fan", min(begins, teller.end) - teller.now)
    if ends < inf:
        teller.spell("outdoor-fan", inf, since=ends)
