"""A site of one's own in a new folder, which builds at once: trees, a company, configuration."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

from stepstop import json_schema, shipped
from stepstop.loader import COMPANIES_FOLDER as COMPANIES
from stepstop.overlay import layers
from stepstop.rehearsed import FOLDER as REHEARSAL

STARTERS = ("all", "one", "over")
"""A copy of every tree that comes with Stepstop, or one to begin with, both with the whole
catalogue; or none of it, and only what differs, laid over what comes with Stepstop."""
TREES = "decision_trees"
SCHEMAS = ".schemas"
"""Below the trees: what editors complete and check files by."""
SAMPLE = "sample.yml"
PLACES = {
    "mkdocs.yml": "mkdocs.yml",
    "about.md": "content/about.md",
    "company.yml": f"{TREES}/{COMPANIES}/my-company.yml",
}
"""File of the starter folder -> where it goes."""
IGNORED = "site/\n"
_SHARED = ("danger-screen", "endings", "people", "puddle")
"""Shared trees that one tree needs; a shared tree that nobody uses is a mistake."""
_STARTER = Path(__file__).parent / "starter"


class NotNew(Exception):
    """Something is in the way."""


def new_site(target: Path, *, starter: str = "all") -> list[str]:
    """Write the site into `target`, which is not there yet or empty; its files, sorted.

    `starter` is one of `STARTERS`. All is written beside it first, and takes its place at the end.
    Raises `NotNew`, and `OSError` as the system gives it.
    """
    _refuse(target)
    draft = target.parent / f".{target.name}.stepstop-new-{os.getpid()}"
    shutil.rmtree(draft, ignore_errors=True)
    try:
        for name, content in _files(starter):
            path = draft / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        if target.is_dir():
            target.rmdir()
        draft.rename(target)
    finally:
        shutil.rmtree(draft, ignore_errors=True)
    return sorted(p.relative_to(target).as_posix() for p in target.rglob("*") if p.is_file())


def write_schemas(trees: Path) -> list[str]:
    """Write the schemas of this release below a folder of trees; their names."""
    folder = trees / SCHEMAS
    folder.mkdir(parents=True, exist_ok=True)
    schemas = json_schema.json_schemas()
    for name, schema in schemas.items():
        (folder / name).write_text(json_schema.written(schema), "utf-8")
    return list(schemas)


def _refuse(target: Path) -> None:
    if target.exists() and not target.is_dir():
        raise NotNew(f"{target} is a file; choose another name")
    there = sorted(path.name for path in target.iterdir()) if target.is_dir() else []
    if there:
        few = ", ".join(there[:3])
        raise NotNew(f"{target} is not empty ({few}); choose another name, or empty it")
    if not target.absolute().parent.is_dir():
        raise NotNew(f"no folder {target.parent}; make it first")


def _files(starter: str) -> Iterator[tuple[str, bytes]]:
    readme = "over.md" if starter == "over" else "README.md"
    for name, place in {**PLACES, readme: "README.md"}.items():
        content = (_STARTER / name).read_bytes()
        yield place, _marked(content, place) if place.endswith("company.yml") else content
    yield ".gitignore", IGNORED.encode()
    if starter == "over":
        yield _starting(layers.FILE, layers.FILE)
    else:
        yield from _copies(_is_in_all if starter == "all" else _is_in_one)
    if starter == "one":
        yield _starting(SAMPLE, f"complaints/{SAMPLE}")
    for name, schema in json_schema.json_schemas().items():
        yield f"{TREES}/{SCHEMAS}/{name}", json_schema.written(schema).encode()


def _copies(chosen: Callable[[str], bool]) -> Iterator[tuple[str, bytes]]:
    trees = shipped.folder(TREES)
    for path in sorted(trees.rglob("*")):
        name = path.relative_to(trees).as_posix()
        if path.is_file() and chosen(name):
            place = f"{TREES}/{name}"
            content = path.read_bytes()
            # What was rehearsed knows the files of callers and verdicts to the byte.
            is_marked = name.endswith(".yml") and not name.startswith(f"{REHEARSAL}/")
            yield place, _marked(content, place) if is_marked else content


def _starting(name: str, below: str) -> tuple[str, bytes]:
    """A file of the starter folder that goes below the trees."""
    place = f"{TREES}/{below}"
    return place, _marked((_STARTER / name).read_bytes(), place)


def _is_in_all(name: str) -> bool:
    """All but the demo company and what was rehearsed for it."""
    first, *rest = name.split("/")
    return first != COMPANIES and not (first == REHEARSAL and len(rest) > 1)


def _is_in_one(name: str) -> bool:
    """The danger tree and what one tree needs; nothing that speaks of other complaints."""
    first, _, rest = name.partition("/")
    if first == "catalogue":
        return rest != "equipment.yml"
    if first == "shared":
        return rest.removesuffix(".yml") in _SHARED
    return name == "complaints/danger.yml"


def _marked(content: bytes, place: str) -> bytes:
    """The file with a first line that tells editors its schema."""
    below = place.removeprefix(f"{TREES}/")
    schema = f"{'../' * below.count('/')}{SCHEMAS}/{json_schema.schema_for(below)}"
    return f"# yaml-language-server: $schema={schema}\n".encode() + content
