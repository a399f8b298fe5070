"""A language that is longer and runs from right to left: nothing breaks, on each kind of page.

No language of ours does so yet; the one that does will find pages that were made for it.
"""

import re

import pytest

from browser.axe import looked_over
from browser.conftest import Site
from browser.pseudo import CODE, PADDING, TURNED, mirrored, pseudo, tongue
from browser.sites import REAL, course_of, write_site
from browser.test_layout import ANSWER, BOXES, CLIPPED, OVERFLOW
from browser.test_trail import some_trail
from stepstop.language.prose import texts
from stepstop.trail import Ways, in_groups

WIDTHS = [320, 360, 1280]

OUTSIDE = """[...document.body.querySelectorAll('*')]
  .filter(e => e.checkVisibility() && !e.closest('svg, .hidden'))
  .filter(e => { const box = e.getBoundingClientRect();
    return box.width > 1 && (box.left < -.5 || box.right > innerWidth + .5); })
  .map(e => e.outerHTML.slice(0, 120))"""
"""What sticks out to the right of a page that begins there can't be scrolled to."""

CUT = """[...document.body.querySelectorAll('*')]
  .filter(e => e.checkVisibility() && !e.matches('svg, svg *, .hidden, textarea'))
  .filter(e => getComputedStyle(e).overflowY != 'visible' && !/auto|scroll/.test(
    getComputedStyle(e).overflowY) && e.scrollHeight > e.clientHeight + 1)
  .map(e => e.outerHTML.slice(0, 120))"""

OVERLAPS = """() => {
  const targets = 'a[href], button, summary, input, select, textarea';
  const rects = e => {
    if (!e.matches('.strip')) return [...e.getClientRects()];
    const range = document.createRange();
    range.selectNodeContents(e);
    return [...range.getClientRects()];
  };
  const boxes = [...document.querySelectorAll(targets)]
    .filter(e => e.checkVisibility({ visibilityProperty: true }))
    .flatMap(e => rects(e).map(box => [e, box]));
  return boxes.flatMap(([a, one], i) => boxes.slice(i + 1)
    .filter(([b, two]) => a !== b && one.left < two.right - 1 && two.left < one.right - 1
      && one.top < two.bottom - 1 && two.top < one.bottom - 1)
    .map(([b]) => a.outerHTML.slice(0, 90) + ' / ' + b.outerHTML.slice(0, 90)));
}"""

NOT_AT_THE_RIGHT = """() => [...document.querySelectorAll('main :is(h1, h2, h3, p, li)')]
  .filter(e => e.checkVisibility() && !e.closest('#desk, .keys, .drawing') && !e.matches('.word'))
  .filter(e => !e.querySelector(':is(p, li, a, button, input, svg):not(.tel)'))
  .filter(e => {
    const texts = [], walk = document.createTreeWalker(e, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) if (walk.currentNode.data.trim()) texts.push(walk.currentNode);
    const ends = texts.flatMap(text => {
      const range = document.createRange();
      range.selectNode(text);
      return [...range.getClientRects()].map(box => box.right);
    });
    const { paddingRight, borderRightWidth } = getComputedStyle(e);
    const edge = e.getBoundingClientRect().right - parseFloat(paddingRight)
      - parseFloat(borderRightWidth);
    return texts.length && Math.abs(edge - Math.max(...ends)) > 2;
  })
  .map(e => e.outerHTML.slice(0, 120))"""
"""Texts that do not begin at the right edge of their block; targets have boxes of their own."""

MARKERS = """() => [...document.querySelectorAll('main :is(ul, ol), footer ul')]
  .filter(e => e.checkVisibility() && getComputedStyle(e).listStyleType !== 'none')
  .filter(e => parseFloat(getComputedStyle(e).paddingRight) < 16
    || parseFloat(getComputedStyle(e).paddingLeft) > 0)
  .map(e => e.outerHTML.slice(0, 120))"""

CHEVRON = """() => [...document.querySelectorAll('.answers:not(.pictured) a')]
  .filter(e => e.checkVisibility()).map(e => {
  const { borderLeftWidth, borderTopWidth, borderRightWidth, borderBottomWidth, transform } =
    getComputedStyle(e, '::after');
  const turn = new DOMMatrix(transform);
  return [borderLeftWidth, borderTopWidth, borderRightWidth, borderBottomWidth,
    Math.round(Math.atan2(turn.b, turn.a) * 180 / Math.PI)].join(' ');
})"""

ORDER = """element => {
  const found = [], walk = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    for (let i = 0; i < walk.currentNode.length; i++) {
      const range = document.createRange();
      range.setStart(walk.currentNode, i);
      range.setEnd(walk.currentNode, i + 1);
      const box = range.getBoundingClientRect();
      if (/\\d/.test(range.toString())) found.push([box.top, box.left, range.toString()]);
    }
  }
  return found.sort(([y, x], [y2, x2]) => Math.abs(y - y2) > 5 ? y - y2 : x - x2)
    .map(([, , digit]) => digit).join('');
}"""
"""The digits of an element as the eye meets them: line by line, each from left to right."""


RIGHT = """element => {
  const range = document.createRange();
  range.selectNodeContents(element);
  return element.getBoundingClientRect().right - range.getBoundingClientRect().right;
}"""
"""How far from the right edge of an element its text ends."""


@pytest.fixture(scope="module")
def both(sites, tmp_path_factory):
    """The site of the shipped trees in the language, and in English."""
    course, files = mirrored(course_of(REAL), REAL)
    return Site(course, write_site(files, tmp_path_factory.mktemp("turned")), files), sites["real"]


@pytest.fixture(scope="module")
def turned(both):
    return both[0]


@pytest.fixture
def tab(scripted):
    return scripted["light"]


def pages(tab, site, width, kinds=()):
    """Open a page of each kind, or of these, with what scripts make of it; its kind."""
    tab.set_viewport_size({"width": width, "height": 740})
    pocket = max(
        (name for name in site.files if name.endswith("/pocket.html")),
        key=lambda name: len(site.files[name]),
    )
    samples = {**site.samples(), "pocket": pocket}
    for kind in kinds or samples:
        name = samples[kind]
        tab.goto("about:blank")
        tab.goto(site.url(name + ("#away" if kind == "gas" else "" if kind == "pocket" else "#on")))
        yield kind


# --- The language ---------------------------------------------------------------------------------


def test_a_text_is_longer_and_keeps_placeholders_markup_and_numbers():
    text = "Call {emergency} at once, <b>within 10 minutes</b> &amp; wait outside."
    said = pseudo(text)
    assert re.findall(r"\{\w+\}|</?b>|&amp;|\d+", said) == re.findall(
        r"\{\w+\}|</?b>|&amp;|\d+", text
    )
    assert (said[0], said[-1]) == ("[", "]")
    assert TURNED in said
    plain = re.sub("[\u202a-\u202e]", "", said)
    assert 1.35 * len(text) <= len(plain) <= 1.4 * len(text) + max(map(len, PADDING)) + 3


def test_every_text_and_every_phrase_is_in_the_language(turned):
    found = list(texts(turned.course.library))
    assert len(found) > 100
    assert [each.text for each in found if each.text[0] + each.text[-1] != "[]"] == []
    assert all(said[0] + said[-1] == "[]" for said in tongue().phrases.values())


def test_each_page_says_that_it_runs_from_right_to_left(turned, tab):
    for kind in pages(tab, turned, 360):
        assert tab.evaluate("[document.dir, document.documentElement.lang]") == ["rtl", CODE], kind
        assert tab.evaluate("getComputedStyle(document.body).direction") == "rtl", kind


# --- Room -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_screen_cut_or_on_top_of_something(turned, tab, width):
    for kind in pages(tab, turned, width):
        assert tab.evaluate(OVERFLOW) <= 0, kind
        assert tab.evaluate(OUTSIDE) == [], kind
        assert tab.evaluate(CLIPPED) == [], kind
        assert tab.evaluate(CUT) == [], kind
        assert tab.evaluate(OVERLAPS) == [], kind
        for html, _, _, _, height in (b[:5] for b in tab.evaluate(BOXES, ".answers a")):
            assert height >= ANSWER, (kind, html)


def test_strip_and_stop_are_where_they_were(both, tab):
    """The strip is first, and what else a page leads to is what it leads to in English."""
    turned, english = both
    links = """() => [...document.querySelectorAll('a[href]')].filter(e => e.checkVisibility())
      .map(e => e.getAttribute('href'))"""
    for kind in pages(tab, turned, 360):
        first = tab.locator("a, button, summary, input").first
        assert "strip" in first.get_attribute("class"), kind
        tab.evaluate("scrollTo(0, 0)")
        box = first.bounding_box()
        assert (box["x"], box["y"], box["width"]) == (0, 0, 360), kind
        if kind not in ("sources", "rehearsed", "code", "agent"):
            assert tab.locator(".stop a:visible").count() >= 1 or kind == "gas", kind
        address = tab.url.removeprefix(turned.folder.as_uri() + "/")
        here = tab.evaluate(links)
        tab.goto("about:blank")
        tab.goto(english.url(address))
        # Complaints are in the order of their names.
        assert sorted(here) == sorted(tab.evaluate(links)), kind


# --- Direction ------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [320, 1280])
def test_text_and_markers_begin_at_the_right_and_arrows_point_on(turned, tab, width):
    chevrons = 0
    for kind in pages(tab, turned, width):
        assert tab.evaluate(NOT_AT_THE_RIGHT) == [], kind
        assert tab.evaluate(MARKERS) == [], kind
        found = tab.evaluate(CHEVRON)
        assert set(found) <= {"3px 3px 0px 0px -45"}, kind
        chevrons += len(found)
        letters = "[...document.querySelectorAll('svg')].map(e => getComputedStyle(e).direction)"
        assert set(tab.evaluate(letters)) <= {"ltr"}, kind
    assert chevrons > 5


def test_signal_words_keep_their_colours(both, tab):
    turned, english = both
    colour = """() => [...document.querySelectorAll('.sign .word')]
      .map(e => getComputedStyle(e).backgroundColor)"""
    pages_with = [n for n in turned.samples().values() if b'class="sign' in turned.files[n]]
    assert pages_with
    for name in pages_with:
        tab.goto(turned.url(name))
        here = tab.evaluate(colour)
        tab.goto(english.url(name))
        assert here == tab.evaluate(colour), name


def test_numbers_keep_their_order_beside_arabic_letters(turned, tab):
    """Beside them digits are of another kind than beside Latin ones: UAX #9, rule W2."""
    put = """number => { for (const tel of document.querySelectorAll('.tel')) {
      tel.textContent = number;
      tel.before('\u0627\u062a\u0635\u0644 ');
      tel.after(' \u0627\u0644\u0622\u0646');
    } }"""
    seen = 0
    for kind in pages(tab, turned, 360):
        for number in ("1-800-555-0100", "(555) 555-0123", "+1 555 555 0199"):
            tab.evaluate(put, number)
            for tel in tab.locator(".tel:visible").all():
                assert tel.evaluate(ORDER) == re.sub(r"\D", "", number), kind
                seen += 1
    assert seen


def test_a_code_keeps_its_order_on_the_page_and_in_plain_text(turned, tab):
    ways = Ways(turned.course)
    root = max(ways.roots, key=lambda each: each in ("hot", "no-heat"))
    trail, page = some_trail(ways, lambda p: p.outcome and p.outcome.kind == "call", root=root)
    tab.goto("about:blank")
    tab.goto(turned.url(f"{page}.html") + ways.link(trail))
    tab.wait_for_selector("#brief:not([hidden])")
    code = in_groups(ways.code(trail))
    assert tab.locator("#code").inner_text() == code
    assert tab.locator("#code").evaluate(RIGHT) == pytest.approx(0, abs=1)
    assert tab.locator("#code").evaluate(ORDER) == code.replace(" ", "")
    assert f"\u2066{code}\u2069" in tab.evaluate(
        "decodeURIComponent(document.getElementById('sms').href)"
    )
    told = """() => { const p = document.createElement('p');
      p.textContent = '\u0631\u0645\u0632: ' + accountOf(() => '').inOrder('123 456 789');
      document.querySelector('main').prepend(p); p.id = 'told'; }"""
    tab.evaluate(told)
    assert tab.locator("#told").evaluate(ORDER) == "123456789"


def test_what_is_typed_in_digits_runs_from_left_to_right_at_the_right_edge(turned, tab):
    for name, field in (("code.html", "#digits"), ("cold-house.html", "#room")):
        tab.goto(turned.url(name))
        style = "e => [getComputedStyle(e).direction, getComputedStyle(e).textAlign]"
        assert tab.locator(field).evaluate(style) == ["ltr", "end"], name


def test_a_figure_keeps_its_unit_where_it_was(turned, tab):
    tab.goto(turned.url("cold-house.html"))
    heads = tab.locator("#lines dt").all()
    assert heads
    for head in heads:
        digits = re.sub(r"\D", "", head.inner_text())
        assert head.evaluate(ORDER) == digits


# --- Access ---------------------------------------------------------------------------------------


LOOKED_OVER = ("start", "complaint", "gas", "call", "agent", "code", "hot", "pocket")
"""Kinds that hold between them all that pages are made of: access does not hang on direction."""


def test_the_rules_of_access_are_kept(turned, tab):
    for kind in pages(tab, turned, 360, LOOKED_OVER):
        broken, _ = looked_over(tab)
        assert broken == [], kind
