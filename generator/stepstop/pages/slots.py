"""Pages with gaps, so that many companies share the work: what is a company's own is filled in.

A page for companies is rendered once, with a slot wherever a company's words, colours or numbers
stand. A slot is a name with words between two signs that no file of an author can hold (they are
hidden characters, which the reader of YAML refuses). The same slots in JSON are escaped there.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

OPEN, CLOSE = "\x02", "\x03"
_ESCAPED = rb"\u0002"
_SLOT = re.compile(rb"\x02([^\x03]*)\x03|\\u0002((?:(?!\\u0003).)*)\\u0003")

Filler = Callable[[str], str]
"""What stands in a slot, by the slot's words."""


def slot(*words: str) -> Markup:
    """The slot of these words; none of them has a space."""
    return Markup(f"{OPEN}{' '.join(words)}{CLOSE}")


def opened(data: bytes) -> bytes:
    """Data in JSON whose slots stand there unescaped, so that such a file may stand in another one.

    What fills them is escaped by whoever fills them.
    """
    return data.replace(b"\\u0002", OPEN.encode()).replace(b"\\u0003", CLOSE.encode())


IN = "in"
"""Begins the words of a slot that stands on pages of another language than its own."""


def kept_in(code: str, content: bytes, *, but: tuple[str, ...] = ()) -> bytes:
    """A file of the language `code` for the pages of another one: its slots say whose they are.

    What `but` names is that of the pages around it.
    """

    def renamed(found: re.Match[bytes]) -> bytes:
        words = found[1] if found[1] is not None else found[2]
        if words.decode() in but:
            return found[0]
        return found[0].replace(words, f"{IN} {code} ".encode() + words, 1)

    return _SLOT.sub(renamed, content)


@dataclass(frozen=True, slots=True)
class Form:
    """A file with gaps: stretches of it, and between each two a slot."""

    stretches: tuple[bytes, ...]
    slots: tuple[tuple[str, bool], ...]
    """(words, whether it stands in a JSON text), one less than stretches."""

    def filled(self, fill: Filler) -> bytes:
        """The file with `fill(words)` in each slot."""
        if not self.slots:
            return self.stretches[0]
        found = [self.stretches[0]]
        for (words, is_json), after in zip(self.slots, self.stretches[1:], strict=True):
            text = fill(words)
            found += [(json.dumps(text)[1:-1] if is_json else text).encode(), after]
        return b"".join(found)


def form_of(content: bytes) -> Form:
    """The form that a file with slots is."""
    if OPEN.encode() not in content and _ESCAPED not in content:
        return Form((content,), ())
    stretches, slots, end = [], [], 0
    for found in _SLOT.finditer(content):
        stretches.append(content[end : found.start()])
        words = found[1] if found[1] is not None else found[2]
        slots.append((words.decode(), found[1] is None))
        end = found.end()
    return Form((*stretches, content[end:]), tuple(slots))
