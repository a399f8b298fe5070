"""Whatever an author writes, reading ends with a tree or with problems, never with an exception."""

import json
import random
import re
import shutil
import tempfile
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from stepstop.problems import READING_FLAWS, Problem, Related
from stepstop.report import MAX_LINE, as_json, as_text
from stepstop.rules import RULES
from stepstop.source import Spot
from stepstop.verify import verify
from stepstop.yaml_reader import Fields, Items, lines_of, read_file, read_text

BASE = Path(__file__).parents[1] / "rules" / "base"
law = settings(max_examples=300, deadline=None, derandomize=True)

any_text = st.text(st.characters(exclude_categories=()), max_size=80)
"""Any characters at all, halves of pairs included."""
_PIECES = [*"[]{},:-?&*!|>'\"%@`#~ \n\t\\", "- ", ": ", "\n  ", "a", "é", "\u200b", "---\n", "<<"]
yaml_like = st.lists(st.sampled_from(_PIECES), max_size=40).map("".join)
"""Mostly YAML's own signs."""


def plain(node):
    if isinstance(node, Fields):
        return {key.text: plain(value) for key, value in node.entries}
    return [plain(each) for each in node.nodes] if isinstance(node, Items) else node.text


def is_sound(root, problems, text):
    """Whether there is a root or a problem, and every problem lies in the text."""
    lines = lines_of(text)
    for problem in problems:
        assert problem.flaw in READING_FLAWS
        assert problem.mend
        assert problem.spot.length >= 1
        assert 0 <= problem.spot.line <= len(lines) + 1
    return (root is None) <= bool(problems)


@law
@given(any_text | yaml_like)
def test_any_text_is_read_or_refused(text):
    root, problems = read_text(text, "f.yml")
    assert is_sound(root, problems, text)
    as_text(problems, lines=lambda _: lines_of(text))


@law
@given(st.binary(max_size=80) | yaml_like.map(str.encode))
def test_any_bytes_are_read_or_refused(data):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "f.yml"
        path.write_bytes(data)
        root, problems = read_file(path, str(path))
        assert is_sound(root, problems, data.decode("utf-8", "replace"))
        as_text(problems)


shown = st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=12)
trees = st.recursive(
    shown,
    lambda inner: (
        st.lists(inner, min_size=1, max_size=4)
        | st.dictionaries(shown, inner, min_size=1, max_size=4)
    ),
    max_leaves=12,
)


@law
@given(trees, st.booleans())
def test_what_is_plain_yaml_is_read_as_others_read_it(tree, flow):
    text = yaml.safe_dump(tree, default_flow_style=flow, allow_unicode=True)
    root, problems = read_text(text, "f.yml")
    assert problems == []
    assert plain(root) == tree == yaml.load(text, Loader=yaml.BaseLoader)


@law
@given(trees)
def test_every_value_can_be_found_again_at_its_spot(tree):
    text = yaml.safe_dump({"top": tree}, allow_unicode=True, default_style='"', width=9999)
    lines = lines_of(text)

    def look(node):
        if isinstance(node, Fields):
            for key, value in node.entries:
                look(key)
                look(value)
        elif isinstance(node, Items):
            for each in node.nodes:
                look(each)
        else:
            start = node.spot.column - 1
            there = lines[node.spot.line - 1][start : start + node.spot.length]
            assert yaml.safe_load(there) == node.text

    look(read_text(text, "f.yml")[0])


spots = st.builds(Spot, any_text, st.integers(-2, 9), st.integers(-2, 300), st.integers(-2, 300))
problems_of_any_kind = st.builds(
    Problem,
    spots,
    any_text,
    any_text,
    any_text,
    st.lists(any_text, max_size=3).map(tuple),
    st.lists(st.builds(Related, spots, any_text), max_size=2).map(tuple),
)


@law
@given(
    st.lists(problems_of_any_kind, max_size=4), st.lists(any_text | st.just("x" * 500), max_size=9)
)
def test_any_problem_can_be_shown(problems, lines):
    text = as_text(problems, lines=lambda _: lines)
    assert all(each.isprintable() for each in text.replace("\n", ""))
    for line in text.splitlines():
        if re.match(r" +\d+ \| ", line):
            assert len(line) <= MAX_LINE + 12
    text.encode("utf-8")


@law
@given(st.lists(problems_of_any_kind, max_size=4), st.dictionaries(any_text, st.integers(-1, 9)))
def test_any_problem_can_be_written_as_json(problems, examined):
    written = as_json(problems, examined)
    written.encode("utf-8")
    assert len(json.loads(written)["problems"]) == len(problems)


FILES = sorted(BASE.rglob("*.yml"))
WORDS = sorted(
    {word for path in FILES for word in re.findall(r"[\w-]+|[{}\[\]:,]", path.read_text("utf-8"))}
)
ODD = ["", "null", "~", "[]", "{}", "[[]]", "{a: b}", "a/b", "A b", "-1", "9" * 30, "x" * 2000]
KNOWN = {*READING_FLAWS, *(rule.FLAW for rule in RULES)}


def spoilt(text, choose):
    """`text` with one word or line taken out, put in, doubled, moved, or replaced by another."""
    text = text if re.search(r"\w", text) else "a: b\n"
    lines = text.splitlines(keepends=True)
    at = choose.randrange(len(lines))
    parts = re.split(r"([\w-]+)", text)
    word = choose.randrange(1, len(parts), 2)
    ways = {
        "word": lambda: parts.__setitem__(word, choose.choice(WORDS)),
        "odd": lambda: parts.__setitem__(word, choose.choice(ODD)),
        "cut": lambda: lines.pop(at),
        "double": lambda: lines.insert(at, lines[at]),
        "move": lambda: lines.insert(choose.randrange(len(lines)), lines.pop(at)),
        "indent": lambda: lines.__setitem__(at, "  " + lines[at]),
        "half": lambda: lines.__delitem__(slice(at, None)),
    }
    way = choose.choice(["word", "word", "word", *ways])
    ways[way]()
    return "".join(parts if way in ("word", "odd") else lines)


@pytest.fixture(scope="module")
def library(tmp_path_factory):
    folder = tmp_path_factory.mktemp("spoilt") / "t"
    shutil.copytree(BASE, folder)
    return folder


@pytest.mark.parametrize("block", range(6))
def test_a_library_spoilt_in_any_way_has_a_verdict(library, block):
    for seed in range(block * 100, block * 100 + 100):
        choose = random.Random(seed)
        changed = {}
        for _ in range(choose.choice([1, 1, 2, 4])):
            path = library / choose.choice(FILES).relative_to(BASE)
            changed.setdefault(path, path.read_text("utf-8"))
            path.write_text(spoilt(path.read_text("utf-8"), choose), "utf-8")
        first, second = verify(library), verify(library)
        for path, text in changed.items():
            path.write_text(text, "utf-8")
        assert first.problems == second.problems
        assert first.is_proven == (not first.problems)
        assert {problem.flaw for problem in first.problems} <= KNOWN
        assert all(problem.mend for problem in first.problems)
