"""The tabulated house: what is looked up is what would be simulated, however it was worked out."""

from __future__ import annotations

import pickle
from pathlib import Path

import numpy as np
import pytest

from stepstop.house import table as module
from stepstop.house.acts import NONE, Acts, after
from stepstop.house.cases import cases
from stepstop.house.doing import scene, works
from stepstop.house.grid import plans
from stepstop.house.history import told
from stepstop.house.senses import SENSES
from stepstop.house.table import HISTORY, Table, tabulate

CAUSES = {"dirty-filter": "very-common", "thermostat-batteries": "common", "safety-wait": "rare"}


def done(*checks: str) -> Acts:
    acts = NONE
    for check in checks:
        acts = after(acts, check)
    return acts


STATES = (
    NONE,
    done("set-heat"),
    done("set-heat-long"),
    done("listen-at-unit"),
    done("change-filter"),
    done("change-batteries"),
)


@pytest.fixture(scope="module")
def table() -> Table:
    return tabulate(CAUSES, STATES)


def same(one: Table, other: Table) -> bool:
    """Whether both tables say the same of everything that can be asked."""
    if (one.cases, one.acts, {*one.senses}) != (other.cases, other.acts, {*other.senses}):
        return False
    findings = [*sorted(one.senses), *HISTORY]
    return all(
        one.works(acts).tolist() == other.works(acts).tolist()
        and all(_alike(one, other, acts, finding) for finding in findings)
        for acts in one.acts
    )


def _alike(one: Table, other: Table, acts: Acts, finding: str) -> bool:
    here, there = one.answers(acts, finding), other.answers(acts, finding)
    return here.keys() == there.keys() and all(
        np.array_equal(here[value], there[value]) for value in here
    )


# ---- what is looked up ----


def test_a_table_has_the_cases_in_order_and_each_state_once(table: Table) -> None:
    assert list(table.cases) == cases(plans(), CAUSES)
    assert table.acts == tuple(sorted(STATES))
    assert table.scene_of.shape == (len(table.acts), len(table.cases))


def test_what_is_looked_up_is_what_would_be_simulated(table: Table) -> None:
    for acts in table.acts:
        assert table.works(acts).tolist() == [works(each.found, acts) for each in table.cases]
        for finding, sense in SENSES.items():
            answers = table.answers(acts, finding)
            for column, case in enumerate(table.cases[::7]):
                sensed = sense(scene(case.found, acts))
                chances = {sensed: 1.0} if isinstance(sensed, str) else dict(sensed)
                found = {value: float(row[7 * column]) for value, row in answers.items()}
                assert {v: share for v, share in found.items() if share} == chances, finding


def test_answers_of_a_finding_add_up_for_every_case(table: Table) -> None:
    for acts in table.acts:
        for finding in (*SENSES, *HISTORY):
            whole = np.sum(list(table.answers(acts, finding).values()), axis=0)
            assert np.allclose(whole, 1.0), finding


def test_history_is_the_same_whatever_was_done(table: Table) -> None:
    first, last = (table.answers(acts, "what-changed") for acts in (STATES[0], STATES[-1]))
    assert {v: row.tolist() for v, row in first.items()} == {
        v: row.tolist() for v, row in last.items()
    }
    case = table.cases[0]
    chances = told("what-changed", case.cause, case.found)
    assert {value: row[0] for value, row in first.items()} == chances


def test_a_quarter_of_an_hour_is_another_scene_than_five_minutes(table: Table) -> None:
    short = table.answers(done("set-heat"), "heat-call")
    long = table.answers(done("set-heat-long"), "heat-call")
    starved = np.array([case.cause == "dirty-filter" for case in table.cases])
    missed = (short["warm"] == 1.0) & starved
    assert missed.any()
    assert (long["starts-then-stops"][starved] == 1.0).all()


def test_a_state_that_was_not_tabulated_is_an_error(table: Table) -> None:
    with pytest.raises(KeyError):
        table.answers(done("thermostat-off"), "heat-call")


# ---- what can be mended ----


def test_what_needs_a_walk_is_not_mended_from_the_chair(table: Table) -> None:
    walk, chair = table.mendable("walk"), table.mendable("chair")
    assert not (chair & ~walk).any()
    by_cause = {
        cause: (
            bool(walk[[case.cause == cause for case in table.cases]].any()),
            bool(chair[[case.cause == cause for case in table.cases]].any()),
        )
        for cause in CAUSES
    }
    assert by_cause == {
        "dirty-filter": (True, False),
        "thermostat-batteries": (True, True),
        "safety-wait": (True, True),
    }, "a call is begun anew at the thermostat"


def test_nothing_counts_as_mendable_where_the_trees_do_not_go_on(table: Table) -> None:
    without = np.array([not case.has_tree for case in table.cases])
    dirty = np.array([case.cause == "dirty-filter" for case in table.cases])
    changed = table.works(done("change-filter"))
    assert (changed & dirty & without).any(), "it would help there, too"
    assert not (table.mendable("walk") & without).any()


def test_a_lock_out_counts_as_cleared_by_power_only_where_the_light_says_so() -> None:
    cycled = tabulate({"safety-wait": "rare"}, (NONE, done("power-cycle-once")))
    helped = cycled.works(done("power-cycle-once"))
    labelled = np.array([case.found.label and case.found.window for case in cycled.cases])
    assert (cycled.mendable("walk") == (helped & _offered(cycled))).all()
    assert (helped & ~_offered(cycled)).any(), "a blinking light without its label"
    assert not (_offered(cycled) & ~labelled).any()


def _offered(table: Table) -> np.ndarray:
    """(cases,): the label gives the light a meaning with which a power cycle is offered."""
    classes = table.answers(NONE, "light-class")
    none = np.zeros(len(table.cases))
    offered = ("ignition", "flame-lost", "pressure")
    return sum((classes.get(name, none) for name in offered), none) > 0


# ---- made by one or by several ----


def test_two_workers_make_the_same_table_as_one(
    table: Table, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "BLOCK", 40)
    told_of: list[tuple[int, int]] = []
    alone = tabulate(CAUSES, STATES)
    together = tabulate(
        CAUSES, STATES, workers=2, progress=lambda parts, of: told_of.append((parts, of))
    )
    assert np.array_equal(alone.scene_of, together.scene_of)
    assert same(alone, together)
    assert same(table, together), "nor does it matter how many cases are a block"
    parts = -(-len(table.cases) // 40)
    assert parts > 2
    assert told_of == [(number, parts) for number in range(1, parts + 1)]


def test_the_order_in_which_states_are_named_does_not_matter(table: Table) -> None:
    assert same(table, tabulate(dict(reversed(CAUSES.items())), reversed(STATES)))


# ---- kept ----

FEW = {"safety-wait": "rare"}
TWO = (NONE, done("listen-at-unit"))


@pytest.fixture
def kept(tmp_path: Path) -> tuple[Path, Table]:
    """A folder with one kept table, and that table."""
    return tmp_path / "cache", tabulate(FEW, TWO, cache=tmp_path / "cache")


def files(folder: Path) -> list[Path]:
    return sorted(folder.iterdir())


def test_a_kept_table_is_read_back_and_not_made_again(
    kept: tuple[Path, Table], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, made = kept
    monkeypatch.setattr(module, "_made", None)
    read = tabulate(FEW, TWO, cache=folder)
    assert read is not made
    assert same(read, made)
    assert len(files(folder)) == 1, "nothing half written is left"


@pytest.mark.parametrize(
    "broken",
    [b"", b"nonsense", b"garbage\n", b"cno_such_module\nThing\n.", pickle.dumps({"a": "table"})],
    ids=["empty", "no pickle", "no number", "of a module that is gone", "of something else"],
)
def test_a_broken_file_is_ignored_and_written_anew(kept: tuple[Path, Table], broken: bytes) -> None:
    folder, made = kept
    [file] = files(folder)
    file.write_bytes(broken)
    assert same(tabulate(FEW, TWO, cache=folder), made)
    assert same(pickle.loads(file.read_bytes()), made)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.99])
def test_a_file_that_ends_too_soon_is_ignored(kept: tuple[Path, Table], share: float) -> None:
    folder, made = kept
    [file] = files(folder)
    whole = file.read_bytes()
    file.write_bytes(whole[: int(share * len(whole))])
    assert same(tabulate(FEW, TWO, cache=folder), made)


def test_whatever_is_asked_otherwise_is_kept_apart(kept: tuple[Path, Table]) -> None:
    folder, made = kept
    tabulate(FEW, TWO[:1], cache=folder)
    tabulate({"safety-wait": "common"}, TWO, cache=folder)
    elsewhere = tabulate(FEW, TWO, off_grid=True, cache=folder)
    assert len(files(folder)) == 4
    assert not same(elsewhere, made)
