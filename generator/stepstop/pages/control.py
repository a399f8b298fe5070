"""Arithmetic of the control circuit for licensed technicians, as tables that are reckoned here."""

from __future__ import annotations

from math import inf

from stepstop.language.tongue import ENGLISH, Worded, phrase
from stepstop.pages import views
from stepstop.pages.address import CONTROL
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame
from stepstop.pages.tables import table
from stepstop.waiting import control

TITLE = phrase("For licensed technicians: control circuit arithmetic")
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
    title = atlas.worded(TITLE)
    return views.ControlView(
        frame(CONTROL, title, atlas, trees=atlas.course.library.written()),
        title,
        control.GAUGES,
        _currents(atlas.worded),
        _fuses(atlas.worded),
        _wires(atlas.worded),
        _shorts(atlas.worded),
    )


def _currents(worded: Worded) -> views.TableView:
    rows = [(f"{each} VA", f"{control.current(each):.2f} A") for each in RATINGS]
    heads = (worded("Transformer"), worded("Secondary"))
    return table(worded("Rated current at 24 V"), heads, rows)


def _fuses(worded: Worded) -> views.TableView:
    rows = [
        (
            f"{volts} V",
            f"{control.fuse_limit(volts):.2f} A",
            f"{control.CLASS_2_SHORT / volts:.1f} A",
        )
        for volts in VOLTS
    ]
    heads = (
        worded("Highest voltage"),
        worded("Largest fuse as its overcurrent device"),
        worded("Current after 1 minute"),
    )
    return table(worded("A Class 2 source that is not inherently limited"), heads, rows)


def _wires(worded: Worded) -> views.TableView:
    rows = [
        (
            worded("{feet} ft", feet=feet),
            *(
                worded(
                    "{ohms} ohm, {volts} V",
                    ohms=f"{control.loop(gauge, feet):.2f}",
                    volts=f"{control.drop(gauge, feet, 0.5):.2f}",
                )
                for gauge in control.GAUGES
            ),
        )
        for feet in LENGTHS
    ]
    heads = (worded("Run, one way"), *(f"AWG {gauge}" for gauge in control.GAUGES))
    return table(worded("Out and back at 20 °C, and the drop at 0.5 A"), heads, rows)


def _shorts(worded: Worded) -> views.TableView:
    rows = []
    for feet in (0, *LENGTHS):
        amperes = control.short_circuit(RATING, REGULATION, 18, feet, WARM)
        opening = (seconds(control.opens(amperes, fuse), worded) for fuse in FUSES)
        rows.append((worded("{feet} ft", feet=feet), f"{amperes:.1f} A", *opening))
    heads = (
        worded("Short circuit at"),
        worded("Current"),
        *(worded("{amperes} A fuse opens", amperes=f"{fuse:g}") for fuse in FUSES),
    )
    return table(worded("40 VA, 10 % regulation, AWG 18"), heads, rows)


def seconds(span: control.Opens, worded: Worded = ENGLISH.worded) -> str:
    """When a fuse opens, in words."""
    if span.least == inf:
        return worded("need not open")
    least = _time(span.least, worded)
    if span.most == inf:
        return worded("from {least}, or never", least=least)
    return worded("{least} to {most}", least=least, most=_time(span.most, worded))


def _time(value: float, worded: Worded) -> str:
    """Two figures, so that neither promises more than it holds."""
    if value < 90.0:
        return worded("{seconds} s", seconds=f"{value:.2g}")
    if value < 5400.0:
        return worded("{minutes} min", minutes=f"{value / 60.0:.2g}")
    return worded("{hours} h", hours=f"{value / 3600.0:.0f}")
