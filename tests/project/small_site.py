"""Sites in folders of their own, for tests that run MkDocs and the command on them."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from project.repository import ROOT

BASE = ROOT / "tests" / "rules" / "base"
EPOCH = "1790000000"
"""For SOURCE_DATE_EPOCH: a moment of 2026-09-21."""

ENDINGS = """
tree: endings
role: shared
title: Endings
outcomes:
  stop-and-call:
    kind: call
    title: Stop here and call.
    urgency: today
    say: [My heat is out., I have done the safe checks.]
    do: [Keep warm in one room.]
    leave: {state: as-it-is, until: the technician comes}
    who: technician
    causes: [no-power, board]
"""
CONFIG = """
site_name: Try
docs_dir: content
use_directory_urls: false
theme: {name: material, font: false}
plugins: [search, stepstop]
"""
FRAMED = CONFIG.replace("font: false}", f"font: false, custom_dir: {ROOT / 'site_overrides'}}}")
"""The same with the shipped frame around hand-written pages."""
ABOUT = "# About\n\nSee [no heat](complaints/cold.md) and [danger](danger/index.html).\n"
BROKEN = ("is: no, go: ready", "is: no, go: panel")
"""Skips the question whether the person can walk there."""


class Project:
    """A folder with trees, hand-written pages and a configuration."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.site = folder / "site"
        self.fill(folder)

    def fill(self, folder: Path) -> None:
        shutil.copytree(BASE, folder / "decision_trees")
        if not (folder / "decision_trees/shared/endings.yml").exists():
            self.write("decision_trees/shared/endings.yml", ENDINGS)
        self.write("mkdocs.yml", CONFIG)
        self.write("content/about.md", ABOUT)

    def write(self, name: str, text: str) -> None:
        (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
        (self.folder / name).write_text(text, encoding="utf-8")

    def edit(self, name: str, old: str, new: str) -> None:
        text = (self.folder / name).read_text(encoding="utf-8")
        assert old in text
        self.write(name, text.replace(old, new, 1))

    def break_tree(self) -> None:
        self.edit("decision_trees/complaints/cold.yml", *BROKEN)

    def mend_tree(self) -> None:
        self.edit("decision_trees/complaints/cold.yml", *reversed(BROKEN))

    def build(self, *options: str, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "mkdocs", "build", "--strict", *options],
            cwd=self.folder,
            env=environment_for(**environment),
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )

    def built(self, *options: str, **environment: str) -> dict[str, bytes]:
        run = self.build(*options, **environment)
        assert run.returncode == 0, run.stderr
        return files_in(self.site)


class ShippedSite(Project):
    """A copy of the shipped trees, templates and hand-written pages."""

    def fill(self, folder: Path) -> None:
        for name in ("content", "decision_trees", "site_overrides"):
            shutil.copytree(ROOT / name, folder / name)
        shutil.copy(ROOT / "mkdocs.yml", folder)


def files_in(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def environment_for(**more: str) -> dict[str, str]:
    inherited = {k: v for k, v in os.environ.items() if k != "SOURCE_DATE_EPOCH"}
    return {**inherited, "NO_MKDOCS_2_WARNING": "1", **more}
