"""The pages about waiting and the control circuit in a browser: the same arithmetic, any input."""

import json
from math import inf

import pytest

from browser.test_trail import some_trail, tab, ways
from stepstop.pages import control as control_page
from stepstop.pages import waiting
from stepstop.pages.address import CONTROL, WAITING
from stepstop.trail import URGENCY_WORDS, Trail
from stepstop.waiting import control, cooling, heat, urgency
from stepstop.waiting.cooling import MEASURED, Outdoors, Span

__all__ = ["tab", "ways"]
"""Fixtures of the tests of trails."""


@pytest.fixture
def cold(tab, sites):
    tab.goto(sites["real"].url(WAITING["cold"]))
    tab.wait_for_selector("#own:not([hidden])")
    return tab


@pytest.fixture
def hot(tab, sites):
    tab.goto(sites["real"].url(WAITING["hot"]))
    tab.wait_for_selector("#own:not([hidden])")
    return tab


def reckoned(tab, **fields):
    """Fill in fields, and what comes of it as lines."""
    for name, value in fields.items():
        if value is True:
            tab.select_option(f"#{name}", "yes")
        else:
            tab.fill(f"#{name}", value)
    tab.click("#go")
    return [line for line in tab.locator("#result").inner_text().split("\n") if line]


def same(tab, name, cases, wanted):
    """The page's function of this name gives what Python gives, for every case."""
    expression = f"(cases) => JSON.stringify(cases.map((each) => reckoning.{name}(...each)), big)"
    big = "const big = (key, value) => value === Infinity ? 1e300 : value; return "
    found = json.loads(tab.evaluate(f"(cases) => {{ {big} ({expression})(cases); }}", cases))
    assert len(found) == len(cases) > 0

    def flat(values):
        for value in values:
            yield from value if isinstance(value, list | tuple) else [value]

    ours = [1e300 if value == inf else value for value in flat(wanted)]
    assert list(flat(found)) == pytest.approx(ours, rel=1e-9, abs=1e-9)


# ---- the same arithmetic ----


def test_houses_cool_down_alike(cold):
    nights = [(30, 30, 0), (40, 10, 8), (18, -5, 3), (70, 60, 10), (-20, -20, 0), (75, 75, 0)]
    cases = [
        (time, start, {"now": now, "low": low, "hours": hours}, constant)
        for time in (0, 0.1, 2, 7.3, 24)
        for start in (45, 62, 70)
        for now, low, hours in nights
        for constant in (8, 15, 55, 200)
    ]

    def ours(first, case):
        _, start, out, constant = case
        return first, start, Outdoors(out["now"], out["low"], out["hours"]), constant

    same(cold, "indoors", cases, [cooling.indoors(*ours(case[0], case)) for case in cases])
    lines = [(line, *case[1:]) for case in cases[::5] for line in (68, 64.4, 55, 32)]
    same(cold, "hoursUntil", lines, [cooling.hours_until(*ours(line[0], line)) for line in lines])


def test_time_constants_are_alike(cold):
    houses = [
        (build, insulation, area, stories)
        for build in cooling.CAPACITY
        for insulation in cooling.ENVELOPE
        for area in (40, 150, 420)
        for stories in (1, 2, 3)
    ]
    same(cold, "reckoned", houses, [cooling.reckoned(*each) for each in houses])
    readings = [
        (first, second, hours, out, display)
        for first in (70, 65)
        for second in (64, 60, 69, 50)
        for hours in (1, 3, 9)
        for out in (-10, 30, 62)
        for display in (1, 1.8)
    ]
    told = []
    for each in readings:
        try:
            span = cooling.measured(*each)
            told.append([span.least, span.most])
        except cooling.TooLittle as error:
            told.append(str(error))
    found = cold.evaluate("(all) => all.map((each) => reckoning.measured(...each))", readings)
    for one, other in zip(found, told, strict=True):
        assert one == (other if isinstance(other, str) else pytest.approx(other))
    assert {each for each in told if isinstance(each, str)} == {"wait", "outdoors", "no-drop"}
    assert sum(isinstance(each, list) for each in told) > 40


def test_the_heat_index_and_urgencies_are_alike(hot):
    cells = [(t, r) for t in range(60, 121) for r in range(0, 101, 4)]
    same(hot, "heatIndex", cells, [heat.heat_index(*cell) for cell in cells])
    for at_risk in (True, False):
        for index in (79, 89.9, 90, 102.9, 103, 130):
            wanted = urgency.hot(index, at_risk)
            assert hot.evaluate("(each) => reckoning.hot(...each)", [index, at_risk]) == wanted
        for inside in (50, 59.9, 60, 64.9, 65, 70):
            for least in (0, 12, 12.1, 24, 24.1):
                wanted = urgency.cold(inside, at_risk, Span(least, 99))
                given = [inside, at_risk, [least, 99]]
                assert hot.evaluate("(each) => reckoning.cold(...each)", given) == wanted


def test_the_control_circuit_is_alike(tab, sites):
    tab.goto(sites["real"].url(CONTROL))
    runs = [(g, f, c) for g in control.GAUGES for f in (0, 50, 100, 333) for c in (-20, 20, 75)]
    same(tab, "loop", runs, [control.loop(*run) for run in runs])
    coils = [(va, *run) for va in (2, 10, 20) for run in runs]
    wanted = [control.at_coil(*coil) for coil in coils]
    same(tab, "atCoil", coils, [(each.amperes, each.volts) for each in wanted])
    shorts = [(va, e, *run) for va in (20, 40, 75) for e in (0.05, 0.1, 0.3) for run in runs]
    same(tab, "shortCircuit", shorts, [control.short_circuit(*each) for each in shorts])
    fuses = [(a, r) for a in (1, 3.2, 3.4, 4, 5, 6, 9, 12, 18, 40, 200) for r in (1, 3, 5)]
    wanted = [control.opens(*fuse) for fuse in fuses]
    same(tab, "opens", fuses, [(each.least, each.most) for each in wanted])


# ---- a cold house ----


def test_the_page_says_what_the_tables_say(cold):
    for room, out in (("70", "20"), ("62", "-10"), ("58", "45"), ("70", "90")):
        lines = reckoned(cold, room=room, out=out)
        for at, label in ((68, "68 °F (20 °C)"), (64.4, "64.4 °F (18 °C)"), (55, "55 °F (13 °C)")):
            each = (cooling.hours_until(at, float(room), Outdoors(float(out)), c) for c in MEASURED)
            wanted = waiting.hours(Span(*each))
            assert any(line.startswith(f"{label}: {wanted}. ") for line in lines), (label, lines)


def points(path):
    """The points of a path."""
    return [tuple(map(float, point.split())) for point in path.strip("MZ").split("L")]


def test_the_plot_of_the_build_is_the_one_that_the_page_draws(cold):
    built = cold.locator("#band").get_attribute("d")
    heights = cold.locator("#marks").inner_html()
    reckoned(cold, room="70", out="20")
    drawn = cold.locator("#band").get_attribute("d")
    for one, other in zip(points(drawn), points(built), strict=True):
        assert one == pytest.approx(other, abs=0.11)  # They round a half differently.
    texts = (
        "[...document.querySelectorAll('#marks text')]"
        ".map((each) => [each.textContent, each.getAttribute('y')])"
    )
    assert len(cold.evaluate(texts)) == heights.count("<text") == 4
    for text, y in cold.evaluate(texts):
        assert f'y="{y}"' in heights, text
    reckoned(cold, room="70", out="-20")
    assert cold.locator("#band").get_attribute("d") != drawn


def test_a_worried_persons_numbers_make_it_tonight(cold):
    lines = reckoned(cold, room="62", out="18", low="5", risk=True)
    assert lines[0].startswith("How soon: tonight. Call now")
    assert lines[1] == "Say so when you call."
    assert "As most houses do:" in lines
    assert any(line.startswith("Pipes can freeze tonight.") for line in lines)


def test_a_mild_evening_raises_nothing_and_promises_nothing(cold):
    lines = reckoned(cold, room="70", out="62")
    assert not any("How soon" in line or line.startswith("Pipes can") for line in lines)
    assert lines[-1].startswith("A reckoning, not a promise.")


def test_two_readings_narrow_the_span(cold):
    cold.click("summary:has-text('Know more')")
    wide = reckoned(cold, room="64", out="20")
    narrow = reckoned(cold, earlier="70", ago="4")
    assert "As most houses do:" in wide
    assert "By your two readings:" in narrow
    assert narrow != wide
    assert any("Too early to tell" in line for line in reckoned(cold, earlier="66", ago="2"))


def test_a_house_that_is_told_of_narrows_it_too(cold):
    cold.click("summary:has-text('Know more')")
    cold.select_option("#build", "light")
    assert "By what you told of the house:" in reckoned(cold, room="64", out="20", area="1600")


WRONG = {
    "": "This number is needed.",
    "cold": "Write a number, like 62.",
    "6x2": "Write a number, like 62.",
    "1e5": "Write a number, like 62.",
    "--5": "Write a number, like 62.",
    "200": "A room has from 0 to 120 °F",
    "-40": "A room has from 0 to 120 °F",
    "999999": "A room has from 0 to 120 °F",
    "\u06f6\u06f2": "Write a number, like 62.",
}
"""What is typed for a room -> what is said of it."""


def test_what_is_no_temperature_of_a_room_is_told_plainly(cold):
    for typed, says in WRONG.items():
        assert reckoned(cold, room=typed, out="20") == [], typed
        assert says in cold.locator("#room-wrong").inner_text(), typed
        assert cold.locator("#room").get_attribute("aria-invalid") == "true"
        assert cold.evaluate("document.activeElement.id") == "room"
        assert reckoned(cold, room="62")
        assert cold.locator("#room-wrong").inner_text() == ""


def test_numbers_as_people_write_them_are_read(cold):
    for typed in ("0", "-40", "\u221240", " 62 ", "62°", "62.5", "62,5", "62 F", "120"):
        name = "out" if typed.strip()[0] in "-\u22120" else "room"
        assert reckoned(cold, **{"room": "62", "out": "20", name: typed}), typed


def test_zero_in_the_room_and_forty_below_outdoors_are_reckoned(cold):
    lines = reckoned(cold, room="0", out="-40")
    assert sum("it is so now" in line for line in lines) == 4
    assert lines[0].startswith("How soon: tonight")


def test_celsius_is_reckoned_alike(cold):
    fahrenheit = reckoned(cold, room="68", out="23")
    cold.select_option("#unit", "C")
    celsius = reckoned(cold, room="20", out="-5")
    assert len(fahrenheit) == len(celsius)
    assert any(line.startswith("13 °C (55 °F): ") for line in celsius)
    assert [line.split(": ")[1] for line in celsius if "(55 °F): " in line] == [
        line.split(": ")[1] for line in fahrenheit if line.startswith("55 °F")
    ]


def test_warm_outdoors_says_that_nothing_cools_down(cold):
    assert any("does not cool down" in line for line in reckoned(cold, room="60", out="70"))


# ---- a hot house ----


def test_a_hot_room_is_told_by_how_it_feels(hot):
    lines = reckoned(hot, room="91", risk=True)
    assert lines[0].startswith("How soon: tonight.")
    assert f"It feels like {round(heat.heat_index(91, 70))} °F" in "".join(lines)
    assert any("no fan on anyone" in line for line in lines)
    dry = reckoned(hot, room="88", humidity="20")
    assert not any("fan" in line for line in dry)


def test_the_worst_heat_says_to_leave(hot):
    lines = reckoned(hot, room="110", humidity="80")
    assert "Go to a cool place now." in lines
    assert "125 °F (52 °C) or more" in "".join(lines)


def test_humidity_beyond_all_is_refused(hot):
    assert reckoned(hot, room="90", humidity="101") == []
    assert hot.locator("#humidity-wrong").inner_text() == "From 0 to 100 %."


# ---- urgency goes back to the end of the walk ----


def test_somebody_who_must_not_wait_goes_back_to_an_end_that_says_so(tab, sites, ways):
    calm, raised = URGENCY_WORDS[False], URGENCY_WORDS[True]
    trail, page_id = some_trail(
        ways,
        lambda page: (
            page.tree == "no-heat-gas"
            and page.outcome
            and page.outcome.kind == "call"
            and not page.mode.hurry
        ),
    )
    assert calm in trail.words
    begun = Trail(trail.root, trail.words, begun=29_000_000, last=0)
    tab.goto(sites["real"].url(f"{page_id}.html{ways.link(begun)}"))
    tab.click("a:has-text('how long can we wait')")
    tab.wait_for_selector("#return:not([hidden])")
    reckoned(tab, room="61", out="10", risk=True)
    tab.click("a:has-text('somebody must come tonight')")
    tab.wait_for_selector(".soon")
    read = ways.read_link("#" + tab.url.partition("#")[2])
    assert read.words == tuple(raised if word == calm else word for word in trail.words)
    assert ways.pages[ways.follow(read).page].mode.hurry
    assert "How soon: tonight" in tab.locator(".soon").inner_text()


def test_it_leads_back_to_where_somebody_was(tab, sites, ways):
    trail, page_id = some_trail(ways, lambda page: page.outcome and page.outcome.kind == "call")
    tab.goto(sites["real"].url(f"{page_id}.html{ways.link(trail)}"))
    tab.click("a:has-text('how long can we wait')")
    tab.click("#return a")
    assert tab.url.partition("#")[0] == sites["real"].url(f"{page_id}.html")


def test_without_a_walk_nothing_leads_back(cold):
    reckoned(cold, room="61", out="10", risk=True)
    assert cold.locator("#return").is_hidden()
    assert cold.locator("#result a").count() == 0


# ---- technicians ----


def test_a_technicians_figures_are_told(tab, sites):
    tab.goto(sites["real"].url(CONTROL))
    assert "22 VA together: 0.92 A, 55 % of the rating, 18 VA left." in tab.inner_text(
        "#load-result"
    )
    tab.fill("#loads", "30 + 15")
    assert "5 VA too much." in tab.inner_text("#load-result")
    amperes = control.short_circuit(40, 0.1, 18, 100)
    tab.fill("#short-feet", "100")
    span = control.opens(amperes, 3)
    wanted = f"{amperes:.2f} A. The fuse opens in {control_page.seconds(span)}."
    assert tab.inner_text("#short-result") == wanted
    for field, typed in (
        ("short-fuse", "x"),
        ("short-fuse", "0"),
        ("short-fuse", "-3"),
        ("loads", ""),
    ):
        tab.fill(f"#{field}", typed)
        assert tab.inner_text(f"#{field}-wrong")
        assert tab.locator(f"#{field}").get_attribute("aria-invalid") == "true"


# ---- without a script ----


@pytest.mark.parametrize("file", [*WAITING.values(), CONTROL])
def test_without_a_script_the_tables_stand_there(browser, sites, file):
    context = browser.new_context(java_script_enabled=False)
    tab = context.new_page()
    tab.goto(sites["real"].url(file))
    for summary in tab.locator("main summary:visible").all():
        summary.click()
    assert tab.locator("table").first.is_visible()
    assert tab.locator("input:visible, button:visible, select:visible").count() <= 2
    context.close()
