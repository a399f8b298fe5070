"""What a reader may set or use instead: zoom, own colours, stillness, contrast, keys alone."""

import pytest

from browser.test_layout import ANSWER, CLIPPED, OVERFLOW, boxes
from browser.test_walk import ENDS, shortest_walk
from stepstop.contrast import contrast_ratio

OTHER = 3.0
"""WCAG 2.2, 1.4.11: contrast of what isn't text."""
GATED = ("gas", "missing")
"""Kinds that show a part only after a tap on their gate."""

COLOURS = """() => {
  const hex = colour => '#' + colour.match(/\\d+/g).slice(0, 3)
    .map(each => Number(each).toString(16).padStart(2, '0')).join('');
  const seen = new Set();
  for (const shape of document.querySelectorAll('svg *')) {
    const { stroke, fill, strokeWidth } = getComputedStyle(shape);
    if (!shape.checkVisibility() || !(shape instanceof SVGGeometryElement)) continue;
    const lined = stroke !== 'none' && parseFloat(strokeWidth) > 0;
    if (!lined && fill === 'none') seen.add('nothing to see: ' + shape.outerHTML);
    else seen.add(hex(lined ? stroke : fill));
  }
  return [hex(getComputedStyle(document.body).backgroundColor), ...seen];
}"""
"""The ground of the page, then the colours of its drawings: of lines, else of areas."""

BARE = """selector => [...document.querySelectorAll(selector)]
  .filter(e => e.checkVisibility() && !(parseFloat(getComputedStyle(e).borderBlockStartWidth) >= 1))
  .map(e => e.outerHTML.slice(0, 120))"""

FOCUS = """() => {
  const all = [...document.querySelectorAll('*')], e = document.activeElement;
  const box = e.getBoundingClientRect();
  const at = [...e.getClientRects()].map(r => [r.x + r.width / 2, r.y + r.height / 2]);
  return {
    name: e.tagName, html: e.outerHTML.slice(0, 120), place: all.indexOf(e), href: e.href,
    line: parseFloat(getComputedStyle(e).outlineWidth),
    style: getComputedStyle(e).outlineStyle,
    inside: box.y >= 0 && box.y + Math.min(box.height, innerHeight) <= innerHeight + 1,
    covered: !at.some(([x, y]) => e.contains(document.elementFromPoint(x, y))),
  };
}"""


@pytest.fixture
def tab_with(browser):
    """Options of a reader -> a page of a browser that has them."""
    contexts = []

    def opened(**options):
        context = browser.new_context(**{"viewport": {"width": 360, "height": 740}, **options})
        contexts.append(context)
        return context.new_page()

    yield opened
    for context in contexts:
        context.close()


def pages(tab, site, *, gate_is_open=True):
    """Open each kind of page in `tab`, as on a walk; its kind."""
    for kind, name in site.samples().items():
        tab.goto(site.url(name + ("#away" if gate_is_open and kind in GATED else "#on")))
        yield kind


def focused(tab):
    """What has the focus at each stop of the Tab key, once round the page."""
    first = None
    for _ in range(200):
        tab.keyboard.press("Tab")
        found = tab.evaluate(FOCUS)
        if found["name"] in ("BODY", "HTML") or found["place"] == first:
            return
        first = found["place"] if first is None else first
        yield found
    raise AssertionError("the focus never leaves the page")


def test_all_can_be_read_and_reached_at_400_percent(site, tab_with):
    """1280 x 1024 at 400 %: WCAG 2.2, 1.4.10 (reflow) and 2.4.11 (focus not obscured)."""
    tab = tab_with(viewport={"width": 320, "height": 256}, device_scale_factor=4)
    for kind in pages(tab, site):
        assert tab.evaluate(OVERFLOW) <= 0, kind
        assert not tab.evaluate(CLIPPED), kind
        for html, x, _, width, _ in boxes(tab, "a, summary, button, input, select"):
            assert 0 <= x <= x + width <= 320, (kind, html)
        for html, _, _, _, height in boxes(tab, ".answers a"):
            assert height >= ANSWER, (kind, html)
        for found in focused(tab):
            assert found["inside"], (kind, found)
            assert not found["covered"], (kind, found)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_with_the_readers_colours_boxes_lines_and_focus_are_seen(site, tab_with, theme):
    tab = tab_with(forced_colors="active", color_scheme=theme)
    boxed = (
        ".strip, .answers a, .stop a, .first a, .copy a, .tel, .sign .word, .lost, "
        "button, input, select"
    )
    drawn = 0
    for kind in pages(tab, site):
        assert tab.evaluate(BARE, boxed) == [], kind
        ground, *colours = tab.evaluate(COLOURS)
        assert [c for c in colours if contrast_ratio(c, ground) < OTHER] == [], kind
        drawn += len(colours)
        for found in focused(tab):
            assert found["style"] != "none", (kind, found)
            assert found["line"] >= 2, (kind, found)
    assert drawn > 5


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_nothing_is_animated(site, tab_with, motion):
    tab = tab_with(reduced_motion=motion)
    for kind in pages(tab, site):
        assert tab.evaluate("document.getAnimations().length") == 0, kind


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_who_asks_for_contrast_gets_no_soft_text_and_no_soft_line(sites, tab_with, theme):
    colours = """() => ['.edition', '.law p', 'footer', 'main'].map(at => {
      const style = getComputedStyle(document.querySelector(at));
      return at === 'footer' ? style.borderBlockStartColor : style.color;
    })"""
    page = sites["small"].url("hot/all-parts.html#on")
    for contrast, kinds in (("more", 1), ("no-preference", 3)):
        tab = tab_with(contrast=contrast, color_scheme=theme)
        tab.goto(page)
        assert len(set(tab.evaluate(colours))) == kinds


def test_the_focus_goes_in_the_order_of_the_page_and_is_never_covered(site, tab_with):
    tab = tab_with()
    for kind in pages(tab, site, gate_is_open=False):
        stops = list(focused(tab))
        places = [found["place"] for found in stops]
        assert places == sorted(set(places)), kind
        assert [f["html"] for f in stops if f["covered"] or not f["inside"]] == [], kind
        assert len(stops) == len(boxes(tab, "a, summary, button, input, select")), kind


@pytest.mark.parametrize("end", ENDS)
def test_keys_alone_lead_from_the_start_to(site, tab_with, end):
    root, moves = shortest_walk(site.course, ENDS[end])
    tab = tab_with()
    tab.goto(site.url("index.html"))
    for target in (f"{root}.html", *(f"{move.to}.html#on" for move in moves)):
        follow(tab, site.url(target))
    outcome = site.course.pages[moves[-1].to].outcome
    if outcome.gate:
        follow(tab, f"{tab.url.split('#')[0]}#away")
        assert tab.locator('a[href^="tel:"]').first.is_visible()
    assert tab.locator("h1").first.is_visible()


def follow(tab, address):
    """Press Tab until a link to `address` has the focus, then Enter; links of a walk tell it on."""
    page, _, fragment = address.partition("#")
    for found in focused(tab):
        to, _, told = (found["href"] or "").partition("#")
        if to == page and told.startswith(fragment):
            tab.keyboard.press("Enter")
            tab.wait_for_url(lambda url: url.partition("#")[0] == page)
            return
    raise AssertionError(f"no key leads from {tab.url} to {address}")
