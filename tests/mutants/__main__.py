"""`make mutants`: seeds defects by the thousand, and counts which are caught.

python -m mutants [--each N] [--edits N] [--seed S] [--json FILE]
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict
from pathlib import Path

from mutants.bases import CUTS, LARGE
from mutants.trial import KINDS, Tried, base, lot, rows

COLUMNS = ("made", "wrong", "caught", "not built", "over-refused")


def main() -> int:
    """Try all, print the table, and tell what was missed; 1 if anything was."""
    asked = argparse.ArgumentParser(prog="python -m mutants", description=__doc__)
    asked.add_argument("--each", type=int, default=24, help="of each operator on each base")
    asked.add_argument("--edits", type=int, default=10, help="of each kind of edit on each base")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--json", type=Path, help="also write all of it there")
    options = asked.parse_args()
    most = {"edit": options.edits}
    tasks = [
        (name, kind, operator, fewer(name, most.get(kind, options.each)), options.seed)
        for name in CUTS
        for kind, operators in KINDS.items()
        for operator in operators
    ]
    begun = time.monotonic()
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        every = [each for done in pool.map(lot, tasks) for each in done]
    print(table(every))
    print(f"\n{summary(every)}; {time.monotonic() - begun:.0f} s")
    for name in CUTS:
        if base(name).harms:
            kinds = sorted({harm.kind for harm in base(name).harms})
            print(f"on the pages of {name} as they are the oracle sees {', '.join(kinds)}")
    if options.json:
        options.json.write_text(json.dumps([asdict(each) for each in every], indent=1), "utf-8")
    missed = [each for each in every if each.is_missed]
    refused = [each for each in every if each.kind == "edit" and each.is_refused]
    for each in (*missed, *refused):
        print(f"\n{each.kind} {each.operator} on {each.base}: {each.about}")
        for line in (*each.harms, *each.said):
            print(f"  {line}")
    return 1 if missed or refused or any(base(name).harms for name in CUTS) else 0


def fewer(name: str, most: int) -> int:
    """A third of the mutants on bases of many pages, which take several times as long."""
    return max(1, most // 3) if name in LARGE else most


def table(every: list[Tried]) -> str:
    """Operator by operator, as Markdown."""
    lines = [f"| operator | {' | '.join(COLUMNS)} |", "| --- |" + " ---: |" * len(COLUMNS)]
    for row in rows(every):
        cells = [f"{row.counts[column]:,}" for column in COLUMNS]
        lines.append(f"| {row.kind}: {row.operator} | {' | '.join(cells)} |")
    return "\n".join(lines)


def summary(every: list[Tried]) -> str:
    """The figures that count."""
    mutants = [each for each in every if each.kind != "edit"]
    edits = [each for each in every if each.kind == "edit"]
    wrong = [each for each in mutants if each.kind == "policy" or each.harms]
    harmful = sum(bool(each.harms) for each in mutants)
    caught = sum(each.is_refused for each in wrong)
    over = sum(each.is_over_refused for each in mutants)
    refused = sum(each.is_refused for each in edits)
    return (
        f"{len(mutants):,} mutants, {harmful:,} of them harmful, {len(wrong):,} harmful or against "
        f"policy, {caught:,} of these caught; {over:,} refused without harm; "
        f"{len(edits):,} edits that change no meaning, {refused:,} refused"
    )


if __name__ == "__main__":
    sys.exit(main())
