"""How long a blade fuse and a transformer's thermal link bear a current."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from stepstop.house.parts import RATED_VOLTS

MELTING: Sequence[tuple[float, float]] = (
    (1.10, 360_000.0),
    (1.35, 60.0),
    (1.60, 6.0),
    (2.00, 0.9),
    (3.50, 0.15),
    (6.00, 0.05),
)
"""(current / rating, seconds), the nominal curve: from memory of the family's sheets.

Each lies inside the gates of ISO 8820-3 and SAE J1284. A single fuse may be quicker or slower by
what the gates leave: at 1.35 from 0.75 to 600 s.
"""

HOLDS = 1.10
"""A fuse bears this share of its rating for ever (at least 100 h by ISO 8820-3)."""

LINK_RISE = 1.5**2
"""The link opens at this share of the winding's rise at full load: about 150 % of the rated VA."""

WARMING_SECONDS = 3600.0
"""Time constant of the winding, such that 40 VA rated at 100 VA last about 10 minutes.

Common practice, no source: 5 to 20 minutes.
"""


def fuse_seconds(amps: float, rating: float) -> float:
    """Seconds until a fuse of `rating` amperes melts; inf if it holds or there is none.

    Straight between the points of `MELTING` on log-log paper, and on past the last one, where its
    slope is near -2: the heat stays where it arises.
    """
    if not rating or amps <= HOLDS * rating:
        return math.inf
    ratio = math.log(amps / rating)
    points = [(math.log(share), math.log(seconds)) for share, seconds in MELTING]
    right = next((i for i in range(1, len(points)) if ratio <= points[i][0]), len(points) - 1)
    (x0, y0), (x1, y1) = points[right - 1 : right + 1]
    return math.exp(y0 + (y1 - y0) * (ratio - x0) / (x1 - x0))


def link_seconds(amps: float, va: int) -> float:
    """Seconds until the thermal link of a cold transformer opens; inf if it never does.

    One mass: its rise goes to (amps / rated amps) squared, in shares of the rise at full load, with
    `WARMING_SECONDS`; the link opens at `LINK_RISE` and stays open.
    """
    goal = (amps * RATED_VOLTS / va) ** 2
    if goal <= LINK_RISE:
        return math.inf
    return WARMING_SECONDS * math.log(goal / (goal - LINK_RISE))


def first(lasting: Mapping[str, float]) -> tuple[str, float]:
    """Name and seconds of what gives way first, by name if several do."""
    return min(sorted(lasting.items()), key=lambda item: item[1])
