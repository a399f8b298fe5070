"""Where things are in the repository, for tests of its facts."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "generator" / "stepstop"


def kept_files() -> list[Path]:
    """The files that git keeps or would keep, relative to the root; skips outside a checkout."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
    try:
        run = subprocess.run(command, cwd=ROOT, capture_output=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("not a checkout of git")
    names = run.stdout.decode().split("\0")
    return sorted(Path(name) for name in names if name and (ROOT / name).is_file())
