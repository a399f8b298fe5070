"""Problems as text for a terminal and as JSON for programs."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any
from unicodedata import combining, east_asian_width

from stepstop.problems import Problem
from stepstop.source import Spot
from stepstop.yaml_reader import MAX_BYTES, lines_of

Lines = Callable[[str], Sequence[str]]
"""File name -> its lines."""

MAX_LINE = 100
"""Characters of a source line that are shown."""
_BEFORE = 60
"""Of these, how many at the most stand before the mark where the line is longer."""
_UNSEEN = "\N{REPLACEMENT CHARACTER}"


@lru_cache(maxsize=64)
def file_lines(name: str) -> Sequence[str]:
    """The lines of a file, or none where it can't be read as text."""
    try:
        with Path(name).open("rb") as file:
            return lines_of(file.read(MAX_BYTES).decode("utf-8", "replace"))
    except (OSError, ValueError):
        return ()


def as_text(problems: Iterable[Problem], *, lines: Lines = file_lines) -> str:
    """All problems, each with its line of the source, its path and how to mend it.

    Files are read anew for each report: a preview shows them while they change.
    """
    file_lines.cache_clear()
    return "\n\n".join(_one(problem, lines) for problem in problems)


def _one(problem: Problem, lines: Lines) -> str:
    shown = [f"{problem.spot}: {problem.flaw}: {problem.message}"]
    shown += _marked(problem.spot, lines)
    if problem.path:
        shown.append("   path: " + " > ".join(problem.path))
    shown += [f"   {each.text} ({each.spot})" for each in problem.related]
    if problem.mend:
        shown.append(f"   mend: {problem.mend}")
    return "\n".join(_visible(line) for line in shown)


def _visible(text: str) -> str:
    """`text` with a sign for each character that would not be seen, or would steer a terminal."""
    return "".join(each if each.isprintable() else _UNSEEN for each in text)


def _marked(spot: Spot, lines: Lines) -> list[str]:
    """The line of `spot` and a mark below it, or nothing where there is no such line."""
    source = lines(spot.file) if spot.line else ()
    if not 0 < spot.line <= len(source):
        return []
    line, start = _window(source[spot.line - 1].replace("\t", " "), max(0, spot.column - 1))
    marked = line[start : start + max(1, spot.length)]
    before, mark = _width(_visible(line[:start])), max(1, _width(_visible(marked)))
    margin = " " * len(str(spot.line))
    return [f"   {spot.line} | {line}".rstrip(), f"   {margin} | {' ' * before}{'^' * mark}"]


def _window(line: str, start: int) -> tuple[str, int]:
    """The stretch of a long line around `start`, and where `start` lies in it."""
    start = min(start, len(line))
    if len(line) <= MAX_LINE:
        return line, start
    first = max(0, start - _BEFORE)
    head, tail = "…" * (first > 0), "…" * (first + MAX_LINE < len(line))
    return f"{head}{line[first : first + MAX_LINE]}{tail}", start - first + len(head)


def _width(text: str) -> int:
    """Columns that `text` takes in a terminal."""
    return sum(0 if combining(c) else 1 + (east_asian_width(c) in "WF") for c in text)


def as_json(problems: Sequence[Problem], examined: Mapping[str, int]) -> str:
    """The problems and, for each rule, how many places it examined (null: a loop kept it away)."""
    rules = {flaw: None if places < 0 else places for flaw, places in examined.items()}
    whole = {
        "format": 1,
        "problems": [_as_data(problem) for problem in problems],
        "rules": rules,
    }
    written = json.dumps(whole, indent=2, ensure_ascii=False)
    return written.encode("utf-8", "replace").decode("utf-8")


def _as_data(problem: Problem) -> dict[str, Any]:
    return {
        "flaw": problem.flaw,
        "place": _spot(problem.spot),
        "message": problem.message,
        "mend": problem.mend,
        "path": list(problem.path),
        "related": [{"place": _spot(r.spot), "text": r.text} for r in problem.related],
    }


def _spot(spot: Spot) -> dict[str, Any]:
    return {"file": spot.file, "line": spot.line, "column": spot.column, "length": spot.length}
