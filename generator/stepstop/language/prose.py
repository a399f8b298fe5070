"""Every text of a library that a language needs in its own words, found by the types of the model.

A text is what `model` declares as `Prose`. Its context is the kind of text (`answer.say`), so that
equal words may be put in two ways where they are two kinds of thing, and a translator knows what
they are; within a kind, equal words are one text.
"""

from __future__ import annotations

import dataclasses
import operator
import types
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from stepstop.model import Prose

Put = Callable[["Text"], str]
"""Has the words that take the place of a text."""


@dataclass(frozen=True, slots=True)
class Text:
    """One place where a text stands."""

    context: str
    """Kind of text: class and field, as `answer.say`."""
    text: str
    place: str
    """The ids on the way to it, as `no-heat / screen-batteries`, for a translator."""

    @property
    def key(self) -> tuple[str, str]:
        """Context and text, by which a language's words are found."""
        return self.context, str(self.text)


def reworded(whole: Any, put: Put) -> Any:
    """`whole`, a value of the model, with every text in it replaced by what `put` has for it."""
    return _record(whole, put, ())


def texts(whole: Any) -> Iterator[Text]:
    """Every text in `whole`, a value of the model, in its order."""
    found: list[Text] = []

    def noted(text: Text) -> str:
        found.append(text)
        return text.text

    reworded(whole, noted)
    yield from found


_Way = tuple[str, ...]
_Mapped = Callable[[Any, Put, _Way], Any]


def _record(value: Any, put: Put, way: _Way) -> Any:
    name = getattr(value, "id", "")
    here = (*way, name) if name and (not way or way[-1] != name) else way
    changed = {}
    kind: Any = type(value)
    for field, mapped in _plan(kind):
        old = getattr(value, field)
        new = mapped(old, put, here)
        if new is not old:
            changed[field] = new
    return dataclasses.replace(value, **changed) if changed else value


@cache
def _plan(record: Any) -> tuple[tuple[str, _Mapped], ...]:
    """Each field of a class that holds texts, with what rewords it."""
    hints = get_type_hints(record, include_extras=True)
    of = (
        (f.name, _mapped(hints[f.name], f"{record.__name__}.{f.name}"))
        for f in dataclasses.fields(record)
    )
    return tuple((name, mapped) for name, mapped in of if mapped is not None)


def _mapped(hint: Any, context: str) -> _Mapped | None:
    """What rewords a value of a type; None where no text can be in it."""
    if hint == Prose:
        return _worded(context.lower().replace("_", "-"))
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return None
    if origin in (Union, types.UnionType):
        kinds = [each for each in inner if each is not type(None)]
        return _if_there(_mapped(kinds[0], context)) if len(kinds) == 1 else None
    if origin is tuple and len(inner) == 2 and inner[1] is Ellipsis:
        return _each(_mapped(inner[0], context))
    if origin is not None and issubclass(origin, Mapping):
        return _each_value(_mapped(inner[1], context))
    return _record if dataclasses.is_dataclass(hint) and _plan(hint) else None  # type: ignore[arg-type]


def _worded(context: str) -> _Mapped:
    def mapped(value: Any, put: Put, way: _Way) -> Any:
        return put(Text(context, value, " / ".join(way))) if value else value

    return mapped


def _if_there(item: _Mapped | None) -> _Mapped | None:
    if item is None:
        return None

    def mapped(value: Any, put: Put, way: _Way) -> Any:
        return None if value is None else item(value, put, way)

    return mapped


def _each(item: _Mapped | None) -> _Mapped | None:
    if item is None:
        return None

    def mapped(value: Any, put: Put, way: _Way) -> Any:
        new = tuple(item(each, put, way) for each in value)
        return value if all(map(operator.is_, new, value)) else new

    return mapped


def _each_value(item: _Mapped | None) -> _Mapped | None:
    if item is None:
        return None

    def mapped(value: Any, put: Put, way: _Way) -> Any:
        new = {name: item(each, put, way) for name, each in value.items()}
        return value if all(new[name] is value[name] for name in value) else new

    return mapped
