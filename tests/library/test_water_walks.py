"""Honest walks through the pages of water end at the part of the house that gives it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest

from stepstop.course import Course
from stepstop.house.acts import NONE, Acts, after
from stepstop.house.doing import scene
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.model import Outcome

SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}
PUDDLE = frozenset({("water", "puddle")})
WIRES = frozenset({("water", "at-wires")})

SAYS = {"people-at-risk": "none", "home-temperature": "within", "ready-to-walk": "yes"}
"""What a caller tells who is fit, at home, and may do all that is offered."""


@dataclass(frozen=True)
class Walked:
    """A walk's end, what was told on the way, and what was done to the house."""

    outcome: Outcome
    told: dict[str, str]
    checks: tuple[str, ...]


def walk(course: Course, house: House, **says: str) -> Walked:
    """The likeliest walk of somebody who errs in nothing; `says` has `_` for `-`."""
    own = {**SAYS, "weather": house.weather}
    own |= {name.replace("_", "-"): value for name, value in says.items()}
    page, acts, answers, checks = course.pages["water/index"], NONE, {}, []
    while page.outcome is None:
        if not page.finding:
            page = course.pages[page.moves[0].to]
            continue
        then = after(acts, page.check.id) if page.check else acts
        value = own.get(page.finding) or _met(page.finding, house, then)
        if page.check and value != "not-done":
            acts, checks = then, [*checks, page.check.id]
        answers[page.finding] = value
        page = course.pages[next(move.to for move in page.moves if move.value == value)]
    return Walked(page.outcome, answers, tuple(checks))


def _met(finding: str, house: House, acts: Acts) -> str:
    met = SENSES[finding](scene(house, acts))
    return met if isinstance(met, str) else max(met, key=lambda value: met[value])


@pytest.mark.parametrize(
    ("house", "ends"),
    [
        (House(**SUMMER, leak="pan", signs=PUDDLE), "water-cooling"),
        (House(**SUMMER, leak="pan"), "dried-cooling"),
        (House(**SUMMER, leak="pan", attic=True), "ceiling"),
        (House(**SUMMER, drain="spare"), "spare-pipe"),
        (House(**SUMMER, drain="spare", attic=True), "spare-pipe"),
        (House(**SUMMER, drain="blocked"), "pan"),
        (House(**SUMMER, pump=True, pump_works=False), "pan"),
        (House(trap="blocked", pump=True), "pan"),
        (House(trap="frozen"), "dried-heating"),
        (House(trap="blocked", signs=PUDDLE), "water-heating"),
        (House(leak="humidifier", heating="gas-metal"), "humidifier-wet"),
        (House(leak="humidifier", heating="gas-metal", signs=PUDDLE), "water-humidifier"),
        (House(heating="boiler", boiler="gas", cooling="none", signs=PUDDLE), "water-other"),
        (House(leak="roof"), "ceiling"),
        (House(leak="flood", signs=WIRES), "wet"),
    ],
    ids=str,
)
def test_water_is_traced_to_its_source(course: Course, house: House, ends: str) -> None:
    assert walk(course, house).outcome.id == ends


@pytest.mark.parametrize("leak", ["pan", "humidifier", "roof"])
def test_a_puddle_is_never_walked_to(course: Course, leak: str) -> None:
    walked = walk(course, House(leak=leak, signs=PUDDLE))
    assert set(walked.checks) <= {"thermostat-off"}
    assert "ready-to-walk" not in walked.told


@pytest.mark.parametrize("told", ["stood", "unsure"])
def test_what_may_have_stood_in_water_is_left_alone(course: Course, told: str) -> None:
    walked = walk(course, House(**SUMMER, leak="pan", signs=PUDDLE), flooded=told)
    assert walked.outcome.id == "flooded"
    assert walked.outcome.leave is not None
    assert walked.outcome.leave.state == "untouched"


@pytest.mark.parametrize("attic", [True, False])
@pytest.mark.parametrize("leak", ["pan", "humidifier", "roof"])
def test_no_water_is_left_running_or_waits_for_days(course: Course, leak: str, attic: bool) -> None:
    walked = walk(course, House(leak=leak, attic=attic))
    assert walked.outcome.leave is not None
    assert walked.outcome.leave.state == "off-at-thermostat"
    assert walked.outcome.urgency in ("tonight", "today")
