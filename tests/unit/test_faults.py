"""Every cause as an edit of a house: complete, weighted, and to be noticed by a person."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from stepstop.house.acts import NONE, Acts, after
from stepstop.house.control import Control
from stepstop.house.doing import scene, works
from stepstop.house.faults import FAULTS, hurt
from stepstop.house.grid import Plan, plans
from stepstop.house.house import FURNACES, House
from stepstop.house.senses import SENSES, Sensed
from stepstop.model import Library

LOOKS_WELL = {
    "built-in-delay",
    "warm-but-feels-cool",
    "normal-defrost",
    "emergency-heat-left-on",
    "expansion-tank-full",
    "head-drain-blocked",
    "pan-leaks",
    "second-drain-drips",
    "co-in-home",
    "fire-or-smoke",
}
"""The house does what is wanted, in its own way or time, or although it drips or harms people."""

SMELT_OR_HEARD = {
    "first-heat-dust": "burning-smell",
    "musty-coil": "burning-smell",
    "fan-wheel-noise": "noise",
}
"""A smell or a noise in a house that works, and the complaint that it is called about as."""

HOT = (*FURNACES, "gas-pilot", "oil", "electric")
"""Kinds whose heat guard opens when too little air moves."""

GRID = tuple(plans())
STATES = (
    NONE,
    Acts(thermostat="heat", fan="auto"),
    Acts(thermostat="cool", fan="auto"),
    Acts(thermostat="off", fan="auto"),
)
"""As found; after a call for heat, for cooling, for nothing but the fan."""


@pytest.fixture(scope="module")
def asked(library: Library) -> tuple[str, ...]:
    """Findings that a shipped step asks and that the house gives."""
    steps = [step for tree in library.trees.values() for step in tree.steps.values()]
    results = {library.catalogue.checks[step.check].result for step in steps if step.check}
    return tuple(sorted(SENSES.keys() & (results | {step.finding for step in steps})))


def variants(plan: Plan, cause: str) -> Iterator[tuple[str, House]]:
    """The variants of a cause in a house that somebody would call about."""
    for name, _, house in hurt(plan.house, cause):
        if not works(house, NONE):
            yield name, house


# ---- complete ----


def test_every_cause_of_the_catalogue_has_a_house_or_a_reason(library: Library) -> None:
    assert library.catalogue.causes.keys() == FAULTS.keys()


def test_few_causes_are_only_declared() -> None:
    declared = [cause for cause, fault in FAULTS.items() if not fault.mechanism]
    assert len(declared) <= 0.2 * len(FAULTS)


@pytest.mark.parametrize("cause", sorted(FAULTS))
def test_every_cause_can_be_in_some_house_of_each_half_of_the_grid(cause: str) -> None:
    halves = {plan.half for plan in GRID if any(hurt(plan.house, cause))}
    assert halves == {"mended-on", "held-out"}


@pytest.mark.parametrize("cause", sorted(FAULTS.keys() - LOOKS_WELL - SMELT_OR_HEARD.keys()))
def test_every_cause_but_those_that_are_none_keeps_some_house_from_its_work(cause: str) -> None:
    assert any(True for plan in GRID for _ in variants(plan, cause))


@pytest.mark.parametrize("cause", sorted(SMELT_OR_HEARD))
def test_a_smell_or_a_noise_alone_is_called_about_as_that(cause: str) -> None:
    assert FAULTS[cause].perceived == SMELT_OR_HEARD[cause]
    houses = [house for plan in GRID for _, _, house in hurt(plan.house, cause)]
    assert houses
    assert all(works(house, NONE) for house in houses)
    assert all(house.smell or house.noise for house in houses)


def test_every_house_of_the_grid_is_well_before_it_is_hurt() -> None:
    for off_grid in (False, True):
        assert [p.name for p in plans(off_grid=off_grid) if not works(p.house, NONE)] == []


# ---- weighted ----


@pytest.mark.parametrize("cause", sorted(FAULTS))
def test_shares_of_a_causes_variants_add_up_and_have_names_of_their_own(cause: str) -> None:
    for plan in GRID:
        found = list(hurt(plan.house, cause))
        assert all(share > 0 for _, share, _ in found)
        assert not found or sum(share for _, share, _ in found) == pytest.approx(1.0)
        assert len({name for name, _, _ in found}) == len(found)


# ---- noticed ----


@cache
def sensed(house: House, acts: Acts, finding: str) -> Sensed:
    return SENSES[finding](scene(house, acts))


def told_apart(hurt_house: House, well: House, findings: tuple[str, ...]) -> bool:
    """Whether some finding in some state differs between the two."""
    return any(
        SENSES[name](scene(hurt_house, acts)) != sensed(well, acts, name)
        for acts in STATES
        for name in findings
    )


@pytest.mark.parametrize("cause", sorted(FAULTS))
def test_whatever_keeps_a_house_from_its_work_shows_in_an_asked_finding(
    cause: str, asked: tuple[str, ...]
) -> None:
    hidden = [
        (plan.name, name)
        for plan in GRID
        for name, house in variants(plan, cause)
        if not told_apart(house, plan.house, asked)
    ]
    assert hidden == []


@pytest.mark.parametrize("cause", ["dirty-filter", "closed-grilles"])
def test_a_quarter_of_an_hour_of_heat_shows_too_little_air_that_five_minutes_often_miss(
    cause: str,
) -> None:
    hot = [h for plan in GRID if plan.house.heating in HOT for _, h in variants(plan, cause)]
    short = [sensed(house, after(NONE, "set-heat"), "heat-call") for house in hot]
    long = {sensed(house, after(NONE, "set-heat-long"), "heat-call") for house in hot}
    assert 0.2 < short.count("warm") / len(hot) < 0.8
    assert long == {"starts-then-stops"}


@pytest.mark.parametrize("cause", ["normal-defrost", "emergency-heat-left-on"])
def test_a_house_that_is_only_taken_for_broken_shows_why_in_some_house(
    cause: str, asked: tuple[str, ...]
) -> None:
    assert any(
        told_apart(house, plan.house, asked)
        for plan in GRID
        for _, _, house in hurt(plan.house, cause)
    )


# ---- where it belongs ----


def causes_in(**sets: Any) -> set[str]:
    house = House(**sets)
    return {cause for cause in FAULTS if any(hurt(house, cause))}


def test_gas_causes_are_in_gas_houses_only() -> None:
    gas = {"no-glow", "flame-not-seen", "roll-out", "no-gas-supply", "cracked-exchanger"}
    assert gas <= causes_in()
    assert not gas & causes_in(heating="electric")


def test_a_flue_drain_and_plastic_pipes_are_in_condensing_furnaces_only() -> None:
    plastic = {"outside-pipes-blocked", "drain-blocked-heating", "frozen-drain"}
    assert plastic <= causes_in(heating="gas-plastic")
    assert not plastic & causes_in(heating="gas-metal")


def test_outdoor_causes_are_where_an_outdoor_unit_is_wanted_now() -> None:
    outdoor = {"start-helper-failed", "outdoor-switch-failed", "outdoor-pullout-out"}
    assert outdoor <= causes_in(wanted="cool", weather="hot")
    assert outdoor <= causes_in(heating="heat-pump", cooling="heat-pump")
    assert not outdoor & causes_in(wanted="heat")


def test_batteries_run_out_only_where_there_are_any() -> None:
    assert "thermostat-batteries" not in causes_in()
    assert "thermostat-batteries" in causes_in(control=Control(thermostat="batteries"))


def test_cooling_and_frost_have_causes_of_their_own() -> None:
    assert "frozen-coil" not in causes_in(wanted="heat")
    assert "frozen-drain" not in causes_in(weather="mild")
    assert "at-its-limit" not in causes_in(wanted="cool", weather="mild")


def test_a_heat_pump_short_of_refrigerant_freezes_outdoors_in_winter() -> None:
    pump = House(heating="heat-pump", cooling="heat-pump", control=Control(valve="O"))
    assert all(house.coil == "clear" for _, _, house in hurt(pump, "low-refrigerant"))


@pytest.mark.parametrize("cause", ["outdoor-pullout-out", "start-helper-failed"])
def test_a_dead_outdoor_unit_of_a_heat_pump_is_called_about_in_frost(cause: str) -> None:
    cold = [p for p in GRID if p.name.startswith("heat-pump") and p.house.weather == "frost"]
    assert any(True for plan in cold for _ in variants(plan, cause))


def test_a_guard_against_leaks_keeps_the_compressor_from_running() -> None:
    for _, _, house in hurt(House(wanted="cool", weather="hot"), "leak-fan-running"):
        assert not scene(house, NONE).whole.outdoor.at("compressor", 600)


# ---- two at once ----

PAIRS = [
    ("thermostat-batteries", "service-switch-off"),
    ("dirty-filter", "flame-not-seen"),
    ("board-fuse-outdoor-cable", "thermostat-wire-open"),
    ("shorted-coil", "call-wires-touching"),
    ("panel-not-seated", "breaker-tripped"),
    ("outlet-tripped", "no-glow"),
]


def both(house: House, one: str, other: str) -> list[House]:
    """The house with both causes, in all their variants; shorts in one order."""
    doubles = [twice for _, _, once in hurt(house, one) for _, _, twice in hurt(once, other)]
    return [replace(each, control=in_order(each.control)) for each in doubles]


def in_order(control: Control) -> Control:
    return replace(control, shorts=tuple(sorted(control.shorts)))


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_two_causes_at_once_are_both_there_in_whatever_order(one: str, other: str) -> None:
    doubled = [plan for plan in GRID if both(plan.house, one, other)]
    assert doubled
    for plan in doubled:
        doubles = both(plan.house, one, other)
        assert set(doubles) == set(both(plan.house, other, one))
        singles = [each for cause in (one, other) for _, _, each in hurt(plan.house, cause)]
        assert not {replace(each, control=in_order(each.control)) for each in singles} & {*doubles}


def test_two_hurt_wires_are_both_hurt() -> None:
    house = House(wanted="cool", weather="hot")
    for double in both(house, "board-fuse-moved-wires", "outdoor-cable-cut"):
        assert len(double.control.shorts) == 1
        assert "WIRE_YO" in double.control.opens


def test_what_the_first_cause_leaves_the_second_finds() -> None:
    batteries = Control(thermostat="batteries", common_wire=False)
    house = House(control=batteries)
    for double in both(house, "thermostat-batteries", "limit-stuck-open"):
        assert (double.limit, double.cells in ("dead", "none-left")) == ("stuck", True)
        assert scene(double, NONE).whole.indoor.at("blower", 60), "a blank screen and a fan"
        assert SENSES["display"](scene(double, NONE)) == "blank"


def test_two_causes_with_signs_show_both() -> None:
    doubles = both(House(heating="gas-metal"), "flue-blocked", "board-fuse-water")
    shown = {finding for each in doubles for finding, _ in each.signs if len(each.signs) > 1}
    assert shown == {"co-alarm", "gas-smell", "person-ill", "water"}


def test_an_edit_leaves_what_it_does_not_touch() -> None:
    house = House(filter="dirty", spare_filter=False, pace="slow")
    for _, _, each in hurt(house, "no-glow"):
        assert each == replace(house, igniter=False)
