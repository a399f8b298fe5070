"""Tapping along with a light in the page: by finger, by key, started over, without a script."""

import pytest

ON, OFF, PAUSE = 300, 300, 2500
"""Demo timings of a light, in ms."""


@pytest.fixture
def page(browser, sites):
    """The counter in a browser whose clock goes only where a test sends it."""
    opened = browser.new_page(viewport={"width": 360, "height": 740})
    opened.clock.install(time=0)
    opened.clock.pause_at(1000)
    complaints = []
    opened.on("console", lambda message: complaints.append(message.text))
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    opened.goto(sites["real"].url("blinking-light/light.blinking.count.html"))
    opened.get_by_role("link", name="Count it by tapping along").click()
    yield opened
    assert complaints == []
    opened.close()


def tap(page, on=ON, off=OFF):
    page.locator("#pad").hover()
    page.mouse.down()
    page.clock.run_for(on)
    page.mouse.up()
    page.clock.run_for(off)


def group(page, ons):
    for number, on in enumerate(ons, 1):
        tap(page, on, PAUSE if number == len(ons) else OFF)


def shown(page):
    return page.locator("#count").inner_text()


@pytest.mark.parametrize(
    ("ons", "words"),
    [
        ([ON] * 3, "3 blinks"),
        ([ON], "1 blink"),
        ([1200, 1200, ON], "Long, long, short"),
    ],
    ids=str,
)
def test_what_is_tapped_is_said_in_large_type(page, ons, words):
    for _ in range(6):
        group(page, ons)
    assert shown(page) == words
    assert "Two rounds agree" in page.locator("#then").inner_text()
    size = "e => parseFloat(getComputedStyle(e).fontSize)"
    assert page.locator("#count").evaluate(size) >= 40


def test_two_groups_are_said_in_turn(page):
    for _ in range(5):
        for on in (ON, ON):
            tap(page, on, OFF)
        page.clock.run_for(1000)
        group(page, [ON] * 4)
        page.clock.run_for(1800)
    assert shown(page) == "First 2, then 4"


def test_nothing_is_said_before_two_rounds_agree(page):
    group(page, [ON] * 3)
    assert shown(page) == ""
    assert "Go on" in page.locator("#then").inner_text()


def test_keys_do_what_fingers_do(page):
    page.locator("#pad").focus()
    for _ in range(5):
        for key in (" ", "Enter"):
            page.keyboard.down(key)
            page.keyboard.down(key)
            page.clock.run_for(ON)
            page.keyboard.up(key)
            page.clock.run_for(OFF)
        page.clock.run_for(PAUSE)
    assert shown(page) == "2 blinks"


def test_it_can_be_started_over(page):
    for _ in range(5):
        group(page, [ON] * 3)
    page.get_by_role("button", name="Start over").click()
    assert shown(page) == ""
    assert page.evaluate("document.activeElement.id") == "pad"
    for _ in range(5):
        group(page, [ON] * 2)
    assert shown(page) == "2 blinks"


def test_rounds_that_never_agree_end_with_a_video(page):
    for number in (2, 5, 3, 6, 4, 7, 2, 6):
        group(page, [ON] * number)
    assert shown(page).startswith("Not certain")
    page.clock.run_for(180_000)
    assert "video" in page.locator("#then").inner_text()


def test_it_is_said_aloud(page):
    page.evaluate("() => { speechSynthesis.speak = (said) => { window.spoken = said.text; }; }")
    button = page.locator("#say")
    assert not button.is_visible()
    for _ in range(6):
        group(page, [ON] * 3)
    button.click()
    assert page.evaluate("window.spoken").startswith("3 blinks. Two rounds agree")


def test_back_leads_to_the_question(page):
    page.get_by_role("button", name="Back to the question").click()
    page.wait_for_url("**/light.blinking.count.html*")


def test_without_a_script_it_tells_how_to_count_by_eye(sites, tab):
    tab.goto(sites["real"].url("blink-counter.html"))
    assert not tab.locator("#pad").is_visible()
    assert tab.get_by_text("Count three times. Two counts must be the same.").is_visible()


def test_it_stands_only_where_a_question_is_answered_by_it(sites):
    assert "blink-counter.html" not in sites["small"].files
    linked = [name for name, page in sites["real"].files.items() if b"blink-counter" in page]
    assert linked
    for name in linked:
        finding = sites["real"].course.pages[name.removesuffix(".html")].finding
        assert finding.startswith("light-")
