"""How soon somebody must come for the sake of people and pipes: declared lines, judgement.

Ids are those of the catalogue's urgencies. An answer raises an urgency and never lowers one.
"""

from __future__ import annotations

from stepstop.waiting.cooling import Span

COLD = {True: 65.0, False: 60.0}
"""Somebody at risk is at home, or nobody -> °F indoors below which help comes tonight.

US National Institute on Aging: 60 to 65 °F can be too cold for older people; the page that asks
who is at home has the same lines.
"""
HOT = {True: 90.0, False: 103.0}
"""The same -> heat index in °F from which help comes tonight: NWS categories."""
TONIGHT, TODAY, NONE = "tonight", "today", ""
SOON, LATER = 12.0, 24.0
"""Hours: whoever may be below the line so soon must not wait for the next morning, or day."""
PIPES = 20.0
"""°F outdoors at which water in pipes may begin to freeze: an alert, and no promise above it.

J. R. Gordon, Building Research Council, Univ. of Illinois, 1996, secondary copy: pipes without
insulation in an attic. Wind and cracks freeze pipes above it.
"""


def cold(inside: float, at_risk: bool, until: Span) -> str:
    """How soon, of °F indoors and the hours `until` it is at the line of these people."""
    if inside < COLD[at_risk] or until.least <= SOON:
        return TONIGHT
    return TODAY if until.least <= LATER else NONE


def hot(index: float, at_risk: bool) -> str:
    """How soon, of the heat index in °F."""
    if index >= HOT[at_risk]:
        return TONIGHT
    return TODAY if index >= HOT[True] else NONE


def pipes_alert(lowest: float) -> bool:
    """Whether pipes are to be looked after at this outdoor temperature in °F."""
    return lowest <= PIPES
