"""From a control circuit and a moment to branches and supplies.

A generic gas furnace or air handler with a split air conditioner or heat pump, not any real unit:
common practice, no source. What is broken open is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from stepstop.house.circuit import Control, Drive
from stepstop.house.nodal import Branch, Supply
from stepstop.house.parts import (
    BOND_OHMS,
    CONTACT_OHMS,
    FAN_RELAY,
    FUSE_OHMS,
    INRUSH_OHMS,
    LOADS,
    OHMS_PER_FOOT,
    OPEN_VOLTS,
    STEAL_OHMS,
    TRACE_OHMS,
    WINDING_OHMS,
    Load,
)

SECOND = ("Y", "G", "O", "B")
"""Letters that a second supply feeds, where there is one."""


def netlist(
    control: Control, drive: Drive, acting: frozenset[str]
) -> tuple[list[Branch], list[Supply]]:
    """Branches and supplies while the loads in `acting` act.

    Only two of those change the circuit: CC draws less once it is in, and the board's relays need
    LOGIC.
    """
    branches = list(_standing(control))
    moving = (
        *_contacts(control, drive),
        *_guards(control, drive),
        *_driven(control, drive, acting),
    )
    branches += [branch for branch in moving if branch.name not in control.opens]
    return branches, list(_supplies(control, drive))


def load(control: Control, name: str) -> Load:
    """What `name` is like in this circuit, its replaced ohms left aside."""
    return FAN_RELAY if name == "G_IN" and control.fan_centre else LOADS[name]


def steal_wires(control: Control) -> tuple[str, ...]:
    """Call wires that a thermostat without common lives on: those with something at their end."""
    return ("WIRE_W", "WIRE_Y") if control.outdoor or not control.fan_centre else ("WIRE_W",)


def _supplies(control: Control, drive: Drive) -> Iterator[Supply]:
    winding = WINDING_OHMS[control.va]
    if drive.power and "TX" not in control.opens:
        yield Supply("TX", "S1", "C", OPEN_VOLTS, winding)
    if drive.power and control.two_supplies and "TX2" not in control.opens:
        yield Supply("TX2", "RC", "C", OPEN_VOLTS, winding)


@lru_cache(maxsize=4096)
def _standing(control: Control) -> tuple[Branch, ...]:
    """What no moment changes."""
    parts = (*_feeds(control), *_wires(control), *_loads(control), *_thermostat(control))
    whole = [branch for branch in parts if branch.name not in control.opens]
    return (*whole, *_shorts(control))


def _feeds(control: Control) -> Iterator[Branch]:
    yield Branch("F1", "S1", "RB", FUSE_OHMS[control.fuse_amps])
    if control.float_in != "R":
        yield Branch("BOARD_R", "RB", "R", TRACE_OHMS)
    if control.bonded:
        yield Branch("BOND", "C", "CH", BOND_OHMS)


def _wires(control: Control) -> Iterator[Branch]:
    near = control.thermostat_feet * OHMS_PER_FOOT
    for letter in _letters(control):
        yield Branch(f"WIRE_{letter}", letter, f"{letter}T", near)
    far = control.outdoor_feet * OHMS_PER_FOOT
    if control.outdoor:
        yield Branch("WIRE_YO", "YF", "YO", far)
        yield Branch("LPS", "YM", "YP", CONTACT_OHMS)
    if control.valve:
        yield Branch(f"WIRE_{control.valve}O", control.valve, f"{control.valve}O", far)
    if control.outdoor or control.valve:
        yield Branch("WIRE_CO", "CO", "C", far)


def _letters(control: Control) -> Iterator[str]:
    """Letters with a conductor to the thermostat."""
    yield from ("R", "W", "W2", "Y", "G")
    yield from (["RC"] if control.two_supplies else [])
    yield from ([control.valve] if control.valve else [])
    yield from (["C"] if control.common_wire else [])


def _loads(control: Control) -> Iterator[Branch]:
    ohms = _ohms(control)
    yield Branch("LOGIC", _logic_feed(control), "C", ohms["LOGIC"])
    yield Branch("STRING", "SS2", "C", ohms["STRING"])
    yield Branch("MV", "MVn", "C", ohms["MV"])
    yield Branch("W_IN", "WF" if _floats(control, "W") else "W", "C", ohms["W_IN"])
    yield Branch("W2_IN", "W2", "C", ohms["W2_IN"])
    yield Branch("G_IN", "G", "C", ohms["G_IN"])
    if not control.fan_centre:
        yield Branch("Y_IN", "Y", "C", ohms["Y_IN"])
    if control.humidifier:
        yield Branch("HUM", "W", "C", ohms["HUM"])
    if control.valve:
        yield Branch("RV", f"{control.valve}O", "CO", ohms["RV"])


def _ohms(control: Control) -> dict[str, float]:
    return {name: load(control, name).ohms for name in LOADS} | dict(control.coils)


def _logic_feed(control: Control) -> str:
    return "RB" if control.board == "logic-after-fuse" else "S1"


def _thermostat(control: Control) -> Iterator[Branch]:
    if control.thermostat in ("wires", "both"):
        yield Branch("STAT", "RT", "CT", _ohms(control)["STAT"])
    if control.thermostat == "stealing" and "STAT" not in control.opens:
        for wire in steal_wires(control):
            letter = wire.removeprefix("WIRE_")
            yield Branch(f"STAT_{letter}", _hot(control, letter), f"{letter}T", STEAL_OHMS)


def _hot(control: Control, letter: str) -> str:
    """The thermostat's end of what feeds this letter."""
    return "RCT" if control.two_supplies and letter in SECOND else "RT"


def _shorts(control: Control) -> Iterator[Branch]:
    for number, (one, other, ohms) in enumerate(control.shorts, 1):
        a, b = ("CH" if end == "ground" else end for end in (one, other))
        yield Branch(f"SHORT_{number}", a, b, ohms)


def _contacts(control: Control, drive: Drive) -> Iterator[Branch]:
    """The thermostat's closed contacts; what asks for cooling asks for the fan as well."""
    closed = drive.calls | ({"G"} if "Y" in drive.calls else set())
    if control.valve and closed & {"O", "B"}:
        closed = closed - {"O", "B"} | {control.valve}
    for letter in sorted(closed & set(_letters(control))):
        yield Branch(f"K_{letter}", _hot(control, letter), f"{letter}T", CONTACT_OHMS)


def _guards(control: Control, drive: Drive) -> Iterator[Branch]:
    if drive.limit:
        yield Branch("LIM", "RB", "SS1", CONTACT_OHMS)
    if drive.rollout:
        yield Branch("ROS", "SS1", "SS2", CONTACT_OHMS)
    if drive.pressure:
        yield Branch("PS", "SS2", "SS3", CONTACT_OHMS)
    if control.outdoor and drive.pressure_guards:
        yield Branch("HPS", "YO", "YM", CONTACT_OHMS)
    yield from _float_guards(control, drive)


def _float_guards(control: Control, drive: Drive) -> Iterator[Branch]:
    """Closed float guards; a lead without one is joined on the board."""
    if control.float_in == "R" and not drive.float_up:
        yield Branch("FS_R", "RB", "R", CONTACT_OHMS)
    if _floats(control, "W") and not drive.float_up:
        yield Branch("FS_W", "W", "WF", CONTACT_OHMS)
    if control.outdoor and not (_floats(control, "Y") and drive.float_up):
        ohms = CONTACT_OHMS if _floats(control, "Y") else TRACE_OHMS
        yield Branch("FS_Y", "Y", "YF", ohms)


def _floats(control: Control, letter: str) -> bool:
    """Whether a float guard, or a board that watches one, cuts this letter."""
    return control.float_in in (letter, "board")


def _driven(control: Control, drive: Drive, acting: frozenset[str]) -> Iterator[Branch]:
    """The contactor, closed or not, and what the board's electronics switch."""
    ohms = _ohms(control)
    if control.outdoor:
        sealed = "CC" in acting or "CC" in dict(control.coils)
        yield Branch("CC", "YP", "CO", ohms["CC"] if sealed else INRUSH_OHMS)
    if "LOGIC" not in acting:
        return
    if drive.gas_valve:
        yield Branch("K_GV", "SS3", "MVn", CONTACT_OHMS)
    for name, wanted in (("IND", drive.inducer), ("BLW", drive.blower)):
        if wanted:
            yield Branch(name, _logic_feed(control), "C", ohms[name])
