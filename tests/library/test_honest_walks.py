"""Honest answers of hurt houses lead through the shipped trees to the right end.

Wall boxes, wall heaters, one box outside and one room alone; each end is the trade's, not the
trees': what a homeowner can mend is mended, and the rest is called about with its cause named.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from stepstop import shipped
from stepstop.course import Course, Page, lay_out
from stepstop.house.acts import NONE, Acts, after
from stepstop.house.doing import scene, works
from stepstop.house.faults import hurt
from stepstop.house.grid import plans
from stepstop.house.history import told
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.loader import load
from stepstop.model import NOT_DONE

TREES = Path(__file__).parents[2] / "decision_trees"

ABLE = {
    "people-at-risk": "none",
    "home-temperature": "within",
    "ready-to-walk": "yes",
    "safe-outside": "yes",
    "tried-before": "none",
    "somebody-working": "none",
    "switch-reason": "known-harmless",
    "breaker-reason": "known-harmless",
}
"""What a fit person at home tells of themselves and of the time before."""


@pytest.fixture(scope="module")
def course() -> Course:
    drawings = shipped.drawing_names((shipped.folder("site_overrides"),))
    found, problems = load(TREES, drawings=drawings, progress=lambda _: None)
    assert found is not None, problems
    return lay_out(found)


def answer(house: House, cause: str, finding: str, acts: Acts) -> str:
    """What an able and accurate person answers; of several answers, the likeliest."""
    if finding in ABLE:
        return ABLE[finding]
    if finding in ("weather", "wanted-now"):
        return {"weather": house.weather, "wanted-now": house.wanted}[finding]
    given = told(finding, cause, house) or SENSES[finding](scene(house, acts))
    return given if isinstance(given, str) else max(sorted(given), key=lambda v: given[v])


def walked(course: Course, house: House, cause: str, tree: str) -> tuple[Page, Acts]:
    """The end that honest answers lead to, and what was done on the way."""
    page = next(course.pages[root] for root in course.roots if course.pages[root].tree == tree)
    acts = NONE
    while page.outcome is None:
        then = after(acts, page.check.id) if page.check else acts
        value = answer(house, cause, page.finding, then) if page.finding else ""
        [move] = [move for move in page.moves if move.value == value]
        acts = acts if value == NOT_DONE else then
        page = course.pages[move.to]
    return page, acts


def ends(
    course: Course, kind: str, cause: str, variant: str, tree: str, **fixed: object
) -> Iterator[tuple[str, tuple[str, ...], bool]]:
    """(kind of end, causes that it shows, works) for each house of `kind` with `fixed` details."""
    for plan in plans():
        if plan.name.rsplit("/", 1)[0] != kind:
            continue
        for name, _, house in hurt(plan.house, cause):
            if name == variant and all(getattr(house, k) == v for k, v in fixed.items()):
                page, acts = walked(course, house, cause, tree)
                assert page.outcome is not None
                yield page.outcome.kind, page.outcome.causes, works(house, acts)


BOX_HEAT, BOX_COOL = "ductless/ductless/heat", "ductless/ductless/cool"
HEATER = "baseboard/none/heat"
PACK_HEAT, PACK_COOL = "gas-metal/one-box/heat", "gas-metal/one-box/cool"

MENDED = [
    (BOX_HEAT, "remote-or-mode", "off", "no-heat", {}),
    (BOX_HEAT, "remote-or-mode", "opposed", "no-heat", {}),
    (BOX_COOL, "remote-or-mode", "opposed", "no-cooling", {}),
    (BOX_COOL, "remote-or-mode", "dead", "no-cooling", {"spare_batteries": True}),
    (BOX_HEAT, "head-filter-dirty", "weak", "no-heat", {"filter_place": "low-grille"}),
    (BOX_COOL, "head-filter-dirty", "weak", "no-cooling", {"filter_place": "low-grille"}),
    (HEATER, "wrong-setting", "dial", "no-heat", {}),
    (HEATER, "mains-heater-limit", "covered", "one-room", {"movable": True}),
    (HEATER, "breaker-tripped", "indoor", "no-heat", {"labelled": True}),
    (PACK_HEAT, "wrong-setting", "mode", "no-heat", {}),
    ("gas-plastic/air-conditioner/heat", "one-room-shut", "grille", "one-room", {}),
]
"""What a homeowner can mend: (kind of house, cause, variant, tree, details that it needs)."""

CALLED = [
    (BOX_HEAT, "head-link-lost", "link", "no-heat"),
    (BOX_COOL, "head-link-lost", "locked", "no-cooling"),
    (BOX_HEAT, "outdoor-electronics", "", "no-heat"),
    (BOX_COOL, "outdoor-electronics", "", "no-cooling"),
    (BOX_COOL, "head-drain-blocked", "stops", "no-cooling"),
    (BOX_HEAT, "outdoor-pullout-out", "", "no-heat"),
    (HEATER, "mains-thermostat", "open", "no-heat"),
    (HEATER, "mains-heater-limit", "open", "one-room"),
    (PACK_COOL, "low-refrigerant", "low", "no-cooling"),
    (PACK_COOL, "big-fan-failed", "dead", "no-cooling"),
    ("electric/air-conditioner/heat", "one-room-shut", "damper", "one-room"),
    ("electric/air-conditioner/cool", "zone-panel", "", "one-room"),
]
"""What is for a technician or an electrician."""


@pytest.mark.parametrize(("kind", "cause", "variant", "tree", "fixed"), MENDED, ids=str)
def test_what_a_homeowner_can_mend_is_mended_on_the_way(
    course: Course, kind: str, cause: str, variant: str, tree: str, fixed: dict[str, object]
) -> None:
    found = list(ends(course, kind, cause, variant, tree, **fixed))
    assert found
    assert {(end, well) for end, _, well in found} <= {("solved", True), ("watch", True)}


@pytest.mark.parametrize(("kind", "cause", "variant", "tree"), CALLED, ids=str)
def test_what_is_for_a_technician_ends_in_a_call_that_names_it(
    course: Course, kind: str, cause: str, variant: str, tree: str
) -> None:
    found = list(ends(course, kind, cause, variant, tree))
    assert found
    assert {end for end, _, _ in found} == {"call"}
    assert all(cause in causes for _, causes, _ in found)


def test_after_a_breaker_nothing_is_called_solved(course: Course) -> None:
    for kind, tree in ((BOX_HEAT, "no-heat"), (HEATER, "one-room"), (PACK_COOL, "no-cooling")):
        for end, _, well in ends(course, kind, "breaker-tripped", "indoor", tree, labelled=True):
            assert (end, well) in {("watch", True), ("call", False)}


def test_a_heater_that_stays_hot_with_its_dial_down_is_a_danger(course: Course) -> None:
    found = list(ends(course, HEATER, "mains-thermostat", "welded", "one-room", heaters=5))
    assert {end for end, _, _ in found} == {"danger"}
