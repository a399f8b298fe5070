"""What the checks of a walk do to a house: from the house as found to the house as it is now."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from stepstop.house.acts import NONE, Acts
from stepstop.house.house import House, edit
from stepstop.house.units import Doings, air, compressed, doings
from stepstop.house.wiring import asks, mode, screen, signals


@dataclass(frozen=True, slots=True)
class Scene:
    """What a person stands before: the house as found and as it is after their acts."""

    acts: Acts
    was: Doings
    whole: Doings

    @property
    def found(self) -> House:
        """The house as it was found."""
        return self.was.house

    @property
    def now(self) -> House:
        """The house as it is."""
        return self.whole.house


@cache
def scene(house: House, acts: Acts) -> Scene:
    """The scene after `acts` in a house found as `house`."""
    was = doings(house)
    if acts == NONE:
        return Scene(acts, was, was)
    locked = was.indoor.locked or was.house.locked
    found = edit(was.house, locked=locked)
    return Scene(acts, was, doings(_changed(found, acts)))


def _changed(house: House, acts: Acts) -> House:
    for change in (_hands, _power, _outdoors, _thermostat):
        house = change(house, acts)
    return house


def _hands(house: House, acts: Acts) -> House:
    """Batteries, grilles, filter, panel, pipe ends."""
    sets: dict[str, Any] = {}
    if acts.batteries and takes_cells(house) and house.spare_batteries:
        sets |= {"cells": "good", "called": house.called if house.cells == "good" else "fresh"}
    if acts.grilles:
        sets |= {"grilles": "open", "zones": "good" if house.zones == "shut" else house.zones}
    if acts.filter and filter_reached(house) and house.filter == "dirty" and spare(house):
        sets["filter"] = "clean"
    if acts.panel and house.has_switch and house.panel_by_hand and house.panel_stays:
        sets["panel"] = "flush"
    if acts.modes:
        sets["heads"] = "alike"
    if acts.pipes and house.flue == "blocked":
        sets["flue"] = "clear"
    return edit(house, **sets)


def filter_reached(house: House) -> bool:
    """Whether a person gets at the filter: at a grille, or in a slot once the unit is off."""
    if house.heating == "ductless":
        return house.filter_place != "high-or-tool"
    return house.filter_place == "low-grille" or (house.filter_place == "slot" and house.has_switch)


def spare(house: House) -> bool:
    """Whether a clean filter can take the place of a dirty one; screens are rinsed."""
    return house.spare_filter or house.heating == "ductless"


def takes_cells(house: House) -> bool:
    """Whether the thermostat has a place for batteries."""
    return house.control.thermostat in ("batteries", "both")


def _power(house: House, acts: Acts) -> House:
    touched = house.labelled and house.breaker != "odd-panel"
    if touched and acts.breaker == "closed-once" and house.breaker != "in-line":
        held = "in-line" if house.breaker_holds else "out-of-line"
        house = _woken(house, breaker=held)
    elif touched and acts.breaker == "off":
        house = edit(house, breaker="fully-off")
    if not house.has_switch or house.switch == "odd":
        return house
    if acts.switch in ("back-on", "on-once", "cycled"):
        return _woken(house, switch="on")
    return edit(house, switch="off") if acts.switch == "off" else house


def _woken(house: House, **sets: Any) -> House:
    """The house with power given back; an oil burner's lock-out ends with its button only."""
    locked = house.locked and house.heating == "oil"
    return edit(house, called="fresh", locked=locked, **sets)


def _outdoors(house: House, acts: Acts) -> House:
    if not house.labelled:
        return house
    if acts.outdoor and house.surroundings == "smothered":
        house = edit(house, surroundings="free")
    if acts.outdoor_breaker == "off":
        return edit(house, outdoor_breaker="fully-off")
    if not acts.outdoor_breaker:
        return house
    holds = house.outdoor_holds and house.compressor != "dead"
    closed = "in-line" if holds else "out-of-line"
    state = closed if house.outdoor_breaker == "out-of-line" else house.outdoor_breaker
    return edit(house, outdoor_breaker=state, rested=False)


def _thermostat(house: House, acts: Acts) -> House:
    if acts.fan == "auto" and house.fan_settable and can_set(house):
        house = edit(house, fan="auto")
    if not acts.thermostat or not can_set(house):
        return house
    if acts.thermostat == "heat" and not acts.renewed and _asked_before(house):
        return edit(house, mode="heat")
    ends = house.call_clears and house.heating != "oil"
    rested = house.rested and acts.thermostat != "cool"
    asked = edit(house, mode=acts.thermostat, locked=house.locked and not ends, rested=rested)
    return asked if _heats_on(house, asked) else edit(asked, called="fresh")


def _asked_before(house: House) -> bool:
    """Whether heat was asked for all the while, so that asking for more begins nothing anew."""
    return asks(house) and mode(house) == "heat" and house.called == "long"


def _heats_on(before: House, after: House) -> bool:
    """Whether the unit hears a call for heat all the while, whatever the thermostat is set to."""
    off = after.mode == "off" and before.called == "long"
    return off and all({"W_IN", "W2_IN"} & signals(each).in_ for each in (before, after))


def can_set(house: House) -> bool:
    """Whether the thermostat answers to a finger."""
    return screen(house) != "blank" and house.thermostat_alive


@cache
def works(house: House, acts: Acts) -> bool:
    """Whether the house does what is wanted, and its fan stops when nothing is asked.

    What a walk has switched OFF at the thermostat may be asked for again; what it has left as
    found is taken as found. Ice that was told to melt has melted. Emergency heat is no mend.
    """
    now = scene(house, acts).now
    if acts.thawed and now.filter == "clean" and now.grilles == "open":
        now = edit(now, coil="clear", mode=now.wanted, called="fresh", rested=True)
    elif acts.thermostat not in ("", now.wanted):
        now = edit(now, mode=now.wanted, called="fresh", locked=now.locked)
    return delivers(now) and stops(now)


def delivers(house: House) -> bool:
    """Whether what is wanted is there ten, fifteen and twenty minutes after the call."""
    right = ("cold",) if house.wanted == "cool" else ("hot", "warm")
    whole = doings(edit(house, called="fresh"))
    enough = not house.undersized and house.ducts == "whole" and house.zones == "good"
    fed = house.heating != "ductless" or house.filter == "clean"
    moments = (600.0, 900.0, 1200.0)
    return (
        enough and fed and all(air(whole, at) in right for at in moments) and _pumped(house, whole)
    )


def _pumped(house: House, whole: Doings) -> bool:
    """Whether a heat pump heats by itself in frost: back-up heat alone isn't enough for long."""
    pump = house.heating == "heat-pump" and house.wanted == "heat" and house.weather == "frost"
    if not pump or house.mode == "emergency-heat" or house.defrost == "now":
        return True
    return compressed(whole, 1200.0)


def fan_stops(house: House) -> bool:
    """Whether the big fan stands still a quarter of an hour after OFF, its own choice as it is."""
    if not can_set(house):
        return not doings(house).indoor.at("blower", 900.0) or house.called == "fresh"
    return not after_off(house).indoor.at("blower", 900.0)


def stops(house: House) -> bool:
    """Whether all stands still then: fan, heat and the outdoor unit."""
    if not can_set(house):
        return fan_stops(house)
    quiet = after_off(house)
    indoors = any(quiet.indoor.at(what, 900.0) for what in ("blower", "flame", "elements", "pump"))
    return not indoors and not quiet.outdoor.at("outdoor-fan", 900.0)


def after_off(house: House) -> Doings:
    """What goes on from the moment that the mode is set to OFF."""
    return doings(edit(house, mode="off", called="fresh"))
