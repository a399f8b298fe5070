"""Where a value came from: every value read from a file keeps its spot."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple


class Spot(NamedTuple):
    """A stretch of one line in a source file."""

    file: str
    """Path as it was given, with forward slashes."""
    line: int
    """First line is 1; 0 stands for the file as a whole."""
    column: int
    """First column is 1, counted in characters."""
    length: int = 1
    """How many characters to mark, at least 1."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


def clean(name: str) -> str:
    """A file's name with a sign in the place of bytes that are no text."""
    return name.encode("utf-8", "replace").decode("utf-8")


def whole(path: Path) -> Spot:
    """The spot of a file, or a folder, as a whole."""
    return Spot(clean(path.as_posix()), 0, 0)


NOWHERE = Spot("", 0, 0)
"""The spot of a value that no file holds."""


class Located(str):
    """A text that remembers its spot and otherwise is a plain `str`."""

    __slots__ = ("spot",)
    spot: Spot

    def __new__(cls, text: str, spot: Spot) -> Located:
        """A text with the spot it was read from."""
        made = super().__new__(cls, text)
        made.spot = spot
        return made

    def __getnewargs__(self) -> tuple[str, Spot]:  # type: ignore[override]
        """What a copy, or a process to which it is sent, makes it anew from."""
        return str(self), self.spot


def spot_of(text: str) -> Spot:
    """The spot of `text`, or `NOWHERE` for a plain string."""
    return text.spot if isinstance(text, Located) else NOWHERE
