"""The frame around hand-written pages in the language of each, whatever the edition speaks."""

from __future__ import annotations

import re
from pathlib import Path

import jinja2
import pytest
from bs4 import BeautifulSoup

from project.small_site import FRAMED, Project
from stepstop.language.messages import read
from stepstop.pages.company import DEMO
from stepstop.pages.rehearsed import TITLE
from stepstop.tongues import own_phrases

FRAME = Path(__file__).parents[2] / "site_overrides" / "main.html"

PAGES = {
    "about": "# About\n\n## More\n",
    "es/about": "---\nlang: es\n---\n\n# Qué es\n\n## Más\n",
    "es/solo": "---\nlang: es\n---\n\n# A solas\n",
    "de/about": "---\nlang: de\n---\n\n# Was es ist\n",
    "ht/about": "---\nlang: ht\n---\n\n# Sa li ye\n",
    "more": "# More\n",
}
PALETTE = (
    "font: false, palette: [{scheme: default, "
    "toggle: {icon: material/weather-night, name: Use dark colors}}]"
)


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, BeautifulSoup]:
    """The pages above, in a site whose edition speaks English alone."""
    project = Project(tmp_path_factory.mktemp("languages"))
    for name, text in PAGES.items():
        project.write(f"content/{name}.md", text)
    config = FRAMED.replace("font: false", PALETTE)
    toc = "markdown_extensions: [toc: {permalink: true}]\n"
    project.write("mkdocs.yml", config + toc)
    built = project.built()
    return {name: BeautifulSoup(built[f"{name}.html"], "html.parser") for name in PAGES}


@pytest.mark.parametrize(
    ("name", "code", "search"),
    [
        ("about", "en", "Search"),
        ("es/about", "es", "Búsqueda"),
        ("de/about", "de", "Suche"),
        ("ht/about", "ht", "Search"),
    ],
)
def test_the_theme_speaks_the_language_of_the_page_where_it_has_it(
    pages: dict[str, BeautifulSoup], name: str, code: str, search: str
) -> None:
    page = pages[name]
    assert page.html is not None
    assert page.html["lang"] == code
    [field] = page.select("input.md-search__input")
    assert field["placeholder"] == search


def test_words_of_the_configuration_are_in_spanish_on_a_spanish_page(
    pages: dict[str, BeautifulSoup],
) -> None:
    for name, dark, link in (
        ("about", "Use dark colors", "Permanent link"),
        ("es/about", "Usar colores oscuros", "Enlace permanente"),
    ):
        assert pages[name].select_one(f'input[aria-label="{dark}"]'), name
        assert pages[name].select_one(f'label[title="{dark}"]'), name
        assert {a["title"] for a in pages[name].select("a.headerlink")} == {link}


def test_what_the_edition_says_in_english_alone_is_marked_on_a_spanish_page(
    pages: dict[str, BeautifulSoup],
) -> None:
    strip = pages["es/about"].select_one(".md-banner a")
    small = pages["es/about"].select_one(".stepstop-small")
    assert strip is not None
    assert small is not None
    assert strip.get_text().startswith("¿Olor a gas")
    assert (strip["href"], strip["hreflang"]) == ("../danger/index.html", "en")
    law, *english = small.select("p")[:-2]
    assert law.get_text() == "Los códigos locales y las reglas de licencias van primero."
    assert [p.get("lang") for p in english] == ["en"] * len(english)
    assert english
    assert small.select("p")[-1].get_text().startswith("Todavía sin revisión")


def test_a_language_without_words_of_the_frame_has_the_english_ones_marked(
    pages: dict[str, BeautifulSoup],
) -> None:
    for name in ("de/about", "ht/about"):
        strip = pages[name].select_one(".md-banner a")
        small = pages[name].select_one(".stepstop-small")
        assert strip is not None
        assert small is not None
        assert strip["lang"] == small["lang"] == "en"
        assert strip.get_text().startswith("Gas smell")
        assert "Local codes and licensing rules come first." in small.get_text()
    assert pages["about"].select(".md-banner [lang], .stepstop-small[lang]") == []


@pytest.mark.parametrize(
    ("name", "others"),
    [
        ("about", {"es": "es/about.html", "de": "de/about.html", "ht": "ht/about.html"}),
        ("es/about", {"en": "../about.html", "de": "../de/about.html", "ht": "../ht/about.html"}),
        ("de/about", {"en": "../about.html", "es": "../es/about.html", "ht": "../ht/about.html"}),
        ("es/solo", {}),
        ("more", {}),
    ],
)
def test_a_page_leads_to_itself_in_other_languages_where_it_is_there(
    pages: dict[str, BeautifulSoup], name: str, others: dict[str, str]
) -> None:
    links = pages[name].select(".stepstop-languages a")
    assert {a["hreflang"]: a["href"] for a in links} == others
    assert [a["lang"] for a in links] == [a["hreflang"] for a in links]
    names = {"en": "English", "es": "Español"}
    assert [a.get_text() for a in links] == [names.get(code, code) for code in others]
    own = str(name.split("/")[0]) if "/" in name else "en"
    named = {each["hreflang"] for each in pages[name].select("link[rel=alternate][hreflang]")}
    assert named == ({own, *others} if others else set())


def test_with_the_address_of_the_site_search_engines_are_told_whole_ones(tmp_path: Path) -> None:
    project = Project(tmp_path)
    for name in ("about", "es/about"):
        project.write(f"content/{name}.md", PAGES[name])
    project.write("mkdocs.yml", f"{FRAMED}site_url: https://help.test/guide/\n")
    page = BeautifulSoup(project.built()["es/about.html"], "html.parser")
    named = page.select("link[rel=alternate][hreflang]")
    assert {each["hreflang"]: each["href"] for each in named} == {
        "en": "https://help.test/guide/about.html",
        "es": "https://help.test/guide/es/about.html",
    }


def told(words: dict[str, str]) -> dict[str, str]:
    """What the frame of hand-written pages says -> the phrase of question pages that says it."""
    small_print = f"{words['checked']} {words['edition']} {{place}}, {{dated}}, {{hash}}."
    return {
        f"{words['danger']} <b>{words['tap']}</b>": (
            "Gas smell, alarm, smoke, someone ill, water at wiring? <b>Go here first.</b>"
        ),
        f"{words['reviewed']} {{reviews}}.": "Reviewed by {reviews}.",
        words["unreviewed"]: "Not yet reviewed by a licensed technician.",
        words["demo"].removesuffix("."): DEMO,
        words["checked"]: "Checked against our safety rules.",
        small_print: "Checked against our safety rules. Edition: {place}, {dated}, {hash}.",
        f"No substitute for a licensed technician. {words['law']}": (
            "No substitute for a licensed technician. Local codes and licensing rules come first."
        ),
        words["rehearsed"]: TITLE,
    }


def test_it_says_what_question_pages_say_in_each_language() -> None:
    """The strip, who reviewed, against what it was checked: both frames claim the same."""
    found = re.search(r"{% set tables = (.*?) %}", FRAME.read_text("utf-8"), re.DOTALL)
    assert found
    tables = jinja2.Environment().compile_expression(found[1])()
    path, phrases = own_phrases("es", None)
    words, problems = read(path)
    assert words
    assert not problems
    known = {str(each.text) for each in phrases}
    assert tables.keys() == {"en", "es"}
    for said, phrase in told(tables["en"]).items():
        assert said == phrase
        assert phrase in known
    spanish = told(tables["es"])
    for said, phrase in spanish.items():
        before = "No substitute for a licensed technician. "
        own = said.replace(before, "No reemplaza a un técnico con licencia. ")
        assert own == words.of["page", phrase]
