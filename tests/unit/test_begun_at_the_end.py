"""A complaint that begins with a danger ending: rehearsed, and counted in steps, like others."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from stepstop.callers import Errors, Rates
from stepstop.effort.carry import World
from stepstop.effort.survey import survey
from stepstop.house.acts import NONE
from stepstop.rehearsal.alike import alike
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.figures import rehearse, work
from stepstop.rehearsal.sample import sample
from stepstop.rehearsal.trails import worst_trail
from stepstop.source import NOWHERE
from unit.rehearsed import HOUSES, bench, shown, write

SMELL = """tree: smell
role: complaint
title: I smell gas
words: [rotten eggs]
starts-with: danger-screen/gas
"""
LEAK = next(house for house in HOUSES if house.cause == "leak")
SETTING = next(house for house in HOUSES if house.cause == "setting")
HALVES = (("cold", 0.5), ("smell", 0.5))
ACCURATE = Errors(*[Rates(0.0, 0.0, NOWHERE)] * 3, spot=NOWHERE)


@pytest.fixture(scope="module")
def world(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    folder: Path = write(tmp_path_factory.mktemp("small") / "t")
    (folder / "complaints/smell.yml").write_text(SMELL, "utf-8")
    houses = [replace(each, weight=0.5, complaints=HALVES) for each in (LEAK, SETTING)]
    made: Bench = bench(folder, houses=houses)
    return made


def test_its_first_page_is_its_end(world: Bench) -> None:
    node = world.journey.nodes[world.journey.roots["smell"]]
    assert (node.page.id, node.acts, node.options) == ("danger-screen/gas", NONE, ())


def test_all_its_callers_end_at_once_and_are_judged(world: Bench) -> None:
    """A leak there is right, and a wrong setting a false alarm."""
    ticks: list[int] = []
    tally = rehearse(world, {"it": ACCURATE}, shown(world), lengths=["it"], tick=ticks.append)["it"]
    assert tally.total("calls", complaint="smell") == pytest.approx(0.5)
    assert tally.share("pages", complaint="smell") == pytest.approx(1.0), "the end itself"
    assert tally.share("right", complaint="smell", cause="leak") == pytest.approx(1.0)
    assert tally.share("false-danger", complaint="smell", cause="setting") == pytest.approx(1.0)
    assert sum(ticks) == work(world, ["it"])
    drawn = sample(world, ACCURATE, shown(world), tally, calls=2000, seed=5)
    assert drawn.agrees


def test_the_worst_call_may_be_one_without_a_question(world: Bench) -> None:
    trail = worst_trail(world, ACCURATE, "setting")
    assert trail is not None
    assert trail.pages == ("danger-screen > gas",)


def test_causes_are_told_apart_on_other_pages_only(world: Bench) -> None:
    assert alike(world, frozenset()) == []


def test_it_takes_no_step(world: Bench) -> None:
    found = survey(World(world, ACCURATE), ["cold", "smell"], tabulate=lambda acts: world.table)
    costs = {cost.complaint: cost for cost in found.costs}
    assert costs["smell"].all_steps == 0.0
    assert costs["cold"].all_steps > 0.0
