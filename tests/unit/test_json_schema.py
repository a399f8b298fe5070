"""JSON Schemas of the YAML files, by a reference validator: all that is shipped, and mistakes."""

import json
import shutil
from functools import cache

import pytest
from jsonschema import Draft202012Validator

from browser.sites import REAL, read_texts, small_library, write_texts
from stepstop import json_schema
from stepstop.callers import read_callers
from stepstop.company.schema import COMPANY
from stepstop.loader import load
from stepstop.overlay.layers import PARTS
from stepstop.schema import CATALOGUE_FILES, TREE
from stepstop.shapes import Desk
from stepstop.shipped import drawing_names, folder
from stepstop.yaml_reader import read_file
from unit.edited import BASE as RULES_BASE

BASE = REAL.parent / "tests"
FLAWS = ("unknown-key", "missing-key", "wrong-type", "empty-list", "empty-text", "odd-name")
"""Flaws of a file by itself that a schema can see, too."""


@cache
def validator(name):
    return Draft202012Validator(json_schema.json_schemas()[name])


def errors(path, trees):
    """What a reference validator finds in the file, every value taken as text."""
    known = validator(json_schema.schema_for(path.relative_to(trees).as_posix()))
    return list(known.iter_errors(read_texts(path)))


@pytest.mark.parametrize("name", json_schema.json_schemas())
def test_each_is_a_right_schema(name):
    form = json_schema.json_schemas()[name]
    Draft202012Validator.check_schema(form)
    assert json.loads(json_schema.written(form)) == form
    assert form["title"]
    for part in form["$defs"].values():
        for each in part.get("properties", {}).values():
            assert each.get("description")


SHIPPED = sorted(
    path
    for path in REAL.rglob("*.yml")
    if path.parent.name
    in ("catalogue", "complaints", "shared", "companies", "languages", "rehearsal")
)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_all_that_is_shipped_fits(path):
    assert errors(path, REAL) == []


def test_there_is_one_for_every_file_that_is_shipped_and_for_overlays():
    names = [path.relative_to(REAL).as_posix() for path in SHIPPED]
    laid = [f"changes/{name}" for name in names if name.split("/")[0] in PARTS]
    assert {json_schema.schema_for(name) for name in (*names, *laid, "over.yml")} == set(
        json_schema.json_schemas()
    )


@pytest.mark.parametrize(
    "path", [path for path in SHIPPED if path.parent.name in PARTS], ids=lambda path: path.stem
)
def test_all_that_is_shipped_could_be_laid_over_what_is_below(path):
    known = validator(json_schema.schema_for(f"changes/{path.relative_to(REAL).as_posix()}"))
    assert list(known.iter_errors(read_texts(path))) == []


CHANGES = {
    "complaints/cold.yml": [
        ({"title": "A"}, True),
        ({"words": None, "equipment": ""}, True),
        ({"steps": {"panel": {"look": "Look."}}}, True),
        ({"steps": {"panel": None}}, True),
        ({"outcomes": {"call": {"leave": {"until": "we come"}, "causes": ["board"]}}}, True),
        ({"title": ["A"]}, False),
        ({"titel": "A"}, False),
        ({"steps": {"panel": {"looks": "Look."}}}, False),
        ({"outcomes": {"call": {"kind": "end"}}}, False),
        ({"outcomes": {"call": {"leave": {"state": "broken"}}}}, False),
        # A list is replaced as a whole, so what is in it must be whole.
        ({"steps": {"ready": {"answers": [{"say": "Yes"}]}}}, False),
        ([{"title": "A"}], False),
    ],
    "catalogue/causes.yml": [
        ({"causes": {"board": {"root": "Was it wet?"}}}, True),
        ({"causes": {"board": {"frequency": "often"}}}, False),
        ({"reasons": {}}, False),
    ],
    "catalogue/urgency.yml": [
        ({"urgencies": {"today": {"rank": "1"}}}, True),
        ({"urgencies": {"today": {"rank": "first"}}}, False),
    ],
}


@pytest.mark.parametrize(
    ("name", "change", "fits"),
    [(name, *case) for name, cases in CHANGES.items() for case in cases],
    ids=str,
)
def test_loader_and_schema_agree_on_a_change(tmp_path, name, change, fits):
    trees = tmp_path / "mine"
    shutil.copytree(RULES_BASE, tmp_path / "below")
    path = trees / "changes" / name
    path.parent.mkdir(parents=True)
    (trees / "over.yml").write_text("over: ../below\n")
    path.write_text(json.dumps(change).replace("null", '""'), "utf-8")
    known = validator(json_schema.schema_for(f"changes/{name}"))
    assert known.is_valid(change) is fits
    flaws = {p.flaw for p in load(trees)[1] if p.spot.file == path.as_posix()}
    own = flaws & {"unknown-key", "missing-key", "wrong-type", "unknown-word"}
    assert bool(own) is not fits, flaws


def test_the_trees_of_the_tests_fit(tmp_path):
    trees = small_library(tmp_path / "trees")
    for path in sorted(trees.rglob("*.yml")):
        assert errors(path, trees) == [], path


# ---- one mistake at a time: loader and schema agree ----

TREE_EDITS = {
    "a key that nobody knows": lambda t: t.update(colour="red"),
    "no role": lambda t: t.pop("role"),
    "a role that is none": lambda t: t.update(role="main"),
    "no title": lambda t: t.update(title=""),
    "a list for a text": lambda t: t.update(title=["one"]),
    "an id with capitals": lambda t: t.update({"starts-with": "Screen"}),
    "steps as a list": lambda t: t.update(steps=["screen"]),
    "a step without a mark": lambda t: t["steps"]["ready"].pop("ask"),
    "a step with two marks": lambda t: t["steps"]["ready"].update(check="set-heat"),
    "no answers": lambda t: t["steps"]["ready"].update(answers=[]),
    "an answer without a value": lambda t: t["steps"]["ready"]["answers"][0].pop("is"),
    "an answer that goes nowhere": lambda t: t["steps"]["ready"]["answers"][0].pop("go"),
    "an answer that goes two ways": lambda t: t["steps"]["ready"]["answers"][0].update(exit="out"),
    "a brace that nothing fills": lambda t: t["outcomes"]["call"].update(title="Call {nobody}"),
    "an outcome of no kind": lambda t: t["outcomes"]["call"].update(kind="end"),
    "a state that is none": lambda t: t["outcomes"]["call"]["leave"].update(state="broken"),
    "a word twice": lambda t: t["outcomes"]["call"].update(causes=["board", "board"]),
    "a review without a date": lambda t: t.update(review={"role": "a", "licence": "b"}),
    "a date that is none": lambda t: t.update(
        review={"role": "a", "licence": "b", "on": "soon", "due": "2027-01-01"}
    ),
    "a long speech": lambda t: t["steps"]["ready"].update(speak=["word " * 25]),
    "a flag that is neither": lambda t: t["steps"]["ready"]["answers"][0].update(hurry="maybe"),
}
CATALOGUE_EDITS = {
    "a check without a place": ("checks", lambda c: c["checks"]["set-heat"].pop("at")),
    "minutes in words": ("checks", lambda c: c["checks"]["set-heat"].update(minutes="five")),
    "half a minute": ("checks", lambda c: c["checks"]["set-heat"].update(minutes="0.5")),
    "a finding of no kind": ("findings", lambda c: c["findings"]["bang"].update(kind="noise")),
    "a danger of no size": (
        "findings",
        lambda c: c["findings"]["bang"]["values"]["yes"].update(danger="huge"),
    ),
    "no values": ("findings", lambda c: c["findings"]["bang"].pop("values")),
    "a second top": ("causes", lambda c: c.update(reasons={})),
    "a cause without a question": ("causes", lambda c: c["causes"]["board"].pop("root")),
    "a place in kelvin": ("places", lambda c: c["places"]["us"].update(temperature="K")),
    "a rank in words": ("urgency", lambda c: c["urgencies"]["now"].update(rank="first")),
    "an empty list": ("boundary", lambda c: c["rulebook"].update({"action-words": []})),
    "a key of two letters": (
        "calls",
        lambda c: c["calls"]["cards"]["dropped"].update(key="ll"),
    ),
    "a line without a source": (
        "waiting",
        lambda c: c["waiting"]["cold"]["lines"][0].pop("source"),
    ),
    "a temperature in words": (
        "waiting",
        lambda c: c["waiting"]["cold"]["lines"][0].update(at="cold"),
    ),
    "hearing nothing": (
        "findings",
        lambda c: c["findings"]["bang"].update(hear=[{"they-say": "a"}]),
    ),
}


def shape_problems(path, shapes):
    """What reading the file by itself reports, without looking at others."""
    desk = Desk()
    node, problems = read_file(path, path.as_posix())
    assert not problems
    for key, value in node.entries if isinstance(shapes, dict) else []:
        if key.text in shapes:
            shapes[key.text].read(value, desk)
        else:
            desk.problems.append(key.text)
    if not isinstance(shapes, dict):
        shapes.read(node, desk)
    return desk.problems


@pytest.mark.parametrize("mistake", TREE_EDITS)
def test_a_mistake_in_a_tree_is_seen_by_both(tmp_path, mistake):
    trees = small_library(tmp_path / "trees")
    path = trees / "complaints" / "cold.yml"
    texts = read_texts(path)
    assert shape_problems(path, TREE) == []
    TREE_EDITS[mistake](texts)
    write_texts(texts, path)
    assert shape_problems(path, TREE)
    assert errors(path, trees)


@pytest.mark.parametrize("mistake", CATALOGUE_EDITS)
def test_a_mistake_in_the_catalogue_is_seen_by_both(tmp_path, mistake):
    trees = small_library(tmp_path / "trees")
    stem, edit = CATALOGUE_EDITS[mistake]
    path = trees / "catalogue" / f"{stem}.yml"
    texts = read_texts(path)
    edit(texts)
    write_texts(texts, path)
    _, problems = load(trees, drawings=drawing_names((folder("site_overrides"),)))
    assert shape_problems(path, CATALOGUE_FILES[stem])
    assert [p for p in problems if p.spot.file == path.as_posix()]
    assert errors(path, trees)


COMPANY_EDITS = {
    "no number": lambda c: c.pop("phone"),
    "hours as text": lambda c: c.update(hours="always"),
    "an hour that is none": lambda c: c["hours"][0].update({"from": "25:00"}),
    "a web page without a lock": lambda c: c.update(book="http://www.example.com/"),
    "a language by its name": lambda c: c.update(languages=["Spanish"]),
    "a way that is none": lambda c: c.update(offers={"now": ["pigeon"]}),
}


@pytest.mark.parametrize("mistake", COMPANY_EDITS)
def test_a_mistake_in_a_companys_file_is_seen_by_both(tmp_path, mistake):
    texts = read_texts(REAL / "companies" / "pinefold.yml")
    COMPANY_EDITS[mistake](texts)
    path = tmp_path / "companies" / "pinefold.yml"
    write_texts(texts, path)
    assert shape_problems(path, COMPANY)
    assert errors(path, tmp_path)


def test_a_mistake_among_callers_is_seen_by_both(tmp_path, course):
    texts = read_texts(REAL / "rehearsal" / "callers.yml")
    next(iter(texts["callers"].values())).pop("nose")
    path = tmp_path / "rehearsal" / "callers.yml"
    write_texts(texts, path)
    found, problems = read_callers(path, course.library.catalogue)
    assert found is None
    assert problems
    assert errors(path, tmp_path)


def test_two_signs_in_one_are_seen(tmp_path):
    texts = read_texts(REAL / "rehearsal" / "verdicts.yml")
    judged = next(each for each in texts["verdicts"].values() if each.get("signs"))
    judged["signs"] = [{"gas-smell": "none", "bang": "none"}]
    path = tmp_path / "rehearsal" / "verdicts.yml"
    write_texts(texts, path)
    assert errors(path, tmp_path)


# ---- values as editors read them ----


@pytest.mark.parametrize(
    ("given", "fits"),
    [
        ({"minutes": 5}, True),
        ({"minutes": "5"}, True),
        ({"minutes": 5.5}, False),
        ({"waits": True}, True),
        ({"waits": "yes"}, True),
        ({"waits": "often"}, False),
        ({"do": "Set it."}, True),
        ({"do": ["Set it.", "Wait."]}, True),
        ({"do": None}, False),
    ],
)
def test_numbers_and_truths_may_be_written_as_yaml_has_them(given, fits):
    texts = read_texts(BASE / "rules" / "base" / "catalogue" / "checks.yml")
    texts["checks"]["set-heat"].update(given)
    assert validator("checks.schema.json").is_valid(texts) == fits
