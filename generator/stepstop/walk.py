"""A walk through the pages in a terminal: each shown as text, each answered by a number.

It shows what the pages show, in the same order, for authors who try out a tree and for anyone
without a browser. The gas page keeps its gate: no number is shown before the person is outside.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from textwrap import wrap

from stepstop.course import Course, Page
from stepstop.model import (
    NOT_DONE,
    START_PAGE,
    Catalogue,
    Caution,
    Check,
    Outcome,
    Place,
    Tree,
)
from stepstop.pages.titles import headline
from stepstop.pages.words import fill, plain

WIDTH = 79
STRIP = "Gas smell, alarm, smoke, someone ill, water at wiring? Type d first."
"""The reminder on top of every page; `d` leads to the danger page."""
OUTSIDE = "outside"
"""What to type where no number may be shown before the person is outside."""

_STATES = {
    "as-it-is": "as it is",
    "off-at-thermostat": "OFF at the thermostat",
    "off-at-switch": "OFF at its own switch",
    "off-at-breaker": "with its breaker OFF",
    "running": "running",
    "untouched": "untouched",
}
_OF_PLACE = {
    "emergency": "{emergency}",
    "gas-company": "{gas-line}",
    "power-company": "{power-company}",
}
"""Whom the place has its own words for."""

Ask = Callable[[str], str]
"""Shows a prompt and returns a line, like `input`; raises EOFError where there is none."""
Say = Callable[[str], object]
"""Shows a text, like `print`."""


def typed(prompt: str) -> str:
    """A line from the terminal; one that was piped in is shown, so that the walk can be read."""
    line = input(prompt)
    if not sys.stdin.isatty():
        print(line)
    return line


def walk(course: Course, root: str, place: Place, *, ask: Ask = typed, say: Say = print) -> None:
    """Go from the page `root` to an outcome, or until `q`, with the words of `place`.

    Where the input ends in the middle it says so and raises SystemExit with status 1.
    """
    walker = _Walker(course, place, ask, say)
    try:
        walker.go(root)
    except (EOFError, UnicodeDecodeError):
        say("\n\nThe input ended here, before an outcome. The walk is not complete.")
        raise SystemExit(1) from None


@dataclass(frozen=True, slots=True)
class Words:
    """What texts are filled from: the place, and the catalogue that ids lead into."""

    catalogue: Catalogue
    place: Place

    def said(self, text: str) -> str:
        """The text with the place's words put in."""
        return plain(fill(text, self.place))

    def all_said(self, texts: Iterable[str]) -> list[str]:
        """Each text with the place's words put in."""
        return [self.said(text) for text in texts]


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer that can be taken on a page."""

    say: str
    to: str
    """Id of the next page."""


class _Left(Exception):
    """The walk ends by `q`."""


class _Walker:
    """Asks page by page, and remembers the way for `b` and for the end."""

    def __init__(self, course: Course, place: Place, ask: Ask, say: Say) -> None:
        self.course = course
        self.words = Words(course.library.catalogue, place)
        self.ask = ask
        self.say = say
        self.trail: list[tuple[str, str]] = []
        """Ids of the pages behind, each with the answer taken."""

    def go(self, root: str) -> None:
        self.say(beginning(self.course.library.trees[self.course.pages[root].tree], self.words))
        here: str | None = root
        try:
            while here is not None:
                here = self._after(self.course.pages[here])
        except _Left:
            self.say("\nYou ended the walk here.\n" + self._way())

    def _after(self, page: Page) -> str | None:
        """The id of the page to show after `page`, or None at the end."""
        if page.outcome is not None:
            return self._end(page, page.outcome)
        choices = choices_of(page, self.course)
        self.say(page_text(page, choices, self.words))
        taken = {str(number): choice for number, choice in enumerate(choices, 1)}
        prompt = f"1 to {len(choices)}, or b (back), d (danger), q (quit): "
        line = self._line(prompt, (*taken, "d"))
        if line == "b":
            return self._back(page.id)
        choice = taken.get(line) or Choice("to the danger page", self._danger())
        self.trail.append((page.id, self.words.said(choice.say)))
        return choice.to

    def _end(self, page: Page, outcome: Outcome) -> str | None:
        if outcome.gate:
            self.say(before_gate(page, outcome, self.words))
            prompt = f"{OUTSIDE}, or b (back), q (quit): "
            if self._line(prompt, (OUTSIDE,)) == "b":
                return self._back(page.id)
            self.say(behind_gate(outcome, self.words) + "\n" + self._way())
        else:
            self.say(outcome_text(page, outcome, self.words) + "\n" + self._way())
        return None

    def _line(self, prompt: str, known: tuple[str, ...]) -> str:
        """A line that is one of `known` or `b`; asked again until it is."""
        while True:
            line = self.ask(prompt).strip().lower()
            if line == "q":
                raise _Left
            if line in (*known, "b"):
                return line
            self.say("That is none of the choices.")

    def _back(self, here: str) -> str:
        if self.trail:
            return self.trail.pop()[0]
        self.say("\nThis is the first page of the walk.")
        return here

    def _danger(self) -> str:
        roots = zip(self.course.library.roots(), self.course.roots, strict=True)
        return next(page for tree, page in roots if tree.role == "danger")

    def _way(self) -> str:
        labels = {page.id: page.label for page in self.course.pages.values()}
        walked = [f"{labels[page]}: {said}" for page, said in self.trail]
        return section("The way here", walked or ["nothing was answered"])


def choices_of(page: Page, course: Course) -> list[Choice]:
    """The answers of a page in the order that pages show: each once, "not done" last."""
    if page.id == START_PAGE:
        roots = zip(course.library.roots(), course.roots, strict=True)
        return [Choice(tree.title, root) for tree, root in roots if tree.role == "complaint"]
    found: dict[int, tuple[bool, Choice]] = {}
    for move in page.moves:
        is_last = NOT_DONE in move.answer.values
        choice = Choice(move.answer.say or "Go on", move.to)
        found.setdefault(id(move.answer), (is_last, choice))
    return [choice for _, choice in sorted(found.values(), key=lambda pair: pair[0])]


def beginning(tree: Tree, words: Words) -> str:
    """What is said once, before the first page: complaint, small print, never-lines."""
    reviewed = "" if tree.review else "Not yet reviewed by a licensed technician."
    never = words.catalogue.rulebook.never
    parts = [
        para(tree.title),
        *(para(text) for text in words.all_said(words.place.disclaimer)),
        para(reviewed),
        section("Never", words.all_said(never)),
    ]
    return "\n".join(filter(None, parts))


def page_text(page: Page, choices: list[Choice], words: Words) -> str:
    """A question, check or note, or the list of complaints, with its numbered answers."""
    says = enumerate(words.all_said(choice.say for choice in choices), 1)
    numbered = [para(f"{number:4}  {say}", after=6) for number, say in says]
    hurry = "Call first, then go on while you wait." if page.mode.hurry else ""
    asked = "\nWhat happened?\n" if page.check else ""
    answers = f"{asked}\n" + "\n".join(numbered)
    parts = [ruler(page.label), para(STRIP), para(hurry), *_matter(page, words), answers]
    return "\n".join(filter(None, parts))


def _matter(page: Page, words: Words) -> Iterator[str]:
    if page.step is None:
        yield para("\nWhat is the matter?")
        return
    check = page.check
    yield para(f"\n{words.said(headline(page))}")
    yield from (para(text) for text in words.all_said(page.step.look))
    if check and check.before:
        yield section("Only if all of this is true", words.all_said(check.before))
        yield para("If not, take the last answer.")
    yield from cautions((*(check.cautions if check else ()), *page.step.cautions), words)
    yield from _instructions(check, words) if check else ()
    if page.step.why:
        yield para(f"\nWhat this tells us: {words.said(page.step.why)}")


def _instructions(check: Check, words: Words) -> Iterator[str]:
    yield section("Stop at once, and type d, if", words.all_said(check.stop_if))
    yield section("Never here", words.all_said(check.never))
    yield section("Do this", words.all_said(check.do))
    plural = "" if check.minutes == 1 else "s"
    waits = ", most of it waiting" if check.waits else ""
    yield para(f"It takes about {check.minutes} minute{plural}{waits}.")


def cautions(messages: Iterable[Caution], words: Words) -> Iterator[str]:
    """The safety messages, the most serious first."""
    order = ("DANGER", "WARNING", "CAUTION", "NOTICE")
    for each in sorted(messages, key=lambda caution: order.index(caution.word)):
        yield para(f"\n{each.word}: {words.said(each.text)}")


def outcome_text(page: Page, outcome: Outcome, words: Words) -> str:
    """An outcome: whom to call and what to say, the next hour, state left, possible causes."""
    whom = _who(outcome, words) if outcome.say and outcome.kind != "solved" else ""
    steps = section("Do this", words.all_said(outcome.do))
    parts = [
        ruler(page.label),
        para(words.said(outcome.title)),
        steps if outcome.kind == "danger" else _how_soon(page, words),
        para(f"\nCall: {whom}") if whom else "",
        section("Say this", words.all_said(outcome.say)),
        "" if outcome.kind == "danger" else steps,
        *_rest(outcome, words),
    ]
    return "\n".join(filter(None, parts))


def before_gate(page: Page, outcome: Outcome, words: Words) -> str:
    """What a person reads who may not phone yet: no number, and the gate."""
    parts = [
        ruler(page.label),
        para(words.said(outcome.title)),
        section("Do this", words.all_said(outcome.do)),
        para(f'\nType {OUTSIDE} once this is true: "{words.said(outcome.gate)}".'),
    ]
    return "\n".join(filter(None, parts))


def behind_gate(outcome: Outcome, words: Words) -> str:
    """What follows once the person is outside."""
    after = section("Only from outside, well away", words.all_said(outcome.after))
    say = section("Say this", words.all_said(outcome.say))
    return "\n".join(filter(None, [after, say, *_rest(outcome, words)]))


def _rest(outcome: Outcome, words: Words) -> Iterator[str]:
    leave = outcome.leave
    if leave is not None:
        until = words.said(leave.until.removeprefix("until ").rstrip("."))
        yield para(f"\nLeave the unit {_STATES[leave.state]} until {until}.")
    yield section("Never here", words.all_said(outcome.never))
    if outcome.who and outcome.kind != "solved":
        does = "deals with this" if outcome.kind == "danger" else "may do the work"
        yield para(f"\nWho {does}: {_who(outcome, words)}")
    if outcome.causes:
        known = words.catalogue.causes
        causes = words.all_said(known[name].plain for name in outcome.causes)
        yield section("Possible causes; only a technician can tell", [*causes, "Something else."])


def _who(outcome: Outcome, words: Words) -> str:
    who = words.catalogue.who.get(outcome.who)
    return words.said(_OF_PLACE.get(outcome.who, who.say)) if who else ""


def _how_soon(page: Page, words: Words) -> str:
    urgency = words.catalogue.urgencies[page.urgency]
    return para(f"\nHow soon: {urgency.say}. {words.said(urgency.advice)}")


def ruler(label: str) -> str:
    """A line across, with the name of the page."""
    return "\n" + f"-- {label} ".ljust(WIDTH, "-")[:WIDTH]


def section(title: str, texts: Iterable[str]) -> str:
    """A title with a list below it, or nothing where the list is empty."""
    items = [para(f"  - {text}", after=4) for text in texts]
    return "\n".join([f"\n{title}:", *items]) if items else ""


def para(text: str, *, after: int = 0) -> str:
    """A text in lines of at most `WIDTH`, all but the first indented by `after`.

    An empty line before it and its first indent are kept.
    """
    body = text.lstrip("\n")
    lead = "\n" * (len(text) - len(body))
    first = body[: len(body) - len(body.lstrip(" "))]
    lines = wrap(body.lstrip(" "), WIDTH, initial_indent=first, subsequent_indent=" " * after)
    return lead + "\n".join(lines)
