"""What a phone gets to keep: every page in few small files, the same each time."""

import hashlib
import json

import pytest

from browser.sites import REAL, course_of, rehearse, small_library, whole_site_of
from stepstop.site import whole_site
from unit.companies import site_for, write_company
from unit.packs import kept, place, plan_of

CORE, COMPLAINT, WHOLE = 37_200, 480_000, 560_000
"""Bytes on the wire (gzip -9) that are kept at the first visit, for a complaint with the table of
its causes, and in all without the tables of other complaints."""


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    return rehearse(small_library(tmp_path_factory.mktemp("small")))


@pytest.fixture(scope="module", params=["small", "real", "company"])
def site(request, small, tmp_path_factory):
    if request.param == "company":
        return kept(company_site(small, tmp_path_factory.mktemp("company")))
    return kept(whole_site_of(small if request.param == "small" else REAL))


def company_site(trees, folder):
    """The site of a company whose words take more than letters."""
    changes = {
        "name": 'Sample "Heat" & Ö (demo)',
        "colours": {"light": "#0b5a3c", "dark": "#8fe0b9"},
    }
    return site_for(write_company(folder, changes), trees, make=whole_site)[1]


def test_every_page_is_kept_once_to_the_byte(site):
    wanted = {
        name
        for name in site.files
        if name.endswith((".html", "brief.js", "code.js", "trail.js", "call.js", "calls.js"))
        or name == "waiting.js"
    }
    wanted = {name for name in wanted if not name.endswith("/pocket.html")}
    wanted |= {name for name in site.files if name.endswith("/likely.js")}
    seen = []
    for number, pack in enumerate(site.packs):
        for name in pack["pages"]:
            if name != "~/404.html":
                assert site.page(number, name) == site.files[name], name
                seen.append(name)
    assert sorted(seen) == sorted(wanted)


def test_a_page_is_looked_for_in_the_file_that_has_it(site):
    for number, pack in enumerate(site.packs[1:], 1):
        for name in pack["pages"]:
            places = site.plan["places"]
            assert places.get(name, places.get(name.split("/")[0])) == number, name


def test_each_table_of_causes_stands_alone():
    site = kept(whole_site_of(REAL))
    found = [list(site.packs[number]["pages"]) for number in sorted(site.tables)]
    assert found == [[name] for name in sorted(site.files) if name.endswith("/likely.js")]
    assert ["no-heat/likely.js"] in found


def test_files_are_named_by_what_they_hold_and_the_edition_by_all_of_them(site):
    hashes = []
    for label in site.plan["files"]:
        whole = hashlib.sha256(site.files[place(label)]).hexdigest()
        assert label.endswith(f".{whole[:12]}")
        hashes.append(whole)
    wanted = hashlib.sha256("\n".join(sorted(hashes)).encode()).hexdigest()[:12]
    assert site.plan["edition"] == wanted


def test_the_core_has_danger_and_the_pages_that_every_page_leads_to(site):
    core = site.packs[0]
    danger = {"danger/index.html", "danger-screen/gas.html"}
    calls = {"endings/stop-and-call.html", "endings/now/stop-and-call.html"}
    assert danger | calls | {"index.html"} <= set(core["pages"])
    assert danger <= set(core["danger"]) <= set(core["pages"])
    assert "index.html" not in core["danger"]
    assert b"/~/index.html" in site.page(0, "~/404.html")


def test_every_page_of_the_edition_has_its_mark(site):
    assert site.plan["mark"]
    for name, content in site.files.items():
        if name.endswith(".html"):
            assert site.plan["mark"].encode() in content, name


def test_little_is_kept_at_once_and_not_much_in_all():
    site = kept(whole_site_of(REAL))
    numbers = set(range(2, len(site.packs))) - site.apart
    assert site.apart == {*site.tables, site.plan["places"]["call.html"]}
    assert site.tables < site.needs(site.plan["places"]["call.html"])
    assert site.size(0) <= CORE
    most = max(sum(map(site.size, site.needs(number))) for number in numbers)
    assert 100_000 < most <= COMPLAINT
    assert max(len(site.needs(number)) for number in numbers) <= 20
    assert sum(map(site.size, set(range(len(site.packs))) - site.apart)) <= WHOLE


def test_pages_of_units_are_kept_at_the_first_visit_and_are_no_pages_of_danger():
    core = kept(whole_site_of(REAL)).packs[0]
    names = {f"{unit}/index.html" for unit in course_of(REAL).library.catalogue.equipment}
    assert len(names) > 3
    assert names <= set(core["pages"])
    assert names.isdisjoint(core["danger"])


def test_another_date_changes_three_files_of_the_real_site():
    one, other = (plan_of(whole_site_of(REAL, today=f"2026-12-0{n}")) for n in (1, 2))
    changed = {label.split(".")[0] for label in {*one["files"]} ^ {*other["files"]}}
    assert changed == {"core", "common", "calls"}
    assert one["edition"] != other["edition"]


def test_without_it_there_is_only_what_takes_an_earlier_one_away(small):
    files = whole_site_of(small, offline=False)
    assert b"unregister" in files["worker.js"]
    assert b"PLAN" not in files["worker.js"]
    assert not [name for name in files if name.startswith("offline/") or name.startswith("icon")]
    assert not [name for name in files if b'rel="manifest"' in files[name]]


def test_the_manifest_names_pictures_that_are_there(site):
    manifest = json.loads(site.files["app.webmanifest"])
    assert {icon["src"] for icon in manifest["icons"]} <= site.files.keys()
    assert {manifest["start_url"], *(s["url"] for s in manifest["shortcuts"])} <= site.files.keys()
    assert any(icon.get("purpose") == "maskable" for icon in manifest["icons"])


def test_with_templates_that_show_no_edition_nothing_is_compared(small, tmp_path):
    lean = tmp_path / "stepstop" / "sources.html"
    lean.parent.mkdir()
    lean.write_text("<!doctype html><title>My own</title>")
    assert plan_of(whole_site_of(small, overrides=(tmp_path,)))["mark"] == ""
