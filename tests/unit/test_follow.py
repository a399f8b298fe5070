"""`stepstop trail`: a link or a code, read in a terminal."""

import pytest
from click.testing import CliRunner

from browser.sites import REAL
from stepstop import cli, verify
from stepstop.cli import main
from stepstop.trail import Ways, in_groups
from unit.test_trail import drawn


@pytest.fixture(scope="module")
def proven():
    """The shipped trees, read and proven as each command would."""
    return verify.verify(REAL)


@pytest.fixture(autouse=True)
def _proven_once(monkeypatch, proven):
    """Have the commands take what is proven already: it takes them some ten seconds each."""

    def known(folder, **_):
        assert folder == REAL
        return proven

    monkeypatch.setattr(cli, "verify", known)


@pytest.fixture(scope="module")
def ways(course):
    return Ways(course)


@pytest.fixture(scope="module")
def trail(ways):
    """One that ends with a call."""

    def ends_with_a_call(trail):
        page = ways.pages[ways.follow(trail).page]
        return page.outcome and page.outcome.kind == "call"

    return next(t for t in drawn(ways, 500, seed=5, goes_on=1.0) if ends_with_a_call(t))


def told(given):
    return CliRunner().invoke(main, ["trail", given, str(REAL)])


def test_a_link_its_fragment_and_its_code_tell_the_same(ways, trail):
    link = ways.link(trail)
    given = [f"https://demo.test/x.html{link}", link, link[1:], in_groups(ways.code(trail))]
    found = {told(each).output for each in given}
    assert len(found) == 1
    text = found.pop()
    title = ways.course.library.trees[trail.root].title
    assert text.startswith(f"What fails: {title}")
    assert f"({ways.follow(trail).page}.html)" in text
    assert f"Code: {in_groups(ways.code(trail))}" in text
    assert "Possible causes (simulated calls, no field results)" in text


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ("123 456", "a digit is wrong"),
        ("a code", "a code has digits only"),
        ("#on=AAAAA.0.0.0.AAAAA", "another edition"),
        ("#on=", "no link with a trail"),
    ],
)
def test_what_is_no_trail_is_told_in_one_line(given, why):
    result = told(given)
    assert result.exit_code == 1
    [line] = result.output.splitlines()
    assert line.startswith("Error: ")
    assert why in line


def test_a_place_that_nobody_knows_is_told(ways, trail):
    arguments = ["trail", ways.code(trail), str(REAL), "--place", "nowhere"]
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == 1
    assert "nowhere" in result.output
