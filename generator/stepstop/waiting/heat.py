"""How hot it feels indoors: the heat index, its categories, and what a fan may still do.

The heat index is that of shade and light wind. `reckoning.js` does the same in a page.
"""

from __future__ import annotations

from math import sqrt

CATEGORIES = (
    ("caution", 80.0),
    ("extreme-caution", 90.0),
    ("danger", 103.0),
    ("extreme-danger", 125.0),
)
"""Where categories begin, in °F: the stricter of two sets of the US National Weather Service.

The older set has 105 and 130. Secondary copy.
"""
FANS = 90.0
"""°F in the room above which no fan is advised: the strictest of the lines that agencies give.

US EPA, Excessive Heat Events Guidebook (2006), secondary copy; others have 95 °F to 104 °F.
"""


def simple(air: float, humidity: float) -> float:
    """The simple form in °F, of the air in °F and its relative humidity in %."""
    return 0.5 * (air + 61.0 + (air - 68.0) * 1.2 + humidity * 0.094)


def regression(air: float, humidity: float) -> float:
    """L. P. Rothfusz's regression, without adjustments: NWS SR 90-23, 1990."""
    t, r = air, humidity
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 0.00683783 * t * t
        - 0.05481717 * r * r
        + 0.00122874 * t * t * r
        + 0.00085282 * t * r * r
        - 0.00000199 * t * t * r * r
    )


def heat_index(air: float, humidity: float) -> float:
    """°F as the US Weather Prediction Center reckons it: simple, or regression with adjustments."""
    low = simple(air, humidity)
    if low < 80.0:
        return low
    found = regression(air, humidity)
    if humidity < 13.0 and 80.0 <= air <= 112.0:
        found -= (13.0 - humidity) / 4.0 * sqrt((17.0 - abs(air - 95.0)) / 17.0)
    if humidity > 85.0 and 80.0 <= air <= 87.0:
        found += (humidity - 85.0) / 10.0 * (87.0 - air) / 5.0
    return found


def category(index: float) -> str:
    """The category of a heat index in °F: `none` to `extreme-danger`."""
    name = "none"
    for each, begins in CATEGORIES:
        if index >= begins:
            name = each
    return name


def fan_helps(air: float) -> bool:
    """Whether a fan may be advised at this air temperature in °F."""
    return air <= FANS
