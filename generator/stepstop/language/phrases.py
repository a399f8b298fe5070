"""The phrases of the pages, gathered from templates, scripts, drawings and modules.

A template has them in `{% trans %}`, a script in `_("...")`, a drawing as its title and description
(letters on it are those on equipment), a style sheet as `content`, the manifest as its names and
description, a module in `phrase("...")` and in `worded("...")`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape, unescape

from babel.messages.extract import extract
from jinja2 import nodes
from jinja2.ext import InternationalizationExtension
from markupsafe import escape as quoted

from stepstop.language.prose import Text
from stepstop.language.tongue import ENGLISH
from stepstop.source import Located, Spot

CONTEXT = "page"
"""Context of a phrase, in a file of a language."""
_IN_SCRIPT = re.compile(r'\b_\(("(?:[^"\\\n]|\\.)*")\)')
_IN_SHEET = re.compile(r'(content: )("[^"\\\n]*[A-Za-z][^"\\\n]*")')
_IN_DRAWING = re.compile(r"(<(title|desc)\b[^>]*>)([^<]+)(?=</\2>)")
_VARIABLE = re.compile(r"%\((\w+)\)s")
_PLACE = re.compile(r"\{(\w+)\}")
_IS_MARKUP = re.compile(r"[<&]")
_KEYWORDS = ("worded", "phrase")

_IN_MANIFEST = re.compile(r'("(?:name|short_name|description)": )("(?:[^"\\\n]|\\.)*")')

Word = Callable[[str], str]
"""Has the words for a phrase."""


class AtOnce(InternationalizationExtension):
    """`{% trans %}` put into words as its template is compiled: on a page it costs nothing.

    The environment's global `worded` has the words. A phrase has no plural forms.
    """

    def _make_node(
        self,
        singular: str,
        plural: str | None,
        context: str | None,
        variables: dict[str, nodes.Expr],
        plural_expr: nodes.Expr | None,
        vars_referenced: bool,
        num_called_num: bool,
    ) -> nodes.Output:
        text = _VARIABLE.sub(r"{\1}", singular).replace("%%", "%")
        worded: Any = self.environment.globals["worded"]
        said = worded(text)
        if said != text and not _IS_MARKUP.search(text):
            said = str(quoted(said))  # A translator's words, which know nothing of HTML.
        pieces = _PLACE.split(said)
        made: list[nodes.Expr] = []
        for number, piece in enumerate(pieces):
            if number % 2:
                made += self._apart(variables[piece])
            elif piece:
                made.append(nodes.TemplateData(piece))
        return nodes.Output(made)

    def _apart(self, given: nodes.Expr) -> list[nodes.Expr]:
        """What is put into a phrase, as `Tongue.apart` has it."""
        tongue: Any = self.environment.globals.get("tongue", ENGLISH)
        before, after = tongue.apart("\n").split("\n")
        ends: list[nodes.Expr] = [nodes.TemplateData(each) for each in (before, after)]
        return [ends[0], given, ends[1]] if before else [given]


def in_script(text: str, word: Word) -> str:
    """The script with each phrase put into words."""
    return _IN_SCRIPT.sub(lambda found: _literal(word(json.loads(found[1]))), text)


def _literal(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def in_sheet(text: str, word: Word) -> str:
    """The style sheet with the texts that it puts on a page in words."""
    return _IN_SHEET.sub(lambda found: found[1] + _literal(word(json.loads(found[2]))), text)


def in_manifest(text: str, word: Word) -> str:
    """The manifest with its names and its description put into words."""
    return _IN_MANIFEST.sub(lambda found: found[1] + _literal(word(json.loads(found[2]))), text)


def in_drawing(text: str, word: Word) -> str:
    """The drawing with its title and description put into words."""
    return _IN_DRAWING.sub(lambda found: found[1] + escape(word(unescape(found[3]))), text)


def phrases(files: Mapping[str, Path], environment: Callable[[Word], Any]) -> Iterator[Text]:
    """Every phrase of the look files (name -> path) and of the modules, in their order.

    `environment` makes the one that templates are compiled in, with what puts them into words.
    """
    for name, path in sorted(files.items()):
        if name.endswith(".html"):
            yield from _of_template(path, environment)
        elif name.endswith(".js"):
            yield from _of_file(path, _IN_SCRIPT, lambda found: str(json.loads(found[1])))
        elif name.endswith(".css"):
            yield from _of_file(path, _IN_SHEET, lambda found: str(json.loads(found[2])))
        elif name.endswith(".webmanifest"):
            yield from _of_file(path, _IN_MANIFEST, lambda found: str(json.loads(found[2])))
        elif name.startswith("drawings/"):
            yield from _of_file(path, _IN_DRAWING, lambda found: unescape(found[3]))
    yield from _of_modules()


def _of_file(
    path: Path, pattern: re.Pattern[str], phrase: Callable[[re.Match[str]], str]
) -> Iterator[Text]:
    source = path.read_text("utf-8")
    for found in pattern.finditer(source):
        yield _text(path, _line(source, found.start()), phrase(found))


def _of_template(path: Path, environment: Callable[[Word], Any]) -> Iterator[Text]:
    source = path.read_text("utf-8")
    found: list[str] = []

    def noted(text: str) -> str:
        found.append(text)
        return text

    environment(noted).parse(source, filename=str(path))
    end = 0
    for text in found:
        # The parser meets them in the order of the file.
        end = source.index("{% trans", end) + 1
        yield _text(path, _line(source, end), text)


@cache
def _of_modules() -> tuple[Text, ...]:
    package = Path(__file__).parents[1]
    found = []
    for path in sorted(package.rglob("*.py")):
        if path.parent == Path(__file__).parent:
            continue  # They tell how phrases are marked.
        with path.open("rb") as file:
            for line, texts, _, _ in extract("python", file, dict.fromkeys(_KEYWORDS)):
                found.append(_text(path, line, texts if isinstance(texts, str) else texts[0]))
    return tuple(found)


def _text(path: Path, line: int, text: str) -> Text:
    return Text(CONTEXT, Located(text, Spot(path.absolute().as_posix(), line, 1)), "")


def _line(source: str, at: int) -> int:
    return source.count("\n", 0, at) + 1
