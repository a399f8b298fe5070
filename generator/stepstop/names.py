"""Whether every name that is written leads somewhere: findings, checks, targets, drawings, ..."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import chain

from stepstop.model import (
    NOT_DONE,
    PLACE_SAYS,
    START_PAGE,
    UNKNOWNS,
    UNSURE,
    WAIT_FOR,
    WAIT_TARGETS,
    Clause,
    Library,
    Outcome,
    Place,
    Step,
    Target,
    Tree,
)
from stepstop.problems import Problem, Related, near
from stepstop.source import Spot, spot_of

FEW = 8
"""So many known names are listed at the most where none is near the unknown one."""


def problems(library: Library) -> Iterator[Problem]:
    """Every name in `library` that leads nowhere, with the nearest known ones."""
    yield from _findings(library)
    yield from _checks(library)
    yield from _boundaries(library)
    yield from _causes_and_places(library)
    yield from _equipment(library)
    yield from _waiting(library)
    for tree in library.trees.values():
        yield from _tree(tree, library)


KEPT_IN = {
    "finding": "catalogue/findings.yml",
    "cause": "catalogue/causes.yml",
    "check": "catalogue/checks.yml",
    "source": "catalogue/sources.yml",
}
"""What an author may add -> where."""


def unknown(
    name: str, what: str, *known: Collection[str], spot: Spot | None = None, mend: str = ""
) -> Iterator[Problem]:
    """A problem where `name` is none of the `known` ones, with the nearest of them."""
    if name and not any(name in each for each in known):
        place = spot if spot is not None else spot_of(name)
        hint = mend or near(name, chain.from_iterable(known)) or _some(chain.from_iterable(known))
        if what in KEPT_IN and not mend:
            hint += f"{' Or' if hint.endswith('?') else '; or'} add it to {KEPT_IN[what]}"
        yield Problem(place, "unknown-name", f"no {what} is called `{name}`", hint)


def _some(known: Iterable[str]) -> str:
    names = sorted(set(known))
    more = f" and {len(names) - FEW} more" if len(names) > FEW else ""
    return f"known: {', '.join(names[:FEW])}{more}" if names else "none is known: add it"


def _any_unknown(names: Iterable[str], what: str, known: Collection[str]) -> Iterator[Problem]:
    for name in names:
        yield from unknown(name, what, known)


def _assignment(changes: Mapping[str, str], library: Library) -> Iterator[Problem]:
    for finding, value in changes.items():
        yield from unknown(finding, "finding", library.catalogue.findings)
        yield from _value_of(finding, value, library, (UNSURE,))


def _value_of(
    finding: str, value: str, library: Library, extra: tuple[str, ...]
) -> Iterator[Problem]:
    known = library.catalogue.findings.get(finding)
    if known is not None:
        yield from unknown(value, f"value of `{finding}`", known.values, extra)


def _clauses(clauses: Iterable[Clause], library: Library) -> Iterator[Problem]:
    for clause in clauses:
        for finding, values in clause.either.items():
            yield from unknown(finding, "finding", library.catalogue.findings)
            for value in values:
                yield from _value_of(finding, value, library, UNKNOWNS)


def _findings(library: Library) -> Iterator[Problem]:
    catalogue = library.catalogue
    for finding in catalogue.findings.values():
        yield from _clauses(finding.means_if, library)
        yield from _any_unknown(finding.ends_with, "effect", catalogue.effects)
        yield from _any_unknown(finding.spoiled_by, "effect", catalogue.effects)
        for value in finding.values.values():
            yield from _assignment(value.implies, library)
        for heard in finding.hear:
            yield from _any_unknown(heard.values, f"value of `{finding.id}`", finding.values)
    for effect in catalogue.effects.values():
        yield from unknown(effect.history, "finding", catalogue.findings)
    for hazard in catalogue.hazards.values():
        yield from _clauses(hazard.requires, library)


def _checks(library: Library) -> Iterator[Problem]:
    catalogue = library.catalogue
    for check in catalogue.checks.values():
        yield from unknown(check.at, "location", catalogue.rulebook.locations)
        yield from _any_unknown(check.hazards, "hazard", catalogue.hazards)
        yield from _any_unknown(check.effects, "effect", catalogue.effects)
        yield from unknown(check.result, "finding", catalogue.findings)
        yield from _clauses(check.requires, library)
        yield from _assignment(check.changes, library)
        yield from _shown(check.drawing, check.source, library)


def _shown(drawing: str, sources: Iterable[str], library: Library) -> Iterator[Problem]:
    yield from unknown(drawing, "drawing", library.drawings)
    yield from _any_unknown(sources, "source", library.catalogue.sources)


def _boundaries(library: Library) -> Iterator[Problem]:
    catalogue = library.catalogue
    for location in catalogue.rulebook.locations.values():
        yield from _clauses(location.requires, library)
    for boundary in catalogue.rulebook.boundaries.values():
        yield from _any_unknown(boundary.checks, "check", catalogue.checks)
        yield from _any_unknown(boundary.hazards, "hazard", catalogue.hazards)
        yield from _any_unknown(boundary.locations, "location", catalogue.rulebook.locations)


def _causes_and_places(library: Library) -> Iterator[Problem]:
    catalogue = library.catalogue
    for cause in catalogue.causes.values():
        yield from unknown(cause.mended_by, "person who may do the work", catalogue.who)
        yield from _any_unknown(cause.source, "source", catalogue.sources)
    for place in catalogue.places.values():
        yield from _rests_on(place, catalogue.sources)


def _rests_on(place: Place, sources: Collection[str]) -> Iterator[Problem]:
    """Each thing that a place says has its sources and its date."""
    for name, basis in place.rests_on.items():
        yield from unknown(name, f"thing that `{place.id}` says", PLACE_SAYS, place.who)
        yield from _any_unknown(basis.source, "source", sources)
    for name in (*PLACE_SAYS, *place.who):
        if name not in place.rests_on:
            message = f"nothing tells what `{name}` of `{place.id}` rests on"
            mend = f"add `{name}` to `rests-on`, with `source` and `reviewed`"
            yield Problem(place.spot, "missing-key", message, mend)


def _equipment(library: Library) -> Iterator[Problem]:
    trees = {tree.id for tree in library.trees.values() if tree.role != "shared"}
    for each in library.catalogue.equipment.values():
        yield from _any_unknown(each.complaints, "complaint", trees)
        yield from _any_unknown(each.trees, "tree of a complaint", trees)


def _waiting(library: Library) -> Iterator[Problem]:
    waiting, sources = library.catalogue.waiting, library.catalogue.sources
    for wait in waiting.values():
        yield from unknown(wait.id, "page about waiting", WAIT_FOR)
        for line in wait.lines:
            yield from _any_unknown(line.source, "source", sources)
        for part in wait.parts.values():
            yield from _any_unknown(part.source, "source", sources)
        for answer in wait.answers:
            yield from unknown(answer.to, "part of this page", wait.parts, WAIT_TARGETS)


def _tree(tree: Tree, library: Library) -> Iterator[Problem]:
    yield from unknown(tree.starts_with, "step", tree.steps)
    yield from _any_unknown(tree.places, "place", library.catalogue.places)
    for new in tree.renamed.values():
        yield from unknown(new, "step or outcome", tree.steps, tree.outcomes)
    for step in tree.steps.values():
        yield from _step(step, tree, library)
    for outcome in tree.outcomes.values():
        yield from _outcome(outcome, library)


def _step(step: Step, tree: Tree, library: Library) -> Iterator[Problem]:
    catalogue = library.catalogue
    yield from unknown(step.at, "location", catalogue.rulebook.locations)
    yield from unknown(step.check, "check", catalogue.checks)
    yield from unknown(step.finding, "finding", catalogue.findings)
    yield from _shown(step.drawing, step.source, library)
    if step.uses:
        yield from _use(step, tree, library)
    for answer in step.answers:
        yield from _target(answer.target, tree, library)
        yield from unknown(answer.drawing, "drawing", library.drawings)
    yield from _answers(step, library)


def _answers(step: Step, library: Library) -> Iterator[Problem]:
    catalogue = library.catalogue
    check = catalogue.checks.get(step.check)
    finding = check.result if check else step.finding
    unknowns = (UNSURE, NOT_DONE) if step.check else (UNSURE,)
    for answer in step.answers:
        for value in answer.values:
            yield from _value_of(finding, value, library, unknowns)


def _use(step: Step, tree: Tree, library: Library) -> Iterator[Problem]:
    for target in step.exits.values():
        yield from _target(target, tree, library)
    shared = {t.id for t in library.trees.values() if t.role == "shared" and t.steps}
    used = library.trees.get(step.uses)
    if used is None or used.id not in shared:
        mend = "" if used is None else "lead an answer to it by `go`: only shared trees are used"
        yield from unknown(step.uses, "shared tree with steps", shared, mend=mend)
        return
    yield from _any_unknown(step.exits, f"exit of `{used.id}`", used.exits)
    for name in used.exits:
        if name not in step.exits:
            message = f"the exit `{name}` of `{used.id}` leads nowhere here"
            related = (Related(spot_of(name), "the exit is named here"),)
            yield Problem(
                step.spot, "missing-key", message, f"add `{name}` to `exits`", (), related
            )


def _target(target: Target, tree: Tree, library: Library) -> Iterator[Problem]:
    yield from unknown(target.keep_to, "boundary", library.catalogue.rulebook.boundaries)
    if target.is_exit:
        mend = "" if tree.role == "shared" else "only a shared tree has exits: write `go`"
        what = f"exit of `{tree.id}`"
        yield from unknown(target.name, what, tree.exits, spot=target.spot, mend=mend)
        return
    first, _, rest = target.name.partition("/")
    if rest:
        yield from _far(first, rest, target, library)
    elif not (first in tree.steps or first in tree.outcomes or first == START_PAGE):
        trees = {t.id for t in library.trees.values() if t.role != "shared"}
        mend = _mend_shared(first, library)
        known = (tree.steps, tree.outcomes, trees)
        yield from unknown(first, "step, outcome or tree", *known, spot=target.spot, mend=mend)


def _far(file: str, name: str, target: Target, library: Library) -> Iterator[Problem]:
    yield from unknown(file, "tree", library.trees, spot=target.spot)
    other = library.trees.get(file)
    if other is not None:
        steps = () if other.role == "shared" else other.steps
        mend = _mend_shared(file, library) if name in other.steps else ""
        what = f"page of `{file}`"
        yield from unknown(name, what, steps, other.outcomes, spot=target.spot, mend=mend)


def _mend_shared(name: str, library: Library) -> str:
    """What to do where `name` is a shared tree, whose steps have no pages of their own."""
    tree = library.trees.get(name)
    if tree is None or tree.role != "shared" or not tree.steps:
        return ""
    return f"`{name}` is shared: a step with `use: {name}` puts its steps in its place"


def _outcome(outcome: Outcome, library: Library) -> Iterator[Problem]:
    catalogue = library.catalogue
    yield from unknown(outcome.urgency, "urgency", catalogue.urgencies)
    yield from unknown(outcome.hurry_urgency, "urgency", catalogue.urgencies)
    yield from unknown(outcome.who, "person who may do the work", catalogue.who)
    yield from _any_unknown(outcome.causes, "cause", catalogue.causes)
    yield from _shown(outcome.drawing, outcome.source, library)
