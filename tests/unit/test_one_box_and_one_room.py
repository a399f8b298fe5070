"""One box outside with all in it, and what keeps heat or cooling from one room alone."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE, after
from stepstop.house.complaints import chosen
from stepstop.house.control import Control
from stepstop.house.doing import scene, works
from stepstop.house.faults import hurt
from stepstop.house.grid import BY_TREES, plans
from stepstop.house.house import House
from stepstop.house.outdoor import outdoor_power
from stepstop.house.senses import SENSES
from stepstop.house.wiring import line_power

PACK: dict[str, Any] = {"heating": "gas-metal", "cooling": "one-box", "window": False}
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}


def met(house: House, finding: str, *checks: str) -> Any:
    acts = NONE
    for check in checks:
        acts = after(acts, check)
    return SENSES[finding](scene(house, acts))


# ---- one box ----


@pytest.mark.parametrize(
    "cut",
    [{"breaker": "out-of-line"}, {"pullout": "out"}, {"outdoor_fuses": False}, {"supply": "out"}],
    ids=str,
)
def test_one_breaker_and_one_pull_out_feed_all_of_the_box(cut: dict[str, Any]) -> None:
    assert not line_power(House(**PACK, **cut))
    assert not outdoor_power(House(**PACK, **cut))
    assert not works(House(**PACK, **cut), NONE)


def test_a_split_system_keeps_its_indoor_power_when_the_pull_out_is_out() -> None:
    split = House(**SUMMER, pullout="out")
    assert line_power(split)
    assert not outdoor_power(split)


def test_the_breaker_that_is_closed_once_wakes_the_box() -> None:
    assert works(House(**PACK, breaker="out-of-line"), after(NONE, "reset-breaker-once"))


def test_its_light_is_inside_and_it_is_known_as_one_box() -> None:
    assert met(House(**PACK), "light-code") == "no-window"
    assert met(House(**PACK), "heating-kind") == "one-box"
    assert met(House(**PACK, on_roof=True), "box-place") == "roof"
    assert met(House(**PACK), "box-fuel") == "gas"
    pump = House(heating="heat-pump", cooling="one-box", control=Control(valve="O"))
    assert met(pump, "box-fuel") == "power"


@pytest.mark.parametrize(
    "cause",
    [
        "panel-not-seated", "outlet-tripped", "outdoor-cable-cut", "board-fuse-outdoor-cable",
        "drain-full-stop", "flue-blocked", "humidifier-leak", "service-switch-off",
    ],
)  # fmt: skip
def test_what_a_box_outside_does_not_have_it_cannot_lose(cause: str) -> None:
    boxes = [plan.house for plan in plans() if plan.house.cooling == "one-box"]
    assert not [variant for house in boxes for variant in hurt(house, cause)]


@pytest.mark.parametrize(
    ("heating", "cooling", "wanted"),
    [
        ("ductless", "ductless", "heat"), ("ductless", "ductless", "cool"),
        ("baseboard", "none", "heat"), ("gas-metal", "one-box", "heat"),
        ("heat-pump", "one-box", "heat"), ("gas-metal", "one-box", "cool"),
    ],
)  # fmt: skip
def test_the_grid_has_enough_of_each_kind_in_both_halves(
    heating: str, cooling: str, wanted: str
) -> None:
    key = (heating, cooling, wanted)
    these = [p for p in plans() if (p.house.heating, p.house.cooling, p.house.wanted) == key]
    halves = [plan.half for plan in these]
    assert len(these) >= 6
    assert halves.count("held-out") == halves.count("mended-on")
    assert all(plan.has_tree for plan in these)
    assert heating in BY_TREES


# ---- one room ----


@pytest.mark.parametrize("room", ["shut", "door", "damper", "off"])
@pytest.mark.parametrize("season", [{}, SUMMER], ids=["winter", "summer"])
def test_a_room_without_its_air_is_called_about_as_one_room(
    room: str, season: dict[str, Any]
) -> None:
    found = House(room=room, **season)
    assert not works(found, NONE)
    chances = chosen("any", found)
    assert max(chances, key=lambda tree: chances[tree]) == "one-room"
    assert met(found, "other-rooms") == "well"


def test_a_shut_grille_is_mended_by_hand_and_a_damper_is_not() -> None:
    opened = after(NONE, "open-grilles")
    assert works(House(room="shut"), opened)
    assert met(House(room="shut"), "grilles-after", "open-grilles") == "open"
    for room in ("damper", "off", "door"):
        assert not works(House(room=room), opened)
        assert met(House(room=room), "grilles-after", "open-grilles") == "were-open"


def test_the_air_of_the_room_is_felt_beside_the_next_rooms() -> None:
    assert met(House(room="shut"), "room-air") == "none"
    assert met(House(room="shut"), "room-air", "open-grilles") == "strong"
    assert met(House(room="damper"), "room-air")["none"] > 0.5
    assert met(House(zones="stuck"), "room-air") == "none"
    assert met(House(), "room-air") == "strong"
    assert met(House(room="door"), "room-door") == "shut"


def test_a_stuck_zone_has_a_thermostat_of_its_own() -> None:
    [(_, _, found)] = hurt(House(), "zone-panel")
    assert met(found, "own-thermostat") == "yes"
    assert met(House(), "own-thermostat") == "no"


@pytest.mark.parametrize(
    ("heating", "source"),
    [("gas-plastic", "grille"), ("baseboard", "heater"), ("boiler", "water")],
)
def test_each_kind_warms_a_room_by_something_else(heating: str, source: str) -> None:
    assert met(House(heating=heating, cooling="none"), "room-source") == source
