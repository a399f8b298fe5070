"""Closed calls: read with all mistakes at once, counted by hand, weights by the textbook's form."""

import json
import random
from dataclasses import replace
from types import SimpleNamespace

import pytest
from click.testing import CliRunner

from browser.sites import REAL
from stepstop import closed
from stepstop.belief import ELSE
from stepstop.cli import main
from stepstop.closed import Call, Read
from stepstop.edition import edition_for
from stepstop.house.cases import FREQUENCY
from stepstop.trail import Trail, Ways, in_groups
from stepstop.verdicts import read_verdicts


@pytest.fixture(scope="module")
def ways(course):
    return Ways(course)


@pytest.fixture(scope="module")
def verdicts(course):
    return read_verdicts(REAL / "rehearsal" / "verdicts.yml", course.library)[0]


@pytest.fixture(scope="module")
def rankings(course):
    return edition_for(course, REAL, environ={}).rankings


def some_trail(ways, root, kind, *, seed=0):
    """A trail from `root` to an outcome of this kind."""
    draw = random.Random(f"{root} {kind} {seed}")
    while True:
        page, words = ways.roots[root], []
        while choices := ways.by_page[page]:
            way = draw.choice(choices)
            words.append(way.word)
            page = way.to
        outcome = ways.pages[page].outcome
        if outcome and outcome.kind == kind:
            return Trail(root, tuple(words)), page


def table(tmp_path, *rows, head="code,cause"):
    path = tmp_path / "calls.csv"
    path.write_text("\n".join([head, *rows]) + "\n", "utf-8")
    return path


def called(ways, root, kind, cause, *, seed=0):
    trail, page = some_trail(ways, root, kind, seed=seed)
    return Call(trail, page, cause)


# ---- reading ----


def test_codes_and_links_are_read_with_or_without_blanks(tmp_path, ways, course):
    trail, page = some_trail(ways, "no-heat", "call")
    code = ways.code(trail)
    path = table(
        tmp_path,
        f"{code},flame-sensor",
        f" {in_groups(code)} , {ELSE} ",
        f"https://example.com/{page}.html#{ways.link(trail).lstrip('#')},flame-sensor",
        "",
    )
    causes = course.library.catalogue.causes
    known = "flame-sensor" if "flame-sensor" in causes else next(iter(causes))
    path.write_text(path.read_text("utf-8").replace("flame-sensor", known), "utf-8")
    calls, problems = closed.read_calls(path, ways, course.library.catalogue)
    assert problems == []
    assert [call.page for call in calls] == [page] * 3
    assert [call.cause for call in calls] == [known, ELSE, known]


def test_all_mistakes_are_told_at_once_each_with_its_line(tmp_path, ways, course):
    trail, _ = some_trail(ways, "no-heat", "call")
    good = ways.code(trail)
    path = table(tmp_path, f"{good},gremlins", "12,dirty-filter", good, "x,y")
    calls, problems = closed.read_calls(path, ways, course.library.catalogue)
    assert calls == ()
    assert [(p.spot.line, p.flaw) for p in problems] == [
        (2, "unknown-name"),
        (3, "unknown-word"),
        (4, "wrong-type"),
        (5, "unknown-name"),
        (5, "unknown-word"),
    ]
    assert all(problem.mend for problem in problems)


@pytest.mark.parametrize(
    ("head", "said"),
    [
        ("code,cause,name", "nothing of anybody belongs into this file"),
        ("code", "the column `cause` is missing"),
        ("code,code,cause", "two columns are called `code`"),
        ("kode,cause", "did you mean `code`"),
    ],
)
def test_other_columns_are_refused(tmp_path, ways, course, head, said):
    path = table(tmp_path, head=head)
    _, problems = closed.read_calls(path, ways, course.library.catalogue)
    assert any(said in f"{p.message}; {p.mend}" for p in problems), problems


@pytest.mark.parametrize(
    ("content", "flaw"), [(b"", "empty-file"), (b"\xff\xfe", "unreadable-file")]
)
def test_what_is_no_table_is_told(tmp_path, ways, course, content, flaw):
    path = tmp_path / "calls.csv"
    path.write_bytes(content)
    _, problems = closed.read_calls(path, ways, course.library.catalogue)
    assert [problem.flaw for problem in problems] == [flaw]


# ---- counting ----


def test_hits_and_misses_add_up_and_are_those_of_the_ranking(ways, verdicts, rankings):
    causes = sorted(verdicts.causes)[:40:4]
    calls = [
        called(ways, "no-heat", "call", cause, seed=seed) for cause in causes for seed in range(3)
    ]
    found = closed.account(Read(tuple(calls), verdicts), ways, rankings)
    assert found.calls == found.ranked == len(calls)
    assert sum(each.calls for each in found.causes) == len(calls)
    for each in found.causes:
        assert each.first <= each.shown <= each.calls
        assert each.missed == each.calls - each.shown
    hits = 0
    for call in calls:
        ranking = rankings["no-heat"]
        followed = ways.follow(call.trail)
        answers = [(ways.pages[w.page], w.answer.values) for w in followed.ways if w.answer]
        order = [cause for cause in ranking.chances(ranking.told(answers)) if cause != ELSE]
        hits += order[0] == call.cause
    assert sum(each.first for each in found.causes) == hits


def test_a_hazard_that_ended_too_mildly_is_dangerous(ways, verdicts, rankings):
    hazard = next(
        name
        for name, judged in verdicts.causes.items()
        if judged.is_hazard
        and all({*row.works, *row.fails} <= {"call", "danger"} for row in judged.rows)
    )
    mild = called(ways, "no-heat", "watch", hazard)
    careful = called(ways, "no-heat", "call", hazard)
    [found] = closed.account(Read((mild, careful), verdicts), ways, rankings).causes
    assert (found.calls, found.dangerous) == (2, 1)
    harmless = next(name for name, judged in verdicts.causes.items() if not judged.is_hazard)
    [found] = closed.account(
        Read((replace(mild, cause=harmless),), verdicts), ways, rankings
    ).causes
    assert found.dangerous == 0


def test_without_a_table_of_causes_nothing_is_ranked_and_danger_still_is(ways, verdicts):
    call = called(ways, "no-heat", "call", next(iter(verdicts.causes)))
    found = closed.account(Read((call,), verdicts), ways, {})
    assert (found.calls, found.ranked, found.sensitivity) == (1, 0, None)
    assert found.causes[0].calls == 0


# ---- weights ----


def classes(*often):
    causes = {f"c{i}": SimpleNamespace(id=f"c{i}", frequency=each) for i, each in enumerate(often)}
    return SimpleNamespace(causes=causes)


def calls_about(*causes):
    return [SimpleNamespace(cause=cause) for cause in causes]


def test_weights_are_the_means_of_a_dirichlet_distribution():
    """Two classes, by hand: prior shares 27/30 and 3/30 worth 10 calls, then 2 and 8 calls."""
    catalogue = classes("very-common", "occasional")
    calls = calls_about(*["c0"] * 2, *["c1"] * 8, ELSE)
    common, rare = closed._weights(calls, catalogue, 10.0)
    assert (common.judged, rare.judged) == pytest.approx((0.9, 0.1))
    assert (common.counted, rare.counted) == (2, 8)
    assert common.estimate == pytest.approx((10 * 0.9 + 2) / 20)
    assert rare.estimate == pytest.approx((10 * 0.1 + 8) / 20)
    assert rare.error == pytest.approx((0.45 * 0.55 / 21) ** 0.5)


def test_no_calls_leave_the_weights_and_many_calls_become_them():
    catalogue = classes("very-common", "common", "rare", "rare")
    for weight in closed._weights([], catalogue, 50.0):
        assert weight.estimate == pytest.approx(weight.judged)
    many = closed._weights(calls_about(*["c2"] * 100_000), catalogue, 50.0)
    assert [round(each.estimate, 2) for each in many] == [0.0, 0.0, 1.0]
    assert sum(each.estimate for each in many) == pytest.approx(1.0)
    assert [each.causes for each in many] == [1, 1, 2]


def test_a_cause_that_is_met_too_often_is_suggested_for_another_class():
    catalogue = classes("very-common", "rare", "rare")
    calls = calls_about(*["c0"] * 20, *["c1"] * 20, *["c2"] * (closed.ENOUGH - 1))
    [moved] = closed._moved(calls, catalogue, 10.0)
    assert (moved.cause, moved.frequency, moved.calls) == ("c1", "rare", 20)
    assert FREQUENCY[moved.suggested] > FREQUENCY["rare"]


def test_reweighted_tables_rank_by_the_new_weights(ways, rankings):
    ranking = rankings["no-heat"]
    trail, _ = some_trail(ways, "no-heat", "call", seed=4)
    followed = ways.follow(trail)
    answers = [(ways.pages[w.page], w.answer.values) for w in followed.ways if w.answer]
    told = ranking.told(answers)
    before = ranking.chances(told)
    first, second = [cause for cause in before if cause != ELSE][:2]
    same = ranking.reweighted({}).chances(told)
    assert same == pytest.approx(before)
    after = ranking.reweighted({second: 1000.0}).chances(told)
    assert after[second] > after[first]
    assert sum(after.values()) == pytest.approx(1.0)
    odds = after[second] / after[first] / (before[second] / before[first])
    assert odds == pytest.approx(1000.0)


def test_sensitivity_grows_with_the_weight_of_the_true_cause(ways, verdicts, rankings):
    causes = sorted(verdicts.causes)[::9]
    calls = [called(ways, "no-heat", "call", cause) for cause in causes]
    found = closed.account(Read(tuple(calls), verdicts), ways, rankings).sensitivity
    assert 0.0 <= found.rarer <= found.as_judged <= found.commoner <= 1.0


# ---- the command ----


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def test_the_command_tells_all_of_it(tmp_path, ways, course):
    cause = next(iter(course.library.catalogue.causes))
    rows = [
        f"{ways.code(some_trail(ways, 'no-heat', 'call', seed=seed)[0])},{cause}"
        for seed in range(6)
    ]
    path = table(tmp_path, *rows)
    result = run("closed", path, "--trees", REAL)
    assert result.exit_code == 0, result.output
    assert "6 closed calls; 6 of them can be ranked." in result.output
    assert "worth 50 calls" in result.output
    assert "How much hangs on the weights" in result.output
    data = json.loads(run("closed", path, "--trees", REAL, "--format", "json").stdout)
    assert data["calls"] == 6
    assert data["causes"][0]["cause"] == cause
    assert {each["frequency"] for each in data["weights"]} == set(FREQUENCY)


def test_mistakes_end_with_status_1(tmp_path):
    result = run("closed", table(tmp_path, "12,gremlins"), "--trees", REAL)
    assert result.exit_code == 1
    assert "no cause is called" in result.output
