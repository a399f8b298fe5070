"""The sites that tests look at: the real trees, and a small library that has every kind of page.

The small library is the base of the rule tests with `site/more` laid over it. Nothing in it is
true of a place or a machine.
"""

import shutil
from dataclasses import replace
from functools import cache
from pathlib import Path

import yaml

from stepstop.callers import MODELS
from stepstop.course import lay_out
from stepstop.edition import edition_for
from stepstop.loader import load
from stepstop.places import course_in
from stepstop.rehearsal.choices import VARIATIONS
from stepstop.rehearsed import (
    FILE,
    Bar,
    Ceiling,
    Exposure,
    Figures,
    Mark,
    Model,
    Part,
    Pointed,
    Rehearsed,
    Trail,
    Worst,
    fingerprint,
    read,
    written,
)
from stepstop.shipped import drawing_names, folder
from stepstop.site import build_site, whole_site

TESTS = Path(__file__).parents[1]
REAL = TESTS.parent / "decision_trees"
TODAY = "2026-11-25"


def read_texts(path):
    """The YAML file at `path` with every value as text, as the loader takes it."""
    return yaml.load(path.read_text("utf-8"), Loader=yaml.CBaseLoader)


def write_texts(data, path):
    """Write `data` as YAML, every value quoted."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = yaml.dump(
        data, Dumper=yaml.CSafeDumper, default_style='"', sort_keys=False, allow_unicode=True,
        width=1000,
    )  # fmt: skip
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


def laid_out(trees):
    """The course of the trees in a folder as they are now, proven or not."""
    library, problems = load(trees, drawings=drawing_names((folder("site_overrides"),)))
    assert library is not None, problems
    return lay_out(library)


def rehearse(trees, **changes):
    """Keep a rehearsal in the folder `trees` as if it had been one of these very trees."""
    course = laid_out(trees)
    (trees / FILE).parent.mkdir(exist_ok=True)
    found = replace(made_up(course), **changes)
    (trees / FILE).write_bytes(written(found, fingerprint(trees, course)))
    return trees


def read_in(trees):
    """What the folder `trees` keeps of a rehearsal of its trees as they are now."""
    course = laid_out(trees)
    return read(trees, course, fingerprint(trees, course))


def made_up(course):
    """A rehearsal of the small library, or of one like it; nothing in it was measured."""
    ends = {(p.tree, p.outcome.id): p.outcome.kind for p in course.pages.values() if p.outcome}
    somebody_comes = sorted(name for name, kind in ends.items() if kind in ("call", "watch"))
    first = Pointed("board", 0.623, (("heat", "no"), ("gas-smell", "no")), (("water", "puddle"),))
    second = Pointed("no-power", 0.151, (), (("heat", "yes"),))
    likely = {f"{tree}/{end}": (first, second) for tree, end in somebody_comes}
    complaints = sorted(t.id for t in course.library.complaints())
    models = {name: made_up_model(complaints) for name in MODELS}
    varied = {world: {"both": models["both"].bars} for world in VARIATIONS[1:]}
    return Rehearsed(
        likely, Figures(1234, 2, 3, models, varied, (("board", "no-power"),), ("board",))
    )


def made_up_model(complaints):
    """Figures that no rehearsal gives, one of each kind."""
    bars = (
        Bar("outcome kind and urgency right", 0.9651, 0.98, True, "%", False),
        Bar("pages, half of calls", 12.0, 14.0, False, "pages", True),
        Bar("mendable: the house works", None, 0.97, True, "%", None),
    )
    marks = {
        "right": Mark("outcome right", 0.9, 0.91, 0.89),
        "fixed": Mark("mended", 1.0, 1.0, None),
    }
    part = Part(0.5, 0.8764, 0.7, None)
    trail = Trail(
        0.25, "a house", "fit and at home", ("cold > ready (no)", "cold > call"), "call", "danger"
    )
    return Model(
        bars=bars,
        marks=marks,
        shown=Ceiling(0.7, 0.8, 0.6, 0.7),
        exposures={"co": Exposure(0.0, 39.7), "refrigerant-leak": Exposure(1234.5, 0.0101)},
        complaints=dict.fromkeys(complaints, part),
        causes={"board": part, "no-power": part},
        worst=(Worst("board", 0.75, trail), Worst("no-power", 0.9, None)),
        pages={"3": 0.25, "4": 0.5, "11": 0.25},
    )


@cache
def course_of(trees):
    """The course of the trees in a folder as they were when first asked for."""
    return laid_out(trees)


def site_of(trees, **options):
    """The pages of the site of the trees in a folder."""
    return _made(build_site, trees, options)


def whole_site_of(trees, **options):
    """The same with what lets the pages work offline."""
    return _made(whole_site, trees, options)


def _made(make, trees, options):
    is_kept = trees == REAL and not options
    return dict(_kept_site(make)) if is_kept else _site(trees, make=make, **options)


@cache
def _kept_site(make):
    """The real site takes seconds to make and nobody changes it: one for all tests."""
    return _site(REAL, make=make)


def _site(
    trees,
    *,
    make=build_site,
    place="us",
    today=TODAY,
    rehearsal_page=True,
    offline=True,
    **options,
):
    course = course_in(course_of(trees), place)
    edition = edition_for(
        course,
        trees,
        place=place,
        today=today,
        rehearsal_page=rehearsal_page,
        offline=offline,
        environ={},
    )
    return make(course, edition, **options)


def write_site(files, target):
    """Write the files of a site into the folder `target`."""
    for name, content in files.items():
        path = target / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return target
