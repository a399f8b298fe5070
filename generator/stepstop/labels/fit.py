"""The largest type in which texts fit into a column."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Protocol

POINT = 25.4 / 72
"""Millimetres of a point."""
SMALLEST = 6.0
"""Points; nothing on a label is set smaller."""
LARGEST = 12.0
STEP = 0.25
LEADING = 1.18
"""Height of a line in parts of its size."""
RISE = 0.93
"""From the top of a line to where its letters stand, in parts of its size."""

KEPT = "\xa0"
"""Stands for a space at which no line ends: the no-break space."""
_PART = re.compile(r"[^/]*/|[^/]+")


@dataclass(frozen=True, slots=True)
class Text:
    """A text with how it is to look beside the others."""

    text: str
    ratio: float
    """Size in parts of that of common text."""
    bold: bool = False
    gap: float = 0.0
    """What is free above it, in parts of the size of common text."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line as it is set."""

    text: str
    size: float
    """Points."""
    bold: bool
    width: float
    """Millimetres."""
    base: float
    """Where its letters stand, mm below the top of the column."""


@dataclass(frozen=True, slots=True)
class Column:
    """Texts set in lines."""

    size: float
    """Points of common text."""
    lines: tuple[Line, ...]
    height: float
    """Millimetres."""


class Measure(Protocol):
    """Tells how wide a text is, in parts of its size."""

    def __call__(self, text: str, /, *, bold: bool) -> float:
        """The width of `text`."""


def fitted(texts: Sequence[Text], width: float, height: float, measure: Measure) -> Column | None:
    """`texts` in the largest type with which they fit, or None if the smallest is too large.

    An address is parted only where it fits in no type as a whole.
    """
    for parts in (False, True):
        size = LARGEST
        while size >= SMALLEST:
            made = _set(texts, size, width, measure, parts=parts)
            if made is not None and made.height <= height:
                return made
            size -= STEP
    return None


def _set(
    texts: Sequence[Text], size: float, width: float, measure: Measure, *, parts: bool
) -> Column | None:
    """`texts` with `size` for common text; None if a word is wider than the column."""
    lines: list[Line] = []
    top = 0.0
    for text in texts:
        own = max(SMALLEST, size * text.ratio)
        top += text.gap * size * POINT if lines else 0.0
        wide = partial(measure, bold=text.bold)
        for words in wrapped(text.text, width / (own * POINT), wide, parts=parts):
            length = wide(words) * own * POINT
            if length > width:
                return None
            lines.append(Line(words, own, text.bold, length, top + RISE * own * POINT))
            top += LEADING * own * POINT
    return Column(size, tuple(lines), top)


def wrapped(
    text: str, most: float, measure: Callable[[str], float], *, parts: bool = False
) -> list[str]:
    """`text` in lines not wider than `most`, but for a word that is wider by itself.

    With `parts` such a word, an address, is parted after a slash. What `KEPT` joins stays in one
    line, where it becomes a space.
    """
    lines: list[str] = []
    for before, part in _pieces(text, most, measure, parts=parts):
        longer = f"{lines[-1]}{before}{part}" if lines else part
        if lines and measure(longer) <= most:
            lines[-1] = longer
        else:
            lines.append(part)
    return lines


def _pieces(
    text: str, most: float, measure: Callable[[str], float], *, parts: bool
) -> Iterator[tuple[str, str]]:
    """(what stands before it in a line, a piece that isn't broken) in their order."""
    for kept in text.split(" "):
        word = kept.replace(KEPT, " ")
        if not parts or measure(word) <= most:
            yield " ", word
            continue
        for number, part in enumerate(_PART.findall(word)):
            yield " " * (number == 0), part
