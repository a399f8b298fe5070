"""The one style sheet of a page, made small, and its hash for the page's policy."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass

from stepstop.pages.words import PageError

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_AROUND = re.compile(r"\s*([{};,])\s*")
_COLON = re.compile(r":\s+")
_SPACE = re.compile(r"\s+")


@dataclass(frozen=True, slots=True)
class Style:
    """Style sheet and the source expression that lets a browser use just this one."""

    text: str
    hash: str
    """`sha256-...`, as in Content Security Policy Level 3, "script-src and style-src"."""


def style_of(sheet: str) -> Style:
    """The style sheet made small; raises `PageError` for one that can't stand in a page."""
    text = small(sheet)
    if "</" in text:
        raise PageError("the style sheet would end its own element")
    digest = hashlib.sha256(text.encode()).digest()
    return Style(text, f"sha256-{base64.b64encode(digest).decode()}")


def small(sheet: str) -> str:
    """The same rules in fewer bytes; strings in it must hold no run of spaces and no comment."""
    text = _SPACE.sub(" ", _COMMENT.sub("", sheet))
    text = _COLON.sub(":", _AROUND.sub(r"\1", text))
    return text.replace(";}", "}").strip()
