"""Texts for a place: its numbers and names put in for {emergency} and the like, its units first."""

from __future__ import annotations

import re
from dataclasses import dataclass

from stepstop.model import Place
from stepstop.units import own_first

_SLOT = re.compile(r"\{([a-z]+(?:-[a-z]+)*)\}")


class PageError(Exception):
    """A page can't be made: a mistake of ours, or of a template or drawing put in place of ours."""


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of a text; with a number it can be tapped to call."""

    text: str
    tel: str = ""


Said = tuple[Part, ...]
"""One text, ready to be shown."""


def fill(text: str, place: Place) -> Said:
    """`text` for `place`: slots filled, units in its order; raises `PageError` for an odd slot."""
    text = own_first(text, place.temperature, place.length).replace(" °", "\u00a0°")
    parts, end = [], 0
    for slot in _SLOT.finditer(text):
        parts += [Part(text[end : slot.start()]), _filled(slot.group(1), text, place)]
        end = slot.end()
    return tuple(part for part in (*parts, Part(text[end:])) if part.text)


def fill_all(texts: tuple[str, ...], place: Place) -> tuple[Said, ...]:
    """Each text filled for `place`."""
    return tuple(fill(text, place) for text in texts)


def sentence(said: Said) -> Said:
    """The same as a sentence: a capital first, a full stop last."""
    if not said:
        return ()
    first, last = said[0], said[-1]
    whole = (Part(first.text[:1].upper() + first.text[1:], first.tel), *said[1:])
    return whole if last.text.endswith(".") else (*whole, Part("."))


def plain(said: Said) -> str:
    """What is said, without links."""
    return "".join(part.text for part in said)


def _filled(name: str, text: str, place: Place) -> Part:
    if name == "emergency":
        return Part(place.emergency_say, tel(place.emergency))
    names = {"gas-line": place.gas_say, "power-company": place.power_say}
    if name not in names:
        raise PageError(f"nothing is known to put for {{{name}}} in: {text}")
    return Part(names[name])


def tel(number: str) -> str:
    """The digits of `number` as a `tel:` link takes them (RFC 3966, separators left out)."""
    return re.sub(r"[^0-9+]", "", number)
