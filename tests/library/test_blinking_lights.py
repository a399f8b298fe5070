"""What a blinking light says in the shipped trees: counted in rounds, never taken for a meaning."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from stepstop.course import Course, Page
from stepstop.model import UNKNOWNS

COUNTS = ("light-count", "light-count-second", "light-recount")


def pages(course: Course, finding: str) -> list[Page]:
    return [page for page in course.pages.values() if page.finding == finding and page.moves]


def to(page: Page, *values: str) -> set[str]:
    return {move.to for move in page.moves if move.value in values}


@pytest.mark.parametrize("finding", COUNTS)
def test_no_count_leads_anywhere_that_another_count_does_not(course: Course, finding: str) -> None:
    asked = pages(course, finding)
    assert asked
    for page in asked:
        said = {move.to for move in page.moves if move.value not in (*UNKNOWNS, "neither")}
        assert len(said) == 1


def walks(course: Course, page: Page, values: dict[str, str]) -> Iterator[str]:
    """Findings that are asked from `page` on while these answers are given."""
    while page.finding in values:
        yield page.finding
        (after,) = to(page, values[page.finding])
        page = course.pages[after]
    yield page.finding


ONE = {"light-pattern": "groups", "light-count": "three"}
TWO = {"light-pattern": "two-groups", "light-count": "two", "light-count-second": "four"}


@pytest.mark.parametrize(
    ("answers", "then"),
    [
        ({**ONE, "light-again": "same"}, True),
        ({**ONE, "light-again": "different", "light-recount": "three"}, True),
        ({**ONE, "light-again": "different", "light-recount": "four"}, True),
        ({**ONE, "light-again": "different", "light-recount": "neither"}, False),
        ({**ONE, "light-again": "unsure", "light-recount": "unsure"}, False),
        ({**TWO, "light-again": "same"}, True),
        ({**TWO, "light-again": "different", "light-recount": "two-parts"}, True),
        ({"light-pattern": "rapid"}, True),
        ({"light-pattern": "two-lights"}, True),
        ({"light-pattern": "characters"}, True),
        ({"light-pattern": "no-pattern"}, False),
    ],
    ids=str,
)
def test_words_are_asked_for_only_where_two_of_three_counts_agree(
    course: Course, answers: dict[str, str], then: bool
) -> None:
    first = pages(course, "light-pattern")
    assert first
    for page in first:
        *asked, last = walks(course, page, answers)
        assert asked == list(answers)
        assert (last == "light-class") is then


def test_a_leak_in_the_words_leads_to_the_page_about_leaks(course: Course) -> None:
    asked = pages(course, "light-class-more")
    assert asked
    for page in asked:
        (leak,) = to(page, "leak-sensor")
        outcome = course.pages[leak].outcome
        assert outcome is not None
        assert outcome.kind == "danger"
        assert leak.endswith("danger-screen/leak")
        (doubt,) = to(page, "unsure")
        assert course.pages[doubt].finding == "leak-message"


def test_every_flame_or_gas_in_the_words_ends_with_the_unit_off_tonight(course: Course) -> None:
    for finding, values in {
        "light-class": ("rollout", "flame-without-call"),
        "light-class-more": ("gas-valve",),
    }.items():
        for page in pages(course, finding):
            for end in to(page, *values):
                outcome = course.pages[end].outcome
                assert outcome is not None
                assert outcome.urgency == "tonight"
