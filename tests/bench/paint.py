"""First paint of the largest question page over a slow connection, beside stock Material."""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from bench.chromium import WORD, first_paint, phone
from bench.server import LARGE_RECORD, SMALL_RECORD, certificate, served
from bench.slow_link import SERVER, SlowLink
from bench.stock import stock_site

ROUND_TRIP = 0.4
BITS = 400_000
FLOOR = 3 * ROUND_TRIP
"""Seconds: TCP, TLS 1.3 and the request take a round trip each before the first byte is there."""
BAR = 1.25
TIMES = 7


@dataclass(frozen=True)
class Paint:
    """Seconds to the first contentful paint, one for each visit, each with a browser of its own."""

    ours: tuple[float, ...]
    large: tuple[float, ...]
    """Of the same page, from a host that writes large TLS records."""
    word: tuple[float, ...]
    """Of a page of one word."""
    stock: tuple[float, ...]

    @staticmethod
    def ratio(seconds: tuple[float, ...]) -> float:
        """Of their median to the floor."""
        return median(seconds) / FLOOR


def measure(site: Path, page: str, beside: tuple[bytes, ...], work: Path) -> Paint:
    """Visit `page` of the folder `site`, a page of one word and a stock page of its words, in turn.

    `beside` are more pages of the site, so that the stock one has a navigation to show. Raises
    `NoSlowLink`.
    """
    with SlowLink(round_trip=ROUND_TRIP, bits=BITS) as link:
        stock_page = stock_site([(site / page).read_bytes(), *beside], work / "stock")
        tls = certificate(work, SERVER)
        (work / "word").mkdir()
        (work / "word" / "index.html").write_text(WORD, encoding="utf-8")
        visits = (
            (site, page, SMALL_RECORD),
            (site, page, LARGE_RECORD),
            (work / "word", "index.html", SMALL_RECORD),
            (work / "stock" / "site", stock_page, SMALL_RECORD),
        )
        found: list[list[float]] = [[] for _ in visits]
        with ExitStack() as stack:
            # One host each for all visits: none waits while a file is made small, after the first.
            addresses = [
                stack.enter_context(
                    served(folder, within=link.server, host=SERVER, record=record, tls=tls)
                )
                + name
                for folder, name, record in visits
            ]
            for number in range(TIMES + 1):
                for address, seconds in zip(addresses, found, strict=True):
                    visit = _visit(address, link)
                    if number:
                        seconds.append(visit)
    return Paint(*map(tuple, found))


def _visit(address: str, link: SlowLink) -> float:
    with phone(within=link.client) as page:
        page.goto(address, wait_until="load", timeout=60_000)
        found = first_paint(page)
        over = page.evaluate("performance.getEntriesByType('navigation')[0].nextHopProtocol")
        assert over == "h2", over
        return found
