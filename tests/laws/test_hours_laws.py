"""Opening hours: laws that hold for any week, any closed dates and any instant."""

import json
import re
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from stepstop.company.hours import DAY, DAYS, Opening, Span, is_open, lines, plain

law = settings(max_examples=200, deadline=None, derandomize=True)

ZONES = (
    "America/Chicago",
    "America/Phoenix",
    "America/St_Johns",
    "Asia/Beirut",
    "Australia/Lord_Howe",
    "Europe/Dublin",
    "Pacific/Chatham",
)
MONDAY = datetime(2026, 6, 1, tzinfo=UTC)

# Borders on the quarter of an hour touch, overlap and are equal far more often.
times = st.integers(0, DAY // 15).map(lambda quarter: quarter * 15) | st.integers(0, DAY)
spans = st.builds(
    lambda day, ends: Span(day, *sorted(ends)),
    st.integers(0, 6),
    st.lists(times, min_size=2, max_size=2, unique=True),
)
dates = st.dates(MONDAY.date(), MONDAY.date() + timedelta(days=200)).map(str)
openings = st.builds(
    Opening,
    st.sampled_from(ZONES),
    st.lists(spans, max_size=12).map(tuple),
    st.lists(dates, max_size=8).map(tuple),
)
instants = st.integers(0, 200 * 86400).map(lambda seconds: MONDAY + timedelta(seconds=seconds))


def minutes_of(said):
    """Minutes after midnight of a time in words, read anew from what the words mean."""
    if said in ("noon", "midnight"):
        return {"noon": 720, "midnight": 0}[said]
    hour, minute, half = re.fullmatch(r"(\d+)(?::(\d\d))? (AM|PM)", said).groups()
    return int(hour) % 12 * 60 + int(minute or 0) + (720 if half == "PM" else 0)


def days_of(said):
    if said == "Every day":
        return DAYS
    if " to " not in said:
        return tuple(said.split(" and "))
    first, last = (DAYS.index(day) for day in said.split(" to "))
    return DAYS[first : last + 1]


def spans_of(words):
    """The week that the words mean."""
    for days, hours in words:
        for day in days_of(days):
            for each in {"all day": ["midnight to midnight"], "closed": []}.get(
                hours, hours.split(" and ")
            ):
                start, end = each.split(" to ")
                yield Span(DAYS.index(day), minutes_of(start), minutes_of(end) or DAY)


@law
@given(openings)
def test_the_words_mean_every_minute_of_the_week_and_no_other(opening):
    def week(spans):
        return {(s.day, minute) for s in spans for minute in range(s.start, s.end)}

    words = lines(opening)
    assert [day for days, _ in words for day in days_of(days)] == list(DAYS)
    assert week(spans_of(words)) == week(opening.spans)
    assert all(one[1] != other[1] for one, other in pairwise(words))


@law
@given(openings, instants)
def test_an_instant_is_as_the_minutes_of_its_week_say(opening, instant):
    """Beside it: a week of minutes, and the reading of the clock as text."""
    week = [False] * (7 * DAY)
    for span in opening.spans:
        first = span.day * DAY
        week[first + span.start : first + span.end] = [True] * (span.end - span.start)
    day, clock, number = instant.astimezone(ZoneInfo(opening.zone)).strftime("%F %H:%M %u").split()
    minute = (int(number) - 1) * DAY + int(clock[:2]) * 60 + int(clock[3:])
    assert is_open(opening, instant) == (week[minute] and day not in opening.closed)


@law
@given(openings, instants, st.randoms(use_true_random=False))
def test_the_plain_form_means_the_same_and_knows_no_order(opening, instant, rng):
    data = json.loads(plain(opening))
    back = Opening(data["zone"], tuple(Span(*each) for each in data["spans"]), (*data["closed"],))
    assert is_open(back, instant) == is_open(opening, instant)
    assert lines(back) == lines(opening)
    assert plain(back) == plain(opening)
    turned = Opening(
        opening.zone,
        tuple(rng.sample(opening.spans, len(opening.spans))),
        tuple(rng.sample(opening.closed, len(opening.closed))),
    )
    assert (plain(turned), lines(turned)) == (plain(opening), lines(opening))


@law
@given(openings, instants, dates)
def test_one_more_closed_date_closes_that_date_and_no_other(opening, instant, day):
    more = Opening(opening.zone, opening.spans, (*opening.closed, day))
    there = instant.astimezone(ZoneInfo(opening.zone)).date().isoformat()
    assert is_open(more, instant) == (is_open(opening, instant) and there != day)
