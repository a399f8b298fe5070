"""Opening hours: when a company answers, by the clock on its own wall.

`lines` says the hours in words, which a page always shows; `is_open` says whether an instant lies
in them. The browser has the same in `hours.js`, as one function `isOpen(hours, time)` over what
`plain` writes; a test holds that both say the same.

**The wall clock decides.** An instant becomes the date and the time of day at the company, and
these two are looked up; no time is ever counted from one instant to another. So:

- An hour that comes twice, when clocks are set back, counts alike both times. Hours that end at
  1:30 AM in it end at 1:30, go on when it is 1:00 again, and end at 1:30 again.
- An hour that is skipped never comes. Hours that lie in it are not kept that day; those that begin
  in it begin with the jump, and those that end in it end with the jump.
- A night is two spans, up to 24:00 of one day and from 0:00 of the next.
- A date on which nobody answers goes from its own midnight to the next. A night that began the
  evening before ends there.

Each side knows the zones by its own copy of the IANA time zone database. Where a law has changed
since a phone was last updated, its answer may be wrong by that change; the words are not.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from itertools import groupby
from zoneinfo import ZoneInfo, available_timezones

from stepstop.language.tongue import ENGLISH, Worded, phrase

DAYS = (
    phrase("Monday"),
    phrase("Tuesday"),
    phrase("Wednesday"),
    phrase("Thursday"),
    phrase("Friday"),
    phrase("Saturday"),
    phrase("Sunday"),
)
NOON, DAY = 720, 1440
"""Minutes after midnight."""

NO_PLACES = frozenset({"Factory", "localtime"})
"""Names in many databases that stand for a clock not set, and for that of the very machine."""


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """From one time of a weekday up to another, which is no longer in it."""

    day: int
    """0 is Monday."""
    start: int
    end: int
    """Minutes after local midnight, up to 1440."""

    def __post_init__(self) -> None:
        if not (0 <= self.day < len(DAYS) and 0 <= self.start < self.end <= DAY):
            raise ValueError(f"{self} is not a part of a weekday")


@dataclass(frozen=True, slots=True)
class Opening:
    """When a company answers; the order of spans and dates means nothing."""

    zone: str
    """Name in the IANA time zone database, one that `is_zone` knows."""
    spans: tuple[Span, ...]
    closed: tuple[str, ...]
    """ISO dates, `2026-12-25`, on which nobody answers whatever the weekday."""

    def __post_init__(self) -> None:
        for each in self.closed:
            # Dates are compared as texts: another form of the same date would never be found.
            if date.fromisoformat(each).isoformat() != each:
                raise ValueError(f"{each!r} is not written as year-month-day")


def is_zone(name: str) -> bool:
    """Whether zoneinfo knows a place by this name. No text is ever taken for a path."""
    return name in _zones()


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones()) - NO_PLACES


def is_open(opening: Opening, instant: datetime) -> bool:
    """Whether somebody answers at this instant.

    Raises ValueError for an instant that doesn't tell its zone, since it could be any.
    """
    if instant.utcoffset() is None:
        raise ValueError("the instant doesn't tell its zone")
    there = instant.astimezone(ZoneInfo(opening.zone))
    minute = there.hour * 60 + there.minute
    return there.date().isoformat() not in opening.closed and any(
        span.day == there.weekday() and span.start <= minute < span.end for span in opening.spans
    )


def lines(opening: Opening, worded: Worded = ENGLISH.worded) -> tuple[tuple[str, str], ...]:
    """The week in words: days, and their hours. Days in a row with equal hours are one line."""
    spans = _joined(opening.spans)
    week = [_hours([s for s in spans if s.day == day], worded) for day in range(len(DAYS))]
    rows = groupby(range(len(DAYS)), key=week.__getitem__)
    return tuple((_days(list(days), worded), hours) for hours, days in rows)


def plain(opening: Opening) -> str:
    """What `hours.js` reads, as JSON; openings that mean the same have the same text."""
    spans = [[span.day, span.start, span.end] for span in _joined(opening.spans)]
    data = {"zone": opening.zone, "spans": spans, "closed": sorted({*opening.closed})}
    return json.dumps(data, separators=(",", ":"))


def _joined(spans: Sequence[Span]) -> list[Span]:
    """In order, those that touch or overlap as one."""
    found: list[Span] = []
    for span in sorted(spans):
        last = found[-1] if found else None
        if last and last.day == span.day and span.start <= last.end:
            found[-1] = Span(last.day, last.start, max(last.end, span.end))
        else:
            found.append(span)
    return found


def _days(days: Sequence[int], worded: Worded) -> str:
    first, last = worded(DAYS[days[0]]), worded(DAYS[days[-1]])
    if len(days) == len(DAYS):
        return worded("Every day")
    if len(days) == 1:
        said = first
    elif len(days) == 2:
        said = worded("{first} and {last}", first=first, last=last)
    else:
        said = worded("{first} to {last}", first=first, last=last)
    return said[:1].upper() + said[1:]  # In many languages days begin with a small letter.


def _hours(spans: Sequence[Span], worded: Worded) -> str:
    """The hours of one day."""
    if any((span.start, span.end) == (0, DAY) for span in spans):
        return worded("all day")
    said = ""
    for span in spans:
        start, end = _time(span.start, worded), _time(span.end, worded)
        hours = worded("{start} to {end}", start=start, end=end)
        said = worded("{hours} and {more}", hours=said, more=hours) if said else hours
    return said or worded("closed")


def _time(minute: int, worded: Worded) -> str:
    # Many people take 12 AM for noon, so neither twelve is said as a number.
    if minute in (0, DAY):
        return worded("midnight")
    if minute == NOON:
        return worded("noon")
    hour, rest = divmod(minute, 60)
    shown = f"{(hour - 1) % 12 + 1}:{rest:02}" if rest else f"{(hour - 1) % 12 + 1}"
    return worded("{time} AM", time=shown) if minute < NOON else worded("{time} PM", time=shown)
