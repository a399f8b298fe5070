"""A site of one's own: what `stepstop new` writes, and what is in its way."""

import re

import pytest
from click.testing import CliRunner

from browser.sites import REAL
from stepstop import new
from stepstop.cli import main
from stepstop.json_schema import json_schemas, schema_for
from stepstop.new import SCHEMAS, STARTERS, NotNew, new_site
from stepstop.rehearsed import FILE, fingerprint, read
from stepstop.verify import verify


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module", params=STARTERS)
def made(request, tmp_path_factory):
    """(folder of a new site, its files)."""
    folder = tmp_path_factory.mktemp("new") / "mine"
    return folder, new_site(folder, starter=request.param)


def test_it_has_all_that_a_site_needs(made):
    folder, files = made
    needed = {"mkdocs.yml", "README.md", ".gitignore", "content/about.md"}
    assert needed | {"decision_trees/companies/my-company.yml"} <= set(files)
    there = (path for path in folder.rglob("*") if path.is_file())
    assert files == sorted(path.relative_to(folder).as_posix() for path in there)
    assert not [name for name in files if "pinefold" in name or "narrowed" in name]


def test_its_trees_are_proven_for_its_company_too(tmp_path):
    folder = tmp_path / "mine"
    new_site(folder, starter="one")
    trees = folder / "decision_trees"
    result = run("verify", trees, "--company", trees / "companies" / "my-company.yml")
    assert result.exit_code == 0, result.output
    assert "no problem" in result.output


def test_every_yaml_file_names_its_schema_and_it_is_there(made):
    folder, _ = made
    trees = folder / "decision_trees"
    for path in sorted(trees.rglob("*.yml")):
        if path.parent.name == "rehearsal":
            continue  # Kept to the byte, as it was rehearsed.
        first = path.read_text("utf-8").splitlines()[0]
        named = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)[1]
        schema = (path.parent / named).resolve()
        assert schema.is_file(), path
        assert schema.name == schema_for(path.relative_to(trees).as_posix())
    assert {path.name for path in (trees / SCHEMAS).iterdir()} == set(json_schemas())


def test_all_of_it_is_what_comes_with_stepstop_and_stays_rehearsed(tmp_path):
    new_site(tmp_path / "mine")
    trees = tmp_path / "mine" / "decision_trees"
    for path in sorted((REAL / "complaints").glob("*.yml")):
        copied = (trees / "complaints" / path.name).read_text("utf-8")
        assert copied.split("\n", 1)[1] == path.read_text("utf-8")
    course = verify(trees).course
    assert (trees / FILE).is_file()
    assert read(trees, course, fingerprint(trees, course)) is not None


def test_one_tree_is_there_to_change(tmp_path):
    new_site(tmp_path / "mine", starter="one")
    course = verify(tmp_path / "mine" / "decision_trees").course
    assert {tree.id for tree in course.library.trees.values() if tree.role != "shared"} == {
        "danger",
        "sample",
    }


def test_the_command_says_what_comes_next(tmp_path):
    result = run("new", tmp_path / "mine", "--starter", "one")
    assert result.exit_code == 0
    assert "files in" in result.output
    assert "stepstop build" in result.output


def test_only_what_differs_is_there_and_the_rest_lies_below(tmp_path):
    files = new_site(tmp_path / "mine", starter="over")
    trees = tmp_path / "mine" / "decision_trees"
    assert [name for name in files if name.endswith(".yml")] == [
        "decision_trees/companies/my-company.yml",
        "decision_trees/over.yml",
        "mkdocs.yml",
    ]
    found, real = verify(trees), verify(REAL)
    assert found.is_proven
    assert found.examined == real.examined
    assert "stepstop touched" in (tmp_path / "mine" / "README.md").read_text("utf-8")
    assert read(trees, found.course, fingerprint(trees, found.course)) is not None


def test_an_empty_folder_is_taken(tmp_path):
    (tmp_path / "mine").mkdir()
    assert run("new", tmp_path / "mine", "--starter", "one").exit_code == 0


@pytest.mark.parametrize(
    ("prepare", "said"),
    [
        (lambda p: p.write_text("mine"), "is a file; choose another name"),
        (lambda p: (p.mkdir(), (p / "a").touch()), "is not empty (a)"),
        (lambda p: None, "no folder"),
    ],
)
def test_nothing_that_is_there_is_touched(tmp_path, prepare, said):
    target = tmp_path / "mine" if said != "no folder" else tmp_path / "gone" / "mine"
    prepare(target)
    before = sorted(tmp_path.rglob("*"))
    result = run("new", target)
    assert result.exit_code == 1
    assert said in result.output
    assert sorted(tmp_path.rglob("*")) == before


def test_a_disk_that_is_full_leaves_nothing(tmp_path, monkeypatch):
    def full(schema):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(new.json_schema, "written", full)
    result = run("new", tmp_path / "mine")
    assert result.exit_code == 1
    assert "No space left on device" in result.output
    assert list(tmp_path.iterdir()) == []


def test_schemas_are_written_anew_into_a_folder_of_trees(tmp_path):
    new_site(tmp_path / "mine", starter="one")
    folder = tmp_path / "mine" / "decision_trees"
    (folder / SCHEMAS / "tree.schema.json").write_text("{}", "utf-8")
    result = run("schemas", folder)
    assert result.exit_code == 0
    assert f"{len(json_schemas())} schemas in" in result.output
    assert "starts-with" in (folder / SCHEMAS / "tree.schema.json").read_text("utf-8")


def test_a_broken_link_is_in_the_way_too(tmp_path):
    (tmp_path / "mine").symlink_to(tmp_path / "gone")
    with pytest.raises((NotNew, OSError)):
        new_site(tmp_path / "mine")
