"""The worked afternoon, run as it stands on its page: files written, commands run, words shown."""

import os
import re
import subprocess
import sys

from project.repository import ROOT

PAGE = (ROOT / "content" / "afternoon.md").read_text("utf-8")
PARTS = re.findall(
    r"<!-- (write|add|run|there)(?:: ([^\n]*?))? -->\n(?:```(?:yaml)?\n(.*?)^```)?",
    PAGE,
    re.M | re.S,
)
"""(what, with what, text) in the order of the page."""


def shown(pattern, text):
    """Whether the lines stand in the text in this order; `...` for whatever lies between."""
    pieces = [re.escape(each.strip()) for each in re.split(r"\.\.\.\n?", pattern) if each.strip()]
    return re.search(".*?".join(pieces), text, re.S) is not None


def ran(command, folder, *, status, typed):
    environment = {k: v for k, v in os.environ.items() if not k.startswith("STEPSTOP")}
    result = subprocess.run(
        [sys.executable, "-m", *command.split()],
        cwd=folder,
        env={
            **environment,
            "PYTHONPATH": str(ROOT / "generator"),
            "SOURCE_DATE_EPOCH": "1790000000",
        },
        input=typed,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert result.returncode == status, (command, result.stdout, result.stderr)
    return result.stdout + result.stderr


def test_it_works_as_it_is_told(tmp_path):
    folder, done = tmp_path, []
    for what, given, text in PARTS:
        done.append(what)
        if what == "write":
            (folder / given).write_text(text, "utf-8")
        elif what == "add":
            path = folder / given
            path.write_text(path.read_text("utf-8").rstrip("\n") + "\n" + text, "utf-8")
        elif what == "there":
            assert (folder / given).is_file()
        else:
            first, _, wanted = text.partition("\n")
            status, typed = (int(given), "") if given.isdigit() else (0, f"{given}\n")
            said = ran(first.removeprefix("$ "), folder, status=status, typed=typed)
            assert shown(wanted, said), (first, said)
            folder = tmp_path / "my-site"
    assert done.count("run") == 8
    assert done.count("write") == 2
    assert done[-1] == "there"
