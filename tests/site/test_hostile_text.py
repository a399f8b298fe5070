"""Whatever an author writes in a text ends as text: never as markup, script or template."""

import json
import re

import pytest
from bs4 import BeautifulSoup

from browser.hostile import BRACES, with_braces
from browser.sites import TODAY, course_of, read_texts, site_of, small_library, write_texts
from stepstop.course import lay_out
from stepstop.edition import edition_for
from stepstop.site import build_site

HOSTILE = (
    "</title></style></p><script>alert(1)</script><img src=x onerror=alert(1)> "
    "\" onmouseover=\"alert(1)\" ' {{ 7*7 }} {% include 'x' %} {# #} &amp; &#60; --> ]]>"
)

UNSEEN = {"who/you"}  # no outcome of the small library names you
"""Where texts stand that no page shows."""

TEXTS = {
    "title", "words", "equipment", "ask", "tell", "look", "why", "say", "do", "gate", "after",
    "until", "never", "before", "stop-if", "text", "name", "plain", "root", "bring", "advice",
    "by", "year", "disclaimer", "emergency-say", "gas-say", "power-say", "role", "licence",
}  # fmt: skip
"""Keys whose values pages show."""


def marked(value, key, marks, path):
    """`value` with the hostile text, and a mark of its own, after every text that pages show."""
    if isinstance(value, dict):
        return {k: marked(v, k, marks, (*path, k)) for k, v in value.items()}
    if isinstance(value, list):
        return [marked(v, key, marks, path) for v in value]
    if not shown(key, path):
        return value
    marks.append("/".join(path))
    return f"{value} M{len(marks)}M {HOSTILE.translate(str.maketrans(BRACES))}"


def shown(key, path):
    if path[0] in ("findings", "calls") or path[:2] == ("places", "nowhere") or path == ("role",):
        return False
    if path[0] == "who" or (path[0] == "places" and path[-2] == "who"):
        return True
    return (key in TEXTS and path[0] != "rulebook") or path == ("rulebook", "never")


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    """A site of a library with hostile text in every field, and where each mark was put."""
    trees = small_library(tmp_path_factory.mktemp("hostile"))
    marks = []
    for path in sorted(trees.rglob("*.yml")):
        data = read_texts(path)
        write_texts(marked(data, "", marks, ()), path)
    library = with_braces(course_of(trees).library)
    course = lay_out(library)
    return build_site(course, edition_for(course, trees, today=TODAY)), marks


def test_no_element_or_attribute_comes_of_a_text(hostile):
    files, _ = hostile
    for name, content in pages(files):
        soup = BeautifulSoup(content, "html.parser")
        assert not soup.find_all("img"), name
        for script in soup.find_all("script"):
            assert "alert" not in script.text, name
            assert script.attrs.keys() <= {"src", "defer"}, name
            known = ("brief.js", "code.js", "call.js", "waiting.js")
            assert script.get("src", "brief.js").endswith(known), name
        assert len(soup.find_all(["title", "style", "h1"])) >= 3
        assert len(soup.find_all("style")) == 1, name
        for element in soup.find_all(True):
            assert not [a for a in element.attrs if a.startswith("on")], name


def test_every_text_is_shown_word_for_word(hostile):
    files, marks = hostile
    found = {}
    for name, content in pages(files):
        soup = BeautifulSoup(content, "html.parser")
        soup.style.decompose()
        for script in soup.find_all("script"):
            script.decompose()
        for text in (soup.get_text("\x00"), *(a["content"] for a in soup.select("meta[content]"))):
            for mark, said in marked_in(text):
                assert said == HOSTILE, name
                found.setdefault(mark, name)
    missing = {marks[i - 1] for i in range(1, len(marks) + 1) if i not in found}
    assert missing == UNSEEN


def test_data_of_scripts_hold_it_as_text(hostile):
    """Scripts put what they show in place as text: that, the tests in a browser see to."""
    files, _ = hostile
    for name in ("trail.js", "calls.js"):
        data = json.loads(files[name].decode().partition(" = ")[2].removesuffix(";\n"))
        marks = [said for text in strings(data) for _, said in marked_in(text)]
        assert len(marks) > 20
        assert set(marks) == {HOSTILE}


def pages(files):
    return [(name, content) for name, content in files.items() if name.endswith(".html")]


def marked_in(text):
    """(mark, what follows it) for each mark in a text."""
    found = re.finditer(rf"M(\d+)M (.{{{len(HOSTILE)}}})", text, re.DOTALL)
    return [(int(mark.group(1)), mark.group(2)) for mark in found]


def strings(data):
    if isinstance(data, str):
        yield data
    elif isinstance(data, list | dict):
        for each in data.values() if isinstance(data, dict) else data:
            yield from strings(each)


def test_a_hostile_number_gives_no_link_but_digits(tmp_path):
    trees = small_library(tmp_path)
    data = read_texts(trees / "catalogue/places.yml")
    data["places"]["us"]["emergency"] = 'x"><script>9 1-1'
    write_texts(data, trees / "catalogue/places.yml")
    page = BeautifulSoup(site_of(trees)["danger-screen/gas.html"], "html.parser")
    assert [script.get("src") for script in page.find_all("script")] == [None, None]
    assert {a["href"] for a in page.select("a.tel")} == {"tel:911"}
