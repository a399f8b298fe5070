"""The hand-written pages of the shipped site: what stands round them, and where they lead."""

from __future__ import annotations

from posixpath import dirname, join, normpath
from urllib.parse import urldefrag

import pytest
from bs4 import BeautifulSoup

from project.small_site import EPOCH, ShippedSite
from stepstop.pages.address import EMBED
from stepstop.pages.embedding import SANDBOX

SAID = {
    "en": (
        "Gas smell, alarm, smoke",
        "Local codes and licensing rules come first.",
        "call 911 from outside",
        "Not yet reviewed by a licensed technician.",
        "Checked against our safety rules. Edition: United States, 2026-09-21, ",
    ),
    "es": (
        "¿Olor a gas, una alarma, humo",
        "Los códigos locales y las reglas de licencias van primero.",
        "llame al 911 desde afuera",
        "Todavía sin revisión de un técnico con licencia.",
        "Comprobado según nuestras reglas de seguridad. Edición: Estados Unidos, 2026-09-21, ",
    ),
}
"""What the frame says in each language: strip, disclaimer, emergency, reviews, edition."""
LOADED = (
    "script[src], img[src], iframe[src], link[rel~=stylesheet], link[rel~=icon], link[rel~=preload]"
)


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return ShippedSite(tmp_path_factory.mktemp("shipped")).built(SOURCE_DATE_EPOCH=EPOCH)


@pytest.fixture(scope="module")
def pages(files: dict[str, bytes]) -> dict[str, BeautifulSoup]:
    """Those with the theme's header."""
    ours = {name: page for name, page in files.items() if b'class="md-header' in page}
    assert {"about.html", "safety.html", "complaints/no-heat.html"} <= ours.keys()
    return {name: BeautifulSoup(page, "html.parser") for name, page in ours.items()}


def test_each_has_the_strip_first_and_it_leads_to_the_danger_page(
    pages: dict[str, BeautifulSoup],
) -> None:
    for name, page in pages.items():
        links = [a for a in page.select("body a") if "md-skip" not in a.get("class", [])]
        assert links[0].get_text().startswith(SAID[language(page)][0])
        folder = "" if language(page) == "en" else f"{language(page)}/"
        assert target(name, links[0]["href"]) == f"{folder}danger/index.html"


def test_each_says_what_may_be_claimed_where_and_when(pages: dict[str, BeautifulSoup]) -> None:
    for name, page in pages.items():
        assert page.article is not None
        text = page.article.get_text()
        for said in SAID[language(page)][1:]:
            assert said in text, name


def language(page: BeautifulSoup) -> str:
    assert page.html is not None
    return str(page.html["lang"])


def test_those_for_homeowners_and_agents_are_there_in_spanish_too(
    pages: dict[str, BeautifulSoup],
) -> None:
    for page in ("about", "safety", "privacy", "glossary", "call-centers"):
        english, spanish = (f"{folder}{page}.html" for folder in ("", "es/"))
        assert language(pages[spanish]) == "es"
        for name, other in ((english, spanish), (spanish, english)):
            [link] = pages[name].select("article .stepstop-languages a")
            assert target(name, link["href"]) == other
            assert link["lang"] == link["hreflang"] == language(pages[other])
            named = pages[name].select("link[rel=alternate][hreflang]")
            assert {target(name, each["href"]) for each in named} == {english, spanish}
    assert not pages["authors.html"].select(".stepstop-languages, link[hreflang]")


def test_a_page_in_spanish_has_as_many_headings_points_and_rows(
    pages: dict[str, BeautifulSoup],
) -> None:
    for name in [name for name in pages if name.startswith("es/")]:
        english, spanish = (
            [len(each.select(f"article {tag}")) for tag in ("h1", "h2", "li", "tr", "dt", "pre")]
            for each in (pages[name.removeprefix("es/")], pages[name])
        )
        assert english == spanish, name


def test_none_loads_anything_from_another_host(pages: dict[str, BeautifulSoup]) -> None:
    for name, page in pages.items():
        loaded = [tag.get("src") or tag.get("href") for tag in page.select(LOADED)]
        assert len(loaded) >= 3
        assert [url for url in loaded if "//" in str(url)] == [], name


def test_every_link_leads_to_a_file_of_the_site(
    pages: dict[str, BeautifulSoup], files: dict[str, bytes]
) -> None:
    for name, page in pages.items():
        links = [a["href"] for a in page.select("a[href]") if "://" not in a["href"]]
        assert [href for href in links if target(name, href) not in files] == [], name


def target(page: str, href: object) -> str:
    """The file that a link on `page` leads to."""
    path = urldefrag(str(href))[0]
    return normpath(join(dirname(page), path)) if path else page


def test_every_complaint_and_rule_is_in_the_navigation(pages: dict[str, BeautifulSoup]) -> None:
    entries = pages["about.html"].select("nav.md-nav--primary a.md-nav__link")
    listed = {target("about.html", a["href"]) for a in entries}
    assert listed >= pages.keys()
    assert "index.html" in listed
    assert all(a.get_text(strip=True) not in ("", "None") for a in entries)


def test_a_page_shows_a_complaint_in_a_frame_as_another_site_would(
    pages: dict[str, BeautifulSoup], files: dict[str, bytes]
) -> None:
    [frame] = pages["companies.html"].select("stepstop-help > iframe")
    assert target("companies.html", frame["src"]) in files
    assert frame["sandbox"] == SANDBOX.split()
    assert frame["title"]
    assert frame.find_next_sibling("p").a["href"] == frame["src"]
    script = pages["companies.html"].find("script", src="embed/embed.js")
    assert script is not None
    assert EMBED in files
