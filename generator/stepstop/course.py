"""The course: every page that a walk can reach, with shared trees put in their places.

A library is written once; a walk happens on pages. Each page is one step or outcome, for one
boundary (what this person may be asked to do) and with or without hurry (somebody at risk: call
first). Narrowing and hurry never end within a walk, so a page needs no memory: what it must know
of the past is in its address.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from stepstop.model import (
    NOT_ASKED,
    NOT_DONE,
    START_PAGE,
    UNSURE,
    Answer,
    Boundary,
    Check,
    Library,
    Outcome,
    Step,
    Target,
    Tree,
)
from stepstop.source import NOWHERE, Spot

FULL = "full"
"""Name of the boundary that holds whatever is offered at all."""


@dataclass(frozen=True, slots=True)
class Mode:
    """What the rest of a walk is like."""

    boundary: str
    hurry: bool

    @property
    def prefix(self) -> str:
        """Folder of the pages in this mode: empty, `look/`, `now/`, `now-look/`."""
        words = ["now"] * self.hurry + [self.boundary] * (self.boundary != FULL)
        return "-".join(words) + "/" if words else ""


@dataclass(frozen=True, slots=True)
class Goal:
    """Where an answer leads once shared trees stand in their places."""

    tree: str
    name: str
    """Name of a flat step or of an outcome of `tree`; empty for the start page."""
    keep_to: tuple[str, ...] = ()
    hurry: bool = False
    spot: Spot = field(default=NOWHERE, compare=False)
    """Where it is written; for an exit, where the file that uses the shared tree says so."""


@dataclass(frozen=True, slots=True)
class FlatStep:
    """A step with its own address: `use-step.step` where a shared tree stands in another."""

    tree: str
    name: str
    step: Step
    home: Tree
    """The file that it is written in."""
    goals: tuple[Goal, ...]
    """One an answer."""


@dataclass(frozen=True, slots=True)
class Move:
    """One answer taken, with one of the values it stands for."""

    answer: Answer
    value: str
    """Value of the page's finding; empty on a note."""
    to: str
    """Id of the next page."""
    sets: Mapping[str, str]
    """Findings after it: finding -> value."""
    effects: tuple[str, ...]
    via: Spot
    """Where it is written that the answer leads on to `to`."""


@dataclass(frozen=True, slots=True)
class Page:
    """A step or outcome as somebody meets it."""

    id: str
    """Its address below the site's root, without `.html`."""
    tree: str
    label: str
    """Short name in a witness path."""
    mode: Mode
    step: Step | None
    outcome: Outcome | None
    check: Check | None
    finding: str
    """What its answers record; empty on notes and outcomes."""
    at: str
    moves: tuple[Move, ...]
    choices: tuple[Move, ...] = field(init=False, compare=False, repr=False)
    """One move for each answer: one that stands for several values has more."""

    def __post_init__(self) -> None:
        found: dict[int, Move] = {}
        for move in self.moves:
            found.setdefault(id(move.answer), move)
        object.__setattr__(self, "choices", tuple(found.values()))

    @property
    def urgency(self) -> str:
        """How soon somebody must come: sooner where the walk was hurried; empty if nobody must."""
        if self.outcome is None:
            return ""
        return (self.mode.hurry and self.outcome.hurry_urgency) or self.outcome.urgency

    @property
    def name(self) -> str:
        """Its label without the mode, so that a flaw of all its copies reads the same."""
        return self.label.removeprefix(self.mode.prefix)

    @property
    def spot(self) -> Spot:
        """Where it is written."""
        written = self.step or self.outcome
        return written.spot if written else Spot("", 0, 0)


@dataclass(frozen=True, slots=True)
class Course:
    """All pages by id, with the roots where people begin."""

    library: Library
    pages: Mapping[str, Page]
    roots: tuple[str, ...]
    skipped: frozenset[tuple[str, str]]
    """(tree, flat step) pairs that some boundary leaves out."""
    flat: Mapping[tuple[str, str], FlatStep]
    boundaries: Mapping[str, Boundary]
    """What each mode's boundary allows here, narrowed where the whole course is."""
    is_narrowed: bool
    """Whether somebody offers less than the library does."""

    def graph(self) -> dict[str, tuple[str, ...]]:
        """Page id -> ids of the next pages, in the order of the answers."""
        return {
            page.id: tuple(dict.fromkeys(move.to for move in page.moves))
            for page in self.pages.values()
        }


def narrow(boundary: Boundary, by: Boundary) -> Boundary:
    """What both allow: a boundary can only become smaller."""
    return replace(
        boundary,
        checks=tuple(c for c in boundary.checks if c in by.checks),
        hazards=tuple(h for h in boundary.hazards if h in by.hazards),
        locations=tuple(p for p in boundary.locations if p in by.locations),
    )


def lay_out(library: Library, *, within: Boundary | None = None) -> Course:
    """The course of `library`, with every boundary narrowed by `within` where it is given."""
    return _Layout(library, within).course()


class _Layout:
    """Lays out pages from the roots, each once."""

    def __init__(self, library: Library, within: Boundary | None) -> None:
        self.library = library
        self.flat = {(f.tree, f.name): f for f in flat_steps(library)}
        self.boundaries = dict(library.catalogue.rulebook.boundaries)
        if within is not None:
            self.boundaries = {n: narrow(b, within) for n, b in self.boundaries.items()}
        self.narrowed = within is not None
        self.entries = {t.id: entry(t, library) for t in library.roots()}
        self.pages: dict[str, Page] = {}
        self.queue: deque[tuple[Goal, Mode]] = deque()
        self.skipped: set[tuple[str, str]] = set()
        self.known: dict[tuple[str, str, str], dict[str, str]] = {}
        self.gone: dict[tuple[Goal, Mode], str] = {}

    def course(self) -> Course:
        roots = tuple(self._go(goal, Mode(FULL, False)) for goal in self.entries.values())
        while self.queue:
            goal, mode = self.queue.popleft()
            page_id = self._id(goal, mode)
            if page_id not in self.pages:
                self.pages[page_id] = self._page(page_id, goal, mode)
            page = self.pages[page_id]
            if page.step and (page.name, page.mode) != (goal.name, mode):
                raise AssertionError(f"two pages would be called {page_id}")
        return Course(
            self.library,
            self.pages,
            roots,
            frozenset(self.skipped),
            self.flat,
            self.boundaries,
            self.narrowed,
        )

    def _go(self, goal: Goal, mode: Mode) -> str:
        """The id of the page that `goal` leads to; it is laid out later."""
        found = self.gone.get((goal, mode))
        if found is None:
            there, changed = self._landing(goal, self._changed(mode, goal))
            self.queue.append((there, changed))
            found = self.gone[goal, mode] = self._id(there, changed)
        return found

    def _changed(self, mode: Mode, goal: Goal) -> Mode:
        boundary = mode.boundary
        for name in goal.keep_to:
            boundary = self._narrower(boundary, name)
        return Mode(boundary, mode.hurry or goal.hurry)

    def _narrower(self, one: str, other: str) -> str:
        rulebook = self.library.catalogue.rulebook.boundaries
        return other if holds(rulebook[one], rulebook[other]) else one

    def _landing(self, goal: Goal, mode: Mode) -> tuple[Goal, Mode]:
        """`goal`, or what follows when the steps outside the boundary are skipped."""
        seen: set[tuple[str, str, Mode]] = set()
        while (flat := self.flat.get((goal.tree, goal.name))) and self._outside(flat, mode):
            if (goal.tree, goal.name, mode) in seen:
                break
            seen.add((goal.tree, goal.name, mode))
            skip = skip_goal(flat)
            if skip is None:
                break
            self.skipped.add((goal.tree, goal.name))
            goal, mode = skip, self._changed(mode, skip)
        return goal, mode

    def _outside(self, flat: FlatStep, mode: Mode) -> bool:
        if mode.boundary == FULL and not self.narrowed:
            return False
        boundary = self.boundaries[mode.boundary]
        check = self.library.catalogue.checks.get(flat.step.check)
        if check is not None:
            allowed = check.id in boundary.checks and set(check.hazards) <= set(boundary.hazards)
            return not (allowed and check.at in boundary.locations)
        return bool(flat.step.at) and flat.step.at not in boundary.locations

    def _id(self, goal: Goal, mode: Mode) -> str:
        if not goal.name:
            return START_PAGE
        outcome = self.library.trees[goal.tree].outcomes.get(goal.name)
        if outcome is not None:
            hurried = mode.hurry and outcome.kind != "danger"
            return f"{goal.tree}/{'now/' * hurried}{goal.name}"
        root = self.entries.get(goal.tree)
        if root and root.name == goal.name and mode == Mode(FULL, False):
            return f"{goal.tree}/index"
        return f"{goal.tree}/{mode.prefix}{goal.name}"

    def _page(self, page_id: str, goal: Goal, mode: Mode) -> Page:
        if not goal.name:
            blank = Mode(FULL, False)
            return Page(page_id, "", START_PAGE, blank, None, None, None, "", "", ())
        outcome = self.library.trees[goal.tree].outcomes.get(goal.name)
        if outcome is not None:
            mode = Mode(FULL, mode.hurry and outcome.kind != "danger")
            return Page(page_id, goal.tree, goal.name, mode, None, outcome, None, "", "", ())
        flat = self.flat[goal.tree, goal.name]
        check = self.library.catalogue.checks.get(flat.step.check)
        finding = check.result if check else flat.step.finding
        at = check.at if check else flat.step.at
        moves = tuple(self._moves(flat, check, finding, mode))
        label = f"{mode.prefix}{flat.name}"
        return Page(page_id, goal.tree, label, mode, flat.step, None, check, finding, at, moves)

    def _moves(
        self, flat: FlatStep, check: Check | None, finding: str, mode: Mode
    ) -> Iterator[Move]:
        for answer, goal in zip(flat.step.answers, flat.goals, strict=True):
            to = self._go(goal, mode)
            for value in answer.values or ("",):
                done = check is not None and value != NOT_DONE
                effects = check.effects if check and done else ()
                sets = self._settled(check if done else None, finding, value)
                yield Move(answer, value, to, sets, effects, goal.spot)

    def _settled(self, check: Check | None, finding: str, value: str) -> dict[str, str]:
        """What an answer settles, made once for all pages that it stands on."""
        key = (check.id if check else "", finding, value)
        if key not in self.known:
            self.known[key] = settled(self.library, check, finding, value)
        return self.known[key]


def settled(library: Library, check: Check | None, finding: str, value: str) -> dict[str, str]:
    """What an answer settles: readings that the check ends, its changes, the value, its implied."""
    findings = library.catalogue.findings
    sets: dict[str, str] = {}
    if check is not None:
        for each in findings.values():
            if set(each.ends_with) & set(check.effects):
                sets[each.id] = NOT_ASKED
        sets |= check.changes
    if finding and value:
        sets[finding] = value
        known = findings[finding].values.get(value)
        sets |= known.implies if known else {}
    return sets


def skip_goal(flat: FlatStep) -> Goal | None:
    """Where a step leads that isn't taken: its `not-done` or `unsure` answer, or a note's end."""
    wanted = NOT_DONE if flat.step.kind == "check" else UNSURE
    for answer, goal in zip(flat.step.answers, flat.goals, strict=True):
        if wanted in answer.values or flat.step.kind == "note":
            return goal
    return None


def holds(big: Boundary, small: Boundary) -> bool:
    """Whether whatever `small` allows `big` allows too."""
    return all(
        set(getattr(small, name)) <= set(getattr(big, name))
        for name in ("checks", "hazards", "locations")
    )


def entry(tree: Tree, library: Library) -> Goal:
    """The first page of `tree`, inside a shared tree where it begins with one."""
    return _resolve(Target(tree.starts_with, False, "", False, tree.spot), tree, (), library)


@dataclass(frozen=True, slots=True)
class _Use:
    """A shared tree standing in the place of a step."""

    step: Step
    host: Tree
    """The file that the `use` step is written in."""


def flat_steps(library: Library) -> Iterator[FlatStep]:
    """Every step of every tree that isn't shared, shared ones put in their places."""
    for tree in library.trees.values():
        if tree.role != "shared":
            yield from _flat_of(tree, tree, (), library)


def _flat_of(
    root: Tree, home: Tree, uses: tuple[_Use, ...], library: Library
) -> Iterator[FlatStep]:
    for step in home.steps.values():
        if step.kind == "use":
            inner = (*uses, _Use(step, home))
            yield from _flat_of(root, library.trees[step.uses], inner, library)
        else:
            goals = tuple(_resolve(a.target, home, uses, library, root) for a in step.answers)
            yield FlatStep(root.id, _address(uses, step.id), step, home, goals)


def _address(uses: Iterable[_Use], name: str) -> str:
    return ".".join([*(use.step.id for use in uses), name])


def _resolve(
    target: Target, home: Tree, uses: tuple[_Use, ...], library: Library, root: Tree | None = None
) -> Goal:
    """Where `target`, written in `home`, leads; `uses` are the places that `home` stands in."""
    keep, hurry = (target.keep_to,) * bool(target.keep_to), target.hurry
    root = root or home
    if target.is_exit:
        use = uses[-1]
        outer = _resolve(use.step.exits[target.name], use.host, uses[:-1], library, root)
        whole, hurried = keep + outer.keep_to, hurry or outer.hurry
        return Goal(outer.tree, outer.name, whole, hurried, outer.spot)
    goal = _named(target.name, home, uses, library, root)
    whole, hurried = keep + goal.keep_to, hurry or goal.hurry
    return Goal(goal.tree, goal.name, whole, hurried, target.spot)


def _named(name: str, home: Tree, uses: tuple[_Use, ...], library: Library, root: Tree) -> Goal:
    first, _, rest = name.partition("/")
    if rest:
        return _inside(rest, library.trees[first], (), library, library.trees[first])
    if name in home.steps or name in home.outcomes:
        return _inside(name, home, uses, library, root)
    if name == START_PAGE:
        return Goal("", "")
    return entry(library.trees[name], library)


def _inside(name: str, home: Tree, uses: tuple[_Use, ...], library: Library, root: Tree) -> Goal:
    if name in home.outcomes:
        return Goal(home.id, name)
    step = home.steps[name]
    if step.kind == "use":
        used = library.trees[step.uses]
        return _inside(used.starts_with, used, (*uses, _Use(step, home)), library, root)
    return Goal(root.id, _address(uses, name))
