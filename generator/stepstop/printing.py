"""HTML to PDF by a Chromium that is on this machine; nothing is fetched, nothing is sent."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")
"""Commands of browsers that print in this way."""
_PATIENCE = 300
"""Seconds after which it has gone wrong."""
_DATE = re.compile(rb"(/(?:CreationDate|ModDate) ?\(D:)\d{14}([^)]*\))")


class PrintError(Exception):
    """It could not be printed; the message says why, and what to do."""


def printed(page: bytes, date: str) -> bytes:
    """The PDF of a page, tagged, with links and bookmarks.

    The same page gives the same bytes with one browser: the file is dated `date` (YYYY-MM-DD, or
    empty: 1970-01-01), not by a clock. Raises `PrintError`.
    """
    browser = next(filter(None, map(shutil.which, BROWSERS)), None)
    if browser is None:
        raise PrintError(
            "a PDF needs Chromium on the PATH; write booklet.html instead, open it in a browser "
            "and print it from there"
        )
    with TemporaryDirectory() as name:
        folder = Path(name)
        source, target = folder / "page.html", folder / "page.pdf"
        source.write_bytes(page)
        command = [
            browser,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            f"--user-data-dir={folder / 'profile'}",
            "--no-pdf-header-footer",
            "--generate-pdf-document-outline",
            f"--print-to-pdf={target}",
            source.as_uri(),
        ]
        try:
            done = subprocess.run(command, capture_output=True, timeout=_PATIENCE, check=False)
        except (OSError, subprocess.TimeoutExpired) as error:
            raise PrintError(f"{browser} did not print: {error}") from error
        if done.returncode or not target.is_file():
            last = done.stderr.decode(errors="replace").strip().splitlines()[-1:]
            raise PrintError(f"{browser} did not print: {' '.join(last) or done.returncode}")
        return _dated(target.read_bytes(), date)


def _dated(content: bytes, date: str) -> bytes:
    """The same file with another date; it is as long as before, so that no offset moves."""
    day = date.replace("-", "") or "19700101"
    stamp = f"{day}000000".encode()
    return _DATE.sub(lambda found: found[1] + stamp + found[2], content)
