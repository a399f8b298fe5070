"""A folder of YAML files to a whole `Library`, or all the problems that stand in the way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from stepstop import contradictions, names
from stepstop.collecting import no_collecting
from stepstop.language.messages import FOLDER as LANGUAGES
from stepstop.model import Catalogue, Library, Tree
from stepstop.overlay.layers import CHANGES, FILE, Layer, Origin, layers, origins
from stepstop.overlay.laying import read_laid
from stepstop.problems import Problem, Related, near, quoted, sorted_once
from stepstop.schema import CATALOGUE_FILES, OPTIONAL_FILES, TREE
from stepstop.shapes import AnyItems, AnyNames, Desk, Shape, wrong
from stepstop.source import Located, Spot, clean, spot_of, whole
from stepstop.yaml_reader import Fields, Node, read_file

CATALOGUE_FOLDER = "catalogue"
TREE_FOLDERS = ("complaints", "shared")
COMPANIES_FOLDER = "companies"
"""Whose editions are made of the trees; read only for such an edition."""
NOTES = (".md", ".txt")
"""Endings of files that may stand beside the trees and are not read."""

Progress = Callable[[str], None]


def load(
    folder: Path, *, drawings: Iterable[str] = (), progress: Progress = lambda _: None
) -> tuple[Library | None, list[Problem]]:
    """The library in `folder`, whole and with every name resolved, or None and all problems.

    `drawings` are the names that a `drawing` key may take; `progress` is told each file's name.
    What can't be read hides no other mistake: names are looked up in all that could be read, and
    a name that may stand in the rest is taken to stand there.
    """
    desk = Desk()
    if not folder.is_dir():
        message = "this is a file, not a folder" if folder.exists() else "no folder is here"
        parts = ", ".join(f"{name}/" for name in (CATALOGUE_FOLDER, *TREE_FOLDERS))
        mend = f"name the folder that holds {parts}"
        return None, [Problem(whole(folder), "missing-file", message, mend)]
    stack, found = layers(folder)
    if found:
        return None, found  # Without what lies below, everything would be missing.
    with no_collecting():
        library = _library(stack, frozenset(drawings), desk, progress)
    problems = sorted_once(desk.problems)
    return (None if problems else library), problems


def _library(
    stack: Sequence[Layer], drawings: frozenset[str], desk: Desk, progress: Progress
) -> Library:
    """What could be read, with blanks for the rest; only whole if nothing was reported."""
    folder = stack[0].folder
    for layer in stack:
        _strays(layer, desk)
    files = {origin.name: origin for origin in origins(stack, desk)}
    parts = _catalogue_parts(folder, files, desk, progress)
    library = Library(Catalogue(**parts), _trees(folder, files, desk, progress), drawings)
    broken = _broken(files.values(), desk)
    desk.problems += names.problems(library)
    desk.problems += contradictions.problems(library, broken=broken, whole=whole(folder))
    if folder != stack[-1].folder:
        left = {str(name): name for layer in stack if layer.over for name in layer.over.without}
        desk.problems = [_of_overlay(each, left, desk.hints) for each in desk.problems]
    return library


def _of_overlay(
    problem: Problem, left: Mapping[str, Located], hints: Mapping[Spot, str]
) -> Problem:
    """The problem with a mend for what an overlay left out, or put under another name."""
    if problem.spot in hints and problem.flaw in ("missing-key", "wrong-type"):
        mend = f"this is not below, so it must be whole: {hints[problem.spot]} Or {problem.mend}"
        return replace(problem, mend=mend)
    named = problem.message.rpartition(" is called `")[2].removesuffix("`")
    if problem.flaw != "unknown-name" or named not in left:
        return problem
    spot = left[named].spot
    mend = f"it is left out in {spot}: change what names it, or keep it"
    return replace(problem, mend=mend, related=(Related(spot, "left out here"),))


def _broken(files: Iterable[Origin], desk: Desk) -> frozenset[str]:
    """The files that something was reported of, and those below such a change."""
    broken = {problem.spot.file for problem in desk.problems}
    for origin in files:
        if any(whole(path).file in broken for path in origin.changes):
            broken.add(whole(origin.path).file)
    return frozenset(broken)


def _strays(layer: Layer, desk: Desk) -> None:
    """Report what stands where an author may think that it is read."""
    folder = layer.folder
    known = [CATALOGUE_FOLDER, *TREE_FOLDERS]
    if layer.over is not None:
        known.append(CHANGES)
    for path in _entries(folder, desk):
        if path.is_file() and path.suffix in (".yml", ".yaml") and path.name != FILE:
            mend = f"put it into {' or '.join(f'{name}/' for name in TREE_FOLDERS)}"
            if near(path.stem, [Path(FILE).stem]):
                mend = f"name it {FILE}"
            desk.report(whole(path), "unknown-file", "nothing is read from here", mend)
        elif path.is_dir() and path.name == CHANGES and layer.over is None:
            if not (folder / FILE).exists():
                message = "changes of what? Nothing says which trees lie below"
                desk.report(whole(path), "missing-file", message, f"write {FILE} beside it")
        elif path.is_dir() and path.name not in (*known, COMPANIES_FOLDER, LANGUAGES):
            mend = near(path.name, known)
            if not mend:
                continue
            desk.report(whole(path), "unknown-file", "this folder is not read", mend)
    _stray_files(folder, desk)
    if layer.over is not None:
        _stray_changes(folder / CHANGES, desk)


def _stray_files(folder: Path, desk: Desk) -> None:
    """Report files that are none of the catalogue's, and those of trees with another ending."""
    for path in _entries(folder / CATALOGUE_FOLDER, desk):
        if path.suffix not in NOTES and path.name not in _catalogue_names():
            message = f"{quoted(path.name)} is not a file of the catalogue"
            mend = near(path.name, _catalogue_names()) or "move it elsewhere"
            desk.report(whole(path), "unknown-file", message, mend)
    for name in TREE_FOLDERS:
        for path in _entries(folder / name, desk):
            if path.suffix not in (".yml", *NOTES):
                message = "this is not read: the name of a tree's file ends in .yml"
                mend = "rename it, or move it elsewhere"
                desk.report(whole(path), "unknown-file", message, mend)


def _stray_changes(folder: Path, desk: Desk) -> None:
    parts = (CATALOGUE_FOLDER, *TREE_FOLDERS)
    for path in _entries(folder, desk):
        if path.is_dir() and path.name not in parts:
            mend = near(path.name, parts) or f"known are {', '.join(parts)}"
            desk.report(whole(path), "unknown-file", "this folder is not read", mend)
        elif path.suffix in (".yml", ".yaml"):
            mend = f"put it into the folder of the file that it changes: {', '.join(parts)}"
            desk.report(whole(path), "unknown-file", "nothing is read from here", mend)
    _stray_files(folder, desk)


def _catalogue_names() -> list[str]:
    return [f"{stem}.yml" for stem in CATALOGUE_FILES]


def _entries(folder: Path, desk: Desk) -> list[Path]:
    """What is in `folder`, sorted, without what editors and systems leave there."""
    if not folder.is_dir():
        return []
    try:
        there = sorted(folder.iterdir())
    except OSError as error:
        message = f"the folder can't be read: {error.strerror or 'no reason given'}"
        desk.report(whole(folder), "unreadable-file", message, "look at who may read it")
        return []
    return [path for path in there if path.name[0] not in ".#" and path.name[-1] != "~"]


def _catalogue_parts(
    folder: Path, files: Mapping[str, Origin], desk: Desk, progress: Progress
) -> dict[str, Any]:
    """Every field of `Catalogue`; what could not be read may hold any name."""
    parts: dict[str, Any] = {}
    for stem, keys in CATALOGUE_FILES.items():
        name = f"{CATALOGUE_FOLDER}/{stem}.yml"
        origin = files.get(name, Origin(name, folder / name))
        if stem in OPTIONAL_FILES and not _is_there(origin.path):
            parts |= {name: {} for name in keys}
            continue
        blanks = {name: shape.blank(whole(origin.path)) for name, shape in keys.items()}
        node = _read(origin, desk, progress)
        parts |= blanks if node is None else blanks | _top_keys(node, keys, desk)
    return parts


def _top_keys(node: Node, keys: dict[str, Shape], desk: Desk) -> dict[str, Any]:
    if not isinstance(node, Fields):
        wanted = " and ".join(f"`{key}`" for key in keys)
        wrong(node, f"a set of keys with {wanted}", desk)
        return {}
    there = {key.text: (key, value) for key, value in node.entries}
    for name, (key, _) in there.items():
        if name not in keys:
            message = f"the key {quoted(name)} is not known here"
            mend = near(name, keys) or f"known keys: {', '.join(keys)}"
            desk.report(key.spot, "unknown-key", message, mend)
    for name in keys:
        if name not in there:
            message = f"the key `{name}` is missing here"
            desk.report(node.spot, "missing-key", message, f"add `{name}`")
    read = {name: keys[name].read(there[name][1], desk) for name in keys if name in there}
    return {name: value for name, value in read.items() if value is not None}


def _trees(
    folder: Path, files: Mapping[str, Origin], desk: Desk, progress: Progress
) -> dict[str, Tree]:
    """Name of each file -> its tree, blank where it can't be read."""
    trees: dict[str, Tree] = {}
    paths: dict[str, Path] = {}
    for origin in files.values():
        path = origin.path
        if path.parent.name not in TREE_FOLDERS:
            continue
        stem = clean(path.stem)
        node = _read(origin, desk, progress)
        tree: Tree | None = None if node is None else TREE.read(node, desk)
        if stem in trees:
            message = f"`{stem}` is also the tree in {whole(paths[stem]).file}"
            related = Related(whole(paths[stem]), "the other one")
            desk.report(whole(path), "name-taken", message, "rename one of them", related)
        else:
            trees[stem] = _unread(path) if tree is None else _named(tree, path, desk)
            paths[stem] = path
    if not trees:
        mend = f"put YAML files into {' and '.join(f'{folder.name}/{n}/' for n in TREE_FOLDERS)}"
        desk.report(whole(folder), "no-trees", "no tree is here", mend)
    return trees


def _unread(path: Path) -> Tree:
    """What is known of a tree whose file can't be read: any name may stand in it."""
    spot = whole(path)
    blank: Tree = TREE.blank(spot)
    return replace(
        blank,
        id=Located(clean(path.stem), spot),
        role=_role(path),
        exits=AnyItems(),
        steps=AnyNames(),
        outcomes=AnyNames(),
        spot=spot,
    )


def _role(path: Path) -> str:
    return "shared" if path.parent.name == "shared" else "part"


def _named(tree: Tree, path: Path, desk: Desk) -> Tree:
    """The tree under its file's name and with a role that its folder allows."""
    stem, spot = clean(path.stem), spot_of(tree.id)
    if tree.id and tree.id != stem:
        message = f"`{tree.id}` stands in the file {quoted(path.name)}"
        mend = f"give both one name: `tree: {stem}`, or {tree.id}.yml"
        desk.report(spot, "wrong-name", message, mend)
    is_shared = path.parent.name == "shared"
    if tree.role and is_shared != (tree.role == "shared"):
        message = f"a tree with the role `{tree.role}` stands in {path.parent.name}/"
        desk.report(spot_of(tree.role), "wrong-name", message, "shared trees go into shared/")
    fits = tree.role and is_shared == (tree.role == "shared")
    return replace(tree, id=Located(stem, spot), role=tree.role if fits else _role(path))


def _read(origin: Origin, desk: Desk, progress: Progress) -> Node | None:
    """The file with all that is laid over it; None, after a report, if one can't be read."""
    progress(clean(origin.path.name))
    return read_laid(origin, lambda path: _read_file(path, desk), desk)


def _read_file(path: Path, desk: Desk) -> Node | None:
    if not _is_there(path):
        message = "no file is here, and it is needed"
        keys = " and ".join(f"`{key}`" for key in CATALOGUE_FILES.get(path.stem, ()))
        desk.report(whole(path), "missing-file", message, f"write it, with {keys}")
        return None
    node, problems = read_file(path, whole(path).file)
    desk.problems += problems
    return node


def _is_there(path: Path) -> bool:
    """Whether a file is there, be it a link that leads nowhere."""
    return path.exists() or path.is_symlink()
