"""Boilers: water that is heated and pumped through radiators, or steam that rises to them.

Common practice, no source; see `pace` for the times. Order of a start: zone valve, guards (water,
draft, heat), ignition, pump. Warmth in a room comes long after the flame. Pressures are those that
a round gauge shows, in psi; a relief valve lifts at 30.
"""

from __future__ import annotations

from stepstop.house.control import Settled
from stepstop.house.house import House
from stepstop.house.pace import PACES
from stepstop.house.story import HORIZON, Story, Teller
from stepstop.house.wiring import LONG, line_power, signals

LATE = 1740.0
"""Seconds after a call at which a person feels a radiator: nearly half an hour."""
COLD_FILL = 13.0
"""Pressure of a filled boiler while it is cold."""
SHORT_OF_WATER = 2.0
"""Pressure of one that has lost its water."""
STEAM = 1.5
"""Pressure of a steam boiler at work."""
RISE = 5.0
"""By how much warm water presses more, against a tank with its cushion of air."""
RISE_NO_CUSHION = 15.0
"""The same where the tank has filled with water."""
OVERFILLED = 33.0
"""Where house water passes the valve that fills it."""
WEEPS, LIFTS = 27.0, 30.0
"""Pressures at which the relief valve drips, and at which it blows."""
HOT_PIPE, RETURN = 120.0, 300.0
"""Seconds of flame until the pipe that leaves the boiler is hot, and the one that comes back."""
SHORT_BURN = (120.0, 480.0)
"""Seconds that a boiler burns and rests while nothing takes its heat away."""


def is_short_of_water(house: House) -> bool:
    """Whether the guard against low water keeps the burner off."""
    return house.glass == "empty" if house.boiler == "steam" else house.water_side == "low"


def pressure(house: House, *, hot: bool) -> float:
    """What the gauge shows, in psi."""
    if house.boiler == "steam":
        return STEAM * hot
    if house.fill_passes:
        return OVERFILLED
    if is_short_of_water(house):
        return SHORT_OF_WATER
    return COLD_FILL + (RISE_NO_CUSHION if house.tank_full else RISE) * hot


def relief(house: House, *, hot: bool) -> str:
    """The pipe of the relief valve, which ends near the floor: dry, drips, blows."""
    psi = pressure(house, hot=hot)
    return "blows" if psi >= LIFTS else "drips" if psi >= WEEPS else "dry"


def tank_gauge(house: House) -> str:
    """What the gauge of an oil boiler's tank shows: some, empty; nothing where there is no tank."""
    if house.boiler != "oil":
        return ""
    return "empty" if house.oil == "empty" else "some"


def is_hot(told: Story) -> bool:
    """Whether the boiler is hot by the time that a person looks at it."""
    return told.at("hot-pipe", LATE)


def is_sound(house: House, told: Story) -> bool:
    """Whether its water stays where it belongs, and quiet."""
    return relief(house, hot=is_hot(told)) == "dry" and not house.kettles


def boiler(house: House) -> Story:
    """The story of a boiler, seen from the zone that `house` has its thermostat in."""
    teller = Teller(-LONG if house.called == "long" else 0.0, HORIZON)
    seen = signals(house)
    powered = line_power(house) and house.board != "dead" and "LOGIC" in seen.in_
    if not powered:
        teller.show("dark")
        return teller.story()
    if house.locked:
        teller.show("ignition")
        return teller.story(locked=True)
    teller.show(house.idle_light)
    return _Run(house, teller, seen).story()


class _Run:
    """A boiler that has power, and what its zones ask of it."""

    def __init__(self, house: House, teller: Teller, seen: Settled) -> None:
        self.house, self.teller, self.pace = house, teller, PACES[house.pace]
        self.steam = house.boiler == "steam"
        self.asked = "W_IN" in seen.in_ and (house.zone_valve or self.steam)
        """The call of this zone arrives: its valve is open, or it has none."""
        self.others = house.loops > 1
        """Other zones have been asking for hours."""

    def story(self) -> Story:
        if not (self.asked or self.others):
            return self.teller.story()
        opens = self._opens()
        start = -LONG if self.others else opens
        self.teller.now = opens if self.asked else start
        self.teller.click()
        self.teller.now = start
        light = refusal(self.house)
        if light:
            self.teller.show(light)
            return self.teller.story(locked=light == "ignition")
        if is_unlit(self.house):
            return self.teller.story()
        self.teller.wait(self.pace.purge)
        self._burn(opens)
        return self.teller.story()

    def _opens(self) -> float:
        """When the water of this zone can begin to move."""
        fresh = self.house.called == "fresh"
        valve = 0.0 if self.steam else self.pace.zone
        return self.teller.now + (self.pace.thermostat if fresh else 0.0) + valve

    def _burn(self, opens: float) -> None:
        house, teller, lit = self.house, self.teller, self.teller.now
        pumped = not self.steam and house.water_side != "no-flow"
        own = self.asked and (self.steam or (pumped and not _stands(house)))
        elsewhere = self.others and pumped
        teller.spell("hot-pipe", LONG * 2, since=lit + HOT_PIPE)
        if pumped:
            teller.always("pump")
        self._flame(lit, steady=own or elsewhere)
        self._sounds(lit, pumped=pumped)
        if own or elsewhere:
            teller.spell("return", LONG * 2, since=lit + RETURN)
        if not self._gives():
            return
        if elsewhere:
            teller.spell("other-radiators", LONG * 2, since=lit + self.pace.radiator)
        if own:
            self._radiators(max(lit, opens))

    def _flame(self, lit: float, *, steady: bool) -> None:
        """It burns on, or by short turns where its own heat stays with it."""
        if steady and not self.house.kettles:
            self.teller.always("flame")
        else:
            self.teller.by_turns("flame", *SHORT_BURN, since=lit)

    def _gives(self) -> bool:
        """Whether the heat gets into the pipes: not out of the relief valve or as wet steam."""
        house = self.house
        spoilt = house.kettles or (self.steam and house.glass == "full")
        return not spoilt and relief(house, hot=True) != "blows"

    def _radiators(self, since: float) -> None:
        house = self.house
        first = self.pace.taps if house.taps_first and house.called == "fresh" else 0.0
        what = "radiators-below" if house.loop_air == "part" and not self.steam else "radiators"
        self.teller.spell(what, LONG * 2, since=since + first + self.pace.radiator)

    def _sounds(self, lit: float, *, pumped: bool) -> None:
        house = self.house
        if house.kettles:
            self.teller.spell("rumble", LONG * 2, since=lit + HOT_PIPE)
        if pumped and self.asked and house.loop_air != "none":
            self.teller.always("gurgle")
        if self.steam and house.glass == "full":
            self.teller.spell("knock", LONG * 2, since=lit + HOT_PIPE)


def _stands(house: House) -> bool:
    """Whether the water of this zone can't move although a pump pushes."""
    return house.loop_air == "stops" or house.loop_frozen


def refusal(house: House) -> str:
    """What the light says on while the burner may not start, or gives up; empty: it may burn."""
    if is_short_of_water(house):
        return "other"
    if house.limit != "good":
        return "limit"
    if not _draws(house):
        return "pressure"
    return "" if _ignites(house) else "ignition"


def is_unlit(house: House) -> bool:
    """A pilot that is out leaves all else silent; no light tells of it."""
    return house.boiler in ("gas", "steam") and house.pilot != "lit"


def _draws(house: House) -> bool:
    """Whether its fumes get out, as far as its guards notice."""
    if house.boiler == "condensing":
        return house.flue == "clear" and house.trap == "clear"
    return house.chimney == "clear" and house.draft_guard


def _ignites(house: House) -> bool:
    if house.boiler == "oil":
        return house.oil == "good" and house.igniter and house.sensor
    gas = house.gas and house.valve != "shut"
    return gas and house.igniter and house.sensor
