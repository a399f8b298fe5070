"""What the files say, typed: frozen, complete at birth, every text with its spot.

Ids and texts are `Located` strings when they come from a file. Mappings are plain dicts that
nobody changes after loading.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Annotated

from stepstop.grammar import ENGLISH, Grammar
from stepstop.source import NOWHERE, Spot

Prose = Annotated[str, "prose"]
"""A text of a language, which every other language of an edition needs in its own words."""

UNSURE = "unsure"
"""The person was asked and can't tell."""
NOT_DONE = "not-done"
"""A check was offered and not done: can't, would rather not, or already done before."""
NOT_ASKED = "not-asked"
"""Nobody asked on this path, or what was known has ended since."""
UNKNOWNS = (UNSURE, NOT_DONE, NOT_ASKED)

START_PAGE = "start-page"
"""The target that leads to the list of complaints."""


@dataclass(frozen=True, slots=True)
class Clause:
    """One requirement: at least one of the findings has one of its listed values."""

    either: Mapping[str, tuple[str, ...]]
    """Finding id -> values that satisfy the clause; several findings mean either-or."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Value:
    """One value of a finding."""

    id: str
    about: Prose
    """The value in a technician's words, for the brief."""
    danger: str
    """Size of the danger that this value reports (see `DANGER_SIZES`), or empty."""
    implies: Mapping[str, str]
    """Other findings that this answer settles too: finding id -> value."""
    no_phone_inside: bool
    """No call may be made before the person is outside and away."""
    works: bool
    """A check brought what was asked for; whoever reports it has nothing to be careful about."""
    spot: Spot


DANGER_SIZES = ("house", "thing", "nobody", "stay-clear", "off-and-call")
"""Out of the house, away from the thing, stay with the person, look only, OFF and call."""


BRIEF_FIELDS = (
    "safety",
    "access",
    "people",
    "wanted",
    "equipment",
    "since",
    "changed",
    "thermostat",
    "works",
    "sounds",
    "light",
    "air",
    "outdoor",
    "water",
    "electrical",
    "filter",
    "pipes",
    "fuel",
    "smells",
    "other",
)
"""The parts of the brief that answers fill, in a dispatcher's order."""


@dataclass(frozen=True, slots=True)
class Heard:
    """What a caller says that may mislead, with the question that finds it out."""

    they_say: Prose
    may_be: Prose
    """What it often is instead."""
    ask: Prose
    """What the agent asks then."""
    spot: Spot
    values: tuple[str, ...] = ()
    """What is so, sometimes, where somebody says that; a simulated caller says it then."""


@dataclass(frozen=True, slots=True)
class Finding:
    """An observable with a closed set of values."""

    id: str
    kind: str
    """`fact` (holds until a check changes it), `event` (never undone), `reading` (may end)."""
    about: Prose
    values: Mapping[str, Value]
    means_if: tuple[Clause, ...]
    """The finding says something only where these hold; elsewhere its answers may not part ways."""
    ends_with: tuple[str, ...]
    """Effects after which a reading is no longer known."""
    spoiled_by: tuple[str, ...]
    """Effects after which the finding can't be read at all, on the whole path."""
    spot: Spot
    taps: bool = False
    """People may tap along with a light to answer it."""
    field: str = ""
    """Part of the brief that it belongs to (see `BRIEF_FIELDS`); empty: the last of them."""
    health: bool = False
    """What it tells is somebody's health or need: no link or code holds it, only the urgency."""
    hear: tuple[Heard, ...] = ()
    """What callers say of it on the telephone that may mislead."""

    @property
    def is_danger(self) -> bool:
        """Whether some value reports danger."""
        return any(value.danger for value in self.values.values())

    @property
    def harmless(self) -> tuple[str, ...]:
        """The values with which a walk may go on (a danger to stay clear of is one)."""
        return tuple(v.id for v in self.values.values() if v.danger in ("", "stay-clear"))


@dataclass(frozen=True, slots=True)
class Effect:
    """Something a check does to the equipment."""

    id: str
    about: Prose
    once: bool
    """May happen once on a path at the most."""
    history: str
    """Finding that says whether it was done before the walk began; asked first if `once`."""
    clears: str
    """What it hides (`lock-out`, `breaker-trip`, `blocked-flue`), or empty; never just 'solved'."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Hazard:
    """What could hurt somebody, with the least that any check with it must require."""

    id: str
    about: str
    requires: tuple[Clause, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Caution:
    """A safety message with a signal word by its ANSI Z535 meaning."""

    word: str
    """DANGER, WARNING, CAUTION or NOTICE."""
    text: Prose
    spot: Spot


@dataclass(frozen=True, slots=True)
class Check:
    """An action that a homeowner may be offered, as the catalogue has it."""

    id: str
    name: Prose
    at: str
    """Location id."""
    hazards: tuple[str, ...]
    requires: tuple[Clause, ...]
    changes: Mapping[str, str]
    """Findings set by doing it, whatever happens: finding id -> value."""
    effects: tuple[str, ...]
    result: str
    """Finding that says what happened."""
    do: tuple[Prose, ...]
    """Instructions, one action each."""
    before: tuple[Prose, ...]
    """What must be true first, in the reader's words."""
    stop_if: tuple[Prose, ...]
    """Signs to stop at once."""
    never: tuple[Prose, ...]
    cautions: tuple[Caution, ...]
    drawing: str
    minutes: int
    """Waits included."""
    waits: bool
    """Whether most of the minutes are waiting, so that the page says to lock the phone."""
    source: tuple[str, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Location:
    """Where a step takes place."""

    id: str
    about: str
    requires: tuple[Clause, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Boundary:
    """What a homeowner may be asked to do at all."""

    id: str
    about: str
    checks: tuple[str, ...]
    hazards: tuple[str, ...]
    locations: tuple[str, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Wording:
    """A pattern of words with the reason it is refused."""

    pattern: str
    """A regular expression, matched without case at word borders."""
    why: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Limits:
    """Numbers that the rules hold trees to."""

    longest_steps: int
    longest_minutes: int
    longest_sentence: int
    """In words."""
    grade: float
    """Bar for a tree's pooled text, by its language's formula: in English Flesch-Kincaid."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Says:
    """How answers are put, so that words which belie what they record are noticed."""

    yes: tuple[str, ...] = ()
    """Words that an answer begins with which agrees."""
    no: tuple[str, ...] = ()
    doubt: tuple[str, ...] = ()
    """Words of which one stands in every answer for `unsure`."""
    only_doubt: tuple[str, ...] = ()
    """Words that stand in no other answer."""
    spot: Spot = NOWHERE


@dataclass(frozen=True, slots=True)
class Rulebook:
    """The boundary file: what is offered, where, and which words are refused."""

    boundaries: Mapping[str, Boundary]
    locations: Mapping[str, Location]
    limits: Limits
    action_words: tuple[str, ...]
    """Verbs that only a check of the catalogue may ask for."""
    hands_on: tuple[str, ...]
    """Those of them that an outcome may not ask for either."""
    forbidden: tuple[Wording, ...]
    certain: tuple[Wording, ...]
    hard: tuple[Wording, ...]
    never: tuple[Prose, ...]
    """The never-lines shown on every page."""
    says: Says = Says()
    grammar: Grammar = ENGLISH
    """Of the language that all texts are in."""


@dataclass(frozen=True, slots=True)
class Urgency:
    """How soon somebody must come."""

    id: str
    rank: int
    """0 is the most urgent."""
    say: Prose
    """As the reader sees it ("tonight")."""
    advice: Prose
    spot: Spot


@dataclass(frozen=True, slots=True)
class Source:
    """Where a claim comes from."""

    id: str
    title: Prose
    by: Prose
    year: str
    seen: str
    """`original`, `secondary copy`, `from memory` or `common practice`."""
    note: Prose
    spot: Spot


@dataclass(frozen=True, slots=True)
class Cause:
    """A fault that would explain the findings."""

    id: str
    name: Prose
    """In a technician's words."""
    plain: Prose
    """In a homeowner's words, without part names, ratings or certainty."""
    frequency: str
    """Judged, never a statistic: very-common, common, occasional, rare."""
    mended_by: str
    bring: tuple[Prose, ...]
    root: Prose
    """The question that stops a mere swap of parts."""
    source: tuple[str, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Who:
    """Who may do the work."""

    id: str
    say: Prose
    spot: Spot


PLACE_SAYS = ("emergency", "disclaimer")
"""What every place says, besides who may do which work."""


@dataclass(frozen=True, slots=True)
class Basis:
    """Where something that a place says comes from."""

    source: tuple[str, ...]
    reviewed: str
    """The day on which somebody looked whether it is still so."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Place:
    """A jurisdiction."""

    id: str
    name: Prose
    emergency: str
    """The number, or empty where none may be printed."""
    emergency_say: Prose
    gas_say: Prose
    power_say: Prose
    temperature: str
    """`F` or `C` is written first."""
    length: str
    """`ft` or `m` is written first."""
    who: Mapping[str, Prose]
    """Kind of work -> who may do it."""
    disclaimer: tuple[Prose, ...]
    rests_on: Mapping[str, Basis]
    """Each of `PLACE_SAYS`, and each kind of work."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Target:
    """Where an answer leads, as written."""

    name: str
    """A page of this file, `file/name`, a tree's id, `start-page`, or an exit."""
    is_exit: bool
    keep_to: str
    """Boundary that the rest of the walk is narrowed to, or empty."""
    hurry: bool
    """From here on every page says to call first."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Answer:
    """One choice on a step."""

    say: Prose
    values: tuple[str, ...]
    """The values of the step's finding that this answer stands for, or `unsure` or `not-done`."""
    drawing: str
    target: Target
    spot: Spot

    @property
    def is_sure(self) -> bool:
        """Whether the person could tell."""
        return not set(self.values) & {UNSURE, NOT_DONE}


@dataclass(frozen=True, slots=True)
class Step:
    """One page: a question, a check, a note, or a sub-tree in its place."""

    id: str
    kind: str
    """`question`, `check`, `note` or `use`."""
    ask: Prose
    """The question, or a note's headline; empty for a check (its catalogue entry speaks)."""
    look: tuple[Prose, ...]
    """Where and how to look; a note's further lines."""
    why: Prose
    at: str
    """Location id; a check's own is in the catalogue."""
    finding: str
    """What the answers record; a check's is its result."""
    check: str
    drawing: str
    cautions: tuple[Caution, ...]
    answers: tuple[Answer, ...]
    """A note has one answer with no values."""
    uses: str
    """Id of the shared tree that stands here."""
    exits: Mapping[str, Target]
    source: tuple[str, ...]
    spot: Spot
    speak: tuple[Prose, ...] = ()
    """What an agent says instead of `ask` and `look`, where these don't speak well."""


@dataclass(frozen=True, slots=True)
class Leave:
    """What state the unit is left in, and until when."""

    state: str
    """One of `LEAVE_STATES`."""
    until: Prose
    spot: Spot


LEAVE_STATES = (
    "as-it-is",
    "off-at-thermostat",
    "off-at-switch",
    "off-at-breaker",
    "running",
    "untouched",
)


KINDS = ("solved", "watch", "call", "danger")
"""Kinds of outcomes, the least cautious first."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """Where a path ends."""

    id: str
    kind: str
    """One of `KINDS`."""
    danger_from: str
    """For `danger`: `house`, `thing` or `nobody`."""
    title: Prose
    urgency: str
    hurry_urgency: str
    """Urgency where somebody at home is at risk; never lower."""
    say: tuple[Prose, ...]
    """Two sentences to say to whoever answers."""
    do: tuple[Prose, ...]
    """What to do now or for the next hour, most important first."""
    gate: Prose
    """Danger without a phone: text of the link that says the person is outside and away."""
    after: tuple[Prose, ...]
    """What to do behind the gate."""
    leave: Leave | None
    who: str
    causes: tuple[str, ...]
    never: tuple[Prose, ...]
    drawing: str
    source: tuple[str, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Review:
    """Who has looked a tree over."""

    role: Prose
    licence: Prose
    on: str
    due: str
    spot: Spot

    def is_overdue(self, date: str) -> bool:
        """Whether the next review should have been before `date` (YYYY-MM-DD; empty: never)."""
        return bool(date) and self.due < date


HEADINGS = ("danger", "heat", "cooling", "any")
"""The parts of the list of complaints, in their order."""


@dataclass(frozen=True, slots=True)
class Tree:
    """The steps for a complaint and equipment family, or a shared part of several."""

    id: str
    role: str
    """`complaint` (listed on the start page), `part` (reached from others), `shared`, `danger`."""
    title: Prose
    words: tuple[Prose, ...]
    """What people say who have it."""
    under: str
    """Where the start page lists it: one of `HEADINGS`."""
    equipment: Prose
    starts_with: str
    exits: tuple[str, ...]
    """Named exits of a shared tree."""
    steps: Mapping[str, Step]
    outcomes: Mapping[str, Outcome]
    renamed: Mapping[str, str]
    """Old step id -> new one; the old page becomes a pointer."""
    review: Review | None
    spot: Spot
    places: tuple[str, ...] = ()
    """The places where the complaint is met; empty: everywhere."""

    @property
    def is_stock(self) -> bool:
        """Whether it only holds outcomes that others, and every page's frame, lead to."""
        return self.role == "shared" and not self.steps


CARD_KEYS = tuple("ghijklmnopqrsuvwxyz")
"""Letters that bring a card to sight: those before are answers, `t` starts the timer."""


@dataclass(frozen=True, slots=True)
class Card:
    """What an agent says and does when a call does not go its way."""

    id: str
    key: str
    """A letter of `CARD_KEYS`."""
    name: Prose
    say: tuple[Prose, ...]
    do: tuple[Prose, ...]
    """What the agent does; it isn't read out."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class Instead:
    """A stretch of written texts that an agent says in another way."""

    written: str
    spoken: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Calls:
    """How a call begins, and what to do when it does not go its way."""

    first: Prose
    """The first words of every call: about danger."""
    there: Prose
    """Asks whether the caller is where the equipment is."""
    repeat: Prose
    """Asks the caller to say back what they will do."""
    back_minutes: int
    """Minutes after which somebody who went outside is called back."""
    cards: Mapping[str, Card]
    nobody: tuple[Prose, ...]
    """What the agent does if nobody answers then."""
    instead: tuple[Instead, ...]
    hedges: tuple[Prose, ...]
    """What a practice caller says before they tell anything."""
    spot: Spot

    def spoken(self, text: str) -> str:
        """What an agent says instead of a written text."""
        for each in self.instead:
            text = text.replace(each.written, each.spoken)
        return text


@dataclass(frozen=True, slots=True)
class Equipment:
    """A unit that somebody may stand at: it has a page of its own, which its label leads to."""

    id: str
    name: Prose
    """As a sentence names it: `the furnace`."""
    label: Prose
    """What a label on it asks."""
    look: Prose
    """How to recognize it."""
    complaints: tuple[str, ...]
    """What somebody who stands at it may notice; danger is shown first, whatever the order."""
    trees: tuple[str, ...]
    """Those about it: whoever leaves all of them to others doesn't work on it."""
    spot: Spot


WAIT_FOR = ("cold", "hot")
"""What a house without heat, or without cooling, comes to: each has a page about waiting."""
WAIT_TARGETS = ("danger", "reckon")
"""Where an answer on such a page may lead, besides to a part of it."""


@dataclass(frozen=True, slots=True)
class WaitAnswer:
    """An answer to what a page about waiting asks first."""

    say: Prose
    to: str
    """`danger`, `reckon`, or the id of a part."""
    spot: Spot


@dataclass(frozen=True, slots=True)
class WaitLine:
    """A temperature that means something."""

    at: float
    """°F: of the room, or on the hot page of the heat index."""
    say: Prose
    source: tuple[str, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class WaitPart:
    """What to do meanwhile."""

    id: str
    title: Prose
    do: tuple[Prose, ...]
    never: tuple[Prose, ...]
    source: tuple[str, ...]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Wait:
    """A page about waiting: what it asks, the lines that it reckons with, what to do."""

    id: str
    """One of `WAIT_FOR`."""
    title: Prose
    lead: tuple[Prose, ...]
    ask: Prose
    answers: tuple[WaitAnswer, ...]
    lines: tuple[WaitLine, ...]
    parts: Mapping[str, WaitPart]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What all trees share."""

    findings: Mapping[str, Finding]
    effects: Mapping[str, Effect]
    hazards: Mapping[str, Hazard]
    checks: Mapping[str, Check]
    rulebook: Rulebook
    urgencies: Mapping[str, Urgency]
    causes: Mapping[str, Cause]
    who: Mapping[str, Who]
    places: Mapping[str, Place]
    sources: Mapping[str, Source]
    equipment: Mapping[str, Equipment]
    calls: Calls
    waiting: Mapping[str, Wait]
    """Empty, or both of `WAIT_FOR`."""


@dataclass(frozen=True, slots=True)
class Library:
    """Everything that was read: the catalogue and all trees."""

    catalogue: Catalogue
    trees: Mapping[str, Tree]
    drawings: frozenset[str] = field(default=frozenset())
    """Names of the drawings that pages may show."""
    texts: tuple[str, ...] = ()
    """What whoever the pages are for says on them of its own."""

    def written(self) -> list[Tree]:
        """The trees that any page is made of."""
        return [tree for tree in self.trees.values() if tree.steps or tree.outcomes]

    def complaints(self) -> Iterator[Tree]:
        """The trees listed on the start page, by id."""
        return (self.trees[i] for i in sorted(self.trees) if self.trees[i].role == "complaint")

    def roots(self) -> Iterator[Tree]:
        """The trees that a person can begin in: the danger page and every complaint."""
        return (t for _, t in sorted(self.trees.items()) if t.role in ("complaint", "danger"))
