"""Cost and size: what it costs to read, prove, render and write pages, and how that grows.

Every time stands beside another of the same run, taken in turn with it, and what is told is the
median of the ratios of such pairs.
"""

from __future__ import annotations

import math
import shutil
import time
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import chain
from multiprocessing import get_context
from pathlib import Path
from statistics import median

import yaml
from bs4 import BeautifulSoup

from bench.grown import grown, written_steps, yaml_files
from bench.many import bare, peak
from bench.stock import CONFIG, built, stock_source
from stepstop.course import Course
from stepstop.edition import edition_for
from stepstop.publish import publish
from stepstop.site import page_files, site_files
from stepstop.verify import verify

FEW, MANY = 3, 34
"""Copies of the shipped complaints: some 10,000 pages, and over 100,000 steps that walks show."""
PAIRS = 3
SAMPLES = 40
"""Pages whose words are held against those of the stock site."""

PARSING = 8.0
"""Reading and proving may cost so many times the bare parsing of the same YAML."""
PAGES_TO_STOCK, BUILD_TO_STOCK = 10.0, 4.0
"""So many times as fast as stock Material: pages rendered and written; the whole build."""
GROWTH = 11.0
"""Ten times the steps may take so many times as long."""
MEMORY = 1_500_000_000


@dataclass(frozen=True)
class Costs:
    """Medians of ratios, and what they are about."""

    pages: int
    steps: int
    written: int
    """Steps that stand in the files, each once."""
    parsing: Sequence[float]
    """Reading and proving, to the bare parsing with libyaml."""
    pages_to_stock: Sequence[float]
    """A stock build of the same words, to rendering and writing our pages."""
    build_to_stock: Sequence[float]
    """The same, to our whole build with MkDocs: proof, pages, and all files beside them."""
    writing: Sequence[float]
    """All that `export` does, to the bare writing of the same bytes."""
    seconds: dict[str, float]
    """Name of a part -> its median in this run."""


@dataclass(frozen=True)
class Size:
    """One library, exported whole by a process of its own."""

    steps: int
    pages: int
    files: int
    seconds: float
    memory: int
    """The most bytes that it held."""


def costs(work: Path, disk: Path) -> Costs:
    """What some 10,000 pages cost, in the folder `work`.

    All parts write there: it had better be in memory, since what a disk takes for so many files is
    the same for each of them and differs by the minute. `disk` is written to once for comparison.
    """
    library = grown(_new(work / "few"), FEW)
    course = _proven(library)
    edition = edition_for(course, library, environ={})
    texts = [path.read_bytes() for path in yaml_files(library)]
    made = dict(page_files(course, edition))
    stock, ours = _new(work / "stock"), _new(work / "ours")
    # Kindly: with every page in the navigation of each its time would grow with their square.
    stock_source(made.values(), stock, nav=["index.md"], not_in_nav="page-*")
    _own_source(library, ours)
    whole = dict(site_files(course, edition))
    parts: dict[str, Callable[[], object]] = {
        "parse": lambda: [yaml.load(text, Loader=yaml.CSafeLoader) for text in texts],
        "verify": lambda: _proven(library),
        "pages": lambda: publish(page_files(course, edition), work / "pages"),
        "export": lambda: _export(library, work / "export"),
        "bare": lambda: bare(whole.items(), work / "bare"),
        "bare on disk": lambda: bare(whole.items(), disk / "on-disk"),
        "build": lambda: built(ours),
        "stock": lambda: built(stock),
    }
    found: dict[str, list[float]] = {name: [] for name in parts}
    for _ in range(PAIRS):
        for name, part in parts.items():
            found[name].append(_seconds(part))
            if name == "stock":
                _same_words(made, stock / "site")
            for folder in ("pages", "export", "bare", "ours/site", "stock/site"):
                shutil.rmtree(work / folder, ignore_errors=True)
            shutil.rmtree(disk / "on-disk", ignore_errors=True)
    return Costs(
        len(course.pages),
        _steps(course),
        written_steps(library),
        _ratios(found["verify"], found["parse"]),
        _ratios(found["stock"], found["pages"]),
        _ratios(found["stock"], found["build"]),
        _ratios(found["export"], found["bare"]),
        {name: median(each) for name, each in found.items()},
    )


def sizes(work: Path) -> tuple[Size, Size]:
    """Some 10,000 pages and ten times as many, each by a new process: its memory is no other's."""
    return _alone(work, FEW), _alone(work, MANY)


def growth(few: Size, many: Size) -> float:
    """How many times as long ten times the steps take."""
    return 10 ** exponent(few, many)


def exponent(few: Size, many: Size) -> float:
    """The power of the steps that the time grows with."""
    return math.log(many.seconds / few.seconds) / math.log(many.steps / few.steps)


def exported(work: Path, copies: int) -> Size:
    """The library of so many copies, read, proven, rendered and written in this process."""
    library = grown(_new(work / f"library-{copies}"), copies)
    begun = time.perf_counter()
    course, files = _export(library, work / "sized")
    seconds = time.perf_counter() - begun
    shutil.rmtree(work / "sized")
    return Size(_steps(course), len(course.pages), files, seconds, peak())


def _alone(work: Path, copies: int) -> Size:
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return pool.submit(exported, work, copies).result()


def _export(library: Path, folder: Path) -> tuple[Course, int]:
    """What `stepstop export` does: the course, and how many files it wrote."""
    course = _proven(library)
    edition = edition_for(course, library, environ={})
    return course, publish(site_files(course, edition), folder)


def _steps(course: Course) -> int:
    return sum(1 for page in course.pages.values() if page.step)


def _proven(library: Path) -> Course:
    found = verify(library)
    assert found.is_proven, found.problems[:3]
    assert found.course is not None
    return found.course


def _own_source(library: Path, folder: Path) -> None:
    """Our plugin with the same library, and a page by hand."""
    (_new(folder / "docs") / "about.md").write_text("# About\n", encoding="utf-8")
    config = {
        **CONFIG,
        "nav": ["about.md"],
        "not_in_nav": "*",
        "plugins": [{"stepstop": {"trees": str(library)}}],
    }
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(config), encoding="utf-8")


def _same_words(made: dict[str, bytes], stock: Path) -> None:
    """Each of a sample of the stock pages says all that ours says."""
    pages = list(made.values())
    for sample in range(SAMPLES):
        number = sample * len(pages) // SAMPLES
        theirs = words((stock / f"page-{number}.html").read_bytes(), "article")
        lost = words(pages[number], "header", "main", "footer") - theirs
        assert not lost, (number, lost)


def words(page: bytes, *elements: str) -> Counter[str]:
    """What a reader sees in these elements of a page: each word with how often.

    Labels of fields are left out, as the fields are: stock pages have none.
    """
    soup = BeautifulSoup(page, "html.parser")
    for each in soup.find_all(["script", "style", "label"]):
        each.decompose()
    found = (each.get_text(" ").replace("\u00a0", " ").split() for each in soup.find_all(elements))
    return Counter(chain.from_iterable(found))


def _ratios(above: Sequence[float], below: Sequence[float]) -> list[float]:
    return [one / other for one, other in zip(above, below, strict=True)]


def _seconds(part: Callable[[], object]) -> float:
    begun = time.perf_counter()
    part()
    return time.perf_counter() - begun


def _new(folder: Path) -> Path:
    folder.mkdir(parents=True)
    return folder
