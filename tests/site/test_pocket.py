"""Files that hold a whole complaint: all that its pages say, and each answer to the like place."""

import gzip
import random
import re
from functools import cache
from itertools import pairwise
from posixpath import dirname, join, normpath

import pytest
from bs4 import BeautifulSoup

from browser.pockets import Pocket, lines, matter, said
from browser.sites import read_texts, site_of, small_library, write_texts

BAR, STEPS = 13_200, 60
"""Bytes (gzip -9) that 60 steps may take: hardly more than the 12,800 of the first round trip over
TLS, for what is to be said on the phone. Larger complaints may take more in proportion."""
WALKED_WHOLE = 200
"""Files with at most so many steps are compared with their pages step by step."""
TRAILS = 1_000


@pytest.fixture(scope="module")
def matters(built):
    """Page -> what it says, taken from it when it is first asked for."""

    @cache
    def matter_of(page):
        return matter(built.soups[page])

    return matter_of


@pytest.fixture(scope="module")
def pockets(built):
    """Tree -> its file, taken apart."""
    return {
        name.split("/")[0]: Pocket(content)
        for name, content in built.files.items()
        if name.endswith("/pocket.html")
    }


def ids_of(pocket):
    return re.findall(r'\bid="([^"]*)"', pocket.html)


def links_of(step, *, hurry):
    """Fragments that a step links to, by its text alone: quick, for every step of every file."""
    found = []
    for item in re.findall(r"<li>(.*?)</li>|(<p><a .*?</p>)", step.html, re.DOTALL):
        links = re.findall(r'href="#([^"]*)"', "".join(item))
        found += links[hurry : hurry + 1] or links
    return found


def follow(href, page):
    """The file that a link of `page` leads to, without its fragment."""
    return normpath(join(dirname(page), href.partition("#")[0]))


def same(built, matters, pocket, page, fragment):
    """Assert that the file says at `fragment` what `page` says; the next of both, in pairs."""
    if page == "index.html":
        assert pocket.at[fragment][0] is pocket.steps[-1]
        return []
    soup = built.soups[page]
    shown = pocket.shown(fragment)
    wanted, found = matters(page), list(shown.lines)
    if shown.gate:
        found += pocket.shown(shown.gate).lines
    assert found == wanted, (page, fragment)
    assert shown.reminds == bool(soup.select(".hurry")), page
    stop = follow(soup.select_one(".stop a")["href"], page)
    hurry = fragment.endswith("-now")
    assert stop == f"endings/{'now/' * hurry}stop-and-call.html"
    answers = [follow(a["href"], page) for a in soup.select(".answers:not(.gate) a")]
    return list(zip(answers, shown.answers, strict=True))


def test_there_is_one_for_each_tree_that_people_begin_with(built, pockets):
    roots = {root.split("/")[0] for root in built.course.roots}
    assert set(pockets) == roots
    titles = {tree.id: str(tree.title) for tree in built.course.library.trees.values()}
    for tree, pocket in pockets.items():
        assert f'<p class="complaint">{titles[tree]}</p>' in pocket.steps[0].html


def test_every_link_leads_somewhere_in_the_file_or_to_the_list_of_complaints(pockets):
    for tree, pocket in pockets.items():
        ids = ids_of(pocket)
        assert len(ids) == len(set(ids)), tree
        for href in re.findall(r'<a\b[^>]*\bhref="([^"]*)"', pocket.html):
            if href.startswith("#"):
                assert href[1:] in set(ids), (tree, href)
            else:
                own = ("../index.html", "pocket.html")
                assert href in own or re.fullmatch(r"tel:\+?\d{3,}", href), href
        outside = re.findall(r'href="../index.html">(?:<[^>]*>)*([^<]*)', pocket.html)
        assert outside
        assert all("(not in this file)" in text for text in outside), tree


def test_every_step_is_reached_by_taps_from_the_first_one(pockets):
    for tree, pocket in pockets.items():
        seen = {pocket.first, pocket.danger}
        seen |= {pocket.stop(hurry=hurry) for hurry in (False, True)}
        waiting = list(seen)
        while waiting:
            step, hurry = pocket.at[waiting.pop()]
            for to in set(links_of(step, hurry=hurry)) - seen - {"danger"}:
                seen.add(to)
                waiting.append(to)
        left = {each for each in pocket.at if not each.endswith("-away")} - seen
        assert all(f"{each}-now" in seen for each in left), tree


def test_small_files_say_on_every_walk_what_the_pages_say(built, matters, pockets):
    compared = 0
    for tree, pocket in pockets.items():
        if len(pocket.steps) > WALKED_WHOLE:
            continue
        seen = {
            (f"{tree}/index.html", pocket.first),
            ("danger/index.html", pocket.danger),
            ("endings/stop-and-call.html", pocket.stop(hurry=False)),
            ("endings/now/stop-and-call.html", pocket.stop(hurry=True)),
        }
        waiting = list(seen)
        while waiting:
            for pair in same(built, matters, pocket, *waiting.pop()):
                if pair not in seen:
                    seen.add(pair)
                    waiting.append(pair)
        assert len(seen) == len({page for page, _ in seen}), tree
        left = {each for each in pocket.at if not each.endswith("-away")}
        left -= {fragment for _, fragment in seen}
        assert all(f"{each}-now" in pocket.at for each in left), tree
        compared += len(seen)
    assert compared > 40


def test_random_trails_land_alike_in_the_file_and_on_the_pages(built, matters, pockets):
    random_ = random.Random(5)
    ends = set()
    for number in range(TRAILS):
        tree = sorted(pockets)[number % len(pockets)]
        at = (f"{tree}/index.html", pockets[tree].first)
        while following := same(built, matters, pockets[tree], *at):
            at = random_.choice(following)
        ends.add(at[0])
    assert len(ends) > 5


def test_numbers_go_up_from_one_behind_a_mark_that_is_the_same_in_a_file(pockets):
    for tree, pocket in pockets.items():
        steps = [step for step in pocket.steps if not step.id.endswith("-away")]
        marks = {step.id.split("-")[0] for step in pocket.steps}
        assert len(marks) == 1, tree
        [mark] = marks
        assert re.fullmatch(r"[a-z2-7]{3}", mark)
        assert [step.id for step in steps] == [f"{mark}-{n}" for n in range(1, len(steps) + 1)]
        assert all(step.hurried in ("", f"{step.id}-now") for step in steps)


def test_another_order_of_steps_has_another_mark_and_other_words_have_not(tmp_path):
    def mark(name, change):
        trees = small_library(tmp_path / name)
        path = trees / "complaints/cold.yml"
        cold = read_texts(path)
        change(cold)
        write_texts(cold, path)
        return Pocket(site_of(trees)["cold/pocket.html"]).first.split("-")[0]

    def reword(cold):
        cold["steps"]["ready"]["ask"] = "Can you walk over to the furnace?"

    def drop(cold):
        cold["steps"]["off"]["answers"][0]["go"] = "call"
        del cold["steps"]["panel"]

    kept = mark("kept", lambda cold: None)
    assert mark("reworded", reword) == kept
    assert mark("changed", drop) != kept


def test_before_the_gate_nothing_can_be_called_and_no_word_says_so(pockets):
    gates = 0
    for tree, pocket in pockets.items():
        footer = pocket.rest.footer
        shared = BeautifulSoup(str(footer), "html.parser")
        for behind in shared.select(".behind-gate"):
            behind.decompose()
        for step in pocket.steps:
            if 'class="gated"' not in step.html:
                continue
            gates += 1
            before = step.html + str(shared)
            assert "tel:" not in before, tree
            text = BeautifulSoup(before, "html.parser").get_text(" ")
            assert not re.search(r"\b(911|112|999)\b", text), tree
            for sentence in re.split(r"[.:?]", text):
                if re.search(r"\b(call|phone|ring|dial)\b", sentence, re.I):
                    allowed = r"\b(no call|carry this phone|room)\b"
                    assert re.search(allowed, sentence, re.I), sentence
            behind = pocket.at[pocket.shown(step.id).gate][0]
            assert 'href="tel:' in behind.html
    assert gates >= len(pockets)


def test_what_holds_for_every_step_stands_once(built, pockets):
    rulebook = built.course.library.catalogue.rulebook
    place = built.course.library.catalogue.places["us"]
    for tree, pocket in pockets.items():
        rest = pocket.rest
        assert [said(li) for li in rest.select(".never li")] == list(rulebook.never), tree
        law = [said(p) for p in rest.select(".law p")]
        assert sorted(law) == sorted(t.replace("{emergency}", "911") for t in place.disclaimer)
        assert rest.find("a")["href"] == "#danger"
        assert "strip" in rest.find("a")["class"]
        edition = said(rest.select_one(".edition"))
        assert place.name in edition
        assert "Checked against our safety rules" in edition
        assert rest.select_one('meta[name="robots"]')["content"] == "noindex"
        assert rest.select_one(".hurry a")["href"] == f"#{pocket.stop(hurry=True)}"
        assert rest.select_one(".lost a")["href"] == f"#{pocket.first}"


def test_a_file_claims_a_review_only_if_all_its_pages_have_one(built, pockets):
    trees = built.course.library.trees
    for tree, pocket in pockets.items():
        reviewed = said(pocket.rest.select_one(".edition")).startswith("Reviewed by ")
        assert not reviewed or all(trees[name].review for name in (tree, "danger")), tree


def test_it_is_one_file_with_no_drawing_and_a_small_script(pockets):
    for tree, pocket in pockets.items():
        rest = pocket.rest
        assert not rest.find_all(["img", "iframe", "form", "base", "object", "video"])
        assert [link["href"] for link in rest.find_all("link")] == ["data:,"], tree
        assert not re.search(r'\s(style|src|srcset|xmlns|on[a-z]+)="', pocket.html), tree
        assert not re.search(r"url\(|@import|@font-face", rest.style.string), tree
        assert set(re.findall(r"<use [^>]*>", pocket.html)) <= {'<use href="#alert"/>'}
        assert "<svg" not in re.sub(r'<svg aria-hidden="true"><use', "", pocket.html.split("<b")[1])
        scripts = [script.string for script in rest.find_all("script")]
        assert len(scripts) == 3
        assert len(gzip.compress("".join(scripts).encode(), 9)) <= 2_000


def test_files_are_small_for_what_they_hold(built, pockets):
    for tree, pocket in pockets.items():
        steps = sum(not step.id.endswith("-away") for step in pocket.steps)
        size = len(gzip.compress(built.files[f"{tree}/pocket.html"], 9, mtime=0))
        assert size <= max(BAR, BAR * steps / STEPS), (tree, steps, size)


def test_each_step_has_one_h1_and_headings_go_down_one_level_at_a_time(pockets):
    for pocket in pockets.values():
        for step in pocket.steps:
            levels = [int(level) for level in re.findall(r"<h([1-6])\b", step.html)]
            assert levels[0] == 1
            assert levels.count(1) == 1
            assert all(b - a <= 1 for a, b in pairwise(levels)), step.id


def test_the_first_page_of_a_complaint_and_the_start_page_offer_it(built):
    for root in built.course.roots:
        soup = built.soups[f"{root}.html"]
        offered = [
            (a.get_text(), a["href"], a.has_attr("download")) for a in soup.select(".keep a")
        ]
        if root == "danger/index":
            assert not offered
        else:
            assert offered == [
                ("Open the one file", "pocket.html", False),
                ("Save the one file", "pocket.html", True),
            ]
    inner = {name for name, soup in built.soups.items() if soup.select(".keep")}
    assert inner == {"index.html", *(f"{r}.html" for r in built.course.roots)} - {
        "danger/index.html"
    }
    assert "Keep this on your phone" in lines(built.soups["index.html"].main)
