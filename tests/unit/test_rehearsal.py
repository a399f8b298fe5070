"""Rehearsals in a small world: figures worked out by hand, marks, drawn calls, the command."""

import json
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from stepstop.callers import Caller, Errors, Rates
from stepstop.cli import main
from stepstop.house.acts import NONE, after
from stepstop.journey import lay
from stepstop.rehearsal import prepare
from stepstop.rehearsal.account import Wish, account, disagreements
from stepstop.rehearsal.bars import BARS, View, measured
from stepstop.rehearsal.bench import End
from stepstop.rehearsal.figures import (
    SUMS,
    Tally,
    ceiling,
    macro_shown,
    quantile,
    rehearse,
    work,
)
from stepstop.rehearsal.judge import MARKS, Ended, marks
from stepstop.rehearsal.sample import LEAST, longest, sample
from stepstop.rehearsal.tell import as_json, as_text
from stepstop.rehearsal.trails import worst_trail
from stepstop.rehearsal.truths import Truths
from stepstop.rehearsal.variations import misled, reweighted, up_and_down, without
from stepstop.source import NOWHERE
from stepstop.verify import verify
from unit.rehearsed import CALLERS, HOUSES, VERDICTS, House, Table, bench, shown, write

ROOT = Path(__file__).parents[2]

ABLE, SEATED = 0.75, 0.25
U, M, DU, DM = 0.2, 0.05, 0.02, 0.01
"""Rates of the small world: unsure and mistaken, usually and about danger."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write(tmp_path_factory.mktemp("small") / "t")


@pytest.fixture(scope="module")
def world(folder):
    return bench(folder)


@pytest.fixture(scope="module")
def tallies(world):
    models = {m: world.callers.errors_of(m) for m in ("accurate", "unsure", "mistaken", "both")}
    return rehearse(world, models, shown(world), lengths=models)


def one(folder, *houses, errors=None, silent=frozenset()):
    """(bench, tally) of just these houses, each with the same weight."""
    each = [replace(house, weight=1.0 / len(houses)) for house in houses]
    small = bench(folder, houses=each, silent=silent)
    wanted = errors or small.callers.errors_of("accurate")
    return small, rehearse(small, {"it": wanted}, shown(small), lengths=["it"])["it"]


NONE_WRONG = Rates(0.0, 0.0, NOWHERE)


def usual(unsure=0.0, mistaken=0.0):
    """Errors about everything but danger and people."""
    return Errors(Rates(unsure, mistaken, NOWHERE), NONE_WRONG, NONE_WRONG, NOWHERE)


def about_danger(unsure=0.0, mistaken=0.0):
    """Errors about danger alone."""
    return Errors(NONE_WRONG, Rates(unsure, mistaken, NOWHERE), NONE_WRONG, NOWHERE)


SETTING, POWER, LOOSE, BOARD, ODD_BOARD, LEAK, SHORT = HOUSES


# ---- accurate callers ----


def test_all_callers_arrive_at_an_end(tallies):
    for tally in tallies.values():
        assert tally.total("calls") == pytest.approx(1.0, abs=1e-12)
        assert tally.total("no-end") == 0.0


def test_a_setting_is_solved_by_whoever_has_it(tallies):
    tally = tallies["accurate"]
    assert tally.share("right", cause="setting") == pytest.approx(1.0)
    assert tally.share("fixed", "fixable", cause="setting") == pytest.approx(1.0)


def test_only_a_caller_who_can_walk_mends_what_needs_a_walk(tallies):
    tally = tallies["accurate"]
    assert tally.share("fixable", cause="no-power") == pytest.approx(ABLE)
    assert tally.share("fixed", cause="no-power") == pytest.approx(ABLE)


def test_whoever_smells_little_misses_the_gas_and_is_counted_as_hidden(tallies):
    tally = tallies["accurate"]
    assert tally.share("true-danger", cause="leak") == pytest.approx(ABLE)
    assert tally.share("danger-end", cause="leak") == pytest.approx(ABLE)
    assert tally.share("missed-danger", cause="leak") == 0.0
    assert tally.share("unsafe-shown", cause="leak") == 0.0
    assert tally.share("unsafe-hidden", cause="leak") == pytest.approx(SEATED)


def test_a_hazard_that_nothing_shows_is_hidden_and_counts_when_the_unsafe_check_is_done(tallies):
    tally = tallies["accurate"]
    assert tally.share("unsafe-hidden", cause="short") == pytest.approx(ABLE)
    assert tally.share("unsafe-shown", cause="short") == 0.0


def test_what_an_accurate_caller_tells_by_chance_parts_the_calls(tallies):
    """A board that seems to heat one time in ten, at each of two looks."""
    wrong = 0.1 + ABLE * 0.9 * 0.1
    weight = ODD_BOARD.weight / (BOARD.weight + ODD_BOARD.weight)
    assert tallies["accurate"].share("right", cause="board") == pytest.approx(1.0 - weight * wrong)


def test_halves_are_counted_apart(tallies):
    tally = tallies["accurate"]
    assert tally.total("calls", half="held-out") == pytest.approx(0.2)
    assert tally.share("right", cause="board", half="mended-on") == pytest.approx(1.0)
    wrong = 0.1 + ABLE * 0.9 * 0.1
    assert tally.share("right", cause="board", half="held-out") == pytest.approx(1.0 - wrong)
    assert tally.share("right", cause="setting", half="held-out") is None


def test_pages_and_minutes_are_those_of_the_walk(folder):
    _, tally = one(folder, SETTING)
    assert tally.lengths == {(False, 5, 3 * 20 + 60): pytest.approx([1.0, 0.0])}
    assert tally.share("pages") == pytest.approx(5.0)
    assert tally.share("seconds") == pytest.approx(120.0)
    assert quantile(tally, 0.5, of="pages") == 5
    assert quantile(tally, 0.95, of="minutes") == 2.0


def test_means_of_lengths_agree_with_their_distribution(tallies):
    for tally in tallies.values():
        pages = sum(p * mass.sum() for (_, p, _), mass in tally.lengths.items())
        seconds = sum(s * mass.sum() for (_, _, s), mass in tally.lengths.items())
        assert tally.total("pages") == pytest.approx(pages)
        assert tally.total("seconds") == pytest.approx(seconds)


# ---- callers who err ----


def test_whoever_is_unsure_of_a_finding_stays_so_when_it_is_asked_again(folder):
    """The heat is asked after two checks. Who is sure the first time is sure the second time."""
    _, tally = one(folder, POWER, errors=usual(unsure=U))
    ready_and_fresh = (1 - U) ** 2
    assert tally.share("fixed", "fixable") == pytest.approx(ready_and_fresh)
    watched = ABLE * (1 - U) * ready_and_fresh
    called_though_mended = ABLE * U * ready_and_fresh
    assert tally.share("needless") == pytest.approx(ABLE - watched)
    assert tally.share("right") == pytest.approx(1.0 - called_though_mended)


def test_whoever_is_mistaken_about_a_finding_is_mistaken_again(folder):
    """No heat taken for heat is `solved` at once; whoever was right then is right at the reset."""
    _, tally = one(folder, POWER, errors=usual(mistaken=M))
    assert tally.share("fixed") == pytest.approx(ABLE * (1 - M) ** 3)
    assert tally.share("right") == pytest.approx(1.0 - M)


def test_unsure_about_danger_stops_the_call(folder):
    _, tally = one(folder, SETTING, errors=about_danger(unsure=DU))
    gas, bang, water = DU, (1 - DU) * DU, (1 - DU) ** 2 * DU
    assert tally.share("danger-end") == pytest.approx(gas + water)
    assert tally.share("false-danger") == pytest.approx(gas + water)
    assert tally.share("fixed", "fixable") == pytest.approx(1.0 - gas - bang - water)


def test_a_danger_that_is_perceived_and_told_wrongly_is_missed(folder):
    """No smell is told, dry is told at the water, and no bang: each by a share of its own."""
    _, tally = one(folder, LEAK, errors=about_danger(mistaken=DM))
    assert tally.share("true-danger") == pytest.approx(ABLE)
    wet = DM / 2
    """A mistake about the water is one of two other answers, and one of them is danger."""
    assert tally.share("missed-danger") == pytest.approx(ABLE * DM * (1 - (1 - DM) * wet))
    assert tally.share("unsafe-shown") == pytest.approx(ABLE * DM * (1 - DM) * (1 - wet))


def test_a_finding_that_nobody_tells_is_unsure_for_all(folder):
    _, tally = one(folder, POWER, silent=frozenset({"tried-before"}))
    assert tally.share("fixed") == 0.0
    assert tally.share("right") == pytest.approx(1.0)


# ---- the bench ----


def ended(world, cases, *, kind="call", rank=1, left="as-it-is", works=False, exposed=False):
    """The marks of an end for these cases."""
    array = np.array(cases)
    done = np.full((len(cases), 1), works)
    return marks(world, Ended(End(kind, rank, left), (), "cold", array, done, exposed))


@pytest.mark.parametrize(
    ("changed", "kind", "urgency", "state", "cautious"),
    [
        ({}, True, True, True, True),
        ({"kind": "watch"}, False, True, True, False),
        ({"kind": "danger"}, False, True, True, True),
        ({"kind": ""}, False, True, True, False),
        ({"rank": 0}, True, False, True, True),
        ({"rank": 2}, True, False, True, True),
        ({"left": "untouched"}, True, True, False, True),
        ({"left": ""}, True, True, False, True),
        ({"works": True}, False, True, True, True),
        ({"works": True, "kind": "watch", "rank": 2}, True, True, True, True),
        ({"works": True, "kind": "solved"}, False, True, True, False),
        ({"works": True, "kind": "watch", "rank": 0}, True, False, True, True),
    ],
)
def test_an_end_is_right_by_the_row_and_by_whether_the_house_works(
    world, changed, kind, urgency, state, cautious
):
    marked = ended(world, [HOUSES.index(POWER)], **changed)
    found = tuple(bool(marked[name][0, 0]) for name in ("kind", "urgency", "state", "cautious"))
    assert found == (kind, urgency, state, cautious)
    assert bool(marked["right"][0, 0]) == (kind and urgency and state)


@pytest.mark.parametrize(
    ("changed", "unsafe"),
    [
        ({}, False),
        ({"exposed": True}, True),
        ({"kind": "solved"}, True),
        ({"left": "running"}, True),
        ({"left": "untouched"}, False),
    ],
)
def test_a_hazard_is_one_when_people_are_exposed_or_left_to_it(world, changed, unsafe):
    marked = ended(world, [HOUSES.index(SHORT)], **changed)
    assert bool(marked["unsafe-hidden"][0, 0]) is unsafe
    assert not marked["unsafe-shown"].any()
    safe = ended(world, [HOUSES.index(BOARD)], **changed)
    assert not (safe["unsafe-hidden"] | safe["unsafe-shown"]).any()


def test_a_sign_counts_for_whoever_can_perceive_it(world):
    leak = HOUSES.index(LEAK)
    assert world.signed[leak].tolist() == [True, False]
    assert world.danger[leak].tolist() == [3, 0]
    assert not world.signed[HOUSES.index(SHORT)].any()


def test_what_shows_sometimes_is_a_sign_where_it_is_a_danger_by_itself(tmp_path):
    always = "signs: [{gas-smell: yes}]"
    house = replace(LEAK, tells={"bang": "yes", "tried-before": "none"}, weight=1.0)
    for sometimes, signed in (("bang: yes", True), ("ready-to-walk: yes", False)):
        verdicts = VERDICTS.replace(always, f"signs: []\n    sometimes: [{{{sometimes}}}]")
        name = sometimes.partition(":")[0]
        houses = [house if name == "bang" else replace(house, tells={})]
        world = bench(write(tmp_path / name, verdicts=verdicts), houses=houses)
        assert world.signed.tolist() == [[signed, signed]]


# ---- a weak nose and the list of all signs ----


@pytest.fixture(scope="module")
def screen():
    """The first page of a shipped tree, and the shipped catalogue."""
    course = verify(ROOT / "decision_trees").course
    journey = lay(course)
    node = journey.nodes[journey.roots["no-heat"]]
    assert node.page.finding == "danger-sign"
    return node, course.library.catalogue


@pytest.mark.parametrize(
    ("signs", "normal", "weak"),
    [
        ({}, "none", "none"),
        ({"gas-smell": "gas-or-exhaust"}, "gas-or-exhaust", "none"),
        ({"gas-smell": "gas-or-exhaust", "person-ill": "ill"}, "gas-or-exhaust", "person-ill"),
        ({"gas-smell": "gas-or-exhaust", "water": "puddle"}, "gas-or-exhaust", "only-puddle"),
        ({"water": "at-wires", "leak-message": "shown"}, "water-at-wires", "water-at-wires"),
    ],
)
def test_a_weak_nose_chooses_the_first_sign_that_it_notices(screen, signs, normal, weak):
    node, catalogue = screen
    truths = Truths(Signed(signs, normal), Noses(), catalogue)
    told = truths.of(node, np.array([0]))[:, 0, :]
    for seat, value in enumerate((normal, weak)):
        [option] = np.flatnonzero(told[:, seat])
        assert told[option, seat] == 1.0
        assert value in node.options[option].values


@dataclass(frozen=True)
class Signed:
    """One house with danger signs."""

    signs: dict
    first: str

    def answers(self, acts, finding):
        value = self.first if finding == "danger-sign" else self.signs.get(finding, "none")
        return {value: np.array([1.0])}

    @property
    def cases(self):
        return (BOARD,)


class Noses:
    """Two callers who are alike but for their noses."""

    def __init__(self):
        plain = {"weight": 0.5, "about": "", "reaches": ("chair",), "people": "none"}
        plain |= {"home": "within", "mends": "chair", "says": {}, "spot": NOWHERE}
        noses = ("normal", "weak")
        self.profiles = {nose: Caller(id=nose, nose=nose, **plain) for nose in noses}
        self.weak_nose = {"gas-smell": "gas-or-exhaust"}
        self.findings = frozenset({"people-at-risk"})


def test_a_call_out_is_needless_when_a_mend_was_there(world):
    power = [HOUSES.index(POWER)]
    assert ended(world, power)["needless"].tolist() == [[True, False]]
    assert ended(world, power, works=True)["needless"].tolist() == [[True, True]]
    assert ended(world, power, kind="watch", works=True)["needless"].tolist() == [[False, False]]
    assert not ended(world, [HOUSES.index(BOARD)])["needless"].any()


def test_a_stopped_medical_device_is_right_at_danger_only(tmp_path):
    device = CALLERS.replace("people: someone", "people: device-stopped")
    world = bench(write(tmp_path / "t", callers=device))
    row = world.rows[world.row_of["cold"][HOUSES.index(BOARD), 1]]
    assert row.kinds(works=False) == row.kinds(works=True) == ("danger",)
    assert world.danger[:, 1].tolist() == [3] * len(HOUSES)


def test_an_end_takes_the_urgency_of_its_page(world):
    course = world.journey.course
    ends = {page.id: world.end_of(page) for page in course.pages.values() if page.outcome}
    assert ends["cold/call"] == End("call", 1, "as-it-is")
    assert ends["danger-screen/gas"] == End("danger", 0, "untouched")
    page = course.pages["cold/call"]
    sooner = replace(page.outcome, hurry_urgency="now")
    hurried = replace(page, outcome=sooner, mode=replace(page.mode, hurry=True))
    assert world.end_of(hurried).rank == 0
    assert world.end_of(replace(page, outcome=sooner)).rank == 1
    assert world.end_of(course.pages["start-page"]).kind == ""


# ---- causes shown ----


def test_the_ceiling_is_what_the_best_choice_of_causes_would_reach():
    """Six causes on one page, one of them alone on another; four may be shown."""
    causes = tuple("abcdef")
    sums = np.zeros((len(SUMS), 1, 6, 2))
    first = np.array([[6, 0], [5, 0], [4, 0], [3, 0], [2, 0], [0, 0]]) / 24.0
    second = np.array([[0, 0]] * 5 + [[4, 0]]) / 24.0
    sums[SUMS.index("shows"), 0] = first + second
    sums[SUMS.index("shown"), 0, 0] = first[0]
    tally = Tally(("t",), causes, sums, np.zeros((0, 2)), {"p": first, "q": second}, {}, {})
    pages = {"p": ("a",), "q": ("a",)}
    assert ceiling(tally, pages) == pytest.approx(22 / 24)
    assert ceiling(tally, pages, macro=True) == pytest.approx(5 / 6)
    assert ceiling(tally, {"p": tuple("abcde"), "q": ()}) == pytest.approx(1.0)
    assert macro_shown(tally) == pytest.approx(1 / 6)
    assert tally.share("shown", "shows") == pytest.approx(6 / 24)
    assert ceiling(tally, pages, half="held-out") is None


def test_shown_counts_calls_whose_page_names_their_cause(tallies):
    tally = tallies["accurate"]
    assert tally.share("shown", "shows", cause="board") == pytest.approx(1.0)
    assert tally.share("shown", "shows", cause="short") == 0.0
    assert tally.share("shows", cause="setting") == 0.0


# ---- drawn calls ----


@pytest.mark.parametrize("model", ["accurate", "unsure", "mistaken", "both"])
def test_drawn_calls_agree_with_the_exact_figures(world, tallies, model):
    errors = world.callers.errors_of(model)
    drawn = sample(world, errors, shown(world), tallies[model], calls=6000, seed=5)
    assert drawn.agrees
    assert 0.0 < drawn.farthest < 1.0
    assert drawn.calls > 5900
    share, error = drawn.shares["right"]
    assert abs(share - tallies[model].share("right")) < 5 * error + 0.001


def test_drawn_calls_differ_from_figures_of_other_callers(world, tallies):
    errors = world.callers.errors_of("both")
    drawn = sample(world, errors, shown(world), tallies["accurate"], calls=6000, seed=5)
    assert not drawn.agrees
    assert "right" in drawn.apart


def test_a_rare_way_that_no_drawn_call_took_is_no_difference(folder):
    """All drawn calls are alike, and so have no spread of their own."""
    rare = about_danger(mistaken=0.001)
    small, exact = one(folder, SETTING, errors=rare)
    drawn = sample(small, rare, shown(small), exact, calls=60, seed=3)
    assert drawn.shares["pages"] == (5.0, 0.0)
    assert exact.share("pages") < 5.0
    assert drawn.agrees


def test_the_longest_walk_bounds_what_a_single_call_can_add(world, tallies):
    most = longest(world.journey.nodes)
    assert most["pages"] == max(pages for _, pages, _ in tallies["both"].lengths)
    assert most["seconds"] == max(seconds for _, _, seconds in tallies["both"].lengths)


def test_every_cause_gets_its_calls_where_there_are_enough(world, tallies):
    counted = []
    sample(
        world,
        world.callers.errors_of("accurate"),
        shown(world),
        tallies["accurate"],
        calls=5 * LEAST + 10,
        seed=1,
        tick=counted.append,
    )
    assert len(counted) == len(world.causes)
    assert min(counted) >= LEAST


def test_few_calls_are_shared_out_evenly(world, tallies):
    errors = world.callers.errors_of("accurate")
    drawn = sample(world, errors, shown(world), tallies["accurate"], calls=50, seed=1)
    assert drawn.calls == 50


def test_the_same_seed_draws_the_same_calls(world, tallies):
    errors = world.callers.errors_of("both")

    def drawn(seed):
        return sample(world, errors, shown(world), tallies["both"], calls=500, seed=seed)

    assert drawn(7) == drawn(7)
    assert drawn(7).shares != drawn(8).shares


# ---- wrong calls ----


def test_the_most_likely_wrong_call_is_told_page_by_page(world):
    trail = worst_trail(world, world.callers.errors_of("accurate"), "leak")
    assert trail.caller == "seated"
    assert trail.share == pytest.approx(SEATED)
    assert trail.pages[0] == "cold > screen.smell (no)"
    assert trail.pages[-1] == "cold > call"
    assert trail.end == "call, today, as-it-is; house fails"
    assert trail.right == "danger, now, untouched: out at once"


def test_a_cause_that_always_ends_right_has_no_wrong_call(world):
    assert worst_trail(world, world.callers.errors_of("accurate"), "setting") is None


def test_a_wrong_call_of_callers_who_err_is_the_likeliest(world):
    trail = worst_trail(world, usual(mistaken=M), "setting")
    assert trail.caller == "seated"
    assert trail.share == pytest.approx(SEATED * M * (1 - M))
    assert trail.pages[-3:] == ("cold > set-heat (no)", "cold > ready (no)", "cold > call")


# ---- other worlds ----


def test_weights_of_causes_can_be_changed():
    table = Table(HOUSES)
    other = reweighted(table, {"leak": 3.0, "board": 1.0 / 3.0})
    assert sum(case.weight for case in other.cases) == pytest.approx(1.0)
    by = {case.cause: case.weight for case in other.cases}
    assert by["leak"] / by["short"] == pytest.approx(3 * LEAK.weight / SHORT.weight)
    assert other.works(NONE).tolist() == table.works(NONE).tolist()
    assert other.mendable("walk").tolist() == table.mendable("walk").tolist()
    assert set(other.answers(NONE, "heat")) == {"yes", "no"}


def test_weights_go_up_or_down_by_three_and_by_the_seed():
    table = Table(HOUSES)
    drawn = up_and_down(table, seed=1)
    factors = {c.cause: d.weight / c.weight for c, d in zip(HOUSES, drawn.cases, strict=True)}
    assert max(factors.values()) / min(factors.values()) == pytest.approx(9.0)
    assert up_and_down(table, seed=1).cases == drawn.cases
    assert any(up_and_down(table, seed=s).cases != drawn.cases for s in range(2, 6))


def test_callers_can_all_go_astray_where_those_trees_are():
    table = Table(HOUSES)
    wanted = {"heat": "no-heat", "cool": "no-cooling"}
    led = misled(table, {"no-heat", "no-cooling", "nothing-responds"})
    for case, other in zip(HOUSES, led.cases, strict=True):
        assert dict(other.complaints) == {wanted[case.wanted]: 0.5, "nothing-responds": 0.5}
        assert other.weight == case.weight
    halfway = misled(table, {"nothing-responds"})
    assert {case.complaints for case in halfway.cases} == {(("nothing-responds", 1.0),)}
    assert [c.complaints for c in misled(table, ()).cases] == [c.complaints for c in HOUSES]


def test_a_cause_can_be_withheld(folder):
    small = bench(folder, houses=without(Table(HOUSES), "board").cases)
    assert sum(case.weight for case in small.table.cases) == pytest.approx(1.0)
    assert sum(case.weight for case in small.table.cases if case.cause == "board") == 0.0


# ---- the account ----


@pytest.fixture(scope="module")
def told(world):
    models = {m: world.callers.errors_of(m) for m in ("accurate", "both")}
    return account(world, shown(world), Wish(models, calls=2500, seed=2))


def test_the_account_says_first_that_nothing_here_is_from_the_field(told):
    assert as_text(told).startswith("Simulated, not field results: 7 cases of 5 causes")
    assert told["heading"] == "simulated, not field results"


def test_the_account_tells_every_figure_with_its_halves(told):
    figures = told["models"]["accurate"]["figures"]
    assert figures.keys() == MARKS.keys()
    right = figures["right"]
    assert right["all"] == pytest.approx(0.96825)
    assert 0.8 * right["mended-on"] + 0.2 * right["held-out"] == pytest.approx(right["all"])


def test_danger_ends_without_danger_are_told_by_page(told, tallies):
    at = told["models"]["both"]["false-danger-at"]
    assert set(at) == {"danger-screen/gas", "danger-screen/keep-away"}
    assert list(at.values()) == sorted(at.values(), reverse=True)
    assert sum(at.values()) == pytest.approx(tallies["both"].share("false-danger"))
    assert told["models"]["accurate"]["false-danger-at"] == {}


def test_exposures_are_told_by_hazard_per_hundred_thousand_calls(told):
    exposures = told["models"]["accurate"]["exposures"]
    assert exposures["gas"]["unsafe-hidden"] == pytest.approx(1e5 * LEAK.weight * SEATED)
    assert exposures["fire"]["unsafe-hidden"] == pytest.approx(1e5 * SHORT.weight * ABLE)
    assert exposures["gas"]["unsafe-shown"] == 0.0


def test_the_worst_causes_come_first_with_their_trails(told):
    worst = told["models"]["accurate"]["worst"]
    assert [each["cause"] for each in worst] == ["leak", "board"]
    assert worst[0]["trail"]["pages"][-1] == "cold > call"
    text = as_text(told)
    assert "leak: right 75.00 %" in text
    assert "      cold > screen.smell (no)" in text


def test_every_bar_is_measured_for_the_callers_that_it_holds_for(told, world, tallies):
    accurate = [bar["name"] for bar in told["models"]["accurate"]["bars"]]
    both = [bar["name"] for bar in told["models"]["both"]["bars"]]
    assert accurate == [bar.name for bar in BARS if bar.accurate]
    assert both == [bar.name for bar in BARS if not bar.accurate]
    view = View(tallies["accurate"], shown(world), "")
    by_name = {bar.name: (bar, value) for bar, value in measured(view, "accurate")}
    bar, value = by_name["mendable: the house works"]
    assert (value, bar.met(value)) == (pytest.approx(1.0), True)
    bar, value = by_name["outcome kind and urgency right"]
    assert (value, bar.met(value)) == (pytest.approx(0.96825), False)
    assert by_name["unsafe although a sign was there"][1] == 0.0
    assert bar.met(None) is None


def test_one_half_can_be_looked_at_alone(world):
    models = {"accurate": world.callers.errors_of("accurate")}
    data = account(world, shown(world), Wish(models, half="held-out"))
    parts = data["models"]["accurate"]["by-cause"]
    assert parts["setting"]["right"] is None
    assert parts["no-power"]["calls"] == pytest.approx(0.5)
    assert data["half"] == "held-out"


def test_the_json_is_the_account(told):
    again = json.loads(as_json(told))
    assert again["models"]["both"]["drawn"]["agrees"] is True
    assert again["format"] == 1
    assert disagreements(told) == []


def test_progress_is_told_in_as_many_ticks_as_promised(world):
    models = {"accurate": world.callers.errors_of("accurate")}
    wish, ticks = Wish(models, calls=2500), []
    account(world, shown(world), wish, tick=ticks.append)
    assert work(world, models) < wish.ticks(world)
    assert 0.99 * wish.ticks(world) < sum(ticks) <= wish.ticks(world)


# ---- the command ----


@pytest.fixture
def simulated(monkeypatch):
    """Puts the small world's houses in the place of the simulated ones."""
    asked = []

    def tabulated(journey, off_grid, progress):
        asked.append(off_grid)
        progress("houses")
        return Table(HOUSES)

    monkeypatch.setattr(prepare, "_tabulated", tabulated)
    return asked


def run(*arguments):
    return CliRunner().invoke(main, ["rehearse", *map(str, arguments)])


def test_the_command_tells_how_calls_end(folder, simulated):
    result = run(folder, "--callers", "accurate")
    assert result.exit_code == 0, result.output
    assert result.output.startswith("Simulated, not field results")
    assert "callers: accurate" in result.output
    assert "callers: both" not in result.output
    assert simulated == [False]


def test_the_command_writes_json_and_cross_checks(folder, simulated):
    result = run(folder, "--format", "json", "--calls", 2500, "--seed", 4)
    assert result.exit_code == 0, result.output
    data = json.loads(result.stdout)
    assert list(data["models"]) == ["accurate", "unsure", "mistaken", "both"]
    assert all(each["drawn"]["seed"] == 4 for each in data["models"].values())


@pytest.mark.parametrize(
    ("vary", "off_grid"),
    [
        ("weights", False),
        ("errors", False),
        ("history", False),
        ("houses", True),
        ("complaints", False),
    ],
)
def test_the_command_varies_what_is_assumed(folder, simulated, vary, off_grid):
    arguments = (folder, "--format", "json", "--callers", "both")
    plain = json.loads(run(*arguments).stdout)["models"]["both"]["figures"]["right"]["all"]
    simulated.clear()
    varied = json.loads(run(*arguments, "--vary", vary).stdout)
    right = varied["models"]["both"]["figures"]["right"]["all"]
    assert simulated == [off_grid]
    assert (right == pytest.approx(plain)) == (vary in ("history", "houses", "complaints"))


def test_the_command_withholds_a_cause_from_what_is_shown(folder, simulated):
    arguments = (folder, "--format", "json", "--callers", "accurate")

    def board(*more):
        data = json.loads(run(*arguments, *more).stdout)
        return data["models"]["accurate"]["by-cause"]["board"]

    plain, withheld = board(), board("--withhold", "board")
    assert plain["shown"] > 0.0
    assert withheld["shown"] == 0.0
    assert withheld["calls"] == plain["calls"]
    assert withheld["right"] == plain["right"]


def test_the_command_withholds_no_cause_that_it_does_not_know(folder, simulated):
    result = run(folder, "--withhold", "ghosts")
    assert result.exit_code == 2
    assert "no cause `ghosts`" in result.output


def test_the_command_shows_mistakes_in_its_files(tmp_path, simulated):
    folder = write(tmp_path / "t", callers=CALLERS.replace("weight: 0.75", "weight: 0.7"))
    result = run(folder)
    assert result.exit_code == 1
    assert "contradiction: the weights add up to 0.95, not to 1" in result.output
    assert simulated == []


def test_the_command_shows_a_check_that_the_simulated_house_does_not_know(tmp_path, simulated):
    folder = write(tmp_path / "t")
    for path in sorted(folder.rglob("*.yml")):
        path.write_text(path.read_text("utf-8").replace("switch-off", "pull-plug"), "utf-8")
    result = run(folder)
    assert result.exit_code == 1
    assert "the simulated house does not know the check `pull-plug`" in result.output


def test_the_command_rehearses_proven_trees_only(tmp_path, simulated):
    folder = write(tmp_path / "t")
    path = folder / "complaints" / "cold.yml"
    text = path.read_text("utf-8").replace("is: none, go: reset", "is: none, go: rest")
    path.write_text(text, "utf-8")
    result = run(folder)
    assert result.exit_code == 1
    assert "`rest`" in result.output
    assert simulated == []


def test_houses_of_the_small_world_know_the_acts_of_the_real_one():
    """Or every figure above would be about nothing."""
    assert SETTING.works(after(NONE, "set-heat"))
    assert POWER.works(after(after(NONE, "set-heat"), "reset-breaker-once"))
    assert not House("board", "x", 1.0).works(after(NONE, "set-heat"))
