"""The scripts on paper: whoever follows the numbers says what the pages ask."""

import ctypes
import re
import shutil

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner

from browser.bilingual import atlases, spoken
from browser.sites import REAL, TODAY, course_of, small_library
from stepstop.cli import main
from stepstop.edition import edition_for
from stepstop.pages.atlas import atlas_of
from stepstop.pages.booklet import PAPERS, _letters, booklet, booklet_view
from stepstop.pages.spoken import Spoken
from stepstop.pages.step import choices
from unit.companies import PICTURE, write_company

COMPLAINT = "fan-never-stops"


@pytest.fixture(scope="module")
def atlas():
    course = course_of(REAL)
    return atlas_of(course, edition_for(course, REAL, today=TODAY, environ={}))


@pytest.fixture(scope="module")
def view(atlas):
    return booklet_view(atlas, "letter")


@pytest.fixture(scope="module")
def page():
    course = course_of(REAL)
    edition = edition_for(course, REAL, today=TODAY, environ={})
    return BeautifulSoup(booklet(course, edition, paper="letter"), "html.parser")


def entries(view):
    return {entry.number: entry for section in view.sections for entry in section.entries}


def test_steps_are_numbered_in_their_order_and_none_is_missing(view):
    numbers = [entry.number for section in view.sections for entry in section.entries]
    assert numbers == list(range(1, view.count + 1))
    assert len(numbers) < len(course_of(REAL).pages) / 2
    assert {to for e in entries(view).values() for _, _, to in e.answers} <= {0, *numbers}


def test_following_the_numbers_says_what_the_pages_say(atlas, view):
    """Page and paper side by side, from where calls begin over every answer of every page."""
    known, spoken = entries(view), Spoken(atlas)
    begins = {section.title: section.begin for section in view.sections}
    found = {atlas.danger: begins["Danger"]}
    for tree in atlas.course.library.complaints():
        found[atlas.roots[tree.id]] = begins[str(tree.title)]
    waiting = list(found)
    for page_id in waiting:
        page, entry = atlas.pages[page_id], known[found[page_id]]
        body = spoken.body(page)
        assert {k: v for k, v in entry.body.items() if k != "soon"} == {
            k: v for k, v in body.items() if k != "soon"
        }
        if page.outcome is not None:
            is_sooner = page.mode.hurry and entry.hurried
            wanted = entry.hurried if is_sooner else entry.body["soon"]
            assert (body["soon"] or [""])[0] == wanted, page_id
        assert entry.is_once == bool(atlas.ways.once_on(page))
        for (text, _, to), move in zip(entry.answers, choices(page), strict=True):
            if to == 0:
                assert move.to == "start-page", text
            elif move.to in found:
                assert found[move.to] == to
            else:
                found[move.to] = to
                waiting.append(move.to)
    assert len(found) == len(atlas.ways.pages)


def test_numbers_on_the_page_lead_to_their_steps(page, view):
    ids = [section["id"] for section in page.select(".step")]
    assert ids == [f"s{number}" for number in range(1, view.count + 1)]
    for link in page.select("a[href^='#s']"):
        number = link["href"].removeprefix("#s")
        assert re.search(r"\d+$", link.get_text())[0] == number
        assert link["href"].removeprefix("#") in ids
    for section in page.select(".step"):
        entry = entries(view)[int(section["id"][1:])]
        told = [e.b.get_text() for e in section.select(".answers li")]
        wanted = [
            f"go to {to}" if to else "go back to where you were" for _, _, to in entry.answers
        ]
        assert told == wanted


def test_danger_stands_inside_the_cover_and_is_named_on_every_page(page, view):
    cover, inside, *_ = page.select("body > .page")
    assert cover.h1.get_text() == "Scripts for calls"
    assert inside.h1.get_text() == "First words of every call"
    assert inside.select_one(".step")["id"] == f"s{view.danger}" == "s1"
    styles = "".join(style.get_text() for style in page.select("style"))
    assert "Go to 1 at once." in styles
    assert "No substitute for a licensed technician." in styles


def test_the_index_has_all_that_callers_say(page, atlas):
    shown = {li.span.get_text(): int(li.a.get_text()) for li in page.select(".index li")}
    begins = {li.span.get_text(): li.a["href"] for li in page.select(".contents li")}
    for tree in atlas.course.library.complaints():
        for words in tree.words:
            assert str(words) in shown
        assert begins[str(tree.title)] == f"#s{shown[str(tree.title)]}"
    words = list(shown)
    assert words == sorted(words, key=str.lower)


def test_it_runs_no_script_and_fetches_nothing(page):
    assert not page.find_all(["script", "img", "iframe", "form"])
    assert [link["href"] for link in page.find_all("link")] == ["data:,"]
    assert "default-src 'none'" in page.find("meta", attrs={"http-equiv": True})["content"]


def test_a_booklet_of_one_complaint_has_only_what_leads_there(atlas, view):
    own = booklet_view(atlas, "a4", (COMPLAINT,))
    assert own.paper == PAPERS["a4"]
    assert own.count < view.count / 4
    assert [s.title for s in own.sections][:2] == ["Danger", "The fan never stops"]


# ---- the command and the PDF ----


def run(*words):
    return CliRunner().invoke(main, ["booklet", *map(str, words)])


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    """A booklet of one complaint for a company, printed."""
    if not (shutil.which("chromium") or shutil.which("chromium-browser")):
        pytest.skip("needs Chromium")
    folder = tmp_path_factory.mktemp("booklet")
    company = write_company(
        folder, {"name": "Sample & Sons (demo)", "logo": "logo.svg"}, picture=PICTURE
    )
    target = folder / "booklet.pdf"
    options = ("--complaint", COMPLAINT, "--company", company, "--today", TODAY)
    result = run("--into", target, *options)
    assert result.exit_code == 0, result.output
    return target, options


def links_of(document):
    """(text on a link, number of the page where it leads) of every link inside a PDF."""
    for number in range(len(document)):
        page = document[number]
        text, link, start = page.get_textpage(), pdfium.FPDF_LINK(), ctypes.c_int(0)
        while pdfium.FPDFLink_Enumerate(page.raw, start, link):
            dest = pdfium.FPDFLink_GetDest(document.raw, link)
            if not dest:
                continue  # A number to call.
            box = pdfium.FS_RECTF()
            assert pdfium.FPDFLink_GetAnnotRect(link, box)
            said = text.get_text_bounded(box.left, box.bottom, box.right, box.top)
            yield said.strip(), pdfium.FPDFDest_GetDestPageIndex(document.raw, dest)


def test_on_paper_each_number_leads_to_the_page_with_the_step_of_that_number(printed, atlas):
    document = pypdfium2.PdfDocument(printed[0])
    texts = [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
    titles = {
        entry.number: " ".join(entry.body["title"].split())
        for entry in entries(booklet_view(atlas, "letter", (COMPLAINT,))).values()
    }
    found = list(links_of(document))
    assert len(found) > 500
    for said, there in found:
        number = int(re.search(r"(\d+)\s*$", said)[1])
        assert f"{number} {titles[number]}" in texts[there], said
    assert {int(re.search(r"\d+$", said)[0]) for said, _ in found} >= titles.keys() - {1}


def test_on_paper_the_answers_stand_with_their_numbers(printed, atlas):
    """The text of the PDF alone, walked from the fan that never stops to an ending."""
    document = pypdfium2.PdfDocument(printed[0])
    text = "\n".join(document[i].get_textpage().get_text_bounded() for i in range(len(document)))
    flat = " ".join(text.split())
    view = booklet_view(atlas, "letter", (COMPLAINT,))
    for entry in entries(view).values():
        title = " ".join(entry.body["title"].split())
        at = flat.find(f" {entry.number} {title}")
        assert at >= 0, entry.number
        for answer, _, to in entry.answers:
            words = "Then" if entry.body["kind"] == "note" else " ".join(answer.split())
            line = f"{words} " + (f"go to {to}" if to else "go back to where you were")
            assert flat.find(line, at) >= 0, (entry.number, line)


def test_it_is_tagged_dated_by_no_clock_and_has_the_strip_on_every_page(printed):
    target, options = printed
    content = target.read_bytes()
    assert b"/StructTreeRoot" in content
    assert b"/Outlines" in content
    assert f"(D:{TODAY.replace('-', '')}000000".encode() in content
    document = pypdfium2.PdfDocument(target)
    for number in range(len(document)):
        text = " ".join(document[number].get_textpage().get_text_bounded().split())
        assert "Gas smell, alarm, smoke, someone ill, water at wiring? Go to 1 at once." in text
        assert "No substitute for a licensed technician." in text
        assert f"Page {number + 1} of {len(document)}" in text
    first = document[0].get_textpage().get_text_bounded()
    assert "Sample & Sons (demo)" in first
    assert "DEMO, not reviewed" in first
    again = target.with_name("again.pdf")
    assert run("--into", again, *options).exit_code == 0
    assert again.read_bytes() == content


def test_without_a_browser_it_says_how_to_print(tmp_path, monkeypatch):
    monkeypatch.setattr("stepstop.printing.shutil.which", lambda name: None)
    trees = small_library(tmp_path / "trees")
    result = run("--trees", trees, "--into", tmp_path / "b.pdf")
    assert result.exit_code == 1
    assert "write booklet.html instead" in result.output
    assert not (tmp_path / "b.pdf").exists()


def test_a_browser_that_fails_is_told_of_and_the_last_booklet_stays(tmp_path, monkeypatch):
    broken = tmp_path / "chromium"
    broken.write_text("#!/bin/sh\necho 'no screen' >&2\nexit 3\n")
    broken.chmod(0o755)
    monkeypatch.setattr("stepstop.printing.shutil.which", lambda name: str(broken))
    (tmp_path / "b.pdf").write_bytes(b"last")
    trees = small_library(tmp_path / "trees")
    result = run("--trees", trees, "--into", tmp_path / "b.pdf")
    assert result.exit_code == 1
    assert "did not print: no screen" in result.output
    assert (tmp_path / "b.pdf").read_bytes() == b"last"


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--into", "booklet.doc"), "ends neither in .pdf nor in .html"),
        (("--into", "nowhere/booklet.pdf"), "no folder nowhere"),
        (("--complaint", "no-hat"), "no complaint `no-hat`"),
        (("--place", "mars"), "no place `mars`"),
        (("--today", "soon"), "is not a date"),
    ],
)
def test_what_can_not_be_printed_is_told(options, words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    trees = small_library(tmp_path / "trees")
    result = run("--trees", trees, "--into", tmp_path / "b.html", *options)
    assert result.exit_code != 0
    assert words in result.output
    assert list(tmp_path.iterdir()) == [trees]


# ---- in another language ----


def test_in_spanish_it_says_what_its_pages_say_and_nothing_in_english(view):
    own = booklet_view(atlases()["es"], "letter")
    assert own.count == view.count
    page = BeautifulSoup(
        booklet(*spoken()[1], paper="letter", complaints=(COMPLAINT,)), "html.parser"
    )
    assert page.html["lang"] == "es"
    styles = "".join(style.get_text() for style in page.select("style"))
    assert "Vaya al paso 1 de inmediato." in styles
    assert {"vaya al paso 2", "vuelva a donde estaba"} <= {
        b.get_text() for b in page.select(".answers b")
    }
    heard = [p.get_text() for p in page.select(".step > p") if "Puede que oiga" in p.get_text()]
    assert len(heard) > 10
    assert all(" puede ser: " in text for text in heard)
    english = booklet(*spoken()[0], paper="letter", complaints=(COMPLAINT,))
    lines, theirs = (
        {" ".join(each.split()) for each in soup.find_all(string=True)}
        for soup in (page.body, BeautifulSoup(english, "html.parser").body)
    )
    assert {line for line in lines & theirs if re.search("[a-z]{2}", line)} <= {"911"}


def test_accents_change_no_place_in_the_index():
    words = [word for word, _ in booklet_view(atlases()["es"], "letter").index]
    assert sorted(words, key=_letters) == words
    assert [_letters(word) for word in ("Él", "está", "Ñandú")] == ["el", "esta", "nandu"]


def test_what_callers_say_may_be_something_else(page):
    [text] = {
        p.get_text() for p in page.select(".step > p") if "just the smoke alarm" in p.get_text()
    }
    assert text.startswith("You may hear: “It's just the smoke alarm chirping” may be: a carbon")


@pytest.mark.parametrize(("code", "words"), [("es", "missing-language"), ("xx-no", "`xx-no`")])
def test_a_language_that_can_not_be_had_is_told(code, words, tmp_path):
    trees = small_library(tmp_path / "trees")
    result = run("--trees", trees, "--into", tmp_path / "b.html", "--language", code)
    assert result.exit_code != 0
    assert words in result.output
    assert not (tmp_path / "b.html").exists()
