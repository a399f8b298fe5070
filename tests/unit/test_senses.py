"""What a person meets in well chosen scenes, and that nobody meets what can't be met."""

from __future__ import annotations

import ast
import inspect
from typing import Any

import pytest

from stepstop.house import senses, water
from stepstop.house.acts import NONE, after
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.house import House
from stepstop.house.senses import DANGERS, ON_ONE_PAGE, SENSES, danger_sign

CELLS = Control(thermostat="batteries", common_wire=False)
BOTH = Control(thermostat="both")
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUMP: dict[str, Any] = {
    "heating": "heat-pump",
    "cooling": "heat-pump",
    "control": Control(valve="O"),
}


def met(finding: str, *checks: str, **sets: Any) -> Any:
    """What a person meets in a house with `sets`, after `checks`."""
    acts = NONE
    for check in checks:
        acts = after(acts, check)
    return SENSES[finding](scene(House(**sets), acts))


# ---- only what a person can meet ----

BEHIND_COVERS = {
    "board",
    "burners",
    "capacitor",
    "cell_contacts",
    "charge",
    "chimney",
    "compressor",
    "contactor",
    "defrost",
    "draft",
    "elements",
    "heat_breakers",
    "igniter",
    "inducer",
    "limit",
    "locked",
    "o_b",
    "oil",
    "outdoor_fan",
    "outdoor_fuses",
    "pressure",
    "reversing",
    "rollout",
    "sensor",
    "sequencer",
    "stuck_contact",
    "swapped",
    "trap",
    "valve",
    "water_side",
}
"""Fields of a house that nobody sees, hears or feels but by what they do."""

BY_WHAT_IT_DOES = {
    ("_heating_trouble", "defrost"): "a defrost takes minutes in which it does not heat",
    ("_outdoor_air", "charge"): "the outdoor air of a unit short of refrigerant is not warm",
    ("_outdoor_off", "contactor"): "a welded one runs on where the breaker was another unit's",
    ("comes_from", "trap"): "water of a blocked flue drain comes while it heats",
}


def test_no_sense_reads_what_is_behind_a_cover() -> None:
    assert set(House.__dataclass_fields__) >= BEHIND_COVERS
    read = {
        (function.name, node.attr)
        for module in (senses, water)
        for function in ast.parse(inspect.getsource(module)).body
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.Attribute) and node.attr in BEHIND_COVERS
    }
    assert read == set(BY_WHAT_IT_DOES)


def test_no_sense_reads_a_voltage_or_a_current() -> None:
    imported = {
        node.module
        for node in ast.walk(ast.parse(inspect.getsource(senses)))
        if isinstance(node, ast.ImportFrom)
    }
    circuit = {"control", "circuit", "netlist", "nodal", "burn", "parts"}
    assert not {f"stepstop.house.{name}" for name in circuit} & imported


@pytest.mark.parametrize("finding", sorted(SENSES))
def test_chances_of_one_finding_add_up(finding: str) -> None:
    for sets in ({}, {"limit": "stuck"}, SUMMER, PUMP, {"filter": "dirty"}):
        value = met(finding, **sets)
        assert isinstance(value, str) or sum(value.values()) == pytest.approx(1.0)


# ---- screen ----


def test_a_screen_on_batteries_says_nothing_of_the_house_power() -> None:
    assert met("display", control=CELLS, breaker="out-of-line") == "on"
    assert met("display", control=CELLS, cells="dead") == "blank"
    assert met("display", control=CELLS, cells="low") == "battery-sign"


@pytest.mark.parametrize(
    "gone", [{"switch": "off"}, {"panel": "gap"}, {"breaker": "out-of-line"}], ids=str
)
def test_a_screen_on_house_wires_goes_blank_with_the_unit(gone: dict[str, Any]) -> None:
    assert met("display", **gone) == "blank"


def test_batteries_keep_the_screen_of_a_wired_thermostat_alive() -> None:
    assert met("display", control=BOTH, breaker="out-of-line") == "on"
    assert met("display", control=BOTH, cells="dead") == "on"
    assert met("display", control=BOTH, cells="dead", breaker="out-of-line") == "blank"


def test_a_screen_that_loses_its_common_wire_is_blank_while_the_light_beats_on() -> None:
    lost = Control(opens=frozenset({"WIRE_C"}))
    assert met("display", control=lost) == "blank"
    assert met("light-code", control=lost) == "heartbeat"


def test_what_powers_a_thermostat_is_told_as_a_person_sees_it() -> None:
    stealing = Control(thermostat="stealing", common_wire=False)
    assert met("thermostat-power") == met("thermostat-power", control=stealing) == "wires"
    assert met("thermostat-power", control=CELLS) == "batteries"


def test_a_setting_cannot_be_read_from_a_blank_screen() -> None:
    assert met("screen-setting", setting="wrong-number") == "wrong-number"
    assert met("screen-setting", setting="wrong-number", switch="off") == "unsure"
    assert met("screen-setting", event=True) == "hold-or-away"


def test_new_batteries_show_whether_they_were_the_reason() -> None:
    change = ("screen-after-batteries", "change-batteries")
    assert met(*change, control=CELLS, cells="dead") == "on"
    assert met(*change, control=CELLS, cells="dead", cell_contacts=False) == "blank"
    assert met(*change, control=CELLS, cells="dead", spare_batteries=False) == "not-done"
    assert met(*change, switch="off") == "no-batteries-inside"


def test_a_blank_screen_has_nothing_to_set() -> None:
    assert met("thermostat-off-result", "thermostat-off", switch="off") == "screen-blank"
    assert met("heat-call", "set-heat", switch="off") == "not-done"
    assert met("cool-call", "set-cool", **SUMMER, switch="off") == "not-done"


# ---- a call for heat ----


@pytest.mark.parametrize("heating", ["gas-plastic", "gas-metal", "gas-pilot", "oil", "electric"])
def test_a_furnace_that_is_well_warms_within_five_minutes(heating: str) -> None:
    assert met("heat-call", "set-heat", heating=heating) == "warm"


def test_an_unseen_flame_gives_sounds_and_no_air() -> None:
    anew = ("heat-call", "thermostat-off", "set-heat")
    assert met(*anew, sensor=False) == "sounds-no-air"
    assert met(*anew, sensor=False, audible=False) == "nothing"
    assert met("heat-call", "set-heat", sensor=False) == "nothing", "it waits in its lock-out"


def test_a_unit_without_power_gives_nothing_under_a_living_screen() -> None:
    dead = {"control": CELLS, "breaker": "out-of-line"}
    assert met("heat-call", "set-heat", **dead) == "nothing"
    assert met("unit-sounds", "set-heat", **dead) == "silent"
    assert met("light-code", **dead) == "dark"


def test_a_stuck_limit_blows_cool_air_on_a_call_for_heat() -> None:
    assert met("heat-call", "set-heat", limit="stuck") == "cool-air"
    assert met("start-sounds", "listen-at-unit", limit="stuck") == "big-fan-no-flame"


def test_a_flame_without_big_fan_is_heard_at_the_unit() -> None:
    assert met("start-sounds", "listen-at-unit", blower="dead") == "flame-no-big-fan"


@pytest.mark.parametrize("pace", ["quick", "usual"])
def test_a_starved_furnace_heats_for_minutes(pace: str) -> None:
    assert met("start-sounds", "listen-at-unit", filter="dirty", pace=pace) == "heats-minutes"


@pytest.mark.parametrize("starved", [{"filter": "dirty"}, {"grilles": "shut-or-covered"}], ids=str)
def test_a_furnace_that_stops_late_is_caught_by_a_quarter_of_an_hour_only(
    starved: dict[str, Any],
) -> None:
    late = {**starved, "pace": "slow", "called": "fresh"}
    assert met("start-sounds", "listen-at-unit", **late) == "normal"
    assert met("heat-call", "set-heat", **late) == "warm"
    assert met("heat-call", "set-heat-long", **late) == "starts-then-stops"


@pytest.mark.parametrize("heating", ["gas-plastic", "gas-metal", "gas-pilot", "oil", "electric"])
@pytest.mark.parametrize("pace", ["quick", "usual", "slow"])
def test_a_quarter_of_an_hour_finds_nothing_in_a_house_that_is_well(
    heating: str, pace: str
) -> None:
    assert met("heat-call", "set-heat-long", heating=heating, pace=pace) == "warm"


def test_a_start_that_is_well_is_heard_to_the_end() -> None:
    assert met("start-sounds", "listen-at-unit") == "normal"


@pytest.mark.parametrize("pace", ["quick", "usual", "slow"])
@pytest.mark.parametrize(
    ("hurt", "heard"),
    [
        ({"sensor": False}, "flame-seconds"),
        ({"igniter": False}, "click-no-flame"),
        ({"draft": "never"}, "small-fan-only"),
        ({"inducer": "hum"}, "hum-no-fan"),
    ],
    ids=str,
)
def test_who_listens_to_a_start_hears_how_far_it_gets(
    hurt: dict[str, Any], heard: str, pace: str
) -> None:
    assert met("start-sounds", "listen-at-unit", pace=pace, **hurt) == heard


def test_a_heat_pump_feels_lukewarm_and_its_room_number_rises() -> None:
    assert met("electric-heat", "set-heat", **PUMP, weather="mild") == "lukewarm"
    assert met("room-number", "set-heat", **PUMP, weather="mild") == "rising"


def test_half_the_heaters_feel_lukewarm_and_none_feel_cool() -> None:
    assert met("electric-heat", "set-heat", heating="electric", elements=0.5) == "lukewarm"
    assert met("electric-heat", "set-heat", heating="electric", elements=0.0) == "cool"
    assert met("electric-heat", "set-heat", heating="electric", blower="dead") == "no-air"


def test_emergency_heat_exists_only_on_a_heat_pump() -> None:
    assert met("emergency-heat-result", "set-emergency-heat") == "no-such-setting"
    assert met("emergency-heat-result", "set-emergency-heat", **PUMP) == "warm"
    assert met("emergency-heat-result", "set-emergency-heat", **PUMP, elements=0.0) == "cool"


def test_emergency_heat_cannot_be_set_on_a_blank_screen() -> None:
    blank = {**PUMP, "breaker": "out-of-line"}
    assert met("emergency-heat-result", "set-emergency-heat", **blank) == "not-done"


def test_heat_that_ends_at_off_is_told_from_heat_that_does_not() -> None:
    assert met("heat-after-off", "end-the-heat") == "ended"
    touching = Control(shorts=(("RT", "WT", 0.05),))
    assert met("fan-after-off", "mode-off-and-wait", control=touching) == "heat-keeps-coming"
    assert met("fan-after-off", "mode-off-and-wait", valve="leaks") == "heat-keeps-coming"


@pytest.mark.parametrize("pace", ["usual", "slow"])
def test_heat_that_off_does_not_end_keeps_coming_within_the_minute(pace: str) -> None:
    touching = Control(shorts=(("RT", "WT", 0.05),))
    assert met("heat-after-off", "end-the-heat", control=touching, pace=pace) == "keeps-coming"


# ---- the light ----


def test_a_blinking_light_is_counted_by_most_and_means_nothing_without_its_label() -> None:
    assert met("light-code", limit="stuck") == "blinks"
    assert met("light-code", limit="stuck", window=False) == "no-window"
    assert met("light-class", limit="stuck") == "no-label"
    assert met("light-class", limit="stuck", label=True) == "limit"
    assert met("light-class", limit="stuck", label=True, window=False) == "no-label"


def test_a_count_tells_nothing_of_the_meaning() -> None:
    assert met("light-count", limit="stuck") == met("light-count", sensor=False)


@pytest.mark.parametrize(
    ("hurt", "meaning"),
    [
        ({"igniter": False}, "ignition"),
        ({"draft": "never"}, "pressure"),
        ({"rollout": True}, "rollout"),
        ({"draft": "always"}, "other"),
        ({"valve": "leaks"}, "flame-without-call"),
        ({}, "normal"),
    ],
    ids=str,
)
def test_a_label_beside_the_light_gives_its_meaning(hurt: dict[str, Any], meaning: str) -> None:
    assert met("light-class", label=True, **hurt) == meaning


def test_a_flame_that_lit_and_went_out_is_called_lost_by_some_labels() -> None:
    assert met("light-class", label=True, sensor=False) == {"ignition": 0.7, "flame-lost": 0.3}


LOST_GROUND = Control(opens=frozenset({"BOND"}))
BOARD_FLOAT = Control(float_in="board")
TOUCHING = Control(shorts=(("WT", "YT", 0.05),))
CONDENSING: dict[str, Any] = {"heating": "boiler", "boiler": "condensing"}


@pytest.mark.parametrize(
    ("hurt", "first", "second"),
    [
        ({"draft": "always"}, "other", "pressure-stuck"),
        ({"control": LOST_GROUND}, "other", "polarity"),
        ({"control": BOARD_FLOAT, "pump": True, "trap": "blocked"}, "other", "drain"),
        ({"control": TOUCHING}, "other", "two-calls"),
        ({**CONDENSING, "water_side": "low"}, "other", "boiler-water"),
        ({**CONDENSING, "limit": "stuck"}, "limit", "something-else"),
        ({**CONDENSING, "flue": "blocked"}, "pressure", "something-else"),
        ({**CONDENSING, "igniter": False}, "ignition", "something-else"),
        ({"limit": "stuck"}, "limit", "something-else"),
    ],
    ids=str,
)
def test_words_of_both_lists(hurt: dict[str, Any], first: str, second: str) -> None:
    assert met("light-class", label=True, **hurt) == first
    assert met("light-class-more", label=True, **hurt) == second


def test_an_old_boiler_has_a_light_that_tells_nothing_of_a_failed_start() -> None:
    assert met("light-code", heating="boiler", boiler="steam", water_side="low") == "heartbeat"


@pytest.mark.parametrize("way", ["groups", "two-groups", "long-short", "two-lights"])
def test_a_board_blinks_its_codes_in_its_own_way_and_a_few_flicker(way: str) -> None:
    assert met("light-pattern", limit="stuck", signals=way) == {way: 0.92, "rapid": 0.08}
    assert met("light-pattern", signals=way) == "no-pattern", "nothing to tell: it beats"


def test_two_of_three_counts_agree_for_nearly_all() -> None:
    assert met("light-again", limit="stuck") == {"same": 0.9, "different": pytest.approx(0.1)}
    third = met("light-recount", limit="stuck", signals="long-short")
    assert third == {"two-parts": 0.8, "neither": pytest.approx(0.2)}
    third = met("light-recount", limit="stuck")
    assert sum(third.values()) == pytest.approx(1.0)
    assert third["three"] == pytest.approx(0.08)


# ---- the fan that never stops ----


def test_a_fan_set_to_on_stops_with_auto() -> None:
    assert met("fan-choice", fan="on") == "on"
    assert met("fan-after-auto", "mode-off-and-wait", fan="on") == "stopped"


def test_a_fan_set_to_on_stops_with_auto_although_heat_is_asked_for_now_and_then() -> None:
    assert met("fan-after-auto", "fan-to-auto", fan="on") == "stopped"


@pytest.mark.parametrize(
    "why",
    [{"blower": "always"}, {"limit": "stuck"}, {"control": Control(shorts=(("RT", "GT", 0.05),))}],
    ids=str,
)
def test_a_fan_with_another_reason_runs_on_with_auto_and_off(why: dict[str, Any]) -> None:
    assert met("fan-after-auto", "mode-off-and-wait", **why) == "still-running"
    assert met("fan-after-off", "mode-off-and-wait", **why) == "still-running"


def test_heat_came_first_only_where_a_limit_opened_hot() -> None:
    assert met("heat-before-fan", filter="dirty") == "yes"
    assert met("heat-before-fan", limit="stuck") == "no"


def test_a_fan_call_shows_what_answers() -> None:
    assert met("fan-on-test", "fan-to-on") == "air"
    assert met("fan-on-test", "fan-to-on", blower="dead") == "no-air"
    assert met("fan-on-test", "fan-to-on", blower="hum") == "hum"
    touching = Control(shorts=(("WT", "GT", 0.05),))
    assert met("fan-on-test", "fan-to-on", control=touching) == "other-starts"
    assert met("fan-on-test", "fan-to-on", fan_settable=False) == "not-done"


# ---- switch, panel, filter, breakers ----


def test_a_switch_found_off_wakes_the_unit() -> None:
    assert met("service-switch", switch="off") == "off"
    assert met("after-switch-on", "switch-on-once", switch="off") == "runs"
    fuse_gone = Control(opens=frozenset({"TX"}))
    assert met("after-switch-on", "switch-on-once", switch="off", control=fuse_gone) == "dead"


def test_a_switch_that_is_another_units_leaves_the_light_on() -> None:
    assert met("unit-dark", "switch-off") == "dark-and-quiet"
    assert met("unit-dark", "switch-off", has_switch=False) == "not-done"


def test_one_power_cycle_shows_whether_a_wait_was_all() -> None:
    assert met("after-cycle", "power-cycle-once", locked=True) == "runs"
    assert met("after-cycle", "power-cycle-once", sensor=False) == "stops-again"
    assert met("after-cycle", "power-cycle-once", draft="always") == "no-change"
    late = {"burners": "late", "sensor": False}
    assert met("after-cycle", "power-cycle-once", **late) == "smell-or-noise"


def test_panels_and_filters_are_met_as_they_are_held() -> None:
    assert met("panel-fit", panel="gap") == "gap"
    assert met("panel-result", "seat-door-panel", panel="gap") == "flush"
    assert met("panel-result", "seat-door-panel", panel="gap", panel_stays=False) == "will-not-stay"
    assert met("panel-result", "seat-door-panel", panel_by_hand=False) == "not-done"
    assert met("filter-result", "change-filter", filter="dirty") == "changed"
    assert met("filter-result", "change-filter", filter="foul") == "soot-water-animal"
    assert met("filter-result", "change-filter", filter_place="high-or-tool") == "not-done"


def test_a_breaker_without_a_label_is_not_known() -> None:
    assert met("breaker-look", breaker="out-of-line") == "out-of-line"
    assert met("breaker-look", breaker="out-of-line", labelled=False) == "no-label"
    assert met("breaker-after", "reset-breaker-once", breaker="out-of-line") == "runs"


# ---- cooling and outdoors ----


def test_cooling_that_is_well_brings_cool_air_and_warm_air_outdoors() -> None:
    assert met("cool-call", "set-cool", **SUMMER) == "cool-air"
    assert met("outdoor-unit", "set-cool", **SUMMER) == "fan-turning"
    assert met("outdoor-air", "set-cool", **SUMMER) == "warm"


@pytest.mark.parametrize(
    ("hurt", "seen"),
    [
        ({"pullout": "out"}, "silent"),
        ({"capacitor": False}, "hum-no-fan"),
        ({"contactor": "chatter"}, "clicks"),
        ({"charge": "low"}, "fan-turning"),
    ],
    ids=str,
)
def test_an_outdoor_unit_is_seen_or_heard_as_it_fails(hurt: dict[str, Any], seen: str) -> None:
    assert met("outdoor-unit", "set-cool", **SUMMER, **hurt) == seen
    assert met("cool-call", "set-cool", **SUMMER, **hurt) == "air-not-cool"
    assert met("outdoor-from-inside", **SUMMER, **hurt, outdoor_heard=False) == "not-seen"


def test_hot_air_in_cooling_means_that_heat_was_called_too() -> None:
    swapped = met("cool-call", "set-cool", **SUMMER, swapped="W-Y")
    assert swapped == "heat-comes"


def test_ice_stops_the_air_and_is_seen_on_the_pipe() -> None:
    iced = {**SUMMER, "coil": "ice", "filter": "dirty"}
    assert met("cool-call", "set-cool", **iced) == "no-air"
    assert met("pipe-ice", **iced) == "ice"
    assert met("grille-flow", "set-cool", **iced) == "weak"


def test_one_look_outdoors_names_the_worst_first() -> None:
    assert met("outdoor-look", **SUMMER) == "fine"
    both = {"cable": "damaged", "surroundings": "smothered"}
    assert met("outdoor-look", **SUMMER, **both) == "cable-damaged"
    assert met("outdoor-look", **SUMMER, surroundings="smothered") == "smothered"


def test_a_running_ductless_unit_is_seen_running_outdoors() -> None:
    ductless = {"heating": "ductless", "cooling": "ductless"}
    assert met("outdoor-unit", "set-cool", **SUMMER, **ductless) == "fan-turning"


def test_covered_pipe_ends_are_seen_where_the_ends_can_be_seen() -> None:
    assert met("outside-pipes", flue="blocked") == "covered"
    assert met("outside-pipes", flue="blocked", pipe_ends_seen=False) == "none-seen"
    assert met("outside-pipes", flue="blocked", heating="gas-metal") == "none-seen"
    assert met("pipes-result", "clear-pipe-ends", flue="blocked") == "clear"


def test_a_full_pan_is_seen_in_cooling_only() -> None:
    assert met("drain-pan", **SUMMER, drain="blocked") == "water"
    assert met("drain-pan", drain="blocked") == "dry"
    assert met("drain-pan", **SUMMER, drain="blocked", pan=False) == "none-seen"


def test_a_stuck_zone_damper_is_told_as_some_rooms_only() -> None:
    assert met("heating-trouble", "set-heat", zones="stuck") == "some-rooms"


def test_a_stuck_zone_damper_is_told_of_in_summer_too() -> None:
    assert met("cooling-trouble", "set-cool", **SUMMER, zones="stuck") == "some-rooms"


# ---- danger ----


def test_a_house_without_signs_shows_no_danger() -> None:
    assert {met(finding) for finding in DANGERS} == {"none"}
    assert met("danger-sign") == "none"


def test_each_danger_is_met_in_the_list_and_on_the_one_page() -> None:
    # Flame outside its place is asked about by itself, of those who watched the flame in doubt.
    assert {*ON_ONE_PAGE, "water", "flame-outside"} == set(DANGERS)
    for finding, value in sorted(ON_ONE_PAGE.items()):
        assert met("danger-sign", signs=frozenset({(finding, "here")})) == value
        assert met(finding, signs=frozenset({(finding, "here")})) == "here"


def test_of_several_dangers_the_first_of_the_page_is_chosen() -> None:
    assert danger_sign({"co-alarm": "sounded", "gas-smell": "gas-or-exhaust"}) == "gas-or-exhaust"
    assert danger_sign({"water": "at-wires", "leak-message": "shown"}) == "water-at-wires"
    assert danger_sign({"water": "puddle", "leak-message": "shown"}) == "leak-message"
    assert danger_sign({"water": "puddle"}) == "only-puddle"
