"""The safety oracle: reads built pages as a person would, and knows nothing of the generator.

It sees headlines, what to do, answers and where they lead, and searches every way through the pages
together with what a person on that way has told and done. What is hazardous and what it needs is
its own table, written from the trade's stop rules and not from the catalogue; that table, and the
readings of sentences below, are common practice without a source.

Only the standard library is imported here. A test holds that.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from html.parser import HTMLParser

VOID = frozenset(
    ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "wbr")
)
UNREAD = frozenset(("script", "style", "svg", "footer", "header", "template", "button", "head"))


@dataclass(frozen=True, slots=True)
class Answer:
    """What a person can choose."""

    text: str
    to: str
    """Address as written."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A page as it is read."""

    title: str
    do: tuple[str, ...]
    """What to do, on a page of a check, of danger, or at an end."""
    look: tuple[str, ...]
    answers: tuple[Answer, ...]
    is_alarm: bool
    is_end: bool
    """It says how to leave the unit, or what to do in danger."""
    soon: str
    say: tuple[str, ...]
    left: str
    has_call: bool
    """It has a part that says whom to call."""
    has_stop: bool
    """"Stop and call" is one tap away."""
    early_number: bool
    """A number to dial stands before "I am outside and away"."""
    other: tuple[str, ...]
    """All else that is to be read, without lines on what never to do."""


# ---- reading ----


@dataclass(slots=True)
class _Frame:
    tag: str
    classes: frozenset[str]
    id: str
    href: str
    text: list[str] = field(default_factory=list)


class _Reader(HTMLParser):
    """Collects the texts of a page by the part that they stand in."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.stack: list[_Frame] = []
        self.texts: list[tuple[str, str]] = []
        """(part, text) in order."""
        self.classes: set[str] = set()
        self.is_away = False
        self.early_number = False
        self.has_stop = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in VOID:
            return
        known = dict(attrs)
        classes = frozenset((known.get("class") or "").split())
        href = known.get("href") or ""
        self.stack.append(_Frame(tag, classes, known.get("id") or "", href))
        if not self._unread():
            self.classes |= {f"{tag}.{name}" for name in classes}
            self.is_away |= known.get("id") == "away"
            self.early_number |= href.startswith("tel:") and not self.is_away
            in_stop = any("stop" in frame.classes for frame in self.stack)
            self.has_stop |= tag == "a" and in_stop and bool(href)

    def handle_data(self, data: str) -> None:
        if data.strip() and not self._unread():
            for frame in self.stack:
                if frame.tag in ("p", "li", "h1", "h2", "h3", "a"):
                    frame.text.append(data)
                    break

    def handle_endtag(self, tag: str) -> None:
        while self.stack:
            frame = self.stack.pop()
            self._end(frame)
            if frame.tag == tag:
                return

    def _unread(self) -> bool:
        return any(frame.tag in UNREAD for frame in self.stack)

    def _end(self, frame: _Frame) -> None:
        around = set().union(*(each.classes for each in self.stack), frame.classes)
        text = " ".join("".join(frame.text).split())
        if not text:
            return
        if frame.tag == "li" and "answers" in around:
            return
        part = frame.tag
        for name in ("never", "not", "stop-if", "do", "look", "say", "soon", "left", "law", "sign"):
            if name in around:
                part = name
                break
        ids = {each.id for each in self.stack}
        part = "anew" if "anew" in ids or "keep" in around else part
        self.texts.append((part, text))


class _Answers(HTMLParser):
    """Collects the answers of a page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.depth = 0
        self.href: str | None = None
        self.text: list[str] = []
        self.found: list[Answer] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        known = dict(attrs)
        if tag == "ul" and (self.depth or "answers" in (known.get("class") or "").split()):
            self.depth += 1
        if tag == "a" and self.depth:
            self.href, self.text = known.get("href") or "", []

    def handle_data(self, data: str) -> None:
        if self.href is not None:
            self.text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "ul" and self.depth:
            self.depth -= 1
        if tag == "a" and self.href is not None:
            self.found.append(Answer(" ".join("".join(self.text).split()), self.href))
            self.href = None


@lru_cache(maxsize=20_000)
def seen(content: bytes) -> Seen:
    """A page as it is read. Mutants share most of theirs."""
    text = content.decode()
    reader, answers = _Reader(), _Answers()
    reader.feed(text)
    answers.feed(text)

    def of(*parts: str) -> tuple[str, ...]:
        return tuple(said for part, said in reader.texts if part in parts)

    gate = any(answer.to.startswith("#") for answer in answers.found)
    is_alarm = "div.alarm" in reader.classes
    return Seen(
        title=next(iter(of("h1")), ""),
        do=of("do"),
        look=of("look"),
        answers=() if gate else tuple(answers.found),
        is_alarm=is_alarm,
        is_end=is_alarm or "section.left" in reader.classes,
        soon=next((said for said in of("soon") if "How soon" in said), ""),
        say=of("say"),
        left=" ".join(of("left")),
        has_call="section.call" in reader.classes,
        has_stop=reader.has_stop,
        early_number=gate and reader.early_number,
        other=of("p", "h1", "h2", "h3", "li", "sign", "a"),
    )


# ---- what sentences mean ----

ITEMS = {
    "gas": r"\bgas, rotten eggs|smell of gas",
    "co": r"\bCO alarm|\(CO\) alarm|carbon monoxide",
    "ill": r"\bill, dizzy|everyone is well",
    "fire": r"\bsmoke, flame|No smoke",
    "bang": r"\bbang\b",
    "burner": r"generator, grill|nothing like that",
    "alarm": r"smoke alarm or (a )?gas detector|No alarm",
    "lights": r"far too bright|lights are normal",
    "leak": r"leak message|No such message",
    "water": r"touches wires|water on the floor|No water",
}
"""Signs of danger that are asked about, by how they are put."""
ITEM = {name: re.compile(pattern, re.I) for name, pattern in ITEMS.items()}
NO = re.compile(r"^(no\b|none\b|nobody\b|nothing\b)", re.I)
UNSURE = re.compile(r"\bnot sure\b", re.I)
UNABLE = re.compile(r"\bcan't (do|now)\b|\bcan't tell\b", re.I)
NOT_DONE = re.compile(r"^I (can't|have no)\b", re.I)
"""As an answer to what is to be done. A question may well ask for what one can't do, or has not."""
NONE_OF_THESE = re.compile(r"^none of these", re.I)
ONLY_PUDDLE = re.compile(r"^only a puddle", re.I)
OUT = re.compile(r"\b(go|get) out\b", re.I)
AWAY = re.compile(r"\bkeep away\b", re.I)
HOUSE = frozenset(("gas", "co", "ill", "fire", "burner", "alarm"))
"""Out of the house; of the rest, keep away from the thing."""
CALLS_ONLY = frozenset(("bang",))
"""It is not dangerous now: switch off at the thermostat and call."""

TOLD = (
    ("worker", r"working on it|tag or lock", r"^no\b"),
    ("fresh", r"^since it failed, has anyone reset", r"^no\b"),
    ("walk", r"^is all of this true for you", r"^yes\b"),
    ("outside", r"^is it safe to go outside", r"^yes\b"),
    (
        "reason",
        r"^who turned (the switch|that breaker) off",
        r"by mistake|by accident|bumped|I did",
    ),
    ("dark", r"switch the unit off at its own switch", r"dark|still|quiet"),
    ("still", r"outdoor unit off at its breaker", r"still"),
)
TOLD_RE = [(n, re.compile(q, re.I), re.compile(a, re.I)) for n, q, a in TOLD]

ACTS = {
    "heat": r"\bto HEAT\b|\bEM HEAT\b",
    "cool": r"\bto COOL\b",
    "breaker-on": r"^push .*\bON\b",
    "switch-on": r"^turn (it|the).*\bON\b",
    "cut": r"^turn the unit's own switch to OFF|^push .*\bfully to OFF\b",
    "panel": r"^press until the panel",
    "filter": r"^slide the filter out",
    "screens": r"^slide the thin screens",
    "outdoor-hands": r"^pick away leaves|winter cover",
    "pipe-ends": r"away from both ends",
    "light": r"small round window in the metal front",
}
ACT = {name: re.compile(pattern, re.I) for name, pattern in ACTS.items()}

ALL = frozenset(ITEMS)
NEEDS: Mapping[str, frozenset[str]] = {
    "heat": ALL - {"lights"},
    "cool": frozenset(("fire", "bang", "leak", "lights", "water")),
    "breaker-on": ALL | {"worker", "walk"},
    "switch-on": ALL | {"worker"},
    "cut": frozenset(("fire", "lights", "leak", "water")),
    "panel": frozenset(("fire", "bang", "leak", "water", "dark")),
    "filter": frozenset(("fire", "bang", "leak", "water")),
    "screens": frozenset(("fire", "bang", "leak", "water")),
    "outdoor-hands": frozenset(("outside", "walk", "worker", "still", "leak")),
    "pipe-ends": frozenset(("outside", "walk", "gas", "co", "ill")),
    "light": frozenset(),
}
"""Act -> what must have been told before it; signs of danger as absent."""
RISKY = frozenset(NEEDS) - {"light", "cool"}

FORBIDDEN = [
    (re.compile(pattern, re.I), why)
    for pattern, why in (
        (r"\b(replace|change|pull|swap|check|fit) (the |a |that )?(\w+ )?fuse", "a fuse"),
        (r"\bjumper|\bbypass|\bbridge the\b|\btwist (the |two )?wires", "bridging a safety device"),
        (r"\b(light|relight) (the |your |a )?pilot\b(?! (flame )?(is|has|goes|blew))", "the pilot"),
        (r"\b(open|turn|close) (the |a )?gas (valve|cock|pipe)", "a gas part"),
        (r"\btake off the (burner|inner|control|electrical) (cover|door|panel)", "a live part"),
        (r"\bunscrew\b|\bscrewdriver to\b", "a cover that needs a tool"),
        (r"\b(touch|reconnect|move|pull) (the |two |bare )?wires? (together|by hand)", "wires"),
        (r"\bpress the red (reset )?button\b", "the button of an oil burner"),
        (r"\b(tape|wedge|hold) (the )?(switch|door switch|breaker)", "a held switch"),
        (r"\badd refrigerant\b|\btop up the refrigerant", "refrigerant"),
        (r"\bmeasure the voltage|\bmultimeter", "measuring"),
    )
]
COMMAND = re.compile(
    r"^(pull|push|press|flip|turn|open|remove|unplug|take off|slide|switch|reset|lift) ", re.I
)
LATE = {"now": 0, "tonight": 1, "today": 2, "in days": 3, "can wait": 4}


@dataclass(frozen=True, slots=True, order=True)
class Harm:
    """Something that could hurt somebody."""

    kind: str
    page: str
    about: str = ""


# ---- the graph ----


class Site:
    """Pages by address, with where their answers lead."""

    def __init__(self, pages: Mapping[str, bytes]) -> None:
        self.pages = {name: seen(content) for name, content in pages.items()}
        self.next = {
            name: [(answer, _resolved(name, answer.to)) for answer in page.answers]
            for name, page in self.pages.items()
        }

    def acts(self, name: str) -> frozenset[str]:
        """What a page tells to do; pages at the end and of danger have no acts of a walk."""
        page = self.pages[name]
        return frozenset() if page.is_end else _acts(page.do)


@lru_cache(maxsize=20_000)
def _acts(do: tuple[str, ...]) -> frozenset[str]:
    return frozenset(act for act, known in ACT.items() if any(known.search(line) for line in do))


def _resolved(name: str, to: str) -> str:
    path = to.partition("#")[0]
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), path)) if path else name


def harms(pages: Mapping[str, bytes], starts: Iterable[str]) -> frozenset[Harm]:
    """All that is harmful on the pages, walked from each of `starts`."""
    site = Site(pages)
    found = set(_texts(site)) | set(_ends(site)) | set(_ways(site)) | set(_doubts(site))
    found |= set(_walks(site, list(starts)))
    return frozenset(found)


def _texts(site: Site) -> Iterator[Harm]:
    """Sentences that tell to do what nobody at home may do."""
    for name, page in site.pages.items():
        for line in (*page.do, *page.look, *page.say, *page.other):
            for pattern, why in FORBIDDEN:
                if pattern.search(line):
                    yield Harm("forbidden", name, why)
        if page.answers and not page.is_end:
            for line in page.look:
                if COMMAND.search(line) and page.do == ():
                    yield Harm("told-outside-a-check", name, line)


def _ends(site: Site) -> Iterator[Harm]:
    for name, page in site.pages.items():
        if page.early_number:
            yield Harm("number-before-out", name)
        if not page.is_end:
            if not page.has_stop:
                yield Harm("no-way-to-stop", name)
            continue
        if not page.left:
            yield Harm("state-not-said", name)
        if page.is_alarm:
            if not page.do:
                yield Harm("nothing-to-do", name)
            continue
        if not page.soon:
            yield Harm("how-soon-not-said", name)
        if page.has_call and not page.say:
            yield Harm("nothing-to-say", name)


def _ways(site: Site) -> Iterator[Harm]:
    """Answers that lead nowhere, ask nothing, or lead from danger to the wrong place."""
    for name, page in site.pages.items():
        if page.is_end:
            continue
        if not page.answers:
            yield Harm("dead-end", name)
        if len(page.answers) > 1 and not any(UNSURE.search(each.text) for each in page.answers):
            yield Harm("no-answer-for-doubt", name)
        alarms = 0
        for answer, to in site.next[name]:
            there = site.pages.get(to)
            if there is None:
                yield Harm("leads-nowhere", name, answer.text)
            else:
                alarms += there.is_alarm
        asked = _asked(page)
        for answer, to in site.next[name]:
            there = site.pages.get(to)
            if there is not None:
                yield from _misled(name, answer, there, asked, is_list=len(page.answers) > 6)


def _asked(page: Seen) -> str:
    """The sign of danger that a page asks about by itself, or none."""
    if len(page.answers) > 5 or page.do:
        return ""
    return next((item for item, known in ITEM.items() if known.search(page.title)), "")


def _misled(name: str, answer: Answer, there: Seen, asked: str, *, is_list: bool) -> Iterator[Harm]:
    """Danger that is told, or doubt about it, must end the walk, at the right size."""
    item = asked
    if is_list:
        item = next((each for each, known in ITEM.items() if known.search(answer.text)), "")
        if ONLY_PUDDLE.search(answer.text):
            return
    if not item or NO.search(answer.text):
        return
    if item == "water" and re.search(r"\bpuddle\b", answer.text, re.I):
        return
    if not there.is_end:
        yield Harm("danger-goes-on", name, answer.text)
    elif item in HOUSE and not (there.is_alarm and OUT.search(there.title)):
        yield Harm("not-told-to-leave", name, answer.text)
    elif item not in HOUSE | CALLS_ONLY and not (
        there.is_alarm and (AWAY.search(there.title) or OUT.search(there.title))
    ):
        yield Harm("not-kept-away", name, answer.text)


def _doubts(site: Site) -> Iterator[Harm]:
    """Doubt must not lead to an act, or to a later call, that a sure answer never leads to."""
    order = _order(site)
    if order is None:
        yield Harm("endless", "")
        return
    acts: dict[str, frozenset[str]] = {}
    late: dict[str, int] = {}
    for name in order:
        page = site.pages[name]
        after = [to for _, to in site.next[name] if to in acts]
        acts[name] = (site.acts(name) & RISKY).union(*(acts[to] for to in after))
        own = LATE.get(page.soon.partition(":")[2].partition(".")[0].strip(), 0)
        late[name] = max([own, *(late[to] for to in after)])
    for name, page in site.pages.items():
        if page.is_end or len(page.answers) < 2:
            continue
        ways = [(answer, to) for answer, to in site.next[name] if to in acts]
        told = [to for answer, to in ways if _is_sure(page, answer)]
        for answer, to in ways:
            if not UNSURE.search(answer.text) or _is_list(answer):
                continue
            for other in told:
                if not _sets_limit(site.pages[other]):
                    continue
                for doubt in _once_more(site, to, other, told, acts, late):
                    more = acts[doubt] - acts[other]
                    if more:
                        yield Harm("doubt-leads-to-more", name, " ".join(sorted(more)))
                    if late[doubt] > late[other]:
                        yield Harm("doubt-leads-later", name)


def _sets_limit(page: Seen) -> bool:
    """Whether more follows than that it works, or than a danger, which has its own checks."""
    return not page.is_end or (not page.is_alarm and page.has_call and bool(page.say))


def _once_more(
    site: Site,
    to: str,
    careful: str,
    told: list[str],
    acts: Mapping[str, frozenset[str]],
    late: Mapping[str, int],
) -> list[str]:
    """Where doubt leads: if it is asked once more, the places to which doubt leads then.

    It is if an answer there leads to the same place as `careful`, and none goes beyond what the
    first question's own answers lead to.
    """

    def within(one: str, other: str) -> bool:
        return acts[one] <= acts[other] and late[one] <= late[other]

    second = _past_notes(site, to)
    page = site.pages[second]
    if page.is_end or page.do:
        return [to]
    ways = [(answer, there) for answer, there in site.next[second] if there in acts]
    doubts = [there for answer, there in ways if UNSURE.search(answer.text)]
    others = [there for answer, there in ways if not UNSURE.search(answer.text)]
    is_careful = any(_place(site, there) == _place(site, careful) for there in others)
    if not is_careful or not all(any(within(there, one) for one in told) for there in others):
        return [to]
    return doubts or [to]


def _place(site: Site, name: str) -> Hashable:
    """What is the same for endings that are as careful as each other, and for copies of a page."""
    name = _past_notes(site, name)
    page = site.pages[name]
    if page.is_end:
        return (page.is_alarm, bool(OUT.search(page.title)), page.has_call, page.soon)
    return (page.title, page.do, tuple((answer.text, to) for answer, to in site.next[name]))


def _past_notes(site: Site, name: str) -> str:
    """The page itself, or the first after it on which there is something to choose or to do."""
    while len(site.next[name]) == 1 and not site.pages[name].do:
        to = site.next[name][0][1]
        if to not in site.pages:
            break
        name = to
    return name


def _is_sure(page: Seen, answer: Answer) -> bool:
    """Whether it tells something: neither doubt nor that it can't be done."""
    return not UNSURE.search(answer.text) and not _is_unable(page, answer)


def _is_unable(page: Seen, answer: Answer) -> bool:
    """Whether it says that it can't be done, or can't be told."""
    return bool(UNABLE.search(answer.text) or (page.do and NOT_DONE.search(answer.text)))


def _is_list(answer: Answer) -> bool:
    """ "Ask me one by one": more questions, not an answer."""
    return "one by one" in answer.text


def _order(site: Site) -> list[str] | None:
    """Pages with those that they lead to before them, or None if a way goes round."""
    done: dict[str, int] = {}
    order: list[str] = []
    for start in site.pages:
        stack = [(start, iter(site.next[start]))] if start not in done else []
        if stack:
            done[start] = 1
        while stack:
            name, ways = stack[-1]
            for _, to in ways:
                if to not in site.pages:
                    continue
                if done.get(to) == 1:
                    return None
                if to not in done:
                    done[to] = 1
                    stack.append((to, iter(site.next[to])))
                    break
            else:
                done[name] = 2
                order.append(name)
                stack.pop()
    return order


# ---- walks ----

State = frozenset[str]
"""What was told (names of `TOLD`, absent signs of danger) and done on the way."""
MOST = 400_000


def _walks(site: Site, starts: list[str]) -> Iterator[Harm]:
    """Every page with everything that may have been told and done before it."""
    waiting: list[tuple[str, State]] = [(start, frozenset()) for start in starts]
    met: set[tuple[str, State]] = set(waiting)
    while waiting:
        name, state = waiting.pop()
        page = site.pages.get(name)
        if page is None:
            continue
        acts = site.acts(name)
        yield from _done(name, page, acts, state)
        after = _after(acts, state)
        for answer, to in site.next[name]:
            is_done = not _is_unable(page, answer)
            there = (to, _told(page, answer, after if is_done else state))
            if there not in met:
                assert len(met) < MOST, "too many states to search"
                met.add(there)
                waiting.append(there)


def _done(name: str, page: Seen, acts: frozenset[str], state: State) -> Iterator[Harm]:
    is_back = "own-cut" in state
    for act in acts:
        needs = NEEDS[act]
        if act in ("switch-on", "breaker-on") and not is_back:
            needs = needs | {"fresh"}
        for lacking in needs - state:
            yield Harm("not-ruled-out", name, f"{act}: {lacking}")
        if f"did {act}" in state and not is_back:
            yield Harm("done-twice", name, act)
        if act == "light" and "own-cut" in state:
            yield Harm("light-after-cut", name)
    if page.is_end and not page.is_alarm and not page.has_call:
        for thing in ("reset", "opened-flue"):
            if thing in state:
                yield Harm(f"solved-after-{thing}", name)


def _after(acts: frozenset[str], state: State) -> State:
    more: set[str] = set()
    gone: set[str] = set()
    closed = acts & {"switch-on", "breaker-on"}
    if closed:
        if "own-cut" not in state:
            more |= {f"did {act}" for act in closed}
            # A switch that was found off for no harm had opened nothing by itself.
            if "breaker-on" in closed or "cut" in acts:
                more.add("reset")
        gone |= {"own-cut", "dark", "still"}
    elif "cut" in acts:
        more.add("own-cut")
    if "pipe-ends" in acts:
        more.add("opened-flue")
    return (state | more) - gone


def _told(page: Seen, answer: Answer, state: State) -> State:
    told = {name for name, q, a in TOLD_RE if q.search(page.title) and a.search(answer.text)}
    return state | told | _absent(page, answer)


@lru_cache(maxsize=100_000)
def _absent(page: Seen, answer: Answer) -> frozenset[str]:
    """Signs of danger that an answer rules out."""
    if NONE_OF_THESE.search(answer.text) or ONLY_PUDDLE.search(answer.text):
        others = [each.text for each in page.answers if each is not answer]
        named = {n for n, known in ITEM.items() if any(known.search(text) for text in others)}
        return frozenset(named - {"water"} if ONLY_PUDDLE.search(answer.text) else named)
    asked = _asked(page)
    return frozenset((asked,)) if asked and NO.search(answer.text) else frozenset()
