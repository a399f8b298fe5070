"""The YAML files as JSON Schemas (draft 2020-12), made of the shapes that read them.

An editor that reads JSON Schema completes keys, shows what they mean, and marks what does not fit.
What spans several places (names that lead nowhere, safety) is beyond a schema: `verify` says that.
A schema never refuses what the loader takes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import singledispatchmethod
from typing import Any

from stepstop.callers import FILE as CALLERS
from stepstop.company.schema import COMPANY
from stepstop.company.shapes import MAX_LINK, Clock, Known, Link
from stepstop.language.lists import LISTS
from stepstop.language.messages import FOLDER as LANGUAGES
from stepstop.overlay.layers import CHANGES, OVER
from stepstop.overlay.layers import FILE as OVER_FILE
from stepstop.schema import CATALOGUE_FILES, TREE
from stepstop.shapes import (
    MAX_NAME,
    MAX_NUMBER,
    MAX_TEXT,
    PLACEHOLDERS,
    Date,
    Flag,
    Id,
    Key,
    ListOf,
    MapOf,
    Number,
    OneOf,
    Pattern,
    Record,
    Reference,
    Shape,
    Text,
    wrapped,
)
from stepstop.verdicts import FILE as VERDICTS

Form = dict[str, Any]
"""A JSON Schema, or a part of one."""

DRAFT = "https://json-schema.org/draft/2020-12/schema"
SUFFIX = ".schema.json"
CHANGE = f".change{SUFFIX}"
"""Of a file that is laid over one below."""
_WORD: Form = {"type": ["string", "number", "boolean"]}
"""One value: YAML takes some words for numbers or truths, and the loader takes all as text."""
_NAME = "[a-z0-9]+(-[a-z0-9]+)*"
_FILLED = "[^{}]*(\\{(" + "|".join(PLACEHOLDERS) + ")\\}[^{}]*)*"
"""A text whose braces hold what a place fills in."""


def json_schemas() -> dict[str, Form]:
    """Name of a schema's file -> the schema, one for each kind of YAML file."""
    found = {f"{stem}{SUFFIX}": _top(stem, keys) for stem, keys in CATALOGUE_FILES.items()}
    single: dict[str, tuple[str, Shape]] = {
        "tree": ("a tree of complaints/ or shared/", TREE),
        "company": ("a company's file of companies/", COMPANY),
        "callers": ("rehearsal/callers.yml", CALLERS),
        "verdicts": ("rehearsal/verdicts.yml", VERDICTS),
        "lists": ("a language's lists of languages/", LISTS),
        "over": (OVER_FILE, OVER),
    }
    for stem, (about, shape) in single.items():
        maker = _Maker()
        found[f"{stem}{SUFFIX}"] = _whole(about, maker.of(shape), maker)
    for stem in (*CATALOGUE_FILES, "tree"):
        found[f"{stem}{CHANGE}"] = _loosened(found[f"{stem}{SUFFIX}"])
    return dict(sorted(found.items()))


def written(form: Form) -> str:
    """A schema as the text of its file; always the same."""
    return json.dumps(form, indent=1, ensure_ascii=False) + "\n"


def schema_for(path: str) -> str:
    """The schema for a YAML file at this path below the folder of the trees."""
    if path == OVER_FILE:
        return f"over{SUFFIX}"
    if path.startswith(f"{CHANGES}/"):
        return schema_for(path.partition("/")[2]).removesuffix(SUFFIX) + CHANGE
    folder, _, name = path.rpartition("/")
    if folder in ("catalogue", "rehearsal"):
        return name.removesuffix(".yml") + SUFFIX
    return {"companies": "company", LANGUAGES: "lists"}.get(folder, "tree") + SUFFIX


def _top(stem: str, keys: Mapping[str, Shape]) -> Form:
    maker = _Maker()
    properties = {name: maker.of(shape) for name, shape in keys.items()}
    body = {
        "type": "object",
        "properties": properties,
        "required": list(keys),
        "additionalProperties": False,
    }
    return _whole(f"catalogue/{stem}.yml", body, maker)


def _whole(about: str, body: Form, maker: _Maker) -> Form:
    return {"$schema": DRAFT, "title": about, **body, "$defs": dict(sorted(maker.named.items()))}


class _Maker:
    """Makes the parts of one schema; records that are met twice or more stand once, by name."""

    def __init__(self) -> None:
        self.named: dict[str, Form] = {}
        self._names: dict[int, str] = {}

    def of(self, shape: Any) -> Form:
        """The schema of what a shape takes."""
        return self._of(shape)

    @singledispatchmethod
    def _of(self, shape: Any) -> Form:
        """A shape of its own wraps others; by what it wraps it is known."""
        if hasattr(shape, "records"):
            return {"anyOf": [self._with_target(each) for each in shape.records.values()]}
        inner = wrapped(shape)
        if isinstance(inner, Record):
            return self._with_target(inner)
        is_pair = hasattr(shape, "shape")
        return {**self.of(inner), **({"maxProperties": 1} if is_pair else {})}

    # ---- single values ----

    @_of.register
    def _(self, shape: Text) -> Form:
        found = {**_WORD, "pattern": rf"^{_FILLED}$", "minLength": 1}
        if shape.most_words:
            found["allOf"] = [{"pattern": rf"^\s*\S+(\s+\S+){{0,{shape.most_words - 1}}}\s*$"}]
        else:
            found["allOf"] = [{"pattern": r"\S"}]
        # White space is folded before it is counted, so a longer one may still fit.
        return found

    @_of.register
    def _(self, shape: Date) -> Form:
        return {**_WORD, "pattern": r"^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$"}

    @_of.register
    def _(self, shape: Pattern) -> Form:
        return {**_WORD, "minLength": 1, "maxLength": MAX_TEXT}

    @_of.register
    def _(self, shape: Id) -> Form:
        return {**_WORD, "pattern": f"^{_NAME}$", "maxLength": MAX_NAME}

    @_of.register
    def _(self, shape: Reference) -> Form:
        return {**_WORD, "pattern": f"^{_NAME}(/{_NAME})?$"}

    @_of.register
    def _(self, shape: OneOf) -> Form:
        return {"enum": list(shape.words)}

    @_of.register
    def _(self, shape: Flag) -> Form:
        return {"enum": ["yes", "no", True, False]}

    @_of.register
    def _(self, shape: Number) -> Form:
        digits = r"^[0-9]{1,9}$" if shape.whole else r"^[0-9]{1,9}(\.[0-9]{1,9})?$"
        kind = "integer" if shape.whole else "number"
        number = {"type": kind, "minimum": shape.least, "maximum": MAX_NUMBER}
        return {"anyOf": [number, {"type": "string", "pattern": digits}]}

    @_of.register
    def _(self, shape: Known) -> Form:
        about = {"description": f"{shape.wanted}; {shape.mend}", "minLength": 1}
        form = {"pattern": f"^{shape.pattern}$"} if shape.pattern else {}
        return {**_WORD, **about, **form}

    @_of.register
    def _(self, shape: Link) -> Form:
        return {**_WORD, "pattern": "^https://", "maxLength": MAX_LINK}

    @_of.register
    def _(self, shape: Clock) -> Form:
        return {**_WORD, "pattern": r"^(([01]\d|2[0-3]):[0-5]\d|24:00)$"}

    # ---- what holds others ----

    @_of.register
    def _(self, shape: ListOf) -> Form:
        item = self.of(shape.item)
        several: Form = {"type": "array", "items": item}
        if shape.least:
            several["minItems"] = shape.least
        if shape.once:
            several["uniqueItems"] = True
        return {"anyOf": [item, several]} if shape.least < 2 else several

    @_of.register
    def _(self, shape: MapOf) -> Form:
        found: Form = {
            "type": "object",
            "propertyNames": self._text_of(shape.key),
            "additionalProperties": self.of(shape.value),
        }
        if shape.least:
            found["minProperties"] = shape.least
        return found

    def _text_of(self, shape: Shape) -> Form:
        """A key is always a text."""
        return {**self.of(shape), "type": "string"}

    @_of.register
    def _(self, shape: Record) -> Form:
        return self._record(shape)

    def _with_target(self, shape: Record) -> Form:
        """A record that says where to go, by exactly one of two keys, or none that does."""
        if not {"go", "exit"} <= shape.keys.keys():
            return self._record(shape)
        ways = [{"required": ["go"]}, {"required": ["exit"]}]
        return self._record(shape, {"oneOf": ways})

    def _record(self, shape: Record, more: Form | None = None) -> Form:
        name = self._names.get(id(shape))
        if name is None:
            name = self._names[id(shape)] = self._free(shape)
            self.named[name] = {}  # Its place is taken before what it holds is looked at.
            body = self._fields(shape.keys) | (more or {})
            if shape.short:
                body = {"anyOf": [self._short(shape), body]}
            self.named[name] = body
        return {"$ref": f"#/$defs/{name}"}

    def _short(self, shape: Record) -> Form:
        """A single value or list that stands for the one key."""
        return self.of(shape.keys[shape.short].shape)

    def _free(self, shape: Record) -> str:
        stem = "-".join(_few(shape.keys))
        name, number = stem, 2
        while name in self.named:
            name, number = f"{stem}-{number}", number + 1
        return name

    def _fields(self, keys: Mapping[str, Key]) -> Form:
        properties = {
            name: self._described(self.of(key.shape), key.about) for name, key in keys.items()
        }
        needed = [name for name, key in keys.items() if key.needed]
        return {
            "type": "object",
            "properties": properties,
            **({"required": needed} if needed else {}),
            "additionalProperties": False,
        }

    @staticmethod
    def _described(form: Form, about: str) -> Form:
        own = form.get("description")
        return {**form, "description": f"{about}: {own}" if own else about}


def _few(keys: Iterable[str]) -> list[str]:
    """The first two keys, which name a record well enough."""
    return list(keys)[:2]


# ---- changes ----

_LOOSE = "-change"
"""Ends the name of a part as it stands in a change."""


def _loosened(whole: Form) -> Form:
    """The schema of what may be laid over a file: any key may be left out or taken away.

    What is in a list stays as strict as it was: a list is replaced as a whole.
    """
    body = {key: value for key, value in whole.items() if key not in ("$defs", "title", "$schema")}
    defs = whole["$defs"]
    found = _loose(body)
    kept: Form = {}
    _keep(found, defs, kept)
    title = f"changes of {whole['title']}"
    return {"$schema": DRAFT, "title": title, **found, "$defs": dict(sorted(kept.items()))}


def _keep(form: Any, defs: Form, kept: Form) -> None:
    """Put every part that `form` refers to into `kept`."""
    if isinstance(form, list):
        for each in form:
            _keep(each, defs, kept)
    elif isinstance(form, dict):
        name = form.get("$ref", "").removeprefix("#/$defs/")
        if name and name not in kept:
            kept[name] = {}  # Its place is taken before what it holds is looked at.
            is_loose = name.endswith(_LOOSE)
            own = defs[name.removesuffix(_LOOSE)]
            kept[name] = _loose(own) if is_loose else own
            _keep(kept[name], defs, kept)
        for value in form.values():
            _keep(value, defs, kept)


def _loose(form: Form) -> Form:
    found = {k: v for k, v in form.items() if k not in ("required", "oneOf", "minProperties")}
    if "$ref" in form:
        found["$ref"] = form["$ref"] + _LOOSE
    if "anyOf" in form:
        found["anyOf"] = [_loose(each) for each in form["anyOf"]]
    if "properties" in form:
        found["properties"] = {k: _or_nothing(v) for k, v in form["properties"].items()}
    if isinstance(form.get("additionalProperties"), dict):
        found["additionalProperties"] = _or_nothing(form["additionalProperties"])
    return found


def _or_nothing(form: Form) -> Form:
    loose = _loose(form)
    about = {"description": loose.pop("description")} if "description" in loose else {}
    return {**about, "anyOf": [loose, {"enum": [None, ""]}]}
