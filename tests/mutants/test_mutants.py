"""A mutant of every operator on a small base; `make mutants` tries thousands on all."""

import pytest

from mutants import trial
from mutants.bases import CUTS
from mutants.oracle import Harm
from mutants.trial import KINDS, Tried, base, drawn, rows, tried

BASE = "water"
ELSEWHERE = {"done-again": "breaker-trips", "shared-tree-inlined": "breaker-trips"}
"""On a tree about water nobody resets anything, and no shared tree is used just once."""


@pytest.mark.parametrize("name", CUTS)
def test_what_is_mutated_is_proven_and_without_harm(name):
    assert base(name).harms == frozenset()


@pytest.mark.parametrize(
    ("kind", "operator"),
    [(kind, operator) for kind, operators in KINDS.items() for operator in operators],
)
def test_what_is_wrong_is_refused_and_what_is_right_is_not(kind, operator):
    name = ELSEWHERE.get(operator, BASE)
    [mutant] = drawn(name, kind, operator, 1, seed=7)
    found = tried(name, kind, operator, mutant)
    assert not found.is_missed, (mutant.about, found.harms)
    if kind == "edit":
        assert not found.is_refused, (mutant.about, found.said)


def test_no_note_stands_after_danger_that_was_told():
    files = base("breaker-trips").files
    on = files["shared/power"]["steps"]["switch-on"]["answers"]
    about = {mutant.about for mutant in KINDS["edit"]["note-before"](files)}
    noted = {
        i for i in range(len(on)) if f"shared/power note at ('switch-on', 'answers', {i})" in about
    }
    told = {i for i, answer in enumerate(on) if answer["is"] == "smell-or-noise"}
    assert told
    assert noted == {i for i, answer in enumerate(on) if "go" in answer} - told


def test_the_same_seed_draws_the_same():
    once = [each.about for each in drawn(BASE, "harm", "leads-anywhere", 5, seed=1)]
    assert once == [each.about for each in drawn(BASE, "harm", "leads-anywhere", 5, seed=1)]
    assert once != [each.about for each in drawn(BASE, "harm", "leads-anywhere", 5, seed=2)]


HARM = (Harm("dead-end", "a.html"),)


@pytest.mark.parametrize(
    ("kind", "is_refused", "harms", "missed", "over"),
    [
        ("harm", False, HARM, True, False),
        ("harm", True, HARM, False, False),
        ("harm", False, (), False, False),
        ("harm", True, (), False, True),
        ("policy", False, (), True, False),
        ("policy", True, (), False, False),
        ("edit", True, (), False, True),
        ("edit", False, (), False, False),
    ],
)
def test_what_counts_as_missed(kind, is_refused, harms, missed, over):
    one = Tried(kind, "x", BASE, "about", is_refused, True, harms, ())
    assert (one.is_missed, one.is_over_refused) == (missed, over)


def test_the_table_counts_each_once(monkeypatch):
    monkeypatch.setattr(trial, "KINDS", {"harm": {"x": None}, "policy": {"y": None}})
    every = [
        Tried("harm", "x", BASE, "", True, True, HARM, ()),
        Tried("harm", "x", BASE, "", True, False, (), ()),
        Tried("harm", "x", BASE, "", True, True, (), ()),
        Tried("policy", "y", BASE, "", False, True, (), ()),
    ]
    first, second = rows(every)
    assert first.counts == {
        "made": 3, "wrong": 1, "caught": 1, "not built": 1, "over-refused": 1
    }  # fmt: skip
    assert second.counts["made"] == second.counts["wrong"] == 1
    assert second.counts["caught"] == 0
