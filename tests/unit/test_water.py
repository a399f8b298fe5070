"""Where a house lets water out, and where a person meets it."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE
from stepstop.house.complaints import chosen
from stepstop.house.doing import scene, works
from stepstop.house.faults import hurt
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.house.told import Sensed
from stepstop.house.water import comes_from

SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUDDLE = frozenset({("water", "puddle")})


def met(finding: str, **sets: Any) -> Sensed:
    return SENSES[finding](scene(House(**sets), NONE))


@pytest.mark.parametrize(
    ("sets", "source"),
    [
        ({}, ""),
        ({**SUMMER}, ""),
        ({**SUMMER, "drain": "blocked"}, "drain"),
        ({"drain": "blocked"}, ""),
        ({**SUMMER, "drain": "spare"}, "spare"),
        ({**SUMMER, "coil": "ice"}, "ice"),
        ({**SUMMER, "coil": "ice", "drain": "blocked"}, "drain"),
        ({"pump": True, "pump_works": False}, "pump"),
        ({"pump_works": False}, ""),
        ({"trap": "blocked"}, "trap"),
        ({"trap": "frozen"}, "trap"),
        ({"trap": "blocked", "heating": "gas-metal"}, ""),
        ({"leak": "humidifier", "trap": "blocked"}, "humidifier"),
        ({**SUMMER, "leak": "pan"}, "pan"),
        ({"leak": "flood"}, "flood"),
    ],
    ids=str,
)
def test_water_comes_from_what_holds_it_now(sets: dict[str, Any], source: str) -> None:
    assert comes_from(House(**sets)) == source


@pytest.mark.parametrize(
    ("sets", "place"),
    [
        ({"leak": "humidifier"}, "nothing"),
        ({"leak": "humidifier", "attic": True}, {"ceiling": 0.8, "nothing": 0.2}),
        ({**SUMMER, "drain": "spare", "attic": True}, {"outside-drip": 0.9, "unsure": 0.1}),
        (
            {**SUMMER, "drain": "blocked"},
            {"pan": 0.6, "nothing": 0.3, "outside-drip": 0.1},
        ),
        ({**SUMMER, "coil": "ice", "pan": False}, "nothing"),
        ({"trap": "blocked", "pump": True}, "pan"),
        ({"trap": "blocked"}, "nothing"),
        ({"leak": "roof"}, {"ceiling": 0.6, "nothing": 0.4}),
        ({}, "nothing"),
    ],
    ids=str,
)
def test_water_is_seen_below_its_source(sets: dict[str, Any], place: Sensed) -> None:
    assert met("water-where", **sets) == place


def test_people_tell_what_ran_by_what_makes_water() -> None:
    assert met("water-when", **SUMMER, coil="ice") == "cooling"
    assert met("water-when", **SUMMER, pump=True, pump_works=False) == "cooling"
    assert met("water-when", pump=True, pump_works=False) == "heating"
    assert met("water-when", leak="humidifier") == "heating"
    assert met("water-when", leak="roof") == {"neither": 0.8, "cooling": 0.1, "heating": 0.1}


def test_only_a_box_that_leaks_is_wet() -> None:
    assert met("humidifier-box", leak="humidifier") == {"wet": 0.8, "dry": 0.2}
    assert met("humidifier-box", leak="roof") == "none"


@pytest.mark.parametrize("cause", ["pan-leaks", "second-drain-drips"])
def test_a_house_that_drips_cools_all_the_same_and_is_called_about_as_water(cause: str) -> None:
    edited = list(hurt(House(**SUMMER), cause))
    assert edited
    for _, _, house in edited:
        assert works(house, NONE)
        assert max(chosen(cause, house, "water").items(), key=lambda each: each[1])[0] == "water"
    assert not list(hurt(House(), cause))


def test_a_spare_pipe_drips_and_stops_nothing() -> None:
    [(_, _, house)] = hurt(House(**SUMMER), "second-drain-drips")
    drips = SENSES["outside-drip"](scene(house, NONE))
    assert not isinstance(drips, str)
    assert drips["yes"] == pytest.approx(0.9)


def test_a_puddle_pulls_towards_water_more_than_a_wet_spot_that_has_to_be_found() -> None:
    spot = chosen("humidifier-leak", House(leak="humidifier"))
    puddle = chosen("humidifier-leak", House(leak="humidifier", signs=PUDDLE))
    assert puddle["water"] > spot["water"] > 0.0
    assert "water" not in chosen("no-glow", House(igniter=False))
