"""One simulated house: what is installed, and the condition that it is in.

A fault is an edit of a house that is well; a check is another edit. Everything is a plain value, so
two houses in the same condition are equal and are simulated once.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from stepstop.house.control import Control

FURNACES = ("gas-plastic", "gas-metal")
"""Kinds of heating with an induced draft and a control board."""
PUMPS = ("heat-pump", "dual-fuel")
"""Kinds with a heat pump."""
ELECTRIC = ("electric", *PUMPS)
"""Kinds whose indoor unit may heat with electric elements."""
SPLIT = ("air-conditioner", "heat-pump")
"""Kinds of cooling with an outdoor unit apart from the fan indoors."""
DUCTED = (*FURNACES, "gas-pilot", "oil", *ELECTRIC)
"""Kinds that blow air through grilles."""


@dataclass(frozen=True, slots=True)
class House:
    """A house in one condition. Words are those of the findings' values where there are such."""

    # ---- what is installed ----
    heating: str = "gas-plastic"
    """gas-plastic, gas-metal, gas-pilot, electric, heat-pump, dual-fuel, oil, boiler, ductless,
    baseboard."""
    cooling: str = "air-conditioner"
    """air-conditioner, heat-pump, ductless, one-box, none."""
    control: Control = field(default_factory=Control)
    boiler: str = ""
    """Sort of boiler: gas, condensing, oil, steam; empty where there is none."""
    pace: str = "usual"
    """How fast the board works through its steps: quick, usual, slow."""
    tries: int = 3
    """Tries for ignition before a lock-out."""
    call_clears: bool = True
    """A call that ends and begins anew clears a lock-out (else only a power cycle does)."""
    idle_light: str = "heartbeat"
    """What the board's light does when all is well: steady, heartbeat."""
    window: bool = True
    """The board's light can be seen from outside."""
    signals: str = "groups"
    """How the board blinks a code: groups, two-groups, long-short, two-lights."""
    label: bool = False
    """The list of blinks can be read from outside."""
    audible: bool = True
    """A person at the thermostat or a grille hears the unit."""
    filter_place: str = "slot"
    panel_by_hand: bool = True
    has_switch: bool = True
    labelled: bool = True
    """Labels in the electrical panel name the units."""
    pump: bool = False
    """A condensate pump stands beside the unit."""
    pan: bool = True
    """A drain pan can be seen."""
    other_gas: bool = True
    fan_settable: bool = True
    spare_filter: bool = True
    spare_batteries: bool = True
    outdoor_heard: bool = True
    """The outdoor unit can be seen or heard from indoors."""
    pipe_ends_seen: bool = True
    tank_place: str = "indoors"
    """Where the oil tank is: indoors, outdoors, buried."""
    gauge: str = "right"
    """Gauge of the oil tank: right, stuck (shows oil whatever is there), none."""
    latching: bool = False
    """The thermostat's relays stay as they are when its batteries die."""

    # ---- wishes and weather ----
    wanted: str = "heat"
    """heat or cool."""
    weather: str = "frost"
    """frost, cool, mild, hot."""

    # ---- thermostat ----
    setting: str = "right"
    """right, off-or-wrong-mode, wrong-number, hold-or-away."""
    mode: str = ""
    """heat, cool, emergency-heat, off, thaw; empty: as `setting` has it."""
    fan: str = "auto"
    """auto, on, circulate."""
    cells: str = "good"
    """Batteries of the thermostat: good, low, dead, none-left."""
    cell_contacts: bool = True
    """Fresh batteries reach the electronics."""
    thermostat_alive: bool = True
    """Its electronics work when they have power."""
    stuck_contact: str = ""
    """A thermostat contact that stays closed whatever is set: W, Y or G."""
    swapped: str = ""
    """Wires on wrong terminals: `W-Y`, `O-B`, `Y-G`."""
    mains: bool = False
    """A line-voltage thermostat."""

    # ---- line power ----
    supply: str = "whole"
    """whole, out, part (the indoor unit's), other-part (the outdoor unit's)."""
    breaker: str = "in-line"
    """in-line, out-of-line, fully-off, odd-panel."""
    breaker_holds: bool = True
    """It stays in when it is closed."""
    switch: str = "on"
    """The unit's own switch: on, off, odd."""
    panel: str = "flush"
    """flush, gap; with a gap the door switch is open."""
    panel_stays: bool = True
    outlet: bool = True
    """The outlet that feeds the unit or its pump is live."""
    heat_breakers: float = 1.0
    """Share of the electric elements whose breakers are in."""

    # ---- indoor unit ----
    board: str = "good"
    """good, dead."""
    blower: str = "good"
    """good, dead, hum, overheats, always (relay welded or a leak guard runs it)."""
    inducer: str = "good"
    """good, dead, hum."""
    draft: str = "good"
    """The pressure switch: good, never (stuck open), always (stuck closed)."""
    flue: str = "clear"
    """clear, blocked, damaged."""
    chimney: str = "clear"
    """clear or blocked where a person can't see."""
    trap: str = "clear"
    """Drain of the flue condensate: clear, blocked, frozen."""
    igniter: bool = True
    gas: bool = True
    valve: str = "good"
    """Gas valve: good, shut, leaks."""
    burners: str = "good"
    """good, dirty, late (lights with a bang)."""
    sensor: bool = True
    """The flame is noticed."""
    limit: str = "good"
    """good, stuck (open although cold)."""
    rollout: bool = False
    """A roll-out guard has opened."""
    pilot: str = "lit"
    """lit, out, not-noticed; for a standing pilot."""
    locked: bool = False
    """The board waits in a lock-out."""
    filter: str = "clean"
    """clean, dirty, foul (soot, water or animals)."""
    grilles: str = "open"
    """open, shut-or-covered."""
    ducts: str = "whole"
    """whole, off."""
    zones: str = "good"
    """good, stuck (air reaches only part of the home), shut (one room's own grilles are)."""
    elements: float = 1.0
    """Share of the electric elements that heat."""
    sequencer: str = "good"
    """good, dead, stuck (elements stay on)."""
    heads: str = "alike"
    """Modes of ductless heads: alike, opposed (the later one waits)."""
    head: str = "good"
    """A ductless head's electronics: good, code (it shows a code and waits)."""
    tank: str = "filled"
    """Oil tank: filled, empty."""
    delivery: str = "none"
    """Oil brought since it last worked: none, after-dry (the tank had run dry), lately."""
    oil: str = "good"
    """What comes through the oil pipe: good, air, bad (water in it, or thick with cold)."""
    burner: str = "good"
    """Oil burner: good, no-spark, no-pressure (its motor turns, its pump gives nothing), hum, dead
    (both: its motor does not turn)."""
    water_side: str = "good"
    """A boiler's water: good, low, high (steam), over (pressure), no-flow, air, zone-shut."""

    # ---- water from cooling ----
    drain: str = "clear"
    """clear, blocked, spare (blocked, and a spare pipe outdoors carries the water)."""
    pump_works: bool = True
    leak: str = ""
    """What lets water out beside drain and pump: pan, humidifier, roof, flood."""
    attic: bool = False
    """The unit stands above a ceiling, which shows its water."""

    # ---- outdoor unit ----
    outdoor_breaker: str = "in-line"
    outdoor_holds: bool = True
    pullout: str = "in-place"
    """in-place, out."""
    outdoor_fuses: bool = True
    cable: str = "whole"
    """whole, damaged: by eye."""
    contactor: str = "good"
    """good, open, chatter, welded."""
    capacitor: bool = True
    outdoor_fan: bool = True
    compressor: str = "good"
    """good, locked, dead."""
    charge: str = "full"
    """full, low."""
    pressure: str = "good"
    """good, trips (stops after minutes)."""
    surroundings: str = "free"
    """free, smothered, tilted-or-hit."""
    coil: str = "clear"
    """Indoor coil: clear, ice."""
    outdoor_ice: str = "none"
    """none, light-frost, solid-ice, snowed-in."""
    reversing: str = "good"
    """good, stuck (the wrong way for what is wanted)."""
    o_b: str = "right"
    """right, wrong: the thermostat drives the valve the wrong way."""
    defrost: str = "good"
    """good, dead, now (a normal defrost is going on)."""
    undersized: bool = False
    """At its limit in this weather."""
    rested: bool = True
    """The outdoor unit has been still for longer than its delay."""
    event: bool = False
    """An app or a utility has changed the wanted number."""

    # ---- what is smelled and heard ----
    smell: str = ""
    """dusty, electric, oil, musty; a smell of gas or exhaust is a sign of danger."""
    noise: str = ""
    """squeal or rattle of a worn part; what hums, bangs or gurgles follows from the rest."""

    # ---- signs of danger ----
    signs: frozenset[tuple[str, str]] = frozenset()
    """(danger finding, value) pairs that a person with good senses would tell."""

    # ---- the walk so far ----
    called: str = "long"
    """Since when the thermostat asks: `long` (hours) or `fresh` (set anew on this walk)."""


def edit(house: House, **sets: Any) -> House:
    """`house` with these fields set; the very same where they are so already, which is quick."""
    new = {name: value for name, value in sets.items() if getattr(house, name) != value}
    return replace(house, **new) if new else house


def outdoors_wanted(house: House) -> bool:
    """Whether a split outdoor unit is what gives the warmth or cold that is wanted now."""
    return house.cooling in SPLIT and (house.wanted == "cool" or house.heating in PUMPS)
