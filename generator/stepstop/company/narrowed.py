"""The trees as a company offers them: less is done, somebody comes sooner, never the reverse."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from stepstop import graph
from stepstop.company.model import Company, LeftOut
from stepstop.course import FULL, Course, lay_out
from stepstop.model import Boundary, Library, Outcome, Tree
from stepstop.problems import Problem, Related
from stepstop.proof import Proof
from stepstop.rules import verdict


def course_for(company: Company, library: Library) -> Course:
    """The pages of `library` for `company`."""
    within = company.leave_out and _boundary(company.leave_out, library)
    return lay_out(_sooner(library, company.sooner), within=within or None)


Limits = tuple[tuple[str, ...], ...]
"""All by which a company's pages differ from others' in more than name and looks."""


def limits_of(company: Company) -> Limits:
    """Equal for companies whose pages differ in name and looks alone."""
    out = company.leave_out
    left = (out.checks, out.hazards, out.locations) if out else ((), (), ())
    return (*(tuple(sorted(each)) for each in left), *sorted(company.sooner.items()))


NO_LIMITS: Limits = ((), (), ())
"""Those of a company that offers all."""


def prove(company: Company, whole: Course) -> tuple[Course, tuple[Problem, ...]]:
    """The company's course with what all rules say of it, its own texts apart.

    `whole` is that of everybody: the danger questions with which its walks begin must stay.
    """
    course = course_for(company, whole.library)
    lost = _danger_lost(company, whole, course)
    if lost or company.leave_out is None:
        return course, lost or verdict(Proof(course)).problems
    sooner = lay_out(course.library)
    found = verdict(Proof(sooner)).problems if company.sooner else ()
    if found:
        return course, found
    because = Related(company.leave_out.spot, "this company leaves something out here")
    narrowed = verdict(Proof(course, sooner)).problems
    return course, tuple(replace(p, related=(because, *p.related)) for p in narrowed)


def _danger_lost(company: Company, whole: Course, own: Course) -> tuple[Problem, ...]:
    lost = _danger_first(whole) - own.pages.keys()
    if not lost or company.leave_out is None:
        return ()
    page = whole.pages[min(lost)]
    message = f"without this, {len(lost)} questions about danger are not asked, such as `{page.id}`"
    mend = "leave out checks, or locations at which nothing is asked about danger"
    return (Problem(company.leave_out.spot, "danger-left-out", message, mend),)


def _danger_first(course: Course) -> set[str]:
    """The pages that every walk may meet before it has been asked about all dangers."""
    findings = course.library.catalogue.findings

    def asks(page_id: str) -> bool:
        finding = findings.get(course.pages[page_id].finding)
        return finding is not None and finding.is_danger

    def following(page_id: str) -> Iterable[str]:
        return filter(asks, (move.to for move in course.pages[page_id].moves))

    return set(graph.explore(list(filter(asks, course.roots)), following))


def _boundary(out: LeftOut, library: Library) -> Boundary:
    full = library.catalogue.rulebook.boundaries[FULL]
    return replace(
        full,
        checks=tuple(each for each in full.checks if each not in out.checks),
        hazards=tuple(each for each in full.hazards if each not in out.hazards),
        locations=tuple(each for each in full.locations if each not in out.locations),
    )


def _sooner(library: Library, sooner: Mapping[str, str]) -> Library:
    if not sooner:
        return library
    trees = {name: _tree(tree, sooner, library) for name, tree in library.trees.items()}
    return replace(library, trees=trees)


def _tree(tree: Tree, sooner: Mapping[str, str], library: Library) -> Tree:
    outcomes = {
        name: _outcome(outcome, sooner.get(f"{tree.id}/{name}", ""), sooner, library)
        for name, outcome in tree.outcomes.items()
    }
    return replace(tree, outcomes=outcomes)


def _outcome(outcome: Outcome, own: str, sooner: Mapping[str, str], library: Library) -> Outcome:
    """The outcome with the most urgent of all that is said of it."""
    ranks = {each.id: each.rank for each in library.catalogue.urgencies.values()}

    def most(*urgencies: str) -> str:
        return min(filter(None, urgencies), key=lambda each: ranks[each], default="")

    calm = most(outcome.urgency, own, sooner.get(outcome.urgency, ""))
    hurried = outcome.hurry_urgency
    if hurried:
        hurried = most(hurried, calm, sooner.get(hurried, ""))
    return replace(outcome, urgency=calm, hurry_urgency=hurried)
