"""The sites that tests look at: the real trees, and a small library that has every kind of page.

The small library is the base of the rule tests with `site/more` laid over it. Nothing in it is
true of a place or a machine.
"""

import shutil
from functools import cache
from pathlib import Path

import yaml

from stepstop.course import lay_out
from stepstop.edition import edition_for
from stepstop.loader import load
from stepstop.shipped import drawing_names, folder
from stepstop.site import build_site

TESTS = Path(__file__).parents[1]
REAL = TESTS.parent / "decision_trees"
TODAY = "2026-11-25"


def read_texts(path):
    """The YAML file at `path` with every value as text, as the loader takes it."""
    return yaml.load(path.read_text("utf-8"), Loader=yaml.CBaseLoader)


def write_texts(data, path):
    """Write `data` as YAML, every value quoted."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = yaml.safe_dump(data, default_style='"', sort_keys=False, allow_unicode=True, width=1000)
    path.write_text(text, "utf-8")


def laid_over(below, above):
    """`below` with the entries of `above`: keys join, lists follow on, values replace."""
    if isinstance(below, dict) and isinstance(above, dict):
        joined = {k: laid_over(below[k], v) if k in below else v for k, v in above.items()}
        return {**below, **joined}
    if isinstance(below, list) and isinstance(above, list):
        return below + above
    return above


def small_library(target):
    """Write the small library into the folder `target`."""
    shutil.copytree(TESTS / "rules" / "base", target, dirs_exist_ok=True)
    for path in sorted((TESTS / "site" / "more").rglob("*.yml")):
        there = target / path.relative_to(TESTS / "site" / "more")
        above = read_texts(path)
        write_texts(laid_over(read_texts(there), above) if there.exists() else above, there)
    return target


@cache
def course_of(trees):
    """The course of the trees in a folder, proven or not."""
    library, problems = load(trees, drawings=drawing_names((folder("site_overrides"),)))
    assert library is not None, problems
    return lay_out(library)


def site_of(trees, *, place="us", today=TODAY, **options):
    """The files of the site of the trees in a folder."""
    course = course_of(trees)
    edition = edition_for(course, trees, place=place, today=today, environ={})
    return build_site(course, edition, **options)


def write_site(files, target):
    """Write the files of a site into the folder `target`."""
    for name, content in files.items():
        path = target / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return target
