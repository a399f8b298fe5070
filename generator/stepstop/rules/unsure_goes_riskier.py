"""Not being sure never leads to more hazard, or to less urgency, than an answer would.

Left apart: checks without a hazard, sure answers that say that it works or after which nothing more
is done (they set no limit), and questions about danger, which `danger-goes-on` holds. A second
question may settle a doubt: one of its answers leads to the same careful place, and none of them
goes further than the sure answers of the first question do.

Where somebody offers only a part of a proven course, doubt is held against what a sure answer led
to in the whole: what is left out can make a sure answer more careful, and doubt no riskier by that.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass

from stepstop import graph
from stepstop.course import Course, Move, Page
from stepstop.model import UNKNOWNS, UNSURE
from stepstop.problems import Problem, Related
from stepstop.proof import Proof
from stepstop.tally import Tally

FLAW = "unsure-goes-riskier"
CAREFUL = "lead it where the most careful answer leads"
SUMMARY = "`unsure` is missing, or leads to more hazard or less urgency than a sure answer"

_WORKS = frozenset({"solved", "watch"})


@dataclass(frozen=True, slots=True)
class _Limit:
    """How far what can come after an answer goes."""

    risky: frozenset[str]
    urgency: int

    def holds(self, other: _Limit) -> bool:
        """Whether `other` has no more hazard and no less urgency."""
        return other.risky <= self.risky and other.urgency >= self.urgency


@dataclass(frozen=True, slots=True)
class _After:
    """What can come after each page, itself included."""

    course: Course
    edges: graph.Graph[str]
    risky: Mapping[str, frozenset[str]]
    """Checks with a hazard."""
    ends: Mapping[str, frozenset[str]]
    """Kinds of outcomes, `check` for any check, and what else a path can end in."""
    urgency: Mapping[str, int]
    """Least urgent outcome: 0 is the least urgent there is."""

    def limit(self, page: str) -> _Limit:
        """How far a walk from this page goes."""
        return _Limit(self.risky[page], self.urgency.get(page, 0))

    def sets_limit(self, page: str) -> bool:
        """Whether more than "it works now" follows."""
        return not self.ends[page] <= _WORKS

    def least_urgent(self, page: str) -> str:
        """The first by name of the least urgent outcomes, with its urgency."""
        close, urgencies = _closeness(self.course), self.course.library.catalogue.urgencies
        for name in sorted(graph.reachable(self.edges, [page])):
            end = self.course.pages[name]
            if end.outcome and close.get(name) == self.urgency[page]:
                urgency = urgencies.get(_urgency(end))
                return f"`{end.name}` ({urgency.say if urgency else 'no urgency'})"
        return "nothing"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each question or check where doubt isn't the careful choice."""
    after = _after(proof.course, proof.edges)
    sure = _Sure(proof, after)
    for page in proof.steps():
        if not page.finding or not page.moves:
            continue  # no answer at all is a dead end
        tally.count()
        unsure = [move for move in page.moves if move.value == UNSURE]
        if not unsure:
            message = f"`{page.name}` has no answer `{UNSURE}`"
            mend = "add one that leads where the most careful answer leads"
            yield Problem(page.spot, FLAW, message, mend)
        elif not proof.library.catalogue.findings[page.finding].is_danger:
            for move in unsure:
                yield from _compare(proof, page, move, after, sure)


class _Sure:
    """What can come after a sure answer, in the whole course where this one is a part of it."""

    def __init__(self, proof: Proof, own: _After) -> None:
        whole = proof.whole
        self._whole = whole or proof.course
        self._own = own
        self._after = own if whole is None else _after(whole, whole.graph())

    def leads_to(self, page: Page, move: Move) -> tuple[str, _After]:
        """The page after `move`: the whole course's, if it has such a page and answer."""
        there = self._whole.pages.get(page.id)
        moves = there.moves if there else ()
        to = next((each.to for each in moves if each.value == move.value), None)
        return (move.to, self._own) if to is None else (to, self._after)

    def limit(self, page: Page, move: Move) -> _Limit:
        """How far a walk goes after `move`."""
        to, after = self.leads_to(page, move)
        return after.limit(to)


def _after(course: Course, edges: graph.Graph[str]) -> _After:
    pages = course.pages.values()
    risky = {p.id: frozenset({p.check.id}) for p in pages if p.check and p.check.hazards}
    ends = {p.id: frozenset({_kind(p)}) for p in pages if _kind(p)}
    return _After(
        course,
        edges,
        graph.labels_after(edges, risky),
        graph.labels_after(edges, ends),
        graph.least_after(edges, _closeness(course)),
    )


def _kind(page: Page) -> str:
    if page.outcome is not None:
        return page.outcome.kind
    if page.check is not None:
        return "check"
    return "" if page.step else page.id


def _closeness(course: Course) -> dict[str, int]:
    """Outcome page -> how urgent it is: 0 for the least urgent, so that the least is the worst."""
    ranks = {name: urgency.rank for name, urgency in course.library.catalogue.urgencies.items()}
    last = max(ranks.values(), default=0)
    outcomes = (page for page in course.pages.values() if page.outcome)
    return {p.id: last - ranks.get(_urgency(p), last) for p in outcomes}


def _urgency(page: Page) -> str:
    if page.outcome is None:
        return ""
    if page.mode.hurry and page.outcome.hurry_urgency:
        return page.outcome.hurry_urgency
    return page.outcome.urgency


def _working(proof: Proof, page: Page) -> frozenset[str]:
    """Values that say that a check brought what was asked for."""
    values = proof.library.catalogue.findings[page.finding].values.values()
    return frozenset(value.id for value in values if value.works)


def _settled(page: Page, doubt: str, careful: Move, after: _After, sure: _Sure) -> str:
    """Where doubt goes on to if a second question may settle it.

    Then only the second question's own doubt is compared: its other answers are sure. Were they
    free to go further than the first question's, any second question would lift the limit.
    """
    second = _past_notes(after.course, doubt)
    if second.step is None or second.check is not None:
        return doubt
    others = [move.to for move in second.moves if move.value != UNSURE]
    place = _place(after.course, careful.to)
    if not any(_place(after.course, to) == place for to in others):
        return doubt
    limits = [sure.limit(page, move) for move in page.moves if move.value not in UNKNOWNS]
    if not all(any(each.holds(after.limit(to)) for each in limits) for to in others):
        return doubt
    return next((move.to for move in second.moves if move.value == UNSURE), doubt)


def _place(course: Course, page_id: str) -> Hashable:
    """What is the same for pages that are one place to go.

    Those are endings that are as careful as each other, and copies of a step.
    """
    page = _past_notes(course, page_id)
    if page.outcome is not None:
        end = page.outcome
        return (end.kind, end.danger_from, end.urgency, end.hurry_urgency)
    check = page.check.id if page.check else ""
    return (check, page.finding, frozenset((move.value, move.to) for move in page.moves))


def _past_notes(course: Course, page_id: str) -> Page:
    """The page itself, or the first after it that isn't a note: nobody answers those."""
    page = course.pages[page_id]
    while page.step is not None and page.step.kind == "note":
        page = course.pages[page.moves[0].to]
    return page


def _compare(
    proof: Proof, page: Page, unsure: Move, after: _After, sure: _Sure
) -> Iterator[Problem]:
    working = _working(proof, page)
    for move in page.moves:
        if move.value in {*UNKNOWNS, *working}:
            continue
        there, held = sure.leads_to(page, move)
        if not held.sets_limit(there):
            continue
        doubt = _settled(page, unsure.to, move, after, sure)
        more = after.risky[doubt] - held.risky[there]
        if more:
            message = f"`unsure` on `{page.name}` can lead to {_named(more)}, "
            message += f"which `{move.value}` never does"
            yield _problem(unsure, move, message)
        elif after.urgency.get(doubt, 0) < held.urgency.get(there, 0):
            hurried = "in a hurry " if page.mode.hurry else ""
            message = (
                f"{hurried}`unsure` on `{page.name}` can end less urgently than `{move.value}`"
            )
            message += f": {after.least_urgent(doubt)}, not {held.least_urgent(there)}"
            mend = f"{CAREFUL}, or have that ending say sooner (`urgency`, `hurry-urgency`)"
            yield _problem(unsure, move, message, mend)


def _named(checks: frozenset[str]) -> str:
    return ", ".join(f"`{name}`" for name in sorted(checks))


def _problem(unsure: Move, careful: Move, message: str, mend: str = CAREFUL) -> Problem:
    related = (Related(careful.via, f"`{careful.value}` leads on here"),)
    return Problem(unsure.via, FLAW, message, mend, (), related)
