"""Edits that change no meaning: none may be refused."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

from mutants.bases import DRAWINGS, Files, Texts
from mutants.operators import (
    SCREEN,
    Mutant,
    Operator,
    answers,
    at,
    holders,
    outcomes,
    put,
    steps,
    trees,
    values,
)

NEW = "renamed-here"


def step_renamed(files: Files) -> Iterator[Mutant]:
    """A step has another id."""
    for name, key, _ in steps(files):

        def change(every: Files, name: str = name, key: str = key) -> None:
            tree = every[name]
            tree["steps"] = {NEW if k == key else k: v for k, v in tree["steps"].items()}
            if tree["starts-with"] == key:
                tree["starts-with"] = NEW
            _lead(every, name, key, NEW)

        yield Mutant(f"{name} {key} renamed", "", change)


def _lead(every: Files, name: str, old: str, new: str) -> None:
    """Let everything that leads to `old` of a file lead to `new`."""
    stem = name.partition("/")[2]
    for file, tree in trees(every):
        for _, holder in holders(tree):
            if holder.get("go") == (old if file == name else f"{stem}/{old}"):
                holder["go"] = new if file == name else f"{stem}/{new}"


def outcome_renamed(files: Files) -> Iterator[Mutant]:
    """An ending has another id; those that pages know by name keep theirs."""
    for name, key, _ in outcomes(files):
        if key == "stop-and-call":
            continue

        def change(every: Files, name: str = name, key: str = key) -> None:
            tree = every[name]
            tree["outcomes"] = {NEW if k == key else k: v for k, v in tree["outcomes"].items()}
            _lead(every, name, key, NEW)

        yield Mutant(f"{name} {key} renamed", "", change)


def answers_reordered(files: Files) -> Iterator[Mutant]:
    """The answers of a step stand in the other order."""
    for name, key, step in steps(files):
        if len(step.get("answers", ())) > 1:

            def change(tree: Texts, key: str = key) -> None:
                tree["steps"][key]["answers"].reverse()

            yield Mutant(f"{name} {key} reversed", name, change)


def _reversed(part: str) -> Operator:
    def operator(files: Files) -> Iterator[Mutant]:
        for name, tree in files.items():
            if len(tree.get(part) or ()) > 1:

                def change(tree: Texts) -> None:
                    tree[part] = dict(reversed(tree[part].items()))

                yield Mutant(f"{name} {part} reversed", name, change)

    return operator


def note_before(files: Files) -> Iterator[Mutant]:
    """A note stands before where an answer leads, unless that tells of danger: nothing may then."""
    findings = files["catalogue/findings"]["findings"]
    checks = files["catalogue/checks"]["checks"]
    for name, tree in trees(files):
        if name == SCREEN:
            continue
        ends = tree.get("outcomes") or {}
        for path, holder in holders(tree):
            is_danger = ends.get(holder.get("go"), {}).get("kind") == "danger"
            is_elsewhere = "/" in holder.get("go", "")
            if "go" in holder and not is_danger and not is_elsewhere:
                if "keep-to" in holder or "hurry" in holder:
                    continue
                step = tree["steps"][path[1]]
                about = checks.get(step.get("check"), {}).get("result") or step.get("finding")
                if any(_is_danger(findings, about, value) for value in values(holder)):
                    continue

                def change(tree: Texts, path: Any = path) -> None:
                    holder = at(tree, path)
                    tree["steps"][NEW] = {"tell": "Thank you. Go on.", "go": holder["go"]}
                    holder["go"] = NEW

                yield Mutant(f"{name} note at {path[1:]}", name, change)


def _is_danger(findings: Texts, about: str | None, value: str) -> bool:
    """Whether a value tells of danger, or settles another finding that does."""
    known = findings.get(about, {}).get("values", {}).get(value)
    if not isinstance(known, dict):
        return False
    implied = known.get("implies") or {}
    return "danger" in known or any(_is_danger(findings, *each) for each in implied.items())


def _doubled(part: str) -> Operator:
    """One of the answers that lead to a step, or to an ending, leads to a copy of it."""

    def operator(files: Files) -> Iterator[Mutant]:
        for name, tree in trees(files):
            leading: dict[str, list[Any]] = {}
            for path, holder in holders(tree):
                if holder.get("go") in (tree.get(part) or {}):
                    leading.setdefault(holder["go"], []).append(path)
            for key, paths in leading.items():
                if len(paths) < 2 and key != tree["starts-with"]:
                    continue

                def change(tree: Texts, key: str = key, path: Any = paths[0]) -> None:
                    tree[part][NEW] = copy.deepcopy(tree[part][key])
                    at(tree, path)["go"] = NEW

                yield Mutant(f"{name} {key} doubled", name, change)

    return operator


def tree_renamed(files: Files) -> Iterator[Mutant]:
    """A shared tree that pages don't know by name has another one."""
    for name, tree in files.items():
        stem = name.partition("/")[2]
        if tree.get("role") != "shared" or stem == "endings":
            continue

        def change(every: Files, name: str = name, stem: str = stem) -> None:
            tree = every.pop(name)
            tree["tree"] = NEW
            every[f"shared/{NEW}"] = tree
            for _, other in trees(every):
                for step in other["steps"].values():
                    if step.get("use") == stem:
                        step["use"] = NEW
                for _, holder in holders(other):
                    first, slash, rest = holder.get("go", "").partition("/")
                    if first == stem and (slash or first not in other["steps"]):
                        holder["go"] = f"{NEW}{slash}{rest}"

        yield Mutant(f"{name} renamed", "", change)


def _catalogue_renamed(stem: str, part: str) -> Operator:
    """An id of the catalogue is another one, wherever it stands."""

    def operator(files: Files) -> Iterator[Mutant]:
        others = {*DRAWINGS} | {
            key
            for name, data in files.items()
            for section, entries in data.items()
            if isinstance(entries, dict) and (name, section) != (f"catalogue/{stem}", part)
            for key in entries
        }
        for key in files[f"catalogue/{stem}"][part]:
            if key in others or key in {name.partition("/")[2] for name in files}:
                continue

            def change(every: Files, key: str = key) -> None:
                for name in every:
                    every[name] = _replaced(every[name], key)

            yield Mutant(f"{stem} {key} renamed", "", change)

    return operator


def _replaced(data: Any, key: str) -> Any:
    if isinstance(data, dict):
        return {NEW if k == key else k: _replaced(v, key) for k, v in data.items()}
    if isinstance(data, list):
        return [_replaced(each, key) for each in data]
    return NEW if data == key else data


def words_added(files: Files) -> Iterator[Mutant]:
    """A plain sentence more."""
    for name, key, step in steps(files):
        if "use" not in step:
            change = put("steps", key, "look", "Take your time.")
            yield Mutant(f"{name} {key} more words", name, change)


def answer_reworded(files: Files) -> Iterator[Mutant]:
    """An answer says a word more."""
    for name, key, number, answer in answers(files):
        if answer.get("say"):

            def change(tree: Texts, key: str = key, number: int = number) -> None:
                found = tree["steps"][key]["answers"][number]
                found["say"] = f"{found['say']}, as I said"

            yield Mutant(f"{name} {key} {number} reworded", name, change)


def inlined(files: Files) -> Iterator[Mutant]:
    """A shared tree's steps stand in the tree that uses it, in the place of the step."""
    for name, key, step in steps(files):
        stem = step.get("use", "")
        shared = files.get(f"shared/{stem}", {})
        if not shared.get("steps") or any("use" in each for each in shared["steps"].values()):
            continue
        count = sum(each.get("use") == stem for _, _, each in steps(files))
        if count > 1 or "danger" in stem:
            continue  # A tree that nobody uses is a mistake; pages know the danger screen.

        def change(every: Files, name: str = name, key: str = key, stem: str = stem) -> None:
            _inline(every, name, key, stem)

        yield Mutant(f"{name} {key} inlined", "", change)


def _inline(every: Files, name: str, key: str, stem: str) -> None:
    tree, shared = every[name], every[f"shared/{stem}"]
    exits = tree["steps"].pop(key)["exits"]
    own = {*shared["steps"], *(shared.get("outcomes") or {})}
    for inner, step in shared["steps"].items():
        body = copy.deepcopy(step)
        tree["steps"][f"{key}-{inner}"] = body
    part = {"steps": {k: tree["steps"][f"{key}-{k}"] for k in shared["steps"]}}
    for _, holder in list(holders(part)):
        if "exit" in holder:
            target = exits[holder.pop("exit")]
            holder.update({"go": target} if isinstance(target, str) else target)
        elif holder.get("go") in shared["steps"] or holder.get("go") in own:
            holder["go"] = f"{key}-{holder['go']}"
    outcomes_here = tree.setdefault("outcomes", {})
    for inner, outcome in (shared.get("outcomes") or {}).items():
        outcomes_here[f"{key}-{inner}"] = outcome
    first = f"{key}-{shared['starts-with']}"
    for _, holder in holders(tree):
        if holder.get("go") == key:
            holder["go"] = first
    if tree["starts-with"] == key:
        tree["starts-with"] = first
    outside = [
        holder
        for file, other in trees(every)
        if file not in (name, f"shared/{stem}")
        for _, holder in holders(other)
        if holder.get("go", "").partition("/")[0] == stem
    ]
    for holder in outside:
        holder["go"] = f"{name.partition('/')[2]}/{key}-{holder['go'].partition('/')[2]}"
    for _, holder in holders(tree):
        if holder.get("go", "").startswith(f"{stem}/"):
            holder["go"] = f"{key}-{holder['go'].partition('/')[2]}"
    del every[f"shared/{stem}"]


EDITS: dict[str, Operator] = {
    "step-renamed": step_renamed,
    "ending-renamed": outcome_renamed,
    "answers-reordered": answers_reordered,
    "steps-reordered": _reversed("steps"),
    "endings-reordered": _reversed("outcomes"),
    "catalogue-reordered": _reversed("causes"),
    "note-before": note_before,
    "step-doubled": _doubled("steps"),
    "ending-doubled": _doubled("outcomes"),
    "shared-tree-renamed": tree_renamed,
    "finding-renamed": _catalogue_renamed("findings", "findings"),
    "cause-renamed": _catalogue_renamed("causes", "causes"),
    "check-renamed": _catalogue_renamed("checks", "checks"),
    "words-added": words_added,
    "answer-reworded": answer_reworded,
    "shared-tree-inlined": inlined,
}
