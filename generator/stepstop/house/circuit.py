"""A control circuit as installed and as hurt, and one moment of what drives it.

Node names: S1 transformer, RB behind the board's fuse, R W W2 Y G O B C the board's letters; RT WT
W2T YT GT OT BT CT the same at the thermostat; SS1 SS2 SS3 along the limit, roll-out and draft
guards, MVn at the gas valve; WF and YF behind a float guard, YO YM YP along the outdoor lead, OO or
BO at the reversing valve, CO the common outdoors; CH metal of the cabinet; RC and RCT the second
supply, on the board and at the thermostat.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from stepstop.house.parts import FUSE_OHMS, LOADS, WINDING_OHMS

LETTERS = ("W", "W2", "Y", "G", "O", "B")
"""Calls that a thermostat has a contact for."""

_NODES = """
S1 RB R RT W WT WF W2 W2T Y YT YF YO YM YP G GT O OT OO B BT BO C CT CO CH SS1 SS2 SS3 MVn RC RCT
"""
NODES = frozenset(_NODES.split())
"""Nodes that a circuit may have, and so ends that a short may have."""

_ELEMENTS = """
TX TX2 F1 BOARD_R BOND LIM ROS PS HPS LPS FS_R FS_W FS_Y K_GV K_W K_W2 K_Y K_G K_O K_B
WIRE_R WIRE_RC WIRE_W WIRE_W2 WIRE_Y WIRE_G WIRE_O WIRE_B WIRE_C WIRE_YO WIRE_OO WIRE_BO WIRE_CO
"""
ELEMENTS = frozenset(_ELEMENTS.split()) | frozenset(LOADS)
"""What may be broken open; F1: the fuse has melted; TX, TX2: that transformer is dead.

Beside these, every load of `LOADS`. WIRE_R and the like lead to the thermostat, WIRE_YO, WIRE_OO,
WIRE_BO, WIRE_CO outdoors. LIM ROS PS: limit, roll-out and draft guards; HPS LPS: refrigerant
guards; FS_R FS_W FS_Y: float guard; K_W and the like: the thermostat's contacts; K_GV: the board's
contact for the gas valve; BOARD_R: joint from the fuse to R; BOND: common to cabinet.
"""

BOARDS = ("logic-after-fuse", "logic-before-fuse", "string-after-fuse")
"""Where a board feeds its electronics, and how it watches its limit and roll-out guards.

`logic-after-fuse`: all behind the fuse. `logic-before-fuse`: the electronics before it, and the
guards watched from end to end, so that a melted fuse isn't taken for an open guard.
`string-after-fuse`: the electronics before it, the guards watched at their far end only.
"""

THERMOSTATS = ("wires", "batteries", "both", "stealing", "none")
FLOATS = ("", "R", "Y", "W", "board")


@dataclass(frozen=True, slots=True)
class Control:
    """A control circuit. Raises ValueError for a name or size that isn't known."""

    va: int = 40
    """Rated VA of the transformer: 40, 60, 75."""
    fuse_amps: float = 3.0
    """The board's fuse: 3, 5; 0 is none (a link)."""
    board: str = "logic-after-fuse"
    """One of `BOARDS`."""
    fan_centre: bool = False
    """An old fan centre: G is a relay's coil, and Y does not start the blower."""
    common_wire: bool = True
    """C is connected at the thermostat."""
    thermostat: str = "wires"
    """What it lives on: wires (R and C), batteries, both, stealing (its call wires), none."""
    float_in: str = ""
    """Where a float guard sits: R, Y, W, board (which then lets go of heat and of the outdoor
    unit), or nowhere."""
    two_supplies: bool = False
    """A second transformer feeds Y, G and the reversing valve; both share C and their phase."""
    bonded: bool = True
    """C is tied to the metal of the cabinet."""
    thermostat_feet: int = 50
    outdoor_feet: int = 50
    outdoor: bool = True
    """An outdoor unit hangs on Y."""
    valve: str = ""
    """Letter that the reversing valve is on: O, B, or no valve. Either call drives it, since the
    thermostat has one terminal for both."""
    humidifier: bool = False
    """Its valve hangs on W."""
    opens: frozenset[str] = frozenset()
    """Elements that are broken open, of `ELEMENTS`; one that this circuit lacks changes nothing."""
    shorts: tuple[tuple[str, str, float], ...] = ()
    """(node, node, ohms): what touches that should not; `ground` is the cabinet, CH."""
    coils: tuple[tuple[str, float], ...] = ()
    """(load, ohms): loads that draw something else than theirs; the last word counts."""

    def __post_init__(self) -> None:
        _known("VA", self.va, WINDING_OHMS)
        _known("fuse", self.fuse_amps, FUSE_OHMS)
        _known("board", self.board, BOARDS)
        _known("thermostat", self.thermostat, THERMOSTATS)
        _known("place of a float guard", self.float_in, FLOATS)
        _known("valve letter", self.valve, ("", "O", "B"))
        for name in sorted(self.opens):
            _known("element", name, ELEMENTS)
        for name, _ in self.coils:
            _known("load", name, LOADS)
        for one, other, _ in self.shorts:
            _known("node", one, NODES | {"ground"})
            _known("node", other, NODES | {"ground"})


def _known(what: str, value: object, values: Container[object]) -> None:
    if value not in values:
        raise ValueError(f"no such {what}: {value}")


@dataclass(frozen=True, slots=True)
class Drive:
    """What the thermostat, the guards and the board do at one moment."""

    power: bool = True
    """Line power at the transformers."""
    calls: frozenset[str] = frozenset()
    """Thermostat contacts that are closed, of `LETTERS`; Y closes G by itself."""
    limit: bool = True
    rollout: bool = True
    pressure: bool = False
    """The draft guard is closed."""
    float_up: bool = False
    """Water has lifted the float guard: its contact is open."""
    gas_valve: bool = False
    inducer: bool = False
    blower: bool = False
    """What the board wants to switch; it does while its electronics live."""
    pressure_guards: bool = True
    """Refrigerant guards in the outdoor lead are closed."""

    def __post_init__(self) -> None:
        for letter in sorted(self.calls):
            _known("call", letter, LETTERS)
