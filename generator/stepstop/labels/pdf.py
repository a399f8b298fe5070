"""A drawing as a PDF file."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

from fpdf import FPDF, ViewerPreferences

from stepstop.labels.drawing import Drawing, Ink, Outline, Page, Words
from stepstop.labels.errors import LabelError
from stepstop.labels.face import Face

HAIRLINE = 0.15
"""Width of an outline, mm."""
UNDATED = "1970-01-01"
"""Stands in the file, which must have a day, where nobody gave one."""


def pdf_file(drawing: Drawing, face: Face, dated: str) -> bytes:
    """The drawing as a file of the day `dated` (YYYY-MM-DD, or empty): no clock is read.

    Raises `LabelError` for a sign that the type hasn't.
    """
    _refuse_lacking(drawing, face)
    pdf = FPDF(unit="mm", format=(drawing.size.width, drawing.size.height))
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.set_title(drawing.title)
    pdf.set_lang(drawing.language)
    midnight = datetime.combine(date.fromisoformat(dated or UNDATED), time(), UTC)
    pdf.set_creation_date(midnight)
    # A print that is made to fit the paper would miss the labels.
    pdf.viewer_preferences = ViewerPreferences(print_scaling="None")
    face.prepare(pdf)
    for page in drawing.pages:
        pdf.add_page()
        _draw(page, pdf, face)
    return bytes(pdf.output())


def _draw(page: Page, pdf: FPDF, face: Face) -> None:
    pdf.set_line_width(HAIRLINE)
    for shape in page:
        if isinstance(shape, Words):
            pdf.set_font(face.family, "B" if shape.bold else "", shape.size)
            pdf.text(shape.x, shape.y, shape.text)
        elif isinstance(shape, Ink):
            _fill(shape, pdf)
        elif isinstance(shape, Outline):
            box = shape.box
            pdf.rect(box.x, box.y, box.width, box.height, style="D")


def _fill(ink: Ink, pdf: FPDF) -> None:
    """All its boxes as one path: as many, they would show seams where they meet."""
    with pdf.new_path() as path:
        path.style.fill_color = "#000000"
        path.style.stroke_color = None
        for box in ink.boxes:
            path.rectangle(box.x, box.y, box.width, box.height)


def _refuse_lacking(drawing: Drawing, face: Face) -> None:
    words = (shape for page in drawing.pages for shape in page if isinstance(shape, Words))
    found = {shape.text: lacking for shape in words if (lacking := face.lacks(shape.text))}
    for text, lacking in found.items():
        signs = " ".join(lacking)
        message = f"the type has no {signs} (in `{text}`)"
        raise LabelError(
            f"{message}; name a font that has it (--font FILE.ttf), or write an SVG (--into X.svg)"
        )
