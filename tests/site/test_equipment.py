"""Pages for whoever stands at a unit: danger first, then what may be noticed there."""

import shutil
from posixpath import dirname, join, normpath

import pytest
from bs4 import BeautifulSoup

from browser.sites import laid_out, site_of, small_library
from stepstop.model import HEADINGS
from unit.companies import site_for, write_company


def units(built):
    """(unit of the catalogue, its page parsed) for each."""
    for unit in built.course.library.catalogue.equipment.values():
        yield unit, built.soups[f"{unit.id}/index.html"]


def led_to(soup, name, selector):
    """Where links of the page in the file `name` lead, and their texts without the small print."""
    for link in soup.select(selector):
        yield normpath(join(dirname(name), link["href"])), link.find(string=True)


def test_it_lists_the_complaints_of_the_unit_danger_first_else_in_the_author_s_order(built):
    trees = built.course.library.trees
    for unit, soup in units(built):
        wanted = sorted(unit.complaints, key=lambda name: HEADINGS.index(trees[name].under))
        shown = list(led_to(soup, f"{unit.id}/index.html", ".answers a"))
        assert shown == [(f"{name}/index.html", str(trees[name].title)) for name in wanted]


def test_it_looks_like_the_list_on_the_start_page(built):
    start = {str(li.span) for li in built.soups["index.html"].select(".answers li")}
    for unit, soup in units(built):
        shown = {str(li.span) for li in soup.select(".answers li")}
        assert shown <= start, unit.id


def test_danger_comes_first_then_stepping_away_then_the_list(built):
    for unit, soup in units(built):
        text = soup.main.get_text(" ", strip=True)
        order = ["Go outside first", "Danger first", "step away", str(unit.look), "whole list"]
        places = [text.index(each) for each in order]
        assert places == sorted(places), unit.id
        first = soup.main.find("a")
        assert normpath(join(unit.id, first["href"])) == "danger/index.html"


def test_it_leads_to_the_whole_list(built):
    for unit, soup in units(built):
        links = dict(led_to(soup, f"{unit.id}/index.html", "main a"))
        assert links["index.html"] == "See the whole list"


def test_every_shipped_unit_leads_to_its_own_trees(course):
    """What a company may leave to others can be reached from the unit's own complaints."""
    graph = course.graph()
    roots = dict(zip((t.id for t in course.library.roots()), course.roots, strict=True))
    for unit in course.library.catalogue.equipment.values():
        seen, ahead = set(), [roots[name] for name in unit.complaints]
        while ahead:
            page = ahead.pop()
            if page not in seen:
                seen.add(page)
                ahead += graph.get(page, ())
        assert set(unit.trees) <= {page.split("/")[0] for page in seen}, unit.id


@pytest.fixture(scope="module")
def trees(tmp_path_factory):
    return small_library(tmp_path_factory.mktemp("trees"))


UNSERVED = {"trees": ["cold"], "say": "We leave these to others."}


def test_what_a_company_leaves_to_others_it_says_on_the_page_of_the_unit(trees, tmp_path):
    """The furnace is what `cold` is about; the cooler names no tree, so all work on it."""
    _, files = site_for(write_company(tmp_path, {"unserved": UNSERVED}), trees)
    pages = {
        unit: BeautifulSoup(files[f"{unit}/index.html"], "html.parser").main.get_text(" ")
        for unit in ("furnace", "cooler")
    }
    assert UNSERVED["say"] in pages["furnace"]
    assert UNSERVED["say"] not in pages["cooler"]


def test_a_company_that_works_on_all_has_the_pages_with_its_name(trees, tmp_path):
    _, files = site_for(write_company(tmp_path), trees)
    page = BeautifulSoup(files["furnace/index.html"], "html.parser")
    assert page.select_one(".brand").get_text() == "Sample Heating (demo)"
    assert "We leave" not in page.get_text()


def test_without_the_file_there_is_no_such_page(trees, tmp_path):
    bare = tmp_path / "bare"
    shutil.copytree(trees, bare)
    (bare / "catalogue/equipment.yml").unlink()
    assert laid_out(bare).library.catalogue.equipment == {}
    assert "furnace/index.html" not in site_of(bare)
