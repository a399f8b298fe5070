"""From a house to its control circuit: who has power, and what the thermostat asks for."""

from __future__ import annotations

from dataclasses import replace

from stepstop.house.control import Control, Drive, Settled, after, settle
from stepstop.house.house import FURNACES, PUMPS, House
from stepstop.house.story import LONG


def line_power(house: House) -> bool:
    """Whether the indoor unit has line power at its control transformer."""
    feeds = house.supply in ("whole", "other-part") and house.outlet and house.breaker == "in-line"
    return feeds and house.switch == "on" and house.panel == "flush"


def water_high(house: House) -> bool:
    """Whether a float guard has lifted."""
    cooling = house.wanted == "cool" and house.drain == "blocked"
    furnace = house.heating == "gas-plastic" and house.trap != "clear" and house.pump
    pump = house.pump and not (house.pump_works and house.outlet)
    return cooling or pump or furnace


def drive(house: House, calls: frozenset[str]) -> Drive:
    """The circuit's drive with these calls and nothing switched by the board yet."""
    return Drive(
        power=line_power(house),
        calls=calls,
        limit=house.limit != "stuck",
        rollout=not house.rollout,
        float_up=water_high(house),
    )


def screen(house: House) -> str:
    """The thermostat's screen: on, blank, dim-or-reboots, battery-sign; `none` without one."""
    kind = house.control.thermostat
    if house.mains or kind == "none":
        return "none" if kind == "none" else "on"
    if not house.thermostat_alive:
        return "blank"
    cells = _cells(house)
    if kind == "batteries":
        return cells
    wired = _wired(house)
    return cells if kind == "both" and wired != "on" else wired


def _cells(house: House) -> str:
    if not house.cell_contacts:
        return "blank"
    return {"good": "on", "low": "battery-sign"}.get(house.cells, "blank")


def _wired(house: House) -> str:
    settled = settle(house.control, drive(house, frozenset()))
    if "STAT" in settled.in_:
        return "on"
    return "dim-or-reboots" if {"STAT"} & (settled.weak | settled.chatter) else "blank"


def asks(house: House) -> bool:
    """Whether the thermostat can ask for anything by itself."""
    return screen(house) in ("on", "battery-sign", "none") and house.thermostat_alive


def mode(house: House) -> str:
    """What the thermostat stands at and asks for: heat, cool, emergency-heat, thaw or off."""
    if house.mode:
        return house.mode
    return house.wanted if house.setting == "right" and not house.event else "off"


def contacts(house: House) -> frozenset[str]:
    """Thermostat contacts that are closed, by letter, before any wire is looked at."""
    held = frozenset({house.stuck_contact} - {""})
    latched = house.latching and house.cells in ("dead", "none-left") and house.called == "long"
    if not (latched or asks(house)):
        return held
    letters = _letters(house, mode(house))
    if house.fan in ("on", "circulate") or mode(house) == "thaw":
        letters |= {"G"}
    return _swapped(house, letters) | held


def _letters(house: House, asked: str) -> frozenset[str]:
    pump = house.heating in PUMPS
    if asked == "heat":
        return _heat_letters(house, pump)
    if asked == "cool":
        return frozenset({"Y", "G"} | ({"O"} if pump and _energised(house, "cool") else set()))
    if asked == "emergency-heat":
        return frozenset({"W2", "W", "G"})
    return frozenset()


def _heat_letters(house: House, pump: bool) -> frozenset[str]:
    if not pump:
        return frozenset({"W"})
    letters = {"Y", "G"} | ({"B"} if _energised(house, "heat") else set())
    aux = house.weather == "frost" or house.outdoor_ice == "solid-ice"
    return frozenset(letters | ({"W2", "W"} if aux else set()))


def _energised(house: House, asked: str) -> bool:
    """Whether the thermostat energises the valve for what is asked, rightly set or not."""
    right = {"O": "cool", "B": "heat"}.get(house.control.valve) == asked
    return right if house.o_b == "right" else not right


def _swapped(house: House, letters: frozenset[str]) -> frozenset[str]:
    if not house.swapped:
        return letters
    one, other = house.swapped.split("-")
    turn = {one: other, other: one}
    return frozenset(turn.get(letter, letter) for letter in letters)


def burnt(house: House) -> House:
    """`house` with whatever its circuit has done to itself by now: a melted fuse, a dead supply.

    The calls of now and those of both seasons' usual days are looked at where they are long past;
    a fresh call counts for ten minutes.
    """
    seconds = LONG if house.called == "long" else 600.0
    control = _worn(house, house.control, contacts(house), seconds)
    return house if control == house.control else replace(house, control=control)


def _worn(house: House, control: Control, calls: frozenset[str], seconds: float) -> Control:
    for each in _moments(house, calls):
        control = after(control, each, seconds)
    return control


def _moments(house: House, calls: frozenset[str]) -> list[Drive]:
    """Drives that follow one another: standing by, the call, and the gas valve's own moment."""
    idle = drive(house, frozenset())
    call = drive(house, calls)
    gas = house.heating in (*FURNACES, "gas-pilot") and "W" in calls
    guarded = house.limit == "good" and not house.rollout
    lit = replace(call, pressure=True, inducer=True, gas_valve=True)
    return [idle, call, lit] if gas and guarded else [idle, call]


def signals(house: House) -> Settled:
    """The circuit with what is asked now."""
    return settle(house.control, drive(house, contacts(house)))


def blower_called(house: House, seen: Settled) -> bool:
    """Whether the board or relay starts the blower for a fan or cooling call."""
    return "G_IN" in seen.in_ or ("Y_IN" in seen.in_ and not house.control.fan_centre)


def calm_light(house: House, seen: Settled) -> str:
    """What the board's light does while no guard of its own has opened and no try has failed.

    A float at the board's own input has a class, and so have heat and cooling asked at once where
    a furnace is not a heat pump's.
    """
    if house.control.float_in == "board" and water_high(house):
        return "drain"
    both = {"W_IN", "Y_IN"} <= seen.in_ and house.heating in FURNACES
    return "two-calls" if both else house.idle_light
