"""What holds in every world that is rehearsed: mass, trails, errors; lumping loses nothing."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepstop.callers import Errors, Rates
from stepstop.rehearsal.figures import SUMS, rehearse
from stepstop.rehearsal.lumps import lumped
from stepstop.rehearsal.propagate import Walkers
from stepstop.rehearsal.sample import sample
from stepstop.source import NOWHERE
from unit.rehearsed import USUAL, House, bench, shown, write

OPTIONS = {
    "gas-smell": ("yes", "no"),
    "bang": ("yes", "no"),
    "water": ("at-wires", "puddle", "none"),
    "went-quiet": ("yes", "no", "unsure"),
    "panel-fit": ("flush", "loose", "not-done"),
    "heat": ("yes", "no", "unsure", "not-done"),
}
CAUSES = ("setting", "no-power", "board", "leak", "short")
MENDS = ((), ("thermostat", "heat"), ("breaker", "closed-once"))
FEW = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write(tmp_path_factory.mktemp("small") / "t")


def certain(finding):
    return st.sampled_from(OPTIONS[finding])


def chances(finding):
    """Value -> chance, in tenths."""
    values = OPTIONS[finding]
    tenths = st.lists(st.integers(0, 10), min_size=len(values), max_size=len(values))
    given = tenths.filter(any).map(lambda parts: [part / sum(parts) for part in parts])
    return given.map(lambda shares: dict(zip(values, shares, strict=True)))


def houses(answers):
    """Some houses whose answers are drawn by `answers`, weights adding up to 1."""
    tells = st.fixed_dictionaries({}, optional={f: answers(f) for f in OPTIONS})
    half = st.sampled_from(("mended-on", "held-out"))
    house = st.builds(
        House,
        cause=st.sampled_from(CAUSES),
        house=st.just("h"),
        weight=st.integers(1, 9).map(float),
        half=half,
        mended_by=st.sampled_from(MENDS),
        tells=tells,
    )
    return st.lists(house, min_size=1, max_size=7).map(weighed)


def weighed(drawn):
    whole = sum(house.weight for house in drawn)
    return tuple(replace(house, weight=house.weight / whole) for house in drawn)


rates = st.builds(Rates, st.integers(0, 5).map(lambda n: n / 10), st.integers(0, 5).map(
    lambda n: n / 10), st.just(NOWHERE))  # fmt: skip
errors = st.builds(Errors, rates, rates, rates, st.just(NOWHERE))
ACCURATE = Errors(*[Rates(0.0, 0.0, NOWHERE)] * 3, spot=NOWHERE)


def tally(world, erring, *, lengths=False):
    return rehearse(world, {"it": erring}, shown(world), lengths=["it"] * lengths)["it"]


def ends(world, erring, *, alike=None, lengths=False):
    """Shares at each end: (page, acts) -> (classes, callers), and the lumps."""
    root, alike = world.journey.roots["cold"], alike or world.alike("cold")
    members = np.arange(len(world.table.cases))
    lumps = lumped(world.journey, root, world.truths, members, alike)
    found = {}

    def arrive(number, here):
        if not world.journey.nodes[number].options and here:
            whole = np.sum([mass.sum(axis=2) for mass in here.values()], axis=0)
            found[number] = found.get(number, 0.0) + whole

    Walkers(world, "cold", lumps, erring, lengths).walk(arrive)
    return found, lumps


@FEW
@given(houses(chances), errors)
def test_nobody_is_lost_and_nobody_counted_twice(folder, drawn, erring):
    world = bench(folder, houses=drawn)
    found = tally(world, erring, lengths=True)
    for cause in found.causes:
        mine = sum(house.weight for house in drawn if house.cause == cause)
        assert found.total("calls", cause=cause) == pytest.approx(mine, abs=1e-12)
    assert sum(mass.sum() for mass in found.lengths.values()) == pytest.approx(1.0, abs=1e-12)
    assert found.right_of[:, 1].sum() == pytest.approx(1.0, abs=1e-12)


@FEW
@given(houses(chances), errors)
def test_every_share_is_one_of_all_calls(folder, drawn, erring):
    found = tally(bench(folder, houses=drawn), erring)
    calls = found.sums[SUMS.index("calls")]
    for name in SUMS:
        if name not in ("pages", "seconds"):
            part = found.sums[SUMS.index(name)]
            assert (part >= 0.0).all()
            assert (part <= calls + 1e-12).all()


@FEW
@given(houses(certain))
def test_an_accurate_caller_whose_answers_are_certain_has_one_trail(folder, drawn):
    for house in drawn:
        world = bench(folder, houses=[replace(house, weight=1.0)])
        found, _ = ends(world, ACCURATE, lengths=True)
        for seat, caller in enumerate(world.people):
            arrived = [mass[:, seat].sum() for mass in found.values() if mass[:, seat].any()]
            assert arrived == [caller.weight]
        assert len(tally(world, ACCURATE, lengths=True).lengths) <= len(world.people)


@FEW
@given(houses(chances), errors)
def test_cases_that_fall_together_lose_nothing(folder, drawn, erring):
    """Figures are the same when no two cases are ever taken for one."""
    world = bench(folder, houses=drawn)
    apart = np.arange(len(drawn))
    lumps_end, lumps = ends(world, erring)
    alone_end, alone = ends(world, erring, alike=lambda node: apart)
    assert lumps_end.keys() == alone_end.keys()
    for number, mass in lumps_end.items():
        single = alone_end[number]
        assert len(alone.cases[number]) == len(drawn)
        assert np.allclose(mass.sum(axis=0), single.sum(axis=0), atol=1e-12)
        for place, case in enumerate(lumps.cases[number]):
            same = together(world, number, case)
            mine = [i for i, other in enumerate(alone.cases[number]) if other in same]
            assert np.allclose(mass[place], single[mine].sum(axis=0), atol=1e-12)


def together(world, number, case):
    """The cases that are judged like `case` at an end."""
    numbers = world.alike("cold")(world.journey.nodes[number])
    return set(np.flatnonzero(numbers == numbers[case]).tolist())


@settings(FEW, max_examples=8)
@given(houses(chances), errors, st.integers(0, 1000))
def test_drawn_calls_agree_with_the_exact_figures(folder, drawn, erring, seed):
    world = bench(folder, houses=drawn)
    exact = tally(world, erring)
    found = sample(world, erring, shown(world), exact, calls=1500, seed=seed)
    assert found.agrees, found.apart


@FEW
@given(st.integers(0, 10), st.integers(0, 10))
def test_an_error_is_drawn_once_for_each_caller_and_finding(folder, unsure, mistaken):
    """The heat is looked at after two checks; both looks go wrong, or neither.

    Nobody walks on who was wrong the first time and would be right the second time: a caller for
    whom only the second check works is seen to watch it exactly as often as the first look, being
    ready and having tried nothing are all told right.
    """
    u, m = unsure / 20, mistaken / 20
    usual = Rates(u, m, NOWHERE)
    erring = Errors(usual, Rates(0.0, 0.0, NOWHERE), Rates(0.0, 0.0, NOWHERE), NOWHERE)
    power = House("no-power", "h", 1.0, mended_by=("breaker", "closed-once"), tells=dict(USUAL))
    world = bench(folder, houses=[power])
    found, _ = ends(world, erring)
    pages = {world.journey.nodes[n].page.id: mass[0, 0] for n, mass in found.items()}
    able = world.people[0].weight
    assert pages.get("cold/back", 0.0) == pytest.approx(able * (1 - u - m) ** 3, abs=1e-12)
    assert pages.get("cold/works", 0.0) == pytest.approx(able * m, abs=1e-12)


@FEW
@given(houses(chances), errors)
def test_half_the_houses_and_the_other_half_make_the_whole(folder, drawn, erring):
    found = tally(bench(folder, houses=drawn), erring)
    for name in SUMS:
        halves = found.total(name, half="mended-on") + found.total(name, half="held-out")
        assert halves == pytest.approx(found.total(name), abs=1e-12)


@FEW
@given(houses(chances), errors, st.integers(2, 9))
def test_weights_only_weigh(folder, drawn, erring, factor):
    """What happens in calls about one cause does not depend on how often it is called about."""
    cause = drawn[0].cause
    heavy = weighed(
        [replace(h, weight=h.weight * factor) if h.cause == cause else h for h in drawn]
    )
    plain = tally(bench(folder, houses=drawn), erring)
    other = tally(bench(folder, houses=heavy), erring)
    for each in plain.causes:
        for name in SUMS:
            share = plain.share(name, cause=each)
            assert other.share(name, cause=each) == pytest.approx(share, abs=1e-9)
