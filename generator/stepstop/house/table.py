"""The house tabulated: for each case and each state of acts, what a person would meet.

Simulated once and kept by the hash of this room's sources and of what was asked: belief, effort and
rehearsal only look up.
"""

from __future__ import annotations

import hashlib
import os
import pickle
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from stepstop.house.acts import NONE, Acts
from stepstop.house.cases import Case, cases, doubles
from stepstop.house.doing import Scene, scene, works
from stepstop.house.grid import plans
from stepstop.house.history import HISTORY, told
from stepstop.house.house import House
from stepstop.house.senses import SENSES
from stepstop.house.water import stands

Floats = NDArray[np.float64]
Progress = Callable[[int, int], object]
"""Told how many parts of how many are done."""
CYCLED_BY = {
    "light-code": ("steady", "heartbeat"),
    "light-class": ("ignition", "flame-lost", "pressure"),
}
"""Finding -> values with which the light lets a power cycle be offered, either being enough."""
BLOCK = 400
"""Cases that are simulated together."""
CHAIR_ACTS = frozenset({"thermostat", "fan", "renewed", "stayed", "batteries", "grilles"})
"""What may be changed without a walk to the unit."""


@dataclass(frozen=True, eq=False)
class Table:
    """What an accurate person would answer, for every case, state of acts and finding."""

    cases: tuple[Case, ...]
    acts: tuple[Acts, ...]
    scene_of: NDArray[np.int32]
    """(acts, cases): number of the scene."""
    works_in: NDArray[np.bool_]
    """(scenes,): the house does what is wanted."""
    senses: Mapping[str, tuple[tuple[dict[str, float], ...], NDArray[np.int16]]]
    """Finding -> (distinct answers, (scenes,): number of the answer)."""
    history: Mapping[str, Mapping[str, Floats]]

    @cached_property
    def number(self) -> dict[Acts, int]:
        """Row of each state of acts."""
        return {acts: row for row, acts in enumerate(self.acts)}

    def answers(self, acts: Acts, finding: str) -> dict[str, Floats]:
        """Value -> P(value | case), shape (cases,), of a person who errs in nothing."""
        if finding in self.history:
            return dict(self.history[finding])
        return self._kept(self.number[acts], finding)

    @lru_cache(maxsize=4096)  # noqa: B019 (one table lives as long as its process)
    def _kept(self, row: int, finding: str) -> dict[str, Floats]:
        told_apart, numbers = self.senses[finding]
        which = numbers[self.scene_of[row]]
        values = sorted({value for answer in told_apart for value in answer})
        shares = np.array([[answer.get(value, 0.0) for value in values] for answer in told_apart])
        columns = shares[which]
        kept = {value: columns[:, i] for i, value in enumerate(values)}
        return {value: column for value, column in kept.items() if column.any()}

    def works(self, acts: Acts) -> NDArray[np.bool_]:
        """(cases,): the house does what is wanted after these acts."""
        return np.asarray(self.works_in[self.scene_of[self.number[acts]]], dtype=bool)

    def mendable(self, may_do: str) -> NDArray[np.bool_]:
        """(cases,): some acts that this caller may do make it work.

        Only in houses of a kind that the trees go on for. Power that is cut and given back clears a
        lock-out, which counts only where the light lets it be offered: see `CYCLED_BY`. Where water
        stands at the unit nothing that mends is offered.
        """
        mended = np.zeros(len(self.cases), dtype=bool)
        patient = self._cycled() | ~np.array([case.locked for case in self.cases])
        for acts in self.acts:
            if may_do == "walk" or _from_chair(acts):
                works = self.works(acts)
                mended |= works & patient if acts.switch or acts.breaker else works
        offered = [case.has_tree and not stands(case.found) for case in self.cases]
        return np.asarray(mended & offered, dtype=bool)

    def _cycled(self) -> NDArray[np.bool_]:
        """(cases,): the light as found lets a power cycle be offered."""
        met = np.zeros(len(self.cases), dtype=bool)
        for finding, values in CYCLED_BY.items():
            answers = self.answers(NONE, finding)
            met |= sum((answers[v] for v in values if v in answers), np.zeros(len(met))) > 0.0
        return met


def _from_chair(acts: Acts) -> bool:
    blank = Acts()
    changed = {n for n in Acts.__dataclass_fields__ if getattr(acts, n) != getattr(blank, n)}
    return changed <= CHAIR_ACTS


def tabulate(
    frequencies: Mapping[str, str],
    acts: Iterable[Acts],
    *,
    off_grid: bool = False,
    pairs: bool = False,
    cache: Path | None = None,
    workers: int = 1,
    progress: Progress = lambda done, of: None,
) -> Table:
    """The table for these causes (id -> frequency class) and states of acts; kept in `cache`.

    With `pairs` two faults at once are in each house, drawn at random.

    It is the same however many processes work on it.
    """
    states = tuple(sorted(acts))
    frequencies = {str(cause): str(often) for cause, often in frequencies.items()}
    key = _key(frequencies, states, off_grid, pairs)
    kept = cache / f"house-{key}.pickle" if cache else None
    if kept is not None and (found := _read(kept)):
        return found
    houses = plans(off_grid=off_grid)
    made = doubles(houses, frequencies) if pairs else cases(houses, frequencies)
    table = _made(tuple(made), states, workers=workers, progress=progress)
    if kept is not None:
        _write(kept, table)
    return table


@dataclass(frozen=True, slots=True)
class _Part:
    """Some of the cases, simulated; numbers of scenes are its own."""

    rows: NDArray[np.int32]
    """(acts, cases)."""
    works_in: list[bool]
    senses: dict[str, list[dict[str, float]]]
    """Finding -> by scene."""


def _made(
    made: tuple[Case, ...], states: tuple[Acts, ...], *, workers: int, progress: Progress
) -> Table:
    blocks = [made[i : i + BLOCK] for i in range(0, len(made), BLOCK)]
    parts = []
    for part in _worked(blocks, states, workers):
        parts.append(part)
        progress(len(parts), len(blocks))
    return _joined(made, states, parts)


def _worked(
    blocks: Sequence[tuple[Case, ...]], states: tuple[Acts, ...], workers: int
) -> Iterator[_Part]:
    """The parts in order, worked on by so many processes."""
    if workers < 2:
        yield from (_part(block, states) for block in blocks)
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(_part, blocks, [states] * len(blocks))


def _part(block: Sequence[Case], states: Sequence[Acts]) -> _Part:
    places, rows = _scenes(block, states)
    met = [scene(*place) for place in places]
    senses = {finding: [_shares(sense(each)) for each in met] for finding, sense in SENSES.items()}
    return _Part(rows, [works(*place) for place in places], senses)


def _scenes(
    block: Sequence[Case], states: Sequence[Acts]
) -> tuple[list[tuple[House, Acts]], NDArray[np.int32]]:
    """Distinct scenes as (house, acts), and the number of each case's scene in each state."""
    rows = np.zeros((len(states), len(block)), dtype=np.int32)
    places: list[tuple[House, Acts]] = []
    numbers: dict[tuple[House, House, str, bool, bool], int] = {}
    for column, case in enumerate(block):
        for row, acts in enumerate(states):
            met: Scene = scene(case.found, acts)
            key = (met.found, met.now, acts.thermostat, acts.stayed, acts.thawed)
            if key not in numbers:
                numbers[key] = len(places)
                places.append((case.found, acts))
            rows[row, column] = numbers[key]
    return places, rows


def _joined(made: tuple[Case, ...], states: tuple[Acts, ...], parts: Sequence[_Part]) -> Table:
    starts = np.cumsum([0, *(len(part.works_in) for part in parts)])
    rows = [part.rows + start for part, start in zip(parts, starts, strict=False)]
    senses = {
        finding: _sensed([answer for part in parts for answer in part.senses[finding]])
        for finding in sorted(SENSES)
    }
    works_in = np.array([each for part in parts for each in part.works_in], dtype=bool)
    whole = np.concatenate(rows, axis=1).astype(np.int32)
    return Table(made, states, whole, works_in, senses, _histories(made))


def _shares(sensed: str | Mapping[str, float]) -> dict[str, float]:
    return {sensed: 1.0} if isinstance(sensed, str) else dict(sensed)


def _sensed(
    answers: Sequence[dict[str, float]],
) -> tuple[tuple[dict[str, float], ...], NDArray[np.int16]]:
    numbers: dict[tuple[tuple[str, float], ...], int] = {}
    which = [numbers.setdefault(tuple(sorted(a.items())), len(numbers)) for a in answers]
    return tuple(dict(each) for each in numbers), np.array(which, dtype=np.int16)


def _histories(made: Sequence[Case]) -> dict[str, dict[str, Floats]]:
    whole: dict[str, dict[str, Floats]] = {}
    for finding in HISTORY:
        each = [told(finding, case.cause, case.found) or {} for case in made]
        values = sorted({value for chances in each for value in chances})
        whole[finding] = {v: np.array([chances.get(v, 0.0) for chances in each]) for v in values}
    return whole


def _key(
    frequencies: Mapping[str, str], states: Sequence[Acts], off_grid: bool, pairs: bool
) -> str:
    what = (sorted(frequencies.items()), states, off_grid, pairs)
    digest = hashlib.sha256(repr(what).encode())
    for path in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _read(path: Path) -> Table | None:
    """What was kept, or None where nothing usable is there."""
    try:
        found = pickle.loads(path.read_bytes())
    except Exception:  # a broken file may raise anything, and costs no more than the time
        return None
    return found if isinstance(found, Table) else None


def _write(path: Path, table: Table) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    partial = path.with_suffix(f".{os.getpid()}")
    partial.write_bytes(pickle.dumps(table))
    partial.replace(path)
