"""Problems in a terminal and as JSON: the line, the mark below it, and nothing that misleads."""

import json

import pytest

from stepstop.problems import READING_FLAWS, Problem, Related, near, quoted, sorted_once
from stepstop.report import MAX_LINE, as_json, as_text, file_lines
from stepstop.rules import RULES
from stepstop.source import NOWHERE, Spot


def shown(line, column, length=1, number=1):
    """How a problem in a line is shown: the line and the mark below it."""
    lines = ["?"] * (number - 1) + [line]
    problem = Problem(Spot("f.yml", number, column, length), "flaw", "it is so")
    return as_text([problem], lines=lambda _: lines).splitlines()[1:]


def test_a_problem_is_shown_with_all_that_is_known_of_it():
    problem = Problem(
        Spot("trees/f.yml", 2, 7, 4),
        "unmet-requirement",
        "`door` can be reached with the power on",
        "switch it off first",
        ("cold > screen (none)", "door"),
        (Related(Spot("trees/c.yml", 9, 3), "`door` requires `power: off`"),),
    )
    assert as_text([problem], lines=lambda _: ["a: b", "  go: door"]) == (
        "trees/f.yml:2:7: unmet-requirement: `door` can be reached with the power on\n"
        "   2 |   go: door\n"
        "     |       ^^^^\n"
        "   path: cold > screen (none) > door\n"
        "   `door` requires `power: off` (trees/c.yml:9:3)\n"
        "   mend: switch it off first"
    )


def test_problems_stand_apart_by_an_empty_line():
    one, two = (Problem(Spot(name, 0, 0), "flaw", "it is so") for name in "ab")
    assert as_text([one, two]) == "a: flaw: it is so\n\nb: flaw: it is so"
    assert as_text([]) == ""


def test_the_mark_is_below_its_words_whatever_their_width():
    assert shown("say: 火 x", 8) == ["   1 | say: 火 x", "     |         ^"]
    assert shown("say: 火火", 6, 2) == ["   1 | say: 火火", "     |      ^^^^"]
    assert shown("e\u0301e\u0301x", 5) == ["   1 | e\u0301e\u0301x", "     |   ^"]
    assert shown("\tgo: x", 6) == ["   1 |  go: x", "     |      ^"]
    assert shown("go: x", 5, 1, 123)[1] == "       |     ^"


@pytest.mark.parametrize("column", [0, 1, 3, 4, 99])
@pytest.mark.parametrize("length", [0, 1, 2, 99])
def test_a_mark_beyond_the_line_stays_at_its_end(column, length):
    _, mark = shown("abc", column, length)
    assert 1 <= mark.count("^") <= 3
    assert len(mark) <= len("     | abc^")


def test_a_line_that_is_not_there_is_not_shown():
    assert shown("abc", 1, 1, 1) != []
    problem = Problem(Spot("f.yml", 7, 1), "flaw", "it is so")
    assert as_text([problem], lines=lambda _: ["one"]) == "f.yml:7:1: flaw: it is so"
    assert as_text([Problem(NOWHERE, "flaw", "it is so")]) == ": flaw: it is so"


@pytest.mark.parametrize("column", [1, 50, 61, 62, 500, 901, 996, 1000])
def test_of_a_long_line_the_part_around_the_mark_is_shown(column):
    line = "".join(chr(97 + n % 26) for n in range(1000))
    text, mark = shown(line, column)
    assert len(text) <= MAX_LINE + len("   1 | ……")
    assert text[mark.index("^")] == line[column - 1]
    assert ("…" in text[:8]) == (column > 61)
    assert ("…" in text[-1]) == (column <= 960)


def test_what_cannot_be_seen_or_would_steer_the_terminal_is_shown_as_a_sign():
    assert shown("a\x1b[31m\u202eb\u00a0c", 2)[0] == "   1 | a\ufffd[31m\ufffdb\ufffdc"
    problem = Problem(Spot("a\x1b.yml", 0, 0), "flaw", "it\nis\x07so", "do\rthis")
    assert as_text([problem]) == "a\ufffd.yml: flaw: it\ufffdis\ufffdso\n   mend: do\ufffdthis"


def test_files_are_read_anew_for_each_report(tmp_path):
    path = tmp_path / "f.yml"
    problem = Problem(Spot(str(path), 1, 1), "flaw", "it is so")
    path.write_text("before\n")
    assert "before" in as_text([problem])
    path.write_text("after\n")
    assert "after" in as_text([problem])


@pytest.mark.parametrize("name", ["/gone/away.yml", "/", "", "a\0b", "\ud800"])
def test_a_file_that_cannot_be_read_has_no_lines(name):
    file_lines.cache_clear()
    assert file_lines(name) == ()


def test_lines_end_where_the_reader_ends_them(tmp_path):
    path = tmp_path / "f.yml"
    path.write_bytes(b"a\r\nb\rc\nd\xe9\x0b\x0ce\xc2\x85f\xe2\x80\xa8g")
    file_lines.cache_clear()
    assert file_lines(str(path)) == ["a", "b", "c", "d\ufffd\x0b\x0ce\x85f\u2028g"]


def test_json_holds_every_problem_and_every_count():
    problem = Problem(
        Spot("f.yml", 2, 7, 4),
        "flaw",
        "it is «so»",
        "mend it",
        ("a (yes)", "b"),
        (Related(Spot("c.yml", 9, 3), "here"),),
    )
    written = as_json([problem], {"one-rule": 3, "other-rule": 0, "kept-away": -1})
    assert "«so»" in written
    assert json.loads(written) == {
        "format": 1,
        "problems": [
            {
                "flaw": "flaw",
                "place": {"file": "f.yml", "line": 2, "column": 7, "length": 4},
                "message": "it is «so»",
                "mend": "mend it",
                "path": ["a (yes)", "b"],
                "related": [
                    {
                        "place": {"file": "c.yml", "line": 9, "column": 3, "length": 1},
                        "text": "here",
                    }
                ],
            }
        ],
        "rules": {"one-rule": 3, "other-rule": 0, "kept-away": None},
    }


def test_json_can_always_be_written_out():
    as_json([Problem(Spot("\udcff", 0, 0), "flaw", "\ud800")], {}).encode("utf-8")


def test_problems_are_sorted_and_each_is_told_once_with_its_shortest_path():
    spots = [Spot("b", 1, 1), Spot("a", 2, 1), Spot("a", 1, 9)]
    many = [Problem(spot, "flaw", "it is so", "", path) for spot in spots for path in ("abc", "ab")]
    once = sorted_once(many)
    assert [problem.spot for problem in once] == [spots[2], spots[1], spots[0]]
    assert {problem.path for problem in once} == {"ab"}
    assert once == sorted_once(reversed(many))


def test_of_equal_problems_the_same_one_stays_whatever_their_order():
    one, two = (Problem(Spot("a", 1, 1), "flaw", "it is so", mend) for mend in ("this", "that"))
    assert sorted_once([one, two]) == sorted_once([two, one]) == [two]


def test_near_names_come_nearest_first_and_odd_ones_are_left_alone():
    assert near("redy", ["ready", "read", "door"]) == "did you mean `ready` or `read`?"
    assert near("xyz", ["ready"]) == ""
    assert near("r" * 100_000, ["r" * 100_000 + "s"]) == ""


def test_values_in_messages_are_short_and_on_one_line():
    assert quoted("a\n  b") == "`a b`"
    assert quoted("x" * 60) == f"`{'x' * 60}`"
    assert quoted("x" * 61) == f"`{'x' * 60}…`"
    assert quoted(" " * 10_000 + "x") == "`…`"


def test_flaws_of_reading_are_no_rules_and_say_what_they_are():
    assert not set(READING_FLAWS) & {rule.FLAW for rule in RULES}
    assert list(READING_FLAWS) == sorted(READING_FLAWS)
    assert all(about and not about.endswith(".") for about in READING_FLAWS.values())
