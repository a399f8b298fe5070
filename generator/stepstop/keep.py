"""Rehearsing a course and keeping what pages take of it: likely causes, figures, tables."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stepstop import ranking, rehearsed
from stepstop.course import Course
from stepstop.problems import Problem
from stepstop.rehearsal.prepare import Progress, prepare
from stepstop.rehearsal.record import record

RANKED_TRAILS = 200
"""How many drawn trails of each tree a table is compared with belief on."""


@dataclass(frozen=True, slots=True)
class Written:
    """A file that was written."""

    path: Path
    about: str


def is_kept(course: Course, trees: Path) -> bool:
    """Whether a rehearsal of this very course is kept with the trees in the folder `trees`."""
    of = rehearsed.fingerprint(trees, course)
    found = rehearsed.read(trees, course, of)
    return found is not None and bool(ranking.read(rehearsed.kept(trees, of), of))


def keep(
    course: Course, trees: Path, *, less: bool = False, progress: Progress = lambda _: None
) -> tuple[tuple[Written, ...], list[Problem]]:
    """Rehearse a proven course in all worlds and keep it: the files, or problems of its inputs.

    It takes the place of what was kept of the trees in the folder `trees`. With `less` the course
    is a company's who offers less of them, and what is kept stands beside that of all others.
    """
    # Taken first: what is changed meanwhile makes the files stale, not wrong.
    of = rehearsed.fingerprint(trees, course)
    given = rehearsed.inputs(trees)
    found, problems = record(course, given, progress=progress)
    if found is None:
        return (), problems
    ready, problems = prepare(course, given, progress=progress)
    if ready is None:
        return (), problems
    tables = ranking.tables(ready.belief, progress=progress)
    progress("comparing the tables with belief")
    worst = ranking.worst_difference(ready.belief, tables, trails=RANKED_TRAILS)
    assert worst <= ranking.SAME, worst
    folder = rehearsed.narrowed(trees, of) if less else trees / rehearsed.FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    counted = f"{len(tables)} tables, {RANKED_TRAILS} trails of each compared"
    contents = [
        (rehearsed.NAME, rehearsed.written(found, of), rehearsed.summary(found)),
        (ranking.NAME, ranking.written(tables, of), f"{counted}, largest difference {worst:.1e}"),
    ]
    written = []
    for name, content, about in contents:
        path = folder / name
        path.write_bytes(content)
        written.append(Written(path, about))
    return tuple(written), []
