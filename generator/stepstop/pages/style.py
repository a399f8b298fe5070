"""Style sheet and scripts of a page, made small, with their hashes for the page's policy."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass

from markupsafe import Markup

from stepstop.pages.words import PageError

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_AROUND = re.compile(r"\s*([{};,])\s*")
_COLON = re.compile(r":\s+")
_SPACE = re.compile(r"\s+")


@dataclass(frozen=True, slots=True)
class Inline:
    """What stands inside a page, and the source expression that lets a browser use just this."""

    text: Markup
    hash: str
    """`sha256-...`, as in Content Security Policy Level 3, "script-src and style-src"."""


def style_of(sheet: str) -> Inline:
    """The style sheet made small; raises `PageError` for one that can't stand in a page."""
    return _inline(small(sheet), "style sheet")


def script_of(script: str) -> Inline:
    """The script without comments and indents; raises `PageError` if it can't stand in a page."""
    lines = (line.strip() for line in _COMMENT.sub("", script).splitlines())
    return _inline("\n".join(filter(None, lines)), "script")


def _inline(text: str, what: str) -> Inline:
    if "</" in text or "<!--" in text:
        raise PageError(f"the {what} would end its own element")
    return Inline(Markup(text), hash_of(text))


def hash_of(text: str) -> str:
    """The source expression that lets a browser use just this text."""
    digest = hashlib.sha256(text.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


def small(sheet: str) -> str:
    """The same rules in fewer bytes; strings in it must hold no run of spaces and no comment."""
    text = _SPACE.sub(" ", _COMMENT.sub("", sheet))
    text = _COLON.sub(":", _AROUND.sub(r"\1", text))
    return text.replace(";}", "}").strip()
