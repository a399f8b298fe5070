"""Every cause as an edit of a house that is well, or, for the few without a mechanism, as signs.

Shares of a cause's variants, and the frequency classes in the catalogue, are judgement, common
practice, no source. Two faults at once are one edit after the other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from stepstop.house.house import DUCTED, ELECTRIC, FURNACES, PUMPS, SPLIT, House, outdoors_wanted

Variant = tuple[str, float, House]
"""Name of the variant, its share among the cause's, the house with the fault."""
Edit = Callable[[House], Iterator[Variant]]


@dataclass(frozen=True, slots=True)
class Fault:
    """A cause in the house model."""

    edit: Edit
    """No variants: the cause doesn't apply to this house."""
    mechanism: bool = True
    """Whether the house computes what it looks like; else signs and patterns are declared."""
    perceived: str = ""
    """Complaint of somebody who takes a house that works for a broken one."""


# ---- helpers ----


def _one(**sets: Any) -> Edit:
    """Always applies, in one way."""
    return _if(lambda _: True, **sets)


def _if(applies: Callable[[House], bool], **sets: Any) -> Edit:
    def edit(house: House) -> Iterator[Variant]:
        if applies(house):
            yield "", 1.0, _edited(house, sets)

    return edit


def _ways(applies: Callable[[House], bool], *ways: tuple[str, float, dict[str, Any]]) -> Edit:
    def edit(house: House) -> Iterator[Variant]:
        if applies(house):
            for name, share, sets in ways:
                yield name, share, _edited(house, sets)

    return edit


def _edited(house: House, sets: Mapping[str, Any]) -> House:
    """`house` with these fields set; its signs of danger stay beside new ones."""
    return replace(house, **{**sets, "signs": house.signs | sets.get("signs", frozenset())})


def _signs(*pairs: tuple[str, str]) -> dict[str, Any]:
    return {"signs": frozenset(pairs)}


PUDDLE = _signs(("water", "puddle"))
"""Water that has run out on the floor, away from wires."""


def _circuit(
    applies: Callable[[House], bool],
    *ways: tuple[str, float, dict[str, Any]],
) -> Edit:
    """Edits of the control circuit; `opens` and `shorts` are added to what is there."""

    def edit(house: House) -> Iterator[Variant]:
        if not applies(house):
            return
        for name, share, sets in ways:
            control = replace(
                house.control,
                opens=house.control.opens | frozenset(sets.get("opens", ())),
                shorts=house.control.shorts + tuple(sets.get("shorts", ())),
                coils=house.control.coils + tuple(sets.get("coils", ())),
                fuse_amps=sets.get("fuse_amps", house.control.fuse_amps),
            )
            yield name, share, _edited(house, {"control": control, **sets.get("house", {})})

    return edit


def _always(_: House) -> bool:
    return True


def _furnace(house: House) -> bool:
    return house.heating in FURNACES


def _plastic(house: House) -> bool:
    return house.heating == "gas-plastic"


def _ducted(house: House) -> bool:
    return house.heating in DUCTED


def _electric(house: House) -> bool:
    return house.heating in ELECTRIC


def _pump(house: House) -> bool:
    return house.heating in PUMPS


def _cooling(house: House) -> bool:
    return house.wanted == "cool" and house.cooling in SPLIT


def _heating(house: House) -> bool:
    return house.wanted == "heat"


def _circuited(house: House) -> bool:
    """Its control circuit is the one of letters."""
    return house.heating != "ductless" and not house.mains


def _celled(house: House) -> bool:
    return house.control.thermostat in ("batteries", "both")


def _both(*tests: Callable[[House], bool]) -> Callable[[House], bool]:
    return lambda house: all(test(house) for test in tests)


def _frost(house: House) -> bool:
    return house.weather == "frost" and house.wanted == "heat"


GAS_KINDS = (*FURNACES, "gas-pilot", "boiler")


def _gas(house: House) -> bool:
    gas = house.heating in GAS_KINDS and house.boiler != "oil"
    return gas and house.wanted == "heat"


def _small_flame(house: House) -> bool:
    """A small flame always burns, and fumes go up a chimney."""
    burns = house.heating == "gas-pilot" or house.boiler == "gas"
    return burns and house.wanted == "heat"


def _gas_furnace(house: House) -> bool:
    return _furnace(house) and house.wanted == "heat"


# ---- power and control ----

POWER: Mapping[str, Fault] = {
    "service-switch-off": Fault(_if(lambda h: h.has_switch, switch="off")),
    "breaker-tripped": Fault(
        lambda h: iter(
            [("indoor", 0.5, replace(h, breaker="out-of-line"))]
            + [("outdoor", 0.5, replace(h, outdoor_breaker="out-of-line"))] * outdoors_wanted(h)
        )
    ),
    "breaker-trips-again": Fault(
        lambda h: iter(
            [("indoor", 0.5, replace(h, breaker="out-of-line", breaker_holds=False))]
            + [("outdoor", 0.5, replace(h, outdoor_breaker="out-of-line", outdoor_holds=False))]
            * outdoors_wanted(h)
        )
    ),
    "panel-not-seated": Fault(
        _ways(
            lambda h: h.heating in (*FURNACES, *ELECTRIC, "oil"),
            ("loose", 0.85, {"panel": "gap"}),
            ("bent", 0.15, {"panel": "gap", "panel_stays": False}),
        )
    ),
    "power-cut-or-part-cut": Fault(
        _ways(
            _always,
            ("out", 0.6, {"supply": "out"}),
            ("leg", 0.15, {"supply": "part"}),
            ("other-leg", 0.15, {"supply": "other-part"}),
            ("neutral", 0.1, {"supply": "part"} | _signs(("supply-fault", "bright-and-dim"))),
        )
    ),
    "outlet-tripped": Fault(
        _if(lambda h: h.heating in (*FURNACES, "boiler") or h.pump, outlet=False)
    ),
    "control-supply-dead": Fault(_circuit(_circuited, ("", 1.0, {"opens": ["TX"]}))),
    "board-fuse-moved-wires": Fault(
        lambda h: iter(
            [
                *_circuit(
                    _both(_circuited, lambda h: h.control.common_wire),
                    ("R-C", 0.5, {"shorts": [("RT", "CT", 0.05)]}),
                    ("W-C", 0.2, {"shorts": [("WT", "CT", 0.05)]}),
                    ("Y-C", 0.15, {"shorts": [("YT", "CT", 0.05)]}),
                    ("G-C", 0.05, {"shorts": [("GT", "CT", 0.05)]}),
                )(h),
                *_circuit(_circuited, ("R-metal", 0.1, {"shorts": [("RT", "CH", 0.05)]}))(h),
            ]
        )
    ),
    "board-fuse-outdoor-cable": Fault(
        _circuit(
            _both(_circuited, outdoors_wanted),
            ("seen", 0.6, {"shorts": [("YO", "CO", 0.05)], "house": {"cable": "damaged"}}),
            ("metal", 0.1, {"shorts": [("YO", "CH", 0.05)], "house": {"cable": "damaged"}}),
            ("hidden", 0.3, {"shorts": [("YO", "CO", 0.05)]}),
        )
    ),
    "board-fuse-water": Fault(
        _circuit(
            _both(_circuited, _ducted),
            ("fuse", 0.4, {"shorts": [("R", "C", 0.3)], "house": {"leak": "roof"}}),
            ("puddle", 0.2, {"shorts": [("R", "C", 0.3)], "house": {"leak": "roof"} | PUDDLE}),
            (
                "wires",
                0.2,
                {
                    "shorts": [("R", "C", 0.3)],
                    "house": {"leak": "roof"} | _signs(("water", "at-wires")),
                },
            ),
            ("board", 0.2, {"house": {"board": "dead", "leak": "roof"}}),
        )
    ),
    "shorted-coil": Fault(
        lambda h: iter(
            [
                *_circuit(
                    _both(_circuited, outdoors_wanted),
                    ("contactor-4", 0.5, {"coils": [("CC", 4.0)]}),
                    ("contactor-1", 0.3, {"coils": [("CC", 0.6)]}),
                )(h),
                *_circuit(
                    _both(_circuited, _gas_furnace), ("valve", 0.3, {"coils": [("MV", 0.8)]})
                )(h),
            ]
        )
    ),
    "wire-rubbed-in-cabinet": Fault(
        _circuit(
            _circuited,
            ("R", 0.7, {"shorts": [("R", "CH", 0.2)]}),
            ("string", 0.3, {"shorts": [("SS1", "CH", 0.2)]}),
        )
    ),
    "wrong-protection-fitted": Fault(
        _circuit(
            _circuited,
            ("", 0.8, {"fuse_amps": 0.0, "shorts": [("R", "C", 0.3)]}),
            (
                "smelt",
                0.2,
                {
                    "fuse_amps": 0.0,
                    "shorts": [("R", "C", 0.3)],
                    "house": _signs(("scorch-or-bang", "seen")),
                },
            ),
        )
    ),
    "surge-damage": Fault(
        lambda h: iter(
            [
                ("board", 0.5, replace(h, board="dead")),
                ("thermostat", 0.2, replace(h, thermostat_alive=False)),
                *_circuit(_circuited, ("supply", 0.3, {"opens": ["TX"]}))(h),
            ]
        )
    ),
    "fan-relay-stuck": Fault(_if(_ducted, blower="always")),
    "board-dead": Fault(_if(lambda h: h.heating not in ("gas-pilot",), board="dead")),
    "outdoor-pullout-out": Fault(_if(outdoors_wanted, pullout="out")),
    "outdoor-fuses": Fault(_if(outdoors_wanted, outdoor_fuses=False)),
    "loose-line-joint": Fault(
        _ways(
            _always,
            ("hidden", 0.4, {"outlet": False}),
            ("panel", 0.25, {"breaker": "odd-panel"}),
            ("hot", 0.35, {"outlet": False} | _signs(("fire-signs", "smoke-or-sparks"))),
        )
    ),
    "one-supply-of-two-dead": Fault(
        _circuit(
            lambda h: h.control.two_supplies,
            ("heat", 0.5, {"opens": ["TX"]}),
            ("cool", 0.5, {"opens": ["TX2"]}),
        )
    ),
}

# ---- thermostat ----

THERMOSTAT: Mapping[str, Fault] = {
    "thermostat-batteries": Fault(
        _ways(_celled, ("dead", 0.75, {"cells": "dead"}), ("none", 0.25, {"cells": "none-left"}))
    ),
    "thermostat-failed": Fault(
        _ways(
            lambda h: not h.mains,
            ("dead", 0.6, {"thermostat_alive": False}),
            ("contacts", 0.2, {"cell_contacts": False, "cells": "dead"}),
            ("fan-stuck", 0.2, {"stuck_contact": "G"}),
        )
    ),
    "wrong-setting": Fault(
        _ways(
            lambda h: not h.mains,
            ("mode", 0.5, {"setting": "off-or-wrong-mode"}),
            ("number", 0.3, {"setting": "wrong-number"}),
            ("hold", 0.2, {"setting": "hold-or-away"}),
        )
    ),
    "fan-set-on": Fault(
        _ways(
            _both(_ducted, lambda h: h.fan_settable),
            ("on", 0.8, {"fan": "on"}),
            ("circulate", 0.2, {"fan": "circulate"}),
        )
    ),
    "missing-common-wire": Fault(
        _circuit(
            _both(_circuited, lambda h: h.control.thermostat == "wires" and h.control.common_wire),
            ("", 1.0, {"opens": ["WIRE_C"]}),
        )
    ),
    "wrong-terminals": Fault(
        lambda h: iter(
            [
                *([("W-Y", 0.5, replace(h, swapped="W-Y"))] * (not _pump(h) and _circuited(h))),
                *([("O-B", 0.5, replace(h, o_b="wrong"))] * _pump(h)),
                *([("Y-G", 0.3, replace(h, swapped="Y-G"))] * (_cooling(h) and _circuited(h))),
            ]
        )
    ),
    "fan-wire-touching": Fault(
        _circuit(_both(_circuited, _ducted), ("", 1.0, {"shorts": [("RT", "GT", 0.05)]}))
    ),
    "heat-wire-touching": Fault(_circuit(_circuited, ("", 1.0, {"shorts": [("RT", "WT", 0.05)]}))),
    "cool-wire-touching": Fault(
        _circuit(
            _both(_circuited, outdoors_wanted, _ducted), ("", 1.0, {"shorts": [("RT", "YT", 0.05)]})
        )
    ),
    "call-wires-touching": Fault(
        _circuit(
            _both(_circuited, _ducted),
            ("W-G", 0.4, {"shorts": [("WT", "GT", 0.05)]}),
            ("W-Y", 0.4, {"shorts": [("WT", "YT", 0.05)]}),
            ("Y-G", 0.2, {"shorts": [("YT", "GT", 0.05)]}),
        )
    ),
    "heat-pump-set-up": Fault(_if(_pump, o_b="wrong")),
    "thermostat-place": Fault(_one(setting="wrong-number")),
    "thermostat-wire-open": Fault(
        _circuit(
            _circuited,
            ("R", 0.25, {"opens": ["WIRE_R"]}),
            ("W", 0.3, {"opens": ["WIRE_W"]}),
            ("Y", 0.3, {"opens": ["WIRE_Y"]}),
            ("G", 0.15, {"opens": ["WIRE_G"]}),
        )
    ),
    "built-in-delay": Fault(_if(_cooling, rested=False, called="fresh"), perceived="no-cooling"),
    "remote-event": Fault(
        _if(lambda h: h.control.thermostat != "none" and not h.mains, event=True)
    ),
    "starved-thermostat": Fault(
        _circuit(
            lambda h: h.control.thermostat == "stealing",
            ("Y", 0.6, {"opens": ["WIRE_Y"]}),
            ("W", 0.4, {"opens": ["WIRE_W"]}),
        )
    ),
    "mains-thermostat": Fault(
        _if(lambda h: h.mains, thermostat_alive=False), mechanism=False, perceived="no-heat"
    ),
    "mains-heater-limit": Fault(
        _if(lambda h: h.mains, elements=0.0), mechanism=False, perceived="no-heat"
    ),
}

# ---- gas and electric heat ----

HEAT: Mapping[str, Fault] = {
    "dirty-filter": Fault(_if(_both(_ducted, _heating), filter="dirty")),
    "closed-grilles": Fault(_if(_both(_ducted, _heating), grilles="shut-or-covered")),
    "big-fan-failed": Fault(
        _ways(
            lambda h: h.heating in DUCTED and not (_electric(h) and _heating(h)),
            ("dead", 0.5, {"blower": "dead"}),
            ("hum", 0.3, {"blower": "hum"}),
            ("overheats", 0.2, {"blower": "overheats"}),
        )
    ),
    "flame-not-seen": Fault(_if(_gas_furnace, sensor=False)),
    "no-glow": Fault(_if(_gas_furnace, igniter=False)),
    "outside-pipes-blocked": Fault(
        _ways(
            _both(_plastic, _heating),
            ("blocked", 0.85, {"flue": "blocked"}),
            ("alarm", 0.05, {"flue": "blocked"} | _signs(("co-alarm", "sounded"))),
            ("broken", 0.1, {"flue": "damaged"}),
        )
    ),
    "drain-blocked-heating": Fault(
        _ways(
            _both(_plastic, _heating),
            ("inside", 0.7, {"trap": "blocked"}),
            ("puddle", 0.3, {"trap": "blocked"} | PUDDLE),
        )
    ),
    "draft-switch": Fault(_if(_gas_furnace, draft="never")),
    "small-fan-failed": Fault(
        _ways(_gas_furnace, ("dead", 0.6, {"inducer": "dead"}), ("hum", 0.4, {"inducer": "hum"}))
    ),
    "draft-switch-stuck": Fault(_if(_gas_furnace, draft="always")),
    "gas-valve-closed": Fault(_if(_gas, valve="shut")),
    "no-gas-supply": Fault(_if(_gas, gas=False)),
    "roll-out": Fault(
        _ways(
            _gas_furnace,
            ("marks", 0.6, {"rollout": True} | _signs(("scorch-or-bang", "seen"))),
            ("hidden", 0.4, {"rollout": True}),
        )
    ),
    "cracked-exchanger": Fault(
        _ways(
            _gas_furnace,
            ("alarm", 0.4, {"rollout": True} | _signs(("co-alarm", "sounded"))),
            ("ill", 0.1, {"rollout": True} | _signs(("person-ill", "ill"))),
            ("hidden", 0.5, {"rollout": True}),
        )
    ),
    "late-lighting": Fault(
        _ways(
            _gas_furnace,
            (
                "heard",
                0.9,
                {"burners": "late", "sensor": False} | _signs(("scorch-or-bang", "seen")),
            ),
            ("unheard", 0.1, {"burners": "late", "sensor": False}),
        )
    ),
    "flame-without-call": Fault(_if(_furnace, valve="leaks")),
    "flame-ground-fault": Fault(
        lambda h: iter(
            [
                *_circuit(_gas_furnace, ("bond", 0.5, {"opens": ["BOND"]}))(h),
                *_if(_gas_furnace, sensor=False)(h),
            ]
        )
    ),
    "pilot-out": Fault(_if(_small_flame, pilot="out")),
    "pilot-sensor": Fault(_if(_small_flame, pilot="not-noticed")),
    "limit-stuck-open": Fault(
        _if(lambda h: _furnace(h) or (h.heating == "gas-pilot" and _heating(h)), limit="stuck")
    ),
    "flue-blocked": Fault(
        _ways(
            lambda h: _small_flame(h) or (h.heating == "gas-metal" and _heating(h)),
            ("alarm", 0.3, {"chimney": "blocked"} | _signs(("co-alarm", "sounded"))),
            ("smell", 0.2, {"chimney": "blocked"} | _signs(("gas-smell", "gas-or-exhaust"))),
            ("ill", 0.1, {"chimney": "blocked"} | _signs(("person-ill", "ill"))),
            ("hidden", 0.4, {"chimney": "blocked"}),
        )
    ),
    "dirty-burners": Fault(_if(_gas_furnace, burners="dirty", sensor=False)),
    "safety-wait": Fault(_if(_gas_furnace, locked=True)),
    "frozen-drain": Fault(
        _ways(
            _both(_plastic, _frost),
            ("inside", 0.8, {"trap": "frozen"}),
            ("puddle", 0.2, {"trap": "frozen"} | PUDDLE),
        )
    ),
    "flooded-unit": Fault(
        _one(board="dead", leak="flood", **_signs(("water", "at-wires"))), mechanism=False
    ),
    "gas-leak": Fault(
        _if(_gas, valve="shut", **_signs(("gas-smell", "gas-or-exhaust"))), mechanism=False
    ),
    "one-heat-breaker": Fault(_if(_both(_electric, _heating), heat_breakers=0.5, undersized=True)),
    "heat-stage-switch": Fault(
        _ways(
            _both(_electric, _heating),
            ("dead", 0.7, {"sequencer": "dead", "undersized": True}),
            ("stuck", 0.3, {"sequencer": "stuck"}),
        )
    ),
    "heater-open": Fault(
        _ways(
            _both(_electric, _heating),
            ("half", 0.6, {"elements": 0.5, "undersized": True}),
            ("all", 0.4, {"elements": 0.0, "undersized": True}),
        )
    ),
    "heat-without-fan": Fault(
        _ways(
            _both(_electric, _heating),
            ("smelt", 0.6, {"blower": "dead"} | _signs(("scorch-or-bang", "seen"))),
            ("smoke", 0.1, {"blower": "dead"} | _signs(("fire-signs", "smoke-or-sparks"))),
            ("hidden", 0.3, {"blower": "dead"}),
        )
    ),
}

# ---- cooling, heat pump, air side ----

LEAK: dict[str, Any] = {"blower": "always", "contactor": "open"}
"""A guard against leaks runs the fan and keeps the compressor from running."""

COOL: Mapping[str, Fault] = {
    "start-helper-failed": Fault(_if(outdoors_wanted, capacitor=False)),
    "outdoor-switch-failed": Fault(
        _ways(
            outdoors_wanted,
            ("open", 0.7, {"contactor": "open"}),
            ("chatter", 0.3, {"contactor": "chatter"}),
        )
    ),
    "drain-full-stop": Fault(
        _ways(
            _both(_cooling, lambda h: bool(h.control.float_in)),
            ("pan", 0.75, {"drain": "blocked"}),
            ("puddle", 0.25, {"drain": "blocked"} | PUDDLE),
        )
    ),
    "pan-leaks": Fault(
        _ways(_cooling, ("seeps", 0.5, {"leak": "pan"}), ("puddle", 0.5, {"leak": "pan"} | PUDDLE)),
        perceived="water",
    ),
    "second-drain-drips": Fault(_if(_cooling, drain="spare"), perceived="water"),
    "frozen-coil": Fault(
        _ways(
            _cooling,
            ("filter", 0.6, {"coil": "ice", "filter": "dirty"}),
            ("grilles", 0.25, {"coil": "ice", "grilles": "shut-or-covered"}),
            ("puddle", 0.15, {"coil": "ice", "filter": "dirty"} | PUDDLE),
        )
    ),
    "low-refrigerant": Fault(
        lambda h: iter(
            [
                *_ways(outdoors_wanted, ("low", 0.6, {"charge": "low"}))(h),
                *_ways(_cooling, ("iced", 0.4, {"charge": "low", "coil": "ice"}))(h),
            ]
        )
    ),
    "outdoor-smothered": Fault(
        _ways(
            _both(_cooling, lambda h: h.weather == "hot"),
            ("seen", 1.0, {"surroundings": "smothered"}),
        )
    ),
    "outdoor-fan-failed": Fault(_if(outdoors_wanted, outdoor_fan=False)),
    "outdoor-motor-failed": Fault(
        _ways(
            outdoors_wanted,
            ("locked", 0.6, {"compressor": "locked"}),
            ("shorted", 0.4, {"compressor": "dead", "outdoor_breaker": "out-of-line"}),
        )
    ),
    "pressure-stop": Fault(_if(_both(_cooling, lambda h: h.weather == "hot"), pressure="trips")),
    "drain-pump-failed": Fault(
        _ways(
            _both(_cooling, lambda h: h.pump),
            ("box", 0.75, {"pump_works": False}),
            ("puddle", 0.25, {"pump_works": False} | PUDDLE),
        )
    ),
    "outdoor-never-stops": Fault(_if(_cooling, contactor="welded", coil="ice")),
    "outdoor-cable-cut": Fault(
        _circuit(
            _both(_circuited, outdoors_wanted),
            ("seen", 0.7, {"opens": ["WIRE_YO"], "house": {"cable": "damaged"}}),
            ("hidden", 0.3, {"opens": ["WIRE_YO"]}),
        )
    ),
    "cooling-in-cold": Fault(_if(_both(_cooling, lambda h: h.weather == "cool"), coil="ice")),
    "at-its-limit": Fault(_if(_both(_cooling, lambda h: h.weather == "hot"), undersized=True)),
    "season-off": Fault(_if(_cooling, outdoor_breaker="fully-off")),
    "wrong-way-valve": Fault(_if(_pump, reversing="stuck")),
    "no-defrost": Fault(_if(_both(_pump, _frost), defrost="dead", outdoor_ice="solid-ice")),
    "normal-defrost": Fault(_if(_both(_pump, _frost), defrost="now"), perceived="no-heat"),
    "backup-heat-dead": Fault(_if(_both(_pump, _frost), elements=0.0, undersized=True)),
    "outdoor-snowed-in": Fault(_if(_both(_pump, _frost), outdoor_ice="snowed-in")),
    "emergency-heat-left-on": Fault(
        _if(_both(_pump, _heating), mode="emergency-heat"), perceived="no-heat"
    ),
    "warm-but-feels-cool": Fault(_if(_both(_pump, _heating)), perceived="no-heat"),
    "ducts-leak": Fault(_if(_ducted, ducts="off")),
    "leak-fan-running": Fault(
        _ways(
            _both(_ducted, lambda h: h.cooling in SPLIT),
            ("told", 0.8, LEAK | _signs(("leak-message", "shown"))),
            ("silent", 0.2, LEAK),
        )
    ),
    "zone-panel": Fault(_if(_ducted, zones="stuck")),
    "humidifier-leak": Fault(
        _circuit(
            _both(_circuited, _ducted, _heating),
            (
                "puddle",
                0.5,
                {"shorts": [("R", "C", 0.3)], "house": {"leak": "humidifier"} | PUDDLE},
            ),
            ("hidden", 0.5, {"shorts": [("R", "C", 0.3)], "house": {"leak": "humidifier"}}),
        )
    ),
    "first-heat-dust": Fault(
        _if(_both(_ducted, _heating), smell="dusty"), mechanism=False, perceived="burning-smell"
    ),
    "overheated-part": Fault(
        _ways(
            _ducted,
            ("smoke", 0.4, {"blower": "dead"} | _signs(("fire-signs", "smoke-or-sparks"))),
            ("burnt", 0.3, {"blower": "dead"} | _signs(("scorch-or-bang", "seen"))),
            ("plastic", 0.3, {"blower": "dead", "smell": "electric"}),
        ),
        mechanism=False,
    ),
    "fan-wheel-noise": Fault(
        _ways(_ducted, ("squeal", 0.5, {"noise": "squeal"}), ("rattle", 0.5, {"noise": "rattle"})),
        mechanism=False,
        perceived="noise",
    ),
    "musty-coil": Fault(
        _if(_both(_cooling, _ducted), smell="musty"), mechanism=False, perceived="burning-smell"
    ),
    "one-room-shut": Fault(_if(_ducted, zones="shut")),
}

# ---- oil, boilers, wall units ----


def _oil(house: House) -> bool:
    """Burns oil, as a furnace or a boiler."""
    return house.wanted == "heat" and (house.heating == "oil" or house.boiler == "oil")


def _boiled(*sorts: str) -> Callable[[House], bool]:
    """It is a boiler of one of these sorts; of any that sends hot water round if none is named.

    What shuts a boiler's pipe end is no homeowner's mend: it stands for damage.
    """
    wanted = sorts or ("gas", "condensing", "oil")
    return lambda house: house.boiler in wanted and house.wanted == "heat"


def _wall_unit(house: House) -> bool:
    return house.heating == "ductless"


def _burning(house: House) -> bool:
    """Something burns fuel in the home."""
    fuelled = house.heating in (*GAS_KINDS, "oil") and house.cooling != "one-box"
    return fuelled and house.wanted == "heat"


SOOTY: dict[str, Any] = {"burners": "late", "sensor": False}
"""Oil that lights late, and soot that blinds the cell."""

OTHERS: Mapping[str, Fault] = {
    "oil-tank-empty": Fault(
        lambda h: iter(
            [("shown", 0.85, replace(h, tank="empty"))] * _oil(h)
            + [("stuck", 0.15, replace(h, tank="empty", gauge="stuck"))]
            * (_oil(h) and h.gauge == "right")
        )
    ),
    "oil-lock-out": Fault(_if(_oil, burner="no-spark")),
    "oil-flame-not-seen": Fault(_if(_oil, sensor=False)),
    "oil-soot-puff": Fault(
        _ways(
            _oil,
            ("soot", 0.8, SOOTY | _signs(("scorch-or-bang", "seen"))),
            ("smoke", 0.2, SOOTY | _signs(("fire-signs", "smoke-or-sparks"))),
        )
    ),
    "oil-water-or-cold": Fault(
        lambda h: iter(
            [("water", 0.4, replace(h, oil="bad"))] * _oil(h)
            + [("cold", 0.6, replace(h, oil="bad"))]
            * (_oil(h) and _frost(h) and h.tank_place == "outdoors")
        )
    ),
    "oil-pump-failed": Fault(
        _ways(
            _oil,
            ("dry", 0.5, {"burner": "no-pressure"}),
            ("hum", 0.3, {"burner": "hum"}),
            ("dead", 0.2, {"burner": "dead"}),
        )
    ),
    "oil-line-air": Fault(_if(_oil, oil="air", delivery="after-dry")),
    "boiler-water-low": Fault(_if(_boiled(), water_side="low")),
    "boiler-pump-failed": Fault(_if(_boiled(), water_side="no-flow")),
    "zone-valve-stuck": Fault(
        _ways(
            _boiled(), ("part", 0.6, {"zones": "stuck"}), ("all", 0.4, {"water_side": "zone-shut"})
        )
    ),
    "air-in-loop": Fault(_if(_boiled(), water_side="air")),
    "expansion-tank-full": Fault(
        _if(_boiled(), **_signs(("water", "puddle"))), mechanism=False, perceived="water"
    ),
    "boiler-draft-guard": Fault(_if(_boiled("gas", "steam"), limit="stuck")),
    "boiler-code": Fault(
        _ways(
            _boiled("condensing"),
            ("flue", 0.4, {"flue": "damaged"}),
            ("trap", 0.3, {"trap": "blocked"}),
            ("ignition", 0.3, {"igniter": False}),
        )
    ),
    "boiler-over-pressure": Fault(_if(_boiled(), water_side="over")),
    "zone-frozen": Fault(_if(_both(_boiled(), _frost), zones="stuck")),
    "steam-water-level": Fault(
        _ways(
            _boiled("steam"),
            ("low", 0.7, {"water_side": "low"}),
            ("high", 0.3, {"water_side": "high"}),
        )
    ),
    "head-filter-dirty": Fault(_if(_wall_unit, filter="dirty")),
    "head-drain-blocked": Fault(
        _if(
            lambda h: _wall_unit(h) and h.wanted == "cool",
            **_signs(("water", "puddle")),
        ),
        mechanism=False,
        perceived="water",
    ),
    "head-link-lost": Fault(_if(_wall_unit, head="code")),
    "remote-or-mode": Fault(
        _ways(
            _wall_unit,
            ("modes", 0.5, {"heads": "opposed"}),
            ("setting", 0.5, {"setting": "off-or-wrong-mode"}),
        )
    ),
    "outdoor-electronics": Fault(_if(_wall_unit, compressor="dead")),
    "co-in-home": Fault(
        _ways(
            _burning,
            ("alarm", 0.9, _signs(("co-alarm", "sounded"))),
            ("ill", 0.1, _signs(("person-ill", "ill"))),
        ),
        mechanism=False,
        perceived="co-alarm",
    ),
    "fire-or-smoke": Fault(
        _one(**_signs(("fire-signs", "smoke-or-sparks"))),
        mechanism=False,
        perceived="burning-smell",
    ),
    "boiler-lock-out": Fault(_if(_boiled("gas", "steam"), igniter=False)),
}

FAULTS: Mapping[str, Fault] = {**POWER, **THERMOSTAT, **HEAT, **COOL, **OTHERS}
"""Cause id -> its edit."""


def hurt(house: House, cause: str) -> Iterator[Variant]:
    """The variants of `cause` in `house`, shares adding up to 1; none where it can't be."""
    variants = list(FAULTS[cause].edit(house))
    whole = sum(share for _, share, _ in variants)
    for name, share, edited in variants:
        yield name, share / whole, edited
