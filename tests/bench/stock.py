"""The same words in a stock Material site: what a question page is held against."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import yaml
from bs4 import BeautifulSoup

CONFIG = {
    "site_name": "Stock",
    "use_directory_urls": False,
    # Without its web font, which would be two more hosts: the comparison is kind to it.
    "theme": {"name": "material", "font": False},
}
OWN = ("class", "id", "hidden", "aria-current", "data-words")
"""Attributes that only our own style sheet and scripts know."""


def stock_site(pages: Iterable[bytes], target: Path) -> str:
    """Build a site of the words and drawings of `pages` in `target`; the first one's file."""
    stock_source(pages, target)
    built(target)
    return "page-0.html"


def stock_source(pages: Iterable[bytes], target: Path, **more: Any) -> None:
    """Write what such a site is built of; `more` stands in its configuration."""
    docs = target / "docs"
    docs.mkdir(parents=True)
    for number, page in enumerate(pages):
        (docs / f"page-{number}.md").write_text(as_markdown(page), encoding="utf-8")
    (docs / "index.md").write_text("# Start\n\n[First](page-0.md)\n", encoding="utf-8")
    (target / "mkdocs.yml").write_text(yaml.safe_dump({**CONFIG, **more}), encoding="utf-8")


def built(target: Path) -> None:
    """Let MkDocs build the site whose configuration is in `target`."""
    environ = {name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"}
    subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--quiet"],
        cwd=target,
        env={**environ, "NO_MKDOCS_2_WARNING": "1"},
        check=True,
        capture_output=True,
    )


def as_markdown(page: bytes) -> str:
    """All that a reader of `page` sees, as Markdown with what it takes of plain HTML."""
    body = BeautifulSoup(page, "html.parser").body
    assert body is not None
    for element in body.find_all(["script", "input", "label"]):
        element.decompose()
    for element in body.find_all(True):
        for name in OWN:
            element.attrs.pop(name, None)
    title = body.find("h1").extract().get_text(" ", strip=True)
    parts = (part for each in body.find_all(["header", "main", "footer"]) for part in each)
    return f"# {title}\n\n<div>{''.join(map(str, parts)).replace(chr(10), ' ')}</div>\n"
