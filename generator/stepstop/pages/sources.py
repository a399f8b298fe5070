"""Where the numbers on a page come from, in one line a source."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from stepstop.edition import UNDATED
from stepstop.language.tongue import Worded, phrase
from stepstop.model import Source

SEEN = {
    "original": phrase("read in the original"),
    "secondary-copy": phrase("read in a copy"),
    "from-memory": phrase("from memory, not looked up"),
    "common-practice": phrase("no source"),
}
"""How a source was seen -> in words."""


def source_lines(
    ids: Iterable[str], sources: Mapping[str, Source], worded: Worded
) -> tuple[str, ...]:
    """Each source once: title, publisher, year, and how it was seen if not in the original."""
    return tuple(_line(sources[name], worded) for name in dict.fromkeys(ids))


def _line(source: Source, worded: Worded) -> str:
    if source.seen == "common-practice":
        return source.title
    year = "" if source.year == UNDATED else source.year
    how = "" if source.seen == "original" else worded(SEEN[source.seen])
    return ", ".join(filter(None, [source.title, source.by, year, how]))
