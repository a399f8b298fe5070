"""Working offline, in real runs: the same both ways, for both kinds of address, or withdrawn."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from project.small_site import CONFIG, EPOCH, Project, environment_for, files_in

WITHDRAWN = CONFIG.replace("stepstop]", "{stepstop: {offline: false}}]")
OURS = ("worker.js", "app.webmanifest", "icon.svg", "icon-192.png", "icon-512.png")


@pytest.fixture
def project(tmp_path: Path) -> Project:
    return Project(tmp_path)


def exported(project: Project, *options: str) -> dict[str, bytes]:
    subprocess.run(
        [sys.executable, "-m", "stepstop", "export", "pages", *options],
        cwd=project.folder,
        env=environment_for(SOURCE_DATE_EPOCH=EPOCH),
        capture_output=True,
        timeout=120,
        check=True,
    )
    return files_in(project.folder / "pages")


@pytest.mark.parametrize("addresses", ["--use-directory-urls", "--no-directory-urls"])
def test_all_that_is_needed_offline_is_the_same_both_ways(project: Project, addresses: str) -> None:
    pages = exported(project)
    built = project.built(addresses, SOURCE_DATE_EPOCH=EPOCH)
    kept = [name for name in pages if name.startswith("offline/")]
    assert len(kept) == 4
    for name in (*OURS, *kept):
        assert built[name] == pages[name], name


def test_every_file_that_the_worker_names_is_there(project: Project) -> None:
    built = project.built()
    head = built["worker.js"].decode().split(";\n")[0]
    plan = json.loads(head.removeprefix("const PLAN = "))
    assert {f"offline/{label}.json" for label in plan["files"]} <= built.keys()


def test_withdrawn_there_is_only_what_takes_it_away_both_ways(project: Project) -> None:
    project.write("mkdocs.yml", WITHDRAWN)
    pages = exported(project, "--no-offline")
    built = project.built(SOURCE_DATE_EPOCH=EPOCH)
    assert {name: built.get(name) for name in pages} == pages
    for files in (pages, built):
        assert b"unregister" in files["worker.js"]
        assert not [name for name in files if name in OURS[1:] or name.startswith("offline/")]
        assert not [name for name, page in files.items() if b'rel="manifest"' in page]


def test_a_page_for_missing_addresses_leads_to_the_worker_where_the_root_is_known(
    project: Project,
) -> None:
    project.write("mkdocs.yml", f"{CONFIG}site_url: https://heat.example/guide/\n")
    assert b'<link rel="manifest" href="/guide/app.webmanifest">' in project.built()["404.html"]
    project.write("mkdocs.yml", f"{WITHDRAWN}site_url: https://heat.example/guide/\n")
    assert b'rel="manifest"' not in project.built()["404.html"]


def test_an_option_that_is_neither_yes_nor_no_is_refused(project: Project) -> None:
    project.write("mkdocs.yml", WITHDRAWN.replace("offline: false", "offline: seldom"))
    run = project.build()
    assert run.returncode == 1
    assert "offline" in run.stderr
