"""Neighbouring steps of a written tree that could change places, and the library with them changed.

Nothing here knows of callers or chances.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from stepstop.model import START_PAGE, Library, Step, Target, Tree

KINDS = ("question", "check", "use")
"""Steps that may change places; a note belongs where its author put it."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two steps of one file, the second of which is reached from the first alone."""

    tree: str
    first: str
    second: str
    on: Target
    """The one place where the second goes on."""


def links(step: Step) -> tuple[Target, ...]:
    """Wherever a step leads, as written."""
    return tuple(step.exits.values()) + tuple(answer.target for answer in step.answers)


def same_place(one: Target, other: Target) -> bool:
    """Whether both lead to one place in one way."""
    return replace(one, spot=other.spot) == other


def going_on(step: Step, tree: Tree, library: Library) -> Target | None:
    """The one place where the walk goes on after `step`, or None where there is not just one.

    That is a step of the same file; only where none is reached, an exit or a page elsewhere counts.
    Other places are ends, or leave what the file is about.
    """
    here = [each for each in links(step) if not each.is_exit and each.name in tree.steps]
    away = [each for each in links(step) if each not in here and not is_end(each, tree, library)]
    places = here or away
    return places[0] if places and all(same_place(p, places[0]) for p in places) else None


def is_end(target: Target, tree: Tree, library: Library) -> bool:
    """Whether a walk ends at `target`, written in `tree`."""
    if target.is_exit:
        return False
    if target.name == START_PAGE:
        return True
    file, _, name = target.name.rpartition("/")
    home = library.trees[file] if file else tree
    return name in home.outcomes


def pairs(library: Library) -> Iterator[Pair]:
    """Every pair whose steps can change places in one way only."""
    for tree in library.trees.values():
        for step in tree.steps.values():
            if step.kind in KINDS and (found := _pair(step, tree, library)):
                yield found


def _pair(first: Step, tree: Tree, library: Library) -> Pair | None:
    to = going_on(first, tree, library)
    if to is None or to.is_exit or to.keep_to or to.hurry or to.name not in tree.steps:
        return None
    second = tree.steps[to.name]
    on = going_on(second, tree, library)
    if second.kind not in KINDS or on is None or on.name in (first.id, second.id):
        return None
    if second.kind == "use" and (on.is_exit or on.name not in tree.steps):
        return None
    entered = sum(1 for each in links(first) if each.name == second.id and not each.is_exit)
    return (
        Pair(tree.id, first.id, second.id, on) if uses(second, tree, library) == entered else None
    )


def uses(step: Step, tree: Tree, library: Library) -> int:
    """How often something written leads to `step` of `tree`."""
    count = int(tree.starts_with == step.id)
    for other in library.trees.values():
        names = {f"{tree.id}/{step.id}"} | ({step.id} if other.id == tree.id else set())
        targets = (each for s in other.steps.values() for each in links(s))
        count += sum(1 for each in targets if not each.is_exit and each.name in names)
    return count


def swapped(library: Library, pair: Pair) -> Library:
    """The library with the two steps in the other order; all else is as it was."""
    trees = {name: _repointed(tree, pair) for name, tree in library.trees.items()}
    return replace(library, trees=trees)


def _repointed(tree: Tree, pair: Pair) -> Tree:
    steps = {name: _changed(step, tree, pair) for name, step in tree.steps.items()}
    if tree.id != pair.tree:
        return replace(tree, steps=steps)
    starts = pair.second if tree.starts_with == pair.first else tree.starts_with
    return replace(tree, steps=_in_order(steps, pair), starts_with=starts)


def _in_order(steps: Mapping[str, Step], pair: Pair) -> dict[str, Step]:
    """The same steps with the two at each other's place, as an author would write them."""
    traded = {pair.first: pair.second, pair.second: pair.first}
    return {name: steps[name] for name in (traded.get(each, each) for each in steps)}


def _changed(step: Step, tree: Tree, pair: Pair) -> Step:
    exits = {name: _aimed(each, step, tree, pair) for name, each in step.exits.items()}
    answers = tuple(
        replace(each, target=_aimed(each.target, step, tree, pair)) for each in step.answers
    )
    return replace(step, exits=exits, answers=answers)


def _aimed(target: Target, step: Step, tree: Tree, pair: Pair) -> Target:
    """Where a link leads once the steps have changed places; it keeps its own spot."""
    is_home = tree.id == pair.tree
    if is_home and step.id == pair.first and target.name == pair.second and not target.is_exit:
        return replace(pair.on, spot=target.spot)
    if is_home and step.id == pair.second and same_place(target, pair.on):
        return replace(target, name=pair.first, is_exit=False, keep_to="", hurry=False)
    names = {f"{pair.tree}/{pair.first}": f"{pair.tree}/{pair.second}"}
    if is_home:
        names[pair.first] = pair.second
    return target if target.is_exit else replace(target, name=names.get(target.name, target.name))
