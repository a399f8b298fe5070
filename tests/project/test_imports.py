"""Imports go downward only, and each library from elsewhere is known to few modules."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

from project.repository import PACKAGE

FLOORS = (
    (
        "stepstop",
        "source",
        "graph",
        "tally",
        "patterns",
        "reading_ease",
        "contrast",
        "tapping",
        "collecting",
        "units",
    ),
    ("chance", "grammar", "house", "plain", "waiting", "sweep"),
    ("shipped", "publish", "problems", "model"),
    ("yaml_reader", "course", "wording", "names"),
    ("report", "shapes", "proof", "contradictions", "trail"),
    ("schema", "rules", "callers", "verdicts"),
    ("overlay", "language", "places"),
    ("loader", "explain", "journey", "company"),
    ("verify", "belief", "json_schema", "reference", "listing"),
    ("rehearsed", "ranking", "brief"),
    ("edition", "rehearsal", "new"),
    ("effort", "companies", "keep"),
    ("pages",),
    ("offline", "tongues", "picture"),
    ("site", "labels", "walk", "follow"),
    ("bundle", "preview", "printing", "practice", "closed", "effect"),
    ("plugin", "cli"),
    ("__main__",),
)
"""From the ground up: a module imports modules of lower floors, or of its own room."""

LIBRARIES = {
    "babel": {"language"},
    "click": {"cli", "publish"},
    "fast_sugiyama": {"picture"},
    "fpdf": {"labels"},
    "jinja2": {"language", "pages"},
    "markupsafe": {"language", "pages"},
    "mkdocs": {"plugin"},
    "numpy": {"belief", "chance", "effort", "house", "offline", "ranking", "rehearsal"},
    "phonenumbers": {"company"},
    "segno": {"labels"},
    "yaml": {"yaml_reader"},
}
"""Library from elsewhere -> the rooms that may know it."""

FLOOR_OF = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}


def name_of(path: Path) -> str:
    """Dotted name below the package: `rules.done_twice`, `stepstop` for the package itself."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts) or "stepstop"


MODULES = {name_of(path): path for path in sorted(PACKAGE.rglob("*.py"))}


def imported(path: Path) -> Iterator[str]:
    """Dotted names of what a file imports, wherever in it: `stepstop.pages.words`, `yaml`."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} has a relative import"
            whole = [f"{node.module}.{alias.name}" for alias in node.names]
            ours = [name for name in whole if name.removeprefix("stepstop.") in MODULES]
            yield from ours or [str(node.module)]


def inner(path: Path) -> set[str]:
    """Names below the package of the project's modules that a file imports."""
    ours = {n.removeprefix("stepstop.") for n in imported(path) if n.split(".")[0] == "stepstop"}
    assert ours <= MODULES.keys()
    return ours


def room(name: str) -> str:
    return name.split(".")[0]


def test_every_module_has_a_floor_and_every_floor_its_modules() -> None:
    assert {room(name) for name in MODULES} == FLOOR_OF.keys()


@pytest.mark.parametrize("name", MODULES)
def test_a_module_imports_lower_floors_or_its_own_room(name: str) -> None:
    upward = {
        other
        for other in inner(MODULES[name])
        if room(other) != room(name) and FLOOR_OF[room(other)] >= FLOOR_OF[room(name)]
    }
    assert not upward


def test_no_modules_import_each_other_in_a_circle() -> None:
    edges = {name: inner(path) - {name} for name, path in MODULES.items()}
    assert set(TopologicalSorter(edges).static_order()) == MODULES.keys()


def test_graph_knows_nothing_of_the_project() -> None:
    assert inner(MODULES["graph"]) == set()


def test_libraries_are_known_only_where_they_may_be() -> None:
    known: dict[str, set[str]] = {}
    for name, path in MODULES.items():
        for other in imported(path):
            library = other.split(".")[0]
            if library not in {*sys.stdlib_module_names, "stepstop"}:
                known.setdefault(library, set()).add(room(name))
    assert known == LIBRARIES
