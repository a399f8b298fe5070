"""Whether a regular expression of the word lists is right, and quick on any text.

Python's matcher tries again from every place where it could have chosen otherwise, so a repeated
group with a choice inside takes time that doubles with each letter of the text. We refuse whatever
could do so; the word lists need no such patterns.
"""

from __future__ import annotations

import re
import warnings
from dataclasses import dataclass

FEW = 4
"""A group with a choice inside may be repeated so often at the most."""
WIDE = 2
"""Repeats of nearly any sign (`.*`, `[^x]+`) that one way through a pattern may have."""

_TOKEN = re.compile(
    r"(?P<open>\((?:\?(?:[:=!]|<[=!]))?)|(?P<close>\))|(?P<bar>\|)"
    r"|(?P<repeat>[*+?]|\{(?:\d+(?:,\d*)?|,\d*)\})"
    r"|(?P<wide>\.|\\[DWS]|\[\^\]?(?:\\.|[^\]\\])*\])|(?P<one>\\.|\[\]?(?:\\.|[^\]\\])*\]|.)",
    re.DOTALL,
)

_KNOWN = re.compile(r"\\.|\[\^?\]?(?:\\.|[^\]\\])*\]|\(\?(?:[:=!]|<[=!])", re.DOTALL)
"""What may hold the signs `(?` without beginning a group that we don't follow."""


@dataclass(slots=True)
class _Group:
    """What stands between two brackets, as far as it was read."""

    chooses: bool = False
    """Whether it can match the same text in two ways, as far as we can see."""
    wide: int = 0
    """Wide repeats on this way through."""
    widest: int = 0
    """The most of them on any way through."""

    def end_way(self) -> None:
        self.widest, self.wide = max(self.widest, self.wide), 0


def fault(pattern: str) -> tuple[str, str] | None:
    """The flaw of a pattern and what is wrong with it, or None."""
    wrong = _compiled(pattern)
    if wrong is not None:
        return "wrong-type", wrong
    if "(?" in _KNOWN.sub("", pattern):
        return (
            "wrong-type",
            "only `(?:`, `(?=` and `(?!` are read of the groups with `(?`",
        )
    if _is_slow(pattern):
        return "slow-pattern", "a repeat stands inside a repeat, or `.*` too often"
    return None


def _compiled(pattern: str) -> str | None:
    try:
        with warnings.catch_warnings(action="error"):
            alone = re.compile(pattern)
            re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE)
    except (re.error, OverflowError, RecursionError, Warning) as error:
        return f"this is not a regular expression: {error}"
    return "it also fits an empty text" if alone.match("") else None


def _is_slow(pattern: str) -> bool:
    stack = [_Group()]
    before: tuple[str, _Group | None] = ("", None)
    for token in _TOKEN.finditer(pattern):
        kind = str(token.lastgroup)
        is_first = kind == "repeat" and before[0] != "repeat"
        if is_first and _repeats_badly(token.group(), before, stack):
            return True
        before = (kind, _nest(kind, stack))
    stack[0].end_way()
    return stack[0].widest > WIDE


def _nest(kind: str, stack: list[_Group]) -> _Group | None:
    """Follow one token into or out of a group; the group that it closes, if it does."""
    if kind == "open":
        stack.append(_Group())
    elif kind == "bar":
        stack[-1].end_way()
        stack[-1].chooses = True
    elif kind == "close" and len(stack) > 1:
        done = stack.pop()
        done.end_way()
        stack[-1].wide += done.widest
        stack[-1].chooses |= done.chooses
        return done
    return None


def _repeats_badly(repeat: str, before: tuple[str, _Group | None], stack: list[_Group]) -> bool:
    kind, group = before
    least, most = _times(repeat)
    stack[-1].wide += kind == "wide" and most > FEW
    stack[-1].chooses |= least != most
    return group is not None and group.chooses and most > FEW


def _times(repeat: str) -> tuple[float, float]:
    """How often a repeat may match: least and most."""
    known = {"*": (0, float("inf")), "+": (1, float("inf")), "?": (0, 1)}
    if repeat in known:
        return known[repeat]
    least, comma, most = repeat[1:-1].partition(",")
    return int(least or 0), int(most or least) if most or not comma else float("inf")
