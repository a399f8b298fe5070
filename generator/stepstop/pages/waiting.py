"""The pages about waiting: tables that are reckoned here, and what a script needs for more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil, floor, inf

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
    "none": "as the room",
    "caution": "caution",
    "extreme-caution": "danger for old, ill and small people",
    "danger": "danger for everyone",
    "extreme-danger": "heat stroke is likely",
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
        table=_cold_table(wait, unit) if cold else _hot_table(unit),
        lines=tuple(
            views.LineView(each.at, degrees(each.at, unit), atlas.said(each.say))
            for each in wait.lines
        ),
        plot=_plot(wait, unit) if cold else None,
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
        sources=source_lines(sources, atlas.course.library.catalogue.sources),
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


def hours(span: Span) -> str:
    """A span of hours, rounded to the careful side."""
    if span.most <= 0.0:
        return "it is so now"
    if span.least == inf:
        return "not at this temperature"
    least, most = floor(span.least), min(span.most, 1e6)
    if least > 3 * DAY:
        return "in more than 3 days"
    begin = f"in {least}" if least else "in less than 1 hour"
    if most > 3 * DAY:
        return f"{begin} hours to some days" if least else f"{begin} to some days"
    end = max(floor(most), 1)
    if end <= max(least, 1):
        return f"in about {end} hours" if end > 1 else "in about an hour"
    return f"{begin} to {end} hours"


def _cold_table(wait: Wait, unit: str) -> views.TableView:
    start = fahrenheit(START[unit], unit)
    outside = [fahrenheit(each, unit) for each in OUTSIDE[unit]]
    below = [line.at for line in wait.lines if line.at < start]
    rows = cooling.table(below, start, outside, Span(*cooling.MEASURED))
    heads = ("Outdoors", *(f"Down to {degrees(line, unit)}" for line in below))
    caption = f"Hours until a room of {degrees(start, unit)} is so cold"
    return table(
        caption,
        heads,
        [(degrees(out, unit), *map(hours, row)) for out, row in zip(outside, rows, strict=True)],
    )


def _hot_table(unit: str) -> views.TableView:
    rows = []
    for each in ROOMS[unit]:
        room = fahrenheit(each, unit)
        rows.append((degrees(room, unit), *(_feels(room, damp, unit) for damp in DAMP)))
    heads = ("Room", *(f"Humidity {damp} %" for damp in DAMP))
    return table("How hot a room feels", heads, rows)


def _feels(room: float, damp: float, unit: str) -> str:
    index = heat.heat_index(room, damp)
    if index >= 137.0:  # The chart of the weather service ends here.
        return FEELS["extreme-danger"]
    return f"{degrees(round(index), unit)}: {FEELS[heat.category(index)]}"


# ---- the plot ----


def _plot(wait: Wait, unit: str) -> views.WaitPlot:
    start, out = fahrenheit(START[unit], unit), fahrenheit(SHOWN[unit], unit)
    outdoors, spans = Outdoors(out), Span(*cooling.MEASURED)
    low, high = reach(start, outdoors, spans)
    return views.WaitPlot(
        about=f"A house of {degrees(start, unit)}, {degrees(out, unit)} outdoors, over 24 hours: "
        "between one that cools down fast and one that does so slowly.",
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
