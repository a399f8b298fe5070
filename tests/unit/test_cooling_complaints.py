"""Who calls about a silent unit or about ice, and what such a house shows and tells."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE, Acts, after
from stepstop.house.complaints import ALARMED, NOTICED, PULLS, Met
from stepstop.house.control import Control
from stepstop.house.doing import scene, works
from stepstop.house.history import OFTEN, SELDOM, SOMETIMES, told
from stepstop.house.house import House
from stepstop.house.senses import SENSES

SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUMP: dict[str, Any] = {
    "heating": "heat-pump",
    "cooling": "heat-pump",
    "control": Control(valve="O"),
}


def pull(complaint: str, **sets: Any) -> float:
    return PULLS[complaint](Met("any", scene(House(**sets), NONE)))


# ---- pulls ----


@pytest.mark.parametrize(
    "sets",
    [
        {**SUMMER, "contactor": "open"},
        {**SUMMER, "outdoor_breaker": "out-of-line"},
        {**SUMMER, "rested": False, "called": "fresh"},
        {**PUMP, "outdoor_fuses": False},
        {**PUMP, "mode": "emergency-heat"},
    ],
    ids=str,
)
def test_air_indoors_and_stillness_outside_is_a_silent_outdoor_unit(sets: dict[str, Any]) -> None:
    assert pull("outdoor-silent", **sets) == ALARMED


@pytest.mark.parametrize(
    "sets",
    [
        SUMMER,
        {},
        {"sensor": False},
        {**SUMMER, "capacitor": False},
        {**SUMMER, "contactor": "chatter"},
        {**SUMMER, "breaker": "out-of-line"},
        {**SUMMER, "setting": "off-or-wrong-mode"},
        {**PUMP, "defrost": "now"},
    ],
    ids=str,
)
def test_a_unit_that_runs_hums_clicks_or_need_not_run_is_not_called_silent(
    sets: dict[str, Any],
) -> None:
    assert pull("outdoor-silent", **sets) == 0.0


def test_a_dead_fan_and_ice_both_keep_the_air_from_the_rooms() -> None:
    assert pull("indoor-silent", **SUMMER, blower="dead") == ALARMED
    assert pull("indoor-silent", **SUMMER, coil="ice") == ALARMED
    assert pull("indoor-silent", **PUMP, blower="dead") == ALARMED
    assert pull("indoor-silent", **SUMMER, blower="dead", contactor="open") == 0.0
    assert pull("indoor-silent", **SUMMER, filter="dirty") == 0.0
    assert pull("indoor-silent", blower="dead") == 0.0


def test_ice_is_named_where_it_is_seen_and_thin_frost_seldom() -> None:
    assert pull("ice", **SUMMER, coil="ice") == ALARMED
    assert pull("ice", **PUMP, outdoor_ice="solid-ice") == ALARMED
    assert pull("ice", **PUMP, outdoor_ice="snowed-in") == ALARMED
    assert pull("ice", **PUMP, defrost="now") == ALARMED
    assert pull("ice", **PUMP, elements=0.0, undersized=True) == NOTICED
    assert pull("ice", **PUMP, weather="mild", undersized=True) == 0.0
    assert pull("ice", **PUMP) == 0.0
    assert pull("ice", outdoor_ice="snowed-in") == 0.0


# ---- what is asked of the outdoor unit ----


@pytest.mark.parametrize(
    ("sets", "read"),
    [
        (SUMMER, "cooling"),
        ({}, "heating"),
        ({**SUMMER, "setting": "wrong-number"}, "not-cooling"),
        ({**SUMMER, "event": True}, "not-cooling"),
        ({"setting": "hold-or-away"}, "not-heating"),
        ({"setting": "off-or-wrong-mode"}, "off"),
        ({**PUMP, "mode": "emergency-heat"}, "emergency-heat"),
        ({"switch": "off"}, "blank"),
    ],
    ids=str,
)
def test_mode_and_number_are_read_as_what_they_ask_for(sets: dict[str, Any], read: str) -> None:
    assert SENSES["asks-for"](scene(House(**sets), NONE)) == read


def test_what_was_set_on_the_walk_is_what_is_read() -> None:
    wrong = House(**SUMMER, setting="wrong-number")
    assert SENSES["asks-for"](scene(wrong, after(NONE, "set-cool"))) == "cooling"
    assert SENSES["asks-for"](scene(wrong, after(NONE, "thermostat-off"))) == "off"


# ---- ice that came before ----


def test_ice_comes_back_most_where_the_circuit_leaks() -> None:
    def again(cause: str) -> float:
        chances = told("froze-before", cause, House())
        assert chances is not None
        assert chances["first-time"] == pytest.approx(1.0 - chances["again"])
        return chances["again"]

    assert again("low-refrigerant") == OFTEN
    assert again("frozen-coil") == SOMETIMES
    assert again("no-glow") == SELDOM


# ---- the breaker of a heat pump, reset with heat OFF ----


def test_a_reset_in_heat_closes_the_breaker_and_starts_nothing() -> None:
    acts = after(after(NONE, "thermostat-off"), "reset-outdoor-breaker-in-heat")
    assert acts == Acts(thermostat="off", fan="auto", outdoor_breaker="closed-once")
    tripped = House(**PUMP, outdoor_breaker="out-of-line")
    assert SENSES["outdoor-breaker-after"](scene(tripped, acts)) == "holds-silent"
    assert works(tripped, acts)
    held_by_nothing = House(**PUMP, outdoor_breaker="out-of-line", outdoor_holds=False)
    assert SENSES["outdoor-breaker-after"](scene(held_by_nothing, acts)) == "trips-again"
    assert not works(held_by_nothing, acts)
