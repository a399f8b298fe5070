"""Lighthouse (npm) on pages of the built site, as a slow phone, from a server on this machine."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from bench.chromium import QUIET, chromium
from bench.server import served

VERSION = "12.8.2"
SEARCH = "seo"
"""Judged only on pages that search engines may list; most of ours ask them to keep away."""
CATEGORIES = ("performance", "accessibility", "best-practices", SEARCH)


class NoLighthouse(Exception):
    """It can't be run here; says what is missing."""


@dataclass(frozen=True)
class Scores:
    """What Lighthouse says of one page."""

    points: Mapping[str, int]
    """Category -> 0 to 100."""
    failed: tuple[str, ...]
    """Audits that cost points."""


def installed() -> Path:
    """The program, installed by npm into the user's cache folder where it isn't there yet."""
    npm = shutil.which("npm")
    if npm is None or shutil.which("node") is None:
        raise NoLighthouse("node and npm are missing (Debian: apt-get install nodejs npm)")
    cache = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    folder = cache / "stepstop" / f"lighthouse-{VERSION}"
    program = folder / "node_modules" / "lighthouse" / "cli" / "index.js"
    if not program.exists():
        folder.mkdir(parents=True, exist_ok=True)
        wanted = ["--no-audit", "--no-fund", "--ignore-scripts", f"lighthouse@{VERSION}"]
        command = [npm, "install", "--prefix", str(folder), *wanted]
        run = subprocess.run(command, capture_output=True, text=True, check=False)
        if run.returncode or not program.exists():
            raise NoLighthouse(f"npm could not install it: {run.stderr.strip()[-400:]}")
    return program


def scores(site: Path, pages: Mapping[str, str]) -> dict[str, Scores]:
    """Name of a page -> its scores; `pages` has the file of each. Raises `NoLighthouse`."""
    program = installed()
    with served(site) as address:
        return {
            name: _scores(program, address + file, b"noindex" not in (site / file).read_bytes())
            for name, file in pages.items()
        }


def _scores(program: Path, address: str, is_listed: bool) -> Scores:
    judged = [name for name in CATEGORIES if is_listed or name != SEARCH]
    command = ["node", str(program), address, "--output=json", "--quiet", "--form-factor=mobile"]
    command += [f"--only-categories={','.join(judged)}"]
    command += [f"--chrome-flags=--headless {' '.join(QUIET)}"]
    run = subprocess.run(
        command,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "CHROME_PATH": chromium()},
    )
    if run.returncode:
        raise NoLighthouse(f"it ended with {run.returncode}: {run.stderr.strip()[-400:]}")
    report = json.loads(run.stdout)
    found = {name: report["categories"][name] for name in judged}
    weighed = {ref["id"] for each in found.values() for ref in each["auditRefs"] if ref["weight"]}
    verdicts = {name: report["audits"][name]["score"] for name in weighed}
    failed = sorted(
        name for name, verdict in verdicts.items() if verdict is not None and verdict < 1
    )
    points = {name: round(100 * (each["score"] or 0)) for name, each in found.items()}
    return Scores(points, tuple(failed))
