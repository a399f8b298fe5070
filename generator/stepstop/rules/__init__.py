"""The safety rules, each a module named by its flaw, in the order they are shown."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Protocol

from stepstop.course import lay_out
from stepstop.model import Library
from stepstop.problems import Problem, sorted_once
from stepstop.proof import Proof
from stepstop.rules import (
    answers_incomplete,
    answers_overlap,
    asked_twice,
    asks_too_little,
    certain_cause,
    danger_goes_on,
    danger_not_first,
    dead_end,
    done_twice,
    endless_loop,
    forbidden_words,
    hard_words,
    history_not_asked,
    light_read_too_late,
    number_before_danger,
    one_unit,
    outcome_incomplete,
    outside_boundary,
    says_otherwise,
    solved_too_soon,
    state_not_said,
    too_long,
    unlisted_action,
    unmet_requirement,
    unreachable_step,
    unsourced_number,
    unsure_goes_riskier,
    weak_evidence,
    wrong_danger_size,
)
from stepstop.tally import Tally


class Rule(Protocol):
    """A module that looks for one flaw."""

    FLAW: str
    SUMMARY: str

    def examine(self, proof: Proof, tally: Tally) -> Iterator[Problem]:
        """The problems found, with the places looked at put down in `tally`."""


RULES: tuple[Rule, ...] = (
    danger_not_first,
    danger_goes_on,
    wrong_danger_size,
    number_before_danger,
    unmet_requirement,
    asks_too_little,
    outside_boundary,
    history_not_asked,
    done_twice,
    light_read_too_late,
    weak_evidence,
    asked_twice,
    unsure_goes_riskier,
    answers_incomplete,
    answers_overlap,
    says_otherwise,
    dead_end,
    unreachable_step,
    endless_loop,
    too_long,
    outcome_incomplete,
    state_not_said,
    solved_too_soon,
    certain_cause,
    forbidden_words,
    unlisted_action,
    hard_words,
    unsourced_number,
    one_unit,
)

NEED_NO_LOOP = (unsure_goes_riskier.FLAW, too_long.FLAW)
"""Rules that look at what comes after a page, which a loop leaves without an end."""


ON_WORDS: tuple[Rule, ...] = (
    number_before_danger,
    certain_cause,
    forbidden_words,
    unlisted_action,
    hard_words,
)
"""Rules that hold for any text, whoever writes it."""

WORDED: tuple[Rule, ...] = (*ON_WORDS, says_otherwise, unsourced_number)
"""Rules that look at the words of trees, so that they hold anew for every language of them."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What all rules found."""

    problems: tuple[Problem, ...]
    examined: dict[str, int]
    """Flaw -> number of places looked at; -1 where a loop kept the rule from looking."""


def spoken(
    texts: tuple[str, ...], library: Library, *, is_prose: bool = True
) -> tuple[Problem, ...]:
    """What the rules about words say of `texts`, by the rulebook of `library`.

    Names are no prose: how hard they read is not asked.
    """
    rules = [rule for rule in ON_WORDS if is_prose or rule is not hard_words]
    catalogue = replace(
        library.catalogue,
        checks={},
        causes={},
        equipment={},
        waiting={},
        findings={
            name: replace(each, hear=()) for name, each in library.catalogue.findings.items()
        },
        calls=replace(library.catalogue.calls, first="", there="", repeat="", cards={}, instead=()),
        rulebook=replace(library.catalogue.rulebook, never=()),
    )
    bare = Library(catalogue, {}, texts=texts)
    proof = Proof(lay_out(bare))
    return tuple(sorted_once(p for rule in rules for p in rule.examine(proof, Tally())))


def verdict(proof: Proof) -> Verdict:
    """The problems of all rules, sorted, and how many places each rule examined."""
    problems: list[Problem] = []
    examined: dict[str, int] = {}
    for rule in RULES:
        if proof.has_loop and rule.FLAW in NEED_NO_LOOP:
            examined[rule.FLAW] = -1
            continue
        tally = Tally()
        problems += rule.examine(proof, tally)
        examined[rule.FLAW] = tally.places
    return Verdict(tuple(sorted_once(problems)), examined)
