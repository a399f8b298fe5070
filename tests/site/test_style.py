"""The style sheet: contrast in both themes, sizes that follow the reader."""

import re

import pytest

from stepstop.contrast import contrast_ratio
from stepstop.edition import look_files
from stepstop.pages.rendering import LOOKS
from stepstop.pages.style import small as made_small

TEXT = 7.0
"""WCAG 2.2, 1.4.6 (AAA); 1.4.11 asks 3 for what isn't text."""
OTHER = 3.0

SHEETS = {
    name.removesuffix(".css"): path.read_text("utf-8")
    for name, path in look_files(()).items()
    if name.endswith(".css")
}
SHEET = SHEETS["page"]
EACH = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
SCREEN = SHEET.split("@media print")[0]

TEXT_PAIRS = [
    ("ink", "paper"),
    ("ink", "card"),
    ("soft", "paper"),
    ("soft", "card"),
    ("accent", "paper"),
    ("accent", "card"),
    ("on-accent", "accent"),
    ("on-stop", "stop"),
]
OTHER_PAIRS = [
    ("line", "paper"),
    ("line", "card"),
    ("edge", "paper"),
    ("edge", "card"),
    ("accent", "paper"),
]


def themes():
    blocks = [
        dict(re.findall(r"--([\w-]+): (#\w+)", b))
        for b in re.findall(r":root \{(.*?)\}", SCREEN, re.DOTALL)
    ]
    light, dark = filter(None, blocks)
    return {"light": light, "dark": {**light, **dark}}


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_text_has_seven_to_one(theme):
    colours = themes()[theme]
    ratios = {pair: contrast_ratio(colours[pair[0]], colours[pair[1]]) for pair in TEXT_PAIRS}
    assert min(ratios.values()) >= TEXT, ratios


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_borders_and_drawings_have_three_to_one(theme):
    colours = themes()[theme]
    ratios = {pair: contrast_ratio(colours[pair[0]], colours[pair[1]]) for pair in OTHER_PAIRS}
    assert min(ratios.values()) >= OTHER, ratios


def test_signal_words_have_seven_to_one_and_black_on_orange_and_yellow():
    pattern = r"\.(\w+) \.word \{ background: (#\w+); color: (#\w+); \}"
    words = {word: (back, text) for word, back, text in re.findall(pattern, SHEET)}
    assert set(words) == {"danger", "warning", "caution", "notice"}
    for word, (back, text) in words.items():
        assert contrast_ratio(back, text) >= TEXT, word
    assert words["warning"][1] == words["caution"][1] == "#000"


def test_the_dark_theme_is_dark_and_the_light_one_light():
    for theme, lighter in (("light", "paper"), ("dark", "ink")):
        colours = themes()[theme]
        white = {name: contrast_ratio(colours[name], "#000") for name in ("paper", "ink")}
        assert max(white, key=white.get) == lighter


@EACH
def test_no_colour_is_used_that_is_not_tested(sheet):
    rules = re.sub(r":root \{.*?\}", "", sheet.split("@media print")[0], flags=re.DOTALL)
    rules = re.sub(r"\.\w+ \.word \{[^}]*\}", "", rules)
    declared = " ".join(re.findall(r"\{([^{}]*)\}", rules))
    assert declared
    assert not re.search(r"#[0-9a-f]|\b(rgb|hsl|oklch|opacity)\b", declared)


@EACH
def test_nothing_moves(sheet):
    assert not re.search(r"animation|transition|@keyframes|scroll-behavior", sheet)


def test_text_follows_the_reader_and_targets_have_a_floor():
    assert "html { font-size: 125%; }" in SHEET
    assert not re.search(r"font(-size)?:[^;]*\dpx", SHEET)
    assert "max(2.8rem, 56px)" in SHEET
    assert "max(2.4rem, 48px)" in SHEET


def test_each_sheet_is_used_and_that_of_every_page_comes_first():
    used = {sheet for sheets in LOOKS.values() for sheet in sheets}
    assert used | {"company"} == set(SHEETS), "that one is for the editions of companies"
    first = {look: sheets[0] for look, sheets in LOOKS.items()}
    assert first.pop("booklet") == "booklet", "it is paper alone"
    assert set(first.values()) == {"page"}


@pytest.mark.parametrize(
    "query",
    [
        "(prefers-color-scheme: dark)",
        "(prefers-contrast: more)",
        "(forced-colors: active)",
        "(scripting: enabled)",
        "print",
    ],
)
def test_the_sheet_has_a_part_for(query):
    assert f"@media {query}" in SHEET


def test_small_keeps_every_rule_and_selector():
    text = """
    /* a note */
    :root :has(#on)  .b ,
    .c::after { margin: 0  auto ; }
    @media (min-width: 4rem) {
      a { b: c; }
    }
    """
    rules = (":root :has(#on) .b,.c::after{margin:0 auto}", "@media (min-width:4rem){a{b:c}}")
    assert made_small(text) == "".join(rules)
