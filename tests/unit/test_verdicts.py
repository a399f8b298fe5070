"""The table of verdicts as it is read, the row that holds, and who may know of it."""

import ast
from pathlib import Path

import pytest

import stepstop
from stepstop.verdicts import Situation, read_verdicts
from stepstop.verify import verify
from unit.rehearsed import VERDICTS, library, write

ROOT = Path(__file__).parents[2]
PACKAGE = Path(stepstop.__file__).parent


@pytest.fixture(scope="module")
def read_library(tmp_path_factory):
    return library(write(tmp_path_factory.mktemp("small") / "t"))


@pytest.fixture
def read(tmp_path, read_library):
    """Reads the table with one text replaced."""

    def reading(old="", new=""):
        assert not old or VERDICTS.count(old) == 1, f"{old!r} stands {VERDICTS.count(old)} times"
        path = tmp_path / "verdicts.yml"
        path.write_text(VERDICTS.replace(old, new) if old else VERDICTS, "utf-8")
        return read_verdicts(path, read_library)

    return reading


def situation(**changed):
    plain = {"complaint": "cold", "may_do": "walk", "people": "none", "home": "within"}
    return Situation(**{**plain, "weather": "cool", "wanted": "heat", **changed})


def told(problems):
    return [f"{p.flaw}: {p.message}" for p in problems]


# ---- the row that holds ----


def test_the_first_row_that_fits_holds(read):
    table, problems = read()
    assert problems == []
    assert table.judge("setting", situation(may_do="chair")).why == "the thermostat is within reach"
    assert table.judge("setting", situation()).why == "it is mended at the thermostat"


@pytest.mark.parametrize(
    ("when", "changed", "fits"),
    [
        ({}, {}, True),
        ({"home": "too-cold"}, {"home": "too-cold"}, True),
        ({"home": "too-cold"}, {}, False),
        ({"home": "too-cold", "people": "at-risk"}, {"home": "too-cold"}, False),
        ({"weather": "cool", "complaint": "cold", "may-do": "walk"}, {}, True),
        ({"wanted": "heat"}, {}, True),
        ({"wanted": "heat"}, {"complaint": "noise"}, True),
        ({"wanted": "cool"}, {}, False),
        ({"wanted": "heat"}, {"wanted": "cool"}, False),
        ({"wanted": "heat", "weather": "frost"}, {}, False),
    ],
)
def test_a_row_holds_when_all_that_it_names_is_so(when, changed, fits):
    assert situation(**changed).fits(when) is fits


def test_a_row_may_depend_on_what_is_wanted_whatever_the_complaint(read):
    table, problems = read("may-do: chair", "wanted: heat")
    assert problems == []
    seats = [(told, wanted) for told in ("cold", "noise") for wanted in ("heat", "cool")]
    calls = {seat: situation(complaint=seat[0], wanted=seat[1]) for seat in seats}
    whys = {seat: table.judge("setting", call).why for seat, call in calls.items()}
    assert whys == {
        ("cold", "heat"): "the thermostat is within reach",
        ("noise", "heat"): "the thermostat is within reach",
        ("cold", "cool"): "it is mended at the thermostat",
        ("noise", "cool"): "it is mended at the thermostat",
    }


def test_what_is_right_depends_on_whether_the_unit_works_again(read):
    table, _ = read()
    row = table.judge("no-power", situation())
    assert row.kinds(works=True) == ("watch",)
    assert row.kinds(works=False) == ("call",)


def test_where_nothing_may_work_again_on_a_call_only_the_failing_kinds_are_right(read):
    table, _ = read()
    assert table.judge("board", situation()).kinds(works=True) == ("call",)


def test_hazards_and_signs_are_read(read):
    table, _ = read()
    leak = table.causes["leak"]
    assert leak.is_hazard
    assert leak.signs == (("gas-smell", "yes"),)
    assert leak.unsafe == ("set-heat",)
    assert not table.causes["board"].is_hazard


def test_a_cause_without_verdict_is_an_error(read):
    table, _ = read()
    with pytest.raises(KeyError):
        table.judge("unheard-of", situation())


# ---- what is refused ----


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("hazard: gas", "hazard: ghosts", "unknown-word: `ghosts` is not one of"),
        ("hazard: gas", "hazard: none", "contradiction: `leak` has no hazard"),
        ("gas-smell: yes", "gas-smel: yes", "unknown-name: `gas-smel` is no finding"),
        ("gas-smell: yes", "gas-smell: odd", "unknown-name: `odd` is no value of `gas-smell`"),
        ("{gas-smell: yes}", "{gas-smell: yes, bang: yes}", "wrong-type: a sign is one finding"),
        ("[set-heat]", "[set-fire]", "unknown-name: `set-fire` is no check"),
        ("  leak:\n", "  leek:\n", "unknown-name: `leek` is no cause"),
        ("may-do: chair", "may-do: fly", "unknown-name: `fly` is no word of `may-do`"),
        ("may-do: chair", "wanted: warmth", "unknown-name: `warmth` is no word of `wanted`"),
        ("may-do: chair", "mood: good", "unknown-name: `mood` is no thing that a row may"),
        ("may-do: chair", "complaint: hot", "unknown-name: `hot` is no word of `complaint`"),
        ("latest: now", "latest: soon", "unknown-name: `soon` is no urgency"),
        (
            "soonest: now\n        latest: today",
            "soonest: today\n        latest: now",
            "contradiction: `today` is less urgent than `now`",
        ),
        ("left: untouched", "left: asleep", "unknown-word: `asleep` is not one of"),
        ("fails: [danger]\n", "fails: []\n", "empty-list: the list is empty"),
        ('why: "out at once"', 'because: "out"', "missing-key: the key `why` is missing"),
        ("{when: {may-do: chair}, ", "{", "contradiction: this row holds always"),
        (
            'running], why: "a reset once"',
            'running], when: {home: within}, why: x',
            "missing-key: the last row may not depend on anything",
        ),
    ],
)  # fmt: skip
def test_a_mistake_is_told(read, old, new, problem):
    table, problems = read(old, new)
    assert table is None
    assert any(each.startswith(problem) for each in told(problems)), told(problems)
    assert all(each.spot.line for each in problems)


def test_a_cause_that_is_left_out_is_told(read):
    start = VERDICTS.index("  short:")
    table, problems = read(VERDICTS[start:], "")
    assert table is None
    assert told(problems) == ["missing-key: the cause `short` has no verdict here"]


def test_a_call_with_nothing_wrong_may_be_judged(read):
    table, problems = read("  short:\n", "  nothing-wrong-found:\n")
    assert table is None
    assert told(problems) == ["missing-key: the cause `short` has no verdict here"]


# ---- the shipped table, and who knows of it ----


@pytest.fixture(scope="module")
def shipped():
    """The library and the table as they ship."""
    folder = ROOT / "decision_trees"
    library = verify(folder).course.library
    table, problems = read_verdicts(folder / "rehearsal" / "verdicts.yml", library)
    assert problems == []
    return library, table


def test_the_shipped_table_judges_every_cause(shipped):
    library, table = shipped
    assert library.catalogue.causes.keys() <= table.causes.keys()
    hazards = [judged for judged in table.causes.values() if judged.is_hazard]
    assert len(hazards) > 20
    for judged in hazards:
        kinds = {kind for row in judged.rows for kind in row.fails}
        assert kinds <= {"call", "danger"}, judged.id


@pytest.mark.parametrize("complaint", ["gas-smell", "co-alarm"])
def test_a_smell_of_gas_or_an_alarm_that_is_told_ends_in_danger_whatever_the_cause(
    shipped, complaint
):
    """Oil smells without gas, and an alarm with nothing wrong may only chirp: a call may do."""
    _, table = shipped
    told = {
        cause: table.judge(cause, situation(complaint=complaint, may_do=may_do))
        for cause in table.causes
        for may_do in ("walk", "chair")
    }
    assert {row.soonest for row in told.values()} == {"now"}
    assert all("danger" in row.fails for row in told.values())
    milder = {cause for cause, row in told.items() if row.kinds(works=True) != ("danger",)}
    if complaint == "co-alarm":
        assert milder == {"nothing-wrong-found"}
    else:
        assert milder == {cause for cause in table.causes if cause.startswith("oil-")}


@pytest.mark.parametrize("cause", ["gas-leak", "co-in-home", "fire-or-smoke"])
def test_every_check_keeps_people_in_a_house_that_they_must_leave(shipped, cause):
    library, table = shipped
    assert set(table.causes[cause].unsafe) == set(library.catalogue.checks)


def test_lost_heat_is_judged_alike_under_complaints_that_say_nothing_more(shipped):
    _, table = shipped
    names = ("no-heat", "nothing-responds", "cold-air", "blinking-light", "after-power-cut")
    for cause in table.causes:
        rows = {id(table.judge(cause, situation(complaint=name))) for name in names}
        assert len(rows) == 1, cause


def test_only_what_judges_calls_reads_the_table():
    """What makes trees, pages or advice may not know how it will be judged.

    Closed calls are judged by it, too, and a schema and the page of keys tell of its keys alone.
    """
    readers = set()
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        names = {n.module for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)}
        names |= {a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names}
        if "stepstop.verdicts" in names:
            readers.add(path.relative_to(PACKAGE).parts[0])
    assert readers == {"rehearsal", "closed.py", "json_schema.py", "reference.py"}
