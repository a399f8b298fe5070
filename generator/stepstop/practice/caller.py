"""One simulated caller who stays on the line: what is so in their house, and what they tell of it.

They are drawn as a rehearsal draws them, with its houses, people and rates of error. All draws of a
caller are kept: asked the same thing in the same state of the house, they tell the same.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import accumulate

from stepstop.callers import Errors
from stepstop.house.acts import Acts
from stepstop.journey import Node
from stepstop.practice import MANNERS
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.figures import Shown
from stepstop.rehearsal.house_table import Case
from stepstop.rehearsal.sample import Call, Sampler, Spread

DRAWS = 4000
"""So many callers are drawn at the most until one is as wanted."""


class NobodySuch(Exception):
    """No caller was drawn who is as wanted."""


@dataclass(frozen=True, slots=True)
class Told:
    """What a caller tells on one page."""

    true: int
    """The option that is so, or that of somebody who can't know it or get there."""
    said: int
    """The option that they mean."""

    @property
    def misleads(self) -> bool:
        """Whether they say what is not so."""
        return self.said != self.true


class CallerOnLine(Sampler):
    """A caller about one case, to whom pages can be read in any order."""

    def __init__(
        self, bench: Bench, manner: str, shown: Shown, *, seed: int, cause: str = ""
    ) -> None:
        """Draw somebody whose manner is one of `MANNERS`, about `cause` or about any.

        The causes have the same chance each, so that rare and dangerous ones come up. A caller who
        is vague or misleading is so at least once on the way that they would be led by their own
        words. Raises `NobodySuch`.
        """
        errors: Errors = bench.callers.errors_of(MANNERS[manner])
        super().__init__(bench, errors, shown, seed)
        self.manner = manner
        self._ways: dict[str, tuple[str, str]] = {}
        self._met: dict[tuple[str, Acts], str] = {}
        self._others: dict[tuple[str, int], int] = {}
        self._draw(cause)

    # ---- who calls ----

    def _draw(self, cause: str) -> None:
        if cause and cause not in self.bench.causes:
            raise NobodySuch(f"no simulated house has `{cause}`")
        causes = [cause] if cause else list(self.bench.causes)
        for _ in range(DRAWS):
            self._begin(self.random.choice(causes))
            if self.manner == "right" or self._errs():
                return
        about = f" about `{cause}`" if cause else ""
        raise NobodySuch(f"nobody{about} was {self.manner} in {DRAWS:,} draws")

    def _begin(self, cause: str) -> None:
        for kept in (self._ways, self._met, self._others):
            kept.clear()
        cases = [i for i, case in enumerate(self.bench.table.cases) if case.cause == cause]
        weights = [self.bench.table.cases[i].weight for i in cases]
        number = cases[self._drawn(list(accumulate(weights)))]
        complaints = self.bench.table.cases[number].complaints
        chosen = self._drawn(list(accumulate(share for _, share in complaints)))
        caller = self.people[self._drawn(self.caller_steps)]
        self.first = Call(number, caller, complaints[chosen][0])

    def _errs(self) -> bool:
        """Whether they say once what is not so, or can't tell what others could."""
        call, number = self.call_anew(), self.bench.journey.roots[self.first.complaint]
        while self.spreads[number].node.options:
            told = self.tell(call, number)
            if told.misleads:
                return True
            number = self.pick(call, number, told.said)
        return False

    @property
    def case(self) -> Case:
        """What is the matter."""
        return self.bench.table.cases[self.first.case]

    # ---- the call ----

    def call_anew(self) -> Call:
        """The call at its beginning."""
        return replace(self.first, kept={})

    def tell(self, call: Call, number: int) -> Told:
        """What is told on a node, and what is so; the call remembers it."""
        spread = self.spreads[number]
        if not spread.node.page.finding:
            return Told(0, 0)
        return Told(self._true(call, spread), self._chosen(call, spread))

    def pick(self, call: Call, number: int, option: int) -> int:
        """The next node once this option was picked on a node."""
        node = self.spreads[number].node
        self._do(call, node, node.options[option])
        return node.options[option].to

    def ends_if_true(self, root: int) -> int:
        """The node on which a walk from `root` ends if every answer is what is so."""
        call, number = self.call_anew(), root
        while self.spreads[number].node.options:
            number = self.pick(call, number, self.tell(call, number).true)
        return number

    def marks(self, call: Call, number: int) -> set[str]:
        """How the end on a node is judged."""
        ended = replace(call, pages=call.pages + 1)
        return set(self.judged(ended, number))

    # ---- drawn once ----

    def _way(self, call: Call, finding: str, choices: int) -> tuple[str, str]:
        if finding in call.kept:
            return call.kept[finding]
        if finding not in self._ways:
            self._ways[finding] = super()._way(call, finding, choices)
        return self._ways[finding]

    def _value(self, call: Call, node: Node, finding: str) -> str:
        key = (finding, node.seen)
        if key not in self._met:
            self._met[key] = super()._value(call, node, finding)
        return self._met[key]

    def _told(self, spread: Spread, true: int, way: str) -> int:
        key = (spread.node.page.id, true)
        if key not in self._others:
            self._others[key] = super()._told(spread, true, way)
        return self._others[key]
