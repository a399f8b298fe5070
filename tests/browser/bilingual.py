"""The shipped site in English and Spanish, made once."""

from functools import cache

from browser.sites import REAL, TODAY, course_of
from stepstop.edition import edition_for
from stepstop.pages.atlas import atlases_of
from stepstop.site import whole_site
from stepstop.tongues import Languages

CODES = ("en", "es")


@cache
def spoken(trees=REAL, codes=CODES, place="us"):
    """((course, edition), ...): the trees in each language."""
    course = course_of(trees)
    edition = edition_for(course, trees, place=place, today=TODAY, environ={})
    return Languages(course.library, trees).spoken(course, edition, codes)


@cache
def atlases():
    """Code -> the atlas of the shipped trees in it."""
    return {each.edition.tongue.code: each for each in atlases_of(spoken())}


@cache
def both():
    """File -> content of the shipped site in both languages, Spanish below `es/`."""
    (course, edition), *others = spoken()
    return whole_site(course, edition, others=others)
