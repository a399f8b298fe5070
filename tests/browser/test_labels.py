"""Labels as SVG, shown by Chromium: the codes are read, and no line leaves its label."""

import cv2
import numpy as np
import pytest
from click.testing import CliRunner

from browser.sites import REAL
from stepstop.cli import main
from unit.companies import write_company
from unit.printed import SHEETS, boxes, scanned

ADDRESS = "https://help.sample.example/guide"
UNITS = ("furnace", "air-handler", "outdoor-unit", "boiler")
FINE = 3
"""Dots of the screen for a CSS pixel: 288 an inch."""
PIXELS = 96 / 25.4
"""CSS pixels of a millimeter."""

TEXTS = """() => [...document.querySelectorAll('text')].map(e => {
  const { left, top, right, bottom } = e.getBoundingClientRect();
  return [e.textContent, left, top, right, bottom];
})"""


@pytest.fixture(scope="module")
def company(tmp_path_factory):
    return write_company(tmp_path_factory.mktemp("company"), {"address": ADDRESS})


@pytest.fixture(scope="module")
def tab(browser):
    """A page of a browser in the dark theme, as large as the largest sheet."""
    context = browser.new_context(
        viewport={"width": 830, "height": 1140}, device_scale_factor=FINE, color_scheme="dark"
    )
    yield context.new_page()
    context.close()


def shown(tab, company, name, folder, *options):
    """Open the labels of a sheet in the browser."""
    path = folder / f"{name}.svg"
    given = ["labels", "--company", company, "--trees", REAL, "--into", path, "--sheet", name]
    result = CliRunner().invoke(main, [str(each) for each in (*given, *options)])
    assert result.exit_code == 0, result.output
    tab.goto(path.as_uri())


@pytest.mark.parametrize("name", SHEETS)
def test_every_code_is_read_from_the_screen(name, tab, company, tmp_path):
    shown(tab, company, name, tmp_path)
    dots = np.frombuffer(tab.screenshot(), dtype=np.uint8)
    picture = cv2.imdecode(dots, cv2.IMREAD_GRAYSCALE)
    found = [scanned(picture, box, per_mm=PIXELS * FINE) for box in boxes(name)]
    wanted = [f"{ADDRESS}/{unit}/" for unit in UNITS * 8]
    assert [scan and scan.text for scan in found] == wanted[: len(found)]


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("font", ["", "* { font-family: monospace; letter-spacing: 1px; }"])
def test_no_line_leaves_its_label_in_whatever_font_it_is_shown(name, font, tab, company, tmp_path):
    shown(tab, company, name, tmp_path)
    tab.evaluate(
        """rules => {
          const sheet = document.createElementNS('http://www.w3.org/2000/svg', 'style');
          sheet.textContent = rules;
          document.documentElement.append(sheet);
        }""",
        font,
    )
    labels = [tuple(each * PIXELS for each in box) for box in boxes(name)]
    texts = tab.evaluate(TEXTS)
    assert len(texts) >= 7 * len(labels)
    for text, left, top, right, bottom in texts:
        homes = [
            (x, y)
            for x, y, width, height in labels
            if x <= left and y <= top and right <= x + width and bottom <= y + height
        ]
        assert len(homes) == 1, text


def test_the_page_is_as_large_as_the_sheet_and_white_in_the_dark(tab, company, tmp_path):
    shown(tab, company, "a4-8", tmp_path)
    size = tab.evaluate("Object.values(document.documentElement.getBoundingClientRect().toJSON())")
    assert size[2:4] == pytest.approx([210 * PIXELS, 297 * PIXELS], abs=1)
    picture = cv2.imdecode(np.frombuffer(tab.screenshot(), dtype=np.uint8), cv2.IMREAD_GRAYSCALE)
    assert picture[10, 10] == 255
