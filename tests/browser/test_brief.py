"""Trails, briefs and ranked causes in the page: the same as those of Python, on any trail."""

import json
import math
import random

import pytest

from browser.sites import REAL, TODAY
from stepstop import rehearsed
from stepstop.belief import ELSE
from stepstop.brief import brief
from stepstop.edition import edition_for
from stepstop.model import NOT_DONE, UNSURE
from stepstop.pages.atlas import atlas_of
from stepstop.pages.likely_data import likely_data, likely_file
from stepstop.pages.rendering import Renderer
from stepstop.pages.trail_data import trail_data
from stepstop.pages.words import plain
from stepstop.ranking import SAME, read
from stepstop.site import BRIEF_PARTS
from stepstop.trail import in_groups
from unit.test_trail import drawn, swapped_neighbours, wrong_digits

TRAILS = 20_000

TRY = """(what, ...given) => { try { return what(...given); } catch (error) {
  if (!(error instanceof RangeError)) throw error;
  return null;
} }"""

READ_ALL = f"""links => {{
  const attempt = {TRY};
  const ways = self.w ||= waysOf(stepstop.trail);
  return JSON.stringify(JSON.parse(links).map((link) => {{
    const trail = attempt(ways.readLink, link);
    if (!trail) return null;
    const followed = ways.follow(trail), code = ways.code(trail);
    return [ways.inGroups(code), ways.address(followed.page), ways.readCode(code).words,
      briefOf(stepstop.trail, followed)];
  }}));
}}"""
"""What goes in and out of the page is text: many values are slow to hand over."""

RANK_ALL = """links => {
  const ways = self.w ||= waysOf(stepstop.trail);
  const rankings = self.r ||= Object.fromEntries(Object.entries(stepstop.tables)
    .map(([tree, table]) => [tree, rankingOf(table)]));
  return JSON.stringify(JSON.parse(links).map((link) => {
    const trail = ways.readLink(link), { ways: taken } = ways.follow(trail);
    const ranking = rankings[stepstop.trail.roots[trail.root][0]];
    return ranking.chances(ranking.told(taken));
  }));
}"""

ROWS = """asked => {
  const rankings = self.r;
  return JSON.stringify(JSON.parse(asked).map(([tree, finding, values, column]) => {
    const { each, other } = rankings[tree].row([finding, values, column]);
    return [...each, other];
  }));
}"""


@pytest.fixture(scope="module")
def atlas(course):
    atlas = atlas_of(course, edition_for(course, REAL, today=TODAY))
    assert atlas.edition.rankings, "`stepstop rehearse --write` makes the tables"
    return atlas


@pytest.fixture(scope="module")
def page(browser, atlas):
    """A page with the script of the brief and all its data."""
    opened = browser.new_page()
    opened.goto("about:blank")
    for script in (Renderer(()).script(*BRIEF_PARTS[:-1]), trail_data(atlas)):
        opened.add_script_tag(content=script.decode())
    opened.evaluate("stepstop.tables = {}")
    for tree, (_, table) in zip(atlas.edition.rankings, likely_data(atlas), strict=True):
        opened.add_script_tag(content=table.decode())
        opened.evaluate("tree => { stepstop.tables[tree] = stepstop.likely; }", tree)
    yield opened
    opened.close()


def told_by(page, script, asked):
    """What `script` says in the page of each of `asked`."""
    return json.loads(page.evaluate(script, json.dumps(asked)))


def in_parts(trails, size=2000):
    for i in range(0, len(trails), size):
        yield trails[i : i + size]


def as_page_tells(found):
    return {
        "fails": found.fails,
        "danger": found.danger,
        "parts": [[title, list(lines)] for title, lines in found.parts],
        "tried": list(found.tried),
        "missing": list(found.missing),
    }


def test_trails_codes_and_briefs_are_those_of_python(page, atlas):
    ways = atlas.ways

    def text(each):
        return plain(atlas.said(each))

    for trails in in_parts(list(drawn(ways, 4000, seed=11))):
        told = told_by(page, READ_ALL, [ways.link(trail) for trail in trails])
        for trail, (code, address, words, account) in zip(trails, told, strict=True):
            followed = ways.follow(trail)
            assert code == in_groups(ways.code(trail))
            assert address == f"{followed.page}.html"
            assert words == list(trail.words)
            assert account == as_page_tells(brief(ways, followed, text))


def test_what_is_no_trail_is_refused_by_the_page_too(page, atlas):
    v = atlas.ways.version
    links = ["", "#on", f"#on={v}.1.1.9.AAAAA", "#on=AAAAA.1.1.0.", f"#on={v}.1.1.0.<b>"]
    assert told_by(page, READ_ALL, links) == [None] * len(links)


def test_the_page_refuses_wrong_codes_as_python_does(page, atlas):
    ways = atlas.ways
    codes = [ways.code(trail) for trail in drawn(ways, 20, seed=12)]
    wrong = [bad for code in codes for bad in (*wrong_digits(code), *swapped_neighbours(code))]
    read_all = f"""codes => {{ const attempt = {TRY}, ways = waysOf(stepstop.trail);
      return JSON.parse(codes).filter((code) => attempt(ways.readCode, code)); }}"""
    assert page.evaluate(read_all, json.dumps(wrong)) == []
    assert page.evaluate(read_all, json.dumps(codes)) == codes


def answers_of(ways, trail):
    taken = [way for way in ways.follow(trail).ways if way.answer is not None]
    return [(ways.pages[way.page], way.answer.values) for way in taken]


def test_causes_are_ranked_as_python_ranks_them(page, atlas, record_property):
    ways, worst = atlas.ways, 0.0
    rankings = atlas.edition.rankings
    trails = [t for t in drawn(ways, TRAILS * 2, seed=13) if t.root in rankings][:TRAILS]
    assert len(trails) == TRAILS
    for some in in_parts(trails, 1000):
        told = told_by(page, RANK_ALL, [ways.link(trail) for trail in some])
        for trail, chances in zip(some, told, strict=True):
            ranking = rankings[trail.root]
            here = ranking.chances(ranking.told(answers_of(ways, trail)))
            there = {ranking.causes[n] if n >= 0 else ELSE: share for n, share in chances}
            assert there.keys() == here.keys()
            worst = max(worst, *(abs(there[cause] - here[cause]) for cause in here))
    record_property("largest difference", worst)
    assert worst <= SAME


def test_every_entry_of_every_table_is_that_of_python(page, atlas, record_property):
    told_by(page, RANK_ALL, [])
    findings = atlas.course.library.catalogue.findings
    numbers = {name: i for i, name in enumerate(findings)}
    worst, entries = 0.0, 0
    for tree, ranking in atlas.edition.rankings.items():
        asked, here = [], []
        for place, column in ranking.data["column"].items():
            acts, _, finding = place.partition(":")
            values = list(findings[finding].values)
            for value in (*values, UNSURE, NOT_DONE):
                number = {UNSURE: -1, NOT_DONE: -2}.get(value)
                number = values.index(value) if number is None else number
                asked.append([tree, numbers[finding], [number], column])
                here.append((int(acts), finding, (value,)))
        # Places that share a column share its entries: each is looked at once.
        once = {json.dumps(each): i for i, each in enumerate(asked)}
        chosen = list(once.values())
        for some in in_parts(chosen, 200):
            told = told_by(page, ROWS, [asked[i] for i in some])
            for i, row in zip(some, told, strict=True):
                mine = ranking.row(here[i])
                entries += len(row)
                worst = max(worst, max(abs(a - b) for a, b in zip(row, mine, strict=True)))
    record_property("entries", entries)
    assert entries > 100_000
    assert worst <= SAME


def test_reasons_are_those_of_python(page, atlas):
    ways, rankings = atlas.ways, atlas.edition.rankings
    names = list(atlas.course.library.catalogue.findings)
    script = """([link, number]) => {
      const { ways: taken } = w.follow(w.readLink(link));
      const tree = stepstop.trail.roots[w.readLink(link).root][0];
      return r[tree].reasons(r[tree].told(taken), number);
    }"""
    told_by(page, RANK_ALL, [])
    draw, told = random.Random(4), 0
    for trail in drawn(ways, 150, seed=14):
        if trail.root not in rankings:
            continue
        ranking = rankings[trail.root]
        cause = draw.choice(ranking.causes)
        here = ranking.reasons(ranking.told(answers_of(ways, trail)), cause)
        there = page.evaluate(script, [ways.link(trail), ranking.causes.index(cause)])
        # Answers that speak as strongly come in any order.
        mine = sorted((finding, ratio) for ratio, finding, _ in here)
        theirs = sorted((names[finding], ratio) for ratio, finding, _ in there)
        assert [finding for finding, _ in theirs] == [finding for finding, _ in mine]
        for (_, ratio), (_, other) in zip(mine, theirs, strict=True):
            assert math.isclose(ratio, other, rel_tol=1e-6)
        told += len(here)
    assert told > 100


def test_the_tables_are_of_these_very_trees(course, atlas):
    of = rehearsed.fingerprint(REAL, course)
    assert read(REAL / rehearsed.FOLDER, of).keys() == atlas.edition.rankings.keys()
    assert read(REAL / rehearsed.FOLDER, "another") == {}
    for tree in atlas.edition.rankings:
        assert likely_file(tree) == f"{tree}/likely.js"
