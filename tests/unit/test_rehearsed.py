"""What is kept of a rehearsal: for which trees it holds, how it is read, and how it is written."""

import json
import random
import shutil
from dataclasses import dataclass, replace

import pytest

from browser.sites import (
    laid_out,
    made_up,
    read_in,
    read_texts,
    rehearse,
    small_library,
    write_texts,
)
from stepstop import belief, rehearsed
from stepstop.belief import Likely
from stepstop.plain import made, plain
from stepstop.rehearsed import FILE, Bar, Pointed, fingerprint, summary, written

COLD, HOT = "complaints/cold.yml", "complaints/hot.yml"
CAUSES, FINDINGS, CHECKS = (f"catalogue/{n}.yml" for n in ("causes", "findings", "checks"))


@pytest.fixture
def trees(tmp_path):
    return small_library(tmp_path / "trees")


def changed(trees, name, *keys, to):
    """The fingerprint once the value at `keys` of a file is another."""
    data = read_texts(trees / name)
    part = data
    for key in keys[:-1]:
        part = part[key]
    assert part[keys[-1]] != to
    part[keys[-1]] = to
    write_texts(data, trees / name)
    return fingerprint(trees, laid_out(trees))


WORDING = [
    (COLD, "title", "The heat has gone out"),
    (COLD, "words", ["cold rooms"]),
    (COLD, "steps", "ready", "ask", "Can you get to the furnace?"),
    (COLD, "steps", "ready", "answers", 0, "say", "Yes, I can get there"),
    (COLD, "outcomes", "call", "say", ["It is cold.", "I stopped."]),
    (COLD, "outcomes", "call", "do", ["Put on a coat."]),
    (COLD, "outcomes", "call", "leave", "until", "someone comes"),
    (COLD, "outcomes", "call", "causes", ["board", "no-power"]),
    (CAUSES, "causes", "board", "name", "the control"),
    (CAUSES, "causes", "board", "plain", "The control may not answer."),
    (CAUSES, "causes", "board", "root", "Was it wet?"),
    (FINDINGS, "findings", "heat", "about", "is there heat"),
    (CHECKS, "checks", "set-heat", "name", "Turn the heat up"),
]

STRUCTURE = [
    (COLD, "steps", "ready", "answers", 2, "go", "tried"),
    (COLD, "steps", "tried", "answers", 0, "is", "yes"),
    (COLD, "steps", "ready", "at", "unit"),
    (COLD, "outcomes", "works", "kind", "watch"),
    (COLD, "outcomes", "call", "urgency", "can-wait"),
    (COLD, "outcomes", "call", "leave", "state", "untouched"),
    (HOT, "outcomes", "quiet", "hurry-urgency", "today"),
    (CAUSES, "causes", "board", "frequency", "rare"),
    (CAUSES, "causes", "board", "mended-by", "you"),
    (FINDINGS, "findings", "tried-before", "kind", "event"),
    (
        FINDINGS,
        "findings",
        "panel-fit",
        "values",
        "flush",
        {"about": "flush", "implies": {"heat": "no"}},
    ),
    (CHECKS, "checks", "all-parts", "minutes", "9"),
    (CHECKS, "checks", "reset-breaker", "effects", ["cuts-light"]),
]


@pytest.mark.parametrize(("name", "keys", "to"), [(n, k, t) for n, *k, t in WORDING])
def test_other_words_leave_a_rehearsal_as_good_as_it_was(trees, name, keys, to):
    before = fingerprint(trees, laid_out(trees))
    assert changed(trees, name, *keys, to=to) == before


@pytest.mark.parametrize(("name", "keys", "to"), [(n, k, t) for n, *k, t in STRUCTURE])
def test_what_decides_figures_makes_a_rehearsal_stale(trees, name, keys, to):
    rehearse(trees)
    before = fingerprint(trees, laid_out(trees))
    assert read_in(trees) is not None
    assert changed(trees, name, *keys, to=to) != before
    assert read_in(trees) is None


def test_who_calls_and_what_is_right_decide_as_well(trees):
    course = laid_out(trees)
    seen = {fingerprint(trees, course)}
    (trees / "rehearsal").mkdir()
    for name in ("callers.yml", "verdicts.yml"):
        (trees / "rehearsal" / name).write_text("a: b\n")
        seen.add(fingerprint(trees, course))
    (trees / "rehearsal" / "notes.md").write_text("nothing")
    (trees / FILE).write_text("nothing")
    assert fingerprint(trees, course) in seen
    assert len(seen) == 3


@pytest.mark.parametrize("name", ["house/senses.py", "rehearsal/judge.py", "belief.py"])
def test_the_modules_that_compute_decide_and_the_ends_of_their_lines_do_not(
    trees, tmp_path, monkeypatch, name
):
    course = laid_out(trees)
    before = fingerprint(trees, course)
    package = shutil.copytree(rehearsed._PACKAGE, tmp_path / "stepstop")
    monkeypatch.setattr(rehearsed, "_PACKAGE", package)
    assert fingerprint(trees, course) == before
    rehearsed._code.cache_clear()
    module = (package / name).read_bytes()
    (package / name).write_bytes(module.replace(b"\n", b"\r\n"))
    assert fingerprint(trees, course) == before
    rehearsed._code.cache_clear()
    (package / name).write_bytes(module + b"# more\n")
    assert fingerprint(trees, course) != before


def test_the_fingerprint_knows_no_folder(trees, tmp_path):
    other = shutil.copytree(trees, tmp_path / "elsewhere")
    assert fingerprint(trees, laid_out(trees)) == fingerprint(other, laid_out(other))


# ---- reading ----


def test_what_was_written_is_read_again(trees):
    rehearse(trees)
    course = laid_out(trees)
    found = read_in(trees)
    assert found == made_up(course)
    assert found.likely["cold/call"][0].word == "very likely"
    assert "1,234 cases of 2 causes" in summary(found)
    assert "4 of 12 bars met" in summary(found)


def test_without_a_file_there_is_none(trees):
    assert read_in(trees) is None
    (trees / FILE).mkdir(parents=True)
    assert read_in(trees) is None


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"\xff\xfe", b"null", b"[]", b"1", b'"x"', b"{}", b"[" * 100_000, b'{"format": 1}'],
)
def test_a_file_that_is_no_rehearsal_is_as_good_as_none(trees, content):
    (trees / "rehearsal").mkdir()
    (trees / FILE).write_bytes(content)
    assert read_in(trees) is None


def _other(*keys, to):
    def damage(data):
        part = data
        for key in keys[:-1]:
            part = part[key]
        part[keys[-1]] = to

    return damage


FIRST = ("likely", "cold/call", 0)
ACCURATE = ("figures", "models", "accurate")
DAMAGE = {
    "another format": _other("format", to=2),
    "other trees": _other("of", to="0" * 64),
    "a part too many": _other("figures", "more", to=1),
    "no figures": lambda data: data.pop("figures"),
    "a model too few": lambda data: data["figures"]["models"].pop("unsure"),
    "a chance as text": _other(*FIRST, "chance", to="0.5"),
    "yes for a chance": _other(*FIRST, "chance", to=True),
    "no number": _other(*FIRST, "chance", to=float("nan")),
    "no finite number": _other(*FIRST, "chance", to=float("inf")),
    "a number too large": _other(*FIRST, "chance", to=10**400),
    "a cause nobody knows": _other(*FIRST, "cause", to="gremlins"),
    "a finding nobody knows": _other(*FIRST, "supports", to=[["mood", "no"]]),
    "a value nobody knows": _other(*FIRST, "supports", to=[["heat", "perhaps"]]),
    "an answer of three": _other(*FIRST, "supports", to=[["heat", "no", "yes"]]),
    "a text for a list": _other(*FIRST, "supports", to="heat"),
    "a worst cause nobody knows": _other(*ACCURATE, "worst", 0, "cause", to="gremlins"),
    "a group nobody knows": _other("figures", "alike", to=[["gremlins"]]),
    "a list for a name": _other("figures", "declared", to=[["board"]]),
    "a complaint nobody knows": _other(*ACCURATE, "complaints", to={}),
    "pages without a number": _other(*ACCURATE, "pages", to={"many": 1.0}),
    "a count with a fraction": _other("figures", "cases", to=1.5),
    "a bar too few": _other("figures", "variations", "weights", "both", to=[]),
}


@pytest.mark.parametrize("what", DAMAGE)
def test_a_damaged_file_is_as_good_as_none(trees, what):
    rehearse(trees)
    data = json.loads((trees / FILE).read_bytes())
    DAMAGE[what](data)
    (trees / FILE).write_text(json.dumps(data))
    assert read_in(trees) is None


# ---- writing ----


def test_the_bytes_are_the_same_whatever_order_things_came_in(trees):
    found = made_up(laid_out(trees))
    shuffled = list(found.likely.items())
    random.Random(1).shuffle(shuffled)
    again = replace(found, likely=dict(shuffled))
    assert list(again.likely) != list(found.likely)
    assert written(again, "x") == written(found, "x")


def test_the_form_is_the_documented_one(trees):
    found = made_up(laid_out(trees))
    sharp = replace(found.likely["cold/call"][0], chance=0.62349)
    data = json.loads(written(replace(found, likely={"cold/call": (sharp,)}), "abc"))
    assert data.keys() == {"format", "of", "likely", "figures"}
    assert (data["format"], data["of"]) == (1, "abc")
    assert data["likely"]["cold/call"] == [
        {
            "cause": "board",
            "chance": 0.623,
            "supports": [["heat", "no"], ["gas-smell", "no"]],
            "contradicts": [["water", "puddle"]],
        }
    ]
    assert data["figures"]["models"]["both"]["shown"]["share-by-cause"] == 0.6


def test_numbers_have_few_digits_and_one_form():
    assert plain([1 / 3, -1e-9, 2], digits=4) == [0.3333, 0.0, 2]
    assert str(plain(-1e-9, digits=4)) == "0.0"


def test_what_is_no_number_is_not_written(trees):
    found = made_up(laid_out(trees))
    odd = replace(found.likely["cold/call"][0], chance=float("nan"))
    with pytest.raises(ValueError, match="JSON"):
        written(replace(found, likely={"cold/call": (odd,)}), "x")


def test_the_words_are_those_of_belief():
    edges = (belief.LIKELY, belief.VERY_LIKELY)
    chances = [0.0, 1.0, *(e + d for e in edges for d in (-0.001, 0.0, 0.001))]
    for chance in chances:
        assert Pointed("a", chance, (), ()).word == Likely("a", chance, (), ()).word


# ---- plain data ----


@dataclass(frozen=True)
class Small:
    a_name: str
    many: tuple[int, ...]
    perhaps: float | None


def test_plain_data_is_named_as_the_fields_and_comes_back():
    small = Small("x", (1, 2), None)
    data = {"a-name": "x", "many": [1, 2], "perhaps": None}
    assert plain(small, digits=3) == data
    assert made(Small, data) == small
    assert made(Small, {**data, "perhaps": 2}).perhaps == 2.0


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"a-name": "x", "many": [1]},
        {"a-name": 1, "many": [1], "perhaps": None},
        {"a-name": "x", "many": [True], "perhaps": None},
        {"a-name": "x", "many": 1, "perhaps": None},
        {"a-name": "x", "many": [1], "perhaps": "1"},
        {"a_name": "x", "many": [1], "perhaps": None},
    ],
)
def test_plain_data_of_another_form_is_refused(data):
    with pytest.raises(ValueError):  # noqa: PT011 - which of its texts says nothing
        made(Small, data)


def test_a_bar_may_have_nothing_to_measure():
    bar = Bar("a bar", None, 0.9, True, "%", None)
    assert made(Bar, plain(bar, digits=4)) == bar
