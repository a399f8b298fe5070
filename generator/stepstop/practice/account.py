"""What is told at the end of a practice: what was so, and where the way there went wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stepstop.pages.atlas import Atlas
from stepstop.pages.titles import headline
from stepstop.practice.caller import CallerOnLine, Told
from stepstop.practice.words import HEDGE, HINT, UNKNOWN, Voice, Words
from stepstop.rehearsal.sample import Call
from stepstop.walk import para, ruler, section

RIGHT, GUESSED, MISHEARD = "right", "guessed", "misheard"
MISLED, UNTOLD = "misled", "untold"
WRONG = (GUESSED, MISHEARD, MISLED)

_JUDGED = {
    "missed-danger": "A sign of danger was there to tell, and the call did not end with it.",
    "unsafe-shown": "On the way people were exposed to what could hurt; a sign of it had shown.",
    "unsafe-hidden": "On the way people were exposed to what could hurt; nothing had shown it.",
    "false-danger": "Nothing dangerous was there: they left the house for no reason. That is the "
    "right side to err on.",
    "needless": "They could have got it to work by the safe checks.",
    "fixed": "It works again.",
}
"""Mark of an end -> what is said of it."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One answer of the call."""

    number: int
    """Of the node."""
    told: Told
    words: Words
    asked: bool
    """Whether the agent asked again."""
    chosen: int

    @property
    def went(self) -> str:
        """How it went; an answer that nobody gave is none, even if it is so."""
        is_so = self.chosen == self.told.true
        if not self.asked and self.words.kind in (HINT, HEDGE):
            return RIGHT if is_so and self.words.kind == HINT else GUESSED
        if self.chosen != self.words.meant:
            return MISHEARD
        if is_so:
            return RIGHT
        return UNTOLD if self.words.kind == UNKNOWN else MISLED


@dataclass(frozen=True, slots=True)
class Finished:
    """A call that is over."""

    call: Call
    root: int
    """The node that it began with; of the complaint that was taken."""
    end: int
    """The node that it came to, which need be no end."""
    path: tuple[Entry, ...]


def account(caller: CallerOnLine, voice: Voice, atlas: Atlas, finished: Finished | None) -> str:
    """All of it as text; nothing was `finished` where no complaint was taken."""
    return "\n".join(filter(None, _Account(caller, voice, atlas, finished).parts()))


class _Account:
    def __init__(
        self, caller: CallerOnLine, voice: Voice, atlas: Atlas, finished: Finished | None
    ) -> None:
        self.caller, self.voice, self.atlas, self.finished = caller, voice, atlas, finished
        self.bench, self.nodes = caller.bench, caller.bench.journey.nodes

    def parts(self) -> Iterator[str]:
        yield ruler("What was so")
        yield from self._truth()
        if self.finished is not None:
            yield self._taken(self.finished)
            yield section("Your answers", map(self._line, self.finished.path))
            yield self._first_wrong(self.finished)
            yield from self._end(self.finished)

    def _truth(self) -> Iterator[str]:
        case, catalogue = self.caller.case, self.bench.catalogue
        cause = catalogue.causes[case.cause]
        yield para(f"\nWhat was wrong: {cause.name.rstrip('.')}.")
        yield para(f"For the caller: {self.atlas.plain(cause.plain)}")
        hazard = self.bench.verdicts.causes[case.cause].hazard
        yield para(f"What could hurt while it is there: {hazard.replace('-', ' ')}.")
        yield para(
            f"The caller: {self.caller.first.caller.about}. Told things: {self.caller.manner}."
        )
        yield para(f"They called about: {self._complaint(self.caller.first.complaint)}.")

    def _taken(self, finished: Finished) -> str:
        taken = self.nodes[finished.root].page.tree
        if taken == self.caller.first.complaint:
            return ""
        return para(f"You took the call as: {self._complaint(taken)}.")

    def _complaint(self, tree: str) -> str:
        return self.atlas.plain(self.atlas.course.library.trees[tree].title)

    # ---- answers ----

    def _line(self, entry: Entry) -> str:
        page = self.nodes[entry.number].page
        asked = f", asked again “{entry.words.again}”" if entry.asked else ""
        said = f"They said “{entry.words.first}”{asked}."
        took = f"You took: {self._text(entry, entry.chosen)}."
        return f"{_ended(self.atlas.plain(headline(page)))} {said} {took} {self._went(entry)}"

    def _went(self, entry: Entry) -> str:
        return _WENT[entry.went].format(so=self._text(entry, entry.told.true))

    def _text(self, entry: Entry, option: int) -> str:
        return self.voice.answer(self.nodes[entry.number], option)

    def _first_wrong(self, finished: Finished) -> str:
        for place, entry in enumerate(finished.path, 1):
            if entry.went in WRONG:
                page = self.nodes[entry.number].page
                advice = _ADVICE[entry.went]
                return para(f"\nThe way first went wrong at answer {place}, {page.label}. {advice}")
        was_so = all(entry.went == RIGHT for entry in finished.path)
        told = "as it was told, and it was so" if was_so else "as it was told"
        return para(f"\nYou took every answer {told}.") if finished.path else ""

    # ---- the end ----

    def _end(self, finished: Finished) -> Iterator[str]:
        page = self.nodes[finished.end].page
        if page.outcome is None:
            yield para("\nThe call has no end: nobody was told what to do.")
        else:
            yield para(f"\nYour call ended with: {self._title(finished.end)}.")
            yield from (para(text) for text in self._judged(finished))
        led = self.caller.ends_if_true(finished.root)
        if led != finished.end:
            yield para(f"With every answer as it was, it ends with: {self._title(led)}.")

    def _judged(self, finished: Finished) -> Iterator[str]:
        case = self.caller.case
        marks = self.caller.marks(finished.call, finished.end)
        works = bool(self.bench.table.works(self.nodes[finished.end].acts)[finished.call.case])
        who = finished.call.caller
        row = self.bench.row_for(
            case.cause, who, finished.call.complaint, case.wanted, case.weather
        )
        if "right" in marks:
            yield f"That is right: {_ended(row.why)}"
        else:
            side = (
                "It is on the safe side, though not the best end. " if "cautious" in marks else ""
            )
            urgencies = self.bench.catalogue.urgencies
            by = urgencies[row.latest].say
            kinds = " or ".join(_KINDS[kind] for kind in row.kinds(works=works))
            yield f"{side}Best is: {kinds}; at the latest: {by}. Why: {_ended(row.why)}"
        yield from (text for mark, text in _JUDGED.items() if mark in marks)

    def _title(self, number: int) -> str:
        page = self.nodes[number].page
        return self.atlas.plain(page.outcome.title).rstrip(".") if page.outcome else page.label


def _ended(text: str) -> str:
    """A text with a mark at its end."""
    return text if text.endswith((".", "?", "!")) else f"{text}."


_KINDS = {
    "danger": "leave and call for help",
    "call": "stop and call",
    "watch": "watch it",
    "solved": "it works again",
}
_WENT = {
    RIGHT: "Right.",
    UNTOLD: "Right: they could not tell. So it was: {so}.",
    GUESSED: "GUESSED: their words told nothing yet. So it was: {so}.",
    MISHEARD: "MISHEARD: they did not say that. So it was: {so}.",
    MISLED: "MISLED by the caller. So it was: {so}.",
}
_ADVICE = {
    GUESSED: "Ask again before you choose: `a`.",
    MISHEARD: "Say back what you heard before you choose.",
    MISLED: "Nothing in their words gave it away: what the pages check later has to catch it.",
}
