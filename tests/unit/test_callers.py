"""Callers as they are read: what is declared, what follows from it, what is refused."""

from pathlib import Path

import pytest

from stepstop.callers import MODELS, Rates, read_callers
from stepstop.source import NOWHERE
from stepstop.verify import verify
from unit.rehearsed import CALLERS, library, write

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory):
    return library(write(tmp_path_factory.mktemp("small") / "t")).catalogue


@pytest.fixture
def read(tmp_path, catalogue):
    """Reads the callers with one text replaced."""

    def reading(old="", new=""):
        assert not old or CALLERS.count(old) == 1, f"{old!r} stands {CALLERS.count(old)} times"
        path = tmp_path / "callers.yml"
        path.write_text(CALLERS.replace(old, new) if old else CALLERS, "utf-8")
        return read_callers(path, catalogue)

    return reading


@pytest.fixture
def callers(read):
    found, problems = read()
    assert problems == []
    return found


def told(problems):
    return [f"{p.spot.line} {p.flaw}: {p.message}" for p in problems]


def line(text):
    """Number of the first line of the file that holds `text`."""
    return next(i for i, each in enumerate(CALLERS.splitlines(), 1) if text in each)


# ---- what is declared ----


def test_the_declared_callers_are_read(callers):
    assert list(callers.profiles) == ["able", "seated"]
    able = callers.profiles["able"]
    assert (able.weight, able.people, able.nose, able.mends) == (0.75, "none", "normal", "walk")
    assert able.reaches == ("chair", "thermostat", "unit", "panel")
    assert callers.errors.usual.unsure == 0.2
    assert callers.weak_nose == {"gas-smell": "yes"}


def test_whoever_reaches_the_unit_may_walk(callers):
    assert callers.profiles["able"].may_do == "walk"
    assert callers.profiles["seated"].may_do == "chair"


@pytest.mark.parametrize(
    ("name", "finding", "value"),
    [
        ("able", "ready-to-walk", "yes"),
        ("seated", "ready-to-walk", "no"),
        ("able", "safe-outside", "no"),
        ("able", "people-at-risk", "none"),
        ("seated", "people-at-risk", "someone"),
        ("able", "tried-before", "none"),
        ("able", "wanted-now", "cool"),
        ("able", "weather", "hot"),
        ("able", "heat", None),
    ],
)
def test_what_a_caller_knows_of_themselves(callers, name, finding, value):
    assert callers.profiles[name].told(finding, "cool", "hot") == value


@pytest.mark.parametrize(
    ("name", "wanted", "weather", "home"),
    [
        ("able", "heat", "frost", "within"),
        ("able", "cool", "hot", "within"),
        ("seated", "heat", "mild", "too-cold"),
        ("seated", "cool", "hot", "too-hot"),
    ],
)
def test_a_home_past_the_line_is_too_cold_or_too_hot_by_what_is_wanted(
    callers, name, wanted, weather, home
):
    assert callers.profiles[name].home_in(wanted, weather) == home


def test_with_somebody_at_risk_frost_outside_is_past_the_line(read):
    callers, _ = read("home: past", "home: within")
    assert callers.profiles["seated"].home_in("heat", "frost") == "too-cold"
    assert callers.profiles["seated"].home_in("heat", "cool") == "within"
    assert callers.profiles["able"].home_in("heat", "frost") == "within"


def test_what_callers_answer_without_the_house_is_known(callers):
    assert callers.findings == {
        "tried-before",
        "medical-device",
        "people-at-risk",
        "ready-to-walk",
        "safe-outside",
        "home-temperature",
        "wanted-now",
        "weather",
    }


# ---- errors ----


@pytest.mark.parametrize(
    ("model", "unsure", "mistaken"),
    [("accurate", 0, 0), ("unsure", 0.2, 0), ("mistaken", 0, 0.05), ("both", 0.2, 0.05)],
)
def test_a_model_keeps_its_sort_of_errors(callers, model, unsure, mistaken):
    assert model in MODELS
    usual = callers.errors_of(model).usual
    assert (usual.unsure, usual.mistaken) == (unsure, mistaken)


def test_danger_and_people_have_rates_of_their_own(callers):
    errors = callers.errors_of("both")
    assert errors.of("gas-smell", is_danger=True).unsure == 0.02
    assert errors.of("people-at-risk", is_danger=False).unsure == 0
    assert errors.of("home-temperature", is_danger=False).unsure == 0
    assert errors.of("heat", is_danger=False).unsure == 0.2


def test_errors_can_be_multiplied(callers):
    doubled = callers.errors.times(2)
    assert (doubled.usual.unsure, doubled.danger.mistaken) == (0.4, 0.02)
    assert Rates(0.25, 0.5, NOWHERE).times(2) == Rates(0.5, 1.0, NOWHERE)


# ---- what is refused ----


@pytest.mark.parametrize(
    ("old", "new", "at", "problem"),
    [
        ("weight: 0.75", "weight: 0.7", "", "contradiction: the weights add up to 0.95"),
        ("unit, panel]", "unit, cellar]", "unit, panel]", "unknown-name: `cellar` is no location"),
        ("people: someone", "people: many", "people: someone", "unknown-word: `many` is not one"),
        ("gas-smell: yes", "gas-smel: yes", "gas-smell:", "unknown-name: `gas-smel` is no finding"),
        ("gas-smell: yes", "gas-smell: no-way", "gas-smell:", "unknown-name: `no-way` is no value"),
        ("unsure: 0.2,", "unsure: 0.96,", "usual:", "contradiction: more than all answers"),
        ("nose: weak", "nose: red", "nose: weak", "unknown-word: `red` is not one"),
        ("    home: past\n", "", "", "missing-key: the key `home` is missing"),
        ("weak-nose:", "weak-nos:", "weak-nose:", "unknown-key: the key `weak-nos`"),
    ],
)
def test_a_mistake_is_shown_where_it_stands(read, old, new, at, problem):
    callers, problems = read(old, new)
    assert callers is None
    assert any(f"{p.flaw}: {p.message}".startswith(problem) for p in problems), told(problems)
    assert not at or line(at) in {p.spot.line for p in problems}


def test_what_follows_from_other_keys_may_not_be_said_again(read):
    for_able = "mends: walk\n    says: {tried-before: none"
    callers, problems = read(for_able, f"{for_able}, ready-to-walk: no")
    assert callers is None
    assert "`ready-to-walk` follows from the other keys" in " ".join(told(problems))


def test_every_caller_knows_the_same_things(read):
    for_able = "mends: walk\n    says: {tried-before: none}"
    callers, problems = read(for_able, "mends: walk\n    says: {}")
    assert callers is None
    assert "another caller says `tried-before`" in " ".join(told(problems))


def test_a_missing_file_is_told(tmp_path, catalogue):
    callers, problems = read_callers(tmp_path / "none.yml", catalogue)
    assert callers is None
    assert [p.flaw for p in problems] == ["unreadable-file"]


# ---- the shipped file ----


def test_the_shipped_callers_can_be_read_and_stand_for_all_that_the_trees_need():
    folder = ROOT / "decision_trees"
    course = verify(folder).course
    callers, problems = read_callers(folder / "rehearsal" / "callers.yml", course.library.catalogue)
    assert problems == []
    people = callers.profiles.values()
    assert {c.people for c in people} == {"none", "someone", "device-stopped"}
    assert {c.nose for c in people} == {"normal", "weak"}
    assert {c.home for c in people} == {"within", "past"}
    assert {c.may_do for c in people} == {"walk", "chair"}
    said = {c.says["tried-before"] for c in people}
    assert said == {"none", "reset-or-cycled"}
    assert any(c.says["somebody-working"] != "none" for c in people)
