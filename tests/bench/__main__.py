"""Speed and access of the pages that the trees give, measured; `make bench` runs it.

python -m bench [--json FILE] [--only PART ...]

Every figure of time stands beside one of the same run that the machine can't do better, and what
has a bar says whether it is kept. Exit status: 0 all bars kept, 1 one missed, 2 something could not
be measured here.
"""

from __future__ import annotations

import argparse
import gzip
import json
import os
import shutil
import signal
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from bench import keys, lighthouse, local, many, paint, scale
from bench.chromium import SLOWER, NoChromium, chromium
from bench.slow_link import NoSlowLink
from browser.sites import REAL, course_of, whole_site_of, write_site
from stepstop.course import Course, Page

TAP = 100
"""Milliseconds from a tap to the next page, from files."""
TASK = 50
"""Milliseconds that block a page: a long task, in the words of the W3C's Long Tasks API."""
MEMORY = Path("/dev/shm")
"""A file system in memory, as Linux has it."""
ROOM = 4_000_000_000
"""Bytes that must be free there."""
PAGES = 8
"""Question pages that are tapped, spread over all."""


class Told:
    """What was found so far, printed as it comes."""

    def __init__(self) -> None:
        self.status = 0
        self.rows: list[dict[str, str | bool | None]] = []
        self._part = ""

    def head(self, text: str) -> None:
        """Begin a part."""
        self._part = " ".join(text.split())
        print(f"\n{text}", flush=True)

    def line(self, name: str, value: str, is_kept: bool | None = None) -> None:
        """Print a figure; `is_kept` says whether it keeps its bar, None that it has none."""
        row = {"part": self._part, "name": name, "value": value, "kept": is_kept}
        self.rows.append(row)
        mark = {None: "", True: "   kept", False: "   MISSED"}[is_kept]
        print(f"  {name:<44} {value}{mark}", flush=True)
        if is_kept is False:
            self.status = self.status or 1

    def missing(self, why: object) -> None:
        """Say that a part could not be measured."""
        row = {"part": self._part, "name": "not measured", "value": str(why), "kept": None}
        self.rows.append(row)
        print(f"  not measured: {why}", flush=True)
        self.status = 2


def main() -> int:
    """Measure what is asked for, print it, write it as JSON; the exit status."""
    asked = argparse.ArgumentParser(prog="python -m bench", description=__doc__)
    asked.add_argument("--json", type=Path, help="also write all of it there")
    asked.add_argument("--only", nargs="+", choices=[part.__name__ for part in PARTS])
    options = asked.parse_args()
    told = Told()
    try:
        print(f"{chromium()}; {os.cpu_count()} processors, load before: {os.getloadavg()[0]:.1f}")
    except NoChromium as error:
        told.missing(error)
        return told.status
    files, course = whole_site_of(REAL), course_of(REAL)
    with TemporaryDirectory() as folder:
        work = Path(folder)
        site = write_site(files, work / "site")
        pick = Pick(course, files)
        for part in PARTS:
            if options.only is None or part.__name__ in options.only:
                own = work / part.__name__
                own.mkdir()
                part(told, site, pick, own)
    if options.json:
        options.json.write_text(json.dumps(told.rows, indent=1) + "\n", "utf-8")
    print()
    print({0: "All bars are kept.", 1: "A bar is missed.", 2: "Not all was measured."}[told.status])
    return told.status


class Pick:
    """Chooses pages of a site."""

    def __init__(self, course: Course, files: dict[str, bytes]) -> None:
        self.files = files
        self._pages = {f"{page.id}.html": page for page in course.pages.values()}
        self.roots = [f"{root}.html" for root in course.roots]

    def all(self, wanted: Callable[[Page], bool]) -> list[str]:
        """The files of the pages that are `wanted`, the largest first."""
        found = [name for name, page in self._pages.items() if wanted(page)]
        return sorted(found, key=lambda name: (-self.weight(name), name))

    def weight(self, name: str) -> int:
        """Bytes of a file, zipped as well as gzip can."""
        return len(gzip.compress(self.files[name], 9, mtime=0))

    def questions(self) -> list[str]:
        """Every question page, the largest first."""
        return self.all(lambda page: page.step is not None and page.step.kind == "question")

    def kinds(self) -> dict[str, str]:
        """Name of a kind of page -> the largest page of that kind."""
        return {
            "start": "index.html",
            "question, listed": max(self.roots, key=self.weight),
            "question": self.questions()[0],
            "check": self.all(lambda page: page.check is not None)[0],
            "outcome": self.all(lambda page: bool(page.outcome and page.outcome.kind == "call"))[0],
            "outcome, listed": self.all(
                lambda page: bool(page.outcome and page.outcome.kind == "danger")
            )[0],
        }


def weights(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """Bytes of pages; the bars are held by the tests."""
    told.head("Weight, gzip -9, without headers")
    sizes = {name: pick.weight(name) for name in pick.files if name.endswith(".html")}
    question = pick.questions()[0]
    told.line("largest question page", f"{sizes[question]:,} B ({question})")
    largest = max(sizes, key=lambda name: sizes[name])
    told.line("largest page", f"{sizes[largest]:,} B ({largest})")
    told.line(f"median of {len(sizes):,} pages", f"{median(sizes.values()):,.0f} B")


def paints(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """First paint over a slow connection."""
    told.head(
        f"First paint over real packets: round trip {paint.ROUND_TRIP * 1000:.0f} ms, "
        f"{paint.BITS // 1000} kbit/s, TLS 1.3, HTTP/2, Brotli, processor {SLOWER} times slower\n"
        f"  as a ratio to the floor of three round trips ({paint.FLOOR:.1f} s); medians of "
        f"{paint.TIMES} visits, each with a new browser"
    )
    name = pick.questions()[0]
    beside = tuple(pick.files[each] for each in pick.questions()[1:12])
    try:
        found = paint.measure(site, name, beside, work)
    except NoSlowLink as error:
        told.missing(error)
        return
    kept = found.ratio(found.ours) <= paint.BAR
    told.line("largest question page", spread(found.ours), kept)
    told.line("the same from a host with large TLS records", spread(found.large))
    told.line("a page of one word", spread(found.word))
    told.line("stock Material, same words, no web font", spread(found.stock))
    told.line("bar", f"{paint.BAR}")
    if found.ratio(found.word) > paint.BAR:
        told.missing("no page can keep the bar now: other work on this machine slows it down")


def spread(seconds: Iterable[float]) -> str:
    """Median, least and most, as ratios to the floor."""
    return ratio(each / paint.FLOOR for each in seconds)


def taps(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """From a tap to the next page."""
    told.head(
        "From a tap on an answer to the next page's first paint, from files, without a network"
    )
    questions = pick.questions()
    pages = [questions[i * len(questions) // PAGES] for i in range(PAGES)]
    for slower in (1, SLOWER):
        found = local.taps(site, pages, work, slower=slower)
        speed = "this machine's speed" if slower == 1 else f"{slower} times slower"
        kept = found.slowest < TAP if slower == 1 else None
        told.line(f"slowest of {PAGES} pages, {speed}", beside_word(found), kept)
    told.line("bar, at this machine's speed", f"{TAP} ms")


def tasks(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """Work that blocks a page while it loads."""
    told.head(f"Longest task of a page while it loads: its processor time, times {SLOWER}")
    found = local.tasks(site, list(pick.kinds().values()), work)
    told.line("slowest kind of page", beside_word(found), found.slowest <= TASK)
    told.line("bar", f"{TASK} ms")


def beside_word(found: local.Beside) -> str:
    """The figures with the ratio to a page of one word."""
    ratio = found.slowest / found.word
    return (
        f"{found.slowest:.0f} ms ({found.of}), median {found.all:.0f} ms; "
        f"a page of one word {found.word:.0f} ms, ratio {ratio:.2f}"
    )


def points(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """Lighthouse."""
    told.head(
        f"Lighthouse {lighthouse.VERSION}, mobile: {', '.join(lighthouse.CATEGORIES)}\n"
        "  (search is judged on listed pages only: the others ask search engines to keep away)"
    )
    try:
        found = lighthouse.scores(site, pick.kinds())
    except lighthouse.NoLighthouse as error:
        told.missing(error)
        return
    for name, each in found.items():
        shown = " / ".join(
            str(each.points.get(category, "-")) for category in lighthouse.CATEGORIES
        )
        failed = f" ({', '.join(each.failed)})" if each.failed else ""
        told.line(name, shown + failed, set(each.points.values()) == {100})


def presses(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """Keys of an agent's call."""
    told.head(
        "Key presses of a call, from the first words to the notes: medians of rehearsed calls\n"
        "  that do not end in danger, both unsure and mistaken; typed names and words not counted"
    )
    for complaint, (keys_pressed, calls) in keys.measure().items():
        told.line(complaint, f"{keys_pressed:g} ({calls} calls)")


def companies(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """Pages of many companies."""
    told.head(
        f"The pages of {many.MANY} companies, as a ratio to the bare writing of the same bytes"
    )
    # A process of its own: its memory is no other part's.
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as alone:
        found = alone.submit(many.measure, work).result()
    told.line("proof, pages, filling and writing", f"{found.ratio:.2f}", found.ratio <= many.BAR)
    share = f"{found.own / found.bare:.2f}, and {found.shared / found.bare:.2f} for all once"
    told.line("of it for each company", share)
    told.line("bare writing", f"{found.written / 1e9:.1f} GB in {found.bare:.0f} s")
    told.line("bar", f"{many.BAR}")
    told.line(
        f"most memory, {many.FEW} and {many.MANY} companies",
        f"{found.few / 1e6:,.0f} MB, {found.many / 1e6:,.0f} MB",
        found.growth <= many.FLAT,
    )


def building(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """Reading, proving, rendering and writing some 10,000 pages."""
    with _in_memory(work) as folder:
        found = scale.costs(folder, work)
    told.head(
        f"{found.pages:,} pages from {found.written:,} written steps: medians of ratios of "
        f"{scale.PAIRS} runs in turn"
    )
    parsing = median(found.parsing) <= scale.PARSING
    pages = median(found.pages_to_stock) >= scale.PAGES_TO_STOCK
    build = median(found.build_to_stock) >= scale.BUILD_TO_STOCK
    told.line("reading and proving / libyaml alone", ratio(found.parsing), parsing)
    told.line("stock Material / our pages", ratio(found.pages_to_stock), pages)
    told.line("stock Material / our whole build", ratio(found.build_to_stock), build)
    told.line("whole export / bare writing of its bytes", ratio(found.writing))
    told.line("bars", f"{scale.PARSING:g}, {scale.PAGES_TO_STOCK:g}, {scale.BUILD_TO_STOCK:g}")
    told.line("seconds here", ", ".join(f"{n} {s:.1f}" for n, s in found.seconds.items()))
    told.line("files are written to", "the disk" if folder == work else f"memory ({MEMORY})")
    told.line("same words", f"{scale.SAMPLES} pages of the stock site say all that ours say")


@contextmanager
def _in_memory(work: Path) -> Iterator[Path]:
    """A folder in memory, where this machine has room for one; else `work` itself."""
    if not MEMORY.is_dir() or shutil.disk_usage(MEMORY).free < ROOM:
        yield work
        return
    with TemporaryDirectory(dir=MEMORY) as folder:
        yield Path(folder)


def growing(told: Told, site: Path, pick: Pick, work: Path) -> None:
    """Ten times the steps."""
    told.head("Read, prove, render and write: ten times the steps, each size by its own process")
    few, many_steps = scale.sizes(work)
    grown = scale.growth(few, many_steps)
    told.line("time for ten times the steps", f"{grown:.1f} times", grown <= scale.GROWTH)
    told.line("time grows with the power", f"{scale.exponent(few, many_steps):.2f} of the steps")
    for each in (few, many_steps):
        name = f"{each.steps:,} steps on {each.pages:,} pages"
        value = f"{each.seconds:.0f} s, {each.memory / 1e6:,.0f} MB, {each.files:,} files"
        told.line(name, value, each.memory < scale.MEMORY)
    told.line("bars", f"{scale.GROWTH:g} times, {scale.MEMORY / 1e6:,.0f} MB")


def ratio(found: Iterable[float]) -> str:
    """Median, least and most."""
    ratios = sorted(found)
    return f"{median(ratios):.2f} ({ratios[0]:.2f} to {ratios[-1]:.2f})"


PARTS = (weights, paints, taps, tasks, points, presses, companies, building, growing)


if __name__ == "__main__":
    # Ended from outside, it still takes its network down.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("ended"))
    sys.exit(main())
