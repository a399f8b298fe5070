"""The small library with some lines changed, for tests of what reads it."""

import shutil
from pathlib import Path

from stepstop.loader import load

BASE = Path(__file__).parents[1] / "rules" / "base"


def write(folder, *edits):
    """Write the small library into `folder`, with each (path, old text, new text) replaced."""
    shutil.copytree(BASE, folder)
    for name, old, new in edits:
        path = folder / name
        text = path.read_text("utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        path.write_text(text.replace(old, new), "utf-8")
    return folder


def problems(folder, *edits):
    """What loading the edited library reports."""
    return load(write(folder, *edits))[1]


def told(folder, *edits):
    """The same as lines: path below `folder`, flaw and message."""
    found = problems(folder, *edits)
    return [f"{p.spot.file.removeprefix(f'{folder}/')} {p.flaw}: {p.message}" for p in found]
