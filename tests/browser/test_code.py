"""A code that was read out on the phone: what it stands for, and going on from it."""

import pytest
from playwright.sync_api import expect

from browser.test_trail import minutes, some_trail
from stepstop.trail import Trail, Ways, in_groups

ASKED = "thermostat-power"
"""A finding that is asked in the middle of a walk."""


@pytest.fixture(scope="module")
def ways(sites):
    return Ways(sites["real"].course)


@pytest.fixture
def tab(browser, sites):
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.set_default_timeout(15_000)
    page.goto(sites["real"].url("index.html"))
    page.get_by_role("link", name="Go on from a code").click()
    yield page
    page.close()


def typed(tab, code):
    tab.get_by_label("The code, digits only").fill(code)
    tab.get_by_role("button", name="Show the answers").click()
    expect(tab.locator("#found")).not_to_be_empty()
    return tab.locator("#found").inner_text()


def test_a_code_shows_the_answers_and_leads_on_after_the_danger_question(tab, sites, ways):
    trail, page_id = some_trail(ways, lambda page: page.finding == ASKED)
    assert typed(tab, in_groups(ways.code(trail))) == "The code is right."
    account = tab.locator("#account").inner_text()
    assert str(ways.course.library.trees["no-heat"].title) in account
    assert "[told]" in account
    tab.get_by_role("link", name="Go on from there").click()
    address, _, fragment = tab.url.partition("#")
    assert address == sites["real"].url(f"{page_id}.html")
    assert ways.read_link(fragment).words == trail.words
    assert not tab.locator(".answers").is_visible()
    tab.get_by_role("button", name="No, none of these: go on").click()
    assert tab.locator(".answers").is_visible()
    assert abs(ways.read_link(tab.url.partition("#")[2]).begun - minutes()) <= 61


def test_the_key_enter_does_what_the_button_does(tab, ways):
    trail, _ = some_trail(ways, lambda page: page.finding == ASKED)
    tab.get_by_label("The code, digits only").fill(ways.code(trail))
    tab.keyboard.press("Enter")
    tab.wait_for_selector("#on-from", state="visible")


def test_an_account_made_by_a_code_ends_with_the_page_where_it_ended(tab, sites, ways):
    trail, page_id = some_trail(ways, lambda page: page.outcome and page.outcome.kind == "call")
    typed(tab, ways.code(trail))
    tab.get_by_role("link", name="Go on from there").click()
    assert tab.url.startswith(sites["real"].url(f"{page_id}.html#on="))
    tab.wait_for_selector("#brief", state="visible")
    assert tab.locator("#code").inner_text() == in_groups(ways.code(trail))


@pytest.mark.parametrize("said", ["", "no code", "12", "0000000000", "9" * 40])
def test_what_is_no_code_is_told_and_nothing_is_shown(tab, said):
    assert typed(tab, said).startswith("This is no code of these pages.")
    assert tab.locator("#account").inner_text() == ""
    assert not tab.locator("#on-from").is_visible()


def test_a_wrong_digit_leaves_nothing_of_the_right_code(tab, ways):
    code = ways.code(Trail("no-heat", some_trail(ways, lambda p: p.finding == ASKED)[0].words))
    typed(tab, code)
    wrong = code[:-1] + str((int(code[-1]) + 1) % 10)
    assert "One digit may be wrong" in typed(tab, wrong)
    assert tab.locator("#account").inner_text() == ""
    assert not tab.locator("#on-from").is_visible()


def test_without_a_script_it_says_so(tab, sites, browser):
    context = browser.new_context(java_script_enabled=False)
    lean = context.new_page()
    lean.goto(sites["real"].url("code.html"))
    assert lean.get_by_text("Reading a code needs JavaScript").is_visible()
    assert not lean.locator("#ask").is_visible()
    context.close()
