"""Honest walks through the pages of water, breakers, power cuts and storms end as they should."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from stepstop import shipped
from stepstop.course import Course, lay_out
from stepstop.house.acts import NONE, Acts, after
from stepstop.house.doing import scene
from stepstop.house.history import told
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.loader import load
from stepstop.model import Outcome

TREES = Path(__file__).parents[2] / "decision_trees"
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUDDLE = frozenset({("water", "puddle")})

SAYS = {
    "people-at-risk": "none",
    "home-temperature": "within",
    "ready-to-walk": "yes",
    "safe-outside": "yes",
    "tried-before": "none",
    "somebody-working": "none",
    "switch-reason": "known-harmless",
    "breaker-reason": "known-harmless",
    "co-alarm-works": "yes",
}
"""What a caller tells who is fit, at home, and may do all that is offered."""


@dataclass(frozen=True)
class Walked:
    """A walk's end, what was told on the way, and what was done to the house."""

    outcome: Outcome
    told: dict[str, str]
    checks: tuple[str, ...]


@pytest.fixture(scope="module")
def course() -> Course:
    drawings = shipped.drawing_names((shipped.folder("site_overrides"),))
    library, problems = load(TREES, drawings=drawings, progress=lambda _: None)
    assert library is not None, problems
    return lay_out(library)


def walk(course: Course, tree: str, house: House, cause: str = "any", **says: str) -> Walked:
    """The likeliest walk of somebody who errs in nothing; `says` has `_` for `-`."""
    own = {**SAYS, "wanted-now": house.wanted, "weather": house.weather}
    own |= {name.replace("_", "-"): value for name, value in says.items()}
    page, acts, answers, checks = course.pages[f"{tree}/index"], NONE, {}, []
    while page.outcome is None:
        if not page.finding:
            page = course.pages[page.moves[0].to]
            continue
        then = after(acts, page.check.id) if page.check else acts
        value = own.get(page.finding) or _met(page.finding, cause, house, then)
        if page.check and value != "not-done":
            acts, checks = then, [*checks, page.check.id]
        answers[page.finding] = value
        page = course.pages[next(move.to for move in page.moves if move.value == value)]
    return Walked(page.outcome, answers, tuple(checks))


def _met(finding: str, cause: str, house: House, acts: Acts) -> str:
    met = told(finding, cause, house) or SENSES[finding](scene(house, acts))
    return met if isinstance(met, str) else max(met, key=lambda value: met[value])


@pytest.mark.parametrize(
    ("house", "ends"),
    [
        (House(**SUMMER, leak="pan", signs=PUDDLE), "water-cooling"),
        (House(**SUMMER, leak="pan"), "pan-leaks"),
        (House(**SUMMER, leak="pan", attic=True), "ceiling-stain"),
        (House(**SUMMER, drain="spare"), "spare-pipe"),
        (House(**SUMMER, drain="blocked"), "drain-full"),
        (House(**SUMMER, pump=True, pump_works=False), "box-full"),
        (House(trap="blocked", weather="mild", pump=True), "furnace-full"),
        (House(trap="frozen"), "furnace-frost"),
        (House(trap="blocked", signs=PUDDLE), "water-heating"),
        (House(leak="humidifier", heating="gas-metal"), "humidifier-wet"),
        (House(leak="humidifier", heating="gas-metal", signs=PUDDLE), "water-humidifier"),
        (House(heating="boiler", cooling="none", water_side="low"), "pipes"),
        (House(leak="roof"), "rain"),
        (House(leak="flood", signs=PUDDLE), "flooded"),
        (House(leak="flood", signs=frozenset({("water", "at-wires")})), "wet"),
    ],
    ids=str,
)
def test_water_is_traced_to_its_source(course: Course, house: House, ends: str) -> None:
    assert walk(course, "water", house).outcome.id == ends


@pytest.mark.parametrize("attic", [True, False])
def test_a_puddle_is_never_walked_to(course: Course, attic: bool) -> None:
    walked = walk(course, "water", House(leak="humidifier", signs=PUDDLE, attic=attic))
    assert set(walked.checks) <= {"thermostat-off"}


@pytest.mark.parametrize(
    ("house", "says", "ends"),
    [
        (House(breaker="out-of-line"), {}, "breaker-held"),
        (House(breaker="out-of-line"), {"tried_before": "reset-or-cycled"}, "again"),
        (House(breaker="out-of-line", breaker_holds=False), {}, "trips"),
        (
            House(breaker="out-of-line", trips_on_call=True, trips_after="minutes"),
            {},
            "trips-later",
        ),
        (House(breaker="out-of-line"), {"ready_to_walk": "no"}, "from-chair"),
        (House(breaker="out-of-line", labelled=False), {}, "no-label"),
        (House(**SUMMER, outdoor_breaker="out-of-line"), {}, "breaker-holds"),
        (House(**SUMMER, outdoor_breaker="out-of-line", outdoor_holds=False), {}, "trips"),
        (
            House(**SUMMER, outdoor_breaker="out-of-line", cable="damaged"),
            {},
            "outdoor-hurt",
        ),
        (
            House(heating="heat-pump", cooling="heat-pump", outdoor_breaker="out-of-line"),
            {},
            "winter",
        ),
        (House(heating="electric", heat_breakers=0.5, undersized=True), {}, "heater-holds"),
        (House(outlet=False), {}, "outlet"),
        (
            House(breaker="odd-panel", signs=frozenset({("fire-signs", "smoke-or-sparks")})),
            {},
            "fire",
        ),
    ],
    ids=str,
)
def test_a_breaker_is_reset_once_at_the_most(
    course: Course, house: House, says: dict[str, str], ends: str
) -> None:
    walked = walk(course, "breaker-trips", house, **says)
    assert walked.outcome.id == ends
    resets = [name for name in walked.checks if name.startswith(("reset", "breaker-on"))]
    assert len(resets) <= 1
    assert walked.outcome.kind != "solved"


@pytest.mark.parametrize(
    ("house", "cause", "ends"),
    [
        (House(), "any", "came-back"),
        (House(setting="off-or-wrong-mode"), "wrong-setting", "clock-was-it"),
        (House(supply="out"), "power-cut-or-part-cut", "power-cut"),
        (House(breaker="out-of-line"), "breaker-tripped", "works-watch"),
        (House(board="dead"), "surge-damage", "dead-storm"),
        (House(heating="gas-metal", locked=True, call_clears=False), "any", "locked-metal"),
        (House(heating="gas-metal", locked=True), "any", "works-watch"),
        (House(**SUMMER, breaker="out-of-line"), "breaker-tripped", "works-watch"),
        (House(**SUMMER, outdoor_fuses=False), "outdoor-fuses", "silent-inside"),
        (
            House(signs=frozenset({("supply-fault", "bright-and-dim")})),
            "power-cut-or-part-cut",
            "lights",
        ),
    ],
    ids=str,
)
def test_a_power_cut_is_waited_out_before_anything_is_tried(
    course: Course, house: House, cause: str, ends: str
) -> None:
    walked = walk(course, "after-power-cut", house, cause)
    assert walked.outcome.id == ends
    assert "what-changed" not in walked.told or cause == "outdoor-fuses"


def test_on_a_generator_nothing_is_tried(course: Course) -> None:
    walked = walk(course, "after-power-cut", House(sensor=False), outage_feed="generator")
    assert walked.outcome.id == "on-generator"
    assert walked.checks == ()


@pytest.mark.parametrize(
    ("house", "cause", "says", "ends"),
    [
        (House(leak="flood", board="dead"), "flooded-unit", {}, "flooded"),
        (House(leak="roof", board="dead"), "board-fuse-water", {}, "water-came"),
        (House(board="dead"), "surge-damage", {}, "after-storm"),
        (House(breaker="out-of-line"), "breaker-tripped", {}, "works-watch"),
        (
            House(**SUMMER, surroundings="tilted-or-hit", charge="low"),
            "outdoor-unit-hit",
            {},
            "moved",
        ),
        (
            House(**SUMMER, surroundings="tilted-or-hit", outdoor_heard=False),
            "outdoor-unit-hit",
            {},
            "moved",
        ),
        (
            House(**SUMMER, surroundings="tilted-or-hit", outdoor_heard=False),
            "outdoor-unit-hit",
            {"safe_outside": "no"},
            "unseen",
        ),
        (House(flue="blocked"), "outside-pipes-blocked", {}, "flue-watch"),
        (
            House(heating="heat-pump", cooling="heat-pump", outdoor_ice="snowed-in"),
            "outdoor-snowed-in",
            {},
            "snow",
        ),
    ],
    ids=str,
)
def test_what_a_storm_hurt_is_not_started(
    course: Course, house: House, cause: str, says: dict[str, str], ends: str
) -> None:
    walked = walk(course, "after-storm-or-flood", house, cause, **says)
    assert walked.outcome.id == ends
    if cause in ("flooded-unit", "outdoor-unit-hit", "board-fuse-water"):
        assert set(walked.checks) <= {"thermostat-off"}
