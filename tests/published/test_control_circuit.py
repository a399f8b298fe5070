"""Parts of the control circuit against published figures: wire, Class 2 limits, blade fuses.

Beside each check: where it is from, and whether its figures were seen there, are from memory, or
were worked apart from this program.
"""

import math

import pytest

from stepstop.house.burn import HOLDS, MELTING, fuse_seconds, link_seconds
from stepstop.house.control import Control, Drive, settle
from stepstop.house.nodal import Branch, Supply, solve
from stepstop.house.parts import OHMS_PER_FOOT, OPEN_VOLTS, RATED_VOLTS, WINDING_OHMS

# ---- wire -----------------------------------------------------------------------------------
# Diameter by ASTM B258: 0.127 mm times 92 to the power (36 - gauge) / 39. Conductivity of annealed
# copper, 58 MS/m, by IEC 60028 (the International Annealed Copper Standard). Both from memory; the
# ohms of the table below were seen in a table of a university's physics department (Georgia State,
# HyperPhysics, "American wire gauge").

FOOT = 0.3048
SIEMENS_PER_METRE = 58e6
ALPHA = 0.00393
"""Per kelvin at 20 degrees C, of annealed copper; from memory."""


def ohms_per_1000_feet(gauge: int) -> float:
    """Of solid copper at 20 degrees C, from its diameter."""
    metres = 0.127e-3 * 92 ** ((36 - gauge) / 39)
    return 1000 * FOOT / (SIEMENS_PER_METRE * math.pi * metres**2 / 4)


def warmed(ohms: float, degrees: float) -> float:
    """From 20 degrees C to `degrees`."""
    return ohms * (1 + ALPHA * (degrees - 20))


@pytest.mark.parametrize(
    ("gauge", "ohms"), [(16, 4.016), (18, 6.385), (20, 10.15), (22, 16.14), (24, 25.67)]
)
def test_wire_of_a_gauge_has_the_ohms_of_the_tables(gauge: int, ohms: float) -> None:
    assert ohms_per_1000_feet(gauge) == pytest.approx(ohms, rel=5e-4)


@pytest.mark.parametrize(("gauge", "ohms"), [(16, 4.89), (18, 7.77)])
def test_warm_wire_has_the_ohms_of_the_electrical_code(gauge: int, ohms: float) -> None:
    """NEC Chapter 9 Table 8, solid uncoated copper at 75 degrees C: seen in a copy of the table."""
    assert warmed(ohms_per_1000_feet(gauge), 75) == pytest.approx(ohms, rel=2e-3)


def test_our_wire_is_18_gauge_at_the_warmth_of_a_house() -> None:
    """25 degrees C within 1 %; and a teaching table of the NEC's rules gives 6.505 (seen)."""
    ours = 1000 * OHMS_PER_FOOT
    assert ours == pytest.approx(warmed(ohms_per_1000_feet(18), 25), rel=0.01)
    assert ours == pytest.approx(6.505, rel=0.01)
    assert warmed(ohms_per_1000_feet(18), 0) < ours < 7.77


@pytest.mark.parametrize(
    ("feet", "amps", "drop"),
    [(50, 0.5, 0.319), (100, 0.5, 0.639), (150, 0.5, 0.958), (200, 1, 2.554)],
)
def test_a_loop_of_wire_loses_its_volts(feet: int, amps: float, drop: float) -> None:
    """Out and back at 20 degrees C; the drops were worked apart from this program."""
    ohms = feet * ohms_per_1000_feet(18) / 1000
    wires = [Branch("out", "top", "far", ohms), Branch("back", "near", "C", ohms)]
    load = Branch("load", "far", "near", 24.0)
    found = solve([*wires, load], [Supply("E", "top", "C", amps * (24.0 + 2 * ohms), 1e-6)])
    lost = found.volts["top"] - found.volts["far"] + found.volts["near"]
    assert lost == pytest.approx(drop, abs=6e-4)


# ---- dividers and shorts ----------------------------------------------------------------------
# Worked apart from this program from 24 V, a coil of 24 squared over its VA, and 18 gauge at 20
# degrees C, out and back.


@pytest.mark.parametrize(
    ("va", "feet", "amps", "volts"), [(10, 200, 0.3990, 22.981), (20, 400, 0.7078, 20.385)]
)
def test_a_coil_at_the_end_of_a_wire(va: int, feet: int, amps: float, volts: float) -> None:
    ohms = feet * ohms_per_1000_feet(18) / 1000
    wires = [Branch("out", "top", "far", ohms), Branch("back", "near", "C", ohms)]
    coil = Branch("coil", "far", "near", 24.0**2 / va)
    found = solve([*wires, coil], [Supply("E", "top", "C", 24.0, 1e-9)])
    assert found.amps["coil"] == pytest.approx(amps, abs=5e-5)
    assert found.volts["far"] - found.volts["near"] == pytest.approx(volts, abs=5e-4)


@pytest.mark.parametrize(("feet", "amps"), [(0, 18.33), (50, 12.70), (100, 9.72)])
def test_a_short_at_the_end_of_a_wire(feet: int, amps: float) -> None:
    """40 VA of 10 % regulation: 26.4 V behind 1.44 ohm."""
    loop = 2 * feet * ohms_per_1000_feet(18) / 1000
    found = solve([Branch("loop", "top", "C", loop + 1e-6)], [Supply("E", "top", "C", 26.4, 1.44)])
    assert found.amps["loop"] == pytest.approx(amps, rel=2e-3)


# ---- the transformer --------------------------------------------------------------------------


@pytest.mark.parametrize(("va", "amps"), [(40, 1.667), (60, 2.5), (75, 3.125)])
def test_a_transformer_gives_24_volts_at_its_rated_amperes(va: int, amps: float) -> None:
    """By the definition of its nameplate: amperes are VA over 24."""
    found = solve(
        [Branch("load", "S1", "C", RATED_VOLTS**2 / va)],
        [Supply("TX", "S1", "C", OPEN_VOLTS, WINDING_OHMS[va])],
    )
    assert found.amps["load"] == pytest.approx(amps, abs=1e-3)
    assert found.volts["S1"] == pytest.approx(RATED_VOLTS, abs=0.01)
    assert link_seconds(found.amps["load"], va) == math.inf


def test_a_transformer_at_100_va_lasts_minutes() -> None:
    """40 VA: 5 to 20 minutes; about half as much again for ever. Common practice, no source."""
    amps = 100 / 15.0
    assert amps * (OPEN_VOLTS - amps * WINDING_OHMS[40]) == pytest.approx(100, abs=0.5)
    assert 5 * 60 < link_seconds(amps, 40) < 20 * 60
    assert link_seconds(1.5 * 40 / 24, 40) == math.inf


def test_a_fuse_of_5_lets_a_doubly_loaded_transformer_burn() -> None:
    """40 VA at twice its amperes: 3.33 A is under 110 % of 5 A, and 111 % of 3 A. Arithmetic."""
    twice = 2 * 40 / 24
    assert fuse_seconds(twice, 5.0) == math.inf
    assert math.isfinite(fuse_seconds(twice, 3.0))
    assert twice / 3.0 == pytest.approx(1.11, abs=0.005)
    assert math.isfinite(link_seconds(twice, 40))


# ---- Class 2 ----------------------------------------------------------------------------------
# NEC Chapter 9 Table 11(A), alternating current, over 20 to 30 V. Inherently limited: at most
# 8.0 A. Not inherently limited: at most 1000 / Vmax A and 250 VA, overcurrent device at most
# 100 / Vmax A. Nameplate at most 100 VA for both. Currents count after one minute. The numbers are
# from memory; the table's notes were seen, and so were tables 2B and 2C of IEC 60950-1, which carry
# the same.

CLASS_2_VOLTS = 30.0
CLASS_2_VA = 100.0
INHERENT_AMPS = 8.0


def device_limit(volts: float) -> float:
    """Amperes of the overcurrent device of a supply that isn't inherently limited."""
    return 100.0 / volts


@pytest.mark.parametrize(("volts", "amps"), [(24, 4.167), (27, 3.704), (30, 3.333)])
def test_the_device_of_a_class_2_supply(volts: float, amps: float) -> None:
    assert device_limit(volts) == pytest.approx(amps, abs=5e-4)


@pytest.mark.parametrize("va", sorted(WINDING_OHMS))
def test_our_supplies_are_within_class_2(va: int) -> None:
    """With their fuse of 3 A; what a bolted short draws is under 1000 / Vmax."""
    assert OPEN_VOLTS <= CLASS_2_VOLTS
    assert va <= CLASS_2_VA
    assert OPEN_VOLTS / WINDING_OHMS[va] < 1000.0 / OPEN_VOLTS
    assert device_limit(OPEN_VOLTS) >= 3.0
    assert device_limit(CLASS_2_VOLTS) >= 3.0


def test_our_supplies_are_not_inherently_limited_and_5_amperes_are_no_class_2_device() -> None:
    """The model's winding bears over 8 A for longer than a minute: the fuse has to be the device.

    A fuse of 5 A is over 100 / Vmax at every voltage here: it can protect the board alone.
    """
    short = settle(Control(fuse_amps=0.0, shorts=(("S1", "C", 0.001),)), Drive())
    assert short.amps["TX"] > INHERENT_AMPS
    assert short.link_seconds > 60
    assert device_limit(RATED_VOLTS) < 5.0


@pytest.mark.parametrize("pair", [("RT", "CT"), ("R", "C"), ("WT", "CT"), ("YO", "CO")])
def test_with_its_fuse_no_short_of_a_class_2_supply_lasts_a_minute(pair: tuple[str, str]) -> None:
    drive = Drive(calls=frozenset({"W", "Y"}))
    short = settle(Control(shorts=((*pair, 0.01),)), drive)
    assert short.fuse_seconds < 60


# ---- blade fuses ------------------------------------------------------------------------------
# Opening times of the regular blade fuse, in per cent of its rating: ISO 8820-3, type C, and SAE
# J1284 carry the same. Rows of 160 and 200 % were seen in an engineering note that quotes a sheet
# of the regular size; the others are from memory. Not those of the large size (seen: 2 to 50 s at
# 200 %) nor of cartridge fuses by UL 248-14 (seen: up to 120 s at 200 %).

GATES = {
    1.10: (360_000.0, math.inf),
    1.35: (0.75, 600.0),
    1.60: (0.25, 50.0),
    2.00: (0.15, 5.0),
    3.50: (0.04, 0.5),
    6.00: (0.02, 0.1),
}


@pytest.mark.parametrize("rating", [3.0, 5.0])
@pytest.mark.parametrize("share", GATES)
def test_the_melting_curve_is_inside_every_gate(share: float, rating: float) -> None:
    least, most = GATES[share]
    assert least <= fuse_seconds(share * rating, rating) <= most


def test_the_points_of_the_curve_stand_in_the_gates() -> None:
    assert [share for share, _ in MELTING] == list(GATES)
    assert min(GATES) == HOLDS


def between(share: float, side: int) -> float:
    """The gate's side at `share`, straight on log-log paper between its neighbours."""
    shares = list(GATES)
    right = next(i for i in range(1, len(shares)) if share <= shares[i])
    left = shares[right - 1], GATES[shares[right - 1]][side]
    end = shares[right], GATES[shares[right]][side]
    part = math.log(share / left[0]) / math.log(end[0] / left[0])
    return left[1] * (end[1] / left[1]) ** part


@pytest.mark.parametrize("step", range(1, 100))
def test_the_melting_curve_stays_inside_between_the_gates(step: int) -> None:
    share = 1.35 * (6.0 / 1.35) ** (step / 100)
    assert between(share, 0) < fuse_seconds(share, 1.0) < between(share, 1)


@pytest.mark.parametrize(
    ("rating", "amps", "least", "most"),
    [(3.0, 6.0, 0.15, 5.0), (5.0, 10.0, 0.15, 5.0)],
)
def test_a_fuse_at_twice_its_rating(rating: float, amps: float, least: float, most: float) -> None:
    assert least <= fuse_seconds(amps, rating) <= most


@pytest.mark.parametrize(("rating", "amps"), [(3.0, 3.3), (5.0, 5.5)])
def test_a_fuse_holds_at_110_per_cent(rating: float, amps: float) -> None:
    assert fuse_seconds(amps, rating) == math.inf


def test_the_curve_is_not_that_of_a_cartridge_fuse() -> None:
    """UL 248-14 lets a time-delay type of 3 A hold 5 s at 200 %; a blade fuse may not."""
    assert fuse_seconds(6.0, 3.0) < 5.0
