"""No path is longer, in pages or minutes, than a worried person can bear."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from stepstop import graph
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.tally import Tally

FLAW = "too-long"
SUMMARY = "a path has more pages or minutes than allowed"

QUESTION_SECONDS = 20
"""Reading and answering a question; a judgement, to be measured with people."""


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each complaint whose longest path is over the limits."""
    limits = proof.library.catalogue.rulebook.limits
    pages = dict.fromkeys(proof.edges, 1)
    seconds = page_seconds(proof)
    for root in proof.course.roots:
        tally.count()
        steps, path = graph.longest_path(proof.edges, pages, [root])
        if steps > limits.longest_steps:
            yield _problem(proof, root, f"{steps:g} pages, more than {limits.longest_steps}", path)
        time, path = graph.longest_path(proof.edges, seconds, [root])
        if time > limits.longest_minutes * 60:
            over = f"{ceil(time / 60)} minutes, more than {limits.longest_minutes}"
            yield _problem(proof, root, over, path)


def page_seconds(proof: Proof) -> dict[str, float]:
    """Page id -> seconds it takes, the waits of checks included."""
    return {
        page.id: page.check.minutes * 60 if page.check else QUESTION_SECONDS * bool(page.step)
        for page in proof.course.pages.values()
    }


def _problem(proof: Proof, root: str, what: str, pages: list[str]) -> Problem:
    path = proof.walked(pages)
    tree = proof.library.trees[proof.course.pages[root].tree]
    message = f"the longest path of `{tree.id}` takes {what}"
    return Problem(tree.spot, FLAW, message, "stop and call earlier on this path", path)
