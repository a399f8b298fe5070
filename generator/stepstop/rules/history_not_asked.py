"""Before a once-only check, the page asks whether it was done before the walk began."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Page
from stepstop.model import Check, Clause, Effect
from stepstop.problems import Problem, Related
from stepstop.proof import Proof, told
from stepstop.tally import Tally

FLAW = "history-not-asked"
SUMMARY = "a once-only check is offered without knowing that it wasn't done before"

NOT_BEFORE = frozenset({"none", "no"})
"""The values that say it wasn't done before; being unsure counts as done."""


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each once-only check whose history isn't required, or not asked on a path."""
    effects = proof.library.catalogue.effects
    for check in proof.library.catalogue.checks.values():
        for effect in (effects[name] for name in check.effects if effects[name].once):
            tally.count()
            if not any(_asks(clause, effect.history) for clause in check.requires):
                yield _unasked(check, effect)
    for history in sorted({effect.history for effect in effects.values() if effect.once}):
        yield from _paths(proof, history, tally)


def history_clauses(proof: Proof, check: Check) -> tuple[Clause, ...]:
    """The clauses of `check` that ask about the history of a once-only effect of it."""
    effects = proof.library.catalogue.effects
    histories = {effects[name].history for name in check.effects if effects[name].once}
    return tuple(c for c in check.requires if any(_asks(c, name) for name in histories))


def _asks(clause: Clause, history: str) -> bool:
    """Whether nothing but `history` at a value that says "not before" meets `clause`."""
    return set(clause.either) == {history} and set(clause.either[history]) <= NOT_BEFORE


def _unasked(check: Check, effect: Effect) -> Problem:
    history = effect.history or "a history finding"
    message = f"`{check.id}` may be done once and doesn't require `{history}` at `none` or `no`"
    mend = f"add `{{{history}: [none]}}` to its `requires`"
    related = (Related(effect.spot, f"`{effect.id}` is a once-only effect"),)
    return Problem(check.spot, FLAW, message, mend, (), related)


def _paths(proof: Proof, history: str, tally: Tally) -> Iterator[Problem]:
    wanted: dict[int, tuple[Clause, list[str]]] = {}
    for page in proof.steps():
        asked = _clauses(proof, page, history)
        tally.count(bool(asked))
        for clause in asked:
            wanted.setdefault(id(clause), (clause, []))[1].append(page.id)
    for clause, pages in wanted.values():
        for page, witness in proof.unmet(clause, pages):
            message = f"`{page.name}` can be reached with `{history}` {told(witness.values[0])}"
            mend = f"ask `{history}` before it on every path; only `none` or `no` may lead to it"
            yield Problem(witness.via, FLAW, message, mend, witness.path)


def _clauses(proof: Proof, page: Page, history: str) -> tuple[Clause, ...]:
    """The clauses of the page's check that ask about `history`."""
    if page.check is None:
        return ()
    return tuple(c for c in history_clauses(proof, page.check) if history in c.either)
