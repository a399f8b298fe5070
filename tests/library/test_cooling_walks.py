"""Walks of accurate people through the complaints of the cooling and heat-pump side."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from stepstop import graph
from stepstop.course import Course, Page
from stepstop.house.acts import NONE, Acts, after
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.history import told
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.model import NOT_DONE
from stepstop.verify import verify

TREES = Path(__file__).parents[2] / "decision_trees"

OWN = {
    "people-at-risk": "none",
    "home-temperature": "within",
    "ready-to-walk": "yes",
    "safe-outside": "yes",
    "tried-before": "none",
    "somebody-working": "none",
    "breaker-reason": "known-harmless",
}
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUMP: dict[str, Any] = {
    "heating": "heat-pump",
    "cooling": "heat-pump",
    "control": Control(valve="O"),
}


@pytest.fixture(scope="module")
def course() -> Course:
    return verify(TREES).course


def answer(page: Page, house: House, cause: str, acts: Acts) -> str:
    """The likeliest answer of an accurate person who stands there."""
    facts = {**OWN, "wanted-now": house.wanted, "weather": house.weather}
    if page.finding in facts:
        return facts[page.finding]
    met: Any = told(page.finding, cause, house)
    if met is None:
        met = SENSES[page.finding](scene(house, acts))
    return met if isinstance(met, str) else max(met, key=lambda value: met[value])


def walk(course: Course, complaint: str, house: House, cause: str = "any") -> list[str]:
    """Labels of the pages of a walk, the outcome last."""
    page = next(course.pages[root] for root in course.roots if root.startswith(f"{complaint}/"))
    acts, labels = NONE, [page.label]
    while page.outcome is None:
        value, done = "", acts
        if page.finding:
            done = after(acts, page.check.id) if page.check else acts
            value = answer(page, house, cause, done)
        acts = acts if value == NOT_DONE else done
        [move] = [move for move in page.moves if move.value == value]
        page = course.pages[move.to]
        labels.append(page.id)
    return labels


@pytest.mark.parametrize(
    ("complaint", "sets", "end"),
    [
        ("outdoor-silent", {**SUMMER, "rested": False, "called": "fresh"}, "no-cooling/cools-now"),
        ("outdoor-silent", {**SUMMER, "pressure": "trips"}, "no-cooling/stops-again"),
        ("outdoor-silent", {**SUMMER, "cable": "damaged", "contactor": "open"}, "no-cooling/cable-hurt"),
        ("outdoor-silent", {**SUMMER, "outdoor_breaker": "out-of-line"}, "outdoor-power/breaker-holds"),
        ("outdoor-silent", {**SUMMER, "outdoor_breaker": "fully-off"}, "outdoor-power/off-for-winter"),
        ("outdoor-silent", {**SUMMER, "capacitor": False}, "no-cooling/hums"),
        ("outdoor-silent", {**SUMMER, "setting": "off-or-wrong-mode"}, "outdoor-silent/is-off"),
        ("outdoor-silent", {**PUMP, "mode": "emergency-heat"}, "outdoor-silent/rests"),
        ("outdoor-silent", {**PUMP, "outdoor_breaker": "out-of-line"}, "outdoor-silent/holds"),
        ("outdoor-silent", {**PUMP, "outdoor_fuses": False}, "outdoor-silent/whole"),
        ("outdoor-silent", {**PUMP, "pullout": "out"}, "outdoor-silent/damaged"),
        ("outdoor-silent", {"sensor": False}, "endings/only-cools"),
        ("indoor-silent", {**SUMMER, "blower": "hum"}, "no-cooling/fan-hums"),
        ("indoor-silent", {**SUMMER, "blower": "dead"}, "no-cooling/no-fan-lit"),
        ("indoor-silent", {**SUMMER, "contactor": "welded", "coil": "ice"}, "no-cooling/hums-cut"),
        ("indoor-silent", {**SUMMER, "coil": "ice", "filter": "dirty"}, "no-cooling/ice-filter-new"),
        ("indoor-silent", {**PUMP, "blower": "dead"}, "indoor-silent/no-air-heat"),
        ("ice", {**SUMMER, "coil": "ice", "filter": "dirty"}, "no-cooling/ice-filter-new"),
        ("ice", {**SUMMER, "contactor": "welded", "coil": "ice"}, "no-cooling/hums-cut"),
        ("ice", {**SUMMER, "weather": "cool", "coil": "ice"}, "ice/cool-outside"),
        ("ice", {**SUMMER, "coil": "clear"}, "ice/drops"),
        ("ice", {**PUMP, "outdoor_ice": "solid-ice"}, "no-heat-heat-pump/ice"),
        ("ice", {**PUMP, "outdoor_ice": "snowed-in"}, "no-heat-heat-pump/snow"),
        ("ice", {**PUMP, "defrost": "now"}, "ice/frost-normal"),
        ("ice", {"outdoor_ice": "snowed-in"}, "endings/only-cools"),
    ],
    ids=str,
)  # fmt: skip
def test_an_accurate_walk_ends_where_the_fault_belongs(
    course: Course, complaint: str, sets: dict[str, Any], end: str
) -> None:
    assert walk(course, complaint, House(**sets))[-1] == end


def test_ice_that_came_back_is_for_the_technician(course: Course) -> None:
    iced = House(**SUMMER, coil="ice", charge="low")
    assert walk(course, "ice", iced, "low-refrigerant")[-1] == "ice/froze-again"


def test_indoors_it_goes_off_before_anything_else(course: Course) -> None:
    steps = walk(course, "indoor-silent", House(**SUMMER, blower="dead"))
    checks = [course.pages[page].check for page in steps[1:]]
    assert [check.id for check in checks if check][:2] == ["thermostat-off", "fan-to-on"]


def test_what_the_choice_has_told_is_not_asked_by_the_plain_complaint_again(
    course: Course,
) -> None:
    """None of the three begins no cooling anew."""
    for complaint in ("outdoor-silent", "indoor-silent", "ice"):
        [root] = [root for root in course.roots if root.startswith(f"{complaint}/")]
        reached = graph.reachable(course.graph(), [root])
        assert not reached & {"no-cooling/kind", "no-cooling/setting", "no-cooling/cool"}
