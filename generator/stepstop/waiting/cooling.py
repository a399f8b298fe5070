"""How a house without heat cools down: Newton's law, with the time constants of real houses.

T(t) = To + (T0 - To) exp(-t / tau): what is lost is proportional to the difference to outdoors, and
nothing is gained (no sun, no people, no stove). Real houses gain a little, so this is the careful
side; wind and open doors are not. `reckoning.js` does the same in a page and is held to this.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, exp, inf, log, pi, sqrt

MEASURED = (15.0, 55.0)
"""Hours: between these most of more than 10,000 North American homes had their time constant.

C. John, C. Vallianos, J. Candanedo, A. Athienitis, "Estimating time constants for over 10,000
residential buildings in North America", IBPC 2018; figures of the abstract, secondary copy. They
are of winter: in summer windows stand open.
"""
SLOWEST = 200.0
"""Hours, of a heavy and very well insulated house; nothing slower is believed (secondary copy)."""

CAPACITY = {
    "very-light": 80_000.0,
    "light": 110_000.0,
    "medium": 165_000.0,
    "heavy": 260_000.0,
    "very-heavy": 370_000.0,
}
"""Effective heat capacity in J/K for each m2 of floor; ISO 13790:2008 Table 12, secondary copy.

The standard was replaced by ISO 52016-1 in 2017 (from memory).
"""
ENVELOPE = {"good": (0.30, 0.3), "usual": (0.45, 0.5), "poor": (0.70, 1.0)}
"""Insulation -> mean U in W/(m2 K), and air changes an hour: common practice, no source."""
STORY = 2.5
"""Height of a story in m."""
AIR = 0.33
"""Heat that a m3 of air holds, in Wh/(m3 K): 1200 J/(m3 K), as ISO 13790 takes it."""
DOUBT = 1.5
"""By so much a reckoned time constant is taken to be too large or too small: judgement."""

LEAST_DROP = 4.0
"""°F by which a room must cool before two readings tell anything, or else `LEAST_HOURS`."""
LEAST_HOURS = 3.0
STEP = 0.25
"""Hours for which the outdoor temperature of a night is taken to stay as it is."""


@dataclass(frozen=True, slots=True)
class Span:
    """From the least to the most."""

    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Outdoors:
    """The outdoor temperature: as it is now, and as low as it gets.

    Without `hours` it stays as it is. Otherwise it falls along half a wave of a cosine to `low` in
    so many hours, and stays there: a morning that warms again is not counted on.
    """

    now: float
    low: float = 0.0
    hours: float = 0.0

    def at(self, time: float) -> float:
        """°F after so many hours."""
        if self.hours <= 0.0 or self.low >= self.now:
            return self.now
        share = min(1.0, max(0.0, time) / self.hours)
        return self.low + (self.now - self.low) * (1.0 + cos(pi * share)) / 2.0


def indoors(time: float, start: float, outdoors: Outdoors, constant: float) -> float:
    """°F in a house after `time` hours that begins at `start`, with a time constant in hours.

    Within each `STEP` the outdoor temperature is that of the step's middle, and the law is exact.
    """
    here, passed = start, 0.0
    while passed < time:
        step = min(STEP, time - passed)
        out = outdoors.at(passed + step / 2.0)
        here = out + (here - out) * exp(-step / constant)
        passed += step
    return here


def hours_until(line: float, start: float, outdoors: Outdoors, constant: float) -> float:
    """Hours until the house is at `line`: 0 if it is there already, infinite if it never is."""
    if start <= line:
        return 0.0
    here, passed = start, 0.0
    while outdoors.hours > passed:
        out = outdoors.at(passed + STEP / 2.0)
        after = out + (here - out) * exp(-STEP / constant)
        if after <= line:
            return passed + constant * log((here - out) / (line - out))
        here, passed = after, passed + STEP
    out = outdoors.at(passed)
    if line <= out or here <= out:
        return inf
    return passed + constant * log((here - out) / (line - out))


def span_until(line: float, start: float, outdoors: Outdoors, constants: Span) -> Span:
    """The same for houses between two time constants."""
    return Span(
        hours_until(line, start, outdoors, constants.least),
        hours_until(line, start, outdoors, constants.most),
    )


# ---- the time constant ----


def reckoned(build: str, insulation: str, area: float, stories: int) -> float:
    """Time constant in hours of a house, one of `CAPACITY` and of `ENVELOPE`.

    `area` is all floor in m2. The envelope is that of a box on a square: roof, ground and walls.
    tau = Cm / H, as ISO 13790 12.2.1.3 has it (clause from memory).
    """
    u, changes = ENVELOPE[insulation]
    ground = area / stories
    envelope = 2.0 * ground + 4.0 * sqrt(ground) * STORY * stories
    loss = u * envelope + AIR * changes * area * STORY
    return time_constant(CAPACITY[build], area, loss)


def time_constant(capacity: float, area: float, loss: float) -> float:
    """Hours, of a capacity in J/(K m2), a floor in m2 and a loss in W/K."""
    return capacity * area / (3600.0 * loss)


def around(constant: float) -> Span:
    """The span that a reckoned time constant stands for."""
    return Span(constant / DOUBT, constant * DOUBT)


class TooLittle(Exception):
    """Two readings tell nothing yet."""


def measured(first: float, second: float, hours: float, out: float, display: float = 1.0) -> Span:
    """The time constants that fit two readings of a room without heat.

    A display that shows whole steps of `display` °F leaves half a step of doubt about each. Raises
    `TooLittle` for a drop below `LEAST_DROP` in less than `LEAST_HOURS`, for a room that did not
    cool, and where it is no warmer than outdoors.
    """
    half = display / 2.0
    drop = first - second
    if hours <= 0.0 or (drop < LEAST_DROP and hours < LEAST_HOURS):
        raise TooLittle("wait")
    if second - half <= out:
        raise TooLittle("outdoors")
    if drop <= 0.0:
        raise TooLittle("no-drop")
    least = hours / log((first + half - out) / (second - half - out))
    most = SLOWEST
    if drop > display:
        most = hours / log((first - half - out) / (second + half - out))
    return Span(min(least, SLOWEST), min(most, SLOWEST))


def table(
    lines: Sequence[float], start: float, outside: Sequence[float], constants: Span
) -> list[list[Span]]:
    """For each outdoor temperature that stays, and each line: hours until the house is there."""
    return [
        [span_until(line, start, Outdoors(out), constants) for line in lines] for out in outside
    ]
