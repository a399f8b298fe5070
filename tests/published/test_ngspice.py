"""The solver against ngspice, an independent one, on whole control circuits.

This checks how a circuit is solved, not how it is drawn: both are given the same branches and
supplies. Whether those are the right ones is for `test_short_and_open_matrix`. ngspice has no leak
at its nodes here but 1e12 ohm, so what the leak of `nodal` brings is part of what is compared.
"""

import os
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

import pytest

from stepstop.house.circuit import ELEMENTS, Control, Drive
from stepstop.house.control import settle
from stepstop.house.netlist import netlist
from stepstop.house.nodal import Branch, Solution, Supply, solve

VOLTS = 1e-3
AMPS = 1e-4
MEASURED = "F1"
"""The branch whose current ngspice measures: a source of 0 V goes in series."""

CONTROLS = {
    "usual furnace": Control(),
    "fuse of 5, long run, board watches the guards' far end": Control(
        fuse_amps=5.0, thermostat_feet=150, board="string-after-fuse", humidifier=True, va=60
    ),
    "heat pump, board fed before its fuse": Control(
        valve="O", board="logic-before-fuse", outdoor_feet=100, va=75, float_in="Y"
    ),
    "old fan centre, no common wire, float in R": Control(
        fan_centre=True, common_wire=False, thermostat="stealing", float_in="R", bonded=False
    ),
    "two supplies, no fuse": Control(two_supplies=True, fuse_amps=0.0, valve="B", float_in="board"),
}

BURNING = {"pressure": True, "gas_valve": True, "inducer": True, "blower": True}
DRIVES = {
    "no call": Drive(),
    "heat": Drive(calls=frozenset({"W"})),
    "burner on": Drive(calls=frozenset({"W"}), **BURNING),
    "cool": Drive(calls=frozenset({"Y", "O"})),
    "fan": Drive(calls=frozenset({"G"})),
    "auxiliary heat": Drive(calls=frozenset({"Y", "B", "W2"})),
    "water high": Drive(calls=frozenset({"Y"}), float_up=True),
    "limit open": Drive(limit=False, blower=True),
}

ENDS = ("RT", "CT", "WT", "W2T", "YT", "GT", "ground")
OHMS = (0.05, 3.0, 10.0)
"""A dead short, an arc, a wet cable."""


@dataclass(frozen=True)
class Circuit:
    """One circuit to solve, and what `settle` made of it if it stands still."""

    name: str
    branches: list[Branch]
    supplies: list[Supply]
    settled: Solution | None


def hurt(control: Control) -> Iterator[tuple[str, Control]]:
    """The control as it is, with every pair of wires touching, and with every element open."""
    yield "whole", control
    valve = (f"{control.valve}T", f"{control.valve}O") if control.valve else ()
    for number, (one, other) in enumerate(combinations((*ENDS, *valve, "YO", "CO"), 2)):
        ohms = OHMS[number % len(OHMS)] if number % 4 == 3 else OHMS[0]
        yield f"{one}-{other}", replace(control, shorts=((one, other, ohms),))
    for element in sorted(ELEMENTS):
        yield f"{element} open", replace(control, opens=frozenset({element}))


def circuits(control: Control) -> Iterator[Circuit]:
    for harm, broken in hurt(control):
        for call, drive in DRIVES.items():
            settled = settle(broken, drive)
            stands = not settled.chatter - {"STAT"}
            yield Circuit(
                f"{harm}, {call}",
                *netlist(broken, drive, settled.in_),
                Solution(settled.volts, settled.amps) if stands else None,
            )


def node(number: int, name: str) -> str:
    """ngspice's name of a node; ground of every circuit is its node 0."""
    return "0" if name == "C" else f"n{number}_{name.lower()}"


def cards(number: int, circuit: Circuit) -> Iterator[str]:
    """The circuit's lines of a netlist."""
    for branch in circuit.branches:
        a, b = node(number, branch.a), node(number, branch.b)
        if branch.name == MEASURED:
            yield f"V{number}_m {a} n{number}_m 0"
            a = f"n{number}_m"
        yield f"R{number}_{branch.name} {a} {b} {branch.ohms!r}"
    for supply in circuit.supplies:
        inner = f"n{number}_e_{supply.name.lower()}"
        yield f"V{number}_{supply.name} {inner} {node(number, supply.b)} {supply.volts!r}"
        yield f"R{number}_{supply.name} {inner} {node(number, supply.a)} {supply.ohms!r}"


def run(folder: Path, lines: list[str]) -> dict[str, float]:
    """Name of a vector, as `v(n3_rt)` or `i(v3_m)` -> its value at the operating point."""
    deck, raw = folder / "circuits.cir", folder / "circuits.raw"
    control = [".control", "set filetype=ascii", "op", f"write {raw.name} all", "quit 0", ".endc"]
    options = ".options rshunt=1e12 reltol=1e-9 abstol=1e-13 vntol=1e-10"
    deck.write_text("\n".join(["control circuits", *lines, options, *control, ".end", ""]))
    # A home of its own: without one it dies, and a user's own start-up file may not meddle.
    done = subprocess.run(
        [ngspice(), "-b", deck.name],
        cwd=folder,
        env={**os.environ, "HOME": str(folder)},
        capture_output=True,
        text=True,
        timeout=60,
    )
    said = f"{done.stdout[-500:]} {done.stderr[-500:]}"
    assert done.returncode == 0, f"ngspice ended with {done.returncode}: {said}"
    assert raw.exists(), f"ngspice wrote nothing: {said}"
    header, values = raw.read_text().split("Values:\n")
    names = [line.split()[1] for line in header.split("Variables:\n")[1].splitlines()]
    figures = [line.split()[-1] for line in values.splitlines() if line.strip()]
    return dict(zip(names, map(float, figures), strict=True))


def ngspice() -> str:
    """Where the program is; the test fails if it is nowhere."""
    found = shutil.which("ngspice")
    if found is None:
        pytest.fail("ngspice is not installed: apt-get install ngspice", pytrace=False)
    return found


@pytest.mark.parametrize("name", CONTROLS)
def test_ngspice_finds_the_same_volts_and_amperes(name: str, tmp_path: Path) -> None:
    solved = list(circuits(CONTROLS[name]))
    lines = [line for number, each in enumerate(solved) for line in cards(number, each)]
    found = run(tmp_path, lines)
    compared = 0
    for number, each in enumerate(solved):
        ours = solve(each.branches, each.supplies)
        for solution in filter(None, (ours, each.settled)):
            compared += compare(each.name, number, solution, found)
    assert compared > 20 * len(solved)


def compare(name: str, number: int, ours: Solution, found: dict[str, float]) -> int:
    """Hold one solution to ngspice's; how many figures were compared."""
    for place in ours.volts:
        theirs = 0.0 if place == "C" else found[f"v({node(number, place)})"]
        assert ours.volts[place] == pytest.approx(theirs, rel=0, abs=VOLTS), (name, place)
    if MEASURED in ours.amps:
        theirs = found[f"i(v{number}_m)"]
        assert ours.amps[MEASURED] == pytest.approx(theirs, rel=0, abs=AMPS), name
    return len(ours.volts) - 1 + (MEASURED in ours.amps)


def test_a_known_divider_comes_back_from_ngspice(tmp_path: Path) -> None:
    """Holds the reading of ngspice's file itself to 10 V over 1 and 4 ohm, worked by hand."""
    branches = [Branch("F1", "S1", "RB", 1.0), Branch("low", "RB", "C", 3.0)]
    circuit = Circuit("divider", branches, [Supply("TX", "S1", "C", 10.0, 1.0)], None)
    found = run(tmp_path, list(cards(7, circuit)))
    assert found["v(n7_s1)"] == pytest.approx(8.0)
    assert found["v(n7_rb)"] == pytest.approx(6.0)
    assert found["i(v7_m)"] == pytest.approx(2.0)
