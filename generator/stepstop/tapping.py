"""What a homeowner's taps say about a blinking light: how many flashes stand in a group.

`read` takes presses made along with the light (down while it is lit, or short taps) and names the
pattern and its count, or says that it can't. The browser has the same in `tapping.js`; a test
holds that both give the same for the same presses. Nothing but + - * / and comparisons is done
to times, in the same order in both, so that they agree to the last bit.

The method, from times to a code:

1. **Levels.** Hands spread in proportion to the time they wait, so the border between two kinds of
   dark is where both means are equally many standard deviations away: at their harmonic mean.
   Means and borders are found in turn until they stand still (Lloyd's algorithm, in one
   dimension). Kinds that are not clearly apart are merged. There are one to three: between the
   flashes of a group, between two groups of a code, and after the code.
2. **Rounds.** The taps between two long pauses are written as a word: `xxx`, `xx-xxxx`, `LLS`. Long
   and short are told apart by holding, in the same way as the levels.
3. **Ends.** Tapping may begin and end inside a group. The last round counts only if the dark after
   it was watched long enough (`until`); the first only if it is the same as the whole ones.
4. **Agreement.** At least three rounds are seen and two whole ones are the same word. All others
   must be explained by that word with what people do: ends cut off, one tap missed at the edge of a
   group, or taps missed inside one. The last leave a dark that is about twice as long, and the
   light between; what stands on both sides of it must fit into the word with the tap put back.
   Missed taps only make rounds shorter, so a round that is longer than the word is never
   explained. Else the answer is `uncertain`, and so it is if more rounds differ than agree.
5. **Place.** If one place in the round is longer than the others on average over the rounds, a
   short pause may hide in it. If the pauses are long and short in turn, a code of two groups may be
   half seen. Then it is `uncertain`, unless the word says just that.
6. **Even lights.** One level without any such place, in many taps, is a heartbeat if it is slow
   and a code of single flashes if it is slower; taps as fast as a hand goes are rapid.

The times below are common practice, without a source. Groups: light 0.25 to 1 s, dark about the
same, pause 1.5 to 5 s; pause inside a code of two groups 1 to 1.5 s; long light 1 to 1.5 s, short
0.25 to 0.4 s; heartbeat every 1 to 2 s; a code of one flash pauses at least 2 s.

Not told apart, and so `uncertain`: two slow flashes and the code 1-1, unless they are held. A
light with long and short flashes has to be held; short taps at it lose what is long.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf, isfinite
from typing import Literal

Pattern = Literal[
    "groups", "two-groups", "long-short", "rapid", "heartbeat", "uncertain", "too-little"
]
Presses = Sequence[tuple[float, float]]
"""Start and end of each press in milliseconds, in order; any zero point."""

MOST = 10
"""Flashes in one group, or letters in one word; more is no code."""
ROUNDS, SAME = 3, 2
"""Rounds that must be seen; whole ones of them that must be the same."""

FEWEST, FEWEST_FAST, FEWEST_EVEN = 4, 8, 16
"""Taps before anything is said; before rapid; before a heartbeat, which must outlast any group."""

FAST, FAST_PAUSE, COUNTABLE = 320.0, 1250.0, 380.0
"""Tap to tap in ms: most are shorter in a rapid light; none is longer; least of a count."""
BEAT = (800.0, 2150.0)
"""Least and most mean from tap to tap of a heartbeat, in ms."""
SINGLE, SINGLE_DARK = 2500.0, 1500.0
"""Mean from tap to tap, and of the dark, in ms, from which no two taps stand in one group."""

SHORT_LIGHT, LONG_LIGHT = 325.0, 1250.0
"""Where the search for short and long holds begins, in ms."""
SHORT_MOST, LONG_LEAST, LONG_TIMES = 550.0, 700.0, 2.0
"""Mean of short holds in ms at the most, of long ones at least, and how many times as long."""
HELD = 200.0
"""Mean hold in ms from which the taps are no short taps."""

APART, GROUPS_APART = 1.6, 1.65
"""Times as long that one kind of dark is as the next shorter; as that inside a group."""
RARE = 5
"""The dark inside groups is at least one in so many; fewer are slips of the hand."""
UNEVEN_HOLDS, UNEVEN_BEATS, UNEVEN_PAUSES = 0.22, 0.22, 0.3
"""Standard deviation by mean from which holds, beats, and pauses are not of one kind."""
LONGER = 0.6
"""A place is longer than others by so much of their mean, divided by the root of the number of
rounds: four standard deviations of a hand that errs by 15 %."""
TURNED = 1.45
"""Times as long that each pause is as its neighbours, if long and short ones come in turn."""
SHORT_PAUSE, LIT = 2000.0, 0.6
"""Most ms that a pause inside a code lasts, jitter included; with short taps the light before it
adds so much of the dark inside a group."""
MISSED = (0.65, 1.4)
"""A dark is that of a missed tap from so many times to so many times what it should be."""

PAIR_APART = 1.9
"""Times as long that the pause is as the dark inside a group of two: with so few taps in a group,
an even light that is tapped unsteadily soon looks like pairs."""
SLOW_PAIR, SLOW_PAIR_TAP = 1.4, 1050.0
"""Two flashes are no code 1-1 up to a dark of so many holds, or so many ms from tap to tap."""
ONE_ONE, ONE_ONE_LEAST = 1.8, 900.0
"""The code 1-1, held, has a dark of so many holds, and of so many ms at least."""

TURNS = 30
"""Turns of Lloyd's algorithm at the most; it stands still long before, but for odd ties."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What the taps say."""

    pattern: Pattern
    counts: tuple[int, ...] = ()
    """Flashes in each group: one for `groups`, two for `two-groups`, else none."""
    letters: str = ""
    """L and S in order for `long-short`, else empty."""
    rounds: int = 0
    """Rounds that were seen; 0 where the light has none, or where none was told apart."""
    agree: int = 0
    """Whole rounds that are the same as what is said."""


@dataclass(frozen=True, slots=True)
class _Taps:
    """Times of the taps, in ms."""

    holds: list[float]
    darks: list[float]
    """Between two presses: one fewer."""
    short: float
    """Mean of the holds; of the short ones where there are long ones."""
    long: float
    border: float
    """Between short and long holds; 0 where there is one kind."""


@dataclass(slots=True)
class _Round:
    """Taps from one pause to the next."""

    word: str
    darks: list[float]
    """Those inside it, in ms."""
    joins: bool = False
    """Whether the pause after it is as long as the dark that a missed tap would leave."""


def read(presses: Presses, *, until: float | None = None) -> Reading:
    """Return what the presses say; `until` is the time in ms up to which the light was watched.

    Raises ValueError for times that are not finite, for a press that ends before it starts or
    starts before the last one ends, and for `until` before the end of the presses.
    """
    _check(presses, until)
    if len(presses) < FEWEST:
        return Reading("too-little")
    holds = [end - start for start, end in presses]
    darks = [after[0] - before[1] for before, after in pairwise(presses)]
    steps = [hold + dark for hold, dark in zip(holds, darks, strict=False)]
    if sorted(steps)[len(steps) // 2] < FAST:
        return _rapid(steps)
    taps = _taps(holds, darks)
    return _light(taps, None if until is None else until - presses[-1][1])


def _check(presses: Presses, until: float | None) -> None:
    before = -inf
    for number, (start, end) in enumerate(presses, 1):
        if not (isfinite(start) and isfinite(end)):
            raise ValueError(f"press {number} has a time that is not a finite number")
        if end < start:
            raise ValueError(f"press {number} ends before it starts")
        if start < before:
            raise ValueError(f"press {number} starts before press {number - 1} ends")
        before = end
    if until is not None and not (isfinite(until) and until >= before):
        raise ValueError("`until` lies before the end of the presses, or is not finite")


# ---- arithmetic ----


def _mean(values: Sequence[float]) -> float:
    # Not `sum`, whose rounding is better than that of a loop, and so another than the browser's.
    total = 0.0
    for value in values:
        total += value
    return total / len(values)


def _border(low: float, high: float) -> float:
    return 2 * low * high / (low + high) if low + high > 0 else 0.0


def _is_uneven(values: Sequence[float], most: float) -> bool:
    mean = _mean(values)
    variance = _mean([(value - mean) * (value - mean) for value in values])
    return variance > most * mean * (most * mean)


def _has_longer(rows: Sequence[Sequence[float]], places: Sequence[int]) -> bool:
    """Whether one of the places is longer than the others, on average over the rows."""
    means = [_mean([row[place] for row in rows]) for place in places]
    for number, mean in enumerate(means):
        others = means[:number] + means[number + 1 :]
        if not others:
            return False
        rest = _mean(others)
        weight = len(rows) * len(others) / len(means)
        if mean > rest and (mean - rest) * (mean - rest) * weight > LONGER * rest * (LONGER * rest):
            return True
    return False


# ---- levels ----


def _settled(ordered: Sequence[float], means: list[float]) -> list[float]:
    for _ in range(TURNS):
        borders = [_border(low, high) for low, high in pairwise(means)]
        parts: list[list[float]] = [[] for _ in means]
        for value in ordered:
            parts[sum(value > border for border in borders)].append(value)
        before, means = means, [_mean(part) for part in parts if part]
        if means == before:
            break
    return means


def _apart(ordered: Sequence[float], start: list[float], least: float) -> list[float]:
    """Means of the levels of sorted values, from a first guess; those not apart are merged.

    `least` is for the lowest two.
    """
    means = _settled(ordered, start)
    for i, (low, high) in enumerate(pairwise(means)):
        if high < (APART if i else least) * low:
            return _apart(ordered, [*means[:i], (low + high) / 2, *means[i + 2 :]], APART)
    return means


def _levels(ordered: Sequence[float]) -> list[float]:
    """Means of the one, two or three kinds of dark."""
    # Not from the very least, which may be a slip.
    two = _apart(ordered, [ordered[len(ordered) // 6], ordered[-1]], APART)
    if len(two) == 1:
        return two
    upper = [dark for dark in ordered if dark > _border(two[0], two[1])]
    if RARE * (len(ordered) - len(upper)) < len(ordered):
        return [_mean(ordered)]
    high = _apart(upper, [upper[0], upper[-1]], APART)
    return two if len(high) == 1 else _apart(ordered, [two[0], *high], GROUPS_APART)


def _taps(holds: list[float], darks: list[float]) -> _Taps:
    means = _apart(sorted(holds), [SHORT_LIGHT, LONG_LIGHT], APART)
    if len(means) == 2 and means[1] >= LONG_LEAST and _is_uneven(holds, UNEVEN_HOLDS):
        return _Taps(holds, darks, means[0], means[1], _border(means[0], means[1]))
    mean = _mean(holds)
    return _Taps(holds, darks, mean, mean, 0.0)


# ---- even lights ----


def _rapid(steps: list[float]) -> Reading:
    if len(steps) + 1 < FEWEST_FAST:
        return Reading("too-little")
    return Reading("rapid" if max(steps) <= FAST_PAUSE else "uncertain")


def _light(taps: _Taps, silence: float | None) -> Reading:
    """What a light says that is slow enough for a hand; `silence` is the dark after it, in ms."""
    if taps.border and (taps.short > SHORT_MOST or taps.long < LONG_TIMES * taps.short):
        return Reading("uncertain")
    levels = _levels(sorted(taps.darks))
    step = levels[0] + _mean(taps.holds)
    if not taps.border and step >= SINGLE and levels[0] >= SINGLE_DARK:
        return _singles(taps, levels)
    if len(levels) == 1 and len(taps.holds) < FEWEST_EVEN:
        return Reading("too-little")
    if len(levels) == 1 or _is_beat(taps, levels):
        is_slow = not taps.border and BEAT[0] <= step <= BEAT[1]
        return Reading("heartbeat" if is_slow and _is_even(_low(taps, levels)) else "uncertain")
    return _code(taps, levels, silence) if step >= COUNTABLE else Reading("uncertain")


def _low(taps: _Taps, levels: list[float]) -> list[float]:
    """The darks of the lowest level."""
    border = _border(levels[0], levels[1]) if len(levels) > 1 else inf
    return [dark for dark in taps.darks if dark <= border]


def _is_missed(taps: _Taps, low: float, dark: float) -> bool:
    """Whether a missed tap would leave such a dark where that between flashes is `low`."""
    least, most = 2 * low + taps.short, 2 * low + taps.long
    return MISSED[0] * least <= dark <= MISSED[1] * most


def _is_even(darks: list[float]) -> bool:
    """Whether they are of one kind, with no place that is longer in rounds of any size."""
    return not _is_uneven(darks, UNEVEN_BEATS) and not any(
        len(rows) > 1 and _has_longer(rows, range(size))
        for size in range(2, MOST + 1)
        for rows in [_rows(darks, size)]
    )


def _rows(values: list[float], size: int) -> list[list[float]]:
    """The values in rows of this size, without the rest."""
    return [values[i : i + size] for i in range(0, len(values) - size + 1, size)]


def _is_beat(taps: _Taps, levels: list[float]) -> bool:
    """Whether it is an even light with a few missed taps: one row is longer than any group."""
    border = _border(levels[0], levels[1])
    rows = [1]
    for dark in taps.darks:
        if dark <= border:
            rows[-1] += 1
        elif _is_missed(taps, levels[0], dark):
            rows.append(1)
        else:
            return False
    return max(rows) > MOST + 1 and FEWEST_EVEN * (len(rows) - 1) <= len(taps.holds)


def _singles(taps: _Taps, levels: list[float]) -> Reading:
    """A code of single flashes: every dark is a pause, or a pause with a flash missed."""
    rounds = len(taps.holds)
    low = _low(taps, levels)
    odd = len(taps.darks) - len(low)
    missed = sum(_is_missed(taps, levels[0], dark) for dark in taps.darks)
    if odd <= missed and FEWEST * odd <= len(taps.darks) and _is_even(low):
        return Reading("groups", (1,), "", rounds, rounds - odd)
    return Reading("uncertain", rounds=rounds)


# ---- codes ----


def _code(taps: _Taps, levels: list[float], silence: float | None) -> Reading:
    """The code that the rounds agree on, whichever of the likely borders is taken."""
    seen = 0
    found: list[tuple[str, int, int]] = []
    for group, pause in _borders(taps, levels):
        rounds = _rounds(taps, levels[0], group, pause)
        more, count = _agreed(rounds, is_open=silence is None or silence <= pause)
        found += more
        seen = max(seen, count)
    if len({word for word, _, _ in found}) != 1:
        return Reading("uncertain" if seen >= ROUNDS else "too-little", rounds=seen)
    word, count, agree = max(found, key=lambda each: each[2])
    if count < ROUNDS:
        return Reading("too-little", rounds=count, agree=agree)
    return _named(word, count, agree, taps, levels)


def _borders(taps: _Taps, levels: list[float]) -> list[tuple[float, float]]:
    """Borders in ms between dark inside a group, short pause, and pause after the code.

    Three levels are a code of two groups or taps missed inside a group; or else pauses that just
    vary, if they vary little and not in turn.
    """
    border = _border(levels[0], levels[1])
    found = [(border, _border(levels[1], levels[2]))] if len(levels) > 2 else []
    pauses = [dark for dark in taps.darks if dark > border]
    most = SHORT_PAUSE + (0.0 if taps.short >= HELD else LIT * levels[0])
    is_turned = not taps.border and _is_turned(pauses, most)
    if not (is_turned or _is_uneven(pauses, UNEVEN_PAUSES)):
        border = _border(levels[0], _mean(pauses))
        found.append((border, border))
    return found


def _is_turned(pauses: list[float], most: float) -> bool:
    """Whether they may be long and short in turn, as those of a code of two groups are.

    `most` is what a short one may last, in ms.
    """
    pairs = _rows(pauses, 2)
    if len(pairs) > 1 and _has_longer(pairs, (0, 1)):
        return True
    ups = [before < after for before, after in pairwise(pauses)]
    return (
        len(pauses) > 1
        and min(pauses) < most
        and all(TURNED * min(pair) <= max(pair) for pair in pairwise(pauses))
        and all(before != after for before, after in pairwise(ups))
    )


def _rounds(taps: _Taps, low: float, group: float, pause: float) -> list[_Round]:
    rounds = []
    now = _Round("", [])
    for hold, dark in zip(taps.holds, [*taps.darks, 0.0], strict=True):
        now.word += ("L" if hold > taps.border else "S") if taps.border else "x"
        if dark > pause:
            now.joins = _is_missed(taps, low, dark)
            rounds.append(now)
            now = _Round("", [])
        else:
            now.darks.append(dark)
            now.word += "-" * (dark > group)
    return [*rounds, now]


def _agreed(rounds: list[_Round], *, is_open: bool) -> tuple[list[tuple[str, int, int]], int]:
    """Words that explain all rounds, each with rounds seen and agreeing; rounds seen at all.

    The last round is whole unless it `is_open`.
    """
    whole = rounds[1:-1] if is_open else rounds[1:]
    found = []
    seen = len(whole)
    for word in sorted({each.word for each in whole}):
        agree = sum(each.word == word for each in whole)
        count = len(whole) + (rounds[0].word == word)
        seen = max(seen, count)
        in_doubt = len(whole) - agree
        if agree >= max(SAME, in_doubt) and _explains(word, rounds, is_open):
            found.append((word, count, agree))
    return found, seen


def _explains(word: str, rounds: list[_Round], is_open: bool) -> bool:
    """Whether the word, with taps missed and ends cut off, explains every round."""
    if word == "x" or word.count("-") > 1:
        return False
    spans = _spans(word, rounds)
    versions = _versions(word)
    for number, span in enumerate(spans):
        part = span[0].word
        fits = part in versions
        if number == 0:
            fits = any(each.endswith(part) for each in versions)
        elif number == len(spans) - 1 and is_open:
            fits = any(each.startswith(part) for each in versions)
        more = part.count("-") > word.count("-")
        if not (len(span) > 1 or fits or (more and _length(word, span) <= _size(word))):
            return False
    size = _size(word)
    short = word.find("-") - 1
    rows = [each.darks for each in rounds if _size(each.word) == size]
    return not _has_longer(rows, [i for i in range(size - 1) if i != short])


def _size(word: str) -> int:
    """Taps in it."""
    return len(word) - word.count("-")


def _length(word: str, span: list[_Round]) -> int:
    """Taps in it, and those missed in it: one at each joint and dash that the word hasn't."""
    dashes = [max(0, each.word.count("-") - word.count("-")) for each in span]
    return sum(map(_size, (each.word for each in span))) + len(span) - 1 + sum(dashes)


def _spans(word: str, rounds: list[_Round]) -> list[list[_Round]]:
    """The rounds, those joined that may be one round of the word with a tap missed inside it."""
    spans: list[list[_Round]] = []
    for each in rounds:
        joins = spans and spans[-1][-1].joins
        if joins and _length(word, [*spans[-1], each]) <= _size(word):
            spans[-1].append(each)
        else:
            spans.append([each])
    return spans


def _versions(word: str) -> list[str]:
    """The word, and the word without one tap."""
    taps = [i for i, each in enumerate(word) if each != "-"]
    return [word, *((word[:i] + word[i + 1 :]).strip("-") for i in taps)]


def _named(word: str, count: int, agree: int, taps: _Taps, levels: list[float]) -> Reading:
    counts = tuple(len(part) for part in word.split("-"))
    if max(counts) > MOST or (taps.border and ("-" in word or len({*word}) == 1)):
        return Reading("uncertain", rounds=count, agree=agree)
    if taps.border:
        return Reading("long-short", (), word, count, agree)
    if counts == (2,):
        return _pair(count, agree, taps.short, levels)
    return Reading("groups" if len(counts) == 1 else "two-groups", counts, "", count, agree)


def _pair(count: int, agree: int, hold: float, levels: list[float]) -> Reading:
    """Two flashes a round: one group of two, or the code 1-1, whose pause is no longer."""
    low, pause = levels[:2]
    is_held = hold >= HELD
    if pause < PAIR_APART * low:
        return Reading("uncertain", rounds=count, agree=agree)
    if is_held and low >= ONE_ONE * hold and low > ONE_ONE_LEAST:
        return Reading("two-groups", (1, 1), "", count, agree)
    if low + hold <= SLOW_PAIR_TAP or (is_held and low <= SLOW_PAIR * hold):
        return Reading("groups", (2,), "", count, agree)
    return Reading("uncertain", rounds=count, agree=agree)
