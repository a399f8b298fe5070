"""What a screen reader is given, in its order: one page of each kind of the small library.

The files of `golden/read_aloud/` are Playwright's ARIA snapshots: roles and names as the W3C's
"Accessible Name and Description Computation" gives them. With STEPSTOP_ACCEPT=1 in the environment
they are written anew: read the difference before you keep it.
"""

import os
import re
from pathlib import Path

import pytest

HERE = Path(__file__).parents[1] / "golden" / "read_aloud"
KINDS = sorted(path.stem for path in HERE.glob("*.yml"))
IS_ACCEPTING = os.environ.get("STEPSTOP_ACCEPT") == "1"


@pytest.fixture(scope="module")
def spoken(browser, sites):
    """Kind of page -> what is read aloud on it, as somebody on a walk comes to it."""
    site = sites["small"]
    tab = browser.new_page(viewport={"width": 360, "height": 740})
    found = {}
    for kind, name in site.samples().items():
        tab.goto(site.url(f"{name}#on"))
        text = tab.locator("body").aria_snapshot()
        # Any change of a template changes the edition's hash; a trail tells the time.
        text = re.sub(r"#on=[\w.-]+", "#on=TRAIL", text)
        found[kind.replace(" ", "-")] = re.sub(r"\b[0-9a-f]{8}\b", "HASH", text) + "\n"
    tab.close()
    if IS_ACCEPTING:
        HERE.mkdir(exist_ok=True)
        for path in HERE.glob("*.yml"):
            path.unlink()
        for kind, text in found.items():
            (HERE / f"{kind}.yml").write_text(text, "utf-8")
    return found


def test_each_kind_of_page_has_a_file(spoken):
    assert sorted(spoken) == sorted(path.stem for path in HERE.glob("*.yml"))


@pytest.mark.parametrize("kind", KINDS)
def test_it_reads(spoken, kind):
    assert spoken[kind] == (HERE / f"{kind}.yml").read_text("utf-8")


@pytest.mark.parametrize("kind", KINDS)
def test_it_begins_with_the_strip_then_has_one_heading_of_the_first_level(spoken, kind):
    lines = spoken[kind].splitlines()
    assert lines[0] == "- banner:"
    assert lines[1].startswith('  - link "Gas smell, alarm, smoke'), kind
    assert sum("[level=1]" in line for line in lines) == 1
    assert sum(line == "- main:" for line in lines) == 1
    assert sum(line == "- contentinfo:" for line in lines) == 1
