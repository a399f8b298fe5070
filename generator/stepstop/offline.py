"""What lets the pages work without a network: a worker, the pages in few files, a manifest.

Pages share most of their lines. So a phone gets them as pieces, each piece once, and the worker
puts a page together when it is asked for: some 300 kB on the wire hold thousands of pages.
"""

from __future__ import annotations

import hashlib
import json
from array import array
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain, count, islice
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stepstop.edition import Edition, look_files
from stepstop.graph import reachable
from stepstop.language.phrases import in_manifest, in_script
from stepstop.language.tongue import ENGLISH, Tongue
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
THEIRS = "theirs"
"""Folder of files with what accounts need in the company's language."""
_DIGITS = 12
"""Digits of a hash in the name of a file."""


class Offline:
    """The pages of a site cut into pieces, once for all whose pages have the same slots."""

    def __init__(self, not_kept: bytes, atlas: Atlas, overrides: tuple[Path, ...]) -> None:
        """`not_kept` is shown for a page that can't be had; `HOME` in it is the site's root.

        Slots of pages stay slots.
        """
        self._looks = look_files(overrides)
        self._kept = _Kept(not_kept, atlas) if atlas.edition.works_offline else None

    def add(self, name: str, page: bytes) -> None:
        """Take in a file of the site, before `files` is asked for."""
        if self._kept is not None:
            self._kept.add(name, page)

    def add_beside(self, name: str, content: bytes) -> None:
        """Take in what an agent's page loads in another language, by its name from this root."""
        if self._kept is not None:
            self._kept.beside[name] = content.decode()

    def add_theirs(self, name: str, content: bytes) -> None:
        """Take in what accounts are made of in the company's language, where it is another one."""
        if self._kept is not None:
            self._kept.theirs[name] = content.decode()

    @cached_property
    def _packs(self) -> list[tuple[_Pack, Form]]:
        packs = self._kept.packs() if self._kept else []
        return [(pack, form_of(pack.content)) for pack in packs]

    @cached_property
    def _plan(self) -> dict[str, Any]:
        return self._kept.plan([pack for pack, _ in self._packs]) if self._kept else {}

    def files(self, edition: Edition, fill: Filler) -> dict[str, bytes]:
        """File below the site's root -> content, beside the pages of an edition.

        One that doesn't work offline has just a worker that removes what an earlier one kept.
        """
        looks = self._looks
        if not edition.works_offline:
            return {WORKER: _script(looks["remover.js"], edition.tongue)}
        packs = [replace(pack, content=form.filled(fill)) for pack, form in self._packs]
        hashes = "\n".join(sorted(pack.hash for pack in packs))
        plan = {
            "edition": hashlib.sha256(hashes.encode()).hexdigest()[:_DIGITS],
            "files": [pack.label for pack in packs],
            **self._plan,
            "mark": _mark(edition) if self._plan["mark"] else "",
        }
        return {
            MANIFEST: _manifest(looks[MANIFEST].read_text("utf-8"), edition),
            **{name: looks[name].read_bytes() for name in ICONS},
            **{pack.file: pack.content for pack in packs},
            WORKER: b"const PLAN = "
            + _json(plan)
            + b";\n"
            + _script(looks["worker.js"], edition.tongue),
        }


def _mark(edition: Edition) -> str:
    """What every page of the edition says, and none of another.

    Without a date it is the hash alone: pages for technicians say in another language that there
    is none.
    """
    return f"{edition.date}, {edition.hash}" if edition.date else edition.hash


def _manifest(content: str, edition: Edition) -> bytes:
    """The manifest in a language, by a company's name and in its color where it is one's."""
    content = in_manifest(content, edition.tongue.worded)
    if edition.brand is None and edition.tongue == ENGLISH:
        return content.encode()
    own = json.loads(content)
    if edition.tongue != ENGLISH:
        own["lang"], own["dir"] = edition.tongue.code, edition.tongue.direction
    if edition.brand is not None:
        company = edition.brand.company
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


class _Kept:
    """The files that a phone keeps, as the lines that they are made of: most are in many files."""

    def __init__(self, not_kept: bytes, atlas: Atlas) -> None:
        self.atlas = atlas
        self.core = _core(atlas)
        self.tables = frozenset(_tables(atlas))
        self.mark = _mark(atlas.edition)
        self.is_marked = True
        """Whether every page says which edition it is of."""
        self.whole: dict[str, str] = {}
        """Tables of likely causes and what only an agent's page needs: each stands alone."""
        self.beside: dict[str, str] = {}
        """What an agent's page may load in the other languages, by names from this one's folder."""
        self.theirs: dict[str, str] = {}
        """Data of accounts in the company's language, by names from this one's folder."""
        self.first, self.others = _Lines(), _Lines()
        self.not_kept = not_kept
        self.left_out = {pocket_file(tree) for tree in atlas.course.library.trees} | {EMBED}

    def add(self, name: str, page: bytes) -> None:
        """Take in a file of the site."""
        if not name.endswith(KEPT) or name in self.left_out:
            return
        marked = not name.endswith(".html") or self.mark.encode() in page
        self.is_marked = self.is_marked and marked
        if name in self.core:
            self.first.add(name, page)
        elif name in self.tables or name in AGENTS:
            self.whole[name] = page.decode()
        else:
            self.others.add(name, page)

    def packs(self) -> list[_Pack]:
        """The core, which stands alone; what is common; one for each folder that asks something.

        Last come the tables of likely causes, each alone: only the complaint of a walk needs its
        own, and what only an agent's page needs, with what it says in each other language; and what
        accounts need in the company's.
        """
        cut = self.others.cut(sorted(self.others.names(), key=_alike))
        pages = self.atlas.course.pages.values()
        asking = {page.id.split("/")[0] for page in pages if page.step}
        inside: dict[str, dict[str, Sequence[int]]] = {"": {}}
        for name, pieces in cut.texts.items():
            home = _first(name) if _first(name) in asking else ""
            inside.setdefault(home, {})[name] = pieces
        before = list(_shared(cut, inside))
        core = sorted(self.first.names())
        self.first.add(NOT_KEPT, self.not_kept)
        first = self.first.cut([*core, NOT_KEPT])
        danger = sorted({file_of(page_id) for page_id in _dangers(self.atlas)} & {*core})
        agents = {name: [self.whole[name]] for name in AGENTS if name in self.whole}
        return [
            _pack("core", first.texts, first.said, (), danger=danger),
            _pack("common", inside.pop(""), cut.said, (), pieces=before),
            *(_pack(f"trees/{name}", inside[name], cut.said, before) for name in sorted(inside)),
            *(
                _pack(f"tables/{_first(name)}", {name: [self.whole[name]]}, str, before)
                for name in sorted(self.tables & self.whole.keys())
            ),
            _pack(CALLS, agents, str, before),
            *(
                _pack(f"{CALLS}/{number}", {name: [text]}, str, before)
                for number, (name, text) in enumerate(self.beside.items(), 1)
            ),
            *(
                _pack(f"{THEIRS}/{_of_account(name)}", {name: [text]}, str, before)
                for name, text in self.theirs.items()
            ),
        ]

    def plan(self, packs: list[_Pack]) -> dict[str, Any]:
        """What the worker must know of the packs, whatever stands in them; it tells its keys."""
        alone = self.tables | self.beside.keys() | self.theirs.keys()
        places = {
            name if name in alone else _first(name): number
            for number, pack in enumerate(packs[1:], 1)
            for name in pack.names
        }
        return {
            "places": places,
            "next": [sorted(self._next(pack, places)) for pack in packs],
            "apart": sorted({places[n] for n in (*alone, CALL) if n in places}),
            "mark": self.mark if self.is_marked else "",
            "date": self.atlas.edition.date,
        }

    def _next(self, pack: _Pack, places: Mapping[str, int]) -> set[int]:
        """Numbers of the packs that the pages of `pack` lead to."""
        if pack.stem == CALLS:
            return {places[name] for name in (*self.tables, *self.beside) if name in places}
        found = set()
        for name in pack.names:
            page = self.atlas.pages.get(name.removesuffix(".html"))
            for move in page.moves if page else ():
                if file_of(move.to) not in self.core:
                    found.add(places[_first(file_of(move.to))])
        return found


def _shared(cut: _Cut, inside: Mapping[str, Mapping[str, Sequence[int]]]) -> Iterator[int]:
    """The pieces that several folders use, or pages of none, in the order of their coming."""
    used = {home: set(chain.from_iterable(pages.values())) for home, pages in inside.items()}
    users = Counter(chain.from_iterable(used.values()))
    for piece in dict.fromkeys(chain.from_iterable(cut.texts.values())):
        if users[piece] > 1 or piece in used[""]:
            yield piece


class _Lines:
    """Texts as numbers of their lines, and as pieces: runs of lines that always stand together."""

    def __init__(self) -> None:
        self._number = defaultdict(count(1).__next__, {_END: 0})
        """Line -> its number, given as it comes."""
        self._lines = array("i", [0])
        """The lines of all texts, by their numbers, with the end of a text around each."""
        self._places: dict[str, tuple[int, int]] = {}
        """Name of a text -> where it begins and ends among these."""

    def names(self) -> Iterable[str]:
        """The names of the texts."""
        return self._places.keys()

    def add(self, name: str, text: bytes) -> None:
        """Take in a text."""
        begin = len(self._lines)
        self._lines.extend(map(self._number.__getitem__, text.split(b"\n")))
        self._places[name] = begin, len(self._lines)
        self._lines.append(0)

    def cut(self, names: Iterable[str]) -> _Cut:
        """Each text in the fewest pieces that are whole in every text which has a line of them."""
        lines = np.frombuffer(self._lines, np.intc)
        next_line = self._next(lines)
        found = {}
        for name in names:
            begin, end = self._places[name]
            # A piece begins where the line before leads to no next one.
            begins = next_line[lines[begin - 1 : end - 1]] == 0
            found[name] = array("i", lines[begin:end][begins].tobytes())
        return _Cut(found, list(self._number), next_line)

    def _next(self, lines: NDArray[np.intc]) -> NDArray[np.intc]:
        """By line: the one that comes next in all texts, and only after this one; else 0."""
        after, before = (np.zeros(len(self._number), np.intc) for _ in range(2))
        is_lone = np.ones(len(self._number), bool)
        is_first = is_lone.copy()
        blocks = range(0, len(lines) - 1, _BLOCK)
        pairs = [(lines[n : n + _BLOCK], lines[n + 1 : n + 1 + _BLOCK]) for n in blocks]
        pairs = [(ones[: len(others)], others) for ones, others in pairs]
        for ones, others in pairs:
            after[ones], before[others] = others, ones
        # Each has one of its neighbors now: where there are others, it has several.
        for ones, others in pairs:
            is_lone[ones[after[ones] != others]] = False
            is_first[others[before[others] != ones]] = False
        after[~(is_lone & is_first[after])] = 0
        after[0] = 0
        return after


@dataclass(frozen=True, slots=True)
class _Cut:
    """Texts cut into pieces; the first line's number tells a piece."""

    texts: Mapping[str, Sequence[int]]
    """Name -> its pieces."""
    lines: Sequence[bytes]
    """By number."""
    next_line: NDArray[np.intc]
    """By line: the next one of its piece, or 0."""

    def said(self, piece: int) -> str:
        """What stands in a piece."""
        found, number = [self.lines[piece]], piece
        while number := int(self.next_line[number]):
            found.append(self.lines[number])
        return b"\n".join(found).decode()


_END = b"\n"
"""No line: stands for the end of a text."""
_BLOCK = 1_000_000
"""Lines that are looked at together: more would only take more memory."""


def _pack(
    stem: str,
    pages: Mapping[str, Iterable[Any]],
    said: Callable[[Any], str],
    before: Collection[Any],
    *,
    pieces: Iterable[Any] = (),
    **more: Any,
) -> _Pack:
    """Pages by the numbers of their pieces; those of another pack, `before`, are counted first.

    `said` tells what stands in a piece.
    """
    known = {piece: n for n, piece in enumerate(chain(before, pieces))}
    number = defaultdict(count(len(known)).__next__, known)
    found = {name: list(map(number.__getitem__, each)) for name, each in pages.items()}
    own = [said(piece) for piece in islice(number, len(before), None)]
    return _Pack(stem, tuple(found), _json({"pages": found, "pieces": own, **more}))


def _of_account(name: str) -> str:
    """A short name for data of accounts: `trail`, or that of a tree."""
    return _first(name.removeprefix("../")).removesuffix(".js")


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


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode()


def _script(path: Path, tongue: Tongue) -> bytes:
    """The script in a language's words, without comments and indents."""
    text = in_script(path.read_text(encoding="utf-8"), tongue.worded)
    return f"{script_of(text).text}\n".encode()
