"""Which values can arrive at each page, without the paths that bring them.

A combination of values is a bit, and what can arrive at a page a sum of bits. Pages hand them on in
an order in which each comes before all that it leads to, so one pass is enough where there is no
loop. This is much quicker than a search over states, and says as exactly whether something can
happen; only for a path that shows it a search is needed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from stepstop import graph

Values = tuple[str, ...]
After = Callable[[Values, Any], Values]
"""A combination after a move."""
Told = Mapping[str, Sequence[tuple[str, Any]]]
"""Page -> (next page, the move there, None if it leaves the combination alone)."""
Names = tuple[str, ...]
"""What is tracked together."""
Turns = Callable[[Any], Mapping[Names, Mapping[Values, Values]]]
"""A move -> what it tells of -> combination before it -> after it; one object for equal moves."""


class Arrivals:
    """What arrives at pages."""

    def __init__(
        self, number: Mapping[str, int], masks: Sequence[int], of: Callable[[int], list[Values]]
    ) -> None:
        self._number, self._masks, self._of = number, masks, of

    def at(self, pages: Iterable[str]) -> list[Values]:
        """The combinations that some path arrives with at one of the pages."""
        number, masks, found = self._number, self._masks, 0
        for page in pages:
            if page in number:
                found |= masks[number[page]]
        return self._of(found)


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
        return Arrivals(self._number, self._spread(1, told, bits.after), bits.of)

    def apart(
        self, domains: Mapping[Names, Sequence[Values]], told: Told, turns: Turns
    ) -> dict[Names, Arrivals]:
        """What arrives of each of `domains`, all in one pass.

        They have all combinations of values, the first of which holds at each root.
        """
        fields = _Fields(domains, turns)
        masks = self._spread(fields.start, told, fields.after)
        return {names: Arrivals(self._number, masks, fields.of[names].of) for names in domains}

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


class _Field:
    """The bits of the combinations of some names."""

    def __init__(self, shift: int, values: Sequence[Values]) -> None:
        self.shift, self.values = shift, values
        self.whole = ((1 << len(values)) - 1) << shift
        self.bit = {each: 1 << shift + i for i, each in enumerate(values)}

    def of(self, mask: int) -> list[Values]:
        """The combinations whose bits are in `mask`."""
        low = (mask & self.whole) >> self.shift
        return [each for i, each in enumerate(self.values) if low >> i & 1]


class _Table:
    """What a move makes of a field, where that depends on what was before."""

    def __init__(self, field: _Field, turned: Mapping[Values, Values]) -> None:
        self.whole = field.whole
        self._field, self._turned = field, turned
        self._known: dict[int, int] = {}

    def after(self, before: int) -> int:
        """The bits after those `before`."""
        found = self._known.get(before)
        if found is None:
            found = 0
            for values in self._field.of(before):
                found |= self._field.bit[self._turned[values]]
            self._known[before] = found
        return found


_Made = tuple[int, int, list[_Table]]
"""What a move does: bits that stay, bits that are there after it, and what depends on others."""


class _Fields:
    """What is tracked, side by side in one number."""

    def __init__(self, domains: Mapping[Names, Sequence[Values]], turns: Turns) -> None:
        self.of: dict[Names, _Field] = {}
        self.start = shift = 0
        for names, values in domains.items():
            self.of[names] = _Field(shift, values)
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
        for table in tables:
            found |= table.after(mask & table.whole)
        return found

    def _making(self, turns: Mapping[Names, Mapping[Values, Values]]) -> _Made:
        keep, always, tables = self._all, 0, []
        for names, turned in turns.items():
            field = self.of[names]
            keep &= ~field.whole
            if len(set(turned.values())) == 1:
                always |= field.bit[next(iter(turned.values()))]
            else:
                tables.append(_Table(field, turned))
        return keep, always, tables
