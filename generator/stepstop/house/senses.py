"""What a person without a meter meets: each finding as a function of the scene.

A sense gives one value, or values with chances where people or boards differ. Nothing here reads
what a person can't see, hear, feel or be told: voltages, parts behind covers, refrigerant.
"""

from __future__ import annotations

from collections.abc import Mapping

from stepstop.house.doing import Scene, after_off, can_set, delivers, filter_reached, takes_cells
from stepstop.house.house import FURNACES, PUMPS, SPLIT, House, edit
from stepstop.house.outdoor import direction, outdoor_power
from stepstop.house.story import UNCODED, Spell
from stepstop.house.told import LOOK, TOLD, Sense
from stepstop.house.units import Doings, air, doings
from stepstop.house.water import Sensed, water_when
from stepstop.house.wiring import line_power, screen, water_high

WAIT = 330.0
"""Seconds that a person waits at a grille after a call for heat."""
COOL_WAIT = 450.0
LISTEN = (45.0, 420.0)
"""From when to when a person listens there who has asked anew and gone at once."""
LONG_FLAME = 45.0
"""A flame that burns so long is more than one that goes out within seconds."""
HEATED = ("hot", "some-warmth")
"""Air that flame or elements have heated; a heat pump's is `warm`."""
COUNTS = (
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten-or-more",
)
RAPID = 0.08
"""Share of codes that are a rapid flicker, whatever the board's own way; judgement."""
UNEVEN = 0.1
"""Share of people whose first two counts of a blinking light differ; judgement."""
AGREES = 0.8
"""Share of those who count one of the two numbers again the third time; judgement."""
LOST = 0.3
"""Share of labels that say "flame lost" of a flame which lit for seconds; judgement."""
MORE = ("pressure-stuck", "polarity", "two-calls", "drain", "boiler-water")
"""Classes of the house's lights that stand on the second page of words."""


# ---- thermostat ----


def _thermostat_power(s: Scene) -> Sensed:
    kind = s.found.control.thermostat
    return {"batteries": "batteries", "both": "both", "none": "no-screen"}.get(kind, "wires")


def _display(s: Scene) -> Sensed:
    shown = screen(s.now)
    return "unsure" if shown == "none" else shown


def _setting(s: Scene) -> Sensed:
    if screen(s.now) == "blank":
        return "unsure"
    return _set(s.now)


def _set(house: House) -> str:
    """How mode and number stand, by what was set on this walk if anything was."""
    if not house.mode:
        return "hold-or-away" if house.event else house.setting
    return "right" if house.mode in (house.wanted, "emergency-heat") else "off-or-wrong-mode"


def _cooling_set(s: Scene) -> Sensed:
    shown = screen(s.now)
    if shown in ("blank", "none"):
        return "nothing-to-read" if shown == "blank" else "not-read"
    if shown == "dim-or-reboots":
        return "not-read"
    return _set(s.now)


def _fan_choice(s: Scene) -> Sensed:
    if not s.now.fan_settable:
        return "no-choice"
    return "unsure" if screen(s.now) == "blank" else s.now.fan


def _after_batteries(s: Scene) -> Sensed:
    if not takes_cells(s.found):
        return "no-batteries-inside"
    if not s.found.spare_batteries:
        return "not-done"
    return "on" if screen(s.now) in ("on", "battery-sign") else "blank"


def _off_result(s: Scene) -> Sensed:
    return "off" if can_set(s.now) else "screen-blank"


def _heat_after_off(s: Scene) -> Sensed:
    if not can_set(s.now):
        return "screen-blank"
    return "keeps-coming" if air(s.whole, 75.0) in HEATED and _burns(s) else "ended"


def _burns(s: Scene) -> bool:
    return any(s.whole.indoor.at(what, 75.0) for what in ("flame", "elements", "some-elements"))


def _as_it_asked(s: Scene) -> Sensed:
    shown = screen(s.now)
    if shown == "blank":
        return "blank-batteries" if takes_cells(s.now) else "blank-no-batteries"
    return "battery-sign" if shown in ("battery-sign", "dim-or-reboots") else "stayed"


def _room_number(s: Scene) -> Sensed:
    if screen(s.now) in ("blank", "none"):
        return "unsure"
    return "rising" if delivers(s.now) else "not-rising"


# ---- a call for heat ----


def _unsettable(s: Scene) -> bool:
    """Whether something was to be set, and the thermostat doesn't answer."""
    return bool(s.acts.thermostat) and not can_set(s.now)


def _heat_call(s: Scene) -> Sensed:
    if _unsettable(s):
        return "not-done"
    moments: tuple[float, ...] = (150.0, 210.0, 270.0, WAIT)
    if s.acts.stayed:
        moments += (450.0, 600.0, 750.0, 900.0)
    warm = [_warmth(s.whole, at) for at in moments]
    if any(warm) and s.acts.stayed:
        return "warm" if all(warm[warm.index(True) :]) else "starts-then-stops"
    if warm[-1]:
        return "warm"
    if any(warm):
        return "starts-then-stops"
    if s.whole.indoor.seconds("blower", 0.0, WAIT) >= 30.0:
        return "cool-air"
    return "sounds-no-air" if s.now.audible and _sounds(s, 0.0, WAIT) else "nothing"


def _warmth(whole: Doings, moment: float) -> bool:
    return air(whole, moment) in (*HEATED, "warm")


def _keeps_warm(house: House) -> bool:
    """Whether air once warm stays so, from a fresh call to half an hour on."""
    whole = doings(edit(house, called="fresh"))
    felt = [_warmth(whole, 60.0 * minute) for minute in range(3, 30)]
    return all(felt[felt.index(True) :]) if any(felt) else True


def _heating_trouble(s: Scene) -> Sensed:
    """What is wrong although warm air comes, as people tell it of the last days."""
    if air(after_off(s.now), 900.0) in HEATED:
        return "never-stops"
    if s.found.zones != "good":
        return "some-rooms"
    if not _keeps_warm(s.now):
        return "stops-again"
    if s.found.defrost == "now":
        return {"stops-again": 0.4, "not-enough": 0.3, "heats-now": 0.3}
    if not delivers(s.now):
        return "not-enough"
    pump = s.found.heating in PUMPS and s.found.setting == "right"
    return {"not-enough": 0.6, "heats-now": 0.4} if pump else "heats-now"


def _sounds(s: Scene, start: float, end: float) -> bool:
    told = s.whole.indoor
    noises = ("inducer", "inducer-hum", "blower-hum", "flame", "burner")
    return any(told.seconds(n, start, end) > 0 for n in noises) or told.clicked(start, end)


def _electric_heat(s: Scene) -> Sensed:
    if _unsettable(s):
        return "not-done"
    felt = {"hot": "warm", "warm": "lukewarm", "some-warmth": "lukewarm", "none": "no-air"}
    if s.now.heating in FURNACES:
        felt["warm"] = "warm"
    return felt.get(air(s.whole, 900.0), "cool")


def _emergency(s: Scene) -> Sensed:
    if not can_set(s.now):
        return "not-done"
    if s.now.heating not in PUMPS:
        return "no-such-setting"
    felt = air(s.whole, 900.0)
    if felt == "none":
        return "smell-or-no-air"
    return "warm" if felt in (*HEATED, "warm") else "cool"


def _flames(s: Scene) -> tuple[list[Spell], list[Spell]]:
    """Flames that burn while a person listens, and those of them that burn long."""
    start, end = LISTEN
    spells = s.whole.indoor.spells
    flames = [f for f in spells if f.what == "flame" and f.start < end and f.end > start]
    return flames, [flame for flame in flames if flame.end - flame.start >= LONG_FLAME]


def _start_sounds(s: Scene) -> Sensed:
    start, end = LISTEN
    told = s.whole.indoor
    flames, long = _flames(s)
    if told.seconds("inducer-hum", start, end) or told.seconds("blower-hum", start, end):
        return "flame-no-big-fan" if long else "hum-no-fan"
    blower = told.seconds("blower", start, end) > 15.0
    if long and not blower:
        return "flame-no-big-fan"
    if long:
        return "normal" if all(flame.end >= end for flame in long) else "heats-minutes"
    return "flame-seconds" if flames else _no_flame(s, blower=blower)


def _no_flame(s: Scene, *, blower: bool) -> str:
    start, end = LISTEN
    told = s.whole.indoor
    if told.clicked(start, end) and told.seconds("inducer", start, end):
        return "click-no-flame"
    if blower:
        return "big-fan-no-flame"
    return "small-fan-only" if told.seconds("inducer", start, end) > 3.0 else "nothing"


def _flame_look(s: Scene) -> Sensed:
    if not s.now.window:
        return "no-window"
    flames, long = _flames(s)
    if not flames:
        return "none"
    lasts = "steady-blue" if long else "seconds-only"
    yellow = s.whole.indoor.seconds("yellow", *LISTEN)
    return {lasts: 0.5, "yellow-or-dancing": 0.5} if yellow else lasts


# ---- at the indoor unit ----


def _light(s: Scene) -> str:
    return s.whole.indoor.light_at(LOOK)


def _light_code(s: Scene) -> Sensed:
    if not s.now.window:
        return "no-window"
    return _light(s) if _light(s) in UNCODED else "blinks"


def _light_pattern(s: Scene) -> Sensed:
    if not s.now.window or _light(s) in UNCODED:
        return "no-pattern"
    return {s.now.signals: 1.0 - RAPID, "rapid": RAPID}


def _light_count(s: Scene) -> Sensed:
    """The map from meaning to number is each maker's own: every count is as likely."""
    return dict.fromkeys(COUNTS, 1.0 / len(COUNTS))


def _light_again(_: Scene) -> Sensed:
    return {"same": 1.0 - UNEVEN, "different": UNEVEN}


def _light_recount(s: Scene) -> Sensed:
    if s.now.signals in ("two-groups", "long-short"):
        return {"two-parts": AGREES, "neither": 1.0 - AGREES}
    return {**dict.fromkeys(COUNTS, AGREES / len(COUNTS)), "neither": 1.0 - AGREES}


def _light_class(s: Scene) -> Sensed:
    if not (s.now.label and s.now.window):
        return "no-label"
    light = _light(s)
    if light == "ignition" and any(spell.what == "flame" for spell in s.whole.indoor.spells):
        return {"ignition": 1.0 - LOST, "flame-lost": LOST}
    told = {"steady": "normal", "heartbeat": "normal", "dark": "no-label"}
    return told.get(light, "other" if light in MORE else light)


def _light_class_more(s: Scene) -> Sensed:
    return _light(s) if _light(s) in MORE else "something-else"


def _unit_sounds(s: Scene) -> Sensed:
    told = s.whole.indoor
    start, end = LOOK, LOOK + 60.0
    if told.seconds("blower", start, end):
        return "big-fan"
    if told.seconds("blower-hum", start, end) or told.seconds("inducer-hum", start, end):
        return "hum"
    if told.seconds("inducer", start, end) or told.seconds("burner", start, end):
        return "small-fan"
    return "clicks" if told.clicked(start, end) else "silent"


def _grille_air(s: Scene) -> Sensed:
    felt = {"hot": "hot", "warm": "lukewarm", "some-warmth": "lukewarm", "none": "none"}
    return felt.get(air(s.whole, 600.0), "cool")


def _grille_flow(s: Scene) -> Sensed:
    if air(s.whole, 600.0) == "none":
        return "weak" if s.now.coil == "ice" and s.whole.indoor.at("blower", 600.0) else "none"
    starved = s.now.filter != "clean" or s.now.grilles != "open" or s.now.ducts == "off"
    return {"weak": 0.8, "strong": 0.2} if starved else {"strong": 0.95, "weak": 0.05}


def _heat_before_fan(s: Scene) -> Sensed:
    light = s.was.indoor.light_at(LOOK)
    cycled = s.was.indoor.seconds("flame", -3600.0, 600.0) > 0 and light != "flame-without-call"
    return "yes" if cycled else "no"


def _fan_on_test(s: Scene) -> Sensed:
    if not s.found.fan_settable or not can_set(s.now):
        return "not-done"
    tried = _with_fan(s)
    outdoors = tried.outdoor.seconds("outdoor-fan", 0.0, 150.0)
    if outdoors or tried.indoor.seconds("flame", 0.0, 300.0):
        return "other-starts"
    if tried.indoor.seconds("blower", 0.0, 150.0):
        return "air"
    return "hum" if tried.indoor.seconds("blower-hum", 0.0, 150.0) else "no-air"


def _with_fan(s: Scene) -> Doings:
    return doings(edit(s.now, mode="off", fan="on", called="fresh"))


def _fan_after_auto(s: Scene) -> Sensed:
    if not s.found.fan_settable:
        return "no-choice"
    if not can_set(s.now):
        return "not-done"
    calm = after_off(s.now) if delivers(s.now) else s.whole
    return "still-running" if calm.indoor.at("blower", 240.0) else "stopped"


def _fan_after_off(s: Scene) -> Sensed:
    if not can_set(s.now):
        return "not-done"
    if air(s.whole, 600.0) in HEATED:
        return "heat-keeps-coming"
    return "still-running" if s.whole.indoor.at("blower", 600.0) else "stopped"


def _fan_after_filter(s: Scene) -> Sensed:
    return "still-running" if s.whole.indoor.at("blower", 600.0) else "stopped"


def _thaw(s: Scene) -> Sensed:
    if not can_set(s.now):
        return "not-done"
    return "fan-runs" if s.whole.indoor.at("blower", 120.0) else "no-fan"


def _service_switch(s: Scene) -> Sensed:
    if not s.now.has_switch:
        return "none-found"
    return s.now.switch


def _unit_dark(s: Scene) -> Sensed:
    if not s.found.has_switch or s.found.switch == "odd":
        return "not-done"
    return "still-lit-or-running" if line_power(s.now) else "dark-and-quiet"


def _woken(s: Scene) -> str:
    """The unit some minutes after power came back."""
    if air(s.whole, 300.0) not in ("none", "room") or s.whole.indoor.at("blower", 300.0):
        return "runs"
    if s.whole.indoor.seconds("inducer", 0.0, 300.0) and s.now.audible:
        return "alive"
    lit = s.now.window and s.whole.indoor.light_at(300.0) != "dark"
    screened = screen(s.now) == "on" and s.found.control.thermostat in ("wires", "stealing")
    return "alive" if lit or (screened and line_power(s.now)) else "dead"


def _after_cycle(s: Scene) -> Sensed:
    if s.whole.indoor.bang:
        return "smell-or-noise"
    if air(s.whole, WAIT) in ("hot", "warm"):
        return "runs"
    tried = any(s.whole.indoor.seconds(what, 0.0, WAIT) for what in ("inducer", "flame"))
    return "stops-again" if tried else "no-change"


def _panel_fit(s: Scene) -> Sensed:
    return s.now.panel


def _panel_fastening(s: Scene) -> Sensed:
    return "by-hand" if s.now.panel_by_hand else "tool-or-wires"


def _panel_result(s: Scene) -> Sensed:
    if not s.found.panel_by_hand:
        return "not-done"
    return "flush" if s.now.panel == "flush" else "will-not-stay"


def _filter_place(s: Scene) -> Sensed:
    return s.now.filter_place


def _filter_result(s: Scene) -> Sensed:
    if not filter_reached(s.found):
        return "not-done"
    if s.found.filter == "foul":
        return "soot-water-animal"
    if s.found.filter == "clean":
        return "was-clean"
    return "changed" if s.found.spare_filter else "dirty-no-spare"


def _filter_age(s: Scene) -> Sensed:
    if s.found.filter == "clean":
        return {"recent": 0.6, "old": 0.35, "never": 0.05}
    return {"recent": 0.05, "old": 0.65, "never": 0.3}


def _grilles(s: Scene) -> Sensed:
    return s.now.grilles


def _grilles_after(s: Scene) -> Sensed:
    return "were-open" if s.found.grilles == "open" and s.found.zones != "shut" else "open"


def _pump(s: Scene) -> Sensed:
    if not s.now.pump:
        return "none"
    return "full-or-buzzing" if water_high(s.now) else "quiet-low"


def _pan(s: Scene) -> Sensed:
    if not s.now.pan:
        return "none-seen"
    wet = s.now.drain != "clear" or s.now.coil == "ice"
    return "water" if wet and s.now.wanted == "cool" else "dry"


def _outside_drip(s: Scene) -> Sensed:
    if s.now.drain == "spare":
        return {"yes": 0.9, "no": 0.1}
    clogged = s.now.drain == "blocked" and s.now.wanted == "cool"
    return {"yes": 0.5, "no": 0.5} if clogged else {"yes": 0.03, "no": 0.97}


# ---- electrical panel ----


def _breaker(s: Scene) -> Sensed:
    return s.now.breaker if s.now.labelled else "no-label"


def _breaker_after(s: Scene) -> Sensed:
    if s.now.breaker == "out-of-line":
        return "trips-again"
    return _woken(s)


def _breaker_left(s: Scene) -> Sensed:
    return "odd-panel" if s.found.breaker == "odd-panel" or not s.now.labelled else "off"


def _outdoor_breaker(s: Scene) -> Sensed:
    return s.now.outdoor_breaker if s.now.labelled else "no-label"


def _outdoor_after(s: Scene) -> Sensed:
    if s.now.outdoor_breaker == "out-of-line":
        return "trips-again"
    return "runs" if s.whole.outdoor.at("outdoor-fan", COOL_WAIT) else "holds-silent"


def _outdoor_off(s: Scene) -> Sensed:
    if not s.found.labelled:
        return "not-done"
    return "still-running" if outdoor_power(s.now) and s.now.contactor == "welded" else "still"


def _outdoor_on(s: Scene) -> Sensed:
    if s.now.outdoor_breaker == "out-of-line":
        return "trips"
    return "runs" if s.whole.outdoor.at("outdoor-fan", COOL_WAIT) else "silent"


# ---- outdoors ----


def _pipes(s: Scene) -> Sensed:
    if s.now.heating != "gas-plastic" or not s.now.pipe_ends_seen:
        return "none-seen"
    return {"blocked": "covered", "damaged": "damaged"}.get(s.now.flue, "clear")


def _pipes_result(s: Scene) -> Sensed:
    return "clear" if s.now.flue == "clear" else "still-blocked"


def _outdoor_seen(s: Scene) -> Sensed:
    return _outdoor(s, COOL_WAIT)


def _outdoor(s: Scene, moment: float) -> str:
    told = s.whole.outdoor
    if told.at("outdoor-fan", moment):
        return "fan-turning"
    if told.at("outdoor-hum", moment) or told.at("compressor", moment):
        return "hum-no-fan"
    return "clicks" if told.at("outdoor-chatter", moment) else "silent"


def _from_inside(s: Scene) -> Sensed:
    return _outdoor(s, COOL_WAIT) if s.now.outdoor_heard else "not-seen"


def _outdoor_look(s: Scene) -> Sensed:
    if s.now.cable == "damaged":
        return "cable-damaged"
    if s.now.pullout == "out":
        return "box-open"
    if s.now.surroundings == "tilted-or-hit":
        return "tilted-or-hit"
    if _iced(s.now):
        return "iced"
    return "smothered" if s.now.surroundings == "smothered" else "fine"


def _iced(house: House) -> bool:
    pipe = house.wanted == "cool" and house.coil == "ice"
    return house.outdoor_ice in ("solid-ice", "snowed-in") or pipe


def _outdoor_cable(s: Scene) -> Sensed:
    return s.now.cable


def _outdoor_later(s: Scene) -> Sensed:
    return "turning" if _outdoor(s, 1500.0) == "fan-turning" else "still"


def _room_heat(s: Scene) -> Sensed:
    if air(s.whole, 600.0) in HEATED:
        return "yes"
    return "fan" if s.whole.indoor.at("blower", 600.0) else "quiet"


def _outdoor_ice(s: Scene) -> Sensed:
    if s.now.outdoor_ice == "none" and s.now.heating == "heat-pump" and s.now.weather == "frost":
        return {"none": 0.4, "light-frost": 0.6}
    return s.now.outdoor_ice


def _outdoor_clear(s: Scene) -> Sensed:
    return "damage-seen" if s.now.cable == "damaged" else "cleared"


def _pipe_ice(s: Scene) -> Sensed:
    return "ice" if s.now.coil == "ice" else "none"


def _outdoor_air(s: Scene) -> Sensed:
    if not s.whole.outdoor.at("compressor", COOL_WAIT) or s.now.charge == "low":
        return "like-outside"
    return "warm" if direction(s.now) == "cool" else "colder"


# ---- a call for cooling ----


def _cool_call(s: Scene) -> Sensed:
    if _unsettable(s):
        return "not-done"
    felt = air(s.whole, COOL_WAIT)
    if felt in ("hot", "warm"):
        return "heat-comes"
    if felt == "cold":
        return "cool-air"
    if felt != "none":
        return "air-not-cool"
    runs = s.whole.outdoor.at("outdoor-fan", COOL_WAIT) or s.whole.indoor.at("blower", COOL_WAIT)
    hums = _outdoor(s, COOL_WAIT) != "silent" and s.now.outdoor_heard
    return "no-air" if runs or hums or s.whole.indoor.at("blower-hum", COOL_WAIT) else "nothing"


def _cooling_trouble(s: Scene) -> Sensed:
    if s.now.zones != "good":
        return "some-rooms"
    if s.now.undersized:
        return "hot-day" if s.now.weather == "hot" else "never-enough"
    stops = s.whole.outdoor.seconds("compressor", COOL_WAIT, 1800.0) < 1200.0
    if stops:
        return "stops-again"
    weak = s.now.filter != "clean" or s.now.ducts == "off" or s.now.grilles != "open"
    return "never-enough" if weak else "cools-now"


# ---- supply, kind, danger ----


def _house_power(s: Scene) -> Sensed:
    return "on" if s.now.supply == "whole" else "part-or-all-off"


def _heating_kind(s: Scene) -> Sensed:
    if s.found.cooling == "one-box":
        return "one-box"
    return "other" if s.found.heating == "dual-fuel" else s.found.heating


def _cooling_kind(s: Scene) -> Sensed:
    kind = s.found.cooling
    if kind in SPLIT:
        return {kind: 0.85, "either": 0.15}
    return kind if kind in ("ductless", "one-box") else "other"


def _other_gas(s: Scene) -> Sensed:
    if not s.found.other_gas:
        return "none"
    return "works" if s.found.gas else "dead"


def _voltage(s: Scene) -> Sensed:
    return "mains" if s.found.mains else "low"


DANGERS = (
    "gas-smell",
    "co-alarm",
    "person-ill",
    "fire-signs",
    "scorch-or-bang",
    "indoor-burning",
    "other-alarm",
    "water",
    "supply-fault",
    "leak-message",
    "flame-outside",
)


def _danger(finding: str) -> Sense:
    return lambda s: dict(s.found.signs).get(finding, "none")


ON_ONE_PAGE = {
    "gas-smell": "gas-or-exhaust",
    "co-alarm": "co-alarm",
    "person-ill": "person-ill",
    "fire-signs": "smoke-or-sparks",
    "scorch-or-bang": "scorch-or-bang",
    "indoor-burning": "indoor-burning",
    "other-alarm": "other-alarm",
    "supply-fault": "supply-fault",
    "leak-message": "leak-message",
}
"""Single danger -> its value on the page that asks all, in that page's order but for water."""


def danger_sign(signs: Mapping[str, str]) -> str:
    """What a person chooses on the one page of signs: the first that is true."""
    water = signs.get("water", "none")
    order = list(ON_ONE_PAGE)
    for finding in (*order[:7], "water", *order[7:]):
        if finding == "water" and water == "at-wires":
            return "water-at-wires"
        if finding in signs and finding != "water":
            return ON_ONE_PAGE[finding]
    return "only-puddle" if water == "puddle" else "none"


SENSES: Mapping[str, Sense] = {
    **TOLD,
    **{name: _danger(name) for name in DANGERS},
    "danger-sign": lambda s: danger_sign(dict(s.found.signs)),
    "after-cycle": _after_cycle,
    "after-switch-back": _woken,
    "after-switch-on": _woken,
    "breaker-after": _breaker_after,
    "breaker-left": _breaker_left,
    "breaker-look": _breaker,
    "condensate-pump": _pump,
    "cool-call": _cool_call,
    "cooling-kind": _cooling_kind,
    "cooling-set": _cooling_set,
    "cooling-trouble": _cooling_trouble,
    "display": _display,
    "drain-pan": _pan,
    "electric-heat": _electric_heat,
    "emergency-heat-result": _emergency,
    "fan-after-auto": _fan_after_auto,
    "fan-after-filter": _fan_after_filter,
    "fan-after-off": _fan_after_off,
    "fan-choice": _fan_choice,
    "fan-on-test": _fan_on_test,
    "filter-age": _filter_age,
    "filter-place": _filter_place,
    "filter-result": _filter_result,
    "flame-look": _flame_look,
    "grille-air": _grille_air,
    "grille-flow": _grille_flow,
    "grilles": _grilles,
    "grilles-after": _grilles_after,
    "heat-after-off": _heat_after_off,
    "heat-before-fan": _heat_before_fan,
    "heat-call": _heat_call,
    "heating-kind": _heating_kind,
    "heating-trouble": _heating_trouble,
    "house-power": _house_power,
    "light-again": _light_again,
    "light-class": _light_class,
    "light-class-more": _light_class_more,
    "light-code": _light_code,
    "light-count": _light_count,
    "light-count-second": _light_count,
    "light-pattern": _light_pattern,
    "light-recount": _light_recount,
    "other-gas": _other_gas,
    "outdoor-air": _outdoor_air,
    "outdoor-breaker-after": _outdoor_after,
    "outdoor-breaker-look": _outdoor_breaker,
    "outdoor-cable": _outdoor_cable,
    "outdoor-clear-result": _outdoor_clear,
    "outdoor-from-inside": _from_inside,
    "outdoor-ice": _outdoor_ice,
    "outdoor-later": _outdoor_later,
    "outdoor-look": _outdoor_look,
    "outdoor-off-result": _outdoor_off,
    "outdoor-on-result": _outdoor_on,
    "outdoor-unit": _outdoor_seen,
    "outside-drip": _outside_drip,
    "outside-pipes": _pipes,
    "panel-fastening": _panel_fastening,
    "panel-fit": _panel_fit,
    "panel-result": _panel_result,
    "pipe-ice": _pipe_ice,
    "pipes-result": _pipes_result,
    "room-heat": _room_heat,
    "room-number": _room_number,
    "screen-after-batteries": _after_batteries,
    "screen-as-it-asked": _as_it_asked,
    "screen-setting": _setting,
    "service-switch": _service_switch,
    "start-sounds": _start_sounds,
    "thaw-result": _thaw,
    "thermostat-off-result": _off_result,
    "thermostat-power": _thermostat_power,
    "thermostat-voltage": _voltage,
    "unit-dark": _unit_dark,
    "unit-sounds": _unit_sounds,
    "water-when": water_when,
}
"""Finding -> how a person meets it. What only callers know is not here."""
