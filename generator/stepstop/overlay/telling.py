"""What an overlay touches, as text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from difflib import unified_diff

from stepstop.overlay.seen import ELSE, GONE, NEW, SAME, THERE, UNSEEN, Look, Plain, Touched

STATES = {
    SAME: "as you last saw it",
    NEW: "not put down yet",
    ELSE: "CHANGED BELOW",
    GONE: "NO LONGER BELOW",
    THERE: "NOW BELOW, TOO",
    UNSEEN: "NEW, AND MUCH BELOW HAS CHANGED",
}
MAX_LINE = 96


def as_text(look: Look) -> str:
    """Each part that is touched, with what changed below and what the change makes of it."""
    if not look.touched:
        return "nothing is changed: all is as it lies below"
    return "\n".join([*_lines(look), "", _counted(look)])


def _lines(look: Look) -> Iterator[str]:
    name = ""
    for each in look.touched:
        if each.name != name:
            name = each.name
            yield name
        what = each.key or "the whole file"
        state = STATES[each.state] + (", added by you" if each.now is None else "")
        yield f"  {what}: {state}  ({each.spot.file}:{max(each.spot.line, 1)})"
        if each.is_due:
            yield from (f"    {line[:MAX_LINE]}" for line in _shown(each))


def _shown(each: Touched) -> Iterator[str]:
    """Lines that went and came below, then the change as it stands."""
    if each.state != UNSEEN:
        went, came = list(_written(each.then)), list(_written(each.now))
        yield "below, since you last looked:"
        _, _, _, *lines = unified_diff(went, came, n=1, lineterm="")
        yield from ("  ..." if line.startswith("@@") else f"  {line}" for line in lines)
    elif each.now is not None:
        yield "below:"
        yield from (f"  {line}" for line in _written(each.now))
    if each.path:
        yield "yours:" if each.mine is not None else "yours: taken away"
        yield from (f"  {line}" for line in _written(each.mine))


def _written(value: Plain, indent: str = "") -> Iterator[str]:
    """A value as lines, one text a line."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if isinstance(inner, dict | list):
                yield f"{indent}{key}:"
                yield from _written(inner, f"{indent}  ")
            else:
                yield f"{indent}{key}: {inner or ''}"
    elif isinstance(value, list):
        for inner in value:
            first, *rest = list(_written(inner)) or [""]
            yield f"{indent}- {first}"
            yield from (f"{indent}  {line}" for line in rest)
    elif value is not None:
        yield f"{indent}{value}"


def _counted(look: Look) -> str:
    counts = Counter(each.state for each in look.touched)
    told = ", ".join(
        f"{counts[state]} {STATES[state].lower()}" for state in STATES if counts[state]
    )
    count = len(look.touched)
    return f"{count} part{'s' * (count > 1)} below touched: {told}"
