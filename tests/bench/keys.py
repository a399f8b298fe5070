"""Key presses of an agent's call, from the first words to the notes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from itertools import accumulate
from statistics import median

import numpy as np

from browser.sites import REAL, course_of
from stepstop.rehearsal.prepare import prepare
from stepstop.rehearsal.sample import Sampler

GREETING = 6
"""Keys before the first page: no danger, three fields left, at the house, complaint taken.

What is typed into the fields and of the caller's words comes on top: it is no choice.
"""
CALLS = 400
"""Calls drawn for each complaint."""


def measure(seed: int = 1) -> Mapping[str, tuple[float, int]]:
    """Complaint -> median key presses and calls, of rehearsed calls that don't end in danger.

    A page takes one key, whatever it asks.
    """
    ready, problems = prepare(course_of(REAL), REAL)
    assert ready is not None, problems
    bench = ready.bench
    sampler = Sampler(bench, bench.callers.errors_of("both"), {}, seed)
    found: dict[str, list[int]] = defaultdict(list)
    for complaint in bench.complaints:
        weights = bench.weights(complaint)
        cases = np.flatnonzero(weights).tolist()
        steps = list(accumulate(weights[cases].tolist()))
        while len(found[complaint]) < CALLS:
            call, end = sampler.call(cases, steps)
            if (
                call.complaint == complaint
                and bench.end_of(bench.journey.nodes[end].page).kind != "danger"
            ):
                found[complaint].append(GREETING + call.pages - 1)
    return {complaint: (median(keys), len(keys)) for complaint, keys in found.items()}
