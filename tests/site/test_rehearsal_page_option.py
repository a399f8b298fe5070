"""The page that tells how an edition was rehearsed, in real runs: there, linked, or left out."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from browser.sites import rehearse
from project.repository import ROOT
from project.small_site import EPOCH, FRAMED, Project, environment_for, files_in

PAGE = "rehearsed.html"
SILENT = FRAMED.replace("stepstop]", "{stepstop: {rehearsal_page: false}}]")


@pytest.fixture
def project(tmp_path: Path) -> Project:
    made = Project(tmp_path)
    rehearse(made.folder / "decision_trees")
    made.write("mkdocs.yml", FRAMED)
    return made


def exported(project: Project, *options: str) -> dict[str, bytes]:
    overrides = ("--overrides", str(ROOT / "site_overrides"))
    subprocess.run(
        [sys.executable, "-m", "stepstop", "export", "pages", *overrides, *options],
        cwd=project.folder,
        env=environment_for(SOURCE_DATE_EPOCH=EPOCH),
        capture_output=True,
        timeout=120,
        check=True,
    )
    return files_in(project.folder / "pages")


def links(page: bytes) -> list[str]:
    return [str(a["href"]) for a in BeautifulSoup(page, "html.parser").select("a[href]")]


def test_a_rehearsed_site_is_the_same_both_ways(project: Project) -> None:
    pages = exported(project)
    built = project.built(SOURCE_DATE_EPOCH=EPOCH)
    assert b"Very likely:" in pages["cold/call.html"]
    assert b"<svg" in pages[PAGE]
    assert {name: built.get(name) for name in pages} == pages


def test_every_hand_written_page_leads_there(project: Project) -> None:
    built = project.built()
    assert PAGE in links(built["about.html"])
    assert f"../{PAGE}" in links(built["complaints/cold.html"])


def test_left_out_it_is_nowhere_and_linked_from_nowhere_both_ways(project: Project) -> None:
    project.write("mkdocs.yml", SILENT)
    pages = exported(project, "--no-rehearsal-page")
    built = project.built(SOURCE_DATE_EPOCH=EPOCH)
    assert PAGE not in pages
    assert PAGE not in built
    assert {name: built.get(name) for name in pages} == pages
    ours = [page for name, page in built.items() if name.endswith(".html")]
    assert not [page for page in ours for href in links(page) if href.endswith(PAGE)]
    assert b"Very likely:" in pages["cold/call.html"]


def test_it_is_not_searched(project: Project) -> None:
    index = json.loads(project.built()["search/search_index.json"])
    assert not [entry for entry in index["docs"] if "rehearsed" in entry["location"]]


def test_a_stale_file_ends_no_build(project: Project) -> None:
    project.edit("decision_trees/complaints/cold.yml", "urgency: today", "urgency: can-wait")
    built = project.built()
    assert b"The trees have changed since the last rehearsal" in built[PAGE]
    assert b"Very likely:" not in built["cold/call.html"]


def test_an_option_that_is_neither_yes_nor_no_is_refused(project: Project) -> None:
    project.write("mkdocs.yml", FRAMED.replace("stepstop]", "{stepstop: {rehearsal_page: 7}}]"))
    run = project.build()
    assert run.returncode == 1
    assert "rehearsal_page" in run.stderr
