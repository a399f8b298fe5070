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
    pages = exported(project.folder, "--overrides", "site_overrides")
    built = project.built(SOURCE_DATE_EPOCH=EPOCH)
    assert len(pages) > 100
    assert {name: built.get(name) for name in pages} == pages
