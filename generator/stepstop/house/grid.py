"""The houses that a rehearsal calls from: a declared grid of configurations.

Each kind of house is drawn several times, every detail spread over the draws in its declared
proportions, in an order fixed by the kind's name (a Latin hypercube). Proportions are judgement,
common practice, no source. Trees are mended on one half of the grid; the other half, and houses
off the grid, show whether what was mended holds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import Any

from stepstop.house.control import Control
from stepstop.house.house import FURNACES, PUMPS, House
from stepstop.house.pace import GRID
from stepstop.house.units import SWITCHED


@dataclass(frozen=True, slots=True)
class Plan:
    """One configuration of the grid."""

    name: str
    house: House
    weight: float
    half: str
    """`mended-on` or `held-out`."""
    has_tree: bool
    """Whether the trees go on for this kind; others they only recognise, so far."""


BY_TREES = (*FURNACES, "electric", "heat-pump", "gas-pilot", "oil", "boiler", "ductless")
"""Kinds of heating that the trees go on for."""

KINDS: Mapping[tuple[str, str, str], tuple[float, int]] = {
    ("gas-plastic", "air-conditioner", "heat"): (0.17, 12),
    ("gas-metal", "air-conditioner", "heat"): (0.13, 12),
    ("electric", "air-conditioner", "heat"): (0.06, 10),
    ("heat-pump", "heat-pump", "heat"): (0.10, 12),
    ("gas-pilot", "none", "heat"): (0.01, 6),
    ("oil", "none", "heat"): (0.03, 8),
    ("boiler", "none", "heat"): (0.04, 12),
    ("ductless", "ductless", "heat"): (0.01, 6),
    ("baseboard", "none", "heat"): (0.01, 2),
    ("dual-fuel", "heat-pump", "heat"): (0.01, 2),
    ("gas-plastic", "air-conditioner", "cool"): (0.15, 10),
    ("gas-metal", "air-conditioner", "cool"): (0.10, 8),
    ("electric", "air-conditioner", "cool"): (0.06, 8),
    ("heat-pump", "heat-pump", "cool"): (0.09, 10),
    ("ductless", "ductless", "cool"): (0.02, 6),
    ("gas-metal", "one-box", "heat"): (0.01, 4),
    ("gas-metal", "one-box", "cool"): (0.01, 4),
}
"""(heating, cooling, what is wanted) -> its share of calls beside the others', and how many
configurations."""

DETAILS: Mapping[str, Sequence[Any]] = {
    "pace": GRID,
    "tries": (3, 3, 3, 5),
    "call_clears": (True, True, False),
    "idle_light": ("heartbeat", "steady"),
    "window": (True, True, True, False),
    "signals": ("groups",) * 7 + ("two-groups", "long-short", "two-lights"),
    "label": (False,) * 5 + (True,),
    "audible": (True, True, True, False),
    "filter_place": ("slot", "slot", "slot", "low-grille", "high-or-tool", "not-found"),
    "panel_by_hand": (True, True, False),
    "has_switch": (True, True, True, True, False),
    "labelled": (True, True, True, True, True, False),
    "pump": (False, False, True),
    "pan": (True, True, False),
    "other_gas": (True, True, False),
    "fan_settable": (True, True, True, True, False),
    "spare_filter": (True, True, True, False),
    "spare_batteries": (True, True, True, True, False),
    "outdoor_heard": (True, True, False),
    "pipe_ends_seen": (True, True, True, False),
    "latching": (False, False, True),
    "tank_place": ("indoors", "indoors", "outdoors", "buried"),
    "gauge": ("right", "right", "right", "none"),
    "boiler": ("gas", "gas", "condensing", "condensing", "oil", "steam"),
    "attic": (False, False, False, True),
}
"""Field of a house -> its values, each as often as it stands here."""

WIRING: Mapping[str, Sequence[Any]] = {
    "va": (40, 40, 60, 75),
    "fuse_amps": (3.0, 3.0, 5.0),
    "board": ("logic-after-fuse", "logic-before-fuse", "string-after-fuse"),
    "thermostat": ("wires", "wires", "wires", "batteries", "batteries", "both", "stealing", "none"),
    "bonded": (True, True, True, False),
    "thermostat_feet": (25, 50, 100),
    "outdoor_feet": (30, 50, 100),
    "humidifier": (False, False, True),
    "two_supplies": (False,) * 7 + (True,),
}

WEATHER = {
    "heat": ("frost", "frost", "cool", "mild"),
    "cool": ("hot", "hot", "hot", "mild", "cool"),
}
FLOATS = {"cool": ("Y", "", "R", "board"), "heat": ("", "", "board")}


def plans(*, off_grid: bool = False) -> Iterator[Plan]:
    """Every configuration, weights adding up to 1; off the grid: other draws, other paces."""
    whole = sum(share for share, _ in KINDS.values())
    for (heating, cooling, wanted), (share, count) in KINDS.items():
        kind = f"{heating}/{cooling}/{wanted}"
        drawn = _draws(f"{kind}/off" if off_grid else kind, wanted, count)
        for number, draw in enumerate(drawn):
            house = _house(heating, cooling, wanted, draw)
            if off_grid:
                house = replace(house, pace=("brisk", "gentle")[number % 2])
            half = "held-out" if number % 2 else "mended-on"
            has_tree = heating in BY_TREES and cooling != "one-box"
            yield Plan(f"{kind}/{number + 1}", house, share / whole / count, half, has_tree)


def _draws(name: str, wanted: str, count: int) -> list[dict[str, Any]]:
    columns = {**DETAILS, **WIRING, "weather": WEATHER[wanted], "float_in": FLOATS[wanted]}
    spread = {key: _spread(f"{name}/{key}", values, count) for key, values in columns.items()}
    return [{key: column[i] for key, column in spread.items()} for i in range(count)]


def _spread(name: str, values: Sequence[Any], count: int) -> list[Any]:
    """`count` of the values in their proportions, shuffled by `name` alone."""
    picked = [values[(2 * i + 1) * len(values) // (2 * count)] for i in range(count)]
    Random(name).shuffle(picked)
    return picked


def _house(heating: str, cooling: str, wanted: str, draw: Mapping[str, Any]) -> House:
    details = {key: draw[key] for key in DETAILS}
    control = _control(heating, cooling, wanted, draw)
    plain = House(
        heating=heating, cooling=cooling, wanted=wanted, control=control, weather=draw["weather"]
    )
    return replace(plain, **{**details, **_fitting(heating, control, details)})


def _fitting(heating: str, control: Control, details: Mapping[str, Any]) -> dict[str, Any]:
    """What this kind can't have otherwise."""
    sets: dict[str, Any] = {}
    if heating != "boiler":
        sets["boiler"] = ""
    elif details["boiler"] in ("condensing", "oil"):
        sets["window"] = False
    if heating == "boiler" and details["boiler"] == "oil":
        sets["other_gas"] = False
    if heating != "oil" and (heating, details["boiler"]) != ("boiler", "oil"):
        sets |= {"tank_place": "indoors", "gauge": "right"}
    elif details["tank_place"] == "buried":
        sets["gauge"] = "none"
    if heating != "gas-plastic":
        sets |= {"pipe_ends_seen": False, "pump": details["pump"] and heating in FURNACES}
    if control.thermostat != "batteries":
        sets["latching"] = False
    if control.thermostat == "none":
        sets["fan_settable"] = False
    if heating in ("gas-pilot", "oil"):
        sets["window"] = False
    if heating in ("electric", "heat-pump", "oil", "ductless"):
        sets["other_gas"] = False
    if heating not in (*FURNACES, "gas-pilot", "boiler"):
        sets["label"] = False
    if heating == "baseboard":
        sets |= {"mains": True, "window": False}
    return sets


def _control(heating: str, cooling: str, wanted: str, draw: Mapping[str, Any]) -> Control:
    wiring = {key: draw[key] for key in WIRING}
    pump = heating in PUMPS
    stat = wiring["thermostat"]
    if heating in ("ductless", "baseboard"):
        wiring["thermostat"] = stat = "batteries" if heating == "ductless" else "none"
    if heating not in FURNACES:
        wiring["two_supplies"] = False
    old = heating in ("gas-pilot", "electric") and wiring["va"] == 40
    return Control(
        **wiring,
        fan_centre=old,
        common_wire=stat in ("wires", "both"),
        float_in=draw["float_in"] if wanted == "cool" or draw["pump"] else "",
        outdoor=cooling in SWITCHED,
        valve=("B" if draw["va"] == 75 else "O") if pump else "",
    )
