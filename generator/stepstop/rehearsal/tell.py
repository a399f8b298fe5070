"""The account of a rehearsal as text and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from stepstop.rehearsal.account import Data
from stepstop.rehearsal.choices import HALVES

WIDTH = 96
_PARTS = ("calls", "right", "kind", "urgency", "state", "shown", "fixed", "pages", "minutes")


def as_json(data: Data) -> str:
    """The account for programs."""
    return json.dumps(data, indent=2, ensure_ascii=False, default=float)


def as_text(data: Data) -> str:
    """The account for a terminal."""
    return "\n".join(_lines(data))


def _lines(data: Data) -> Iterator[str]:
    yield f"{data['heading'].capitalize()}: {data['cases']:,} cases of {data['causes']} causes,"
    yield f"{data['callers']} kinds of callers; houses: {data['half']}. All weights are judgement."
    for model, figures in data["models"].items():
        yield f"\n== callers: {model} ".ljust(WIDTH, "=")
        yield from _model(figures)


def _model(figures: Data) -> Iterator[str]:
    yield from _bars(figures["bars"])
    yield from _marks(figures["figures"])
    shown = figures["shown"]
    yield f"\ntrue cause among the shown {_percent(shown['share'])} of {_percent(shown['ceiling'])}"
    yield (
        f"   every cause alike       {_percent(shown['share-by-cause'])} "
        f"of {_percent(shown['ceiling-by-cause'])} that four causes a page could reach"
    )
    yield from _exposures(figures["exposures"])
    yield from _table("complaint", figures["complaints"])
    yield from _table("cause", figures["by-cause"])
    yield from _shares("kind of caller", "right", figures["by-caller"])
    yield from _shares("danger end without danger", "calls", figures["false-danger-at"])
    yield from _worst(figures["worst"])
    if "drawn" in figures:
        yield from _drawn(figures["drawn"])


def _bars(bars: list[Data]) -> Iterator[str]:
    yield f"\n{'bar':42}{'value':>12}{'wanted':>23}"
    for bar in bars:
        sign, limit = ("at least", bar["least"]) if "least" in bar else ("at most", bar["most"])
        met = {True: "met", False: "MISSED", None: "nothing to measure"}[bar["met"]]
        value, bound = _size(bar["value"], bar["unit"]), _size(limit, bar["unit"])
        yield f"{bar['name']:42}{value:>12}{sign:>11}{bound:>12}  {met}"


def _marks(marks: dict[str, Data]) -> Iterator[str]:
    yield f"\n{'share of calls':66}{'all':>10}" + "".join(f"{half:>10}" for half in HALVES)
    for mark in marks.values():
        shares = "".join(f"{_percent(mark[key]):>10}" for key in ("all", *HALVES))
        yield f"{mark['says']:66}{shares}"


def _exposures(found: dict[str, Data]) -> Iterator[str]:
    yield f"\n{'exposures per 100,000 calls':30}{'sign there':>14}{'hidden':>14}"
    for hazard, by in found.items():
        yield f"{hazard:30}{by['unsafe-shown']:14,.1f}{by['unsafe-hidden']:14,.1f}"


def _table(name: str, parts: dict[str, Data]) -> Iterator[str]:
    yield f"\n{name:30}" + "".join(f"{part:>9}" for part in _PARTS)
    for key, part in parts.items():
        yield f"{key:30}" + "".join(f"{_cell(part, column):>9}" for column in _PARTS)


def _cell(part: Data, column: str) -> str:
    value = part[column]
    if column in ("pages", "minutes"):
        return "-" if value is None else f"{value:.1f}"
    return _percent(value)


def _shares(name: str, what: str, shares: dict[str, Any]) -> Iterator[str]:
    yield f"\n{name:42}{what:>9}"
    for key, share in shares.items():
        yield f"{key:42}{_percent(share):>9}"


def _worst(worst: list[Data]) -> Iterator[str]:
    yield "\ncauses that end wrong most often, each with its most likely wrong call"
    for each in worst:
        yield f"\n  {each['cause']}: right {_percent(each['right'])}"
        trail = each["trail"]
        if trail is not None:
            share = _percent(trail["share"])
            yield f"    {share} of its calls: {trail['house']}, {trail['caller']}"
            yield from (f"      {page}" for page in trail["pages"])
            yield f"    ended: {trail['end']}"
            yield f"    right: {trail['right']}"


def _drawn(drawn: Data) -> Iterator[str]:
    yield f"\ncross-check: {drawn['calls']:,} calls drawn with seed {drawn['seed']}"
    yield f"  {drawn['test']}: {'agrees' if drawn['agrees'] else 'DIFFERS'}"
    yield f"  largest difference: {drawn['farthest']:.2f} of what is allowed"
    yield from (f"  apart: {name}" for name in drawn["apart"])
    for name, sizes in drawn["lengths"].items():
        yield f"  {name} of drawn calls without a danger end: half {_round(sizes['half'])}, " + (
            f"95 of 100 {_round(sizes['95-of-100'])}"
        )


def _round(value: float | None) -> str:
    return "-" if value is None else f"{value:.1f}"


def _size(value: float | None, unit: str) -> str:
    if value is None:
        return "-"
    return _percent(value) if unit == "%" else f"{value:.1f} {unit}"


def _percent(value: float | None) -> str:
    return "-" if value is None else f"{100 * value:.2f} %"
