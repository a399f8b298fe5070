"""The proof against walking every path one by one, on many small courses and libraries.

The walker below is another reading of the same rules: it follows answers as a person would, keeps
the shared trees it is inside of in a stack, and works out what is known from the whole history.
"""

from collections import defaultdict
from dataclasses import dataclass, replace
from functools import reduce
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepstop.course import FULL, Course, Mode, Move, Page, lay_out
from stepstop.loader import load
from stepstop.model import (
    NOT_ASKED,
    NOT_DONE,
    UNKNOWNS,
    UNSURE,
    Answer,
    Boundary,
    Check,
    Effect,
    Finding,
    Leave,
    Library,
    Outcome,
    Step,
    Target,
    Tree,
    Value,
)
from stepstop.proof import EFFECT, Proof, lasting
from stepstop.source import NOWHERE, Located, Spot

law = settings(max_examples=250, deadline=None, derandomize=True)

BASE, _ = load(Path(__file__).parents[1] / "rules/base")


# --- The catalogue of these libraries -----------------------------------------------------------


def finding(name, kind, values, *, dangers=None, ends_with=(), implies=None):
    made = {
        v: Value(
            v, v, (dangers or {}).get(v, ""), (implies or {}).get(v, {}), False, False, NOWHERE
        )
        for v in values
    }
    return Finding(name, kind, name, made, (), ends_with, (), NOWHERE)


DANGERS = {"pool": "stay-clear", "wires": "thing"}
FINDINGS = {
    made.id: made
    for made in (
        finding("fact", "fact", ("yes", "no")),
        finding("event", "event", ("yes", "no", "often")),
        finding("danger", "event", ("dry", "pool", "wires"), dangers=DANGERS),
        finding("reading", "reading", ("lit", "dark"), ends_with=("cut",)),
        finding("teller", "fact", ("a", "b"), implies={"a": {"fact": "yes", "event": "often"}}),
        finding("result", "reading", ("went", "stayed"), ends_with=("cut",)),
    )
}
EFFECTS = {
    name: Effect(name, name, once, "", "", NOWHERE) for name, once in (("cut", 0), ("reset", 1))
}


def check(name, at, hazards, effects, changes):
    return Check(
        name, name, at, hazards, (), changes, effects, "result", (), (), (), (), (), "", 1, False,
        (), NOWHERE,
    )  # fmt: skip


CHECKS = {
    made.id: made
    for made in (
        check("easy", "chair", (), ("reset",), {"fact": "no"}),
        check("cutting", "chair", ("heat",), ("cut",), {"reading": "lit"}),
        check("away", "unit", (), ("cut", "reset"), {}),
    )
}
BOUNDARIES = {
    name: Boundary(name, name, checks, hazards, locations, NOWHERE)
    for name, checks, hazards, locations in (
        (FULL, ("easy", "cutting", "away"), ("heat",), ("chair", "unit")),
        ("look", ("easy", "cutting"), (), ("chair", "unit")),
        ("chair", ("easy",), (), ("chair",)),
    )
}


def library_of(trees):
    rulebook = replace(BASE.catalogue.rulebook, boundaries=BOUNDARIES)
    catalogue = replace(
        BASE.catalogue, findings=FINDINGS, effects=EFFECTS, checks=CHECKS, rulebook=rulebook
    )
    return Library(catalogue, {tree.id: tree for tree in trees})


# --- What is known, from the whole history ------------------------------------------------------


def known(name, told):
    """What is known of `name` after it was told the values `told`, in order."""
    if name.startswith(EFFECT):
        return str(min(2, told.count("done")))
    about = FINDINGS[name]
    told = [NOT_ASKED, *told]
    if about.kind != "event":
        return told[-1]
    heaviest = max(weight(about, value) for value in told)
    if heaviest == 0:
        return told[-1]
    return next(value for value in told if weight(about, value) == heaviest)


def weight(event, value):
    """2 for a danger, 1 for a lesser one or another event, 0 where nothing may have happened."""
    if value in UNKNOWNS or value in ("no", "none"):
        return 0
    return {"dry": 0, "wires": 2}.get(value, 1)


def values_after(tracked, moves):
    """The values of the tracked names after these moves: (value, sets, effects) each."""
    told = defaultdict(list)
    for _, sets, effects in moves:
        for name, value in sets.items():
            told[name].append(value)
        for effect in effects:
            told[EFFECT + effect].append("done")
    return tuple(known(name, told[name]) for name in tracked)


OFTEN = ("danger", "danger", "event", *FINDINGS)
"""Events come more often than the rest: what is kept of them needs several moves to show."""
TRACKABLE = (*OFTEN, *(EFFECT + name for name in EFFECTS))
some_names = st.lists(st.sampled_from(TRACKABLE), min_size=1, max_size=3).map(
    lambda names: tuple(dict.fromkeys(names))
)


# --- Courses made at random ---------------------------------------------------------------------

PLAIN = Answer("", (), "", Target("", False, "", False, NOWHERE), NOWHERE)
some_effects = st.sampled_from([(), (), *((name,) for name in EFFECTS)])


@st.composite
def some_sets(draw):
    """Draw what a move sets: up to three findings."""
    names = [draw(st.sampled_from(OFTEN)) for _ in range(draw(st.sampled_from([0, 1, 2, 3])))]
    return {
        name: draw(st.sampled_from((*FINDINGS[name].values, *UNKNOWNS))) for name in sorted(names)
    }


@st.composite
def some_moves(draw, first, last):
    """Draw what leads on to pages between these two numbers, seldom nothing."""
    moves = st.tuples(st.integers(first, last), some_sets(), some_effects)
    return [draw(moves) for _ in range(draw(st.sampled_from([0, 1, 2, 2, 3, 3])))]


@st.composite
def courses(draw, *, acyclic):
    """Draw a course of 1 to 6 pages whose moves set findings and have effects."""
    size = draw(st.sampled_from([1, 2, 4, 5, 6, 6]))
    pages = {}
    for number in range(size):
        first = number + 1 if acyclic else 0
        moves = draw(some_moves(first, size - 1)) if first < size else []
        made = tuple(
            Move(PLAIN, f"v{i}", f"p{to}", sets, effects, Spot("f", number, i))
            for i, (to, sets, effects) in enumerate(moves)
        )
        name = f"p{number}"
        pages[name] = Page(name, "t", name, Mode(FULL, False), None, None, None, "", "", made)
    second = draw(st.sampled_from(["p0", "p0", *pages]))
    roots = tuple(dict.fromkeys(["p0", second]))
    return Course(library_of([]), pages, roots, frozenset(), {}, BOUNDARIES, False)


def paths_of(course, longest):
    """Every path of at most `longest` pages: its page ids and its moves."""
    ahead = [((root,), ()) for root in course.roots]
    while ahead:
        pages, moves = ahead.pop()
        yield pages, moves
        if len(pages) < longest:
            for move in course.pages[pages[-1]].moves:
                ahead.append(((*pages, move.to), (*moves, move)))


def told_by(moves):
    return [(move.value, move.sets, move.effects) for move in moves]


def labels(course, pages, moves):
    """The path as a witness writes it."""
    answers = [f" ({move.value})" for move in moves] + [""]
    names = [f"t > {page}" if page in course.roots else page for page in pages]
    return tuple(name + answer for name, answer in zip(names, answers, strict=True))


@dataclass
class Bad:
    """The shortest bad paths to a page."""

    length: int
    paths: set
    values: set


def bad_by_hand(course, tracked, is_bad, longest, *, first):
    """Page -> its shortest bad paths, found by walking all paths."""
    found = {}
    for pages, moves in paths_of(course, longest):
        if not is_bad(values_after(tracked, told_by(moves))):
            continue
        if first and any(
            is_bad(values_after(tracked, told_by(moves[:i]))) for i in range(len(pages) - 1)
        ):
            continue
        known_bad = found.get(pages[-1])
        if known_bad is None or len(pages) < known_bad.length:
            found[pages[-1]] = known_bad = Bad(len(pages), set(), set())
        if len(pages) == known_bad.length:
            known_bad.paths.add(labels(course, pages, moves))
            known_bad.values.add(values_after(tracked, told_by(moves)))
    return found


def check_against_hand(course, tracked, bad_values, *, longest, first=False):
    """Compare what the proof finds with what all paths up to `longest` pages show."""

    def is_bad(values):
        return values[0] in bad_values

    proof = Proof(course)
    search = proof.first_bad if first else proof.bad
    found = {page.id: witness for page, witness in search(tracked, is_bad, course.pages)}
    expected = bad_by_hand(course, tracked, is_bad, longest, first=first)
    short = {page: witness for page, witness in found.items() if len(witness.path) <= longest}
    assert set(short) == set(expected)
    for page, witness in short.items():
        assert len(witness.path) == expected[page].length
        assert witness.path in expected[page].paths
        assert witness.values in expected[page].values


some_bad = st.sets(
    st.sampled_from((*UNKNOWNS, "0", "1", "2", *(v for f in FINDINGS.values() for v in f.values))),
    min_size=1,
)


@law
@given(courses(acyclic=True), some_names, some_bad, st.booleans())
def test_bad_is_what_walking_every_path_finds(course, tracked, bad_values, first):
    check_against_hand(course, tracked, bad_values, longest=6, first=first)


@law
@given(courses(acyclic=False), some_names, some_bad, st.booleans())
def test_loops_hide_no_bad_path_and_lengthen_no_witness(course, tracked, bad_values, first):
    check_against_hand(course, tracked, bad_values, longest=5, first=first)


@law
@given(courses(acyclic=True), some_names)
def test_arrivals_are_the_values_that_paths_arrive_with(course, tracked):
    expected = defaultdict(set)
    for pages, moves in paths_of(course, 6):
        expected[pages[-1]].add(values_after(tracked, told_by(moves)))
    arrivals = Proof(course).arrivals(tracked)
    found = {page: arrivals.at([page]) for page in course.pages}
    assert {page: set(values) for page, values in found.items() if values} == expected
    assert all(len(values) == len(set(values)) for values in found.values())


some_told = st.sampled_from(["event", "danger"]).flatmap(
    lambda name: st.tuples(
        st.just(name), st.lists(st.sampled_from((*FINDINGS[name].values, *UNKNOWNS)), max_size=5)
    )
)


@law
@given(some_told)
def test_an_event_is_held_at_the_first_of_the_gravest_it_was_told(told):
    name, values = told
    held = reduce(lambda before, after: lasting(FINDINGS[name], before, after), values, NOT_ASKED)
    assert held == known(name, values)


@law
@given(courses(acyclic=True), some_names, some_bad)
def test_a_first_bad_page_is_found_exactly_where_a_bad_one_is(course, tracked, bad_values):
    def is_bad(values):
        return values[0] in bad_values

    proof = Proof(course)
    every = {page.id for page, _ in proof.bad(tracked, is_bad, course.pages)}
    first = {page.id for page, _ in proof.first_bad(tracked, is_bad, course.pages)}
    assert first <= every
    assert bool(first) == bool(every)


# --- Libraries made at random: shared trees, exits, narrowing, hurry ------------------------------

KEEPS = ("", "", "", "look", "chair", FULL)


def at(name, *, is_exit=False, keep_to="", hurry=False):
    return Target(Located(name, NOWHERE), is_exit, keep_to, hurry, NOWHERE)


@st.composite
def targets(draw, names, exits):
    """Draw a target among these names and exits, maybe one that narrows or hurries."""
    options = [(name, False) for name in names] + [(name, True) for name in exits]
    name, is_exit = draw(st.sampled_from(options))
    keep_to, hurry = draw(st.sampled_from(KEEPS)), draw(st.integers(0, 3)) == 3
    return at(name, is_exit=is_exit, keep_to=keep_to, hurry=hurry)


@st.composite
def trees(draw, name, role, *, exits=(), uses=(), links=(), most=3):
    """Draw a tree whose steps only lead to later ones, to its outcomes, exits or `links`."""
    size = draw(st.sampled_from([1, most, most]))
    steps = {}
    kinds = (*["use"] * 3 * bool(uses), "question", "question", "check", "check", "note")
    for number in range(size):
        later = [f"s{i}" for i in range(number + 1, size)] * 3 + ["end", *links]
        aim = targets(later, exits)
        step_name = f"s{number}"
        kind = draw(st.sampled_from(kinds))
        steps[step_name] = draw(steps_of(step_name, kind, aim, uses))
    outcome = Outcome(
        "end", "call", "", "end", "today", "", (), (), "", (), Leave("running", "", NOWHERE), "",
        (), (), "", (), NOWHERE,
    )  # fmt: skip
    return Tree(
        name,
        role,
        name,
        (),
        "any",
        "",
        "s0",
        tuple(exits),
        steps,
        {"end": outcome},
        {},
        None,
        NOWHERE,
    )


@st.composite
def steps_of(draw, name, kind, aim, uses):
    """Draw a step of this kind whose answers lead to targets drawn from `aim`."""
    blank = Step(name, kind, "", (), "", "", "", "", "", (), (), "", {}, (), Spot("f", 1, 1))
    if kind == "use":
        used = draw(st.sampled_from(uses))
        return replace(blank, uses=used.id, exits={each: draw(aim) for each in used.exits})
    if kind == "note":
        return replace(blank, answers=(Answer("", (), "", draw(aim), NOWHERE),))
    if kind == "check":
        asked = draw(st.sampled_from(sorted(CHECKS)))
        answers = draw(answers_of((*FINDINGS["result"].values, UNSURE, NOT_DONE), aim))
        return replace(blank, check=asked, answers=answers)
    asked = draw(st.sampled_from(["fact", "event", "danger", "reading", "reading", "teller"]))
    place = draw(st.sampled_from(["chair", "chair", "unit"]))
    answers = draw(answers_of((*FINDINGS[asked].values, UNSURE), aim))
    return replace(blank, finding=asked, at=place, answers=answers)


@st.composite
def answers_of(draw, values, aim):
    """Draw one or two answers that share out all of `values`."""
    cut = draw(st.integers(0, len(values) - 1))
    parts = [part for part in (values[:cut], values[cut:]) if part]
    return tuple(Answer("", part, "", draw(aim), NOWHERE) for part in parts)


@st.composite
def libraries(draw):
    """Draw a library of two linked trees over two shared ones, the outer using the inner."""
    inner = draw(trees("inner", "shared", exits=("x", "y"), most=2))
    outer = draw(trees("outer", "shared", exits=("x",), uses=(inner,), most=2))
    other = draw(trees("other", "part", uses=(inner,), most=2))
    links = ("other", "other/s0", "other/end", "outer/end", "start-page")
    first = draw(trees("first", "complaint", uses=(outer, inner), links=links, most=2))
    return library_of([inner, outer, other, first])


class Walker:
    """Follows answers through the files as they are written, shared trees on a stack."""

    def __init__(self, library, within=None):
        self.library = library
        self.within = within

    def start(self, tree):
        return self.enter([(tree, self.library.trees[tree].starts_with)], frozenset(), False)

    def enter(self, frames, keeps, hurry):
        """Where somebody stands who comes to the last step of `frames`."""
        tree, name = frames[-1]
        step = self.library.trees[tree].steps[name]
        if step.kind == "use":
            inner = self.library.trees[step.uses]
            return self.enter([*frames, (inner.id, inner.starts_with)], keeps, hurry)
        if self.is_outside(step, keeps):
            wanted = NOT_DONE if step.kind == "check" else UNSURE
            skip = next(answer for answer in step.answers if wanted in answer.values)
            return self.follow(skip.target, frames, keeps, hurry)
        return frames, keeps, hurry

    def follow(self, target, frames, keeps, hurry):
        keeps, hurry = keeps | ({target.keep_to} - {""}), hurry or target.hurry
        home = self.library.trees[frames[-1][0]]
        if target.is_exit:
            tree, name = frames[-2]
            use = self.library.trees[tree].steps[name]
            return self.follow(use.exits[target.name], frames[:-1], keeps, hurry)
        if target.name == "start-page":
            return "start-page"
        if target.name in home.steps:
            return self.enter([*frames[:-1], (home.id, target.name)], keeps, hurry)
        if target.name in home.outcomes:
            return home.id, target.name, hurry
        tree, _, name = target.name.partition("/")
        there = self.library.trees[tree]
        if name in there.outcomes:
            return tree, name, hurry
        return self.enter([(tree, name or there.starts_with)], keeps, hurry)

    def is_outside(self, step, keeps):
        bounds = [BOUNDARIES[name] for name in keeps]
        if self.within:
            bounds.append(self.within)
        if step.kind == "note":
            return False
        asked = CHECKS.get(step.check)
        place = asked.at if asked else step.at
        return any(
            place not in each.locations
            or (asked and (asked.id not in each.checks or set(asked.hazards) - set(each.hazards)))
            for each in bounds
        )

    def name(self, place):
        """What tells this place from all others."""
        if isinstance(place, str) or isinstance(place[1], str):
            return place
        frames, keeps, hurry = place
        bounds = [BOUNDARIES[name] for name in (FULL, *keeps)]
        narrowest = min(bounds, key=lambda each: len(each.checks)).id
        return frames[0][0], ".".join(name for _, name in frames), narrowest, hurry

    def paths(self, tree):
        """Every path from the start of `tree`: its places and its moves."""
        ahead = [((self.start(tree),), ())]
        while ahead:
            places, moves = ahead.pop()
            yield tuple(map(self.name, places)), moves
            place = places[-1]
            if isinstance(place, str) or isinstance(place[1], str):
                continue
            frames, keeps, hurry = place
            step = self.library.trees[frames[-1][0]].steps[frames[-1][1]]
            for answer in step.answers:
                to = self.follow(answer.target, frames, keeps, hurry)
                for value in answer.values or ("",):
                    ahead.append(((*places, to), (*moves, self.told(step, value))))

    def told(self, step, value):
        """(value, what it sets, effects), written out by the description of the files."""
        asked = CHECKS.get(step.check) if value != NOT_DONE else None
        effects = asked.effects if asked else ()
        sets = {}
        if "cut" in effects:
            sets |= {"reading": NOT_ASKED, "result": NOT_ASKED}
        sets |= asked.changes if asked else {}
        about = "result" if step.check else step.finding
        if about:
            sets[about] = value
        if (about, value) == ("teller", "a"):
            sets |= {"fact": "yes", "event": "often"}
        return value, sets, effects


def name_of(page):
    """The name of a page as the walker gives it."""
    if page.id == "start-page":
        return "start-page"
    if page.outcome:
        return page.tree, page.name, page.mode.hurry
    return page.tree, page.name, page.mode.boundary, page.mode.hurry


def edges_by_walking(walker, tree):
    found = set()
    for places, moves in walker.paths(tree):
        if moves:
            found.add((places[-2], moves[-1][0], places[-1]))
    return found


def edges_of(course):
    return {
        (name_of(page), move.value, name_of(course.pages[move.to]))
        for page in course.pages.values()
        for move in page.moves
    }


@law
@given(libraries())
def test_the_course_has_the_steps_that_a_person_would_take(library):
    course = lay_out(library)
    assert edges_of(course) == edges_by_walking(Walker(library), "first")
    assert [name_of(course.pages[root]) for root in course.roots] == [
        Walker(library).name(Walker(library).start("first"))
    ]


@settings(law, max_examples=400)
@given(libraries(), some_names | st.just(("reading", "result", EFFECT + "cut")))
def test_what_is_known_at_each_page_is_what_walking_every_path_finds(library, tracked):
    expected = defaultdict(set)
    shortest = {}
    for places, moves in Walker(library).paths("first"):
        values = values_after(tracked, moves)
        expected[places[-1]].add(values)
        state = places[-1], values
        shortest[state] = min(len(places), shortest.get(state, len(places)))
    proof = Proof(lay_out(library))
    arrivals = proof.arrivals(tracked)
    found = {name_of(page): set(arrivals.at([page.id])) for page in proof.course.pages.values()}
    assert found == expected
    for page, witness in proof.bad(tracked, lambda values: True, proof.course.pages):
        lengths = [n for (name, _), n in shortest.items() if name == name_of(page)]
        assert len(witness.path) == min(lengths)


some_within = st.builds(
    lambda checks, hazards, locations: Boundary(
        "company", "", tuple(checks), tuple(hazards), tuple(locations), NOWHERE
    ),
    st.sets(st.sampled_from(sorted(CHECKS))),
    st.sets(st.just("heat")),
    st.sets(st.sampled_from(["chair", "unit"])),
)


@law
@given(libraries(), some_within)
def test_who_offers_less_gets_the_pages_that_are_left_and_no_others(library, within):
    course, whole = lay_out(library, within=within), lay_out(library)
    walker = Walker(library, within)
    assert edges_of(course) == edges_by_walking(walker, "first")
    there = {name_of(page) for page in whole.pages.values()}
    assert {name_of(page) for page in course.pages.values()} <= there
    for page in course.pages.values():
        if page.at:
            assert page.at in within.locations
        if page.check:
            assert page.check.id in within.checks
            assert set(page.check.hazards) <= set(within.hazards)


@law
@given(libraries())
def test_a_narrowed_walk_stays_narrowed_and_a_hurried_one_hurried(library):
    course = lay_out(library)
    sizes = {name: len(each.checks) for name, each in BOUNDARIES.items()}
    for page in course.pages.values():
        for move in page.moves:
            after = course.pages[move.to]
            if after.step:
                assert sizes[after.mode.boundary] <= sizes[page.mode.boundary]
            if after.id != "start-page":
                assert after.mode.hurry >= page.mode.hurry


def test_the_walker_and_the_draw_reach_what_they_are_for():
    """The laws above say something: shared trees, exits, narrowing and hurry do occur."""
    seen = set()

    @settings(max_examples=200, database=None, derandomize=True, deadline=None)
    @given(libraries())
    def look(library):
        for page in lay_out(library).pages.values():
            seen.add(f"depth {page.name.count('.')}")
            seen.add(page.mode.boundary)
            seen.add("hurry" if page.mode.hurry else "calm")
            seen.add(page.tree)

    look()
    assert {"depth 0", "depth 1", "depth 2", "look", "chair", "hurry", "other", "outer"} <= seen


@pytest.mark.parametrize(
    ("told", "held"),
    [
        (["yes", "no"], "yes"),
        (["no", "yes", "often"], "yes"),
        (["yes", "unsure"], "yes"),
        (["unsure", "no"], "no"),
        (["no", "unsure"], "unsure"),
    ],
)
def test_an_event_told_in_this_order_is_held_at(told, held):
    assert known("event", told) == held
