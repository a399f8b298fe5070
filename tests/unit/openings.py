"""Opening hours drawn from a seed, and the instants at which clocks change.

When clocks change is read from the IANA time zone database, through zoneinfo.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from stepstop.company.hours import DAY, Opening, Span

FIRST, LAST = datetime(2026, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
"""From when to when clocks are looked at."""
HOUR, SECOND = timedelta(hours=1), timedelta(seconds=1)
EARLY = 4 * 60
"""Clocks change before 4 AM; spans are drawn there more often than by chance."""


def opening_of(zone, *spans, closed=()):
    return Opening(zone, tuple(Span(*each) for each in spans), tuple(closed))


def draw(rng, zone, *, changed=()):
    """Draw hours with none to three spans a day, and some closed dates: `changed` more often."""
    spans = []
    for day in range(7):
        for _ in range(rng.choice((0, 1, 1, 1, 2, 2, 3))):
            latest = rng.choice((EARLY, DAY))
            start = rng.randrange(latest)
            spans.append(Span(day, start, rng.choice((rng.randint(start + 1, DAY), DAY))))
    rng.shuffle(spans)
    days = (LAST - FIRST).days
    closed = {(FIRST + timedelta(rng.randrange(days))).date().isoformat() for _ in range(20)}
    closed |= {each for each in changed if rng.random() < 0.2}
    return Opening(zone, tuple(spans), tuple(closed))


def changes(zone):
    """The first instants with another offset, from FIRST to LAST, found to the second."""
    place, found, now = ZoneInfo(zone), [], FIRST
    while now < LAST:
        if offset(place, now) != offset(place, now + HOUR):
            low, high = now, now + HOUR
            while high - low > SECOND:
                middle = low + (high - low) // 2
                middle = middle.replace(microsecond=0)
                same = offset(place, middle) == offset(place, low)
                low, high = (middle, high) if same else (low, middle)
            found.append(high)
        now += HOUR
    return found


def offset(place, instant):
    return instant.astimezone(place).utcoffset()
