"""Plots as boxes and letters, worked out when pages are made; no page computes anything."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from stepstop.pages.views import Box, Letters, PlotView

WIDTH = 320.0
"""Of every plot, in its own units: about a pixel each on a narrow phone."""
LINE = 15.0
"""Height of a line of letters."""
WHOLE = 260.0
"""Length of a bar that stands for all; its words stand behind it."""


def columns(name: str, title: str, about: str, shares: Mapping[int, float]) -> PlotView:
    """One column for each number from the least to the greatest, as high as its share.

    Every fifth number stands below its column, the greatest share above its own.
    """
    first, last = min(shares), max(shares)
    step, high, ground = WIDTH / (last - first + 1), 120.0, 140.0
    greatest = max(shares.values())
    middle = {n: (n - first + 0.5) * step for n in range(first, last + 1)}
    boxes = [
        Box(_r(middle[n] - 0.4 * step), _r(ground - high * s / greatest), _r(0.8 * step), h)
        for n, s in sorted(shares.items())
        if (h := _r(high * s / greatest)) > 0.0
    ]
    ticks = [n for n in middle if n % 5 == 0]
    letters = [Letters(_r(middle[n]), ground + LINE, "middle", str(n)) for n in ticks]
    top = max(shares, key=lambda n: (shares[n], -n))
    letters.append(Letters(*_kept_inside(middle[top]), f"{100 * greatest:.0f} of 100 walks"))
    size = (WIDTH, ground + LINE + 5.0)
    return PlotView(name, title, about, *size, tuple(boxes), tuple(letters))


def _kept_inside(x: float) -> tuple[float, float, str]:
    """Where letters above a column stand, so that none is cut off."""
    if x < 0.25 * WIDTH:
        return 0.0, LINE, "start"
    return (WIDTH, LINE, "end") if x > 0.75 * WIDTH else (_r(x), LINE, "middle")


def bars(name: str, title: str, about: str, shares: Sequence[tuple[str, float, str]]) -> PlotView:
    """One bar for each (label, share from 0 to 1, share in words), below its label."""
    boxes, letters = [], []
    for number, (label, share, words) in enumerate(shares):
        y = number * 42.0
        letters += [
            Letters(0.0, y + LINE, "start", label),
            Letters(WIDTH, y + 20.0 + 11.0, "end", words),
        ]
        boxes.append(Box(0.0, y + 20.0, _r(WHOLE * share), 12.0))
    height = 42.0 * max(1, len(shares))
    return PlotView(name, title, about, WIDTH, height, tuple(boxes), tuple(letters))


def _r(value: float) -> float:
    return round(value, 1) + 0.0
