"""The site in English and Spanish: the same pages, the same walks, no text left in English."""

import html
import json
import random
import re
from dataclasses import replace
from datetime import date
from posixpath import join, normpath

import pytest
from bs4 import BeautifulSoup

from browser.bilingual import CODES, atlases, both, spoken
from browser.sites import REAL, TODAY, course_of, small_library
from stepstop.company.hours import Opening, Span, lines
from stepstop.edition import EditionError, edition_for, look_files
from stepstop.language.messages import file_of, long_date, update
from stepstop.language.prose import texts
from stepstop.offline import Offline
from stepstop.pages.address import REHEARSED, START, WORKER
from stepstop.pages.frame import frame
from stepstop.pages.rendering import gathered
from stepstop.tongues import Languages, MissingWords

WALKS = 500
TECHNICIANS = (".technician.html", "control-circuit.html", "rehearsed.html")
"""Ends of pages in the company's language."""
SAME = re.compile(r"[^A-Za-z]*|\W*(ON|OFF|AUTO|HEAT|COOL|FAN|HOLD|EM|AC|CO|Esc|DANGER|NOTICE)\W*")


@pytest.fixture(scope="module")
def site():
    """File -> content."""
    return both()


def pages(site, folder=""):
    """The pages below a folder by their names in it; at the root, those of no other language."""
    return {
        name.removeprefix(folder): content
        for name, content in site.items()
        if name.endswith(".html")
        and name.startswith(folder)
        and (folder or not name.startswith("es/"))
    }


def is_for_technicians(name):
    return name.endswith(TECHNICIANS)


def test_both_languages_have_the_same_pages(site):
    english, spanish = pages(site), pages(site, "es/")
    assert english.keys() == spanish.keys()
    assert len(spanish) > 3900


def test_each_page_says_its_language_and_leads_to_itself_in_the_other(site):
    for code, folder in (("en", ""), ("es", "es/")):
        other = next(each for each in CODES if each != code)
        for name, content in pages(site, folder).items():
            text = content.decode()
            own = "en" if is_for_technicians(name) else code
            assert f'<html lang="{own}"' in text, name
            found = re.findall(rf'<a class="tongue"[^>]* lang="{other}"[^>]*>', text)
            if is_for_technicians(name) or name == "404.html":
                assert not found, name
                continue
            [link] = found
            assert f'hreflang="{other}"' in link
            to = re.search(r'href="([^"#]*)', link)[1]
            there = normpath(join(folder + name, "..", html.unescape(to)))
            assert there == f"{'' if other == 'en' else 'es/'}{name}", name


def test_listed_pages_name_both_languages_for_search_engines(site):
    for name, content in site.items():
        if not name.endswith(".html"):
            continue
        soup = content.decode()
        named = re.findall(r'<link rel="alternate" hreflang="([\w-]+)"', soup)
        is_listed = 'name="robots" content="noindex"' not in soup
        assert sorted(named) == (["en", "es", "x-default"] if is_listed else []), name


def test_no_text_is_left_in_english_on_a_spanish_page(site):
    english = {str(text.text) for text in texts(course_of(REAL).library)}
    english |= {str(text.text) for text in gathered(look_files(()))}
    spanish = {str(text.text) for text in texts(spoken()[1][0].library)}
    spanish |= set(atlases()["es"].edition.tongue.phrases.values())
    # Of a phrase with markup, a page shows the pieces between.
    english, spanish = (
        {piece.strip() for text in texts for piece in re.split("<[^>]+>", text)}
        for texts in (english, spanish)
    )
    left = {text for text in english - spanish if not SAME.fullmatch(text)}
    assert len(left) > 5000
    found = {}
    for name, content in pages(site, "es/").items():
        if is_for_technicians(name):
            continue
        text = re.sub(r"<(script|style)\b.*?</\1>", "", content.decode(), flags=re.DOTALL)
        text = re.sub(r'<(\w+)[^>]* lang="en"[^>]*>.*?</\1>', "", text, flags=re.DOTALL)
        for piece in set(
            re.findall(r'>([^<]+)<|\s(?:title|aria-label|data-say|alt)="([^"]+)"', text)
        ):
            said = html.unescape("".join(piece)).strip().replace("\u00a0", " ")
            if said in left:
                found.setdefault(said, name)
    assert not found


def test_walks_land_alike_whatever_the_language(site):
    random.seed(8)
    kinds = set()
    for _ in range(WALKS):
        here = random.choice([t.id for t in course_of(REAL).library.complaints()])
        here = f"{here}/index.html"
        while True:
            one, two = answers(site, here), answers(site, f"es/{here}")
            assert [(to, word) for _, to, word in one] == [
                (to.removeprefix("es/"), word) for _, to, word in two
            ]
            if not one:
                break
            number = random.randrange(len(one))
            here = one[number][1]
            kinds.add(len(one))
        assert here in site
        assert f"es/{here}" in site
    assert len(kinds) > 3


LINK = re.compile(r'<li><a href="([^"#]+)[^"]*"(?: data-a="([^"]*)")?[^>]*>.*?<span>(.*?)</span>')


def answers(site, name):
    """(text, file, word) of each answer."""
    text = site[name].decode()
    nav = re.search(
        r'<nav aria-label="[^"]*">\s*(?:<h2>.*?</h2>\s*)?<ul class="answers.*?</nav>',
        text,
        re.DOTALL,
    )
    return [
        (said, normpath(join(name, "..", to)), word)
        for to, word, said in LINK.findall(nav[0] if nav else "")
    ]


def test_trails_codes_and_versions_are_the_same_in_both():
    one, two = (atlases()[code].ways for code in CODES)
    assert one.version == two.version
    assert list(one.by_page) == list(two.by_page)
    for page, ways in one.by_page.items():
        assert [(w.word, w.to) for w in ways] == [(w.word, w.to) for w in two.by_page[page]]


def test_pages_of_danger_say_it_in_both_languages_with_a_picture(site):
    course = course_of(REAL)
    dangers = [p for p in course.pages.values() if p.outcome and p.outcome.kind == "danger"]
    assert len(dangers) > 10
    for page in dangers:
        for folder, other in (("", "es"), ("es/", "en")):
            soup = BeautifulSoup(site[f"{folder}{page.id}.html"], "html.parser")
            assert soup.select_one(".alarm .drawing svg"), page.id
            also = soup.select_one(f'main [lang="{other}"]')
            wanted = atlases()[other].pages[page.id].outcome
            shown = "".join(soup.select_one("main").get_text().split())
            for text in (wanted.title, *wanted.do):
                assert "".join(atlases()[other].plain(text).split()) in shown
            assert also
            if wanted.gate:
                before, gate, _ = str(soup.select_one("main")).partition('href="#away"')
                assert gate
                assert "tel:" not in before


def card(of):
    """((said, meaning), ...) of a card for the phone, and its language."""
    assert {each["lang"] for each in of.select("dt")} == {"en"}
    lines = [[" ".join(each.get_text().split()) for each in of.select(tag)] for tag in ("dt", "dd")]
    return list(zip(*lines, strict=True))


def test_what_is_said_on_the_phone_is_in_the_company_s_language_with_its_meaning(site):
    endings = [p for p in atlases()["en"].pages.values() if p.outcome and p.outcome.say]
    assert len(endings) > 100
    greeting = (
        "I speak Spanish. Is there somebody who speaks it?",
        "Hablo español. ¿Hay alguien que lo hable?",
    )
    dangers = [page for page in endings if page.outcome.kind == "danger"]
    for page in [*dangers, *endings[::9]]:
        said, means = (
            [a.plain(t) for t in a.pages[page.id].outcome.say] for a in map(atlases().get, CODES)
        )
        own, spanish = (
            BeautifulSoup(site[f"{folder}{page.id}.html"], "html.parser") for folder in ("", "es/")
        )
        wanted = [greeting, *zip(said, means, strict=True)]
        assert card(spanish.select_one("main .call .card")) == wanted, page.id
        assert not spanish.select("main .say")
        assert [" ".join(each.get_text().split()) for each in own.select("main .say")] == said
        is_danger = page.outcome.kind == "danger"
        assert [card(each) for each in own.select(".also .card")] == [wanted] * is_danger


def test_every_page_to_leave_has_a_card_for_the_phone_behind_its_gate(site):
    dangers = [
        p for p in atlases()["en"].pages.values() if p.outcome and p.outcome.kind == "danger"
    ]
    assert len(dangers) > 10
    for page in dangers:
        for folder in ("", "es/"):
            soup = BeautifulSoup(site[f"{folder}{page.id}.html"], "html.parser")
            gate = "#away " if page.outcome.gate else ""
            assert soup.select_one(f"main {gate}.card"), page.id
            assert len(soup.select(".card")) == len(soup.select(f"{gate}.card"))


def test_what_technicians_read_is_in_the_company_s_language(site):
    for name, content in pages(site, "es/").items():
        if name.endswith(".technician.html"):
            text = content.decode()
            assert "Copy for the technician" in text or "For the technician" in text
            assert re.search(r'data-base="(\.\./)+"', text)
            break


def test_codes_of_languages_are_looked_at():
    course = course_of(REAL)
    edition = edition_for(course, REAL, today=TODAY, environ={})
    for codes in (("en", "en"), (), ("en", "xx-nothing")):
        with pytest.raises(EditionError):
            Languages(course.library, REAL).spoken(course, edition, codes)


def test_a_language_that_lacks_words_stops_the_build(tmp_path):
    trees = small_library(tmp_path / "trees")
    course = course_of(trees)
    edition = edition_for(course, trees, environ={})
    with pytest.raises(MissingWords) as found:
        Languages(course.library, trees).spoken(course, edition, CODES)
    assert {each.flaw for each in found.value.problems} == {"missing-language"}
    update(texts(course.library), file_of(trees, "es"))
    with pytest.raises(MissingWords) as found:
        Languages(course.library, trees).spoken(course, edition, CODES)
    assert {each.flaw for each in found.value.problems} == {"missing-translation"}
    assert all(each.spot.line for each in found.value.problems)


def test_a_language_alone_may_be_the_first():
    course = course_of(REAL)
    edition = edition_for(course, REAL, today=TODAY, environ={})
    [(_, first), (_, second)] = Languages(course.library, REAL).spoken(
        course, edition, ("es", "en")
    )
    assert (first.folder, second.folder) == ("", "en/")
    assert first.hash != second.hash != edition.hash


def test_an_edition_without_a_date_says_so_in_its_language_and_a_phone_knows_it_by_its_hash():
    views = {}
    for code, said in (("en", "undated"), ("es", "sin fecha")):
        atlas = atlases()[code]
        edition = replace(atlas.edition, date="")
        views[code] = frame(START, "", replace(atlas, edition=edition), trees=())
        assert views[code].dated == said
    # A page for technicians is in the company's language, with the hash of those around it.
    kept = Offline(b"", replace(atlas, edition=edition), ())
    for name, view in ((START, views["es"]), (REHEARSED, views["en"])):
        kept.add(name, f"<p>{view.dated}, {edition.hash}.</p>".encode())
    worker = kept.files(edition, str)[WORKER].decode()
    plan = json.loads(re.search(r"const PLAN = (.*);\n", worker)[1])
    assert (plan["mark"], plan["date"]) == (edition.hash, "")


def test_a_link_into_pages_in_the_company_s_language_says_so(site):
    link = re.compile(r'<a href="([^"#]*)[^"]*"([^>]*)>([^<]*)</a>')
    counted = {"en": 0, "es": 0}
    for code, folder in (("en", ""), ("es", "es/")):
        for name, content in pages(site, folder).items():
            if is_for_technicians(name):
                continue
            for to, more, said in link.findall(content.decode()):
                if is_for_technicians(to):
                    counted[code] += 1
                    assert ('hreflang="en"' in more) == (code == "es"), name
                    assert said.endswith(" (en inglés)") == (code == "es"), name
    assert counted["en"] == counted["es"] > 500


def test_a_company_s_hours_and_dates_are_said_in_the_language():
    week = [Span(day, 450, 1080) for day in range(5)] + [Span(5, 540, 720), Span(5, 780, 1440)]
    opening = Opening("America/Chicago", tuple(week), ())
    assert lines(opening, atlases()["es"].worded) == (
        ("Lunes a viernes", "7:30 a. m. a 6 p. m."),
        ("Sábado", "9 a. m. a mediodía y 1 p. m. a medianoche"),
        ("Domingo", "cerrado"),
    )
    assert long_date(date(2026, 12, 25), "es") == "25 de diciembre de 2026"
    assert long_date(date(2027, 1, 1), "en") == "January 1, 2027"
