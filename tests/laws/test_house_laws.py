"""Laws of the simulated house, on drawn houses and acts: no draw may break them."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, get_type_hints

from hypothesis import given, settings
from hypothesis import strategies as st

from stepstop.house.acts import CHECKS, NONE, Acts, after
from stepstop.house.circuit import BOARDS, FLOATS, THERMOSTATS
from stepstop.house.control import Control
from stepstop.house.doing import scene, works
from stepstop.house.faults import FAULTS, hurt
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.senses import SENSES
from stepstop.house.story import HORIZON, LONG, Spell, Story
from stepstop.house.units import Doings, air, doings

law = settings(max_examples=100, deadline=None, derandomize=True)
few = settings(max_examples=40, deadline=None, derandomize=True)

WORDS: dict[str, tuple[str, ...]] = {
    "heating": (
        "gas-plastic", "gas-metal", "gas-pilot", "electric", "heat-pump", "dual-fuel", "oil",
        "boiler", "ductless", "baseboard",
    ),
    "cooling": ("air-conditioner", "heat-pump", "ductless", "one-box", "none"),
    "pace": tuple(sorted(PACES)),
    "idle_light": ("steady", "heartbeat"),
    "filter_place": ("slot", "low-grille", "high-or-tool", "not-found"),
    "wanted": ("heat", "cool"),
    "weather": ("frost", "cool", "mild", "hot"),
    "setting": ("right", "off-or-wrong-mode", "wrong-number", "hold-or-away"),
    "mode": ("", "", "heat", "cool", "emergency-heat", "off", "thaw"),
    "fan": ("auto", "on", "circulate"),
    "cells": ("good", "low", "dead", "none-left"),
    "stuck_contact": ("", "", "W", "Y", "G"),
    "swapped": ("", "", "W-Y", "O-B", "Y-G"),
    "supply": ("whole", "whole", "out", "part", "other-part"),
    "breaker": ("in-line", "in-line", "out-of-line", "fully-off", "odd-panel"),
    "switch": ("on", "on", "off", "odd"),
    "panel": ("flush", "flush", "gap"),
    "board": ("good", "good", "dead"),
    "blower": ("good", "dead", "hum", "overheats", "always"),
    "inducer": ("good", "dead", "hum"),
    "draft": ("good", "never", "always"),
    "flue": ("clear", "blocked", "damaged"),
    "chimney": ("clear", "blocked"),
    "trap": ("clear", "blocked", "frozen"),
    "valve": ("good", "shut", "leaks"),
    "burners": ("good", "dirty", "late"),
    "limit": ("good", "good", "stuck"),
    "pilot": ("lit", "out", "not-noticed"),
    "filter": ("clean", "dirty", "foul"),
    "grilles": ("open", "shut-or-covered"),
    "ducts": ("whole", "off"),
    "boiler": ("", "gas", "condensing", "oil", "steam"),
    "heads": ("alike", "alike", "opposed"),
    "head": ("good", "code"),
    "burner": ("good", "good", "no-spark", "no-pressure", "hum", "dead"),
    "smell": ("", "", "dusty", "electric", "oil", "musty"),
    "noise": ("", "", "squeal", "rattle"),
    "zones": ("good", "stuck", "shut"),
    "sequencer": ("good", "dead", "stuck"),
    "oil": ("good", "good", "air", "bad"),
    "tank": ("filled", "filled", "empty"),
    "delivery": ("none", "after-dry", "lately"),
    "tank_place": ("indoors", "outdoors", "buried"),
    "gauge": ("right", "stuck", "none"),
    "water_side": ("good", "low", "high", "over", "no-flow", "air", "zone-shut"),
    "drain": ("clear", "blocked", "spare"),
    "leak": ("", "pan", "humidifier", "roof", "flood"),
    "outdoor_breaker": ("in-line", "in-line", "out-of-line", "fully-off", "odd-panel"),
    "pullout": ("in-place", "in-place", "out"),
    "cable": ("whole", "damaged"),
    "contactor": ("good", "open", "chatter", "welded"),
    "compressor": ("good", "locked", "dead"),
    "charge": ("full", "low"),
    "pressure": ("good", "trips"),
    "signals": ("groups", "two-groups", "long-short", "two-lights"),
    "surroundings": ("free", "smothered", "tilted-or-hit"),
    "coil": ("clear", "ice"),
    "outdoor_ice": ("none", "light-frost", "solid-ice", "snowed-in"),
    "reversing": ("good", "stuck"),
    "o_b": ("right", "wrong"),
    "defrost": ("good", "dead", "now"),
    "called": ("long", "fresh"),
}  # fmt: skip
"""Field of a house that is a word -> what it may be; twice what should be drawn more often."""

SHORTS = ("RT", "WT", "YT", "GT", "CT", "CH", "YO", "CO")
OPENS = ("F1", "TX", "BOND", "WIRE_R", "WIRE_W", "WIRE_Y", "WIRE_G", "WIRE_C", "WIRE_YO", "WIRE_O")


@st.composite
def controls(draw: st.DrawFn) -> Control:
    shorts = st.tuples(st.sampled_from(SHORTS), st.sampled_from(SHORTS), st.just(0.05))
    return Control(
        va=draw(st.sampled_from((40, 60, 75))),
        fuse_amps=draw(st.sampled_from((0.0, 3.0, 5.0))),
        board=draw(st.sampled_from(BOARDS)),
        fan_centre=draw(st.booleans()),
        common_wire=draw(st.booleans()),
        thermostat=draw(st.sampled_from(THERMOSTATS)),
        float_in=draw(st.sampled_from(FLOATS)),
        two_supplies=draw(st.booleans()),
        bonded=draw(st.booleans()),
        valve=draw(st.sampled_from(("", "O", "B"))),
        humidifier=draw(st.booleans()),
        opens=frozenset(draw(st.lists(st.sampled_from(OPENS), max_size=2))),
        shorts=tuple(draw(st.lists(shorts.filter(lambda s: s[0] < s[1]), max_size=1))),
    )


def values(name: str, kind: Any) -> st.SearchStrategy[Any]:
    """What a field of a house may be."""
    if kind is bool:
        return st.booleans()
    if kind is float:
        return st.sampled_from((0.0, 0.5, 1.0))
    if kind is int:
        return st.integers(2, 5)
    if name == "control":
        return controls()
    if name == "signs":
        return st.frozensets(st.just(("co-alarm", "sounded")))
    return st.sampled_from(WORDS[name])


FIELDS = {name: values(name, kind) for name, kind in get_type_hints(House).items()}


@st.composite
def houses(draw: st.DrawFn) -> House:
    """Any house with at most six details away from a healthy one's."""
    always = {name: draw(FIELDS[name]) for name in ("heating", "cooling", "wanted", "control")}
    others = st.sampled_from(sorted(FIELDS.keys() - always.keys()))
    changed = draw(st.lists(others, max_size=6, unique=True))
    return House(**always, **{name: draw(FIELDS[name]) for name in changed})


@st.composite
def walks(draw: st.DrawFn) -> Acts:
    """What some checks in some order leave done."""
    acts = NONE
    for check in draw(st.lists(st.sampled_from(sorted(CHECKS)), max_size=5)):
        acts = after(acts, check)
    return acts


def forget() -> None:
    for each in (doings, scene, works):
        each.cache_clear()


def test_every_word_of_a_house_is_drawn() -> None:
    words = {name for name, kind in get_type_hints(House).items() if kind is str}
    assert words == WORDS.keys()
    default = House()
    assert all(getattr(default, name) in allowed for name, allowed in WORDS.items())


@law
@given(houses(), walks())
def test_every_sense_answers_with_chances_that_add_up(house: House, acts: Acts) -> None:
    met = scene(house, acts)
    for finding, sense in SENSES.items():
        value = sense(met)
        chances = {value: 1.0} if isinstance(value, str) else value
        assert abs(sum(chances.values()) - 1.0) < 1e-9, finding
        assert all(chance >= 0 and isinstance(v, str) for v, chance in chances.items()), finding


@law
@given(houses(), walks())
def test_simulating_again_gives_the_same(house: House, acts: Acts) -> None:
    def told() -> tuple[Any, ...]:
        forget()
        met = scene(house, acts)
        return met, works(house, acts), {name: sense(met) for name, sense in SENSES.items()}

    assert told() == told()


@law
@given(houses(), walks())
def test_what_has_melted_stays_melted_and_nothing_else_is_rewired(house: House, acts: Acts) -> None:
    met = scene(house, acts)
    gone = {"F1", "TX", "TX2"}
    assert house.control.opens <= met.found.control.opens <= met.now.control.opens
    assert met.now.control.opens - house.control.opens <= gone
    assert replace(met.now.control, opens=house.control.opens) == house.control


@law
@given(houses())
def test_a_house_that_has_melted_what_melts_melts_no_further(house: House) -> None:
    once = doings(house)
    assert doings(once.house).house == once.house


@law
@given(houses(), walks())
def test_a_story_lies_between_its_begin_and_its_horizon(house: House, acts: Acts) -> None:
    whole = scene(house, acts).whole
    for story in (whole.indoor, whole.outdoor):
        assert all(-LONG <= each.start < each.end <= HORIZON for each in story.spells)
        moments = [moment for moment, _ in story.light]
        assert moments == sorted(moments)
        assert story.light_at(-LONG)
        for what in {each.what for each in story.spells}:
            sung = story.seconds(what, 0, HORIZON)
            assert 0 <= story.longest(what, 0, HORIZON) <= sung <= HORIZON


@law
@given(houses(), walks())
def test_without_line_power_nothing_of_the_house_moves(house: House, acts: Acts) -> None:
    whole = scene(replace(house, supply="out"), acts).whole
    moves = {each.what for story in (whole.indoor, whole.outdoor) for each in story.spells}
    assert moves <= {"flame"}, "a gas valve that leaks needs no power"
    assert not moves or house.valve == "leaks"


@law
@given(houses(), walks())
def test_air_needs_a_fan_in_a_house_with_grilles(house: House, acts: Acts) -> None:
    whole = scene(house, acts).whole
    for moment in (60.0, 330.0, 600.0, 900.0):
        felt = air(whole, moment)
        assert felt in ("none", "hot", "warm", "some-warmth", "cold", "room")
        if house.heating not in ("boiler", "baseboard") and felt != "none":
            assert whole.indoor.at("blower", moment)


@law
@given(houses(), walks())
def test_acts_leave_what_they_do_not_touch(house: House, acts: Acts) -> None:
    touched = {
        "control", "cells", "grilles", "filter", "panel", "flue", "breaker", "outdoor_breaker",
        "switch", "surroundings", "fan", "mode", "called", "locked", "rested",
    }  # fmt: skip
    now = scene(house, acts).now
    moved = {f.name for f in fields(House) if getattr(now, f.name) != getattr(house, f.name)}
    assert moved <= touched


@few
@given(houses(), st.sampled_from(sorted(FAULTS)))
def test_a_cause_hurts_any_house_in_variants_that_add_up_or_not_at_all(
    house: House, cause: str
) -> None:
    found = list(hurt(house, cause))
    assert not found or abs(sum(share for _, share, _ in found) - 1.0) < 1e-9
    assert all(isinstance(doings(each), Doings) for _, _, each in found)


spans = st.tuples(st.integers(0, 100), st.integers(0, 100)).filter(lambda s: s[0] < s[1])


@law
@given(st.lists(spans, max_size=6), spans)
def test_seconds_of_a_story_are_those_counted_one_by_one(
    drawn: list[tuple[int, int]], window: tuple[int, int]
) -> None:
    story = Story(tuple(Spell("blower", start, end) for start, end in drawn))
    ticks = [story.at("blower", moment) for moment in range(*window)]
    runs, longest = 0, 0
    for tick in ticks:
        runs = runs + 1 if tick else 0
        longest = max(longest, runs)
    assert story.seconds("blower", *window) == sum(ticks)
    assert story.longest("blower", *window) == longest
