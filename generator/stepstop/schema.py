"""The keys of every YAML file, as shapes that make the classes of the model."""

from __future__ import annotations

from typing import Any, ClassVar

from stepstop import model
from stepstop.problems import near
from stepstop.shapes import (
    Date,
    Desk,
    Flag,
    Given,
    Id,
    Key,
    ListOf,
    MapOf,
    Number,
    OneOf,
    Pattern,
    Record,
    Reference,
    Shape,
    Text,
    wrong,
)
from stepstop.source import Located, Spot, spot_of
from stepstop.yaml_reader import Fields, Node

_TEXTS = ListOf(Text())
_SOME_TEXTS = ListOf(Text(), least=1)
_IDS = ListOf(Id(), once=True)
_SOME_IDS = ListOf(Id(), least=1, once=True)
_SOURCE = Key(_IDS, "sources of the numbers here, or `common-practice`", ())
_DRAWING = Key(Id(), "name of a drawing", "")


class _Clause:
    """A requirement: finding -> allowed values; several findings mean either-or."""

    either = MapOf(_SOME_IDS, least=1)

    def read(self, node: Node, desk: Desk) -> model.Clause | None:
        either = self.either.read(node, desk)
        return None if either is None else model.Clause(either, node.spot)

    def blank(self, spot: Spot) -> model.Clause:
        return model.Clause({}, spot)


_CLAUSES = ListOf(_Clause())


VALUE = Record(
    model.Value,
    {
        "about": Key(Text(), "the value in a technician's words", needed=True),
        "danger": Key(OneOf(model.DANGER_SIZES), "size of the danger it reports", ""),
        "implies": Key(MapOf(Id()), "other findings that it settles", {}),
        "works": Key(Flag(), "a check brought what was asked for", False),
        "no-phone-inside": Key(Flag(), "no call before the person is outside", False),
    },
    short="about",
)

BREATH = 24
"""Words that an agent says in one breath: some eight seconds."""

_SPOKEN = Text(most_words=BREATH)

HEARD = Record(
    model.Heard,
    {
        "they-say": Key(Text(), "the caller's words", needed=True),
        "may-be": Key(Text(), "what it often is", needed=True),
        "ask": Key(_SPOKEN, "what the agent asks then", needed=True),
        "is": Key(_IDS, "values that a practice caller means by it", (), name="values"),
    },
)

FINDING = Record(
    model.Finding,
    {
        "kind": Key(OneOf(("fact", "event", "reading")), "how long it holds", needed=True),
        "about": Key(Text(), "what is observed, in a technician's words", needed=True),
        "values": Key(MapOf(VALUE, keyed="id", least=1), "the closed set of values", needed=True),
        "means-if": Key(_CLAUSES, "what must be known for it to mean anything", ()),
        "ends-with": Key(_IDS, "effects after which a reading has ended", ()),
        "spoiled-by": Key(_IDS, "effects after which it can't be read any more", ()),
        "taps": Key(Flag(), "tapping along with a light answers it", False),
        "field": Key(OneOf(model.BRIEF_FIELDS), "part of the brief that it belongs to", ""),
        "health": Key(Flag(), "a person's health or need: no link or code holds it", False),
        "hear": Key(ListOf(HEARD), "what callers say of it that may mislead", ()),
    },
)

EFFECT = Record(
    model.Effect,
    {
        "about": Key(Text(), "what is done to the equipment", needed=True),
        "once": Key(Flag(), "at most once on a path", False),
        "history": Key(Id(), "finding that says whether it was done before the walk", ""),
        "clears": Key(OneOf(("lock-out", "breaker-trip", "blocked-flue")), "what it hides", ""),
    },
)

HAZARD = Record(
    model.Hazard,
    {
        "about": Key(Text(), "what could hurt whom", needed=True),
        "requires": Key(_CLAUSES, "the least that a check with it must require", ()),
    },
)

CAUTION = Record(
    model.Caution,
    {
        "word": Key(OneOf(("DANGER", "WARNING", "CAUTION", "NOTICE")), "ANSI Z535", needed=True),
        "text": Key(Text(), "what may happen and how to avoid it", needed=True),
    },
)

CHECK = Record(
    model.Check,
    {
        "name": Key(Text(), "the page's headline: what to do", needed=True),
        "at": Key(Id(), "where", needed=True),
        "hazards": Key(_IDS, "what could hurt", ()),
        "requires": Key(_CLAUSES, "what must be established before", ()),
        "changes": Key(MapOf(Id()), "findings set by doing it", {}),
        "effects": Key(_IDS, "what it does to the equipment", ()),
        "result": Key(Id(), "finding that says what happened", needed=True),
        "do": Key(_SOME_TEXTS, "instructions, one action each", needed=True),
        "before": Key(_TEXTS, "what must be true first, in plain words", ()),
        "stop-if": Key(_TEXTS, "signs to stop at once", ()),
        "never": Key(_TEXTS, "what never to do here", ()),
        "cautions": Key(ListOf(CAUTION), "safety messages", ()),
        "drawing": _DRAWING,
        "minutes": Key(Number(1), "how long it takes, waits included", 1),
        "waits": Key(Flag(), "most of it is waiting", False),
        "source": _SOURCE,
    },
)

LOCATION = Record(
    model.Location,
    {
        "about": Key(Text(), "where this is", needed=True),
        "requires": Key(_CLAUSES, "what must be established before going there", ()),
    },
)

BOUNDARY = Record(
    model.Boundary,
    {
        "about": Key(Text(), "for whom", needed=True),
        "checks": Key(_IDS, "checks that are offered", ()),
        "hazards": Key(_IDS, "hazards that an offered check may have", ()),
        "locations": Key(_SOME_IDS, "where a person may be sent", needed=True),
    },
)

WORDING = Record(
    model.Wording,
    {
        "pattern": Key(Pattern(), "regular expression", needed=True),
        "why": Key(Text(), "why the words are refused", needed=True),
    },
)

LIMITS = Record(
    model.Limits,
    {
        "longest-steps": Key(Number(1), "pages on a path", needed=True),
        "longest-minutes": Key(Number(1), "minutes on a path, waits included", needed=True),
        "longest-sentence": Key(Number(5), "words in a sentence", needed=True),
        "grade": Key(Number(1, whole=False), "Flesch-Kincaid grade of a tree", needed=True),
    },
)


SAYS = Record(
    model.Says,
    {
        "yes": Key(_TEXTS, "how an answer begins that agrees", ()),
        "no": Key(_TEXTS, "how one begins that denies", ()),
        "doubt": Key(_TEXTS, "of these words one stands in every answer for `unsure`", ()),
        "only-doubt": Key(_TEXTS, "these stand in no other answer", ()),
    },
)


def _rulebook(spot: Spot, **parts: Any) -> model.Rulebook:
    return model.Rulebook(**parts)


RULEBOOK = Record(
    _rulebook,
    {
        "boundaries": Key(MapOf(BOUNDARY, keyed="id"), "who may be asked what", needed=True),
        "locations": Key(MapOf(LOCATION, keyed="id"), "where steps take place", needed=True),
        "limits": Key(LIMITS, "numbers that trees are held to", needed=True),
        "action-words": Key(_SOME_TEXTS, "verbs that only checks may ask for", needed=True),
        "hands-on": Key(_TEXTS, "those of them that outcomes may not ask for either", ()),
        "forbidden": Key(ListOf(WORDING, least=1), "instructions that are refused", needed=True),
        "certain": Key(
            ListOf(WORDING, least=1), "wording that names one cause as certain", needed=True
        ),
        "hard": Key(ListOf(WORDING), "words that a homeowner may not know", needed=True),
        "never": Key(_TEXTS, "never-lines shown on every page", needed=True),
        "says": Key(SAYS, "words by which answers agree, deny or doubt", model.Says()),
    },
)

URGENCY = Record(
    model.Urgency,
    {
        "rank": Key(Number(0), "0 is the most urgent", needed=True),
        "say": Key(Text(), "as the reader sees it", needed=True),
        "advice": Key(Text(), "one sentence on what it means", needed=True),
    },
)

SOURCE = Record(
    model.Source,
    {
        "title": Key(Text(), "what it is", needed=True),
        "by": Key(Text(), "who published it", needed=True),
        "year": Key(Text(), "year, or `undated`", "undated"),
        "seen": Key(
            OneOf(("original", "secondary-copy", "from-memory", "common-practice")),
            "how we know it",
            needed=True,
        ),
        "note": Key(Text(), "what it is used for", ""),
    },
)

CAUSE = Record(
    model.Cause,
    {
        "name": Key(Text(), "in a technician's words", needed=True),
        "plain": Key(Text(), "in a homeowner's words, without part names", needed=True),
        "frequency": Key(
            OneOf(("very-common", "common", "occasional", "rare")), "judged", needed=True
        ),
        "mended-by": Key(Id(), "who may mend it", needed=True),
        "bring": Key(_TEXTS, "what the technician brings", ()),
        "root": Key(Text(), "the question that stops a mere swap of parts", needed=True),
        "source": _SOURCE,
    },
)

WHO = Record(model.Who, {"say": Key(Text(), "in plain words", needed=True)}, short="say")

BASIS = Record(
    model.Basis,
    {
        "source": Key(_SOME_IDS, "sources, or `common-practice`", needed=True),
        "reviewed": Key(Date(), "the day on which it was last looked at", needed=True),
    },
)

PLACE = Record(
    model.Place,
    {
        "name": Key(Text(), "its name", needed=True),
        "emergency": Key(Text(), "the emergency number, where one may be printed", ""),
        "emergency-say": Key(Text(), "how to name it in a sentence", needed=True),
        "gas-say": Key(Text(), "how to name the gas emergency line", needed=True),
        "power-say": Key(Text(), "how to name the electricity company", needed=True),
        "temperature": Key(OneOf(("F", "C")), "which unit is written first", needed=True),
        "length": Key(OneOf(("ft", "m")), "which unit is written first", needed=True),
        "who": Key(MapOf(Text()), "kind of work -> who may do it", needed=True),
        "disclaimer": Key(_TEXTS, "codes, licences, no substitute", needed=True),
        "rests-on": Key(
            MapOf(BASIS),
            "`emergency`, `disclaimer` and each kind of work -> where it comes from",
            needed=True,
        ),
    },
)


def _target(spot: Spot, **parts: Any) -> model.Target:
    """A target at the spot of its name; it has no name where that was refused."""
    go, leave = parts.pop("go"), parts.pop("exit")
    name = go or leave
    return model.Target(name, not go, spot=spot_of(name) if name else spot, **parts)


_TARGET_KEYS = {
    "go": Key(Reference(), "the next page", ""),
    "exit": Key(Id(), "in a shared tree: the exit taken", ""),
    "keep-to": Key(Id(), "boundary for the rest of the walk", ""),
    "hurry": Key(Flag(), "every later page says to call first", False),
}
_NO_TARGET: dict[str, Any] = {"go": "", "exit": "", "keep_to": "", "hurry": False}


def _one_target(node: Node, desk: Desk) -> None:
    if not isinstance(node, Fields):
        return
    there = [key.text for key, _ in node.entries if key.text in ("go", "exit")]
    if not there:
        desk.report(node.spot, "missing-key", "the key `go` is missing here", "add `go`: where to")
    if len(there) > 1:
        message = "`go` and `exit` can't both be here"
        desk.report(node.spot, "contradiction", message, "delete one of them")


class _TargetShape:
    """A target: its name alone, or a record with `keep-to` and `hurry`."""

    keys = _TARGET_KEYS
    record = Record(_target, keys, short="go")

    def read(self, node: Node, desk: Desk) -> model.Target | None:
        _one_target(node, desk)
        target: model.Target | None = self.record.read(node, desk)
        return target

    def blank(self, spot: Spot) -> model.Target:
        return _target(spot, **_NO_TARGET)


_TARGET = _TargetShape()


def _answer(spot: Spot, **parts: Any) -> model.Answer:
    own = {"say": parts.pop("say"), "values": parts.pop("is"), "drawing": parts.pop("drawing")}
    return model.Answer(**own, target=_target(spot, **parts), spot=spot)


class _AnswerShape:
    """An answer: what is said, what it records, where it goes."""

    keys: ClassVar = {
        "say": Key(Text(), "the answer, clear out of context", needed=True),
        "is": Key(_SOME_IDS, "values of the finding, `unsure` or `not-done`", needed=True),
        "drawing": _DRAWING,
        **_TARGET_KEYS,
    }
    record = Record(_answer, keys)

    def read(self, node: Node, desk: Desk) -> model.Answer | None:
        _one_target(node, desk)
        answer: model.Answer | None = self.record.read(node, desk)
        return answer

    def blank(self, spot: Spot) -> model.Answer:
        return model.Answer("", (), "", _target(spot, **_NO_TARGET), spot)


_ANSWERS = ListOf(_AnswerShape(), least=1)


_COMMON = {
    "why": Key(Text(), "what this tells us", ""),
    "source": _SOURCE,
    "drawing": _DRAWING,
    "cautions": Key(ListOf(CAUTION), "safety messages", ()),
    "speak": Key(ListOf(_SPOKEN), "what an agent says instead, on the telephone", ()),
}

STEP_KEYS: dict[str, dict[str, Key]] = {
    "ask": {
        "ask": Key(Text(), "the question: look, listen, read, smell or tell", needed=True),
        "look": Key(_TEXTS, "where and how to look", ()),
        "at": Key(Id(), "where the person must be", needed=True),
        "finding": Key(Id(), "what the answers record", needed=True),
        "answers": Key(_ANSWERS, "the choices", needed=True),
        **_COMMON,
    },
    "check": {
        "check": Key(Id(), "a check of the catalogue", needed=True),
        "look": Key(_TEXTS, "what more to say here", ()),
        "answers": Key(_ANSWERS, "what may have happened", needed=True),
        **_COMMON,
    },
    "tell": {
        "tell": Key(Text(), "the headline", needed=True, name="ask"),
        "look": Key(_TEXTS, "what more to say", ()),
        **_TARGET_KEYS,
        **_COMMON,
    },
    "use": {
        "use": Key(Id(), "a shared tree", needed=True, name="uses"),
        "exits": Key(MapOf(_TARGET), "each of its exits -> where to go", needed=True),
    },
}
_KINDS = {"ask": "question", "check": "check", "tell": "note", "use": "use"}


_BLANK_STEP: dict[str, Any] = {
    "ask": "", "look": (), "why": "", "at": "", "finding": "", "check": "", "drawing": "",
    "cautions": (), "answers": (), "uses": "", "exits": {}, "source": (), "speak": (),
}  # fmt: skip


def _step(kind: str, id: Located, parts: dict[str, Any]) -> model.Step:
    return model.Step(id=id, kind=kind, spot=id.spot, **{**_BLANK_STEP, **parts})


def _parts(spot: Spot, **parts: Any) -> dict[str, Any]:
    return parts


def _as_note(parts: dict[str, Any], spot: Spot) -> dict[str, Any]:
    """A note's parts with its target turned into the one answer that it has."""
    going = _target(spot, **{name: parts.pop(name) for name in _NO_TARGET})
    return {**parts, "answers": (model.Answer("", (), "", going, going.spot),)}


class _StepShape:
    """A step: a question (`ask`), a check, a note (`tell`) or a shared tree (`use`)."""

    records: ClassVar = {mark: Record(_parts, keys) for mark, keys in STEP_KEYS.items()}

    def read(self, node: Node, desk: Desk, given: Given = None) -> model.Step | None:
        if not isinstance(node, Fields):
            wrong(node, "a step (with `ask`, `check`, `tell` or `use`)", desk)
            return None
        marks = [key.text for key, _ in node.entries if key.text in STEP_KEYS]
        if len(marks) != 1:
            _no_mark(node, desk, marks)
            return None
        parts = self.records[marks[0]].read(node, desk)
        if marks[0] == "tell":
            _one_target(node, desk)
            parts = _as_note(parts, node.spot)
        return _step(_KINDS[marks[0]], (given or {})["id"], parts)

    def blank(self, spot: Spot, given: Given = None) -> model.Step:
        return _step("note", (given or {})["id"], {})


def _no_mark(node: Fields, desk: Desk, marks: list[str]) -> None:
    message = "a step needs exactly one of `ask`, `check`, `tell` and `use`"
    hints = [near(key.text, STEP_KEYS) for key, _ in node.entries if key.text not in STEP_KEYS]
    found = f"keep one of {' and '.join(f'`{mark}`' for mark in marks)}" if marks else ""
    mend = found or next((hint for hint in hints if hint), "add one of them")
    desk.report(node.spot, "wrong-type", message, mend)


LEAVE = Record(
    model.Leave,
    {
        "state": Key(OneOf(model.LEAVE_STATES), "how the unit is left", needed=True),
        "until": Key(Text(), "until when, in plain words", needed=True),
    },
)

OUTCOME = Record(
    model.Outcome,
    {
        "kind": Key(OneOf(model.KINDS), "how it ends", needed=True),
        "from": Key(
            OneOf(("house", "thing", "nobody")), "danger from what", "", name="danger_from"
        ),
        "title": Key(Text(), "the headline", needed=True),
        "urgency": Key(Id(), "how soon", ""),
        "hurry-urgency": Key(Id(), "how soon with somebody at risk", ""),
        "say": Key(_TEXTS, "two sentences to say to whoever answers", ()),
        "do": Key(_TEXTS, "what to do now, or for the next hour", ()),
        "gate": Key(Text(), "the link that says: outside and away", ""),
        "after": Key(_TEXTS, "what to do behind the gate", ()),
        "leave": Key(LEAVE, "how the unit is left", None),
        "who": Key(Id(), "who may do the work", ""),
        "causes": Key(_IDS, "likely causes, most likely first", ()),
        "never": Key(_TEXTS, "what never to do", ()),
        "drawing": _DRAWING,
        "source": _SOURCE,
    },
)

REVIEW = Record(
    model.Review,
    {
        "role": Key(Text(), "role of the reviewer", needed=True),
        "licence": Key(Text(), "kind of licence", needed=True),
        "on": Key(Date(), "date", needed=True),
        "due": Key(Date(), "next date", needed=True),
    },
)


def _tree(spot: Spot, **parts: Any) -> model.Tree:
    return model.Tree(spot=parts["id"].spot, **parts)


_TREE_KEYS = {
    "tree": Key(Id(), "id: the file's own name", needed=True, name="id"),
    "role": Key(OneOf(("complaint", "part", "shared", "danger")), "what it is for", needed=True),
    "title": Key(Text(), "the complaint in the homeowner's words", needed=True),
    "words": Key(_TEXTS, "what people say who have it", ()),
    "under": Key(OneOf(model.HEADINGS), "where the start page lists it", "any"),
    "equipment": Key(Text(), "which equipment it is for", ""),
    "starts-with": Key(Id(), "the first step", ""),
    "exits": Key(_IDS, "named exits of a shared tree", ()),
    "steps": Key(MapOf(_StepShape(), keyed="id"), "the steps by id", {}),
    "outcomes": Key(MapOf(OUTCOME, keyed="id"), "the outcomes by id", {}),
    "renamed": Key(MapOf(Id()), "old step id -> new", {}),
    "review": Key(REVIEW, "who looked it over", None),
    "places": Key(
        ListOf(Id(), least=1, once=True), "where the complaint is met; left out: everywhere", ()
    ),
}

TREE = Record(_tree, _TREE_KEYS)

EQUIPMENT = Record(
    model.Equipment,
    {
        "name": Key(Text(), "as a sentence names it: the furnace", needed=True),
        "label": Key(Text(), "what a label on it asks", needed=True),
        "look": Key(Text(), "how to recognize it", needed=True),
        "complaints": Key(_SOME_IDS, "what may be noticed at it", needed=True),
        "trees": Key(_IDS, "those about it, which companies may leave to others", ()),
    },
)

CARD = Record(
    model.Card,
    {
        "key": Key(OneOf(model.CARD_KEYS), "the letter that brings it", needed=True),
        "name": Key(Text(), "when it is wanted", needed=True),
        "say": Key(ListOf(_SPOKEN, least=1), "what the agent says", needed=True),
        "do": Key(_TEXTS, "what the agent does", ()),
    },
)

INSTEAD = Record(
    model.Instead,
    {
        "written": Key(Text(), "a stretch of written texts, letter by letter", needed=True),
        "spoken": Key(_SPOKEN, "what an agent says in its place", needed=True),
    },
)

CALLS = Record(
    model.Calls,
    {
        "first": Key(_SPOKEN, "the first words of every call: about danger", needed=True),
        "there": Key(_SPOKEN, "is the caller at the house?", needed=True),
        "repeat": Key(_SPOKEN, "has the caller say back what they will do", needed=True),
        "back-minutes": Key(Number(1), "when somebody outside is called back", needed=True),
        "cards": Key(MapOf(CARD, keyed="id"), "when a call doesn't go its way", {}),
        "nobody": Key(_SOME_TEXTS, "what the agent does if nobody answers then", needed=True),
        "instead": Key(ListOf(INSTEAD), "written words that are said in another way", ()),
        "hedges": Key(_TEXTS, "what a vague practice caller says at first", ()),
    },
)

WAIT_ANSWER = Record(
    model.WaitAnswer,
    {
        "say": Key(Text(), "the answer", needed=True),
        "to": Key(Id(), "danger, reckon, or a part of the page", needed=True),
    },
)

WAIT_LINE = Record(
    model.WaitLine,
    {
        "at": Key(Number(whole=False), "°F", needed=True),
        "say": Key(Text(), "what it means", needed=True),
        "source": Key(_SOME_IDS, "where that is from", needed=True),
    },
)

WAIT_PART = Record(
    model.WaitPart,
    {
        "title": Key(Text(), "the heading", needed=True),
        "do": Key(_TEXTS, "what to do", ()),
        "never": Key(_TEXTS, "what not to do", ()),
        "source": Key(_SOME_IDS, "where it is from", needed=True),
    },
)

WAIT = Record(
    model.Wait,
    {
        "title": Key(Text(), "the headline", needed=True),
        "lead": Key(_TEXTS, "what stands below it", ()),
        "ask": Key(Text(), "what is asked first", needed=True),
        "answers": Key(ListOf(WAIT_ANSWER, least=1), "its answers", needed=True),
        "lines": Key(ListOf(WAIT_LINE, least=1), "temperatures, in order", needed=True),
        "parts": Key(MapOf(WAIT_PART, keyed="id"), "what to do meanwhile", needed=True),
    },
)

CATALOGUE_FILES: dict[str, dict[str, Shape]] = {
    "findings": {"findings": MapOf(FINDING, keyed="id")},
    "checks": {"effects": MapOf(EFFECT, keyed="id"), "checks": MapOf(CHECK, keyed="id")},
    "hazards": {"hazards": MapOf(HAZARD, keyed="id")},
    "boundary": {"rulebook": RULEBOOK},
    "urgency": {"urgencies": MapOf(URGENCY, keyed="id"), "who": MapOf(WHO, keyed="id")},
    "causes": {"causes": MapOf(CAUSE, keyed="id")},
    "places": {"places": MapOf(PLACE, keyed="id")},
    "sources": {"sources": MapOf(SOURCE, keyed="id")},
    "equipment": {"equipment": MapOf(EQUIPMENT, keyed="id")},
    "calls": {"calls": CALLS},
    "waiting": {"waiting": MapOf(WAIT, keyed="id")},
}
"""File stem -> the keys at its top, which are the fields of `Catalogue`."""

OPTIONAL_FILES = ("equipment", "waiting")
"""Those that may be missing: nothing is in the catalogue then under their keys."""
