"""What a house sounds and smells like, by hand from what its parts do."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE, Acts
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.house import House
from stepstop.house.noises import Noise, noise
from stepstop.house.senses import SENSES
from stepstop.house.smells import smell
from stepstop.house.units import doings

BANG = frozenset({("scorch-or-bang", "seen")})
GAS = frozenset({("gas-smell", "gas-or-exhaust")})
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUMP: dict[str, Any] = {
    "heating": "heat-pump",
    "cooling": "heat-pump",
    "control": Control(valve="O"),
}
TICKS = Noise("ducts", "ticking", "start")


def heard(**sets: Any) -> Noise:
    return noise(doings(House(**sets)))


def smelled(**sets: Any) -> str:
    return smell(doings(House(**sets)))


def told(finding: str, acts: Acts = NONE, **sets: Any) -> Any:
    return SENSES[finding](scene(House(**sets), acts))


# ---- noises ----


@pytest.mark.parametrize(
    ("sets", "place", "kind", "when"),
    [
        ({"burners": "late", "sensor": False, "signs": BANG}, "indoor", "bang", "start"),
        ({"blower": "hum"}, "indoor", "hum-no-fan", "running"),
        ({"inducer": "hum"}, "indoor", "hum-no-fan", "running"),
        ({**SUMMER, "capacitor": False}, "outdoor", "hum-no-fan", "running"),
        ({**SUMMER, "outdoor_fan": False}, "outdoor", "hum-no-fan", "running"),
        ({**SUMMER, "contactor": "chatter"}, "outdoor", "hum-no-fan", "running"),
        ({**PUMP, "defrost": "now"}, "outdoor", "whoosh", "running"),
        ({"wheel": "rattles"}, "indoor", "rattle", "running"),
        ({"wheel": "squeals"}, "indoor", "squeal", "running"),
        ({"signs": GAS, "valve": "shut"}, "indoor", "hiss", "running"),
        ({"burners": "dirty"}, "indoor", "roar", "running"),
        ({"trap": "blocked"}, "indoor", "gurgle", "running"),
        ({"filter": "dirty"}, "ducts", "whistle", "running"),
        ({"grilles": "shut-or-covered"}, "ducts", "whistle", "running"),
        ({**SUMMER, "charge": "low"}, "indoor", "hiss", "running"),
        ({"igniter": False}, "indoor", "ticking", "start"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_each_part_that_fails_has_its_own_noise(
    sets: dict[str, Any], place: str, kind: str, when: str
) -> None:
    assert heard(**sets) == Noise(place, kind, when)


@pytest.mark.parametrize("sets", [{}, SUMMER, PUMP, {"heating": "boiler", "cooling": "none"}])
def test_a_house_that_is_well_only_ticks(sets: dict[str, Any]) -> None:
    assert heard(**sets) == TICKS


def test_a_bang_that_nobody_heard_is_no_noise() -> None:
    assert heard(burners="late").kind != "bang"


def test_a_wheel_is_heard_only_while_the_fan_runs() -> None:
    assert heard(wheel="rattles", breaker="out-of-line") == TICKS


def test_a_hum_comes_before_a_rattle_and_a_rattle_before_a_whistle() -> None:
    assert heard(wheel="rattles", **SUMMER, capacitor=False).kind == "hum-no-fan"
    assert heard(wheel="rattles", filter="dirty").kind == "rattle"


def test_a_noise_is_told_as_it_was_before_the_thermostat_was_set_to_off() -> None:
    off = Acts(thermostat="off", fan="auto")
    assert told("noise-kind", off, wheel="squeals") == "squeal"
    assert told("noise-place", off, wheel="squeals") == "indoor"
    assert told("noise-when", off, wheel="squeals") == "running"


@pytest.mark.parametrize(
    ("sets", "place"),
    [
        ({"signs": GAS}, {"gas-pipe": 0.5, "air": 0.5}),
        ({**SUMMER, "charge": "low"}, "cooling-pipe"),
        ({"filter": "dirty"}, "air"),
    ],
)
def test_a_hiss_comes_from_where_something_escapes(sets: dict[str, Any], place: Any) -> None:
    assert told("hiss-place", **sets) == place


@pytest.mark.parametrize(
    ("sets", "answer"),
    [
        ({"wheel": "rattles"}, "yes"),
        ({"igniter": False}, "no-heat"),
        ({**SUMMER, "capacitor": False}, "no-cooling"),
        ({"zones": "room-shut"}, "no-heat"),
    ],
)
def test_people_tell_whether_it_still_does_its_work(sets: dict[str, Any], answer: str) -> None:
    assert told("still-delivers", **sets) == answer


# ---- smells ----


@pytest.mark.parametrize(
    ("sets", "kind"),
    [
        ({"signs": GAS}, "gas-or-fumes"),
        ({"scorched": True}, "electrical"),
        ({"heating": "oil", "cooling": "none", "oil": "no-flame"}, "oil"),
        ({"dust": True}, "dusty"),
        ({"coil": "slimy", **SUMMER}, "musty"),
        ({}, "other"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_each_smell_has_its_reason(sets: dict[str, Any], kind: str) -> None:
    assert smelled(**sets) == kind
    assert told("smell-kind", **sets) == kind


def test_dust_smells_only_when_something_gets_hot_and_slime_only_when_it_cools() -> None:
    assert smelled(dust=True, igniter=False) == "other"
    assert smelled(coil="slimy") == "other"


def test_gas_comes_before_all_else_and_only_dust_fades() -> None:
    assert smelled(signs=GAS, scorched=True, dust=True) == "gas-or-fumes"
    assert told("smell-fades", dust=True) == "fades"
    assert told("smell-fades", scorched=True) == "stays"


# ---- the CO alarm, one shut grille ----


def test_an_alarm_that_chirps_has_not_sounded_and_says_why() -> None:
    assert told("co-alarm", co_alarm="low") == "none"
    assert told("co-alarm-sign", co_alarm="low") == "own-sign"
    assert told("co-alarm-sign", signs=frozenset({("co-alarm", "sounded")})) == "none"
    assert told("co-alarm-sign") == "unsure"


def test_a_shut_grille_of_one_room_is_found_and_opened() -> None:
    opened = Acts(grilles=True)
    assert told("grilles", zones="room-shut") == "shut-or-covered"
    assert told("heating-trouble", zones="room-shut") == "some-rooms"
    assert told("grilles-after", opened, zones="room-shut") == "open"
    assert told("still-delivers", opened, zones="room-shut") == "no-heat"
    assert scene(House(zones="room-shut"), opened).now.zones == "good"
    assert scene(House(zones="stuck"), opened).now.zones == "stuck"
