"""No path is longer, in pages or minutes, than a worried person can bear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
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
    steps = graph.longest_from(proof.edges, pages)
    times = graph.longest_from(proof.edges, seconds)
    for root in proof.course.roots:
        tally.count()
        if steps[root] > limits.longest_steps:
            over = f"{steps[root]:g} pages, more than {limits.longest_steps}"
            yield _problem(proof, root, over, pages)
        if times[root] > limits.longest_minutes * 60:
            over = f"{ceil(times[root] / 60)} minutes, more than {limits.longest_minutes}"
            yield _problem(proof, root, over, seconds)


def page_seconds(proof: Proof) -> dict[str, float]:
    """Page id -> seconds it takes, the waits of checks included."""
    return {
        page.id: page.check.minutes * 60 if page.check else QUESTION_SECONDS * bool(page.step)
        for page in proof.course.pages.values()
    }


def _problem(proof: Proof, root: str, what: str, weights: Mapping[str, float]) -> Problem:
    path = proof.walked(graph.longest_path(proof.edges, weights, [root])[1])
    tree = proof.library.trees[proof.course.pages[root].tree]
    message = f"the longest path of `{tree.id}` takes {what}"
    return Problem(tree.spot, FLAW, message, "stop and call earlier on this path", path)
