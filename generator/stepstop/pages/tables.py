"""Tables whose rows can stand as lists on a narrow screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from stepstop.pages.views import Cell, TableView


def table(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> TableView:
    """A table: each row has a text for each head, and is named by its first."""
    return TableView(
        caption,
        tuple(heads),
        tuple(tuple(Cell(h, text) for h, text in zip(heads, row, strict=True)) for row in rows),
    )
