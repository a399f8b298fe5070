"""What the fuzzer runs on each input: one file of a small library replaced by it, then all rules.

The first byte chooses the file, the rest is its content. Run by `python -m fuzz`.
"""

from __future__ import annotations

import random
import re
import shutil
import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["stepstop"]):
    from stepstop.explain import page
    from stepstop.overlay.layers import FILE
    from stepstop.report import as_json, as_text
    from stepstop.verify import verify

BASE = Path(__file__).parents[1] / "rules" / "base"
TREES = Path(tempfile.mkdtemp(prefix="stepstop-fuzz-"))
shutil.copytree(BASE, TREES, dirs_exist_ok=True)
BESIDE = [FILE, "shared/more.yml", "complaints/more.yml", "catalogue/equipment.yml"]
"""Files that the base doesn't have and that may be there."""
NAMES = sorted(p.relative_to(TREES).as_posix() for p in TREES.rglob("*.yml")) + BESIDE


def _content(name: str) -> bytes:
    path = TREES / name
    return path.read_bytes() if path.exists() else b"over: shipped\n"


def one(data: bytes) -> None:
    """Prove the library with one file replaced; anything but problems or a course is a crash."""
    if not data:
        return
    path = TREES / NAMES[data[0] % len(NAMES)]
    kept = path.read_bytes() if path.exists() else None
    try:
        path.write_bytes(data[1:])
        found = verify(TREES)
        assert found.problems or found.course
        as_text(found.problems)
        as_json(found.problems, found.examined)
        for problem in found.problems:
            assert problem.mend, problem
            assert page(problem.flaw), problem
    finally:
        if kept is None:
            path.unlink(missing_ok=True)
        else:
            path.write_bytes(kept)


WORD = re.compile(rb"[A-Za-z0-9{}'-]+")
POOL = sorted({word for name in NAMES for word in WORD.findall(_content(name))})


def mutated(data: bytes, most: int, seed: int) -> bytes:
    """Half of the time bytes at random, else lines and words: what stays YAML gets further."""
    draw = random.Random(seed)
    if len(data) < 2 or draw.random() < 0.5:
        return bytes(atheris.Mutate(data, most))
    lines = data[1:].split(b"\n")
    one, other = draw.randrange(len(lines)), draw.randrange(len(lines))
    what = draw.randrange(4)
    if what == 0:
        del lines[one]
    elif what == 1:
        lines.insert(other, lines[one])
    elif what == 2:
        lines[one], lines[other] = lines[other], lines[one]
    else:
        words = list(WORD.finditer(lines[one]))
        if words:
            word = draw.choice(words)
            lines[one] = lines[one][: word.start()] + draw.choice(POOL) + lines[one][word.end() :]
    return (data[:1] + b"\n".join(lines))[:most]


def seeds(folder: Path) -> None:
    """Write an input for each file that the library has."""
    for number, name in enumerate(NAMES):
        (folder / f"seed-{number}").write_bytes(bytes([number]) + _content(name))


if __name__ == "__main__":
    if sys.argv[1:2] == ["--seeds"]:
        seeds(Path(sys.argv[2]))
    else:
        atheris.Setup(sys.argv, one, custom_mutator=mutated)
        atheris.Fuzz()
