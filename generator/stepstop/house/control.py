"""The 24 V control circuit settled: what acts, what hums, what melts and when.

Loads act from their pull-in volts and, once they act, down to their drop-out volts. The circuit is
solved again and again with what acts until nothing changes; if it comes back to where it was
without standing still, whatever differed on that way chatters.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from stepstop.house.burn import first, fuse_seconds, link_seconds
from stepstop.house.circuit import Control, Drive
from stepstop.house.netlist import load, netlist, steal_wires
from stepstop.house.nodal import Branch, Solution, solve
from stepstop.house.parts import INRUSH_SECONDS, LOADS, STEAL_AMPS

__all__ = ["Control", "Drive", "Settled", "after", "settle"]

AWAKE = frozenset({"LOGIC", "STAT"})
"""Electronics that live before a call is made, and so go into it with their lower volts."""

STRING_DROP = 12.0
"""Volts across a string of guards from which a board takes it for open. A guess of ours."""


@dataclass(frozen=True, slots=True)
class Settled:
    """The circuit once it is settled; figures of a chattering one are those of its most amperes."""

    volts: Mapping[str, float]
    """Node -> volts against C; one that nothing is left on is not there."""
    amps: Mapping[str, float]
    """Branch or supply -> amperes; one that is open is not there."""
    in_: frozenset[str]
    """Loads and relays that act, inputs that are heard: of `LOADS`.

    STRING: the board sees its limit and roll-out guards closed. STAT: a thermostat that lives on
    the circuit does.
    """
    chatter: frozenset[str]
    """Those that pull in and drop out by turns; STAT: a thermostat that restarts on each call."""
    weak: frozenset[str]
    """Those between drop-out and pull-in volts, in or not: they hum, dim, report low voltage."""
    fuse_seconds: float
    """Until the board's fuse melts; inf if it holds or is gone."""
    link_seconds: float
    """Until a transformer's thermal link opens, the first of two; inf if none does."""


@dataclass(frozen=True, slots=True)
class _Pass:
    """One solution: what acted in it, and what it does to each load."""

    acting: frozenset[str]
    solution: Solution
    next: frozenset[str]
    weak: frozenset[str]


@lru_cache(maxsize=16384)
def settle(control: Control, drive: Drive, held: frozenset[str] = frozenset()) -> Settled:
    """The settled circuit; the loads in `held` act already.

    The thermostat's contacts are as `drive` has them, whatever becomes of its screen.
    """
    awake = _awake(control, drive)
    passes, again = _passes(control, drive, held | awake)
    cycle = passes[again:]
    worst = max(cycle, key=lambda each: (_drawn(each.solution), sorted(each.acting)))
    in_ = frozenset.intersection(*(each.acting for each in cycle))
    chatter = frozenset.union(*(each.acting for each in cycle)) - in_
    if control.thermostat == "wires" and "STAT" in awake - in_:
        chatter |= {"STAT"}
    return Settled(
        volts=worst.solution.volts,
        amps=worst.solution.amps,
        in_=in_,
        chatter=chatter,
        weak=frozenset.union(*(each.weak for each in cycle)),
        fuse_seconds=_fuse(control, passes[0].solution, worst.solution),
        link_seconds=first(_links(control, worst.solution.amps))[1],
    )


@lru_cache(maxsize=16384)
def after(control: Control, drive: Drive, seconds: float) -> Control:
    """`control` after `seconds` of `drive`: F1, TX or TX2 in `opens` where they have given way.

    What one leaves the next meets cold.
    """
    settled = settle(control, drive)
    lasting = {"F1": settled.fuse_seconds, **_links(control, settled.amps)}
    name, lasted = first(lasting)
    if lasted > seconds:
        return control
    return after(replace(control, opens=control.opens | {name}), drive, seconds - lasted)


def _awake(control: Control, drive: Drive) -> frozenset[str]:
    """Electronics that lived before the call of `drive`; at rest there is no before."""
    rest = replace(drive, calls=frozenset(), gas_valve=False, inducer=False, blower=False)
    return frozenset() if rest == drive else settle(control, rest).in_ & AWAKE


def _passes(control: Control, drive: Drive, acting: frozenset[str]) -> tuple[list[_Pass], int]:
    """Solutions in turn, and the number of the one that would come next again."""
    passes: list[_Pass] = []
    number: dict[frozenset[str], int] = {}
    while acting not in number:
        number[acting] = len(passes)
        passes.append(_pass(control, drive, acting))
        acting = passes[-1].next
    return passes, number[acting]


def _pass(control: Control, drive: Drive, acting: frozenset[str]) -> _Pass:
    branches, supplies = netlist(control, drive, acting)
    solution = solve(branches, supplies)
    volts = {b.name: _across(control, b, solution) for b in branches if b.name in LOADS}
    ranges = {name: load(control, name) for name in volts}
    acts = {n for n, v in volts.items() if v >= _needs(n, n in acting, control)}
    weak = {n for n, v in volts.items() if ranges[n].drop_out <= v < ranges[n].pull_in}
    if control.thermostat == "stealing":
        fed = _fed(control, solution, held="STAT" in acting)
        acts |= {"STAT"} if all(fed) else set()
        weak |= {"STAT"} if any(fed) and not all(fed) else set()
    if "LOGIC" not in acts:
        # Nobody watches.
        acts, weak = acts - {"STRING"}, weak - {"STRING"}
    return _Pass(acting, solution, frozenset(acts), frozenset(weak))


def _needs(name: str, acting: bool, control: Control) -> float:
    """Volts that keep a load acting, or make it act."""
    part = load(control, name)
    return part.drop_out if acting else part.pull_in


def _across(control: Control, branch: Branch, solution: Solution) -> float:
    volts = solution.volts
    if branch.name == "STRING" and control.board == "logic-before-fuse":
        # Watched from end to end: closed is as good as full volts, open as none.
        closed = volts.get("RB", 0.0) - volts["SS2"] < STRING_DROP
        return LOADS["STRING"].pull_in if closed else 0.0
    return abs(volts[branch.a] - volts[branch.b])


def _fed(control: Control, solution: Solution, *, held: bool) -> list[bool]:
    """For each wire that a thermostat without common lives on: whether enough flows."""
    enough = STEAL_AMPS[0 if held else 1]
    return [abs(solution.amps.get(wire, 0.0)) >= enough for wire in steal_wires(control)]


def _drawn(solution: Solution) -> float:
    """Amperes of the supplies together."""
    return sum(abs(solution.amps.get(name, 0.0)) for name in ("TX", "TX2"))


def _fuse(control: Control, inrush: Solution, settled: Solution) -> float:
    """Until the fuse melts: a coil's inrush counts only if it melts within that moment."""
    moment = fuse_seconds(abs(inrush.amps.get("F1", 0.0)), control.fuse_amps)
    lasting = fuse_seconds(abs(settled.amps.get("F1", 0.0)), control.fuse_amps)
    return min(moment, lasting) if moment <= INRUSH_SECONDS else lasting


def _links(control: Control, amps: Mapping[str, float]) -> dict[str, float]:
    """Supply -> seconds until its link opens."""
    return {name: link_seconds(abs(amps.get(name, 0.0)), control.va) for name in ("TX", "TX2")}
