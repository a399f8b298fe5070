"""The account of a rehearsal as plain data: what the text and the JSON are written from."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from stepstop.callers import Errors
from stepstop.rehearsal.bars import Bar, View, measured
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.choices import HALVES
from stepstop.rehearsal.figures import (
    Shown,
    Tally,
    ceiling,
    macro_shown,
    page_shares,
    rehearse,
    work,
)
from stepstop.rehearsal.judge import MARKS
from stepstop.rehearsal.sample import LIMIT, Sampled, sample
from stepstop.rehearsal.trails import Trail, worst_trail

Data = dict[str, Any]
WORST = 10
"""How many causes are shown with their most likely wrong call."""
PER = 100_000
HEADING = "simulated, not field results"
LENGTHS = ("accurate",)
"""Models whose lengths are kept whole; of others the drawn calls give them."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked of a rehearsal."""

    models: Mapping[str, Errors]
    calls: int = 0
    """Drawn calls of each model; none for no cross-check."""
    seed: int = 1
    half: str = ""
    """One of `HALVES`, or empty for all houses."""

    def ticks(self, bench: Bench) -> int:
        """How many ticks the work gives."""
        return work(bench, self.models) + self.calls * len(self.models)


def account(
    bench: Bench, shown: Shown, wish: Wish, *, tick: Callable[[int], object] = lambda _: None
) -> Data:
    """Everything that is reported."""
    kept = [model for model in wish.models if model in LENGTHS]
    tallies = rehearse(bench, wish.models, shown, lengths=kept, tick=tick)
    models = {}
    for model, errors in wish.models.items():
        tally = tallies[model]
        models[model] = _of_model(bench, View(tally, shown, wish.half), model, errors)
        if wish.calls:
            drawn = sample(bench, errors, shown, tally, calls=wish.calls, seed=wish.seed, tick=tick)
            models[model]["drawn"] = _drawn(drawn, tally)
    return {
        "format": 1,
        "heading": HEADING,
        "cases": len(bench.table.cases),
        "causes": len(bench.causes),
        "callers": len(bench.people),
        "half": wish.half or "all",
        "models": models,
    }


def _of_model(bench: Bench, view: View, model: str, errors: Errors) -> Data:
    return {
        "bars": [_bar(bar, value) for bar, value in measured(view, model)],
        "figures": {name: _halves(view, name) for name in MARKS},
        "shown": _shown(view),
        "pages": page_shares(view.tally, half=view.half),
        "mean": {"pages": view.share("pages"), "minutes": _minutes(view.share("seconds"))},
        "exposures": _exposures(bench, view),
        "complaints": {c: _part(view, complaint=c) for c in view.tally.complaints},
        "by-cause": {c: _part(view, cause=c) for c in view.tally.causes},
        "by-caller": _by_caller(bench, view.tally),
        "false-danger-at": _false_at(view.tally),
        "worst": [_worst(bench, view, errors, cause) for cause in _worst_causes(view)],
    }


def _bar(bar: Bar, value: float | None) -> Data:
    return {
        "name": bar.name,
        "value": value,
        "least" if bar.least else "most": bar.limit,
        "unit": bar.unit,
        "met": bar.met(value),
    }


def _halves(view: View, name: str) -> Data:
    """A mark as a share of calls, and where it is a part of another mark, of that."""
    of = {"fixed": "fixable", "shown": "shows", "missed-danger": "true-danger"}.get(name, "calls")
    shares = {half: view.tally.share(name, of, half=half) for half in HALVES}
    return {"says": MARKS[name], "of": of, "all": view.tally.share(name, of), **shares}


def _shown(view: View) -> Data:
    tally, shown, half = view.tally, view.shown, view.half
    return {
        "share": view.share("shown", "shows"),
        "ceiling": ceiling(tally, shown, half=half),
        "share-by-cause": macro_shown(tally, half=half),
        "ceiling-by-cause": ceiling(tally, shown, half=half, macro=True),
    }


def _minutes(seconds: float | None) -> float | None:
    return None if seconds is None else seconds / 60


def _exposures(bench: Bench, view: View) -> Data:
    """Hazard -> exposures per 100,000 calls, those that a sign told of apart from hidden ones."""
    whole = view.tally.total("calls", half=view.half) or 1.0
    found: Data = {}
    for name in ("unsafe-shown", "unsafe-hidden"):
        sums = view.tally.by_cause(name, half=view.half)
        for judged, callers in zip(bench.judged, sums.tolist(), strict=True):
            if judged.is_hazard:
                by = found.setdefault(judged.hazard, {"unsafe-shown": 0.0, "unsafe-hidden": 0.0})
                by[name] += callers / whole * PER
    return dict(sorted(found.items()))


_PARTS = ("right", "kind", "urgency", "state", "danger-end", "unsafe-shown", "unsafe-hidden")


def _part(view: View, *, complaint: str = "", cause: str = "") -> Data:
    where = {"complaint": complaint, "cause": cause, "half": view.half}
    tally = view.tally
    return {
        "calls": tally.total("calls", **where) / (tally.total("calls", half=view.half) or 1.0),
        **{name: tally.share(name, **where) for name in (*_PARTS, "needless", "cautious")},
        "shown": tally.share("shown", "shows", **where),
        "fixed": tally.share("fixed", "fixable", **where),
        "pages": tally.share("pages", **where),
        "minutes": _minutes(tally.share("seconds", **where)),
    }


def _by_caller(bench: Bench, tally: Tally) -> Data:
    """Kind of caller -> share of right calls, in all houses."""
    sums = tally.right_of.tolist()
    return {
        caller.id: right / calls if calls else None
        for caller, (right, calls) in zip(bench.people, sums, strict=True)
    }


def _false_at(tally: Tally) -> Data:
    """Outcome page -> share of all calls that end there in danger without any, the most first."""
    whole = tally.total("calls") or 1.0
    order = sorted(tally.false_at.items(), key=lambda item: (-item[1], item[0]))
    return {page: callers / whole for page, callers in order[:WORST]}


def _worst_causes(view: View) -> list[str]:
    """The causes with the smallest share of right calls, none that is always right."""
    right = view.tally.by_cause("right", half=view.half)
    calls = view.tally.by_cause("calls", half=view.half)
    shares = np.divide(right, calls, out=np.ones_like(calls), where=calls > 0.0)
    order = sorted(zip(shares.tolist(), view.tally.causes, strict=True))
    return [cause for share, cause in order[:WORST] if share < 1.0 - 1e-9]


def _worst(bench: Bench, view: View, errors: Errors, cause: str) -> Data:
    trail = worst_trail(bench, errors, cause)
    right = view.tally.share("right", cause=cause, half=view.half)
    told = {each.name: getattr(trail, each.name) for each in fields(Trail)} if trail else None
    return {"cause": cause, "right": right, "trail": told}


def _drawn(drawn: Sampled, tally: Tally) -> Data:
    shares = {
        name: {"drawn": share, "error": error, "exact": tally.share(name)}
        for name, (share, error) in drawn.shares.items()
    }
    return {
        "calls": drawn.calls,
        "seed": drawn.seed,
        "test": f"each figure, whole and by cause, within {LIMIT:g} standard errors and one call",
        "agrees": drawn.agrees,
        "farthest": drawn.farthest,
        "apart": list(drawn.apart),
        "shares": shares,
        "lengths": _lengths(drawn.lengths),
    }


def _lengths(lengths: Mapping[tuple[int, int], float]) -> Data:
    """Medians and 95th percentiles of drawn calls without a danger end."""
    pages = [(float(p), share) for (p, _), share in lengths.items()]
    minutes = [(s / 60, share) for (_, s), share in lengths.items()]
    return {
        name: {"half": _at(sizes, 0.5), "95-of-100": _at(sizes, 0.95)}
        for name, sizes in (("pages", pages), ("minutes", minutes))
    }


def _at(sizes: Iterable[tuple[float, float]], share: float) -> float | None:
    ordered = sorted(sizes)
    whole, below = sum(mass for _, mass in ordered), 0.0
    for size, mass in ordered:
        below += mass
        if below >= share * whole * (1.0 - 1e-12):
            return size
    return None


def disagreements(data: Data) -> Collection[str]:
    """Names of all figures on which drawn calls and exact figures differ."""
    models = data["models"].values()
    return [what for each in models for what in each.get("drawn", {}).get("apart", ())]
