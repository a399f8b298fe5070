"""Who calls about what: the pull of each complaint on somebody who meets a house."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE
from stepstop.house.complaints import ASTRAY, FAINT, PULLS, Met, chosen
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.house import House

SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUMP: dict[str, Any] = {
    "heating": "heat-pump",
    "cooling": "heat-pump",
    "control": Control(valve="O"),
}


def pull(complaint: str, cause: str = "any", **sets: Any) -> float:
    return PULLS[complaint](Met(cause, scene(House(**sets), NONE)))


@pytest.mark.parametrize(
    ("complaint", "sets"),
    [
        ("gas-smell", {"signs": frozenset({("gas-smell", "gas-or-exhaust")})}),
        ("co-alarm", {"signs": frozenset({("co-alarm", "sounded")})}),
        ("burning-smell", {"signs": frozenset({("scorch-or-bang", "seen")})}),
        ("burning-smell", {"smell": "dusty"}),
        ("noise", {"inducer": "hum"}),
        ("noise", {**SUMMER, "capacitor": False}),
        ("blinking-light", {"sensor": False}),
        ("starts-then-stops", {"filter": "dirty"}),
        ("starts-then-stops", {**SUMMER, "pressure": "trips"}),
        ("cold-air", {"limit": "stuck"}),
        ("outdoor-silent", {**SUMMER, "contactor": "open"}),
        ("outdoor-silent", {**PUMP, "outdoor_fuses": False}),
        ("indoor-silent", {**SUMMER, "blower": "dead"}),
        ("ice", {**SUMMER, "coil": "ice"}),
        ("ice", {**PUMP, "outdoor_ice": "solid-ice"}),
        ("water", {"signs": frozenset({("water", "puddle")})}),
        ("water", {**SUMMER, "drain": "blocked"}),
        ("breaker-trips", {"breaker": "out-of-line"}),
        ("after-storm-or-flood", {**SUMMER, "surroundings": "tilted-or-hit"}),
        ("one-room", {"zones": "shut"}),
    ],
    ids=str,
)
def test_a_house_pulls_those_who_meet_what_is_wrong_with_it(
    complaint: str, sets: dict[str, Any]
) -> None:
    assert pull(complaint, **sets) >= FAINT


@pytest.mark.parametrize("complaint", sorted(PULLS))
def test_a_house_that_is_well_pulls_nobody_but_with_the_plain_complaint(complaint: str) -> None:
    for wanted in ({}, SUMMER):
        plain = "no-cooling" if wanted else "no-heat"
        assert (pull(complaint, **wanted) >= FAINT) == (complaint == plain)


def test_a_breaker_that_trips_again_pulls_more_than_one_that_holds() -> None:
    held = pull("breaker-trips", breaker="out-of-line")
    assert pull("breaker-trips", breaker="out-of-line", breaker_holds=False) == 3.0 * held


def test_what_happened_before_pulls_by_the_cause_and_not_by_the_house() -> None:
    assert pull("after-thermostat-change", "wrong-terminals") > 0.8
    assert pull("after-thermostat-change", "no-glow") < FAINT
    assert pull("after-power-cut", "power-cut-or-part-cut") > 0.6
    assert pull("after-power-cut", "safety-wait") == pytest.approx(1.5 * 0.3**2)


def test_shares_follow_the_pulls_and_some_go_astray() -> None:
    shares = chosen("any", House(fan="on"))
    assert sum(shares.values()) == pytest.approx(1.0)
    assert shares["fan-never-stops"] == pytest.approx(1.0 - ASTRAY)
    two = chosen("any", House(breaker="out-of-line"))
    pulls = {"no-heat": 1.0, "nothing-responds": 1.5, "breaker-trips": 0.5}
    for name, strength in pulls.items():
        astray = ASTRAY / 2 if name != "breaker-trips" else 0.0
        assert two[name] == pytest.approx((1.0 - ASTRAY) * strength / 3.0 + astray)


def test_a_house_that_only_seems_to_fail_leaves_room_for_what_is_met() -> None:
    steaming = {**PUMP, "defrost": "now", "weather": "frost"}
    shares = chosen("normal-defrost", House(**steaming), "no-heat")
    assert shares["no-heat"] > shares["noise"] > 0.2
    assert "fan-never-stops" not in shares
