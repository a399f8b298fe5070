"""What stands in a company's slots: its name, colours, numbers and hours, as pages show them."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from stepstop.company import colours, hours
from stepstop.company.model import CALL, PRESSING, After, Brand, Company, Licence
from stepstop.company.shapes import shown as as_written
from stepstop.edition import Edition
from stepstop.language.messages import long_date
from stepstop.language.tongue import Tongue, Worded, phrase
from stepstop.model import Library, Place
from stepstop.pages.frame import reviewed
from stepstop.pages.rendering import Renderer
from stepstop.pages.slots import IN, Filler, form_of
from stepstop.pages.style import Inline
from stepstop.pages.words import Part, Said, fill, plain, sentence

DEMO = phrase("DEMO, not reviewed")
"""What each page says as long as the company's file names nobody who looked it over."""


@dataclass(frozen=True, slots=True)
class CompanyView:
    """A company as templates show it."""

    name: str
    logo: Markup
    phone: Said
    hours: tuple[tuple[str, str], ...]
    """(days, hours) of a week, in words."""
    opening: str
    """The hours as the script reads them."""
    closed: tuple[str, ...]
    """Days on which nobody answers."""
    after: AfterView | None
    text: str
    """Number for text messages, E.164, or empty."""
    text_shown: str
    book: str
    licences: tuple[str, ...]
    area: tuple[str, ...]
    nobody_can_come: Said
    unserved: Said
    review: str
    """Who looked it over, or that nobody did."""


@dataclass(frozen=True, slots=True)
class AfterView:
    """What happens outside the hours."""

    phone: Said
    say: Said
    fee: Said


def company_view(
    company: Company, logo: str, place: Place, date: str, tongue: Tongue
) -> CompanyView:
    """The view of `company`; `date` (YYYY-MM-DD, or empty) tells whether its review is due.

    Its words are in the language of `company.said_in`; what is `kept` is as the file has it.
    """
    review, worded = company.review, tongue.worded
    who = reviewed(review, date, worded) if review else ""
    return CompanyView(
        name=str(company.name),
        logo=Markup(logo),
        phone=number(company.phone),
        hours=hours.lines(company.opening, worded),
        opening=hours.plain(company.opening),
        closed=tuple(_day(each, tongue) for each in sorted(company.opening.closed)),
        after=_after(company.after, place) if company.after else None,
        text=str(company.text),
        text_shown=as_written(company.text) if company.text else "",
        book=str(company.book),
        licences=tuple(_licence(each, worded) for each in company.licences),
        area=tuple(plain(fill(each, place)) for each in company.area),
        nobody_can_come=fill(company.nobody_can_come, place),
        unserved=fill(company.unserved.say, place) if company.unserved else (),
        review=worded("Reviewed by {reviews}", reviews=who) if review else worded(DEMO),
    )


def _licence(licence: Licence, worded: Worded) -> str:
    given = {"kind": licence.kind, "number": licence.number, "holder": licence.holder}
    return worded("{kind} {number}, held by {holder}", **given)


def _day(date: str, tongue: Tongue) -> str:
    """A date as people read it."""
    return long_date(datetime.date.fromisoformat(date), tongue.code)


def _after(after: After, place: Place) -> AfterView:
    return AfterView(
        number(after.phone) if after.phone else (),
        fill(after.say, place),
        fill(after.fee, place) if after.fee else (),
    )


def number(e164: str) -> Said:
    """A number that can be tapped."""
    return (Part(as_written(e164), e164),)


class Fill:
    """What stands in the slots of one company's pages; each slot is made once."""

    def __init__(
        self,
        brand: Brand,
        library: Library,
        edition: Edition,
        renderer: Renderer,
        beside: Mapping[str, Filler] | None = None,
    ) -> None:
        """`beside` fills what is in other languages, by their codes."""
        company = brand.company
        self._beside = {} if beside is None else beside
        self._company, self._library, self._renderer = company, library, renderer
        self._edition = edition
        self._view = company_view(company, brand.logo, edition.place, edition.date, edition.tongue)
        self._sheet = colours.sheet(company.colours) if company.colours else ""
        self._styles: dict[str, Inline] = {}
        self._known: dict[str, str] = {}

    def __call__(self, words: str) -> str:
        """The text for the slot of these words."""
        found = self._known.get(words)
        if found is None:
            name, *rest = words.split(" ")
            if name == IN:
                code, *other = rest
                return self._beside[code](" ".join(other))
            made: str = getattr(self, f"_{name.replace('-', '_')}")(*rest)
            found = self._known[words] = made
        return found

    def _style(self, look: str) -> str:
        if look not in self._styles:
            self._styles[look] = self._renderer.style(look, self._sheet)
        return self._styles[look].text

    def _style_hash(self, look: str) -> str:
        self._style(look)
        return self._styles[look].hash

    def _hash(self) -> str:
        return self._edition.hash

    def _text(self, tree: str) -> str:
        """The number for text messages, where the company works on what the page is about."""
        return "" if self._company.left(tree) else self._view.text

    def _review(self) -> str:
        return str(escape(self._view.review))

    def _brand(self) -> str:
        return self._piece("brand", self._view)

    def _brand_logo(self) -> str:
        return self._piece("brand_logo", self._view)

    def _foot(self) -> str:
        return self._piece("foot", self._view)

    def _paper(self) -> str:
        return self._piece("paper", self._view)

    def _call(self, kind: str, urgency: str, tree: str, who: str) -> str:
        catalogue = self._library.catalogue
        if self._company.left(tree):
            said = fill(catalogue.who[who].say, self._edition.place)
            return self._piece("call_other", self._view, kind, said)
        is_pressing = catalogue.urgencies[urgency].rank <= PRESSING
        return self._piece("call", self._view, kind, ways(self._company, urgency), is_pressing)

    def _said_to_come(self, tree: str, who: str) -> str:
        """Who comes, as it is said on the phone: of what is left to others, what to do instead."""
        if unserved := self._company.left(tree):
            return plain(fill(unserved.say, self._edition.place))
        return plain(sentence(fill(self._library.catalogue.who[who].say, self._edition.place)))

    def _comes(self, tree: str, who: str) -> str:
        """The same within data."""
        return json.dumps(self._said_to_come(tree, who), ensure_ascii=False)[1:-1]

    def _comes_shown(self, tree: str, who: str) -> str:
        """The same within HTML."""
        return str(escape(self._said_to_come(tree, who)))

    def _unserved(self, equipment: str) -> str:
        unit = self._library.catalogue.equipment[equipment]
        return "" if self._company.works_on(unit.trees) else self._piece("unserved", self._view)

    def _piece(self, name: str, *given: Any) -> str:
        return str(self._renderer.piece(name, *given)).strip()


def filled(page: bytes, edition: Edition, library: Library, renderer: Renderer) -> bytes:
    """A single page with what is the company's own; of everybody's edition as it is."""
    if edition.brand is None:
        return page
    return form_of(page).filled(Fill(edition.brand, library, edition, renderer))


def ways(company: Company, urgency: str) -> tuple[str, ...]:
    """The ways in which the company is reached at `urgency`: a call is always among them."""
    offered = company.ways(urgency)
    return offered if CALL in offered else (*offered, CALL)
