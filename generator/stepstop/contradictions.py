"""What can't hold together although every name leads somewhere.

Two of these keep the proof honest. `implies` is applied once and not followed further, so what an
implied value implies must be written too. And only a question about danger may rule a danger out:
otherwise an answer or a check could settle it without anyone having been asked.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from stepstop.course import FULL
from stepstop.model import (
    START_PAGE,
    UNKNOWNS,
    WAIT_TARGETS,
    Answer,
    Clause,
    Equipment,
    Finding,
    Library,
    Step,
    Target,
    Tree,
    Value,
    Wait,
)
from stepstop.problems import Problem, Related
from stepstop.source import Spot, spot_of

MAX_EITHER = 3
"""Findings in one clause: more would make the proof's search grow."""
MAX_USE_DEPTH = 2
"""A shared tree may use another one, which uses none."""
MAX_STEPS = 200
"""Steps of one tree: more are several complaints."""
OWN_PAGES = ("index", "technician", "pocket", START_PAGE)
"""Names of pages that we make ourselves."""
OWN_FOLDERS = ("assets", "complaints", "embed", "now", "offline", "search")
"""Folders of a site that are not those of trees or equipment."""


def problems(library: Library, *, broken: Collection[str], whole: Spot) -> Iterator[Problem]:
    """Whatever is written and can't hold together.

    Of what is lacking nothing is said where it may stand in a file of `broken`; `whole` is the
    folder.
    """
    yield from _clauses(library)
    for finding in library.catalogue.findings.values():
        yield from _finding(finding, library)
    yield from _silent(library)
    for tree in library.trees.values():
        yield from _tree(tree, library, broken)
    for each in library.catalogue.equipment.values():
        yield from _unit(each, library, broken)
    for wait in library.catalogue.waiting.values():
        yield from _waiting(wait)
    yield from _kept_names(library)
    yield from _cards(library)
    yield from _whole(library, broken, whole)


def _waiting(wait: Wait) -> Iterator[Problem]:
    """Lines out of order, nobody led to danger, parts that are called like something else."""
    lines = sorted(wait.lines, key=lambda line: line.at, reverse=wait.id == "cold")
    for line, wanted in zip(wait.lines, lines, strict=True):
        if line is not wanted:
            order = "warm to cold" if wait.id == "cold" else "cool to hot"
            message = f"the lines of `{wait.id}` must go from {order}"
            yield Problem(line.spot, "contradiction", message, "put them in order")
            break
    if not any(answer.to == "danger" for answer in wait.answers):
        message = "no answer leads to danger, and that is what is asked first"
        yield Problem(spot_of(wait.ask), "contradiction", message, "add one with `to: danger`")
    for name in WAIT_TARGETS:
        if name in wait.parts:
            message = f"`{name}` is a name that answers have for something else"
            yield Problem(spot_of(wait.parts[name].id), "name-taken", message, "rename the part")


def _cards(library: Library) -> Iterator[Problem]:
    """One letter for two cards of a call."""
    first: dict[str, str] = {}
    for card in library.catalogue.calls.cards.values():
        if card.key and card.key in first:
            message = f"`{card.key}` is also the key of another card"
            yield _twice(card.key, message, spot_of(first[card.key]), "take another letter")
        first.setdefault(card.key, card.key)


def _twice(name: str, message: str, first: Spot, mend: str = "rename one of them") -> Problem:
    related = (Related(first, "the other one"),)
    return Problem(spot_of(name), "name-taken", message, mend, (), related)


def _clauses(library: Library) -> Iterator[Problem]:
    for clause in _all_clauses(library):
        if len(clause.either) > MAX_EITHER:
            message = f"a requirement names {len(clause.either)} findings, more than {MAX_EITHER}"
            yield Problem(clause.spot, "contradiction", message, "split it")


def _all_clauses(library: Library) -> Iterator[Clause]:
    catalogue = library.catalogue
    for finding in catalogue.findings.values():
        yield from finding.means_if
    for owner in (catalogue.checks, catalogue.hazards, catalogue.rulebook.locations):
        for each in owner.values():
            yield from each.requires


def _finding(finding: Finding, library: Library) -> Iterator[Problem]:
    if finding.kind != "reading" and finding.ends_with:
        message = f"`{finding.id}` is {_a(finding.kind)}, and only a reading ends"
        mend = "make it a reading, or delete `ends-with`"
        yield Problem(spot_of(finding.ends_with[0]), "contradiction", message, mend)
    for clause in finding.means_if:
        if finding.id in clause.either:
            message = f"`{finding.id}` can't be what gives `{finding.id}` its meaning"
            yield Problem(clause.spot, "contradiction", message, "name another finding")
    for value in finding.values.values():
        if value.id in UNKNOWNS:
            message = f"`{value.id}` is there for every finding by itself"
            yield Problem(value.spot, "contradiction", message, "delete it")
        yield from _implied(finding, value, library)
    if finding.is_danger and any(value.implies for value in finding.values.values()):
        yield from _danger_list(finding, library)


def _a(kind: str) -> str:
    return f"an {kind}" if kind[:1] in "aeiou" else f"a {kind}"


def _implied(finding: Finding, value: Value, library: Library) -> Iterator[Problem]:
    settled = {**value.implies, finding.id: value.id}
    if value.implies.get(finding.id, value.id) != value.id:
        message = f"`{finding.id}: {value.id}` implies another value of itself"
        yield Problem(spot_of(value.implies[finding.id]), "contradiction", message, "delete it")
    for name, implied in value.implies.items():
        for further, then in _value_of(name, implied, library).items():
            if settled.get(further) != then and further in library.catalogue.findings:
                message = f"`{name}: {implied}` implies `{further}: {then}`, "
                message += f"which `{finding.id}: {value.id}` doesn't say"
                mend = f"add `{further}: {then}` here: what is implied is not followed further"
                if further in settled:
                    mend = f"it says `{further}: {settled[further]}`: one of the two is wrong"
                yield Problem(spot_of(implied), "contradiction", message, mend)


def _value_of(finding: str, value: str, library: Library) -> Mapping[str, str]:
    """What a value implies, or nothing where it isn't known."""
    known = library.catalogue.findings.get(finding)
    found = known.values.get(value) if known else None
    return found.implies if found else {}


def _danger_list(finding: Finding, library: Library) -> Iterator[Problem]:
    """A finding that lists dangers: each of its values says which danger it is."""
    for value in finding.values.values():
        sizes = set(_implied_sizes(value, library))
        if value.danger and value.danger not in sizes:
            message = f"`{finding.id}` lists dangers, and `{value.id}` doesn't say which one it is"
            mend = f"let it imply a value of another finding with `danger: {value.danger}`"
            yield Problem(value.spot, "contradiction", message, mend)
        elif not value.danger and sizes - {"stay-clear"}:
            message = f"`{value.id}` of `{finding.id}` has no `danger` and implies one"
            yield Problem(value.spot, "contradiction", message, "say its size in `danger`")


def _implied_sizes(value: Value, library: Library) -> Iterator[str]:
    for name, implied in value.implies.items():
        known = library.catalogue.findings.get(name)
        found = known.values.get(implied) if known else None
        if found is not None and found.danger:
            yield found.danger
        elif known is None or found is None:
            yield value.danger


def _silent(library: Library) -> Iterator[Problem]:
    """Dangers that are ruled out by what isn't a question about danger."""
    catalogue = library.catalogue
    for finding in catalogue.findings.values():
        for value in finding.values.values() if not finding.is_danger else ():
            yield from _ruled_out(value.implies, f"`{finding.id}: {value.id}`", library)
    for check in catalogue.checks.values():
        yield from _ruled_out(check.changes, f"the check `{check.id}`", library)


def _ruled_out(settles: Mapping[str, str], what: str, library: Library) -> Iterator[Problem]:
    for name, value in settles.items():
        finding = library.catalogue.findings.get(name)
        if finding is not None and finding.is_danger and value in finding.harmless:
            message = f"{what} would rule out the danger `{name}`, which nobody was asked about"
            mend = f"delete it: only a question about `{name}` may rule it out"
            yield Problem(spot_of(value), "contradiction", message, mend)


def _tree(tree: Tree, library: Library, broken: Collection[str]) -> Iterator[Problem]:
    if tree.spot.file not in broken:
        yield from _lacking(tree)
    yield from _twice_named(tree)
    if tree.exits and tree.role != "shared":
        mend = "delete `exits`: its answers go on by `go`"
        yield Problem(spot_of(tree.exits[0]), "contradiction", "only a shared tree has exits", mend)
    if tree.places and tree.role != "complaint":
        message = f"a tree with the role `{tree.role}` is left out nowhere"
        mend = "delete `places`: it goes with the complaints that lead to it"
        yield Problem(spot_of(tree.places[0]), "contradiction", message, mend)
    elif tree.places and tree.under == "danger":
        message = f"`{tree.id}` is about danger, which is met everywhere"
        yield Problem(spot_of(tree.places[0]), "contradiction", message, "delete `places`")
    if len(tree.steps) > MAX_STEPS:
        message = f"`{tree.id}` has {len(tree.steps)} steps, more than {MAX_STEPS}"
        yield Problem(tree.spot, "file-too-large", message, "make several complaints of it")
    for step in tree.steps.values():
        if step.uses:
            yield from _nested(step, tree, library)


def _lacking(tree: Tree) -> Iterator[Problem]:
    if not tree.steps and tree.role != "shared":
        message = "the key `steps` is missing here"
        yield Problem(tree.spot, "missing-key", message, "only a shared tree has outcomes alone")
    if tree.steps and not tree.starts_with:
        mend = "add `starts-with`: the first step"
        yield Problem(tree.spot, "missing-key", "the key `starts-with` is missing here", mend)
    if tree.role == "shared":
        yield from _unused_exits(tree)


def _unused_exits(tree: Tree) -> Iterator[Problem]:
    """Exits that nothing takes; a misspelt one, which is told elsewhere, may be any of them."""
    taken = {answer.target.name for answer in _answers(tree) if answer.target.is_exit}
    taken |= {target.name for target in _uses(tree) if target.is_exit}
    for name in tree.exits if taken <= set(tree.exits) else ():
        if name not in taken:
            message = f"no answer takes the exit `{name}`"
            mend = "write `exit` where an answer leads out, or delete it"
            yield Problem(spot_of(name), "unused-name", message, mend)


def _answers(tree: Tree) -> Iterator[Answer]:
    return (answer for step in tree.steps.values() for answer in step.answers)


def _uses(tree: Tree) -> Iterator[Target]:
    return (target for step in tree.steps.values() for target in step.exits.values())


def _twice_named(tree: Tree) -> Iterator[Problem]:
    for name in tree.outcomes:
        if tree.steps.get(name):
            message = f"`{name}` is both a step and an outcome"
            yield _twice(name, message, tree.steps[name].spot)
    for old in tree.renamed:
        if old in tree.steps or old in tree.outcomes:
            mend = "give the new page another name, or delete this line"
            yield Problem(spot_of(old), "name-taken", f"`{old}` is still a page of this tree", mend)


def _nested(step: Step, tree: Tree, library: Library) -> Iterator[Problem]:
    inner = _used_by(step.uses, library)
    if tree.role != "shared" or not inner:
        return
    if tree.id in (step.uses, *_all_used(step.uses, library)):
        message = f"`{tree.id}` uses itself"
        mend = "lead the answer back by `go`, or write the steps out"
    else:
        message = f"`{step.uses}` uses a shared tree itself: nested deeper than {MAX_USE_DEPTH}"
        mend = "write the steps of one of them out"
    yield Problem(spot_of(step.uses), "nested-too-deep", message, mend)


def _used_by(name: str, library: Library) -> set[str]:
    """The shared trees that the tree `name` uses."""
    tree = library.trees.get(name)
    return {step.uses for step in tree.steps.values() if step.uses} if tree else set()


def _all_used(name: str, library: Library) -> set[str]:
    """The shared trees that `name` uses, and those that they use, and so on."""
    found: set[str] = set()
    ahead = [name]
    while ahead:
        new = _used_by(ahead.pop(), library) - found
        found |= new
        ahead += new
    return found


def _kept_names(library: Library) -> Iterator[Problem]:
    """Names that would give two pages one address."""
    boundaries = library.catalogue.rulebook.boundaries
    for boundary in boundaries.values():
        if boundary.id == "now" or boundary.id.startswith("now-"):
            message = f"`{boundary.id}` is the folder of pages that say to call first"
            yield Problem(boundary.spot, "name-taken", message, "rename the boundary")
    folders = {f"{now}{name}" for name in boundaries if name != FULL for now in ("", "now-")}
    kept = {*OWN_PAGES, "now", *folders}
    for tree in library.trees.values():
        if tree.id in OWN_PAGES:
            message = f"`{tree.id}` is the name of a page of our own"
            yield Problem(tree.spot, "name-taken", message, "rename the tree")
        yield from _kept_in(tree, kept)


def _kept_in(tree: Tree, kept: Collection[str]) -> Iterator[Problem]:
    for name in (*tree.steps, *tree.outcomes, *tree.renamed):
        if name in kept:
            message = f"`{name}` is the name of a page or folder of our own"
            yield Problem(spot_of(name), "name-taken", message, "choose another name")


def _unit(unit: Equipment, library: Library, broken: Collection[str]) -> Iterator[Problem]:
    """What can't be of a unit that somebody stands at; roles in files of `broken` are guesses."""
    if unit.id in library.trees:
        message = f"`{unit.id}` is also a tree, and both would have one page"
        yield _twice(unit.id, message, library.trees[unit.id].spot)
    if unit.id in (*OWN_PAGES, *OWN_FOLDERS):
        message = f"`{unit.id}` is the name of a page or folder of our own"
        yield Problem(spot_of(unit.id), "name-taken", message, "rename the equipment")
    whole = [tree for tree in library.trees.values() if tree.spot.file not in broken]
    roles = {tree.id: tree.role for tree in whole if tree.role != "shared"}
    for name in unit.complaints:
        if roles.get(name, "complaint") != "complaint":
            message = f"`{name}` is not listed as a complaint: its role is `{roles[name]}`"
            mend = "name a complaint that leads to it"
            yield Problem(spot_of(name), "contradiction", message, mend)
    for name in unit.trees:
        if roles.get(name) == "danger":
            message = f"`{name}` is about danger, which nobody leaves to others"
            yield Problem(spot_of(name), "contradiction", message, "delete it")


def _whole(library: Library, broken: Collection[str], whole: Spot) -> Iterator[Problem]:
    rulebook = library.catalogue.rulebook
    if FULL not in rulebook.boundaries and rulebook.limits.spot.file not in broken:
        message = f"no boundary is called `{FULL}`"
        mend = f"add `{FULL}`: whatever is offered at all"
        yield Problem(rulebook.limits.spot, "missing-key", message, mend)
    danger = [tree for tree in library.trees.values() if tree.role == "danger"]
    for extra in danger[1:]:
        message = "a second tree has the role `danger`; every page leads to exactly one"
        yield _twice(extra.id, message, danger[0].spot, "give one of them another role")
    if (
        library.trees
        and not danger
        and not any(tree.spot.file in broken for tree in library.trees.values())
    ):
        message = "no tree has the role `danger`, and every page leads to it"
        yield Problem(whole, "missing-key", message, "add complaints/danger.yml")
