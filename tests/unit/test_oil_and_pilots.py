"""What a person meets at oil burners and standing flames: faults, and the senses that show them.

Expectations are worked out by hand from the usual pace: 5 s until oil comes, 30 s of safety time.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stepstop.house.acts import NONE
from stepstop.house.boiler import lights
from stepstop.house.doing import scene
from stepstop.house.faults import FAULTS, hurt
from stepstop.house.grid import BY_TREES, plans
from stepstop.house.house import House
from stepstop.house.oil import burner_start, oil_burns
from stepstop.house.senses import SENSES
from stepstop.house.story import Teller
from stepstop.house.told import FOGGED, HEARD, Sensed

OIL = House(heating="oil", cooling="none", weather="frost", window=False)
OUTDOORS = replace(OIL, tank_place="outdoors")
PILOT = House(heating="gas-pilot", cooling="none", window=False)


def sense(name: str, house: House, **sets: Any) -> Sensed:
    return SENSES[name](scene(replace(house, **sets), NONE))


def variant(cause: str, name: str, house: House = OIL) -> House:
    return {each: edited for each, _, edited in hurt(house, cause)}[name]


# ---- the burner by itself ----


def test_a_start_tells_whether_its_flame_is_seen_and_leaves_the_clock_there() -> None:
    teller = Teller(0.0, 600.0)
    assert burner_start(OIL, teller)
    assert (teller.now, teller.clicks) == (5.0, [0.0])
    failed = Teller(0.0, 600.0)
    assert not burner_start(replace(OIL, sensor=False), failed)
    assert (failed.now, failed.clicks) == (35.0, [0.0, 35.0])
    assert {each.what for each in failed.spells} == {"burner", "flame"}


@pytest.mark.parametrize("sets", [{"tank": "empty"}, {"oil": "air"}, {"burner": "no-pressure"}])
def test_a_flame_needs_oil_that_burns_a_spark_and_pressure(sets: dict[str, Any]) -> None:
    boiler = replace(OIL, heating="boiler", boiler="oil")
    assert oil_burns(OIL)
    assert lights(boiler)
    assert not oil_burns(replace(OIL, **sets))
    assert not lights(replace(boiler, **sets))


# ---- what is met of a burner that gave up ----


@pytest.mark.parametrize(
    ("cause", "name", "heard"),
    [
        ("oil-tank-empty", "shown", "no-roar"),
        ("oil-lock-out", "", "no-roar"),
        ("oil-line-air", "", "no-roar"),
        ("oil-pump-failed", "dry", "no-roar"),
        ("oil-pump-failed", "hum", "hums"),
        ("oil-flame-not-seen", "", "flame-seconds"),
        ("oil-soot-puff", "soot", "flame-seconds"),
    ],
)
def test_half_of_the_people_heard_the_start_before_the_lock_out(
    cause: str, name: str, heard: str
) -> None:
    house = variant(cause, name)
    assert sense("burner-sounds", house) == "silent"
    assert sense("oil-last-start", house) == {heard: HEARD, "not-heard": 1.0 - HEARD}
    assert sense("oil-last-start", house, audible=False) == "not-heard"


def test_nothing_is_heard_of_a_motor_that_is_dead_or_of_a_burner_without_power() -> None:
    assert sense("oil-last-start", variant("oil-pump-failed", "dead")) == "not-heard"
    assert sense("oil-last-start", OIL) == sense("oil-last-start", OIL, switch="off") == "not-heard"


def test_a_gauge_shows_an_empty_tank_unless_it_sticks_is_missing_or_is_outdoors() -> None:
    shown, stuck = (variant("oil-tank-empty", name) for name in ("shown", "stuck"))
    assert sense("oil-gauge", shown) == {"empty": 0.9, "none-found": 0.1}
    assert sense("oil-gauge", stuck) == sense("oil-gauge", OIL) == {"some": 0.9, "none-found": 0.1}
    assert sense("oil-gauge", shown, gauge="none") == "none-found"
    assert sense("oil-gauge", shown, tank_place="outdoors") == "none-found"
    assert [name for name, _, _ in hurt(replace(OIL, gauge="none"), "oil-tank-empty")] == ["shown"]


def test_oil_gels_only_in_a_tank_outdoors_in_frost() -> None:
    assert {name for name, _, _ in hurt(OUTDOORS, "oil-water-or-cold")} == {"water", "cold"}
    for house in (OIL, replace(OUTDOORS, weather="mild")):
        assert {name for name, _, _ in hurt(house, "oil-water-or-cold")} == {"water"}


def test_air_in_the_pipe_comes_after_a_tank_that_ran_dry() -> None:
    house = variant("oil-line-air", "")
    assert sense("oil-delivery", house) == "after-dry"
    assert sense("oil-delivery", OIL) == "none"
    assert sense("oil-smell", house) == "none"


def test_oil_that_was_sprayed_and_did_not_light_may_be_smelled() -> None:
    for house in (variant("oil-lock-out", ""), variant("oil-soot-puff", "soot")):
        assert sense("oil-smell", house) == {"smell": 0.1, "none": 0.9}


# ---- the small flame ----


@pytest.mark.parametrize("sets", [{"pilot": "not-noticed"}, {"gas": False}, {"chimney": "blocked"}])
def test_a_small_flame_is_out_for_several_reasons(sets: dict[str, Any]) -> None:
    assert sense("pilot-flame", PILOT, **sets) == {"out": 0.85, "not-seen": 0.15}


@pytest.mark.parametrize("sets", [{"valve": "shut"}, {"limit": "stuck"}, {"supply": "out"}])
def test_a_small_flame_burns_on_where_the_big_one_fails(sets: dict[str, Any]) -> None:
    assert sense("pilot-flame", PILOT, **sets) == {"lit": 0.85, "not-seen": 0.15}
    assert sense("main-flame", PILOT) == "lights"


def test_most_people_notice_the_air_of_a_blocked_chimney() -> None:
    assert sense("stuffy-air", PILOT) == "none"
    assert sense("stuffy-air", PILOT, chimney="blocked") == {"seen": FOGGED, "none": 1.0 - FOGGED}


# ---- the grid ----


def test_the_grid_has_enough_houses_of_each_kind_in_both_halves() -> None:
    for kind in ("oil", "gas-pilot"):
        assert kind in BY_TREES
        heat = [plan for plan in plans() if plan.name.startswith(f"{kind}/none/heat")]
        assert len(heat) >= 6
        assert len({plan.half for plan in heat}) == 2
    places = {plan.house.tank_place for plan in plans() if plan.house.heating == "oil"}
    assert places == {"indoors", "outdoors", "buried"}


def test_only_houses_that_burn_oil_have_its_tank_and_its_causes() -> None:
    oil = {cause for cause in FAULTS if cause.startswith("oil-")}
    assert len(oil) == 7
    for house in (PILOT, House(), replace(OIL, wanted="cool", weather="hot")):
        assert not [cause for cause in oil for _ in hurt(house, cause)]
    assert not [cause for cause in oil if not list(hurt(OIL, cause))]
    for plan in plans():
        if plan.house.heating != "oil" and plan.house.boiler != "oil":
            assert (plan.house.tank_place, plan.house.gauge) == ("indoors", "right")
