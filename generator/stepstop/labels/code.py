"""Codes that a phone's camera reads: QR Code, error correction M."""

from __future__ import annotations

from dataclasses import dataclass

import segno

from stepstop.labels.sheet import LEAST_CODE

QUIET = 4
"""Modules that stay white around a code (ISO/IEC 18004)."""
LEAST_MODULE = 0.4
"""Width of a module, mm: a judgement of ours."""


@dataclass(frozen=True, slots=True)
class Code:
    """The dark modules of a code."""

    modules: int
    """From side to side, with the quiet zone on both."""
    runs: tuple[tuple[int, int, int], ...]
    """(row, first column, length) of dark modules in a row, the quiet zone counted."""

    @property
    def least(self) -> float:
        """How wide it must be with its quiet zone at the least, mm."""
        return max(LEAST_CODE, LEAST_MODULE * self.modules)


def code_of(text: str) -> Code:
    """The code that holds `text`, as small as its level of error correction allows."""
    made = segno.make(text, error="m", micro=False, boost_error=False)
    runs = []
    for row, bits in enumerate(made.matrix):
        column = 0
        while column < len(bits):
            length = 1
            while column + length < len(bits) and bits[column + length] == bits[column]:
                length += 1
            if bits[column]:
                runs.append((row + QUIET, column + QUIET, length))
            column += length
    return Code(len(made.matrix) + 2 * QUIET, tuple(runs))
