"""Shapes: what each takes, what it refuses and how, and that reading goes on afterwards."""

from dataclasses import dataclass

import pytest

from stepstop.schema import CATALOGUE_FILES, OUTCOME, RULEBOOK, STEP_KEYS, TREE
from stepstop.shapes import (
    MAX_NAME,
    MAX_TEXT,
    AnyItems,
    AnyNames,
    Desk,
    Flag,
    Id,
    Key,
    ListOf,
    MapOf,
    Number,
    OneOf,
    Pattern,
    Record,
    Reference,
    Text,
)
from stepstop.source import NOWHERE, Spot, spot_of
from stepstop.yaml_reader import read_text


def read(shape, text):
    """The value of `v: TEXT` by `shape`, and the flaws with their messages."""
    node, problems = read_text(f"v: {text}\n", "f.yml")
    desk = Desk(problems)
    value = shape.read(node.entries[0][1], desk)
    assert all(problem.mend for problem in desk.problems)
    return value, [(problem.flaw, problem.message) for problem in desk.problems]


TAKEN = {
    "a text, folded": (Text(), '"  two \\n  words "', "two words"),
    "a text on two lines": (Text(), "two\n  words", "two words"),
    "a text with numbers for the place": (
        Text(),
        '"{emergency} {gas-line} {power-company}"',
        "{emergency} {gas-line} {power-company}",
    ),
    "the longest text": (Text(), "x" * MAX_TEXT, "x" * MAX_TEXT),
    "a pattern": (Pattern(), "'(re)?light(s|ing)?'", "(re)?light(s|ing)?"),
    "a pattern with braces": (Pattern(), "'R-?[0-9]{2,3}'", "R-?[0-9]{2,3}"),
    "a name": (Id(), "a1-b2", "a1-b2"),
    "a name of digits": (Id(), "404", "404"),
    "the longest name": (Id(), "x" * MAX_NAME, "x" * MAX_NAME),
    "a word like false": (Id(), "off", "off"),
    "a page": (Reference(), "light", "light"),
    "a page of another file": (Reference(), "power/light", "power/light"),
    "one of some words": (OneOf(("a", "b")), "b", "b"),
    "a whole number": (Number(1), "12", 12),
    "a number with a point": (Number(1, whole=False), "6.5", 6.5),
    "yes": (Flag(), "yes", True),
    "no": (Flag(), "no", False),
    "a list": (ListOf(Id()), "[a, b]", ("a", "b")),
    "one for a list of one": (ListOf(Id(), least=1), "a", ("a",)),
    "an empty list": (ListOf(Id()), "[]", ()),
    "a mapping": (MapOf(Id()), "{a: b, c: d}", {"a": "b", "c": "d"}),
    "keys for a list of one": (ListOf(MapOf(Id())), "{a: b}", ({"a": "b"},)),
}


@pytest.mark.parametrize(("shape", "text", "value"), TAKEN.values(), ids=TAKEN)
def test_a_shape_takes(shape, text, value):
    assert read(shape, text) == (value, [])


REFUSED = {
    "no text": (Text(), "", "empty-text", "a text is expected here, not nothing"),
    "a blank text": (Text(), '" "', "empty-text", "a text is expected here, not nothing"),
    "a list for a text": (Text(), "[a]", "wrong-type", "a text is expected here, not a list"),
    "keys for a text": (
        Text(),
        "{a: b}",
        "wrong-type",
        "a text is expected here, not a set of keys",
    ),
    "a long text": (
        Text(),
        "x" * (MAX_TEXT + 1),
        "text-too-long",
        "the text has 1,001 characters, more than 1,000",
    ),
    "a name with capitals": (Id(), "Light", "odd-name", "`Light` is not a name"),
    "a name with an underscore": (Id(), "a_b", "odd-name", "`a_b` is not a name"),
    "a name with two hyphens": (Id(), "a--b", "odd-name", "`a--b` is not a name"),
    "a name that ends with one": (Id(), "a-", "odd-name", "`a-` is not a name"),
    "a name with a dot": (Id(), "a.technician", "odd-name", "`a.technician` is not a name"),
    "a name with a letter from elsewhere": (Id(), "é", "odd-name", "`é` is not a name"),
    "a name with another digit": (Id(), "a٣", "odd-name", "`a٣` is not a name"),
    "a name with a line end": (Id(), '"a\\n"', "odd-name", "`a` is not a name"),
    "no name": (Id(), "", "empty-text", "a name is expected here, not nothing"),
    "a list for a name": (Id(), "[a]", "wrong-type", "a name is expected here, not a list"),
    "a long name": (
        Id(),
        "x" * (MAX_NAME + 1),
        "text-too-long",
        "the name has 61 characters, more than 60",
    ),
    "a long odd name": (Id(), "X" * 5000, "odd-name", f"`{'X' * 60}…` is not a name"),
    "a page too deep": (Reference(), "a/b/c", "odd-name", "`a/b/c` is not the name of a page"),
    "half a page": (Reference(), "a/", "odd-name", "`a/` is not the name of a page"),
    "a way up": (Reference(), "../a", "odd-name", "`../a` is not the name of a page"),
    "another word": (OneOf(("a", "b")), "c", "unknown-word", "`c` is not one of a, b"),
    "a number in words": (Number(), "ten", "wrong-type", "`ten` is not a whole number"),
    "a number with a point for a whole one": (
        Number(),
        "1.5",
        "wrong-type",
        "`1.5` is not a whole number",
    ),
    "a number below": (Number(2), "1", "wrong-type", "1 is not between 2 and 1,000,000"),
    "a number above": (Number(), "1000001", "wrong-type", "1000001 is not between 0 and 1,000,000"),
    "a number without an end": (
        Number(),
        "9" * 5000,
        "wrong-type",
        f"`{'9' * 60}…` is not a whole number",
    ),
    "no number at all": (Number(whole=False), "nan", "wrong-type", "`nan` is not a number"),
    "a boundless number": (Number(whole=False), ".inf", "wrong-type", "`.inf` is not a number"),
    "a number with strokes": (Number(), "1_000", "wrong-type", "`1_000` is not a whole number"),
    "true": (Flag(), "true", "unknown-word", "`true` is not one of yes, no"),
    "an empty list": (
        ListOf(Id(), least=1),
        "[]",
        "empty-list",
        "the list is empty, and something must be in it",
    ),
    "an empty mapping": (
        MapOf(Id(), least=1),
        "{}",
        "empty-list",
        "nothing is here, and something must be",
    ),
    "a list for a mapping": (
        MapOf(Id()),
        "[a]",
        "wrong-type",
        "a set of names is expected here, not a list",
    ),
    "a bad pattern": (
        Pattern(),
        "'a('",
        "wrong-type",
        "`a(`: this is not a regular expression: missing ), unterminated subpattern at position 1",
    ),
    "a slow pattern": (
        Pattern(),
        "'(a+)+b'",
        "slow-pattern",
        "`(a+)+b`: a repeat stands inside a repeat, or `.*` too often",
    ),
}


@pytest.mark.parametrize(("shape", "text", "flaw", "message"), REFUSED.values(), ids=REFUSED)
def test_a_shape_refuses(shape, text, flaw, message):
    assert read(shape, text) == (None, [(flaw, message)])


def test_what_the_reader_refused_is_not_reported_again():
    for shape in (Text(), Id(), Number(), Flag(), Pattern(), ListOf(Id()), MapOf(Id()), OUTCOME):
        assert [flaw for flaw, _ in read(shape, "*alias")[1]] == ["yaml-alias"]


@pytest.mark.parametrize("blank", ["{emergancy}", "{}", "{ emergency }", "{", "}", "{{emergency}}"])
def test_braces_hold_only_what_the_place_fills_in(blank):
    _, problems = read(Text(), f'"Call {blank} now"')
    assert {flaw for flaw, _ in problems} == {"unknown-word"}


def test_a_list_leaves_out_what_does_not_fit_and_goes_on():
    value, problems = read(ListOf(Id()), "[a, B, c, [d], e]")
    assert value == ("a", "c", "e")
    assert [flaw for flaw, _ in problems] == ["odd-name", "wrong-type"]


def test_a_list_of_names_may_ask_for_each_once():
    value, problems = read(ListOf(Id(), once=True), "[a, b, a]")
    assert value == ("a", "b", "a")
    assert problems == [("duplicate-key", "`a` stands twice in this list")]


@dataclass(frozen=True)
class Cup:
    """Something to be made."""

    name: str
    size: int
    of_glass: bool
    holds: dict
    spot: Spot


CUP = Record(
    Cup,
    {
        "name": Key(Text(), "what it is called", needed=True),
        "size": Key(Number(1), "how large", 3),
        "of-glass": Key(Flag(), "glass", False),
        "contents": Key(MapOf(Id()), "what is in it", {}, name="holds"),
    },
    short="name",
)


def test_a_record_is_made_of_its_keys_defaults_and_spot():
    cup, problems = read(CUP, "{name: mug, of-glass: yes, contents: {tea: hot}}")
    assert problems == []
    assert cup == Cup("mug", 3, True, {"tea": "hot"}, Spot("f.yml", 1, 4, 1))
    assert spot_of(cup.name) == Spot("f.yml", 1, 11, 3)


def test_a_record_may_be_shortened_to_one_value():
    assert read(CUP, "mug")[0].name == "mug"


def test_a_record_tells_all_that_is_wrong_and_goes_on_with_blanks():
    cup, problems = read(CUP, "{nmae: mug, size: big, contents: [tea]}")
    assert problems == [
        ("unknown-key", "the key `nmae` is not known here"),
        ("wrong-type", "`big` is not a whole number"),
        ("wrong-type", "a set of names is expected here, not a list"),
        ("missing-key", "the key `name` is missing here"),
    ]
    assert (cup.name, cup.size, cup.of_glass) == ("", 1, False)
    assert "whatever" in cup.holds


def test_a_map_keeps_the_name_of_what_does_not_fit_and_drops_odd_names():
    value, problems = read(MapOf(CUP), "{a: [], B: mug, c: {size: 2}}")
    assert list(value) == ["a", "c"]
    assert [flaw for flaw, _ in problems] == ["wrong-type", "odd-name", "missing-key"]


def test_a_blank_holds_any_name_and_none():
    assert "x" in AnyNames()
    assert "x" in AnyItems()
    assert list(AnyNames()) == list(AnyItems()) == []
    assert AnyNames().get("x") is None
    assert AnyNames()


def test_every_shape_of_the_schema_has_a_blank():
    for shapes in CATALOGUE_FILES.values():
        for shape in shapes.values():
            shape.blank(NOWHERE)
    tree = TREE.blank(NOWHERE)
    assert (tree.id, tree.steps, tree.review) == ("", {}, None)
    rules = RULEBOOK.blank(NOWHERE)
    assert "look" in rules.boundaries
    assert rules.limits.longest_steps == 1


def steps_of(text):
    """The steps of a tree whose `steps` are `text`, and what is reported."""
    whole = f"tree: t\nrole: part\ntitle: T\nsteps:\n{text}"
    node, problems = read_text(whole, "f.yml")
    desk = Desk(problems)
    return TREE.read(node, desk).steps, [(p.flaw, p.message) for p in desk.problems]


def test_each_kind_of_step_is_read():
    steps, problems = steps_of(
        "  q: {ask: A?, at: chair, finding: f, answers: {say: Yes, is: yes, go: c, hurry: yes}}\n"
        "  c: {check: x, answers: [{say: Yes, is: [a, b], exit: out, keep-to: look}]}\n"
        "  n: {tell: Wait., go: other/page}\n"
        "  u: {use: shared, exits: {out: n, in: {go: q, keep-to: chair}, up: {exit: out}}}\n"
    )
    assert problems == []
    assert [step.kind for step in steps.values()] == ["question", "check", "note", "use"]
    (yes,), (both,), (go_on,) = (steps[name].answers for name in "qcn")
    assert (yes.target.name, yes.target.hurry, yes.target.is_exit) == ("c", True, False)
    assert (both.values, both.target.name, both.target.is_exit) == (("a", "b"), "out", True)
    assert (go_on.say, go_on.values, go_on.target.name) == ("", (), "other/page")
    exits = steps["u"].exits
    assert [exits[name].name for name in ("out", "in", "up")] == ["n", "q", "out"]
    assert [exits[name].keep_to for name in ("out", "in", "up")] == ["", "chair", ""]
    assert exits["up"].is_exit


def test_the_spot_of_a_target_is_its_name_and_of_a_step_its_own():
    steps, _ = steps_of("  q: {tell: Wait., go: c}\n")
    assert steps["q"].spot == Spot("f.yml", 5, 3, 1)
    assert steps["q"].answers[0].target.spot == Spot("f.yml", 5, 24, 1)


ODD_STEPS = {
    "an odd name": ("  Q: {tell: Wait., go: c}\n", [("odd-name", "`Q` is not a name")]),
    "no kind": (
        "  q: {go: c}\n",
        [("wrong-type", "a step needs exactly one of `ask`, `check`, `tell` and `use`")],
    ),
    "two kinds": (
        "  q: {ask: A?, tell: B}\n",
        [("wrong-type", "a step needs exactly one of `ask`, `check`, `tell` and `use`")],
    ),
    "a key of another kind": (
        "  q: {tell: Wait., finding: f, go: c}\n",
        [("unknown-key", "the key `finding` is not known here")],
    ),
    "nowhere to go": (
        "  q: {tell: Wait.}\n",
        [("missing-key", "the key `go` is missing here")],
    ),
    "two ways to go": (
        "  q: {tell: Wait., go: a, exit: b}\n",
        [("contradiction", "`go` and `exit` can't both be here")],
    ),
    "a way with an odd name": (
        "  q: {tell: Wait., go: A}\n",
        [("odd-name", "`A` is not the name of a page")],
    ),
    "an exit without a target": (
        "  q: {use: s, exits: {out: {hurry: yes}}}\n",
        [("missing-key", "the key `go` is missing here")],
    ),
    "an answer that stands for nothing": (
        "  q: {check: x, answers: [{say: Yes, is: [], go: c}]}\n",
        [("empty-list", "the list is empty, and something must be in it")],
    ),
    "no answers": (
        "  q: {check: x, answers: []}\n",
        [("empty-list", "the list is empty, and something must be in it")],
    ),
    "answers that are texts": (
        "  q: {check: x, answers: [Yes]}\n",
        [("wrong-type", "a set of keys is expected here, not a single value")],
    ),
}


@pytest.mark.parametrize(("text", "problems"), ODD_STEPS.values(), ids=ODD_STEPS)
def test_a_step_has_one_kind_and_every_answer_one_way(text, problems):
    assert steps_of(text)[1] == problems


def test_every_key_says_what_it_means():
    keys = [*TREE.keys.items(), *OUTCOME.keys.items(), *RULEBOOK.keys.items()]
    keys += [item for kind in STEP_KEYS.values() for item in kind.items()]
    for name, key in keys:
        assert key.about, name
        assert key.needed is False or key.default is None, name
