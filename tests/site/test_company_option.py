"""A company's edition in real runs: by the command and by `mkdocs.yml`, and with a hostile file."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from project.repository import ROOT
from project.small_site import EPOCH, FRAMED, Project, environment_for, files_in
from unit.companies import PICTURE, SAMPLE, write_company

NAMED = FRAMED.replace("stepstop]", "{stepstop: {company: company/sample.yml}}]")
OVERRIDES = ("--overrides", str(ROOT / "site_overrides"))

HOSTILE = {
    "name": "</title><script>alert(1)</script>",
    "book": "javascript:alert(1)",
    "logo": "logo.svg",
    "colours": {"light": "#f6f4ee", "dark": "#131619"},
}
ACTS = PICTURE.replace("<path", '<script>alert(1)</script><path onload="alert(1)"')


@pytest.fixture
def project(tmp_path: Path) -> Project:
    made = Project(tmp_path)
    made.write("mkdocs.yml", FRAMED)
    (tmp_path / "company").mkdir()
    write_company(tmp_path / "company")
    return made


def run(project: Project, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "stepstop", *words],
        cwd=project.folder,
        env=environment_for(SOURCE_DATE_EPOCH=EPOCH),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def test_the_command_and_the_option_give_the_same_site(project: Project) -> None:
    by_command = run(project, "build", "--company", "company/sample.yml")
    assert by_command.returncode == 0, by_command.stderr
    first = files_in(project.site)
    project.write("mkdocs.yml", NAMED)
    assert run(project, "build").returncode == 0
    assert files_in(project.site) == first
    exported = run(project, "export", "pages", *OVERRIDES, "--company", "company/sample.yml")
    assert exported.returncode == 0, exported.stderr
    pages = files_in(project.folder / "pages")
    assert {name: first.get(name) for name in pages} == pages


def test_every_page_names_the_company_hand_written_ones_too(project: Project) -> None:
    project.write("mkdocs.yml", NAMED)
    assert run(project, "build").returncode == 0
    for name, content in files_in(project.site).items():
        if name.endswith(".html"):
            text = BeautifulSoup(content, "html.parser").get_text(" ")
            assert str(SAMPLE["name"]) in text, name
            assert "DEMO, not reviewed" in text, name


@pytest.mark.parametrize(
    "command",
    [
        ("build", "--company", "company/sample.yml"),
        ("export", "pages", *OVERRIDES, "--company", "company/sample.yml"),
        ("verify", "--company", "company/sample.yml"),
        ("build",),
    ],
    ids=lambda words: " ".join(words[:1]),
)
def test_a_hostile_file_is_told_whole_and_publishes_nothing(
    project: Project, command: tuple[str, ...]
) -> None:
    if command == ("build",):
        project.write("mkdocs.yml", NAMED)
    if command[0] != "verify":
        assert run(project, *command).returncode == 0
    before = files_in(project.folder)
    write_company(project.folder / "company", HOSTILE, picture=ACTS)
    result = run(project, *command)
    assert result.returncode == 1
    told = result.stdout + result.stderr
    for flaw in ("low-contrast", "unsafe-link", "unsafe-picture"):
        assert f": {flaw}: " in told, told
    assert "company/sample.yml:" in told
    after = files_in(project.folder)
    own = ("company/",)
    assert {n: c for n, c in after.items() if not n.startswith(own)} == {
        n: c for n, c in before.items() if not n.startswith(own)
    }


def test_a_name_that_looks_like_markup_ends_as_text(project: Project) -> None:
    write_company(project.folder / "company", {"name": HOSTILE["name"]})
    result = run(project, "export", "pages", *OVERRIDES, "--company", "company/sample.yml")
    assert result.returncode == 0, result.stderr
    for name, content in files_in(project.folder / "pages").items():
        if name.endswith(".html"):
            assert b"<script>alert" not in content, name


def test_a_file_that_is_not_there_is_told(project: Project) -> None:
    result = run(project, "verify", "--company", "company/none.yml")
    assert result.returncode == 2
    assert "company/none.yml" in result.stderr
    project.write("mkdocs.yml", NAMED.replace("sample.yml", "none.yml"))
    result = run(project, "build")
    assert result.returncode == 1
    assert "company/none.yml" in result.stdout + result.stderr
