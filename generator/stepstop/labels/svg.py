"""A drawing as SVG files, one a page."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape

from stepstop.labels.drawing import Drawing, Ink, Outline, Page, Shape, Words
from stepstop.labels.fit import POINT
from stepstop.labels.sheet import Box

HAIRLINE = 0.15
"""Width of an outline, mm."""
FONTS = "Helvetica, Arial, Liberation Sans, sans-serif"


def svg_pages(drawing: Drawing) -> list[bytes]:
    """Each page as a file.

    Every line is told its length, so that it stays inside its label in whatever font it is shown.
    """
    return ["\n".join(_page(drawing, page)).encode() for page in drawing.pages]


def _page(drawing: Drawing, page: Page) -> Iterator[str]:
    wide, high = _mm(drawing.size.width), _mm(drawing.size.height)
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" xml:lang="{drawing.language}" '
        f'width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}" font-family="{FONTS}">'
    )
    yield f"<title>{escape(drawing.title)}</title>"
    yield f'<rect width="{wide}" height="{high}" fill="#fff"/>'
    for shape in page:
        yield _shape(shape)
    yield "</svg>\n"


def _shape(shape: Shape) -> str:
    if isinstance(shape, Words):
        weight = ' font-weight="700"' if shape.bold else ""
        return (
            f'<text x="{_mm(shape.x)}" y="{_mm(shape.y)}" font-size="{_mm(shape.size * POINT)}"'
            f'{weight} textLength="{_mm(shape.width)}" lengthAdjust="spacingAndGlyphs">'
            f"{escape(shape.text)}</text>"
        )
    if isinstance(shape, Ink):
        return f'<path d="{"".join(map(_area, shape.boxes))}"/>'
    return _outline(shape)


def _area(box: Box) -> str:
    across = _mm(box.width)
    return f"M{_mm(box.x)} {_mm(box.y)}h{across}v{_mm(box.height)}h-{across}z"


def _outline(shape: Outline) -> str:
    box = shape.box
    return (
        f'<rect x="{_mm(box.x)}" y="{_mm(box.y)}" width="{_mm(box.width)}" '
        f'height="{_mm(box.height)}" fill="none" stroke="#000" stroke-width="{HAIRLINE}"/>'
    )


def _mm(length: float) -> str:
    return f"{length:.4f}".rstrip("0").rstrip(".")
