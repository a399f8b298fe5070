"""Arithmetic of the control circuit for licensed technicians, as tables that are reckoned here."""

from __future__ import annotations

from math import inf

from stepstop.pages import views
from stepstop.pages.address import CONTROL
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame
from stepstop.pages.tables import table
from stepstop.waiting import control

TITLE = "For licensed technicians: control circuit arithmetic"
RATINGS = (20, 30, 40, 50, 60, 75, 100)
VOLTS = (24, 27, 30)
LENGTHS = (25, 50, 100, 150, 200)
"""Feet one way."""
RATING, REGULATION = 40.0, 0.10
"""The transformer of the table of short circuits."""
FUSES = (3.0, 5.0)
WARM = 20.0
"""°C of the wire in the tables."""


def control_view(atlas: Atlas) -> views.ControlView:
    """The view of the page."""
    return views.ControlView(
        frame(CONTROL, TITLE, atlas, trees=atlas.course.library.written()),
        TITLE,
        control.GAUGES,
        _currents(),
        _fuses(),
        _wires(),
        _shorts(),
    )


def _currents() -> views.TableView:
    rows = [(f"{each} VA", f"{control.current(each):.2f} A") for each in RATINGS]
    return table("Rated current at 24 V", ("Transformer", "Secondary"), rows)


def _fuses() -> views.TableView:
    rows = [
        (
            f"{volts} V",
            f"{control.fuse_limit(volts):.2f} A",
            f"{control.CLASS_2_SHORT / volts:.1f} A",
        )
        for volts in VOLTS
    ]
    heads = ("Highest voltage", "Largest fuse as its overcurrent device", "Current after 1 minute")
    return table("A Class 2 source that is not inherently limited", heads, rows)


def _wires() -> views.TableView:
    rows = [
        (
            f"{feet} ft",
            *(
                f"{control.loop(gauge, feet):.2f} ohm, {control.drop(gauge, feet, 0.5):.2f} V"
                for gauge in control.GAUGES
            ),
        )
        for feet in LENGTHS
    ]
    heads = ("Run, one way", *(f"AWG {gauge}" for gauge in control.GAUGES))
    return table("Out and back at 20 °C, and the drop at 0.5 A", heads, rows)


def _shorts() -> views.TableView:
    rows = []
    for feet in (0, *LENGTHS):
        amperes = control.short_circuit(RATING, REGULATION, 18, feet, WARM)
        opening = (seconds(control.opens(amperes, fuse)) for fuse in FUSES)
        rows.append((f"{feet} ft", f"{amperes:.1f} A", *opening))
    heads = ("Short circuit at", "Current", *(f"{fuse:g} A fuse opens" for fuse in FUSES))
    return table("40 VA, 10 % regulation, AWG 18", heads, rows)


def seconds(span: control.Opens) -> str:
    """When a fuse opens, in words."""
    if span.least == inf:
        return "need not open"
    least = _time(span.least)
    return f"from {least}, or never" if span.most == inf else f"{least} to {_time(span.most)}"


def _time(value: float) -> str:
    """Two figures, so that neither promises more than it holds."""
    if value < 90.0:
        return f"{value:.2g} s"
    return f"{value / 60.0:.2g} min" if value < 5400.0 else f"{value / 3600.0:.0f} h"
