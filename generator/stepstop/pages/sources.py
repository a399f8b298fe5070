"""Where the numbers on a page come from, in one line a source."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from stepstop.model import Source

SEEN = {
    "original": "read in the original",
    "secondary-copy": "read in a copy",
    "from-memory": "from memory, not looked up",
    "common-practice": "no source",
}
"""How a source was seen -> in words."""


def source_lines(ids: Iterable[str], sources: Mapping[str, Source]) -> tuple[str, ...]:
    """Each source once: title, publisher, year, and how it was seen if not in the original."""
    return tuple(_line(sources[name]) for name in dict.fromkeys(ids))


def _line(source: Source) -> str:
    if source.seen == "common-practice":
        return source.title
    year = "" if source.year == "undated" else source.year
    how = "" if source.seen == "original" else SEEN[source.seen]
    return ", ".join(filter(None, [source.title, source.by, year, how]))
