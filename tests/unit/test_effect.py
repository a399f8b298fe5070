"""What a change of trees does to callers, by hand in a small world of seven houses."""

import re
from types import SimpleNamespace

import pytest
from click.testing import CliRunner

from stepstop import effect as effects
from stepstop.cli import main
from stepstop.course import lay_out
from stepstop.effect import Effect, as_text, effect, is_worse
from stepstop.effort.carry import World
from unit.rehearsed import bench, library, write


@pytest.fixture
def counted(tmp_path, monkeypatch):
    """What the small trees do after an edit of `cold.yml`, for callers who err in nothing."""

    def counted(name, edit=lambda text: text, model="accurate"):
        folder = write(tmp_path / name)
        path = folder / "complaints" / "cold.yml"
        path.write_text(edit(path.read_text("utf-8")), "utf-8")
        world = bench(folder)
        ready = SimpleNamespace(
            complaints=world.complaints, world=World(world, world.callers.errors_of(model))
        )
        monkeypatch.setattr(effects, "prepare", lambda *_, **__: (ready, []))
        found, problems = effect(world.journey.course, folder)
        assert problems == []
        return found

    return counted


def test_the_same_trees_change_nothing(counted):
    old, new = counted("one"), counted("two")
    assert old == new
    assert not is_worse(old, new)
    text = as_text(old, new)
    assert "WORSE" not in text
    assert text.count("  none") == 2
    assert "no figure changes" in text


def test_figures_are_those_of_the_houses(counted):
    """By hand: of accurate callers who smell gas all end in danger; the seated smell nothing."""
    found = counted("one")
    assert found.endings["leak"]["danger", "now"] == pytest.approx(0.75)
    assert found.marks["leak"]["missed-danger"] == pytest.approx(0.0)
    assert sum(found.endings["board"].values()) == pytest.approx(1.0)
    assert found.endings["setting"]["solved", "can-wait"] == pytest.approx(1.0)
    cold = found.complaints["cold"]
    assert cold.steps > 4
    assert cold.trails > 5
    assert 0.0 < cold.marks["right"] <= 1.0


def test_another_urgency_is_told_by_cause(counted):
    old = counted("one")
    new = counted("two", lambda text: text.replace("urgency: today", "urgency: now", 1))
    text = as_text(old, new)
    before, after = old.endings["board"], new.endings["board"]
    assert before["call", "today"] > 0.9
    assert after["call", "now"] == pytest.approx(before["call", "today"])
    moved = f"{before['call', 'today']:.1%}"
    assert f"  board: {moved} of its callers\n    call, today: {moved} -> 0.0%\n" in text
    assert f"    call, now: 0.0% -> {moved}" in text


def test_ways_are_told_that_are_gained_and_lost(counted):
    old = counted("one")
    new = counted(
        "two",
        lambda text: text.replace(
            '"No, nobody has", is: none, go: reset', '"No, nobody has", is: none, go: off'
        ),
    )
    text = as_text(old, new)
    assert "  - cold: tried -> reset (No, nobody has)" in text
    assert "  + cold: tried -> off (No, nobody has)" in text
    assert "no-power" in text.split("Causes whose callers end otherwise")[1]
    assert re.search(r"cold: trails [\d,]+ -> [\d,]+, steps", text)


def test_what_is_worse_for_safety_comes_first(counted):
    """Heat that does not come is called solved: the board's callers end less cautiously."""
    old = counted("one")
    new = counted(
        "two",
        lambda text: text.replace(
            "No heat comes, is: no, go: ready", "No heat comes, is: no, go: works"
        ),
    )
    assert is_worse(old, new)
    assert not is_worse(new, old)
    text = as_text(old, new)
    assert text.index("WORSE FOR SAFETY") < text.index("Ways gained")
    assert re.search(r"board: ending right or more cautious \S+ -> \S+", text)


def test_trees_that_come_and_go_are_told():
    empty = Effect({"a": frozenset()}, {}, {}, {})
    other = Effect({"b": frozenset()}, {}, {}, {})
    text = as_text(empty, other)
    assert "a: the tree is gone" in text
    assert "b: a new tree" in text


def test_folders_with_problems_are_refused(tmp_path):
    folder = write(tmp_path / "one")
    broken = write(tmp_path / "two")
    (broken / "complaints" / "cold.yml").write_text("tree: cold\n", "utf-8")
    result = CliRunner().invoke(main, ["diff", str(broken), str(folder)])
    assert result.exit_code == 1
    assert "missing-key" in result.output
    assert lay_out(library(folder)).roots
