"""The folders that a library is read from, and the files of all of them under one name each."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from stepstop import shipped
from stepstop.problems import Problem, Related, near, quoted, sorted_once
from stepstop.shapes import Desk, Id, Key, ListOf, Record, Text
from stepstop.source import Located, Spot, spot_of, whole
from stepstop.yaml_reader import read_file

FILE = "over.yml"
CHANGES = "changes"
SHIPPED = "shipped"
"""What `over` says of the trees that come with Stepstop."""
PARTS = ("catalogue", "complaints", "shared")
"""Folders whose files a library is made of."""
TREE_PARTS = PARTS[1:]
MAX_LAYERS = 8


@dataclass(frozen=True, slots=True)
class Over:
    """What `over.yml` says."""

    over: Located
    without: tuple[Located, ...]
    spot: Spot


OVER = Record(
    Over,
    {
        "over": Key(Text(), "the folder below, from this one, or `shipped`", needed=True),
        "without": Key(ListOf(Id(), once=True), "trees below that are left out", ()),
    },
)


@dataclass(frozen=True, slots=True)
class Layer:
    """A folder of trees, maybe an overlay."""

    folder: Path
    over: Over | None = None
    """None for a folder that lies over nothing."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where one file of a library comes from."""

    name: str
    """Folder and name, as in `complaints/no-heat.yml`."""
    path: Path
    changes: tuple[Path, ...] = ()
    """What is laid over it, the lowest first."""


def layers(folder: Path) -> tuple[tuple[Layer, ...], list[Problem]]:
    """The folder and those below it, in this order, and the problems of their `over.yml`.

    With problems, only those that could be found are there.
    """
    desk = Desk()
    found, known = [_layer(folder, desk)], {folder.resolve()}
    while (over := found[-1].over) is not None:
        below = _below(found[-1].folder, over)
        if (why := _no_base(below, known, len(found))) is not None:
            desk.report(spot_of(over.over), *why)
            break
        known.add(below.resolve())
        found.append(_layer(below, desk))
    return tuple(found), sorted_once(desk.problems)


def folders(folder: Path) -> tuple[Path, ...]:
    """The folder and those below it, in this order, as far as they can be found."""
    return tuple(layer.folder for layer in layers(folder)[0])


def holding(folder: Path, names: Sequence[str]) -> Path:
    """The topmost of the folders that has one of these files; `folder` itself if none has."""
    found = (each for each in folders(folder) if any((each / name).exists() for name in names))
    return next(found, folder)


def _below(folder: Path, over: Over) -> Path:
    if over.over == SHIPPED:
        return shipped.folder("decision_trees")
    return Path(os.path.normpath(folder / over.over))


def _no_base(below: Path, known: set[Path], count: int) -> tuple[str, str, str] | None:
    mend = f"write the path of a folder from this one, or `{SHIPPED}`"
    if not below.is_dir():
        return "missing-file", f"no folder is at {below.as_posix()}", mend
    if below.resolve() in known:
        return "contradiction", "this folder would lie over itself", mend
    if count >= MAX_LAYERS:
        return "nested-too-deep", f"more than {MAX_LAYERS} folders lie over each other", mend
    return None


def _layer(folder: Path, desk: Desk) -> Layer:
    path = folder / FILE
    if not (path.exists() or path.is_symlink()):
        return Layer(folder)
    node, problems = read_file(path, whole(path).file)
    desk.problems += problems
    over = None if node is None else OVER.read(node, desk)
    return Layer(folder, over if over and over.over else None)


# ---- their files ----


def origins(stack: Sequence[Layer], desk: Desk) -> list[Origin]:
    """Every file of the library, the parts in their order, in each by name.

    Reported are files that stand in two layers, changes of what is not there, and trees left out
    that nobody has.
    """
    paths: dict[str, Path] = {}
    changes: dict[str, list[Path]] = {}
    for layer in reversed(stack):
        if layer.over is not None:
            _leave_out(layer.over, paths, changes, desk)
        below = dict(paths)
        for name, path in _files(layer.folder):
            if (other := _same(name, below)) is None:
                paths[name] = path
            else:
                desk.problems.append(_both(path, below[other]))
        if layer.over is None:
            continue
        for name, path in _files(layer.folder / CHANGES):
            if name in paths:
                changes.setdefault(name, []).append(path)
            else:
                desk.problems.append(_of_nothing(name, path, paths))
    order = sorted(paths, key=lambda name: (PARTS.index(_part(name)), name))
    return [Origin(name, paths[name], tuple(changes.get(name, ()))) for name in order]


def files_of(folder: Path) -> list[Origin]:
    """The same of the library in `folder`, as far as files can be found; nothing is reported."""
    return origins(layers(folder)[0], Desk())


def _files(folder: Path) -> Iterator[tuple[str, Path]]:
    for part in PARTS:
        for path in _sorted(folder / part):
            if path.suffix == ".yml" and path.name[0] not in ".#":
                yield f"{part}/{path.name}", path


def _sorted(folder: Path) -> list[Path]:
    try:
        return sorted(folder.iterdir()) if folder.is_dir() else []
    except OSError:
        return []  # The loader tells of folders that can't be read.


def _same(name: str, paths: dict[str, Path]) -> str | None:
    """The file in `paths` of this name; of trees, in either folder."""
    parts = TREE_PARTS if _part(name) in TREE_PARTS else (_part(name),)
    return next((n for n in (f"{part}/{_stem(name)}.yml" for part in parts) if n in paths), None)


def _part(name: str) -> str:
    return name.partition("/")[0]


def _stem(name: str) -> str:
    return name.partition("/")[2].removesuffix(".yml")


def _leave_out(
    over: Over, paths: dict[str, Path], changes: dict[str, list[Path]], desk: Desk
) -> None:
    trees = {_stem(name): name for name in paths if _part(name) in TREE_PARTS}
    for left in over.without:
        if left in trees:
            changes.pop(trees[left], None)
            paths.pop(trees[left], None)
        else:
            message = f"no tree below is called `{left}`"
            desk.report(spot_of(left), "unknown-name", message, near(left, trees) or "delete it")


def _both(path: Path, below: Path) -> Problem:
    message = f"a file of this name also lies below: {whole(below).file}"
    mend = f"put what differs into {CHANGES}/{path.parent.name}/{path.name}"
    if path.parent.name in TREE_PARTS:
        mend += f", or leave the other out: `without: [{path.stem}]` in {FILE}"
    related = (Related(whole(below), "the other one"),)
    return Problem(whole(path), "name-taken", message, mend, (), related)


def _of_nothing(name: str, path: Path, paths: dict[str, Path]) -> Problem:
    message = f"no {quoted(name)} lies below, so this changes nothing"
    alike = near(_stem(name), [_stem(each) for each in paths if _part(each) == _part(name)])
    mend = alike or "take it away, or put a whole file beside `changes`"
    return Problem(whole(path), "unknown-name", message, mend)
