"""Pages for many companies: what they cost beside the bare writing of the same bytes."""

from __future__ import annotations

import resource
import shutil
import time
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import yaml

from browser.sites import REAL
from stepstop.companies import company_files, each_made
from stepstop.edition import Editions
from stepstop.publish import publish
from stepstop.site import Forms
from stepstop.verify import verify

FEW, MANY = 20, 200
BAR = 1.3
"""All work together may cost so many times the bare writing."""
FLAT = 1.1
"""The most that memory may grow from a few companies to many."""
DEMO = REAL / "companies" / "pinefold.yml"


@dataclass(frozen=True)
class Found:
    """Seconds, bytes, and the most memory that was held."""

    shared: float
    """What is done once: proof, and pages with gaps."""
    own: float
    """What is done for each company."""
    bare: float
    """Writing the same files, and nothing else."""
    written: int
    few: int
    """Bytes of memory held at the most for `FEW` companies."""
    many: int

    @property
    def ratio(self) -> float:
        """All work to the bare writing."""
        return (self.shared + self.own) / self.bare

    @property
    def growth(self) -> float:
        """Memory for many companies to that for a few."""
        return self.many / self.few


def measure(work: Path) -> Found:
    """Make the pages of `MANY` companies in the folder `work`, and write the same bare in turn.

    As `stepstop build --companies` does it. Each company's pages are taken away again once they
    are written: all together have some 20 GB.
    """
    folder = _companies(work / "companies")
    begun = time.perf_counter()
    course = verify(REAL).course
    assert course is not None
    editions, forms = Editions(REAL, environ={}), None
    shared = own = written_bare = 0.0
    written = few = 0
    for number, made in enumerate(each_made(company_files(folder), course), 1):
        assert made.course is not None, made.problems
        edition = editions.of(made.course, brand=made.brand)
        if forms is None:
            forms = Forms([(made.course, edition)])
            forms.site([edition])
            shared, begun = time.perf_counter() - begun, time.perf_counter()
        assert forms.fit([(made.course, edition)])
        files = forms.site([edition])
        publish(files.items(), work / "site")
        own += time.perf_counter() - begun
        shutil.rmtree(work / "site")
        written_bare += _bare_seconds(files, work / "bare")
        written += sum(map(len, files.values()))
        if number == FEW:
            few = peak()
        begun = time.perf_counter()
    return Found(shared, own, written_bare, written, few, peak())


def _bare_seconds(files: dict[str, bytes], folder: Path) -> float:
    """Seconds that it takes to write the files into `folder`, which is then taken away."""
    begun = time.perf_counter()
    bare(files.items(), folder)
    seconds = time.perf_counter() - begun
    shutil.rmtree(folder)
    return seconds


def bare(files: Iterable[tuple[str, bytes]], folder: Path) -> None:
    """Write the files, and do nothing else."""
    for name, content in files:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def peak() -> int:
    """The most memory that this process ever held, in bytes."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def _companies(folder: Path) -> Path:
    """Files of `MANY` companies: the demo with other names, numbers and colors."""
    folder.mkdir()
    shutil.copy(DEMO.with_suffix(".svg"), folder)
    data = yaml.safe_load(DEMO.read_text(encoding="utf-8"))
    for number in range(MANY):
        own = {
            "company": f"demo-{number:03}",
            # Letters: a number such as 112 in a name is refused.
            "name": f"Demo Heating {chr(65 + number // 26)}{chr(65 + number % 26)}",
            "phone": f"+1202555{number % 40 + 100:04}",
            "colours": {"light": f"#0b5a3{number % 13:x}", "dark": f"#8fe0b{number % 10}"},
        }
        path = folder / f"{own['company']}.yml"
        path.write_text(yaml.safe_dump({**data, **own}, allow_unicode=True), encoding="utf-8")
    return folder
