"""The journey: pages together with what was done, in order, and what may be asked again."""

from dataclasses import replace

import pytest

from stepstop.course import lay_out
from stepstop.graph import HasCycle
from stepstop.house.acts import NONE, after
from stepstop.journey import Option, lay
from stepstop.model import NOT_DONE
from stepstop.proof import Proof
from stepstop.rules.too_long import QUESTION_SECONDS, page_seconds
from unit.rehearsed import library, write


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    return lay_out(library(write(tmp_path_factory.mktemp("small") / "t")))


@pytest.fixture(scope="module")
def journey(course):
    return lay(course)


def test_every_page_is_there_and_every_tree_that_people_begin_with(course, journey):
    assert {node.page.id for node in journey.nodes} == course.pages.keys()
    assert set(journey.roots) == {"cold", "danger"}
    assert all(journey.nodes[number].acts == NONE for number in journey.roots.values())


def test_each_node_comes_before_whatever_it_leads_to(journey):
    for number, node in enumerate(journey.nodes):
        assert all(option.to > number for option in node.options)


def test_a_check_that_is_done_changes_the_acts_and_one_that_is_not_leaves_them(journey):
    checks = [node for node in journey.nodes if node.page.check]
    assert checks
    for node in checks:
        assert node.seen == after(node.acts, node.page.check.id)
        for option in node.options:
            then = journey.nodes[option.to].acts
            assert option.done == (NOT_DONE not in option.values)
            assert then == (node.seen if option.done else node.acts)


def test_a_question_leaves_the_acts_as_they_are(journey):
    for node in journey.nodes:
        if not node.page.check:
            assert node.seen == node.acts
            assert all(journey.nodes[option.to].acts == node.acts for option in node.options)


def test_walks_that_did_the_same_meet_again(journey):
    places = [(node.page.id, node.acts) for node in journey.nodes]
    assert len(places) == len(set(places))
    calls = [acts for page, acts in places if page == "cold/call"]
    assert len(calls) == len(set(calls)) > 2


def test_a_finding_of_two_checks_on_one_way_is_asked_again(journey):
    assert journey.repeated == {"heat"}
    later = {(node.page.id, node.acts): journey.later[i] for i, node in enumerate(journey.nodes)}
    assert later["cold/index", NONE] == {"heat"}
    assert later["cold/reset", after(NONE, "set-heat")] == {"heat"}
    assert later["cold/off", after(NONE, "set-heat")] == frozenset()


def test_the_acts_of_a_journey_are_all_that_a_house_is_asked_about(journey):
    seen = {node.seen for node in journey.nodes} | {node.acts for node in journey.nodes}
    assert journey.acts == tuple(sorted(seen))
    assert after(after(NONE, "set-heat"), "reset-breaker-once") in journey.acts


def test_seconds_are_counted_as_the_rule_on_long_paths_counts_them(course, journey):
    seconds = page_seconds(Proof(course))
    assert {node.page.id: node.seconds for node in journey.nodes} == seconds
    assert QUESTION_SECONDS in seconds.values()


def test_an_option_is_sure_when_it_stands_for_no_doubt():
    def option(*values):
        return Option(values, 0, False, frozenset())

    assert option("yes").is_sure
    assert option("yes", "maybe").is_sure
    assert not option("unsure").is_sure
    assert not option("not-done").is_sure
    assert not option().is_sure


def test_what_an_answer_settles_besides_is_told(journey):
    [off] = [n for n in journey.nodes if n.page.id == "cold/off" and n.acts == NONE]
    quiet = {option.values: option.settles for option in off.options}
    assert "unit-power" in quiet[("yes",)]
    assert "went-quiet" not in quiet[("yes",)]


def test_pages_that_lead_in_a_circle_have_no_journey(course):
    page = course.pages["cold/call"]
    back = course.pages["cold/ready"].moves[0]
    pages = {**course.pages, page.id: replace(page, moves=(replace(back, to="cold/ready"),))}
    with pytest.raises(HasCycle):
        lay(replace(course, pages=pages))


def test_a_check_that_the_house_does_not_know_is_an_error(course):
    def doing(acts, check):
        raise KeyError(check)

    with pytest.raises(KeyError):
        lay(course, doing=doing)


def test_another_house_can_be_walked(course):
    counted = lay(course, doing=lambda acts, check: (*acts, check), start=())
    ways = {node.acts for node in counted.nodes if node.page.id == "cold/call"}
    assert ("set-heat", "reset-breaker-once", "switch-off", "seat-door-panel") in ways
