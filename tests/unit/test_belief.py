"""What answers point to, on a small library and a handful of houses worked out by hand.

Three causes in four houses; what each would answer stands in plain sight in `Houses`. Half of the
declared errors is counted: who looks at the house can't tell in 1 of 10 answers, and tells another
value in 1 of 40.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest

from stepstop import belief as belief_module
from stepstop.belief import ELSE, Belief, Likely, Ranking, Reason, Told, picked
from stepstop.callers import Callers, read_callers
from stepstop.course import lay_out
from stepstop.house.acts import NONE, Acts, after
from stepstop.journey import Journey, Node, lay
from stepstop.model import NOT_DONE, UNSURE
from unit.rehearsed import library, write


@pytest.fixture(scope="module", autouse=True)
def shares():
    """Figures below are worked by hand with half of the errors everywhere, nine tenths enough."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(belief_module, "SHARE_AT_OUTCOMES", 0.5)
        patch.setattr(belief_module, "ENOUGH", 0.9)
        yield


UNSURE_SHARE, MISTAKEN_SHARE = 0.1, 0.025
RIGHT = 1.0 - UNSURE_SHARE - MISTAKEN_SHARE
RESET = after(NONE, "reset-breaker-once")


@dataclass(frozen=True)
class Case:
    """A house, as far as belief asks for it."""

    cause: str
    weight: float
    complaints: tuple[tuple[str, float], ...] = (("cold", 1.0),)
    wanted: str = "heat"
    weather: str = "cool"


CASES = (
    Case("no-power", 0.4),
    Case("board", 0.2),
    Case("board", 0.1, (("cold", 0.5), ("danger", 0.5))),
    Case("short", 0.3),
)


class Houses:
    """What somebody who errs in nothing would answer: finding -> value -> chance by case."""

    cases = CASES
    said: Mapping[str, Mapping[str, tuple[float, ...]]] = {
        "gas-smell": {"no": (1, 1, 1, 1)},
        "bang": {"no": (1, 1, 1, 1)},
        "water": {"none": (1, 0.2, 1, 1), "puddle": (0, 0.8, 0, 0)},
        "went-quiet": {"yes": (1, 1, 1, 1)},
        "panel-fit": {"flush": (1, 1, 1, 0), "loose": (0, 0, 0, 1)},
        "display": {"on": (1, 0.5, 0, 0), UNSURE: (0, 0.5, 0, 0), NOT_DONE: (0, 0, 1, 1)},
    }

    def answers(self, acts: Acts, finding: str) -> dict[str, np.ndarray]:
        if finding == "heat":
            warm = float(acts.breaker == "closed-once")
            return {"yes": np.array([warm, 0, 0, 0]), "no": np.array([1 - warm, 1, 1, 1])}
        return {value: np.array(row, dtype=float) for value, row in self.said[finding].items()}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(tmp_path_factory.mktemp("small") / "t")


@pytest.fixture(scope="module")
def journey(folder: Path) -> Journey:
    return lay(lay_out(library(folder)))


@pytest.fixture(scope="module")
def callers(folder: Path) -> Callers:
    read, odd = read_callers(folder / "rehearsal" / "callers.yml", library(folder).catalogue)
    assert read is not None, odd
    return read


@pytest.fixture(scope="module")
def belief(journey: Journey, callers: Callers) -> Belief:
    return Belief(journey, Houses(), callers)


def told(finding: str, value: str, acts: Acts = NONE) -> Told:
    return Told(acts, finding, value)


# ---- one answer ----


def test_an_answer_weighs_by_the_chance_that_its_owner_tells_it(belief: Belief) -> None:
    loose = belief.likelihood(told("panel-fit", "loose"))
    assert loose.tolist() == pytest.approx([MISTAKEN_SHARE] * 3 + [RIGHT])
    puddle = belief.likelihood(told("water", "puddle"))
    # Three values: who errs tells each of the two others as often. A danger errs less.
    right, slip = 1.0 - 0.01 - 0.005, 0.005 / 2
    assert puddle.tolist() == pytest.approx([slip, 0.8 * right + 0.2 * slip, slip, slip])


def test_the_answer_of_one_who_cannot_tell_says_little_of_a_house_that_shows_it(
    belief: Belief,
) -> None:
    unsure = belief.likelihood(told("display", UNSURE))
    assert unsure.tolist() == pytest.approx([0.1, 0.5 + 0.5 * 0.1, 0, 0])
    assert belief.likelihood(told("display", NOT_DONE)).tolist() == [0, 0, 1, 1]
    assert belief.likelihood(told("heat", UNSURE)).tolist() == pytest.approx([0.1] * 4)


@pytest.mark.parametrize("finding", sorted({*Houses.said, "heat"}))
def test_all_that_can_be_answered_adds_up_in_every_house(belief: Belief, finding: str) -> None:
    values = [*belief.findings[finding].values, UNSURE, NOT_DONE]
    whole = sum(belief.likelihood(told(finding, value, RESET)) for value in values)
    assert np.asarray(whole).tolist() == pytest.approx([1.0] * 4)


# ---- along a trail ----


def by_hand(
    *evidence: tuple[tuple[float, ...], int], weights: tuple[float, ...]
) -> dict[str, float]:
    """Bayes's theorem, one product a house: chances by cause after rows of (cases,).

    With each row: how many values its finding has, for something else.
    """
    products = [0.97 * weight / sum(weights) for weight in weights] + [0.03]
    for row, values in evidence:
        average = sum(chance * case.weight for chance, case in zip(row, CASES, strict=True))
        other = 0.5 * average + 0.5 / (values + 1)
        products = [p * chance for p, chance in zip(products, (*row, other), strict=True)]
    sums: dict[str, float] = defaultdict(float)
    for cause, product in zip([*(c.cause for c in CASES), ELSE], products, strict=True):
        sums[cause] += product / sum(products)
    return dict(sums)


EVEN = tuple(case.weight for case in CASES)


def test_before_any_answer_all_is_as_declared(belief: Belief) -> None:
    chances = belief.along([]).chances
    assert chances == pytest.approx({"no-power": 0.388, "short": 0.291, "board": 0.291, ELSE: 0.03})
    assert [*chances][::3] == ["no-power", ELSE]


def test_a_ranking_is_what_bayes_gives_by_hand(belief: Belief) -> None:
    trail = [told("panel-fit", "loose"), told("heat", "no", RESET)]
    slip = MISTAKEN_SHARE
    expected = by_hand(
        ((slip, slip, slip, RIGHT), 2), ((slip, RIGHT, RIGHT, RIGHT), 2), weights=EVEN
    )
    chances = belief.along(trail).chances
    assert chances == pytest.approx(expected)
    assert list(chances) == sorted(expected, key=lambda cause: -expected[cause])
    assert next(iter(chances)) == "short"


def test_the_complaint_counts_as_what_its_callers_choose(belief: Belief) -> None:
    assert belief.along([], complaint="cold").chances == pytest.approx(
        by_hand(weights=(0.4, 0.2, 0.05, 0.3))
    )
    assert belief.along([], complaint="danger").chances == pytest.approx(
        {"board": 0.97, ELSE: 0.03, "no-power": 0.0, "short": 0.0}
    )


def test_a_complaint_that_no_simulated_house_is_called_about_says_nothing(belief: Belief) -> None:
    assert belief.along([], complaint="elsewhere") == belief.along([])


def test_the_order_of_answers_does_not_matter(belief: Belief) -> None:
    trail = [
        told("water", "puddle"),
        told("heat", "no"),
        told("display", UNSURE),
        told("panel-fit", "flush"),
    ]
    first = belief.along(trail).chances
    assert first["board"] > 0.9
    for order in permutations(trail):
        other = belief.along(order).chances
        assert list(other.items()) == list(first.items())


def test_the_same_answer_means_another_thing_after_another_act(belief: Belief) -> None:
    before, after_reset = (
        belief.along([told("heat", "no", acts)]).chances for acts in (NONE, RESET)
    )
    assert before["no-power"] == pytest.approx(0.388, abs=0.01)
    assert after_reset["no-power"] < 0.05


def test_chances_add_up_and_nothing_is_ever_certain(belief: Belief) -> None:
    for value in ("flush", "loose", UNSURE, NOT_DONE):
        chances = belief.along([told("panel-fit", value)] * 5).chances
        assert sum(chances.values()) == pytest.approx(1.0)
        assert chances.keys() == {"no-power", "board", "short", ELSE}
        assert chances[ELSE] > 0


# ---- something else ----


def test_something_else_wins_when_the_answers_fit_nothing(belief: Belief) -> None:
    odd = [told("went-quiet", "no"), told("heat", "yes"), told("panel-fit", "loose")]
    ranking = belief.along([*odd, told("water", "puddle")])
    assert next(iter(ranking.chances)) == ELSE
    assert ranking.chances[ELSE] > 0.9
    assert not ranking.fits


def test_one_odd_answer_is_taken_for_an_error(belief: Belief) -> None:
    assert belief.along([told("went-quiet", "no"), told("panel-fit", "loose")]).fits
    assert belief.along([]).fits


def test_what_no_house_can_tell_leaves_something_else_only(belief: Belief) -> None:
    ranking = belief.along([told("panel-fit", NOT_DONE)])
    assert ranking.chances[ELSE] == 1.0
    assert not ranking.fits


def test_answers_fit_below_an_even_chance_of_something_else() -> None:
    assert Ranking({"board": 0.51, ELSE: 0.49}).fits
    assert not Ranking({"board": 0.5, ELSE: 0.5}).fits


# ---- what callers know of themselves ----


def test_what_callers_know_of_themselves_changes_nothing(belief: Belief) -> None:
    trail = [told("panel-fit", "loose"), told("heat", "no", RESET)]
    own = [
        told("ready-to-walk", "no"),
        told("tried-before", "yes"),
        told("people-at-risk", "someone"),
        told("home-temperature", "too-cold"),
        told("", ""),
    ]
    assert not any(belief.tells(each) for each in own)
    assert all(belief.tells(each) for each in trail)
    mixed = [own[0], trail[0], *own[1:3], trail[1], *own[3:]]
    assert belief.along(mixed) == belief.along(trail)
    assert belief.along(own) == belief.along([])


# ---- the causes to show ----


def test_two_causes_at_least_are_shown_and_no_more_once_they_have_most_of_the_chance() -> None:
    assert picked({"a": 0.95, "b": 0.04, "c": 0.01}) == ["a", "b"]
    assert picked({"a": 0.5, "b": 0.4, "c": 0.1}) == ["a", "b"]
    assert picked({"a": 0.5, "b": 0.35, "c": 0.1, "d": 0.05}) == ["a", "b", "c"]


def test_four_causes_at_most_are_shown() -> None:
    assert picked(dict.fromkeys("abcdef", 1 / 6)) == ["a", "b", "c", "d"]


def test_a_cause_without_a_chance_to_speak_of_is_not_shown() -> None:
    assert picked({"a": 0.999, "b": 0.001}) == ["a"]
    assert picked({"a": 0.998, "b": 0.002}) == ["a", "b"]
    assert picked({"a": 1.0, "b": 0.0}) == ["a"]
    assert picked({}) == []


@pytest.mark.parametrize(
    ("chance", "word"),
    [
        (1.0, "very likely"),
        (0.5, "very likely"),
        (0.499, "likely"),
        (0.15, "likely"),
        (0.149, "possible"),
        (0.0, "possible"),
    ],
)
def test_a_chance_is_told_in_words(chance: float, word: str) -> None:
    assert Likely("board", chance, (), ()).word == word


# ---- at the outcomes ----


@pytest.fixture(scope="module")
def shown(belief: Belief) -> dict[str, tuple[Likely, ...]]:
    return belief.at_outcomes()


def test_what_callers_know_of_the_season_is_that_of_their_own_house(belief: Belief) -> None:
    node = next(node for node in belief.journey.nodes if node.page.finding and node.options)
    page = replace(node.page, finding="wanted-now")
    options = tuple(replace(node.options[0], values=(value,)) for value in ("cool", "heat", UNSURE))
    cases = (*CASES[:3], replace(CASES[3], wanted="cool", weather="hot"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Houses, "cases", cases)
        carried = belief_module._Carried(belief)
        cool, heat, unsure = carried.options(replace(node, page=page, options=options))
    assert np.asarray(cool).tolist() == [0.0, 0.0, 0.0, 1.0]
    assert np.asarray(heat).tolist() == [1.0, 1.0, 1.0, 0.0]
    assert not np.any(unsure)


def share_of(node: Node, values: tuple[str, ...], seat: int, callers: Callers) -> float:
    """Chance that somebody with the house in `seat` gives an answer that stands for `values`."""
    finding = node.page.finding
    if finding in callers.findings:
        profiles = callers.profiles.values()
        return sum(p.weight for p in profiles if p.told(finding, "heat", "cool") in values)
    if values == (UNSURE,):
        return 0.01 if finding in ("gas-smell", "bang", "water") else UNSURE_SHARE
    danger = finding in ("gas-smell", "bang", "water")
    mistaken, unsure = (0.005, 0.01) if danger else (MISTAKEN_SHARE, UNSURE_SHARE)
    truth = Houses().answers(node.seen, finding)
    right = sum(float(truth[value][seat]) for value in values if value in truth)
    others = 2 if finding == "water" else 1
    return (1.0 - unsure - mistaken) * right + mistaken * (1.0 - right) / others


def arrivals(journey: Journey, callers: Callers) -> dict[str, dict[str, float]]:
    """Outcome -> cause -> mass, walk by walk: every way through the journey by itself."""
    ends: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))

    def walk(number: int, seat: int, mass: float) -> None:
        node = journey.nodes[number]
        if node.page.outcome is not None:
            ends[f"{node.page.tree}/{node.page.outcome.id}"][CASES[seat].cause] += mass
        for option in node.options:
            share = share_of(node, option.values, seat, callers)
            if share > 0.0 and NOT_DONE not in option.values:
                walk(option.to, seat, mass * share)

    for seat, case in enumerate(CASES):
        for complaint, chance in case.complaints:
            walk(journey.roots[complaint], seat, case.weight * chance)
    return ends


def test_chances_at_each_outcome_are_those_of_every_walk_counted_by_itself(
    shown: dict[str, tuple[Likely, ...]], journey: Journey, callers: Callers
) -> None:
    ends = arrivals(journey, callers)
    for name, likely in shown.items():
        whole = sum(ends[name].values())
        expected = {cause: mass / whole for cause, mass in ends[name].items()}
        assert {each.cause: each.chance for each in likely} == pytest.approx(
            {each.cause: expected[each.cause] for each in likely}
        )
        greatest = sorted(expected.values(), reverse=True)[: len(likely)]
        assert [each.chance for each in likely] == pytest.approx(greatest)


def test_causes_are_shown_only_where_somebody_comes_to_look(
    shown: dict[str, tuple[Likely, ...]], journey: Journey
) -> None:
    kinds = {
        f"{node.page.tree}/{node.page.outcome.id}": node.page.outcome.kind
        for node in journey.nodes
        if node.page.outcome is not None
    }
    assert set(kinds.values()) > {"call", "watch"}
    assert shown.keys() == {name for name, kind in kinds.items() if kind in ("call", "watch")}


def test_chances_of_all_causes_at_an_outcome_add_up(
    shown: dict[str, tuple[Likely, ...]],
) -> None:
    for likely in shown.values():
        assert 2 <= len(likely) <= 4
        assert sum(each.chance for each in likely) <= 1.0 + 1e-9
    assert len(shown["cold/call"]) == 3, "all causes that there are"
    assert sum(each.chance for each in shown["cold/call"]) == pytest.approx(1.0)


def test_a_mend_points_to_what_it_mends(shown: dict[str, tuple[Likely, ...]]) -> None:
    first = shown["cold/back"][0]
    assert first.cause == "no-power"
    assert first.word == "very likely"
    assert [(each.finding, each.value) for each in first.supports] == [("heat", "yes")]
    assert first.contradicts == ()


def test_reasons_point_the_right_way(shown: dict[str, tuple[Likely, ...]]) -> None:
    at_call = {each.cause: each for each in shown["cold/call"]}
    assert pairs(at_call["short"].supports) == {("panel-fit", "loose"), ("heat", "no")}
    assert pairs(at_call["board"].supports) == {("water", "puddle")}
    for each in (each for likely in shown.values() for each in likely):
        assert all(reason.ratio >= 1.5 for reason in each.supports)
        assert all(reason.ratio <= 1 / 1.5 for reason in each.contradicts)


def pairs(reasons: tuple[Reason, ...]) -> set[tuple[str, str]]:
    return {(reason.finding, reason.value) for reason in reasons}


def test_an_answer_that_its_owner_seldom_gives_speaks_against_a_cause(
    shown: dict[str, tuple[Likely, ...]],
) -> None:
    others = {each.cause: each for each in shown["cold/back"] if each.cause != "no-power"}
    assert others
    for each in others.values():
        [reason] = each.contradicts
        assert (reason.finding, reason.value) == ("heat", "yes")
        assert reason.ratio < 0.1


class Wet(Houses):
    """The same, but the house with a short is mostly wet too."""

    said: Mapping[str, Mapping[str, tuple[float, ...]]] = {
        **Houses.said,
        "water": {"none": (1, 0.2, 1, 0.4), "puddle": (0, 0.8, 0, 0.6)},
    }


def test_of_what_speaks_against_a_cause_the_strongest_comes_first(
    journey: Journey, callers: Callers
) -> None:
    at_back = {
        each.cause: each for each in Belief(journey, Wet(), callers).at_outcomes()["cold/back"]
    }
    against = at_back["short"].contradicts
    assert [(each.finding, each.value) for each in against] == [("heat", "yes"), ("water", "none")]
    assert against[0].ratio < 0.1 < 0.4 < against[1].ratio < 0.6


class Stopped(Houses):
    """The same, but whoever has a short can't say whether there was a bang."""

    said: Mapping[str, Mapping[str, tuple[float, ...]]] = {
        **Houses.said,
        "bang": {"no": (1, 1, 1, 0), NOT_DONE: (0, 0, 0, 1)},
    }


def test_whoever_finds_no_answer_that_fits_says_that_they_are_not_sure(
    journey: Journey, callers: Callers
) -> None:
    shown = Belief(journey, Stopped(), callers).at_outcomes()["danger-screen/off-after-bang"]
    assert shown[0].cause == "short"
    # The others come by an error alone: unsure, or the one other answer.
    astray = (0.01 + 0.005) * (0.4 + 0.3)
    assert shown[0].chance == pytest.approx(0.3 / (0.3 + astray))


def test_a_ratio_is_a_chance_with_the_cause_over_the_chance_with_all_others(
    shown: dict[str, tuple[Likely, ...]],
) -> None:
    loose, cold = next(each for each in shown["cold/call"] if each.cause == "short").supports
    assert (loose.value, cold.value) == ("loose", "no"), "the stronger one first"
    assert loose.ratio == pytest.approx(RIGHT / MISTAKEN_SHARE)
    others = (0.4 * MISTAKEN_SHARE + 0.3 * RIGHT) / 0.7
    assert cold.ratio == pytest.approx(RIGHT / others)


def test_what_callers_know_of_themselves_is_no_reason(
    shown: dict[str, tuple[Likely, ...]], belief: Belief
) -> None:
    given = set(all_reasons(shown))
    assert given
    assert not {reason.finding for reason in given} & belief.callers.findings
    assert not {reason.value for reason in given} & {UNSURE, NOT_DONE}


def all_reasons(shown: dict[str, tuple[Likely, ...]]) -> Iterator[Reason]:
    for likely in shown.values():
        for each in likely:
            yield from (*each.supports, *each.contradicts)


def test_the_same_is_shown_when_it_is_worked_out_again(
    shown: dict[str, tuple[Likely, ...]], journey: Journey, callers: Callers
) -> None:
    assert Belief(journey, Houses(), callers).at_outcomes() == shown
