"""A whole complaint in one file: without a script, without a server, on paper, read aloud."""

import random
import re
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from itertools import pairwise

import pytest
from playwright.sync_api import expect

from browser.axe import ENHANCED, looked_over
from browser.pockets import Pocket
from browser.test_layout import ANSWER, GAP, OVERFLOW, TARGET, boxes
from stepstop.pages.ahead import most_pages_after

WALKS = 40
FILES = {"small": ["cold", "danger", "hot"], "real": ["burning-smell", "no-heat", "water"]}
LOOKED_AT = {"small": "hot", "real": "burning-smell"}
"""Site -> the file whose steps are looked at one by one."""

PLACES = """() => [...document.querySelectorAll('main > section')].map(e => [e.id, e.offsetTop])"""

VISIBLE = """() => [...document.querySelectorAll('main > section')]
  .filter(e => e.checkVisibility()).map(e => e.id)"""


@pytest.fixture(scope="session")
def files(sites):
    """(site, tree) -> its file, taken apart."""
    return {
        (name, tree): Pocket(site.files[f"{tree}/pocket.html"])
        for name, site in sites.items()
        for tree in FILES[name]
    }


def opened(tab, site, tree, fragment=""):
    tab.goto("about:blank")
    tab.goto(site.url(f"{tree}/pocket.html{fragment and '#'}{fragment}"))


def shown(tab):
    """The one step that shows."""
    [fragment] = tab.evaluate(VISIBLE)
    return tab.locator(f'[id="{fragment}"]')


def answers(tab):
    return shown(tab).locator(".answers a:visible")


def heading(tab):
    return shown(tab).locator("h1").inner_text()


def wording(page):
    text = page.check.name if page.check else (page.step.ask if page.step else page.outcome.title)
    return str(text).replace(" °", "\u00a0°")


def tap(tab, move):
    """Take the answer of a move, which shows once."""
    links = answers(tab)
    if move.answer.say:
        say = str(move.answer.say).replace(" °", "\u00a0°")
        links = links.filter(has_text=re.compile(f"^{re.escape(say)}$"))
    assert links.count() == 1, move.answer.say
    links.click()


def longest_walk(course, root):
    """The moves of a walk that takes as many steps as any from `root`."""
    most = most_pages_after(course.graph())
    page, moves = course.pages[root], []
    while page.moves:
        moves.append(max(page.moves, key=lambda move: most[move.to]))
        page = course.pages[moves[-1].to]
    return moves


def kinds(file):
    """Fragments of some step of each kind: the longest."""
    found = {}
    for step in sorted(file.steps, key=lambda step: len(step.html), reverse=True):
        kind = next(
            (c for c in ("gated", "away", "calls", "alarm", "stop-if") if c in step.html), ""
        )
        found.setdefault((kind, bool(step.hurried)), step.hurried or step.id)
    return list(found.values())


def test_walks_end_where_those_over_the_pages_do(sites, tab):
    random_ = random.Random(11)
    ends = set()
    for number in range(WALKS):
        name = ("small", "real")[number % 2]
        site, tree = sites[name], FILES[name][number // 2 % 3]
        opened(tab, site, tree)
        page = site.course.pages[f"{tree}/index"]
        while page.moves:
            assert heading(tab) == wording(page)
            assert tab.locator(".hurry").is_visible() == page.mode.hurry
            move = random_.choice(page.moves)
            tap(tab, move)
            page = site.course.pages[move.to]
        if page.outcome:
            assert heading(tab) == wording(page)
            ends.add(page.id)
        else:
            assert heading(tab) == "No danger now? Go on"
    assert len(ends) > 8


def test_back_and_forward_and_reload_keep_the_step(sites, tab):
    opened(tab, sites["real"], "no-heat")
    headings = [heading(tab)]
    for move in longest_walk(sites["real"].course, "no-heat/index")[:5]:
        tap(tab, move)
        headings.append(heading(tab))
    assert len(set(headings)) > 3
    tab.reload()
    assert heading(tab) == headings[-1]
    for wanted in headings[-2::-1]:
        tab.go_back()
        assert heading(tab) == wanted
    tab.go_forward()
    assert heading(tab) == headings[1]


def test_each_step_is_met_at_the_upper_end_of_the_page(sites, files, tab):
    for (name, tree), file in files.items():
        opened(tab, sites[name], tree)
        for fragment in kinds(file):
            tab.evaluate("scrollTo(0, 500)")
            tab.evaluate("fragment => { location.hash = fragment; }", fragment)
            assert tab.evaluate("scrollY") == 0, fragment
            assert tab.locator(".strip").is_visible()


def test_the_strip_and_stop_and_call_are_one_tap_away_and_behind_the_gate(sites, files, tab):
    for (name, tree), file in files.items():
        site = sites[name]
        for fragment in kinds(file):
            opened(tab, site, tree, fragment)
            hurry = fragment.endswith("-now")
            stop = tab.locator(".stop a:visible")
            if file.shown(fragment).gate:
                assert stop.count() == 0
            else:
                stop.click()
                assert tab.url.endswith(f"#{file.stop(hurry=hurry)}")
                assert heading(tab) == wording(site.course.pages["endings/stop-and-call"])
            tab.locator(".strip").click()
            assert tab.url.endswith("#danger")
            assert heading(tab) == wording(site.course.pages["danger/index"])


def test_the_number_shows_only_behind_the_gate(sites, files, tab):
    for (name, tree), file in files.items():
        gates = [step.id for step in file.steps if file.shown(step.id).gate]
        assert gates
        for gate in gates:
            opened(tab, sites[name], tree, gate)
            number = tab.locator('a[href^="tel:"]:visible')
            assert number.count() == 0
            assert not re.search(r"\b911\b", tab.locator("body").inner_text())
            shown(tab).locator(".gate a").click()
            assert number.first.bounding_box()["y"] < 740
            assert tab.locator(".stop a:visible").count() == 1
            tab.go_back()
            assert number.count() == 0


def test_an_outcome_is_sooner_for_those_who_must_call_first(sites, files, tab):
    looked_at = 0
    for (name, tree), file in files.items():
        for step in file.steps:
            if "hurried" in step.html and looked_at < 12:
                looked_at += 1
                both = []
                for fragment in (step.id, step.hurried):
                    opened(tab, sites[name], tree, fragment)
                    assert tab.locator(".soon:visible").count() == 1
                    both.append(tab.locator(".soon:visible").inner_text())
                assert both[0] != both[1]
    assert looked_at


def test_an_old_link_leads_to_the_first_step(sites, tab):
    site = sites["real"]
    opened(tab, site, "no-heat")
    first = heading(tab)
    mark, _, number = answers(tab).last.get_attribute("href").partition("-")
    opened(tab, site, "no-heat", f"{mark[1:]}-{number}")
    assert heading(tab) != first
    opened(tab, site, "no-heat", f"{mark[1:][::-1]}x-{number}")
    assert heading(tab) == first


def test_after_it_has_loaded_no_answer_needs_the_server(sites, browser):
    site = sites["real"]
    handler = partial(SimpleHTTPRequestHandler, directory=str(site.folder))
    handler.log_message = lambda *_: None
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    tab = browser.new_page()
    asked = []
    tab.on("request", lambda request: asked.append(request.url))
    try:
        tab.goto(f"http://127.0.0.1:{server.server_address[1]}/no-heat/pocket.html")
    finally:
        server.shutdown()
        server.server_close()
    assert len([url for url in asked if not url.startswith("data:")]) == 1
    moves = longest_walk(site.course, "no-heat/index")
    assert len(moves) > 20
    for move in moves:
        tap(tab, move)
    assert heading(tab) == wording(site.course.pages[moves[-1].to])
    tab.locator(".strip").click()
    assert heading(tab)
    assert len([url for url in asked if not url.startswith("data:")]) == 1
    tab.close()


def test_the_title_and_the_focus_follow_the_step(sites, files, scripted):
    tab, file = scripted["light"], files["real", "no-heat"]
    told = []
    tab.on("console", lambda message: told.append(message.text))
    tab.on("pageerror", lambda error: told.append(str(error)))
    opened(tab, sites["real"], "no-heat")
    assert tab.title().startswith(f"{heading(tab)} · The heat")
    assert tab.evaluate("document.activeElement.localName") == "body"
    hurried = 0
    for step in file.steps[:60:4]:
        for fragment in filter(None, (step.id, step.hurried)):
            tab.evaluate("fragment => { location.hash = fragment; }", fragment)
            text = heading(tab)
            expect(tab).to_have_title(re.compile(f"^{re.escape(text)} · "))
            assert tab.evaluate("document.activeElement.localName") == "h1"
            assert tab.evaluate("document.activeElement.innerText") == text
            described = shown(tab).locator("h1").get_attribute("aria-describedby")
            if tab.locator(".hurry").is_visible():
                hurried += 1
                assert described == "hurry"
    assert hurried > 3
    assert told == []


def test_somebody_who_comes_into_the_middle_is_told_where_to_begin(sites, files, scripted):
    tab, file = scripted["light"], files["real", "no-heat"]
    lost = tab.locator(".lost")
    opened(tab, sites["real"], "no-heat")
    assert not lost.is_visible()
    opened(tab, sites["real"], "no-heat", file.steps[40].id)
    assert lost.is_visible()
    lost.locator("a").click()
    assert tab.url.endswith(f"#{file.first}")
    assert not lost.is_visible()
    answers(tab).nth(-2).click()
    tab.reload()
    assert not lost.is_visible()
    gate = next(step.id for step in file.steps if file.shown(step.id).gate)
    opened(tab, sites["real"], "no-heat", gate)
    assert not lost.is_visible()
    assert tab.title().startswith(heading(tab))


@pytest.mark.parametrize("fragment", ["on", "alert", "hurry", "nothing", "%41"])
def test_any_other_fragment_shows_the_first_step(sites, scripted, fragment):
    tab = scripted["dark"]
    opened(tab, sites["small"], "hot")
    first = heading(tab)
    opened(tab, sites["small"], "hot", fragment)
    assert heading(tab) == first
    assert tab.title().startswith(first)


@pytest.mark.parametrize("name", LOOKED_AT)
def test_paper_has_all_steps_in_order_with_their_numbers(sites, files, browser, name):
    tree = LOOKED_AT[name]
    file = files[name, tree]
    tab = browser.new_page(viewport={"width": 700, "height": 900})
    tab.emulate_media(media="print")
    opened(tab, sites[name], tree, file.steps[3].id)
    places = tab.evaluate(PLACES)
    assert [each for each, _ in places] == [step.id for step in file.steps]
    assert [top for _, top in places] == sorted(top for _, top in places)
    assert all(section.is_visible() for section in tab.locator("main > section").all())
    assert not tab.locator(".strip").is_visible()
    for link in tab.locator(".answers li:not(.gate *) a:first-child").all():
        assert link.is_visible()
    content = "([e, part]) => getComputedStyle(document.getElementById(e), part).content"
    for step in file.steps:
        if not step.id.endswith("-away"):
            assert tab.evaluate(content, [step.id, "::before"]) != "none", step.id
    tab.close()


def test_numbers_on_paper_are_seen_without_the_mark_before_them(sites, files, browser):
    tab = browser.new_page(viewport={"width": 700, "height": 900})
    tab.emulate_media(media="print")
    opened(tab, sites["small"], "hot")
    change = """([old, now]) => {
      for (const e of document.querySelectorAll('main > section')) e.id = e.id.replace(old, now);
      for (const a of document.querySelectorAll('.answers a'))
        a.setAttribute('href', a.getAttribute('href').replace(old, now));
    }"""
    before = tab.screenshot()
    mark = files["small", "hot"].first.split("-")[0]
    tab.evaluate(change, [f"{mark}-", "wmi-"])
    assert tab.screenshot() == before
    tab.evaluate(change, ["wmi-", "wmi-7"])
    assert tab.screenshot() != before
    tab.close()


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("name", LOOKED_AT)
def test_the_rules_of_access_are_kept_at_every_kind_of_step(sites, files, scripted, name, theme):
    tab, tree = scripted[theme], LOOKED_AT[name]
    for fragment in ["", *kinds(files[name, tree])]:
        opened(tab, sites[name], tree, fragment)
        broken, kept = looked_over(tab)
        assert broken == [], fragment
        assert {"target-size", ENHANCED, "document-title"} <= kept


@pytest.mark.parametrize("width", [320, 1280])
@pytest.mark.parametrize("name", LOOKED_AT)
def test_steps_fit_the_screen_and_answers_the_thumb(sites, files, tab, name, width):
    tab.set_viewport_size({"width": width, "height": 740})
    for fragment in ["", *kinds(files[name, LOOKED_AT[name]])]:
        opened(tab, sites[name], LOOKED_AT[name], fragment)
        assert tab.evaluate(OVERFLOW) <= 0, fragment
        found = boxes(tab, ".answers a")
        for html, _, _, _, height in found:
            assert height >= ANSWER, (fragment, html)
        tops = sorted((y, y + height) for _, _, y, _, height in found)
        assert all(below - end >= GAP for (_, end), (below, _) in pairwise(tops))
        for html, _, _, wide, height in boxes(tab, "a, summary"):
            assert min(wide, height) >= TARGET, (fragment, html, wide, height)
