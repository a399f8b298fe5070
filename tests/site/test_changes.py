"""What changed for agents since an earlier edition, on one page."""

import re

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner

from browser.bilingual import atlases, spoken
from browser.sites import TODAY, read_texts, small_library, write_texts
from stepstop.cli import main
from stepstop.pages.call import call_data
from stepstop.pages.changes import changes_page, read_told
from stepstop.pages.trail_data import trail_data
from unit.companies import write_company

DAY = ("--today", TODAY)


@pytest.fixture
def trees(tmp_path):
    return small_library(tmp_path / "trees")


def run(*words):
    result = CliRunner().invoke(main, list(map(str, words)))
    return result


@pytest.fixture
def old(trees, tmp_path):
    """An export of the trees as they were."""
    folder = tmp_path / "old"
    assert run("export", folder, "--trees", trees, "--today", "2026-11-01").exit_code == 0
    return folder


def edit(trees, name, change):
    data = read_texts(trees / name)
    change(data)
    write_texts(data, trees / name)


def page_of(trees, old, tmp_path, *more):
    into = tmp_path / "changes.html"
    result = run("changes", old, "--trees", trees, "--into", into, *DAY, *more)
    assert result.exit_code == 0, result.output
    return BeautifulSoup(into.read_text("utf-8"), "html.parser"), result.output


def rows(soup):
    """{part: (before, now)} of all that is told."""
    found = {}
    for dt in soup.select("dt"):
        cells = {}
        for dd in dt.find_next_siblings():
            if dd.name == "dt":
                break
            cells[dd.find(["del", "ins"]).name] = dd.get_text()
        found[dt.get_text()] = (cells.get("del", ""), cells.get("ins", ""))
    return found


def test_the_same_trees_have_no_change_and_say_so(trees, old, tmp_path):
    soup, said = page_of(trees, old, tmp_path)
    assert "Nothing that agents say has changed." in soup.get_text()
    assert said.endswith(": 0 changes\n")
    assert "2026-11-01" in soup.get_text()
    assert TODAY in soup.get_text()


def test_other_words_are_told_with_those_of_before(trees, old, tmp_path):
    def change(data):
        data["outcomes"]["call"]["do"] = ["Keep everyone away from it."]

    before = read_texts(trees / "complaints/cold.yml")["outcomes"]["call"]["do"]
    edit(trees, "complaints/cold.yml", change)
    soup, _ = page_of(trees, old, tmp_path)
    assert rows(soup) == {"Say": (" · ".join(before), "Keep everyone away from it.")}
    assert [h.get_text() for h in soup.select("main h2")] == ["The heat is out"]


def test_copies_of_a_step_are_told_once(trees, old, tmp_path):
    def change(data):
        data["steps"]["ready"]["ask"] = "Can you get to the furnace?"

    edit(trees, "complaints/cold.yml", change)
    soup, _ = page_of(trees, old, tmp_path)
    titles = [h.get_text() for h in soup.select("main h3")]
    assert titles.count("Can you get to the furnace?") == 1


def test_new_and_gone_steps_are_named(trees, old, tmp_path):
    def change(data):
        steps = data["steps"]
        steps["walk"] = steps.pop("ready")
        for answer in steps["set-heat"]["answers"]:
            answer["go"] = "walk" if answer["go"] == "ready" else answer["go"]

    edit(trees, "complaints/cold.yml", change)
    soup, _ = page_of(trees, old, tmp_path)
    titles = [h.get_text() for h in soup.select("main h3")]
    assert "New: Can you walk to the furnace?" in titles
    assert "Gone: Can you walk to the furnace?" in titles


def test_what_belongs_to_all_calls_comes_first(trees, old, tmp_path):
    def change(data):
        calls = data["calls"]
        calls["first"] = "Is there any smell of gas?"
        calls["cards"]["dropped"]["say"] = ["Are all well?"]

    edit(trees, "catalogue/calls.yml", change)
    edit(trees, "complaints/cold.yml", lambda data: data.update(words=["it is so cold"]))
    soup, said = page_of(trees, old, tmp_path)
    assert soup.select_one("main h2").get_text() == "All calls"
    found = rows(soup)
    assert found["First words"] == ("Any smell of gas, or an alarm?", "Is there any smell of gas?")
    assert "Are all well?" in found["When it does not go its way"][1]
    assert "it is so cold" in found["Complaint and callers' words"][1]
    assert said.endswith(": 3 changes\n")


def test_a_companys_page_says_who_looked_it_over(trees, old, tmp_path):
    soup, _ = page_of(trees, old, tmp_path, "--company", write_company(tmp_path))
    assert "DEMO, not reviewed." in soup.get_text()
    assert "\x02" not in str(soup)


@pytest.mark.parametrize(
    ("broken", "words"),
    [
        (lambda folder: (folder / "calls.js").unlink(), "has no edition with a page for agents"),
        (lambda folder: (folder / "calls.js").write_text("x = {"), "don't fit each other"),
        (lambda folder: (folder / "trail.js").write_text("x = {};"), "don't fit each other"),
    ],
)
def test_a_folder_without_an_edition_is_refused(trees, old, tmp_path, broken, words):
    broken(old)
    result = run("changes", old, "--trees", trees, "--into", tmp_path / "c.html", *DAY)
    assert result.exit_code == 2
    assert words in result.output
    assert not (tmp_path / "c.html").exists()


def test_a_missing_folder_for_the_page_is_told(trees, old, tmp_path):
    result = run("changes", old, "--trees", trees, "--into", tmp_path / "no" / "c.html")
    assert result.exit_code == 2
    assert "no folder" in result.output


def test_in_spanish_the_spanish_pages_are_compared(tmp_path):
    atlas = atlases()["es"]
    said = call_data(atlas).decode()
    assert "Salga ahora al aire fresco" in said
    folder = tmp_path / "old" / "es"
    folder.mkdir(parents=True)
    (folder / "calls.js").write_text(said.replace("Salga ahora al aire fresco", "Salga ya"))
    (folder / "trail.js").write_bytes(trail_data(atlas))
    edition = f"Estados Unidos, {TODAY}, 0123abcd"
    (folder / "index.html").write_text(f'<html lang="es"><p>Edición: {edition}.</p>')
    page, count = changes_page(*spoken()[1], read_told(tmp_path / "old", "es"))
    soup = BeautifulSoup(page, "html.parser")
    assert soup.html["lang"] == "es"
    assert count
    assert rows(soup)["Título"] == ("Salga ya", "Salga ahora al aire fresco")
    text = soup.select_one("main").get_text(" ")
    assert f"Desde {edition}" in text
    assert not re.search(r"\b(the|was|what|change[ds]?|before)\b", text)


def test_pages_in_another_language_are_not_compared(trees, old, tmp_path):
    start = old / "index.html"
    start.write_text(start.read_text("utf-8").replace('<html lang="en"', '<html lang="es"'))
    result = run("changes", old, "--trees", trees, "--into", tmp_path / "c.html", *DAY)
    assert result.exit_code == 2
    assert "is in the language es" in result.output
    assert not (tmp_path / "c.html").exists()
