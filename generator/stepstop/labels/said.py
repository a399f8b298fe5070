"""What a label says: of a unit, and of the company whose pages it leads to."""

from __future__ import annotations

from dataclasses import dataclass

from stepstop.company import hours
from stepstop.company.model import Company
from stepstop.company.shapes import shown
from stepstop.labels.fit import KEPT
from stepstop.language.tongue import ENGLISH, Tongue, Worded, phrase
from stepstop.model import Equipment, Place
from stepstop.pages.address import START, equipment_file
from stepstop.pages.company import DEMO
from stepstop.pages.words import fill, plain

DANGER = phrase("Smell gas, or an alarm sounds? Go outside first. Then call {emergency}.")
SCAN = phrase("Scan the code, or go to {address}")
"""Where there is room."""
OTHER_HOURS = phrase("At other hours: {number}.")


@dataclass(frozen=True, slots=True)
class Label:
    """The texts of one label."""

    url: str
    """What its code holds."""
    asks: str
    address: str
    """The same in letters, as people type it."""
    scan: str
    """What to do with either."""
    danger: str
    name: str
    phone: str
    hours: str
    """When the number is answered, and what then: for labels with room."""
    licences: str
    demo: str
    """That nobody has looked it over, or empty."""


def label_for(unit: Equipment, company: Company, place: Place, tongue: Tongue = ENGLISH) -> Label:
    """The label of `company` for `unit`, all of them in one language of the company's; it has an
    address.
    """
    worded, is_own = tongue.worded, tongue.code == company.languages[0]
    folder = "" if is_own else f"{tongue.code}/"
    page = equipment_file(unit.id).removesuffix(START)
    address = f"{company.address.rstrip('/')}/{folder}{page}"
    shown_address = address.removeprefix("https://")
    numbers = ", ".join(each.number for each in company.licences)
    return Label(
        url=address,
        asks=plain(fill(unit.label, place)),
        address=shown_address,
        scan=worded(SCAN, address=shown_address),
        danger=plain(fill(worded(DANGER), place)),
        name=str(company.name),
        phone=worded("Call {number}", number=_number(company.phone)),
        hours=_hours(company, worded),
        licences=worded("License {numbers}", numbers=numbers),
        demo="" if company.review else worded(DEMO),
    )


def _hours(company: Company, worded: Worded) -> str:
    """The hours in a few words; days on which nobody answers aren't named."""
    week, closed = hours.lines(company.opening, worded), worded("closed")
    said = "; ".join(f"{days} {time}" for days, time in week if time != closed)
    for half in (worded("{time} AM", time=""), worded("{time} PM", time="")):
        said = said.replace(half, half.replace(" ", KEPT))
    after = company.after
    other = worded(OTHER_HOURS, number=_number(after.phone)) if after and after.phone else ""
    return f"{said.removesuffix('.')}. {other}".rstrip()


def _number(e164: str) -> str:
    """A telephone number, which no line parts."""
    return shown(e164).replace(" ", KEPT)
