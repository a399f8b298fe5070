"""What people met before they came to the pages: how it runs, stops, blows and answers.

They tell of the house as it was found, whatever this walk has done since. Shares are judgement,
common practice, no source. As in `senses`, nothing here reads what a person can't meet.
"""

from __future__ import annotations

from itertools import dropwhile

from stepstop.house.doing import Scene, can_set, delivers, fan_stops, stops
from stepstop.house.house import DUCTED, ELECTRIC, PUMPS, House, edit
from stepstop.house.story import HORIZON, Story
from stepstop.house.units import Doings, air, doings
from stepstop.house.wiring import screen

Sensed = str | dict[str, float]

WARM = ("hot", "some-warmth", "warm")
"""Air that feels warm, or a little warm, to a hand at a grille."""
MINUTE = 60.0
SECONDS = 130.0
"""A run up to so long is told as seconds, or a minute or two, in which nothing gets warm."""
MINUTES = 600.0
"""A run up to so long is told as some minutes."""
WELL = ("dark", "steady", "heartbeat")
"""What a light does that tells no code."""
TAKEN_FOR_EVEN = 0.05
"""Share of people who take a code for an even blink."""
LONG_START = 3
"""Minutes of cool air that every start of a heat pump has."""
NOTICED = 0.6
"""Share of people who have met what the fan alone wakes."""


def fresh(house: House) -> Doings:
    """The house from the moment of a call made anew."""
    return doings(edit(house, called="fresh"))


def _warm(whole: Doings, moment: float) -> bool:
    return air(whole, moment) in WARM


# ---- how it runs and stops ----


def _work(house: House, whole: Doings) -> tuple[Story, str]:
    """The story, and what of it, that a person takes for the run: flame, heaters, outdoor unit."""
    if house.wanted == "cool" or house.heating in PUMPS:
        return whole.outdoor, "compressor"
    if house.heating in ELECTRIC:
        full = whole.indoor.seconds("elements", 0.0, HORIZON) > 0.0
        return whole.indoor, "elements" if full else "some-elements"
    lit = whole.indoor.seconds("flame", 0.0, HORIZON) > 0.0
    return whole.indoor, "flame" if lit else "inducer"


def runs(house: House) -> list[tuple[float, float]]:
    """(start, end) of each run that ends by itself within half an hour of a fresh call."""
    story, what = _work(house, fresh(house))
    return [each for each in story.stretches(what, 0.0, HORIZON) if each[1] < HORIZON]


def starts_and_stops(house: House, whole: Doings) -> bool:
    """Whether runs end and begin anew while somebody watches `whole` for half an hour.

    Electric heaters that get hot without air are not met by anybody.
    """
    story, what = _work(house, whole)
    blows = whole.indoor.seconds("blower", 0.0, HORIZON) > 0.0
    met = blows or house.heating not in ELECTRIC
    return met and len(story.stretches(what, 0.0, HORIZON)) > 1


def run_length(s: Scene) -> Sensed:
    """How long it runs before it stops by itself."""
    ended = runs(s.found)
    if not ended:
        return "ten-or-more"
    start, end = ended[-1]
    if end - start <= SECONDS:
        return "seconds"
    return "few-minutes" if end - start <= MINUTES else "ten-or-more"


def stops_at(s: Scene) -> Sensed:
    """Where the room number stands when it stops: what is asked for too little stops there."""
    asked_less = s.found.setting in ("wrong-number", "hold-or-away") or s.found.event
    return "wanted-number" if asked_less or delivers(s.found) else "before"


def as_it_stops(s: Scene) -> Sensed:
    """What goes on when it stops by itself."""
    if s.found.wanted == "cool" and s.found.coil == "ice":
        return "air-weakens"
    ended = runs(s.found)
    blows = bool(ended) and fresh(s.found).indoor.at("blower", ended[0][1] + MINUTE)
    return "fan-goes-on" if blows else "all-stops"


def screen_as_it_stops(s: Scene) -> Sensed:
    """Whether the screen goes when all stops."""
    return "goes" if screen(s.found) in ("blank", "dim-or-reboots") else "stays"


# ---- cold air ----


def blows_cold(house: House) -> bool:
    """Whether air comes from the grilles and is no warmer than the room while heat is asked for."""
    return house.heating in DUCTED and air(doings(house), MINUTES) in ("room", "cold")


def _felt(whole: Doings, first: int, last: int) -> list[bool]:
    """Warm or not at each minute at which air comes."""
    moments = (MINUTE * minute for minute in range(first, last))
    return [_warm(whole, at) for at in moments if air(whole, at) != "none"]


def cold_when(s: Scene) -> Sensed:
    """When the air is cold although heat is wanted."""
    if s.found.fan in ("on", "circulate") and delivers(s.found):
        return "between"
    felt = _felt(s.was, -10, 20)
    if not any(felt):
        return "always" if felt else "unsure"
    if not all(felt):
        return "after-warm"
    return _at_start(s.found)


def _at_start(house: House) -> Sensed:
    """Air that was warm for long: cold for some minutes after a start, or cool to the hand only."""
    began = _felt(fresh(house), 0, 30)
    cold = began.index(True) if True in began else 0
    usual = LONG_START if house.heating in PUMPS else 1
    if cold > usual and all(began[cold:]):
        return "at-start"
    return {"always": 0.7, "unsure": 0.3} if house.heating in PUMPS else "unsure"


def warm_after_start(s: Scene) -> Sensed:
    """How long cool air comes at the beginning of a run."""
    whole = fresh(s.found)
    felt = [air(whole, 10.0 * step) for step in range(180)]
    blown = [each in WARM for each in dropwhile(lambda each: each == "none", felt)]
    cold = blown.index(True) if True in blown else len(blown)
    return "soon" if cold * 10.0 <= 2 * MINUTE and all(blown[cold:]) else "late"


# ---- what is missing ----


def runs_on(house: House) -> bool:
    """Whether air comes from the grilles, and would go on with the thermostat OFF."""
    return house.heating in DUCTED and not fan_stops(house)


def what_fails(s: Scene) -> Sensed:
    """What is missing apart from what the complaint names."""
    house = s.found
    missing = "no-heat" if house.wanted == "heat" else "no-cooling"
    if runs_on(house):
        return "fan-runs" if delivers(house) else {"fan-runs": 0.5, missing: 0.5}
    if screen(house) == "blank":
        return "nothing-answers"
    return "works" if delivers(house) else missing


def blink_seen(s: Scene) -> Sensed:
    """How the light blinks, as seen in passing."""
    if s.was.indoor.light_at(MINUTES) in WELL:
        return "even"
    return {"code": 1.0 - TAKEN_FOR_EVEN, "even": TAKEN_FOR_EVEN}


def function_now(s: Scene) -> Sensed:
    """What works since the thermostat or its wires were touched."""
    house = s.found
    if not stops(house):
        return "never-stops"
    turned = _turned(house, air(s.was, MINUTES))
    if turned:
        return turned
    rest = _rest(s)
    if _fan_wakes(house) and rest != "other-answers":
        return {"other-answers": NOTICED, rest: 1.0 - NOTICED}
    return rest


def _turned(house: House, felt: str) -> str:
    if house.wanted == "heat":
        return "cold-for-hot" if felt == "cold" else ""
    return "hot-for-cold" if felt in WARM else ""


def _fan_wakes(house: House) -> bool:
    """Whether the fan choice ON, and nothing else asked, starts a flame or the outdoor unit."""
    if not (house.fan_settable and can_set(house)):
        return False
    alone = doings(edit(house, mode="off", fan="on", called="fresh"))
    flame = alone.indoor.seconds("flame", 0.0, 300.0)
    return bool(flame or alone.outdoor.seconds("outdoor-fan", 0.0, 150.0))


def _rest(s: Scene) -> str:
    """Where nothing runs on and no air is turned about."""
    house = s.found
    if screen(house) in ("dim-or-reboots", "battery-sign"):
        return "weak-screen"
    both = house.wanted == "heat" and house.heating not in PUMPS
    if both and s.was.outdoor.at("outdoor-fan", MINUTES):
        return "other-answers"
    if delivers(house):
        return "works"
    return "part-missing" if _answers(fresh(house)) else "dead"


def _answers(whole: Doings) -> bool:
    """Whether anything is heard or felt within ten minutes of a call."""
    indoors = ("blower", "blower-hum", "inducer", "inducer-hum", "flame", "burner", "pump")
    outdoors = ("outdoor-fan", "outdoor-hum", "compressor", "outdoor-chatter")
    inside = any(whole.indoor.seconds(what, 0.0, MINUTES) for what in indoors)
    return inside or any(whole.outdoor.seconds(what, 0.0, MINUTES) for what in outdoors)
