"""Builds that are killed at any moment: what stands in their place is the old site or the new."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from stepstop.publish import MARKER, publish

PAGES = 40
LONGEST = 0.05
"""Seconds after which a build that was begun is killed at the latest; it takes some thousandths."""
KINDS = (b"old", b"new")

LOOP = f"""
import sys
from pathlib import Path
from stepstop.publish import publish
kinds = [{{f"{{n}}/index.html": kind * 999 for n in range({PAGES})}} for kind in {KINDS!r}]
for turn in range(10**6):
    publish(kinds[turn % 2].items(), Path(sys.argv[1]))
    if turn == 1:
        print("ready", flush=True)
"""
"""Publishes one site and the other, in turn, until it is killed."""


@dataclass(frozen=True, slots=True)
class Found:
    """What stood in the site's place after each kill."""

    kills: int
    old: int
    new: int
    """Whole sites of either kind."""
    broken: int
    """A mix, a missing file or place, or a hidden folder that the next build left lying."""


def measure(work: Path, kills: int, *, seed: int = 20261125) -> Found:
    """Kill so many builds of a site in the folder `work`, each after a time that is drawn."""
    site, draw = work / "site", random.Random(seed)
    counts = dict.fromkeys((*KINDS, b""), 0)
    for _ in range(kills):
        publish(files(KINDS[0]).items(), site)
        _kill_one(site, draw.uniform(0.0, LONGEST))
        stood = state(site)
        publish(files(KINDS[1]).items(), site)
        is_clean = state(site) == KINDS[1] and [each.name for each in work.iterdir()] == ["site"]
        counts[stood if is_clean else b""] += 1
    return Found(kills, *counts.values())


def state(site: Path) -> bytes:
    """Which of `KINDS` stands whole in a folder; empty for anything else."""
    paths = [path for path in site.rglob("*") if path.is_file() and path.name != MARKER]
    held = {path.relative_to(site).as_posix(): path.read_bytes() for path in paths}
    is_marked = (site / MARKER).is_file()
    return next((kind for kind in KINDS if is_marked and held == files(kind)), b"")


def files(kind: bytes) -> dict[str, bytes]:
    return {f"{number}/index.html": kind * 999 for number in range(PAGES)}


def builds(site: Path) -> subprocess.Popen[bytes]:
    """A process that publishes one site and the other, and has begun; whoever asks kills it."""
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    child = subprocess.Popen(
        [sys.executable, "-c", LOOP, str(site)], stdout=subprocess.PIPE, env=env
    )
    assert child.stdout is not None
    assert child.stdout.readline() == b"ready\n"
    return child


def _kill_one(site: Path, after: float) -> None:
    child = builds(site)
    try:
        time.sleep(after)
    finally:
        child.send_signal(signal.SIGKILL)
        child.communicate()
