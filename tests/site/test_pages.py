"""What holds on every page of a built site."""

import base64
import gzip
import hashlib
import re
import unicodedata
from functools import cache
from itertools import pairwise
from posixpath import dirname, join, normpath
from statistics import median

import pytest
from bs4 import BeautifulSoup

from browser.sites import REAL, TODAY, course_of, site_of
from stepstop.edition import edition_for
from stepstop.graph import reachable

HEADERS = 300
"""Bytes that a host's response headers take, about."""
LARGEST = 12_000
ANNEX = {"rehearsed.html": 13_000}
"""A page of figures that nobody needs in the dark."""
MEDIAN = 7_000
"""Bytes of a page on the wire (gzip -9): a page this size comes with the first round trip."""

WALK = "#on"


def told_to_keep_away(soup):
    robots = soup.find("meta", attrs={"name": "robots"})
    return robots is not None and "noindex" in robots["content"]


def links(soup):
    return [a["href"] for a in soup.find_all("a", href=True)]


def gated(soup):
    """The part of a gas page that shows only after the person says to be outside."""
    return soup.find(id="away")


def kinds(built):
    """File -> kind of its page of the course."""
    found = {}
    for page in built.course.pages.values():
        kind = page.step.kind if page.step else page.outcome.kind if page.outcome else None
        if kind:
            found[f"{page.id}.html"] = kind
    return found


def test_every_page_of_the_course_is_there_and_each_file_is_named_by_its_page(built):
    assert set(kinds(built)) <= set(built.files)
    assert {"index.html", "404.html", "danger/index.html"} <= set(built.files)
    assert {"endings/stop-and-call.html", "endings/now/stop-and-call.html"} <= set(built.files)
    for name, kind in kinds(built).items():
        copy = name.removesuffix(".html") + ".technician.html"
        assert (copy in built.files) == (kind in ("call", "watch")), name


def test_the_strip_is_first_on_every_page_and_leads_to_the_danger_page(built):
    for name, soup in built.soups.items():
        first = soup.find("a")
        assert "strip" in first["class"], name
        assert first.find_parent("header") is not None
        here = dirname(name)
        if name == "404.html":
            assert first["href"] == "#danger"
        else:
            assert normpath(join(here, first["href"])) == "danger/index.html", name


def test_stop_and_call_stands_on_every_page_and_behind_the_gate_on_a_gas_page(built):
    for name, soup in built.soups.items():
        [stop] = soup.select(".stop a")
        assert stop.get_text() == "Stop here and call"
        if name != "404.html":
            hurried = "/now" in name
            wanted = "endings/now/stop-and-call.html" if hurried else "endings/stop-and-call.html"
            assert normpath(join(dirname(name), stop["href"].removesuffix(WALK))) == wanted, name
            assert stop["href"].endswith(WALK)
            assert (gated(soup) is None) == (stop.find_parent(id="away") is None), name


def test_before_the_gate_nothing_can_be_called_and_no_word_says_so(built):
    gates = {name for name, soup in built.soups.items() if gated(soup) and name != "404.html"}
    outcomes = {f"{p.id}.html" for p in built.course.pages.values() if p.outcome and p.outcome.gate}
    assert gates == outcomes
    for name in sorted(gates):
        soup = BeautifulSoup(built.files[name], "html.parser")
        away = gated(soup).extract()
        place = soup.get_text(" ")
        for style in soup.select("style"):
            style.decompose()
        assert "tel:" not in str(soup), name
        assert not re.search(r"\b(911|112|999)\b", place), name
        for sentence in re.split(r"[.:?]", place):
            if re.search(r"\b(call|phone|ring|dial)\b", sentence, re.I):
                assert re.search(r"\b(no call|carry this phone)\b", sentence, re.I), sentence
        assert away.select('a[href^="tel:"]')
        assert soup.select_one('a[href="#away"]').get_text(strip=True)


def test_stop_and_call_which_all_lead_to_is_of_no_complaint(built):
    for name in ("endings/stop-and-call.html", "endings/now/stop-and-call.html"):
        up = "../" * name.count("/")
        links = {a["href"].partition("#")[0] for a in built.soups[name].select("main a[href]")}
        links = {each for each in links if not re.match(r"tel:|sms:|mailto:", each)}
        inside = {each for each in links if not re.match(rf"{up}[a-z-]+\.html", each)}
        own = name.rpartition("/")[2]
        assert inside <= {"", own, own.replace(".html", ".technician.html")}, name
        waiting = built.course.library.catalogue.waiting
        assert {f"{up}{each}-house.html" for each in waiting} <= links, name


def test_every_page_has_the_disclaimer_the_review_and_the_edition(built):
    place = built.course.library.catalogue.places["us"]
    for name, soup in built.soups.items():
        law = [p.get_text() for p in soup.select(".law p")]
        assert sorted(law) == sorted(t.replace("{emergency}", "911") for t in place.disclaimer), (
            name
        )
        if gated(soup) and name != "404.html":
            inside = [p.get_text() for p in soup.select(".law p") if not p.find_parent(id="away")]
            assert inside == [t for t in place.disclaimer if "{" not in t], name
        edition = soup.select_one(".edition").get_text()
        assert place.name in edition
        assert TODAY in edition
        assert re.search(r"\b[0-9a-f]{8}\b", edition), name
        assert "Checked against our safety rules" in edition
        reviewed = edition.startswith("Reviewed by ")
        assert reviewed != edition.startswith("Not yet reviewed by a licensed technician."), name


def test_a_review_counts_only_where_every_file_of_the_page_has_one(built):
    trees = built.course.library.trees
    for page in built.course.pages.values():
        if page.step is None:
            continue
        flat = built.course.flat[page.tree, page.label.removeprefix(page.mode.prefix)]
        both = all(tree.review for tree in (trees[page.tree], flat.home))
        edition = built.soups[f"{page.id}.html"].select_one(".edition").get_text()
        assert both == edition.startswith("Reviewed by "), page.id


def test_never_lines_stand_on_every_page(built):
    lines = list(built.course.library.catalogue.rulebook.never)
    for name, soup in built.soups.items():
        assert [li.get_text() for li in soup.select(".never li")] == lines, name


def test_there_is_one_h1_and_on_a_step_it_is_what_the_step_asks(built):
    for name, soup in built.soups.items():
        headings = soup.find_all("h1")
        assert [bool(h.find_parent(id="anew")) for h in headings] in ([False], [False, True]), name
    for page in built.course.pages.values():
        if page.step:
            asks = page.check.name if page.check else page.step.ask
            assert built.soups[f"{page.id}.html"].h1.get_text() == asks.replace(" °", "\u00a0°")


def test_headings_go_down_one_level_at_a_time(built):
    for name, soup in built.soups.items():
        levels = [int(h.name[1]) for h in soup.find_all(re.compile("^h[1-6]$"))]
        assert levels[0] == 1, name
        assert all(b - a <= 1 for a, b in pairwise(levels)), name


def test_every_link_and_fragment_leads_somewhere(built):
    ids = {name: {e["id"] for e in soup.find_all(id=True)} for name, soup in built.soups.items()}
    for name, soup in built.soups.items():
        for href in links(soup):
            if href.startswith("tel:"):
                assert re.fullmatch(r"tel:\+?\d{3,}", href), (name, href)
                continue
            assert not re.match(r"[a-z]+:|/", href), (name, href)
            path, _, fragment = href.partition("#")
            to = normpath(join(dirname(name), path)) if path else name
            assert to in built.files, (name, href)
            assert not fragment or fragment in ids[to], (name, href)


def test_links_that_read_alike_lead_to_the_same_place(built):
    """WCAG 2.2, 2.4.9: a reader who hears the links alone, one after the other."""
    for name, soup in built.soups.items():
        places = {}
        for link in soup.find_all("a", href=True):
            text = " ".join(link.get_text(" ", strip=True).lower().split())
            assert text not in ("", "here", "more", "next", "yes", "no", "link"), (name, text)
            assert places.setdefault(text, link["href"]) == link["href"], (name, text)


def test_help_stands_in_the_same_order_on_every_page(built):
    """WCAG 2.2, 3.2.6: the strip, what the page says, stop and call, the way back, the edition."""
    wanted = ["strip", "h1", "stop", "edition"]
    for name, soup in built.soups.items():
        shown = [e for e in soup.find_all(True) if not e.find_parent(id="anew")]
        marks = [mark for e in shown for mark in (e.name, *e.get("class", []))]
        assert [mark for mark in marks if mark in wanted] == wanted, name


def test_all_text_is_in_the_language_that_the_page_names(built):
    """WCAG 2.2, 3.1.2: no part is said to be in another language, or in other letters."""
    for name, soup in built.soups.items():
        assert [e.name for e in soup.find_all(lang=True)] == ["html"], name
        letters = {letter for letter in soup.get_text() if letter.isalpha()}
        other = {letter for letter in letters if not unicodedata.name(letter).startswith("LATIN")}
        assert not other, name


def test_the_page_for_missing_addresses_has_no_relative_link(built):
    hrefs = links(built.soups["404.html"])
    assert {"#danger", "#call"} <= set(hrefs)
    assert all(href.startswith(("#", "tel:")) for href in hrefs)


def test_ids_are_unique_on_a_page(built):
    for name, soup in built.soups.items():
        ids = [e["id"] for e in soup.find_all(id=True)]
        assert len(ids) == len(set(ids)), name


def test_drawings_are_named_and_named_once(built):
    for name, soup in built.soups.items():
        for svg in soup.find_all("svg"):
            if svg.get("aria-hidden") == "true":
                assert not svg.find(["title", "desc"]), name
            else:
                named = svg["aria-labelledby"].split()
                assert svg["role"] == "img", name
                assert [soup.find(id=i).get_text(strip=True) for i in named], name


def test_titles_are_each_another(built):
    seen = {}
    for name, soup in built.soups.items():
        title = soup.title.get_text()
        assert title, name
        assert title not in seen, (name, seen.get(title))
        seen[title] = name


def test_pages_say_their_language_and_encoding_first(built):
    for name in built.soups:
        start = built.files[name].decode().split("\n")
        assert start[0] == "<!DOCTYPE html>", name
        assert start[1].startswith('<html lang="en" data-v="'), name
        assert start[3] == '<meta charset="utf-8">', name
        assert start[4].startswith('<meta http-equiv="Content-Security-Policy"'), name


def test_the_policy_allows_its_own_style_sheet_and_script_and_nothing_else(built):
    for name, soup in built.soups.items():
        policy = soup.find("meta", attrs={"http-equiv": "Content-Security-Policy"})["content"]
        rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
        [style] = soup.find_all("style")
        loads = bool(loaded(soup))
        wanted = {
            "default-src": "'none'",
            "style-src": hash_of(style),
            "img-src": "'self' data:",
            "connect-src": "'self'",
            "base-uri": "'none'",
            "form-action": "'none'",
            "script-src": " ".join(
                [*["'self'"] * loads, *map(hash_of, soup.find_all("script", src=False))]
            ),
            "require-trusted-types-for": "'script'",
            "trusted-types": f"worker{' stepstop' * loads}",
            "worker-src": "'self'",
            "manifest-src": "'self'",
        }
        assert rules == wanted, name


def hash_of(element):
    digest = hashlib.sha256(element.string.encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"


def has_brief(soup):
    """Whether a brief can be made on the page."""
    return bool(soup.find(id="brief"))


def loaded(soup):
    """The script of the site that the page loads, if any."""
    marks = {"code.js": "digits", "call.js": "desk", "waiting.js": "reckon"}
    own = [name for name, mark in marks.items() if soup.find(id=mark)]
    return ["brief.js"] * has_brief(soup) + own


SCRIPTS = {"index.html": 2, "blink-counter.html": 3, "control-circuit.html": 2}
"""File -> how many scripts of its own it holds, between the two that all pages have."""


def test_what_needs_a_script_is_hidden_without_it_and_no_other_page_has_one_of_its_own(built):
    for name, soup in built.soups.items():
        assert len(soup.find_all("script", src=False)) == SCRIPTS.get(name, 0) + 2, name
        fields = soup.find_all(["input", "textarea", "label", "button", "select"])
        for field in fields:
            assert (
                field.find_parent(hidden=True)
                or field.find_parent(class_="tools")
                or (field.find_parent(id="anew"))
            ), name
        own = [f for f in fields if f.find_parent(hidden=True)]
        assert bool(own) == (name in SCRIPTS or bool(loaded(soup))), name


def test_a_brief_is_made_where_somebody_may_come_and_on_no_page_with_a_question(built):
    for name, kind in kinds(built).items():
        for file in (name, name.removesuffix(".html") + ".technician.html"):
            if file in built.soups:
                assert has_brief(built.soups[file]) == (kind in ("call", "watch")), file


def test_scripts_are_small(built):
    """A question page has the first and the last: 2 KB together is its bar."""
    [page, *find, last] = built.soups["index.html"].find_all("script")
    for soup in built.soups.values():
        first, *_, end = soup.find_all("script", src=False)
        assert (first, end) == (page, last)
        assert first.find_parent("head")
    assert len(gzip.compress((page.string + last.string).encode(), 9)) <= 2_048
    own = "".join(script.string for script in find)
    assert len(gzip.compress(own.encode(), 9)) <= 2_000


def test_every_page_leads_to_the_manifest_but_the_one_that_may_stand_anywhere(built):
    for name, soup in built.soups.items():
        leads = [normpath(join(dirname(name), m["href"])) for m in soup.select("[rel=manifest]")]
        assert leads == (["app.webmanifest"] if name != "404.html" else []), name


def test_every_page_has_the_sign_empty_and_without_a_word_of_calls_before_a_gate(built):
    for name, soup in built.soups.items():
        sign = soup.find(id="offline")
        assert (sign["role"], sign.get_text()) == ("status", ""), name
        assert sign["data-say"].startswith("No connection."), name
        assert ("Calls may still work." in sign["data-say"]) == (gated(soup) is None), name


def test_nothing_is_styled_inline_or_fetched(built):
    for name, soup in built.soups.items():
        assert not soup.find_all(["iframe", "img", "form", "base", "object"])
        for element in soup.find_all(True):
            for attribute in element.attrs:
                assert not attribute.startswith("on"), (name, attribute)
                assert attribute not in ("style", "srcset", "xmlns"), (name, attribute)
        found = [normpath(join(dirname(name), e["src"])) for e in soup.find_all(src=True)]
        assert found == loaded(soup), name
        assert [link["href"] for link in soup.find_all("link", rel="icon")] == ["data:,"], name
        assert {link["rel"][0] for link in soup.find_all("link")} <= {"icon", "manifest"}, name
        assert not re.search(r"url\(|@import|@font-face", soup.style.string), name


def test_no_other_host_is_named(built):
    for name, content in built.files.items():
        # Two slashes may stand in a hash by chance.
        assert b"//" not in re.sub(rb"sha256-[\w+/]+=*", b"", content), name


def test_only_pages_where_a_walk_begins_and_dangers_are_listed(built):
    beginnings = {"index.html", *(f"{root}.html" for root in built.course.roots)}
    dangers = {name for name, kind in kinds(built).items() if kind == "danger"}
    listed = {name for name, soup in built.soups.items() if not told_to_keep_away(soup)}
    assert listed == beginnings | dangers
    for name in listed:
        assert built.soups[name].find("meta", attrs={"name": "description"})["content"], name


def test_the_notice_for_those_who_came_without_a_trail(built):
    beginnings = {"index.html", "404.html", *(f"{root}.html" for root in built.course.roots)}
    edges = built.course.graph()
    roots = {root: reachable(edges, [root]) for root in built.course.roots}
    for name, kind in kinds(built).items():
        lost = built.soups[name].select(".lost a")
        if name in beginnings or kind == "danger":
            assert not lost, name
        else:
            to = normpath(join(dirname(name), lost[0]["href"]))
            page_id = name.removesuffix(".html")
            leading = [r for r in roots if page_id in roots[r] and r != "danger/index"]
            if page_id.startswith("endings/") and page_id.endswith("stop-and-call"):
                leading = list(roots)  # Every page has a link to it.
            own = f"{page_id.split('/')[0]}/index"
            own = f"{own}.html" if own in roots else "index.html"
            assert to == (f"{leading[0]}.html" if len(leading) == 1 else own), name


def test_steps_say_how_many_pages_may_follow(built):
    edges = built.course.graph()

    @cache
    def most(page_id):
        return max((1 + most(to) for to in edges[page_id]), default=0)

    for page in built.course.pages.values():
        if page.step:
            count = most(page.id)
            wanted = "One more page" if count == 1 else f"At most {count} more pages"
            shown = built.soups[f"{page.id}.html"].select_one(".more").get_text()
            assert shown.startswith(wanted), page.id


def test_answers_lead_on_with_the_mark_of_a_walk(built):
    for page in built.course.pages.values():
        if page.step is None:
            continue
        shown = [a["href"] for a in built.soups[f"{page.id}.html"].select(".answers a")]
        assert all(href.endswith(WALK) for href in shown), page.id
        here = dirname(page.id)
        to = [normpath(join(here, href.removesuffix(f".html{WALK}"))) for href in shown]
        files = {"index": "start-page"}
        assert {files.get(t, t) for t in to} == {move.to for move in page.moves}, page.id


def test_each_answer_stands_once_with_its_words_and_not_done_last(built):
    for page in built.course.pages.values():
        if page.step is None or page.step.kind == "note":
            continue
        texts = [a.get_text() for a in built.soups[f"{page.id}.html"].select(".answers span")]
        written = [(str(a.say).replace(" °", "\u00a0°"), a.values) for a in page.step.answers]
        assert sorted(texts) == sorted(say for say, _ in written), page.id
        assert any("unsure" in values for _, values in written), page.id
        if page.step.kind == "check":
            last = next(say for say, values in written if "not-done" in values)
            assert texts[-1] == last, page.id


def test_a_hurried_walk_is_reminded_to_call_first_where_the_page_does_not_say_it_itself(built):
    for page in built.course.pages.values():
        if page.step or page.outcome:
            reminder = built.soups[f"{page.id}.html"].select(".hurry a")
            wanted = page.mode.hurry and not (page.outcome and page.outcome.say)
            assert bool(reminder) == wanted, page.id


def test_outcomes_keep_their_order(built):
    wanted = ["soon", "call", "do", "left", "who", "causes", "copy", "stop"]
    for name, kind in kinds(built).items():
        if kind in ("solved", "watch", "call"):
            main = built.soups[name].main
            order = [c for e in main.find_all(["section", "p"]) for c in e.get("class", [])]
            found = [c for c in order if c in wanted]
            assert found == [c for c in wanted if c in found], name
            if kind == "call":
                assert {"soon", "call", "left", "copy", "stop"} <= set(found), name


def test_possible_causes_end_with_something_else(built):
    for page in built.course.pages.values():
        if page.outcome and page.outcome.causes and page.outcome.kind != "danger":
            shown = built.soups[f"{page.id}.html"].select(".causes li")
            assert len(shown) >= 2, page.id
            last = "It may also be something that is not on this list."
            assert [li.get_text() for li in shown].index(last) == len(shown) - 1, page.id


def test_a_homeowner_sees_no_name_of_a_part_and_the_technician_does(built):
    causes = built.course.library.catalogue.causes.values()
    by_name = {str(cause.name): cause for cause in causes}
    for page in built.course.pages.values():
        if page.outcome and page.outcome.kind in ("call", "watch"):
            copy = built.soups[f"{page.id}.technician.html"]
            page_text = built.soups[f"{page.id}.html"].get_text(" ")
            named = [by_name[b.get_text()] for b in copy.select(".ranked b")]
            shown = [li.get_text() for li in built.soups[f"{page.id}.html"].select(".causes li")]
            assert len(shown) == (len(named) + 1 if named else 0), page.id
            for cause, line in zip(named, shown, strict=False):
                assert line.endswith(str(cause.plain)), page.id
                assert str(cause.root) in copy.get_text(" ")
                assert str(cause.root) not in page_text


def test_no_placeholder_is_left_and_numbers_can_be_tapped(built):
    for name, soup in built.soups.items():
        text = soup.get_text(" ")
        assert not re.search(r"\{[a-z-]+\}", text.replace(soup.style.string, "")), name
        for tapped in soup.select('a[href^="tel:"]'):
            assert (tapped.get_text(), tapped["href"]) == ("911", "tel:911"), name


def test_pages_are_small_enough_for_the_first_round_trip(built):
    sizes = {n: len(gzip.compress(built.files[n], 9, mtime=0)) + HEADERS for n in built.soups}
    for name, size in sizes.items():
        assert size <= ANNEX.get(name, LARGEST), (name, size)
    assert median(sizes.values()) < MEDIAN


@pytest.mark.parametrize("place", sorted(course_of(REAL).library.catalogue.places))
def test_every_place_has_its_own_words_and_numbers(place):
    course = course_of(REAL)
    known = course.library.catalogue.places[place]
    files = site_of(REAL, place=place)
    page = BeautifulSoup(files["danger-screen/co.html"], "html.parser")
    assert known.emergency_say in page.main.get_text()
    numbers = {a["href"] for a in page.select('a[href^="tel:"]')}
    assert numbers == ({f"tel:{known.emergency}"} if known.emergency else set())
    assert edition_for(course, REAL, place=place).hash.encode() in files["index.html"]
