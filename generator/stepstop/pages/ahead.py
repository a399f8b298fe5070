"""What lies before and behind each page: pages still to come, and where its walk began."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from stepstop import graph


def most_pages_after(edges: Mapping[str, Sequence[str]]) -> dict[str, int]:
    """Page -> how many pages a walk can still show after it; 0 at an end.

    Raises `graph.HasCycle` where a walk has no end.
    """
    most: dict[str, int] = {}
    for page in reversed(graph.topological_order(edges)):
        most[page] = max((1 + most[after] for after in edges.get(page, ())), default=0)
    return most


def only_root(edges: Mapping[str, Sequence[str]], roots: Sequence[str]) -> dict[str, str]:
    """Page -> the root that its walk must have begun at, for pages that only one root leads to."""
    found: dict[str, set[str]] = {}
    for root in roots:
        for page in graph.reachable(edges, [root]):
            found.setdefault(page, set()).add(root)
    return {page: next(iter(above)) for page, above in found.items() if len(above) == 1}
