"""The examples on the page for authors do what the page says."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
import yaml

from project.repository import ROOT
from stepstop.verify import Verified, verify

PAGE = (ROOT / "content/authors.md").read_text(encoding="utf-8")
KINDS = r"proven|change|(?:problem|catalogue): [a-z-]+"
EXAMPLES = re.findall(rf"<!-- ({KINDS}) -->\n```yaml\n(.*?)^```", PAGE, re.M | re.S)


TREES = [each for each in EXAMPLES if re.match("proven|problem", each[0])]


def with_example(text: str, folder: Path) -> Verified:
    """The shipped catalogue and shared trees that the example needs, with it as a complaint."""
    shipped = ROOT / "decision_trees"
    # The page of a unit lists complaints that aren't copied.
    leave_out = shutil.ignore_patterns("equipment.yml")
    shutil.copytree(shipped / "catalogue", folder / "catalogue", ignore=leave_out)
    for name in needed(text, {"danger"}):
        home = "shared" if (shipped / f"shared/{name}.yml").exists() else "complaints"
        (folder / home).mkdir(exist_ok=True)
        shutil.copy(shipped / home / f"{name}.yml", folder / home)
    (folder / f"complaints/{yaml.safe_load(text)['tree']}.yml").write_text(text, encoding="utf-8")
    return verify(folder)


def needed(text: str, names: set[str]) -> set[str]:
    """The trees that `text` and the trees `names` use or lead to, and so on."""
    files = {
        p.stem: p.read_text(encoding="utf-8") for p in (ROOT / "decision_trees").rglob("*.yml")
    }
    texts = [text, *(files[name] for name in names)]
    found = {word for each in texts for word in re.findall(r"\b(?:use|go): ([a-z0-9-]+)", each)}
    more = names | (found & files.keys())
    return names if more == names else needed(text, more)


def test_the_page_has_an_example_of_each_kind() -> None:
    assert [kind for kind, _ in EXAMPLES] == [
        "proven",
        "change",
        "problem: danger-not-first",
        "catalogue: findings",
        "catalogue: causes",
        "catalogue: places",
    ]
    assert PAGE.count("```yaml") == len(EXAMPLES)


@pytest.mark.parametrize(("kind", "text"), TREES)
def test_an_example_is_what_the_page_says(kind: str, text: str, tmp_path: Path) -> None:
    found = with_example(text, tmp_path)
    flaws = {problem.flaw for problem in found.problems}
    assert flaws == (set() if kind == "proven" else {kind.removeprefix("problem: ")})
    assert found.course is not None


@pytest.mark.parametrize(
    ("kind", "text"), [each for each in EXAMPLES if each[0].startswith("catalogue")]
)
def test_what_is_added_to_the_catalogue_is_read(kind: str, text: str, tmp_path: Path) -> None:
    path = tmp_path / f"changes/catalogue/{kind.removeprefix('catalogue: ')}.yml"
    path.parent.mkdir(parents=True)
    (tmp_path / "over.yml").write_text("over: shipped\n", encoding="utf-8")
    path.write_text(text, encoding="utf-8")
    found = verify(tmp_path, seen=False)
    assert found.problems == ()


def test_the_change_is_laid_over_our_trees_as_the_page_says(tmp_path: Path) -> None:
    [text] = [text for kind, text in EXAMPLES if kind == "change"]
    (tmp_path / "changes/complaints").mkdir(parents=True)
    (tmp_path / "over.yml").write_text("over: shipped\n", encoding="utf-8")
    (tmp_path / "changes/complaints/no-heat.yml").write_text(text, encoding="utf-8")
    found, ours = verify(tmp_path, seen=False), verify(ROOT / "decision_trees")
    assert found.is_proven
    assert found.course
    assert ours.course
    mine, base = (course.library.trees["no-heat"] for course in (found.course, ours.course))
    assert mine.title == "The heat is off"
    assert mine.words == ()
    assert base.words
    assert mine.steps["power"].why != base.steps["power"].why
    assert mine.steps["power"].answers == base.steps["power"].answers
