"""Regular expressions of the word lists: right, and quick on any text."""

import re
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepstop.patterns import fault
from stepstop.shapes import MAX_TEXT

GOOD = [
    "bypass(es|ed|ing)?",
    "(replace|change) (the |a )?(\\w+ )?fuses?",
    "(this|it) means (the|your) \\w+( \\w+)? is (bad|dead)",
    "(?:\\w+ ){0,4}cover",
    "100 ?%",
    "R-?\\d{2,3}[AB]?",
    "ground[- ]fault",
    "a.*b",
    "(?<!no )tape(?! measure)",
    "\\(\\?P\\)",
    "[(?)]x",
    "a{",
    "(ab)*c",
]


@pytest.mark.parametrize("pattern", GOOD)
def test_patterns_that_word_lists_need_are_taken(pattern):
    assert fault(pattern) is None


WRONG = {
    "(": "unterminated",
    "a)|(?:b": "unbalanced",
    "*": "nothing to repeat",
    "[a": "unterminated",
    "\\": "bad escape",
    "a{99999999999}": "too large",
    "(?i)a": "global flags",
    "[[a]": "nested set",
    "(" * 3000 + ")" * 3000: "recursion",
    "(?P<x>a)": "are read of the groups",
    "(?i:a)": "are read of the groups",
    "(?#x)a": "are read of the groups",
    "(a)?": "an empty text",
    "a*": "an empty text",
    "a|": "an empty text",
}


@pytest.mark.parametrize(("pattern", "message"), WRONG.items(), ids=lambda text: text[:20])
def test_wrong_patterns_are_told(pattern, message):
    flaw, said = fault(pattern)
    assert flaw == "wrong-type"
    assert message in said


SLOW = [
    "(a+)+b",
    "(a*)*b",
    "(a|a)+b",
    "(a|ab)*c",
    "(\\w+ ?)+c",
    "((a+b?)c?)+d",
    "(a?){25}b",
    "(?:(?:a|b)+)+c",
    ".*a.*b.*c",
    "[^x]*a[^x]*b[^x]*c",
]


@pytest.mark.parametrize("pattern", SLOW)
def test_patterns_that_may_take_long_are_refused(pattern):
    assert fault(pattern)[0] == "slow-pattern"


def patterns():
    """Small patterns over two letters, most of them with nested repeats."""
    repeat = st.sampled_from(["", "", "*", "+", "?", "{2}", "{0,3}", "{1,9}", "{3,}", "*?"])
    one = st.sampled_from(["a", "b", ".", "\\w", "[ab]", "[^b]", " "])
    return st.recursive(
        st.tuples(one, repeat).map("".join),
        lambda inner: st.one_of(
            st.lists(inner, min_size=1, max_size=3).map("".join),
            st.tuples(inner, inner).map("|".join),
            st.tuples(inner, repeat).map(lambda pair: f"({pair[0]}){pair[1]}"),
        ),
        max_leaves=8,
    )


@settings(max_examples=400, deadline=None, derandomize=True)
@given(patterns())
def test_whatever_is_taken_is_quick_on_the_longest_text(pattern):
    if fault(pattern) is None:
        compiled = re.compile(rf"\b(?:{pattern})\b")
        start = time.monotonic()
        for text in ("a" * 60 + "!", ("a b" * 40)[:MAX_TEXT] + "!"):
            compiled.search(text)
        assert time.monotonic() - start < 2
