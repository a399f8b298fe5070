"""Likely causes on the ends of walks, and the page that tells how the edition was rehearsed."""

import gzip
import re
from dataclasses import replace

import pytest
from bs4 import BeautifulSoup

from browser.sites import (
    course_of,
    laid_out,
    made_up,
    made_up_model,
    read_texts,
    rehearse,
    site_of,
    small_library,
    write_texts,
)
from stepstop.edition import edition_for
from stepstop.pages import plots
from stepstop.pages.rehearsed import percent
from stepstop.rehearsed import FILE, Pointed, Worst

ELSE = "It may also be something that is not on this list."
PAGE = "rehearsed.html"
PARTS = (
    "capacitor|contactor|relay|igniter|ignitor|transformer|circuit board|fuse|solenoid|"
    "thermocouple|pressure switch|limit switch|rollout|flame sensor|inducer|compressor|"
    "reversing valve|gas valve|sequencer|float switch|element"
)


def soup_of(content):
    return BeautifulSoup(content, "html.parser")


@pytest.fixture(scope="module")
def files(small):
    return site_of(small)


@pytest.fixture(scope="module")
def page(files):
    return soup_of(files[PAGE])


@pytest.fixture
def stale(tmp_path):
    """A rehearsed library whose trees were changed after it, and an unrehearsed one like it."""
    found = []
    for name in ("stale", "never"):
        trees = small_library(tmp_path / name)
        if name == "stale":
            rehearse(trees)
        data = read_texts(trees / "complaints/hot.yml")
        data["outcomes"]["quiet"]["urgency"] = "today"
        write_texts(data, trees / "complaints/hot.yml")
        found.append(trees)
    return found


def causes(files, name):
    return [li.get_text() for li in soup_of(files[name]).select(".causes li")]


# ---- the ends of walks ----


def test_an_outcome_says_in_words_what_is_likely_and_that_it_may_be_something_else(files):
    for name in ("cold/call.html", "hot/quiet.html", "hot/now/quiet.html", "cold/back.html"):
        assert causes(files, name) == [
            "Very likely: The furnace's own control may not answer.",
            "Likely: The furnace may have no power for its controls.",
            ELSE,
        ]


def test_stop_and_call_is_led_to_from_everywhere_so_no_answers_rank_its_causes(files):
    for name in ("endings/stop-and-call.html", "endings/now/stop-and-call.html"):
        assert causes(files, name) == [
            "The furnace may have no power for its controls.",
            "The furnace's own control may not answer.",
            ELSE,
        ]


def test_solved_and_danger_pages_show_no_causes_of_a_rehearsal(tmp_path):
    trees = small_library(tmp_path)
    ends = {f"{p.tree}/{p.outcome.id}" for p in laid_out(trees).pages.values() if p.outcome}
    everywhere = dict.fromkeys(ends, (Pointed("board", 0.9, (), ()),))
    files = site_of(rehearse(trees, likely=everywhere))
    assert causes(files, "cold/works.html") == []
    assert causes(files, "danger-screen/gas.html") == []
    assert len(causes(files, "cold/back.html")) == 2


def test_every_word_is_used_and_nothing_is_ever_certain(tmp_path):
    chances = {1.0: "Very likely", 0.5: "Very likely", 0.499: "Likely", 0.1: "Possible"}
    for number, (chance, word) in enumerate(chances.items()):
        trees = small_library(tmp_path / str(number))
        shown = {"cold/call": (Pointed("board", chance, (), ()),)}
        lines = causes(site_of(rehearse(trees, likely=shown)), "cold/call.html")
        assert lines == [f"{word}: The furnace's own control may not answer.", ELSE]


def test_homeowners_see_no_number_and_no_part_among_the_causes(built):
    seen = 0
    for page in built.course.pages.values():
        if page.outcome and page.outcome.kind in ("call", "watch", "solved"):
            section = built.soups[f"{page.id}.html"].select_one(".causes")
            text = section.get_text(" ") if section else ""
            assert not re.search(r"\d|%", text), page.id
            assert not re.search(rf"\b({PARTS})s?\b", text, re.IGNORECASE), page.id
            assert not re.search(r"\b(certain|certainly|definitely|surely)\b", text), page.id
            assert section is None or section.select("li")[-1].get_text() == ELSE, page.id
            seen += section is not None
    assert seen >= 4


def test_no_cause_that_could_be_shown_has_a_part_or_a_number_in_plain_words(built):
    for cause in built.course.library.catalogue.causes.values():
        assert not re.search(rf"\d|%|\b({PARTS})s?\b", cause.plain, re.IGNORECASE), cause.id
    assert re.search(rf"\b({PARTS})s?\b", "Two capacitors", re.IGNORECASE)


def test_the_technicians_copy_says_what_speaks_for_and_against(files):
    copy = soup_of(files["cold/call.technician.html"]).select_one(".ranked")
    first, second = copy.select("li")
    text = first.get_text(" ")
    assert first.b.get_text() == "control board"
    assert "(very likely here; judged occasional)" in text
    assert "For it: heat after the check: no heat; smell of gas: no smell." in text
    assert "Against it: water at the unit: a puddle away from wires." in text
    assert "Before swapping parts: Was water or a surge there?" in text
    assert "Bring: a demo part, a demo meter." in text
    assert "(likely here; judged common)" in second.get_text(" ")
    assert "For it" not in second.get_text()
    assert "Against it: heat after the check: heat comes." in second.get_text(" ")
    assert ELSE in copy.get_text()
    assert "simulated calls with these answers, not by field results" in copy.get_text()


def test_after_a_change_the_trees_own_causes_are_shown_and_no_word_of_a_chance(stale):
    after, never = (site_of(trees) for trees in stale)
    assert causes(after, "cold/call.html") == [
        "The furnace may have no power for its controls.",
        "The furnace's own control may not answer.",
        ELSE,
    ]
    assert causes(after, "cold/back.html") == []
    copy = soup_of(after["cold/call.technician.html"]).select_one(".ranked").get_text(" ")
    assert "simulated" not in copy
    assert not re.search(r"For it|Against it|likely here", copy)
    assert "(common)" in copy
    assert after == never


def test_a_damaged_file_changes_no_page_and_ends_no_build(stale):
    _, never = stale
    clean = site_of(never)
    (never / FILE).parent.mkdir()
    (never / FILE).write_text("{")
    assert site_of(never) == clean


# ---- the page ----


def test_the_page_says_first_that_nothing_is_from_the_field(page):
    assert page.h1.get_text() == "How this edition was rehearsed"
    assert page.select_one("h1 + p").get_text() == "Simulated, not field results."
    assert "1,234 cases" in page.main.get_text()
    assert page.find("meta", attrs={"name": "robots"})["content"] == "noindex"


def test_the_page_is_linked_from_the_foot_of_the_start_page_and_from_no_question(files):
    links = [a for a in soup_of(files["index.html"]).select("footer a") if a["href"] == PAGE]
    assert [a.get_text() for a in links] == ["How this edition was rehearsed"]
    others = {n for n, content in files.items() if f'href="{PAGE}"'.encode() in content}
    assert others == {"index.html"}


def rows(page, caption):
    table = next(t for t in page.find_all("table") if t.caption.get_text() == caption)
    return [
        [c.get_text() for c in row.find_all(["th", "td"])] for row in table.tbody.find_all("tr")
    ]


def test_bars_are_shown_with_what_was_wanted_and_whether_they_are_met(page):
    assert rows(page, "Callers who tell what is so")[:3] == [
        ["outcome kind and urgency right", "96.5%", "at least 98%", "missed"],
        ["pages, half of calls", "12 pages", "at most 14 pages", "met"],
        ["mendable: the house works", "none", "at least 97%", "nothing to measure"],
    ]


def test_tables_have_complaints_hazards_halves_and_other_worlds(page):
    assert rows(page, "By complaint")[0] == [
        "The heat is out",
        "50.0%",
        "87.6%",
        "87.6%",
        "70.0%",
        "none",
    ]
    assert rows(page, "Calls of 100,000") == [
        ["carbon monoxide", "0", "39.7", "0", "39.7"],
        ["leaking refrigerant", "1,234.5", "under 0.1", "1,234.5", "under 0.1"],
    ]
    halves = next(t for t in page.find_all("table") if "Held out" in t.thead.get_text())
    assert [td.get_text() for td in halves.tbody.tr.find_all(["th", "td"])] == [
        "outcome right",
        "90.0%",
        "91.0%",
        "89.0%",
    ]
    worlds = rows(page, "The same bars in other worlds")
    assert worlds[0] == ["outcome kind and urgency right", "96.5%", *["same"] * 5]
    assert worlds[3] == ["outcome kind and urgency right", *["96.5%"] * 6]


def test_each_cell_has_the_head_of_its_column_for_narrow_screens(page):
    for table in page.find_all("table"):
        heads = [th.get_text() for th in table.thead.find_all("th")]
        for row in table.tbody.find_all("tr"):
            assert [td["data-label"] for td in row.find_all("td")] == heads[1:]
            assert row.th["scope"] == "row"


def test_the_worst_causes_have_their_walk_and_groups_their_names(page):
    first, second = page.select(".worst li")
    assert "control board: right 75.0%." in first.get_text()
    assert "25.0% of its calls (fit and at home): cold > ready (no) → call." in first.get_text()
    assert second.get_text(strip=True) == "no control power: right 90.0%."
    assert "control board; no control power" in [
        li.get_text() for li in page.select("main > ul li")
    ]
    assert "What these look like was written down, not computed: control board." in page.get_text()


def test_plots_are_drawn_with_their_words(page):
    columns, bars = page.select(".plot svg")
    assert columns["role"] == bars["role"] == "img"
    assert columns.title.get_text() == "Pages of a walk that ends without danger"
    assert "from 3 to 11 pages; the most, 50 of 100, have 4" in columns.desc.get_text()
    assert len(columns.select("rect")) == 3
    assert bars.desc.get_text() == "The heat is out: 87.6%; A hot house: 87.6%."
    assert [float(r["width"]) for r in bars.select("rect")] == [227.9, 227.9]


def test_heights_and_widths_of_a_plot_are_the_shares():
    plot = plots.columns("a", "A", "B", {2: 0.2, 3: 0.8, 12: 0.0})
    low, high = plot.boxes
    assert high.height == pytest.approx(4 * low.height)
    assert low.y + low.height == pytest.approx(high.y + high.height)
    assert [each.text for each in plot.letters] == ["5", "10", "80 of 100 walks"]
    for box in plot.boxes:
        assert 0.0 <= box.x <= box.x + box.width <= plot.width
        assert 0.0 <= box.y <= box.y + box.height <= plot.height
    one = plots.bars("b", "A", "B", [("x", 0.25, "25%"), ("y", 1.0, "100%")])
    assert [box.width for box in one.boxes] == [65.0, 260.0]
    words = one.letters[3]
    assert words.text == "100%"
    assert words.x - 10.0 * len(words.text) > one.boxes[1].width


@pytest.mark.parametrize("top", [2, 7, 12])
def test_the_letters_above_the_highest_column_are_never_cut_off(top):
    plot = plots.columns("a", "A", "B", {**dict.fromkeys(range(2, 13), 0.05), top: 0.5})
    above = plot.letters[-1]
    assert above.anchor == {2: "start", 7: "middle", 12: "end"}[top]
    wide = 8.0 * len(above.text)
    begins = above.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[above.anchor] * wide
    assert 0.0 <= begins <= begins + wide <= plot.width


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.0, "0%"),
        (1.0, "100%"),
        (0.97581, "97.6%"),
        (0.0007, "0.07%"),
        (0.9996, "99.96%"),
        (0.00001, "under 0.01%"),
        (0.99999, "over 99.99%"),
        (None, "none"),
    ],
)
def test_a_share_is_rounded_and_never_to_all_or_nothing(share, text):
    assert percent(share) == text


def test_stale_figures_are_not_shown_and_the_page_says_how_they_are_made(stale):
    for trees in stale:
        page = soup_of(site_of(trees)[PAGE])
        text = page.main.get_text(" ")
        assert "The trees have changed since the last rehearsal" in text
        assert page.select_one("code").get_text() == "stepstop rehearse --write"
        assert "Simulated, not field results." in text
        assert not re.search(r"\d", text)
        assert not page.select("table, svg")


def test_a_perfect_rehearsal_has_no_worst_causes(tmp_path):
    trees = small_library(tmp_path)
    figures = made_up(laid_out(trees)).figures
    perfect = {name: replace(model, worst=(), pages={}) for name, model in figures.models.items()}
    rehearse(trees, figures=replace(figures, models=perfect, alike=(), declared=(), variations={}))
    page = soup_of(site_of(trees)[PAGE])
    assert page.select(".worst") == []
    assert len(page.select(".plot svg")) == 1
    assert "tell apart" not in page.get_text()


def test_a_long_page_still_comes_in_one_round_trip(tmp_path):
    """As many rows as the shipped trees give; each text another, as in earnest."""
    trees = small_library(tmp_path)
    figures = made_up(laid_out(trees)).figures
    model = made_up_model(["cold", "hot"])
    labels = tuple(f"cold > step-{n * 7919 % 1000}.part (value-{n})" for n in range(17))
    trail = replace(model.worst[0].trail, pages=labels)
    worst = tuple(Worst("board", n / 10, trail) for n in range(10))
    bars = tuple(replace(model.bars[0], name=f"bar {n}", value=n / 13) for n in range(9))
    long = replace(model, worst=worst, bars=bars)
    models = {**figures.models, "accurate": long}
    rehearse(trees, figures=replace(figures, models=models))
    assert len(gzip.compress(site_of(trees)[PAGE], 9, mtime=0)) < 11_700


# ---- an edition without the page ----


def test_an_edition_may_leave_the_page_out(small):
    told, silent = site_of(small), site_of(small, rehearsal_page=False)
    assert told.keys() - silent.keys() == {PAGE}
    assert not [name for name, content in silent.items() if PAGE.encode() in content]
    assert causes(silent, "cold/call.html") == causes(told, "cold/call.html")


def test_the_hash_of_an_edition_is_over_what_it_takes_of_a_rehearsal(small, tmp_path):
    plain = small_library(tmp_path)
    course = course_of(small)

    def hash_of(trees, **options):
        return edition_for(course, trees, environ={}, **options).hash

    seen = {hash_of(small), hash_of(small, rehearsal_page=False), hash_of(plain)}
    assert len(seen) == 3
    (plain / FILE).parent.mkdir()
    (plain / FILE).write_text("stale")
    assert hash_of(plain) in seen
    rehearse(plain, likely={})
    assert hash_of(plain) not in seen


# ---- texts from the file ----

HOSTILE = "</p><script>alert(1)</script><img src=x onerror=alert(1)> {{ 7*7 }} &amp;"


def test_whatever_a_file_says_ends_as_text(tmp_path):
    trees = small_library(tmp_path)
    figures = made_up(laid_out(trees)).figures
    model = figures.models["accurate"]
    trail = replace(
        model.worst[0].trail, caller=HOSTILE, pages=(HOSTILE,), end=HOSTILE, right=HOSTILE
    )
    hostile = replace(
        model,
        worst=(Worst("board", 0.5, trail),),
        bars=(replace(model.bars[0], name=HOSTILE, unit=HOSTILE),),
        marks={"right": replace(model.marks["right"], says=HOSTILE)},
        exposures={HOSTILE: model.exposures["co"]},
    )
    models = {**figures.models, "accurate": hostile}
    rehearse(trees, figures=replace(figures, models=models, variations={}))
    page = soup_of(site_of(trees)[PAGE])
    assert not page.find_all("img")
    assert "alert(1)" not in "".join(script.string for script in page.find_all("script"))
    assert page.main.get_text().count(HOSTILE) >= 7
    assert not [e for e in page.find_all(True) if any(a.startswith("on") for a in e.attrs)]
