"""Hostile texts in every key of every file, on all that is made of them, without any policy.

Escaping has to hold without the policy, so these pages are opened with the policy put aside; what
the policy refuses by itself is tried in `test_policy.py`.
"""

import random
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace
from urllib.parse import unquote

import pypdfium2
import pytest
from bs4 import BeautifulSoup

from browser.hostile import (
    COMPANY_FILE,
    HOSTILE,
    Hostile,
    all_text_keys,
    brand_of,
    hostile_library,
    with_braces,
)
from browser.sites import TODAY, laid_out, rehearse, small_library, whole_site_of, write_site
from stepstop.course import Course, lay_out
from stepstop.edition import edition_for
from stepstop.labels.drawing import Wish, drawn
from stepstop.labels.face import Face
from stepstop.labels.files import written
from stepstop.labels.order import labels_for
from stepstop.labels.sheet import READY
from stepstop.language.tongue import ENGLISH
from stepstop.pages.booklet import booklet
from stepstop.pages.changes import changes_page, read_told
from stepstop.pages.embedding import Shown, element
from stepstop.pages.likely import has_technician_copy
from stepstop.picture.drawing import drawing
from stepstop.picture.flow import flow
from stepstop.printing import printed
from stepstop.ranking import Ranking
from stepstop.site import build_site, whole_site
from stepstop.trail import Trail, Ways

UNSEEN = {
    # Words by which trees are proven, and what technicians are told by commands.
    "boundary/rulebook/action-words",
    "boundary/rulebook/boundaries/*/about",
    "boundary/rulebook/certain/why",
    "boundary/rulebook/forbidden/why",
    "boundary/rulebook/hands-on",
    "boundary/rulebook/hard/why",
    "boundary/rulebook/locations/*/about",
    "boundary/rulebook/says/doubt",
    "boundary/rulebook/says/no",
    "boundary/rulebook/says/only-doubt",
    "boundary/rulebook/says/yes",
    "calls/calls/hedges",
    "hazards/hazards/*/about",
    # What other texts are searched for.
    "calls/calls/instead/written",
    # Only its digits are used.
    "places/places/*/emergency",
}
"""Keys with texts that nobody is shown."""

OF_A_KIND = re.compile(r"(index|furnace/index|hot/[a-z-]+|cold/[a-z-]+)\.html")
"""Names of some pages of each kind on which a company says something."""

TABLE = {
    "causes": ["board", "no-power"],
    "cause": "0 1",
    "weights": [0.5],
    "weight": "0*2",
    "acts": 1,
    "moves": {},
    "findings": {"ready-to-walk": {"values": 2, "unsure": 0.1, "mistaken": 0.1}},
    "columns": [
        [
            "ready-to-walk",
            ["no", 0.5, "yes", 0.5],
            [["no", 0.2, "yes", 0.8], ["no", 0.7, "yes", 0.3]],
            "0 1",
        ]
    ],
    "column": {"0:ready-to-walk": 0},
}
"""By which causes are ranked; nothing in it was measured."""

WATCH = """
window.handed = [];
Object.defineProperty(navigator, 'clipboard', { value: {
  writeText: (text) => { handed.push(text); return Promise.resolve(); } } });
Object.defineProperty(navigator, 'share', { value: (all) => {
  handed.push(all.title, all.text); return Promise.resolve(); } });
window.confirm = () => true;
window.print = () => handed.push('printed');
window.looked = (hostile) => {
  const odd = [], shown = new Set(), wrong = [];
  const read = (text, where) => {
    for (const found of text.matchAll(/M(\\d+)M /g)) {
      const begin = found.index + found[0].length;
      const said = text.slice(begin, begin + hostile.length);
      if (said === hostile) shown.add(Number(found[1]));
      else wrong.push(where + ': ' + said);
    }
  };
  const known = /^(https?|file|tel|sms|mailto|data|blob):/;
  const look = (root) => {
    for (const each of root.querySelectorAll('*')) {
      const name = each.localName;
      if (/^(x-|img|iframe|object|embed|form|base)/.test(name)) odd.push('<' + name + '>');
      if (name === 'script' && /pwned/.test(each.textContent)) odd.push('a script');
      for (const { name: key, value } of each.attributes) {
        if (/^on|hostile|[^a-z0-9:-]|^autofocus$/i.test(key)) odd.push(name + ' ' + key);
        if (/^(href|src|action|formaction|xlink:href)$/.test(key)) {
          const { href } = new URL(value, document.baseURI);
          const isOdd = /^tel:/.test(href) ? !/^tel:[+]?\\d+$/.test(href) : !known.test(href);
          if (isOdd) odd.push(href);
        } else read(value, name + ' ' + key);
      }
      if (/^(input|textarea)$/.test(name)) read(each.value, name);
      if (name === 'template') look(each.content);
      if (name === 'script' || name === 'style') continue;
      for (const node of each.childNodes) if (node.nodeType === 3) read(node.data, name);
    }
  };
  look(document);
  read(document.title, 'title');
  if (window.pwned) odd.push('it ran');
  if (document.querySelectorAll('html > head > style').length < 1) odd.push('no style sheet');
  return { odd, shown: [...shown], wrong };
};
"""
"""Stands in a page before its own scripts: looks it over, and takes what is handed on."""

WALK = """([hostile, seed]) => {
  const step = document.getElementById('step'), sum = { odd: [], shown: new Set(), wrong: [] };
  const draw = () => (seed = seed * 48271 % 2147483647) / 2147483647;
  for (let i = 0; i < 250; i++) {
    for (const field of step.querySelectorAll('input')) {
      field.value = hostile;
      field.dispatchEvent(new Event('input'));
    }
    const { odd, shown, wrong } = looked(hostile);
    sum.odd.push(...odd);
    sum.wrong.push(...wrong);
    shown.forEach((mark) => sum.shown.add(mark));
    const cards = draw() < 0.05 ? '#cards' : '#step';
    const buttons = [...document.querySelectorAll(cards + ' button')]
      .filter((each) => draw() < 0.2 || !/Backspace|^t/.test(each.textContent));
    buttons[Math.floor(draw() * buttons.length)].click();
  }
  return { ...sum, shown: [...sum.shown], handed };
}"""
"""An agent who presses any button, and types the hostile text wherever something may be typed."""


@dataclass(frozen=True)
class Made:
    """All that is made of the hostile library, in a folder."""

    hostile: Hostile
    course: Course
    editions: dict
    folder: object
    files: dict

    def pages(self):
        return [name for name in self.files if name.endswith(".html")]

    def url(self, name):
        path, _, fragment = name.partition("#")
        return (self.folder / path).as_uri() + (f"#{fragment}" if fragment else "")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    target = tmp_path_factory.mktemp("hostile")
    hostile = hostile_library(target)
    rehearse(hostile.trees)
    course = lay_out(with_speech(with_braces(laid_out(hostile.trees).library)))
    plain = edition_for(course, hostile.trees, today=TODAY, environ={})
    plain = replace(plain, rankings={"cold": Ranking(TABLE)})
    assert plain.tells_rehearsal
    brand = brand_of(hostile.company)
    editions = {"plain": plain, "company": replace(plain, brand=brand)}
    earlier = write_site(whole_site_of(small_library(target / "other")), target / "earlier")
    files = {}
    for name, edition in editions.items():
        site = whole_site(course, edition)
        files |= {f"{name}/{path}": content for path, content in site.items()}
        files[f"{name}/booklet.html"] = booklet(course, edition, paper="a4")
        files[f"{name}/changes.html"], count = changes_page(
            course, edition, read_told(earlier, "en")
        )
        assert count > 10
    # What the company says in another language stands where its own words do.
    said = build_site(course, replace(plain, brand=brand.said_in("es")))
    files |= {f"said/{name}": page for name, page in said.items() if OF_A_KIND.fullmatch(name)}
    # What leads on by itself is looked at where it stands.
    stay = {n: re.sub(rb'<meta http-equiv="refresh"[^>]*>', b"", each) for n, each in files.items()}
    assert stay != files
    write_site(stay, target / "site")
    # An edition that is hostile itself, compared with one that isn't.
    later = laid_out(target / "other")
    edition = edition_for(later, target / "other", today=TODAY, environ={})
    files["back.html"], _ = changes_page(later, edition, read_told(target / "site" / "plain", "en"))
    write_site({"back.html": files["back.html"]}, target / "site")
    return Made(hostile, course, editions, target / "site", files)


def with_speech(library):
    """The library with something to be said in another way that does stand in its texts."""
    calls = library.catalogue.calls
    instead = tuple(replace(each, written="Set the heat above") for each in calls.instead)
    catalogue = replace(library.catalogue, calls=replace(calls, instead=instead))
    return replace(library, catalogue=catalogue)


class Look:
    """A tab that looks over what it opens."""

    def __init__(self, context):
        self.asked, self.said, self.shown = [], [], set()
        context.add_init_script(WATCH)
        context.on("request", lambda request: self.asked.append(request.url))
        self.tab = context.new_page()
        self.tab.on("pageerror", lambda error: self.said.append(str(error)))
        self.tab.on("dialog", lambda dialog: self.said.append(dialog.message))
        self.tab.set_default_timeout(15_000)

    def goto(self, url):
        self.tab.goto("about:blank")
        self.tab.goto(url)

    def over(self, found=None):
        """Look over the page as it is now, or take what a script found."""
        found = found or self.tab.evaluate("(hostile) => looked(hostile)", HOSTILE)
        assert found["odd"] == [], self.tab.url
        assert found["wrong"] == [], self.tab.url
        self.shown |= set(found["shown"])
        return set(found["shown"])

    def end(self):
        foreign = [url for url in self.asked if not url.startswith(("file:", "data:", "about:"))]
        assert foreign == []
        assert self.said == []


@pytest.fixture(scope="module")
def context(browser):
    context = browser.new_context(bypass_csp=True, viewport={"width": 1000, "height": 800})
    yield context
    context.close()


@pytest.fixture(scope="module")
def look(context):
    return Look(context)


def test_every_key_with_a_text_has_a_hostile_one(made):
    assert all_text_keys() - set(made.hostile.sower.places) == set()


def test_no_page_has_an_element_an_attribute_or_a_request_of_a_text(made, look):
    for name in made.pages():
        # A company's own stands alike on pages of a step in another mode.
        if not re.match("company/.*(look|now)", name):
            look.tab.goto(made.url(name), wait_until="domcontentloaded")
            look.over()
    shown = keys_of(made, look.shown)
    assert all_text_keys() - shown - UNSEEN == {"checks/effects/*/about"}
    assert shown & UNSEEN == set()
    look.end()


def keys_of(made, marks):
    """The keys whose texts have these marks."""
    return {made.hostile.sower.places[mark - 1] for mark in marks}


def walks(ways, count, *, roots=("cold", "hot"), seed=7):
    """(id of the ending, trail) of drawn walks to different endings where somebody comes."""
    draw, found = random.Random(seed), {}
    while len(found) < count:
        root = draw.choice(roots)
        here, words = ways.roots[root], []
        while ways.by_page[here]:
            way = draw.choice(ways.by_page[here])
            words.append(way.word)
            here = way.to
        if ways.pages[here].outcome and has_technician_copy(ways.pages[here].outcome):
            found[here] = Trail(root, tuple(words), frozenset(ways.once), 29_000_000, 3)
    return sorted(found.items())


def marks_in(text):
    """The marks in a text that was handed on, each followed by all that it should be."""
    found = list(re.finditer(r"M(\d+)M ", text))
    assert [text[each.end() :][: len(HOSTILE)] for each in found] == [HOSTILE] * len(found)
    return {int(each[1]) for each in found}


@pytest.mark.parametrize("edition", ["plain", "company"])
def test_a_brief_shows_and_hands_on_answers_as_text(made, look, edition):
    ways, tab, shown, handed = Ways(made.course), look.tab, set(), set()
    some = walks(ways, 5) if edition == "plain" else walks(ways, 2, roots=["cold"])
    for page, trail in some:
        for file in (f"{page}.html", f"{page}.technician.html"):
            look.goto(made.url(f"{edition}/{file}{ways.link(trail)}"))
            tab.wait_for_selector("#brief:not([hidden])")
            if trail.root == "cold":
                tab.wait_for_function("() => self.stepstop.likely")
            shown |= look.over()
            for button in ("copy", "share", "print"):
                tab.click(f"#{button}")
            text, title, shared, printing = tab.evaluate("handed")
            assert (text, printing) == (shared, "printed")
            handed |= marks_in(text) | marks_in(title)
            body = unquote(tab.get_attribute("#sms", "href").partition("?body=")[2])
            mail = unquote(tab.get_attribute("#mail", "href").partition("&body=")[2])
            assert body == mail
            assert "</title></style></script>" in body
            assert tab.get_attribute("#sms", "href").count("?") == 1
            assert tab.get_attribute("#mail", "href").count("&") == 1
    keys = {"findings/findings/*/about", "findings/findings/*/values/*/about", "tree/title"}
    keys |= {"checks/effects/*/about", "checks/checks/*/name", "tree/steps/*/answers/say"}
    assert keys_of(made, shown) >= keys
    assert keys_of(made, handed) >= keys | {"causes/causes/*/name", "causes/causes/*/root"}
    tab.emulate_media(media="print")
    look.over()
    assert HOSTILE[:60] in "".join(text_of(tab.pdf()).split("\n")).replace("\r", "")
    tab.emulate_media(media="screen")
    look.end()


def text_of(pdf):
    """The text of a PDF."""
    document = pypdfium2.PdfDocument(pdf)
    return "\n".join(page.get_textpage().get_text_bounded() for page in document)


def test_an_account_of_a_code_shows_answers_as_text(made, look):
    ways, tab, shown = Ways(made.course), look.tab, set()
    look.goto(made.url("plain/code.html"))
    for _, trail in walks(ways, 4, seed=3):
        tab.fill("#digits", ways.code(trail))
        tab.click("#read")
        tab.wait_for_selector("#account h2")
        shown |= look.over()
    tab.fill("#digits", HOSTILE)
    tab.click("#read")
    look.over()
    assert keys_of(made, shown) >= {"findings/findings/*/about", "checks/effects/*/about"}
    look.end()


def test_the_page_of_agents_shows_speech_and_what_is_typed_as_text(made, look):
    look.goto(made.url("plain/call.html"))
    look.tab.wait_for_selector("#step button")
    found = look.tab.evaluate(WALK, [HOSTILE, 20261125])
    shown = keys_of(made, look.over(found))
    assert {key for key in all_text_keys() if key.startswith("calls/")} - UNSEEN <= shown
    hear = {f"findings/findings/*/hear/{name}" for name in ("they-say", "may-be", "ask")}
    assert hear | {"tree/steps/*/speak", "checks/checks/*/do", "tree/outcomes/*/do"} <= shown
    look.end()


def test_what_scripts_of_other_pages_make_is_text(made, look):
    tab = look.tab
    look.goto(made.url("plain/index.html"))
    tab.fill("#find input", HOSTILE)
    look.over()
    look.goto(made.url("plain/cold-house.html"))
    tab.fill("#room", "60")
    tab.fill("#out", "10")
    tab.fill("#low", HOSTILE)
    tab.click("#go")
    tab.fill("#low", "0")
    tab.select_option("#risk", "yes")
    tab.click("#go")
    tab.wait_for_selector("#result p")
    result = tab.locator("#result").inner_text()
    assert marks_in(result)
    look.over()
    look.end()


def test_addresses_of_a_company_stay_what_they_are(made, look):
    look.goto(made.url("company/hot/quiet.html"))
    links = look.tab.eval_on_selector_all(
        "a[target]", "all => all.map((each) => each.getAttribute('href'))"
    )
    assert set(links) == {COMPANY_FILE["book"]}
    tree = made.course.library.trees["hot"]
    soup = BeautifulSoup(
        element(COMPANY_FILE["address"], Shown(ENGLISH, "", (tree,)), tree), "html.parser"
    )
    assert [each.name for each in soup.find_all(True)] == ["stepstop-help", "iframe", "p", "a"]
    assert soup.iframe["src"] == COMPANY_FILE["address"] + "hot/pocket.html"
    assert soup.iframe["title"].endswith(str(tree.title))
    assert not [key for key in soup.iframe.attrs if re.match("on|data-", key)]


def test_a_printed_booklet_has_it_as_text(made):
    text = text_of(printed(made.files["company/booklet.html"], TODAY))
    parts = re.split(r"M\d+M", "".join(text.replace("\x02", "-").split()))
    hostile = "".join(HOSTILE.split())
    # Where a column or a page ends, other lines may stand in between.
    assert sum(part.startswith(hostile) for part in parts[1:]) > 0.9 * len(parts) > 100


# ---- files beside the pages ----

SAYS = (
    "</text></svg><script>pwned=1</script>",
    "<a onload=pwned=1>",
    '" onload="pwned=1',
    "' onload='pwned=1' ]]>",
    "${pwned=1} {{7}} &lt;b> &amp; -->",
    "javascript:pwned=1",
    ") Tj (x) \\",
)
"""The hostile text in parts that find room on a label."""


@pytest.mark.parametrize("said", SAYS)
def test_a_label_has_it_as_text(made, said, tmp_path):
    catalogue = made.course.library.catalogue
    unit = replace(catalogue.equipment["cooler"], label=said)
    company = made.editions["company"].brand.company
    licences = tuple(replace(each, number=said) for each in company.licences)
    company = replace(company, name=said, licences=licences)
    labels = labels_for(company, replace(catalogue, equipment={"cooler": unit}), ())
    face = Face()
    for suffix in ("svg", "pdf"):
        sheet = drawn(f"Labels of {said}", labels, READY["a4-8"], Wish(), face)
        written(sheet, tmp_path / f"labels.{suffix}", face, TODAY)
    root = ET.fromstring((tmp_path / "labels.svg").read_bytes())
    assert {each.tag.rpartition("}")[2] for each in root.iter()} <= {
        "svg", "title", "style", "rect", "path", "text",
    }  # fmt: skip
    assert not [key for each in root.iter() for key in each.attrib if key.startswith("on")]
    lines = [each.text for each in root.iter("{http://www.w3.org/2000/svg}text")]
    squeezed = "".join("".join(lines).split())
    # On each label what is asked, the name and the number of the license; the text may be in lines.
    least = 3 * READY["a4-8"].count
    assert squeezed.count("".join(said.split())) >= least
    paper = "".join(text_of(tmp_path / "labels.pdf").split())
    assert paper.count("".join(said.split())) >= least
    assert b"/JavaScript" not in (tmp_path / "labels.pdf").read_bytes()


def test_a_picture_of_a_tree_has_it_as_text(made):
    for tree in made.course.library.complaints():
        root = ET.fromstring(drawing(flow(made.course, tree, None), page=lambda box: box.page))
        names = {each.tag.rpartition("}")[2] for each in root.iter()}
        assert not {name for name in names if name.startswith(("x-", "script", "img", "foreign"))}
        assert not [key for each in root.iter() for key in each.attrib if key.startswith("on")]
        assert f"{tree.title}" in "".join(root.itertext())
        assert not [e for e in root.iter("{http://www.w3.org/2000/svg}style") if "pwned" in e.text]
