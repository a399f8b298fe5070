"""Small libraries cut out of the shipped trees, so that thousands of mutants can be tried.

A way that leads to a tree outside of the cut ends at "stop here and call" instead; steps and
endings that nothing leads to then are taken out. Each base is proven before it is used.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from browser.sites import REAL, read_texts, write_texts
from stepstop.course import Course, lay_out
from stepstop.loader import load
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.rules import verdict
from stepstop.shipped import drawing_names, folder

ENDING = "endings/stop-and-call"
CUTS = {
    "water": ("water",),
    "burning-smell": ("burning-smell",),
    "after-thermostat-change": ("after-thermostat-change",),
    "breaker-trips": ("breaker-trips",),
    "nothing-responds": ("nothing-responds",),
    "no-cooling": ("no-cooling", "ductless"),
}
"""Name of a base -> its complaints and parts, beside the tree about danger."""
LARGE = ("nothing-responds", "no-cooling")
"""Bases of 500 pages and more."""

Texts = dict[str, Any]
"""A YAML file with every value as text."""
Files = dict[str, Texts]
"""Folder and name, without ending -> the file."""


def write(files: Files, target: Path) -> None:
    """Write the files below `target`."""
    for name, data in files.items():
        write_texts(data, target / f"{name}.yml")


@dataclass(frozen=True)
class Judged:
    """What reading and proving say of some files."""

    problems: tuple[Problem, ...]
    course: Course | None

    @property
    def flaws(self) -> frozenset[str]:
        """The names of the flaws."""
        return frozenset(problem.flaw for problem in self.problems)


DRAWINGS = drawing_names((folder("site_overrides"),))


def judged(files: Files, target: Path) -> Judged:
    """The files written into `target`, read and proven."""
    write(files, target)
    library, problems = load(target, drawings=DRAWINGS)
    if library is None:
        return Judged(tuple(problems), None)
    course = lay_out(library)
    return Judged(verdict(Proof(course)).problems, course)


# ---- cutting ----


def shipped() -> Files:
    """Every file that comes with Stepstop."""
    return {
        f"{part}/{path.stem}": read_texts(path)
        for part in ("catalogue", "complaints", "shared")
        for path in sorted((REAL / part).glob("*.yml"))
    }


def targets(tree: Texts) -> Iterator[dict[str, Any]]:
    """Everything in a tree that has a key `go`, to be changed in place."""
    for step in tree.get("steps", {}).values():
        for holder in (step, *step.get("answers", ())):
            if isinstance(holder, dict) and "go" in holder:
                yield holder
        exits = step.get("exits", {})
        if isinstance(exits, dict):
            for name, target in exits.items():
                if isinstance(target, str):
                    exits[name] = {"go": target}
                if "go" in exits[name]:
                    yield exits[name]


def cut(names: tuple[str, ...], target: Path) -> Files:
    """The files of a base, proven without a problem."""
    files = {name: copy.deepcopy(data) for name, data in shipped().items()}
    files.pop("catalogue/equipment")
    files.pop("catalogue/waiting")
    kept = {*names, "danger"}
    while (more := kept | _used(files, kept)) != kept:
        kept = more
    for name in list(files):
        part, _, stem = name.partition("/")
        if part != "catalogue" and stem not in kept:
            del files[name]
    for name, tree in files.items():
        if not name.startswith("catalogue/"):
            _lead_back(tree, kept)
    _prune(files, target)
    return files


def _used(files: Files, kept: set[str]) -> set[str]:
    """Shared trees that the kept ones stand on; ways into other shared trees are kept, too."""
    found = {"endings"}
    shared = {name.partition("/")[2] for name in files if name.startswith("shared/")}
    for part in ("complaints", "shared"):
        for stem in kept:
            tree = files.get(f"{part}/{stem}", {})
            for step in tree.get("steps", {}).values():
                found.add(step.get("use", "endings"))
            found |= {each["go"].partition("/")[0] for each in targets(tree)} & shared
    return found


def _lead_back(tree: Texts, kept: set[str]) -> None:
    own = {*tree.get("steps", {}), *tree.get("outcomes", {})}
    for each in targets(tree):
        first, _, rest = each["go"].partition("/")
        if (rest or first not in own) and first not in kept:
            each["go"] = ENDING
            each.pop("keep-to", None)


def _prune(files: Files, target: Path) -> None:
    """Take out what nothing leads to or uses, until nothing is left to report."""
    for _ in range(40):
        found = judged(files, target)
        if not found.problems:
            return
        for problem in found.problems:
            assert problem.flaw in ("unreachable-step", "unused-name"), problem
            _take_out(problem, files, target)
    raise AssertionError(found.problems)


def _take_out(problem: Problem, files: Files, target: Path) -> None:
    path = Path(problem.spot.file).relative_to(target)
    name = f"{path.parent.name}/{path.stem}"
    word = problem.message.split("`")[1].rpartition("/")[2]
    if name not in files:
        return
    tree = files[name]
    if not problem.spot.line or word in (path.stem, tree.get("starts-with")):
        del files[name]
        (target / path).unlink()
        return
    for part in ("steps", "outcomes", "findings", "checks", "causes", "sources", "effects"):
        if word in tree.get(part, {}):
            del tree[part][word]
            return
    raise AssertionError(problem)
