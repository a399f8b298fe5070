"""Labels drawn once, as plain shapes in millimetres, for whichever file is written of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from stepstop.labels.code import Code, code_of
from stepstop.labels.errors import LabelError
from stepstop.labels.face import Face
from stepstop.labels.fit import SMALLEST, Column, Text, fitted
from stepstop.labels.said import Label
from stepstop.labels.sheet import Box, Sheet, Size

ROOMY = 7.5
"""Points of common text that hours and a large code may leave, where it could be larger."""
LARGE_CODE = 0.42
"""Width of a large code in parts of its label: a judgement of ours."""
LARGEST_CODE = 36.0
"""Millimetres; a code so wide is read from more than an arm's length."""
BETWEEN = 1.2
"""Between a code with its quiet zone and the text, mm."""


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text."""

    x: float
    y: float
    """Where its letters stand."""
    text: str
    size: float
    """Points."""
    bold: bool
    width: float


@dataclass(frozen=True, slots=True)
class Ink:
    """Black areas that are one figure."""

    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class Outline:
    """A thin line round a box."""

    box: Box


Shape = Words | Ink | Outline
Page = tuple[Shape, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """Pages of one size."""

    title: str
    size: Size
    pages: tuple[Page, ...]
    language: str = "en"
    """Code of the language of its texts."""


@dataclass(frozen=True, slots=True)
class Wish:
    """How a drawing is wanted."""

    pages: int = 1
    first: int = 1
    """Number of the first label that is printed on, counted from 1."""
    grid: bool = False
    """Whether labels have outlines."""
    nudge: tuple[float, float] = (0.0, 0.0)
    """By how much all is moved to the right and down, mm."""


def drawn(
    title: str,
    labels: Sequence[Label],
    sheet: Sheet,
    wish: Wish,
    face: Face,
    *,
    language: str = "en",
) -> Drawing:
    """Pages of `labels`, again and again until the last label of the last page.

    Raises `LabelError` where a text or a code doesn't fit, or where not all of `labels` have a
    place.
    """
    places = sheet.count * wish.pages - (wish.first - 1)
    if places < len(labels):
        message = f"{len(labels)} labels are wanted, and {places} are left on the sheet"
        raise LabelError(f"{message}; take more pages, or less equipment")
    made = [_label(label, sheet.inside(), face) for label in labels]
    pages = []
    for page in range(wish.pages):
        shapes: list[Shape] = []
        for place in range(sheet.count):
            box = sheet.box(place).moved(*wish.nudge)
            number = page * sheet.count + place - (wish.first - 1)
            if wish.grid:
                shapes.append(Outline(box))
            if number >= 0:
                shapes += _moved(made[number % len(made)], box)
        pages.append(tuple(shapes))
    return Drawing(title, sheet.page, tuple(pages), language)


def _moved(shapes: Page, box: Box) -> Iterator[Shape]:
    for shape in shapes:
        if isinstance(shape, Words):
            yield replace(shape, x=shape.x + box.x, y=shape.y + box.y)
        elif isinstance(shape, Ink):
            yield Ink(tuple(each.moved(box.x, box.y) for each in shape.boxes))


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where code and text go, and the text as it is set there."""

    code: Box
    x: float
    y: float
    """Upper left corner of the text."""
    column: Column


def _label(label: Label, inside: Box, face: Face) -> Page:
    """The shapes of one label, from its own corner."""
    code = code_of(label.url)
    if code.least > min(inside.width, inside.height):
        message = f"the code of {label.url} needs {code.least:.1f} mm, and a label has "
        message += f"{min(inside.width, inside.height):.1f}"
        raise LabelError(f"{message}; choose a larger sheet or a shorter `address`")
    plan = _plan(label, code, inside, face)
    if plan is None:
        message = f"the text of the label `{label.asks}` doesn't fit at {SMALLEST:g} points"
        raise LabelError(f"{message}; choose a larger sheet, or a shorter name or `address`")
    return (_ink(code, plan.code), *_words(plan))


def _plan(label: Label, code: Code, inside: Box, face: Face) -> _Plan | None:
    """The best place for code and text: with hours and a large code where there is room."""
    least = code.least
    large = max(least, min(LARGEST_CODE, LARGE_CODE * max(inside.width, inside.height)))
    with_hours, without = _texts(label, hours=True), _texts(label, hours=False)
    plain = _best(least, without, inside, face) or _best(least, _few_lines(label), inside, face)
    if plain is None:
        return None
    for side, texts in ((large, with_hours), (least, with_hours), (large, without)):
        found = _best(side, texts, inside, face)
        if found is not None and found.column.size >= min(ROOMY, plain.column.size):
            return found
    return plain


def _best(side: float, texts: Sequence[Text], inside: Box, face: Face) -> _Plan | None:
    """The code to the left of the text or above it, whichever leaves larger type, if any does."""
    side = min(side, inside.width, inside.height)
    tried = (place(side, texts, inside, face) for place in (_beside, _above))
    found = [plan for plan in tried if plan is not None]
    return max(found, key=lambda plan: plan.column.size, default=None)


def _beside(side: float, texts: Sequence[Text], inside: Box, face: Face) -> _Plan | None:
    """Code and text side by side, each in the middle of the height."""
    x = inside.x + side + BETWEEN
    column = fitted(texts, inside.width - side - BETWEEN, inside.height, face.measure)
    if column is None:
        return None
    code = Box(inside.x, inside.y + (inside.height - side) / 2, side, side)
    return _Plan(code, x, inside.y + (inside.height - column.height) / 2, column)


def _above(side: float, texts: Sequence[Text], inside: Box, face: Face) -> _Plan | None:
    """The code above the text, and both in the middle of the height."""
    column = fitted(texts, inside.width, inside.height - side - BETWEEN, face.measure)
    if column is None:
        return None
    y = inside.y + (inside.height - side - BETWEEN - column.height) / 2
    code = Box(inside.x + (inside.width - side) / 2, y, side, side)
    return _Plan(code, inside.x, y + side + BETWEEN, column)


def _texts(label: Label, *, hours: bool) -> list[Text]:
    """What a label says, from top to bottom: danger comes before the company's number."""
    return [
        Text(label.asks, 1.35, bold=True),
        Text(label.scan, 1.0),
        Text(label.danger, 1.0, bold=True, gap=0.35),
        Text(label.name, 1.0, gap=0.35),
        Text(label.phone, 1.25, bold=True),
        *([Text(label.hours, 0.8)] * hours),
        Text(label.licences, 0.8),
        *([Text(label.demo, 0.8, bold=True)] * bool(label.demo)),
    ]


def _few_lines(label: Label) -> list[Text]:
    """The same for a small label."""
    return [
        Text(label.asks, 1.2, bold=True),
        Text(label.address, 1.0),
        Text(label.danger, 1.0, bold=True, gap=0.2),
        Text(label.name, 1.0, gap=0.2),
        Text(label.phone, 1.15, bold=True),
        Text(f"{label.demo}. {label.licences}" if label.demo else label.licences, 1.0),
    ]


def _ink(code: Code, box: Box) -> Ink:
    module = box.width / code.modules
    return Ink(
        tuple(
            Box(box.x + column * module, box.y + row * module, length * module, module)
            for row, column, length in code.runs
        )
    )


def _words(plan: _Plan) -> Iterator[Words]:
    for line in plan.column.lines:
        yield Words(plan.x, plan.y + line.base, line.text, line.size, line.bold, line.width)
