"""What a person meets at oil burners and standing pilots: faults, and the senses that show them.

Expectations are worked out by hand from the usual pace: 10 s at the thermostat, 5 s until oil
comes, 30 s of safety time, fan 60 s after an oil flame; a person listens from 45 s on.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stepstop.house.acts import NONE, Acts, after
from stepstop.house.control import Control
from stepstop.house.doing import scene, works
from stepstop.house.faults import FAULTS, hurt
from stepstop.house.grid import BY_TREES, plans
from stepstop.house.house import House
from stepstop.house.oil import burner_asked, burner_start, oil_burns
from stepstop.house.senses import FOGGED, HEARD, SENSES, Sensed
from stepstop.house.story import Teller

OIL = House(heating="oil", cooling="none", tank_place="outdoors", weather="frost", window=False)
PILOT = House(heating="gas-pilot", cooling="none", window=False)
LOOP = House(
    heating="millivolt",
    cooling="none",
    has_switch=False,
    control=Control(thermostat="none", common_wire=False),
)
LISTENED = after(NONE, "listen-at-burner")


def sense(name: str, house: House, acts: Acts = NONE, **sets: Any) -> Sensed:
    return SENSES[name](scene(replace(house, **sets), acts))


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


def test_a_flame_needs_oil_that_burns_a_spark_and_pressure() -> None:
    assert oil_burns(OIL)
    for sets in ({"tank": "empty"}, {"oil": "air"}, {"burner": "no-pressure"}):
        assert not oil_burns(replace(OIL, **sets))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "sets",
    [{"limit": "stuck"}, {"locked": True}, {"switch": "off"}, {"board": "dead"}, {"mode": "off"}],
    ids=str,
)
def test_a_burner_is_not_asked_without_power_call_and_guard(sets: dict[str, Any]) -> None:
    assert burner_asked(OIL)
    assert not burner_asked(replace(OIL, **sets))


# ---- heard at the burner ----


def test_a_burner_that_has_locked_out_is_silent_when_somebody_comes_to_listen() -> None:
    for cause in ("oil-lock-out", "oil-flame-not-seen", "oil-tank-empty", "oil-line-air"):
        for _, _, house in hurt(OIL, cause):
            assert sense("burner-sounds", house, LISTENED) == "silent"


@pytest.mark.parametrize(
    ("sets", "heard"),
    [
        ({}, "normal"),
        ({"filter": "dirty"}, "heats-minutes"),
        ({"blower": "dead"}, "flame-no-big-fan"),
        ({"fan": "on", "board": "dead"}, "fan-no-burner"),
        ({"switch": "off"}, "silent"),
    ],
    ids=str,
)
def test_what_a_burner_that_has_not_locked_out_does_on_a_fresh_call(
    sets: dict[str, Any], heard: str
) -> None:
    acts = replace(LISTENED, fan="")
    assert sense("burner-sounds", OIL, acts, pace="brisk", **sets) == heard


@pytest.mark.parametrize(
    ("sets", "heard"),
    [
        ({"tank": "empty"}, "runs-no-flame"),
        ({"sensor": False}, "flame-seconds"),
        ({"burner": "hum"}, "hums"),
        ({"burner": "dead"}, "silent"),
    ],
    ids=str,
)
def test_the_first_start_in_days_can_be_heard_to_its_lock_out(
    sets: dict[str, Any], heard: str
) -> None:
    off = {"setting": "wrong-number", "pace": "slow"}
    assert sense("burner-sounds", OIL, LISTENED, **off, **sets) == heard


def test_half_of_the_people_heard_the_start_before_the_lock_out() -> None:
    told = {"flame-seconds": HEARD, "not-heard": 1.0 - HEARD}
    assert sense("oil-last-start", OIL, sensor=False) == told
    assert sense("oil-last-start", OIL, sensor=False, audible=False) == "not-heard"
    assert sense("oil-last-start", OIL) == sense("oil-last-start", OIL, switch="off") == "not-heard"


# ---- tank, signs, delivery ----


def test_a_gauge_shows_an_empty_tank_unless_it_sticks_or_is_missing() -> None:
    shown, stuck = (variant("oil-tank-empty", name) for name in ("shown", "stuck"))
    assert sense("oil-gauge", shown) == "empty"
    assert sense("oil-gauge", stuck) == sense("oil-gauge", OIL) == "some"
    assert sense("oil-gauge", shown, gauge="none") == "no-gauge"
    assert [name for name, _, _ in hurt(replace(OIL, gauge="none"), "oil-tank-empty")] == ["shown"]


def test_oil_gels_only_in_a_tank_outdoors_in_frost() -> None:
    assert {name for name, _, _ in hurt(OIL, "oil-water-or-cold")} == {"water", "cold"}
    for sets in ({"tank_place": "indoors"}, {"weather": "mild"}):
        house = replace(OIL, **sets)  # type: ignore[arg-type]
        assert {name for name, _, _ in hurt(house, "oil-water-or-cold")} == {"water"}


def test_smoke_counts_before_soot_and_soot_before_a_smell() -> None:
    assert sense("oil-signs", variant("oil-soot-puff", "smoke")) == "smoke"
    assert sense("oil-signs", variant("oil-soot-puff", "soot")) == "soot-or-thump"
    assert sense("oil-signs", variant("oil-soot-puff", "smelt")) == "oil-smell"
    assert sense("oil-signs", variant("oil-soot-puff", "unseen")) == "none"
    assert sense("danger-sign", variant("oil-lock-out", "smelt")) == "none"


def test_air_in_the_line_comes_after_a_tank_that_ran_dry() -> None:
    house = variant("oil-line-air", "")
    assert sense("oil-delivery", house) == "after-dry"
    assert sense("oil-gauge", house) == "some"


# ---- the small flame ----


def test_a_small_flame_is_out_for_several_reasons_and_burns_for_others() -> None:
    for sets in ({"pilot": "not-noticed"}, {"gas": False}, {"chimney": "blocked"}):
        assert sense("pilot-look", PILOT, **sets) == "out"  # type: ignore[arg-type]
    for sets in ({"valve": "shut"}, {"limit": "stuck"}, {"supply": "out"}):
        assert sense("pilot-look", PILOT, **sets) == "steady"  # type: ignore[arg-type]
    assert sense("pilot-look", PILOT, pilot_seen=False) == "no-window"


def test_most_people_notice_the_air_of_a_blocked_chimney() -> None:
    assert sense("stuffy-air", PILOT) == "none"
    assert sense("stuffy-air", PILOT, chimney="blocked") == {"seen": FOGGED, "none": 1.0 - FOGGED}


def test_a_weak_generator_leaves_its_small_flame_burning_or_comes_of_a_weak_one() -> None:
    assert sense("pilot-look", variant("pilot-generator-weak", "worn", LOOP)) == "steady"
    assert sense("pilot-look", variant("pilot-generator-weak", "small-flame", LOOP)) == "weak"
    assert not list(hurt(PILOT, "pilot-generator-weak"))


def test_house_power_and_its_faults_mean_nothing_to_a_heater_on_its_own_power() -> None:
    assert works(LOOP, NONE)
    for cause in ("breaker-tripped", "power-cut-or-part-cut", "loose-line-joint"):
        assert all(works(house, NONE) for _, _, house in hurt(LOOP, cause))
    for cause in ("board-dead", "service-switch-off", "control-supply-dead", "wrong-terminals"):
        assert not list(hurt(LOOP, cause))


# ---- the grid ----


def test_the_grid_has_enough_houses_of_each_kind_in_both_halves() -> None:
    for kind in ("oil", "gas-pilot", "millivolt"):
        assert kind in BY_TREES
        heat = [plan for plan in plans() if plan.name.startswith(f"{kind}/none/heat")]
        assert len(heat) >= 6
        assert len({plan.half for plan in heat}) == 2
        assert all(plan.has_tree for plan in heat)


def test_oil_causes_are_in_houses_that_burn_oil_for_heat() -> None:
    oil = {cause for cause in FAULTS if cause.startswith("oil-")}
    assert len(oil) == 7
    cooling = replace(OIL, wanted="cool", weather="hot", cooling="air-conditioner")
    for house in (PILOT, LOOP, House(), cooling):
        assert not [cause for cause in oil for _ in hurt(house, cause)]
    assert not [cause for cause in oil if not list(hurt(OIL, cause))]
