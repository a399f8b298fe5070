"""How many callers go each way: those of a rehearsal, carried through the pages."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from pathlib import Path

from stepstop.course import Course
from stepstop.effort.carry import walkers
from stepstop.effort.survey import prepare
from stepstop.model import Tree
from stepstop.picture.flow import Key, key_of
from stepstop.problems import Problem


def shares(
    course: Course, trees: Path, tree: Tree, *, progress: Callable[[str], None] = lambda _: None
) -> tuple[Mapping[tuple[Key, Key], float] | None, list[Problem]]:
    """(tail, head) -> share of this tree's callers, or None and the problems of the files.

    Of a complaint these are who begin with it; of another tree, who come to it from any.
    """
    ready, problems = prepare(course, trees, progress=progress)
    if ready is None:
        return None, problems
    begins = ready.complaints if tree.role != "complaint" else (tree.id,)
    flows: dict[tuple[Key, Key], float] = defaultdict(float)
    came = 0.0
    for complaint in begins:
        if complaint not in ready.complaints:
            continue
        progress(f"carrying callers: {complaint}")
        walking = walkers(ready.world, complaint)
        if tree.role == "complaint":
            came += float(walking.begin.sum())
        for met in walking.walk():
            if not met.callers:
                continue
            here = met.node.page
            for option, flow in zip(met.node.options, met.flows, strict=True):
                there = ready.world.nodes[option.to].page
                tail, head = key_of(here, tree), key_of(there, tree)
                if here.tree == tree.id and tail != head:
                    flows[tail, head] += flow
                elif here.tree != tree.id and there.tree == tree.id and there.step is not None:
                    came += flow * (tree.role != "complaint")
    return {pair: flow / came for pair, flow in flows.items()} if came else {}, []
