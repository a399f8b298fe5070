"""How long each part of a start takes: a declared grid of three paces within the usual ranges.

All values are common practice, no source: boards differ, and many can be set. Seconds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Pace:
    """Durations in seconds."""

    thermostat: float
    """From the set number to the contact."""
    inducer: float
    """From the call to the small fan."""
    draft: float
    """Until the pressure switch closes."""
    draft_limit: float
    """After which the board gives up waiting for it."""
    purge: float
    glow: float
    trial: float
    """How long gas comes while no flame is noticed."""
    blower_on: float
    """From the flame to the big fan."""
    blower_off: float
    """From the end of the heat to the end of the big fan, on a warm switch."""
    hot: float
    """Until the limit opens with no air at all."""
    warm: float
    """Until it opens with too little air."""
    cool_down: float
    """Until it closes again."""
    fan_hot: float
    """Until a worn motor of the big fan stops hot; it rests as long."""
    pause: float
    """Between two tries."""
    lock_out: float
    sequencer: float
    """Until the first electric stage heats."""
    stage: float
    """From one electric stage to the next."""
    delay: float
    """The compressor's own wait after a stop."""
    pilot_fan: float
    """Until a heat-operated switch starts the fan of an old furnace."""
    pressure_trip: float
    """Running time of a compressor until its guard opens."""
    defrost: float
    """How long the fan of a heat pump rests while its coil is freed of frost."""
    oil_purge: float
    """From the start of an oil burner's motor until its oil comes."""
    oil_safety: float
    """In which an oil burner's flame must be seen."""
    oil_fan: float
    """From the oil flame to the big fan."""
    preheat: float
    """How long a ductless head keeps its fan still in a winter start."""
    zone: float
    """Until a boiler's zone valve is open."""


GRID = ("quick", "usual", "slow")
"""The paces of the grid that trees are mended on; `brisk` and `gentle` lie off it."""

SECONDS: Mapping[str, tuple[float, float, float]] = {
    "thermostat": (2, 10, 40),
    "inducer": (1, 5, 12),
    "draft": (2, 5, 12),
    "draft_limit": (30, 45, 60),
    "purge": (15, 25, 50),
    "glow": (17, 30, 45),
    "trial": (4, 5, 7),
    "blower_on": (20, 35, 55),
    "blower_off": (90, 110, 170),
    "hot": (60, 120, 240),
    "warm": (150, 300, 450),
    "cool_down": (120, 180, 280),
    "fan_hot": (240, 420, 660),
    "pause": (10, 30, 60),
    "lock_out": (3600, 5400, 10800),
    "sequencer": (15, 30, 80),
    "stage": (10, 20, 30),
    "delay": (180, 240, 300),
    "pilot_fan": (60, 120, 220),
    "pressure_trip": (300, 480, 720),
    "defrost": (180, 360, 600),
    "oil_purge": (0, 5, 15),
    "oil_safety": (15, 30, 45),
    "oil_fan": (30, 60, 110),
    "preheat": (180, 300, 600),
    "zone": (15, 60, 180),
}
"""Field of a pace -> seconds, one for each of `GRID`."""


def between(one: Pace, other: Pace) -> Pace:
    """The mean of two paces."""
    return Pace(*((getattr(one, f.name) + getattr(other, f.name)) / 2 for f in fields(Pace)))


PACES: dict[str, Pace] = {
    name: Pace(**{field: values[number] for field, values in SECONDS.items()})
    for number, name in enumerate(GRID)
}
"""A rehearsal on a doubled grid adds the two means between neighbours (`between`)."""

PACES["brisk"] = between(PACES["quick"], PACES["usual"])
PACES["gentle"] = between(PACES["usual"], PACES["slow"])
