"""Facts of the repository: what it holds, what it must not hold, what belongs together."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

import pytest
import yaml
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from project.repository import ROOT, kept_files
from stepstop import cli
from stepstop.explain import HEADINGS
from stepstop.rules import RULES

TOP = {
    ".ci",
    ".gitignore",
    "CHANGELOG.md",
    "DEVELOPERS.md",
    "LICENSE",
    "Makefile",
    "README.md",
    "content",
    "decision_trees",
    "generator",
    "mkdocs.yml",
    "pyproject.toml",
    "site_overrides",
    "tests",
}

TRACES = {
    "a path of somebody's machine": r"(?<![\w.~])/(root|home|Users|work)/\w",
    "a host of packages": r"py[p]i\.org|pythonhoste[d]|npm[j]s|registr[y]\.\w|deb\.debia[n]",
    "a maker of text": r"\b(chat-?g[p]t|open-?a[i]|anth[r]opic"
    r"|cla[u]de|co-?pi[l]ot|gemi[n]i|LL[M]s?)\b",
    "how it was made": r"co-authored-[b]y|generated (by|with) a[ni]|language mode[l]s?\b",
    "notes kept elsewhere": r"\b(trade|decisions|engineering|delivery|style|design|sources)\.md\b",
    "talk about the work": r"\b(this|last|previous|next|another) sessio[n]\b|\bmy brie[f]\b",
}
"""What no file may hold; the brackets keep these patterns from finding themselves."""

CLAIMS = r"proven (to be )?safe|(completely|totally|perfectly|100 ?%) safe|guarantee[sd]?\b"


def text_of(path: Path) -> str:
    return (ROOT / path).read_text(encoding="utf-8", errors="replace")


def test_the_top_folder_holds_the_fixed_entries() -> None:
    assert {path.parts[0] for path in kept_files()} == TOP


@pytest.mark.parametrize("kind", TRACES)
def test_no_file_has_traces_of(kind: str) -> None:
    pattern = re.compile(TRACES[kind], re.IGNORECASE)
    found = {
        f"{path}:{number}": line
        for path in kept_files()
        for number, line in enumerate(text_of(path).splitlines(), 1)
        if pattern.search(line)
    }
    assert found == {}


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("a path of somebody's machine", "see /" + "home/ann/notes"),
        ("a host of packages", "https://" + "pypi" + ".org/simple"),
        ("a maker of text", "as Chat" + "GPT says"),
        ("how it was made", "Co-authored" + "-by: x"),
        ("notes kept elsewhere", "see trade" + ".md 6.2"),
        ("talk about the work", "in the last " + "session"),
    ],
)
def test_a_trace_would_be_found(kind: str, text: str) -> None:
    assert re.search(TRACES[kind], text, re.IGNORECASE)


def test_no_public_text_claims_more_than_may_be_claimed() -> None:
    public = [p for p in kept_files() if p.parts[0] in ("content", "site_overrides", "README.md")]
    assert len(public) > 10
    found = [str(p) for p in public if re.search(CLAIMS, text_of(p), re.IGNORECASE)]
    assert found == []


def test_every_rule_has_a_page_and_every_page_a_rule() -> None:
    pages = {path.stem for path in (ROOT / "content/rules").glob("*.md")}
    assert pages - {"index"} == {rule.FLAW for rule in RULES}


@pytest.mark.parametrize("flaw", [rule.FLAW for rule in RULES])
def test_the_page_of_a_rule_has_the_five_headings_in_order(flaw: str) -> None:
    page = text_of(Path(f"content/rules/{flaw}.md"))
    outside_fences = re.sub(r"^```.*?^```", "", page, flags=re.MULTILINE | re.DOTALL)
    assert tuple(re.findall(r"^## (.+)$", outside_fences, re.MULTILINE)) == HEADINGS


def test_a_rule_is_named_like_its_module() -> None:
    for rule in RULES:
        assert rule.__name__ == f"stepstop.rules.{rule.FLAW.replace('-', '_')}"  # type: ignore[attr-defined]


def test_the_changelog_has_entries_that_are_not_released() -> None:
    unreleased = text_of(Path("CHANGELOG.md")).split("\n## Unreleased\n")
    assert len(unreleased) == 2
    assert re.search(r"^- \S", unreleased[1].split("\n## ")[0], re.MULTILINE)


def test_the_readme_tells_of_every_command() -> None:
    readme = text_of(Path("README.md"))
    assert {name for name in cli.main.commands if f"`stepstop {name}" not in readme} == set()


def test_the_readme_tells_of_every_option_of_the_plugin() -> None:
    from stepstop.plugin import Options

    known = dict(Options._schema)
    block = text_of(Path("README.md")).split("      - stepstop:\n")[1].split("\n\n")[0]
    assert set(re.findall(r"^ {10}(\w+):", block, re.MULTILINE)) == known.keys()
    shown = yaml.safe_load(block)
    assert shown["trees"] == known["trees"].default
    assert shown["place"] == known["place"].default


def pins() -> dict[str, str]:
    """Canonical name -> version, for every line that isn't a comment."""
    lines = text_of(Path("generator/constraints.txt")).splitlines()
    found = [line for line in lines if line and not line.startswith("#")]
    matches = {line: re.fullmatch(r"([\w.-]+)==([\w.]+)", line) for line in found}
    assert [line for line, match in matches.items() if match is None] == []
    return {str(canonicalize_name(m[1])): m[2] for m in matches.values() if m is not None}


def direct_dependencies() -> list[Requirement]:
    project = tomllib.loads(text_of(Path("pyproject.toml")))["project"]
    groups = [project["dependencies"], *project["optional-dependencies"].values()]
    return [Requirement(text) for group in groups for text in group]


def test_constraints_pin_every_dependency_and_what_it_depends_on() -> None:
    queue = direct_dependencies()
    needed: set[str] = set()
    while queue:
        wanted = queue.pop()
        name = str(canonicalize_name(wanted.name))
        if name not in needed:
            needed.add(name)
            queue += _wanted_by(wanted)
    assert len(needed) > 20
    assert needed - pins().keys() == set()


def _wanted_by(wanted: Requirement) -> list[Requirement]:
    try:
        below = [Requirement(text) for text in requires(wanted.name) or []]
    except PackageNotFoundError:
        return []
    asked = [{"extra": extra} for extra in ("", *wanted.extras)]
    return [r for r in below if r.marker is None or any(r.marker.evaluate(e) for e in asked)]


def test_a_pin_is_a_version_that_the_project_allows() -> None:
    for wanted in direct_dependencies():
        assert pins()[str(canonicalize_name(wanted.name))] in wanted.specifier
