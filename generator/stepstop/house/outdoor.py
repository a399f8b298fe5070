"""The outdoor unit of an air conditioner or heat pump: contactor, motors, guards, ice.

Common practice, no source; see `pace` for the times.
"""

from __future__ import annotations

from math import inf

from stepstop.house.control import Settled
from stepstop.house.house import PUMPS, House
from stepstop.house.pace import PACES
from stepstop.house.story import Story, Teller, begun
from stepstop.house.wiring import mode, signals


def outdoor_power(house: House) -> bool:
    """Whether line power reaches the contactor."""
    feeds = house.supply == "whole" and house.outdoor_breaker == "in-line"
    return feeds and house.pullout == "in-place" and house.outdoor_fuses


def outdoor_unit(house: House) -> Story:
    """The story of the outdoor unit."""
    teller = begun(house.called)
    pulled = _pulled(house, signals(house))
    if pulled == "chatter":
        teller.always("outdoor-chatter")
    if pulled != "in" or not outdoor_power(house):
        return teller.story()
    teller.wait(0.0 if house.rested or house.contactor == "welded" else PACES[house.pace].delay)
    _run(house, teller)
    return teller.story()


def _pulled(house: House, seen: Settled) -> str:
    """What the contactor does: in, out, chatter. Its coil lives on the indoor unit's supply."""
    if house.contactor == "welded":
        return "in"
    if house.contactor == "open" or house.board == "dead":
        return "out"
    pulled = "CC" in seen.in_
    if "CC" in seen.chatter | seen.weak or (pulled and house.contactor == "chatter"):
        return "chatter"
    return "in" if pulled else "out"


def _run(house: House, teller: Teller) -> None:
    """The contactor is in: both motors start, or one, or a hum; guards stop them by turns."""
    fan = house.outdoor_fan and house.capacitor
    compressor = house.compressor == "good" and house.capacitor
    teller.click()
    if not compressor:
        if house.compressor != "dead":
            teller.always("outdoor-hum")
        if fan:
            teller.always("outdoor-fan")
    elif not fan:
        _by_turns(house, teller, ["compressor"])
    elif house.defrost == "now" and house.heating in PUMPS:
        teller.always("compressor")
        _defrost(house, teller)
    elif _guarded(house):
        _by_turns(house, teller, ["compressor", "outdoor-fan"])
    else:
        teller.always("compressor")
        teller.always("outdoor-fan")


def _guarded(house: House) -> bool:
    """Whether the pressure guard opens again and again; it lets the whole unit go."""
    smothered = house.surroundings == "smothered" and house.wanted == "cool"
    return house.pressure == "trips" or (smothered and house.weather == "hot")


def _by_turns(house: House, teller: Teller, motors: list[str]) -> None:
    pace = PACES[house.pace]
    while not teller.over:
        for motor in motors:
            teller.spell(motor, pace.pressure_trip)
        teller.wait(pace.pressure_trip)
        teller.click()
        teller.wait(pace.cool_down)


def _defrost(house: House, teller: Teller) -> None:
    """The fan rests from the moment of the call, or of the look, and runs before and after."""
    begins = max(teller.now, 0.0)
    teller.spell("outdoor-fan", begins - teller.now)
    teller.spell("outdoor-fan", inf, since=begins + PACES[house.pace].defrost)


def direction(house: House) -> str:
    """What a running compressor does for the rooms: heats or cools."""
    if house.heating == "ductless":
        return mode(house) if mode(house) in ("heat", "cool") else house.wanted
    if house.heating not in PUMPS:
        return "cool"
    if house.reversing == "stuck":
        return "heat" if house.wanted == "cool" else "cool"
    energised = "RV" in signals(house).in_
    return "cool" if energised == (house.control.valve == "O") else "heat"
