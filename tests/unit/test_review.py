"""Who looked a tree over, and until when that holds: `verify --strict-review`."""

import shutil

import pytest
from click.testing import CliRunner

from stepstop.cli import main
from stepstop.explain import page
from unit.edited import BASE

REVIEW = "review: {role: field technician, licence: gas and electrical, on: %s, due: %s}\n"


def run(*words, **environ):
    return CliRunner().invoke(main, [str(word) for word in words], env=environ)


@pytest.fixture
def trees(tmp_path):
    """The small library, every tree reviewed on 2026-01-31 for a year."""
    folder = tmp_path / "trees"
    shutil.copytree(BASE, folder)
    for path in (*folder.glob("complaints/*.yml"), *folder.glob("shared/*.yml")):
        text = path.read_text("utf-8").rstrip("\n")
        path.write_text(f"{text}\n{REVIEW % ('2026-01-31', '2027-01-31')}", "utf-8")
    return folder


def test_reviewed_trees_pass_until_their_day_is_over(trees):
    assert run("verify", trees, "--strict-review", "--today", "2027-01-31").exit_code == 0
    result = run("verify", trees, "--strict-review", "--today", "2027-02-01")
    assert result.exit_code == 1
    count = len(list(trees.glob("complaints/*.yml"))) + len(list(trees.glob("shared/*.yml")))
    assert result.output.count("review-overdue: ") == count
    assert "`cold` was to be looked over again by 2027-01-31; today is 2027-02-01" in result.output
    assert "complaints/cold.yml:" in result.output


def test_without_the_option_nobody_asks(trees):
    assert run("verify", trees).exit_code == 0
    assert run("verify", BASE).exit_code == 0


def test_a_tree_without_a_review_is_told_with_its_place(trees):
    path = trees / "complaints" / "cold.yml"
    path.write_text(path.read_text("utf-8").rpartition("review:")[0], "utf-8")
    result = run("verify", trees, "--strict-review", "--today", "2026-06-01")
    assert result.exit_code == 1
    assert result.output.count("not-reviewed: ") == 1
    assert "complaints/cold.yml:1:" in result.output
    assert "mend: have it done, and write `review`" in result.output


def test_the_date_is_that_of_the_build_where_one_is_set(trees):
    told = {"SOURCE_DATE_EPOCH": "1900000000"}  # 2030
    assert run("verify", trees, "--strict-review", **told).exit_code == 1
    told = {"SOURCE_DATE_EPOCH": "1780000000"}  # 2026
    assert run("verify", trees, "--strict-review", **told).exit_code == 0
    assert run("verify", BASE, "--strict-review", SOURCE_DATE_EPOCH="").exit_code == 1


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--strict-review", "--today", "soon"), "`soon` is not a date"),
        (("--today", "2026-01-01"), "--today needs --strict-review"),
    ],
)
def test_misuse_is_told(trees, options, said):
    result = run("verify", trees, *options)
    assert result.exit_code == 2
    assert said in result.output


def test_problems_of_reviews_stand_among_all_others(trees):
    path = trees / "complaints" / "cold.yml"
    path.write_text(path.read_text("utf-8").replace("No heat comes", "Bypass it"), "utf-8")
    result = run("verify", trees, "--strict-review", "--today", "2027-06-01", "--format", "json")
    assert "forbidden-words" in result.output
    assert "review-overdue" in result.output


@pytest.mark.parametrize("flaw", ["not-reviewed", "review-overdue"])
def test_they_are_explained(flaw):
    assert "verify --strict-review" in page(flaw)
