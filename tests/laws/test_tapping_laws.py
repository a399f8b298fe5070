"""What taps say about a light: laws that hold for any presses, lights and hands."""

from random import Random

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stepstop.tapping import MOST, ROUNDS, SAME, read
from unit.taps import GROUPS, LETTERS, MIX, TWO, draw

law = settings(max_examples=200, deadline=None, derandomize=True)

PATTERNS = {"groups", "two-groups", "long-short", "rapid", "heartbeat", "uncertain", "too-little"}
CODES = {"groups", "two-groups", "long-short"}

times = st.integers(0, 5000) | st.floats(0, 5000)
seeds = st.integers(0, 2**32)


@st.composite
def presses(draw):
    """Draw any presses in order, in ms."""
    now, found = draw(st.floats(-1e6, 1e6)), []
    for hold, dark in draw(st.lists(st.tuples(times, times), max_size=40)):
        found.append((now, now + hold))
        now += hold + dark
    return found


def wobbly(seed, *groups, lit=400, dark=400, pause=3000):
    """Whole milliseconds of a hand that follows groups of flashes with 15 % jitter."""
    rng = Random(seed)
    now, found = 0, []
    for count in groups:
        for number in range(count):
            hold = round(lit * rng.gauss(1, 0.15))
            found.append((now, now + hold))
            now += hold + round((dark if number < count - 1 else pause) * rng.gauss(1, 0.15))
    return found


@law
@given(presses(), st.none() | st.floats(0, 1e4))
def test_any_presses_are_read_and_a_count_rests_on_rounds_that_agree(taps, wait):
    until = None if wait is None or not taps else taps[-1][1] + wait
    said = read(taps, until=until)
    assert said.pattern in PATTERNS
    assert (said.pattern in CODES) == bool(said.counts or said.letters)
    assert len(said.counts) == {"groups": 1, "two-groups": 2}.get(said.pattern, 0)
    assert all(1 <= count <= MOST for count in said.counts)
    assert {*said.letters} == ({"L", "S"} if said.pattern == "long-short" else set())
    if said.pattern in CODES:
        assert said.rounds >= ROUNDS
        assert said.rounds >= said.agree >= SAME


@law
@given(seeds, st.permutations(range(2, 10)), st.integers(3, 6))
def test_no_count_is_said_where_no_two_rounds_agree(seed, counts, rounds):
    taps = wobbly(seed, *counts[:rounds])
    said = read(taps, until=taps[-1][1] + 5000)
    assert said.pattern in ("uncertain", "too-little")


@law
@given(seeds, st.sampled_from(MIX), st.sampled_from([0.0, 0.05]), st.integers(-(10**9), 10**9))
def test_the_zero_point_of_the_clock_is_free(seed, pattern, missed, shift):
    drawn = draw(Random(seed), pattern, jitter=0.15, missed=missed)
    whole = [(round(start), round(end)) for start, end in drawn.presses]
    later = [(start + shift, end + shift) for start, end in whole]
    assert read(whole) == read(later)


@law
@given(seeds, st.integers(3, 9), st.sampled_from([1.25, 1.5, 2.0, 2.5]))
def test_groups_read_alike_at_any_pace_that_a_hand_can_follow(seed, count, times_as_slow):
    taps = wobbly(seed, 2, *[count] * 3, 1, lit=300, dark=300, pause=2400)
    slower = [(start * times_as_slow, end * times_as_slow) for start, end in taps]
    assert read(slower) == read(taps)


@law
@given(seeds, st.sampled_from([GROUPS, TWO, LETTERS]), st.data())
def test_one_missed_tap_never_makes_another_code(seed, pattern, data):
    drawn = draw(Random(seed), pattern, jitter=0.05, missed=0)
    code = drawn.code
    said = read(drawn.presses, until=drawn.until)
    assume((said.letters or said.counts) == code)
    missed = data.draw(st.integers(0, len(drawn.presses) - 1))
    fewer = drawn.presses[:missed] + drawn.presses[missed + 1 :]
    again = read(fewer, until=drawn.until)
    assert (again.letters or again.counts) in (code, ())
    assert again.pattern in (pattern, "uncertain", "too-little")


@law
@given(seeds, st.integers(1, 9))
def test_more_rounds_alike_leave_the_answer(seed, count):
    taps = wobbly(seed, *[count] * 8, lit=300, dark=300, pause=3000)
    said = read(taps)
    assume(said.pattern == "groups")
    assert said.counts == (count,)
    assert said.agree >= SAME
