"""A boiler's start, pressures and faults, by what a person meets at it and at the radiators.

Ranges are those of the trade's common practice, no source; times and psi are worked out by hand.
"""

from collections import Counter
from math import inf

import pytest

from stepstop.house import grid
from stepstop.house.acts import NONE, after
from stepstop.house.boiler import LATE, pressure, relief
from stepstop.house.control import Control
from stepstop.house.doing import delivers, scene, stops, works
from stepstop.house.faults import BOILER, hurt
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.senses import SENSES
from stepstop.house.units import Doings, air, doings

MINUTE = 60.0
HOT_WATER = ("gas", "condensing", "oil")

every_pace = pytest.mark.parametrize("pace", sorted(PACES))
every_kind = pytest.mark.parametrize("kind", [*HOT_WATER, "steam"])


def house(kind: str = "gas", **sets: object) -> House:
    """A house with a boiler that has been asked for heat for hours."""
    return House(heating="boiler", cooling="none", boiler=kind, **sets)  # type: ignore[arg-type]


def call(kind: str = "gas", **sets: object) -> Doings:
    """One whose thermostat began to ask at 0."""
    return doings(house(kind, **{"called": "fresh", **sets}))


def start(whole: Doings, what: str) -> float:
    return min((s.start for s in whole.indoor.spells if s.what == what), default=inf)


def met(finding: str, kind: str = "gas", **sets: object) -> object:
    return SENSES[finding](scene(house(kind, **sets), NONE))


# ---- a start ----


@every_pace
def test_zone_valve_flame_and_warmth_come_one_after_the_other(pace: str) -> None:
    whole = call(pace=pace)
    valve, flame = whole.indoor.clicks[0], start(whole, "flame")
    assert 15 <= valve - PACES[pace].thermostat <= 3 * MINUTE
    assert flame - valve == PACES[pace].purge
    assert start(whole, "pump") == flame
    assert start(whole, "radiators") - flame == PACES[pace].radiator


@every_pace
@every_kind
def test_radiators_stay_cold_for_five_minutes_and_are_warm_within_half_an_hour(
    kind: str, pace: str
) -> None:
    whole = call(kind, pace=pace, loops=1, taps_first=kind != "steam")
    assert air(whole, 5 * MINUTE) == "none"
    assert air(whole, LATE) == "hot"
    assert delivers(house(kind, pace=pace))


def test_taps_come_first_and_cost_minutes_no_fault() -> None:
    late = start(call(taps_first=True), "radiators") - start(call(), "radiators")
    assert late == PACES["usual"].taps
    assert start(call(taps_first=True), "hot-pipe") == start(call(), "hot-pipe")
    assert works(house(taps_first=True), NONE)


def test_steam_needs_neither_a_pump_nor_a_zone_valve() -> None:
    whole = call("steam", water_side="no-flow", zone_valve=False)
    assert start(whole, "pump") == inf
    assert air(whole, LATE) == "hot"


@pytest.mark.parametrize(
    ("kind", "hurts", "light"),
    [
        ("gas", {"water_side": "low"}, "other"),
        ("steam", {"glass": "empty"}, "other"),
        ("gas", {"limit": "stuck"}, "limit"),
        ("gas", {"chimney": "blocked"}, "pressure"),
        ("gas", {"draft_guard": False}, "pressure"),
        ("condensing", {"flue": "blocked"}, "pressure"),
        ("condensing", {"trap": "frozen"}, "pressure"),
        ("gas", {"gas": False}, "ignition"),
        ("gas", {"valve": "shut"}, "ignition"),
        ("condensing", {"igniter": False}, "ignition"),
        ("condensing", {"sensor": False}, "ignition"),
        ("oil", {"oil": "empty"}, "ignition"),
        ("gas", {"pilot": "out"}, "heartbeat"),
        ("gas", {"board": "dead"}, "dark"),
        ("gas", {"locked": True}, "ignition"),
    ],
    ids=str,
)
def test_a_boiler_does_not_burn_past_its_guards(
    kind: str, hurts: dict[str, object], light: str
) -> None:
    whole = call(kind, **hurts)
    assert start(whole, "flame") == start(whole, "pump") == start(whole, "radiators") == inf
    assert whole.indoor.light_at(LATE) == light
    assert whole.indoor.locked == (light == "ignition")


@pytest.mark.parametrize(
    ("kind", "sets"),
    [
        ("condensing", {"pilot": "out"}),
        ("condensing", {"chimney": "blocked"}),
        ("gas", {"flue": "blocked"}),
        ("oil", {"gas": False}),
        ("gas", {"oil": "empty"}),
    ],
    ids=str,
)
def test_what_another_kind_needs_does_not_matter(kind: str, sets: dict[str, object]) -> None:
    assert works(house(kind, **sets), NONE)


def test_neither_a_call_nor_power_clears_a_lock_out() -> None:
    locked = house("condensing", locked=True, call_clears=True)
    for check in ("set-heat-anew", "set-heat-water", "power-cycle-once", "switch-on-once"):
        assert scene(locked, after(NONE, check)).now.locked


# ---- pressure ----


@pytest.mark.parametrize(
    ("sets", "cold", "hot", "pipe"),
    [
        ({}, 13.0, 18.0, "dry"),
        ({"tank_full": True}, 13.0, 28.0, "drips"),
        ({"fill_passes": True}, 33.0, 33.0, "blows"),
        ({"water_side": "low"}, 2.0, 2.0, "dry"),
        ({"water_side": "low", "tank_full": True}, 2.0, 2.0, "dry"),
        ({"boiler": "steam"}, 0.0, 1.5, "dry"),
    ],
    ids=str,
)
def test_pressure_cold_and_hot_and_what_the_relief_pipe_does(
    sets: dict[str, object], cold: float, hot: float, pipe: str
) -> None:
    found = house(**{"kind": "gas", **sets}) if "boiler" not in sets else house("steam")
    assert pressure(found, hot=False) == cold
    assert pressure(found, hot=True) == hot
    assert relief(found, hot=True) == pipe


@pytest.mark.parametrize(
    ("sets", "read", "needle"),
    [
        ({}, "normal", "middle"),
        ({"water_side": "low"}, "low", "zero"),
        ({"tank_full": True}, "high", "last-third"),
        ({"tank_full": True, "igniter": False}, "normal", "middle"),
        ({"fill_passes": True}, "very-high", "at-end"),
    ],
    ids=str,
)
def test_the_gauge_is_read_hot_or_cold_as_the_boiler_is(
    sets: dict[str, object], read: str, needle: str
) -> None:
    assert met("boiler-gauge", **sets) == read
    assert met("gauge-needle", **sets) == needle


def test_blowing_or_rumbling_is_met_from_outside_and_is_not_a_house_that_works() -> None:
    for sets, noise in (({"fill_passes": True}, "blowing"), ({"kettles": True}, "rumble")):
        assert met("boiler-noise", **sets) == noise
        assert met("boiler-noise-again", **sets) == "heard"
        assert not works(house(**sets), NONE)
    assert met("boiler-noise") == met("boiler-noise-again") == "none"
    assert not works(house(tank_full=True), NONE), "it heats, and loses water"


# ---- heat that doesn't move ----


@pytest.mark.parametrize(
    ("sets", "pipes", "radiators", "noise"),
    [
        ({}, "both-hot", "warm", "none"),
        ({"water_side": "no-flow"}, "one-hot", "cold", "none"),
        ({"loop_frozen": True}, "one-hot", "cold", "none"),
        ({"loop_air": "stops"}, "one-hot", "cold", "gurgle"),
        ({"loop_air": "part"}, "both-hot", "hot-below", "gurgle"),
        ({"zone_valve": False}, "cold", "cold", "none"),
        ({"water_side": "low"}, "cold", "cold", "none"),
    ],
    ids=str,
)
def test_pipes_radiators_and_sounds_tell_whether_heat_is_made_and_moves(
    sets: dict[str, object], pipes: str, radiators: str, noise: str
) -> None:
    assert met("boiler-pipes", **sets) == pipes
    assert met("radiators", **sets) == radiators
    assert met("pipe-noise", **sets) == noise
    assert met("boiler-warm", **sets) == ("cold" if pipes == "cold" else "warm")
    assert met("cold-rooms", **sets) == "all"


def test_a_boiler_whose_heat_stays_with_it_burns_by_short_turns() -> None:
    whole = call(water_side="no-flow")
    burns = whole.indoor.seconds("flame", 0.0, LATE) / (LATE - start(whole, "flame"))
    assert 0.15 < burns < 0.3
    assert call().indoor.longest("flame", 0.0, LATE) == LATE - start(call(), "flame")


@pytest.mark.parametrize(
    "sets",
    [
        {"zone_valve": False},
        {"loop_frozen": True},
        {"loop_air": "stops"},
        {"setting": "wrong-number"},
        {"control": Control(opens=frozenset({"WIRE_W"}))},
    ],
    ids=str,
)
def test_a_fault_of_one_zone_leaves_the_others_warm(sets: dict[str, object]) -> None:
    assert met("radiators", loops=3, **sets) == "cold"
    assert met("cold-rooms", loops=3, **sets) == "some"
    assert met("any-warm", loops=3, **sets) == "yes"
    assert met("cold-rooms", loops=1, **sets) == "all"
    assert met("any-warm", loops=1, **sets) == "no"


@pytest.mark.parametrize(
    "sets",
    [
        {"water_side": "low"},
        {"water_side": "no-flow"},
        {"gas": False},
        {"switch": "off"},
        {"control": Control(opens=frozenset({"TX"}))},
    ],
    ids=str,
)
def test_what_all_zones_need_leaves_all_cold(sets: dict[str, object]) -> None:
    assert met("cold-rooms", loops=3, **sets) == "all"
    assert met("any-warm", loops=3, **sets) == "no"


def test_other_zones_go_on_at_off_and_only_a_stuck_call_is_a_heat_that_never_stops() -> None:
    assert stops(house(loops=3))
    assert not stops(house(control=Control(shorts=(("RT", "WT", 0.05),))))


def test_water_in_the_glass_and_the_knock_of_a_flooded_boiler() -> None:
    assert met("water-glass", "steam", glass="full") == "full"
    assert met("pipe-noise", "steam", glass="full") == "knock"
    assert met("radiators", "steam", glass="full") == "cold"
    assert met("water-glass", "gas", glass="full") == "no-glass"


def test_only_an_oil_boiler_has_a_tank_to_look_at() -> None:
    assert met("boiler-oil", "oil") == met("boiler-oil", "oil", oil="no-flame") == "some"
    assert met("boiler-oil", "oil", oil="empty") == "empty"
    assert met("boiler-oil", "gas", oil="empty") == "unsure"


def test_screen_and_lights_tell_a_stop_raw() -> None:
    assert met("boiler-screen", "condensing") == "usual"
    assert met("boiler-screen", "condensing", flue="blocked") == "code"
    assert met("boiler-screen", "condensing", switch="off") == "dark"
    assert met("boiler-screen", "gas") == "no-screen"
    assert met("boiler-light", "gas") == "lit"
    assert met("boiler-light", "gas", draft_guard=False) == "blinks"
    assert met("boiler-light", "gas", window=False, igniter=False) == "stop-light"
    assert met("boiler-light", "gas", window=False) == "dark"


# ---- half an hour ----


def test_half_an_hour_after_a_wrong_setting_is_put_right_the_radiators_are_warm() -> None:
    wrong = house(setting="off-or-wrong-mode")
    told = scene(wrong, after(NONE, "set-heat-water"))
    assert SENSES["radiator-heat"](told) == "warm"
    assert SENSES["heat-call"](scene(wrong, after(NONE, "set-heat"))) == "sounds-no-air"
    assert SENSES["radiator-heat"](scene(house(loop_air="part"), NONE)) == "hot-below"


def test_how_long_heat_was_asked_for_and_what_ran_at_the_taps() -> None:
    assert met("asked-since") == "long"
    assert met("asked-since", taps_first=True) == "taps"
    wrong = house(setting="off-or-wrong-mode")
    assert SENSES["asked-since"](scene(wrong, after(NONE, "set-heat"))) == "short"


def test_power_that_comes_back_shows_on_a_screen_but_not_on_a_boiler_without_a_light() -> None:
    on = after(NONE, "switch-on-once")
    for kind, window, shown in (
        ("condensing", False, "alive"),
        ("gas", True, "alive"),
        ("gas", False, "dead"),
    ):
        off = house(kind, switch="off", window=window, audible=False, loops=1,
                    control=Control(thermostat="batteries"))  # fmt: skip
        assert SENSES["after-switch-on"](scene(off, on)) == shown
        assert works(off, on)


# ---- faults and grid ----


def test_every_cause_of_a_boiler_shows_somewhere_on_the_grid_and_in_no_furnace() -> None:
    boilers = [plan.house for plan in grid.plans() if plan.house.heating == "boiler"]
    for cause in BOILER:
        shown = [each for found in boilers for _, _, each in hurt(found, cause)]
        assert shown
        assert not any(works(each, NONE) for each in shown)
        assert not list(hurt(House(), cause))


@pytest.mark.parametrize(
    ("cause", "kinds"),
    [
        ("boiler-code", {"condensing"}),
        ("boiler-draft-guard", {"gas", "steam"}),
        ("steam-water-level", {"steam"}),
        ("boiler-lock-out", {"gas", "condensing"}),
        ("zone-valve-stuck", set(HOT_WATER)),
        ("pilot-out", {"gas", "steam"}),
        ("flue-blocked", {"gas", "steam"}),
        ("no-gas-supply", {"gas", "condensing", "steam"}),
    ],
)
def test_a_cause_is_in_the_kinds_that_have_the_part(cause: str, kinds: set[str]) -> None:
    having = {k for k in (*HOT_WATER, "steam") if list(hurt(house(k), cause))}
    assert having == kinds


def test_a_zone_freezes_in_frost_only() -> None:
    assert list(hurt(house(weather="frost"), "zone-frozen"))
    assert not list(hurt(house(weather="mild"), "zone-frozen"))


def test_either_half_of_the_grid_has_every_kind_of_boiler_and_all_are_well() -> None:
    boilers = [plan for plan in grid.plans() if plan.house.heating == "boiler"]
    halves = Counter((plan.house.boiler, plan.half) for plan in boilers)
    assert all(halves[kind, half] for kind in (*HOT_WATER, "steam") for half in
               ("mended-on", "held-out"))  # fmt: skip
    assert len(boilers) >= 10
    assert len(boilers) % 2 == 0
    assert all(plan.has_tree and works(plan.house, NONE) for plan in boilers)
    assert {plan.house.loops for plan in boilers} >= {1, 2, 3}
    assert all(plan.house.loops == 1 for plan in boilers if plan.house.boiler == "steam")
