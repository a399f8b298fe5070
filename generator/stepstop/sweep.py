"""Which values can arrive at each page, without the paths that bring them.

A combination of values is a bit, and what can arrive at a page a sum of bits. Pages hand them on in
an order in which each comes before all that it leads to, so one pass is enough where there is no
loop. This is much quicker than a search over states, and says as exactly whether something can
happen; only for a path that shows it a search is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from stepstop import graph

Values = tuple[str, ...]
After = Callable[[Values, Any], Values]
"""A combination after a move."""
Told = Mapping[str, Sequence[tuple[str, Any]]]
"""Page -> (next page, the move there, None if it leaves the combination alone)."""
Turns = Callable[[Any], Mapping[str, Mapping[str, str]]]
"""A move -> each name that it tells -> value before it -> value after it; one object for equals."""


class Arrivals(Protocol):
    """What arrives at pages."""

    def at(self, page: str) -> list[Values]:
        """The combinations that some path arrives with; none where no path leads."""


class Line:
    """The pages of a graph in a row, each before all that it leads to as far as loops allow."""

    def __init__(self, edges: graph.Graph[str], roots: Sequence[str]) -> None:
        order = graph.forward_order(edges, roots)
        self._number = number = {page: i for i, page in enumerate(order)}
        self._targets = [tuple(number[to] for to in edges[page]) for page in order]
        self._has_loop = any(to <= i for i, each in enumerate(self._targets) for to in each)
        self._roots = [number[root] for root in roots]

    def together(self, start: Values, told: Told, after: After) -> Arrivals:
        """What arrives of values that are tracked together, where `start` holds at each root.

        `told` has the ways on from the pages that tell something; others hand on what arrives.
        """
        bits = _Bits(start, after)
        return _Together(self._number, self._spread(1, told, bits.after), bits)

    def apart(
        self, domains: Mapping[str, Sequence[str]], told: Told, turns: Turns
    ) -> dict[str, Arrivals]:
        """Name -> what arrives of its value alone, for all names in one pass.

        `domains` has each name's values, the first of which holds at each root.
        """
        fields = _Fields(domains, turns)
        masks = self._spread(fields.start, told, fields.after)
        return {name: _Apart(self._number, masks, fields.of[name]) for name in domains}

    def _spread(self, start: int, told: Told, after: Callable[[int, Any], int]) -> list[int]:
        """What arrives at each page, in their order."""
        number = self._number
        ways = {
            number[page]: [(number[to], move) for to, move in told[page]]
            for page in told
            if page in number
        }
        masks = [0] * len(number)
        for root in self._roots:
            masks[root] = start
        before: list[int] = []
        while masks != before:
            before = masks.copy() if self._has_loop else masks
            for i, targets in enumerate(self._targets):
                mask = masks[i]
                if i in ways:
                    for to, move in ways[i]:
                        masks[to] |= mask if move is None else after(mask, move)
                else:
                    for to in targets:
                        masks[to] |= mask
        return masks


class _Bits:
    """Combinations of values, each with a bit of its own from when it first arises."""

    def __init__(self, start: Values, after: After) -> None:
        self._after = after
        self._combinations = [start]
        self._number = {start: 0}
        self._known: dict[tuple[int, int], int] = {}

    def of(self, mask: int) -> list[Values]:
        """The combinations whose bits are in `mask`."""
        return [each for i, each in enumerate(self._combinations) if mask >> i & 1]

    def after(self, mask: int, move: Any) -> int:
        """What the combinations in `mask` are after `move`."""
        key = (mask, id(move))
        if key not in self._known:
            found = 0
            for values in self.of(mask):
                found |= 1 << self._bit(self._after(values, move))
            self._known[key] = found
        return self._known[key]

    def _bit(self, values: Values) -> int:
        if values not in self._number:
            self._number[values] = len(self._combinations)
            self._combinations.append(values)
        return self._number[values]


@dataclass(frozen=True, slots=True)
class _Field:
    """The bits of one name's values."""

    shift: int
    values: Sequence[str]

    @property
    def whole(self) -> int:
        """All of its bits, moved down to the first."""
        return (1 << len(self.values)) - 1

    def bit(self, value: str) -> int:
        """The bit of a value in its place."""
        return 1 << self.shift + self.values.index(value)


_Made = tuple[int, int, list[tuple[_Field, dict[int, int]]]]
"""What a move does: bits that stay, bits that are there after it, and what depends on others."""


class _Fields:
    """The values of many names side by side in one number."""

    def __init__(self, domains: Mapping[str, Sequence[str]], turns: Turns) -> None:
        self.of: dict[str, _Field] = {}
        self.start = shift = 0
        for name, values in domains.items():
            self.of[name] = _Field(shift, values)
            self.start |= 1 << shift
            shift += len(values)
        self._all = (1 << shift) - 1
        self._turns = turns
        self._made: dict[int, _Made] = {}
        self._of_turns: dict[int, _Made] = {}

    def after(self, mask: int, move: Any) -> int:
        """What `mask` is after `move`."""
        made = self._made.get(id(move))
        if made is None:
            turns = self._turns(move)
            if id(turns) not in self._of_turns:
                self._of_turns[id(turns)] = self._making(turns)
            made = self._made[id(move)] = self._of_turns[id(turns)]
        keep, always, tables = made
        found = mask & keep | always
        for field, table in tables:
            before = mask >> field.shift & field.whole
            for bit, to in table.items():
                if before & bit:
                    found |= to
        return found

    def _making(self, turns: Mapping[str, Mapping[str, str]]) -> _Made:
        keep, always, tables = self._all, 0, []
        for name, turned in turns.items():
            field = self.of.get(name)
            if field is None:
                continue
            keep &= ~(field.whole << field.shift)
            if len(set(turned.values())) == 1:
                always |= field.bit(next(iter(turned.values())))
            else:
                table = {1 << i: field.bit(turned[v]) for i, v in enumerate(field.values)}
                tables.append((field, table))
        return keep, always, tables


@dataclass(frozen=True, slots=True)
class _Together:
    number: Mapping[str, int]
    masks: Sequence[int]
    bits: _Bits

    def at(self, page: str) -> list[Values]:
        return self.bits.of(self.masks[self.number[page]]) if page in self.number else []


@dataclass(frozen=True, slots=True)
class _Apart:
    number: Mapping[str, int]
    masks: Sequence[int]
    field: _Field

    def at(self, page: str) -> list[Values]:
        if page not in self.number:
            return []
        mask = self.masks[self.number[page]] >> self.field.shift & self.field.whole
        return [(value,) for i, value in enumerate(self.field.values) if mask >> i & 1]
