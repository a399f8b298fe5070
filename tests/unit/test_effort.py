"""Effort, on a small tree and three houses whose walks can be counted by hand.

Of 100 callers 40 have a setting that is low, 30 a breaker that is off, 30 a broken board; 75 of 100
can walk to the unit, whatever they have. Nobody errs, where nothing else is said. Then

    40     smell, bang, water, set-heat                                    4 steps   4    minutes
    15     these, ready: can't walk                                        5         4 1/3
    22.5   these, power-kind (wires), tried, reset: it helps               8         6
    22.5   these with a note (batteries), reset: no help, off, panel, loud 12        8 2/3
"""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import replace
from math import log2
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from stepstop.callers import Errors, Rates
from stepstop.cli import main
from stepstop.course import lay_out
from stepstop.effort import account as accounts
from stepstop.effort import costs, idle, spans, tell, telling
from stepstop.effort.carry import World, walkers
from stepstop.effort.houses import Joined, moved_to, simulated
from stepstop.effort.orders import asks_danger, compared, flaws_of
from stepstop.effort.survey import Survey, survey
from stepstop.effort.swaps import Pair, going_on, pairs, swapped
from stepstop.house.acts import NONE, after
from stepstop.journey import lay
from stepstop.rehearsal import prepare
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.figures import rehearse
from stepstop.source import NOWHERE, Spot
from unit.rehearsed import House, Table, bench, library, shown, write

COLD = """\
tree: cold
role: complaint
title: The heat is out
words: [no heat]
starts-with: screen
steps:
  screen: {use: danger-screen, exits: {clear: set-heat, puddle: set-heat}}
  set-heat:
    check: set-heat
    answers:
      - {say: Heat comes, is: yes, go: works}
      - {say: No heat comes, is: no, go: ready}
      - {say: I'm not sure if heat comes, is: unsure, go: ready}
      - {say: I can't do this now, is: not-done, go: ready}
  ready:
    ask: Can you walk to the furnace?
    at: chair
    finding: ready-to-walk
    answers:
      - {say: "Yes, I can", is: yes, go: power-kind}
      - {say: "No, I can't", is: no, go: call}
      - {say: I'm not sure I can, is: unsure, go: call}
  power-kind:
    ask: What powers the screen?
    at: chair
    finding: thermostat-power
    answers:
      - {say: Batteries, is: batteries, go: spare}
      - {say: Wires, is: wires, go: tried}
      - {say: I'm not sure what does, is: unsure, go: tried}
  spare: {tell: Have new batteries at hand, look: [They are of use later.], go: tried}
  tried:
    ask: Has anyone reset the breaker today?
    at: chair
    finding: tried-before
    answers:
      - {say: "No, nobody has", is: none, go: reset}
      - {say: "Yes, someone has", is: yes, go: off}
      - {say: I'm not sure if anyone has, is: unsure, go: off}
  reset:
    check: reset-breaker-once
    answers:
      - {say: Heat comes now, is: yes, go: back}
      - {say: Still no heat, is: no, go: off}
      - {say: I'm not sure if it helped, is: unsure, go: off}
      - {say: I can't do this, is: not-done, go: off}
  off:
    check: switch-off
    answers:
      - {say: All is quiet, is: yes, go: panel}
      - {say: It still runs, is: no, go: call}
      - {say: I'm not sure it is quiet, is: unsure, go: call}
      - {say: I can't do this, is: not-done, go: call}
  panel:
    check: seat-door-panel
    answers:
      - {say: The panel is flat, is: flush, go: loud}
      - {say: It will not stay, is: loose, go: call}
      - {say: I'm not sure about the panel, is: unsure, go: call}
      - {say: I can't do this, is: not-done, go: call}
  loud:
    ask: Was it loud before?
    at: chair
    finding: loud
    answers:
      - {say: It was loud, is: yes, go: call}
      - {say: It was not, is: no, go: call}
      - {say: I'm not sure if it was, is: unsure, go: call}
outcomes:
"""
EDITS = (
    ("catalogue/boundary.yml", "longest-steps: 12", "longest-steps: 13"),
    ("catalogue/findings.yml", "findings:\n", "findings:\n  loud: {kind: fact, about: noise, "
     "values: {yes: loud, no: not loud}}\n"),
    ("catalogue/checks.yml", "name: Set the heat higher\n", "name: Set the heat higher\n"
     "    minutes: 3\n"),
)  # fmt: skip

WIRES, BATTERIES = {"thermostat-power": "wires"}, {"thermostat-power": "batteries"}
TELLS = {"loud": "no", "went-quiet": "yes", "panel-fit": "flush"}
HOUSES = (
    House("setting", "a", 0.4, mended_by=("thermostat", "heat"), tells={**TELLS, **WIRES}),
    House("no-power", "a", 0.3, mended_by=("breaker", "closed-once"), tells={**TELLS, **WIRES}),
    House("board", "a", 0.3, tells={**TELLS, **BATTERIES}),
)
ACCURATE = Errors(*[Rates(0.0, 0.0, NOWHERE)] * 3, spot=NOWHERE)
ERRING = Errors(
    Rates(0.2, 0.05, NOWHERE), Rates(0.02, 0.01, NOWHERE), Rates(0, 0, NOWHERE), NOWHERE
)
WALKS = {"works": (0.4, 4, 4), "chair": (0.15, 5, 13 / 3), "back": (0.225, 8, 6), "end": (
    0.225, 12, 26 / 3)}  # fmt: skip


def made(folder: Path, *edits: tuple[str, str, str]) -> Path:
    """The small library with `COLD` as its complaint, and some lines changed."""
    write(folder)
    path = folder / "complaints" / "cold.yml"
    outcomes = path.read_text("utf-8").split("outcomes:\n")[1]
    path.write_text(COLD + outcomes, "utf-8")
    for name, old, new in (*EDITS, *edits):
        path = folder / name
        text = path.read_text("utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        path.write_text(text.replace(old, new), "utf-8")
    return folder


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return made(tmp_path_factory.mktemp("small") / "t")


@pytest.fixture(scope="module")
def small(folder: Path) -> Bench:
    return bench(folder, houses=HOUSES)


@pytest.fixture(scope="module")
def world(small: Bench) -> World:
    return World(small, ACCURATE)


def surveyed(world: World) -> Survey:
    return survey(world, ["cold"], tabulate=lambda acts: world.bench.table)


@pytest.fixture(scope="module")
def found(world: World) -> Survey:
    return surveyed(world)


def mean(column: int) -> float:
    return sum(walk[0] * walk[column] for walk in WALKS.values())


# ---- steps and minutes ----


def test_the_small_library_keeps_all_safety_rules(small: Bench) -> None:
    assert flaws_of(small.journey.course.library) == ()


def test_steps_and_minutes_are_the_means_over_all_walks(found: Survey) -> None:
    [cost] = found.costs
    assert (mean(1), mean(2)) == pytest.approx((6.85, 5.55))
    assert cost.all_steps == pytest.approx(6.85)
    assert cost.all_minutes == pytest.approx(5.55)
    assert cost.calls == pytest.approx(1.0)


def test_steps_are_told_apart_by_what_they_are_for(found: Survey) -> None:
    [cost] = found.costs
    assert cost.steps == pytest.approx(
        {"danger": 3, "people": 0, "readiness": 0.6 + 0.45, "notes": 0.225, "causes": 2.575}
    )
    assert cost.minutes["danger"] == pytest.approx(1)
    assert cost.minutes["causes"] == pytest.approx(3 + 0.45 * (1 / 3 + 1) + 0.225 * (2 + 1 / 3))


def test_the_worst_walk_is_one_that_nobody_need_take(found: Survey) -> None:
    [cost] = found.costs
    assert cost.worst_steps == 12
    assert cost.worst_minutes == pytest.approx(26 / 3)


def test_with_a_check_that_takes_longer_the_worst_walk_does_too(tmp_path: Path) -> None:
    longer = ("catalogue/checks.yml", "name: Push the panel home\n", "name: Push the panel home\n"
              "    minutes: 5\n")  # fmt: skip
    other = bench(made(tmp_path / "t", longer), houses=HOUSES)
    assert costs.worst(walkers(World(other, ACCURATE), "cold")) == (12, pytest.approx(38 / 3))


def test_the_bound_is_the_entropy_of_the_ends_over_that_of_the_most_answers(found: Survey) -> None:
    [cost] = found.costs
    assert cost.ends == pytest.approx({"cold/back": 0.225, "cold/call": 0.375, "cold/works": 0.4})
    bits = -sum(share * log2(share) for share in (0.225, 0.375, 0.4))
    assert cost.ways == 4
    assert cost.bits == pytest.approx(bits)
    assert cost.entropy_bound == pytest.approx(bits / 2)
    assert cost.huffman_bound == pytest.approx(1.0), "one page with four answers has three ends"
    assert cost.ratio == pytest.approx(6.85)


def test_where_all_walks_end_alike_there_is_no_ratio(tmp_path: Path) -> None:
    only = (replace(HOUSES[0], weight=1.0),)
    other = World(bench(made(tmp_path / "t"), houses=only), ACCURATE)
    [cost] = surveyed(other).costs
    assert (cost.bits, cost.huffman_bound, cost.ratio) == (0.0, 0.0, None)


def test_all_complaints_together_are_means_by_calls(found: Survey) -> None:
    [cost] = found.costs
    other = replace(
        cost,
        complaint="other",
        calls=3.0,
        steps={name: 2 * each for name, each in cost.steps.items()},
        worst_steps=5,
        worst_minutes=99.0,
    )
    whole = accounts.whole([cost, other])
    assert whole["steps"] == pytest.approx((6.85 + 3 * 13.7) / 4)
    assert whole["minutes"] == pytest.approx(5.55)
    assert (whole["worst-steps"], whole["worst-minutes"]) == (12, 99.0)
    assert whole["ratio"] == pytest.approx((6.85 + 3 * 13.7) / 4)


def test_a_rehearsal_of_accurate_callers_counts_the_same(small: Bench, found: Survey) -> None:
    tally = rehearse(small, {"it": ACCURATE}, shown(small))["it"]
    [cost] = found.costs
    assert tally.share("pages") == pytest.approx(cost.all_steps + 1.0), "with the page of the end"
    assert tally.share("seconds") == pytest.approx(cost.all_minutes * 60)


# ---- errors ----


def walked(world: World, number: int, seat: int, who: int, mass: float, ends: dict) -> float:
    """Steps of all walks from a node, one by one; each adds its share to its end."""
    node = world.nodes[number]
    if not node.options:
        ends[node.page.id] += mass
        return 0.0
    steps = mass
    for option, share in zip(node.options, chances(world, node, seat, who), strict=True):
        if share > 0.0:
            steps += walked(world, option.to, seat, who, mass * share, ends)
    return steps


def chances(world: World, node, seat: int, who: int) -> list[float]:
    """By option the chance that one caller takes it, written down anew for this library."""
    caller, finding = world.bench.people[who], node.page.finding
    if not finding:
        return [1.0]
    truth = caller.told(finding, "heat", "cool") or next(
        v for v, c in world.bench.table.answers(node.seen, finding).items() if c[seat] == 1.0
    )
    known = world.bench.catalogue.findings[finding]
    rates = ERRING.of(finding, is_danger=known.is_danger)
    if node.page.at not in caller.reaches:
        lost = "not-done" if node.page.check else "unsure"
        return [float(lost in option.values) for option in node.options]
    others = len(known.values) - 1
    right = 1.0 - rates.unsure - rates.mistaken
    by_value = {truth: right, "unsure": rates.unsure, "not-done": 0.0}
    return [by_value.get(o.values[0], rates.mistaken / others) for o in node.options]


def test_with_errors_every_walk_counts_with_its_chance(small: Bench) -> None:
    erring = World(small, ERRING)
    ends: dict[str, float] = defaultdict(float)
    steps = sum(
        walked(erring, small.journey.roots["cold"], seat, who, house.weight * caller.weight, ends)
        for seat, house in enumerate(HOUSES)
        for who, caller in enumerate(small.people)
    )
    [cost] = surveyed(erring).costs
    assert cost.all_steps == pytest.approx(steps)
    assert cost.ends == pytest.approx(ends)
    assert len(ends) > 5


# ---- what is asked for nothing ----


def names(idles: tuple[idle.Idle, ...]) -> list[str]:
    return [each.step for each in idles]


def test_a_step_whose_answers_lead_to_one_page_is_named_once_for_all_its_copies(
    found: Survey, small: Bench
) -> None:
    copies = [p for p in small.journey.course.pages.values() if p.name == "loud"]
    [loud] = found.idleness.one_way
    assert (loud.step, loud.kind, loud.callers) == ("loud", "question", pytest.approx(0.225))
    assert loud.spot == copies[0].step.spot
    line = COLD.splitlines().index("  loud:") + 1
    assert accounts.place(loud.spot).endswith(f"complaints/cold.yml:{line}")


def test_copies_of_a_step_in_other_modes_count_together(world: World) -> None:
    pages = world.bench.journey.course.pages.values()
    assert len([p for p in pages if p.name == "power-kind"]) == 2, "with a puddle, and without"
    erring = surveyed(replace(world, errors=ERRING))
    assert len([each for each in erring.tellings if each.step == "power-kind"]) == 1
    assert names(erring.idleness.same_ends) == ["power-kind", "off", "panel"]


def test_a_step_whose_answer_changes_no_end_is_named(found: Survey) -> None:
    """Batteries lead to a note and wires don't, but all go on alike behind it.

    From the switch on every answer leads to the same call, sooner or later.
    """
    assert names(found.idleness.same_ends) == ["power-kind", "off", "panel"]


def test_a_step_with_an_answer_that_could_change_an_end_is_not_idle(small: Bench) -> None:
    """Nobody has reset the breaker before; whoever said so would not be offered the reset."""
    for errors in (ACCURATE, ERRING):
        idleness = surveyed(World(small, errors)).idleness
        assert not {"tried", "set-heat", "reset"} & set(names(idleness.same_ends))
        assert names(idleness.one_way) == ["loud"]


def test_answers_that_are_true_of_nobody_are_dead(found: Survey) -> None:
    dead = {(each.step, each.values) for each in found.idleness.dead}
    assert ("panel", ("loose",)) in dead
    assert ("panel", ("flush",)) not in dead
    assert ("tried", ("yes",)) in dead
    assert all(set(each.values) & {"unsure", "not-done"} for each in found.idleness.dead_unsure)
    assert ("panel", ("not-done",)) in {(e.step, e.values) for e in found.idleness.dead_unsure}
    assert ("ready", ("no",)) not in dead


def test_an_answer_that_is_taken_by_mistake_only_is_dead_all_the_same(small: Bench) -> None:
    dead = {(e.step, e.values): e for e in surveyed(World(small, ERRING)).idleness.dead}
    loose = dead["panel", ("loose",)]
    assert loose.taken == pytest.approx(0.05 * loose.callers)
    assert loose.callers > 0.0


def test_an_answer_that_one_house_shows_is_not_dead(folder: Path) -> None:
    houses = (*HOUSES[:2], replace(HOUSES[2], tells={**HOUSES[2].tells, "panel-fit": "loose"}))
    other = surveyed(World(bench(folder, houses=houses), ACCURATE)).idleness
    dead = {(each.step, each.values) for each in other.dead}
    assert ("panel", ("loose",)) not in dead
    assert ("panel", ("flush",)) in dead
    assert names(other.unvisited) == ["loud"]


# ---- what steps tell ----


def test_what_a_step_tells_is_the_drop_of_the_entropy_of_the_cause(found: Survey) -> None:
    tellings = {each.step: each for each in found.tellings}

    def entropy(*shares: float) -> float:
        return -sum(share * log2(share) for share in shares)

    heat = tellings["set-heat"]
    assert heat.callers == pytest.approx(1.0)
    assert heat.bits == pytest.approx(entropy(0.4, 0.3, 0.3) - 0.6 * 1.0)
    assert heat.rate == pytest.approx(heat.bits / 3)
    assert tellings["power-kind"].bits == pytest.approx(1.0), "batteries mean a broken board"
    assert tellings["power-kind"].rate == pytest.approx(3.0)
    assert tellings["reset"].bits == pytest.approx(1.0)
    assert tellings["ready"].bits == pytest.approx(0.0)
    assert tellings["ready"].callers == pytest.approx(0.6)


def test_notes_tell_nothing_and_stand_in_no_list(found: Survey) -> None:
    assert "spare" not in {each.step for each in found.tellings}


def test_a_step_that_takes_no_time_has_no_rate() -> None:
    assert telling.Telling("s", Spot("f", 1, 1), 0.5, 1.0, 0.0).rate == 0.0


# ---- orders ----


def test_neighbours_are_those_that_can_change_places_in_one_way(small: Bench) -> None:
    read = small.journey.course.library
    found = {(pair.tree, pair.first, pair.second): pair.on.name for pair in pairs(read)}
    assert found == {
        ("cold", "screen", "set-heat"): "ready",
        ("cold", "set-heat", "ready"): "power-kind",
        ("cold", "off", "panel"): "loud",
        ("danger-screen", "smell", "bang"): "water",
    }, "power-kind has two ways on, off is reached from tried too, water leaves by two exits"


def test_a_swap_changes_where_links_lead_and_nothing_else(small: Bench) -> None:
    read = small.journey.course.library
    pair = next(p for p in pairs(read) if p.first == "set-heat")
    tree = swapped(read, pair).trees["cold"]
    assert {t.name for t in tree.steps["screen"].exits.values()} == {"ready"}
    assert [a.target.name for a in tree.steps["ready"].answers] == ["set-heat", "call", "call"]
    assert [a.target.name for a in tree.steps["set-heat"].answers] == ["works"] + ["power-kind"] * 3
    assert list(tree.steps)[:3] == ["screen", "ready", "set-heat"]
    assert [a.target.spot for a in tree.steps["ready"].answers] == [
        a.target.spot for a in read.trees["cold"].steps["ready"].answers
    ]
    again = next(p for p in pairs(swapped(read, pair)) if p.second == "set-heat")
    assert swapped(swapped(read, pair), again) == read


def test_a_swap_at_the_head_of_a_file_changes_where_it_begins(small: Bench) -> None:
    read = small.journey.course.library
    pair = next(p for p in pairs(read) if p.first == "smell")
    tree = swapped(read, pair).trees["danger-screen"]
    assert tree.starts_with == "bang"
    assert [a.target.name for a in tree.steps["bang"].answers][1] == "smell"
    assert [a.target.name for a in tree.steps["smell"].answers][1] == "water"


def test_a_link_from_another_file_follows_the_pair(tmp_path: Path) -> None:
    far = ("complaints/danger.yml", "{clear: start-page,", "{clear: cold/set-heat,")
    read = library(made(tmp_path / "t", far))
    pair = next(p for p in pairs(read) if p.first == "set-heat")
    exits = swapped(read, pair).trees["danger"].steps["screen"].exits
    assert exits["clear"].name == "cold/ready"
    assert exits["puddle"].name == "start-page"
    far = ("complaints/danger.yml", "{clear: start-page,", "{clear: cold/ready,")
    other = library(made(tmp_path / "u", far))
    assert "set-heat" not in {p.first for p in pairs(other)}, "ready is reached from elsewhere"


def test_where_a_step_goes_on_is_one_place_or_none(small: Bench) -> None:
    read = small.journey.course.library
    cold, screen = read.trees["cold"], read.trees["danger-screen"]
    on = going_on(cold.steps["set-heat"], cold, read)
    assert on is not None
    assert on.name == "ready"
    assert going_on(cold.steps["power-kind"], cold, read) is None
    assert going_on(cold.steps["loud"], cold, read) is None, "all its answers are ends"
    assert going_on(screen.steps["water"], screen, read) is None, "two exits"


def compare(world: World, first: str, second: str):
    read = world.bench.journey.course.library
    count = spans.Count(world.bench.journey.course)
    mine = walkers(world, "cold")
    for met in mine.walk():
        count.add(met, mine)
    [pair] = [p for p in pairs(read) if (p.first, p.second) == (first, second)]
    return compared(pair, count, read)


def test_neighbours_are_compared_by_ends_and_minutes(world: World) -> None:
    """Of all 40 % end at set-heat and 15 % at ready; 3 minutes, and a third of one."""
    each = compare(world, "set-heat", "ready")
    assert (each.first.ends, each.first.minutes) == pytest.approx((0.4, 3))
    assert (each.second.ends, each.second.minutes) == pytest.approx((0.15, 1 / 3))
    assert each.callers == pytest.approx(1.0)
    assert each.by_ratio == pytest.approx(0.15 * 3 - 0.4 / 3)


def test_a_shared_tree_that_stands_in_a_place_is_one_step(small: Bench) -> None:
    """Its own pages don't end or pass the walk one by one."""
    each = compare(World(small, ERRING), "screen", "set-heat")
    passing = (1 - 0.02 - 0.01) ** 2 * (1 - 0.02 - 0.01 / 2)
    assert each.first.ends == pytest.approx(1 - passing)
    smells, bangs = 0.97, 0.97**2
    assert each.first.minutes == pytest.approx((1 + smells + bangs) / 3)


def test_whoever_leaves_a_file_by_its_exit_goes_on(small: Bench) -> None:
    """With a puddle that leaves like dry ground, bang and water are neighbours before an exit."""
    read = small.journey.course.library
    screen = read.trees["danger-screen"]
    wires, puddle, none, unsure = screen.steps["water"].answers
    water = replace(
        screen.steps["water"], answers=(wires, replace(puddle, target=none.target), none, unsure)
    )
    tree = replace(screen, steps={**screen.steps, "water": water})
    changed = replace(read, trees={**read.trees, "danger-screen": tree})
    moved = moved_to(small, lay(lay_out(changed)), lambda acts: small.table)
    each = compare(World(moved, ERRING), "bang", "water")
    assert each.pair.on.is_exit
    assert each.first.ends == pytest.approx(0.03)
    assert each.second.ends == pytest.approx(0.97 * (0.02 + 0.01 / 2))
    assert each.callers == pytest.approx(0.97)


def test_a_swap_that_saves_is_proposed_with_what_walks_through_it_take(found: Survey) -> None:
    """Now 3 + 0.6 x 1/3 minutes; the other way round 1/3 + 0.75 x 3: who can't walk ends first.

    The ratios say less, since some who can't walk would end at the check as well.
    """
    [best] = found.orders.proposed
    assert (best.compared.first.step, best.compared.second.step) == ("set-heat", "ready")
    gain = (3 + 0.6 / 3) - (1 / 3 + 0.75 * 3)
    assert best.each == pytest.approx(gain)
    assert best.minutes == pytest.approx({"cold": gain})
    assert best.saved == pytest.approx(gain)
    assert best.compared.by_ratio < best.each


def test_what_a_swap_saves_of_all_calls_counts_only_those_who_come_to_it(folder: Path) -> None:
    half = (("cold", 0.5), ("danger", 0.5))
    houses = [replace(house, complaints=half) for house in HOUSES]
    made_so = World(bench(folder, houses=houses), ACCURATE)
    found = survey(made_so, ["cold", "danger"], tabulate=lambda acts: made_so.bench.table)
    assert [cost.calls for cost in found.costs] == pytest.approx([0.5, 0.5])
    assert [cost.all_steps for cost in found.costs] == pytest.approx([6.85, 3])
    [best] = found.orders.proposed
    gain = (3 + 0.6 / 3) - (1 / 3 + 0.75 * 3)
    assert best.saved == pytest.approx(gain / 2)
    assert best.each == pytest.approx(gain)
    assert best.minutes == pytest.approx({"cold": gain}), "nobody else comes to the pair"


def test_a_proposal_says_whose_ends_it_changes(found: Survey) -> None:
    """10 % of all have a low setting and can't walk: they would call and never set it."""
    [best] = found.orders.proposed
    assert best.kinds == pytest.approx({"solved": -0.1, "call": 0.1})


def test_a_swap_that_safety_forbids_is_refused_with_the_flaw(folder: Path) -> None:
    """The panel is touched with the unit off only, though it ends most walks."""
    houses = (*HOUSES[:2], replace(HOUSES[2], tells={**HOUSES[2].tells, "panel-fit": "loose"}))
    found = surveyed(World(bench(folder, houses=houses), ACCURATE)).orders
    [refused] = found.refused
    assert (refused.compared.first.step, refused.compared.second.step) == ("off", "panel")
    assert refused.flaws == ("unmet-requirement",)
    assert [each.compared.first.step for each in found.proposed] == ["set-heat"]


def test_nothing_is_moved_before_a_question_about_danger(found: Survey, small: Bench) -> None:
    read = small.journey.course.library
    held = {(pair.tree, pair.first) for pair in found.orders.held}
    assert held == {("cold", "screen"), ("danger-screen", "smell")}
    assert not any(each.compared.pair in found.orders.held for each in found.orders.proposed)
    screen = next(p for p in found.orders.held if p.first == "screen")
    assert "danger-not-first" in flaws_of(swapped(read, screen)), "the rules would refuse it anyway"


def test_danger_is_seen_inside_the_shared_tree_that_stands_in_a_place(small: Bench) -> None:
    read = small.journey.course.library
    by_first = {pair.first: asks_danger(pair, read) for pair in pairs(read)}
    assert by_first == {"screen": True, "smell": True, "set-heat": False, "off": False}


def test_every_pair_is_counted_once(found: Survey) -> None:
    orders = found.orders
    judged = len(orders.refused) + len(orders.proposed) + len(orders.not_borne_out)
    assert orders.pairs == len(orders.held) + orders.unvisited + orders.in_order + judged
    assert (orders.pairs, orders.unvisited, orders.in_order, judged) == (4, 0, 1, 1)


HUM = """\
  hum:
    ask: Does it hum?
    at: chair
    finding: hum
    answers:
      - {say: It hums, is: yes, go: call}
      - {say: It is silent, is: no, go: ready}
      - {say: I'm not sure if it hums, is: unsure, go: call}
"""
HUMMING = (
    ("catalogue/boundary.yml", "longest-steps: 13", "longest-steps: 14"),
    ("catalogue/findings.yml", "  loud: {", "  hum: {kind: reading, about: a hum, "
     "values: {yes: hums, no: silent}}\n  loud: {"),
    ("complaints/cold.yml", "No heat comes, is: no, go: ready", "No heat comes, is: no, go: hum"),
    ("complaints/cold.yml", "if heat comes, is: unsure, go: ready", "if heat comes, is: unsure, "
     "go: hum"),
    ("complaints/cold.yml", "this now, is: not-done, go: ready", "this now, is: not-done, go: hum"),
    ("complaints/cold.yml", "  ready:\n", f"{HUM}  ready:\n"),
)  # fmt: skip
"""The walk ends for whoever hears a hum, which is asked once heat was called for."""


class Humming(House):
    """It hums while it is asked for heat, and only then."""

    def answer(self, acts, finding):
        if finding == "hum":
            return {"yes" if acts.thermostat == "heat" else "no": 1.0}
        return super().answer(acts, finding)


def test_a_swap_that_saves_nothing_once_counted_is_not_proposed(tmp_path: Path) -> None:
    """By the ratios 60 of 100 could end with the hum first; asked first, nobody hears one."""
    houses = [Humming(h.cause, h.house, h.weight, h.half, h.mended_by, h.tells) for h in HOUSES]
    made_so = World(bench(made(tmp_path / "t", *HUMMING), houses=houses), ACCURATE)
    assert flaws_of(made_so.bench.journey.course.library) == ()
    orders = surveyed(made_so).orders
    assert orders.proposed == ()
    [hum] = orders.not_borne_out
    assert (hum.compared.first.step, hum.compared.second.step) == ("set-heat", "hum")
    assert hum.compared.by_ratio == pytest.approx(0.6 * 3 - 0.4 / 3)
    # Before: 4 of 10 end at set-heat, the others with the hum. After: all others walk on.
    assert hum.each < 0.0
    assert hum.kinds["call"] < 0.0


# ---- houses in states that no walk led to ----


def test_houses_are_simulated_where_another_order_leads_to_other_acts(small: Bench) -> None:
    read = small.journey.course.library
    pair = Pair("cold", "off", "panel", next(p.on for p in pairs(read) if p.first == "off"))
    asked = []

    def tabulate(acts):
        asked.extend(acts)
        return small.table

    journey = lay(lay_out(swapped(read, pair)))
    moved = moved_to(small, journey, tabulate)
    known = set(small.journey.acts)
    assert asked == sorted(set(journey.acts) - known)
    assert after(after(NONE, "set-heat"), "seat-door-panel") in asked
    assert moved.journey is journey
    assert moved.truths.table is moved.table


def test_without_new_acts_nothing_is_simulated(small: Bench) -> None:
    moved = moved_to(small, small.journey, lambda acts: pytest.fail("asked for"))
    assert moved.table is small.table


def test_two_tables_answer_as_one(small: Bench) -> None:
    set_high = after(NONE, "set-heat")
    never = bench_of(small, tuple(replace(house, mended_by=()) for house in HOUSES))
    joined = Joined(small.table, frozenset([NONE]), never)
    assert joined.cases == small.table.cases
    assert joined.works(set_high).tolist() == [False] * 3
    assert small.table.works(set_high).tolist() == [True, False, False]
    assert joined.answers(set_high, "heat")["no"].tolist() == [1.0] * 3
    assert joined.answers(NONE, "panel-fit")["flush"].tolist() == [1.0] * 3
    assert joined.mendable("walk").tolist() == [True, True, False]


def bench_of(small: Bench, houses: tuple[House, ...]):
    return replace(small.table, cases=houses)


# ---- the account ----


def test_the_account_is_told_as_json_and_as_text(found: Survey, world: World) -> None:
    data = accounts.account(found, world)
    again = json.loads(tell.as_json(data))
    assert again["complaints"]["cold"]["steps"] == pytest.approx(6.85)
    assert again["orders"]["proposed"][0]["ends"]["call"] == pytest.approx(0.1)
    text = tell.as_text(data)
    assert "cold                    100.0 %      6.8     12" in text
    assert "question: it serves the account for the technician only" in text
    assert "cold: `ready` before `set-heat`" in text
    assert "only if the two end walks of different callers" in " ".join(text.split())
    assert "kinds of ends, of 100,000 calls: solved -10000.0, call +10000.0" in text
    assert all(len(line) <= 130 for line in text.splitlines())


def test_long_lists_are_cut_in_the_text_and_whole_in_json(found: Survey, world: World) -> None:
    data = accounts.account(found, world)
    dead = data["dead-answers"] * 9
    text = tell.as_text({**data, "dead-answers": dead})
    assert f"and {len(dead) - tell.SHOWN} more" in text


def test_the_same_is_found_when_it_is_counted_again(found: Survey, world: World) -> None:
    assert accounts.account(surveyed(world), world) == accounts.account(found, world)


# ---- the command ----


@pytest.fixture
def simulating(monkeypatch: pytest.MonkeyPatch) -> None:
    """Puts the small world's houses in the place of the simulated ones."""
    monkeypatch.setattr(prepare, "_tabulated", lambda journey, off_grid, progress: Table(HOUSES))


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["effort", *map(str, arguments)])


def test_the_command_tells_what_walks_cost(folder: Path, simulating: None) -> None:
    result = run(folder)
    assert result.exit_code == 0, result.output
    assert result.output.startswith("Simulated, not field results: 3 cases of 3 causes,")
    assert "Better orders: 4 pairs of neighbours" in result.output


def test_the_command_counts_one_complaint_as_json(folder: Path, simulating: None) -> None:
    result = run(folder, "--complaint", "cold", "--format", "json")
    assert result.exit_code == 0, result.output
    data = json.loads(result.stdout)
    assert list(data["complaints"]) == ["cold"]
    assert data["complaints"]["cold"]["worst-steps"] == 12
    erring = surveyed(World(bench(folder, houses=HOUSES), ERRING))
    assert data["whole"]["steps"] == pytest.approx(erring.costs[0].all_steps)


def test_the_command_knows_what_nobody_calls_about(folder: Path, simulating: None) -> None:
    result = run(folder, "--complaint", "danger")
    assert result.exit_code == 2
    assert "nobody calls about `danger`; known: cold" in result.output


def test_the_command_shows_mistakes_in_the_file_of_callers(
    tmp_path: Path, simulating: None
) -> None:
    wrong = ("rehearsal/callers.yml", "weight: 0.75", "weight: 0.7")
    result = run(made(tmp_path / "t", wrong))
    assert result.exit_code == 1
    assert "contradiction: the weights add up to 0.95, not to 1" in result.output


def test_more_houses_are_simulated_for_the_same_causes_and_kept(
    small: Bench, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    asked = []

    def tabulate(often: dict[str, str], acts: tuple, *, cache: Path, **_: object) -> Table:
        asked.append((often, tuple(acts), cache))
        return Table(HOUSES)

    monkeypatch.setattr("stepstop.house.table.tabulate", tabulate)
    read = small.journey.course.library
    found = simulated(read, HOUSES)([NONE])
    often = {cause.id: cause.frequency for cause in read.catalogue.causes.values()}
    assert found.cases == HOUSES
    assert asked == [(often, (NONE,), tmp_path / "stepstop")]
    with pytest.raises(ValueError, match="not those of the table"):
        simulated(read, HOUSES[1:])([NONE])
