"""The practice call in a terminal: the script, the caller's words, and one key for each answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from random import Random, SystemRandom
from typing import Any

from stepstop.edition import Edition
from stepstop.journey import Node
from stepstop.pages.atlas import Atlas, atlas_of
from stepstop.pages.spoken import Spoken
from stepstop.pages.step import choices
from stepstop.practice import MANNERS
from stepstop.practice.account import Entry, Finished, account
from stepstop.practice.caller import CallerOnLine
from stepstop.practice.words import Voice, Words
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.sample import Call
from stepstop.walk import Ask, Say, para, ruler, section, typed

PROMPT_KEYS = "a (ask again), h (you may hear), b (back), d (danger), q (end the practice): "


def practice(
    bench: Bench,
    edition: Edition,
    *,
    manner: str = "any",
    cause: str = "",
    seed: int | None = None,
    ask: Ask = typed,
    say: Say = print,
) -> None:
    """A call with a simulated caller whose `manner` is one of `MANNERS`, or `any`.

    Without a `seed` each call is another; it is told, so that it can be had again. Where the input
    ends before the call does, it says so and raises SystemExit with status 1. Raises `NobodySuch`.
    """
    seed = SystemRandom().randrange(10**6) if seed is None else seed
    drawn = Random(seed).choice(list(MANNERS)) if manner == "any" else manner
    caller = CallerOnLine(bench, drawn, {}, seed=seed, cause=cause)
    line = Line(caller, atlas_of(bench.journey.course, edition), seed, ask, say)
    try:
        line.run()
    except (EOFError, UnicodeDecodeError):
        say("\n\nThe input ended here, before the call did. The practice is not complete.")
        raise SystemExit(1) from None
    say(para(f"\nThe same caller again: --seed {seed} --caller {drawn}"))


@dataclass(frozen=True, slots=True)
class _Here:
    """Where the call stands."""

    call: Call
    root: int
    """The node that the complaint begins with."""
    number: int
    path: tuple[Entry, ...]


class _Ended(Exception):
    """The agent ends the practice."""


class Line:
    """One call with one caller."""

    def __init__(self, caller: CallerOnLine, atlas: Atlas, seed: int, ask: Ask, say: Say) -> None:
        self.caller, self.atlas, self.ask, self.say = caller, atlas, ask, say
        self.journey = caller.bench.journey
        self.catalogue = caller.bench.catalogue
        self.spoken = Spoken(atlas)
        self.voice = Voice(self.catalogue, self.spoken, caller.manner, seed)
        self.listed = list(atlas.course.library.complaints())
        self.here: _Here | None = None
        self.behind: list[_Here] = []

    def run(self) -> None:
        """Hold the call, and tell at its end what was so."""
        try:
            self._begin()
            while self.here is None or not self._is_over(self.here):
                self._step()
            self.say(self._outcome(self.here.number))
        except _Ended:
            self.say("\nYou ended the practice here.")
        here = self.here
        finished = Finished(here.call, here.root, here.number, here.path) if here else None
        self.say(account(self.caller, self.voice, self.atlas, finished))

    def _is_over(self, here: _Here) -> bool:
        return self.journey.nodes[here.number].page.outcome is not None

    def _step(self) -> None:
        if self.here is None or self.journey.nodes[self.here.number].page.step is None:
            self._choose()
        else:
            self._read(self.here)

    # ---- the beginning ----

    def _begin(self) -> None:
        """The first words about danger, and what they called about.

        What they answer to the first words is what the first page asks: it is asked there again.
        """
        tree = self.atlas.course.library.trees[self.caller.first.complaint]
        opening = self.voice.opening(tree.title, tree.words)
        self.say(ruler("A call comes in"))
        self.say(section("Say", [quoted(self.spoken.text(self.catalogue.calls.first))]))
        self.say(para(f"\nThe caller: {quoted(self._first())} {quoted(opening)}"))

    def _first(self) -> str:
        """What they answer to the first words: shorter where nothing is wrong or known."""
        root = self.journey.roots[self.caller.first.complaint]
        node, told = self.journey.nodes[root], self.caller.tell(self.caller.call_anew(), root)
        option = node.options[told.said]
        if not option.is_sure:
            return "I'm not sure."
        values = self.catalogue.findings[node.page.finding].values
        if not any(values[value].danger for value in option.values):
            return "No, nothing like that."
        return self.voice.of(node, told).first

    def _choose(self) -> None:
        """Take the complaint, at the beginning or where an answer leads back to the list."""
        titles = enumerate((self.spoken.text(tree.title) for tree in self.listed), 1)
        self.say("\nIs there no danger? Choose what they call about:\n")
        for number, title in titles:
            self.say(para(f"{number:4}  {title}", after=6))
        prompt = f"1 to {len(self.listed)}, d (danger), q (end the practice): "
        line = self._line(prompt, len(self.listed), "d")
        tree = self._danger_tree() if line == "d" else self.listed[int(line) - 1].id
        root = self.journey.roots[tree]
        call = self.here.call if self.here else self.caller.call_anew()
        if self.here:
            self.behind.append(self.here)
        self.here = _Here(call, root, root, self.here.path if self.here else ())

    # ---- one page ----

    def _read(self, here: _Here) -> None:
        """Read one page out, and take the agent's key."""
        node = self.journey.nodes[here.number]
        call = replace(here.call, kept=dict(here.call.kept))
        told = self.caller.tell(call, here.number)
        words = self.voice.of(node, told)
        order = [node.page.choices.index(move) for move in choices(node.page)]
        self.say(self._page(node, words, order))
        asked = False
        while (line := self._line(f"1 to {len(order)}, {PROMPT_KEYS}", len(order), "ahbd")) in (
            "a",
            "h",
        ):
            asked = asked or line == "a"
            again = para(f"\nThe caller, asked again: {quoted(words.again)}")
            self.say(again if line == "a" else self._heard(node))
        if line == "b":
            self.here = self.behind.pop() if self.behind else here
            return
        self.behind.append(here)
        if line == "d":
            self.here = replace(here, call=call, number=self.journey.roots[self._danger_tree()])
            return
        chosen = order[int(line) - 1]
        entry = Entry(here.number, told, words, asked, chosen)
        path = (*here.path, entry) if node.page.finding else here.path
        self.here = _Here(call, here.root, self.caller.pick(call, here.number, chosen), path)

    def _page(self, node: Node, words: Words, order: list[int]) -> str:
        body = self.spoken.body(node.page)
        answers = enumerate((self.voice.answer(node, option) for option in order), 1)
        numbered = "\n".join(para(f"{i:4}  {text}", after=6) for i, text in answers)
        says = f"\nThe caller: {quoted(words.first)}" if node.page.finding else ""
        parts = [ruler(node.page.label), *_script(body), para(says), f"\n{numbered}"]
        return "\n".join(filter(None, parts))

    def _heard(self, node: Node) -> str:
        heard = [
            f"{quoted(said)} may be: {may_be}. Ask: {quoted(ask)}"
            for said, may_be, ask in self.spoken.body(node.page)["hear"]
        ]
        return section("You may hear", heard) or "\nNothing is noted here. Ask again in your words."

    def _outcome(self, number: int) -> str:
        page = self.journey.nodes[number].page
        body = self.spoken.body(page)
        parts = [
            ruler(page.label),
            para(body["title"]),
            section("Say", map(quoted, body["say"])),
            section("Only once they are outside, say", map(quoted, body["outside"])),
            section("How soon", body["soon"]),
            section("They leave the unit", [body["left"]] if body["left"] else []),
            section("Who comes", [body["who"]] if body["who"] else []),
        ]
        return "\n".join(filter(None, parts))

    # ---- keys ----

    def _line(self, prompt: str, most: int, letters: str) -> str:
        """A number up to `most` or one of the `letters`; asked again until it is."""
        while True:
            line = self.ask(prompt).strip().lower()
            if line == "q":
                raise _Ended
            if line in set(letters) or line in map(str, range(1, most + 1)):
                return line
            self.say("That is none of the choices.")

    def _danger_tree(self) -> str:
        return self.atlas.pages[self.atlas.danger].tree


def _script(body: Mapping[str, Any]) -> Iterator[str]:
    """What is read out on a page, in the order of the agent's own page."""
    yield para(body["title"])
    for word, text in body["signs"]:
        yield para(f"{word}: {text}")
    yield section("Only if all of this is true", map(quoted, body.get("before", [])))
    yield section("Stop at once if", map(quoted, body.get("stop", [])))
    yield section("Never", map(quoted, body.get("never", [])))
    yield section("Say", map(quoted, (*body["say"], *body.get("do", []))))


def quoted(text: str) -> str:
    """A text as speech."""
    return f"“{text}”"
