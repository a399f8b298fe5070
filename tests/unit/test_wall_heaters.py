"""Electric heaters along the wall with dials on house power; times of the pace `usual`."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE, after
from stepstop.house.baseboard import one_room_only
from stepstop.house.complaints import chosen
from stepstop.house.control import Control
from stepstop.house.doing import scene, works
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.senses import SENSES
from stepstop.house.units import air, doings

KIND: dict[str, Any] = {
    "heating": "baseboard",
    "cooling": "none",
    "control": Control(thermostat="none", common_wire=False, outdoor=False),
    "mains": True,
    "has_switch": False,
}


def heater(**sets: Any) -> House:
    return House(**{**KIND, **sets})


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


def test_a_dial_that_was_low_is_all_that_was_wrong() -> None:
    found = heater(setting="wrong-number")
    assert not works(found, NONE)
    assert met(found, "dial-call", "dial-up") == "warm"
    assert working(found, "dial-up")


@pytest.mark.parametrize(
    "broken",
    [{"mains_contact": "open"}, {"limit": "stuck"}, {"breaker": "out-of-line"}, {"elements": 0.0}],
    ids=str,
)
def test_a_broken_heater_stays_cold_with_its_dial_up(broken: dict[str, Any]) -> None:
    assert met(heater(**broken), "dial-call", "dial-up") == "cold"
    assert met(heater(**broken), "dial-low", "dial-down") == "low"


def test_a_covered_heater_stops_and_starts_by_turns() -> None:
    whole = doings(heater(grilles="shut-or-covered", called="fresh"))
    on = [(s.start, s.end) for s in whole.indoor.spells if s.what == "elements"]
    assert on[:2] == [(0.0, 120.0), (420.0, 540.0)], "120 s on, 300 s until it is cool again"
    assert met(heater(grilles="shut-or-covered"), "dial-call", "dial-up") == "stops-again"


@pytest.mark.parametrize("pace", sorted(PACES))
def test_a_covered_heater_works_only_once_it_is_free(pace: str) -> None:
    found = heater(grilles="shut-or-covered", pace=pace)
    assert not works(found, NONE)
    assert met(found, "heater-front") == "covered"
    assert working(found, "dial-down", "free-heater", "dial-up")


def test_what_cannot_be_moved_goes_on_covering_it() -> None:
    found = heater(grilles="shut-or-covered", movable=False)
    assert met(found, "heater-freed", "dial-down", "free-heater") == "still-covered"
    assert not working(found, "free-heater", "dial-up")


def test_a_welded_contact_heats_on_with_the_dial_down() -> None:
    found = heater(mains_contact="welded")
    assert met(found, "dial-low", "dial-down") == "still-hot"
    assert met(found, "heater-cools", "dial-down") == "as-hot"
    assert met(found, "room-lacks") == "too-warm"
    assert not works(found, NONE)
    assert met(heater(), "dial-low", "dial-down") == "low"


def test_its_breaker_is_closed_once_and_holds_or_opens_again() -> None:
    assert working(heater(breaker="out-of-line"), "dial-down", "reset-breaker-once", "dial-up")
    worn = heater(breaker="out-of-line", breaker_holds=False)
    assert met(worn, "breaker-after", "dial-down", "reset-breaker-once") == "trips-again"


def test_each_room_has_its_own_but_a_power_cut_takes_them_all() -> None:
    assert one_room_only(heater(heaters=3))
    assert not one_room_only(heater(heaters=1))
    assert not one_room_only(heater(heaters=3, supply="out"))
    assert met(heater(heaters=3, supply="out"), "cold-rooms") == "all"


def test_people_with_one_cold_room_say_so() -> None:
    several = chosen("any", heater(heaters=3, limit="stuck"))
    assert max(several, key=lambda tree: several[tree]) == "one-room"
    assert "one-room" not in chosen("any", heater(heaters=1, limit="stuck"))


def test_the_air_of_the_room_is_warm_or_none() -> None:
    assert air(doings(heater(called="fresh")), 60.0) == "hot"
    assert air(doings(heater(mains_contact="open")), 60.0) == "none"
