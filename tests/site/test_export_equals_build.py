"""`stepstop export` and the MkDocs build write the same question pages, byte for byte."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from project.small_site import EPOCH, Project, ShippedSite, environment_for, files_in


def exported(folder: Path, *options: str) -> dict[str, bytes]:
    run = subprocess.run(
        [sys.executable, "-m", "stepstop", "export", "pages", *options],
        cwd=folder,
        env=environment_for(SOURCE_DATE_EPOCH=EPOCH),
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return files_in(folder / "pages")


@pytest.mark.parametrize("addresses", ["--use-directory-urls", "--no-directory-urls"])
def test_a_small_site_is_the_same_both_ways(tmp_path: Path, addresses: str) -> None:
    project = Project(tmp_path)
    pages = exported(project.folder)
    built = project.built(addresses, SOURCE_DATE_EPOCH=EPOCH)
    assert len(pages) > 10
    assert {name: built.get(name) for name in pages} == pages


def test_the_shipped_site_is_the_same_both_ways(tmp_path: Path) -> None:
    project = ShippedSite(tmp_path)
    languages = ("--language", "en", "--language", "es")
    pages = exported(project.folder, "--overrides", "site_overrides", *languages)
    built = project.built(SOURCE_DATE_EPOCH=EPOCH)
    assert len(pages) > 100
    assert {name: built.get(name) for name in pages} == pages


def test_a_drawing_that_may_not_be_shown_is_told_in_one_line_and_nothing_is_written(
    tmp_path: Path,
) -> None:
    project = ShippedSite(tmp_path)
    drawing = project.folder / "other" / "stepstop" / "drawings" / "listen.svg"
    drawing.parent.mkdir(parents=True)
    drawing.write_text('<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>', "utf-8")
    run = subprocess.run(
        [sys.executable, "-m", "stepstop", "export", "pages", "--overrides", "other"],
        cwd=project.folder,
        env=environment_for(SOURCE_DATE_EPOCH=EPOCH),
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert run.returncode == 1
    assert run.stderr.startswith("Error: ")
    assert "listen" in run.stderr
    assert "Traceback" not in run.stderr
    assert not (project.folder / "pages").exists()
