"""What tests in several folders look at: the shipped trees, loaded and laid out once."""

import pytest

from browser.sites import REAL, course_of


@pytest.fixture(scope="session")
def course():
    """The course of the shipped trees."""
    return course_of(REAL)


@pytest.fixture(scope="session")
def library(course):
    """The shipped trees and their catalogue."""
    return course.library
