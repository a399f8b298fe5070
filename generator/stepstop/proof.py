"""What is known at each page, on every path: the search that the path rules share.

A rule asks about one to three findings or effects. Whether something bad can happen is told by a
sweep over the pages (`sweep.py`). If it can, a search walks the course together with just these
names (a product of pages and values), breadth-first, so an answer is exact and its witness is a
shortest one. States grow with the values of what is asked about, not with the paths.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, product

from stepstop import graph
from stepstop.course import Course, Move, Page
from stepstop.model import NOT_ASKED, UNKNOWNS, Clause, Finding, Library
from stepstop.problems import Related
from stepstop.source import Spot
from stepstop.sweep import Arrivals, Line, Values
from stepstop.wording import Speech, speeches

State = tuple[str, Values]
"""(page id, value of each tracked name)."""


Bad = Callable[[Values], bool]
"""Whether a combination of values is bad."""
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
_COUNTS = ("0", "1", "2")
_MANY = 1024
"""Combinations that are swept with all others; more have a sweep of their own."""


class Proof:
    """Answers questions about all paths of a course; searches are kept for the next rule."""

    def __init__(self, course: Course, whole: Course | None = None) -> None:
        """`whole` is the proven course of which `course` offers a part, if it does."""
        self.course = course
        self.whole = whole
        self.library: Library = course.library
        self._explored: dict[tuple[str, ...], Mapping[State, State]] = {}
        findings = self.library.catalogue.findings.values()
        self._turned: dict[Hashable, Mapping[tuple[str, ...], Mapping[Values, Values]]] = {}
        self._events = {f.id: f for f in findings if f.kind == "event"}

    @cached_property
    def edges(self) -> dict[str, tuple[str, ...]]:
        """Page id -> ids of the next pages."""
        return self.course.graph()

    @cached_property
    def speeches(self) -> list[Speech]:
        """Every text that a homeowner may read."""
        return list(speeches(self.library))

    def steps(self) -> Iterator[Page]:
        """The pages that are steps, in the order they were laid out."""
        return (page for page in self.course.pages.values() if page.step)

    def asking(self, finding: str) -> Sequence[Page]:
        """The steps whose answers record a finding, in the order they were laid out."""
        return self._asking.get(finding, ())

    @cached_property
    def _asking(self) -> dict[str, list[Page]]:
        found: dict[str, list[Page]] = {}
        for page in self.steps():
            found.setdefault(page.finding, []).append(page)
        return found

    def outcomes(self) -> Iterator[Page]:
        """The pages that are outcomes."""
        return (page for page in self.course.pages.values() if page.outcome)

    def arrivals(self, tracked: tuple[str, ...]) -> Arrivals:
        """The combinations of tracked values that paths arrive with, page by page."""
        if tracked in self._domains:
            return self._apart[tracked]
        after = self.after
        return self._line.together(
            self._start(tracked),
            self._told(tracked),
            lambda values, move: after(tracked, values, move),
        )

    def bad(
        self, tracked: tuple[str, ...], is_bad: Bad, among: Collection[str]
    ) -> Iterator[tuple[Page, Witness]]:
        """Each page of `among` that some path reaches with bad values, with a shortest such path.

        `is_bad` is asked about combinations of the tracked values.
        """
        if self._is_fine(tracked, is_bad, among):
            return iter(())
        return self._bad_among(self._explore(tracked), tracked, is_bad, among)

    def first_bad(
        self, tracked: tuple[str, ...], is_bad: Bad, among: Collection[str]
    ) -> Iterator[tuple[Page, Witness]]:
        """Like `bad`, without the pages that are only reached through another bad one."""
        if self._is_fine(tracked, is_bad, among):
            return iter(())
        on = self._following(tracked)

        def following(state: State) -> Iterable[State]:
            return () if state[0] in among and is_bad(state[1]) else on(state)

        reached = graph.explore(self._starts(tracked), following)
        return self._bad_among(reached, tracked, is_bad, among)

    def unmet(self, clause: Clause, among: Collection[str]) -> Iterator[tuple[Page, Witness]]:
        """Each page of `among` that some path reaches without meeting the clause, as `bad` does."""
        tracked = named(clause)
        return self.bad(tracked, lambda values: not meets(clause, tracked, values), among)

    def _bad_among(
        self,
        reached: Mapping[State, State],
        tracked: tuple[str, ...],
        is_bad: Bad,
        among: Collection[str],
    ) -> Iterator[tuple[Page, Witness]]:
        left = set(among)
        for state in reached:
            page, values = state
            if page in left and is_bad(values):
                left.remove(page)
                witness = self._witness(tracked, graph.path_to(state, reached))
                yield self.course.pages[page], witness

    def _is_fine(self, tracked: tuple[str, ...], is_bad: Bad, among: Collection[str]) -> bool:
        """Whether no path reaches one of these pages with bad values."""
        return not any(map(is_bad, self.arrivals(tracked).at(among)))

    def _explore(self, tracked: tuple[str, ...]) -> Mapping[State, State]:
        if tracked not in self._explored:
            reached = graph.explore(self._starts(tracked), self._following(tracked))
            self._explored[tracked] = reached
        return self._explored[tracked]

    def _start(self, tracked: tuple[str, ...]) -> Values:
        """The values with which a walk begins."""
        return tuple("0" if name.startswith(EFFECT) else NOT_ASKED for name in tracked)

    def _starts(self, tracked: tuple[str, ...]) -> list[State]:
        return [(root, self._start(tracked)) for root in self.course.roots]

    def _following(self, tracked: tuple[str, ...]) -> Callable[[State], list[State]]:
        """What a state leads to."""
        told, silent, after = self._told(tracked), self.edges, self.after

        def following(state: State) -> list[State]:
            page, values = state
            if page not in told:
                return [(to, values) for to in silent[page]]
            return [
                (to, values if move is None else after(tracked, values, move))
                for to, move in told[page]
            ]

        return following

    def _told(self, tracked: tuple[str, ...]) -> dict[str, list[Way]]:
        """The pages with a move that tells a tracked name -> the ways on from it.

        They are few: every other page hands on what it is reached with.
        """
        names = frozenset(tracked)
        effects = frozenset(n.removeprefix(EFFECT) for n in names if n.startswith(EFFECT))

        def tells(move: Move) -> bool:
            return not (names.isdisjoint(move.sets) and effects.isdisjoint(move.effects))

        found: dict[str, list[Way]] = {}
        for page in {page: 0 for name in tracked for page in self._telling.get(name, ())}:
            moves = self.course.pages[page].moves
            found[page] = [
                *((to, None) for to in {m.to: 0 for m in moves if not tells(m)}),
                *((m.to, m) for m in moves if tells(m)),
            ]
        return found

    @cached_property
    def _line(self) -> Line:
        return Line(self.edges, self.course.roots)

    @cached_property
    def _apart(self) -> dict[tuple[str, ...], Arrivals]:
        """What rules ask about, which is known before: all of it is swept at once."""
        told = {p.id: [(m.to, m) for m in p.moves] for p in self.course.pages.values() if p.moves}
        return self._line.apart(self._domains, told, self._turns)

    @cached_property
    def _domains(self) -> dict[tuple[str, ...], tuple[Values, ...]]:
        """Each finding and effect alone, and the findings of each clause that is either-or.

        With all their values, first those that they have where a walk begins.
        """
        catalogue = self.library.catalogue
        others = tuple(value for value in UNKNOWNS if value != NOT_ASKED)
        alone = {
            **{f.id: (NOT_ASKED, *others, *f.values) for f in catalogue.findings.values()},
            **{EFFECT + name: _COUNTS for name in catalogue.effects},
        }
        clauses = (
            *(clause for check in catalogue.checks.values() for clause in check.requires),
            *(clause for at in catalogue.rulebook.locations.values() for clause in at.requires),
            *(clause for finding in catalogue.findings.values() for clause in finding.means_if),
        )
        tracked = {(name,): 0 for name in alone} | {named(clause): 0 for clause in clauses}
        known = [names for names in tracked if alone.keys() >= set(names)]
        found = {names: tuple(product(*(alone[name] for name in names))) for names in known}
        return {names: all_of for names, all_of in found.items() if len(all_of) <= _MANY}

    @cached_property
    def _together(self) -> dict[str, list[tuple[str, ...]]]:
        """Tracked name -> the combinations that it is in."""
        found: dict[str, list[tuple[str, ...]]] = {}
        for names in self._domains:
            for name in names:
                found.setdefault(name, []).append(names)
        return found

    def _turns(self, move: Move) -> Mapping[tuple[str, ...], Mapping[Values, Values]]:
        """Each combination that a move tells of -> values before it -> values after it."""
        key = (move.effects, id(move.sets))  # Those of equal answers are one object.
        if key not in self._turned:
            told = (*move.sets, *(EFFECT + effect for effect in move.effects))
            self._turned[key] = {
                names: {values: self.after(names, values, move) for values in self._domains[names]}
                for name in told
                for names in self._together.get(name, ())
            }
        return self._turned[key]

    @cached_property
    def _telling(self) -> dict[str, dict[str, int]]:
        """Tracked name -> the pages with a move that tells it."""
        found: dict[str, dict[str, int]] = {}
        for page in self.course.pages.values():
            for move in page.moves:
                for name in (*move.sets, *(EFFECT + effect for effect in move.effects)):
                    found.setdefault(name, {})[page.id] = 0
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

    @property
    def has_loop(self) -> bool:
        """Whether some pages lead to one another."""
        return bool(self._cycles)

    @cached_property
    def _cycles(self) -> list[tuple[str, ...]]:
        return [walk for _, walk in graph.cycles(self.edges)]

    def rounds(self) -> list[tuple[str, ...]]:
        """A shortest round of each set of pages that lead to one another, its first page twice.

        Of copies that begin at the same written step the least narrowed one stands for all.
        """
        pages = self.course.pages
        walks = sorted(
            self._cycles,
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


def happened(values: Values) -> bool:
    """Whether a tracked effect has happened, for `Proof.bad`."""
    return values[0] != "0"


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
    either = clause.either
    return any(
        name in either and value in either[name]
        for name, value in zip(tracked, values, strict=True)
    )


def named(clause: Clause) -> tuple[str, ...]:
    """The findings of a clause, to track them."""
    return tuple(sorted(clause.either))


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
