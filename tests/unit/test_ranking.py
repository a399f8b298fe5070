"""A table of causes worked out by hand: Bayes's theorem with the errors of whoever answers."""

import json

import numpy as np
import pytest

from stepstop.belief import ELSE, ELSE_WEIGHT
from stepstop.model import NOT_DONE, UNSURE
from stepstop.ranking import FORMAT, NAME, Ranking, _runs, _written_by, read, written

UNSURE_RATE, MISTAKEN_RATE = 0.1, 0.02

TABLE = {
    "causes": ["board", "fuse"],
    # Two kinds of houses with a dead board, one with a blown fuse.
    "cause": "0*2 1",
    "weights": [0.25, 0.5],
    "weight": "0*2 1",
    "acts": 2,
    "moves": {"reset": [1, 1]},
    "findings": {"screen": {"values": 2, "unsure": UNSURE_RATE, "mistaken": MISTAKEN_RATE}},
    "columns": [
        ["screen", ["lit", 0.5, "blank", 0.5], [["lit", 1], ["blank", 1]], "0 1*2"],
        ["screen", ["lit", 0.75, "blank", 0.25], [["lit", 1], ["blank", 1]], "0:0*2 1"],
    ],
    "column": {"0:screen": 0, "1:screen": 1},
}
"""Demo data."""


@pytest.fixture
def ranking():
    return Ranking(TABLE)


RIGHT = 1 - UNSURE_RATE - MISTAKEN_RATE
BLANK_OF_LIT, BLANK_OF_BLANK = MISTAKEN_RATE, RIGHT


def shares(board, fuse, other):
    whole = board + fuse + other
    return {"board": board / whole, "fuse": fuse / whole, ELSE: other / whole}


def test_nothing_told_leaves_the_frequencies(ranking):
    found = ranking.chances([])
    assert found == pytest.approx(
        shares(0.5 * (1 - ELSE_WEIGHT), 0.5 * (1 - ELSE_WEIGHT), ELSE_WEIGHT)
    )


def test_an_answer_counts_by_how_often_each_cause_gives_it(ranking):
    known = 1 - ELSE_WEIGHT
    board = known * (0.25 * BLANK_OF_LIT + 0.25 * BLANK_OF_BLANK)
    fuse = known * 0.5 * BLANK_OF_BLANK
    mean = (BLANK_OF_LIT + BLANK_OF_BLANK) / 2
    other = ELSE_WEIGHT * (0.5 * mean + 0.5 * 1 / 3)
    found = ranking.chances([(0, "screen", ("blank",))])
    assert found == pytest.approx(shares(board, fuse, other))
    assert next(iter(found)) == "fuse"


def test_unsure_is_as_likely_whatever_is_true(ranking):
    row = ranking.row((0, "screen", (UNSURE,)))
    assert row[:3] == pytest.approx([UNSURE_RATE] * 3)


def test_values_of_one_answer_add_up(ranking):
    both = ranking.row((0, "screen", ("lit", "blank")))[:3]
    each = [ranking.row((0, "screen", (value,)))[:3] for value in ("lit", "blank")]
    assert both == pytest.approx(sum(each))


def test_a_column_written_by_an_earlier_one_differs_where_it_says(ranking):
    assert ranking.columns[1].which.tolist() == [0, 1, 0]


def test_reasons_say_what_speaks_for_a_cause_and_against_it(ranking):
    [(ratio, finding, values)] = ranking.reasons([(0, "screen", ("lit",))], "fuse")
    assert (finding, values) == ("screen", ("lit",))
    with_it, without = BLANK_OF_LIT, (RIGHT + BLANK_OF_LIT) / 2
    assert ratio == pytest.approx(with_it / without)
    # The board's house that fits the answer counts for it.
    [(ratio, *_)] = ranking.reasons([(0, "screen", ("lit",))], "board")
    assert ratio > 1


def test_acts_lead_to_another_column_unless_they_were_not_done(ranking):
    class Check:
        id = "reset"

    class Asks:
        check, finding = None, "screen"

    class Checks:
        check, finding = Check, "screen"

    done = [(Checks, ("lit",)), (Asks, ("lit",))]
    assert ranking.told(done) == [(1, "screen", ("lit",)), (1, "screen", ("lit",))]
    left = [(Checks, (NOT_DONE,)), (Asks, ("lit",))]
    assert [acts for acts, *_ in ranking.told(left)] == [1, 0]


def test_what_the_house_does_not_show_is_left_out(ranking):
    class Asks:
        check, finding = None, "people-at-home"

    assert ranking.told([(Asks, ("many",))]) == []


@pytest.mark.parametrize("numbers", [[0], [1, 1, 1], [0, 1, 1, 0, 2, 2, 2]])
def test_runs_give_their_numbers_back(numbers):
    column = {**TABLE, "cause": _runs(np.array(numbers))}
    assert (
        Ranking({**column, "weight": _runs(np.zeros(len(numbers), int))}).cause.tolist() == numbers
    )


def test_a_column_is_written_by_an_earlier_one_where_that_is_shorter():
    first = np.arange(12)
    second = first.copy()
    second[3] = 0
    assert list(_written_by([first, second]))[1].startswith("0:")


def test_a_file_gives_its_tables_back_and_a_damaged_one_none(tmp_path):
    (tmp_path / NAME).write_bytes(written({"cold": TABLE}, "this"))
    assert read(tmp_path, "this")["cold"].data == json.loads(json.dumps(TABLE))
    assert read(tmp_path, "that") == {}
    for text in (b"", b"[]", b"{", b'{"format": 9}', b'{"format": %d, "of": "this"}' % FORMAT):
        (tmp_path / NAME).write_bytes(text)
        assert read(tmp_path, "this") == {}
    assert read(tmp_path / "none", "this") == {}
