"""Where honest walks end whose house burns oil or has a standing pilot."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from browser.sites import REAL
from stepstop.callers import Caller, read_callers
from stepstop.course import Course, Move, Page
from stepstop.house.acts import NONE, Acts, after
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.faults import hurt
from stepstop.house.house import House, edit
from stepstop.house.senses import SENSES
from stepstop.model import NOT_DONE, UNSURE, Library

OIL = House(heating="oil", cooling="none", window=False, weather="cool", audible=False)
PILOT = House(heating="gas-pilot", cooling="none", window=False, weather="cool")
CELLS = {"control": Control(thermostat="batteries", common_wire=False)}
"""A thermostat whose screen tells nothing about the power of the unit."""


@pytest.fixture(scope="module")
def callers(library: Library) -> dict[str, Caller]:
    found, problems = read_callers(REAL / "rehearsal" / "callers.yml", library.catalogue)
    assert found is not None, problems
    return dict(found.profiles)


def answer(page: Page, house: House, acts: Acts, caller: Caller) -> str:
    """What an honest caller says; of chances the likeliest."""
    if page.at and page.at not in caller.reaches:
        return NOT_DONE if page.check else UNSURE
    told = caller.told(page.finding, house.wanted, house.weather)
    felt: Any = told or SENSES[page.finding](scene(house, acts))
    return felt if isinstance(felt, str) else max(felt, key=lambda value: felt[value])


def walked(course: Course, house: House, caller: Caller) -> Iterator[str]:
    """Names of the pages of a walk for no heat."""
    page = next(course.pages[root] for root in course.roots if root.startswith("no-heat/"))
    acts = NONE
    while page.outcome is None:
        yield f"{page.tree}/{page.name}"
        if not page.finding:
            page = course.pages[page.moves[0].to]
            continue
        then = after(acts, page.check.id) if page.check else acts
        move = _move(page, answer(page, house, then, caller))
        acts = acts if move.value == NOT_DONE else then
        page = course.pages[move.to]
    yield f"{page.tree}/{page.name}"


def _move(page: Page, value: str) -> Move:
    by_value = {move.value: move for move in page.moves}
    return by_value.get(value) or by_value.get(UNSURE) or by_value[NOT_DONE]


OUTDOORS = {"tank_place": "outdoors"}
ENDS = [
    (OIL, "oil-tank-empty", "shown", {}, "no-heat-oil/no-oil"),
    (OIL, "oil-tank-empty", "stuck", {}, "no-heat-oil/stopped-itself"),
    (OIL, "oil-lock-out", "", {}, "no-heat-oil/stopped-itself"),
    (OIL, "oil-flame-not-seen", "", {"audible": True}, "no-heat-oil/flame-seconds"),
    (OIL, "oil-pump-failed", "hum", {"audible": True}, "no-heat-oil/hums"),
    (OIL, "oil-pump-failed", "dead", {"audible": True}, "no-heat-oil/stopped-itself"),
    (OIL, "oil-soot-puff", "soot", {}, "danger-screen/bang"),
    (OIL, "oil-soot-puff", "smoke", {}, "danger-screen/fire"),
    (OIL, "oil-line-air", "", {}, "no-heat-oil/line-air"),
    (OIL, "oil-water-or-cold", "cold", {"weather": "frost"} | OUTDOORS, "no-heat-oil/cold-oil"),
    (OIL, "oil-water-or-cold", "water", OUTDOORS, "no-heat-oil/stopped-itself"),
    (OIL, "service-switch-off", "", CELLS, "power/switch-was-it"),
    (OIL, "big-fan-failed", "dead", {}, "no-heat-oil/burns-no-heat"),
    (PILOT, "pilot-out", "", {}, "endings/pilot-out"),
    (PILOT, "pilot-sensor", "", {}, "endings/pilot-out"),
    (PILOT, "flue-blocked", "hidden", {}, "no-heat-pilot/fumes"),
    (PILOT, "no-gas-supply", "", {}, "no-heat-gas/no-gas"),
    (PILOT, "gas-valve-closed", "", {}, "no-heat-pilot/stays-small"),
    (PILOT, "limit-stuck-open", "", {}, "no-heat-pilot/stays-small"),
    (PILOT, "big-fan-failed", "dead", {}, "no-heat-pilot/no-air"),
    (PILOT, "service-switch-off", "", CELLS, "power/switch-was-it"),
]


@pytest.mark.parametrize(("house", "cause", "name", "sets", "end"), ENDS)
def test_an_honest_walk_ends_where_its_fault_belongs(
    house: House,
    cause: str,
    name: str,
    sets: dict[str, Any],
    end: str,
    course: Course,
    callers: dict[str, Caller],
) -> None:
    found = {each: edited for each, _, edited in hurt(edit(house, **sets), cause)}[name]
    assert list(walked(course, found, callers["able"]))[-1] == end


@pytest.mark.parametrize(("who", "end"), [("tried-already", "pressed"), ("frail", "far")])
def test_whoever_pressed_the_button_or_cannot_walk_starts_no_burner(
    who: str, end: str, course: Course, callers: dict[str, Caller]
) -> None:
    for _, _, found in hurt(OIL, "oil-lock-out"):
        walk = list(walked(course, found, callers[who]))
        oil = [page.split("/")[1] for page in walk if page.startswith("no-heat-oil/")]
        assert set(oil) <= {"smell", "start.ready", "presses", end}
        assert walk[-1] == f"no-heat-oil/{end}"


@pytest.mark.parametrize("tree", ["no-heat-oil", "no-heat-pilot"])
def test_doubt_about_oil_or_fumes_never_leads_nearer_to_a_start(tree: str, course: Course) -> None:
    """Where one sure answer ends at a call tonight or at danger, doubt does not go on."""
    asked = {"oil-smell", "oil-presses", "stuffy-air"}
    pages = [page for page in course.pages.values() if page.tree == tree and page.finding in asked]
    assert pages
    for page in pages:
        (doubt,) = [move for move in page.moves if move.value == UNSURE]
        assert course.pages[doubt.to].tree != tree or course.pages[doubt.to].outcome
