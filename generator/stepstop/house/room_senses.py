"""What a person meets at a wall box with a remote, at heaters with a dial, in one room alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from stepstop.house.baseboard import one_room_only
from stepstop.house.doing import Scene, after_off, delivers, filter_reached, takes_cells
from stepstop.house.ductless import head_powered
from stepstop.house.house import FURNACES, House
from stepstop.house.units import air
from stepstop.house.wiring import screen

Sensed = str | Mapping[str, float]

MINUTES = tuple(60.0 * minute for minute in (3, 5, 7, 9, 11, 13, 15))
"""When somebody who asks and waits for fifteen minutes feels the air, in seconds."""
LIGHTS = 960.0
"""When the same person reads the lights."""


# ---- wall box with a remote ----


def _hears(house: House) -> bool:
    """Whether the head answers the remote with a beep."""
    remote = screen(house) in ("on", "battery-sign") and takes_cells(house)
    return remote and head_powered(house) and house.board == "good"


def _head_call(s: Scene) -> Sensed:
    if not _hears(s.now):
        return "no-beep"
    right = ("cold",) if s.now.wanted == "cool" else ("hot", "warm")
    felt = [air(s.whole, moment) in right for moment in MINUTES]
    if any(felt):
        return "as-asked" if all(felt[felt.index(True) :]) else "starts-then-stops"
    blows = s.whole.indoor.at("blower", MINUTES[-1])
    return "air-not-right" if blows else "beeps-no-air"


def _head_lights(s: Scene) -> Sensed:
    shown = s.whole.indoor.light_at(LIGHTS)
    if shown == "code":
        return "code" if s.now.code_shown else "blinking"
    if shown == "waiting":
        return {"steady": 0.5, "blinking": 0.5}
    return {"dark": "dark", "steady": "steady", "heartbeat": "steady"}.get(shown, "blinking")


def _other_heads(s: Scene) -> Sensed:
    return s.now.others if s.now.heads > 1 else "none"


def _remote_after(s: Scene) -> Sensed:
    if not s.found.spare_batteries:
        return "not-done"
    return "beeps" if _hears(s.now) else "silent"


def _head_off(s: Scene) -> Sensed:
    return "off" if screen(s.now) in ("on", "battery-sign") else "remote-blank"


def _screens_reach(s: Scene) -> Sensed:
    return "floor" if filter_reached(s.found) else "higher"


def _screens_result(s: Scene) -> Sensed:
    if not filter_reached(s.found):
        return "not-done"
    return {"clean": "were-clean", "dirty": "rinsed"}.get(s.found.filter, "wires-or-mold")


def _head_drip(s: Scene) -> Sensed:
    if s.now.drain == "blocked" and s.now.wanted == "cool":
        return "drips"
    return {"none": 0.97, "drips": 0.03}


# ---- heaters along the wall, each with its dial ----


def _cold_rooms(s: Scene) -> Sensed:
    return "one" if one_room_only(s.found) else "all"


def _heater_front(s: Scene) -> Sensed:
    return "free" if s.now.grilles == "open" else "covered"


def _warms(s: Scene) -> list[bool]:
    """Whether the heater is warm at some moments of the ten minutes after its dial was turned."""
    return [air(s.whole, 60.0 * minute) == "hot" for minute in (1, 2, 3, 4, 5, 6, 7, 8, 9, 10)]


def _dial_call(s: Scene) -> Sensed:
    warm = _warms(s)
    if all(warm):
        return "warm"
    return "stops-again" if any(warm) else "cold"


def _dial_low(s: Scene) -> Sensed:
    return "still-hot" if air(s.whole, 600.0) == "hot" else "low"


def _heater_cools(s: Scene) -> Sensed:
    return "as-hot" if air(s.whole, 1200.0) == "hot" else "colder"


# ---- one box outside ----


def _box_place(s: Scene) -> Sensed:
    return "roof" if s.now.on_roof else "ground"


def _box_fuel(s: Scene) -> Sensed:
    return "gas" if s.now.heating in FURNACES else "power"


# ---- one room ----


def only_one_room(house: House) -> bool:
    """Whether other rooms get what this one lacks."""
    return house.zones == "stuck" or house.room != "open" or one_room_only(house)


def _room_lacks(s: Scene) -> Sensed:
    ends = s.now.wanted == "cool" or air(after_off(s.now), 900.0) != "hot"
    return s.now.wanted if ends else "too-warm"


def _room_source(s: Scene) -> Sensed:
    names = {"boiler": "water", "baseboard": "heater", "ductless": "wall-box"}
    return names.get(s.now.heating, "grille")


def _other_rooms(s: Scene) -> Sensed:
    return "well" if only_one_room(s.now) or delivers(s.now) else "none"


def _own_thermostat(s: Scene) -> Sensed:
    return "yes" if s.now.own_thermostat else "no"


def _room_door(s: Scene) -> Sensed:
    return "shut" if s.now.room == "door" else {"open": 0.85, "shut": 0.15}


ROOM_AIR: Mapping[str, Sensed] = {
    "shut": "none",
    "damper": {"none": 0.7, "weak": 0.3},
    "door": {"weak": 0.8, "strong": 0.2},
    "off": {"none": 0.5, "weak": 0.5},
}


def _room_air(s: Scene) -> Sensed:
    if s.now.zones == "stuck":
        return "none"
    if not s.whole.indoor.at("blower", 600.0):
        return "none"
    return ROOM_AIR.get(s.now.room, "strong")


ROOM_SENSES: Mapping[str, Callable[[Scene], Sensed]] = {
    "box-fuel": _box_fuel,
    "box-place": _box_place,
    "cold-rooms": _cold_rooms,
    "dial-call": _dial_call,
    "dial-low": _dial_low,
    "head-call": _head_call,
    "head-drip": _head_drip,
    "head-lights": _head_lights,
    "head-off-result": _head_off,
    "heater-cools": _heater_cools,
    "heater-freed": lambda s: "free" if s.now.grilles == "open" else "still-covered",
    "heater-front": _heater_front,
    "other-heads": _other_heads,
    "other-rooms": _other_rooms,
    "own-thermostat": _own_thermostat,
    "remote-after": _remote_after,
    "room-air": _room_air,
    "room-door": _room_door,
    "room-lacks": _room_lacks,
    "room-source": _room_source,
    "screens-reach": _screens_reach,
    "screens-result": _screens_result,
}
"""Finding -> how a person meets it."""
