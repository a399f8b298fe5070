"""A company's edition in several languages: each page in its own, technicians' in the company's."""

from dataclasses import replace
from posixpath import normpath

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner

from browser.sites import TODAY, course_of, rehearse, small_library
from stepstop.cli import main
from stepstop.companies import for_company
from stepstop.edition import edition_for
from stepstop.pages.address import CONTROL, MANIFEST, REHEARSED, technician_file
from stepstop.pages.likely import has_technician_copy
from stepstop.pages.slots import CLOSE, OPEN, form_of, kept_in, slot
from stepstop.publish import MARKER
from stepstop.site import Forms, whole_site
from stepstop.tongues import Languages
from unit.companies import PICTURE, write_company
from unit.packs import kept
from unit.spoken import SIGN, speak
from unit.test_company_said import BOTH, SAID

CHANGES = {
    **BOTH,
    "unserved": None,
    "review": None,
    "translations": {"es": {key: said for key, said in SAID.items() if key != "unserved"}},
    "address": "https://help.sample.example/",
    "colours": {"light": "#0b5a3c", "dark": "#8fe0b9"},
    "logo": "logo.svg",
}
OWN, OTHER = "One of us calls back.", SAID["after-hours"]["say"]


@pytest.fixture(scope="module")
def trees(tmp_path_factory):
    """The small library with words in another language, rehearsed."""
    return speak(rehearse(small_library(tmp_path_factory.mktemp("company-languages"))))


def spoken_for(path, trees):
    """The course of the company in a file in each of its languages, with its editions."""
    whole = course_of(trees)
    languages = Languages(whole.library, trees)
    made = for_company(path, whole, library_in=languages.library_in)
    assert made.problems == ()
    edition = edition_for(made.course, trees, today=TODAY, brand=made.brand, environ={})
    return languages.spoken(made.course, edition, made.brand.company.languages)


@pytest.fixture(scope="module")
def spoken(trees, tmp_path_factory):
    return spoken_for(
        write_company(tmp_path_factory.mktemp("one"), CHANGES, picture=PICTURE), trees
    )


@pytest.fixture(scope="module")
def site(spoken):
    (course, edition), *others = spoken
    return whole_site(course, edition, others=others)


def for_technicians(course):
    """Pages in the company's language."""
    outcomes = {page.id: page.outcome for page in course.pages.values() if page.outcome}
    copies = (technician_file(name) for name, end in outcomes.items() if has_technician_copy(end))
    return {CONTROL, REHEARSED, *copies}


def soups(site, folder):
    """The pages below a folder by their names in it; at the root, those of no other language."""
    return {
        name.removeprefix(folder): BeautifulSoup(content, "html.parser")
        for name, content in site.items()
        if name.endswith(".html")
        and name.startswith(folder)
        and (folder or not name.startswith("es/"))
    }


def test_no_slot_stays_open(site):
    for name, content in site.items():
        if name.endswith(".png"):
            continue
        text = content.decode()
        assert OPEN not in text, name
        assert CLOSE not in text, name
        assert "\\u0002" not in text, name


def test_each_page_speaks_one_language_and_leads_to_the_other(site, spoken):
    technicians = for_technicians(spoken[0][0])
    pages = {folder: soups(site, folder) for folder in ("", "es/")}
    assert pages[""].keys() == pages["es/"].keys()
    said = {"": 0, "es/": 0}
    for folder, code, own, other in (("", "en", OWN, OTHER), ("es/", "es", OTHER, OWN)):
        for name, soup in pages[folder].items():
            theirs = name in technicians
            assert soup.html["lang"] == ("en" if theirs else code), name
            text = soup.get_text(" ", strip=True)
            assert theirs or other not in text, name
            said[folder] += own in text
            assert "Sample Heating (demo)" in soup.footer.get_text(" ", strip=True), name
            review = "DEMO, sin revisar" if code == "es" and not theirs else "DEMO, not reviewed"
            assert review in soup.footer.get_text(" ", strip=True), name
            licence = "contratista DEMO-1, a nombre de la empresa. Zona de trabajo: Condado Demo."
            is_there = licence in soup.footer.get_text(" ", strip=True)
            assert is_there == (code == "es" and not theirs), name
    assert said[""] == said["es/"] > 3


def test_what_technicians_read_is_in_the_company_s_language_with_the_hash_around_it(site, spoken):
    [own, other] = [edition for _, edition in spoken]
    technicians = for_technicians(spoken[0][0])
    count = 0
    for name, soup in soups(site, "es/").items():
        text = soup.get_text(" ", strip=True)
        assert other.hash in text, name
        assert own.hash not in text, name
        if name in technicians:
            count += 1
            licence = "contractor DEMO-1, held by the company"
            assert licence in soup.footer.get_text(" ", strip=True), name
            assert SIGN not in soup.footer.get_text(), name
    assert count > 3


def test_what_works_offline_is_the_same_as_online(site, spoken):
    technicians = for_technicians(spoken[0][0])
    for folder in ("", "es/"):
        below = {
            name.removeprefix(folder): content
            for name, content in site.items()
            if name.startswith(folder)
        }
        phone = kept(below)
        names = [
            (number, name) for number, pack in enumerate(phone.packs) for name in pack["pages"]
        ]
        seen = 0
        for number, name in names:
            if name != "~/404.html":
                seen += name in technicians
                assert phone.page(number, name) == site[normpath(f"{folder}{name}")], name
        assert seen > 3
        theirs = {name for _, name in names if name.startswith("../")} - {"../calls.js"}
        assert bool(theirs) == bool(folder)
        assert "../trail.js" in theirs or not folder
        assert {phone.plan["places"][name] for name in theirs} <= phone.apart
        assert "Sample Heating (demo)" in below[MANIFEST].decode()


def test_forms_that_are_filled_give_the_same_files(spoken, site, trees, tmp_path):
    forms = Forms(spoken)
    assert forms.site([edition for _, edition in spoken]) == site
    # Another company with the same languages has its own words in the same forms.
    other = {**CHANGES, "name": "Other Heating (demo)", "nobody-can-come": "Then ask another one."}
    path = write_company(tmp_path, other, picture=PICTURE)
    another = spoken_for(path, trees)
    assert not forms.fit(another[:1])
    assert not forms.fit([another[0], another[0]])
    editions = [edition for _, edition in another]
    mine = [(course, edition) for (course, _), edition in zip(spoken, editions, strict=True)]
    assert forms.fit(mine)
    assert not forms.fit([(c, replace(e, date="2026-01-01")) for c, e in mine])
    (course, edition), *others = another
    assert forms.site(editions) == whole_site(course, edition, others=others)


def test_the_company_s_own_language_may_be_any(trees, tmp_path):
    said = CHANGES["translations"]["es"]
    own = {**CHANGES, "languages": ["es", "en"], "translations": {"en": said}}
    own["after-hours"] = {**own["after-hours"], "fee": "Son 9 más."}
    path = write_company(tmp_path, own, picture=PICTURE)
    (course, edition), *others = spoken_for(path, trees)
    site = whole_site(course, edition, others=others)
    root, other = (
        BeautifulSoup(site[f"{folder}index.html"], "html.parser") for folder in ("", "en/")
    )
    assert (root.html["lang"], other.html["lang"]) == ("es", "en")
    for name in for_technicians(course):
        for folder in ("", "en/"):
            soup = BeautifulSoup(site[f"{folder}{name}"], "html.parser")
            assert soup.html["lang"] == "es", name
            assert "DEMO, sin revisar" in soup.footer.get_text(" ", strip=True), name


def test_what_is_handed_on_has_the_frame_in_each_language(site):
    assert "es/embed/snippets.txt" not in site
    assert "es/embed/embed.js" in site
    text = site["embed/snippets.txt"].decode()
    assert 'src="https://help.sample.example/cold/pocket.html"' in text
    assert 'src="https://help.sample.example/es/cold/pocket.html"' in text
    assert "In the language es (Español)" in text
    assert "Abrir los pasos en una página aparte" in text
    assert 'href="https://help.sample.example/es/index.html"' in text


def test_another_sentence_is_another_edition(spoken, trees, tmp_path):
    said = {**CHANGES["translations"]["es"], "nobody-can-come": "Llame a otra empresa."}
    path = write_company(tmp_path, {**CHANGES, "translations": {"es": said}}, picture=PICTURE)
    other = spoken_for(path, trees)
    for (_, one), (_, another) in zip(spoken, other, strict=True):
        assert one.hash != another.hash


def test_a_slot_of_another_language_says_so_in_text_and_in_data():
    page = f'<p>{slot("foot")} {slot("hash")}</p>{{"x": "\\u0002call now a b c\\u0003"}}'.encode()
    form = form_of(kept_in("en", page, but=("hash",)))
    assert form.slots == (("in en foot", False), ("hash", False), ("in en call now a b c", True))
    assert kept_in("en", b"<p>plain</p>") == b"<p>plain</p>"


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def files_in(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name != MARKER
    }


def test_the_commands_make_it_in_the_languages_of_its_file(site, trees, tmp_path):
    folder = tmp_path / "companies"
    folder.mkdir()
    path = write_company(folder, CHANGES, picture=PICTURE)
    write_company(folder, {"company": "plain"}, name="plain")
    given = ("--trees", trees, "--today", TODAY)
    assert run("verify", trees, "--company", path).exit_code == 0
    assert run("export", tmp_path / "alone", "--company", path, *given).exit_code == 0
    assert files_in(tmp_path / "alone") == site
    result = run("build", "--companies", folder, "--into", tmp_path / "all", *given)
    assert result.exit_code == 0, result.output
    assert files_in(tmp_path / "all" / "sample") == site
    assert not [name for name in files_in(tmp_path / "all" / "plain") if name.startswith("es/")]
    result = run("export", tmp_path / "no", "--company", path, "--language", "es", *given)
    assert result.exit_code == 2
    assert "`languages` in the company's file says them" in result.output


def test_the_booklet_and_changes_are_in_one_of_its_languages(trees, tmp_path):
    path = write_company(tmp_path, CHANGES, picture=PICTURE)
    given = ("--trees", trees, "--today", TODAY, "--company", path)
    assert run("export", tmp_path / "old", *given).exit_code == 0
    for words, code, other in (
        ((), "en", OTHER),
        (("--language", "es"), "es", OWN),
    ):
        into = tmp_path / f"{code}.html"
        result = run("booklet", "--into", into, *words, *given)
        assert result.exit_code == 0, result.output
        text = into.read_text("utf-8")
        assert f'<html lang="{code}"' in text
        assert other not in text
        result = run("changes", tmp_path / "old", "--into", into, *words, *given)
        assert result.exit_code == 0, result.output
        assert ": 0 changes" in result.output
        assert f'<html lang="{code}"' in into.read_text("utf-8")
    result = run("booklet", "--into", tmp_path / "no.html", "--language", "fr", *given)
    assert result.exit_code == 2
    assert "the company's file has en, es, and no `fr`" in result.output
