"""What people tell of a storm or a power cut: declared chances, never physics, never certain.

Judgement, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from stepstop.house.house import House

KINDS = ("lightning", "wind", "snow", "outage")
STORM: Mapping[str, str] = {
    "surge-damage": "lightning",
    "breaker-tripped": "lightning",
    "outdoor-fuses": "lightning",
    "outdoor-unit-hit": "wind",
    "outdoor-cable-cut": "wind",
    "outside-pipes-blocked": "snow",
    "outdoor-snowed-in": "snow",
    "frozen-drain": "snow",
    "no-defrost": "snow",
}
"""Cause -> the kind of storm that people who have it name most; all others name the power cut."""
NAMED = 0.7
"""Share that names it."""

DEAD_BESIDE: Mapping[str, float] = {"surge-damage": 0.55, "power-cut-or-part-cut": 0.3}
"""Cause -> share that has lost something else to the storm."""
DEAD_ANYWAY = 0.06

ON_GENERATOR: Mapping[str, float] = {"flame-ground-fault": 0.45, "power-cut-or-part-cut": 0.15}
"""Cause -> share whose home a generator feeds at the time of the call."""
GENERATOR_ANYWAY = 0.03
SEEN = 0.98
"""Share that tells rightly whether the whole home has power."""


def storm_kind(cause: str, _: House) -> dict[str, float]:
    """Chances of the kind of storm that somebody with `cause` names."""
    most = STORM.get(cause, "outage")
    rest = (1.0 - NAMED) / (len(KINDS) - 1)
    return {name: NAMED if name == most else rest for name in KINDS}


def other_devices(cause: str, _: House) -> dict[str, float]:
    """Chances that other things in the home died with it."""
    dead = DEAD_BESIDE.get(cause, DEAD_ANYWAY)
    return {"dead": dead, "fine": 1.0 - dead}


def outage_feed(cause: str, house: House) -> dict[str, float]:
    """Chances of what feeds the home at the time of the call; a dark room is seen by most."""
    generator = ON_GENERATOR.get(cause, GENERATOR_ANYWAY)
    whole = SEEN if house.supply == "whole" else 1.0 - SEEN
    left = 1.0 - generator
    return {
        "generator": generator,
        "power-company": left * whole,
        "part-or-none": left * (1.0 - whole),
    }


TOLD: Mapping[str, Callable[[str, House], dict[str, float]]] = {
    "storm-kind": storm_kind,
    "other-devices": other_devices,
    "outage-feed": outage_feed,
}
"""Finding -> what somebody with a cause tells."""
