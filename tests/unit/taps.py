"""Lights that blink as boards do, and hands that tap along with them, drawn from a seed.

The ranges are those that the module under test states: common practice, without a source.
"""

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from random import Random

from stepstop.tapping import read

GROUPS, TWO, LETTERS = "groups", "two-groups", "long-short"
RAPID, BEAT = "rapid", "heartbeat"
MIX = (GROUPS, TWO, LETTERS, GROUPS, TWO, LETTERS, GROUPS, TWO, RAPID, BEAT)
"""Eight in ten are codes; even lights have no count that could be wrong by one."""
SHORT_TAP = 110
"""Mean hold of a short tap, in ms."""
HELD = 2 / 3
"""The page asks to hold; one in three just taps. Long and short flashes are always held."""
CLEAR = 2.5
"""Neighbouring kinds of dark differ by this factor, as tapped: what most people can count."""


@dataclass(frozen=True)
class Sequence:
    """What was tapped, and at what."""

    pattern: str
    code: object
    """Counts, or letters."""
    held: bool
    """Whether the hand followed the light; else short taps."""
    presses: list[tuple[float, float]]
    until: float | None


def code_of(rng, pattern):
    if pattern == GROUPS:
        return (rng.randint(1, 9),)
    if pattern == TWO:
        return (rng.randint(1, 6), rng.randint(1, 6))
    if pattern != LETTERS:
        return ()
    if rng.random() < 0.5:
        return "L" * rng.randint(1, 5) + "S" * rng.randint(1, 5)
    word = "".join(rng.choice("LS") for _ in range(rng.randint(2, 6)))
    return word if len({*word}) == 2 else code_of(rng, pattern)


def light(rng, pattern, code):
    """One turn of a light: (lit, dark after it) in ms; dark inside a group, and the pauses."""
    if pattern == RAPID:
        step = rng.uniform(125, 250)
        return [(0.4 * step, 0.6 * step)], ()
    if pattern == BEAT:
        step, share = rng.uniform(1000, 2000), rng.uniform(0.4, 0.6)
        return [(share * step, (1 - share) * step)], ()
    if pattern == LETTERS:
        lit = {"L": rng.uniform(1000, 1500), "S": rng.uniform(250, 400)}
        dark, pause = rng.uniform(250, 1000), rng.uniform(1500, 5000)
        darks = [dark] * (len(code) - 1) + [pause]
        return list(zip(map(lit.get, code), darks, strict=True)), (dark, pause)
    lit = rng.uniform(250, 1000 if pattern == GROUPS else 500)
    dark = min(max(lit * rng.uniform(0.8, 1.25), 250), 1000)
    pauses = [rng.uniform(2000 if code == (1,) else 1500, 5000)]
    if pattern == TWO:
        pauses = [rng.uniform(1000, 1500), rng.uniform(2500, 5000)]
    darks = [d for n, pause in zip(code, pauses, strict=True) for d in [dark] * (n - 1) + [pause]]
    return [(lit, d) for d in darks], (dark, *pauses)


def is_clear(kinds, more, clear):
    """Whether each kind of dark, each `more` long as tapped, is so many times the one before."""
    return all(b + more >= clear * (a + more) for a, b in pairwise(kinds))


def draw(rng, pattern, *, jitter, missed, clear=CLEAR, rounds=3):
    """A hand at a light: three whole rounds, as a rule after a cut one, and watched to the end or
    left in the next; or enough of an even light.

    Each lit and dark time is multiplied by a normal of mean 1 (`jitter` its standard deviation);
    each press is `missed` with that chance.
    """
    code = code_of(rng, pattern)
    held = pattern == LETTERS or rng.random() < HELD
    while True:
        turn, kinds = light(rng, pattern, code)
        if is_clear(kinds, 0 if held else turn[0][0] - SHORT_TAP, clear):
            break
    flashes, watched = turns(rng, pattern, turn, rounds)
    presses, end = tapped(rng, flashes, held, jitter)
    kept = [press for press in presses if rng.random() >= missed]
    until = end + rng.uniform(500, 2000) if watched else None
    return Sequence(pattern, code, held, kept, until)


def turns(rng, pattern, turn, rounds):
    """All flashes that are tapped, and whether the dark after the last was watched."""
    if pattern in (RAPID, BEAT):
        return turn * rng.randint(16, 28), False
    begun = rng.randint(0, len(turn) - 1) * (rng.random() < 0.5)
    flashes = turn[len(turn) - begun :] + turn * (rounds + (len(turn) == 1))
    if rng.random() < 0.5:
        return flashes, True
    return flashes + turn[: rng.randint(1, len(turn))], False


def tapped(rng, flashes, held, jitter):
    """(start, end) of every press, and where the last dark ends, in ms."""

    def err():
        return max(0.05, rng.gauss(1, jitter)) if jitter else 1.0

    now, presses = 0.0, []
    for lit, dark in flashes:
        hold = lit * err() if held else 0.0
        step = hold + dark * err() if held else (lit + dark) * err()
        hold = hold if held else min(SHORT_TAP * err(), 0.8 * step)
        presses.append((now, now + hold))
        now += step
    return presses, now


def many(seed, count, **kind):
    """So many sequences of all patterns."""
    rng = Random(seed)
    return [draw(rng, MIX[number % len(MIX)], **kind) for number in range(count)]


def verdict(sequence, reading):
    """`right`, `wrong`, or what the reading says instead of a count."""
    if reading.pattern in ("uncertain", "too-little"):
        return reading.pattern
    said = (reading.pattern, reading.letters or reading.counts)
    return "right" if said == (sequence.pattern, sequence.code) else "wrong"


def figures(sequences):
    """(pattern, held) -> Counter of verdicts; and under "all"."""
    found = {"all": Counter()}
    for each in sequences:
        what = verdict(each, read(each.presses, until=each.until))
        found.setdefault((each.pattern, each.held), Counter())[what] += 1
        found["all"][what] += 1
    return found


def first_answer(sequence):
    """What a page says that asks after every tap and through every dark, and stops at an answer."""
    presses = sequence.presses
    for taps, (_, end) in enumerate(presses, 1):
        after = presses[taps][0] if taps < len(presses) else sequence.until or end
        for until in (None, end + (after - end) / 2, after):
            reading = read(presses[:taps], until=until)
            if reading.pattern not in ("uncertain", "too-little"):
                return reading
    return reading
