"""What stood below each change when somebody last looked, and what has become of it since.

`seen.json` in the folder of changes keeps each part below that a change touches, and a hash over
everything below. A part is what has a name of its own: a step, an ending, an entry of the
catalogue. It is kept whole, since a change of the question beside them may make answers wrong.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stepstop.overlay.layers import CHANGES, FILE, TREE_PARTS, Origin, layers, origins
from stepstop.overlay.laying import is_empty, named_parts, part_at, read_laid
from stepstop.problems import Problem
from stepstop.shapes import Desk
from stepstop.source import Spot, whole
from stepstop.yaml_reader import Fields, Gap, Items, Node, Scalar, read_file

NAME = "seen.json"
FORMAT = 1
MAX_BYTES = 20_000_000

Plain = Any
"""A YAML value as JSON has it: texts, lists and objects; None where nothing stands."""

SAME, ELSE, GONE, THERE, NEW, UNSEEN = "same", "else", "gone", "there", "new", "unseen"
"""What became of a part below: it is as it was; it is another; it is no more; it is there now and
was not; the change is new and nothing below is; the change is new and all below may be."""


@dataclass(frozen=True, slots=True)
class Touched:
    """A part below that a change touches."""

    name: str
    """File, as in `complaints/no-heat.yml`."""
    path: tuple[str, ...]
    """Keys that lead to it; empty where a whole file takes the place of the one below."""
    spot: Spot
    """Of the change."""
    mine: Plain
    """What is changed; None: it is taken away, or a whole file stands there."""
    now: Plain
    """What lies below; None: nothing."""
    then: Plain
    """What lay below at the last look; as `now` where it was not looked at."""
    state: str

    @property
    def is_due(self) -> bool:
        """Whether somebody has to look before anything is published."""
        return self.state in (ELSE, GONE, THERE, UNSEEN)

    @property
    def key(self) -> str:
        """Its name in the record."""
        return "/".join(self.path)


@dataclass(frozen=True, slots=True)
class Look:
    """An overlay's changes beside what lies below them."""

    touched: tuple[Touched, ...]
    below: str
    """Hash over everything below."""
    is_recorded: bool
    over: Spot
    """Of `over.yml`."""
    where: Path
    """Of the record."""


def look(folder: Path) -> tuple[Look | None, list[Problem]]:
    """What the overlay in `folder` touches; None for a folder that is none, or with problems.

    Problems are those of the files that can't be read; the loader reports the same.
    """
    stack, problems = layers(folder)
    if problems or stack[0].over is None:
        return None, problems
    desk = Desk()
    mine = {each.name: each for each in origins(stack, desk)}
    below = {each.name: each for each in origins(stack[1:], Desk())}
    where = folder / CHANGES / NAME
    record, wrong = _read(where)
    left = [str(each) for each in stack[0].over.without]
    digest = _digest(below.values())
    known = (record or {}).get("parts", {})
    is_other = record is not None and record["below"] != digest
    found = [
        _judged(name, path, spot, change, now, known.get(name, {}), is_other=is_other)
        for name, path, spot, change, now in _parts(folder, mine, below, left, desk)
    ]
    problems = [*desk.problems, *wrong]
    if problems:
        return None, problems
    over = whole(folder / FILE)
    return Look(tuple(found), digest, record is not None, over, where), []


def due(folder: Path) -> list[Problem]:
    """A problem for each change of an overlay below which something else stands than was seen."""
    found, problems = look(folder)
    if found is None:
        return problems
    mend = "look at it with `stepstop touched`, then say so with `stepstop touched --seen`"
    if not found.is_recorded:
        if not found.touched:
            return []
        message = "nobody has put down yet what the changes lie over"
        return [Problem(found.over, "below-changed", message, mend)]
    return [
        Problem(each.spot, "below-changed", _said(each), mend)
        for each in found.touched
        if each.is_due
    ]


def put_down(found: Look) -> None:
    """Write what lies below the changes now. Raises OSError."""
    parts: dict[str, dict[str, Plain]] = {}
    for each in found.touched:
        parts.setdefault(each.name, {})[each.key] = each.now
    data = {"format": FORMAT, "below": found.below, "parts": parts}
    text = json.dumps(data, indent=1, ensure_ascii=False)
    found.where.parent.mkdir(exist_ok=True)
    found.where.write_text(f"{text}\n", "utf-8")


def _said(each: Touched) -> str:
    what = f"`{each.key}`" if each.path else "the file of this name"
    return {
        ELSE: f"{what} below is another than when this change was last looked at",
        GONE: f"{what} is no longer below, so this changes nothing there",
        THERE: f"{what} is below now, too, and was not when this was written",
        UNSEEN: f"{what}: this change is new, and what lies below has changed since the last look",
    }[each.state]


def _judged(
    name: str,
    path: tuple[str, ...],
    spot: Spot,
    change: Plain,
    now: Plain,
    known: Mapping[str, Plain],
    *,
    is_other: bool,
) -> Touched:
    key = "/".join(path)
    if key not in known:
        return Touched(name, path, spot, change, now, now, UNSEEN if is_other else NEW)
    then = known[key]
    if then == now:
        state = SAME
    elif now is None:
        state = GONE
    else:
        state = THERE if then is None else ELSE
    return Touched(name, path, spot, change, now, then, state)


_Part = tuple[str, tuple[str, ...], Spot, Plain, Plain]


def _parts(
    folder: Path,
    mine: Mapping[str, Origin],
    below: Mapping[str, Origin],
    left: Sequence[str],
    desk: Desk,
) -> Iterator[_Part]:
    """(file, keys, spot, what is changed, what lies below) of each part that is touched."""
    for name, origin in mine.items():
        own = folder / CHANGES / name
        if own in origin.changes:
            base, change = _node(below[name], desk), _file(own, desk)
            if not isinstance(change, Fields):
                continue
            for path, key, value in named_parts(change):
                changed = None if is_empty(value) else plain(value)
                yield name, path, key.spot, changed, plain(part_at(base, path))
        elif origin.path.parent.name in TREE_PARTS and origin.path.stem in left:
            now = plain(_node(below[name], desk)) if name in below else None
            yield name, (), whole(origin.path), None, now


def _node(origin: Origin, desk: Desk) -> Node | None:
    """The file with all that is laid over it below."""
    return read_laid(origin, lambda path: _file(path, desk), desk)


def _file(path: Path, desk: Desk) -> Node | None:
    node, problems = read_file(path, whole(path).file)
    desk.problems += problems
    return node


def plain(node: Node | None) -> Plain:
    """A node as JSON has it."""
    if node is None or isinstance(node, Gap):
        return None
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Items):
        return [plain(each) for each in node.nodes]
    return {key.text: plain(value) for key, value in node.entries}


def _digest(files: Iterable[Origin]) -> str:
    """The same only for folders below whose files have the same text."""
    digest = hashlib.sha256()
    for origin in files:
        for path in (origin.path, *origin.changes):
            try:
                content = path.read_bytes().replace(b"\r\n", b"\n")
            except OSError:
                continue  # Told where it is read.
            digest.update(f"{origin.name}\0{len(content)}\0".encode())
            digest.update(content)
    return digest.hexdigest()


def _read(path: Path) -> tuple[dict[str, Any] | None, list[Problem]]:
    """The record, or None where none is yet."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise ValueError
        data = json.loads(path.read_bytes())
        parts = data["parts"]
        if data["format"] != FORMAT or not isinstance(data["below"], str):
            raise ValueError
        if not all(isinstance(part, dict) for part in parts.values()):
            raise ValueError
    except FileNotFoundError:
        return None, []
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        message = "this is not a record of what was seen below"
        mend = "take back the last one that was right, or delete it and look at all anew"
        return None, [Problem(whole(path), "unreadable-file", message, mend)]
    return data, []
