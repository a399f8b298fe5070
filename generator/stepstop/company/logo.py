"""A company's picture, made fit to stand in a page: plain shapes, and nothing that acts or loads.

What could act, or ask another host for something, is a problem. What merely adds weight (notes of
the drawing program, comments) is left out. The picture is written anew from what is allowed, so
nothing reaches a page that was not read and understood.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree
from xml.sax.saxutils import quoteattr

MOST_READ = 200_000
"""Bytes of a file that is looked at."""
MOST_SHOWN = 8_000
"""Bytes of the picture as it stands in a page: more would come before the text on a weak signal."""
DEEPEST = 30
"""Groups in groups."""

_SVG = "{http://www.w3.org/2000/svg}"
_SHAPES = ("g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon")
_PAINTS = ("defs", "linearGradient", "radialGradient", "stop", "clipPath")
_ALLOWED = {"svg", *_SHAPES, *_PAINTS}
_DROPPED = {"title", "desc", "metadata"}
"""The page says the company's name beside the picture."""
_REFUSED = {
    "script": "could act on the page",
    "foreignObject": "could hold anything",
    "style": "would be refused by the page's policy",
    "image": "loads another file",
    "use": "loads another part of a file",
    "a": "is a link",
    "animate": "moves",
    "animateMotion": "moves",
    "animateTransform": "moves",
    "set": "moves",
    "text": "looks different on each phone",
}
_MENDS = {
    "style": "in the drawing program, save with presentation attributes",
    "text": "in the drawing program, turn letters into paths",
}
_ATTRIBUTE = re.compile(
    r"viewBox|fill|d|points|x|y|x1|x2|y1|y2|r|rx|ry|cx|cy|fx|fy|width|height|transform|opacity|id"
    r"|fill-(rule|opacity)|clip-(path|rule)|stroke(-(width|linecap|linejoin|opacity|miterlimit"
    r"|dasharray|dashoffset))?|offset|stop-(color|opacity)|gradient(Units|Transform)"
    r"|spreadMethod|clipPathUnits"
)
_OWN_REFERENCE = re.compile(r"url\(\s*#([\w-]+)\s*\)")
_ACTS = re.compile(r"(?i)javascript:|data:|vbscript:|url\s*\(|expression\s*\(|@import")
_VIEW = re.compile(r"\s*-?[\d.]+[\s,]+-?[\d.]+[\s,]+([\d.]+)[\s,]+([\d.]+)\s*")
_LENGTH = re.compile(r"\s*([\d.]+)\s*(?:px)?\s*")
_DECLARED = re.compile(r"<!(?:DOCTYPE|ENTITY)", re.IGNORECASE)


@dataclass(slots=True)
class Logo:
    """What came of a picture: markup for a page, or why it can't stand there."""

    markup: str = ""
    faults: list[tuple[str, str]] = field(default_factory=list)
    """(what is wrong, how to mend it), each once."""

    def fault(self, message: str, mend: str) -> None:
        """Put down what is wrong."""
        if (message, mend) not in self.faults:
            self.faults.append((message, mend))


def read_logo(content: bytes) -> Logo:
    """The picture in an SVG file with this content, `MOST_READ` bytes of it at the most."""
    logo = Logo()
    root = _parsed(content, logo)
    if root is None:
        return logo
    elements = list(_looked_over(root, logo, 0))
    view = _view(root, logo)
    if logo.faults:
        return logo
    if not any(_plain(element.tag) in _SHAPES[1:] for element in elements):
        logo.fault("nothing is drawn in it", "save the picture as plain SVG with paths")
        return logo
    logo.markup = _written(root, view)
    if len(logo.markup.encode()) > MOST_SHOWN:
        logo.markup = ""
        logo.fault(
            f"the picture takes more than {MOST_SHOWN:,} bytes in a page",
            "simplify its paths, or leave the logo out",
        )
    return logo


def _parsed(content: bytes, logo: Logo) -> ElementTree.Element | None:
    root, wrong = None, ""
    try:
        text = content.decode("utf-8-sig")
        if _DECLARED.search(text):
            wrong = "the file declares entities or a document type"
        else:
            root = ElementTree.fromstring(text)
    except UnicodeDecodeError:
        wrong = "the file is not UTF-8"
    except ElementTree.ParseError as error:
        wrong = f"the file is not XML: {error}"
    if root is not None and root.tag != f"{_SVG}svg":
        wrong = "the file is not an SVG picture"
    if wrong:
        logo.fault(wrong, "save the picture as plain SVG")
        return None
    return root


def _looked_over(
    element: ElementTree.Element, logo: Logo, depth: int
) -> Iterator[ElementTree.Element]:
    """The elements that are shown; what must not be there is put down."""
    tag = _plain(element.tag)
    if depth > DEEPEST:
        logo.fault("its groups are nested too deep", "ungroup some of them")
        return
    if tag in _REFUSED:
        mend = _MENDS.get(tag, "take it out in the drawing program")
        logo.fault(f"a <{tag}> {_REFUSED[tag]}", mend)
        return
    if tag not in _ALLOWED:
        if tag not in _DROPPED and element.tag.startswith(_SVG):
            logo.fault(f"a <{tag}> is not a plain shape", "take it out in the drawing program")
        return
    for name, value in element.attrib.items():
        _attribute(tag, name, value, logo)
    yield element
    for child in element:
        yield from _looked_over(child, logo, depth + 1)


def _attribute(tag: str, name: str, value: str, logo: Logo) -> None:
    plain = name.rpartition("}")[2]
    if plain.lower().startswith("on"):
        logo.fault(f"`{plain}` in a <{tag}> could act on the page", "delete the attribute")
    elif plain == "href":
        logo.fault(f"`href` in a <{tag}> refers to something else", "delete the attribute")
    elif plain == "style":
        mend = _MENDS["style"]
        logo.fault(f"`style` in a <{tag}> would be refused by the page's policy", mend)
    elif _ATTRIBUTE.fullmatch(name) and _ACTS.search(_OWN_REFERENCE.sub("", value)):
        message = f"`{name}` in a <{tag}> refers to something outside the picture"
        logo.fault(message, "use plain colors")


def _view(root: ElementTree.Element, logo: Logo) -> tuple[str, float]:
    """The part that is shown, and how many times wider than high it is."""
    found = root.get("viewBox", "")
    size = _VIEW.fullmatch(found)
    if size is None:
        sides = [_LENGTH.fullmatch(root.get(side, "")) for side in ("width", "height")]
        numbers = [float(side[1]) for side in sides if side and _is_number(side[1])]
        found = f"0 0 {numbers[0]:g} {numbers[1]:g}" if len(numbers) == 2 else ""
    else:
        numbers = [float(part) for part in size.groups() if _is_number(part)]
    if len(numbers) < 2 or min(numbers) <= 0:
        logo.fault("the picture does not say how large it is", "add a `viewBox` to its <svg>")
        return "", 1.0
    return found, numbers[0] / numbers[1]


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _written(root: ElementTree.Element, view: tuple[str, float]) -> str:
    height = 40
    width = max(1, min(6 * height, round(height * view[1])))
    inside = "".join(map(_element, root)) if len(root) else ""
    own = "".join(_attributes(root, ("viewBox", "width", "height", "x", "y")))
    return (
        f'<svg aria-hidden="true" width="{width}" height="{height}" '
        f"viewBox={quoteattr(view[0])}{own}>{inside}</svg>"
    )


def _element(element: ElementTree.Element) -> str:
    tag = _plain(element.tag)
    if tag not in _ALLOWED or not element.tag.startswith(_SVG):
        return ""
    inside = "".join(map(_element, element))
    attributes = "".join(_attributes(element, ()))
    return f"<{tag}{attributes}>{inside}</{tag}>" if inside else f"<{tag}{attributes}/>"


def _attributes(element: ElementTree.Element, without: tuple[str, ...]) -> Iterator[str]:
    for name, value in element.attrib.items():
        if _ATTRIBUTE.fullmatch(name) and name not in without:
            value = _OWN_REFERENCE.sub(r"url(#logo-\1)", value)
            # A page has ids of its own.
            own = f"logo-{value}" if name == "id" else value
            yield f" {name}={quoteattr(own)}"


def _plain(tag: object) -> str:
    return str(tag).removeprefix(_SVG)
