"""Opening hours: who answers at an instant, and what a page says of the week in words.

When clocks change is the law of the place, as the IANA time zone database has it; the instants here
are written down in UTC, worked out by hand from the offsets of the place (from memory) and held
against that database by `test_clocks_change_when_these_tests_say`.
"""

import json
import os
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo, available_timezones

import pytest

from stepstop.company.hours import DAY, DAYS, Opening, Span, is_open, is_zone, lines, plain
from unit.openings import changes, opening_of

CHICAGO, LORD_HOWE, PHOENIX = "America/Chicago", "Australia/Lord_Howe", "America/Phoenix"
MINUTE = timedelta(minutes=1)
SUNDAY = 6

CHANGES = {
    CHICAGO: ["2026-03-08T08:00", "2026-11-01T07:00", "2027-03-14T08:00", "2027-11-07T07:00"],
    LORD_HOWE: ["2026-04-04T15:00", "2026-10-03T15:30", "2027-04-03T15:00", "2027-10-02T15:30"],
    PHOENIX: [],
}
"""Chicago goes from 2 to 3 AM in spring and from 2 to 1 AM in fall; Lord Howe Island from 2 to
1:30 AM in April and from 2 to 2:30 AM in October. All are Sundays there."""


def utc(text):
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def minutes_open(opening, day):
    """Minutes of a local date in which somebody answers, counted on a clock that never changes."""
    place = ZoneInfo(opening.zone)
    now = datetime.combine(day, datetime.min.time(), UTC) - timedelta(days=1)
    instants = [now + count * MINUTE for count in range(3 * DAY)]
    return sum(is_open(opening, i) for i in instants if i.astimezone(place).date() == day)


@pytest.mark.parametrize("zone", CHANGES)
def test_clocks_change_when_these_tests_say(zone):
    assert changes(zone) == [utc(text) for text in CHANGES[zone]]


# ---- an ordinary week ----


@pytest.mark.parametrize(
    ("there", "answers"),
    [
        ("2026-06-01T07:29:59", False),
        ("2026-06-01T07:30:00", True),
        ("2026-06-01T17:59:59", True),
        ("2026-06-01T18:00:00", False),
        ("2026-06-02T12:00:00", False),
        ("2026-06-06T23:59:59", True),
        ("2026-06-07T00:00:00", False),
    ],
)
def test_a_span_holds_its_start_and_not_its_end(there, answers):
    hours = opening_of(PHOENIX, (0, 450, 1080), (5, 1200, DAY))
    instant = datetime.fromisoformat(there).replace(tzinfo=timezone(timedelta(hours=-7)))
    assert is_open(hours, instant) is answers


def test_the_zone_of_the_instant_means_nothing():
    hours = opening_of(CHICAGO, (0, 480, 1020))
    for shift in (-12, 0, 5.75, 14):
        zone = timezone(timedelta(hours=shift))
        assert is_open(hours, utc("2026-06-01T13:00").astimezone(zone))
        assert not is_open(hours, utc("2026-06-01T12:59").astimezone(zone))


def test_an_instant_that_does_not_tell_its_zone_is_refused():
    with pytest.raises(ValueError, match="zone"):
        is_open(opening_of(CHICAGO, (0, 0, DAY)), datetime(2026, 6, 1))


def test_a_night_goes_over_midnight_without_a_gap():
    night = opening_of(CHICAGO, (4, 1080, DAY), (5, 0, 120))
    dusk = utc("2026-06-05T23:00")
    assert [is_open(night, dusk + hours * timedelta(hours=1)) for hours in range(-1, 9)] == [
        False,
        *[True] * 8,
        False,
    ]
    assert is_open(night, utc("2026-06-06T04:59:59"))
    assert is_open(night, utc("2026-06-06T05:00"))


def test_spans_that_touch_leave_no_gap():
    hours = opening_of(CHICAGO, (0, 480, 720), (0, 720, 1020))
    noon = utc("2026-06-01T17:00")
    assert all(is_open(hours, noon + step * timedelta(seconds=1)) for step in (-1, 0, 1))
    assert minutes_open(hours, date(2026, 6, 1)) == 540


def test_nobody_answers_in_a_week_without_spans():
    assert minutes_open(opening_of(CHICAGO), date(2026, 6, 1)) == 0


# ---- the days on which clocks change ----


@pytest.mark.parametrize(
    ("zone", "day", "length"),
    [
        (CHICAGO, date(2026, 3, 8), 23 * 60),
        (CHICAGO, date(2026, 3, 7), DAY),
        (CHICAGO, date(2026, 11, 1), 25 * 60),
        (LORD_HOWE, date(2026, 4, 5), DAY + 30),
        (LORD_HOWE, date(2026, 10, 4), DAY - 30),
        (PHOENIX, date(2026, 3, 8), DAY),
        (PHOENIX, date(2026, 11, 1), DAY),
    ],
)
def test_all_day_is_as_long_as_the_day(zone, day, length):
    hours = opening_of(zone, (day.weekday(), 0, DAY))
    assert minutes_open(hours, day) == length


@pytest.mark.parametrize(
    ("zone", "day", "span", "minutes"),
    [
        (CHICAGO, date(2026, 3, 8), (120, 180), 0),
        (CHICAGO, date(2026, 3, 8), (90, 150), 30),
        (CHICAGO, date(2026, 3, 8), (150, 210), 30),
        (CHICAGO, date(2026, 3, 8), (60, 240), 120),
        (CHICAGO, date(2026, 11, 1), (60, 120), 120),
        (CHICAGO, date(2026, 11, 1), (0, 90), 120),
        (CHICAGO, date(2026, 11, 1), (90, 180), 120),
        (CHICAGO, date(2026, 11, 1), (120, 180), 60),
        (LORD_HOWE, date(2026, 4, 5), (90, 120), 60),
        (LORD_HOWE, date(2026, 4, 5), (60, 105), 60),
        (LORD_HOWE, date(2026, 10, 4), (120, 150), 0),
        (LORD_HOWE, date(2026, 10, 4), (120, 180), 30),
        (PHOENIX, date(2026, 3, 8), (120, 180), 60),
    ],
)
def test_a_skipped_hour_never_comes_and_a_second_one_counts_alike(zone, day, span, minutes):
    assert minutes_open(opening_of(zone, (SUNDAY, *span)), day) == minutes


def test_hours_that_end_in_the_hour_that_comes_twice_end_twice():
    hours = opening_of(CHICAGO, (SUNDAY, 0, 90))
    half_past_one = utc("2026-11-01T06:30")
    answers = [is_open(hours, half_past_one + count * 30 * MINUTE) for count in range(-1, 4)]
    assert answers == [True, False, True, False, False]


def test_a_day_begins_at_the_new_offset_after_a_change():
    hours = opening_of(CHICAGO, (0, 480, 1020))
    assert not is_open(hours, utc("2026-03-02T13:30"))
    assert is_open(hours, utc("2026-03-09T13:30"))
    assert is_open(hours, utc("2026-10-26T13:30"))
    assert not is_open(hours, utc("2026-11-02T13:30"))


# ---- closed dates ----


def test_a_closed_date_is_the_one_of_the_place():
    """December 25 in Chicago goes from 6:00 UTC to 6:00 UTC of the 26th."""
    week = [(day, 0, DAY) for day in range(7)]
    hours = opening_of(CHICAGO, *week, closed=["2026-12-25"])
    assert is_open(hours, utc("2026-12-25T05:59:59"))
    assert not is_open(hours, utc("2026-12-25T06:00"))
    assert not is_open(hours, utc("2026-12-26T05:59:59"))
    assert is_open(hours, utc("2026-12-26T06:00"))


@pytest.mark.parametrize(
    ("zone", "begins"),
    [
        ("Pacific/Kiritimati", "2026-12-31T10:00"),
        ("Asia/Kathmandu", "2026-12-31T18:15"),
        ("America/Phoenix", "2027-01-01T07:00"),
        ("Pacific/Pago_Pago", "2027-01-01T11:00"),
    ],
)
def test_a_new_year_begins_where_the_company_is(zone, begins):
    eve_only = opening_of(zone, (3, 0, DAY), (4, 0, DAY), closed=["2027-01-01"])
    midnight = utc(begins)
    assert is_open(eve_only, midnight - MINUTE)
    assert not is_open(eve_only, midnight)
    day_only = opening_of(zone, (3, 0, DAY), (4, 0, DAY), closed=["2026-12-31"])
    assert not is_open(day_only, midnight - MINUTE)
    assert is_open(day_only, midnight)


def test_a_night_ends_where_a_closed_date_begins():
    hours = opening_of(PHOENIX, (3, 1080, DAY), (4, 0, 360), closed=["2027-01-01"])
    assert minutes_open(hours, date(2026, 12, 31)) == 360
    assert minutes_open(hours, date(2027, 1, 1)) == 0


def test_a_closed_date_that_is_no_day_of_a_week_with_hours_changes_nothing():
    hours = [(0, 480, 1020)]
    with_sunday = opening_of(CHICAGO, *hours, closed=["2026-06-07"])
    assert minutes_open(with_sunday, date(2026, 6, 8)) == 540


# ---- what is no opening ----


@pytest.mark.parametrize(
    "values", [(-1, 0, 1), (7, 0, 1), (0, -1, 1), (0, 0, 1441), (0, 5, 5), (0, 6, 5)]
)
def test_what_is_no_part_of_a_weekday_is_refused(values):
    with pytest.raises(ValueError, match="weekday"):
        Span(*values)


@pytest.mark.parametrize(
    "text", ["", "12/25/2026", "20261225", "2026-W52-5", "2026-12-32", "2027-02-29", "2026-1-1"]
)
def test_a_date_that_would_never_be_found_is_refused(text):
    with pytest.raises(ValueError, match=r"isoformat|month|day"):
        Opening(CHICAGO, (), (text,))


# ---- words ----


@pytest.mark.parametrize(
    ("spans", "words"),
    [
        (
            [*[(day, 450, 1080) for day in range(5)], (5, 540, 780)],
            [
                ("Monday to Friday", "7:30 AM to 6 PM"),
                ("Saturday", "9 AM to 1 PM"),
                ("Sunday", "closed"),
            ],
        ),
        ([(day, 0, DAY) for day in range(7)], [("Every day", "all day")]),
        ([(day, 0, 720) for day in range(7)], [("Every day", "midnight to noon")]),
        ([], [("Every day", "closed")]),
        (
            [(day, 0, DAY) for day in range(5)],
            [("Monday to Friday", "all day"), ("Saturday and Sunday", "closed")],
        ),
        (
            [(0, 720, DAY), (1, 0, 1), (3, 780, 1020), (3, 480, 720)],
            [
                ("Monday", "noon to midnight"),
                ("Tuesday", "midnight to 12:01 AM"),
                ("Wednesday", "closed"),
                ("Thursday", "8 AM to noon and 1 PM to 5 PM"),
                ("Friday to Sunday", "closed"),
            ],
        ),
        (
            [(6, 0, 480), (6, 480, DAY), (0, 750, 1439), (0, 600, 800)],
            [
                ("Monday", "10 AM to 11:59 PM"),
                ("Tuesday to Saturday", "closed"),
                ("Sunday", "all day"),
            ],
        ),
    ],
)
def test_the_week_in_words(spans, words):
    assert lines(opening_of(CHICAGO, *spans)) == tuple(words)


def test_no_time_is_said_as_twelve_sharp():
    for start in range(DAY):
        ((_, hours), *_) = lines(opening_of(CHICAGO, (0, start, start + 1)))
        assert not {"12 AM", "12 PM", "0 AM", "0 PM"} & {*hours.split(" to ")}


def test_every_time_of_day_has_words_of_its_own():
    said = {lines(opening_of(CHICAGO, (0, start, DAY)))[0][1] for start in range(DAY)}
    assert len(said) == DAY


def test_every_day_of_the_week_is_named():
    odd = opening_of(CHICAGO, *[(day, 60 * day, DAY - 1) for day in range(7)])
    assert tuple(day for day, _ in lines(odd)) == DAYS


# ---- for the script ----


def test_the_plain_form_is_compact_and_in_order():
    hours = opening_of(
        CHICAGO, (4, 60, 120), (0, 480, 720), (0, 720, 1020), closed=["2027-01-01", "2026-12-25"]
    )
    assert plain(hours) == (
        '{"zone":"America/Chicago","spans":[[0,480,1020],[4,60,120]],'
        '"closed":["2026-12-25","2027-01-01"]}'
    )
    assert json.loads(plain(opening_of(PHOENIX))) == {"zone": PHOENIX, "spans": [], "closed": []}


# ---- zones ----


@pytest.mark.parametrize("name", [*CHANGES, "UTC", "America/Argentina/Ushuaia", "US/Central"])
def test_a_place_is_known(name):
    assert is_zone(name)


@pytest.mark.parametrize(
    "name",
    [
        "",
        " ",
        ".",
        "..",
        "../../etc/passwd",
        "/etc/passwd",
        "/usr/share/zoneinfo/America/Chicago",
        "America/../America/Chicago",
        "America//Chicago",
        "America/Chicago/",
        "America",
        "America/",
        "america/chicago",
        " America/Chicago",
        "America/Chicago\n",
        "America/Chicago\0",
        "America\\Chicago",
        "posix/America/Chicago",
        "right/America/Chicago",
        "zone.tab",
        "__init__.py",
        "Central Time",
        "CST",
        "+05:00",
        "localtime",
        "Factory",
        "\udc80",
        "x" * 100_000,
        "é/ü",
    ],
)
def test_no_other_text_is_a_place(name):
    assert is_zone(name) is False


def test_hours_can_be_worked_out_in_every_known_zone():
    known = [name for name in sorted(available_timezones()) if is_zone(name)]
    assert len(known) > 400
    for name in known:
        always = opening_of(name, *[(day, 0, DAY) for day in range(7)])
        assert is_open(always, utc("2026-06-01T12:00"))


def test_zones_are_known_on_a_machine_without_a_database():
    """With no folder to look in, zoneinfo falls back to the package `tzdata`."""
    code = "from stepstop.company.hours import is_zone; print(is_zone('America/Chicago'))"
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONTZPATH": "", "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stdout.strip() == "True"
