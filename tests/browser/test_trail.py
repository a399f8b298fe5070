"""The trail in the address of real pages: carried on, kept by Back and reload, never sent."""

import re
import time
from itertools import pairwise

import pytest
from playwright.sync_api import expect

from browser.host import folder_served, watched_tab
from browser.sites import REAL, whole_site_of, write_site
from browser.test_layout import GAP
from stepstop.trail import Trail, Ways, answer_word, base36

NONE_OF_THESE = ".answers >> text=None of these"


@pytest.fixture(scope="module")
def host(tmp_path_factory):
    """(address, what was asked) of a server for the real site."""
    folder = write_site(whole_site_of(REAL), tmp_path_factory.mktemp("whole"))
    with folder_served(folder) as served:
        yield served


@pytest.fixture(scope="module")
def ways(sites):
    return Ways(sites["real"].course)


@pytest.fixture
def tab(browser):
    with watched_tab(browser) as page:
        yield page


def fragment(tab):
    return "#" + tab.url.partition("#")[2]


def minutes():
    return int(time.time() // 60)


def linked(ways, page_id, trail):
    return f"{page_id}.html{ways.link(trail)}"


def some_trail(ways, wanted, *, root="no-heat"):
    """The first trail from `root` to a page for which `wanted` holds, with that page's id."""
    waiting, seen = [(ways.roots[root], ())], set()
    for page_id, words in waiting:
        if wanted(ways.pages[page_id]):
            return Trail(root, words), page_id
        for way in ways.by_page[page_id]:
            if way.to not in seen:
                seen.add(way.to)
                waiting.append((way.to, (*words, way.word)))
    raise AssertionError("no trail leads there")


def test_each_answer_adds_its_word_and_nothing_of_it_is_sent(tab, host, ways):
    home, asked = host
    tab.goto(home + "no-heat/index.html")
    begun = ways.read_link(fragment(tab))
    assert (begun.root, begun.words) == ("no-heat", ())
    assert abs(begun.begun - minutes()) <= 1
    tab.click(NONE_OF_THESE)
    assert ways.read_link(fragment(tab)).words == (answer_word("danger-sign", ("none",)),)
    here = ways.follow(ways.read_link(fragment(tab))).page
    assert tab.url.partition("#")[0] == f"{home}{here}.html"
    assert asked
    assert not [path for path in asked if "on=" in path or "#" in path]


def test_a_whole_walk_gives_the_trail_of_its_answers(tab, host, ways):
    home, _ = host
    tab.goto(home + "water/index.html")
    tab.click(NONE_OF_THESE)
    for _ in range(60):
        answers = tab.locator(".answers a[data-a]:visible")
        if not answers.count():
            break
        answers.last.click()
        trail = ways.read_link(fragment(tab))
        page = ways.pages[tab.url.partition("#")[0].removeprefix(home).removesuffix(".html")]
        findings = ways.course.library.catalogue.findings
        if page.finding and not findings[page.finding].health:
            assert ways.by_page[page.id] == ways.by_page[ways.follow(trail).page]
    assert page.outcome is not None
    assert ways.follow(trail).page == page.id


def test_back_forward_and_reload_keep_the_trail(tab, host, ways):
    home, _ = host
    tab.goto(home + "no-heat/index.html")
    tab.click(NONE_OF_THESE)
    tab.locator(".answers a:visible").nth(1).click()
    there = tab.url
    tab.go_back()
    tab.go_forward()
    assert tab.url == there
    tab.reload()
    assert tab.url == there
    assert not tab.locator(".lost").is_visible()


def test_no_answer_about_people_is_in_the_address(tab, host, ways):
    home, _ = host
    found = set()
    for answer in ("Yes, or maybe", "No, nobody like that"):
        tab.goto(home + "no-heat/index.html")
        tab.click(NONE_OF_THESE)
        tab.click(f".answers >> text={answer}")
        tab.click(".answers >> text=In between")
        found.add(ways.read_link(fragment(tab)).words)
    assert len(found) == 1


def test_without_a_trail_a_page_says_where_to_begin(tab, host):
    home, _ = host
    tab.goto(home + "no-heat/power.html")
    assert tab.locator(".lost").is_visible()
    tab.locator(".answers a").first.click()
    assert fragment(tab) == "#on"
    assert not tab.locator(".lost").is_visible()


def test_a_link_of_another_edition_is_recognised(tab, host, ways):
    home, _ = host
    link = linked(ways, "no-heat/power", Trail("no-heat", (), begun=minutes()))
    tab.goto(home + link.replace(ways.version, "AAAAA"))
    assert tab.locator(".lost").is_visible()
    assert "AAAAA" not in (tab.locator(".answers a").first.get_attribute("href") or "")


@pytest.mark.parametrize(
    "odd",
    ["#on=<img src=x onerror=alert(1)>", "#on=" + "A" * 10_000, "#on=%00", "#on=.....", "#~l~l"],
)
def test_an_odd_fragment_is_no_trail_and_does_no_harm(tab, host, odd):
    home, _ = host
    tab.goto(home + "no-heat/power.html" + odd)
    assert tab.locator(".lost").is_visible()
    assert tab.locator(".answers a").count() > 1
    assert tab.locator("img").count() == 0


# ---- danger is asked again ----


def test_a_kept_link_asks_danger_first_and_goes_on_after(tab, host, ways):
    home, _ = host
    trail, page_id = some_trail(ways, lambda page: page.finding == "thermostat-power")
    trail = Trail(trail.root, trail.words, begun=minutes(), last=0)
    tab.goto(home + linked(ways, page_id, trail))
    assert tab.locator("#anew").is_visible()
    assert not tab.locator(".answers").is_visible()
    assert tab.locator("#anew a").get_attribute("href").endswith("danger/index.html")
    tab.click("#anew button")
    assert tab.locator(".answers").is_visible()


def test_half_an_hour_later_danger_is_asked_again(tab, host, ways):
    home, _ = host
    tab.goto(home + "no-heat/index.html")
    for idle, asks in ((10, False), (45, True)):
        began = minutes() - 60
        trail, page_id = some_trail(ways, lambda page: page.finding == "thermostat-power")
        trail = Trail(trail.root, trail.words, begun=began, last=60 - idle)
        tab.goto(home + linked(ways, page_id, trail))
        assert tab.locator("#anew").is_visible() == asks, idle


# ---- what may be done once ----


def once_page(ways):
    return some_trail(ways, lambda page: ways.once_on(page) > 0)


def test_what_was_done_once_is_told_on_and_not_offered_again(tab, host, ways):
    home, _ = host
    trail, page_id = once_page(ways)
    once = ways.once_on(ways.pages[page_id])
    trail = Trail(trail.root, trail.words, begun=minutes(), last=0)
    tab.goto(home + "index.html")
    tab.goto(home + linked(ways, page_id, trail))
    assert not tab.locator("#once").is_visible()
    assert tab.locator(".do").is_visible()
    tab.locator(".answers a[data-d]").first.click()
    assert ways.number_of(ways.read_link(fragment(tab)).done) & once == once
    tab.go_back()
    assert tab.locator("#once").is_visible()
    assert not tab.locator(".do").is_visible()
    assert tab.locator(".answers").is_visible()
    last = tab.locator(".answers a").last
    assert f".{base36(once)}." in last.get_attribute("href")


def back(tab):
    """Go back one page, and wait until it is there: a second step back must not meet the first."""
    with tab.expect_navigation():
        tab.evaluate("() => { setTimeout(() => history.back()); }")


def test_going_back_before_it_or_starting_again_does_not_forget_it(tab, host, ways):
    home, _ = host
    trail, _ = once_page(ways)
    before = trail.words[:-1]
    before_id = ways.follow(Trail(trail.root, before)).page
    tab.goto(home + "index.html")
    tab.goto(home + linked(ways, before_id, Trail(trail.root, before, begun=minutes())))
    tab.locator(f'.answers a[data-a="{trail.words[-1]}"]').first.click()
    while not tab.locator("a[data-d]").count():
        tab.locator(".answers a").first.click()
    tab.locator(".answers a[data-d]").first.click()
    done = ways.read_link(fragment(tab)).done
    assert done
    back(tab)
    back(tab)
    assert ways.read_link(fragment(tab)).done == done
    tab.click("footer >> text=Back to the start")
    tab.click(".answers >> text=The heat does not come on")
    tab.wait_for_load_state()
    started = ways.read_link(fragment(tab))
    assert started.words == ()
    assert started.done == done


# ---- larger text, reading aloud ----


def test_larger_text_holds_from_page_to_page(tab, host):
    home, _ = host
    size = "getComputedStyle(document.querySelector('main p')).fontSize"
    tab.goto(home + "index.html")
    tab.click("#larger")
    assert tab.evaluate(size) == "28px"
    tab.click(".answers >> text=The heat does not come on")
    tab.click(NONE_OF_THESE)
    assert tab.evaluate(size) == "28px"
    assert tab.locator("#larger").get_attribute("aria-pressed") == "true"
    tab.click(".strip")
    assert tab.evaluate(size) == "28px"
    tab.click("#larger")
    assert tab.evaluate(size) == "20px"
    assert "~l" not in tab.url


def test_a_page_is_read_aloud_without_what_is_hidden(browser, host):
    """A stand-in for the voice, which a browser without a screen does not have."""
    home, _ = host
    context = browser.new_context()
    context.add_init_script(
        "self.said = []; speechSynthesis.speak = (it) => self.said.push([it.text, it.lang]);"
    )
    tab = context.new_page()
    tab.goto(home + "no-heat/index.html")
    tab.click("#aloud")
    [[text, language]] = tab.evaluate("said")
    assert language == "en"
    assert "Is any of this true right now?" in text
    assert "None of these" in text
    assert "Time has passed" not in text
    context.close()


# ---- the end of a walk ----


def test_the_end_makes_an_account_that_can_be_copied_and_sent(browser, host, ways):
    home, _ = host
    context = browser.new_context(permissions=["clipboard-read", "clipboard-write"])
    tab = context.new_page()
    tab.set_default_timeout(15_000)
    trail, page_id = some_trail(
        ways, lambda page: page.outcome is not None and page.outcome.kind == "call"
    )
    trail = Trail(trail.root, trail.words, begun=minutes())
    tab.goto(home + linked(ways, page_id, trail))
    tab.wait_for_selector("#brief", state="visible")
    code = tab.locator("#code").inner_text()
    assert ways.read_code(code).words == trail.words
    tab.click("#brief summary")
    tab.fill("#f-name", "Demo Caller")
    tab.click("#copy")
    expect(tab.locator("#handed")).to_have_text("Copied.")
    text = tab.evaluate("navigator.clipboard.readText()")
    assert code in text
    assert "Demo Caller" in text
    assert "Demo" not in tab.url
    for link, scheme in (("#sms", "sms:?body="), ("#mail", "mailto:?subject=")):
        href = tab.locator(link).get_attribute("href")
        assert href.startswith(scheme)
        body = tab.evaluate("link => decodeURIComponent(link.split('body=')[1])", href)
        assert code in body
        assert len(body) < 300
    keys = [key.bounding_box() for key in tab.locator(".keys > :visible").all()]
    for one, other in pairwise(keys):
        below = other["y"] - one["y"] - one["height"]
        assert max(below, other["x"] - one["x"] - one["width"]) >= GAP
    tab.click("p.copy a")
    tab.wait_for_selector("#account h3")
    assert not tab.locator("#by-hand").is_visible()
    assert re.search(r"\[(seen|told)\]", tab.locator("#account").inner_text())
    context.close()


def test_answers_that_fit_no_fault_leave_the_list_of_the_page(tab, host, ways):
    """The nearest way to this ending: nobody with one fault gives these answers together."""
    home, _ = host
    trail, page_id = some_trail(ways, lambda page: page.id == "no-heat-gas/now/unclear")
    trail = Trail(trail.root, trail.words, begun=minutes())
    link = ways.link(trail)
    tab.goto(f"{home}{page_id}.html")
    listed = tab.locator(".causes li").all_inner_texts()
    assert len(listed) > 1
    tab.goto(f"{home}index.html")
    tab.goto(f"{home}{page_id}.technician.html{link}")
    expect(tab.locator("#account")).to_contain_text("These answers do not fit one fault well.")
    assert tab.locator(".ranked").is_visible()
    tab.goto(f"{home}{page_id}.html{link}")
    expect(tab.locator("#code")).not_to_be_empty()
    tab.wait_for_load_state("networkidle")
    assert tab.locator(".causes li").all_inner_texts() == listed


def test_without_a_script_the_form_is_there_to_fill_by_hand(browser, host, ways):
    home, _ = host
    context = browser.new_context(java_script_enabled=False)
    tab = context.new_page()
    _, page_id = some_trail(
        ways, lambda page: page.outcome is not None and page.outcome.kind == "call"
    )
    tab.goto(f"{home}{page_id}.technician.html")
    assert tab.locator("#by-hand").is_visible()
    assert not tab.locator("#brief").is_visible()
    assert not tab.locator(".tools").is_visible()
    context.close()
