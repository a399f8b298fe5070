"""The package as it is installed: templates, catalogue and trees come with it, and it works."""

import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from project.repository import ROOT


def ran(*command, cwd):
    """The output of a command that must work, without the checkout on its path."""
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "STEPSTOP"))}
    result = subprocess.run(
        list(map(str, command)),
        cwd=cwd,
        env={**environment, "SOURCE_DATE_EPOCH": "1790000000"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert result.returncode == 0, result.stdout + result.stderr
    return result.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """(folder, the command) of an environment with the wheel; its requirements are ours."""
    folder = tmp_path_factory.mktemp("installed")
    ran(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, ROOT, cwd=folder)
    [wheel] = folder.glob("*.whl")
    ran(sys.executable, "-m", "venv", folder / "env", cwd=folder)
    [site] = (folder / "env").glob("lib/python*/site-packages")
    (site / "requirements-of-tests.pth").write_text(sysconfig.get_path("purelib"), "utf-8")
    python = folder / "env" / "bin" / "python"
    ran(python, "-m", "pip", "install", "-q", "--no-deps", "--no-index", wheel, cwd=folder)
    return folder, wheel, python


def test_the_wheel_has_all_that_is_shipped_and_nothing_else(installed):
    _, wheel, _ = installed
    with zipfile.ZipFile(wheel) as content:
        names = set(content.namelist())
    for part in ("decision_trees", "site_overrides"):
        for path in (ROOT / part).rglob("*.*"):
            if path.is_file():
                assert f"stepstop/data/{path.relative_to(ROOT).as_posix()}" in names
    starter = ROOT / "generator" / "stepstop" / "starter"
    assert {f"stepstop/starter/{path.name}" for path in starter.iterdir()} <= names
    assert not [name for name in names if "test" in Path(name).name or name.endswith(".pyc")]


def test_a_new_site_builds_in_an_empty_folder_with_nothing_but_the_wheel(installed):
    folder, _, python = installed
    where = ran(python, "-c", "import stepstop; print(stepstop.__file__)", cwd=folder)
    assert where.startswith(str(folder))
    ran(python, "-m", "stepstop", "new", "mine", "--starter", "one", cwd=folder)
    ran(python, "-m", "stepstop", "build", cwd=folder / "mine")
    site = folder / "mine" / "site"
    for name in ("index.html", "sample/index.html", "danger/index.html", "about.html"):
        assert (site / name).is_file()
    assert "My Company (demo)" in (site / "sample" / "index.html").read_text("utf-8")


def test_an_overlay_lies_over_the_trees_in_the_wheel(installed):
    folder, _, python = installed
    ran(python, "-m", "stepstop", "new", "over", "--starter", "over", cwd=folder)
    change = folder / "over" / "decision_trees" / "changes" / "complaints" / "no-heat.yml"
    change.parent.mkdir(parents=True)
    change.write_text('title: "The heat is off"\n', "utf-8")
    ran(python, "-m", "stepstop", "touched", "--seen", cwd=folder / "over")
    assert "30 trees" in ran(python, "-m", "stepstop", "verify", cwd=folder / "over")
