"""What no measurement of `make bench` shows: what is compared, what is served, what is said."""

import gzip
import os
import random
import urllib.error
import urllib.request
from collections import Counter

import pytest
from bs4 import BeautifulSoup

from bench import kills, many, scale, slow_link, stock
from bench.server import LARGE_RECORD, SMALL_RECORD, served
from browser.sites import course_of
from stepstop import graph
from stepstop.publish import publish
from stepstop.verify import Verified, verify

PAGE = b"""<!DOCTYPE html><html lang="en"><head><title>T</title></head><body>
<header><a class="strip" href="danger.html">Gas smell?</a></header>
<main><h1 id="a">What <b>hums</b>?</h1>
<ul class="answers"><li><a href="b.html">The fan</a></li></ul>
<svg viewBox="0 0 1 1"><title>A fan</title></svg><input hidden><p>Look only.</p></main>
<footer><p class="edition">Demo.</p></footer><script>let x;</script></body></html>"""


def test_the_stock_page_has_the_same_words_and_drawings():
    markdown = stock.as_markdown(PAGE)
    heading, rest = markdown.split("\n\n", 1)
    assert heading == "# What hums ?"
    found = BeautifulSoup(rest, "html.parser")
    words = Counter(heading.removeprefix("# ").split() + found.get_text(" ").split())
    body = BeautifulSoup(PAGE, "html.parser").body
    body.script.extract()
    assert words == Counter(body.get_text(" ").split())
    assert found.svg is not None
    assert not found.find_all(["script", "input"])
    assert not found.find_all(class_=True)


def test_without_root_it_says_so_and_makes_nothing(monkeypatch):
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    with (
        pytest.raises(slow_link.NoSlowLink, match="it takes root"),
        slow_link.SlowLink(round_trip=0.4, bits=400_000),
    ):
        pass


def test_without_the_command_ip_it_says_how_to_get_it(monkeypatch):
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    monkeypatch.setenv("PATH", "")
    with pytest.raises(slow_link.NoSlowLink, match="apt-get install iproute2"):
        slow_link.require()


def test_the_server_zips_what_is_in_its_folder_and_gives_nothing_else(tmp_path):
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "index.html").write_text("<p>Word")
    (tmp_path / "secret.txt").write_text("no")
    with served(tmp_path / "site") as address:
        with urllib.request.urlopen(address, timeout=20) as got:
            assert got.headers["Content-Encoding"] == "gzip"
            assert gzip.decompress(got.read()) == b"<p>Word"
        for path in ("other.html", "../secret.txt", "%2e%2e/secret.txt"):
            with pytest.raises(urllib.error.HTTPError, match="404"):
                urllib.request.urlopen(address + path, timeout=20)


def test_what_goes_out_in_small_records_comes_whole(tmp_path):
    page = random.Random(5).randbytes(9_000)
    (tmp_path / "page.html").write_bytes(page)
    for record in (SMALL_RECORD, LARGE_RECORD):
        with (
            served(tmp_path, record=record) as address,
            urllib.request.urlopen(address + "page.html", timeout=20) as got,
        ):
            body = got.read()
        assert len(body) > SMALL_RECORD
        assert gzip.decompress(body) == page


def test_a_grown_library_is_proven_and_as_large_as_it_says(tmp_path):
    library = scale.grown(tmp_path, 2)
    names = {path.stem for path in (library / "complaints").iterdir()}
    assert len(names) == 2 * len({name for name in names if not name.endswith("-bex")}) - 1
    found = verify(library)
    assert found.problems == ()
    own = found.course.library.trees["ice-bex"]
    assert own.title.endswith(" bex")
    leads = {move.to.split("/")[0] for page in found.course.pages.values() for move in page.moves}
    assert {"ice", "ice-bex", "danger"} <= leads
    first = [page.id for page in found.course.pages.values() if page.tree == "water-bex"]
    reached = graph.reachable(found.course.graph(), first)
    assert not {name for name in reached if name.split("/")[0] in ("water", "ice")}


def test_words_are_counted_and_a_lost_one_is_seen():
    whole = scale.words(PAGE, "header", "main", "footer")
    assert whole["hums"] == 1
    assert "let" not in whole
    fewer = scale.words(PAGE.replace(b"hums", b""), "header", "main", "footer")
    assert whole - fewer == Counter(["hums"])


def test_growth_is_told_for_ten_times_the_steps():
    few = scale.Size(steps=1000, pages=1, files=1, seconds=2.0, memory=1)
    many_steps = scale.Size(steps=4000, pages=1, files=1, seconds=8.0, memory=1)
    assert scale.growth(few, many_steps) == pytest.approx(10)
    assert scale.exponent(few, many_steps) == pytest.approx(1)


def test_many_companies_are_measured_with_pages_of_their_own(tmp_path, monkeypatch):
    written = []
    monkeypatch.setattr(many, "FEW", 1)
    monkeypatch.setattr(many, "MANY", 2)
    monkeypatch.setattr(many, "verify", lambda trees: Verified((), {}, course_of(trees)))
    publish = many.publish
    monkeypatch.setattr(many, "publish", lambda f, to: written.append(dict(f)) or publish(f, to))
    found = many.measure(tmp_path)
    pages = [each["index.html"].decode() for each in written]
    assert ["Demo Heating AA" in page for page in pages] == [True, False]
    assert ["Demo Heating AB" in page for page in pages] == [False, True]
    assert found.written == sum(len(content) for files in written for content in files.values())
    assert found.ratio > found.own / found.bare > 0
    assert found.many >= found.few
    assert not (tmp_path / "site").exists()
    assert not (tmp_path / "bare").exists()


def test_killed_builds_are_counted_by_what_they_leave(tmp_path):
    found = kills.measure(tmp_path, 6)
    assert found.kills == found.old + found.new == 6
    assert found.broken == 0


def test_a_site_that_is_not_whole_is_counted_as_broken(tmp_path, monkeypatch):
    site = tmp_path / "site"
    assert kills.state(site) == b""
    for kind in kills.KINDS:
        publish(((f"{n}/index.html", kind * 999) for n in range(kills.PAGES)), site)
        assert kills.state(site) == kind
    (site / "3/index.html").write_bytes(b"old" * 999)
    assert kills.state(site) == b""

    def halfway(site, after):
        (site / "3/index.html").unlink()

    monkeypatch.setattr(kills, "_kill_one", halfway)
    assert kills.measure(tmp_path, 2) == kills.Found(2, 0, 0, 2)

    def left(site, after):
        (tmp_path / ".elsewhere").mkdir(exist_ok=True)

    monkeypatch.setattr(kills, "_kill_one", left)
    assert kills.measure(tmp_path, 2) == kills.Found(2, 0, 0, 2)
