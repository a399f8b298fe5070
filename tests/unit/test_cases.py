"""The hypotheses: weights, who would call about what, and the complaint that is chosen first."""

from __future__ import annotations

from typing import Any

import pytest

from stepstop.house.acts import NONE
from stepstop.house.cases import FREQUENCY, PAIRS, Case, cases, doubles
from stepstop.house.complaints import ALARMED, ASTRAY, PULLS, chosen
from stepstop.house.control import Control
from stepstop.house.doing import works
from stepstop.house.faults import FAULTS
from stepstop.house.grid import Plan, plans
from stepstop.house.house import House

OFTEN = dict.fromkeys(FAULTS, "common")
PLAIN = {"heat": "no-heat", "cool": "no-cooling"}
MELTED = Control(board="string-after-fuse", opens=frozenset({"F1"}))
SUMMER: dict[str, Any] = {"wanted": "cool", "weather": "hot"}


@pytest.fixture(scope="module")
def all_cases() -> list[Case]:
    """Every cause in every house of the grid."""
    return cases(plans(), OFTEN)


def plan(house: House, name: str = "here", weight: float = 1.0, half: str = "mended-on") -> Plan:
    return Plan(name, house, weight, half, has_tree=True)


def one(house: House, cause: str, *others: str) -> list[Case]:
    """The cases of these causes in one house, all as frequent."""
    return cases([plan(house)], dict.fromkeys((cause, *others), "rare"))


# ---- weights ----


def test_weights_of_all_cases_add_up(all_cases: list[Case]) -> None:
    assert sum(case.weight for case in all_cases) == pytest.approx(1.0)
    assert all(case.weight > 0 for case in all_cases)


def test_weights_add_up_off_the_grid_too() -> None:
    elsewhere = cases(plans(off_grid=True), {"dirty-filter": "common", "no-glow": "rare"})
    assert sum(case.weight for case in elsewhere) == pytest.approx(1.0)
    assert {case.found.pace for case in elsewhere} == {"brisk", "gentle"}


def test_a_cause_weighs_as_its_frequency_class_says() -> None:
    named = {"no-glow": "very-common", "flame-not-seen": "rare"}
    found = cases([plan(House())], named)
    weight = {case.cause: case.weight for case in found}
    ratio = FREQUENCY["very-common"] / FREQUENCY["rare"]
    assert weight["no-glow"] / weight["flame-not-seen"] == pytest.approx(ratio)


def test_a_house_weighs_as_its_share_of_calls() -> None:
    halves = [
        plan(House(), "one", 0.75),
        plan(House(pace="slow"), "other", 0.25, "held-out"),
    ]
    found = cases(halves, {"no-glow": "rare"})
    assert {case.house: case.weight for case in found} == pytest.approx(
        {"one": 0.75, "other": 0.25}
    )
    assert {case.house: case.half for case in found} == {"one": "mended-on", "other": "held-out"}


def test_variants_share_the_weight_of_their_cause_and_have_its_name() -> None:
    found = one(House(), "small-fan-failed", "no-glow")
    weight = {(case.cause, case.house): case.weight for case in found}
    assert weight == pytest.approx(
        {
            ("small-fan-failed", "here#dead"): 0.3,
            ("small-fan-failed", "here#hum"): 0.2,
            ("no-glow", "here"): 0.5,
        }
    )


def test_a_case_knows_whether_its_board_waits_in_a_lock_out() -> None:
    found = one(House(), "safety-wait", "flame-not-seen", "dirty-filter")
    assert {case.cause: case.locked for case in found} == {
        "safety-wait": True,
        "flame-not-seen": True,
        "dirty-filter": False,
    }


def test_the_trees_go_on_for_all_cases_of_a_kind_or_for_none(all_cases: list[Case]) -> None:
    kinds = {(case.found.heating, case.found.cooling, case.has_tree) for case in all_cases}
    assert len({kind[:2] for kind in kinds}) == len(kinds)
    assert ("gas-plastic", "air-conditioner", True) in kinds
    assert ("boiler", "none", False) in kinds


# ---- who calls ----


def test_nobody_calls_about_a_house_that_does_what_is_wanted_unless_it_seems_broken(
    all_cases: list[Case],
) -> None:
    content = {case.cause for case in all_cases if works(case.found, NONE)}
    assert content == {cause for cause in content if FAULTS[cause].perceived}
    assert "normal-defrost" in content


def test_a_cause_that_is_not_simulated_has_no_case() -> None:
    assert one(House(), "no-such-cause", "no-glow") == one(House(), "no-glow")


# ---- what they choose ----


def test_what_callers_choose_adds_up_for_every_case(all_cases: list[Case]) -> None:
    for case in all_cases:
        chances = dict(case.complaints)
        assert len(chances) == len(case.complaints)
        assert sum(chances.values()) == pytest.approx(1.0)
        assert all(chance > 0 for chance in chances.values())


def test_nobody_names_what_is_not_wanted_and_some_always_go_astray(all_cases: list[Case]) -> None:
    for case in all_cases:
        chances = dict(case.complaints)
        known = {PLAIN[case.wanted], *(PULLS.keys() - PLAIN.values())}
        assert chances.keys() <= known
        assert max(chances.values()) <= 1.0 - ASTRAY / 2
        assert chances["nothing-responds"] >= ASTRAY / 2


@pytest.mark.parametrize(
    ("sets", "first"),
    [
        ({"sensor": False}, "no-heat"),
        ({**SUMMER, "capacitor": False}, "no-cooling"),
        ({"breaker": "out-of-line"}, "nothing-responds"),
        ({"fan": "on"}, "fan-never-stops"),
        ({"limit": "stuck"}, "fan-never-stops"),
        ({"control": MELTED}, "fan-never-stops"),
        ({**SUMMER, "contactor": "welded"}, "no-cooling"),
    ],
    ids=str,
)
def test_most_choose_the_complaint_that_meets_them_first(sets: dict[str, Any], first: str) -> None:
    chances = chosen("any", House(**sets))
    assert max(chances, key=lambda tree: chances[tree]) == first


def test_a_fan_that_runs_beside_the_heat_is_called_a_fan_and_not_a_lack_of_heat() -> None:
    warm, cold = chosen("any", House(fan="on")), chosen("any", House(limit="stuck"))
    assert warm["no-heat"] == pytest.approx(ASTRAY / 2)
    assert cold["no-heat"] > 0.3


def test_a_house_that_only_seems_broken_is_called_about_as_it_seems() -> None:
    chances = chosen("any", House(), "no-cooling")
    assert chances == pytest.approx(
        {"no-cooling": 1.0 - ASTRAY, "no-heat": ASTRAY / 2, "nothing-responds": ASTRAY / 2}
    )


def test_what_seems_broken_may_be_named_by_what_is_seen_of_it() -> None:
    waits = chosen("any", House(**SUMMER, rested=False, called="fresh"), "no-cooling")
    silent = (1.0 - ASTRAY) * ALARMED / (1.0 + ALARMED)
    assert waits["outdoor-silent"] == pytest.approx(silent)
    assert waits["no-cooling"] == pytest.approx(1.0 - ASTRAY / 2 - silent)


# ---- two faults at once ----


def test_each_pair_is_two_cases_of_the_same_house_that_weigh_the_same() -> None:
    both = doubles(plans(), OFTEN)
    assert sum(case.weight for case in both) == pytest.approx(1.0)
    for first, second in zip(both[::2], both[1::2], strict=True):
        assert first.found == second.found
        assert first.weight == pytest.approx(second.weight)
        assert first.house.endswith(f"#with {second.cause}")
        assert second.house.endswith(f"#with {first.cause}")


def test_pairs_hang_on_the_name_of_the_house_alone() -> None:
    one_house = [plan(House(), name="a")]
    assert doubles(one_house, OFTEN) == doubles(one_house, OFTEN)
    assert {c.house for c in doubles(one_house, OFTEN)} != {
        c.house.replace("b#", "a#") for c in doubles([plan(House(), name="b")], OFTEN)
    }


def test_a_pair_is_one_fault_after_the_other_and_the_house_does_not_work() -> None:
    both = doubles([plan(House())], {"no-glow": "rare", "dirty-filter": "common"})
    assert len(both) == 2 * PAIRS
    assert {case.cause for case in both} == {"no-glow", "dirty-filter"}
    assert not both[0].found.igniter
    assert both[0].found.filter == "dirty"
    assert not works(both[0].found, NONE)
