"""What a phone does once it has the pages: the next page after a tap, and work that blocks it.

Each figure stands beside that of a page of one word, visited in turn with ours: what is left after
it is the browser's and the machine's.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

from playwright.sync_api import Browser, Page

from bench.chromium import SLOWER, WORD, first_paint, left_alone, phone

TIMES = 3

_NOTE_THE_TAP = """addEventListener('click', event => {
  window.name = performance.timeOrigin + event.timeStamp;
})"""
"""`window.name` outlives the page, and takes no storage."""
_PAINTED = "seconds => performance.timeOrigin + seconds * 1000 - Number(window.name)"


@dataclass(frozen=True)
class Beside:
    """Medians in milliseconds: of the slowest of our pages, of all, and of a page of one word."""

    slowest: float
    of: str
    all: float
    word: float


def taps(site: Path, pages: Sequence[str], work: Path, *, slower: int) -> Beside:
    """From a tap on the first answer of each page to the next page's first paint, from files."""
    word = _word_page(work)
    found: dict[str, list[float]] = {name: [] for name in (*pages, word)}
    with phone(slower=slower) as tab:
        for _ in range(TIMES):
            for name in pages:
                found[name].append(_tap(tab, site / name, ".answers a"))
                found[word].append(_tap(tab, Path(word), "a"))
    return _beside(found, word)


def tasks(site: Path, pages: Sequence[str], work: Path) -> Beside:
    """The longest task of the page's main thread while each page loads, on a slow phone.

    It is the task's own processor time here, times `SLOWER`: where a browser makes itself slower,
    other work on the machine looks like the page's. The task in which the browser makes room for
    the page is left out: it is there, and as long, for a page without a word.
    """
    word = _word_page(work)
    found: dict[str, list[float]] = {name: [] for name in (*pages, word)}
    with phone(slower=1) as tab:
        tab.goto(Path(word).as_uri())
        for _ in range(TIMES):
            for name in pages:
                found[name].append(_longest(tab, site / name))
                found[word].append(_longest(tab, Path(word)))
    return _beside(found, word)


def _word_page(work: Path) -> str:
    page = work / "word.html"
    page.write_text(WORD, encoding="utf-8")
    return str(page)


def _beside(found: dict[str, list[float]], word: str) -> Beside:
    ours = {name: median(times) for name, times in found.items() if name != word}
    slowest = max(ours, key=lambda name: ours[name])
    return Beside(ours[slowest], slowest, median(ours.values()), median(found[word]))


def _tap(tab: Page, page: Path, selector: str) -> float:
    tab.goto(page.as_uri())
    left_alone(tab)
    tab.evaluate(_NOTE_THE_TAP)
    with tab.expect_navigation():
        tab.locator(selector).first.click()
    return float(tab.evaluate(_PAINTED, first_paint(tab)))


def _longest(tab: Page, page: Path) -> float:
    browser = tab.context.browser
    assert isinstance(browser, Browser)
    browser.start_tracing(page=tab, categories=["-*", "toplevel", "navigation"])
    tab.goto(page.as_uri())
    left_alone(tab)
    events: list[dict[str, Any]] = json.loads(browser.stop_tracing())["traceEvents"]
    threads = [e for e in events if e["name"] == "thread_name"]
    names = {(e["pid"], e["tid"]): e["args"]["name"] for e in threads}
    mine = [e for e in events if names.get((e["pid"], e["tid"])) == "CrRendererMain"]
    commits = [e["ts"] for e in mine if e["name"] == "RenderFrameImpl::CommitNavigation"]
    lengths = (
        float(e.get("tdur", 0))
        for e in mine
        if e["name"].endswith("RunTask")
        and not any(e["ts"] <= at <= e["ts"] + e.get("dur", 0) for at in commits)
    )
    return SLOWER * max(lengths) / 1000
