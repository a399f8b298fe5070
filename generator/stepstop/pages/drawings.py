"""Drawings as they stand inside a page: whole with their words, or small beside an answer."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from xml.etree import ElementTree

from stepstop.language.phrases import Word, in_drawing
from stepstop.language.tongue import phrase
from stepstop.pages.words import PageError

_SVG = "{http://www.w3.org/2000/svg}"
_SHAPES = {"g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text"}
_TAGS = {"svg", "title", "desc"} | _SHAPES
_ATTRIBUTE = re.compile(
    r"viewBox|fill|class|d|x|y|x1|x2|y1|y2|r|rx|ry|cx|cy|width|height|points|transform|opacity"
    r"|stroke(-\w+)*|fill-rule|font-(size|weight|family)|text-anchor|role|aria-labelledby|id"
)
_WORDS = re.compile(r"<(title|desc)\b[^>]*>.*?</\1>", re.DOTALL)
_XMLNS = re.compile(r'\sxmlns="[^"]*"')
_OPENING = re.compile(r"<svg\b[^>]*>")
_NAMED = re.compile(r'\s(role|aria-labelledby)="[^"]*"')
_GAPS = re.compile(r">\s+<")


def read_drawings(files: Mapping[str, Path], word: Word = phrase) -> dict[str, str]:
    """Name -> markup for a page, from the look files; `word` has the words for its phrases.

    Raises `PageError` for a drawing with more than plain shapes and letters: scripts, styles and
    links have no place in a page, and its policy would refuse most of them anyway.
    """
    return {
        path.stem: _inline(name, in_drawing(path.read_text(encoding="utf-8"), word))
        for name, path in sorted(files.items())
        if name.startswith("drawings/") and name.endswith(".svg")
    }


def icon(drawing: str) -> str:
    """The drawing without its words, for a place where the text beside it says the same."""
    return _OPENING.sub(
        lambda opening: _NAMED.sub("", opening[0]).replace("<svg", '<svg aria-hidden="true"'),
        _WORDS.sub("", drawing),
        count=1,
    )


def _inline(name: str, text: str) -> str:
    for odd in _odd(text):
        raise PageError(f"the drawing {name} has {odd}")
    return _GAPS.sub("><", _XMLNS.sub("", text)).strip()


def _odd(text: str) -> Iterator[str]:
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as error:
        yield f"a mistake: {error}"
        return
    for element in root.iter():
        tag = str(element.tag).removeprefix(_SVG)
        if tag not in _TAGS:
            yield f"a <{tag}>"
        for attribute in element.attrib:
            if not _ATTRIBUTE.fullmatch(attribute):
                yield f"the attribute {attribute} in <{tag}>"
