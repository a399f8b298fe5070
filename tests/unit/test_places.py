"""A complaint that a place doesn't have is left out there, and what is left is proven anew."""

import shutil

import pytest
from click.testing import CliRunner

from browser.sites import (
    REAL,
    course_of,
    laid_out,
    read_texts,
    rehearse,
    small_library,
    whole_site_of,
    write_texts,
)
from stepstop import places
from stepstop.cli import main
from stepstop.companies import for_company
from stepstop.edition import edition_for
from stepstop.labels.order import read_for
from stepstop.places import course_in, left_out
from stepstop.shipped import folder
from stepstop.verify import verify
from unit.companies import write_company

TREE = "complaints/hot.yml"


def changed(folder, name, change):
    data = read_texts(folder / name)
    change(data)
    write_texts(data, folder / name)
    return folder


def here_only(folder, name=TREE, **more):
    """The complaint is met in `us` alone."""
    return changed(folder, name, lambda data: data.update({"places": ["us"], **more}))


@pytest.fixture
def trees(tmp_path):
    return small_library(tmp_path / "trees")


def told(folder):
    """What verifying finds: file, line, flaw and message."""
    top = f"{folder.as_posix()}/"
    return [
        (p.spot.file.removeprefix(top), p.spot.line, p.flaw, p.message)
        for p in verify(folder).problems
    ]


def run(*words, typed=""):
    return CliRunner().invoke(main, [str(word) for word in words], input=typed)


def test_every_place_has_every_shipped_complaint():
    course = course_of(REAL)
    for place in course.library.catalogue.places:
        assert left_out(course.library, place) == ()
        assert course_in(course, place) is course


def test_a_complaint_for_all_places_is_written_without_them(trees):
    assert course_in(laid_out(trees), "nowhere").library.trees["hot"].places == ()


def test_it_is_left_out_of_all_that_is_made_for_another_place(trees):
    here_only(trees)
    assert told(trees) == []
    here, there = (whole_site_of(trees, place=place) for place in ("us", "nowhere"))
    assert "hot/index.html" in here
    assert "hot/pocket.html" in here
    assert not [name for name in there if name.startswith("hot/")]
    for name, content in here.items():
        if b"A hot house" in content:
            assert b"A hot house" not in there.get(name, b""), name
    assert {"index.html", "call/data.json", "call/index.html"} & set(here) <= set(there)


def test_units_lose_it_and_one_with_nothing_left_has_no_page(trees):
    whole = laid_out(here_only(trees))
    units = {u.id: u.complaints for u in whole.library.catalogue.equipment.values()}
    assert units == {"furnace": ("cold", "hot"), "cooler": ("hot",)}
    left = course_in(whole, "nowhere").library.catalogue.equipment
    assert {name: unit.complaints for name, unit in left.items()} == {"furnace": ("cold",)}
    files = whole_site_of(trees, place="nowhere")
    assert "furnace/index.html" in files
    assert "cooler/index.html" not in files


def test_a_link_into_it_is_told_at_its_line(trees):
    here_only(trees)
    cold = read_texts(trees / "complaints/cold.yml")
    cold["steps"]["ready"]["answers"][1]["go"] = "hot"
    write_texts(cold, trees / "complaints/cold.yml")
    [problem] = verify(trees).problems
    assert problem.flaw == "unknown-name"
    assert problem.message == "this leads to `hot`, which is left out in `nowhere`"
    line = (trees / "complaints/cold.yml").read_text().splitlines()[problem.spot.line - 1]
    assert '"hot"' in line
    [related] = problem.related
    assert related.spot.file.endswith(TREE)


def test_parts_go_with_the_complaints_that_lead_to_them(trees):
    hot = read_texts(trees / TREE)
    part = {**hot, "tree": "rest", "role": "part", "title": "The rest", "starts-with": "who"}
    part["steps"] = {name: step for name, step in hot["steps"].items() if name != "screen"}
    write_texts({key: part[key] for key in part if key != "words"}, trees / "complaints/rest.yml")
    start = {"screen": {"use": "danger-screen", "exits": {"clear": "rest", "puddle": "rest"}}}
    hot |= {"steps": start, "outcomes": {}, "renamed": {}, "places": ["us"]}
    write_texts(hot, trees / TREE)
    whole = laid_out(trees)
    assert {"hot", "rest"} <= whole.library.trees.keys()
    left = course_in(whole, "nowhere").library
    assert left.trees.keys() == {"cold", "danger", "danger-screen", "endings"}


def test_what_is_left_is_proven_anew_once_for_places_that_leave_out_the_same(trees, monkeypatch):
    proven = []
    verdict = places.verdict
    monkeypatch.setattr(
        places, "verdict", lambda proof: proven.append(proof.course) or verdict(proof)
    )
    assert told(trees) == []
    assert proven == []
    here_only(trees)
    assert told(trees) == []
    [course] = proven
    assert course.pages.keys() == course_in(laid_out(trees), "nowhere").pages.keys()


def test_what_the_rules_say_of_the_rest_is_told_with_the_place(trees, monkeypatch):
    here_only(trees)
    monkeypatch.setattr("stepstop.rules.too_long.examine", _always)
    found = places.problems(laid_out(trees))
    assert [p.message for p in found] == ["so it is"]
    assert found[0].related[0].text == "so it is left out in `nowhere`"


def _always(proof, tally):
    from stepstop.problems import Problem

    yield Problem(proof.library.trees["cold"].spot, "too-long", "so it is")


@pytest.mark.parametrize(
    ("name", "role"), [("complaints/danger.yml", "danger"), ("shared/danger-screen.yml", "shared")]
)
def test_only_complaints_may_be_left_out(name, role, trees):
    here_only(trees, name)
    [(file, _, flaw, message)] = told(trees)
    assert (file, flaw) == (name, "contradiction")
    assert message == f"a tree with the role `{role}` is left out nowhere"


def test_a_complaint_about_danger_is_left_out_nowhere(trees):
    here_only(trees, under="danger")
    assert [message for *_, message in told(trees)] == [
        "`hot` is about danger, which is met everywhere"
    ]


def test_a_place_without_any_complaint_is_a_problem(trees):
    here_only(here_only(trees), "complaints/cold.yml")
    assert [(flaw, message) for _, _, flaw, message in told(trees)] == [
        ("contradiction", "no complaint is left in `nowhere`")
    ]


def test_an_unknown_place_is_told_with_the_nearest(trees):
    changed(trees, TREE, lambda data: data.update(places=["us", "nowere"]))
    [problem] = verify(trees).problems
    assert problem.message == "no place is called `nowere`"
    assert problem.mend == "did you mean `nowhere`?"


def test_an_edition_is_never_made_of_what_its_place_leaves_out(trees):
    course = laid_out(here_only(trees))
    with pytest.raises(AssertionError, match="`hot` is left out in nowhere"):
        edition_for(course, trees, place="nowhere")


def test_figures_are_shown_only_where_these_very_trees_were_rehearsed(trees):
    here_only(rehearse(trees))
    course = laid_out(trees)
    assert edition_for(course, trees, place="us").rehearsed is not None
    assert edition_for(course_in(course, "nowhere"), trees, place="nowhere").rehearsed is None


def test_a_company_has_the_complaints_of_its_place(trees, tmp_path):
    here_only(trees)
    whole = laid_out(trees)
    for place, trees_left in (("us", {"cold", "hot"}), ("nowhere", {"cold"})):
        path = write_company(tmp_path, {"place": place, "leave-out": {"checks": ["seat-panel"]}})
        made = for_company(path, whole)
        assert made.problems == ()
        assert {tree.id for tree in made.course.library.complaints()} == trees_left
        assert made.course.is_narrowed


def test_companies_of_two_places_are_made_in_one_go(trees, tmp_path):
    from stepstop.companies import each_made

    here_only(trees)
    whole = laid_out(trees)
    paths = [
        write_company(tmp_path, {"company": name, "place": place}, name=name)
        for name, place in (("one", "nowhere"), ("two", "us"), ("three", "nowhere"))
    ]
    made = {each.path.stem: each.course for each in each_made(paths, whole)}
    assert made["two"] is whole
    assert made["one"] is made["three"]
    assert "hot" not in made["one"].library.trees


def test_labels_lead_to_no_page_that_the_place_has_not(trees, tmp_path):
    here_only(trees)
    drawings = (folder("site_overrides"),)
    for place, units in (("us", {"furnace", "cooler"}), ("nowhere", {"furnace"})):
        given = {"place": place, "address": "https://guide.example/"}
        read = read_for(write_company(tmp_path, given), trees, drawings)
        assert set(read.catalogue.equipment) == units


def test_the_commands_know_what_a_place_has(trees, tmp_path):
    here_only(trees)
    walked = run("walk", "hot", "--trees", trees, "--place", "us", typed="q\n")
    assert "A hot house" in walked.output
    refused = run("walk", "hot", "--trees", trees, "--place", "nowhere")
    assert refused.exit_code == 2
    assert "no complaint `hot`" in refused.output
    done = run("export", tmp_path / "pages", "--trees", trees, "--place", "nowhere")
    assert done.exit_code == 0, done.output
    assert not (tmp_path / "pages/hot").exists()
    assert (tmp_path / "pages/cold/index.html").exists()


def test_an_overlay_may_say_where_a_complaint_below_is_met(trees, tmp_path):
    mine = tmp_path / "mine"
    change = mine / "changes" / TREE
    change.parent.mkdir(parents=True)
    (mine / "over.yml").write_text("over: ../trees\n", "utf-8")
    change.write_text("places: [us]\n", "utf-8")
    found = verify(mine, seen=False)
    assert found.problems == ()
    assert left_out(found.course.library, "nowhere") == ("hot",)


def test_what_simulated_callers_call_about_is_not_rehearsed_without_it(tmp_path):
    trees = tmp_path / "trees"
    shutil.copytree(REAL, trees)
    path = trees / "complaints/one-room.yml"
    path.write_text(
        path.read_text().replace("role: complaint\n", "role: complaint\nplaces: [us]\n")
    )
    for words in (
        ("rehearse", trees, "--place", "neutral"),
        ("rehearse", trees, "--write", "--place", "neutral"),
        ("walk", "--practice", "--trees", trees, "--place", "neutral"),
    ):
        refused = run(*words)
        assert refused.exit_code == 1
        assert "callers call about `one-room`, which is left out there" in refused.output
