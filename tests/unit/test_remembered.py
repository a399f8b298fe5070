"""What people tell of the time before the walk, in houses whose story was worked out by hand.

Times of the usual pace: thermostat 10 s, small fan 5, draft 5, purge 25, glow 30, trial 5, big fan
35 s after the flame; too hot after 300 s with too little air, 180 s to cool down.
"""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE, after
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.history import thermostat_work, worked_before
from stepstop.house.house import House
from stepstop.house.remembered import fresh, runs, starts_and_stops
from stepstop.house.senses import SENSES
from stepstop.house.units import doings

USUAL: dict[str, Any] = {"pace": "usual", "call_clears": True}
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot", "pace": "usual"}
PUMP: dict[str, Any] = {
    "heating": "heat-pump",
    "cooling": "heat-pump",
    "control": Control(valve="O"),
    "weather": "mild",
}


def met(finding: str, **sets: Any) -> Any:
    return SENSES[finding](scene(House(**sets), NONE))


def touching(*nodes: str) -> Control:
    return Control(shorts=((nodes[0], nodes[1], 0.05),))


# ---- how it runs and stops ----


def test_a_starved_furnace_burns_for_five_minutes_and_begins_anew() -> None:
    starved = House(**USUAL, filter="dirty")
    lengths = {end - start for start, end in runs(starved)}
    assert lengths == {300.0}
    assert starts_and_stops(starved, doings(starved))
    assert met("run-length", **USUAL, filter="dirty") == "few-minutes"
    assert met("as-it-stops", **USUAL, filter="dirty") == "fan-goes-on"


def test_a_flame_that_is_not_seen_burns_for_the_trial_alone() -> None:
    blind = House(**USUAL, sensor=False)
    assert [end - start for start, end in runs(blind)] == [5.0, 5.0, 5.0]
    assert met("run-length", **USUAL, sensor=False) == "seconds"
    assert met("as-it-stops", **USUAL, sensor=False) == "all-stops"
    assert not starts_and_stops(blind, doings(blind)), "found hours later, it waits"
    assert starts_and_stops(blind, fresh(blind))


def test_without_a_flame_the_small_fan_is_what_starts_and_stops() -> None:
    assert [end - start for start, end in runs(House(**USUAL, igniter=False))] == [65.0] * 3
    assert met("run-length", **USUAL, igniter=False) == "seconds"


def test_a_furnace_that_is_well_has_no_run_that_ends_by_itself() -> None:
    assert runs(House(**USUAL)) == []
    assert met("run-length", **USUAL) == "ten-or-more"
    assert met("stops-at", **USUAL) == "wanted-number"
    assert met("stops-at", **USUAL, filter="dirty") == "before"


def test_a_guard_outdoors_stops_the_cooling_and_the_fan_indoors_goes_on() -> None:
    assert met("run-length", **SUMMER, pressure="trips") == "few-minutes"
    assert met("as-it-stops", **SUMMER, pressure="trips") == "fan-goes-on"
    assert met("as-it-stops", **SUMMER, coil="ice", filter="dirty") == "air-weakens"


def test_a_screen_on_house_wires_goes_with_their_power() -> None:
    assert met("screen-as-it-stops", breaker="out-of-line") == "goes"
    assert met("screen-as-it-stops", filter="dirty") == "stays"


def test_heaters_that_get_hot_without_air_are_met_by_nobody() -> None:
    still = House(heating="electric", blower="dead")
    assert not starts_and_stops(still, doings(still))


# ---- cold air ----


@pytest.mark.parametrize(
    ("sets", "when"),
    [
        ({"limit": "stuck"}, "always"),
        ({"filter": "dirty"}, "after-warm"),
        ({"fan": "on"}, "between"),
        ({"control": touching("WT", "GT")}, "at-start"),
        ({"sensor": False}, "unsure"),
    ],
    ids=str,
)
def test_when_the_air_is_cold(sets: dict[str, Any], when: str) -> None:
    assert met("cold-when", **USUAL, **sets) == when


def test_the_air_of_a_heat_pump_that_is_well_feels_cold_to_most_who_call() -> None:
    assert met("cold-when", **PUMP) == {"always": 0.7, "unsure": 0.3}


def test_a_fan_that_a_touching_wire_starts_with_the_call_blows_cold_for_longer() -> None:
    assert met("warm-after-start", **USUAL) == "soon"
    assert met("warm-after-start", **USUAL, filter="dirty") == "late", "it does not stay warm"


def test_an_outdoor_unit_runs_in_winter_only_where_wires_are_wrong() -> None:
    assert met("outdoor-in-heat", swapped="W-Y") == "runs"
    assert met("outdoor-in-heat", limit="stuck") == "still"
    assert met("outdoor-in-heat", swapped="W-Y", outdoor_heard=False) == "not-seen"
    assert met("outdoor-in-heat", heating="oil", cooling="none") == "still"


# ---- what is missing ----


@pytest.mark.parametrize(
    ("sets", "missing"),
    [
        ({}, "works"),
        ({"igniter": False}, "no-heat"),
        ({**SUMMER, "capacitor": False}, "no-cooling"),
        ({"fan": "on"}, "fan-runs"),
        ({"limit": "stuck"}, {"fan-runs": 0.5, "no-heat": 0.5}),
        ({"breaker": "out-of-line"}, "nothing-answers"),
    ],
    ids=str,
)
def test_what_is_missing_besides(sets: dict[str, Any], missing: Any) -> None:
    assert met("what-fails", **sets) == missing


def test_a_code_is_taken_for_an_even_blink_by_few() -> None:
    assert met("blink-seen") == "even"
    assert met("blink-seen", limit="stuck") == {"code": 0.95, "even": 0.05}


@pytest.mark.parametrize(
    ("sets", "now"),
    [
        ({}, "works"),
        ({"breaker": "out-of-line"}, "dead"),
        ({"control": Control(opens=frozenset({"WIRE_C"}))}, "dead"),
        ({"igniter": False}, "part-missing"),
        ({"swapped": "W-Y"}, "cold-for-hot"),
        ({**SUMMER, "swapped": "W-Y"}, "hot-for-cold"),
        ({"control": touching("RT", "GT")}, "never-stops"),
        ({"control": touching("RT", "WT")}, "never-stops"),
        ({"control": touching("WT", "GT")}, {"other-answers": 0.6, "works": 0.4}),
        ({**PUMP, "o_b": "wrong"}, "cold-for-hot"),
    ],
    ids=str,
)
def test_what_works_since_the_wires_were_touched(sets: dict[str, Any], now: Any) -> None:
    assert met("function-now", **sets) == now


def test_a_common_wire_that_hardly_touches_makes_the_screen_fade() -> None:
    poor = Control(opens=frozenset({"WIRE_C"}), shorts=(("CT", "C", 130.0),))
    assert met("function-now", control=poor) == "weak-screen"


def test_what_was_met_before_does_not_change_with_what_the_walk_does() -> None:
    house = House(filter="dirty")
    changed = scene(house, after(after(NONE, "switch-off"), "change-filter"))
    for finding in ("run-length", "what-fails", "function-now", "cold-when"):
        assert SENSES[finding](changed) == SENSES[finding](scene(house, NONE))


# ---- told of the work at the thermostat ----


def test_the_day_before_is_told_by_whether_such_work_may_be_the_cause() -> None:
    assert worked_before("wrong-terminals") == pytest.approx({"yes": 0.9, "no": 0.1})
    assert worked_before("no-glow") == pytest.approx({"yes": 0.6, "no": 0.4})


def test_the_work_that_fits_the_cause_is_named_most() -> None:
    assert thermostat_work("heat-pump-set-up")["new-thermostat"] == pytest.approx(0.65)
    assert set(thermostat_work("no-glow").values()) == {0.25}
