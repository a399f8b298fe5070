"""A company's edition: its name and numbers where they belong, and nowhere near danger."""

import base64
import hashlib
import json
import re

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner

from browser.sites import REAL, TODAY, course_of, made_up, site_of, small_library, write_site
from stepstop.cli import main
from stepstop.companies import for_company
from stepstop.edition import Editions, edition_for
from stepstop.pages.booklet import booklet
from stepstop.pages.changes import changes_page, read_told
from stepstop.pages.slots import CLOSE, OPEN, form_of, slot
from stepstop.pages.trail_data import data_in
from stepstop.publish import MARKER
from stepstop.rehearsed import NAME, fingerprint, narrowed, written
from stepstop.site import build_site, whole_site
from unit.companies import PICTURE, SAMPLE, site_for, write_company

CHANGES = {
    "name": "Sample <b> & Sons (demo)",
    "phone": "+12025550143",
    "text": "+12025550171",
    "after-hours": {"phone": "+12025550158", "say": "One of us calls back.", "fee": "It costs 9."},
    "book": "https://www.example.com/visit?a=1&b=2",
    "closed": ["2026-12-25"],
    "colours": {"light": "#0b5a3c", "dark": "#8fe0b9"},
    "logo": "logo.svg",
}
NUMBERS = ("+12025550143", "+12025550158", "+12025550171")


@pytest.fixture(scope="module")
def trees(tmp_path_factory):
    return small_library(tmp_path_factory.mktemp("company-trees"))


def built(trees, folder, changes=None, *, make=build_site):
    """(the company, its pages) of the small library with these changes."""
    path = write_company(folder, {**CHANGES, **(changes or {})}, picture=PICTURE)
    return site_for(path, trees, make=make)


@pytest.fixture(scope="module")
def made(trees, tmp_path_factory):
    return built(trees, tmp_path_factory.mktemp("company"))


@pytest.fixture(scope="module")
def soups(made):
    return {
        name: BeautifulSoup(content, "html.parser")
        for name, content in made[1].items()
        if name.endswith(".html")
    }


def test_no_slot_stays_open(made):
    for name, content in made[1].items():
        text = content.decode()
        assert OPEN not in text, name
        assert CLOSE not in text, name
        assert "\\u0002" not in text, name


def test_every_page_names_the_company_its_licence_and_that_it_is_a_demo(soups):
    for name, soup in soups.items():
        text = soup.footer.get_text(" ", strip=True)
        assert CHANGES["name"] in text, name
        assert "contractor DEMO-1, held by the company" in text, name
        assert "DEMO, not reviewed." in text, name
        assert "Checked against our safety rules" in text, name


def test_a_named_reviewer_takes_the_place_of_demo(trees, tmp_path):
    review = {"role": "Demo lead", "licence": "contractor", "on": TODAY, "due": "2027-11-25"}
    _, files = built(trees, tmp_path, {"review": review})
    for name, content in files.items():
        if name.endswith(".html"):
            text = content.decode()
            assert "DEMO, not reviewed" not in text, name
            assert "Reviewed by Demo lead (contractor), 2026-11-25; next by 2027-11-25." in text


def test_danger_comes_before_the_company_and_its_pages_have_no_number_of_it(made, soups):
    course = made[0].course
    endings = [page for page in course.pages.values() if page.outcome]
    assert any(page.outcome.kind == "danger" for page in endings)
    for page in endings:
        if page.outcome.kind == "danger":
            soup = soups[f"{page.id}.html"]
            for number in NUMBERS:
                assert number not in str(soup), page.id
            assert CHANGES["name"] not in soup.main.get_text(), page.id
    for name, soup in soups.items():
        assert soup.body.find("a")["class"] == ["strip"], name


def test_emergency_numbers_are_those_of_the_place(soups, trees):
    ours = {
        f"{name}": sorted(emergencies(soup)) for name, soup in soups.items() if name != "404.html"
    }
    plain = site_of(trees)
    for name, found in ours.items():
        if name in plain:
            assert found == sorted(emergencies(BeautifulSoup(plain[name], "html.parser"))), name
    assert any(ours.values())


def emergencies(soup):
    numbers = (a["href"] for a in soup.select('a[href^="tel:"]'))
    return [number for number in numbers if number.removeprefix("tel:") not in NUMBERS]


def test_whoever_is_to_call_a_technician_is_given_the_company(made, soups):
    """`hot` has an outcome for licensed technicians; that for another trade names no company."""
    outcomes = [p for p in made[0].course.pages.values() if p.outcome and p.outcome.say]
    ours = [p for p in outcomes if p.outcome.who == "licensed-hvac"]
    others = [p for p in outcomes if p.outcome.who == "technician"]
    assert ours
    assert others
    for page in ours:
        call = soups[f"{page.id}.html"].select_one(".call")
        assert call.h2.get_text() == f"Call {CHANGES['name']}"
        first = call.select_one('a[href^="tel:"]')
        assert first["href"] == "tel:+12025550143"
        assert first.get_text() == "(202) 555-0143"
        text = call.get_text(" ", strip=True)
        assert "Monday: 8 AM to 5 PM" in text
        assert "Closed on December 25, 2026" in text
        assert "Outside these hours: (202) 555-0158 One of us calls back. It costs 9." in text
    for page in others:
        assert "Their number is on your paper" in soups[f"{page.id}.html"].get_text()


def test_the_hours_stand_there_without_a_script_and_claim_nothing(soups):
    found = [each for soup in soups.values() for each in soup.select("[data-hours]")]
    assert found
    for each in found:
        hours = json.loads(each["data-hours"])
        assert hours["zone"] == SAMPLE["time-zone"]
        assert each.select_one("[data-now]").get_text() == ""
        assert each.li is not None
    for name, soup in soups.items():
        has_script = "const isOpen" in str(soup)
        assert has_script or not soup.select("[data-hours]"), name


def test_ways_come_in_the_company_s_order_and_a_call_is_always_among_them(trees, tmp_path):
    offers = {"today": ["call", "text"], "can-wait": ["book", "text"]}
    made, files = built(trees, tmp_path, {"offers": offers})
    fill_of = {}
    for page in made.course.pages.values():
        if page.outcome and page.outcome.say and page.outcome.who == "licensed-hvac":
            soup = BeautifulSoup(files[f"{page.id}.html"], "html.parser")
            urgency = soup.select_one(".soon")["class"][1]
            links = [a["href"] for a in soup.select(".call a")]
            fill_of[urgency] = list(dict.fromkeys(map(way, links)))
    expected = {"today": ["call", "text"], "can-wait": ["book", "text", "call"], "now": ["call"]}
    assert fill_of
    for urgency, ways in fill_of.items():
        assert ways == expected[urgency]


def way(href):
    return {"tel": "call", "sms": "text", "https": "book"}[href.split(":")[0]]


def test_equipment_that_is_not_served_gets_the_company_s_words_and_no_number(trees, tmp_path):
    unserved = {"trees": ["hot"], "say": "We do not cool. Ask another company."}
    made, files = built(trees, tmp_path, {"unserved": unserved})
    seen = 0
    for page in made.course.pages.values():
        if page.tree == "hot" and page.outcome and page.outcome.who == "licensed-hvac":
            soup = BeautifulSoup(files[f"{page.id}.html"], "html.parser")
            if soup.select_one(".call"):
                seen += 1
                assert "We do not cool." in soup.select_one(".call").get_text()
                assert not any(number in str(soup.main) for number in NUMBERS[:2])
    assert seen


def test_colours_stand_in_the_sheet_whose_hash_the_policy_has(made, soups):
    for name, soup in soups.items():
        sheet = soup.style.string
        assert sheet.endswith(
            "@media screen{:root{--accent:#0b5a3c;--on-accent:#ffffff}}"
            "@media screen and (prefers-color-scheme:dark)"
            "{:root{--accent:#8fe0b9;--on-accent:#0c1620}}"
        ), name
        digest = base64.b64encode(hashlib.sha256(sheet.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in soup.find("meta", {"http-equiv": True})["content"], name


def test_the_company_s_words_end_as_text(made):
    for name, content in made[1].items():
        text = content.decode()
        assert "Sample <b> &" not in text or name.endswith((".js", ".json")), name
    start = BeautifulSoup(made[1]["index.html"], "html.parser")
    assert CHANGES["name"] in start.select_one(".paper").get_text()
    assert start.select_one(".logo path") is not None


def test_a_text_message_goes_to_the_company(soups):
    briefs = [soup.select_one("#brief") for soup in soups.values() if soup.select_one("#brief")]
    assert briefs
    assert {brief["data-text"] for brief in briefs} == {"+12025550171"}


def test_the_pocket_file_shows_how_to_reach_the_company_at_the_more_urgent(trees, tmp_path):
    """One section stands for both: whoever must call first is not sent to a form."""
    offers = {"can-wait": ["book", "text"], "today": ["call"], "now": ["call"]}
    _, files = built(trees, tmp_path, {"offers": offers})
    pocket = BeautifulSoup(files["hot/pocket.html"], "html.parser")
    found = {}
    for section in pocket.select("section.calls"):
        soon = section.select_one(".soon.hurried") or section.select_one(".soon")
        if section.select_one(".call a"):
            found[soon["class"][1]] = way(section.select_one(".call a")["href"])
    assert found
    assert found == {urgency: offers[urgency][0] for urgency in found}


def test_each_company_has_a_hash_of_its_own_and_so_has_a_change(trees, tmp_path):
    hashes = set()
    for number, changes in enumerate([{}, {"name": "Other (demo)"}, {"book": None}]):
        folder = tmp_path / str(number)
        folder.mkdir()
        path = write_company(folder, {**CHANGES, **changes}, picture=PICTURE)
        brand = for_company(path, course_of(trees)).brand
        hashes.add(edition_for(course_of(trees), trees, brand=brand, environ={}).hash)
    hashes.add(edition_for(course_of(trees), trees, environ={}).hash)
    assert len(hashes) == 4


def test_the_hash_of_the_edition_is_on_every_page_and_in_the_plan(trees, tmp_path):
    made, files = built(trees, tmp_path, make=whole_site)
    edition = edition_for(made.course, trees, today=TODAY, brand=made.brand, environ={})
    for name, content in files.items():
        if name.endswith(".html"):
            assert f", {edition.hash}.".encode() in content, name
    assert edition.hash.encode() in files["worker.js"]
    manifest = json.loads(files["app.webmanifest"])
    assert manifest["name"] == CHANGES["name"]
    assert manifest["theme_color"] == "#0b5a3c"


def test_pages_of_which_less_is_offered_show_the_causes_of_their_own_rehearsal(tmp_path):
    trees = small_library(tmp_path / "t")
    path = write_company(tmp_path, {"leave-out": {"checks": ["reset-breaker"]}})
    made = for_company(path, course_of(trees))
    edition = edition_for(made.course, trees, brand=made.brand, environ={})
    assert edition.rehearsed is None
    command = b"stepstop rehearse --write --company FILE"
    assert command in build_site(made.course, edition)["rehearsed.html"]

    of = fingerprint(trees, made.course)
    found = made_up(made.course)
    narrowed(trees, of).mkdir(parents=True)
    (narrowed(trees, of) / NAME).write_bytes(written(found, of))
    editions = Editions(trees, environ={})
    own, others = editions.of(made.course, brand=made.brand), editions.of(course_of(trees))
    assert own.rehearsed == found
    assert others.rehearsed is None
    assert b"so none are shown" not in build_site(made.course, own)["rehearsed.html"]
    assert own.hash != others.hash


def test_the_company_s_own_place_is_meant(trees, tmp_path):
    path = write_company(tmp_path, {"place": "nowhere"})
    made = for_company(path, course_of(trees))
    edition = edition_for(made.course, trees, place="us", brand=made.brand, environ={})
    assert edition.place.id == "nowhere"


def test_pages_without_a_company_have_nothing_of_one(trees):
    for name, content in site_of(trees).items():
        if name.endswith(".html"):
            text = content.decode()
            assert "isOpen" not in text, name
            assert 'class="brand"' not in text, name
            assert "DEMO" not in text, name


def test_the_same_slots_in_json_are_escaped_there():
    content = f"<p>{slot('name')}</p>{json.dumps({'of': str(slot('name'))})}".encode()
    filled = form_of(content).filled({"name": 'A "b" é'}.get)
    assert filled.decode().startswith('<p>A "b" é</p>')
    assert json.loads(filled.decode().partition("</p>")[2]) == {"of": 'A "b" é'}
    assert form_of(b"nothing").filled(None) == b"nothing"


def test_the_shipped_demo_has_as_many_pages_as_its_course():
    made, files = site_for(REAL / "companies" / "pinefold.yml", REAL)
    assert all(f"{page}.html" in files for page in made.course.pages if page != "start-page")
    calls = sum(b'href="tel:+12025550143"' in content for content in files.values())
    assert calls > 100


def test_no_account_is_sent_to_a_company_about_what_it_leaves_to_others(trees, tmp_path):
    unserved = {"trees": ["cold"], "say": "Ask a company that works on it."}
    made, files = built(trees, tmp_path, {"unserved": unserved})
    numbers = {}
    for name, content in files.items():
        found = re.search(rb'<section id="brief"[^>]* data-text="([^"]*)"', content)
        if found:
            numbers.setdefault(made.course.pages[page_of(name)].tree, set()).add(found[1].decode())
    assert numbers["cold"] == {""}
    assert numbers["hot"] == {"+12025550171"}


def test_an_agent_reads_that_the_company_does_not_come_for_what_it_leaves_to_others(
    trees, tmp_path
):
    unserved = {"trees": ["hot"], "say": 'Ask <b>another</b> & "better" company.'}
    path = write_company(tmp_path, {**CHANGES, "unserved": unserved}, picture=PICTURE)
    made, files = site_for(path, trees)
    bodies = data_in(files["calls.js"].decode())["bodies"]
    comes = {body["who"] for body in bodies if "who" in body}
    assert unserved["say"] in comes
    assert len(comes) > 1
    edition = edition_for(made.course, trees, today=TODAY, brand=made.brand, environ={})
    page = booklet(made.course, edition, paper="letter")
    text = BeautifulSoup(page, "html.parser").get_text(" ")
    assert f"Who comes: {unserved['say']}" in re.sub(r"\s+", " ", text)
    assert OPEN.encode() not in page
    told = write_site(files, tmp_path / "site")
    assert changes_page(made.course, edition, read_told(told, "en"))[1] == 0


def page_of(name):
    return name.removesuffix(".html").removesuffix(".technician")


def test_many_companies_are_written_and_a_broken_one_stops_no_other(trees, tmp_path):
    folder, target = tmp_path / "companies", tmp_path / "sites"
    folder.mkdir()
    names = ("one", "two", "three")
    for name in names:
        limits = {"leave-out": {"checks": ["reset-breaker"]}} if name == "three" else {}
        changes = {"company": name, "name": f"Company {name} (demo)", **limits}
        write_company(folder, changes, name=name)
    command = ["build", "--companies", str(folder), "--into", str(target)]
    command += ["--trees", str(trees), "--today", TODAY]
    assert CliRunner().invoke(main, command).exit_code == 0
    before = read_all(target)
    assert {name.split("/")[0] for name in before} == {*names}
    for name in names:
        path = folder / f"{name}.yml"
        alone = {f"{name}/{k}": v for k, v in site_for(path, trees, make=whole_site)[1].items()}
        assert alone == {k: v for k, v in before.items() if k.startswith(f"{name}/")}
    write_company(folder, {"company": "two", "phone": "911"}, name="two")
    write_company(folder, {"company": "one", "name": "Company anew (demo)"}, name="one")
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 1
    assert "is not a whole telephone number" in result.output
    assert "not written, because of problems: two.yml" in result.output
    after = read_all(target)
    for name in names:
        old, new = (
            {k: v for k, v in files.items() if k.startswith(f"{name}/")}
            for files in (before, after)
        )
        assert (old == new) == (name != "one")


def read_all(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name != MARKER
    }


def test_a_folder_without_a_company_is_told(trees, tmp_path):
    command = ["build", "--companies", str(tmp_path), "--trees", str(trees)]
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 2
    assert "no company's file" in result.output


@pytest.mark.parametrize("option", ["--into", "--trees", "--today"])
def test_what_only_many_companies_take_is_refused_without_them(option, tmp_path):
    result = CliRunner().invoke(main, ["build", option, str(tmp_path)])
    assert result.exit_code == 2
    assert f"{option} is an option of --companies" in result.output


def test_many_companies_take_no_option_of_mkdocs(tmp_path):
    result = CliRunner().invoke(main, ["build", "--companies", str(tmp_path), "--clean"])
    assert result.exit_code == 2
    assert "without MkDocs" in result.output
