"""Shapes of what only a company's file has: numbers, addresses, colours, hours."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import urlsplit

import phonenumbers

from stepstop.company.hours import is_zone
from stepstop.language.messages import is_language
from stepstop.problems import quoted
from stepstop.shapes import Desk, Word, is_word
from stepstop.source import Located, Spot
from stepstop.yaml_reader import Node

MAX_LINK = 300
"""Characters of an address."""

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}\Z")
_CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)\Z|24:00\Z")
_LINK = re.compile(r"https://[\w.~:/?#\[\]@!$&()*+,;=%-]+\Z", re.ASCII)
_HOST = re.compile(r"(?:[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z][a-z0-9-]{0,61}[a-z0-9]\Z")
_PICTURE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*\.svg\Z")


@dataclass(frozen=True, slots=True)
class Known(Word):
    """One value of a form that a function knows."""

    wanted: str
    is_right: Callable[[str], object]
    flaw: str
    wrong: str
    """What is said of a value that isn't right."""
    mend: str
    make: Callable[[str], str] = str
    """What the value is taken as."""
    pattern: str = ""
    """Regular expression that every right value matches, for editors; empty where none is known."""

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The value with its spot."""
        if not is_word(node, self.wanted, desk):
            return None
        if not self.is_right(node.text):
            desk.report(node.spot, self.flaw, f"{quoted(node.text)} {self.wrong}", self.mend)
            return None
        return Located(self.make(node.text), node.spot)


def _is_number(text: str) -> bool:
    if not re.fullmatch(r"\+[1-9]\d{6,14}", text, re.ASCII):
        return False
    try:
        return phonenumbers.is_possible_number(phonenumbers.parse(text, None))
    except phonenumbers.NumberParseException:
        return False


PHONE = Known(
    "a telephone number",
    _is_number,
    "wrong-type",
    "is not a whole telephone number",
    'write it in quotes with plus and country, digits alone: "+12025550143"',
)
"""As ITU-T E.164 has it: `+`, country, number, in digits alone."""

ZONE = Known(
    "a time zone",
    is_zone,
    "unknown-word",
    "is not a time zone",
    "write it like America/Chicago: continent and city of the IANA database",
)

LANGUAGE = Known(
    "the code of a language",
    is_language,
    "unknown-word",
    "is not the code of a language",
    "write it in two or three small letters: en, es",
    pattern="[a-z]{2,3}",
)

COLOUR = Known(
    "a color",
    _COLOUR.match,
    "wrong-type",
    "is not a color",
    'write it in quotes with six digits: "#0a4b9c"',
    str.lower,
)
"""In sRGB, `#rrggbb`, in small letters."""

PICTURE = Known(
    "the name of a picture",
    _PICTURE.match,
    "odd-name",
    "is not the name of an SVG file beside this one",
    "put the picture beside this file, and write its name: logo.svg",
)


def shown(number: str) -> str:
    """An E.164 number as people of its country write it; others' with its country."""
    parsed = phonenumbers.parse(number, None)
    is_north_american = parsed.country_code == 1
    form = phonenumbers.PhoneNumberFormat
    text: str = phonenumbers.format_number(
        parsed, form.NATIONAL if is_north_american else form.INTERNATIONAL
    )
    return text


@dataclass(frozen=True, slots=True)
class Link(Word):
    """A whole web address that begins with `https://`."""

    is_origin: bool = False
    """Whether nothing may follow the host's name (RFC 6454)."""

    def read(self, node: Node, desk: Desk) -> Located | None:
        """The address with its spot."""
        wanted = "the beginning of a web address" if self.is_origin else "a web address"
        if not is_word(node, wanted, desk):
            return None
        fault = self._fault(node.text)
        if fault is not None:
            message = f"{quoted(node.text)} {fault[0]}"
            desk.report(node.spot, "unsafe-link", message, fault[1])
            return None
        return Located(node.text, node.spot)

    def _fault(self, text: str) -> tuple[str, str] | None:
        if len(text) > MAX_LINK:
            return f"has more than {MAX_LINK} characters", "give a shorter address"
        if not text.startswith("https://"):
            return "does not begin with `https://`", "write the whole address, with https"
        if not _LINK.match(text):
            return "has signs that no address has", "write other signs as `%` and two digits"
        try:
            parts = urlsplit(text)
            port = parts.port
        except ValueError:
            return "is no address", "write it as a browser shows it"
        if "@" in parts.netloc or not _HOST.match(parts.hostname or ""):
            return "names no host", "write it as a browser shows it: https://www.example.com/"
        own = f"https://{parts.hostname}" + (f":{port}" if port else "")
        if self.is_origin and text != own:
            return "is more than a host", f"write {own}"
        return None


@dataclass(frozen=True, slots=True)
class Clock:
    """A time of day from 00:00 to 24:00, as minutes after midnight."""

    def read(self, node: Node, desk: Desk) -> int | None:
        """The minutes."""
        if not is_word(node, "a time of day", desk):
            return None
        if not _CLOCK.match(node.text):
            message = f"{quoted(node.text)} is not a time of day"
            mend = 'write it in quotes, from "00:00" to "24:00"'
            desk.report(node.spot, "wrong-type", message, mend)
            return None
        return 60 * int(node.text[:2]) + int(node.text[3:])

    def blank(self, spot: Spot) -> int:
        """Midnight."""
        return 0
