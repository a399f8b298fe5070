"""What taps say about a blinking light: edges, timings of a hand, and the bars it is held to."""

import math

import pytest

from stepstop.tapping import Reading, read
from unit.taps import CLEAR, LETTERS, figures, first_answer, many, verdict

TOO_LITTLE = Reading("too-little")


def along(*groups, lit=400, dark=400, pause=3000, short=None):
    """Presses that follow groups of flashes to the millisecond; `short` pauses every other time."""
    now, presses = 0.0, []
    for number, count in enumerate(groups):
        for _ in range(count):
            presses.append((now, now + lit))
            now += lit + dark
        now += (short if short and number % 2 == 0 else pause) - dark
    return presses


def by_gaps(holds, darks):
    """Presses of these holds with these darks between them, in ms."""
    now, presses = 1000.0, []
    for hold, dark in zip(holds, [*darks, 0], strict=True):
        presses.append((now, now + hold))
        now += hold + dark
    return presses


def after(presses, more=4000):
    return presses[-1][1] + more


class TestTooLittle:
    def test_nothing_and_one_tap_are_too_little(self):
        assert read([]) == TOO_LITTLE
        assert read([], until=5000.0) == TOO_LITTLE
        assert read([(0.0, 100.0)]) == TOO_LITTLE

    @pytest.mark.parametrize("count", [2, 3, 5, 10])
    def test_one_group_is_too_little_however_long_one_waits(self, count):
        presses = along(count)
        assert read(presses).pattern == "too-little"
        assert read(presses, until=after(presses, 60_000)).pattern == "too-little"

    def test_two_rounds_are_too_little(self):
        presses = along(3, 3)
        assert read(presses, until=after(presses)).pattern == "too-little"

    def test_a_few_quick_taps_are_too_little(self):
        assert read(by_gaps([60] * 6, [100] * 5)) == TOO_LITTLE


class TestWrongInput:
    @pytest.mark.parametrize(
        ("presses", "why"),
        [
            ([(0, 100), (200, 150)], "press 2 ends before it starts"),
            ([(0, 300), (200, 400)], "press 2 starts before press 1 ends"),
            ([(500, 600), (0, 100)], "press 2 starts before press 1 ends"),
            ([(0, math.nan)], "press 1 has a time that is not a finite number"),
            ([(-math.inf, 0)], "press 1 has a time that is not a finite number"),
        ],
    )
    def test_a_press_that_cannot_be_is_refused_and_named(self, presses, why):
        with pytest.raises(ValueError, match=why):
            read(presses)

    @pytest.mark.parametrize("until", [99.0, math.inf, math.nan])
    def test_a_watch_that_ends_too_early_or_never_is_refused(self, until):
        with pytest.raises(ValueError, match="`until`"):
            read([(0, 100)], until=until)

    def test_presses_that_touch_or_last_no_time_are_read(self):
        assert read([(0, 0), (0, 0), (0, 0), (0, 0)]).pattern == "too-little"
        assert read([(10 * i, 10 * i + 10) for i in range(20)]).pattern == "rapid"


class TestEnds:
    def test_the_last_group_counts_only_when_the_dark_after_it_was_watched(self):
        presses = along(4, 4, 4)
        assert read(presses).pattern == "too-little"
        assert read(presses, until=after(presses, 500)).pattern == "too-little"
        assert read(presses, until=after(presses)) == Reading("groups", (4,), "", 3, 2)

    def test_a_first_group_that_was_cut_does_not_count(self):
        presses = along(2, 4, 4)
        assert read(presses, until=after(presses)).pattern == "too-little"
        assert read(along(2, 4, 4, 4, 1)) == Reading("groups", (4,), "", 3, 3)

    def test_a_first_group_longer_than_the_others_is_not_explained(self):
        assert read(along(5, 4, 4, 4, 1)).pattern == "uncertain"


class TestRounds:
    @pytest.mark.parametrize("count", range(2, 11))
    def test_groups_are_counted(self, count):
        assert read(along(*[count] * 5)) == Reading("groups", (count,), "", 4, 3)

    def test_groups_of_more_than_ten_are_no_code(self):
        assert read(along(11, 11, 11, 11, 11)).pattern == "uncertain"

    @pytest.mark.parametrize("code", [(1, 2), (2, 1), (3, 3), (2, 4), (6, 1)])
    def test_two_groups_with_a_short_pause_are_one_code(self, code):
        presses = along(*code * 4, short=1300)
        assert read(presses) == Reading("two-groups", code, "", 3, 2)

    def test_two_that_agree_outvote_one_with_a_tap_missed_at_its_edge(self):
        assert read(along(1, 4, 3, 4, 2)) == Reading("groups", (4,), "", 3, 2)

    def test_one_longer_round_outweighs_two_that_agree(self):
        assert read(along(1, 3, 4, 3, 2)).pattern == "uncertain"

    @pytest.mark.parametrize("groups", [(5, 3, 5, 3, 5, 3, 5), (2, 3, 4, 5, 2), (5, 2, 5, 5, 1)])
    def test_rounds_that_nothing_explains_are_uncertain(self, groups):
        assert read(along(*groups)).pattern == "uncertain"

    @pytest.mark.parametrize("missed", [1, 2, 3])
    def test_a_doubled_dark_inside_a_round_puts_it_in_doubt(self, missed):
        presses = along(5, 5, 5, 1, pause=4000)
        del presses[5 + missed]
        said = read(presses)
        assert said.agree < 2
        assert said.pattern in ("uncertain", "too-little")
        presses = along(5, 5, 5, 5, 1, pause=4000)
        del presses[5 + missed]
        assert read(presses).counts == (5,)

    def test_parts_of_a_round_are_joined_only_over_the_dark_of_a_missed_tap(self):
        assert read(along(6, 3, 2, 6, 6, 1, pause=4000)).pattern == "uncertain"
        presses = along(6, 6, 6, 6, 1, pause=4000)
        del presses[9]
        assert read(presses) == Reading("groups", (6,), "", 4, 2)

    @pytest.mark.parametrize(("short", "pause"), [(1300, 3000), (1400, 2200)])
    def test_groups_whose_pauses_are_short_and_long_in_turn_may_be_half_a_code(self, short, pause):
        for groups in ([5, 5, 5], [5, 4, 5], [5, 5, 5, 5]):
            presses = along(*groups, short=short, pause=pause)
            assert read(presses, until=after(presses)).pattern in ("uncertain", "too-little")

    def test_pauses_that_differ_but_are_all_too_long_for_a_short_one_are_no_half_code(self):
        presses = along(5, 5, 5, short=2700, pause=4000)
        assert read(presses, until=after(presses, 6000)).counts == (5,)


class TestPairs:
    """Two flashes with a second between them, and the code 1-1 with a short pause in it."""

    def test_held_they_are_told_apart(self):
        assert read(along(*[2] * 5, lit=900, dark=1000, pause=4000)).counts == (2,)
        assert read(along(*[1] * 9, lit=400, pause=4000, short=1300)) == Reading(
            "two-groups", (1, 1), "", 4, 3
        )

    def test_tapped_they_are_not(self):
        assert read(along(*[2] * 5, lit=100, dark=1200, pause=4000)).pattern == "uncertain"
        assert read(along(*[2] * 5, lit=100, dark=700, pause=4000)).counts == (2,)


class TestEvenLights:
    def test_slow_and_even_is_a_heartbeat_once_it_outlasts_any_group(self):
        for count in range(4, 16):
            assert read(along(count, lit=600, dark=700)).pattern == "too-little"
        assert read(along(16, lit=600, dark=700)) == Reading("heartbeat")

    def test_a_heartbeat_with_one_tap_missed_is_one(self):
        presses = along(24, lit=600, dark=700)
        del presses[8]
        assert read(presses).pattern == "heartbeat"

    def test_an_even_light_with_many_gaps_is_no_heartbeat(self):
        presses = along(33, lit=600, dark=700)
        for missed in (22, 18, 14):
            del presses[missed]
        assert read(presses).pattern in ("uncertain", "too-little")

    def test_even_but_neither_slow_nor_rapid_is_nothing_that_we_know(self):
        assert read(along(30, lit=250, dark=250)).pattern == "uncertain"

    def test_faster_than_a_hand_can_follow_is_rapid(self):
        assert read(by_gaps([70] * 20, [110] * 19)) == Reading("rapid")

    def test_quick_bursts_are_not_rapid(self):
        assert read(by_gaps([70] * 20, ([110] * 4 + [2000]) * 3 + [110] * 4)).pattern == "uncertain"

    def test_single_flashes_far_apart_are_a_code_of_one(self):
        assert read(along(1, 1, 1, 1)) == Reading("groups", (1,), "", 4, 4)


class TestLongAndShort:
    def test_holding_tells_them_apart(self):
        turn = [1200, 1200, 300]
        holds, darks = turn * 4, ([400, 400, 3000] * 4)[:-1]
        assert read(by_gaps(holds, darks)) == Reading("long-short", (), "LLS", 3, 2)

    def test_all_long_or_all_short_is_a_plain_count(self):
        assert read(along(*[3] * 5, lit=1200)).counts == (3,)
        assert read(along(*[3] * 5, lit=300)).counts == (3,)

    def test_holds_that_are_neither_are_uncertain(self):
        holds = [900, 500, 900, 500] * 3
        assert read(by_gaps(holds, ([400, 400, 400, 3000] * 3)[:-1])).pattern == "uncertain"


DEMO_TIMINGS = {
    "three flashes, held": (
        [412, 455, 371, 498, 402, 430, 388, 441, 467],
        [366, 419, 2890, 402, 377, 3120, 455, 341],
        4100,
        Reading("groups", (3,), "", 3, 2),
    ),
    "two, then four, short taps": (
        [96, 88, 104, 91, 99, 110, 87, 93, 102, 95, 90, 98, 105, 92, 101, 89, 94, 97],
        [520, 1390, 488, 561, 507, 3610, 545, 1480, 530, 476, 552, 3390, 498, 1310, 515, 540, 533],
        5000,
        Reading("two-groups", (2, 4), "", 3, 2),
    ),
    "one long, two short": (
        [1310, 340, 290, 1190, 310, 355, 1402, 298, 322],
        [505, 460, 2700, 540, 430, 3050, 470, 515],
        4000,
        Reading("long-short", (), "LSS", 3, 2),
    ),
    "a tired hand": (
        [180, 240, 150, 310, 200, 420, 170, 260, 230],
        [700, 1500, 300, 4000, 2100, 900, 380, 1700],
        None,
        Reading("uncertain", (), "", 3, 0),
    ),
}
"""Demo timings in ms: invented, written down as a hand might have made them."""


@pytest.mark.parametrize("name", DEMO_TIMINGS)
def test_demo_timings_are_read(name):
    holds, darks, wait, wanted = DEMO_TIMINGS[name]
    presses = by_gaps(holds, darks)
    assert read(presses, until=wait and after(presses, wait)) == wanted


# ---- the bars ----

SEQUENCES = 20_000


def share(counted, what):
    return counted[what] / counted.total()


@pytest.fixture(scope="module")
def unsteady():
    """Figures at 15 % jitter."""
    return figures(many(1, SEQUENCES, jitter=0.15, missed=0))


def test_at_15_percent_jitter_one_in_a_thousand_is_wrong_at_the_most(unsteady):
    assert unsteady["all"].total() == SEQUENCES
    assert share(unsteady["all"], "wrong") <= 0.001
    for what, counted in unsteady.items():
        assert counted["wrong"] <= max(1, 0.001 * counted.total()), what


def test_at_15_percent_jitter_nineteen_in_twenty_are_certain(unsteady):
    assert share(unsteady["all"], "right") + share(unsteady["all"], "wrong") >= 0.95
    for (_, held), counted in (each for each in unsteady.items() if each[0] != "all"):
        assert share(counted, "right") >= (0.95 if held else 0.8)


@pytest.mark.parametrize(("jitter", "right"), [(0.0, 0.58), (0.15, 0.55)])
def test_at_5_percent_missed_taps_one_in_fifty_is_wrong_at_the_most(jitter, right):
    found = figures(many(2, SEQUENCES, jitter=jitter, missed=0.05))
    assert found["all"].total() == SEQUENCES
    assert share(found["all"], "right") >= right
    for what, counted in found.items():
        assert share(counted, "wrong") <= (0.005 if what == "all" else 0.01), what


def test_lights_that_are_hard_to_count_make_it_uncertain_and_not_wrong():
    hard = figures(many(3, 6_000, jitter=0.15, missed=0, clear=CLEAR / 2))["all"]
    assert share(hard, "wrong") <= 0.005
    assert share(hard, "uncertain") > 0.03


@pytest.mark.parametrize(("missed", "wrong"), [(0, 0.002), (0.05, 0.015)])
def test_asking_after_every_tap_until_there_is_an_answer_is_nearly_as_sound(missed, wrong):
    asked = many(4, 1_000, jitter=0.15, missed=missed, rounds=5)
    answers = [verdict(each, first_answer(each)) for each in asked]
    assert answers.count("wrong") <= wrong * len(asked)
    assert answers.count("right") >= (0.75 if missed else 0.95) * len(asked)


def test_the_drawn_sequences_hold_every_pattern_and_both_ways_to_tap():
    drawn = many(1, 1000, jitter=0.15, missed=0.05)
    assert {each.pattern for each in drawn} == {
        "groups", "two-groups", "long-short", "rapid", "heartbeat",
    }  # fmt: skip
    assert {(each.pattern == LETTERS, each.held) for each in drawn} == {
        (True, True), (False, True), (False, False),
    }  # fmt: skip
    assert drawn == many(1, 1000, jitter=0.15, missed=0.05)
