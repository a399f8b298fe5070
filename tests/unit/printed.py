"""Printed labels as others see them: rendered, measured and scanned by libraries of their own."""

from dataclasses import dataclass

import cv2
import numpy as np
import pypdfium2

DPI = 300
POINT = 25.4 / 72

SHEETS = {
    "letter-10": (215.9, 279.4, 2, 5, 101.6, 50.8, 3.97, 12.7, 4.76),
    "letter-30": (215.9, 279.4, 3, 10, 66.7, 25.4, 4.76, 12.7, 3.18),
    "a4-8": (210, 297, 2, 4, 99.1, 67.7, 4.65, 13.1, 2.5),
    "a4-21": (210, 297, 3, 7, 63.5, 38.1, 7.25, 15.15, 2.5),
    "a4-24": (210, 297, 3, 8, 70, 37, 0, 0.5, 0),
}
"""Name -> page, columns, rows, label, left, top, gap across, mm: from memory, and rounded."""


def boxes(name):
    """(left, top, width, height) of each label of a sheet, mm, row by row."""
    _, _, columns, rows, width, height, left, top, gap = SHEETS[name]
    return [
        (left + column * (width + gap), top + row * height, width, height)
        for row in range(rows)
        for column in range(columns)
    ]


@dataclass(frozen=True)
class Scan:
    """A code as a phone finds it."""

    text: str
    box: tuple[float, float, float, float]
    """(left, top, right, bottom) without its quiet zone, mm from the corner of the page."""
    module: float
    """Width of a module, mm."""

    @property
    def quiet(self):
        """The same with the quiet zone of four modules."""
        left, top, right, bottom = self.box
        margin = 4 * self.module
        return left - margin, top - margin, right + margin, bottom + margin


def scanned(picture, box, *, per_mm):
    """The code in a box (left, top, width, height in mm) of a grey picture, or None."""
    left, top, width, height = (round(each * per_mm) for each in box)
    crop = picture[max(top, 0) : top + height, max(left, 0) : left + width]
    # OpenCV has two ways to find a code. The other one misses some that this one finds, and even
    # finds them itself in a picture of another size.
    text, corners, straight = cv2.QRCodeDetectorAruco().detectAndDecode(crop)
    if not text:
        return None
    (x0, y0), (x1, y1) = corners[0].min(axis=0), corners[0].max(axis=0)
    found = tuple(
        (offset + each) / per_mm
        for offset, each in (
            (max(left, 0), x0),
            (max(top, 0), y0),
            (max(left, 0), x1),
            (max(top, 0), y1),
        )
    )
    return Scan(text, found, (found[2] - found[0]) / straight.shape[0])


class Paper:
    """A PDF file on paper."""

    def __init__(self, path):
        self.document = pypdfium2.PdfDocument(path)

    def __len__(self):
        return len(self.document)

    def size(self, page=0):
        """Width and height, mm."""
        return tuple(each * POINT for each in self.document[page].get_size())

    def picture(self, page=0):
        """A page in grey, at 300 dots an inch."""
        return np.ascontiguousarray(
            self.document[page].render(scale=DPI / 72, grayscale=True).to_numpy()
        )

    def scans(self, name, page=0):
        """The code in each label of a sheet, or None."""
        picture = self.picture(page)
        return [scanned(picture, box, per_mm=DPI / 25.4) for box in boxes(name)]

    def letters(self, page=0):
        """(letter, (left, top, right, bottom) in mm) of all that can be selected."""
        read, high = self.document[page].get_textpage(), self.document[page].get_height()
        for number in range(read.count_chars()):
            letter = read.get_text_range(number, 1)
            left, bottom, right, top = read.get_charbox(number)
            if letter.strip():
                yield letter, tuple(e * POINT for e in (left, high - top, right, high - bottom))

    def text(self, box, page=0):
        """What is written inside a box (left, top, width, height in mm), on one line."""
        left, top, width, height = (each / POINT for each in box)
        high = self.document[page].get_height()
        found = (
            self.document[page]
            .get_textpage()
            .get_text_bounded(left, high - top - height, left + width, high - top)
        )
        return " ".join(found.split())


def line_at(picture, place, along, *, across, per_mm=DPI / 25.4):
    """Where a dark line runs near `place`, mm: across the picture, or down it, at `along` mm."""
    at, first = round(along * per_mm), max(round((place - 1) * per_mm), 0)
    strip = picture[at] if across else picture[:, at]
    dark = 255.0 - strip[first : round((place + 1) * per_mm)]
    assert dark.max() > 60, "no line"
    return (first + (dark * (np.arange(len(dark)) + 0.5)).sum() / dark.sum()) / per_mm
