"""The keys of a company's file, as shapes that make the classes of its model."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from stepstop.company import hours, model
from stepstop.company.hours import Opening, Span
from stepstop.company.shapes import COLOUR, LANGUAGE, PHONE, PICTURE, ZONE, Clock, Link
from stepstop.schema import REVIEW
from stepstop.shapes import Date, Desk, Id, Key, ListOf, MapOf, OneOf, Record, Reference, Text
from stepstop.source import Spot
from stepstop.yaml_reader import Node

DAYS = tuple(day.lower() for day in hours.DAYS)

_TEXTS = ListOf(Text(), least=1)


@dataclass(frozen=True, slots=True)
class _Hours:
    """Days with the same hours, as written."""

    days: tuple[str, ...]
    start: int
    end: int
    spot: Spot


_HOURS = Record(
    _Hours,
    {
        "days": Key(ListOf(OneOf(DAYS), least=1, once=True), "on which days", needed=True),
        "from": Key(Clock(), "when the number begins to be answered", needed=True, name="start"),
        "until": Key(Clock(), "when it ends, on the same day", needed=True, name="end"),
    },
)


class _Spans:
    """All hours of a week, none of them twice."""

    items = ListOf(_HOURS, least=1)

    def read(self, node: Node, desk: Desk) -> tuple[Span, ...] | None:
        """The spans in the order of the week."""
        found = self.items.read(node, desk)
        if found is None:
            return None
        spans = sorted(_spans(found, desk), key=lambda each: (each[0].day, each[0].start))
        for (one, _), (other, spot) in pairwise(spans):
            if one.day == other.day and other.start < one.end:
                message = f"hours on {DAYS[one.day]} overlap"
                desk.report(spot, "contradiction", message, "write each hour once")
        return tuple(span for span, _ in spans)

    def blank(self, spot: Spot) -> tuple[Span, ...]:
        """No hours."""
        return ()


def _spans(written: Iterable[_Hours], desk: Desk) -> Iterable[tuple[Span, Spot]]:
    for each in written:
        if each.start >= each.end:
            message = "the hours end before they begin"
            mend = 'hours end on their own day, at "24:00" at the latest: write two parts'
            desk.report(each.spot, "contradiction", message, mend)
            continue
        for day in each.days:
            if day:
                yield Span(DAYS.index(day), each.start, each.end), each.spot


LICENCE = Record(
    model.Licence,
    {
        "number": Key(Text(), "as it is printed", needed=True),
        "kind": Key(Text(), "what it allows", needed=True),
        "holder": Key(Text(), "who holds it", needed=True),
    },
)

AFTER = Record(
    model.After,
    {
        "phone": Key(PHONE, "the number then, where it is another", ""),
        "say": Key(Text(), "what a caller can expect", needed=True),
        "fee": Key(Text(), "what it costs more", ""),
    },
)

COLOURS = Record(
    model.Colours,
    {
        "light": Key(COLOUR, "on light pages", needed=True),
        "dark": Key(COLOUR, "on dark pages", needed=True),
    },
)

UNSERVED = Record(
    model.Unserved,
    {
        "trees": Key(ListOf(Id(), least=1, once=True), "those about it", needed=True),
        "say": Key(Text(), "what to do instead", needed=True),
    },
)

LEFT_OUT = Record(
    model.LeftOut,
    {
        "checks": Key(ListOf(Id(), once=True), "checks that nobody is offered", ()),
        "hazards": Key(ListOf(Id(), once=True), "hazards that no check may have", ()),
        "locations": Key(ListOf(Id(), once=True), "places where nobody is sent", ()),
    },
)


_SAID_AFTER = Record(
    model.SaidAfter,
    {
        "say": Key(Text(), "what a caller can expect", needed=True),
        "fee": Key(Text(), "what it costs more", ""),
    },
)

_SAID_UNSERVED = Record(model.SaidUnserved, {"say": Key(Text(), "what to do instead", needed=True)})

_SAID_LICENCE = Record(
    model.SaidLicence,
    {
        "kind": Key(Text(), "what it allows", needed=True),
        "holder": Key(Text(), "who holds it", needed=True),
    },
)

TRANSLATION = Record(
    model.Translation,
    {
        "after-hours": Key(_SAID_AFTER, "what happens outside the hours", None, name="after"),
        "unserved": Key(_SAID_UNSERVED, "what it does not work on", None),
        "nobody-can-come": Key(
            Text(), "what to do if nobody can come, at the highest urgency", needed=True
        ),
        "licences": Key(ListOf(_SAID_LICENCE), "as they are named, in their order", ()),
        "area": Key(ListOf(Text()), "where it works, in the same order", ()),
        "review": Key(REVIEW, "who looked over the pages in it", None),
    },
)


def _company(spot: Spot, **parts: Any) -> model.Company:
    opening = Opening(parts.pop("zone"), parts.pop("hours"), parts.pop("closed"))
    return model.Company(spot=spot, opening=opening, **parts)


COMPANY = Record(
    _company,
    {
        "company": Key(Id(), "id: the file's own name", needed=True, name="id"),
        "name": Key(Text(), "as people know it", needed=True),
        "place": Key(Id(), "whose numbers, licences and disclaimer hold", needed=True),
        "languages": Key(
            ListOf(LANGUAGE, least=1, once=True), "of its pages, its own first", ("en",)
        ),
        "address": Key(Link(), "where its pages will lie", ""),
        "phone": Key(PHONE, "the number that is answered in the hours", needed=True),
        "time-zone": Key(ZONE, "by which the hours are meant", needed=True, name="zone"),
        "hours": Key(_Spans(), "when the number is answered", needed=True),
        "closed": Key(ListOf(Date(), once=True), "days on which nobody answers", ()),
        "after-hours": Key(AFTER, "what happens outside the hours", None, name="after"),
        "text": Key(PHONE, "the number for text messages", ""),
        "licences": Key(ListOf(LICENCE, least=1), "to do the work", needed=True),
        "area": Key(_TEXTS, "where it works", needed=True),
        "colours": Key(COLOURS, "of links and buttons", None),
        "logo": Key(PICTURE, "an SVG file beside this one", ""),
        "offers": Key(
            MapOf(ListOf(OneOf(model.WAYS), least=1, once=True)),
            "urgency -> ways to reach it, the best first",
            {},
        ),
        "book": Key(Link(), "where a visit is booked", ""),
        "unserved": Key(UNSERVED, "what it does not work on", None),
        "nobody-can-come": Key(
            Text(), "what to do if nobody can come, at the highest urgency", needed=True
        ),
        "translations": Key(
            MapOf(TRANSLATION, key=LANGUAGE),
            "code of each further language -> its own words in it",
            {},
        ),
        "leave-out": Key(LEFT_OUT, "what it offers less than the trees", None),
        "sooner": Key(MapOf(Id(), key=Reference()), "urgency or outcome -> a more urgent one", {}),
        "hosts": Key(ListOf(Link(is_origin=True), once=True), "sites that may show the pages", ()),
        "review": Key(REVIEW, "who looked it over", None),
    },
)
