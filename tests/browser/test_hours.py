"""The page's opening hours: the same as those of Python, under the policy of a page.

The reference is the IANA time zone database: Python has it through zoneinfo, the browser in a copy
of its own. The zones here have had their laws for years, so that most copies agree on them.
"""

import gzip
import json
from datetime import UTC, datetime, timedelta
from html import escape
from random import Random
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import expect

from stepstop.company.hours import is_open, plain
from stepstop.pages.style import script_of
from stepstop.shipped import folder
from unit.openings import FIRST, LAST, changes, draw, opening_of

SCRIPT = folder("site_overrides") / "stepstop" / "hours.js"

POLICY = (
    "default-src 'none'; script-src '{hash}'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}"><title>Hours</title></head>
<body>{body}<script>{script}</script></body></html>"""

ELEMENT = (
    '<p id="{name}" data-hours="{hours}" data-open="We answer now." data-closed="Closed now.">'
    "Monday, 8 AM to 6 PM. <b data-now></b></p>"
)
OPEN, CLOSED = "We answer now.", "Closed now."

ALL = """weeks => JSON.parse(weeks).map(([hours, times]) =>
  times.map((time) => isOpen(JSON.parse(hours), time)))"""

REFUSED = """([hours, time]) => {
  try { return isOpen(JSON.parse(hours), time); } catch (error) { return error.name; }
}"""

ZONES = {
    "America/Chicago": 4,
    "America/New_York": 4,
    "America/St_Johns": 4,
    "America/Phoenix": 0,
    "Pacific/Honolulu": 0,
    "Pacific/Kiritimati": 0,
    "Pacific/Pago_Pago": 0,
    "Pacific/Chatham": 4,
    "Australia/Lord_Howe": 4,
    "Asia/Kathmandu": 0,
    "Asia/Beirut": 4,
    "Europe/Dublin": 4,
    "UTC": 0,
}
"""Zone -> how often its clocks change in 2026 and 2027."""

WEEKS, ANYWHERE, AT_BORDERS = 25, 30, 60
"""Drawn for each zone; instants drawn for each of these weeks."""
AROUND = [timedelta(minutes=m) for m in (-120, -90, -61, -60, -59, -31, -30, -29, -1, 0)]
AROUND += [-each for each in AROUND[:-1]] + [timedelta(seconds=-1), timedelta(seconds=1)]
"""Steps from the instant at which clocks change."""


def page_at(tmp_path_factory, body):
    script = script_of(SCRIPT.read_text(encoding="utf-8"))
    file = tmp_path_factory.mktemp("hours") / "hours.html"
    policy = POLICY.format(hash=script.hash)
    file.write_text(PAGE.format(policy=policy, body=body, script=script.text), encoding="utf-8")
    return file.as_uri()


def element(name, hours):
    return ELEMENT.format(name=name, hours=escape(hours))


@pytest.fixture(scope="module")
def page(browser, tmp_path_factory):
    """A page that holds the script, and nothing but the hash to let it run."""
    opened = browser.new_page()
    complaints = []
    opened.on("console", lambda message: complaints.append(message.text))
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    opened.goto(page_at(tmp_path_factory, ""))
    yield opened
    opened.close()
    assert complaints == []


@pytest.fixture
def open_at(browser, tmp_path_factory):
    """Opens a page with these elements at this time, on a phone that is far from the company."""
    context = browser.new_context(timezone_id="Asia/Tokyo", locale="ar-EG")
    complaints = []

    def opened_at(time, *elements):
        page = context.new_page()
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.clock.install(time=time - timedelta(minutes=1))
        page.clock.pause_at(time)
        page.goto(page_at(tmp_path_factory, "".join(elements)))
        return page

    yield opened_at
    context.close()
    assert complaints == []


def drawn(zone, rng):
    """Draw hours, and instants to the millisecond: anywhere, at borders of the day and its spans,
    and around each change of clocks."""
    place, turns = ZoneInfo(zone), changes(zone)
    dates = [turn.astimezone(place).date().isoformat() for turn in turns]
    seconds = int((LAST - FIRST).total_seconds())
    for _ in range(WEEKS):
        opening = draw(rng, zone, changed=dates)
        borders = [0, *[s.start for s in opening.spans], *[s.end for s in opening.spans]]
        found = [FIRST + timedelta(seconds=rng.random() * seconds) for _ in range(ANYWHERE)]
        for _ in range(AT_BORDERS):
            day = FIRST + timedelta(days=rng.randrange(seconds // 86400))
            there = day.replace(tzinfo=place, fold=rng.randrange(2))
            step = timedelta(minutes=rng.choice(borders), milliseconds=rng.choice((-1, 0, 1)))
            found.append((there + step).astimezone(UTC))
        found += [turn + step for turn in turns for step in AROUND]
        yield opening, [round(each.timestamp() * 1000) for each in found]


def at(milliseconds):
    """The instant; floats of seconds would round some over a border."""
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=milliseconds)


def test_the_page_says_what_python_says(page):
    rng = Random(7)
    compared, differ, answers = 0, [], {}
    for zone, count in ZONES.items():
        assert len(changes(zone)) == count
        weeks = list(drawn(zone, rng))
        text = json.dumps([[plain(opening), times] for opening, times in weeks])
        for (opening, times), there in zip(weeks, page.evaluate(ALL, text), strict=True):
            here = [is_open(opening, at(time)) for time in times]
            for time, one, other in zip(times, here, there, strict=True):
                compared += 1
                answers.setdefault((zone, one), 0)
                answers[zone, one] += 1
                if one is not other:
                    differ.append((plain(opening), at(time).isoformat(), one, other))
    assert differ == []
    assert compared >= 20_000
    assert min(answers.values()) >= 500
    assert len(answers) == 2 * len(ZONES)


@pytest.mark.parametrize(
    ("hours", "time", "name"),
    [
        ('{"zone":"Nowhere/Atall","spans":[],"closed":[]}', 0, "RangeError"),
        ('{"zone":"","spans":[],"closed":[]}', 0, "RangeError"),
        ('{"spans":[[0,0,1440]],"closed":[]}', 0, "TypeError"),
        ('{"zone":null,"spans":[],"closed":[]}', 0, "TypeError"),
        ('{"zone":"UTC","spans":[[3,0,1440]]}', 0, "TypeError"),
        ('{"zone":"UTC","closed":[]}', 0, "TypeError"),
        ('{"zone":"UTC","spans":[],"closed":[]}', 1e99, "RangeError"),
        ("null", 0, "TypeError"),
        ("", 0, "SyntaxError"),
    ],
)
def test_the_page_tells_nothing_that_it_cannot_work_out(page, hours, time, name):
    assert page.evaluate(REFUSED, [hours, time]) == name


DAY_SHIFT = opening_of("America/Chicago", (0, 480, 1080))
SIX = datetime(2026, 6, 1, 23, tzinfo=UTC)
"""6 PM of a Monday in Chicago, five hours behind UTC in summer."""


def test_an_open_page_turns_closed_by_itself_within_half_a_minute(open_at):
    page = open_at(SIX - timedelta(seconds=45), element("a", plain(DAY_SHIFT)))
    now = page.locator("#a [data-now]")
    expect(now).to_have_text(OPEN)
    page.clock.run_for(30_000)
    expect(now).to_have_text(OPEN)
    page.clock.run_for(30_000)
    expect(now).to_have_text(CLOSED)
    expect(page.locator("#a")).to_contain_text("Monday, 8 AM to 6 PM.")


def test_a_page_left_closed_opens_in_the_morning(open_at):
    page = open_at(SIX - timedelta(hours=10, seconds=20), element("a", plain(DAY_SHIFT)))
    expect(page.locator("#a [data-now]")).to_have_text(CLOSED)
    page.clock.run_for(30_000)
    expect(page.locator("#a [data-now]")).to_have_text(OPEN)


@pytest.mark.parametrize(
    "comes_back",
    [
        "dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))",
        "document.dispatchEvent(new Event('visibilitychange'))",
    ],
)
def test_a_page_that_slept_tells_the_time_when_it_is_seen_again(open_at, comes_back):
    page = open_at(SIX - timedelta(minutes=5), element("a", plain(DAY_SHIFT)))
    now = page.locator("#a [data-now]")
    page.clock.set_fixed_time(SIX + timedelta(hours=3))
    assert page.evaluate("document.querySelector('#a [data-now]').textContent") == OPEN
    page.evaluate(comes_back)
    expect(now).to_have_text(CLOSED)


def test_what_cannot_be_told_stays_empty_and_spoils_nothing_else(open_at):
    page = open_at(
        SIX - timedelta(hours=1),
        element("broken", "{"),
        element("nowhere", '{"zone":"Nowhere/Atall","spans":[[0,0,1440]],"closed":[]}'),
        element("here", '{"spans":[[0,0,1440],[1,0,1440]],"closed":[]}'),
        "<p data-hours='{}'>No place to say it.</p>",
        element("known", plain(DAY_SHIFT)),
    )
    expect(page.locator("#known [data-now]")).to_have_text(OPEN)
    for name in ("broken", "nowhere", "here"):
        expect(page.locator(f"#{name} [data-now]")).to_be_empty()


@pytest.mark.parametrize(
    "loses", ["removeAttribute('data-hours')", "removeAttribute('data-open')", "dataset.hours = 1"]
)
def test_what_was_told_is_taken_back_when_it_cannot_be_told_any_more(open_at, loses):
    inside = f"<div data-hours>{element('a', plain(DAY_SHIFT))}</div>"
    page = open_at(SIX - timedelta(hours=1), inside)
    expect(page.locator("#a [data-now]")).to_have_text(OPEN)
    page.evaluate(f"void (document.querySelector('#a').{loses})")
    page.clock.run_for(30_000)
    expect(page.locator("#a [data-now]")).to_be_empty()


def test_an_equal_text_is_not_set_anew(open_at):
    page = open_at(SIX - timedelta(hours=1), element("a", plain(DAY_SHIFT)))
    page.evaluate("""() => {
      const now = document.querySelector('#a [data-now]');
      self.turns = 0;
      new MutationObserver((found) => { turns += found.length; }).observe(now, { childList: true });
    }""")
    page.clock.run_for(120_000)
    assert page.evaluate("turns") == 0
    page.clock.run_for(3_600_000)
    assert page.evaluate("turns") == 1


def test_the_script_is_small():
    script = script_of(SCRIPT.read_text(encoding="utf-8")).text
    assert len(gzip.compress(script.encode(), 9, mtime=0)) <= 800
