"""What only the pages of one complaint ask, as a person meets it in a simulated house."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.house import House
from stepstop.house.told import TOLD

SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUMP: dict[str, Any] = {
    "heating": "heat-pump",
    "cooling": "heat-pump",
    "control": Control(valve="O"),
}


def met(finding: str, **sets: Any) -> Any:
    return TOLD[finding](scene(House(**sets), NONE))


@pytest.mark.parametrize(
    ("finding", "sets", "value"),
    [
        ("smell", {"smell": "musty"}, "musty"),
        ("smell", {}, "other"),
        ("smell-fades", {"smell": "dusty"}, "fades"),
        ("smell-fades", {"smell": "electric"}, "stays"),
        ("noise", {"inducer": "hum"}, "hum-indoors"),
        ("noise", {**SUMMER, "capacitor": False}, "hum-outdoors"),
        ("noise", {"noise": "squeal"}, "squeal"),
        ("noise", {"trap": "blocked"}, "gurgle"),
        ("noise", {**PUMP, "defrost": "now", "weather": "frost"}, "steam"),
        ("noise", {"grilles": "shut-or-covered"}, "whistle"),
        ("noise", {}, "ticks"),
        ("boiler-danger", {"heating": "boiler", "water_side": "over"}, "yes"),
        ("boiler-escape", {"heating": "boiler", "water_side": "over"}, "yes"),
        ("boiler-escape", {"heating": "boiler", "water_side": "low"}, "none"),
        ("works-now", {}, "yes"),
        ("works-now", {"sensor": False}, "no-heat"),
        ("works-now", {**SUMMER, "contactor": "open"}, "no-cooling"),
        ("works-now", {"breaker": "out-of-line"}, "nothing"),
        ("works-now", {"fan": "on"}, "never-stops"),
        ("run-time", {"sensor": False}, "seconds"),
        ("run-time", {"filter": "dirty"}, "minutes"),
        ("run-time", {}, "longer"),
        ("run-time", {"igniter": False}, "unsure"),
        ("which-breaker", {"breaker": "out-of-line"}, "indoor"),
        ("which-breaker", {"outdoor_breaker": "out-of-line"}, "outdoor"),
        ("which-breaker", {"labelled": False}, "unsure"),
        ("water-where", {}, "nothing"),
        ("flooded", {"signs": frozenset({("water", "at-wires")})}, "stood"),
        ("flooded", {}, "none"),
        ("oil-smell", {"heating": "oil"}, "none"),
        ("oil-smell", {"heating": "oil", "tank": "empty"}, "none"),
        ("oil-smell", {"heating": "oil", "burner": "no-pressure"}, "none"),
        ("outdoor-hit", {"cooling": "none"}, "none-there"),
        ("served-by", {"heating": "boiler"}, "water"),
        ("served-by", {"heating": "baseboard"}, "own-dial"),
        ("served-by", {"heating": "ductless"}, "wall-box"),
        ("served-by", {}, "grille"),
        ("heat-or-cool", SUMMER, "cool"),
        ("outdoor-job", PUMP, "heat"),
    ],
    ids=str,
)
def test_what_is_met(finding: str, sets: dict[str, Any], value: str) -> None:
    assert met(finding, **sets) == value


@pytest.mark.parametrize(
    ("finding", "sets", "likeliest"),
    [
        ("water-where", {**SUMMER, "drain": "blocked"}, "pan"),
        ("water-where", {**SUMMER, "coil": "ice"}, "nothing"),
        ("outdoor-hit", {**SUMMER, "surroundings": "tilted-or-hit"}, "hit"),
        ("outdoor-hit", {}, "as-always"),
        ("oil-smell", {"heating": "oil", "burner": "no-spark"}, "none"),
        ("oil-smell", {"heating": "oil", "oil": "bad"}, "none"),
    ],
    ids=str,
)
def test_where_people_differ_shares_add_up(
    finding: str, sets: dict[str, Any], likeliest: str
) -> None:
    shares = met(finding, **sets)
    assert sum(shares.values()) == pytest.approx(1.0)
    assert max(shares, key=lambda value: shares[value]) == likeliest
