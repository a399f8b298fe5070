"""Complaints that a place doesn't have: what is left of the trees there, proven anew by all rules.

A complaint may name the places where it is met. In an edition for another place it is left out,
with all that only it leads to. Where a tree that stays leads into it, that is a problem: nobody is
sent to a page that isn't there, and what to do instead is for the author to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from stepstop import graph
from stepstop.course import Course, lay_out
from stepstop.model import Catalogue, Library, Place, Target, Tree
from stepstop.problems import Problem, Related, sorted_once
from stepstop.proof import Proof
from stepstop.rules import verdict
from stepstop.rules.unreachable_step import reached
from stepstop.source import Spot, spot_of


def left_out(library: Library, place: str) -> tuple[str, ...]:
    """The complaints that a place doesn't have, by id."""
    if place not in library.catalogue.places:
        return ()
    trees = (library.trees[name] for name in sorted(library.trees))
    return tuple(tree.id for tree in trees if tree.places and place not in tree.places)


def course_in(course: Course, place: str) -> Course:
    """What is left of a proven course in a place: itself, where it has every complaint."""
    out = left_out(course.library, place)
    return lay_out(_less(course.library, out)) if out else course


def catalogue_in(library: Library, place: str) -> Catalogue:
    """The catalogue without the units at which a place has nothing to notice."""
    return _catalogue(library.catalogue, left_out(library, place))


def problems(course: Course) -> tuple[Problem, ...]:
    """All that is wrong with what is left in any place, of a course that is proven as a whole."""
    library = course.library
    found: list[Problem] = []
    known: set[tuple[str, ...]] = set()
    for place in library.catalogue.places.values():
        out = left_out(library, place.id)
        if out and out not in known:
            known.add(out)
            found += _in(place, out, library)
    return tuple(sorted_once(found))


def _in(place: Place, out: tuple[str, ...], library: Library) -> Iterator[Problem]:
    places = library.trees[out[0]].places
    because = Related(spot_of(places[0]), f"so it is left out in `{place.id}`")
    staying = _staying(library, out)
    if not any(tree.role == "complaint" for tree in staying.values()):
        message = f"no complaint is left in `{place.id}`"
        mend = f"name `{place.id}` in one of them, or take the place away"
        yield Problem(because.spot, "contradiction", message, mend)
        return
    links = [*_links(staying, out, library, place)]
    yield from links
    if not links:
        for each in verdict(Proof(lay_out(_less(library, out)))).problems:
            yield replace(each, related=(because, *each.related))


def _links(
    staying: Mapping[str, Tree], out: tuple[str, ...], library: Library, place: Place
) -> Iterator[Problem]:
    """Where trees that stay lead into complaints that don't."""
    for tree in staying.values():
        for target in _targets(tree):
            name = _tree_of(target, tree)
            if name in out:
                there = spot_of(library.trees[name].places[0])
                related = (Related(there, "it is only met in these places"),)
                message = f"this leads to `{name}`, which is left out in `{place.id}`"
                mend = f"lead to an outcome, or let `{tree.id}` be left out there as well"
                yield Problem(target.spot, "unknown-name", message, mend, (), related)


def _targets(tree: Tree) -> Iterator[Target]:
    for step in tree.steps.values():
        yield from (answer.target for answer in step.answers)
        yield from step.exits.values()


def _tree_of(target: Target, tree: Tree) -> str:
    """The tree that a target leads to; empty for a page of its own tree, and for an exit."""
    name = target.name.partition("/")[0]
    own = "/" not in target.name and (name in tree.steps or name in tree.outcomes)
    return "" if target.is_exit or own else name


def _staying(library: Library, out: tuple[str, ...]) -> dict[str, Tree]:
    """The trees that walks can come to once some complaints are left out, and all stock."""
    trees = {name: tree for name, tree in library.trees.items() if name not in out}
    edges = {name: tuple(n for n in _next(tree) if n in trees) for name, tree in trees.items()}
    roots = [tree.id for tree in library.roots() if tree.id in trees]
    there = graph.reachable(edges, roots)
    return {name: tree for name, tree in trees.items() if name in there or tree.is_stock}


def _next(tree: Tree) -> Iterator[str]:
    """The trees that a tree leads to or uses."""
    yield from (_tree_of(target, tree) for target in _targets(tree))
    yield from (step.uses for step in tree.steps.values())


def _less(library: Library, out: tuple[str, ...]) -> Library:
    """The library without some complaints, and without the pages that only they lead to."""
    less = replace(
        library,
        trees=_staying(library, out),
        catalogue=_catalogue(library.catalogue, out),
    )
    course = lay_out(less)
    there = {page.outcome.spot for page in course.pages.values() if page.outcome}
    there |= set(reached(course))
    trees = {name: _pruned(tree, there) for name, tree in less.trees.items()}
    return replace(less, trees=trees)


def _pruned(tree: Tree, there: set[Spot]) -> Tree:
    if tree.is_stock:
        return tree
    steps = {name: step for name, step in tree.steps.items() if step.spot in there}
    outcomes = {name: end for name, end in tree.outcomes.items() if end.spot in there}
    renamed = {old: new for old, new in tree.renamed.items() if new in steps or new in outcomes}
    return replace(tree, steps=steps, outcomes=outcomes, renamed=renamed)


def _catalogue(catalogue: Catalogue, out: tuple[str, ...]) -> Catalogue:
    """Units with the complaints that are left; a unit of which none is left has no page."""
    units = (
        replace(unit, complaints=tuple(each for each in unit.complaints if each not in out))
        for unit in catalogue.equipment.values()
    )
    return replace(catalogue, equipment={unit.id: unit for unit in units if unit.complaints})
