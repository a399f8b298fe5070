"""The page of all keys is the one that is made of the shapes; `make accept` writes it anew."""

import os

from project.repository import ROOT
from stepstop.json_schema import json_schemas
from stepstop.listing import page as listing
from stepstop.reference import page
from stepstop.verify import verify

PATH = ROOT / "content" / "keys.md"
LISTING = ROOT / "content" / "catalogue.md"


def test_the_page_is_what_the_shapes_say() -> None:
    if os.environ.get("STEPSTOP_ACCEPT"):
        PATH.write_text(page(), "utf-8")
    assert PATH.read_text("utf-8") == page()


def test_every_key_of_every_schema_is_on_it() -> None:
    text = page()
    for schema in json_schemas().values():
        keys = {*schema.get("properties", {})}
        for part in schema["$defs"].values():
            for each in (part, *part.get("anyOf", [])):
                keys |= set(each.get("properties", {}))
        for key in keys:
            assert f"`{key}`" in text, key


def test_the_page_of_what_trees_may_use_is_what_the_catalogue_says() -> None:
    course = verify(ROOT / "decision_trees").course
    assert course
    made = listing(course.library)
    if os.environ.get("STEPSTOP_ACCEPT"):
        LISTING.write_text(made, "utf-8")
    assert LISTING.read_text("utf-8") == made
    catalogue = course.library.catalogue
    shared = [tree.id for tree in course.library.trees.values() if tree.role == "shared"]
    for name in (*catalogue.checks, *catalogue.findings, *catalogue.causes, *shared):
        assert f"| `{name}` |" in made, name
