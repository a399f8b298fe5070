"""The box on the start page that finds a complaint in the homeowner's own words."""

import pytest


@pytest.fixture
def start(sites, scripted):
    """The start page of the real trees."""
    page = scripted["light"]
    page.goto(sites["real"].url("index.html"))
    return page


def links(page):
    shown = page.locator(".answers li:visible a").all()
    return [a.evaluate("a => a.pathname.split('/').at(-2)") for a in shown]


def typed(page, words):
    page.get_by_label("Say it in your own words").fill(words)
    return links(page)


def test_without_a_script_the_whole_list_stands_there_and_no_box(sites, tab):
    tab.goto(sites["real"].url("index.html"))
    complaints = {tree.id for tree in sites["real"].course.library.complaints()}
    assert set(links(tab)) == complaints
    assert not tab.locator("#find").is_visible()


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("no heat", "no-heat"),
        ("My house is so COLD", "no-heat"),
        ("the fan won't stop", "fan-never-stops"),
        ("themostat blank", "nothing-responds"),
        ("no coolling", "no-cooling"),
    ],
)
def test_what_people_say_finds_the_complaint(start, words, wanted):
    assert wanted in typed(start, words)


def test_fewer_are_shown_and_told(start):
    whole = len(links(start))
    found = typed(start, "blank")
    assert 0 < len(found) < whole
    told = start.locator("#find [role=status]").inner_text()
    assert told == f"{len(found)} of {whole} fit these words."
    assert all(part.locator("li:visible").count() for part in start.locator(".part:visible").all())


def test_words_that_fit_nothing_leave_the_whole_list(start):
    whole = links(start)
    assert typed(start, "xyzzy") == whole
    assert "whole list" in start.locator("#find [role=status]").inner_text()
    assert typed(start, "") == whole
    assert start.locator("#find [role=status]").inner_text() == ""


def test_danger_stays_first_whatever_is_typed(start):
    typed(start, "blank")
    assert start.locator("a.strip").is_visible()
    assert start.locator(".first a").is_visible()
