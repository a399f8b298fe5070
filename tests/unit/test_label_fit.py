"""The largest type in which texts fit, and how they are parted into lines."""

import pytest

from stepstop.labels.face import Face
from stepstop.labels.fit import KEPT, LARGEST, LEADING, POINT, SMALLEST, Text, fitted, wrapped


def by_letters(text, *, bold=False):
    """Half its size for each letter, a fifth more where it is bold."""
    return len(text) * (0.6 if bold else 0.5)


def test_lines_are_filled_word_by_word():
    assert wrapped("one two three", 4, by_letters) == ["one two", "three"]
    assert wrapped("one two three", 3.4, by_letters) == ["one", "two", "three"]
    assert wrapped("one two three", 100, by_letters) == ["one two three"]


def test_a_word_that_is_too_wide_stands_alone():
    assert wrapped("a wonderful day", 3, by_letters) == ["a", "wonderful", "day"]


def test_an_address_is_parted_after_a_slash_where_it_may_be():
    address = "help.sample.example/guide/furnace/"
    assert wrapped(address, 13, by_letters) == [address]
    parts = wrapped(address, 13, by_letters, parts=True)
    assert parts == ["help.sample.example/guide/", "furnace/"]
    assert "".join(parts) == address


def test_what_is_kept_together_is_not_parted_and_becomes_a_space():
    text = f"Call (202){KEPT}555-0143"
    assert wrapped(text, 7, by_letters) == ["Call", "(202) 555-0143"]


def test_common_text_gets_the_largest_type_that_fits():
    texts = [Text("tenletters", 1.0), Text("tenletters", 1.0)]
    column = fitted(texts, 20, 100, by_letters)
    assert column.size * 5 * POINT <= 20 < (column.size + 0.25) * 5 * POINT
    assert [line.text for line in column.lines] == ["tenletters", "tenletters"]
    assert fitted(texts, 100, 100, by_letters).size == LARGEST


def test_lines_follow_each_other_and_stay_inside_the_height():
    texts = [Text("head", 1.5, bold=True), Text("some words that are more", 1.0, gap=0.5)]
    column = fitted(texts, 25, 12, by_letters)
    assert column.height <= 12
    assert all(line.width <= 25 for line in column.lines)
    tops = [line.base for line in column.lines]
    assert tops == sorted(tops)
    assert column.lines[-1].base <= column.height
    gap = tops[1] - tops[0]
    assert gap > LEADING * column.size * POINT


def test_nothing_is_set_smaller_than_the_smallest():
    column = fitted([Text("x" * 10, 1.0), Text("y" * 10, 0.5)], 11, 20, by_letters)
    assert column.size < 2 * SMALLEST
    assert min(line.size for line in column.lines) == SMALLEST


def test_what_does_not_fit_even_so_is_told():
    assert fitted([Text("x" * 10, 1.0)], 10, 100, by_letters) is None
    assert fitted([Text("x", 1.0)] * 5, 100, 12, by_letters) is None


def test_bold_is_measured_as_bold():
    regular, bold = (fitted([Text("x" * 10, 1.0, b)], 15, 99, by_letters) for b in (False, True))
    assert bold.size < regular.size


@pytest.mark.parametrize(
    ("text", "bold", "width"),
    [("AM", False, 667 + 833), ("AM", True, 722 + 833), ("911", False, 3 * 556), ("é", False, 556)],
)
def test_the_core_type_has_the_widths_of_its_published_metrics(text, bold, width):
    """Thousandths of the size, from Adobe's AFM files of Helvetica; from memory."""
    assert Face().measure(text, bold=bold) * 1000 == pytest.approx(width, abs=0.5)


def test_signs_that_the_type_has_not_are_named_once():
    assert Face().lacks("Sample Straße é £") == ""
    assert Face().lacks("“Ž” “ 東") == "“Ž”東"


def test_what_is_not_known_is_taken_to_be_wide():
    face = Face()
    assert face.measure("東京", bold=False) == 2
    assert face.measure("Ž", bold=True) >= face.measure("Z", bold=True)
