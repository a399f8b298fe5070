"""How many callers go each way: those of a rehearsal, carried through the pages.

They are kept beside what else pages take of a rehearsal, in `NAME`: JSON with the keys `format`
(1), `of` (the fingerprint of what was rehearsed) and `trees`: by tree, lists of the kind and name
of a box, those of the one that its way leads to, and the share.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stepstop import rehearsed
from stepstop.course import Course
from stepstop.model import Tree
from stepstop.picture.flow import Key, key_of
from stepstop.problems import Problem

if TYPE_CHECKING:
    from stepstop.effort.carry import Walkers

NAME = "shares.json"
FORMAT = 1
DIGITS = 4

Shares = Mapping[tuple[Key, Key], float]
"""(tail, head) -> share of a tree's callers: of a complaint, of those who begin with it; of another
tree, of those who come to it from any."""
Progress = Callable[[str], None]


def shares(
    course: Course, trees: Path, tree: Tree, *, progress: Progress = lambda _: None
) -> tuple[Shares | None, list[Problem]]:
    """Those of one tree, kept or else counted, or None and the problems of the files on callers."""
    found = kept(course, trees)
    if not found:
        counted, problems = count(course, trees, progress=progress)
        if counted is None:
            return None, problems
        found = counted
    return found.get(tree.id, {}), []


def count(
    course: Course, trees: Path, *, progress: Progress = lambda _: None
) -> tuple[dict[str, Shares] | None, list[Problem]]:
    """Tree -> its shares, of all trees with pages of their own that callers come to."""
    # Reading what is kept needs no simulation, so builds don't load it.
    from stepstop.effort.carry import walkers
    from stepstop.effort.survey import prepare

    ready, problems = prepare(course, trees, progress=progress)
    if ready is None:
        return None, problems
    known = {tree.id: tree for tree in course.library.written() if tree.role != "shared"}
    flows: dict[str, dict[tuple[Key, Key], float]] = defaultdict(lambda: defaultdict(float))
    came: dict[str, float] = defaultdict(float)
    for complaint in ready.complaints:
        progress(f"carrying callers: {complaint}")
        walking = walkers(ready.world, complaint)
        came[complaint] += float(walking.begin.sum())
        # Those who come to a complaint from another don't count as its callers.
        of = {n: t for n, t in known.items() if n == complaint or t.role != "complaint"}
        _carry(walking, of, complaint, flows, came)
    return {
        name: {pair: flow / came[name] for pair, flow in flows[name].items()}
        for name in known
        if came[name] and flows[name]
    }, []


def _carry(
    walking: Walkers,
    of: Mapping[str, Tree],
    complaint: str,
    flows: Mapping[str, dict[tuple[Key, Key], float]],
    came: dict[str, float],
) -> None:
    """Add the callers with one complaint to the ways of the trees that they count for."""
    for met in walking.walk():
        if not met.callers:
            continue
        here = met.node.page
        for option, flow in zip(met.node.options, met.flows, strict=True):
            there = walking.world.nodes[option.to].page
            if here.tree in of:
                tail, head = key_of(here, of[here.tree]), key_of(there, of[here.tree])
                if tail != head:
                    flows[here.tree][tail, head] += flow
            is_new = there.tree != here.tree and there.tree != complaint
            if is_new and there.tree in of and there.step is not None:
                came[there.tree] += flow


# ---- the file ----


def kept(course: Course, trees: Path) -> dict[str, Shares]:
    """Tree -> its shares as they were kept; none if absent, damaged, or of another state."""
    of = rehearsed.fingerprint(trees, course)
    return read(rehearsed.kept(trees, of), of)


def read(folder: Path, of: str) -> dict[str, Shares]:
    """The same from the file in that folder, for what has the fingerprint `of`."""
    try:
        data = json.loads((folder / NAME).read_bytes())
        if data["format"] != FORMAT or data["of"] != of:
            return {}
        return {name: _made(rows) for name, rows in data["trees"].items()}
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return {}


def _made(rows: Any) -> Shares:
    return {((a, b), (c, d)): float(share) for a, b, c, d, share in rows}


def written(found: Mapping[str, Shares], of: str) -> bytes:
    """The file with these shares, of what has the fingerprint `of`; always the same."""
    rows = {
        name: sorted([*tail, *head, round(share, DIGITS)] for (tail, head), share in each.items())
        for name, each in sorted(found.items())
    }
    lines = [
        f"{json.dumps(name)}: [\n" + ",\n".join(json.dumps(row) for row in each) + "\n]"
        for name, each in rows.items()
    ]
    head = f'"format": {FORMAT},\n"of": {json.dumps(of)},\n"trees": {{\n'
    return ("{\n" + head + ",\n".join(lines) + "\n}\n}\n").encode()


def keep(course: Course, trees: Path, *, progress: Progress = lambda _: None) -> tuple[Path, int]:
    """Count the shares of a rehearsed course and keep them beside its rehearsal: file, trees."""
    of = rehearsed.fingerprint(trees, course)
    found, problems = count(course, trees, progress=progress)
    assert found is not None, problems
    path = rehearsed.kept(trees, of) / NAME
    path.write_bytes(written(found, of))
    return path, len(found)
