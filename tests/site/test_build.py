"""Building: the same bytes each time, overrides first, old addresses and missing ones."""

import hashlib
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from browser.sites import (
    REAL,
    course_of,
    read_texts,
    rehearse,
    site_of,
    small_library,
    whole_site_of,
    write_texts,
)
from stepstop.pages.drawings import icon, read_drawings
from stepstop.pages.titles import titles
from stepstop.pages.words import PageError, fill
from stepstop.site import Stub, stubs

ROOT = REAL.parent

BUILD = """
import sys
from pathlib import Path
from browser.sites import whole_site_of
import hashlib
digest = hashlib.sha256()
for name, content in whole_site_of(Path(sys.argv[1])).items():
    digest.update(name.encode() + b"\\0" + content)
print(digest.hexdigest())
"""


def digest_of(files):
    digest = hashlib.sha256()
    for name, content in files.items():
        digest.update(name.encode() + b"\0" + content)
    return digest.hexdigest()


def override(folder, name, text):
    path = folder / "stepstop" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    return folder


@pytest.mark.parametrize("seed", ["0", "4242"])
def test_the_same_bytes_in_another_folder_zone_and_hash_seed(small, tmp_path, seed):
    trees = rehearse(small_library(tmp_path / f"other-{seed}"))
    path = os.pathsep.join([str(ROOT / "generator"), str(ROOT / "tests")])
    settings = {"PYTHONHASHSEED": seed, "TZ": "Pacific/Auckland", "LC_ALL": "C"}
    done = subprocess.run(
        [sys.executable, "-c", BUILD, str(trees)],
        env={**os.environ, "PYTHONPATH": path, **settings},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == digest_of(whole_site_of(small))


def test_files_are_sorted_and_have_no_path_of_this_machine(built, small):
    assert list(built.files) == sorted(built.files)
    for folder in (str(ROOT), str(small), str(Path.home())):
        assert not any(folder.encode() in content for content in built.files.values())


def test_templates_styles_and_drawings_of_an_override_come_first(small, tmp_path):
    override(tmp_path, "page.css", "h1 { color: red; }")
    override(tmp_path, "moved.html", "{{ v.to.text }} is elsewhere")
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><path d="M7 7"/></svg>'
    override(tmp_path, "drawings/listen.svg", svg)
    files = site_of(small, overrides=(tmp_path,))
    assert b"<style>h1{color:red}</style>" in files["hot/who.html"]
    assert b"<style>h1{color:red}.answers small{" in files["index.html"]
    assert b'<path d="M7 7"/>' in files["hot/who.html"]
    assert b"is elsewhere" in files["hot/everyone.html"]


@pytest.mark.parametrize(
    ("svg", "what"),
    [
        ('<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>', "a <script>"),
        ('<svg xmlns="http://www.w3.org/2000/svg" onload="x"/>', "the attribute onload"),
        ('<svg xmlns="http://www.w3.org/2000/svg" style="x"/>', "the attribute style"),
        ('<svg xmlns="http://www.w3.org/2000/svg"><use href="#a"/></svg>', "a <use>"),
        ("<svg", "a mistake"),
    ],
)
def test_a_drawing_with_more_than_shapes_is_refused(small, tmp_path, svg, what):
    override(tmp_path, "drawings/listen.svg", svg)
    with pytest.raises(PageError, match=what):
        site_of(small, overrides=(tmp_path,))


def test_a_drawing_keeps_its_words_alone_and_loses_them_beside_an_answer(tmp_path):
    path = tmp_path / "one.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="a b">\n'
        '<title id="a">A</title>\n<desc id="b">B</desc>\n<path d="M1 1"/></svg>\n'
    )
    drawing = read_drawings({"drawings/one.svg": path})["one"]
    assert drawing == (
        '<svg role="img" aria-labelledby="a b"><title id="a">A</title>'
        '<desc id="b">B</desc><path d="M1 1"/></svg>'
    )
    assert icon(drawing) == '<svg aria-hidden="true"><path d="M1 1"/></svg>'


def test_a_style_sheet_that_would_end_its_element_is_refused(small, tmp_path):
    override(tmp_path, "page.css", "h1::after { content: '</style><script>'; }")
    with pytest.raises(PageError, match="style sheet"):
        site_of(small, overrides=(tmp_path,))


def test_a_slot_that_nobody_knows_is_a_mistake_of_ours(small):
    place = course_of(small).library.catalogue.places["us"]
    with pytest.raises(PageError, match="gasline"):
        fill("Call {gasline}.", place)


def test_old_addresses_point_to_the_page_in_every_mode(small):
    files = site_of(small)
    old = {
        "hot/who-is-home.html": "who.html",
        "hot/everyone.html": "who.html",
        "hot/look/everyone.html": "who.html",
        "hot/still.html": "quiet.html",
        "hot/now/still.html": "quiet.html",
        "hot/now/still.technician.html": "quiet.technician.html",
    }
    for name, new in old.items():
        soup = BeautifulSoup(files[name], "html.parser")
        refresh = soup.find("meta", attrs={"http-equiv": "refresh"})["content"]
        assert refresh == f"0; url={new}"
        assert soup.select_one(".answers a")["href"] == new
        assert soup.find("meta", attrs={"name": "robots"})["content"] == "noindex"


def test_a_renamed_step_of_a_shared_tree_points_on_wherever_it_is_used(tmp_path):
    trees = small_library(tmp_path)
    path = trees / "shared/danger-screen.yml"
    screen = read_texts(path)
    write_texts({**screen, "renamed": {"loud-noise": "bang"}}, path)
    path = trees / "complaints/cold.yml"
    write_texts({**read_texts(path), "renamed": {"first": "screen"}}, path)
    files = site_of(trees)
    assert b"url=screen.bang.html" in files["hot/screen.loud-noise.html"]
    for former in ("first.bang", "first.loud-noise", "screen.loud-noise"):
        assert b"url=screen.bang.html" in files[f"cold/{former}.html"]


def test_the_page_for_missing_addresses_links_from_the_root_where_it_is_known(small):
    soup = BeautifulSoup(site_of(small, home="/guide/")["404.html"], "html.parser")
    hrefs = {a["href"] for a in soup.find_all("a")}
    assert {"/guide/index.html", "/guide/danger/index.html"} <= hrefs
    assert all(href.startswith(("#", "tel:", "/guide/")) for href in hrefs)


def test_only_the_page_for_missing_addresses_depends_on_the_root(small):
    plain, rooted = site_of(small), site_of(small, home="/guide/")
    assert [name for name in plain if plain[name] != rooted[name]] == ["404.html"]


def test_stubs_say_what_a_complaint_is_and_where_it_begins(small):
    assert stubs(course_of(small)) == (
        Stub("A hot house", ("no cooling", "warm air"), "hot/index.html", "cooling"),
        Stub("The heat is out", ("no heat",), "cold/index.html", "any"),
    )


def test_the_start_page_lists_every_complaint_with_its_words_danger_first(small):
    soup = BeautifulSoup(site_of(small)["index.html"], "html.parser")
    assert [h.get_text() for h in soup.select("nav h3")] == ["Cooling", "Heating or cooling"]
    shown = [(a["href"], a.span.contents[0]) for a in soup.select(".answers a")]
    assert shown == [("hot/index.html", "A hot house"), ("cold/index.html", "The heat is out")]
    assert [s.get_text() for s in soup.select(".answers small")] == [
        "no cooling · warm air",
        "no heat",
    ]
    order = [a["href"] for a in soup.main.find_all("a")]
    assert order.index("danger/index.html") < order.index("cold/index.html")
    assert "on paper" in soup.main.get_text()


def test_pages_that_ask_the_same_are_told_apart_in_their_titles(small):
    course = course_of(small)
    page = course.pages["hot/who"]
    others = [replace(page, id=f"hot/who-{n}") for n in (2, 3)]
    place = course.library.catalogue.places["us"]
    made = titles([*others, page], course.library, place)
    title = "Is a baby or someone ill at home? · A hot house · air conditioner"
    assert made == {
        "hot/who": title,
        "hot/who-2": f"{title} · 2",
        "hot/who-3": f"{title} · 3",
    }


def test_a_check_page_says_everything_in_its_order(small):
    soup = BeautifulSoup(site_of(small)["hot/all-parts.html"], "html.parser")
    text = soup.main.get_text(" ")
    wanted = [
        "Set the cooling lower",
        "It is the box on the wall.",
        "You stand on a dry floor.",
        "WARNING",
        "A spark can burn you.",
        "CAUTION",
        "You smell smoke.",
        "One of these: go to the danger page",
        "Never take its cover off.",
        "Set it 3\u00a0°F (2\u00a0°C) below the room.",
        "7 minutes",
        "Lock your phone if you like; this page stays",
        "Cool air comes",
        "I can't do this now",
        "Stop here and call",
        "It shows what the box answers to.",
        "A book that does not exist, Demo press, 1999, from memory, not looked up",
    ]
    places = [text.find(words) for words in wanted]
    assert -1 not in places, wanted[places.index(-1)]
    assert places == sorted(places)


def test_hurried_outcomes_are_sooner_and_others_not(small):
    files = site_of(small)
    calm = BeautifulSoup(files["hot/quiet.html"], "html.parser").select_one(".soon").get_text()
    now = BeautifulSoup(files["hot/now/quiet.html"], "html.parser").select_one(".soon").get_text()
    assert calm.startswith("How soon: it can wait.")
    assert now.startswith("How soon: now.")
