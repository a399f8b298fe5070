"""The simulated house and the shipped trees know each other's words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import pytest

from stepstop.house.acts import CHECKS, NONE, Acts, after
from stepstop.house.cases import Case, cases
from stepstop.house.doing import scene
from stepstop.house.faults import FAULTS
from stepstop.house.grid import plans
from stepstop.house.history import told
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.house.table import CYCLED_BY
from stepstop.model import NOT_DONE, UNSURE, Library

CALLERS_OWN = {
    "people-at-risk",
    "medical-device",
    "home-temperature",
    "ready-to-walk",
    "safe-outside",
    "tried-before",
    "oil-presses",
    "somebody-working",
    "co-alarm-works",
    "wanted-now",
    "weather",
    "switch-reason",
    "breaker-reason",
}
"""Findings that hang on who calls and when, not on the house."""


@pytest.fixture(scope="module")
def called_about(library: Library) -> list[Case]:
    """Cases of every cause: of the grid's houses of each kind, the first, middle and last."""
    named = {cause: library.catalogue.causes[cause].frequency for cause in sorted(FAULTS)}
    by_kind = defaultdict(list)
    for plan in plans():
        by_kind[plan.name.rsplit("/", 1)[0]].append(plan)
    return cases(
        [plan for kind in by_kind.values() for plan in (kind[0], kind[len(kind) // 2], kind[-1])],
        named,
    )


def asked(library: Library) -> Iterator[str]:
    """Every finding that a step of a shipped tree asks, by itself or by its check."""
    for tree in library.trees.values():
        for step in tree.steps.values():
            if step.check:
                yield library.catalogue.checks[step.check].result
            elif step.finding:
                yield step.finding


def is_history(finding: str) -> bool:
    return told(finding, "no-glow", House()) is not None


def test_the_house_feels_every_check_of_the_catalogue_and_no_other(library: Library) -> None:
    assert library.catalogue.checks.keys() == CHECKS


def test_every_asked_finding_is_sensed_told_or_the_callers_own(library: Library) -> None:
    unknown = {
        finding
        for finding in asked(library)
        if finding not in SENSES | dict.fromkeys(CALLERS_OWN) and not is_history(finding)
    }
    assert unknown == set()


def test_a_finding_has_one_origin() -> None:
    assert CALLERS_OWN.isdisjoint(SENSES)
    assert not [finding for finding in sorted(CALLERS_OWN | SENSES.keys()) if is_history(finding)]


def test_every_sense_and_every_callers_answer_is_a_finding_of_the_catalogue(
    library: Library,
) -> None:
    assert library.catalogue.findings.keys() >= SENSES.keys() | CALLERS_OWN


def states(library: Library, finding: str) -> list[Acts]:
    """After the checks that this finding is the result of; as found and called for if none is."""
    of = [name for name, check in library.catalogue.checks.items() if check.result == finding]
    called = [after(NONE, "set-heat"), after(NONE, "set-cool")]
    return [after(NONE, name) for name in of] or [NONE, *called]


@pytest.mark.parametrize("finding", sorted(SENSES))
def test_every_sensed_value_is_one_of_its_findings(
    finding: str, library: Library, called_about: list[Case]
) -> None:
    given: set[str] = set()
    for acts in states(library, finding):
        for found in {case.found for case in called_about}:
            value = SENSES[finding](scene(found, acts))
            given |= {value} if isinstance(value, str) else value.keys()
    assert given <= library.catalogue.findings[finding].values.keys() | {UNSURE, NOT_DONE}


def test_no_sense_gives_the_same_value_in_every_house(
    library: Library, called_about: list[Case]
) -> None:
    """But the raw counts of blinks, which tell nothing by themselves."""
    constant = set()
    for finding in sorted(SENSES.keys() & set(asked(library))):
        given = {
            str(SENSES[finding](scene(case.found, acts)))
            for case in called_about
            for acts in states(library, finding)
        }
        constant |= {finding} if len(given) == 1 else set()
    counts = {"light-count", "light-count-second", "light-again"}
    dangers = {"indoor-burning", "other-alarm", "person-ill", "flame-outside"}
    assert constant - dangers == counts


@pytest.mark.parametrize("finding", ["what-changed", "when-it-dies"])
def test_what_people_tell_of_the_past_has_the_catalogues_values_and_is_never_certain(
    finding: str, library: Library, called_about: list[Case]
) -> None:
    values = library.catalogue.findings[finding].values.keys()
    for case in called_about:
        chances = told(finding, case.cause, case.found)
        assert chances is not None
        assert chances.keys() == values
        assert sum(chances.values()) == pytest.approx(1.0)
        assert all(0 < chance < 1 for chance in chances.values())


def test_every_case_has_a_complaint_that_is_shipped(
    library: Library, called_about: list[Case]
) -> None:
    for case in called_about:
        assert {tree for tree, _ in case.complaints} <= library.trees.keys()
        assert sum(share for _, share in case.complaints) == pytest.approx(1.0)
    assert sum(case.weight for case in called_about) == pytest.approx(1.0)


def test_a_power_cycle_counts_where_the_catalogue_lets_the_light_offer_it(library: Library) -> None:
    clauses = library.catalogue.checks["power-cycle-once"].requires
    assert CYCLED_BY in [dict(clause.either) for clause in clauses]
