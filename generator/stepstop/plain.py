"""Frozen dataclasses as plain data and back, so that a file holds their form and no other.

A field `held_out` is the key `held-out`. Known are dataclasses, texts, yes and no, whole numbers,
finite numbers, what may be `None`, pairs, sequences, and mappings from texts.
"""

from __future__ import annotations

import sys
import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

Made = TypeVar("Made")


def plain(value: Any, *, digits: int) -> Any:
    """`value` as lists, mappings and single values, with numbers rounded to so many decimals."""
    if is_dataclass(value) and not isinstance(value, type):
        each = {_key(field.name): getattr(value, field.name) for field in fields(value)}
        return {key: plain(item, digits=digits) for key, item in each.items()}
    if isinstance(value, Mapping):
        return {str(key): plain(item, digits=digits) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [plain(item, digits=digits) for item in value]
    if isinstance(value, float):
        return round(float(value), digits) + 0.0  # No -0.0: one value has one form.
    return str(value) if isinstance(value, str) else value


def made(kind: type[Made], data: Any) -> Made:
    """The `kind` whose plain form is `data`; raises ValueError where it has another form."""
    found: Made = _made(kind, data)
    return found


def _made(kind: Any, data: Any) -> Any:
    origin, inside = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        return None if data is None else _made(inside[0], data)
    if origin is tuple:
        return _sequence(inside, data)
    if origin is not None and issubclass(origin, Mapping):
        return {key: _made(inside[1], item) for key, item in _checked(data, dict).items()}
    if is_dataclass(kind):
        return _record(kind, data)
    return _single(kind, data)


def _sequence(inside: tuple[Any, ...], data: Any) -> tuple[Any, ...]:
    items = _checked(data, list)
    if inside[-1] is ...:
        return tuple(_made(inside[0], item) for item in items)
    return tuple(_made(kind, item) for kind, item in zip(inside, items, strict=True))


def _record(kind: Any, data: Any) -> Any:
    hints = _hints(kind)
    if _checked(data, dict).keys() != hints.keys():
        raise ValueError(f"{kind.__name__} has other parts")
    return kind(*(_made(hint, data[key]) for key, hint in hints.items()))


@cache
def _hints(kind: Any) -> Mapping[str, Any]:
    """Key -> type of each field, in the order of the fields."""
    hints = get_type_hints(kind)
    return {_key(field.name): hints[field.name] for field in fields(kind)}


def _single(kind: Any, data: Any) -> Any:
    if kind is not float:
        return _checked(data, kind)
    if type(data) in (int, float) and abs(data) <= sys.float_info.max:
        return float(data)
    raise ValueError(f"{data!r:.20} is no finite number")


def _checked(data: Any, kind: type) -> Any:
    if type(data) is not kind:
        raise ValueError(f"{type(data).__name__} in the place of {kind.__name__}")
    return data


def _key(name: str) -> str:
    return name.replace("_", "-")
