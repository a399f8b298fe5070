"""Chromium for the bench: started anew for each measurement, slowed down to a cheap phone."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import Page, sync_playwright

SLOWER = 4
"""How many times slower the processor is made: a common stand-in for a cheap phone."""
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Our own certificate. Playwright's option for it would cost a second handshake.
    "--ignore-certificate-errors",
)
WORD = '<!DOCTYPE html><html lang="en"><title>One word</title><p><a href="word.html">Word</a>'
"""A page than which none is faster."""
ALONE = 1.0
"""Seconds in which nothing is asked of a page after it has loaded."""
PHONE = {"width": 360, "height": 740}


class NoChromium(Exception):
    """There is no Chromium on the PATH."""


def chromium() -> str:
    """Where Chromium lies; raises `NoChromium`."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        raise NoChromium("Chromium is not on the PATH (Debian: apt-get install chromium)")
    return path


@contextmanager
def phone(*, within: Sequence[str] = (), slower: int = SLOWER) -> Iterator[Page]:
    """A page of a browser that has seen nothing yet; `within` begins the command that starts it.

    Its processor is `slower` times slower than this machine's.
    """
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        start = _script([*within, chromium()], Path(folder)) if within else chromium()
        browser = playwright.chromium.launch(executable_path=str(start), args=QUIET)
        page = browser.new_page(viewport=PHONE)  # type: ignore[arg-type]
        told = page.context.new_cdp_session(page)
        told.send("Emulation.setCPUThrottlingRate", {"rate": slower})
        # The browser is up and has painted something, as that of somebody who follows a link.
        page.goto("data:text/html,<p>Word")
        first_paint(page)
        yield page
        browser.close()


def left_alone(page: Page) -> None:
    """Let the page finish: what a tool asks of it before would be among the page's own work."""
    page.wait_for_load_state("load")
    page.wait_for_timeout(ALONE * 1000)


def first_paint(page: Page) -> float:
    """Seconds from the start of the page's navigation to its first contentful paint."""
    left_alone(page)
    found: Any = page.evaluate(
        "performance.getEntriesByName('first-contentful-paint').map(paint => paint.startTime)"
    )
    assert len(found) == 1, "the page has not painted anything"
    return float(found[0]) / 1000


def _script(command: Sequence[str], folder: Path) -> Path:
    """A file that runs `command`, for a launcher that takes no more than a file."""
    path = folder / "chromium"
    path.write_text(f'#!/bin/sh\nexec {" ".join(command)} "$@"\n', encoding="utf-8")
    path.chmod(0o755)
    return path
