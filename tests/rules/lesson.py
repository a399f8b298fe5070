"""The rule pages as tests: their examples laid over the small library beside this file.

A block of YAML begins with `# file: PATH` (the whole file) or `# change: PATH` (entries that take
the place of those with the same name in the base's file, or are added to it). Entries are the
steps, outcomes, checks, findings and so on; other keys at the top of a file are replaced too.
"""

import contextlib
import re
import shutil
from dataclasses import dataclass
from pathlib import Path

from stepstop.report import as_text
from stepstop.verify import Verified, verify

BASE = Path(__file__).parent / "base"
PAGES = Path(__file__).parents[2] / "content" / "rules"

_BLOCK = re.compile(r"^# (file|change): (\S+)\n", re.MULTILINE)
_KEY = re.compile(r"( *)([^\s#-][^:]*):(?:\s|$)")


@dataclass(frozen=True)
class Lesson:
    """One rule page, read."""

    title: str
    summary: str
    headings: tuple[str, ...]
    sections: dict[str, str]

    def examples(self, heading):
        """The YAML blocks of a section as one text."""
        return "\n".join(fenced(self.sections[heading], "yaml"))

    def shown(self, heading):
        """The output that a section shows."""
        [text] = fenced(self.sections[heading], "text")
        return text.rstrip("\n")


def read_page(path):
    """The lesson in the file at `path`."""
    top, *rest = re.split(r"^## ", path.read_text("utf-8"), flags=re.MULTILINE)
    title, _, summary = top.strip().partition("\n")
    parts = [part.partition("\n") for part in rest]
    headings = tuple(name.strip() for name, _, _ in parts)
    return Lesson(
        title.removeprefix("# "), summary.strip(), headings, {n.strip(): b for n, _, b in parts}
    )


def fenced(text, language):
    """The blocks in `text` that are fenced and marked with `language`."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, flags=re.MULTILINE | re.DOTALL)


def with_output(text, output):
    """The page `text` with its shown output replaced by `output`."""
    return re.sub(
        r"^```text\n.*?^```$",
        lambda _: f"```text\n{output}\n```",
        text,
        flags=re.MULTILINE | re.DOTALL,
    )


def library_with(changes, folder):
    """Write the base library with `changes` laid over it into `folder`."""
    shutil.copytree(BASE, folder, dirs_exist_ok=True)
    pieces = _BLOCK.split(changes)
    assert not pieces[0].strip(), f"text before the first block: {pieces[0]!r}"
    for form, name, text in zip(pieces[1::3], pieces[2::3], pieces[3::3], strict=True):
        path = folder / name
        if form == "change":
            depth = 2 if path.name == "boundary.yml" else 1
            old, new = path.read_text("utf-8").splitlines(), text.splitlines()
            text = "\n".join(merged(old, new, depth)) + "\n"
        path.write_text(text, "utf-8")


def merged(base, change, depth):
    """The lines of `base` with the entries of `change`, which go `depth` levels down."""
    entries = dict(_entries(base))
    for key, lines in _entries(change):
        deeper = depth and key in entries and _is_open(entries[key]) and _is_open(lines)
        inner = merged(entries[key][1:], lines[1:], depth - 1) if deeper else lines[1:]
        entries[key] = [lines[0], *inner]
    return [line for lines in entries.values() for line in lines]


def _entries(lines):
    """(key, its lines) for each key at the outermost indent, in order."""
    found = []
    for line in (line for line in lines if line.strip()):
        key = _KEY.match(line)
        if key and (not found or len(key.group(1)) == _indent(found[0][1][0])):
            found.append((key.group(2), [line]))
        else:
            found[-1][1].append(line)
    return found


def _indent(line):
    return len(line) - len(line.lstrip(" "))


def _is_open(lines):
    """Whether the entry's value is a block of further keys."""
    return lines[0].rstrip().endswith(":") and not lines[1].lstrip().startswith("- ")


@dataclass(frozen=True)
class Found:
    """What verifying the base with some changes found."""

    verified: Verified
    text: str
    """All problems as `stepstop verify` shows them, with paths from the library's own folder."""

    @property
    def flaws(self):
        """The names of the flaws, each once."""
        return {problem.flaw for problem in self.verified.problems}

    @property
    def messages(self):
        """The message of each problem, in order."""
        return [problem.message for problem in self.verified.problems]


def prove(changes, folder):
    """What is found in the base library with `changes`, written into `folder` and read there."""
    library_with(changes, folder)
    with contextlib.chdir(folder):
        verified = verify(Path("."))
        lines = {}

        def lines_of(name):
            if name not in lines:
                lines[name] = Path(name).read_text("utf-8").splitlines()
            return lines[name]

        return Found(verified, as_text(verified.problems, lines=lines_of))
