"""Trying mutants and edits on the bases: what is refused, and what would have hurt somebody."""

from __future__ import annotations

import random
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from mutants import built, oracle
from mutants.bases import CUTS, Files, cut, judged
from mutants.edits import EDITS
from mutants.operators import HARM, POLICY, Mutant, Operator

KINDS: Mapping[str, Mapping[str, Operator]] = {"harm": HARM, "policy": POLICY, "edit": EDITS}


@dataclass(frozen=True)
class Tried:
    """What became of one mutant or edit."""

    kind: str
    operator: str
    base: str
    about: str
    is_refused: bool
    is_built: bool
    """Whether its pages could be made at all, were it not refused."""
    harms: tuple[oracle.Harm, ...]
    """Harms that the base has not."""
    said: tuple[str, ...]
    """The first problems."""

    @property
    def is_missed(self) -> bool:
        """Whether something wrong would have been published."""
        wrong = self.kind == "policy" or bool(self.harms)
        return self.kind != "edit" and wrong and not self.is_refused

    @property
    def is_over_refused(self) -> bool:
        """Whether something was refused that the oracle sees no harm in."""
        if self.kind == "edit":
            return self.is_refused
        return self.kind == "harm" and self.is_built and self.is_refused and not self.harms


@dataclass(frozen=True)
class Base:
    """A library that is proven, and what the oracle says of its pages."""

    files: Files
    harms: frozenset[oracle.Harm]


@cache
def base(name: str) -> Base:
    """A base by its name, cut and built once a process."""
    with tempfile.TemporaryDirectory() as folder:
        trees = Path(folder) / "trees"
        files = cut(CUTS[name], trees)
        found = judged(files, trees)
        assert found.course is not None
        assert not found.problems
        pages = built.pages(found.course, trees)
        return Base(files, oracle.harms(pages, built.starts(found.course)))


def drawn(name: str, kind: str, operator: str, most: int, seed: int) -> list[Mutant]:
    """Some of an operator's mutants of a base, always the same."""
    every = list(KINDS[kind][operator](base(name).files))
    draw = random.Random(f"{name} {kind} {operator} {seed}")
    return draw.sample(every, min(most, len(every)))


def tried(name: str, kind: str, operator: str, mutant: Mutant) -> Tried:
    """What is said of one mutant, and what its pages would do."""
    start = base(name)
    folder = Path(tempfile.mkdtemp())
    try:
        found = judged(mutant.of(start.files), folder)
        harms: frozenset[oracle.Harm] = frozenset()
        is_built = found.course is not None and kind != "edit"
        if found.course is not None and kind != "edit":
            try:
                pages = built.pages(found.course, folder)
            except Exception:
                # Pages of a course that goes round, for instance, can't be made.
                is_built = False
            else:
                harms = oracle.harms(pages, built.starts(found.course)) - start.harms
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return Tried(
        kind,
        operator,
        name,
        mutant.about,
        bool(found.problems),
        is_built,
        tuple(sorted(harms)[:5]),
        tuple(f"{p.flaw}: {p.message}" for p in found.problems[:3]),
    )


def lot(task: tuple[str, str, str, int, int]) -> list[Tried]:
    """All that one process tries at a time."""
    name, kind, operator, most, seed = task
    return [tried(name, kind, operator, m) for m in drawn(name, kind, operator, most, seed)]


@dataclass
class Row:
    """What became of all mutants of one operator."""

    kind: str
    operator: str
    counts: Counter[str] = field(default_factory=Counter)


def rows(every: list[Tried]) -> Iterator[Row]:
    """A row for each operator, in the order of `KINDS`."""
    for kind, operators in KINDS.items():
        for operator in operators:
            row = Row(kind, operator)
            for each in every:
                if (each.kind, each.operator) != (kind, operator):
                    continue
                wrong = kind == "policy" or bool(each.harms)
                row.counts["made"] += 1
                row.counts["wrong"] += wrong
                row.counts["caught"] += wrong and each.is_refused
                row.counts["not built"] += kind != "edit" and not each.is_built
                row.counts["over-refused"] += each.is_over_refused
            yield row
