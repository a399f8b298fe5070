"""Every step and outcome that is written can be reached."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Course, lay_out
from stepstop.model import Tree
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import Spot, spot_of
from stepstop.tally import Tally

FLAW = "unreachable-step"
SUMMARY = "no path leads to a step or outcome"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each step or outcome that no page stands for.

    Who offers less than the library does leaves pages out: that is no flaw of the trees.
    """
    course = lay_out(proof.library) if proof.course.is_narrowed else proof.course
    outcomes = {page.outcome.spot for page in course.pages.values() if page.outcome}
    steps = set(reached(course))
    for tree in proof.library.trees.values():
        for step in tree.steps.values():
            tally.count()
            if step.spot not in steps:
                yield _problem(step.id, tree)
        for outcome in tree.outcomes.values():
            tally.count()
            if outcome.spot not in outcomes and not tree.is_stock:
                yield _problem(outcome.id, tree)


def reached(course: Course) -> Iterator[Spot]:
    """Where the steps are written that stand on a page, or that a boundary skips; uses included."""
    there = {(page.tree, page.name) for page in course.pages.values() if page.step}
    for tree, address in there | course.skipped:
        home = course.library.trees[tree]
        for name in address.split("."):
            step = home.steps[name]
            yield step.spot
            home = course.library.trees.get(step.uses, home)


def _problem(name: str, tree: Tree) -> Problem:
    message = f"no path leads to `{name}` of `{tree.id}`"
    return Problem(spot_of(name), FLAW, message, "lead an answer to it, or delete it")
