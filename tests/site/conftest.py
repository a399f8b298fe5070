"""Both sites, built and parsed once."""

import gc
from dataclasses import dataclass

import pytest
from bs4 import BeautifulSoup

from browser.sites import REAL, course_of, rehearse, site_of, small_library
from stepstop.course import Course

POCKET = "/pocket.html"
"""Ends the name of a file that holds a whole complaint."""


@dataclass(frozen=True)
class Built:
    """A site with its pages parsed, apart from the files that hold a whole complaint."""

    course: Course
    files: dict[str, bytes]
    soups: dict[str, BeautifulSoup]


@pytest.fixture(scope="session")
def small(tmp_path_factory):
    """The folder of the small library, rehearsed."""
    return rehearse(small_library(tmp_path_factory.mktemp("small")))


@pytest.fixture(scope="session", params=["small", "real"])
def built(request, small):
    """The site of the small library, then that of the real trees."""
    trees = small if request.param == "small" else REAL
    files = site_of(trees)
    soups = {
        name: BeautifulSoup(content, "html.parser")
        for name, content in files.items()
        if name.endswith(".html") and not name.endswith(POCKET)
    }
    # Millions of objects that stay: looked over again and again, they would make all else slow.
    gc.collect()
    gc.freeze()
    return Built(course_of(trees), files, soups)
