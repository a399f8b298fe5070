"""What each check does to a house, what it leaves alone, and when a house does what is wanted."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from typing import Any

import pytest

from stepstop.house.acts import CHECKS, NONE, Acts, after
from stepstop.house.control import Control
from stepstop.house.doing import can_set, delivers, scene, stops, works
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.house.wiring import line_power, mode, screen

BATTERIES = Control(thermostat="batteries", common_wire=False)


def house(**sets: Any) -> House:
    return House(**sets)


def now(found: House, *checks: str) -> House:
    """The house after these checks, done one after the other."""
    return scene(found, done(*checks)).now


def done(*checks: str) -> Acts:
    acts = NONE
    for check in checks:
        acts = after(acts, check)
    return acts


def met(found: House, finding: str, *checks: str) -> object:
    return SENSES[finding](scene(found, done(*checks)))


# ---- acts ----


def test_a_check_that_only_looks_does_nothing_to_the_house() -> None:
    looks = [check for check in sorted(CHECKS) if after(NONE, check) == NONE]
    assert "read-light" in looks
    assert "listen-at-unit" not in looks, "it begins a call anew"
    found = house(limit="stuck")
    assert all(now(found, check) == found for check in looks)


def test_an_unknown_check_is_an_error() -> None:
    with pytest.raises(KeyError):
        after(NONE, "open-the-cover")


@pytest.mark.parametrize(
    ("checks", "renewed"),
    [
        (("set-heat",), False),
        (("set-heat", "set-heat-long"), False),
        (("set-emergency-heat", "set-heat"), False),
        (("listen-at-unit",), True),
        (("set-cool", "set-heat"), True),
        (("thermostat-off", "set-heat-after-clearing"), True),
        (("switch-off", "switch-back-on", "set-heat"), True),
        (("listen-at-unit", "set-heat"), True),
        (("listen-at-unit", "thermostat-off"), False),
    ],
    ids=str,
)
def test_a_call_for_heat_is_renewed_where_it_had_ended(
    checks: tuple[str, ...], renewed: bool
) -> None:
    assert done(*checks).renewed == renewed


def test_a_quarter_of_an_hour_counts_until_the_thermostat_is_set_again() -> None:
    assert done("set-heat-long").stayed
    assert done("set-heat-long", "read-light").stayed
    assert not done("set-heat-long", "set-heat").stayed
    assert not done("set-heat-long", "thermostat-off").stayed


def test_what_was_done_counts_and_not_in_what_order() -> None:
    checks = ("change-batteries", "open-grilles", "clear-pipe-ends", "seat-door-panel")
    assert len({done(*order) for order in permutations(checks)}) == 1


def test_the_last_word_at_the_thermostat_counts() -> None:
    assert done("set-heat", "set-cool").thermostat == "cool"
    assert done("set-cool", "thermostat-off").thermostat == "off"


def test_without_acts_the_house_is_as_it_was_found() -> None:
    found = house(filter="dirty", switch="off")
    assert scene(found, NONE).now == scene(found, NONE).found == found


# ---- thermostat ----


def test_a_call_sets_mode_and_time_whatever_was_set_before() -> None:
    for setting in ("off-or-wrong-mode", "wrong-number", "hold-or-away"):
        called = now(house(setting=setting), "set-heat")
        assert mode(called) == "heat"
        assert called.called == "fresh"
        assert works(house(setting=setting), done("set-heat"))


def test_a_blank_screen_cannot_be_set() -> None:
    for found in (house(breaker="out-of-line"), house(control=BATTERIES, cells="dead")):
        assert not can_set(found)
        assert now(found, "thermostat-off").mode == ""
        assert now(found, "set-heat").called == "long"


def test_a_thermostat_without_a_screen_can_be_set_without_power() -> None:
    old = house(control=Control(thermostat="none", common_wire=False), breaker="out-of-line")
    assert can_set(old)
    assert now(old, "thermostat-off").mode == "off"


def test_the_fan_goes_to_auto_where_there_is_a_choice_and_a_living_screen() -> None:
    assert now(house(fan="on"), "fan-to-auto").fan == "auto"
    assert now(house(fan="on", fan_settable=False), "fan-to-auto").fan == "on"
    assert now(house(fan="on", switch="off"), "fan-to-auto").fan == "on"


def test_a_thaw_stops_the_cooling_and_runs_the_fan() -> None:
    iced = house(wanted="cool", weather="hot", coil="ice", filter="dirty")
    whole = scene(iced, done("thaw")).whole
    assert whole.outdoor.spells == ()
    assert whole.indoor.at("blower", 120)


def test_new_batteries_wake_a_thermostat_that_takes_them() -> None:
    found = house(control=BATTERIES, cells="dead")
    assert screen(now(found, "change-batteries")) == "on"
    assert works(found, done("change-batteries"))


@pytest.mark.parametrize(
    "found",
    [
        house(control=BATTERIES, cells="dead", spare_batteries=False),
        house(control=BATTERIES, cells="dead", cell_contacts=False),
        house(control=BATTERIES, cells="dead", thermostat_alive=False),
        house(control=Control(opens=frozenset({"F1"}))),
    ],
    ids=["no spare ones", "corroded contacts", "dead electronics", "no place for them"],
)
def test_a_screen_that_batteries_cannot_wake_stays_blank(found: House) -> None:
    assert screen(now(found, "change-batteries")) == "blank"
    assert not works(found, done("change-batteries"))


# ---- rooms, panel, pipes ----


def test_shut_grilles_are_opened() -> None:
    found = house(grilles="shut-or-covered")
    assert not works(found, NONE)
    assert works(found, done("open-grilles"))


def test_a_dirty_filter_is_changed_where_a_new_one_is_there() -> None:
    assert works(house(filter="dirty"), done("change-filter"))
    assert now(house(filter="dirty", spare_filter=False), "change-filter").filter == "dirty"


def test_a_filter_is_changed_only_where_a_person_gets_at_it() -> None:
    low = house(filter="dirty", filter_place="low-grille", has_switch=False)
    assert works(low, done("change-grille-filter"))
    for out_of_reach in (
        {"filter_place": "high-or-tool"},
        {"filter_place": "not-found"},
        {"filter_place": "slot", "has_switch": False},
    ):
        found = house(filter="dirty", **out_of_reach)
        assert now(found, "change-filter").filter == "dirty"
        assert met(found, "filter-result", "change-filter") == "not-done"


def test_a_filter_with_soot_water_or_animals_is_left_alone() -> None:
    assert now(house(filter="foul"), "change-filter").filter == "foul"


def test_a_loose_panel_is_pressed_home_and_the_unit_starts_with_its_switch() -> None:
    found = house(panel="gap")
    assert not works(found, NONE)
    assert works(found, done("switch-off", "seat-door-panel", "switch-back-on"))


@pytest.mark.parametrize(
    "hindered", [{"panel_stays": False}, {"panel_by_hand": False}, {"has_switch": False}], ids=str
)
def test_a_panel_that_will_not_stay_or_cannot_be_touched_stays_off(
    hindered: dict[str, bool],
) -> None:
    assert now(house(panel="gap", **hindered), "seat-door-panel").panel == "gap"


def test_covered_pipe_ends_are_cleared_and_broken_ones_are_not() -> None:
    cleared = done("thermostat-off", "clear-pipe-ends", "set-heat-after-clearing")
    assert works(house(flue="blocked"), cleared)
    assert now(house(flue="damaged"), "clear-pipe-ends").flue == "damaged"


# ---- service switch ----


def test_the_switch_cuts_power_and_gives_it_back() -> None:
    assert not line_power(now(house(), "switch-off"))
    woken = now(house(), "switch-off", "switch-back-on")
    assert line_power(woken)
    assert woken.called == "fresh"


def test_a_switch_that_was_off_is_on_after_one_turn() -> None:
    assert works(house(switch="off"), done("switch-on-once"))


def test_one_power_cycle_clears_a_lock_out_that_no_call_clears() -> None:
    waiting = house(locked=True, call_clears=False)
    assert not works(waiting, NONE)
    assert not works(waiting, done("thermostat-off", "set-heat"))
    assert works(waiting, done("power-cycle-once"))


@pytest.mark.parametrize("checks", [("listen-at-unit",), ("thermostat-off", "set-heat")], ids=str)
def test_a_call_begun_anew_clears_the_lock_out_of_other_boards(checks: tuple[str, ...]) -> None:
    assert works(house(locked=True, call_clears=True), done(*checks))


def test_asking_for_more_of_what_was_asked_all_the_while_begins_nothing_anew() -> None:
    waiting = house(locked=True, call_clears=True)
    assert not works(waiting, done("set-heat"))
    assert now(waiting, "set-heat").called == "long"
    asleep = house(locked=True, call_clears=True, setting="off-or-wrong-mode")
    assert works(asleep, done("set-heat")), "nothing asked before, so this call is a new one"


def test_a_board_that_locked_itself_out_stays_locked_through_acts_that_clear_nothing() -> None:
    hidden = house(sensor=False, call_clears=False)
    assert scene(hidden, done("open-grilles")).now.locked
    assert not scene(hidden, done("power-cycle-once")).now.locked


@pytest.mark.parametrize(
    "check", ["set-heat", "listen-at-unit", "power-cycle-once", "reset-breaker-once"]
)
def test_an_oil_burner_stays_locked_out_whatever_a_page_offers(check: str) -> None:
    breaker = "out-of-line" if check == "reset-breaker-once" else "in-line"
    found = house(heating="oil", cooling="none", burner="no-spark", breaker=breaker, locked=True)
    assert now(found, check).locked


# ---- breakers ----


@pytest.mark.parametrize("as_found", ["out-of-line", "fully-off"])
def test_a_breaker_that_holds_is_closed_once(as_found: str) -> None:
    found = house(breaker=as_found)
    closed = now(found, "reset-breaker-once")
    assert closed.breaker == "in-line"
    assert closed.called == "fresh"
    assert works(found, done("reset-breaker-once"))


def test_a_breaker_that_trips_again_is_out_again() -> None:
    found = house(breaker="out-of-line", breaker_holds=False)
    assert now(found, "reset-breaker-once").breaker == "out-of-line"
    assert met(found, "breaker-after", "reset-breaker-once") == "trips-again"


def test_a_panel_with_rust_or_warmth_is_not_touched() -> None:
    assert now(house(breaker="odd-panel"), "reset-breaker-once").breaker == "odd-panel"


@pytest.mark.parametrize("why", [{"labelled": False}, {"breaker": "odd-panel"}], ids=str)
def test_a_breaker_that_is_not_known_or_in_an_odd_panel_is_left_as_it_is(
    why: dict[str, Any],
) -> None:
    found = house(**{"breaker": "out-of-line", **why})
    for check in ("reset-breaker-once", "breaker-off-and-leave"):
        assert now(found, check).breaker == found.breaker
    assert met(found, "breaker-left", "breaker-off-and-leave") == "odd-panel"


def test_an_outdoor_breaker_without_a_label_is_left_as_it_is() -> None:
    found = house(wanted="cool", weather="hot", labelled=False, outdoor_breaker="out-of-line")
    assert now(found, "reset-outdoor-breaker-once").outdoor_breaker == "out-of-line"
    assert now(found, "outdoor-breaker-off").outdoor_breaker == "out-of-line"


def test_a_breaker_left_off_cuts_the_indoor_unit() -> None:
    assert not line_power(now(house(), "breaker-off-and-leave"))


def test_an_outdoor_breaker_that_holds_brings_cooling_after_the_built_in_wait() -> None:
    found = house(wanted="cool", weather="hot", outdoor_breaker="out-of-line")
    closed = scene(found, done("reset-outdoor-breaker-once"))
    assert closed.now.outdoor_breaker == "in-line"
    assert not closed.whole.outdoor.at("compressor", 60)
    assert closed.whole.outdoor.at("compressor", 450)


@pytest.mark.parametrize("why", [{"outdoor_holds": False}, {"compressor": "dead"}], ids=str)
def test_an_outdoor_breaker_trips_again_on_what_draws_too_much(why: dict[str, Any]) -> None:
    found = house(wanted="cool", weather="hot", outdoor_breaker="out-of-line", **why)
    assert now(found, "reset-outdoor-breaker-once").outdoor_breaker == "out-of-line"


def test_a_new_call_for_cooling_starts_the_units_own_wait() -> None:
    found = house(wanted="cool", weather="hot")
    assert scene(found, NONE).now.rested
    assert not scene(found, done("set-cool")).now.rested


def test_an_outdoor_breaker_is_switched_off_and_on_again() -> None:
    found = house(wanted="cool", weather="hot")
    assert now(found, "thermostat-off", "outdoor-breaker-off").outdoor_breaker == "fully-off"
    back = now(found, "thermostat-off", "outdoor-breaker-off", "outdoor-breaker-on")
    assert back.outdoor_breaker == "in-line"
    assert mode(back) == "cool"


def test_an_outdoor_unit_is_freed_of_leaves_and_not_set_upright() -> None:
    smothered = house(wanted="cool", weather="hot", surroundings="smothered")
    assert not works(smothered, NONE)
    freed = done(
        "thermostat-off", "outdoor-breaker-off", "clear-outdoor-unit", "outdoor-breaker-on"
    )
    assert works(smothered, freed)
    assert now(house(surroundings="tilted-or-hit"), "clear-outdoor-unit").surroundings != "free"


# ---- what no act mends ----


@pytest.mark.parametrize("checks", [("set-heat",), ("power-cycle-once",), ("reset-breaker-once",)])
def test_a_melted_fuse_stays_melted(checks: tuple[str, ...]) -> None:
    touching = house(control=Control(shorts=(("RT", "CT", 0.05),)))
    assert "F1" in scene(touching, NONE).found.control.opens
    assert "F1" in now(touching, *checks).control.opens
    assert not works(touching, done(*checks))


def test_a_short_on_the_heat_wire_melts_the_fuse_only_once_heat_is_asked_for() -> None:
    touching = house(control=Control(shorts=(("WT", "CT", 0.05),)), setting="off-or-wrong-mode")
    assert "F1" not in scene(touching, NONE).found.control.opens
    assert "F1" in now(touching, "set-heat").control.opens


@pytest.mark.parametrize(
    "hurt",
    [
        {"igniter": False},
        {"sensor": False},
        {"gas": False},
        {"valve": "shut"},
        {"inducer": "dead"},
        {"draft": "never"},
        {"limit": "stuck"},
        {"rollout": True},
        {"trap": "blocked"},
        {"blower": "dead"},
        {"board": "dead"},
        {"ducts": "off"},
        {"zones": "stuck"},
    ],
    ids=str,
)
def test_nothing_that_a_page_offers_mends_a_broken_part(hurt: dict[str, Any]) -> None:
    states = [after(NONE, check) for check in sorted(CHECKS)]
    assert not any(works(house(**hurt), acts) for acts in states)


# ---- works, delivers, stops ----

WELL = [
    house(),
    house(heating="gas-metal"),
    house(heating="gas-pilot", cooling="none"),
    house(heating="oil", cooling="none"),
    house(heating="boiler", cooling="none"),
    house(heating="electric"),
    house(heating="heat-pump", cooling="heat-pump", control=Control(valve="O")),
    house(heating="ductless", cooling="ductless"),
    house(heating="baseboard", cooling="none", mains=True),
    house(wanted="cool", weather="hot"),
    house(
        heating="heat-pump", cooling="heat-pump", wanted="cool", weather="hot",
        control=Control(valve="B"),
    ),
    house(heating="ductless", cooling="ductless", wanted="cool", weather="hot"),
]  # fmt: skip


@pytest.mark.parametrize("found", WELL, ids=lambda each: f"{each.heating} {each.wanted}")
def test_a_house_that_is_well_works_and_goes_on_working_after_harmless_checks(
    found: House,
) -> None:
    assert works(found, NONE)
    for check in ("open-grilles", "change-filter", "read-screen", "fan-to-auto", "thermostat-off"):
        assert works(found, done(check))


@pytest.mark.parametrize(
    "short",
    [{"undersized": True}, {"ducts": "off"}, {"zones": "stuck"}, {"heat_breakers": 0.5}],
    ids=str,
)
def test_too_little_heat_is_not_what_is_wanted(short: dict[str, Any]) -> None:
    assert not delivers(house(heating="electric", **short))


@pytest.mark.parametrize("fan", ["on", "circulate"])
def test_a_fan_that_never_stops_is_not_what_is_wanted_either(fan: str) -> None:
    found = house(fan=fan)
    assert delivers(found)
    assert not stops(found)
    assert not works(found, NONE)
    assert works(found, done("fan-to-auto"))


@pytest.mark.parametrize("why", [{"blower": "always"}, {"stuck_contact": "G"}], ids=str)
def test_a_stuck_relay_or_contact_keeps_the_fan_running_at_off(why: dict[str, Any]) -> None:
    assert not stops(house(**why))


@pytest.mark.parametrize(
    "found",
    [
        house(wanted="cool", weather="hot", contactor="welded"),
        house(heating="boiler", cooling="none", control=Control(shorts=(("RT", "WT", 0.05),))),
    ],
    ids=["welded contactor", "boiler called for ever"],
)
def test_what_goes_on_at_off_is_not_a_house_that_works(found: House) -> None:
    assert not works(found, NONE)


def test_ice_is_gone_after_a_thaw_only_where_its_reason_is_gone() -> None:
    iced = house(wanted="cool", weather="hot", coil="ice", filter="dirty")
    assert not works(iced, done("thaw"))
    assert works(iced, done("change-filter", "thaw"))
    assert not works(replace(iced, filter="clean", charge="low"), done("thaw"))


def test_a_built_in_delay_is_no_fault() -> None:
    assert works(house(wanted="cool", weather="hot", rested=False, called="fresh"), NONE)
