"""What a label says: of a unit, and of the company whose pages it leads to."""

from __future__ import annotations

from dataclasses import dataclass

from stepstop.company import hours
from stepstop.company.model import Company
from stepstop.company.shapes import shown
from stepstop.labels.fit import KEPT
from stepstop.model import Equipment, Place
from stepstop.pages.address import START, equipment_file
from stepstop.pages.company import DEMO
from stepstop.pages.words import fill, plain

DANGER = "Smell gas, or an alarm sounds? Go outside first. Then call {emergency}."
SCAN = "Scan the code, or go to"
"""Stands before the address, where there is room."""
CALL, OTHER_HOURS, LICENSE = "Call", "At other hours:", "License"


@dataclass(frozen=True, slots=True)
class Label:
    """The texts of one label."""

    url: str
    """What its code holds."""
    asks: str
    address: str
    """The same in letters, as people type it."""
    danger: str
    name: str
    phone: str
    hours: str
    """When the number is answered, and what then: for labels with room."""
    licences: str
    demo: str
    """That nobody has looked it over, or empty."""


def label_for(unit: Equipment, company: Company, place: Place) -> Label:
    """The label of `company` for `unit`; the company has an address."""
    address = f"{company.address.rstrip('/')}/{equipment_file(unit.id).removesuffix(START)}"
    numbers = ", ".join(each.number for each in company.licences)
    return Label(
        url=address,
        asks=plain(fill(unit.label, place)),
        address=address.removeprefix("https://"),
        danger=plain(fill(DANGER, place)),
        name=str(company.name),
        phone=f"{CALL} {_number(company.phone)}",
        hours=_hours(company),
        licences=f"{LICENSE} {numbers}",
        demo="" if company.review else DEMO,
    )


def _hours(company: Company) -> str:
    """The hours in a few words; days on which nobody answers aren't named."""
    answered = [f"{days} {time}" for days, time in hours.lines(company.opening) if time != "closed"]
    said = "; ".join(answered).replace(" AM", f"{KEPT}AM").replace(" PM", f"{KEPT}PM")
    after = company.after
    other = f" {OTHER_HOURS} {_number(after.phone)}." if after and after.phone else ""
    return f"{said}.{other}"


def _number(e164: str) -> str:
    """A telephone number, which no line parts."""
    return shown(e164).replace(" ", KEPT)
