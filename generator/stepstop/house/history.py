"""What people tell about the time before: declared chances, never physics, never certain.

Three classes, judgement, common practice, no source: `often`, `sometimes`, and `seldom` for all the
rest. A rehearsal is also run without these answers.
"""

from __future__ import annotations

from collections.abc import Mapping

from stepstop.house.house import House

HISTORY = ("what-changed", "when-it-dies", "froze-before")
"""The findings that are told of the time before."""
OFTEN = 0.65
SOMETIMES = 0.3

CHANGED = (
    "none",
    "thermostat-or-wires",
    "filter-or-panel",
    "outdoor-work",
    "storm-or-outage",
    "electric-work",
    "water",
    "other",
)
NOTHING = 0.7
"""Share of the rest that knows of nothing."""

WHAT_CHANGED: Mapping[str, tuple[str, float]] = {
    "board-fuse-moved-wires": ("thermostat-or-wires", OFTEN),
    "wrong-terminals": ("thermostat-or-wires", OFTEN),
    "heat-pump-set-up": ("thermostat-or-wires", OFTEN),
    "missing-common-wire": ("thermostat-or-wires", OFTEN),
    "starved-thermostat": ("thermostat-or-wires", SOMETIMES),
    "fan-wire-touching": ("thermostat-or-wires", OFTEN),
    "heat-wire-touching": ("thermostat-or-wires", OFTEN),
    "cool-wire-touching": ("thermostat-or-wires", OFTEN),
    "call-wires-touching": ("thermostat-or-wires", OFTEN),
    "thermostat-wire-open": ("thermostat-or-wires", SOMETIMES),
    "one-supply-of-two-dead": ("thermostat-or-wires", SOMETIMES),
    "wrong-protection-fitted": ("thermostat-or-wires", SOMETIMES),
    "panel-not-seated": ("filter-or-panel", OFTEN),
    "service-switch-off": ("filter-or-panel", SOMETIMES),
    "board-fuse-outdoor-cable": ("outdoor-work", OFTEN),
    "outdoor-cable-cut": ("outdoor-work", OFTEN),
    "outdoor-pullout-out": ("outdoor-work", OFTEN),
    "surge-damage": ("storm-or-outage", OFTEN),
    "power-cut-or-part-cut": ("storm-or-outage", OFTEN),
    "breaker-tripped": ("storm-or-outage", SOMETIMES),
    "breaker-trips-again": ("storm-or-outage", SOMETIMES),
    "safety-wait": ("storm-or-outage", SOMETIMES),
    "outdoor-fuses": ("storm-or-outage", SOMETIMES),
    "board-dead": ("storm-or-outage", SOMETIMES),
    "control-supply-dead": ("storm-or-outage", SOMETIMES),
    "built-in-delay": ("storm-or-outage", SOMETIMES),
    "flame-ground-fault": ("electric-work", OFTEN),
    "loose-line-joint": ("electric-work", SOMETIMES),
    "board-fuse-water": ("water", OFTEN),
    "humidifier-leak": ("water", OFTEN),
    "outlet-tripped": ("water", SOMETIMES),
    "flooded-unit": ("water", OFTEN),
    "flame-not-seen": ("other", SOMETIMES),
    "dirty-filter": ("other", SOMETIMES),
    "closed-grilles": ("other", SOMETIMES),
    "roll-out": ("other", SOMETIMES),
}
"""Cause -> what people who have it name most, and how often."""

FROZE_BEFORE: Mapping[str, float] = {
    "low-refrigerant": OFTEN,
    "no-defrost": OFTEN,
    "frozen-coil": SOMETIMES,
    "dirty-filter": SOMETIMES,
    "closed-grilles": SOMETIMES,
    "cooling-in-cold": SOMETIMES,
}
"""Cause -> how often people who have it have seen ice come, melt and come again."""
SELDOM = 0.1
"""The same for every other cause."""

DIES = ("power-up", "heat-call", "cool-call", "fan-call", "after-minutes")
TOLD = 0.7
"""Share of people who name the right moment at which all goes dead."""


def what_changed(cause: str) -> dict[str, float]:
    """Chances of what somebody with `cause` tells."""
    value, chance = WHAT_CHANGED.get(cause, ("none", 0.0))
    rest = [name for name in CHANGED if name not in ("none", value)]
    left = 1.0 - chance
    told = {name: left * (1.0 - NOTHING) / len(rest) for name in rest}
    told["none"] = left * NOTHING
    told[value] = told.get(value, 0.0) + chance
    return told


def froze_before(cause: str) -> dict[str, float]:
    """Chances of what somebody with `cause` tells of ice in the weeks before."""
    again = FROZE_BEFORE.get(cause, SELDOM)
    return {"first-time": 1.0 - again, "again": again}


def when_it_dies(house: House) -> dict[str, float]:
    """Chances of the moment that people name, by the wire that is hurt."""
    moment = _moment(house)
    if not moment:
        return dict.fromkeys(DIES, 1.0 / len(DIES))
    rest = (1.0 - TOLD) / (len(DIES) - 1)
    return {name: TOLD if name == moment else rest for name in DIES}


def _moment(house: House) -> str:
    if house.control.coils:
        return "after-minutes"
    for one, other, _ in house.control.shorts:
        letter = (set(one + other) & set("WYG")) or {"R"}
        return {"W": "heat-call", "Y": "cool-call", "G": "fan-call"}.get(letter.pop(), "power-up")
    return ""


def told(finding: str, cause: str, house: House) -> dict[str, float] | None:
    """Chances of a history answer, or None where the finding isn't history."""
    if finding == "what-changed":
        return what_changed(cause)
    if finding == "froze-before":
        return froze_before(cause)
    return when_it_dies(house) if finding == "when-it-dies" else None
