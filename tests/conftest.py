"""What tests in several folders look at: the shipped trees, loaded and laid out once."""

import pytest

from browser.sites import REAL, course_of

SPLIT = ("tests/library/test_shipped_trees.py::test_one_harmful_edit_is_refused",)
"""Tests of many long cases, which any process may take; others of a file share what it sets up."""
BOTH = ("tests/browser/test_languages.py", "tests/site/test_languages.py")
"""Files whose tests look at the site in both languages, which is made for all of them at once."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Have the tests of a file run in one process, unless they are `SPLIT`."""
    for item in items:
        if not item.nodeid.startswith(SPLIT):
            file = item.nodeid.partition("::")[0]
            item.add_marker(pytest.mark.xdist_group("both languages" if file in BOTH else file))


@pytest.fixture(scope="session")
def course():
    """The course of the shipped trees."""
    return course_of(REAL)


@pytest.fixture(scope="session")
def library(course):
    """The shipped trees and their catalogue."""
    return course.library
