"""One browser and both sites on disk, for all tests here; pages are opened from `file://`."""

import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from browser.sites import REAL, course_of, rehearse, site_of, small_library, write_site
from stepstop.course import Course
from stepstop.pages.address import equipment_file

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-sync",
    # Names for hosts of tests: to the browser each is a site of its own.
    "--host-resolver-rules=MAP *.test 127.0.0.1",
]


def chromium():
    """Where the browser is, or None."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


@dataclass(frozen=True)
class Site:
    """A site on disk with the course that it shows."""

    course: Course
    folder: Path
    files: dict[str, bytes]

    def url(self, name):
        """The address of a file, with its fragment."""
        path, _, fragment = name.partition("#")
        return (self.folder / path).as_uri() + (f"#{fragment}" if fragment else "")

    def samples(self):
        """Kind -> the largest page of that kind; pointers and pocket pages apart."""
        found = {"start": "index.html", "missing": "404.html", "rehearsed": "rehearsed.html"}
        found |= {"sources": "sources.html", "code": "code.html", "agent": "call.html"}
        found |= {"cold": "cold-house.html", "hot": "hot-house.html"}
        found |= {"control": "control-circuit.html"}
        if "blink-counter.html" in self.files:
            found["counter"] = "blink-counter.html"
        units = [equipment_file(unit) for unit in self.course.library.catalogue.equipment]
        found["equipment"] = max(units, key=lambda name: len(self.files[name]))
        pages = [name for name in self.files if name.endswith(".html")]
        for name in sorted(pages, key=lambda name: len(self.files[name]), reverse=True):
            if b'http-equiv="refresh"' in self.files[name] or name.endswith("/pocket.html"):
                continue
            if name.endswith(".technician.html"):
                found.setdefault("technician", name)
            elif name not in (*found.values(), *units):
                found.setdefault(self._kind(name.removesuffix(".html")), name)
        return found

    def _kind(self, page_id):
        page = self.course.pages.get(page_id)
        if page is None:
            return "stop and call"
        if page_id in self.course.roots:
            return "danger page" if page_id == "danger/index" else "complaint"
        if page.outcome is None:
            return f"{page.step.kind}{' in a hurry' * page.mode.hurry}"
        return "gas" if page.outcome.gate else page.outcome.kind


@pytest.fixture(scope="session")
def sites(tmp_path_factory):
    """The site of the small library and that of the real trees, by name."""
    found = {}
    for name in ("small", "real"):
        is_small = name == "small"
        trees = rehearse(small_library(tmp_path_factory.mktemp("small"))) if is_small else REAL
        files = site_of(trees)
        folder = write_site(files, tmp_path_factory.mktemp(name))
        found[name] = Site(course_of(trees), folder, files)
    return found


@pytest.fixture(scope="session", params=["small", "real"])
def site(request, sites):
    """The one, then the other."""
    return sites[request.param]


@pytest.fixture(scope="session")
def browser():
    """Chromium, started once."""
    path = chromium()
    if path is None:
        pytest.skip("Chromium is not installed")
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield launched
        launched.close()


@pytest.fixture(scope="session")
def tab(browser):
    """A page without JavaScript, as wide as a small phone."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    yield context.new_page()
    context.close()


@pytest.fixture(scope="session")
def scripted(browser):
    """Theme -> a page with JavaScript, for tools that need it."""
    contexts = {
        theme: browser.new_context(color_scheme=theme, viewport={"width": 360, "height": 740})
        for theme in ("light", "dark")
    }
    yield {theme: context.new_page() for theme, context in contexts.items()}
    for context in contexts.values():
        context.close()
