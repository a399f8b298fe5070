"""What the proof says of all paths, on small cases: values, witnesses, words."""

from dataclasses import replace

import pytest

from rules.lesson import prove
from stepstop.course import FULL, Course, Mode, Move, Page
from stepstop.model import Answer, Clause, Finding, Target, Value
from stepstop.proof import EFFECT, Proof, answered, lasting, meets, spoken, told
from stepstop.source import NOWHERE, Spot


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    return Proof(prove("", tmp_path_factory.mktemp("base")).verified.course)


def made(base, moves, *, roots=("a",)):
    """A proof over pages named by one letter: (from, value, to, sets, effects) each."""
    answer = Answer("", (), "", Target("", False, "", False, Spot("own", 1, 1)), NOWHERE)
    names = sorted({*roots, *(m[0] for m in moves), *(m[2] for m in moves)})
    pages = {
        name: Page(
            name, "t", name, Mode(FULL, False), None, None, None, "", "",
            tuple(
                Move(answer, value, to, sets, effects, Spot("f", number, 1))
                for number, (source, value, to, sets, effects) in enumerate(moves)
                if source == name
            ),
        )
        for name in names
    }  # fmt: skip
    return Proof(Course(base.library, pages, roots, frozenset(), {}, {}, False))


def shown(found):
    return {page.id: (" > ".join(w.path), w.values, str(w.via)) for page, w in found}


def anything(values):
    """Every combination of values is bad."""
    return True


# --- Values --------------------------------------------------------------------------------------


def test_a_fact_is_what_was_told_last_and_not_asked_before(base):
    proof = made(
        base,
        [
            ("a", "1", "b", {"unit-power": "on"}, ()),
            ("b", "2", "c", {"unit-power": "off"}, ()),
            ("a", "3", "c", {}, ()),
        ],
    )
    arrivals = proof.arrivals(("unit-power",))
    assert arrivals.at(["a"]) == [("not-asked",)]
    assert arrivals.at(["b"]) == [("on",)]
    assert set(arrivals.at(["c"])) == {("not-asked",), ("off",)}
    assert arrivals.at(["nowhere"]) == []


def test_an_effect_is_counted_to_two_and_no_further(base):
    round_trip = [("a", "1", "a", {}, ("cuts-light",)), ("a", "2", "b", {}, ("other",))]
    proof = made(base, round_trip)
    arrivals = proof.arrivals((EFFECT + "cuts-light",))
    assert arrivals.at(["a"]) == arrivals.at(["b"]) == [("0",), ("1",), ("2",)]


def event(*, dangers):
    values = ("no", "none", "dry", "puddle", "wires", "flood")
    known = {v: Value(v, v, dangers.get(v, ""), {}, False, False, NOWHERE) for v in values}
    return Finding("event", "event", "", known, (), (), (), NOWHERE)


@pytest.mark.parametrize(
    ("before", "after", "held"),
    [
        ("not-asked", "no", "no"),
        ("no", "wires", "wires"),
        ("wires", "no", "wires"),
        ("wires", "unsure", "wires"),
        ("wires", "not-asked", "wires"),
        ("none", "unsure", "unsure"),
        ("wires", "flood", "wires"),
        ("puddle", "wires", "puddle"),
    ],
)
def test_an_event_that_is_no_danger_is_held_at_the_first_thing_that_happened(before, after, held):
    assert lasting(event(dangers={}), before, after) == held


@pytest.mark.parametrize(
    ("before", "after", "held"),
    [
        ("dry", "wires", "wires"),
        ("dry", "puddle", "puddle"),
        ("dry", "unsure", "unsure"),
        ("puddle", "wires", "wires"),
        ("puddle", "dry", "puddle"),
        ("wires", "puddle", "wires"),
        ("wires", "flood", "wires"),
        ("wires", "dry", "wires"),
    ],
)
def test_a_danger_is_held_at_the_graver_and_never_hidden_by_a_harmless_value(before, after, held):
    sizes = {"puddle": "stay-clear", "wires": "thing", "flood": "house"}
    assert lasting(event(dangers=sizes), before, after) == held


def test_an_event_survives_whatever_is_told_later_on_a_path(base):
    proof = made(
        base,
        [
            ("a", "1", "b", {"bang": "yes"}, ()),
            ("b", "2", "c", {"bang": "no"}, ()),
            ("c", "3", "d", {"bang": "not-asked"}, ()),
        ],
    )
    assert proof.arrivals(("bang",)).at(["d"]) == [("yes",)]


# --- Witnesses -----------------------------------------------------------------------------------


def test_a_witness_is_a_shortest_path_with_the_answers_and_where_the_last_is_written(base):
    proof = made(
        base,
        [
            ("a", "long", "b", {}, ()),
            ("b", "", "z", {"unit-power": "on"}, ()),
            ("a", "fine", "z", {"unit-power": "off"}, ()),
        ],
    )
    found = proof.bad(("unit-power",), lambda values: values[0] == "on", ["z"])
    assert shown(found) == {"z": ("t > a (long) > b > z", ("on",), "f:1:1")}


def test_a_witness_that_begins_bad_is_its_root_alone(base):
    [(page, witness)] = list(base.bad(("bang",), anything, ["cold/index"]))
    assert witness.path == ("cold > screen.smell",)
    assert witness.via == page.spot


def test_each_bad_page_is_found_once_and_the_search_goes_on_behind_it(base):
    moves = [("a", "1", "b", {}, ()), ("b", "2", "c", {}, ()), ("c", "3", "b", {}, ())]
    proof = made(base, moves)
    found = [page.id for page, _ in proof.bad(("bang",), anything, "bc")]
    assert found == ["b", "c"]


def test_first_bad_stops_at_a_bad_page_and_finds_the_longer_way_round_it(base):
    moves = [
        ("a", "1", "b", {}, ()),
        ("b", "2", "d", {}, ()),
        ("a", "3", "c", {}, ()),
        ("c", "4", "e", {}, ()),
        ("e", "5", "d", {}, ()),
        ("b", "6", "f", {}, ()),
    ]
    proof = made(base, moves)

    assert set(shown(proof.bad(("bang",), anything, "bdf"))) == {"b", "d", "f"}
    first = shown(proof.first_bad(("bang",), anything, "bdf"))
    assert {page: path for page, (path, _, _) in first.items()} == {
        "b": "t > a (1) > b",
        "d": "t > a (3) > c (4) > e (5) > d",
    }


def test_either_or_is_followed_together_and_not_one_by_one(base):
    """On each path one of the two is known, never neither: value by value they'd both fail."""
    proof = made(
        base,
        [
            ("a", "1", "b", {"display": "on"}, ()),
            ("a", "2", "b", {"heat": "no"}, ()),
            ("b", "3", "c", {}, ()),
        ],
    )
    clause = Clause({"display": ("on",), "heat": ("no",)}, NOWHERE)
    tracked = ("display", "heat")
    at_c = list(proof.arrivals(tracked).at(["c"]))
    assert all(meets(clause, tracked, values) for values in at_c)
    assert {values[0] for values in at_c} == {"on", "not-asked"}
    assert not meets(clause, tracked, ("not-asked", "yes"))


def test_searches_are_kept_for_the_next_rule(base):
    proof = made(base, [("a", "1", "b", {}, ())])
    first = proof._explore(("bang",))
    assert proof._explore(("bang",)) is first
    assert proof._explore(("bang", "water")) is not first


def test_several_roots_are_walked_from_together(base):
    moves = [("a", "1", "c", {}, ()), ("b", "2", "d", {}, ()), ("c", "3", "d", {}, ())]
    proof = made(base, moves, roots=("a", "b"))
    found = shown(proof.bad(("bang",), anything, ["d"]))
    assert found["d"][0] == "t > b (2) > d"


# --- Rounds and words ----------------------------------------------------------------------------


def test_a_round_is_walked_with_an_answer_to_each_next_page(base):
    moves = [("a", "1", "b", {}, ()), ("b", "2", "c", {}, ()), ("c", "", "b", {}, ())]
    proof = made(base, moves)
    assert proof.rounds() == [("b", "c", "b")]
    assert proof.walked(("b", "c", "b")) == ("b (2)", "c", "b")
    assert proof.walked(("a",)) == ("t > a",)
    assert made(base, moves[:2]).rounds() == []


def test_the_least_narrowed_copy_of_a_round_stands_for_all(tmp_path):
    course = prove(
        """# change: complaints/cold.yml
steps:
  set-heat:
    check: set-heat
    answers:
      - {say: Heat comes, is: yes, go: works}
      - {say: No heat comes, is: no, go: ready}
      - {say: I'm not sure, is: unsure, go: set-heat}
      - {say: I can't, is: not-done, go: ready}
""",
        tmp_path,
    ).verified.course
    assert Proof(course).rounds() == [("cold/set-heat", "cold/set-heat")]


def test_a_clause_is_spoken_with_its_values_and_alternatives():
    clause = Clause({"power": ("off",), "display": ("blank", "dim")}, NOWHERE)
    assert spoken(clause) == "`power: off` or `display: blank / dim`"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("not-asked", "not asked"),
        ("not-done", "not done"),
        ("unsure", "unsure"),
        ("off-at-switch", "at `off-at-switch`"),
    ],
)
def test_a_value_is_told_in_words(value, words):
    assert told(value) == words


def test_an_answer_is_shown_beside_the_place_only_where_they_differ(base):
    [move] = [m for m in base.course.pages["cold/screen.water"].moves if m.value == "puddle"]
    assert move.via.file == "complaints/cold.yml"
    assert [str(each.spot) for each in answered(move)] == ["shared/danger-screen.yml:29:59"]
    assert answered(replace(move, via=move.answer.target.spot)) == ()


def test_steps_and_outcomes_share_out_the_pages(base):
    steps, outcomes = list(base.steps()), list(base.outcomes())
    assert len(steps) + len(outcomes) + 1 == len(base.course.pages)  # and the start page
    assert all(page.step and not page.outcome for page in steps)
    assert all(page.outcome and not page.step for page in outcomes)
