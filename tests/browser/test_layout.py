"""Sizes, reflow, focus, print and rules of access, on the largest page of each kind."""

import pytest

from browser.axe import ENHANCED, looked_over
from stepstop.contrast import contrast_ratio

ANSWER, TARGET, GAP = 56, 48, 8
"""CSS pixels; WCAG 2.2 asks 24 (2.5.8), 44 for AAA (2.5.5): these are for cold hands in gloves."""

OVERFLOW = "document.documentElement.scrollWidth - document.documentElement.clientWidth"

BOXES = """selector => [...document.querySelectorAll(selector)]
  .filter(e => e.checkVisibility())
  .map(e => [e.outerHTML.slice(0, 120), ...Object.values(e.getBoundingClientRect().toJSON())])"""

ADOPT = """rules => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(rules);
  document.adoptedStyleSheets = [sheet];
}"""

CLIPPED = """[...document.querySelectorAll('main *')].filter(
  e => e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflowX != 'visible'
).map(e => e.outerHTML.slice(0, 120))"""

SPACING = """* { line-height: 1.5 !important; letter-spacing: .12em !important;
  word-spacing: .16em !important; } p { margin-block-end: 2em !important; }"""
"""WCAG 2.2, 1.4.12."""

BORDER = """selector =>
  parseFloat(getComputedStyle(document.querySelector(selector)).borderBlockStartWidth)"""

INKS = """() => [...new Set([...document.querySelectorAll('main *, footer *')]
  .filter(e => e.checkVisibility() && !e.closest('svg, .word'))
  .map(e => '#' + getComputedStyle(e).color.match(/\\d+/g).slice(0, 3)
    .map(each => Number(each).toString(16).padStart(2, '0')).join('')))]"""
"""Colours of the text; signal words keep theirs on paper, with the ground that they stand on."""


def boxes(tab, selector):
    """(start of its HTML, x, y, width, height) of each visible element."""
    return [box[:5] for box in tab.evaluate(BOXES, selector)]


def opened(tab, site, width):
    tab.set_viewport_size({"width": width, "height": 740})
    for kind, name in site.samples().items():
        tab.goto(site.url(name + ("#away" if kind == "gas" else "")))
        yield kind


@pytest.mark.parametrize("width", [320, 360, 1280])
def test_nothing_is_wider_than_the_screen(site, tab, width):
    for kind in opened(tab, site, width):
        assert tab.evaluate(OVERFLOW) <= 0, kind


@pytest.mark.parametrize("rules", ["html { font-size: 250% !important; }", SPACING])
def test_nothing_is_wider_with_text_at_200_percent_or_spaced(site, scripted, rules):
    tab = scripted["light"]
    for kind in opened(tab, site, 320):
        tab.evaluate(ADOPT, rules)
        assert tab.evaluate(OVERFLOW) <= 0, kind
        assert not tab.evaluate(CLIPPED), kind


@pytest.mark.parametrize("width", [320, 1280])
def test_answers_are_high_and_apart(site, tab, width):
    for kind in opened(tab, site, width):
        found = boxes(tab, ".answers a")
        for html, _, _, _, height in found:
            assert height >= ANSWER, (kind, html)
        for _, x, y, wide, height in found:
            for other, x2, y2, _, _ in found:
                if y2 > y and x2 < x + wide and x < x2 + 1:
                    assert y2 - (y + height) >= GAP, (kind, other)


@pytest.mark.parametrize("width", [320, 1280])
def test_all_other_targets_are_large_enough_for_gloves(site, tab, width):
    for kind in opened(tab, site, width):
        found = boxes(tab, "a, summary")
        assert found
        for html, _, _, wide, height in found:
            assert min(wide, height) >= TARGET, (kind, html, wide, height)


def test_text_is_20_px_and_follows_the_readers_setting(sites, browser):
    tab = browser.new_page()
    tab.goto(sites["small"].url("index.html"))
    size = "getComputedStyle(document.querySelector('main p')).fontSize"
    assert tab.evaluate(size) == "20px"
    tab.evaluate(ADOPT, "html { font-size: 187.5%; }")
    assert tab.evaluate(size) == "30px"
    tab.close()


def test_focus_is_seen_on_everything_that_takes_it(site, tab):
    focused = """() => { const s = getComputedStyle(document.activeElement);
      return [document.activeElement.tagName, s.outlineStyle, parseFloat(s.outlineWidth)] }"""
    for kind in opened(tab, site, 360):
        count = len(boxes(tab, "a, summary"))
        taken = 0
        for _ in range(count + 1):
            tab.keyboard.press("Tab")
            name, style, width = tab.evaluate(focused)
            if name != "BODY":
                taken += 1
                assert name in ("A", "SUMMARY"), kind
                assert style == "solid", kind
                assert width >= 2, kind
        assert taken >= count, kind


@pytest.mark.parametrize(("theme", "width"), [("light", 1280), ("dark", 320)])
def test_the_rules_of_access_are_kept(site, scripted, theme, width):
    tab = scripted[theme]
    for kind in opened(tab, site, width):
        broken, kept = looked_over(tab)
        assert broken == [], kind
        assert {"target-size", ENHANCED, "document-title"} <= kept, kind


def test_the_dark_theme_is_dark_and_the_light_one_is_not(sites, scripted):
    ground = "getComputedStyle(document.body).backgroundColor.match(/\\d+/g).map(Number)"
    for theme, tab in scripted.items():
        tab.goto(sites["small"].url("index.html"))
        assert (max(tab.evaluate(ground)) < 64) == (theme == "dark")


def test_without_colours_of_our_own_every_box_keeps_its_border(sites, browser):
    tab = browser.new_page(forced_colors="active")
    tab.goto(sites["small"].url("hot/all-parts.html#on"))
    for selector in (".strip", ".answers a", ".stop a", ".sign .word"):
        assert tab.evaluate(BORDER, selector) >= 1, selector
    tab.close()


def test_a_printed_page_has_its_matter_and_no_clutter(site, scripted):
    paper = scripted["dark"].context.new_page()
    paper.emulate_media(media="print")
    for kind, name in site.samples().items():
        paper.goto(site.url(name))
        assert not paper.locator(".strip").is_visible(), kind
        assert not paper.locator(".stop").is_visible(), kind
        assert paper.locator("h1").first.is_visible(), kind
        assert paper.locator(".edition").is_visible(), kind
        assert paper.locator(".law").count() >= 1, kind
        for link in paper.locator(".law, .answers:not(.gate) a").all():
            assert link.is_visible(), kind
        for useless in paper.locator("#find, #tapping, button, .copy, .counter").all():
            assert not useless.is_visible(), kind
        for colour in paper.evaluate(INKS):
            assert contrast_ratio(colour, "#fff") >= 7, kind
    paper.close()
