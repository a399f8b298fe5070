"""Operators that seed a defect into correct trees, and edits that change no meaning.

Operators of harm may hurt somebody, which the oracle decides. Those of policy are wrong by
construction: each breaks one rule that no oracle of harm would see. Every operator finds all places
where it can be applied; the runs draw from them.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import permutations
from typing import Any

from mutants.bases import ENDING, Files, Texts

Change = Callable[[Texts], None]


@dataclass(frozen=True)
class Mutant:
    """One change of one file, or of all."""

    about: str
    file: str
    """Empty: `change` gets a mapping of all files."""
    change: Callable[[Any], None]

    def of(self, files: Files) -> Files:
        """The files with the change; the given ones stay as they are."""
        if not self.file:
            changed = copy.deepcopy(files)
            self.change(changed)
            return changed
        changed = dict(files)
        changed[self.file] = copy.deepcopy(files[self.file])
        self.change(changed[self.file])
        return changed


Operator = Callable[[Files], Iterator[Mutant]]

# ---- places in a tree ----

AIM = ("go", "exit", "keep-to", "hurry")
"""Keys that say where an answer leads."""
Path = tuple[Any, ...]


def trees(files: Files) -> Iterator[tuple[str, Texts]]:
    """Every tree with steps."""
    for name, data in files.items():
        if not name.startswith("catalogue/") and data.get("steps"):
            yield name, data


def steps(files: Files) -> Iterator[tuple[str, str, Texts]]:
    """(file, id, step)."""
    for name, tree in trees(files):
        for key, step in tree["steps"].items():
            yield name, key, step


def answers(files: Files) -> Iterator[tuple[str, str, int, Texts]]:
    """(file, step, number, answer)."""
    for name, key, step in steps(files):
        for number, answer in enumerate(step.get("answers", ())):
            yield name, key, number, answer


def outcomes(files: Files) -> Iterator[tuple[str, str, Texts]]:
    """(file, id, outcome)."""
    for name, data in files.items():
        if not name.startswith("catalogue/"):
            for key, outcome in (data.get("outcomes") or {}).items():
                yield name, key, outcome


def values(answer: Texts) -> list[str]:
    """What an answer records."""
    found = answer.get("is", [])
    return found if isinstance(found, list) else [found]


def listed(data: Texts, key: str) -> list[str]:
    """A list that may be written as one value."""
    found = data.get(key, [])
    return list(found) if isinstance(found, list) else [found]


def at(tree: Texts, path: Path) -> Any:
    """What stands there."""
    for part in path:
        tree = tree[part]
    return tree


def aim(holder: Texts, target: Texts) -> None:
    """Let an answer lead where another one leads."""
    for key in AIM:
        holder.pop(key, None)
    holder.update({key: target[key] for key in AIM if key in target})


def aimed(name: str, path: Path, target: Texts, about: str) -> Mutant:
    """A mutant in which one answer leads elsewhere."""
    where = ".".join(str(part) for part in path)
    kept = {key: target[key] for key in AIM if key in target}
    return Mutant(f"{where} {about}", name, lambda tree: aim(at(tree, path), kept))


def holders(tree: Texts) -> Iterator[tuple[Path, Texts]]:
    """Everything in a tree that leads on: answers, notes, and exits of shared trees."""
    for key, step in tree["steps"].items():
        if "go" in step or "exit" in step:
            yield ("steps", key), step
        for number, answer in enumerate(step.get("answers", ())):
            yield ("steps", key, "answers", number), answer
        for name, target in (step.get("exits") or {}).items():
            if isinstance(target, dict):
                yield ("steps", key, "exits", name), target


# ---- harm ----


def leads_anywhere(files: Files) -> Iterator[Mutant]:
    """An answer leads to another step or ending of its tree."""
    for name, tree in trees(files):
        there = [*tree["steps"], *(tree.get("outcomes") or {})]
        for path, holder in holders(tree):
            for to in there:
                if holder.get("go") != to:
                    yield aimed(name, path, {"go": to}, f"-> {to}")


def answers_exchanged(files: Files) -> Iterator[Mutant]:
    """Two answers of a step lead where the other one did."""
    for name, key, step in steps(files):
        found = step.get("answers", ())
        for one, other in permutations(range(len(found)), 2):
            if one < other and _aims(found[one]) != _aims(found[other]):
                yield Mutant(f"{key} {one}<->{other}", name, _exchange(key, one, other))


def _aims(holder: Texts) -> dict[str, Any]:
    return {key: holder[key] for key in AIM if key in holder}


def _exchange(key: str, one: int, other: int) -> Change:
    def change(tree: Texts) -> None:
        found = tree["steps"][key]["answers"]
        first, second = _aims(found[one]), _aims(found[other])
        aim(found[one], second)
        aim(found[other], first)

    return change


def step_skipped(files: Files) -> Iterator[Mutant]:
    """What led to a step leads where one of its answers leads."""
    for name, tree in trees(files):
        for path, holder in holders(tree):
            skipped = tree["steps"].get(holder.get("go"))
            for answer in (skipped or {}).get("answers", ()):
                if _aims(answer) != _aims(holder):
                    yield aimed(name, path, answer, f"past {holder['go']}")


def begins_later(files: Files) -> Iterator[Mutant]:
    """A tree begins with another step than the one that asks about danger or people."""
    for name, tree in trees(files):
        for key in tree["steps"]:
            if key != tree["starts-with"]:

                def change(tree: Texts, key: str = key) -> None:
                    tree["starts-with"] = key

                yield Mutant(f"starts with {key}", name, change)


SCREEN = "shared/danger-screen"


def _dangers(files: Files) -> Iterator[tuple[str, int, Texts, Texts]]:
    """(step, number, answer, harmless answer) of each answer that tells of danger, or of doubt."""
    endings = files[SCREEN].get("outcomes", {})
    for key, step in files[SCREEN]["steps"].items():
        harmless = [a for a in step.get("answers", ()) if a.get("go") not in endings]
        for number, answer in enumerate(step.get("answers", ())):
            for other in harmless[:2]:
                if answer.get("go") in endings:
                    yield key, number, answer, other


def danger_goes_on(files: Files) -> Iterator[Mutant]:
    """Danger, or doubt about it, leads on as if there were none."""
    for key, number, _, other in _dangers(files):
        yield aimed(SCREEN, ("steps", key, "answers", number), other, "goes on")


def danger_resized(files: Files) -> Iterator[Mutant]:
    """Danger leads to the page for another one."""
    endings = files[SCREEN].get("outcomes", {})
    seen = set()
    for key, number, answer, _ in _dangers(files):
        for to in endings:
            if to != answer["go"] and (key, number, to) not in seen:
                seen.add((key, number, to))
                path = ("steps", key, "answers", number)
                yield aimed(SCREEN, path, {"go": to}, f"{answer['go']} -> {to}")


def doubt_is_bold(files: Files) -> Iterator[Mutant]:
    """ "Not sure" leads where a sure answer leads."""
    for name, key, number, answer in answers(files):
        if "unsure" in values(answer):
            for other in files[name]["steps"][key]["answers"]:
                if _aims(other) != _aims(answer):
                    yield aimed(name, ("steps", key, "answers", number), other, "as if sure")


def asked_once_more(files: Files) -> Iterator[Mutant]:
    """ "Not sure" is asked once more, and an answer that is then sure leads to another place."""
    for name, key, number, answer in answers(files):
        tree = files[name]
        if "unsure" not in values(answer) or "ask" not in tree["steps"][key] or name == SCREEN:
            continue
        for other, sure in enumerate(tree["steps"][key]["answers"]):
            for to in (*tree["steps"], *(tree.get("outcomes") or {})):
                if other != number and to not in (key, sure.get("go")):
                    change = _ask_more(key, number, other, to)
                    yield Mutant(f"{key} once more, {other} -> {to}", name, change)


def _ask_more(key: str, doubt: int, other: int, to: str) -> Change:
    def change(tree: Texts) -> None:
        again = copy.deepcopy(tree["steps"][key])
        aim(again["answers"][other], {"go": to})
        tree["steps"]["once-more"] = again
        aim(tree["steps"][key]["answers"][doubt], {"go": "once-more"})

    return change


def answer_dropped(files: Files) -> Iterator[Mutant]:
    """A step lacks an answer."""
    for name, key, number, _ in answers(files):

        def change(tree: Texts, key: str = key, number: int = number) -> None:
            del tree["steps"][key]["answers"][number]

        yield Mutant(f"{key} without {number}", name, change)


def answers_gone(files: Files) -> Iterator[Mutant]:
    """A step has no answer at all."""
    for name, key, step in steps(files):
        if step.get("answers"):

            def change(tree: Texts, key: str = key) -> None:
                tree["steps"][key]["answers"] = []

            yield Mutant(f"{key} without answers", name, change)


def done_again(files: Files) -> Iterator[Mutant]:
    """What may be done once is offered again: its answers lead back to it, or to its like."""
    checks = files["catalogue/checks"]["checks"]
    effects = files["catalogue/checks"]["effects"]

    def once(step: Texts) -> bool:
        known = checks.get(step.get("check"), {})
        return any(effects[each].get("once") for each in listed(known, "effects"))

    for name, tree in trees(files):
        again = [key for key, step in tree["steps"].items() if once(step)]
        for key in again:
            for number in range(len(tree["steps"][key]["answers"])):
                for to in again:
                    path = ("steps", key, "answers", number)
                    yield aimed(name, path, {"go": to}, f"again {to}")


def leads_back(files: Files) -> Iterator[Mutant]:
    """An answer leads back to a step that leads here."""
    for name, tree in trees(files):
        before: dict[str, list[str]] = {}
        for path, holder in holders(tree):
            before.setdefault(holder.get("go", ""), []).append(path[1])
        for path, _ in holders(tree):
            for to in {*before.get(path[1], ()), path[1]}:
                yield aimed(name, path, {"go": to}, f"back to {to}")


def order_turned(files: Files) -> Iterator[Mutant]:
    """Two steps that follow each other come in the other order."""
    for name, tree in trees(files):
        for first, step in tree["steps"].items():
            for second in {answer.get("go") for answer in step.get("answers", ())}:
                if tree["steps"].get(second, {}).get("answers"):
                    yield Mutant(f"{second} before {first}", name, _turn(first, second))


def _turn(first: str, second: str) -> Change:
    def change(tree: Texts) -> None:
        found = tree["steps"]
        on = next(
            (a for a in found[second]["answers"] if a.get("go") not in (first, second)),
            found[second]["answers"][0],
        )
        on = dict(_aims(on))
        for path, holder in list(holders(tree)):
            if holder.get("go") == first and path[1] not in (first, second):
                holder["go"] = second
        if tree["starts-with"] == first:
            tree["starts-with"] = second
        for answer in found[second]["answers"]:
            if _aims(answer) == on:
                aim(answer, {"go": first})
        for answer in found[first]["answers"]:
            if answer.get("go") == second:
                aim(answer, on)

    return change


def number_too_early(files: Files) -> Iterator[Mutant]:
    """A page that tells to get out has a number to dial before that."""
    for name, key, outcome in outcomes(files):
        if "gate" in outcome:
            for place in range(len(listed(outcome, "do")) + 1):

                def change(tree: Texts, key: str = key, place: int = place) -> None:
                    do = listed(tree["outcomes"][key], "do")
                    do.insert(place, "Call {emergency}.")
                    tree["outcomes"][key]["do"] = do

                yield Mutant(f"{key} number at {place}", name, change)


def called_solved(files: Files) -> Iterator[Mutant]:
    """An ending that sends for somebody says that all is well."""
    for name, key, outcome in outcomes(files):
        if outcome["kind"] in ("call", "watch"):

            def change(tree: Texts, key: str = key) -> None:
                found = tree["outcomes"][key]
                found["kind"] = "solved"
                for each in ("say", "who", "causes", "hurry-urgency"):
                    found.pop(each, None)

            yield Mutant(f"{key} solved", name, change)


FORBIDDEN = (
    "Change the fuse on the board.",
    "Jumper the two wires.",
    "Light the pilot again.",
    "Take off the inner cover.",
    "Touch the two wires together.",
    "Bypass the door switch.",
    "Hold the door switch in.",
    "Turn the gas valve off and on.",
    "Unscrew the burner door.",
    "Press the red reset button.",
)
COMMANDS = (
    "Pull the panel off first.",
    "Open the furnace door and look in.",
    "Flip the breaker off and on.",
    "Press the small button inside.",
    "Switch it off and on.",
    "Remove the filter.",
    "Slide the door up.",
)


def _told(files: Files, lines: tuple[str, ...], *, endings: bool) -> Iterator[Mutant]:
    for name, key, step in steps(files):
        if "use" not in step:
            for line in lines:
                yield Mutant(f"{key}: {line}", name, put("steps", key, "look", line))
    for name, key, _ in outcomes(files) if endings else ():
        for line in lines:
            yield Mutant(f"{key}: {line}", name, put("outcomes", key, "do", line))


def put(part: str, key: str, where: str, line: str) -> Change:
    def change(tree: Texts) -> None:
        tree[part][key][where] = [*listed(tree[part][key], where), line]

    return change


def forbidden_told(files: Files) -> Iterator[Mutant]:
    """A step or ending tells to do what nobody at home may do."""
    yield from _told(files, FORBIDDEN, endings=True)


def commanded(files: Files) -> Iterator[Mutant]:
    """A question tells in passing to do something."""
    yield from _told(files, COMMANDS, endings=False)


def texts_exchanged(files: Files) -> Iterator[Mutant]:
    """A "yes" and a "no", or a doubt and an answer, have each other's words."""
    for name, key, step in steps(files):
        found = step.get("answers", ())
        for one, first in enumerate(found):
            for other, second in enumerate(found[one + 1 :], one + 1):
                if _plain(first) and _plain(second) and _plain(first) != _plain(second):
                    yield Mutant(f"{key} words {one}<->{other}", name, _swap_words(key, one, other))


def _plain(answer: Texts) -> str:
    text = answer.get("say", "").lower()
    starts = {"yes": ("yes",), "no": ("no ", "no,", "none", "nobody")}
    found = next((word for word, begin in starts.items() if text.startswith(begin)), "")
    return "doubt" if "not sure" in text else found


def _swap_words(key: str, one: int, other: int) -> Change:
    def change(tree: Texts) -> None:
        found = tree["steps"][key]["answers"]
        found[one]["say"], found[other]["say"] = found[other]["say"], found[one]["say"]

    return change


def exits_exchanged(files: Files) -> Iterator[Mutant]:
    """Two exits of a shared tree lead where the other one did."""
    for name, key, step in steps(files):
        exits = step.get("exits") or {}
        for one, other in permutations(exits, 2):
            if one < other and exits[one] != exits[other]:

                def change(tree: Texts, key: str = key, one: str = one, other: str = other) -> None:
                    found = tree["steps"][key]["exits"]
                    found[one], found[other] = found[other], found[one]

                yield Mutant(f"{key} exits {one}<->{other}", name, change)


def limit_lifted(files: Files) -> Iterator[Mutant]:
    """After a puddle, or where somebody can't walk, hands are asked for again."""
    for name, tree in trees(files):
        for path, holder in holders(tree):
            if "keep-to" in holder:
                target = {key: value for key, value in holder.items() if key == "go"}
                yield aimed(name, path, target, "without keep-to")


def other_check(files: Files) -> Iterator[Mutant]:
    """A step shows another check, with the same answers."""
    checks = files["catalogue/checks"]["checks"]
    for name, key, step in steps(files):
        for check in checks:
            if step.get("check") and check != step["check"]:

                def change(tree: Texts, key: str = key, check: str = check) -> None:
                    tree["steps"][key]["check"] = check

                yield Mutant(f"{key} -> {check}", name, change)


def nothing_to_do(files: Files) -> Iterator[Mutant]:
    """An ending in danger doesn't say what to do."""
    for name, key, outcome in outcomes(files):
        if outcome["kind"] == "danger":
            yield Mutant(f"{key} without do", name, _drop("outcomes", key, "do"))


def _drop(part: str, key: str, what: str) -> Change:
    def change(tree: Texts) -> None:
        tree[part][key].pop(what, None)

    return change


def check_not_offered(files: Files) -> Iterator[Mutant]:
    """A check that a step shows is not among those offered: its page goes, or is refused."""
    used = {step.get("check") for _, _, step in steps(files)} - {None}
    for check in sorted(used):

        def change(data: Texts, check: str = check) -> None:
            for each in data["rulebook"]["boundaries"].values():
                if check in each.get("checks", ()):
                    each["checks"].remove(check)

        yield Mutant(f"{check} not offered", "catalogue/boundary", change)


HARM: dict[str, Operator] = {
    each.__name__.replace("_", "-"): each
    for each in (
        leads_anywhere,
        answers_exchanged,
        step_skipped,
        begins_later,
        danger_goes_on,
        danger_resized,
        doubt_is_bold,
        asked_once_more,
        answer_dropped,
        answers_gone,
        done_again,
        leads_back,
        order_turned,
        number_too_early,
        called_solved,
        forbidden_told,
        commanded,
        texts_exchanged,
        exits_exchanged,
        limit_lifted,
        other_check,
        nothing_to_do,
        check_not_offered,
    )
}

# ---- policy ----


def _without(kinds: tuple[str, ...], what: str) -> Operator:
    def operator(files: Files) -> Iterator[Mutant]:
        for name, key, outcome in outcomes(files):
            if outcome["kind"] in kinds and what in outcome:
                yield Mutant(f"{key} without {what}", name, _drop("outcomes", key, what))

    return operator


def one_cause(files: Files) -> Iterator[Mutant]:
    """A call names one cause only."""
    for name, key, outcome in outcomes(files):
        if not files[name].get("steps"):
            continue  # Endings that every page's frame leads to say nothing of causes.
        if outcome["kind"] == "call" and len(listed(outcome, "causes")) > 1:

            def change(tree: Texts, key: str = key) -> None:
                found = tree["outcomes"][key]
                found["causes"] = listed(found, "causes")[:1]

            yield Mutant(f"{key} one cause", name, change)


def _line(lines: tuple[str, ...]) -> Operator:
    def operator(files: Files) -> Iterator[Mutant]:
        yield from _told(files, lines, endings=True)

    return operator


def number_without_source(files: Files) -> Iterator[Mutant]:
    """Advice has a number that is from nowhere."""
    for name, key, _ in outcomes(files):

        def change(tree: Texts, key: str = key) -> None:
            found = tree["outcomes"][key]
            found.pop("source", None)
            found["do"] = [*listed(found, "do"), "Wait 37 minutes."]

        yield Mutant(f"{key} 37 minutes", name, change)


def answer_twice(files: Files) -> Iterator[Mutant]:
    """A value has two answers."""
    for name, key, number, answer in answers(files):

        def change(tree: Texts, key: str = key, number: int = number) -> None:
            found = tree["steps"][key]["answers"]
            again = dict(found[number])
            again["say"] = again["say"] + " now"
            found.append(again)

        yield Mutant(f"{key} {values(answer)} twice", name, change)


def step_nobody_reaches(files: Files) -> Iterator[Mutant]:
    """A step is there that nothing leads to."""
    for name, tree in trees(files):

        def change(tree: Texts) -> None:
            tree["steps"]["left-over"] = {"tell": "Thank you.", "go": ENDING}

        if tree["steps"]:
            yield Mutant("left-over", name, change)


def check_asks_less(files: Files) -> Iterator[Mutant]:
    """A check lacks a requirement of one of its hazards."""
    hazards = files["catalogue/hazards"]["hazards"]
    for key, check in files["catalogue/checks"]["checks"].items():
        wanted = [c for h in listed(check, "hazards") for c in hazards[h].get("requires", ())]
        for number, clause in enumerate(check.get("requires", ())):
            others = [c for c in check["requires"] if c is not clause]
            if clause in wanted and not any(_implies(each, clause) for each in others):

                def change(data: Texts, key: str = key, number: int = number) -> None:
                    del data["checks"][key]["requires"][number]

                yield Mutant(f"{key} without {clause}", "catalogue/checks", change)


def _implies(clause: Texts, other: Texts) -> bool:
    """Whether what meets one requirement meets the other, too."""
    return all(
        finding in other and set(listed(clause, finding)) <= set(listed(other, finding))
        for finding in clause
    )


def _answer_without(value: str) -> Operator:
    def operator(files: Files) -> Iterator[Mutant]:
        for name, key, number, answer in answers(files):
            if values(answer) == [value]:

                def change(tree: Texts, key: str = key, number: int = number) -> None:
                    del tree["steps"][key]["answers"][number]

                yield Mutant(f"{key} without {value}", name, change)

    return operator


def asked_again(files: Files) -> Iterator[Mutant]:
    """A fact that nothing changes is asked twice, one after the other."""
    findings = files["catalogue/findings"]["findings"]
    for name, key, step in steps(files):
        known = findings.get(step.get("finding"), {})
        dangers = [v for v in known.get("values", {}).values() if "danger" in v]
        if not known or dangers or "ask" not in step:
            continue

        def change(tree: Texts, key: str = key) -> None:
            again = copy.deepcopy(tree["steps"][key])
            tree["steps"]["asked-again"] = again
            for answer in tree["steps"][key]["answers"]:
                aim(answer, {"go": "asked-again"})

        yield Mutant(f"{key} twice", name, change)


def far_too_long(files: Files) -> Iterator[Mutant]:
    """Two hundred notes stand before the first step."""
    for name, tree in trees(files):
        if tree.get("role") == "complaint":

            def change(tree: Texts) -> None:
                first = tree["starts-with"]
                for number in range(150):
                    to = f"note-{number + 1}" if number < 149 else first
                    tree["steps"][f"note-{number}"] = {"tell": f"Note {number}.", "go": to}
                for each in tree["steps"].values():
                    exits = each.get("exits") or {}
                    if "clear" in exits:
                        exits["clear"], tree["steps"]["note-149"] = (
                            {"go": "note-0"},
                            {"tell": "Go on.", **_aims(exits["clear"])},
                        )
                        tree["steps"]["note-148"]["go"] = "note-149"
                        return
                for number in range(150):
                    del tree["steps"][f"note-{number}"]

            yield Mutant("150 notes", name, change)


POLICY: dict[str, Operator] = {
    "no-urgency": _without(("call", "watch", "danger"), "urgency"),
    "nothing-to-say": _without(("call",), "say"),
    "nobody-named": _without(("call", "watch"), "who"),
    "state-left-out": _without(("call", "watch", "solved", "danger"), "leave"),
    "no-next-hour": _without(("call", "watch"), "do"),
    "one-cause": one_cause,
    "too-sure": _line(("The problem is the fan.", "It must be the board for sure.")),
    "hard-words": _line(("Look at the condensate.", "The inducer and the contactor hum.")),
    "number-without-source": number_without_source,
    "answer-twice": answer_twice,
    "step-nobody-reaches": step_nobody_reaches,
    "check-asks-less": check_asks_less,
    "no-answer-for-doubt": _answer_without("unsure"),
    "no-answer-for-not-done": _answer_without("not-done"),
    "asked-again": asked_again,
    "far-too-long": far_too_long,
}
