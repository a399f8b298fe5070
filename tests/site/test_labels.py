"""Printed labels: scanned from paper they lead to pages that are there, and nothing collides."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from browser.sites import REAL, course_of, read_texts, small_library, write_texts
from stepstop.cli import main
from stepstop.labels import said
from stepstop.labels.sheet import READY
from stepstop.rules import spoken
from stepstop.source import NOWHERE, Located
from unit.companies import site_for, write_company
from unit.printed import SHEETS, Paper, boxes, line_at

ADDRESS = "https://help.sample.example/guide"
UNITS = ("furnace", "air-handler", "outdoor-unit", "boiler")
DANGER = "Smell gas, or an alarm sounds? Go outside first. Then call 911."
ROOM, MODULE = 20.0, 0.4
"""What a code needs at the least, mm: in all with its quiet zone, and for a module."""
OFF = 0.3
"""By so much outlines and labels may differ, mm."""


@pytest.fixture(scope="module")
def few(tmp_path_factory):
    """A small library with four units of the shipped names, which is read sooner than all."""
    trees = small_library(tmp_path_factory.mktemp("few"))
    units = read_texts(REAL / "catalogue/equipment.yml")["equipment"]
    for name, unit in units.items():
        unit |= {"complaints": ["cold"], "trees": ["cold"] if name == "boiler" else []}
    write_texts({"equipment": units}, trees / "catalogue/equipment.yml")
    return trees


@pytest.fixture(scope="module")
def labels(few):
    """Does what the command does."""

    def labels(company, into, *options, trees=few):
        given = ["labels", "--company", company, "--trees", trees, "--into", into, *options]
        return CliRunner().invoke(main, [str(each) for each in given])

    return labels


@pytest.fixture(scope="module")
def printed(labels):
    """Puts labels on paper."""

    def printed(company, into, *options, **more):
        result = labels(company, into, *options, **more)
        assert result.exit_code == 0, result.output
        return Paper(into)

    return printed


@pytest.fixture(scope="module")
def company(tmp_path_factory):
    """The file of a company whose pages lie somewhere."""
    return write_company(tmp_path_factory.mktemp("company"), {"address": ADDRESS})


@pytest.fixture(scope="module")
def papers(printed, company, tmp_path_factory):
    """Sheet -> its labels with outlines, on paper."""
    folder = tmp_path_factory.mktemp("papers")
    options = ("--grid", "--sheet")
    return {
        name: printed(company, folder / f"{name}.pdf", *options, name, trees=REAL) for name in READY
    }


@pytest.fixture(scope="module")
def scans(papers):
    """Sheet -> the code of each of its labels."""
    return {name: paper.scans(name) for name, paper in papers.items()}


def inside(inner, outer):
    """Whether one (left, top, right, bottom) lies in another."""
    return all(a >= b for a, b in zip(inner[:2], outer[:2], strict=True)) and all(
        a <= b for a, b in zip(inner[2:], outer[2:], strict=True)
    )


def ends(box):
    left, top, width, height = box
    return left, top, left + width, top + height


# ---- what a phone finds ----


def test_the_ready_sheets_are_those_that_are_measured_here():
    assert SHEETS.keys() == READY.keys()


@pytest.mark.parametrize("name", SHEETS)
def test_every_code_is_read_and_leads_to_each_unit_in_turn(name, scans):
    found = [scan and scan.text for scan in scans[name]]
    turns = len(found) // len(UNITS) + 1
    assert found == [f"{ADDRESS}/{unit}/" for unit in UNITS * turns][: len(found)]


def test_the_page_that_a_code_leads_to_is_there_and_lists_what_the_catalogue_says(company, scans):
    library = course_of(REAL).library
    _, files = site_for(company, REAL)
    addresses = {scan.text for found in scans.values() for scan in found}
    assert len(addresses) == len(UNITS)
    for address in sorted(addresses):
        name = address.removeprefix(f"{ADDRESS}/")
        page = BeautifulSoup(files[f"{name}index.html"], "html.parser")
        unit = library.catalogue.equipment[name.rstrip("/")]
        listed = {a["href"] for a in page.select(".answers a")}
        assert listed == {f"../{complaint}/index.html" for complaint in unit.complaints}
        assert str(unit.name) in page.h1.get_text()


@pytest.mark.parametrize("name", SHEETS)
def test_codes_are_large_enough_and_their_quiet_zones_are_white(name, papers, scans):
    picture, per_mm = papers[name].picture(), 300 / 25.4
    for scan in scans[name]:
        left, top, right, bottom = scan.quiet
        assert right - left >= ROOM - OFF
        assert scan.module >= MODULE - 0.01
        whole = picture[round(top * per_mm) : round(bottom * per_mm)]
        whole = whole[:, round(left * per_mm) : round(right * per_mm)]
        edge = round(3.5 * scan.module * per_mm)
        for strip in (whole[:edge], whole[-edge:], whole[:, :edge], whole[:, -edge:]):
            assert strip.min() > 200


# ---- where all lies ----


@pytest.mark.parametrize("name", SHEETS)
def test_the_page_has_the_size_of_the_sheet(name, papers):
    assert papers[name].size() == pytest.approx(SHEETS[name][:2], abs=OFF)


@pytest.mark.parametrize("name", SHEETS)
def test_outlines_lie_where_the_labels_do(name, papers):
    picture = papers[name].picture()
    for left, top, right, bottom in map(ends, boxes(name)):
        for x in (left, right):
            assert line_at(picture, x, top + 1, across=True) == pytest.approx(x, abs=OFF)
        for y in (top, bottom):
            assert line_at(picture, y, left + 1, across=False) == pytest.approx(y, abs=OFF)


@pytest.mark.parametrize("name", SHEETS)
def test_all_letters_lie_in_a_label_and_clear_of_its_code(name, papers, scans):
    letters = list(papers[name].letters())
    assert len(letters) > 100 * len(boxes(name))
    places = list(zip(map(ends, boxes(name)), scans[name], strict=True))
    for letter, box in letters:
        [scan] = [scan for label, scan in places if inside(box, label)]
        left, top, right, bottom = scan.quiet
        beside = box[0] >= right - OFF or box[2] <= left + OFF
        assert beside or box[1] >= bottom - OFF or box[3] <= top + OFF, letter


def test_all_can_be_moved_for_a_printer_that_is_off(company, papers, tmp_path, printed):
    moved = printed(company, tmp_path / "x.pdf", "--sheet", "a4-8", "--grid", "--nudge", "1.5,-2")
    left, top, right, _ = ends(boxes("a4-8")[2])
    found = line_at(moved.picture(), left + 1.5, top + 2, across=True)
    assert found == pytest.approx(left + 1.5, abs=OFF)
    found = line_at(moved.picture(), top - 2, right - 2, across=False)
    assert found == pytest.approx(top - 2, abs=OFF)
    before, after = papers["a4-8"].scans("a4-8")[3], moved.scans("a4-8")[3]
    assert after.box[0] - before.box[0] == pytest.approx(1.5, abs=OFF)
    assert after.box[1] - before.box[1] == pytest.approx(-2, abs=OFF)


def test_without_grid_there_is_no_outline(company, tmp_path, printed):
    paper = printed(company, tmp_path / "x.pdf", "--sheet", "a4-8")
    left, top, _, _ = boxes("a4-8")[0]
    assert (
        paper.picture()[round((top + 1) * 300 / 25.4), : round((left + 1) * 300 / 25.4)].min() > 250
    )


# ---- what it says ----


@pytest.mark.parametrize("name", SHEETS)
def test_a_label_says_what_it_is_for_danger_then_the_company(name, papers):
    for box, unit in zip(boxes(name), UNITS * 8, strict=False):
        text = papers[name].text(box)
        wanted = [
            f"{unit.replace('-', ' ').capitalize()} stopped?",
            f"help.sample.example/guide/{unit}/",
            DANGER,
            "Sample Heating (demo)",
            "Call (202) 555-0143",
        ]
        places = [text.replace("/ ", "/").index(each) for each in wanted]
        assert places == sorted(places), unit
        assert "License DEMO-1" in text
        assert "DEMO, not reviewed" in text


def test_hours_stand_where_there_is_room(papers):
    hours = "Monday 8 AM to 5 PM; Friday 8 AM to 5 PM."
    assert hours in papers["a4-8"].text(boxes("a4-8")[0])
    assert "Monday" not in papers["letter-30"].text(boxes("letter-30")[0])


@pytest.fixture
def one(printed, tmp_path):
    """Changes of a company -> the text of its first label."""

    def one(changes, **more):
        path = write_company(tmp_path, {"address": ADDRESS, **changes})
        paper = printed(path, tmp_path / "x.pdf", "--sheet", "a4-8", **more)
        return paper.text(boxes("a4-8")[0])

    return one


def test_a_number_for_other_hours_is_told(one):
    after = {"phone": "+12025550158", "say": "One of us calls back."}
    assert "At other hours: (202) 555-0158." in one({"after-hours": after})


def test_every_license_is_named_and_a_named_reviewer_takes_demo_away(one):
    both = [
        {"number": number, "kind": "contractor", "holder": "the company"}
        for number in ("DEMO-1", "DEMO-2")
    ]
    review = {"role": "Demo lead", "licence": "contractor", "on": "2026-11-25", "due": "2027-11-25"}
    text = one({"licences": both, "review": review})
    assert "License DEMO-1, DEMO-2" in text
    assert "not reviewed" not in text


@pytest.mark.parametrize(
    ("place", "words"),
    [("ca", "Then call 911."), ("neutral", "Then call your local emergency number.")],
)
def test_the_emergency_number_is_the_place_s_own_or_none(place, words, one):
    text = one({"place": place}, trees=REAL)
    assert words in text
    assert ("911" in text) == (place == "ca")


def test_the_texts_of_labels_pass_the_rules_about_words(library):
    ours = (said.DANGER, said.SCAN, said.OTHER_HOURS)
    assert spoken(tuple(Located(text, NOWHERE) for text in ours), library) == ()


def test_labels_in_another_language_of_the_company_lead_to_its_pages(labels, printed, tmp_path):
    company = REAL / "companies" / "wendlebrook.yml"
    for sheet in ("letter-10", "a4-8"):
        into = tmp_path / f"{sheet}.pdf"
        paper = printed(company, into, "--sheet", sheet, "--language", "es", trees=REAL)
        found = {scan.text for scan in paper.scans(sheet)}
        home = "https://help.wendlebrook.example/es/"
        assert found == {f"{home}{unit}/" for unit in UNITS if unit != "boiler"}
    text = " ".join(paper.text(boxes("a4-8")[0]).split())
    assert "¿Huele a gas o suena una alarma? Primero salga. Después llame al 911." in text
    assert "Licencia DEMO-2038" in text
    assert "License" not in text
    result = labels(company, into, "--language", "fr", trees=REAL)
    assert result.exit_code == 2
    assert "the company's file has en, es, and no `fr`" in result.output


# ---- which, and how many ----


def test_what_a_company_leaves_to_others_has_no_label(tmp_path, labels, printed):
    unserved = {"trees": ["cold"], "say": "We leave boilers to others."}
    company = write_company(tmp_path, {"address": ADDRESS, "unserved": unserved})
    paper = printed(company, tmp_path / "x.pdf", "--sheet", "a4-8")
    assert {scan.text.split("/")[-2] for scan in paper.scans("a4-8")} == set(UNITS) - {"boiler"}
    result = labels(company, tmp_path / "y.pdf", "--equipment", "boiler")
    assert result.exit_code == 1
    assert "Sample Heating (demo) does not work on `boiler`" in result.output
    assert "sample.yml:" in result.output
    assert not (tmp_path / "y.pdf").exists()


def test_chosen_equipment_fills_the_sheets_from_the_first_free_label(company, tmp_path, printed):
    options = ("--equipment", "boiler", "--equipment", "furnace", "--pages", "2", "--first", "6")
    paper = printed(company, tmp_path / "x.pdf", "--sheet", "a4-8", *options)
    assert len(paper) == 2
    found = [scan for page in (0, 1) for scan in paper.scans("a4-8", page)]
    assert found[:5] == [None] * 5
    units = [scan.text.split("/")[-2] for scan in found[5:]]
    assert units == (["boiler", "furnace"] * 6)[:11]


@pytest.mark.parametrize("address", [ADDRESS, f"{ADDRESS}/"])
def test_a_slash_at_the_end_of_the_address_changes_nothing(address, tmp_path, printed):
    company = write_company(tmp_path, {"address": address})
    paper = printed(company, tmp_path / "x.pdf", "--sheet", "a4-8", "--equipment", "furnace")
    assert paper.scans("a4-8")[0].text == f"{ADDRESS}/furnace/"


def test_a_long_address_makes_a_finer_code_that_still_is_read(tmp_path, printed):
    company = write_company(tmp_path, {"address": f"{ADDRESS}/{'long-folder/' * 9}"})
    paper = printed(company, tmp_path / "x.pdf", "--sheet", "a4-8", "--equipment", "furnace")
    for scan in paper.scans("a4-8"):
        assert scan.text == f"{ADDRESS}/{'long-folder/' * 9}furnace/"
        assert scan.module >= MODULE - 0.01


def test_a_sheet_of_one_s_own(company, tmp_path, printed):
    (tmp_path / "own.yml").write_text(
        "page: {width: 210, height: 297}\ncolumns: 2\nrows: 4\n"
        "label: {width: 99.1, height: 67.7}\nmargin: {left: 4.65, top: 13.1}\ngap: {across: 2.5}\n"
    )
    own = printed(company, tmp_path / "own.pdf", "--sheet", tmp_path / "own.yml")
    assert len([scan for scan in own.scans("a4-8") if scan]) == 8


def test_a_high_narrow_label_has_its_code_above_the_text(company, tmp_path, printed):
    (tmp_path / "own.yml").write_text(
        "page: {width: 210, height: 297}\ncolumns: 4\nrows: 3\n"
        "label: {width: 45, height: 80}\nmargin: {left: 15, top: 20}\n"
    )
    paper = printed(company, tmp_path / "own.pdf", "--sheet", tmp_path / "own.yml")
    letters = [box for _, box in paper.letters() if box[0] < 60 and box[1] < 100]
    assert min(top for _, top, _, _ in letters) > 20 + 20


# ---- files ----


def test_several_pages_as_svg_are_numbered_and_one_is_not(company, tmp_path, labels):
    result = labels(company, tmp_path / "x.svg", "--pages", "2")
    assert result.exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["x-1.svg", "x-2.svg"]
    assert labels(company, tmp_path / "y.svg").exit_code == 0
    assert (tmp_path / "y.svg").exists()


@pytest.mark.parametrize("ending", ["pdf", "svg"])
def test_the_same_input_gives_the_same_bytes(ending, company, tmp_path):
    made = []
    for number, zone, seed in ((1, "Asia/Tokyo", "1"), (2, "America/Denver", "2")):
        into = tmp_path / f"{number}.{ending}"
        command = [sys.executable, "-m", "stepstop", "labels", "--company", company, "--into", into]
        environment = {
            **os.environ,
            "TZ": zone,
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": str(Path(main.callback.__code__.co_filename).parents[1]),
        }
        environment.pop("SOURCE_DATE_EPOCH", None)
        subprocess.run(
            [*command, "--trees", REAL],
            env=environment,
            check=True,
            capture_output=True,
            timeout=60,
        )
        made.append(into.read_bytes())
    assert made[0] == made[1]


def test_the_date_in_the_file_is_the_one_given(company, tmp_path, labels, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    dates = []
    for options in (["--today", "2026-11-25"], []):
        labels(company, tmp_path / "x.pdf", *options)
        dates.append(Paper(tmp_path / "x.pdf").document.get_metadata_dict()["CreationDate"])
    assert dates[0].startswith("D:20261125")
    assert not dates[1].startswith("D:2026")


def test_a_printer_is_told_not_to_change_the_size(company, tmp_path, labels):
    labels(company, tmp_path / "x.pdf")
    assert b"/PrintScaling /None" in (tmp_path / "x.pdf").read_bytes()


# ---- letters that few fonts have ----

ODD = "Žofie Heating (demo)"


def font(path, text):
    """Write a font whose every sign of `text` is a box."""
    builder = FontBuilder(1000, isTTF=True)
    names = {ord(sign): f"sign{ord(sign)}" for sign in text}
    glyphs = [".notdef", *dict.fromkeys(names.values())]
    builder.setupGlyphOrder(glyphs)
    builder.setupCharacterMap(names)
    pen = TTGlyphPen(None)
    for number, place in enumerate([(50, 0), (450, 0), (450, 700), (50, 700)]):
        (pen.lineTo if number else pen.moveTo)(place)
    pen.closePath()
    box = pen.glyph()
    builder.setupGlyf(dict.fromkeys(glyphs, box))
    builder.setupHorizontalMetrics(dict.fromkeys(glyphs, (500, 50)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Boxes", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.save(path)
    return path


@pytest.fixture
def odd(tmp_path):
    return write_company(tmp_path, {"address": ADDRESS, "name": ODD})


def test_a_sign_that_the_font_has_not_is_named_with_both_ways_out(odd, tmp_path, labels):
    result = labels(odd, tmp_path / "x.pdf")
    assert result.exit_code == 1
    assert "the type has no Ž" in result.output
    assert "--font FILE.ttf" in result.output
    assert ".svg" in result.output
    assert not (tmp_path / "x.pdf").exists()


def test_a_font_of_one_s_own_is_embedded(odd, tmp_path, printed):
    letters = "".join(map(chr, range(32, 127))) + "Ž"
    own = font(tmp_path / "own.ttf", letters)
    paper = printed(odd, tmp_path / "x.pdf", "--sheet", "a4-8", "--font", own)
    assert ODD in paper.text(boxes("a4-8")[0])
    assert all(paper.scans("a4-8"))
    again = tmp_path / "y.pdf"
    printed(odd, again, "--sheet", "a4-8", "--font", own)
    assert again.read_bytes() == (tmp_path / "x.pdf").read_bytes()


def test_a_font_that_lacks_a_sign_is_told_as_well(odd, tmp_path, labels):
    own = font(tmp_path / "own.ttf", "".join(map(chr, range(32, 127))))
    result = labels(odd, tmp_path / "x.pdf", "--font", own)
    assert result.exit_code == 1
    assert "the type has no Ž" in result.output


def test_an_svg_takes_any_sign(odd, tmp_path, labels):
    assert labels(odd, tmp_path / "x.svg").exit_code == 0
    assert ODD in (tmp_path / "x.svg").read_text("utf-8")


# ---- what is refused ----

REFUSED = {
    "unknown sheet": (["--sheet", "a4-9"], 2, "no sheet `a4-9`; did you mean `a4-8`"),
    "no such file": (["--sheet", "gone.yml"], 2, "no sheet `gone.yml`"),
    "unknown equipment": (
        ["--equipment", "furnance"],
        1,
        "no equipment `furnance`; did you mean `furnace`?",
    ),
    "first beyond the sheet": (["--first", "11"], 2, "--first: the sheet has 10 labels"),
    "first of none": (["--first", "0"], 2, "--first"),
    "more units than places": (
        ["--first", "9"],
        1,
        "4 labels are wanted, and 2 are left on the sheet",
    ),
    "a nudge that is none": (["--nudge", "1"], 2, "`1` is not X,Y"),
    "a nudge without an end": (["--nudge", "nan,0"], 2, "more than 5 mm is another sheet"),
    "too far": (["--nudge", "0,6"], 2, "more than 5 mm is another sheet"),
    "a date that is none": (["--today", "soon"], 1, "`soon` is not a date like 2026-01-31"),
}


@pytest.mark.parametrize("kind", REFUSED)
def test_what_is_refused_leaves_the_last_file(kind, company, tmp_path, labels):
    options, status, message = REFUSED[kind]
    into = tmp_path / "x.pdf"
    into.write_bytes(b"the last one")
    result = labels(company, into, *options)
    assert result.exit_code == status, result.output
    assert message in " ".join(result.output.split())
    assert into.read_bytes() == b"the last one"
    assert [path.name for path in tmp_path.iterdir()] == ["x.pdf"]


def test_without_an_address_there_is_nowhere_to_lead(tmp_path, labels):
    company = write_company(tmp_path)
    result = labels(company, tmp_path / "x.pdf")
    assert result.exit_code == 1
    assert f"{company}: missing-key: the key `address` is missing here" in result.output
    assert "mend: add `address`" in result.output


def test_all_problems_of_a_company_are_told(tmp_path, labels):
    company = write_company(tmp_path, {"phone": "5550143", "place": "uss"})
    result = labels(company, tmp_path / "x.pdf")
    assert result.exit_code == 1
    assert "2 problems" in result.output


def test_trees_with_a_problem_are_told(company, tmp_path, labels):
    result = labels(company, tmp_path / "x.pdf", trees=tmp_path)
    assert result.exit_code == 1
    assert "no tree is here" in result.output


def test_problems_of_the_company_and_of_the_sheet_are_told_at_once(tmp_path, labels):
    company = write_company(tmp_path, {"phone": "5550143", "address": ADDRESS})
    (tmp_path / "own.yml").write_text("page: {width: 210, height: 297}\ncolumns: many\n")
    result = labels(company, tmp_path / "x.pdf", "--sheet", tmp_path / "own.yml")
    assert result.exit_code == 1
    assert "`5550143` is not a whole telephone number" in result.output
    assert "`many` is not a whole number" in result.output


def test_problems_of_a_sheet_are_told_with_their_lines(company, tmp_path, labels):
    (tmp_path / "own.yml").write_text("page: {width: 210, height: 297}\ncolumns: many\n")
    result = labels(company, tmp_path / "x.pdf", "--sheet", tmp_path / "own.yml")
    assert result.exit_code == 1
    assert "own.yml:2:10: wrong-type: `many` is not a whole number" in result.output
    assert "the key `rows` is missing here" in result.output


MANY = [
    {"number": f"DEMO-CONTRACTOR-{number}", "kind": "contractor", "holder": "the company"}
    for number in range(1000, 1009)
]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"licences": MANY}, "a shorter name"),
        ({"address": f"{ADDRESS}/{'long-folder-' * 20}"}, "a shorter `address`"),
    ],
)
def test_what_does_not_fit_is_told_with_a_way_out(changes, message, tmp_path, labels):
    company = write_company(tmp_path, {"address": ADDRESS, **changes})
    result = labels(company, tmp_path / "x.pdf", "--sheet", "letter-30")
    assert result.exit_code == 1
    assert "choose a larger sheet" in result.output
    assert message in result.output


@pytest.mark.parametrize(
    ("into", "message"),
    [
        ("gone/x.pdf", "gone is no folder; make it first"),
        ("x.png", "`x.png` is neither .pdf nor .svg"),
    ],
)
def test_a_file_that_can_t_be_is_refused(into, message, company, tmp_path, labels):
    result = labels(company, tmp_path / into)
    assert result.exit_code == 1
    assert message in result.output
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("into", ["x.pdf", "x.svg"])
def test_a_font_that_is_none_is_told(into, company, tmp_path, labels):
    own = tmp_path / "own.ttf"
    own.write_text("no font")
    result = labels(company, tmp_path / into, "--font", own)
    assert result.exit_code == 1
    assert "can't be embedded as a font" in result.output
    assert not (tmp_path / into).exists()


def test_a_font_is_for_a_pdf(company, tmp_path, labels):
    own = font(tmp_path / "own.ttf", "".join(map(chr, range(32, 127))))
    result = labels(company, tmp_path / "x.svg", "--font", own)
    assert result.exit_code == 1
    assert "--font is for a PDF" in result.output
