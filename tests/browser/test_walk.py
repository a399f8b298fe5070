"""Whole walks without JavaScript, from the start page to each kind of outcome."""

import re
from collections import deque

import pytest

ENDS = {
    "solved": lambda outcome: outcome.kind == "solved",
    "watch": lambda outcome: outcome.kind == "watch",
    "call": lambda outcome: outcome.kind == "call",
    "keep away": lambda outcome: outcome.kind == "danger" and not outcome.gate,
    "no phone inside": lambda outcome: bool(outcome.gate),
}

BEGINS = (
    "start",
    "agent",
    "equipment",
    "danger page",
    "complaint",
    "danger",
    "gas",
    "missing",
    "rehearsed",
    "sources",
    "counter",
    "code",
    "cold",
    "hot",
    "control",
)
"""Kinds of pages that no walk leads to, or that every visitor may read."""


def shortest_walk(course, wanted, *, starts=None):
    """The root of a complaint and the moves from it to the nearest outcome that is `wanted`.

    `starts` are the roots to begin with; left out, those of all complaints.
    """
    danger = next(tree.id for tree in course.library.trees.values() if tree.role == "danger")
    starts = starts or [root for root in course.roots if course.pages[root].tree != danger]
    waiting = deque((root, root, ()) for root in starts)
    seen = set(starts)
    while waiting:
        root, page_id, moves = waiting.popleft()
        for move in course.pages[page_id].moves:
            outcome = course.pages[move.to].outcome
            if outcome and wanted(outcome):
                return root, (*moves, move)
            if move.to not in seen:
                seen.add(move.to)
                waiting.append((root, move.to, (*moves, move)))
    raise AssertionError("no such outcome")


def take(tab, move):
    answers = tab.locator(".answers a")
    if move.answer.say:
        say = str(move.answer.say).replace(" °", "\u00a0°")
        answers = answers.filter(
            has=tab.locator("span", has_text=re.compile(f"^{re.escape(say)}$"))
        )
    assert answers.count() == 1
    answers.click()


@pytest.mark.parametrize("end", ENDS)
def test_a_walk_to(site, tab, end):
    root, moves = shortest_walk(site.course, ENDS[end])
    tree = site.course.library.trees[site.course.pages[root].tree]
    tab.goto(site.url("index.html"))
    tab.locator(f'a[href="{root}.html"]').click()
    assert tab.locator(".complaint").inner_text() == tree.title
    for move in moves:
        assert not tab.locator(".lost").is_visible()
        take(tab, move)
        assert tab.url == site.url(f"{move.to}.html#on")
    assert not tab.locator(".lost").is_visible()
    assert tab.locator("h1").first.inner_text()


def test_danger_is_one_tap_away_from_every_kind_of_page(site, tab):
    for kind, name in site.samples().items():
        tab.goto(site.url(name))
        tab.locator(".strip").click()
        if kind == "missing":
            assert tab.url.endswith("404.html#danger")
            assert tab.locator("#danger").is_visible()
        else:
            assert tab.url == site.url("danger/index.html")


def test_stop_and_call_is_one_tap_away_and_two_on_a_gas_page(site, tab):
    for kind, name in site.samples().items():
        tab.goto(site.url(name))
        if kind == "gas":
            assert not tab.locator(".stop a").is_visible()
            tab.locator(".gate a").click()
        if kind != "missing":
            tab.locator(".stop a").click()
            assert tab.url.endswith("stop-and-call.html#on"), kind


def test_a_hurried_walk_leads_to_the_hurried_page(site, tab):
    tab.goto(site.url(site.samples()["check in a hurry"] + "#on"))
    reminder = tab.locator(".hurry a")
    assert reminder.inner_text() == "Call first, then go on while you wait."
    reminder.click()
    assert tab.url == site.url("endings/now/stop-and-call.html#on")
    assert not tab.locator(".hurry").count()


def test_a_gas_page_shows_no_number_until_the_person_says_to_be_outside(site, tab):
    gates = [p for p in site.course.pages.values() if p.outcome and p.outcome.gate]
    assert gates
    for page in gates:
        tab.goto(site.url(f"{page.id}.html#on"))
        numbers = tab.locator('a[href^="tel:"]')
        assert numbers.count()
        assert not any(number.is_visible() for number in numbers.all())
        assert not re.search(r"\b911\b", tab.locator("body").inner_text())
        tab.get_by_role("link", name=str(page.outcome.gate)).click()
        assert tab.url == site.url(f"{page.id}.html#away")
        assert numbers.first.is_visible()
        assert numbers.first.bounding_box()["y"] < 740
        tab.go_back()
        assert not numbers.first.is_visible()


def test_the_notice_is_there_for_a_visitor_and_gone_on_a_walk(site, tab):
    for kind, name in site.samples().items():
        tab.goto("about:blank")
        tab.goto(site.url(name))
        notice = tab.locator(".lost")
        begins = kind in BEGINS
        assert notice.count() == (0 if begins else 1), kind
        if not begins:
            assert notice.is_visible(), kind
            tab.goto(site.url(f"{name}#on"))
            assert not notice.is_visible(), kind


def test_an_old_address_leads_on(sites, tab):
    site = sites["small"]
    tab.goto(site.url("hot/everyone.html"))
    tab.wait_for_url(site.url("hot/who.html"))
    assert tab.locator(".lost").is_visible()


def test_a_page_is_one_request_and_asks_for_nothing_else(site, tab):
    asked = []

    def note(request):
        asked.append(request.url)

    tab.on("request", note)
    for name in site.samples().values():
        tab.goto("about:blank")
        asked.clear()
        tab.goto(site.url(name), wait_until="load")
        assert [url for url in asked if not url.startswith("data:")] == [site.url(name)]
    tab.remove_listener("request", note)
