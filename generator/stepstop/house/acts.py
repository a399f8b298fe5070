"""What a person has done to a house on this walk, as far as the house can feel it.

An `Acts` is small on purpose: two walks that did the same to the house are in the same state, in
whatever order. It is the part of a walk's past that decides what is seen and heard next.
"""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, order=True)
class Acts:
    """The state of everything that a check can change; empty words mean: as it was found."""

    thermostat: str = ""
    """`off`, `heat`, `cool`, `emergency-heat` or `thaw`, as last set."""
    fan: str = ""
    """`auto`, once the fan choice was set to AUTO."""
    renewed: bool = False
    """A call for heat was ended and begun anew."""
    stayed: bool = False
    """Left to heat for a quarter of an hour."""
    thawed: bool = False
    """A thaw was begun: cooling off and the fan on, for hours."""
    batteries: bool = False
    """New ones were put in."""
    grilles: bool = False
    """Opened and freed."""
    filter: bool = False
    """Looked at, and changed if it was dirty and a new one was there."""
    panel: bool = False
    """Pressed home."""
    modes: bool = False
    """All ductless heads were set to the same mode."""
    pipes: bool = False
    """Pipe ends outside cleared."""
    outdoor: bool = False
    """Space round the outdoor unit cleared."""
    switch: str = ""
    """The unit's own switch: `off`, `back-on`, `on-once` or `cycled`."""
    breaker: str = ""
    """The indoor unit's breaker: `closed-once` or `off`."""
    outdoor_breaker: str = ""
    """The outdoor unit's breaker: `off`, `back-on` or `closed-once`."""


NONE = Acts()

_SETS: dict[str, dict[str, str | bool]] = {
    "read-screen": {},
    "set-heat": {"thermostat": "heat", "fan": "auto"},
    "set-heat-long": {"thermostat": "heat", "fan": "auto", "stayed": True},
    "set-heat-anew": {"thermostat": "heat", "fan": "auto", "renewed": True},
    "wait-for-melting": {},
    "set-heat-after-clearing": {"thermostat": "heat", "fan": "auto"},
    "set-cool": {"thermostat": "cool", "fan": "auto"},
    "thermostat-off": {"thermostat": "off", "fan": "auto"},
    "end-the-heat": {"thermostat": "off"},
    "mode-off-and-wait": {"thermostat": "off", "fan": "auto"},
    "match-modes": {"modes": True},
    "rinse-screens": {"filter": True},
    "fan-to-auto": {"fan": "auto"},
    "fan-to-on": {"thermostat": "off", "fan": "auto"},
    "change-batteries": {"batteries": True},
    "set-emergency-heat": {"thermostat": "emergency-heat"},
    "thaw": {"thermostat": "thaw", "fan": "", "thawed": True},
    "open-grilles": {"grilles": True},
    "change-grille-filter": {"filter": True},
    "change-filter": {"filter": True},
    "listen-at-unit": {"thermostat": "heat", "renewed": True},
    "read-light": {},
    "watch-flame": {},
    "look-at-drain-pan": {},
    "look-at-service-switch": {},
    "switch-on-once": {"switch": "on-once"},
    "switch-off": {"switch": "off", "thermostat": "off"},
    "switch-back-on": {"switch": "back-on"},
    "power-cycle-once": {"switch": "cycled"},
    "seat-door-panel": {"panel": True},
    "look-at-breakers": {},
    "look-at-outdoor-breaker": {},
    "reset-breaker-once": {"breaker": "closed-once"},
    "breaker-on-once": {"breaker": "closed-once"},
    "breaker-off-and-leave": {"breaker": "off"},
    "reset-outdoor-breaker-once": {"outdoor_breaker": "closed-once", "thermostat": "cool"},
    "outdoor-breaker-off": {"outdoor_breaker": "off"},
    "outdoor-breaker-on": {"outdoor_breaker": "back-on", "thermostat": "cool"},
    "clear-outdoor-unit": {"outdoor": True},
    "clear-pipe-ends": {"pipes": True},
}
"""Check id -> what it does to the house. `switch-off` tells to set the thermostat to OFF first."""

CHECKS = frozenset(_SETS)
"""The checks whose doing the house model knows."""


def after(acts: Acts, check: str) -> Acts:
    """`acts` with `check` done; KeyError for a check that the house model doesn't know."""
    sets = _SETS[check]
    if "thermostat" not in sets:
        return replace(acts, **sets)  # type: ignore[arg-type]
    other = acts.thermostat not in ("", "heat", "emergency-heat")
    renewed = sets["thermostat"] == "heat" and (acts.renewed or other)
    begun: dict[str, str | bool] = {"stayed": False, "renewed": renewed}
    return replace(acts, **{**begun, **sets})  # type: ignore[arg-type]
