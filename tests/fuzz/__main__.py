"""`make fuzz`: the loader and all rules on inputs that a fuzzer makes, guided by coverage.

    python -m fuzz [--seconds N] [--inputs N] [--seed S]

Each input takes the place of one file of a small library. What ends in anything but problems or a
course, takes longer than `SLOW` seconds or more than `MEGABYTES` of memory ends the run with 1.
"""

from __future__ import annotations

import argparse
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

TESTS = Path(__file__).parents[1]
TARGET = Path(__file__).parent / "target.py"
LONGEST = 8_192
"""Bytes of an input; the largest file of the library has some 3,000."""
SLOW, MEGABYTES = 10, 1_024
WORDS = (
    *("steps", "outcomes", "answers", "say", "is", "go", "exit", "exits", "use", "check", "ask"),
    *("tell", "finding", "at", "kind", "danger", "unsure", "not-done", "keep-to", "hurry", "leave"),
    *("requires", "hazards", "effects", "changes", "values", "implies", "pattern", "renamed"),
    *(": ", "- ", "{", "}", "[", "]", "&a", "*a", "!!str", "---", "|", ">", "<<", "~", "\\x09"),
    *(
        "\\xe2\\x80\\xae",
        "\\xe2\\x80\\x8b",
        "\\xef\\xbb\\xbf",
        "\\x00",
        "\\xff",
        "\\x0d",
        "\\xc2\\x85",
    ),
)
"""What inputs are put together from, beside what they share with the files."""


def main() -> int:
    """Run the fuzzer and say what it did; 1 if an input broke something."""
    asked = argparse.ArgumentParser(prog="python -m fuzz", description=__doc__)
    asked.add_argument("--seconds", type=int, default=300)
    asked.add_argument("--inputs", type=int, default=-1, help="at the most; -1: as many as it can")
    asked.add_argument("--seed", type=int, default=1)
    options = asked.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        output, status = fuzzed(folder, options.seconds, options.inputs, options.seed)
        print(summary(output))
        broken = sorted(folder.glob("broken-*"))
        if status or broken:
            print(output[-6_000:])
            for path in broken:
                print(f"{path.name}: {path.read_bytes()[:2_000]!r}")
        return 1 if status or broken else 0


def fuzzed(folder: Path, seconds: int, inputs: int, seed: int) -> tuple[str, int]:
    """Run it in `folder`: what it printed, and its status."""
    corpus = folder / "inputs"
    corpus.mkdir()
    paths = os.pathsep.join((str(TESTS.parent / "generator"), str(TESTS)))
    environment = {**os.environ, "PYTHONPATH": paths, "TMPDIR": str(folder)}
    command = [sys.executable, str(TARGET)]
    subprocess.run([*command, "--seeds", str(corpus)], env=environment, check=True,
                   capture_output=True)  # fmt: skip
    (folder / "words").write_text("".join(f'"{word}"\n' for word in WORDS), "utf-8")
    run = subprocess.run(
        [
            *command,
            str(corpus),
            f"-max_total_time={seconds}",
            f"-runs={inputs}",
            f"-seed={seed}",
            f"-dict={folder / 'words'}",
            f"-max_len={LONGEST}",
            f"-timeout={SLOW}",
            f"-rss_limit_mb={MEGABYTES}",
            f"-artifact_prefix={folder / 'broken-'}",
            "-len_control=0",
            "-print_final_stats=1",
            "-verbosity=1",
        ],
        env=environment,
        capture_output=True,
        text=True,
        errors="replace",
        timeout=seconds + 300,
        check=False,
    )
    return run.stdout + run.stderr, run.returncode


def summary(output: str) -> str:
    """The figures of a run in one line."""
    stats = dict(re.findall(r"^stat::(\w+):\s+(\d+)", output, re.M))
    covered = re.findall(r"\bcov: (\d+)", output)
    done = re.search(r"^Done (\d+) runs in (\d+) second", output, re.M)
    return (
        f"{int(stats.get('number_of_executed_units', 0)):,} inputs in "
        f"{done.group(2) if done else '?'} s, {covered[-1] if covered else '?'} branches covered "
        f"({covered[0] if covered else '?'} by the files as they are), slowest "
        f"{stats.get('slowest_unit_time_sec', '?')} s, at most {stats.get('peak_rss_mb', '?')} MB"
    )


if __name__ == "__main__":
    sys.exit(main())
