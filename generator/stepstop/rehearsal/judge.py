"""Marks for an end: what was right, what was missed, what could have hurt.

A mark is yes or no for each (case, caller); the figures are shares of callers with a mark.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from stepstop.model import KINDS, LEAVE_STATES
from stepstop.rehearsal.bench import Bench, End
from stepstop.rehearsal.house_table import Bools, Ints

MARKS: Mapping[str, str] = {
    "kind": "outcome kind right",
    "urgency": "urgency right",
    "state": "state left right",
    "right": "outcome kind, urgency and state left right",
    "kind-and-urgency": "outcome kind and urgency right",
    "cautious": "outcome kind right or more cautious",
    "cautious-in-time": "the same, and not too late",
    "false-danger": "danger end with neither hazard nor sign",
    "true-danger": "a danger sign that this caller perceives",
    "missed-danger": "such a sign, and a less cautious end",
    "unsafe-shown": "exposed or left to a hazard although a sign was there to perceive",
    "unsafe-hidden": "exposed or left to a hazard that gave this caller no sign",
    "fixable": "able caller, cause mendable by them",
    "fixed": "of these: the house works at the end",
    "needless": "call-out although a homeowner's mend was there",
    "shows": "the end shows possible causes",
    "shown": "of these: the true cause is among them",
    "danger-end": "danger end",
    "no-end": "walk without an outcome",
}
"""Mark -> what it says."""


@dataclass(frozen=True, slots=True)
class Ended:
    """Where and how some callers ended."""

    end: End
    shown: Collection[str]
    """Causes that the page shows."""
    complaint: str
    cases: Ints
    """(n,): their cases."""
    works: Bools
    """(n, 1): the house does what is wanted now."""
    exposed: bool
    """Whether a check was done that exposes people while this cause is there."""


def marks(bench: Bench, ended: Ended) -> dict[str, Bools]:
    """Mark -> (cases, callers)."""
    rows = bench.row_of[ended.complaint][ended.cases]
    right = _right(bench, ended, rows)
    marked = {
        **right,
        **_caution(bench, ended, rows),
        **_hazard(bench, ended, rows, right),
        **_mending(bench, ended, rows),
        **_causes(bench, ended, rows),
    }
    return {name: np.broadcast_to(mark, rows.shape) for name, mark in marked.items()}


def _right(bench: Bench, ended: Ended, rows: Ints) -> dict[str, Bools]:
    end, works = ended.end, ended.works
    none = np.zeros(rows.shape, dtype=bool)
    kind = none
    if end.kind:
        allowed = bench.right_kinds[:, rows, KINDS.index(end.kind)]
        kind = np.where(works, allowed[1], allowed[0])
    soonest, latest = bench.ranks[rows, 0], bench.ranks[rows, 1]
    urgency = (end.rank >= soonest) & ((end.rank <= latest) | works)
    state = bench.right_states[rows, LEAVE_STATES.index(end.left)] if end.left else none
    timely = kind & urgency
    return {
        "kind": kind,
        "urgency": urgency,
        "state": state,
        "kind-and-urgency": timely,
        "right": timely & state,
    }


def _caution(bench: Bench, ended: Ended, rows: Ints) -> dict[str, Bools]:
    """`danger` is more cautious than `call`, `call` than `watch`, `watch` than `solved`."""
    least = np.where(
        ended.works,
        bench.right_kinds[1].argmax(axis=1)[rows],
        bench.right_kinds[0].argmax(axis=1)[rows],
    )
    here = KINDS.index(ended.end.kind) if ended.end.kind else -1
    cautious = here >= least
    in_time = (ended.end.rank <= bench.ranks[rows, 1]) | ended.works
    return {"cautious": cautious, "cautious-in-time": cautious & in_time}


def _hazard(bench: Bench, ended: Ended, rows: Ints, right: Mapping[str, Bools]) -> dict[str, Bools]:
    end, cases = ended.end, ended.cases
    level, hazard = bench.danger[cases], np.broadcast_to(bench.hazardous[cases], rows.shape)
    here = KINDS.index(end.kind) if end.kind else -1
    is_danger = np.full(rows.shape, end.kind == "danger")
    on = (end.kind == "solved") & ~right["kind"] | (end.left == "running") & ~right["state"]
    unsafe = hazard & (ended.exposed | on)
    signed = bench.signed[cases]
    return {
        "danger-end": is_danger,
        "false-danger": is_danger & ~hazard & (level == 0),
        "true-danger": level > 0,
        "missed-danger": (level > 0) & (here < level),
        "unsafe-shown": unsafe & signed,
        "unsafe-hidden": unsafe & ~signed,
    }


def _mending(bench: Bench, ended: Ended, rows: Ints) -> dict[str, Bools]:
    called = ended.end.kind in ("call", "danger")
    fixable = bench.fixable[ended.cases] & bench.mends[rows]
    allowed = bench.right_kinds[1][rows][..., KINDS.index("call")]
    calm = bench.mends[rows] & ~allowed & ~bench.hazardous[ended.cases]
    needless = np.where(ended.works, calm, fixable) & called
    return {"fixable": fixable, "fixed": fixable & ended.works, "needless": needless}


def _causes(bench: Bench, ended: Ended, rows: Ints) -> dict[str, Bools]:
    among = np.array([cause in ended.shown for cause in bench.causes])
    there = among[bench.cause_of[ended.cases]][:, None]
    return {
        "shows": np.full(rows.shape, bool(ended.shown)),
        "shown": there,
        "no-end": np.full(rows.shape, not ended.end.kind),
    }
