"""The page of all keys is the one that is made of the shapes; `make accept` writes it anew."""

import os

from project.repository import ROOT
from stepstop.json_schema import json_schemas
from stepstop.reference import page

PATH = ROOT / "content" / "keys.md"


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
