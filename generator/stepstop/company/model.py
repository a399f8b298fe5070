"""What a company says of itself, typed: frozen, complete at birth, every text with its spot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from stepstop.company.hours import Opening
from stepstop.model import Review
from stepstop.source import Located, Spot

CALL, TEXT, BOOK = "call", "text", "book"
WAYS = (CALL, TEXT, BOOK)
"""How a company is reached: by voice, by text message, by a page where visits are booked."""

PRESSING = 1
"""Rank of the last urgency at which somebody is told to call first, and what to do if nobody can
come."""


@dataclass(frozen=True, slots=True)
class Licence:
    """A licence to do the work."""

    number: str
    kind: str
    holder: str
    """Whose licence it is: the company, or a role in it."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class After:
    """What happens outside the hours."""

    phone: str
    """E.164; empty where the number of the day is answered at night too, or nobody answers."""
    say: str
    """What a caller can expect."""
    fee: str
    """What it costs more, or empty."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Colours:
    """The colour of links, buttons and frames of answers, for either theme."""

    light: str
    dark: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Unserved:
    """Equipment that the company doesn't work on."""

    trees: tuple[str, ...]
    """Those about it."""
    say: str
    """What to do instead."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What the company offers less than the trees do."""

    checks: tuple[str, ...]
    hazards: tuple[str, ...]
    locations: tuple[str, ...]
    spot: Spot

    def __bool__(self) -> bool:
        return bool(self.checks or self.hazards or self.locations)


@dataclass(frozen=True, slots=True)
class Company:
    """A company with whose name, numbers and limits an edition is made."""

    id: str
    name: str
    place: str
    languages: tuple[str, ...]
    address: str
    """Where its edition will lie (https), or empty where nobody knows yet."""
    phone: str
    """E.164: answered in the hours of `opening`."""
    opening: Opening
    after: After | None
    text: str
    """E.164 number for text messages, or empty."""
    licences: tuple[Licence, ...]
    area: tuple[str, ...]
    """Where it works."""
    colours: Colours | None
    logo: str
    """File of an SVG picture beside the company's file, or empty."""
    offers: Mapping[str, tuple[str, ...]]
    """Urgency -> ways to reach the company, the best first; what is left out is called about."""
    book: str
    """Page on which a visit is booked (https), or empty."""
    unserved: Unserved | None
    nobody_can_come: str
    """What to do at the highest urgency when nobody can come."""
    leave_out: LeftOut | None
    sooner: Mapping[str, str]
    """Urgency, or `tree/outcome` -> the more urgent one that the company gives it."""
    hosts: tuple[str, ...]
    """Origins of the sites that may show the pages in a frame."""
    review: Review | None
    """Who looked the edition over; without it each page says that it is a demo."""
    spot: Spot

    def ways(self, urgency: str) -> tuple[str, ...]:
        """How somebody is to reach the company at this urgency, the best way first."""
        return self.offers.get(urgency, (CALL,))

    def works_on(self, trees: Sequence[str]) -> bool:
        """Whether it works on equipment that `trees` are about: not if it leaves all to others."""
        left = self.unserved.trees if self.unserved else ()
        return not trees or not set(trees) <= set(left)

    def names(self) -> Iterator[Located]:
        """What it calls itself and its area: words of its own that make no sentence."""
        parts = (part for each in self.licences for part in (each.number, each.kind, each.holder))
        found = (self.name, *self.area, *parts)
        return (text for text in found if isinstance(text, Located) and text)

    def texts(self) -> Iterator[Located]:
        """Its own sentences, which stand on pages among ours."""
        found = [self.nobody_can_come]
        if self.after is not None:
            found += [self.after.say, self.after.fee]
        if self.unserved is not None:
            found.append(self.unserved.say)
        return (text for text in found if isinstance(text, Located) and text)


@dataclass(frozen=True, slots=True)
class Brand:
    """A company with its picture."""

    company: Company
    logo: str
    """Markup of the picture, or empty."""
    content: bytes
    """What its files hold, from which its edition's hash is made."""
