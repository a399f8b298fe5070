"""The page's reading of taps: the same as that of Python, under the policy of a page."""

import gzip
import json

import pytest

from stepstop.pages.style import script_of
from stepstop.shipped import folder
from stepstop.tapping import read
from unit.taps import many

SCRIPT = folder("site_overrides") / "stepstop" / "tapping.js"

POLICY = (
    "default-src 'none'; script-src '{hash}'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}"><title>Taps</title></head>
<body><script>{script}</script></body></html>"""

READ_ALL = """sequences => JSON.parse(sequences).map(([presses, until]) => {
  const said = readTaps(presses, until ?? undefined);
  return [said.pattern, said.counts, said.letters, said.rounds, said.agree];
})"""

REFUSED = """([presses, until]) => {
  try { readTaps(presses, until ?? undefined); } catch (error) { return error.name; }
}"""


@pytest.fixture(scope="module")
def page(browser, tmp_path_factory):
    """A page that holds the script, and nothing but the hash to let it run."""
    script = script_of(SCRIPT.read_text(encoding="utf-8"))
    file = tmp_path_factory.mktemp("taps") / "taps.html"
    policy = POLICY.format(hash=script.hash)
    file.write_text(PAGE.format(policy=policy, script=script.text), encoding="utf-8")
    opened = browser.new_page()
    complaints = []
    opened.on("console", lambda message: complaints.append(message.text))
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    opened.goto(file.as_uri())
    assert complaints == []
    yield opened
    opened.close()


def as_text(sequences):
    """One string, since many values are slow to hand over; each float reads back as it was."""
    return json.dumps(list(sequences))


def said_by_both(page, sequences):
    in_page = page.evaluate(READ_ALL, as_text([each.presses, each.until] for each in sequences))
    for each, there in zip(sequences, in_page, strict=True):
        here = read(each.presses, until=each.until)
        yield there, [here.pattern, list(here.counts), here.letters, here.rounds, here.agree]


@pytest.mark.parametrize(
    "kind",
    [
        {"jitter": 0.15, "missed": 0},
        {"jitter": 0.0, "missed": 0.05},
        {"jitter": 0.15, "missed": 0.05, "rounds": 5},
        {"jitter": 0.25, "missed": 0.1, "clear": 1.0},
    ],
    ids=str,
)
def test_the_page_says_what_python_says(page, kind):
    compared = list(said_by_both(page, many(7, 5_000, **kind)))
    assert len(compared) == 5_000
    assert [(there, here) for there, here in compared if there != here] == []
    assert len({here[0] for _, here in compared}) >= 6


@pytest.mark.parametrize(
    ("presses", "until"),
    [
        ([[0, 100], [200, 150]], None),
        ([[0, 300], [200, 400]], None),
        ([[500, 600], [0, 100]], None),
        ([[0, 100]], 99),
    ],
)
def test_the_page_refuses_what_python_refuses(page, presses, until):
    with pytest.raises(ValueError, match=r"press 2|until"):
        read([tuple(each) for each in presses], until=until)
    assert page.evaluate(REFUSED, [presses, until]) == "RangeError"


def test_too_few_taps_are_too_little_in_the_page_too(page):
    for presses in ([], [[0, 100]]):
        assert page.evaluate(READ_ALL, as_text([[presses, None]])) == [["too-little", [], "", 0, 0]]


def test_the_script_is_small():
    script = script_of(SCRIPT.read_text(encoding="utf-8")).text
    assert len(gzip.compress(script.encode(), 9, mtime=0)) <= 3_200
