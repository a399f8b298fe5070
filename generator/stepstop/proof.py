"""What is known at each page, on every path: the search that the path rules share.

A rule asks about one to three findings or effects. The search walks the course together with just
these (a product of pages and values), breadth-first, so an answer is exact and its witness is a
shortest one. States grow with the values of what is asked about, not with the paths.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from stepstop import graph
from stepstop.course import Course, Move, Page
from stepstop.model import NOT_ASKED, UNKNOWNS, Clause, Finding, Library
from stepstop.problems import Related
from stepstop.source import Spot

Values = tuple[str, ...]
State = tuple[str, Values]
"""(page id, value of each tracked name)."""


Way = tuple[str, Move | None]
"""(next page, the move that leads there, None if it leaves the tracked values alone)."""


@dataclass(frozen=True, slots=True)
class Witness:
    """A shortest path to a page."""

    path: tuple[str, ...]
    """Labels of its pages with the answers taken in brackets."""
    via: Spot
    """Where the last answer's target is written; the page itself where the path begins there."""
    values: Values
    """The tracked values that the path arrives with."""


EFFECT = "effect:"
"""Prefix of a tracked name that counts an effect: `0`, `1`, `2` (two or more)."""


class Proof:
    """Answers questions about all paths of a course; searches are kept for the next rule."""

    def __init__(self, course: Course, whole: Course | None = None) -> None:
        """`whole` is the proven course of which `course` offers a part, if it does."""
        self.course = course
        self.whole = whole
        self.library: Library = course.library
        self._explored: dict[tuple[str, ...], Mapping[State, State]] = {}
        self._plans: dict[tuple[str, ...], Mapping[str, list[Way]]] = {}
        findings = self.library.catalogue.findings.values()
        self._events = {f.id: f for f in findings if f.kind == "event"}

    @cached_property
    def edges(self) -> dict[str, tuple[str, ...]]:
        """Page id -> ids of the next pages."""
        return self.course.graph()

    def steps(self) -> Iterator[Page]:
        """The pages that are steps, in the order they were laid out."""
        return (page for page in self.course.pages.values() if page.step)

    def outcomes(self) -> Iterator[Page]:
        """The pages that are outcomes."""
        return (page for page in self.course.pages.values() if page.outcome)

    def arrivals(self, tracked: tuple[str, ...]) -> dict[str, list[Values]]:
        """Page id -> the combinations of values that paths arrive with, nearest first."""
        found: dict[str, list[Values]] = {}
        for page, values in self._explore(tracked):
            found.setdefault(page, []).append(values)
        return found

    def bad(
        self, tracked: tuple[str, ...], is_bad: Callable[[Page, Values], bool]
    ) -> Iterator[tuple[Page, Witness]]:
        """Each page that some path reaches in a bad state, with a shortest such path."""
        return self._bad_among(self._explore(tracked), tracked, is_bad)

    def first_bad(
        self, tracked: tuple[str, ...], is_bad: Callable[[Page, Values], bool]
    ) -> Iterator[tuple[Page, Witness]]:
        """Like `bad`, without the pages that are only reached through another bad one."""

        on = self._following(tracked)

        def following(state: State) -> Iterable[State]:
            ended = is_bad(self.course.pages[state[0]], state[1])
            return () if ended else on(state)

        reached = graph.explore(self._starts(tracked), following)
        return self._bad_among(reached, tracked, is_bad)

    def _bad_among(
        self,
        reached: Mapping[State, State],
        tracked: tuple[str, ...],
        is_bad: Callable[[Page, Values], bool],
    ) -> Iterator[tuple[Page, Witness]]:
        seen: set[str] = set()
        for state in reached:
            page = self.course.pages[state[0]]
            if page.id not in seen and is_bad(page, state[1]):
                seen.add(page.id)
                yield page, self._witness(tracked, graph.path_to(state, reached))

    def _explore(self, tracked: tuple[str, ...]) -> Mapping[State, State]:
        if tracked not in self._explored:
            reached = graph.explore(self._starts(tracked), self._following(tracked))
            self._explored[tracked] = reached
        return self._explored[tracked]

    def _starts(self, tracked: tuple[str, ...]) -> list[State]:
        start = tuple("0" if name.startswith(EFFECT) else NOT_ASKED for name in tracked)
        return [(root, start) for root in self.course.roots]

    def _following(self, tracked: tuple[str, ...]) -> Callable[[State], list[State]]:
        """What a state leads to."""
        plan, after = self._plan(tracked), self.after

        def following(state: State) -> list[State]:
            page, values = state
            return [
                (to, values if move is None else after(tracked, values, move))
                for to, move in plan[page]
            ]

        return following

    def _plan(self, tracked: tuple[str, ...]) -> Mapping[str, list[Way]]:
        """Page id -> the ways on from it, as far as the tracked names can tell them apart.

        Few pages tell any of them, and every other page has its ways in common with all plans: this
        is what makes a search quick.
        """
        if tracked not in self._plans:
            names = frozenset(tracked)
            effects = frozenset(n.removeprefix(EFFECT) for n in names if n.startswith(EFFECT))

            def tells(move: Move) -> bool:
                return not (names.isdisjoint(move.sets) and effects.isdisjoint(move.effects))

            plan = dict(self._silent)
            for page in {page for name in tracked for page in self._telling.get(name, ())}:
                moves = self.course.pages[page].moves
                plan[page] = [
                    *((to, None) for to in {m.to: 0 for m in moves if not tells(m)}),
                    *((m.to, m) for m in moves if tells(m)),
                ]
            self._plans[tracked] = plan
        return self._plans[tracked]

    @cached_property
    def _silent(self) -> dict[str, list[Way]]:
        """Page id -> the ways on from it for whoever tracks nothing that it tells."""
        return {
            page.id: [(to, None) for to in {move.to: 0 for move in page.moves}]
            for page in self.course.pages.values()
        }

    @cached_property
    def _telling(self) -> dict[str, set[str]]:
        """Tracked name -> the pages with a move that tells it."""
        found: dict[str, set[str]] = {}
        for page in self.course.pages.values():
            for move in page.moves:
                for name in (*move.sets, *(EFFECT + effect for effect in move.effects)):
                    found.setdefault(name, set()).add(page.id)
        return found

    def after(self, tracked: tuple[str, ...], values: Values, move: Move) -> Values:
        """The tracked values after `move`."""
        return tuple(
            self._one(name, value, move) for name, value in zip(tracked, values, strict=True)
        )

    def _one(self, name: str, value: str, move: Move) -> str:
        if name.startswith(EFFECT):
            return str(min(2, int(value) + (name[len(EFFECT) :] in move.effects)))
        after = move.sets.get(name, value)
        event = self._events.get(name)
        return after if event is None else lasting(event, value, after)

    def _witness(self, tracked: tuple[str, ...], states: list[State]) -> Witness:
        moves = [self._taken(tracked, *pair) for pair in pairwise(states)]
        labels = [
            self._answered(page, move) for (page, _), move in zip(states, moves, strict=False)
        ]
        last, values = states[-1]
        via = moves[-1].via if moves else self.course.pages[last].spot
        return Witness((*labels, self._label(last)), via, values)

    def _taken(self, tracked: tuple[str, ...], before: State, after: State) -> Move:
        for move in self.course.pages[before[0]].moves:
            if move.to == after[0] and self.after(tracked, before[1], move) == after[1]:
                return move
        raise AssertionError("a state without the move that led to it")

    def rounds(self) -> list[tuple[str, ...]]:
        """A shortest round of each set of pages that lead to one another, its first page twice.

        Of copies that begin at the same written step the least narrowed one stands for all.
        """
        pages = self.course.pages
        walks = sorted(
            (walk for _, walk in graph.cycles(self.edges)),
            key=lambda walk: len(pages[walk[0]].mode.prefix),
            reverse=True,
        )
        return list({pages[walk[0]].spot: walk for walk in walks}.values())

    def walked(self, pages: Sequence[str]) -> tuple[str, ...]:
        """Labels of these pages, each with an answer in brackets that leads to the next."""
        pairs = [(page, self._leading(page, after)) for page, after in pairwise(pages)]
        return (*(self._answered(*pair) for pair in pairs), self._label(pages[-1]))

    def _leading(self, page: str, after: str) -> Move:
        return next(move for move in self.course.pages[page].moves if move.to == after)

    def _answered(self, page: str, move: Move) -> str:
        return self._label(page) + (f" ({move.value})" if move.value else "")

    def _label(self, page_id: str) -> str:
        page = self.course.pages[page_id]
        return f"{page.tree} > {page.label}" if page_id in self.course.roots else page.label


def lasting(event: Finding, before: str, after: str) -> str:
    """What is known of an event told as `before` and then as `after`: it is never undone."""
    old, new = _weight(event, before), _weight(event, after)
    return before if old and new <= old else after


def _weight(event: Finding, value: str) -> int:
    """0: it may not have happened; 1: it has; 2: and nobody may go on."""
    if value in (*UNKNOWNS, "no", "none"):
        return 0
    danger = event.values[value].danger
    if danger in ("", "stay-clear"):
        return int(bool(danger) or not event.is_danger)
    return 2


def meets(clause: Clause, tracked: Iterable[str], values: Values) -> bool:
    """Whether the tracked values satisfy the clause."""
    known = dict(zip(tracked, values, strict=True))
    return any(known[finding] in allowed for finding, allowed in clause.either.items())


def spoken(clause: Clause) -> str:
    """The clause in words: `power: off` or `display: blank / dim`."""
    return " or ".join(f"`{name}: {' / '.join(v)}`" for name, v in clause.either.items())


def told(value: str) -> str:
    """What a finding's value is, to follow its name: "not asked", "unsure" or "at `yes`"."""
    return value.replace("-", " ") if value in UNKNOWNS else f"at `{value}`"


def answered(move: Move) -> tuple[Related, ...]:
    """The answer itself, where another file says where it leads."""
    spot = move.answer.target.spot
    return () if spot == move.via else (Related(spot, "the answer stands here"),)
