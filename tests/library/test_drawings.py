"""The drawings that are shipped: one style, words for those who can't see them, small, all used."""

import gzip
from pathlib import Path
from xml.etree import ElementTree

import pytest

from stepstop.pages.drawings import icon, read_drawings
from stepstop.verify import verify

ROOT = Path(__file__).parents[2]
DRAWINGS = sorted((ROOT / "site_overrides/stepstop/drawings").glob("*.svg"))
LARGEST = 2_000
"""Bytes of one drawing, gzip -9."""
SVG = "{http://www.w3.org/2000/svg}"
STYLE = {
    "viewBox": "0 0 240 150",
    "fill": "none",
    "stroke": "currentColor",
    "stroke-width": "3",
    "role": "img",
}


def test_there_are_thirty_or_more():
    assert len(DRAWINGS) >= 30


@pytest.mark.parametrize("path", DRAWINGS, ids=lambda path: path.stem)
def test_a_drawing_is_small_in_one_style_and_has_words(path):
    text = path.read_text("utf-8")
    assert len(gzip.compress(text.encode(), 9)) <= LARGEST
    root = ElementTree.fromstring(text)
    assert {name: root.get(name) for name in STYLE} == STYLE
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert {title.get("id"), desc.get("id")} == {f"{path.stem}-t", f"{path.stem}-d"}
    assert 2 <= len(title.text.split()) <= 12
    assert desc.text.strip().endswith(".")
    assert len(desc.text.split()) >= 8


@pytest.mark.parametrize("path", DRAWINGS, ids=lambda path: path.stem)
def test_nothing_in_a_drawing_moves_or_has_a_colour_of_its_own(path):
    root = ElementTree.fromstring(path.read_text("utf-8"))
    for element in root.iter():
        name = element.tag.removeprefix(SVG)
        assert "anim" not in name.lower()
        assert name not in ("set", "style", "image", "use", "a"), name
        for key in ("fill", "stroke"):
            assert element.get(key) in (None, "none", "currentColor"), (name, key)


@pytest.mark.parametrize("path", DRAWINGS, ids=lambda path: path.stem)
def test_lines_are_thick_enough_at_the_width_of_a_small_phone(path):
    """A drawing is 208 px wide there, 86 % of its own size: 2 px lines stay 1.7 px wide."""
    root = ElementTree.fromstring(path.read_text("utf-8"))
    for element in root.iter():
        assert float(element.get("stroke-width", 3)) >= 2.0


def test_every_drawing_stands_on_a_page():
    library = verify(ROOT / "decision_trees").course.library
    steps = [step for tree in library.trees.values() for step in tree.steps.values()]
    ends = [end for tree in library.trees.values() for end in tree.outcomes.values()]
    shown = {
        *(each.drawing for each in (*steps, *ends, *library.catalogue.checks.values())),
        *(answer.drawing for step in steps for answer in step.answers),
    }
    assert {path.stem for path in DRAWINGS} <= shown


def test_every_drawing_can_be_read():
    drawings = read_drawings({f"drawings/{path.name}": path for path in DRAWINGS})
    assert all(icon(text).startswith("<svg") for text in drawings.values())
