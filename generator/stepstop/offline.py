"""What lets the pages work without a network: a worker, the pages in few files, a manifest.

Pages share most of their lines. So a phone gets them as pieces, each piece once, and the worker
puts a page together when it is asked for: some 300 kB on the wire hold thousands of pages.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from stepstop.company.model import Brand
from stepstop.edition import Edition, look_files
from stepstop.graph import reachable
from stepstop.pages.address import (
    CALL,
    CALL_DATA,
    CALL_SCRIPT,
    COUNTER,
    EMBED,
    MANIFEST,
    START,
    WORKER,
    equipment_file,
    file_of,
    pocket_file,
    technician_file,
)
from stepstop.pages.atlas import Atlas, stop_and_call
from stepstop.pages.likely_data import likely_file
from stepstop.pages.slots import Filler, Form, form_of
from stepstop.pages.style import script_of

HOME = "/~/"
"""Stands for the site's root in the page for what isn't kept; the worker knows the root."""
NOT_KEPT = "~/404.html"
"""Name of that page among the kept ones."""
FOLDER = "offline"
KEPT = (".html", ".js", ".json", ".svg")
"""Endings of files that a page may be or need. Files that hold a whole complaint hold it anew."""
ICONS = ("icon.svg", "icon-192.png", "icon-512.png")
AGENTS = (CALL, CALL_SCRIPT, CALL_DATA)
"""What only the page of a call agent needs."""
CALLS = "calls"
"""The file of pages that has these."""
_DIGITS = 12
"""Digits of a hash in the name of a file."""


class Offline:
    """The pages of a site cut into pieces, once for all whose pages have the same slots."""

    def __init__(
        self,
        pages: Mapping[str, bytes],
        not_kept: bytes,
        atlas: Atlas,
        overrides: tuple[Path, ...],
    ) -> None:
        """Cut `pages` (file -> content); `not_kept` is shown for a page that can't be had.

        `HOME` in it stands for the site's root. Slots of pages stay slots.
        """
        self._looks = look_files(overrides)
        self._packs: list[tuple[_Pack, Form]] = []
        self._plan: dict[str, Any] = {}
        if not atlas.edition.works_offline:
            return
        pockets = {pocket_file(tree) for tree in atlas.course.library.trees}
        texts = {
            name: page.decode()
            for name, page in pages.items()
            if name.endswith(KEPT) and name not in pockets and name != EMBED
        }
        packs = _packs(texts, not_kept.decode(), atlas)
        self._packs = [(pack, form_of(pack.content)) for pack in packs]
        self._plan = _plan(packs, texts, atlas)

    def files(self, edition: Edition, fill: Filler) -> dict[str, bytes]:
        """File below the site's root -> content, beside the pages of an edition.

        One that doesn't work offline has just a worker that removes what an earlier one kept.
        """
        looks = self._looks
        if not edition.works_offline:
            return {WORKER: _script(looks["remover.js"])}
        packs = [replace(pack, content=form.filled(fill)) for pack, form in self._packs]
        hashes = "\n".join(sorted(pack.hash for pack in packs))
        plan = {
            "edition": hashlib.sha256(hashes.encode()).hexdigest()[:_DIGITS],
            "files": [pack.label for pack in packs],
            **self._plan,
            "mark": _mark(edition) if self._plan["mark"] else "",
        }
        return {
            MANIFEST: _manifest(looks[MANIFEST].read_bytes(), edition.brand),
            **{name: looks[name].read_bytes() for name in ICONS},
            **{pack.file: pack.content for pack in packs},
            WORKER: b"const PLAN = " + _json(plan) + b";\n" + _script(looks["worker.js"]),
        }


def _mark(edition: Edition) -> str:
    """What every page of the edition says, and none of another."""
    return f"{edition.dated}, {edition.hash}"


def _manifest(content: bytes, brand: Brand | None) -> bytes:
    """The manifest, by the company's name and in its colour where it is a company's."""
    if brand is None:
        return content
    company, own = brand.company, json.loads(content)
    own["name"] = own["short_name"] = str(company.name)
    if company.colours is not None:
        own["theme_color"] = str(company.colours.light)
    return json.dumps(own, indent=2, ensure_ascii=False).encode() + b"\n"


@dataclass(frozen=True, slots=True)
class _Pack:
    """Pages that a phone gets together."""

    stem: str
    names: tuple[str, ...]
    content: bytes

    @property
    def hash(self) -> str:
        """SHA-256 of its content, in hex digits."""
        return hashlib.sha256(self.content).hexdigest()

    @property
    def label(self) -> str:
        """Its stem with the beginning of its hash."""
        return f"{self.stem}.{self.hash[:_DIGITS]}"

    @property
    def file(self) -> str:
        """Its place below the site's root."""
        return f"{FOLDER}/{self.label}.json"


def _packs(texts: Mapping[str, str], not_kept: str, atlas: Atlas) -> list[_Pack]:
    """The core, which stands alone; what is common; one for each folder that asks something.

    Last come the tables of likely causes, each alone: only the complaint of a walk needs its own,
    and what only an agent's page needs.
    """
    core = _core(atlas) & texts.keys()
    tables = [name for name in _tables(atlas) if name in texts]
    others = texts.keys() - core - {*tables, *AGENTS}
    cut = _cut({name: texts[name] for name in sorted(others, key=_alike)})
    asking = {page.id.split("/")[0] for page in atlas.course.pages.values() if page.step}
    home = {name: _first(name) if _first(name) in asking else "" for name in cut}
    users: dict[str, set[str]] = {}
    for name, pieces in cut.items():
        for piece in pieces:
            users.setdefault(piece, set()).add(home[name])
    shared = [piece for piece, folders in users.items() if len(folders) > 1 or "" in folders]
    inside: dict[str, dict[str, list[str]]] = {"": {}}
    for name, pieces in cut.items():
        inside.setdefault(home[name], {})[name] = pieces
    first = _cut({**{name: texts[name] for name in sorted(core)}, NOT_KEPT: not_kept})
    danger = sorted({file_of(page_id) for page_id in _dangers(atlas)} & core)
    return [
        _pack("core", first, (), danger=danger),
        _pack("common", inside.pop(""), (), pieces=shared),
        *(_pack(f"trees/{name}", inside[name], shared) for name in sorted(inside)),
        *(_pack(f"tables/{_first(name)}", {name: [texts[name]]}, shared) for name in tables),
        _pack(CALLS, {name: [texts[name]] for name in AGENTS if name in texts}, shared),
    ]


def _pack(
    stem: str,
    cut: Mapping[str, list[str]],
    before: Iterable[str],
    *,
    pieces: Iterable[str] = (),
    **more: Any,
) -> _Pack:
    """Pages by the numbers of their pieces; those of another pack, `before`, are counted first."""
    numbers = {piece: number for number, piece in enumerate((*before, *pieces))}
    ahead = len(tuple(before))
    pages = {
        name: [numbers.setdefault(piece, len(numbers)) for piece in found]
        for name, found in cut.items()
    }
    content = _json({"pages": pages, "pieces": list(numbers)[ahead:], **more})
    return _Pack(stem, tuple(cut), content)


def _cut(texts: Mapping[str, str]) -> dict[str, list[str]]:
    """Each text as the longest runs of lines that stand together in all texts with one of them."""
    after: dict[str | None, set[str | None]] = {}
    before: dict[str | None, set[str | None]] = {}
    split = {name: text.split("\n") for name, text in texts.items()}
    for lines in split.values():
        for one, other in pairwise((None, *lines, None)):
            after.setdefault(one, set()).add(other)
            before.setdefault(other, set()).add(one)
    return {
        name: [
            "\n".join(run)
            for run in _runs(lines, lambda a, b: len(after[a]) == 1 == len(before[b]))
        ]
        for name, lines in split.items()
    }


def _runs(lines: list[str], belong: Callable[[str, str], bool]) -> Iterator[list[str]]:
    run = lines[:1]
    for one, other in pairwise(lines):
        if not belong(one, other):
            yield run
            run = []
        run.append(other)
    yield run


def _alike(name: str) -> tuple[str, str]:
    """Sorts the same step in other modes side by side, so that files compress well."""
    return name.rpartition("/")[2], name


def _first(name: str) -> str:
    return name.split("/")[0]


def _core(atlas: Atlas) -> set[str]:
    """Files that must always be there: danger and all it leads to, "stop and call", the start.

    The pages of equipment are among them: a label is scanned in a cellar, where no signal may be.
    """
    ids = {
        *reachable(atlas.edges, [atlas.danger]),
        *_dangers(atlas),
        stop_and_call(hurry=False),
        stop_and_call(hurry=True),
    }
    units = map(equipment_file, atlas.course.library.catalogue.equipment)
    return {START, COUNTER, *units, *map(file_of, ids), *map(technician_file, ids)}


def _dangers(atlas: Atlas) -> Iterator[str]:
    """Ids of the pages that should be the newest: the danger tree, and every ending in danger."""
    tree = atlas.pages[atlas.danger].tree
    for page in atlas.pages.values():
        if page.tree == tree or (page.outcome and page.outcome.kind == "danger"):
            yield page.id


def _tables(atlas: Atlas) -> list[str]:
    """Files with likely causes."""
    return sorted(map(likely_file, atlas.edition.rankings))


def _plan(packs: list[_Pack], texts: Mapping[str, str], atlas: Atlas) -> dict[str, Any]:
    """What the worker must know of the packs, whatever stands in them; its keys are told there."""
    tables = set(_tables(atlas))
    places = {
        name if name in tables else _first(name): number
        for number, pack in enumerate(packs[1:], 1)
        for name in pack.names
    }
    core = _core(atlas)
    mark = _mark(atlas.edition)
    shown = [text for name, text in texts.items() if name.endswith(".html")]
    return {
        "places": places,
        "next": [sorted(_next(pack, places, atlas, core)) for pack in packs],
        "apart": sorted({places[name] for name in (*tables, CALL) if name in places}),
        "mark": mark if all(mark in text for text in shown) else "",
        "date": atlas.edition.date,
    }


def _next(pack: _Pack, places: Mapping[str, int], atlas: Atlas, core: set[str]) -> set[int]:
    """Numbers of the packs that the pages of `pack` lead to."""
    if pack.stem == CALLS:
        return {places[name] for name in _tables(atlas) if name in places}
    found = set()
    for name in pack.names:
        page = atlas.pages.get(name.removesuffix(".html"))
        for move in page.moves if page else ():
            if file_of(move.to) not in core:
                found.add(places[_first(file_of(move.to))])
    return found


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode()


def _script(path: Path) -> bytes:
    """The script without comments and indents."""
    return f"{script_of(path.read_text(encoding='utf-8')).text}\n".encode()
