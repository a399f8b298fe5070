"""A company's edition in a browser: as large, quiet and readable as ours, its hours told right."""

from datetime import datetime

import pytest
from playwright.sync_api import expect

from browser.conftest import Site
from browser.sites import rehearse, small_library, write_site
from browser.test_arrival import (
    test_nothing_moves_while_a_page_arrives_and_it_is_one_request,
    watched,
)
from browser.test_layout import (
    test_all_other_targets_are_large_enough_for_gloves,
    test_focus_is_seen_on_everything_that_takes_it,
    test_nothing_is_wider_than_the_screen,
    test_nothing_is_wider_with_text_at_200_percent_or_spaced,
    test_the_rules_of_access_are_kept,
)
from unit.companies import PICTURE, site_for, write_company

__all__ = [
    "test_all_other_targets_are_large_enough_for_gloves",
    "test_focus_is_seen_on_everything_that_takes_it",
    "test_nothing_is_wider_than_the_screen",
    "test_nothing_is_wider_with_text_at_200_percent_or_spaced",
    "test_nothing_moves_while_a_page_arrives_and_it_is_one_request",
    "test_the_rules_of_access_are_kept",
    "watched",
]
"""What holds of every page is tried on a company's, too."""

CHANGES = {
    "name": "Sample Heating, Cooling and Water Heaters of Demo County",
    "after-hours": {"phone": "+12025550158", "say": "One of us calls back.", "fee": "It costs 9."},
    "text": "+12025550171",
    "book": "https://www.example.com/visit",
    "closed": ["2026-12-25"],
    "colours": {"light": "#0b5a3c", "dark": "#8fe0b9"},
    "logo": "logo.svg",
    "offers": {"can-wait": ["book", "text", "call"]},
}


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """A company's site of the small library, which takes the place of both others here."""
    trees = rehearse(small_library(tmp_path_factory.mktemp("company-trees")))
    path = write_company(tmp_path_factory.mktemp("company"), CHANGES, picture=PICTURE)
    made, files = site_for(path, trees)
    return Site(made.course, write_site(files, tmp_path_factory.mktemp("company-site")), files)


@pytest.fixture(scope="module")
def outcome(site):
    """The file of an outcome that tells how to reach the company."""
    return next(
        f"{page.id}.html"
        for page in site.course.pages.values()
        if page.outcome and page.outcome.say and page.outcome.who == "licensed-hvac"
    )


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ("2026-11-27T09:00:00-06:00", "Open now."),  # a Friday
        ("2026-11-27T17:00:00-06:00", "Closed now."),
        ("2026-11-28T09:00:00-06:00", "Closed now."),
        ("2026-12-25T09:00:00-06:00", "Closed now."),
    ],
)
@pytest.mark.parametrize("zone", ["America/Chicago", "Asia/Tokyo"])
def test_open_or_closed_is_told_by_the_company_s_clock(site, browser, outcome, at, said, zone):
    context = browser.new_context(timezone_id=zone)
    page = context.new_page()
    page.clock.set_fixed_time(datetime.fromisoformat(at))
    for name in ("index.html", outcome, f"{outcome.split('/')[0]}/pocket.html"):
        page.goto(site.url(name))
        for now in page.locator("[data-now]").all():
            expect(now).to_have_text(said)
        assert page.locator("[data-now]").count()
    context.close()


def test_without_a_script_the_hours_stand_there_and_nothing_is_claimed(site, tab, outcome):
    tab.goto(site.url(outcome))
    hours = tab.locator(".hours")
    expect(hours).to_contain_text("Monday: 8 AM to 5 PM")
    expect(hours).not_to_contain_text("now")


def test_no_page_has_an_error_in_the_console(site, browser):
    page = browser.new_page()
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    for name in site.samples().values():
        page.goto(site.url(name))
    page.close()
    assert said == []


def test_the_strip_comes_before_the_company(site, tab, outcome):
    tab.goto(site.url(outcome))
    strip, name = tab.locator(".strip").bounding_box(), tab.locator(".brand").bounding_box()
    assert strip["y"] + strip["height"] <= name["y"]


def test_on_paper_the_company_is_black_and_its_numbers_are_there(site, tab, outcome):
    tab.goto(site.url(outcome))
    tab.emulate_media(media="print")
    call = tab.locator('.call a[href="tel:+12025550143"]')
    assert call.is_visible()
    assert call.evaluate("e => getComputedStyle(e).color") == "rgb(0, 0, 0)"
    assert not tab.locator("[data-now]").is_visible()
    assert tab.locator(".hours li").first.is_visible()
    tab.emulate_media(media="screen")
