"""The pages about waiting and the one for technicians: what they say, and who is led there."""

import re
from math import inf
from posixpath import dirname, join, normpath

import pytest
from bs4 import BeautifulSoup

from browser.sites import REAL, laid_out, read_texts, site_of, small_library, write_texts
from stepstop.loader import load
from stepstop.pages import control, waiting
from stepstop.pages.address import CONTROL, WAITING
from stepstop.shipped import drawing_names, folder
from stepstop.verify import verify
from stepstop.waiting import heat
from stepstop.waiting.control import Opens
from stepstop.waiting.cooling import MEASURED, Outdoors, Span, hours_until


def leads(soup, file):
    """The files that links of a page lead to."""
    for link in soup.select("a[href]"):
        href = link["href"].partition("#")[0]
        if href and ":" not in href:
            yield normpath(join(dirname(file), href))


# ---- the pages ----


def test_both_pages_ask_about_danger_before_they_reckon(built):
    for kind, file in WAITING.items():
        soup = built.soups[file]
        wait = built.course.library.catalogue.waiting[kind]
        asked = soup.select_one("nav[aria-labelledby=first]")
        assert asked.h2.get_text(strip=True) == wait.ask
        texts = [link.get_text(strip=True) for link in asked.select("a")]
        assert texts == [str(answer.say) for answer in wait.answers]
        before = soup.get_text().split(str(wait.ask))[0]
        assert "hours" not in before.split("</h1>")[-1].lower().replace("how long", "")
        for link, answer in zip(asked.select("a"), wait.answers, strict=True):
            if answer.to == "danger":
                assert normpath(join(dirname(file), link["href"])) == "danger/index.html"
            else:
                assert soup.select_one(link["href"]) is not None


def test_what_to_do_meanwhile_stands_there_with_its_sources(built):
    for kind, file in WAITING.items():
        soup, wait = built.soups[file], built.course.library.catalogue.waiting[kind]
        for part in wait.parts.values():
            section = soup.select_one(f"section#part-{part.id}")
            assert section.h2.get_text(strip=True) == part.title
            assert len(section.select("li")) == len(part.do) + len(part.never)
        assert soup.select_one("details summary", string="Where this comes from")


def test_the_table_of_a_cold_house_is_newtons_law_for_fast_and_slow_houses():
    soup = BeautifulSoup(site_of(REAL)[WAITING["cold"]], "html.parser")
    rows = soup.select("#whole tbody tr")
    assert len(rows) == 7
    for row in rows:
        out = float(row.th.get_text().split(" ")[0].replace("\u2212", "-"))
        for cell in row.select("td"):
            line = float(re.search(r"([\d.]+) °F", cell["data-label"])[1])
            span = Span(*(hours_until(line, 70.0, Outdoors(out), each) for each in MEASURED))
            assert cell.get_text() == waiting.hours(span)


def test_the_table_of_a_hot_house_is_the_heat_index():
    soup = BeautifulSoup(site_of(REAL)[WAITING["hot"]], "html.parser")
    seen = 0
    for row in soup.select("#whole tbody tr"):
        room = float(row.th.get_text().split(" ")[0])
        for cell in row.select("td"):
            index = heat.heat_index(room, float(re.search(r"\d+", cell["data-label"])[0]))
            if "°F" in cell.get_text():
                seen += 1
                assert cell.get_text().startswith(f"{round(index)} °F")
            else:
                assert index >= 137.0
    assert seen > 15


def test_no_page_advises_a_fan_above_the_strictest_line():
    """US EPA, 2006: 90 °F (secondary copy)."""
    texts = [
        text
        for wait in laid_out(REAL).library.catalogue.waiting.values()
        for part in wait.parts.values()
        for text in part.do
    ]
    fans = [text for text in texts if re.search(r"\bfans?\b", text, re.IGNORECASE)]
    assert fans == ["A fan helps in a room of 90 °F (32 °C) or cooler."]


def test_a_place_that_counts_in_celsius_has_its_own_table(tmp_path):
    from stepstop.edition import edition_for
    from stepstop.site import build_site

    course = laid_out(REAL)
    files = build_site(course, edition_for(course, REAL, place="ca", environ={}))
    soup = BeautifulSoup(files[WAITING["cold"]], "html.parser")
    assert soup.select_one("#whole caption").get_text().endswith("21 °C (69.8 °F) is so cold")
    assert [row.th.get_text() for row in soup.select("#whole tbody tr")][:2] == [
        "5 °C (41 °F)",
        "0 °C (32 °F)",
    ]
    assert soup.select_one("#unit option[selected]")["value"] == "C"


# ---- who is led there ----


def test_calls_lead_to_the_pages_and_no_question_does(built):
    pages = {f"{page.id}.html": page for page in built.course.pages.values()}
    for file, page in pages.items():
        if file not in built.soups:
            continue
        led = set(leads(built.soups[file], file)) & set(WAITING.values())
        if page.outcome is None or page.outcome.kind != "call":
            assert not led, file
        else:
            assert led, file


def test_heat_and_cooling_lead_each_to_its_own():
    course, soups = laid_out(REAL), {}
    wanted = {
        "no-heat": {WAITING["cold"]},
        "no-cooling": {WAITING["hot"]},
        "water": set(WAITING.values()),
    }
    files = site_of(REAL)
    for page in course.pages.values():
        if page.outcome and page.outcome.kind == "call" and page.tree in wanted:
            file = f"{page.id}.html"
            soup = soups.setdefault(file, BeautifulSoup(files[file], "html.parser"))
            assert set(leads(soup, file)) & set(WAITING.values()) == wanted[page.tree], file
    assert len(soups) > 10


def test_only_technicians_are_led_to_the_control_circuit(built):
    for file, soup in built.soups.items():
        if CONTROL in set(leads(soup, file)):
            assert file.endswith(".technician.html") or file == CONTROL
    soup = built.soups[CONTROL]
    assert soup.select_one("meta[name=robots]")["content"] == "noindex"
    assert "For licensed technicians." in soup.main.get_text()


def test_the_control_circuit_page_has_a_formula_beside_every_table(built):
    for section in built.soups[CONTROL].select("main section"):
        said = section.p.get_text()
        assert "=" in said or "100 / Vmax" in said
        assert re.search(r"source|NEC|ASTM|ISO", said)
        assert section.table


# ---- words for figures ----


@pytest.mark.parametrize(
    ("least", "most", "said"),
    [
        (0, 0, "it is so now"),
        (inf, inf, "not at this temperature"),
        (0.2, 0.6, "in about an hour"),
        (0.2, 2.9, "in less than 1 hour to 2 hours"),
        (2.9, 8.1, "in 2 to 8 hours"),
        (1.2, 1.9, "in about an hour"),
        (5.1, 5.9, "in about 5 hours"),
        (20, 100, "in 20 hours to some days"),
        (20, inf, "in 20 hours to some days"),
        (0.5, inf, "in less than 1 hour to some days"),
        (80, inf, "in more than 3 days"),
    ],
)
def test_hours_are_rounded_to_the_careful_side(least, most, said):
    assert waiting.hours(Span(least, most)) == said


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (68, "F", "68 °F (20 °C)"),
        (64.4, "C", "18 °C (64.4 °F)"),
        (-20, "F", "\u221220 °F (\u221229 °C)"),
    ],
)
def test_temperatures_are_told_in_both_units(value, unit, said):
    assert waiting.degrees(value, unit) == said


@pytest.mark.parametrize(
    ("least", "most", "said"),
    [
        (inf, inf, "need not open"),
        (0.02, 0.1, "0.02 s to 0.1 s"),
        (0.75, 600, "0.75 s to 10 min"),
        (360_000, inf, "from 100 h, or never"),
    ],
)
def test_times_of_fuses_are_told_in_two_figures(least, most, said):
    assert control.seconds(Opens(least, most)) == said


# ---- the catalogue ----


def test_without_the_file_there_are_no_such_pages(tmp_path):
    trees = small_library(tmp_path / "trees")
    (trees / "catalogue" / "waiting.yml").unlink()
    files = site_of(trees)
    assert not files.keys() & {*WAITING.values(), "waiting.js"}
    assert CONTROL in files


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda w: w.update(wet=w.pop("hot")), "no page about waiting is called `wet`"),
        (lambda w: w["cold"]["answers"][2].update(to="heatr"), "is called `heatr`"),
        (lambda w: w["cold"]["lines"][0].update(source="nobody"), "no source is called `nobody`"),
        (lambda w: w["cold"]["lines"].reverse(), "go from warm to cold"),
        (lambda w: w["cold"]["answers"].pop(0), "no answer leads to danger"),
        (lambda w: w["cold"]["parts"].update(danger=w["cold"]["parts"].pop("heater")), "`danger`"),
    ],
)
def test_mistakes_are_told(tmp_path, change, said):
    trees = small_library(tmp_path / "trees")
    path = trees / "catalogue" / "waiting.yml"
    texts = read_texts(path)
    change(texts["waiting"])
    write_texts(texts, path)
    _, problems = load(trees, drawings=drawing_names((folder("site_overrides"),)))
    assert any(said in problem.message for problem in problems), problems
    assert all(problem.spot.file.endswith("waiting.yml") for problem in problems)


def test_its_words_pass_the_rules_about_words(tmp_path):
    trees = small_library(tmp_path / "trees")
    path = trees / "catalogue" / "waiting.yml"
    texts = read_texts(path)
    texts["waiting"]["cold"]["parts"]["heater"]["do"] = ["Bypass the switch of the heater."]
    write_texts(texts, path)
    assert [p.flaw for p in verify(trees).problems] == ["forbidden-words"]
