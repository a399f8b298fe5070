"""Libraries of any size, as real as the shipped one: its complaints again and again, renamed.

Each copy has names, a title, words and all but its longest texts of its own, so that what is kept
for equal texts makes it look little quicker. All stand on the same shared trees and one catalogue,
as in life.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterable, Iterator
from pathlib import Path

import yaml

from browser.sites import REAL

NOT_PLACES = ("is", "finding", "check", "at", "drawing", "tree", "use", "causes", "who", "state")
CONSONANTS, VOWELS = "bcdfghjklmnpqrstvwz", "aeiou"
QUOTED = re.compile(r'"([^"]*)"')
LONG = 80
"""Characters of a text that takes no word more: its sentences may be as long as is allowed."""
DANGER = "danger"
"""There is one page about danger, however many complaints there are."""


def grown(folder: Path, copies: int) -> Path:
    """Write the shipped trees into `folder`, each complaint `copies` times; returns `folder`."""
    for part in ("catalogue", "shared"):
        shutil.copytree(REAL / part, folder / part)
    (folder / "complaints").mkdir()
    files = {path.stem: path.read_text("utf-8") for path in (REAL / "complaints").glob("*.yml")}
    for name, text in files.items():
        (folder / "complaints" / f"{name}.yml").write_text(text, "utf-8")
    del files[DANGER]
    for name, text in files.items():
        led = _places(text, files)
        for number in range(1, copies):
            path = folder / "complaints" / f"{name}-{letters(number)}.yml"
            path.write_text(_renamed(text, letters(number), led), "utf-8")
    return folder


def _places(text: str, trees: Iterable[str]) -> re.Pattern[str]:
    """Names of trees where a file of this text leads to them: behind a key, and no step of it."""
    data = yaml.load(text, Loader=yaml.CSafeLoader)
    own = {*data.get("steps", ()), *data.get("outcomes", ())}
    either = "|".join(name if name not in own else f"{name}(?=/)" for name in sorted(trees))
    skipped = "|".join(NOT_PLACES)
    return re.compile(rf"(?<=[ {{])((?!(?:{skipped}):)[a-z][\w-]*: )({either})(?=[/,}}\s])")


def letters(number: int) -> str:
    """A number in letters that are no word, since a digit in a text needs a source."""
    first, last = divmod(number, len(VOWELS))
    return f"{CONSONANTS[first]}{VOWELS[last]}x"


def _renamed(text: str, own: str, led: re.Pattern[str]) -> str:
    """A complaint's file with references and all but the longest texts of its own."""
    text = led.sub(rf"\g<1>\g<2>-{own}", text)
    text = re.sub(r"^(tree: )(.*)$", rf"\g<1>\g<2>-{own}", text, flags=re.M)
    return QUOTED.sub(lambda found: f'"{_own(found[1], own)}"', text)


def _own(text: str, own: str) -> str:
    """A text with one word more, unless it is long already, or a lone word that may be a name."""
    if len(text) > LONG or " " not in text:
        return text
    end = "." if text.endswith(".") else "?" if text.endswith("?") else ""
    return f"{text.removesuffix(end)} {own}{end}"


def written_steps(folder: Path) -> int:
    """The steps that stand in the files, each once."""
    return sum(_steps(each) for each in yaml_files(folder) if each.parent.name != "catalogue")


def _steps(path: Path) -> int:
    return len(yaml.load(path.read_bytes(), Loader=yaml.CSafeLoader).get("steps") or ())


def yaml_files(folder: Path) -> Iterator[Path]:
    """All files that are read."""
    for part in ("catalogue", "complaints", "shared"):
        yield from sorted((folder / part).glob("*.yml"))
