"""The pages about waiting: tables that are reckoned here, and what a script needs for more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil, floor, inf

from stepstop.language.tongue import ENGLISH, Worded, phrase
from stepstop.model import WAIT_TARGETS, Wait
from stepstop.pages import views
from stepstop.pages.address import WAITING, file_of, link, step_link
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame
from stepstop.pages.sources import source_lines
from stepstop.pages.tables import table
from stepstop.trail import URGENCY_WORDS
from stepstop.waiting import cooling, heat, urgency
from stepstop.waiting.cooling import Outdoors, Span

OUTSIDE = {"F": (40, 30, 20, 10, 0, -10, -20), "C": (5, 0, -5, -10, -15, -20, -30)}
"""Outdoor temperatures of the table, by the unit of the place."""
ROOMS = {"F": (80, 85, 90, 95, 100, 105), "C": (27, 29, 32, 35, 38, 41)}
DAMP = (30, 50, 70, 90)
"""Relative humidity of the table, in %."""
START = {"F": 70, "C": 21}
"""A room before the heat failed."""
SHOWN = {"F": 20, "C": -7}
"""Outdoor temperature of the plot."""
FEELS = {
    "none": phrase("as the room"),
    "caution": phrase("caution"),
    "extreme-caution": phrase("danger for old, ill and small people"),
    "danger": phrase("danger for everyone"),
    "extreme-danger": phrase("heat stroke is likely"),
}
DAY = 24.0
WIDTH, HEIGHT = 360.0, 200.0
LEFT, RIGHT, TOP, BOTTOM = 44.0, 350.0, 10.0, 172.0
"""Edges of the field of the plot."""


def waiting_views(atlas: Atlas) -> Iterator[tuple[str, views.WaitingView]]:
    """The pages by their files; none where the catalogue says nothing about waiting."""
    for wait in atlas.course.library.catalogue.waiting.values():
        yield WAITING[wait.id], _view(wait, atlas)


def waiting_links(page_id: str, under: str, atlas: Atlas) -> tuple[views.Link, ...]:
    """From an outcome to the pages about waiting that fit a complaint `under` a heading."""
    wanted = {"heat": ("cold",), "cooling": ("hot",)}.get(under, ("cold", "hot"))
    known = atlas.course.library.catalogue.waiting
    return tuple(
        views.Link(step_link(file_of(page_id), WAITING[each]), atlas.plain(known[each].title))
        for each in wanted
        if each in known
    )


def _view(wait: Wait, atlas: Atlas) -> views.WaitingView:
    file, unit = WAITING[wait.id], atlas.place.temperature or "F"
    urgencies = atlas.course.library.catalogue.urgencies
    named = [*(line.source for line in wait.lines), *(p.source for p in wait.parts.values())]
    sources = [name for each in named for name in each]
    cold = wait.id == "cold"
    title = atlas.plain(wait.title)
    return views.WaitingView(
        frame=frame(file, title, atlas, trees=atlas.course.library.written()),
        kind=wait.id,
        headline=atlas.said(wait.title),
        lead=atlas.all_said(wait.lead),
        ask=atlas.plain(wait.ask),
        answers=tuple(_answers(wait, file, atlas)),
        unit=unit,
        length=atlas.place.length,
        table=_cold_table(wait, unit, atlas.worded) if cold else _hot_table(unit, atlas.worded),
        lines=tuple(
            views.LineView(each.at, degrees(each.at, unit), atlas.said(each.say))
            for each in wait.lines
        ),
        plot=_plot(wait, unit, atlas.worded) if cold else None,
        parts=tuple(
            views.WaitPartView(
                each.id,
                atlas.plain(each.title),
                atlas.all_said(each.do),
                atlas.all_said(each.never),
            )
            for each in wait.parts.values()
        ),
        soon=tuple(
            views.Soon(each.id, each.say, atlas.said(each.advice))
            for name in (urgency.TONIGHT, urgency.TODAY)
            if (each := urgencies.get(name))
        ),
        calm=URGENCY_WORDS[False],
        raised=URGENCY_WORDS[True],
        sources=source_lines(sources, atlas.course.library.catalogue.sources, atlas.worded),
    )


def _answers(wait: Wait, file: str, atlas: Atlas) -> Iterator[views.Link]:
    for answer in wait.answers:
        yield views.Link(_target(answer.to, file, atlas), atlas.plain(answer.say))


def _target(to: str, file: str, atlas: Atlas) -> str:
    """The link of an answer: danger, the reckoning, or a part."""
    if to == "danger":
        return link(file, file_of(atlas.danger))
    return f"#{to}" if to in WAIT_TARGETS else f"#part-{to}"


# ---- figures in words ----


def fahrenheit(value: float, unit: str) -> float:
    """°F of a temperature in a unit."""
    return value if unit == "F" else value * 9.0 / 5.0 + 32.0


def degrees(value: float, unit: str) -> str:
    """°F in both units, that of the place first: `64.4 °F (18 °C)`."""
    celsius = (value - 32.0) * 5.0 / 9.0
    both = (f"{_signed(value)} °F", f"{_signed(round(celsius))} °C")
    first, other = both if unit == "F" else both[::-1]
    return f"{first} ({other})"


def _signed(value: float) -> str:
    return f"{value:g}".replace("-", "\u2212")


def hours(span: Span, worded: Worded = ENGLISH.worded) -> str:
    """A span of hours, rounded to the careful side."""
    if span.most <= 0.0:
        return worded("it is so now")
    if span.least == inf:
        return worded("not at this temperature")
    least, most = floor(span.least), min(span.most, 1e6)
    if least > 3 * DAY:
        return worded("in more than 3 days")
    if most > 3 * DAY:
        if least:
            return worded("in {least} hours to some days", least=least)
        return worded("in less than 1 hour to some days")
    end = max(floor(most), 1)
    if end <= max(least, 1):
        return (
            worded("in about {hours} hours", hours=end) if end > 1 else worded("in about an hour")
        )
    if least:
        return worded("in {least} to {most} hours", least=least, most=end)
    return worded("in less than 1 hour to {most} hours", most=end)


def _cold_table(wait: Wait, unit: str, worded: Worded) -> views.TableView:
    start = fahrenheit(START[unit], unit)
    outside = [fahrenheit(each, unit) for each in OUTSIDE[unit]]
    below = [line.at for line in wait.lines if line.at < start]
    rows = cooling.table(below, start, outside, Span(*cooling.MEASURED))
    heads = (
        worded("Outdoors"),
        *(worded("Down to {degrees}", degrees=degrees(line, unit)) for line in below),
    )
    return table(
        worded("Hours until a room of {degrees} is so cold", degrees=degrees(start, unit)),
        heads,
        [
            (degrees(out, unit), *(hours(span, worded) for span in row))
            for out, row in zip(outside, rows, strict=True)
        ],
    )


def _hot_table(unit: str, worded: Worded) -> views.TableView:
    rows = []
    for each in ROOMS[unit]:
        room = fahrenheit(each, unit)
        rows.append((degrees(room, unit), *(_feels(room, damp, unit, worded) for damp in DAMP)))
    heads = (worded("Room"), *(worded("Humidity {damp} %", damp=damp) for damp in DAMP))
    return table(worded("How hot a room feels"), heads, rows)


def _feels(room: float, damp: float, unit: str, worded: Worded) -> str:
    index = heat.heat_index(room, damp)
    if index >= 137.0:  # The chart of the weather service ends here.
        category = "extreme-danger"
        return worded(FEELS[category])
    category = heat.category(index)
    return f"{degrees(round(index), unit)}: {worded(FEELS[category])}"


# ---- the plot ----


def _plot(wait: Wait, unit: str, worded: Worded) -> views.WaitPlot:
    start, out = fahrenheit(START[unit], unit), fahrenheit(SHOWN[unit], unit)
    outdoors, spans = Outdoors(out), Span(*cooling.MEASURED)
    low, high = reach(start, outdoors, spans)
    return views.WaitPlot(
        about=worded(
            "A house of {room}, {out} outdoors, over 24 hours: between one that cools down fast "
            "and one that does so slowly.",
            room=degrees(start, unit),
            out=degrees(out, unit),
        ),
        band=band(start, outdoors, spans, low, high),
        lines=tuple(
            (round(_y(line.at, low, high), 1), degrees(line.at, unit))
            for line in wait.lines
            if low < line.at < high
        ),
        ticks=tuple((round(_x(each), 1), f"{each:g}") for each in (0, 6, 12, 18, 24)),
    )


def reach(start: float, outdoors: Outdoors, spans: Span) -> tuple[float, float]:
    """The least and the most °F that the plot shows, in tens."""
    coldest = cooling.indoors(DAY, start, outdoors, spans.least)
    return 10.0 * floor(min(coldest, 50.0) / 10.0), 10.0 * ceil((start + 1.0) / 10.0)


def band(start: float, outdoors: Outdoors, spans: Span, low: float, high: float) -> str:
    """The outline of all houses between two time constants, as the path of an SVG."""
    times = range(int(DAY) + 1)
    upper = [(t, cooling.indoors(t, start, outdoors, spans.most)) for t in times]
    lower = [(t, cooling.indoors(t, start, outdoors, spans.least)) for t in reversed(times)]
    return "M" + "L".join(_points([*upper, *lower], low, high)) + "Z"


def _points(points: Iterable[tuple[float, float]], low: float, high: float) -> Iterator[str]:
    for time, here in points:
        yield f"{_x(time):.1f} {_y(here, low, high):.1f}"


def _x(time: float) -> float:
    return LEFT + (RIGHT - LEFT) * time / DAY


def _y(here: float, low: float, high: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * (here - low) / (high - low)
