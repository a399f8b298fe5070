"""How the edition was rehearsed: the figures that are kept, the bad ones too, in plain words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from stepstop.callers import MODELS
from stepstop.language.tongue import phrase
from stepstop.pages import plots, views
from stepstop.pages.address import REHEARSED
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame
from stepstop.pages.tables import table
from stepstop.rehearsed import COMMAND, Bar, Exposure, Figures, Model, Part, Worst

TITLE = phrase("How this edition was rehearsed")

_CALLERS = {
    "accurate": "Callers who tell what is so",
    "both": "Callers who are sometimes unsure or mistaken",
}
"""The models that the page shows."""

_WORLDS = {
    "weights": "Weights",
    "errors": "Errors",
    "history": "History",
    "houses": "Houses",
    "complaints": "Complaints",
}
"""Other world -> head of its column; the template says what is other in it."""

_HAZARDS = {"co": "carbon monoxide", "refrigerant-leak": "leaking refrigerant"}

_MARKS = (
    "right",
    "kind-and-urgency",
    "state",
    "shown",
    "fixed",
    "needless",
    "false-danger",
    "missed-danger",
    "unsafe-shown",
    "unsafe-hidden",
)
"""The shares that are told by half of the houses."""

_RIGHT = "Ended right"
_NOTHING = "none"


def rehearsed_view(atlas: Atlas) -> views.RehearsedView:
    """The view of the page."""
    found = atlas.edition.rehearsed
    command = f"{COMMAND} --company FILE" if atlas.edition.is_branded else COMMAND
    return views.RehearsedView(
        frame(REHEARSED, atlas.worded(TITLE), atlas, trees=atlas.course.library.written()),
        command,
        None if found is None else _figures(found.figures, atlas),
    )


def _figures(found: Figures, atlas: Atlas) -> views.FiguresView:
    accurate, erring = found.models["accurate"], found.models["both"]
    complaints = _titles(accurate.complaints, atlas)
    return views.FiguresView(
        cases=f"{found.cases:,}",
        causes=str(found.causes),
        callers=str(found.callers),
        bars=tuple(_bars(words, found.models[model].bars) for model, words in _CALLERS.items()),
        pages=_pages(accurate.pages),
        right=_right(accurate.complaints, complaints),
        complaints=_complaints(accurate, erring, complaints),
        exposures=_exposures(accurate.exposures, erring.exposures),
        halves=_halves(accurate),
        variations=_variations(found),
        worst=tuple(_worst(each, atlas) for each in accurate.worst),
        alike=tuple("; ".join(_causes(group, atlas)) for group in found.alike),
        declared=tuple(_causes(found.declared, atlas)),
    )


# ---- words ----


def percent(share: float | None) -> str:
    """A share in hundredths; what isn't all or nothing never reads so."""
    if share is None:
        return _NOTHING
    if share in (0.0, 1.0):
        return f"{100 * share:.0f}%"
    if 0.0 < share < 0.00005 or 0.99995 < share < 1.0:
        return "under 0.01%" if share < 0.5 else "over 99.99%"
    hundredths = 100.0 * share
    return f"{hundredths:.1f}%" if 1.0 <= hundredths <= 99.0 else f"{hundredths:.2f}%"


def _count(calls: float) -> str:
    """Calls, some of which are never shown as none."""
    if 0.0 < calls < 0.05:
        return "under 0.1"
    return f"{calls:,.1f}" if calls else "0"


def _size(value: float | None, unit: str) -> str:
    if unit == "%":
        return percent(value)
    return _NOTHING if value is None else f"{value:g} {unit}"


def _wanted(bar: Bar) -> str:
    limit = f"{100 * bar.limit:g}%" if bar.unit == "%" else f"{bar.limit:g} {bar.unit}"
    return f"{'at least' if bar.least else 'at most'} {limit}"


def _met(bar: Bar) -> str:
    return {True: "met", False: "missed", None: "nothing to measure"}[bar.met]


def _causes(names: Iterable[str], atlas: Atlas) -> list[str]:
    known = atlas.course.library.catalogue.causes
    return [atlas.plain(known[name].name) for name in names]


def _titles(complaints: Mapping[str, Part], atlas: Atlas) -> dict[str, str]:
    trees = atlas.course.library.trees
    return {name: str(trees[name].title) for name in complaints}


# ---- tables and plots ----


def _bars(callers: str, bars: Sequence[Bar]) -> views.TableView:
    rows = [(bar.name, _size(bar.value, bar.unit), _wanted(bar), _met(bar)) for bar in bars]
    return table(callers, ("What is measured", "Reached", "Wanted", "Bar"), rows)


def _pages(shares: Mapping[str, float]) -> views.PlotView | None:
    if not shares:
        return None
    counts = {int(pages): share for pages, share in shares.items()}
    title = "Pages of a walk that ends without danger"
    most = max(counts, key=lambda pages: (counts[pages], -pages))
    about = (
        f"Walks have from {min(counts)} to {max(counts)} pages; the most, "
        f"{100 * counts[most]:.0f} of 100, have {most}."
    )
    return plots.columns("pages", title, about, counts)


def _right(parts: Mapping[str, Part], titles: Mapping[str, str]) -> views.PlotView:
    shares = [
        (titles[name], part.right or 0.0, percent(part.right)) for name, part in parts.items()
    ]
    about = "; ".join(f"{title}: {words}" for title, _, words in shares) + "."
    return plots.bars("right", "Share of calls that ended right, by complaint", about, shares)


def _complaints(accurate: Model, erring: Model, titles: Mapping[str, str]) -> views.TableView:
    heads = ("Complaint", "Of all calls", _RIGHT, "Right if they err", "True cause shown", "Mended")
    rows = [
        (
            titles[name],
            percent(part.calls),
            percent(part.right),
            percent(erring.complaints[name].right),
            percent(part.shown),
            percent(part.fixed),
        )
        for name, part in accurate.complaints.items()
    ]
    return table("By complaint", heads, rows)


def _exposures(accurate: Mapping[str, Exposure], erring: Mapping[str, Exposure]) -> views.TableView:
    heads = (
        "Hazard",
        "A sign told of it",
        "No sign",
        "A sign, if they err",
        "No sign, if they err",
    )
    rows = []
    for name in sorted({*accurate, *erring}):
        each = [found.get(name, Exposure(0.0, 0.0)) for found in (accurate, erring)]
        counts = [_count(n) for e in each for n in (e.signed, e.hidden)]
        rows.append((_HAZARDS.get(name, name.replace("-", " ")), *counts))
    return table("Calls of 100,000", heads, rows)


def _halves(model: Model) -> views.TableView:
    heads = ("Share of calls", "All houses", "Mended on", "Held out")
    marks = [model.marks[name] for name in _MARKS if name in model.marks]
    rows = [(m.says, percent(m.whole), percent(m.mended_on), percent(m.held_out)) for m in marks]
    return table(_CALLERS["accurate"], heads, rows)


def _variations(found: Figures) -> views.TableView:
    """Every bar in the world as declared, and in each other one where it is measured."""
    worlds = [name for name in _WORLDS if name in found.variations]
    heads = ("What is measured", "Declared", *(_WORLDS[name] for name in worlds))
    rows = []
    for model in (name for name in MODELS if name in _CALLERS):
        for number, bar in enumerate(found.models[model].bars):
            others = [found.variations[world].get(model, ()) for world in worlds]
            cells = [_size(o[number].value, bar.unit) if o else "same" for o in others]
            rows.append((bar.name, _size(bar.value, bar.unit), *cells))
    return table("The same bars in other worlds", heads, rows)


def _worst(each: Worst, atlas: Atlas) -> views.WorstView:
    [name] = _causes([each.cause], atlas)
    right, trail = f"right {percent(each.right)}", each.trail
    if trail is None:
        return views.WorstView(name, right, "", (), "", "")
    calls = f"{percent(trail.share)} of its calls ({trail.caller})"
    return views.WorstView(name, right, calls, _shortened(trail.pages), trail.end, trail.right)


def _shortened(pages: Sequence[str]) -> tuple[str, ...]:
    """The labels of a walk, each tree named only where it changes."""
    found, before = [], ""
    for page in pages:
        tree, _, label = page.rpartition(" > ")
        found.append(label if tree == before else page)
        before = tree
    return tuple(found)
