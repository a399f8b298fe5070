"""What a company says of itself, typed: frozen, complete at birth, every text with its spot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from stepstop.company.hours import Opening
from stepstop.model import Review
from stepstop.source import Spot

CALL, TEXT, BOOK = "call", "text", "book"
WAYS = (CALL, TEXT, BOOK)
"""How a company is reached: by voice, by text message, by a page where visits are booked."""

LEAVABLE = ("complaint", "part")
"""Roles of trees about equipment that a company may leave to others."""

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
class SaidAfter:
    """What is said of the time outside the hours, in another language."""

    say: str
    fee: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class SaidUnserved:
    """What is said of equipment that the company doesn't work on, in another language."""

    say: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class SaidLicence:
    """A licence as it is named in another language."""

    kind: str
    holder: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Translation:
    """The company's own words in another language."""

    after: SaidAfter | None
    unserved: SaidUnserved | None
    nobody_can_come: str
    licences: tuple[SaidLicence, ...]
    area: tuple[str, ...]
    review: Review | None
    """Who looked over the pages in it: without it they say that nobody did."""
    spot: Spot

    def sentences(self) -> dict[str, str]:
        """Way of keys -> sentence, as `Company.sentences`."""
        return _sentences(self)

    def names(self) -> dict[str, str]:
        """Way of keys -> name, as `Company.names`; what isn't translated is not among them."""
        return _names(self)


class NoLanguage(Exception):
    """A company's pages are not in a language; the message says in which they are."""


@dataclass(frozen=True, slots=True)
class Company:
    """A company with whose name, numbers and limits an edition is made."""

    id: str
    name: str
    place: str
    languages: tuple[str, ...]
    """Codes of the languages of its pages. The first one is its own: the file is written in it."""
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
    translations: Mapping[str, Translation]
    """Code of each further language -> its own words in it."""
    leave_out: LeftOut | None
    sooner: Mapping[str, str]
    """Urgency, or `tree/outcome` -> the more urgent one that the company gives it."""
    hosts: tuple[str, ...]
    """Origins of the sites that may show the pages in a frame."""
    review: Review | None
    """Who looked over the pages in its own language; without it each says that it is a demo."""
    spot: Spot

    def ways(self, urgency: str) -> tuple[str, ...]:
        """How somebody is to reach the company at this urgency, the best way first."""
        return self.offers.get(urgency, (CALL,))

    def works_on(self, trees: Sequence[str]) -> bool:
        """Whether it works on equipment that `trees` are about: not if it leaves all to others."""
        left = self.unserved.trees if self.unserved else ()
        return not trees or not set(trees) <= set(left)

    def left(self, tree: str) -> Unserved | None:
        """What is said of equipment that a tree is about, where it is left to others."""
        return self.unserved if self.unserved and tree in self.unserved.trees else None

    def names(self) -> dict[str, str]:
        """Way of keys -> what it calls its licences and its area: words of its own that make no
        sentence.
        """
        return _names(self)

    @property
    def kept(self) -> tuple[str, ...]:
        """What is the same in every language: its name, and the numbers of its licences."""
        return self.name, *(each.number for each in self.licences)

    def sentences(self) -> dict[str, str]:
        """Way of keys in the file -> sentence of its own, which stands on pages among ours.

        It is empty where it is left out.
        """
        return _sentences(self)

    def language(self, code: str | None) -> str:
        """`code`, or its own language where none is asked for; raises `NoLanguage`."""
        if code and code not in self.languages:
            named = ", ".join(self.languages)
            raise NoLanguage(f"the company's file has {named}, and no `{code}`")
        return code or self.languages[0]

    def said_in(self, code: str) -> Company:
        """The company with its words and reviewer in one of its languages; what is `kept` stays."""
        if code == self.languages[0]:
            return self
        said = self.translations[code]
        after, unserved = self.after, self.unserved
        if after is not None and said.after is not None:
            after = replace(after, say=said.after.say, fee=said.after.fee)
        if unserved is not None and said.unserved is not None:
            unserved = replace(unserved, say=said.unserved.say)
        licences = (
            replace(licence, kind=other.kind, holder=other.holder)
            for licence, other in zip(self.licences, said.licences, strict=True)
        )
        return replace(
            self,
            after=after,
            unserved=unserved,
            nobody_can_come=said.nobody_can_come,
            licences=tuple(licences),
            area=said.area,
            review=said.review,
        )


def _sentences(of: Company | Translation) -> dict[str, str]:
    found = {"nobody-can-come": of.nobody_can_come}
    if of.after is not None:
        found |= {"after-hours: say": of.after.say, "after-hours: fee": of.after.fee}
    if of.unserved is not None:
        found["unserved: say"] = of.unserved.say
    return found


def _names(of: Company | Translation) -> dict[str, str]:
    found = {f"area: {number}": text for number, text in enumerate(of.area, 1)}
    licences: Sequence[Licence | SaidLicence] = of.licences
    for number, each in enumerate(licences, 1):
        found |= {
            f"licences: {number}: kind": each.kind,
            f"licences: {number}: holder": each.holder,
        }
    return found


@dataclass(frozen=True, slots=True)
class Brand:
    """A company with its picture."""

    company: Company
    logo: str
    """Markup of the picture, or empty."""
    content: bytes
    """What its files hold, from which its edition's hash is made."""

    def said_in(self, code: str) -> Brand:
        """The brand with the company's words in one of its languages."""
        return replace(self, company=self.company.said_in(code))
