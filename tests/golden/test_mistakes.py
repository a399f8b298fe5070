"""Mistakes of authors, each with what the terminal shows for it, over the small library.

A file of `mistakes/` says in its first line what the mistake is, then what is changed, then what is
shown. Its parts begin with `==> `:

    ==> PATH             the whole file follows
    ==> PATH: change     lines with `-` before them are taken out, those with `+` put in their place
    ==> PATH: escaped    the whole file, one line, with Python's escapes for its bytes
    ==> PATH: gone       the file or folder is not there
    ==> shown            what `stepstop verify trees` prints

With STEPSTOP_ACCEPT=1 in the environment the last part is written anew: read the difference before
you keep it.
"""

import contextlib
import os
import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner

from stepstop.cli import main
from stepstop.problems import READING_FLAWS
from stepstop.rules import RULES

HERE = Path(__file__).parent / "mistakes"
BASE = Path(__file__).parents[1] / "rules" / "base"
FILES = sorted(HERE.glob("*.txt"))
SHOWN = "==> shown\n"

_PART = re.compile(r"^==> (\S+?)(?:: (change|escaped|gone))?\n", re.MULTILINE)
_FLAW = re.compile(r"^[^ \n][^\n]*?: ([a-z-]+): ", re.MULTILINE)


@dataclass(frozen=True)
class Mistake:
    """One file of `mistakes/`, read."""

    about: str
    changes: tuple[tuple[str, str, str], ...]
    """(path, form, text) of each changed file."""
    shown: str


def read(path):
    """The mistake in the file at `path`."""
    before, _, shown = path.read_text("utf-8").partition(SHOWN)
    about, *parts = _PART.split(before)
    changes = zip(parts[::3], (form or "" for form in parts[1::3]), parts[2::3], strict=True)
    return Mistake(about.strip(), tuple(changes), shown)


def make(mistake, folder):
    """Write the small library with the mistake into `folder`."""
    shutil.copytree(BASE, folder)
    for name, form, text in mistake.changes:
        path = folder / name
        if form == "gone":
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        else:
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(changed(path, form, text))


def changed(path, form, text):
    """The bytes of the file at `path` after its change."""
    if form == "escaped":
        return text.rstrip("\n").encode("latin-1").decode("unicode_escape").encode("latin-1")
    if form == "change":
        return replaced(path.read_text("utf-8"), text).encode()
    return text.encode()


def replaced(whole, change):
    """`whole` with each run of `-` lines replaced by the `+` lines after it."""
    for old, new in re.findall(r"((?:^-.*\n)+)((?:^\+.*\n)*)", change, re.MULTILINE):
        out, into = re.sub("^-", "", old, flags=re.M), re.sub(r"^\+", "", new, flags=re.M)
        assert whole.count(out) == 1, f"{out!r} stands {whole.count(out)} times"
        whole = whole.replace(out, into)
    return whole


def verified(mistake, folder):
    """What the terminal shows for the mistake, made in `folder`, and the exit status."""
    make(mistake, folder / "trees")
    with contextlib.chdir(folder):
        result = CliRunner().invoke(main, ["verify", "trees"], catch_exceptions=False)
    return result.output, result.exit_code


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_terminal_shows_the_mistake(path, tmp_path):
    mistake = read(path)
    output, status = verified(mistake, tmp_path)
    if os.environ.get("STEPSTOP_ACCEPT") == "1":
        before = path.read_text("utf-8").partition(SHOWN)[0]
        path.write_text(f"{before.rstrip()}\n{SHOWN}{output}", "utf-8")
        mistake = read(path)
    assert output == mistake.shown
    assert status == 1


def test_the_small_library_itself_has_no_mistake(tmp_path):
    output, status = verified(Mistake("nothing", (), ""), tmp_path)
    assert status == 0, output


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_mistake_has_a_place_a_known_flaw_and_says_what_it_is(path):
    mistake = read(path)
    assert mistake.about.endswith(".")
    assert mistake.changes
    blocks = mistake.shown.rstrip().split("\n\n")
    assert re.fullmatch(rf"{len(blocks) - 1} problems?; .*", blocks[-1])
    known = {*READING_FLAWS, *(rule.FLAW for rule in RULES)}
    for block in blocks[:-1]:
        assert block.startswith("trees"), block
        assert "\n   mend: " in block
        assert _FLAW.match(block).group(1) in known


def test_every_flaw_of_reading_is_among_the_mistakes():
    shown = {flaw for path in FILES for flaw in _FLAW.findall(read(path).shown)}
    assert set(READING_FLAWS) - shown == {"file-too-large"}, "that one is in unit/test_loader.py"
