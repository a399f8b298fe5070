"""A process that goes on, as a preview does, keeps nothing of what it made before."""

import subprocess
import sys

import pytest

from unit.edited import BASE

GROWTH = 15
"""Megabytes over `ROUNDS`; what each of them leaves behind would come to some 40."""
ROUNDS = 150
SCRIPT = """
import sys
from pathlib import Path
from stepstop.verify import verify

def resident():
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 // 1_000_000

for _ in range(20):
    verify(Path(sys.argv[1]))
before = resident()
for _ in range(int(sys.argv[2])):
    verify(Path(sys.argv[1]))
print(resident() - before)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="there is no /proc")
def test_proving_again_and_again_takes_no_more_memory():
    command = [sys.executable, "-c", SCRIPT, str(BASE), str(ROUNDS)]
    told = subprocess.run(command, capture_output=True, text=True, check=True)
    assert int(told.stdout) < GROWTH
