"""Reading YAML: every scalar stays text with its spot, and nothing can hide."""

import os
import time
from pathlib import Path

import pytest

from stepstop.source import Spot
from stepstop.yaml_reader import (
    MAX_BYTES,
    MAX_DEPTH,
    MAX_HIDDEN,
    Fields,
    Gap,
    Items,
    Scalar,
    lines_of,
    read_file,
    read_text,
)


def plain(node):
    """A node as dicts, lists and texts."""
    if isinstance(node, Fields):
        return {key.text: plain(value) for key, value in node.entries}
    return [plain(each) for each in node.nodes] if isinstance(node, Items) else node.text


def root_of(text):
    root, problems = read_text(text, "f.yml")
    assert problems == []
    return root


def only(text):
    [problem] = read_text(text, "f.yml")[1]
    return problem


def test_words_that_yaml_takes_for_other_types_stay_text():
    text = "a: [off, no, yes, true, 12:30, 0o17, 1e3, 2026-11-25, .inf, <<, =]\n"
    words = ["off", "no", "yes", "true", "12:30", "0o17", "1e3", "2026-11-25", ".inf", "<<", "="]
    assert plain(root_of(text)) == {"a": words}


def test_quoted_folded_and_literal_texts_are_read_as_yaml_says():
    text = "a: 'it''s'\nb: \"x\\ty\"\nc: >\n  one\n  two\nd: |\n  one\n  two\ne: \"null\"\nf: '~'\n"
    assert plain(root_of(text)) == {
        "a": "it's",
        "b": "x\ty",
        "c": "one two\n",
        "d": "one\ntwo\n",
        "e": "null",
        "f": "~",
    }


def test_every_node_has_its_spot():
    root = root_of("one: two\nlist:\n  - first\n  - {k: long word}\n")
    (one, two), (_, listed) = root.entries
    assert (one.spot, two.spot) == (Spot("f.yml", 1, 1, 3), Spot("f.yml", 1, 6, 3))
    assert listed.nodes[0].spot == Spot("f.yml", 3, 5, 5)
    assert listed.nodes[1].spot == Spot("f.yml", 4, 5, 1)
    assert listed.nodes[1].entries[0][1].spot == Spot("f.yml", 4, 9, 9)


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["unix", "windows", "old-mac"])
def test_lines_are_counted_alike_whatever_ends_them(ends):
    text = ends.join(["a: b", "", "c: d", ""])
    assert root_of(text).entries[1][0].spot.line == 3
    assert lines_of(text)[2] == "c: d"
    assert only(text + "e: \u200b").spot.line == 4


def test_columns_are_counted_in_characters():
    root = root_of("{é𝄞漢: x, after: y}\n")
    assert root.entries[1][0].spot == Spot("f.yml", 1, 10, 5)


FLAWED = {
    "tab": ("a:\n\tb: c\n", "not-yaml", 2, 1),
    "colon": ("a: b: c\n", "not-yaml", 1, 5),
    "open bracket": ("a: [b\nc: d\n", "not-yaml", 2, 2),
    "open quotes": ('a: "b\n', "not-yaml", 2, 1),
    "directive": ("%FOO\n---\na: b\n", "not-yaml", 1, 5),
    "unknown tag handle": ("a: !x!y b\n", "not-yaml", 1, 4),
    "anchor": ("a: &x b\n", "yaml-alias", 1, 4),
    "anchor on a list": ("a: &x [b]\n", "yaml-alias", 1, 4),
    "alias": ("a: *x\n", "yaml-alias", 1, 4),
    "alias as key": ("*x : a\n", "yaml-alias", 1, 1),
    "tag": ("a: !!int 3\n", "yaml-tag", 1, 4),
    "tag on keys": ("a: !x {b: c}\n", "yaml-tag", 1, 4),
    "two documents": ("a: b\n---\nc: d\n", "several-documents", 2, 1),
    "key twice": ("a: b\nc: d\na: e\n", "duplicate-key", 3, 1),
    "key twice, quoted": ("a: b\n'a': e\n", "duplicate-key", 2, 1),
    "list as key": ("? [a]\n: b\n", "odd-key", 1, 3),
    "keys as key": ("? {a: b}\n: c\n", "odd-key", 1, 3),
    "null": ("a: null\n", "empty-text", 1, 4),
    "tilde": ("a: [b, ~]\n", "empty-text", 1, 8),
    "no-break space": ("a:\u00a0b\n", "hidden-character", 1, 3),
    "wide space": ("a: b\u3000c\n", "hidden-character", 1, 5),
    "byte order mark": ("\ufeffa: b\n", "hidden-character", 1, 1),
    "NUL": ("a: b\n\0c: d\n", "hidden-character", 2, 1),
    "escape": ("a: \x1b[31mb\n", "hidden-character", 1, 4),
    "right to left": ("a: b\u202ec\n", "hidden-character", 1, 5),
    "line separator": ("a: b\u2028c\n", "hidden-character", 1, 5),
    "next line": ("a: b\x85c\n", "hidden-character", 1, 5),
    "soft hyphen": ("a: b\u00adc\n", "hidden-character", 1, 5),
    "tag characters": ("a: b\U000e0041c\n", "hidden-character", 1, 5),
    "half a pair": ("a: \ud800\n", "hidden-character", 1, 4),
    "no character": ("a: \ufffe\n", "hidden-character", 1, 4),
    "number sign": ("a: breaker #2 is off\n", "cut-off-text", 1, 12),
    "number sign after spaces": ("a: breaker   #2\n", "cut-off-text", 1, 14),
    "number sign in a list": ("a:\n  - breaker #2\n", "cut-off-text", 2, 13),
    "number sign on a second line": ("a: the\n  breaker #2\n", "cut-off-text", 2, 11),
}


@pytest.mark.parametrize(("text", "flaw", "line", "column"), FLAWED.values(), ids=FLAWED)
def test_what_yaml_should_not_do_here_is_a_problem_at_its_place(text, flaw, line, column):
    problem = only(text)
    assert (problem.flaw, problem.spot.line, problem.spot.column) == (flaw, line, column)
    assert problem.mend


@pytest.mark.parametrize(
    "text",
    [
        "a: b # words\n",
        "# all\na: b\n",
        "a: b  #\n",
        'a: "breaker #2"\n',
        "a: 'breaker #2'\n",
        "a: |\n  breaker #2\n",
        "a: b#2\n",
        "#one\n#two\na: b\n",
        "a: #one\n  b\n",
    ],
)
def test_comments_and_number_signs_in_quotes_are_fine(text):
    assert read_text(text, "f.yml")[1] == []


def test_what_was_refused_leaves_a_gap_and_the_rest_is_read():
    root, problems = read_text("a: *x\nb: null\nc: d\n", "f.yml")
    assert [problem.flaw for problem in problems] == ["yaml-alias", "empty-text"]
    assert [type(value) for _, value in root.entries] == [Gap, Gap, Scalar]


def test_of_two_equal_keys_the_first_stays_and_both_places_are_shown():
    root, [problem] = read_text("a: b\na: c\n", "f.yml")
    assert plain(root) == {"a": "b"}
    assert [related.spot.line for related in problem.related] == [1]


def test_a_mistake_of_punctuation_says_where_it_began():
    problem = only("a: b\nlist:\n  [one,\n   two\nc: d\n")
    assert [related.spot for related in problem.related] == [Spot("f.yml", 3, 3)]
    assert "bracket" in problem.mend


@pytest.mark.parametrize("text", ["", "\n", "# words\n", "---\n", "---\n...\n", "''\n"])
def test_a_file_that_says_nothing_is_a_problem(text):
    assert only(text).flaw == "empty-file"


def test_nesting_may_be_as_deep_as_the_limit_and_no_deeper():
    assert read_text("[" * MAX_DEPTH + "]" * MAX_DEPTH, "f.yml")[1] == []
    deeper = only("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1))
    assert (deeper.flaw, deeper.spot.column) == ("nested-too-deep", MAX_DEPTH + 1)


@pytest.mark.parametrize(
    "text",
    [
        "[" * MAX_BYTES,
        "{a: " * (MAX_BYTES // 4),
        "a: " + " " * (MAX_BYTES - 4) + "b",
        "\0" * MAX_BYTES,
        "\0\n" * (MAX_BYTES // 2),
        "a: b #c\n" * (MAX_BYTES // 8),
        "- a\n" * (MAX_BYTES // 4),
        "? " * (MAX_BYTES // 2),
        "- " * (MAX_BYTES // 2),
        'a: "' + "\\" * (MAX_BYTES - 5),
    ],
    ids=lambda text: repr(text[:6]),
)
def test_the_largest_file_of_one_kind_is_read_or_refused_in_seconds(text):
    start = time.monotonic()
    read_text(text, "f.yml")
    assert time.monotonic() - start < 20


def test_many_hidden_characters_are_counted_instead_of_shown_one_by_one():
    _, problems = read_text("a: b\u200b\n" * 500, "f.yml")
    assert len(problems) == MAX_HIDDEN + 1
    assert problems[-1].message.startswith(f"{500 - MAX_HIDDEN:,} more ")


def of_file(path):
    root, problems = read_file(path, "f.yml")
    return root, [(problem.flaw, problem.spot) for problem in problems]


def test_a_file_is_read_by_its_path_and_told_by_its_name(tmp_path):
    path = tmp_path / "x.yml"
    path.write_text("a: b\n")
    root, problems = read_file(path, "shown/as.yml")
    assert problems == []
    assert root.spot.file == "shown/as.yml"


def test_a_file_above_the_limit_is_refused_and_one_at_the_limit_is_read(tmp_path):
    path = tmp_path / "x.yml"
    path.write_bytes(b"a: b\n" + b"#" * (MAX_BYTES - 5))
    assert of_file(path)[1] == []
    path.write_bytes(b"a: b\n" + b"#" * (MAX_BYTES - 4))
    assert of_file(path) == (None, [("file-too-large", Spot("f.yml", 0, 0))])


@pytest.mark.parametrize(
    ("data", "spot"),
    [
        (b"\xff\xfea\0:\0", Spot("f.yml", 1, 1)),
        (b"a: \xc3\xa9\nb: \xe9\n", Spot("f.yml", 2, 4)),
        (b"\xc3\xa9\xc3\xa9\xe9: b", Spot("f.yml", 1, 3)),
        (b"a: \xed\xa0\x80", Spot("f.yml", 1, 4)),
        (b"a: \xc3", Spot("f.yml", 1, 4)),
    ],
    ids=["utf-16", "latin-1", "after-letters", "surrogate", "cut-short"],
)
def test_the_byte_that_is_not_utf8_is_shown(data, spot, tmp_path):
    path = tmp_path / "x.yml"
    path.write_bytes(data)
    assert of_file(path) == (None, [("unreadable-file", spot)])


def test_what_is_no_file_is_not_opened(tmp_path):
    os.mkfifo(tmp_path / "pipe.yml")
    (tmp_path / "loop.yml").symlink_to(tmp_path / "loop.yml")
    for path in (tmp_path, tmp_path / "pipe.yml", tmp_path / "gone.yml", tmp_path / "loop.yml"):
        assert of_file(path) == (None, [("unreadable-file", Spot("f.yml", 0, 0))])


def test_endless_files_are_not_read():
    assert of_file(Path("/dev/zero"))[1] == [("unreadable-file", Spot("f.yml", 0, 0))]
