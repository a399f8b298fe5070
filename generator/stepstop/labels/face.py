"""The type of labels: how wide a text is, and which signs there are."""

from __future__ import annotations

import unicodedata
from functools import cache
from pathlib import Path

from fpdf import FPDF

from stepstop.labels.errors import LabelError

CORE = "helvetica"
"""A type that every reader of PDF has (ISO 32000-1, 9.6.2.2), for the signs of Latin-1 alone."""
OWN = "own"
WIDE, OTHER = 1.0, 0.75
"""Widths that are taken for signs whose type nobody knows, in parts of its size."""


class Face:
    """The type that labels are set in: one that every reader has, or that of a font's file."""

    def __init__(self, file: Path | None = None) -> None:
        self.family = OWN if file else CORE
        self._file = file
        self._pdf = FPDF(unit="pt")
        self.prepare(self._pdf)
        self._known: frozenset[int] = frozenset()
        if file is not None:
            self._pdf.set_font(OWN, "", 100)
            self._known = frozenset(getattr(self._pdf.current_font, "cmap", ()))
        self.measure = cache(self._measured)

    @property
    def is_core(self) -> bool:
        """Whether it is the one that every reader has."""
        return self._file is None

    def prepare(self, pdf: FPDF) -> None:
        """Make `pdf` know the type, in both weights; a file has one for both."""
        if self._file is None:
            return
        try:
            for style in ("", "B"):
                pdf.add_font(OWN, style, self._file)
        except Exception as error:  # A broken font fails in whatever reads it.
            message = f"{self._file} can't be embedded as a font ({error}); name a TrueType file"
            raise LabelError(message) from None

    def lacks(self, text: str) -> str:
        """The signs of `text` that the type hasn't, each once."""
        return "".join(dict.fromkeys(sign for sign in text if not self._has(sign)))

    def _has(self, sign: str) -> bool:
        if self._file is not None:
            return ord(sign) in self._known
        return " " <= sign <= "~" or "\xa0" <= sign <= "\xff"

    def _measured(self, text: str, *, bold: bool) -> float:
        """How wide `text` is, in parts of its size; what the type hasn't is guessed, and wide."""
        known = "".join(sign for sign in text if self._has(sign))
        self._pdf.set_font(self.family, "B" if bold else "", 100)
        guessed = sum(_guess(sign) for sign in text if not self._has(sign))
        return float(self._pdf.get_string_width(known)) / 100 + guessed


def _guess(sign: str) -> float:
    if unicodedata.combining(sign):
        return 0.0
    return WIDE if unicodedata.east_asian_width(sign) in "WF" else OTHER
