"""What is kept of a rehearsal of the small world, and the command that writes it."""

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner

from browser.sites import laid_out, read_in
from stepstop.cli import main
from stepstop.companies import for_company
from stepstop.course import lay_out
from stepstop.keep import is_kept
from stepstop.rehearsal import prepare
from stepstop.rehearsal.account import account
from stepstop.rehearsal.alike import alike
from stepstop.rehearsal.figures import page_shares, rehearse
from stepstop.rehearsal.record import VARIED, Ticking, record
from stepstop.rehearsed import FILE, FOLDER, NARROWED, fingerprint, kept, narrowed, read
from unit.companies import write_company
from unit.rehearsed import CALLERS, HOUSES, VERDICTS, Table, bench, library, shown, write

SETTING, POWER, LOOSE, BOARD, ODD_BOARD, LEAK, SHORT = HOUSES


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return write(tmp_path_factory.mktemp("small") / "t")


@pytest.fixture
def simulated(monkeypatch):
    """Puts the small world's houses in the place of the simulated ones."""
    asked = []

    def tabulated(journey, off_grid, progress):
        asked.append(off_grid)
        return Table(HOUSES)

    monkeypatch.setattr(prepare, "_tabulated", tabulated)
    return asked


def run(*arguments):
    return CliRunner().invoke(main, ["rehearse", *map(str, arguments)])


# ---- lengths ----


def test_pages_of_walks_add_up_to_one_and_have_the_mean_of_the_walks(folder):
    world = bench(folder, houses=[SETTING, POWER])
    tally = rehearse(world, {"a": world.callers.errors_of("accurate")}, {}, lengths=["a"])["a"]
    shares = page_shares(tally)
    assert list(shares) == sorted(shares)
    assert sum(shares.values()) == pytest.approx(1.0)
    assert tally.share("danger-end") == 0.0
    assert sum(p * s for p, s in shares.items()) == pytest.approx(tally.share("pages"))


def test_pages_of_a_half_are_those_of_its_walks(folder):
    world = bench(folder, houses=[replace(SETTING, weight=0.5), replace(LOOSE, weight=0.5)])
    tally = rehearse(world, {"a": world.callers.errors_of("accurate")}, {}, lengths=["a"])["a"]
    assert page_shares(tally, half="mended-on") == {5: pytest.approx(1.0)}
    assert 5 not in page_shares(tally, half="held-out")


# ---- causes that nobody can tell apart ----


def groups(folder, *houses, told=frozenset()):
    each = [replace(house, weight=1.0 / len(houses)) for house in houses]
    return alike(bench(folder, houses=each), told)


def test_causes_that_answer_alike_everywhere_are_a_group(folder):
    assert groups(folder, BOARD, replace(BOARD, cause="short")) == [("board", "short")]
    assert groups(folder, *HOUSES) == []


def test_one_house_in_which_they_differ_tells_them_apart(folder):
    twin = replace(BOARD, cause="short")
    other = replace(BOARD, cause="short", house="b", tells={"panel-fit": "loose"})
    assert groups(folder, BOARD, replace(BOARD, house="b"), twin, other) == []
    assert groups(folder, BOARD, twin, other) == [("board", "short")]


def test_a_variant_that_only_one_of_them_has_tells_them_apart(folder):
    twin = replace(BOARD, cause="short")
    variant = replace(BOARD, house="a#loose", tells={"panel-fit": "loose"})
    assert groups(folder, BOARD, variant, twin) == []
    assert groups(folder, BOARD, variant, twin, replace(variant, cause="short")) == [
        ("board", "short")
    ]


def test_what_is_only_told_of_the_past_tells_nothing_apart(folder):
    twin = replace(BOARD, cause="short", tells={**BOARD.tells, "heat": "yes"})
    assert groups(folder, BOARD, twin) == []
    assert groups(folder, BOARD, twin, told=frozenset({"heat"})) == [("board", "short")]


# ---- the record ----


def test_the_record_has_the_figures_of_the_account(folder, simulated):
    course = lay_out(library(folder))
    found, problems = record(course, folder)
    assert problems == []
    assert simulated == [False, True]
    ready, _ = prepare.prepare(course, folder)
    data = account(ready.bench, ready.shown, ready.wish("both", calls=0, seed=1, half=""))["models"]
    kept, told = found.figures.models["both"], data["both"]
    assert [b.value for b in kept.bars] == [b["value"] for b in told["bars"]]
    assert kept.marks["right"].held_out == told["figures"]["right"]["held-out"]
    assert kept.exposures["gas"].hidden == told["exposures"]["gas"]["unsafe-hidden"]
    assert kept.causes["leak"].right == told["by-cause"]["leak"]["right"]
    assert kept.complaints["cold"].fixed == told["complaints"]["cold"]["fixed"]
    assert kept.shown.ceiling == told["shown"]["ceiling"]
    assert [w.cause for w in kept.worst] == [w["cause"] for w in told["worst"]]
    assert kept.worst[0].trail.caller in (
        "at home and fit",
        "can't walk, smells little, cold inside",
    )
    assert kept.pages == {}
    assert sum(found.figures.models["accurate"].pages.values()) == pytest.approx(1.0)
    assert (found.figures.cases, found.figures.causes, found.figures.callers) == (7, 5, 2)


def test_the_likely_causes_are_those_that_the_account_calls_shown(folder, simulated):
    course = lay_out(library(folder))
    found, _ = record(course, folder)
    ready, _ = prepare.prepare(course, folder)
    named = {name: tuple(each.cause for each in causes) for name, causes in found.likely.items()}
    assert named == {page.replace("/now/", "/"): causes for page, causes in ready.shown.items()}
    assert "cold/call" in named


def test_other_worlds_have_the_bars_of_those_callers_that_they_touch(folder, simulated):
    found, _ = record(lay_out(library(folder)), folder)
    worlds, plain = found.figures.variations, found.figures.models
    assert {world: tuple(models) for world, models in worlds.items()} == VARIED
    names = {model: [bar.name for bar in plain[model].bars] for model in plain}
    for models in worlds.values():
        for model, bars in models.items():
            assert [bar.name for bar in bars] == names[model]
    assert worlds["errors"]["both"] != plain["both"].bars
    assert worlds["houses"]["both"] == plain["both"].bars


def test_in_another_world_the_pages_show_what_they_show(folder, simulated, monkeypatch):
    seen = []
    monkeypatch.setattr(
        "stepstop.rehearsal.record.rehearse",
        lambda world, models, given, **rest: (
            seen.append(given) or rehearse(world, models, given, **rest)
        ),
    )
    course = lay_out(library(folder))
    record(course, folder)
    ready, _ = prepare.prepare(course, folder)
    assert seen == [ready.shown] * len(VARIED)
    assert ready.shown != shown(ready.bench)


def test_progress_is_told_by_the_hundredth():
    told = []
    ticking = Ticking("work", 1000, told.append)
    for _ in range(1000):
        ticking.tick(1)
    assert told[:2] == ["work: 1 %", "work: 2 %"]
    assert (len(told), told[-1]) == (100, "work: 100 %")


# ---- the command ----


def test_the_command_writes_what_pages_read_and_says_so(tmp_path, simulated):
    folder = write(tmp_path / "t")
    result = run(folder, "--write")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith(f"wrote {folder / FILE}: likely causes at ")
    assert "7 cases of 5 causes, 2 kinds of callers, 5 other worlds" in result.stdout
    found = read_in(folder)
    assert found is not None
    assert {each.word for shown in found.likely.values() for each in shown} >= {"very likely"}
    assert json.loads((folder / FILE).read_bytes())["format"] == 1


def test_the_command_writes_the_same_bytes_again(tmp_path, simulated):
    folders = [write(tmp_path / name) for name in ("one", "other")]
    for folder in folders:
        assert run(folder, "--write").exit_code == 0
    one, other = ((folder / FILE).read_bytes() for folder in folders)
    assert one == other
    assert run(folders[0], "--write").exit_code == 0
    assert (folders[0] / FILE).read_bytes() == one


@pytest.mark.parametrize(
    "option",
    [
        ("--callers", "both"),
        ("--vary", "weights"),
        ("--half", "held-out"),
        ("--calls", 5),
        ("--seed", 1),
    ],
)
def test_the_command_writes_all_or_nothing(folder, simulated, option):
    result = run(folder, "--write", *option)
    assert result.exit_code == 2
    assert "--write takes no other option" in result.stderr
    assert simulated == []
    assert not (folder / FILE).exists()


def test_mistakes_are_shown_and_nothing_is_written(tmp_path, simulated):
    folder = write(tmp_path / "t", callers=CALLERS.replace("weight: 0.75", "weight: 0.7"))
    result = run(folder, "--write")
    assert result.exit_code == 1
    assert "the weights add up to 0.95" in result.stderr
    assert not (folder / FILE).exists()


def test_another_verdict_makes_it_stale(tmp_path, simulated):
    folder = write(tmp_path / "t")
    assert run(folder, "--write").exit_code == 0
    text = VERDICTS.replace("needs a technician", "needs someone")
    (folder / "rehearsal" / "verdicts.yml").write_text(text, "utf-8")
    assert read_in(folder) is None


# ---- companies ----

LESS = {"leave-out": {"checks": ["reset-breaker-once"]}}


def company(folder, name, changes=None):
    folder.mkdir(exist_ok=True)
    return write_company(folder, {"company": name, **(changes or {})}, name=name)


def test_pages_of_which_less_is_offered_are_rehearsed_once_for_all_companies(tmp_path, simulated):
    trees, firms = write(tmp_path / "t"), tmp_path / "firms"
    one = company(firms, "one", LESS)
    company(firms, "other", {**LESS, "name": "Other Heating (demo)"})
    assert run(trees, "--write").exit_code == 0
    everybodys = (trees / FILE).read_bytes()
    simulated.clear()

    result = run(trees, "--write", "--company", one)
    assert result.exit_code == 0, result.output
    [kept] = (trees / FOLDER / NARROWED).iterdir()
    assert f"wrote {kept / 'rehearsed.json'}: likely causes at" in result.stdout
    assert (trees / FILE).read_bytes() == everybodys
    assert simulated

    simulated.clear()
    result = run(trees, "--write", "--companies", firms)
    assert result.exit_code == 0, result.output
    assert result.stdout.count("its pages are rehearsed") == 2
    assert simulated == []
    assert [kept] == list((trees / FOLDER / NARROWED).iterdir())


def test_what_is_kept_is_found_by_the_pages_that_it_is_of(tmp_path, simulated):
    trees = write(tmp_path / "t")
    whole = laid_out(trees)
    path = company(tmp_path, "one", LESS)
    own = for_company(path, whole).course
    assert run(trees, "--write").exit_code == 0
    assert is_kept(whole, trees)
    assert not is_kept(own, trees)

    assert run(trees, "--write", "--company", path).exit_code == 0
    assert is_kept(whole, trees)
    assert is_kept(own, trees)
    of_whole, of_own = (fingerprint(trees, course) for course in (whole, own))
    assert read(trees, own, of_own).likely != read(trees, whole, of_whole).likely
    assert (kept(trees, of_own), kept(trees, of_whole)) == (
        narrowed(trees, of_own),
        trees / FOLDER,
    )


def test_a_company_that_offers_all_is_rehearsed_with_the_trees(tmp_path, simulated):
    trees = write(tmp_path / "t")
    path = company(tmp_path, "one")
    assert run(trees, "--write", "--company", path).exit_code == 0
    assert read_in(trees) is not None
    assert not (trees / FOLDER / NARROWED).exists()


def test_a_broken_company_is_named_and_the_others_are_rehearsed(tmp_path, simulated):
    trees, firms = write(tmp_path / "t"), tmp_path / "firms"
    company(firms, "bad", {"phone": "12"})
    company(firms, "good", LESS)
    result = run(trees, "--write", "--companies", firms)
    assert result.exit_code == 1
    assert "is not a whole telephone number" in result.stderr
    assert "wrote" in result.stdout


def test_calls_of_a_company_meet_its_own_pages(tmp_path, simulated):
    trees = write(tmp_path / "t")
    told = [
        json.loads(run(trees, "--format", "json", *more).stdout)["models"]["accurate"]
        for more in ((), ("--company", company(tmp_path, "one", LESS)))
    ]
    mended = [each["by-cause"]["no-power"]["fixed"] for each in told]
    assert mended[0] > 0
    assert not mended[1]


def test_companies_are_rehearsed_to_be_kept_only(tmp_path, folder):
    company(tmp_path, "one")
    assert "--companies is an option of --write" in run(folder, "--companies", tmp_path).stderr
    empty = tmp_path / "empty"
    empty.mkdir()
    result = run(folder, "--write", "--companies", empty)
    assert result.exit_code == 2
    assert "no company's file (.yml) is in" in result.stderr
    both = ("--company", tmp_path / "one.yml", "--companies", tmp_path)
    assert "don't go together" in run(folder, "--write", *both).stderr
