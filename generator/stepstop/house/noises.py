"""What a unit sounds like: the one noise that a person would name, by what the units do.

What is heard first of several noises is judgement, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from stepstop.house.house import PUMPS
from stepstop.house.story import HORIZON
from stepstop.house.units import Doings
from stepstop.house.wiring import LONG


@dataclass(frozen=True, slots=True)
class Noise:
    """A noise, in the words of the findings `noise-place`, `noise-kind` and `noise-when`."""

    place: str
    kind: str
    when: str


def noise(whole: Doings) -> Noise:
    """The noise that stands out; metal that ticks as it warms up where nothing does."""
    return next((each for hears, each in _HEARD if hears(whole)), _TICKS)


def _bangs(whole: Doings) -> bool:
    return whole.indoor.bang and ("scorch-or-bang", "seen") in whole.house.signs


def _goes_on(whole: Doings, *what: str) -> bool:
    """Whether one of these was to be heard since the call began, or is now."""
    told = (whole.indoor, whole.outdoor)
    return any(story.seconds(each, -LONG, HORIZON) > 0.0 for story in told for each in what)


def _hums_outside(whole: Doings) -> bool:
    """A motor that can't start, a switch that chatters, or one motor of the two alone."""
    if _goes_on(whole, "outdoor-hum", "outdoor-chatter"):
        return True
    return _goes_on(whole, "compressor") and not _goes_on(whole, "outdoor-fan")


def _melts_its_frost(whole: Doings) -> bool:
    pump = whole.house.heating in PUMPS and whole.house.defrost == "now"
    return pump and _goes_on(whole, "compressor")


def _wheel(how: str) -> Callable[[Doings], bool]:
    return lambda whole: whole.house.wheel == how and _goes_on(whole, "blower")


def _gurgles(whole: Doings) -> bool:
    """Water of the fumes can't run off, and the small fan draws on it."""
    held = whole.house.heating == "gas-plastic" and whole.house.trap != "clear"
    return held and _goes_on(whole, "inducer")


def _whistles(whole: Doings) -> bool:
    """Air is drawn through too small a way."""
    narrow = whole.house.filter != "clean" or whole.house.grilles != "open"
    return narrow and _goes_on(whole, "blower")


def _gas_escapes(whole: Doings) -> bool:
    return ("gas-smell", "gas-or-exhaust") in whole.house.signs


def _hisses(whole: Doings) -> bool:
    """A cooling circuit that is not full lets vapour through where fluid should pass."""
    return whole.house.charge == "low" and _goes_on(whole, "compressor")


def _clicks_in_vain(whole: Doings) -> bool:
    return whole.indoor.clicked(-LONG, HORIZON) and not _goes_on(whole, "flame", "blower")


def _roars(whole: Doings) -> bool:
    return whole.house.burners == "dirty" and _goes_on(whole, "flame")


_TICKS = Noise("ducts", "ticking", "start")

_HEARD: tuple[tuple[Callable[[Doings], bool], Noise], ...] = (
    (_bangs, Noise("indoor", "bang", "start")),
    (
        lambda whole: _goes_on(whole, "blower-hum", "inducer-hum"),
        Noise("indoor", "hum-no-fan", "running"),
    ),
    (_hums_outside, Noise("outdoor", "hum-no-fan", "running")),
    (_melts_its_frost, Noise("outdoor", "whoosh", "running")),
    (_wheel("rattles"), Noise("indoor", "rattle", "running")),
    (_wheel("squeals"), Noise("indoor", "squeal", "running")),
    (_gas_escapes, Noise("indoor", "hiss", "running")),
    (_roars, Noise("indoor", "roar", "running")),
    (_gurgles, Noise("indoor", "gurgle", "running")),
    (_whistles, Noise("ducts", "whistle", "running")),
    (_hisses, Noise("indoor", "hiss", "running")),
    (_clicks_in_vain, Noise("indoor", "ticking", "start")),
)
"""What is heard -> how it is told, the most striking first."""
