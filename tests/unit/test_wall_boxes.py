"""Ductless heads: remote, other heads, screens, lights and codes, waits; by hand-computed times.

Times are those of the pace `usual`: delay 240 s, preheat 300 s, defrost 360 s, guard 480 s.
"""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE, after
from stepstop.house.control import Control
from stepstop.house.doing import scene, works
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.senses import SENSES
from stepstop.house.units import Doings, air, doings

REMOTE = Control(thermostat="batteries", common_wire=False)
KIND: dict[str, Any] = {
    "heating": "ductless",
    "cooling": "ductless",
    "control": REMOTE,
    "filter_place": "low-grille",
    "call_clears": False,
}
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}

every_pace = pytest.mark.parametrize("pace", sorted(PACES))


def box(**sets: Any) -> House:
    return House(**{**KIND, **sets})


def call(**sets: Any) -> Doings:
    return doings(box(**{"called": "fresh", **sets}))


def met(house: House, finding: str, *checks: str) -> Any:
    acts = NONE
    for check in checks:
        acts = after(acts, check)
    return SENSES[finding](scene(house, acts))


def working(house: House, *checks: str) -> bool:
    acts = NONE
    for check in checks:
        acts = after(acts, check)
    return works(house, acts)


def blows(whole: Doings) -> list[tuple[float, float]]:
    return [(s.start, s.end) for s in whole.indoor.spells if s.what == "blower"]


# ---- waits that are none of its faults ----


@every_pace
def test_in_winter_the_fan_waits_for_the_preheat_and_the_lights_say_so(pace: str) -> None:
    whole = call(pace=pace)
    preheat = PACES[pace].preheat
    assert blows(whole)[0][0] == preheat
    assert whole.indoor.light_at(preheat - 1.0) == "waiting"
    assert whole.indoor.light_at(preheat) == "steady"


def test_after_a_stop_the_compressor_waits_and_the_preheat_begins_then() -> None:
    whole = call(rested=False)
    assert blows(whole)[0][0] == 240.0 + 300.0
    assert not whole.outdoor.at("compressor", 239.0)
    assert whole.outdoor.at("compressor", 240.0)


def test_a_defrost_at_the_start_keeps_the_fan_still_for_the_longer_of_both_waits() -> None:
    whole = call(defrost="now", weather="frost")
    assert blows(whole)[0][0] == 360.0, "360 s of defrost outlast 300 s of preheat"
    assert not whole.outdoor.at("outdoor-fan", 100.0)
    assert whole.outdoor.at("outdoor-fan", 360.0)


def test_a_defrost_in_the_midst_rests_the_fan_and_ends_by_itself() -> None:
    whole = doings(box(defrost="now", weather="frost"))
    assert not whole.indoor.at("blower", 100.0)
    assert whole.indoor.light_at(100.0) == "waiting"
    assert whole.indoor.at("blower", 360.0)
    assert air(whole, 900.0) == "warm"


def test_fifteen_minutes_outlast_every_wait() -> None:
    for pace in PACES:
        for sets in ({"rested": False}, {"defrost": "now", "weather": "frost"}):
            found = box(pace=pace, setting="off-or-wrong-mode", **sets)
            assert met(found, "head-call", "ask-head-heat") == "as-asked", (pace, sets)


# ---- the remote ----


@pytest.mark.parametrize(("cells", "beeps"), [("good", True), ("low", True), ("dead", False)])
def test_the_head_beeps_while_the_remote_has_power(cells: str, beeps: bool) -> None:
    answer = met(box(cells=cells), "head-call", "ask-head-heat")
    assert (answer != "no-beep") == beeps


def test_new_batteries_bring_the_beep_back_and_then_the_heat() -> None:
    found = box(cells="dead")
    assert met(found, "remote-after", "ask-head-heat", "change-remote-batteries") == "beeps"
    assert working(found, "change-remote-batteries", "ask-head-heat")
    none = box(cells="dead", spare_batteries=False)
    assert met(none, "remote-after", "change-remote-batteries") == "not-done"


@pytest.mark.parametrize("setting", ["off-or-wrong-mode", "wrong-number"])
def test_a_wrong_setting_ends_with_asking(setting: str) -> None:
    assert not works(box(setting=setting), NONE)
    assert met(box(setting=setting), "head-call", "ask-head-heat") == "as-asked"


def test_a_remote_without_its_screen_cannot_be_read_as_off() -> None:
    assert met(box(cells="dead"), "head-off-result", "head-off") == "remote-blank"
    assert met(box(), "head-off-result", "head-off") == "off"


# ---- several heads ----


def test_the_head_that_came_later_waits_while_the_outdoor_unit_works_for_the_first() -> None:
    whole = call(heads=2, others="opposed")
    assert blows(whole) == []
    assert whole.indoor.light_at(900.0) == "waiting"
    assert whole.outdoor.at("compressor", 900.0)


def test_setting_all_heads_alike_ends_the_waiting() -> None:
    found = box(heads=2, others="opposed")
    assert met(found, "other-heads") == "opposed"
    assert met(found, "head-call", "ask-head-heat") == "beeps-no-air"
    assert met(found, "head-call", "ask-head-heat", "set-heads-alike") == "as-asked"
    assert working(found, "ask-head-heat", "set-heads-alike")


def test_a_single_head_has_no_other_to_wait_for() -> None:
    assert met(box(others="opposed"), "other-heads") == "none"
    assert works(box(others="opposed"), NONE)


# ---- lights and codes ----


@pytest.mark.parametrize(
    "lost", [{"link": False}, {"locked": True}, {"inverter": False}, {"outdoor_fan": False}]
)
def test_what_it_cannot_do_it_tells_by_a_code(lost: dict[str, Any]) -> None:
    letters = met(box(code_shown=True, **lost), "head-lights", "ask-head-heat")
    lights = met(box(**lost), "head-lights", "ask-head-heat")
    assert (letters, lights) == ("code", "blinking")


@pytest.mark.parametrize(
    "dead", [{"breaker": "out-of-line"}, {"pullout": "out"}, {"supply": "out"}, {"board": "dead"}]
)
def test_without_power_its_lights_are_dark_and_nothing_runs(dead: dict[str, Any]) -> None:
    assert met(box(**dead), "head-lights", "ask-head-heat") == "dark"
    assert met(box(**dead), "head-call", "ask-head-heat") == "no-beep"
    assert blows(call(**dead)) == []


def test_a_lock_out_outlasts_every_call() -> None:
    found = box(locked=True)
    assert not working(found, "head-off", "ask-head-heat")


def test_dead_outdoor_electronics_leave_the_fan_of_a_cooling_head_running_at_first() -> None:
    whole = call(**SUMMER, inverter=False)
    assert blows(whole) == [(0.0, 240.0)]
    assert air(whole, 200.0) == "room"
    assert whole.indoor.light_at(240.0) == "code"
    assert not whole.outdoor.spells


def test_water_that_cannot_run_off_stops_a_head_with_a_guard_after_minutes() -> None:
    guarded = call(**SUMMER, drain="blocked", water_guard=True)
    assert blows(guarded) == [(0.0, 480.0)]
    assert guarded.indoor.light_at(480.0) == "code"
    assert not guarded.outdoor.at("compressor", 480.0)
    dripping = box(**SUMMER, drain="blocked")
    assert works(dripping, NONE)
    assert met(dripping, "head-drip") == "drips"


# ---- screens ----


@every_pace
@pytest.mark.parametrize("season", [{}, SUMMER], ids=["winter", "summer"])
def test_dusty_screens_stop_it_by_turns_until_they_are_rinsed(
    pace: str, season: dict[str, Any]
) -> None:
    found = box(pace=pace, filter="dirty", **season)
    assert not works(found, NONE)
    assert working(found, "rinse-screens")


def test_screens_out_of_reach_are_left_alone() -> None:
    found = box(filter="dirty", filter_place="high-or-tool")
    assert met(found, "screens-reach") == "higher"
    assert met(found, "screens-result", "rinse-screens") == "not-done"
    assert not working(found, "rinse-screens")


def test_clean_screens_are_found_clean_and_foul_ones_left() -> None:
    assert met(box(), "screens-result", "rinse-screens") == "were-clean"
    assert met(box(filter="dirty"), "screens-result", "rinse-screens") == "rinsed"
    assert met(box(filter="foul"), "screens-result", "rinse-screens") == "wires-or-mold"
