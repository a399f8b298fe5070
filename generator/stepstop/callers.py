"""Who calls: people, what they can reach, what they can tell of themselves, and how they err.

All of it is judgement, declared in a file of its own and labelled so. A rehearsal reads it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from stepstop.model import UNSURE, Catalogue
from stepstop.problems import Problem, near, quoted, sorted_once
from stepstop.shapes import Desk, Id, Key, ListOf, MapOf, Number, OneOf, Record, Text
from stepstop.source import Spot, spot_of
from stepstop.yaml_reader import read_file

PEOPLE = ("none", "someone", "device-stopped")
MENDS = ("walk", "chair", "nothing")
UNIT, OUTSIDE = "unit", "outside"

ABOUT_PEOPLE = ("people-at-risk", "medical-device", "home-temperature")
"""Findings about who is at home, how they are, and how cold or hot it is."""
BY_CASE = ("wanted-now", "weather", "home-temperature")
"""Findings that a caller knows from the house that they call from."""
BY_CALLER = ("people-at-risk", "medical-device", "ready-to-walk", "safe-outside")
"""Findings that the declared features of a caller decide; all others stand under `says`."""


@dataclass(frozen=True, slots=True)
class Caller:
    """One kind of caller."""

    id: str
    about: str
    weight: float
    reaches: tuple[str, ...]
    """Locations where this caller can and may look and act."""
    people: str
    """Value of `people-at-risk`."""
    home: str
    """`within` the line for these people, or `past` it: too cold or too hot by what is wanted."""
    nose: str
    """`normal` or `weak`."""
    mends: str
    """What a mend is looked for in: all that `walk` allows, what the `chair` allows, or `nothing`.

    Whoever can't do some of what a walk allows is held to the chair: figures of mends are about
    people who could have done them.
    """
    says: Mapping[str, str]
    """Further findings about themselves: finding -> value."""
    spot: Spot

    @property
    def may_do(self) -> str:
        """`walk` to the unit, or `chair`."""
        return "walk" if UNIT in self.reaches else "chair"

    @property
    def at_risk(self) -> bool:
        """Whether cold or heat is dangerous early for somebody at home."""
        return self.people != "none"

    def home_in(self, wanted: str, weather: str) -> str:
        """Value of `home-temperature` in a house that wants heat or cooling in this weather.

        With somebody at risk, frost outside is past the line, as the page that asks it says.
        """
        if self.home == "past":
            return "too-cold" if wanted == "heat" else "too-hot"
        return "too-cold" if self.at_risk and weather == "frost" else "within"

    def told(self, finding: str, wanted: str, weather: str) -> str | None:
        """What this caller knows of `finding`, or None where the house has to be looked at."""
        known = {
            **self.says,
            "people-at-risk": self.people,
            "medical-device": "stopped" if self.people == "device-stopped" else "works",
            "ready-to-walk": "yes" if self.may_do == "walk" else "no",
            "safe-outside": "yes" if OUTSIDE in self.reaches else "no",
            "home-temperature": self.home_in(wanted, weather),
            "wanted-now": wanted,
            "weather": weather,
        }
        return known.get(finding)


@dataclass(frozen=True, slots=True)
class Rates:
    """How often an answer goes wrong; drawn once for each caller and finding."""

    unsure: float
    """Share of callers who can't tell."""
    mistaken: float
    """Share who choose another sure answer, each with the same chance."""
    spot: Spot

    def times(self, factor: float) -> Rates:
        """Both rates multiplied."""
        return replace(self, unsure=self.unsure * factor, mistaken=self.mistaken * factor)


@dataclass(frozen=True, slots=True)
class Errors:
    """The rates of one model of callers: three sorts of findings."""

    usual: Rates
    danger: Rates
    """For what the danger screen asks."""
    people: Rates
    """For who is at home and how cold or hot it is."""
    spot: Spot

    def only(self, *, unsure: bool, mistaken: bool) -> Errors:
        """These errors with one sort, both or none left."""

        def kept(rates: Rates) -> Rates:
            return replace(rates, unsure=rates.unsure * unsure, mistaken=rates.mistaken * mistaken)

        return self._each(kept)

    def times(self, factor: float) -> Errors:
        """All rates multiplied."""
        return self._each(lambda rates: rates.times(factor))

    def _each(self, change: Callable[[Rates], Rates]) -> Errors:
        return replace(
            self,
            usual=change(self.usual),
            danger=change(self.danger),
            people=change(self.people),
        )

    def of(self, finding: str, *, is_danger: bool) -> Rates:
        """The rates for `finding`."""
        if finding in ABOUT_PEOPLE:
            return self.people
        return self.danger if is_danger else self.usual


MODELS: Mapping[str, tuple[bool, bool]] = {
    "accurate": (False, False),
    "unsure": (True, False),
    "mistaken": (False, True),
    "both": (True, True),
}
"""Model of callers -> whether they are sometimes unsure, and sometimes mistaken."""


@dataclass(frozen=True, slots=True)
class Callers:
    """Everything that the file declares."""

    profiles: Mapping[str, Caller]
    errors: Errors
    weak_nose: Mapping[str, str]
    """What a weak nose does not notice: finding -> the value that goes unnoticed."""
    spot: Spot

    def errors_of(self, model: str) -> Errors:
        """The errors of one of `MODELS`."""
        unsure, mistaken = MODELS[model]
        return self.errors.only(unsure=unsure, mistaken=mistaken)

    @property
    def findings(self) -> frozenset[str]:
        """The findings that callers answer without looking at the house."""
        said = {finding for caller in self.profiles.values() for finding in caller.says}
        return frozenset(said.union(BY_CASE, BY_CALLER))


_SHARE = Number(0, whole=False)

CALLER = Record(
    Caller,
    {
        "about": Key(Text(), "who this is, in a line", needed=True),
        "weight": Key(_SHARE, "share of callers", needed=True),
        "reaches": Key(ListOf(Id(), least=1, once=True), "locations within reach", needed=True),
        "people": Key(OneOf(PEOPLE), "who is at home", needed=True),
        "home": Key(OneOf(("within", "past")), "indoor temperature", needed=True),
        "nose": Key(OneOf(("normal", "weak")), "sense of smell", needed=True),
        "mends": Key(OneOf(MENDS), "within what a mend counts as missed", needed=True),
        "says": Key(MapOf(Id()), "what they know of themselves: finding -> value", needed=True),
    },
)
RATES = Record(
    Rates,
    {
        "unsure": Key(_SHARE, "share who can't tell", needed=True),
        "mistaken": Key(_SHARE, "share who choose another answer", needed=True),
    },
)
ERRORS = Record(
    Errors,
    {
        "usual": Key(RATES, "for most findings", needed=True),
        "danger": Key(RATES, "for what the danger screen asks", needed=True),
        "people": Key(RATES, "for who is at home and how cold or hot it is", needed=True),
    },
)
FILE = Record(
    Callers,
    {
        "callers": Key(
            MapOf(CALLER, keyed="id", least=1), "the kinds by name", needed=True, name="profiles"
        ),
        "errors": Key(ERRORS, "how answers go wrong", needed=True),
        "weak-nose": Key(MapOf(Id()), "what a weak nose does not notice", needed=True),
    },
)


def read_callers(path: Path, catalogue: Catalogue) -> tuple[Callers | None, list[Problem]]:
    """The callers in `path`, weights adding up to 1, or None and all problems."""
    desk = Desk()
    node, problems = read_file(path, path.as_posix())
    desk.problems += problems
    callers: Callers | None = None if node is None else FILE.read(node, desk)
    if callers is not None and not desk.problems:
        _check(callers, catalogue, desk)
    found = sorted_once(desk.problems)
    return (None if found else callers), found


def _check(callers: Callers, catalogue: Catalogue, desk: Desk) -> None:
    whole = sum(caller.weight for caller in callers.profiles.values())
    if abs(whole - 1.0) > 1e-9:
        message = f"the weights add up to {whole:g}, not to 1"
        desk.report(callers.spot, "contradiction", message, "change one of them")
    for caller in callers.profiles.values():
        _check_caller(caller, catalogue, desk)
    _check_alike(callers, desk)
    _values(callers.weak_nose, catalogue, desk)
    for rates in (callers.errors.usual, callers.errors.danger, callers.errors.people):
        if rates.unsure + rates.mistaken > 1.0:
            message = "more than all answers go wrong"
            desk.report(rates.spot, "contradiction", message, "keep their sum below 1")


def _check_caller(caller: Caller, catalogue: Catalogue, desk: Desk) -> None:
    for location in caller.reaches:
        if location not in catalogue.rulebook.locations:
            message = f"{quoted(location)} is no location"
            mend = near(location, catalogue.rulebook.locations)
            desk.report(spot_of(location), "unknown-name", message, mend)
    for finding in sorted(set(caller.says) & {*BY_CASE, *BY_CALLER}):
        message = f"`{finding}` follows from the other keys"
        desk.report(_spot(caller.says, finding), "contradiction", message, "delete this line")
    _values(caller.says, catalogue, desk)


def _values(said: Mapping[str, str], catalogue: Catalogue, desk: Desk) -> None:
    for finding, value in said.items():
        known = catalogue.findings.get(finding)
        if known is None:
            mend = near(finding, catalogue.findings)
            message = f"{quoted(finding)} is no finding"
            desk.report(spot_of(finding), "unknown-name", message, mend)
        elif value not in (*known.values, UNSURE):
            message = f"{quoted(value)} is no value of `{finding}`"
            desk.report(spot_of(value), "unknown-name", message, near(value, known.values))


def _check_alike(callers: Callers, desk: Desk) -> None:
    """All callers know the same things of themselves, or a rehearsal would ask the house."""
    said = {finding for caller in callers.profiles.values() for finding in caller.says}
    for caller in callers.profiles.values():
        for finding in sorted(said - set(caller.says)):
            message = f"another caller says `{finding}`, and this one doesn't"
            desk.report(caller.spot, "missing-key", message, f"add `{finding}` under `says`")


def _spot(said: Mapping[str, str], finding: str) -> Spot:
    located: Iterator[str] = (each for each in said if each == finding)
    return spot_of(next(located))
