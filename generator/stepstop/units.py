"""Temperatures, lengths and areas in a text: in both units, and that of the place comes first.

A text is written with both, one in brackets: `68 °F (20 °C)`, `20 ft (6 m)`. Where a place counts
in the other unit, the two change places. What is none of these, such as the pressure
that a gauge shows in units of its own, stays as it is written.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

_SPACE = "[ \u00a0]"
_DIGITS = r"(?<!\d)[+\u2212-]?\d+(?:,\d{3})*(?:[.,]\d+)?"
_TO = rf"(?:{_SPACE}(?:to|and|or|a|y|o){_SPACE}|[\u2013-])"
"""Between the two ends of a span, in each language that texts are in."""
_NAMES = (
    r"(?:square )?(?:feet|foot|inch(?:es)?|yards?|miles?)"
    r"|(?:pie|pulgada|milla)s?(?: cuadrad[ao]s?)?"
)
_FEET = rf"{_NAMES}|ft|in|yd|mi"
_METERS = r"mm|cm|km|m|square met(?:er|re)s?|metros? cuadrados?"


def _sizes(unit: str) -> str:
    """A size in a unit, or a span of two: `20 ft`, `60 to 65 °F`, `60 °F to 65 °F`."""
    return rf"{_DIGITS}(?:(?:{_SPACE}?(?:{unit}))?{_TO}{_DIGITS})?{_SPACE}?(?:{unit})"


_IN_FEET = rf"{_sizes(_FEET)}|[^\W\d_]+{_SPACE}(?:{_NAMES})"
"""In words, too: `two feet`, `a foot`."""


def _pair(one: str, other: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w)({one}){_SPACE}\(({other})\)")


_TO_TURN = {
    "F": _pair(_sizes("°C"), _sizes("°F")),
    "C": _pair(_sizes("°F"), _sizes("°C")),
    "ft": _pair(_sizes(_METERS), _IN_FEET),
    "m": _pair(_IN_FEET, _sizes(_METERS)),
}
"""Unit that is to come first -> pairs in which it comes last."""


def own_first(text: str, temperature: str, length: str) -> str:
    """`text` with the units of a place first: `F` or `C`, and `ft` or `m`."""
    if "(" in text:
        for unit in (temperature, length):
            text = _TO_TURN[unit].sub(_turned, text)
    return text


def _turned(pair: re.Match[str]) -> str:
    one, other = pair.groups()
    return f"{other} ({one[0].lower()}{one[1:]})"


# ---- what a text lacks ----


@dataclass(frozen=True, slots=True)
class Odd:
    """A size that can't be shown as every place needs it."""

    words: str
    differs: bool
    """Whether it is there in both units, and the two are not the same."""


_COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_COUNTED = rf"(?:{_DIGITS}|\b(?:{'|'.join(_COUNTS)})|\ban?(?={_SPACE}(?:foot|inch|mile)\b))"
_BARE = (
    re.compile(rf"{_DIGITS}{_SPACE}?(?:°(?:{_SPACE}?[FC]\b)?|degrees?\b|[FC]\b)"),
    re.compile(
        rf"(?<!\w){_COUNTED}[ \u00a0-]?(?:{_NAMES}|(?:square )?(?:centi)?met(?:er|re)s?)\b",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?<!\w){_DIGITS}[ \u00a0-]?"
        rf"(?:(?:ft|yd|mi|{_METERS})\b|in\b(?={_SPACE}?(?:[.,;:!?)(]|$))|[\u2032\u2033])"
    ),
)
"""A temperature or a length in any form."""

_NUMBER = re.compile(_DIGITS)
_METERS_OF = {"mm": 0.001, "cm": 0.01, "m": 1.0, "km": 1000.0}
_FEET_OF = {"f": 1.0, "pi": 1.0, "i": 1 / 12, "pu": 1 / 12, "y": 3.0, "mi": 5280.0}
"""How the name of a unit begins -> feet."""
FOOT = 0.3048
"""In meters, by definition."""
NEAR_DEGREES = 1.0
"""So far, in °C, may a rounded temperature be from the exact one."""
NEAR_LENGTH = 0.15
"""So far, as a part of it, may a rounded length be from the exact one."""


def odd_sizes(text: str) -> Iterator[Odd]:
    """Each temperature or length of an English text in one unit only, or in two that differ."""
    rest = text
    for pattern in _TO_TURN.values() if "(" in text else ():
        for pair in pattern.finditer(text):
            if not _agree(*pair.groups()):
                yield Odd(pair.group(), differs=True)
        rest = pattern.sub(" ", rest)
    for pattern in _BARE:
        for bare in pattern.finditer(rest):
            yield Odd(bare.group(), differs=False)


def _agree(one: str, other: str) -> bool:
    """Whether two sizes are the same, rounded; of a span, both ends are."""
    ones, others = _numbers(one), _numbers(other)
    if len(ones) != len(others):
        return False
    if one.endswith("C"):
        ones, others = others, ones
    if "°" in one:
        return all(map(_near_degrees, ones, others))
    return all(
        abs(a * _meters(one) - b * _meters(other)) <= NEAR_LENGTH * a * _meters(one)
        for a, b in zip(ones, others, strict=True)
    )


def _near_degrees(fahrenheit: float, celsius: float) -> bool:
    """Whether they are the same temperature, or the same difference of two temperatures."""
    exact = (fahrenheit - 32) * 5 / 9, fahrenheit * 5 / 9
    return any(abs(each - celsius) <= NEAR_DEGREES for each in exact)


def _meters(size: str) -> float:
    """Meters in the unit of a length, or square meters in that of an area."""
    name = re.split(r"[\W\d_]", size)[-1]
    feet = (FOOT * feet for begin, feet in _FEET_OF.items() if name.startswith(begin))
    meters = _METERS_OF.get(name) or next(feet, 1.0)
    return meters**2 if "square " in size else meters


def _numbers(size: str) -> list[float]:
    """Its numbers; none where it is counted in a word such as `some`."""
    found = _NUMBER.findall(size)
    if found:
        return [
            float(re.sub(r",(?=\d{3})", "", each.replace("\u2212", "-")).replace(",", "."))
            for each in found
        ]
    word = re.split(_SPACE, size)[0].lower()
    known = {"a": 1.0, "an": 1.0} | {count: n + 1.0 for n, count in enumerate(_COUNTS)}
    return [known[word]] if word in known else []
