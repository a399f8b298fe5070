"""What is changed, laid over what is below, at the level of located YAML nodes.

Keys are laid over keys; any other value takes the place of the one below, a list as a whole. An
empty value takes the key away. Every part keeps the spot of the file that it is from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial, reduce
from pathlib import Path

from stepstop.overlay.layers import Origin
from stepstop.problems import near
from stepstop.shapes import Desk, wrong
from stepstop.yaml_reader import Fields, Gap, Node, Scalar

NAMED = 2
"""Levels of keys down to what has a name of its own: `steps`, then `screen`."""
REVIEW = "review"


def read_laid(origin: Origin, read: Callable[[Path], Node | None], desk: Desk) -> Node | None:
    """A file with all that is laid over it; None if `read` has None for one of them."""
    nodes = [read(path) for path in (origin.path, *origin.changes)]
    there = [node for node in nodes if node is not None]
    return reduce(partial(laid, desk=desk), there) if len(there) == len(nodes) else None


def laid(below: Node, change: Node, desk: Desk) -> Node:
    """`change` over `below`, two whole files. What can't be laid is reported and left out.

    What is added under a name that is near to one below may have been meant for that: the desk's
    hints have it, should it turn out not to be whole.

    A tree that is changed loses the review of what it was, unless the change has one of its own.
    """
    if not isinstance(change, Fields):
        wrong(change, "a set of keys, as in the file below", desk)
        return below
    if not isinstance(below, Fields):
        return below
    kept = tuple(entry for entry in below.entries if entry[0].text != REVIEW)
    return _over(Fields(kept, below.spot), change, desk)


def _over(below: Fields, change: Fields, desk: Desk) -> Fields:
    entries = {key.text: (key, value) for key, value in below.entries}
    for key, value in change.entries:
        there = entries.get(key.text)
        if is_empty(value):
            if entries.pop(key.text, None) is None:
                mend = near(key.text, entries) or "delete the key"
                message = f"`{key.text}` is not below, so it can't be taken away"
                desk.report(key.spot, "unknown-name", message, mend)
        elif there and isinstance(there[1], Fields) and isinstance(value, Fields):
            entries[key.text] = key, _over(there[1], value, desk)
        else:
            if there is None and (hint := near(key.text, entries)):
                desk.hints[key.spot] = desk.hints[value.spot] = hint
            entries[key.text] = key, value
    return Fields(tuple(entries.values()), change.spot)


def is_empty(node: Node) -> bool:
    """Whether a change says that nothing shall be there."""
    return isinstance(node, Scalar) and not node.text


def named_parts(node: Node, level: int = NAMED) -> Iterator[tuple[tuple[str, ...], Scalar, Node]]:
    """(keys that lead to it, its own key, value) of each part that has a name of its own."""
    if not isinstance(node, Fields):
        return
    for key, value in node.entries:
        if level > 1 and isinstance(value, Fields):
            for path, own, part in named_parts(value, level - 1):
                yield (key.text, *path), own, part
        elif not isinstance(value, Gap):
            yield (key.text,), key, value


def part_at(node: Node | None, path: tuple[str, ...]) -> Node | None:
    """What stands in a file under these keys."""
    for name in path:
        if not isinstance(node, Fields):
            return None
        node = next((value for key, value in node.entries if key.text == name), None)
    return node
