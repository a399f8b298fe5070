"""The order and the times of each kind's start, and what guards and lock-outs make of it.

Ranges are those of the trade's common practice, no source; every pace must lie within them.
"""

from dataclasses import replace
from itertools import pairwise
from math import inf

import pytest

from stepstop.house.acts import Acts
from stepstop.house.control import Control
from stepstop.house.doing import scene
from stepstop.house.house import FURNACES, House
from stepstop.house.outdoor import direction
from stepstop.house.pace import GRID, PACES, Pace, between
from stepstop.house.story import HORIZON, Spell, Story, Teller
from stepstop.house.units import Doings, air, doings
from stepstop.house.wiring import screen

MINUTE = 60.0
BOARDS = ("logic-after-fuse", "logic-before-fuse", "string-after-fuse")

every_pace = pytest.mark.parametrize("pace", sorted(PACES))


def call(**sets: object) -> Doings:
    """A house at work whose thermostat began to ask at 0."""
    return doings(House(**{"called": "fresh", **sets}))  # type: ignore[arg-type]


def old_call(**sets: object) -> Doings:
    """A house at work whose thermostat has asked for hours."""
    return doings(House(called="long", **sets))  # type: ignore[arg-type]


def cool(**sets: object) -> Doings:
    return call(**{"wanted": "cool", "weather": "hot", **sets})


def pump(**sets: object) -> Doings:
    """A heat pump asked for heat, unless `wanted` says otherwise."""
    sets = {"control": Control(valve="O"), **sets}
    return call(heating="heat-pump", cooling="heat-pump", **sets)


def spells(story: Story, what: str) -> list[tuple[float, float]]:
    return [(each.start, each.end) for each in story.spells if each.what == what]


def start(story: Story, what: str) -> float:
    return min((begin for begin, _ in spells(story, what)), default=inf)


def lengths(story: Story, what: str) -> list[float]:
    """Seconds of each spell that ends before the story does."""
    return [end - begin for begin, end in spells(story, what) if end < HORIZON]


def asked(pace: str) -> float:
    """When the thermostat's contact closes after the wanted number was set."""
    return PACES[pace].thermostat


# ---- stories and paces ----


def test_what_is_told_twice_goes_on_once() -> None:
    story = Story((Spell("blower", 0, 60), Spell("blower", 30, 90), Spell("blower", 90, 100)))
    assert story.seconds("blower", 0, 200) == 100
    assert story.longest("blower", 10, 200) == 90
    assert story.seconds("blower", 95, 97) == 2
    assert story.seconds("inducer", 0, 200) == story.longest("blower", 100, 200) == 0


def test_a_story_without_a_light_is_dark_at_all_times() -> None:
    assert Story().light_at(-1e6) == Story().light_at(HORIZON) == "dark"


def test_turns_end_where_they_are_told_to() -> None:
    teller = Teller(0.0, 1000.0)
    teller.by_turns("blower", 100, 50, since=200, until=460)
    assert spells(teller.story(), "blower") == [(200, 300), (350, 450)]


def test_a_doubled_grid_lies_between_its_neighbours() -> None:
    quick, usual = PACES["quick"], PACES["usual"]
    assert PACES["brisk"] == between(quick, usual)
    assert quick.glow < PACES["brisk"].glow < usual.glow < PACES["gentle"].glow
    assert {"brisk", "gentle"}.isdisjoint(GRID)


RANGES = {
    "thermostat": (0, 5 * MINUTE),
    "inducer": (0, 15),
    "draft": (1, 15),
    "draft_limit": (30, 60),
    "purge": (15, 60),
    "glow": (5, 45),
    "trial": (3, 7),
    "blower_on": (15, 60),
    "blower_off": (60, 180),
    "hot": (1 * MINUTE, 5 * MINUTE),
    "warm": (2 * MINUTE, 10 * MINUTE),
    "lock_out": (1 * 60 * MINUTE, 3 * 60 * MINUTE),
    "sequencer": (10, 90),
    "stage": (10, 30),
    "delay": (3 * MINUTE, 5 * MINUTE),
    "pilot_fan": (1 * MINUTE, 4 * MINUTE),
    "pressure_trip": (5 * MINUTE, 15 * MINUTE),
    "defrost": (2 * MINUTE, 10 * MINUTE),
    "oil_purge": (0, 15),
    "oil_safety": (15, 45),
    "oil_fan": (30, 120),
    "preheat": (3 * MINUTE, 10 * MINUTE),
    "zone": (15, 3 * MINUTE),
}
NO_RANGE = {"cool_down", "fan_hot", "pause"}
"""Judgement alone: how long a guard or a hot motor rests, and a board between two tries."""


@every_pace
def test_every_duration_lies_in_its_usual_range(pace: str) -> None:
    assert RANGES.keys() | NO_RANGE == set(Pace.__dataclass_fields__)
    outside = {
        name: getattr(PACES[pace], name)
        for name, (least, most) in RANGES.items()
        if not least <= getattr(PACES[pace], name) <= most
    }
    assert outside == {}


# ---- gas furnace: a good start ----


@every_pace
@pytest.mark.parametrize("heating", FURNACES)
def test_a_furnace_starts_in_order_small_fan_glow_click_flame_big_fan(
    pace: str, heating: str
) -> None:
    story = call(heating=heating, pace=pace).indoor
    small, glow, flame, big = (start(story, w) for w in ("inducer", "glow", "flame", "blower"))
    assert 0 <= small - asked(pace) <= 15
    assert 1 + 15 <= glow - small <= 15 + 60, "draft proved, then purged"
    assert lengths(story, "glow") == [flame - glow]
    assert 5 <= flame - glow <= 45
    assert story.clicks[0] == flame
    assert 15 <= big - flame <= 60
    assert not story.locked
    assert not story.bang


@every_pace
def test_warm_air_comes_within_the_five_minutes_that_a_person_waits(pace: str) -> None:
    whole = call(pace=pace)
    first = next(at for at in range(600) if air(whole, at) == "hot")
    assert 1 * MINUTE <= first - asked(pace) <= 3.2 * MINUTE
    assert first <= 5 * MINUTE
    assert all(air(whole, at) == "hot" for at in range(first, int(HORIZON), 30))


def test_a_start_has_no_flame_before_the_small_fan_and_burns_on() -> None:
    story = call().indoor
    assert story.seconds("flame", 0, start(story, "inducer")) == 0
    assert story.longest("flame", 0, HORIZON) == HORIZON - start(story, "flame")
    assert story.light_at(HORIZON - 1) == "heartbeat"


def test_a_call_of_hours_is_well_under_way() -> None:
    story = old_call().indoor
    assert all(story.at(what, 0.0) for what in ("inducer", "flame", "blower"))
    assert not story.clicked(0, HORIZON)


def test_without_a_call_a_furnace_stands_by_with_its_light_on() -> None:
    story = call(mode="off").indoor
    assert story.spells == ()
    assert story.light_at(600) == "heartbeat"


def test_a_fan_call_moves_air_at_once_and_lights_nothing() -> None:
    story = call(mode="off", fan="on").indoor
    assert start(story, "blower") == 0
    assert start(story, "flame") == inf


# ---- gas furnace: retries and lock-out ----

NEVER_LIGHTS = [
    {"sensor": False},
    {"igniter": False},
    {"gas": False},
    {"valve": "shut"},
    {"draft": "never"},
    {"flue": "blocked"},
    {"chimney": "blocked"},
    {"trap": "blocked"},
    {"trap": "frozen"},
    {"inducer": "dead"},
    {"inducer": "hum"},
]


def tries_of(story: Story) -> list[float]:
    """Moments at which the light began to tell of a failed try."""
    return [at for at, light in story.light if light in ("ignition", "pressure") and at > -inf]


@every_pace
@pytest.mark.parametrize("tries", [2, 3, 5])
@pytest.mark.parametrize("hurt", NEVER_LIGHTS, ids=str)
def test_a_furnace_that_never_lights_tries_some_times_and_locks_out(
    pace: str, tries: int, hurt: dict[str, object]
) -> None:
    story = call(pace=pace, tries=tries, **hurt).indoor
    failed = tries_of(story)
    assert len(failed) == tries
    assert story.locked
    assert start(story, "blower") == inf
    after = failed[-1] + PACES[pace].pause
    assert not any(each.end > after for each in story.spells), "silence, a blinking light"
    assert story.light_at(HORIZON) in ("ignition", "pressure")


@every_pace
def test_a_soft_lock_out_lasts_hours_and_then_it_tries_again(pace: str) -> None:
    story = old_call(pace=pace, sensor=False).indoor
    flames = [begin for begin, _ in spells(story, "flame")]
    gaps = [later - sooner for sooner, later in pairwise(flames)]
    pauses = [gap for gap in gaps if gap > 30 * MINUTE]
    assert pauses
    assert all(60 * MINUTE <= gap <= 3.1 * 60 * MINUTE for gap in pauses)
    assert story.locked


@every_pace
def test_a_flame_that_is_not_seen_burns_for_seconds(pace: str) -> None:
    story = call(pace=pace, sensor=False).indoor
    assert len(lengths(story, "flame")) == 3
    assert all(2 <= seconds <= 8 for seconds in lengths(story, "flame"))
    assert all(story.clicked(end, end + 1) for _, end in spells(story, "flame")), "the valve"
    assert story.light_at(HORIZON) == "ignition"


def test_a_lost_bond_to_the_cabinet_hides_the_flame_as_a_dirty_sensor_does() -> None:
    lost = call(control=Control(opens=frozenset({"BOND"}))).indoor
    assert spells(lost, "flame") == spells(call(sensor=False).indoor, "flame")


def test_a_broken_igniter_clicks_without_glow_and_without_flame() -> None:
    story = call(igniter=False).indoor
    assert start(story, "glow") == start(story, "flame") == inf
    assert len(story.clicks) == 3


def test_a_late_flame_lights_with_a_bang() -> None:
    assert call(burners="late", sensor=False).indoor.bang


@every_pace
@pytest.mark.parametrize(
    "hurt", [{"draft": "never"}, {"flue": "blocked"}, {"trap": "blocked"}], ids=str
)
def test_an_unproved_draft_stops_the_small_fan_after_half_a_minute_or_a_minute(
    pace: str, hurt: dict[str, object]
) -> None:
    story = call(pace=pace, **hurt).indoor
    assert all(30 <= seconds <= 60 for seconds in lengths(story, "inducer"))
    assert start(story, "glow") == inf
    assert story.light_at(HORIZON) == "pressure"


def test_a_draft_switch_stuck_closed_keeps_the_small_fan_from_starting() -> None:
    story = call(draft="always").indoor
    assert story.spells == ()
    assert story.light_at(600) == "pressure-stuck"


@pytest.mark.parametrize(("inducer", "hum"), [("dead", 0), ("hum", 3)])
def test_a_small_fan_that_does_not_turn_is_silent_or_hums(inducer: str, hum: int) -> None:
    story = call(inducer=inducer).indoor
    assert start(story, "inducer") == inf
    assert len(lengths(story, "inducer-hum")) == hum


# ---- what clears a lock-out ----

CALLED = Acts(thermostat="heat", fan="auto", renewed=True)
CYCLED = Acts(switch="cycled")


def tries_after(acts: Acts, **sets: object) -> Story:
    return scene(House(sensor=False, **sets), acts).whole.indoor  # type: ignore[arg-type]


def test_a_new_call_clears_the_lock_out_of_a_board_that_looks_at_calls() -> None:
    assert start(tries_after(CALLED, call_clears=True), "flame") < 5 * MINUTE


def test_a_board_that_is_asked_all_the_while_stays_locked_out() -> None:
    kept = tries_after(replace(CALLED, renewed=False), call_clears=True)
    assert kept.locked
    assert kept.spells == ()


def test_only_power_clears_the_lock_out_of_another() -> None:
    kept = tries_after(CALLED, call_clears=False)
    assert kept.seconds("inducer", 0, HORIZON) == 0
    assert kept.locked
    assert start(tries_after(CYCLED, call_clears=False), "flame") < 5 * MINUTE


def test_a_lock_out_that_power_alone_clears_still_blinks_at_off() -> None:
    off = Acts(thermostat="off", fan="auto")
    assert tries_after(off, call_clears=False).light_at(600) == "ignition"
    assert tries_after(off, call_clears=True).light_at(600) == "heartbeat"


@pytest.mark.parametrize(("hurt", "light"), [("sensor", "ignition"), ("draft", "pressure")])
def test_a_lock_out_blinks_for_what_led_to_it(hurt: str, light: str) -> None:
    value = {"sensor": False, "draft": "never"}[hurt]
    house = House(**{hurt: value, "call_clears": False})  # type: ignore[arg-type]
    assert scene(house, CALLED).whole.indoor.light_at(600) == light


# ---- limit, roll-out, gas that isn't asked for ----


@every_pace
@pytest.mark.parametrize("starved", [{"filter": "dirty"}, {"grilles": "shut-or-covered"}], ids=str)
def test_too_little_air_heats_for_minutes_then_the_fan_runs_on(
    pace: str, starved: dict[str, object]
) -> None:
    whole = call(pace=pace, **starved)
    story = whole.indoor
    begin, end = spells(story, "flame")[0]
    assert 2 * MINUTE <= end - begin <= 10 * MINUTE
    closes = end + PACES[pace].cool_down
    assert story.longest("blower", end - 60, closes) == closes - end + 60, "runs until it closes"
    assert story.light_at(end + 1) == "limit"
    assert air(whole, closes - 1) == "room"
    assert start(story, "flame") < end < spells(story, "flame")[1][0] < HORIZON, "and again"
    assert not story.locked


@every_pace
@pytest.mark.parametrize("blower", ["dead", "hum"])
def test_a_flame_without_big_fan_is_stopped_within_five_minutes(pace: str, blower: str) -> None:
    story = call(pace=pace, blower=blower).indoor
    assert len(spells(story, "flame")) > 1
    assert all(1 * MINUTE <= seconds <= 5 * MINUTE for seconds in lengths(story, "flame"))
    assert start(story, "blower") == inf
    assert (start(story, "blower-hum") < inf) == (blower == "hum")


@every_pace
def test_a_fan_motor_that_stops_hot_leaves_the_flame_to_the_limit(pace: str) -> None:
    story = call(pace=pace, blower="overheats").indoor
    (blows, stops), (_, burnt) = spells(story, "blower")[0], spells(story, "flame")[0]
    assert stops - blows >= 4 * MINUTE
    assert stops < burnt
    assert not story.at("blower", burnt + 1)
    assert story.light_at(burnt + 1) == "limit"


def test_a_fan_motor_that_stops_hot_does_so_in_cooling_too() -> None:
    whole = cool(blower="overheats")
    assert len(spells(whole.indoor, "blower")) > 1
    assert {"none", "cold"} <= {air(whole, at) for at in range(600, 1800, 60)}


def test_a_limit_stuck_open_runs_the_fan_from_cold_and_lights_nothing() -> None:
    story = old_call(limit="stuck").indoor
    assert start(story, "flame") == start(story, "inducer") == inf
    assert story.at("blower", 0.0)
    assert story.light_at(0.0) == "limit"


def test_a_roll_out_has_its_own_light_and_no_flame() -> None:
    story = call(rollout=True).indoor
    assert story.light_at(600) == "rollout"
    assert start(story, "flame") == inf


@pytest.mark.parametrize("off", [{"mode": "off"}, {"switch": "off"}, {"breaker": "out-of-line"}])
def test_a_leaking_gas_valve_burns_on_whatever_is_switched_off(off: dict[str, object]) -> None:
    assert call(valve="leaks", **off).indoor.at("flame", 900)


def test_the_board_blows_and_blinks_for_a_flame_that_nothing_asked_for() -> None:
    story = call(valve="leaks", mode="off").indoor
    assert story.at("blower", 60)
    assert story.light_at(60) == "flame-without-call"


def test_no_gas_leaves_a_leaking_valve_without_a_flame() -> None:
    assert start(call(valve="leaks", gas=False, mode="off").indoor, "flame") == inf


# ---- standing pilot ----


@every_pace
def test_an_old_furnace_lights_at_once_and_its_fan_follows_the_warmth(pace: str) -> None:
    story = call(heating="gas-pilot", pace=pace).indoor
    flame, fan = start(story, "flame"), start(story, "blower")
    assert flame == asked(pace) == story.clicks[0]
    assert 1 * MINUTE <= fan - flame <= 4 * MINUTE
    assert start(story, "inducer") == start(story, "glow") == inf
    assert {light for _, light in story.light} == {"dark"}


@every_pace
def test_the_fan_of_an_old_furnace_stops_minutes_after_its_flame(pace: str) -> None:
    story = call(heating="gas-pilot", pace=pace, filter="dirty").indoor
    (_, out), (_, still) = spells(story, "flame")[0], spells(story, "blower")[0]
    assert 1 * MINUTE <= still - out <= 3 * MINUTE


@pytest.mark.parametrize(
    "hurt",
    [
        {"pilot": "out"},
        {"pilot": "not-noticed"},
        {"gas": False},
        {"chimney": "blocked"},
        {"valve": "shut"},
        {"limit": "stuck"},
    ],
    ids=str,
)
def test_without_a_pilot_a_free_chimney_or_its_guard_an_old_furnace_does_nothing(
    hurt: dict[str, object],
) -> None:
    story = call(heating="gas-pilot", **hurt).indoor
    assert story.spells == ()
    assert story.clicks == ()


@pytest.mark.parametrize("heating", ["gas-pilot", "oil"])
def test_a_fan_relay_that_is_stuck_needs_power_all_the_same(heating: str) -> None:
    assert call(heating=heating, blower="always", mode="off").indoor.at("blower", 600)
    assert not call(heating=heating, blower="always", supply="out").indoor.at("blower", 600)


@pytest.mark.parametrize("heating", ["gas-pilot", "oil"])
def test_a_dead_fan_of_an_old_furnace_is_dead_for_every_call(heating: str) -> None:
    story = call(heating=heating, blower="dead", fan="on").indoor
    assert start(story, "blower") == inf
    assert len(spells(story, "flame")) > 1, "and the flame is stopped by its heat guard"


# ---- oil ----


@every_pace
def test_an_oil_burner_lights_when_its_oil_comes_and_the_fan_follows(pace: str) -> None:
    story = call(heating="oil", pace=pace).indoor
    flame = start(story, "flame")
    assert start(story, "burner") == asked(pace) == story.clicks[0]
    assert 0 <= flame - start(story, "burner") <= 15
    assert 30 <= start(story, "blower") - flame <= 120
    assert not story.locked


NO_OIL_FLAME = [
    {"tank": "empty"},
    {"oil": "air"},
    {"oil": "bad"},
    {"burner": "no-spark"},
    {"burner": "no-pressure"},
]


@every_pace
@pytest.mark.parametrize("hurt", NO_OIL_FLAME, ids=str)
def test_without_oil_flame_the_burner_locks_out_after_its_safety_time(
    pace: str, hurt: dict[str, object]
) -> None:
    story = call(heating="oil", pace=pace, **hurt).indoor
    (ran,) = lengths(story, "burner")
    assert 15 <= ran - PACES[pace].oil_purge <= 45
    assert start(story, "flame") == start(story, "blower") == inf
    assert story.clicks == (asked(pace), asked(pace) + ran)
    assert story.locked


@pytest.mark.parametrize(("burner", "heard"), [("hum", ["burner-hum"]), ("dead", [])])
def test_an_oil_burner_whose_motor_does_not_turn_locks_out_too(
    burner: str, heard: list[str]
) -> None:
    story = call(heating="oil", burner=burner).indoor
    assert [each.what for each in story.spells] == heard
    assert story.locked


def test_oil_that_lights_late_lights_with_a_thump() -> None:
    assert call(heating="oil", burners="late").indoor.bang
    assert not call(heating="oil", burners="late", tank="empty").indoor.bang


@every_pace
def test_an_oil_flame_that_is_not_seen_burns_for_the_safety_time(pace: str) -> None:
    story = call(heating="oil", pace=pace, sensor=False).indoor
    assert len(lengths(story, "flame")) == 1
    assert 15 <= lengths(story, "flame")[0] <= 45
    assert story.locked


def test_a_locked_oil_burner_does_nothing_on_a_new_call() -> None:
    assert call(heating="oil", locked=True).indoor.spells == ()


def test_an_oil_furnace_answers_a_fan_call_and_not_with_a_dead_control() -> None:
    assert call(heating="oil", mode="off", fan="on").indoor.at("blower", 60)
    assert start(call(heating="oil", board="dead").indoor, "flame") == inf


# ---- boiler ----


@every_pace
def test_a_boiler_waits_for_its_zone_valve_then_burns_and_pumps(pace: str) -> None:
    whole = call(heating="boiler", cooling="none", pace=pace)
    flame = start(whole.indoor, "flame")
    valve = whole.indoor.clicks[0] - asked(pace)
    assert 15 <= valve <= 3 * MINUTE
    assert flame > whole.indoor.clicks[0]
    assert start(whole.indoor, "pump") == flame
    assert air(whole, flame + 1) == "hot"


@pytest.mark.parametrize(
    "hurt",
    [
        {"water_side": "low"},
        {"chimney": "blocked"},
        {"limit": "stuck"},
        {"gas": False},
        {"igniter": False},
        {"pilot": "out"},
        {"board": "dead"},
        {"locked": True},
    ],
    ids=str,
)
def test_a_boiler_does_not_burn_past_its_guards(hurt: dict[str, object]) -> None:
    whole = call(heating="boiler", cooling="none", **hurt)
    assert start(whole.indoor, "flame") == start(whole.indoor, "pump") == inf
    assert air(whole, 900) == "none"


def test_a_boiler_whose_water_stands_is_hot_and_warms_no_room() -> None:
    whole = call(heating="boiler", cooling="none", water_side="no-flow")
    assert whole.indoor.at("flame", 900)
    assert air(whole, 900) == "none"


# ---- electric heat ----


@every_pace
def test_electric_stages_come_one_after_the_other_and_the_fan_with_the_first(pace: str) -> None:
    whole = call(heating="electric", pace=pace)
    first, whole_heat = start(whole.indoor, "some-elements"), start(whole.indoor, "elements")
    assert 10 <= first - asked(pace) <= 90
    assert 10 <= whole_heat - first <= 30
    assert start(whole.indoor, "blower") == first
    assert air(whole, first + 1) == "some-warmth"
    assert air(whole, whole_heat + 1) == "hot"


@pytest.mark.parametrize("hurt", [{"heat_breakers": 0.5}, {"elements": 0.5}], ids=str)
def test_with_half_its_heaters_the_air_is_lukewarm_for_good(hurt: dict[str, object]) -> None:
    whole = call(heating="electric", **hurt)
    assert air(whole, 900) == air(whole, 1800 - 1) == "some-warmth"


def test_a_dead_sequencer_leaves_the_fan_with_cool_air() -> None:
    assert air(call(heating="electric", sequencer="dead"), 900) == "room"


def test_a_stuck_sequencer_heats_with_the_thermostat_at_off() -> None:
    assert air(call(heating="electric", sequencer="stuck", mode="off"), 900) == "hot"
    assert air(call(heating="electric", sequencer="stuck", breaker="fully-off"), 900) == "none"


@every_pace
def test_heaters_without_a_fan_are_stopped_by_their_guards_again_and_again(pace: str) -> None:
    story = call(heating="electric", pace=pace, blower="dead").indoor
    assert len(spells(story, "elements")) > 1
    assert story.longest("elements", 0, HORIZON) <= 5 * MINUTE
    assert all(
        air(call(heating="electric", pace=pace, blower="dead"), t) == "none" for t in (60, 900)
    )


# ---- air conditioner ----


@every_pace
def test_an_air_conditioner_starts_its_motors_together_and_the_indoor_fan_at_once(
    pace: str,
) -> None:
    whole = cool(pace=pace)
    assert start(whole.outdoor, "compressor") == start(whole.outdoor, "outdoor-fan") == 0
    assert start(whole.indoor, "blower") <= 30
    assert air(whole, 600) == "cold"


@every_pace
def test_after_a_stop_the_compressor_waits_three_to_five_minutes(pace: str) -> None:
    whole = cool(pace=pace, rested=False)
    assert 3 * MINUTE <= start(whole.outdoor, "compressor") <= 5 * MINUTE
    assert whole.outdoor.at("outdoor-fan", 7 * MINUTE), "by the clock of the one who waits"
    assert air(whole, 2 * MINUTE) == "room"
    assert air(whole, start(whole.outdoor, "compressor") + 60) == "room", "it has to get cold first"


@pytest.mark.parametrize(
    "gone",
    [
        {"outdoor_breaker": "out-of-line"},
        {"pullout": "out"},
        {"outdoor_fuses": False},
        {"supply": "part"},
        {"contactor": "open"},
        {"board": "dead"},
        {"panel": "gap"},
        {"switch": "off"},
    ],
    ids=str,
)
def test_an_outdoor_unit_without_power_or_without_24_volts_is_silent(
    gone: dict[str, object],
) -> None:
    assert cool(**gone).outdoor.spells == ()


def test_a_weak_start_helper_hums_and_nothing_turns() -> None:
    story = cool(capacitor=False).outdoor
    assert {each.what for each in story.spells} == {"outdoor-hum"}


def test_a_locked_compressor_hums_beside_a_turning_fan() -> None:
    story = cool(compressor="locked").outdoor
    assert {each.what for each in story.spells} == {"outdoor-hum", "outdoor-fan"}


@every_pace
def test_a_compressor_without_its_fan_is_stopped_after_minutes(pace: str) -> None:
    story = cool(pace=pace, outdoor_fan=False).outdoor
    assert start(story, "outdoor-fan") == inf
    assert 5 * MINUTE <= lengths(story, "compressor")[0] <= 15 * MINUTE
    assert len(lengths(story, "compressor")) > 1


@every_pace
@pytest.mark.parametrize("why", [{"pressure": "trips"}, {"surroundings": "smothered"}], ids=str)
def test_a_pressure_guard_stops_compressor_and_fan_together(
    pace: str, why: dict[str, object]
) -> None:
    story = cool(pace=pace, **why).outdoor
    assert spells(story, "compressor") == spells(story, "outdoor-fan")
    assert all(5 * MINUTE <= seconds <= 15 * MINUTE for seconds in lengths(story, "compressor"))
    assert len(lengths(story, "compressor")) > 1


def test_a_welded_contactor_runs_at_off_until_its_breaker_is_off() -> None:
    assert start(cool(contactor="welded", mode="off", rested=False).outdoor, "outdoor-fan") == 0
    assert not cool(contactor="welded", mode="off", outdoor_breaker="fully-off").outdoor.spells


def test_a_chattering_contactor_is_heard_even_where_the_motors_have_no_power() -> None:
    assert cool(contactor="chatter").outdoor.at("outdoor-chatter", 60)
    assert cool(contactor="chatter", pullout="out").outdoor.at("outdoor-chatter", 60)
    assert not cool(contactor="chatter", mode="off").outdoor.spells


# ---- heat pump ----

VALVES = pytest.mark.parametrize("valve", ["O", "B"])
WANTED = pytest.mark.parametrize("wanted", ["heat", "cool"])
OTHER = {"heat": "cool", "cool": "heat"}


@VALVES
@WANTED
def test_a_heat_pump_does_what_is_asked_with_either_valve(valve: str, wanted: str) -> None:
    whole = pump(control=Control(valve=valve), wanted=wanted, weather="mild")
    assert direction(whole.house) == wanted
    assert air(whole, 900) == {"heat": "warm", "cool": "cold"}[wanted]


@VALVES
@WANTED
@pytest.mark.parametrize("why", [{"o_b": "wrong"}, {"reversing": "stuck"}], ids=str)
def test_a_wrong_set_up_or_a_stuck_valve_does_the_opposite(
    valve: str, wanted: str, why: dict[str, object]
) -> None:
    whole = pump(control=Control(valve=valve), wanted=wanted, weather="mild", **why)
    assert direction(whole.house) == OTHER[wanted]
    assert air(whole, 900) == {"heat": "cold", "cool": "warm"}[wanted]


def test_a_stuck_valve_stays_where_it_is_when_the_other_is_asked() -> None:
    stuck = pump(wanted="cool", weather="mild", reversing="stuck", mode="heat").house
    assert direction(stuck) == "heat"


@pytest.mark.parametrize(("valve", "fails"), [("O", "cool"), ("B", "heat")])
def test_a_broken_valve_wire_loses_the_direction_that_needs_it(valve: str, fails: str) -> None:
    control = Control(valve=valve, opens=frozenset({f"WIRE_{valve}"}))
    for wanted in ("heat", "cool"):
        house = pump(control=control, wanted=wanted, weather="mild").house
        assert (direction(house) == wanted) == (wanted != fails)


@every_pace
def test_in_a_defrost_only_the_outdoor_fan_rests_and_heat_comes_back(pace: str) -> None:
    whole = doings(
        House(
            heating="heat-pump", cooling="heat-pump", control=Control(valve="O"), pace=pace,
            defrost="now", weather="cool",
        )
    )  # fmt: skip
    assert whole.outdoor.at("outdoor-fan", -1)
    rests = min(begin for begin, _ in spells(whole.outdoor, "outdoor-fan") if begin > 0)
    assert 2 * MINUTE <= rests <= 10 * MINUTE
    assert not whole.outdoor.seconds("outdoor-fan", 0, rests)
    assert whole.outdoor.longest("compressor", 0, HORIZON) == HORIZON
    assert air(whole, 1) == "room"
    assert air(whole, rests + 1) == "warm"


def test_a_defrost_after_a_wait_begins_with_the_start() -> None:
    story = pump(defrost="now", rested=False).outdoor
    begins = start(story, "compressor")
    assert begins >= 3 * MINUTE
    assert start(story, "outdoor-fan") == begins + PACES["usual"].defrost


def test_emergency_heat_leaves_the_outdoor_unit_at_rest() -> None:
    whole = pump(mode="emergency-heat")
    assert whole.outdoor.spells == ()
    assert air(whole, 900) == "hot"


# ---- ductless ----


@every_pace
def test_a_ductless_head_keeps_its_fan_still_at_a_winter_start(pace: str) -> None:
    whole = call(heating="ductless", cooling="ductless", pace=pace)
    assert 3 * MINUTE <= start(whole.indoor, "blower") <= 10 * MINUTE
    assert start(whole.outdoor, "outdoor-fan") == 0
    assert air(whole, 120) == "none"
    assert air(whole, 900) == "warm"


def test_a_ductless_head_blows_at_once_in_summer() -> None:
    whole = cool(heating="ductless", cooling="ductless")
    assert start(whole.indoor, "blower") == 0
    assert air(whole, 600) == "cold"


@every_pace
def test_a_ductless_unit_waits_before_it_starts_again(pace: str) -> None:
    whole = cool(heating="ductless", cooling="ductless", pace=pace, rested=False)
    assert 3 * MINUTE <= start(whole.outdoor, "compressor") <= 5 * MINUTE


# ---- baseboard ----


def test_heaters_along_the_wall_heat_at_once_or_not_at_all() -> None:
    whole = call(heating="baseboard", cooling="none", mains=True)
    assert air(whole, 1) == "hot"
    assert air(call(heating="baseboard", cooling="none", mains=True, elements=0.0), 1) == "none"


# ---- the board's light ----

NO_POWER = [
    {"switch": "off"},
    {"breaker": "out-of-line"},
    {"panel": "gap"},
    {"supply": "out"},
    {"outlet": False},
    {"board": "dead"},
    {"control": Control(opens=frozenset({"TX"}))},
]


@pytest.mark.parametrize("heating", [*FURNACES, "electric", "heat-pump"])
@pytest.mark.parametrize("gone", NO_POWER, ids=str)
def test_the_light_is_dark_without_power_and_with_a_dead_board(
    heating: str, gone: dict[str, object]
) -> None:
    story = old_call(heating=heating, **gone).indoor
    assert {light for _, light in story.light} == {"dark"}
    assert story.spells == ()


@pytest.mark.parametrize("idle", ["steady", "heartbeat"])
@pytest.mark.parametrize("heating", [*FURNACES, "electric"])
def test_the_light_of_a_unit_that_is_well_is_its_own_idle_one(idle: str, heating: str) -> None:
    assert {light for _, light in call(heating=heating, idle_light=idle).indoor.light} == {idle}


def melted(board: str, **sets: object) -> Doings:
    return old_call(control=Control(board=board, opens=frozenset({"F1"}), **sets))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("board", "light", "blows"),
    [
        ("logic-after-fuse", "dark", False),
        ("logic-before-fuse", "low-voltage", False),
        ("string-after-fuse", "limit", True),
    ],
)
def test_a_melted_fuse_shows_in_the_light_as_the_board_is_fed(
    board: str, light: str, blows: bool
) -> None:
    whole = melted(board)
    assert whole.indoor.light_at(600) == light
    assert whole.indoor.at("blower", 600) == blows
    assert screen(whole.house) == "blank"
    assert start(whole.indoor, "flame") == inf


def test_only_one_board_gives_blank_screen_endless_fan_and_blinking_light_together() -> None:
    def trio(whole: Doings) -> bool:
        blinks = whole.indoor.light_at(600) not in ("dark", "steady", "heartbeat")
        blows = whole.indoor.longest("blower", 0, HORIZON) == HORIZON
        return screen(whole.house) == "blank" and blows and blinks

    assert [board for board in BOARDS if trio(melted(board))] == ["string-after-fuse"]
    assert not trio(melted("string-after-fuse", thermostat="batteries", common_wire=False))
    assert not trio(old_call(limit="stuck")), "an open limit leaves the screen on"


@pytest.mark.parametrize("board", BOARDS)
def test_wires_that_touch_melt_the_fuse_and_look_like_a_melted_one(board: str) -> None:
    touching = old_call(control=Control(board=board, shorts=(("RT", "CT", 0.05),)))
    assert "F1" in touching.house.control.opens
    assert touching.indoor == melted(board).indoor


@pytest.mark.parametrize("board", BOARDS[1:])
def test_an_air_handler_tells_of_low_voltage_when_its_fuse_is_gone(board: str) -> None:
    control = Control(board=board, opens=frozenset({"F1"}))
    assert old_call(heating="electric", control=control).indoor.light_at(600) == "low-voltage"


# ---- float guards, and calls that cross ----


def test_a_float_guard_in_r_blanks_the_screen_under_a_normal_light() -> None:
    whole = cool(control=Control(float_in="R"), drain="blocked")
    assert screen(whole.house) == "blank"
    assert whole.indoor.light_at(600) == "heartbeat"
    assert whole.outdoor.spells == whole.indoor.spells == ()


def test_a_float_guard_in_y_stops_only_the_outdoor_unit() -> None:
    whole = cool(control=Control(float_in="Y"), drain="blocked")
    assert screen(whole.house) == "on"
    assert whole.outdoor.spells == ()
    assert whole.indoor.at("blower", 600)


def test_heat_and_fan_wires_that_touch_blow_cold_air_first_and_burn_on_a_fan_call() -> None:
    touching = Control(shorts=(("WT", "GT", 0.05),))
    assert start(call(control=touching).indoor, "blower") == 0
    fan = call(control=touching, mode="off", fan="on")
    assert start(fan.indoor, "flame") < 5 * MINUTE


def test_heat_and_cooling_wires_that_touch_run_both() -> None:
    touching = Control(shorts=(("WT", "YT", 0.05),))
    assert call(control=touching).outdoor.at("compressor", 600)
    assert start(cool(control=touching).indoor, "flame") < 5 * MINUTE


def test_an_old_fan_centre_leaves_the_coil_without_air_when_g_is_broken() -> None:
    broken = frozenset({"WIRE_G"})
    old = cool(control=Control(fan_centre=True, opens=broken))
    assert old.outdoor.at("compressor", 600)
    assert not old.indoor.at("blower", 600)
    assert cool(control=Control(opens=broken)).indoor.at("blower", 600), "a modern board blows"
