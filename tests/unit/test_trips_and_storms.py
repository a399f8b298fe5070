"""Breakers that open again, and what is told of storms and power cuts."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE, Acts
from stepstop.house.complaints import chosen
from stepstop.house.doing import scene, works
from stepstop.house.history import WHAT_CHANGED
from stepstop.house.house import House
from stepstop.house.senses import SENSES, Sensed
from stepstop.house.storms import SEEN, TOLD

SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
HELD = Acts(thermostat="off", breaker="closed-once")
ASKED = Acts(thermostat="heat", fan="auto", breaker="closed-once")
LOADED: dict[str, Any] = {
    "breaker": "out-of-line",
    "trips_on_call": True,
    "trips_after": "minutes",
}


def met(finding: str, house: House, acts: Acts = NONE) -> Sensed:
    return SENSES[finding](scene(house, acts))


def test_a_breaker_may_hold_with_nothing_asked_and_open_on_the_call() -> None:
    house = House(**LOADED)
    assert scene(house, HELD).now.breaker == "in-line"
    assert scene(house, ASKED).now.breaker == "out-of-line"
    assert met("trip-again", house, HELD) == "held"
    assert met("trip-again", house, ASKED) == "later"
    assert met("heat-call", house, ASKED) == "nothing"
    assert not works(house, HELD)
    assert not works(house, ASKED)


def test_a_breaker_that_tripped_once_holds_and_the_house_works() -> None:
    house = House(breaker="out-of-line")
    assert met("trip-again", house, ASKED) == "held"
    assert works(house, ASKED)


def test_a_breaker_that_never_holds_is_out_of_line_before_any_call() -> None:
    house = House(breaker="out-of-line", breaker_holds=False)
    assert scene(house, HELD).now.breaker == "out-of-line"
    assert met("trip-again", house, ASKED) == "at-once"


def test_heaters_whose_breaker_opened_heat_in_full_once_it_is_closed() -> None:
    house = House(heating="electric", heat_breakers=0.5, undersized=True)
    assert met("breaker-look", house) == "out-of-line"
    assert not works(house, NONE)
    assert works(house, ASKED)


@pytest.mark.parametrize(
    ("sets", "label"),
    [
        ({"breaker": "out-of-line"}, "indoor"),
        ({**SUMMER, "outdoor_breaker": "out-of-line"}, "outdoor"),
        ({"heating": "electric", "heat_breakers": 0.5}, "heater"),
        ({"outlet": False}, "outlet"),
        ({"supply": "part"}, "other"),
        ({"breaker": "out-of-line", "labelled": False}, "unsure"),
        ({}, "unsure"),
    ],
    ids=str,
)
def test_the_breaker_is_told_by_its_label(sets: dict[str, Any], label: str) -> None:
    assert met("which-breaker", House(**sets)) == label


def test_the_moment_is_told_where_it_trips_each_time() -> None:
    again = met("trip-moment", House(**LOADED))
    once = met("trip-moment", House(breaker="out-of-line"))
    assert again == {"minutes": 0.7, "not-seen": 0.3}
    assert not isinstance(once, str)
    assert max(once, key=lambda value: once[value]) == "not-seen"


def test_one_that_trips_again_pulls_more_than_one_that_tripped_once() -> None:
    once = chosen("breaker-tripped", House(breaker="out-of-line"))
    again = chosen("breaker-trips-again", House(breaker="out-of-line", breaker_holds=False))
    assert again["breaker-trips"] > once["breaker-trips"] > 0.0
    assert "breaker-trips" not in chosen("no-glow", House(igniter=False))


@pytest.mark.parametrize("finding", sorted(TOLD))
def test_what_is_told_of_a_storm_adds_up_and_is_never_certain(finding: str) -> None:
    for cause in ("surge-damage", "flooded-unit", "no-glow"):
        chances = TOLD[finding](cause, House())
        assert sum(chances.values()) == pytest.approx(1.0)
        assert all(0.0 < chance < 1.0 for chance in chances.values())


def test_a_dark_room_is_told_of_by_most() -> None:
    whole = TOLD["outage-feed"]("no-glow", House())
    part = TOLD["outage-feed"]("no-glow", House(supply="part"))
    assert whole["power-company"] == pytest.approx(0.97 * SEEN)
    assert part["part-or-none"] == pytest.approx(0.97 * SEEN)


def test_about_half_of_those_who_would_tell_of_it_choose_a_complaint_named_after_it() -> None:
    """The pull p of a share s is s/2 / (1 - s/2): beside one plain complaint that is s/2."""
    value, share = WHAT_CHANGED["safety-wait"]
    assert value == "storm-or-outage"
    chances = chosen("safety-wait", House(locked=True))
    after = chances["after-power-cut"] + chances.get("after-storm-or-flood", 0.0)
    assert after == pytest.approx(0.97 * share / 2, abs=0.01)


def test_a_flood_is_mostly_called_about_as_a_flood() -> None:
    signs = frozenset({("water", "at-wires")})
    chances = chosen("flooded-unit", House(board="dead", leak="flood", signs=signs))
    assert max(chances, key=lambda tree: chances[tree]) == "after-storm-or-flood"


@pytest.mark.parametrize(
    ("sets", "stands"),
    [
        ({"surroundings": "tilted-or-hit"}, "moved"),
        ({"surroundings": "tilted-or-hit", "outdoor_heard": False}, "not-seen"),
        ({}, "upright"),
    ],
    ids=str,
)
def test_an_outdoor_unit_that_was_hit_shows_from_a_window(
    sets: dict[str, Any], stands: str
) -> None:
    assert met("outdoor-stands", House(**sets)) == stands


def test_ten_minutes_after_power_came_back_a_house_shows_how_it_is() -> None:
    assert met("after-outage-wait", House()) == "runs"
    assert met("after-outage-wait", House(breaker="out-of-line")) == "nothing"
    assert met("after-outage-wait", House(limit="stuck")) == "some"
    assert met("after-outage-wait", House(**SUMMER, capacitor=False)) == "some"
