"""Sheets of labels: that their sums are right, and what is told of one that isn't."""

import pytest

from stepstop.labels.sheet import INSET, LEAST_CODE, PRINTER_EDGE, READY, Box, read_sheet
from unit.companies import write_texts

OWN = {
    "page": {"width": "210", "height": "297"},
    "columns": "2",
    "rows": "4",
    "label": {"width": "99.1", "height": "67.7"},
    "margin": {"left": "4.65", "top": "13.1"},
    "gap": {"across": "2.5"},
}


def read(folder, **changes):
    """(the sheet or None, [(line, flaw, message, mend)]) of the sheet with these changes."""
    path = folder / "own.yml"
    data = {**OWN, **changes}
    write_texts({key: value for key, value in data.items() if value is not None}, path)
    sheet, problems = read_sheet(path)
    return sheet, [(p.spot.line, p.flaw, p.message, p.mend) for p in problems]


@pytest.mark.parametrize("name", READY)
def test_margins_labels_and_gaps_of_a_ready_sheet_make_its_page(name):
    sheet = READY[name]
    last = sheet.box(sheet.count - 1)
    assert sheet.margin.left + last.x + last.width == pytest.approx(sheet.page.width, abs=0.01)
    assert sheet.margin.top + last.y + last.height == pytest.approx(sheet.page.height, abs=0.01)


@pytest.mark.parametrize("name", READY)
def test_a_ready_sheet_has_as_many_labels_as_it_says_and_they_stand_apart(name):
    sheet = READY[name]
    assert sheet.count == int(name.split("-")[1])
    boxes = [sheet.box(number) for number in range(sheet.count)]
    for number, one in enumerate(boxes):
        for other in boxes[number + 1 :]:
            apart = max(abs(one.x - other.x) - one.width, abs(one.y - other.y) - one.height)
            assert apart >= -1e-9


@pytest.mark.parametrize("name", READY)
def test_what_is_printed_keeps_off_the_edges_of_label_and_page(name):
    sheet = READY[name]
    inside = sheet.inside()
    assert min(inside.x, inside.y) >= INSET
    for number in range(sheet.count):
        box = sheet.box(number)
        x, y = box.x + inside.x, box.y + inside.y
        assert min(x, y) >= PRINTER_EDGE
        assert x + inside.width <= box.x + box.width - INSET + 1e-9
        assert x + inside.width <= sheet.page.width - PRINTER_EDGE + 1e-9
        assert y + inside.height <= sheet.page.height - PRINTER_EDGE + 1e-9
    assert min(inside.width, inside.height) >= LEAST_CODE


def test_labels_are_counted_row_by_row():
    sheet = READY["a4-21"]
    assert sheet.box(0) == Box(7.25, 15.15, 63.5, 38.1)
    assert sheet.box(2).x == pytest.approx(7.25 + 2 * 66)
    assert (sheet.box(3).x, sheet.box(3).y) == (7.25, pytest.approx(15.15 + 38.1))


def test_a_sheet_of_one_s_own_is_read(tmp_path):
    sheet, problems = read(tmp_path)
    assert problems == []
    ready = READY["a4-8"]
    assert [sheet.box(n) for n in range(8)] == [ready.box(n) for n in range(8)]


@pytest.mark.parametrize(
    ("changes", "flaw", "message"),
    [
        ({"columns": "3"}, "contradiction", "3 columns with margin and gaps are 306.95 mm wide"),
        ({"rows": "5"}, "contradiction", "5 rows with margin and gaps are 351.6 mm high"),
        ({"gap": {"across": "-1"}}, "contradiction", "`-1` makes labels overlap"),
        ({"margin": {"left": "-1", "top": "0"}}, "contradiction", "`-1` is less than nothing"),
        (
            {"label": {"width": "80", "height": "22"}},
            "contradiction",
            "18.4 mm of a label can be printed on, and its code needs 20",
        ),
        ({"page": {"width": "9000", "height": "297"}}, "wrong-type", "`9000` is more than 1000 mm"),
        ({"rows": "four"}, "wrong-type", "`four` is not a whole number"),
        ({"rows": "0"}, "wrong-type", "0 is not between 1 and 1,000,000"),
        ({"label": {"width": "80"}}, "missing-key", "the key `height` is missing here"),
        ({"colums": "2"}, "unknown-key", "the key `colums` is not known here"),
        ({"page": "a4"}, "wrong-type", "a set of keys is expected here, not a single value"),
    ],
)
def test_a_sheet_that_can_t_be_is_told_with_its_line(changes, flaw, message, tmp_path):
    sheet, problems = read(tmp_path, **changes)
    assert sheet is None
    [(line, found, said, mend)] = problems
    assert line > 0
    assert (found, said[: len(message)]) == (flaw, message)
    assert mend


def test_all_mistakes_of_a_sheet_are_told_at_once(tmp_path):
    _, problems = read(tmp_path, rows="four", columns=None, gap={"down": "-2"})
    assert [flaw for _, flaw, _, _ in problems] == ["missing-key", "wrong-type", "contradiction"]


def test_a_label_inside_its_page_loses_no_more_than_the_inset(tmp_path):
    sheet, _ = read(tmp_path, margin={"left": "6", "top": "6"}, gap={"across": "0", "down": "0"})
    assert (sheet.inside().x, sheet.inside().y) == (INSET, INSET)
