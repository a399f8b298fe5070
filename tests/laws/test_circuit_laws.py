"""Laws of circuits, and of the control circuit, on generated ones."""

from collections import defaultdict
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepstop.house.burn import fuse_seconds, link_seconds
from stepstop.house.circuit import BOARDS, ELEMENTS, FLOATS, LETTERS, NODES, THERMOSTATS
from stepstop.house.control import Control, Drive, after, settle
from stepstop.house.netlist import netlist
from stepstop.house.nodal import LEAK_OHMS, Branch, Supply, solve
from stepstop.house.parts import LOADS

OHMS = st.floats(0.01, 10_000.0)
PLACES = st.sampled_from(["C", *"abcdef"])


@st.composite
def networks(draw: st.DrawFn) -> tuple[list[Branch], list[Supply]]:
    ends = draw(st.lists(st.tuples(PLACES, PLACES, OHMS), min_size=1, max_size=12))
    branches = [Branch(f"r{i}", a, b, ohms) for i, (a, b, ohms) in enumerate(ends)]
    feeds = draw(st.lists(st.tuples(PLACES, st.floats(-30, 30), OHMS), min_size=1, max_size=2))
    supplies = [Supply(f"e{i}", a, "C", volts, ohms) for i, (a, volts, ohms) in enumerate(feeds)]
    return branches, supplies


controls = st.builds(
    Control,
    va=st.sampled_from([40, 60, 75]),
    fuse_amps=st.sampled_from([0.0, 3.0, 5.0]),
    board=st.sampled_from(BOARDS),
    fan_centre=st.booleans(),
    common_wire=st.booleans(),
    thermostat=st.sampled_from(THERMOSTATS),
    float_in=st.sampled_from(FLOATS),
    two_supplies=st.booleans(),
    bonded=st.booleans(),
    thermostat_feet=st.sampled_from([25, 50, 100, 150]),
    outdoor_feet=st.sampled_from([30, 50, 100]),
    outdoor=st.booleans(),
    valve=st.sampled_from(["", "O", "B"]),
    humidifier=st.booleans(),
    opens=st.frozensets(st.sampled_from(sorted(ELEMENTS)), max_size=2),
    shorts=st.lists(
        st.tuples(
            st.sampled_from(sorted(NODES)),
            st.sampled_from([*sorted(NODES), "ground"]),
            st.sampled_from([0.05, 0.3, 3.0, 10.0, 50.0]),
        ),
        max_size=2,
    ).map(tuple),
    coils=st.lists(
        st.tuples(st.sampled_from(sorted(LOADS)), st.sampled_from([0.6, 2.0, 4.0, 10.0])),
        max_size=1,
    ).map(tuple),
)
drives = st.builds(
    Drive,
    power=st.sampled_from([True, True, True, False]),
    calls=st.frozensets(st.sampled_from(LETTERS), max_size=3),
    limit=st.booleans(),
    rollout=st.booleans(),
    pressure=st.booleans(),
    float_up=st.booleans(),
    gas_valve=st.booleans(),
    inducer=st.booleans(),
    blower=st.booleans(),
    pressure_guards=st.booleans(),
)
helds = st.frozensets(st.sampled_from(sorted(LOADS)))


@given(networks())
def test_what_flows_into_a_node_flows_out_again(
    network: tuple[list[Branch], list[Supply]],
) -> None:
    """Kirchhoff's current law, the leaks counted."""
    branches, supplies = network
    found = solve(branches, supplies)
    left: dict[str, float] = defaultdict(float)
    for branch in branches:
        left[branch.a] -= found.amps[branch.name]
        left[branch.b] += found.amps[branch.name]
    for supply in supplies:
        left[supply.a] += found.amps[supply.name]
        left[supply.b] -= found.amps[supply.name]
    for place, volts in found.volts.items():
        if place != "C":
            assert left[place] == pytest.approx(volts / LEAK_OHMS, abs=1e-6)


@given(networks())
def test_what_the_supplies_give_is_what_the_branches_take(
    network: tuple[list[Branch], list[Supply]],
) -> None:
    """Tellegen's theorem."""
    branches, supplies = network
    found = solve(branches, supplies)
    given_ = sum(found.amps[s.name] * (found.volts[s.a] - found.volts[s.b]) for s in supplies)
    taken = sum(found.amps[b.name] * (found.volts[b.a] - found.volts[b.b]) for b in branches)
    assert given_ == pytest.approx(taken, abs=1e-5, rel=1e-6)


@given(networks())
def test_twice_the_volts_give_twice_the_amperes(
    network: tuple[list[Branch], list[Supply]],
) -> None:
    branches, supplies = network
    once = solve(branches, supplies).amps
    twice = solve(branches, [replace(s, volts=2 * s.volts) for s in supplies]).amps
    assert twice == pytest.approx({name: 2 * amps for name, amps in once.items()}, abs=1e-9)


@given(controls, drives, helds)
@settings(max_examples=300, deadline=None)
def test_a_circuit_at_rest_stays_as_it_is(
    control: Control, drive: Drive, held: frozenset[str]
) -> None:
    found = settle(control, drive, held)
    if not found.chatter - {"STAT"}:
        again = settle(control, drive, found.in_)
        assert again.in_ == found.in_
        assert again.volts == found.volts
        names = {part.name for side in netlist(control, drive, found.in_) for part in side}
        assert found.amps.keys() == names


@given(controls, drives, helds)
@settings(max_examples=300, deadline=None)
def test_every_circuit_settles_into_what_its_words_allow(
    control: Control, drive: Drive, held: frozenset[str]
) -> None:
    found = settle(control, drive, held)
    assert found.in_ | found.chatter | found.weak <= LOADS.keys()
    assert not found.in_ & found.chatter
    assert not found.in_ & (control.opens - {"STAT"})
    assert all(abs(volts) <= 27.0 + 1e-6 for volts in found.volts.values())
    assert found.fuse_seconds > 0
    assert found.link_seconds > 0


@given(controls, drives)
@settings(max_examples=200, deadline=None)
def test_without_power_nothing_acts_and_nothing_burns(control: Control, drive: Drive) -> None:
    found = settle(control, replace(drive, power=False))
    assert not found.in_ | found.chatter | (found.weak - {"STAT"})
    assert not any(found.volts.values())
    assert after(control, replace(drive, power=False), 1e9) == control


@given(controls, drives, st.floats(0, 1e5), st.floats(0, 1e5))
@settings(max_examples=200, deadline=None)
def test_what_is_burnt_stays_burnt_and_nothing_else_changes(
    control: Control, drive: Drive, one: float, other: float
) -> None:
    sooner, later = (after(control, drive, seconds) for seconds in sorted((one, other)))
    assert control.opens <= sooner.opens <= later.opens
    assert later.opens - control.opens <= {"F1", "TX", "TX2"}
    assert replace(later, opens=control.opens) == control


@given(st.floats(0, 100), st.floats(0, 100), st.sampled_from([3.0, 5.0]))
def test_more_amperes_melt_a_fuse_no_later(one: float, other: float, rating: float) -> None:
    less, more = sorted((one, other))
    assert fuse_seconds(more, rating) <= fuse_seconds(less, rating)
    assert fuse_seconds(less, 3.0) <= fuse_seconds(less, 5.0)


@given(st.floats(0, 100), st.floats(0, 100), st.sampled_from([40, 60, 75]))
def test_more_amperes_open_a_link_no_later(one: float, other: float, va: int) -> None:
    less, more = sorted((one, other))
    assert link_seconds(more, va) <= link_seconds(less, va)
    assert link_seconds(less, 40) <= link_seconds(less, 75)
