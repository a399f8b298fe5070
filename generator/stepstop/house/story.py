"""What a unit does over time, as spells and moments on one clock.

Times are seconds since the thermostat last began to ask (0), or since a person began to look where
nothing was asked anew.
"""

from __future__ import annotations

from dataclasses import dataclass, field

LONG = 4 * 3600.0
"""Seconds that an old call has lasted."""
UNCODED = ("dark", "steady", "heartbeat")
"""What a board's light does that has no code to tell."""
HORIZON = 1800.0
"""Seconds that a story is told for: longer than any wait on a page and the look that follows."""


@dataclass(frozen=True, slots=True)
class Spell:
    """Something that goes on from `start` to `end`, in seconds."""

    what: str
    """blower, inducer, burner (of oil), glow, flame, yellow (of a flame), elements, some-elements,
    pump, outdoor-fan, compressor, or burner-hum, blower-hum, inducer-hum, outdoor-hum,
    outdoor-chatter."""
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Story:
    """A unit's doings."""

    spells: tuple[Spell, ...] = ()
    clicks: tuple[float, ...] = ()
    """Moments at which a valve or relay is heard."""
    light: tuple[tuple[float, str], ...] = ((float("-inf"), "dark"),)
    """From when the board's light does what: one of UNCODED, or a meaning class."""
    locked: bool = False
    """It ends in a lock-out."""
    bang: bool = False
    """It lit with a bang."""

    def seconds(self, what: str, start: float, end: float) -> float:
        """How long `what` goes on between `start` and `end`, told once or twice."""
        return sum(self._stretches(what, start, end))

    def at(self, what: str, moment: float) -> bool:
        """Whether `what` goes on at `moment`."""
        return any(s.what == what and s.start <= moment < s.end for s in self.spells)

    def longest(self, what: str, start: float, end: float) -> float:
        """The longest unbroken stretch of `what` between `start` and `end`."""
        return max(self._stretches(what, start, end), default=0.0)

    def _stretches(self, what: str, start: float, end: float) -> list[float]:
        """Lengths of the unbroken stretches of `what`: spells that touch or overlap are one."""
        cut = sorted((max(s.start, start), min(s.end, end)) for s in self.spells if s.what == what)
        whole: list[tuple[float, float]] = []
        for begin, stop in cut:
            if whole and begin <= whole[-1][1]:
                whole[-1] = (whole[-1][0], max(whole[-1][1], stop))
            elif begin < stop:
                whole.append((begin, stop))
        return [stop - begin for begin, stop in whole]

    def light_at(self, moment: float) -> str:
        """What the light does at `moment`."""
        return [what for since, what in self.light if since <= moment][-1]

    def clicked(self, start: float, end: float) -> bool:
        """Whether a click falls between `start` and `end`."""
        return any(start <= moment < end for moment in self.clicks)


@dataclass(slots=True)
class Teller:
    """Collects a story while time goes on."""

    now: float
    end: float
    spells: list[Spell] = field(default_factory=list)
    clicks: list[float] = field(default_factory=list)
    light: list[tuple[float, str]] = field(default_factory=list)
    bang: bool = False

    @property
    def over(self) -> bool:
        """Whether the horizon is reached."""
        return self.now >= self.end

    def show(self, light: str) -> None:
        """The light does `light` from now on."""
        self.light.append((self.now, light))

    def spell(self, what: str, seconds: float, *, since: float | None = None) -> None:
        """`what` goes on for `seconds` from `since` (now); the clock stays."""
        start = self.now if since is None else since
        end = min(start + seconds, self.end)
        if start < end:
            self.spells.append(Spell(what, start, end))

    def by_turns(
        self, what: str, on: float, off: float, *, since: float, until: float = float("inf")
    ) -> None:
        """`what` goes on for `on` seconds and rests for `off`, again and again; the clock stays."""
        start, stop = since, min(until, self.end)
        while start < stop:
            self.spell(what, min(on, stop - start), since=start)
            start += on + off

    def always(self, what: str) -> None:
        """`what` goes on from now to the end."""
        self.spell(what, self.end - self.now)

    def click(self) -> None:
        """Something clicks now."""
        self.clicks.append(self.now)

    def wait(self, seconds: float) -> None:
        """Time passes."""
        self.now += seconds

    def story(self, *, locked: bool = False) -> Story:
        """What was collected."""
        first = [(float("-inf"), self.light[0][1] if self.light else "dark")]
        light = tuple(first + self.light)
        return Story(tuple(self.spells), tuple(self.clicks), light, locked, self.bang)


def begun(called: str) -> Teller:
    """A teller from the moment that the thermostat began to ask: `long` ago, or `fresh` now."""
    return Teller(-LONG if called == "long" else 0.0, HORIZON)
