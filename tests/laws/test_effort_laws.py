"""What holds for the effort of walks in every world: no tree does with fewer steps than the bound.

Shannon, Bell System Technical J. 27, 1948; Huffman, Proc. IRE 40(9):1098-1101, 1952.
"""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepstop.callers import Errors, Rates
from stepstop.course import lay_out
from stepstop.effort import costs
from stepstop.effort.carry import World, walkers
from stepstop.effort.orders import walked
from stepstop.effort.survey import survey
from stepstop.effort.swaps import pairs, swapped
from stepstop.journey import lay
from stepstop.rehearsal.figures import rehearse
from stepstop.source import NOWHERE
from unit.rehearsed import HOUSES, House, bench, shown, write

ROUNDING = 1e-9
FEW = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
rates = st.builds(
    Rates,
    st.integers(0, 5).map(lambda n: n / 10),
    st.integers(0, 5).map(lambda n: n / 10),
    st.just(NOWHERE),
)
errors = st.builds(Errors, rates, rates, rates, st.just(NOWHERE))
houses = st.lists(
    st.builds(
        House,
        cause=st.sampled_from(("setting", "no-power", "board", "leak")),
        house=st.just("h"),
        weight=st.integers(1, 9).map(float),
        mended_by=st.sampled_from(((), ("thermostat", "heat"), ("breaker", "closed-once"))),
        tells=st.fixed_dictionaries(
            {},
            optional={
                "gas-smell": st.sampled_from(("yes", "no")),
                "water": st.sampled_from(("at-wires", "puddle", "none", "unsure")),
                "went-quiet": st.sampled_from(("yes", "no", "not-done")),
                "panel-fit": st.sampled_from(("flush", "loose")),
            },
        ),
    ),
    min_size=1,
    max_size=6,
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write(tmp_path_factory.mktemp("small") / "t")


def world(folder, drawn, erring):
    whole = sum(house.weight for house in drawn)
    weighed = [replace(house, weight=house.weight / whole) for house in drawn]
    return World(bench(folder, houses=weighed), erring)


def cost_of(made) -> costs.Cost:
    return walked(made, "cold")


@FEW
@given(drawn=houses, erring=errors)
def test_expected_steps_are_never_below_the_bounds(folder, drawn, erring):
    cost = cost_of(world(folder, drawn, erring))
    assert cost.all_steps >= cost.huffman_bound - ROUNDING
    assert cost.huffman_bound >= cost.entropy_bound - ROUNDING


@FEW
@given(drawn=houses, erring=errors)
def test_no_walk_is_lost_and_none_is_longer_than_the_worst(folder, drawn, erring):
    cost = cost_of(world(folder, drawn, erring))
    assert cost.calls == pytest.approx(1.0)
    assert sum(cost.ends.values()) == pytest.approx(1.0)
    assert 1.0 - ROUNDING <= cost.all_steps <= cost.worst_steps + ROUNDING
    assert cost.all_minutes <= cost.worst_minutes + ROUNDING


@FEW
@given(drawn=houses)
def test_accurate_callers_take_as_many_steps_as_in_a_rehearsal(folder, drawn):
    accurate = Errors(*[Rates(0.0, 0.0, NOWHERE)] * 3, spot=NOWHERE)
    made = world(folder, drawn, accurate)
    tally = rehearse(made.bench, {"it": accurate}, shown(made.bench))["it"]
    cost = cost_of(made)
    assert tally.share("pages") == pytest.approx(cost.all_steps + 1.0)
    assert tally.share("seconds") == pytest.approx(cost.all_minutes * 60)


@FEW
@given(drawn=houses, erring=errors)
def test_what_a_step_tells_is_at_most_what_there_is_to_tell(folder, drawn, erring):
    made = world(folder, drawn, erring)
    found = survey(made, ["cold"], tabulate=lambda acts: made.bench.table)
    for each in found.tellings:
        assert 0.0 <= each.bits <= 2.0 + ROUNDING, "four causes at the most"
        assert 0.0 < each.callers <= 1.0 + ROUNDING


unsure = st.integers(0, 5).map(lambda n: Rates(n / 10, 0.0, NOWHERE))


@FEW
@given(drawn=houses, erring=st.builds(Errors, unsure, unsure, unsure, st.just(NOWHERE)))
def test_where_ends_are_apart_the_ratios_say_what_walks_say(folder, drawn, erring):
    """No heat comes, so the first check ends nobody; who can't walk ends at the second step."""
    cold = [replace(house, mended_by=(), tells={}) for house in drawn]
    made = world(folder, cold, erring)
    found = survey(made, ["cold"], tabulate=lambda acts: made.bench.table)
    [each] = found.orders.proposed
    assert (each.compared.first.step, each.compared.second.step) == ("set-heat", "ready")
    assert each.compared.first.ends == pytest.approx(0.0)
    assert each.each == pytest.approx(each.compared.by_ratio)


def test_a_swap_done_twice_costs_what_there_was_before(folder):
    made = world(folder, HOUSES, Errors(*[Rates(0.1, 0.05, NOWHERE)] * 3, spot=NOWHERE))
    read = made.bench.journey.course.library
    pair = next(p for p in pairs(read) if p.first == "set-heat")
    once = swapped(read, pair)
    back = next(p for p in pairs(once) if p.second == "set-heat" and p.first == "ready")
    before = cost_of(made)
    for step, expected in ((once, False), (swapped(once, back), True)):
        journey = lay(lay_out(step))
        changed = World(replace(made.bench, journey=journey), made.errors)
        same = cost_of(changed).all_minutes == pytest.approx(before.all_minutes)
        assert same is expected
    assert walkers(made, "cold").begin.sum() == pytest.approx(1.0)
