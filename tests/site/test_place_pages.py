"""Editions for other places: their units first, their number or none, their licences and words."""

import re
from dataclasses import dataclass

import pytest
from babel.messages.pofile import read_po
from bs4 import BeautifulSoup
from click.testing import CliRunner

from browser.sites import REAL, course_of, whole_site_of
from stepstop.cli import main
from stepstop.edition import edition_for
from stepstop.pages.address import ORIGINS
from stepstop.pages.booklet import booklet
from stepstop.picture.flow import flow
from stepstop.units import own_first

SPACE = "[ \u00a0]"
FAHRENHEIT_FIRST = re.compile(rf"\d{SPACE}?°F(?!\))")
CELSIUS_FIRST = re.compile(rf"\d{SPACE}?°C{SPACE}\([^)]{{0,12}}°F\)")
FEET_FIRST = re.compile(rf"\w{SPACE}(?:ft|feet|foot|in|inch|inches){SPACE}?\(\d[^)]{{0,12}}m\)")
ESCAPED = {"&nbsp;": "\u00a0", "\\u00a0": "\u00a0", "\\u00b0": "°"}
WAITING = "hot-house.html"


@dataclass(frozen=True)
class There:
    """A whole site for a place, with what its catalogue says of the place."""

    place: object
    files: dict[str, bytes]

    def texts(self):
        for name, content in self.files.items():
            if name.endswith((".html", ".js", ".json")):
                text = content.decode()
                for written, sign in ESCAPED.items():
                    text = text.replace(written, sign)
                yield name, text

    def soup(self, name):
        return BeautifulSoup(self.files[name], "html.parser")


@pytest.fixture(scope="module", params=["ca", "neutral"])
def there(request):
    place = course_of(REAL).library.catalogue.places[request.param]
    return There(place, whole_site_of(REAL, place=request.param))


def said(soup):
    return " ".join(soup.get_text(" ").split())


def test_every_temperature_and_length_has_the_unit_of_the_place_first(there):
    sizes = 0
    for name, text in there.texts():
        sizes += text.count("°C") + text.count(" m (")
        found = FAHRENHEIT_FIRST.search(text) or FEET_FIRST.search(text)
        assert found is None, (name, text[found.start() - 60 : found.end() + 20])
    assert sizes > 500


def test_in_the_united_states_it_is_the_other_way_round():
    ours = There(None, whole_site_of(REAL))
    assert any(FAHRENHEIT_FIRST.search(text) for _, text in ours.texts())
    for name, text in ours.texts():
        assert not CELSIUS_FIRST.search(text), name


def test_pages_dial_the_number_of_the_place_or_none(there):
    dialled = set()
    for name in there.files:
        if name.endswith(".html"):
            text = there.files[name].decode()
            dialled |= set(re.findall(r'href="?(tel:[^">\s]+)', text))
            if there.place.id == "neutral":
                assert not re.search(r"(?<![\w.#-])911(?![\w.-])", text), name
    assert dialled == ({"tel:911"} if there.place.id == "ca" else set())


def test_danger_names_the_number_or_how_to_find_it(there):
    text = said(there.soup("danger/index.html")) + said(there.soup("index.html"))
    assert str(there.place.emergency_say) in text


def test_an_outcome_says_who_is_licensed_there(there):
    who = there.place.who
    found = [
        said(there.soup(name))
        for name in there.files
        if name.startswith("no-heat-gas/") and "/technician" not in name
    ]
    for work in ("gas", "electrical", "refrigerant"):
        assert any(str(who[work]) in text for text in found), work
    ours = course_of(REAL).library.catalogue.places["us"].who
    assert not any(str(ours["refrigerant"]) in text for text in found)


def test_every_page_has_the_disclaimer_of_the_place(there):
    first = str(there.place.disclaimer[0])
    pages = [n for n in there.files if n.endswith("/index.html")]
    assert pages
    for name in (*pages, "index.html"):
        assert first in said(there.soup(name)), name


def test_the_page_of_sources_lists_what_the_place_says(there):
    tables = {table.caption.get_text(): table for table in there.soup(ORIGINS).find_all("table")}
    table = tables[f"What holds in this place: {there.place.name}"]
    rows = {
        cells[0]: cells[1:]
        for row in table.tbody.find_all("tr")
        if (cells := [cell.get_text() for cell in row.find_all(["th", "td"])])
    }
    assert len(rows) == len(there.place.rests_on) == 5
    assert rows["Emergency number"][0] == there.place.emergency_say
    assert rows["Who may work on gas"][0] == there.place.who["gas"]
    assert rows["Who may work on refrigerant"][0] == there.place.who["refrigerant"]
    for basis, row in zip(there.place.rests_on.values(), rows.values(), strict=True):
        assert row[2] == basis.reviewed
        assert row[1]
    known = course_of(REAL).library.catalogue.sources
    titles = {
        row.th.get_text() for row in tables["Every source that a page names"].select("tbody tr")
    }
    assert {known[s].title for b in there.place.rests_on.values() for s in b.source} <= titles


def test_what_rests_on_memory_says_so(there):
    sources = course_of(REAL).library.catalogue.sources
    text = said(there.soup(ORIGINS))
    assert text.count("from memory, not looked up") >= (3 if there.place.id == "ca" else 1)
    if there.place.id == "ca":
        assert sources["canada-refrigerants"].seen == "from-memory"


def test_the_booklet_and_pictures_have_them_too(there):
    course = course_of(REAL)
    edition = edition_for(course, REAL, place=there.place.id, today="2026-11-25", environ={})
    assert edition.rehearsed is not None, "figures are those of the same trees"
    text = booklet(course, edition, paper="letter").decode().replace("&nbsp;", "\u00a0")
    assert "°C (" in text
    assert not FAHRENHEIT_FIRST.search(text)
    assert not FEET_FIRST.search(text)
    tree = course.library.trees["no-cooling"]
    told = [text for edge in flow(course, tree, place=there.place).edges for text in edge.answers]
    assert any("°C (" in text for text in told)
    assert not any(FAHRENHEIT_FIRST.search(text) for text in told)


def test_export_writes_them_for_a_place(tmp_path):
    words = ["export", str(tmp_path / "pages"), "--trees", str(REAL), "--place", "ca"]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    text = (tmp_path / "pages" / WAITING).read_text("utf-8")
    assert "32\u00a0°C (90\u00a0°F)" in text
    unknown = CliRunner().invoke(main, [*words[:-1], "cb"])
    assert unknown.exit_code == 2
    assert "no place `cb`; known: ca, neutral, us" in unknown.output


def test_texts_in_other_languages_can_be_turned_as_often_as_the_english():
    for path in sorted((REAL / "languages").glob("*.po")):
        with path.open("rb") as file:
            catalogue = read_po(file)
        pairs = [(str(m.id), str(m.string)) for m in catalogue if m.id and m.string]
        turned = [pair for pair in pairs if own_first(pair[0], "C", "m") != pair[0]]
        assert len(turned) > 20
        for english, words in turned:
            assert _turns(words) == _turns(english), english


def _turns(text):
    """How many pairs of units in a text are turned."""
    turned = own_first(text, "C", "m")
    return sum(turned.count(f"{unit} (") - text.count(f"{unit} (") for unit in ("°C", "m"))
