"""What tests in several folders look at: the shipped trees, loaded and laid out once."""

import pytest

from browser.sites import REAL, course_of

SPLIT = ("tests/library/test_shipped_trees.py::test_one_harmful_edit_is_refused",)
"""Tests of many long cases, which any process may take; others of a file share what it sets up."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Have the tests of a file run in one process, unless they are `SPLIT`."""
    for item in items:
        if not item.nodeid.startswith(SPLIT):
            item.add_marker(pytest.mark.xdist_group(item.nodeid.partition("::")[0]))


@pytest.fixture(scope="session")
def course():
    """The course of the shipped trees."""
    return course_of(REAL)


@pytest.fixture(scope="session")
def library(course):
    """The shipped trees and their catalogue."""
    return course.library
