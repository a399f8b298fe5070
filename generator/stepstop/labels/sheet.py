"""Sheets of labels: where each label lies on its page, in millimetres.

The ready sheets are usual sizes, from memory: check one against a real sheet (`--grid` on plain
paper) before many are printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stepstop.problems import Problem, sorted_once
from stepstop.shapes import Desk, Key, Number, Record, is_word
from stepstop.source import NOWHERE, Spot
from stepstop.yaml_reader import Node, read_file

LEAST_CODE = 20.0
"""Width of a code with its quiet zone, mm: a judgement of ours."""
INSET = 1.8
"""What stays free inside the edge of a label, mm: printers and knives are off by as much."""
PRINTER_EDGE = 4.3
"""What many printers leave blank at the edge of a page, mm: common practice, no source."""
LARGEST_PAGE = 1000.0
MOST_NUDGE = 5.0
"""By so much a print may be moved, mm: a printer that is off by more has another paper in it."""
SLACK = 0.1
"""By so much labels may be larger than their page in all, mm: sizes are often given rounded."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, mm from the upper left corner of its page."""

    x: float
    y: float
    width: float
    height: float

    def moved(self, across: float, down: float) -> Box:
        """The same elsewhere."""
        return Box(self.x + across, self.y + down, self.width, self.height)


@dataclass(frozen=True, slots=True)
class Size:
    """Width and height, mm."""

    width: float
    height: float
    spot: Spot = NOWHERE


@dataclass(frozen=True, slots=True)
class Margin:
    """Where the first label begins, mm."""

    left: float
    top: float
    spot: Spot = NOWHERE


@dataclass(frozen=True, slots=True)
class Gap:
    """What lies between labels side by side, and one above the other, mm."""

    across: float
    down: float
    spot: Spot = NOWHERE


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of labels, all of one size."""

    page: Size
    columns: int
    rows: int
    label: Size
    margin: Margin
    gap: Gap
    spot: Spot = NOWHERE

    @property
    def count(self) -> int:
        """How many labels a page has."""
        return self.columns * self.rows

    def box(self, number: int) -> Box:
        """Where label `number` lies, counted from 0, row by row."""
        row, column = divmod(number, self.columns)
        return Box(
            self.margin.left + column * (self.label.width + self.gap.across),
            self.margin.top + row * (self.label.height + self.gap.down),
            self.label.width,
            self.label.height,
        )

    def inside(self) -> Box:
        """What of a label may be printed on, from its own corner: for all labels alike.

        Near the edge of the page less of it may, since printers leave that blank.
        """
        last = self.box(self.count - 1)
        left, top = _free(self.margin.left), _free(self.margin.top)
        right = _free(self.page.width - last.x - last.width)
        bottom = _free(self.page.height - last.y - last.height)
        return Box(left, top, last.width - left - right, last.height - top - bottom)


def _free(beyond: float) -> float:
    """What stays free at an edge of a label which lies so far from that of the page."""
    return max(INSET, PRINTER_EDGE - beyond)


_LETTER, _A4 = Size(215.9, 279.4), Size(210.0, 297.0)
READY = {
    "letter-10": Sheet(_LETTER, 2, 5, Size(101.6, 50.8), Margin(3.96875, 12.7), Gap(4.7625, 0.0)),
    "letter-30": Sheet(_LETTER, 3, 10, Size(66.675, 25.4), Margin(4.7625, 12.7), Gap(3.175, 0.0)),
    "a4-8": Sheet(_A4, 2, 4, Size(99.1, 67.7), Margin(4.65, 13.1), Gap(2.5, 0.0)),
    "a4-21": Sheet(_A4, 3, 7, Size(63.5, 38.1), Margin(7.25, 15.15), Gap(2.5, 0.0)),
    "a4-24": Sheet(_A4, 3, 8, Size(70.0, 37.0), Margin(0.0, 0.5), Gap(0.0, 0.0)),
}
"""Name -> sheet; from memory, check against a real sheet."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length of a sheet, mm."""

    least: float = 0.0
    below: str = "is less than nothing"
    """What is said of one that is negative."""

    def read(self, node: Node, desk: Desk) -> float | None:
        """The length."""
        if not is_word(node, "a length in millimeters", desk):
            return None
        if node.text.startswith("-"):
            desk.report(node.spot, "contradiction", f"`{node.text}` {self.below}", "measure again")
            return None
        found = Number(self.least, whole=False).read(node, desk)
        if found is not None and found > LARGEST_PAGE:
            message = f"`{node.text}` is more than {LARGEST_PAGE:g} mm"
            desk.report(node.spot, "wrong-type", message, "write millimeters")
            return None
        return None if found is None else float(found)

    def blank(self, spot: Spot) -> float:
        """The least."""
        return self.least


_OVER = "makes labels overlap"
_SIDES = {
    "width": Key(Length(1.0), "from left to right, mm", needed=True),
    "height": Key(Length(1.0), "from top to bottom, mm", needed=True),
}
SHEET = Record(
    Sheet,
    {
        "page": Key(Record(Size, _SIDES), "the paper", needed=True),
        "columns": Key(Number(1), "labels side by side", needed=True),
        "rows": Key(Number(1), "labels one above the other", needed=True),
        "label": Key(Record(Size, _SIDES), "one label", needed=True),
        "margin": Key(
            Record(
                Margin,
                {
                    "left": Key(Length(), "from the edge of the paper, mm", needed=True),
                    "top": Key(Length(), "from the edge of the paper, mm", needed=True),
                },
            ),
            "where the first label begins",
            needed=True,
        ),
        "gap": Key(
            Record(
                Gap,
                {
                    "across": Key(Length(below=_OVER), "side by side, mm", 0.0),
                    "down": Key(Length(below=_OVER), "one above the other, mm", 0.0),
                },
            ),
            "what lies between labels",
            Gap(0.0, 0.0),
        ),
    },
)


def read_sheet(path: Path) -> tuple[Sheet | None, tuple[Problem, ...]]:
    """The sheet that the file `path` tells of, or all the problems that stand in the way."""
    desk = Desk()
    node, found = read_file(path, path.as_posix())
    desk.problems += found
    sheet: Sheet | None = None if node is None else SHEET.read(node, desk)
    if sheet is not None and not desk.problems:
        _fits(sheet, desk)
    problems = tuple(sorted_once(desk.problems))
    return (None if problems else sheet), problems


def _fits(sheet: Sheet, desk: Desk) -> None:
    """Report labels that leave the page, or that can hold no code."""
    last = sheet.box(sheet.count - 1)
    for side, end, whole, count in (
        ("wide", last.x + last.width, sheet.page.width, f"{sheet.columns} columns"),
        ("high", last.y + last.height, sheet.page.height, f"{sheet.rows} rows"),
    ):
        if end > whole + SLACK:
            message = f"{count} with margin and gaps are {end:g} mm {side}, the page {whole:g}"
            desk.report(sheet.label.spot, "contradiction", message, "measure again, or fewer")
            return
    inside = sheet.inside()
    smaller = min(inside.width, inside.height)
    if smaller < LEAST_CODE:
        message = f"{max(smaller, 0.0):.1f} mm of a label can be printed on, "
        message += f"and its code needs {LEAST_CODE:g}"
        desk.report(sheet.label.spot, "contradiction", message, "choose larger labels")
