"""Honest walks through the boiler pages: a fault, met as it shows itself, ends where it should."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepstop import shipped
from stepstop.course import Course, lay_out
from stepstop.house.acts import NONE, after
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.loader import load
from stepstop.model import Outcome

TREES = Path(__file__).parents[2] / "decision_trees"

SAYS = {
    "people-at-risk": "none",
    "home-temperature": "within",
    "ready-to-walk": "yes",
    "safe-outside": "no",
    "tried-before": "none",
    "somebody-working": "none",
    "switch-reason": "known-harmless",
    "breaker-reason": "known-harmless",
    "what-changed": "none",
}
"""What a caller tells who is fit, at home, and not to go round the outside."""


@pytest.fixture(scope="module")
def course() -> Course:
    drawings = shipped.drawing_names((shipped.folder("site_overrides"),))
    library, problems = load(TREES, drawings=drawings, progress=lambda _: None)
    assert library is not None, problems
    return lay_out(library)


def house(kind: str, **sets: object) -> House:
    wires = Control(thermostat="wires")
    plain: dict[str, object] = {"control": wires, "weather": "mild", "window": kind == "gas"}
    return House(heating="boiler", cooling="none", boiler=kind, **(plain | sets))  # type: ignore[arg-type]


def walk(course: Course, found: House, **says: str) -> tuple[Outcome, dict[str, str], int]:
    """Where the walk from "no heat" ends, what was answered on the way, and its minutes."""
    page, acts, told, minutes = course.pages["no-heat/index"], NONE, {}, 0
    while page.outcome is None:
        if not page.finding:
            page = course.pages[page.moves[0].to]
            continue
        then = after(acts, page.check.id) if page.check else acts
        if page.finding in SAYS | says:
            value = (SAYS | says)[page.finding]
        else:
            sensed = SENSES[page.finding](scene(found, then))
            value = sensed if isinstance(sensed, str) else max(sensed, key=lambda v: sensed[v])
        acts = acts if value == "not-done" else then
        minutes += page.check.minutes if page.check else 0
        told[page.finding] = value
        page = course.pages[next(move.to for move in page.moves if move.value == value)]
    return page.outcome, told, minutes


@pytest.mark.parametrize(
    ("found", "ends"),
    [
        (house("gas", fill_passes=True), "keep-away"),
        (house("oil", kettles=True), "keep-away"),
        (house("gas", water_side="low"), "pressure-low"),
        (house("gas", leaks=True, igniter=False), "leak"),
        (house("gas", tank_full=True, loop_air="part"), "pressure-high"),
        (house("gas", water_side="no-flow"), "no-flow"),
        (house("condensing", loop_air="stops"), "air"),
        (house("condensing", loop_air="part"), "air"),
        (house("gas", zone_valve=False), "no-fire"),
        (house("gas", zone_valve=False, loops=2), "zone-cold"),
        (house("gas", loop_air="stops", loops=2), "zone-air"),
        (house("gas", loop_frozen=True, loops=2, weather="frost"), "zone-frozen"),
        (house("gas", loop_frozen=True, weather="frost"), "zone-frozen"),
        (house("gas", draft_guard=False), "no-fire"),
        (house("gas", pilot="out"), "no-fire"),
        (house("gas", igniter=False), "stopped"),
        (house("gas", gas=False), "no-gas"),
        (house("condensing", gas=False), "no-gas"),
        (house("condensing", sensor=False), "code"),
        (house("condensing", trap="frozen", weather="frost"), "code"),
        (house("condensing", zone_valve=False), "not-asked"),
        (house("steam", glass="empty"), "steam-low"),
        (house("steam", glass="full"), "steam-full"),
        (house("oil", oil="empty"), "oil-empty"),
        (house("oil", oil="no-flame"), "oil-no-fire"),
        (house("gas", setting="off-or-wrong-mode"), "warm-now"),
    ],
    ids=lambda each: each if isinstance(each, str) else each.boiler,
)
def test_an_honest_walk_ends_where_the_fault_asks_for(
    course: Course, found: House, ends: str
) -> None:
    assert walk(course, found)[0].id == ends


def test_a_boiler_that_blows_ends_before_anyone_goes_to_it(course: Course) -> None:
    outcome, told, _ = walk(course, house("gas", fill_passes=True))
    assert (outcome.kind, outcome.danger_from) == ("danger", "thing")
    assert "ready-to-walk" not in told


def test_a_gauge_at_its_end_ends_the_walk_even_where_nothing_was_heard(course: Course) -> None:
    outcome, told, _ = walk(course, house("gas", fill_passes=True), **{"boiler-noise": "none"})
    assert outcome.id == "keep-away"
    assert told["boiler-gauge"] == "very-high"
    doubt = {"boiler-noise": "none", "boiler-gauge": "unsure"}
    assert walk(course, house("gas", fill_passes=True), **doubt)[0].id == "keep-away"


def test_a_switch_that_was_off_is_found_and_the_half_hour_counts(course: Course) -> None:
    battery = Control(thermostat="batteries")
    for kind in ("gas", "condensing", "oil", "steam"):
        outcome, told, minutes = walk(course, house(kind, switch="off", control=battery))
        assert outcome.id == "works-watch"
        assert told["radiator-heat"] == "warm"
        assert 30 <= minutes <= 60


def test_from_the_chair_nothing_at_the_boiler_is_asked(course: Course) -> None:
    outcome, told, _ = walk(course, house("gas", igniter=False), **{"ready-to-walk": "no"})
    assert outcome.id == "from-chair"
    assert not {"boiler-gauge", "boiler-pipes", "boiler-light"} & told.keys()


def test_every_call_that_leaves_a_boiler_off_says_the_price_in_frost(course: Course) -> None:
    ends = [
        page.outcome
        for page in course.pages.values()
        if page.tree == "no-heat-boiler" and page.outcome and page.outcome.kind != "solved"
    ]
    assert len({each.id for each in ends}) > 20
    for each in ends:
        assert each.leave is not None
        said = f"{each.leave.until} {' '.join(str(line) for line in each.do)}"
        assert "frost" in said
        if each.leave.state.startswith("off"):
            assert "can freeze" in said
