"""The edition: its date is an input, its hash is over what decides the pages and nothing else."""

import shutil

import pytest

from browser.sites import course_of, read_texts, small_library, write_texts
from stepstop import edition as edition_module
from stepstop.edition import EditionError, edition_for


def edition(trees, **options):
    return edition_for(course_of(trees), trees, **{"environ": {}, **options})


@pytest.mark.parametrize(
    ("today", "environ", "date"),
    [
        ("2026-11-25", {}, "2026-11-25"),
        ("2026-11-25", {"SOURCE_DATE_EPOCH": "0"}, "2026-11-25"),
        (None, {"SOURCE_DATE_EPOCH": "0"}, "1970-01-01"),
        (None, {"SOURCE_DATE_EPOCH": "1700000000"}, "2023-11-14"),
        (None, {"SOURCE_DATE_EPOCH": ""}, ""),
        (None, {}, ""),
        ("", {}, ""),
    ],
)
def test_the_date_is_what_was_given_or_the_epoch_or_none(small, today, environ, date):
    made = edition(small, today=today, environ=environ)
    assert made.date == date
    assert made.dated == (date or "undated")


@pytest.mark.parametrize(
    "today",
    [
        "2026-02-30",
        "26-01-01",
        "2026-1-1",
        "20260101",
        "today",
        "2026-01-01T00:00",
        "\u0662026-01-01",
    ],
)
def test_a_date_that_is_none_is_refused(small, today):
    with pytest.raises(EditionError, match="is not a date"):
        edition(small, today=today)


@pytest.mark.parametrize("epoch", ["now", "1.5", "9" * 30])
def test_an_epoch_that_is_none_is_refused(small, epoch):
    with pytest.raises(EditionError, match="SOURCE_DATE_EPOCH"):
        edition(small, environ={"SOURCE_DATE_EPOCH": epoch})


def test_an_unknown_place_is_refused_with_those_known(small):
    with pytest.raises(EditionError, match="no place `mars`; known: nowhere, us"):
        edition(small, place="mars")


def test_trees_without_stop_and_call_are_refused(tmp_path):
    trees = small_library(tmp_path)
    path = trees / "shared/endings.yml"
    endings = read_texts(path)
    endings["outcomes"]["ring"] = endings["outcomes"].pop("stop-and-call")
    write_texts(endings, path)
    hot = trees / "complaints/hot.yml"
    hot.write_text(hot.read_text("utf-8").replace("endings/stop-and-call", "endings/ring"), "utf-8")
    with pytest.raises(EditionError, match="no outcome `stop-and-call`"):
        edition(trees)


def test_the_hash_knows_no_folder_and_no_date(small, tmp_path):
    copied = shutil.copytree(small, tmp_path / "elsewhere" / "trees")
    one = edition(small, today="2026-11-25")
    assert one.hash == edition(copied, today="2030-01-01").hash
    assert len(one.hash) == 8
    assert int(one.hash, 16) >= 0


def test_the_hash_changes_with_each_thing_that_decides_the_pages(small, tmp_path, monkeypatch):
    seen = [edition(small).hash, edition(small, place="nowhere").hash]
    copied = shutil.copytree(small, tmp_path / "trees")
    with (copied / "complaints/hot.yml").open("a") as file:
        file.write("# one byte more\n")
    seen.append(edition(copied).hash)
    shutil.move(copied / "complaints/hot.yml", copied / "complaints/hotter.yml")
    seen.append(edition_for(course_of(small), copied, environ={}).hash)
    for name, text in {
        "page.css": "h1 { color: red }",
        "drawings/listen.svg": "<svg/>",
        "extra.html": "x",
    }.items():
        path = tmp_path / name.replace("/", "-") / "stepstop" / name
        path.parent.mkdir(parents=True)
        path.write_text(text)
        seen.append(edition(small, overrides=(tmp_path / name.replace("/", "-"),)).hash)
    monkeypatch.setattr(edition_module, "__version__", "99.0")
    seen.append(edition(small).hash)
    assert len(set(seen)) == len(seen)


def test_an_override_that_is_hidden_by_another_decides_nothing(small, tmp_path):
    for name, text in {"first": "a", "second": "b"}.items():
        (tmp_path / name / "stepstop").mkdir(parents=True)
        (tmp_path / name / "stepstop/page.css").write_text(text)
    first, second = tmp_path / "first", tmp_path / "second"
    alone = edition(small, overrides=(first,)).hash
    assert edition(small, overrides=(first, second)).hash == alone
    assert edition(small, overrides=(second, first)).hash != alone
