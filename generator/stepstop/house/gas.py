"""Gas furnaces: the board that proves each step before the next, and the old standing pilot.

The order of a start (limit and draft switch seen, small fan, draft proved, purge, glow, gas, flame
proved, big fan) is common practice, no source; see `pace` for the times.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

from stepstop.house.control import Settled, settle
from stepstop.house.fan import big_fan, until_hot
from stepstop.house.house import House
from stepstop.house.pace import PACES, Pace
from stepstop.house.story import Story, Teller, begun
from stepstop.house.wiring import (
    blower_called,
    calm_light,
    contacts,
    drive,
    line_power,
    signals,
)


def furnace(house: House) -> Story:
    """The story of a furnace with a board; `house` has no melting left to do (`burnt`)."""
    teller = begun(house.called)
    if not line_power(house):
        return _dark(house, teller)
    seen = signals(house)
    if "LOGIC" not in seen.in_ or house.board == "dead":
        return _dark(house, teller)
    return _Board(house, teller, seen).run()


def _dark(house: House, teller: Teller) -> Story:
    """No board is awake: what runs is what no board stops."""
    teller.show("dark")
    if house.blower == "always" and line_power(house):
        teller.always("blower")
    if _unasked(house):
        teller.always("flame")
    return teller.story()


def _unasked(house: House) -> bool:
    """Whether gas comes and burns although nothing asks; no switch stops that."""
    return house.valve == "leaks" and house.gas


class _Board:
    """One run of the board's programme."""

    def __init__(self, house: House, teller: Teller, seen: Settled) -> None:
        self.house, self.teller, self.seen = house, teller, seen
        self.pace: Pace = PACES[house.pace]
        self.blows = house.blower == "always" or blower_called(house, seen)
        self.calm = calm_light(house, seen)

    def run(self) -> Story:
        if self.blows:
            big_fan(self.house, self.teller, inf)
        if _unasked(self.house):
            return self._flame_unasked()
        if "STRING" not in self.seen.in_:
            return self._string_open()
        if self._low_voltage():
            return self._stand("low-voltage")
        asked = "W_IN" in self.seen.in_
        if self.house.locked and (asked or not self.house.call_clears):
            return self._locked_out()
        return self._asked() if asked else self._stand(self.calm)

    def _low_voltage(self) -> bool:
        """A board fed before its fuse sees that nothing is left behind it."""
        return "F1" in self.house.control.opens or "LOGIC" in self.seen.weak

    def _stand(self, light: str) -> Story:
        self.teller.show(light)
        return self.teller.story()

    def _string_open(self) -> Story:
        """Limit, roll-out guard or their feed is open: the big fan runs to cool, no heat."""
        self._blow(inf)
        return self._stand("rollout" if self.house.rollout else "limit")

    def _flame_unasked(self) -> Story:
        self.teller.always("flame")
        self.teller.always("inducer")
        self._blow(inf)
        return self._stand("flame-without-call")

    def _locked_out(self) -> Story:
        """The light tells on why the tries failed."""
        self.teller.show(self._unlit() if self._draws() else "pressure")
        return self.teller.story(locked=True)

    def _asked(self) -> Story:
        if self.house.draft == "always":
            return self._stand("pressure-stuck")
        self.teller.show(self.calm)
        self.teller.wait(self.pace.thermostat if self.house.called == "fresh" else 0.0)
        return self._tries()

    def _tries(self) -> Story:
        while not self.teller.over:
            for _ in range(self.house.tries):
                light = self._try()
                if light == "burns":
                    return self.teller.story()
                self.teller.show(light)
                self.teller.wait(self.pace.pause)
                if self.teller.over:
                    return self.teller.story()
            ends = self.teller.now + self.pace.lock_out
            if ends > self.teller.end or ends > 0 >= self.teller.now:
                return self.teller.story(locked=True)
            self.teller.wait(self.pace.lock_out)
            self.teller.show(self.calm)
        return self.teller.story()

    def _try(self) -> str:
        """One try; the light's class if it fails, `burns` once it runs to the end."""
        self.teller.wait(self.pace.inducer)
        if not self._draft():
            return "pressure"
        self.teller.spell("inducer", self.pace.purge + self.pace.glow + self.pace.trial)
        self.teller.wait(self.pace.purge)
        if self.house.igniter:
            self.teller.spell("glow", self.pace.glow)
        self.teller.wait(self.pace.glow)
        self.teller.click()
        if not self._lights():
            self.teller.wait(self.pace.trial)
            return "ignition"
        return self._flame()

    def _draft(self) -> bool:
        """Whether the small fan's draft is proved; time passes until it is, or is given up."""
        drawn = self._draws()
        seconds = self.pace.draft if drawn else self.pace.draft_limit
        fan = {"good": "inducer", "hum": "inducer-hum"}.get(self.house.inducer)
        if fan:
            self.teller.spell(fan, seconds)
        self.teller.wait(seconds)
        return drawn

    def _draws(self) -> bool:
        """Whether small fan, flue, drain and draft switch are such that the switch closes."""
        free = self.house.flue == "clear" and self.house.chimney == "clear"
        dry = self.house.trap == "clear"
        return free and dry and self.house.inducer == "good" and self.house.draft == "good"

    def _lights(self) -> bool:
        """Whether gas comes and burns: the valve has its voltage, and all else is there."""
        call = drive(self.house, contacts(self.house))
        lit = replace(call, pressure=True, inducer=True, gas_valve=True)
        opened = "MV" in settle(self.house.control, lit).in_ and self.house.valve == "good"
        return opened and self.house.gas and self.house.igniter

    def _flame(self) -> str:
        if self.house.burners == "late":
            self.teller.bang = True
        if self.house.burners == "dirty":
            self.teller.spell("yellow", self.pace.trial)
        if not self.house.sensor or "BOND" in self.house.control.opens:
            self.teller.spell("flame", self.pace.trial)
            self.teller.wait(self.pace.trial)
            self.teller.click()
            return self._unlit()
        return self._burn()

    def _unlit(self) -> str:
        """What the light says of a flame that was not proved: a lost ground has its own class."""
        return "polarity" if "BOND" in self.house.control.opens else "ignition"

    def _burn(self) -> str:
        """The flame is proved: it burns until something gets too hot, again and again."""
        self.teller.show(self.calm)
        seconds = until_hot(self.house, self.pace.blower_on)
        again = self.pace.purge + self.pace.glow
        while not self.teller.over:
            self.teller.spell("flame", seconds)
            self.teller.spell("inducer", seconds + self.pace.cool_down + again)
            if seconds > self.pace.blower_on:
                fan = seconds + self.pace.cool_down - self.pace.blower_on
                self._blow(fan, since=self.teller.now + self.pace.blower_on)
            self.teller.wait(seconds)
            if self.teller.over:
                break
            self.teller.click()
            self.teller.show("limit")
            self.teller.wait(self.pace.cool_down)
            self.teller.show(self.calm)
            self.teller.wait(again)
        return "burns"

    def _blow(self, seconds: float, *, since: float | None = None) -> None:
        """The board switches the big fan on, if nothing else has."""
        if not self.blows:
            big_fan(self.house, self.teller, seconds, since=since)


def standing_pilot(house: House) -> Story:
    """The story of an old furnace: a small flame, a valve on the call, a fan on a warm switch."""
    pace = PACES[house.pace]
    teller = begun(house.called)
    teller.show("dark")
    seen = signals(house)
    blows = line_power(house) and (house.blower == "always" or "G_IN" in seen.in_)
    if blows:
        big_fan(house, teller, inf)
    asked = "W_IN" in seen.in_ and house.limit == "good"
    if not (_unasked(house) or (asked and pilot_burns(house) and house.valve == "good")):
        return teller.story()
    teller.wait(pace.thermostat if house.called == "fresh" else 0.0)
    while not teller.over:
        seconds = min(until_hot(house, pace.pilot_fan), teller.end - teller.now)
        teller.click()
        teller.spell("flame", seconds)
        if seconds > pace.pilot_fan and line_power(house) and not blows:
            fan = seconds - pace.pilot_fan + pace.blower_off
            big_fan(house, teller, fan, since=teller.now + pace.pilot_fan)
        teller.wait(seconds + pace.cool_down)
    return teller.story()


def pilot_burns(house: House) -> bool:
    """Whether the small flame burns now.

    A sensor that fails lets it go out, and so does a chimney that does not draw: a guard against
    fumes opens, or the flame starves.
    """
    return house.pilot == "lit" and house.gas and house.chimney == "clear"
