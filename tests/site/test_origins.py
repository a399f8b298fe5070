"""The page that tells where the numbers come from."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from browser.sites import REAL, course_of, laid_out, read_texts, site_of, small_library, write_texts
from stepstop.loader import load
from stepstop.pages.origins import claims
from stepstop.shipped import drawing_names, folder

PAGE = "sources.html"


def tables(files):
    """Caption -> rows as lists of texts."""
    soup = BeautifulSoup(files[PAGE], "html.parser")
    return {
        table.caption.get_text(): [
            [cell.get_text() for cell in row.find_all(["th", "td"])]
            for row in table.tbody.find_all("tr")
        ]
        for table in soup.find_all("table")
    }


@pytest.fixture
def trees(tmp_path):
    return small_library(tmp_path / "trees")


def edited(trees: Path, name, change):
    data = read_texts(trees / name)
    change(data)
    write_texts(data, trees / name)
    return trees


def test_every_number_on_a_page_stands_there_once_with_what_it_rests_on():
    found = tables(site_of(REAL))["Every sentence with a number"]
    told = {row[0]: row[1] for row in found}
    assert len(told) == len(found) == len(claims(course_of(REAL).library))
    heater = next(text for text in told if text.startswith("A plug-in heater: 3"))
    assert "National Fire Protection" in told[heater] or "heater" in told[heater].lower()
    assert all(told.values())


def test_a_sentence_on_two_pages_rests_on_what_both_name(trees):
    one, other = "common-practice", "a-book"
    book = {"title": "A book", "by": "demo", "seen": "original"}
    edited(trees, "catalogue/sources.yml", lambda data: data["sources"].update({other: book}))

    for name, source in (("hot", [one, other]), ("cold", [other])):

        def change(data, source=source):
            _, outcome = min(data["outcomes"].items())
            outcome |= {"do": ["Keep 3 ft of space."], "source": source}

        edited(trees, f"complaints/{name}.yml", change)
    library = laid_out(trees).library
    assert claims(library)["Keep 3 ft of space."] == (other,)


@pytest.mark.parametrize(
    ("today", "words"),
    [
        ("2026-12-31", "next by 2027-01-02"),
        ("2027-01-02", "next by 2027-01-02"),
        ("2027-01-03", "overdue since 2027-01-02"),
    ],
)
def test_a_tree_past_its_review_date_says_so_here_and_on_its_pages(trees, today, words):
    files = site_of(trees, today=today)
    [hot] = [row for row in tables(files)["Every tree"] if row[0].startswith("A hot house")]
    assert hot[1] == f"reviewer of the demo (demo licence), 2026-01-02; {words}"
    told = BeautifulSoup(files["hot/quiet.html"], "html.parser").select_one(".edition").get_text()
    assert told.startswith(f"Reviewed by {hot[1]}.")


def test_trees_without_a_review_say_so():
    rows = tables(site_of(REAL))["Every tree"]
    assert {row[1] for row in rows} == {"Not yet reviewed by a licensed technician"}


def test_sources_that_nothing_names_are_left_out(trees):
    def change(data):
        data["sources"]["unused"] = {
            "title": "A book that nobody names",
            "by": "demo",
            "seen": "original",
        }

    edited(trees, "catalogue/sources.yml", change)
    shown = tables(site_of(trees))["Every source that a page names"]
    assert shown
    assert "A book that nobody names" not in {row[0] for row in shown}


def test_a_date_that_is_none_is_a_problem(trees):
    edited(trees, "complaints/hot.yml", lambda data: data["review"].update(due="2026-02-30"))
    _, problems = load(trees, drawings=drawing_names((folder("site_overrides"),)))
    assert [p.message for p in problems] == ["`2026-02-30` is no date like 2026-01-31"]
