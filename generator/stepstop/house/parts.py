"""What the parts of a 24 V control circuit are like: resistances, and volts at which they act.

Typical figures of such parts at their usual voltage: common practice, no source, unless a line says
otherwise. Coils count as the resistance that draws their usual current (impedance at 60 Hz).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

OPEN_VOLTS = 27.0
"""Volts of the control transformer with nothing connected; 26 to 28 are met."""

WINDING_OHMS: Mapping[int, float] = {40: 1.8, 60: 1.2, 75: 0.96}
"""Rated VA -> ohms inside the transformer, as its secondary sees them.

24 V at full load: 27 V less 1.667 A times 1.8 ohm.
"""

RATED_VOLTS = 24.0
"""Volts by which a nameplate's VA becomes amperes."""

FUSE_OHMS: Mapping[float, float] = {0.0: 0.001, 3.0: 0.035, 5.0: 0.020}
"""Amperes on a board's blade fuse -> ohms; 0: a link instead of a fuse."""

OHMS_PER_FOOT = 0.0065
"""One conductor of 18 AWG copper, one way, near 25 degrees C.

At 20 it is 6.385 ohm per 1000 ft, by ASTM B258.
"""

TRACE_OHMS = 0.001
"""A joint on the board."""

CONTACT_OHMS = 0.05
"""A closed switch, guard or relay contact."""

BOND_OHMS = 0.02
"""The strap from the circuit's common to the metal of the cabinet."""

INRUSH_OHMS = 18.0
"""A contactor's coil while its armature is open: 20 to 35 VA, for under `INRUSH_SECONDS`."""

INRUSH_SECONDS = 0.05
"""Until a contactor's armature has closed."""

STEAL_OHMS = 5000.0
"""What a thermostat without common wire puts across its own open contacts to live on."""

STEAL_AMPS = (0.0023, 0.0026)
"""Such a thermostat starves below the first on a call wire, and lives well above the second.

The second is what 16 V drive through `STEAL_OHMS` and a sense input.
"""


@dataclass(frozen=True, slots=True)
class Load:
    """Ohms of a load; it acts from `pull_in` volts, and once it acts, down to `drop_out`."""

    ohms: float
    pull_in: float
    drop_out: float
    """Between the two it hums, dims or stutters."""


LOADS: Mapping[str, Load] = {
    # The board's own electronics, 0.1 to 0.25 A; it resets under 16 to 18 V.
    "LOGIC": Load(150.0, 18.0, 16.0),
    # A thermostat that lives on the circuit, 0.02 to 0.2 A; its screen goes under 16 to 18 V.
    "STAT": Load(240.0, 18.0, 16.0),
    # What a board hears its calls with, 10 to 40 mA. Their volts are a guess of ours.
    "W_IN": Load(1200.0, 14.0, 8.0),
    "W2_IN": Load(1200.0, 14.0, 8.0),
    "Y_IN": Load(1200.0, 14.0, 8.0),
    "G_IN": Load(1200.0, 14.0, 8.0),
    # What it watches its limit and roll-out guards with: a few mA, a guess of ours.
    "STRING": Load(10_000.0, 14.0, 8.0),
    # Coils of relays on the board, 0.1 to 0.2 A. Relays pull in from 18 V and let go at 6 to 14.
    "IND": Load(200.0, 18.0, 10.0),
    "BLW": Load(160.0, 18.0, 10.0),
    # Gas valve, 0.3 to 0.6 A.
    "MV": Load(60.0, 18.0, 10.0),
    # Contactor, closed: 0.2 to 0.5 A. Open, it is `INRUSH_OHMS`.
    "CC": Load(75.0, 18.0, 10.0),
    # Reversing valve of a heat pump, 0.2 to 0.35 A.
    "RV": Load(90.0, 18.0, 10.0),
    # Humidifier's valve, 0.4 to 0.6 A.
    "HUM": Load(48.0, 18.0, 10.0),
}

FAN_RELAY = Load(160.0, 18.0, 10.0)
"""`G_IN` of an old fan centre: the blower's relay itself."""
