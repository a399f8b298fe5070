"""Pages, their addresses and what they lead to; narrowing, hurry, shared trees in their places."""

from dataclasses import replace
from itertools import combinations

import pytest

from rules.lesson import prove
from stepstop.course import FULL, Mode, holds, lay_out, narrow, settled, skip_goal
from stepstop.model import NOT_ASKED, NOT_DONE, START_PAGE, UNSURE, Boundary
from stepstop.proof import Proof
from stepstop.report import as_text
from stepstop.rules import verdict
from stepstop.source import NOWHERE


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    return prove("", tmp_path_factory.mktemp("base")).verified.course


def course_of(changes, folder):
    found = prove(changes, folder)
    assert found.verified.course is not None, found.text
    return found.verified.course


def goes(course, page, value):
    """The page that the answer `value` on `page` leads to."""
    [to] = [move.to for move in course.pages[page].moves if move.value == value]
    return to


# --- Addresses -----------------------------------------------------------------------------------


def test_the_small_library_has_these_pages(base):
    assert sorted(base.pages) == [
        "cold/back",
        "cold/call",
        "cold/index",
        "cold/look/ready",
        "cold/look/set-heat",
        "cold/look/tried",
        "cold/off",
        "cold/panel",
        "cold/ready",
        "cold/reset",
        "cold/screen.bang",
        "cold/screen.water",
        "cold/set-heat",
        "cold/tried",
        "cold/works",
        "danger-screen/gas",
        "danger-screen/keep-away",
        "danger-screen/off-after-bang",
        "danger/index",
        "danger/screen.bang",
        "danger/screen.water",
        "start-page",
    ]
    assert base.roots == ("cold/index", "danger/index")


@pytest.mark.parametrize(
    ("mode", "prefix"),
    [
        (Mode(FULL, False), ""),
        (Mode("look", False), "look/"),
        (Mode(FULL, True), "now/"),
        (Mode("look", True), "now-look/"),
    ],
)
def test_a_mode_has_a_folder_of_its_own(mode, prefix):
    assert mode.prefix == prefix


def test_a_page_knows_its_name_without_the_mode_and_where_it_is_written(base):
    page = base.pages["cold/look/ready"]
    assert (page.label, page.name) == ("look/ready", "ready")
    assert page.spot == base.pages["cold/ready"].spot
    assert str(page.spot) == "complaints/cold.yml:15:3"
    assert base.pages[START_PAGE].spot == NOWHERE


def test_a_shared_outcome_is_one_page_for_all_that_lead_to_it(base):
    before = {
        page.id for page in base.pages.values() if "danger-screen/gas" in base.graph()[page.id]
    }
    assert before == {"cold/index", "danger/index"}


def test_the_graph_names_each_next_page_once_in_the_order_of_the_answers(base):
    assert base.graph()["cold/reset"] == ("cold/back", "cold/off")
    assert base.graph()["cold/back"] == ()


def test_two_pages_never_share_an_address(base):
    cold = base.library.trees["cold"]
    reset = cold.steps["reset"]
    answer = replace(reset.answers[0], target=replace(reset.answers[0].target, name="index"))
    steps = {**cold.steps, "reset": replace(reset, answers=(answer, *reset.answers[1:]))}
    outcomes = {**cold.outcomes, "index": cold.outcomes["call"]}
    trees = {**base.library.trees, "cold": replace(cold, steps=steps, outcomes=outcomes)}
    with pytest.raises(AssertionError, match="two pages would be called cold/index"):
        lay_out(replace(base.library, trees=trees))


# --- Narrowing -----------------------------------------------------------------------------------


def test_a_check_outside_the_boundary_is_skipped_by_its_not_done_answer(base):
    assert goes(base, "cold/tried", "none") == "cold/reset"
    # `look` offers neither the reset nor the switch, whose `not-done` answers lead on to `call`.
    assert goes(base, "cold/look/tried", "none") == "cold/call"
    assert ("cold", "reset") in base.skipped
    assert ("cold", "off") in base.skipped


def test_a_question_outside_the_boundary_is_skipped_by_its_unsure_answer(tmp_path):
    course = course_of(
        """# change: complaints/cold.yml
steps:
  screen: {use: danger-screen, exits: {clear: light, puddle: {go: light, keep-to: chair}}}
  light:
    ask: Do you see a small light on the unit?
    at: unit
    finding: light-code
    answers:
      - {say: "Yes, it is lit", is: lit, go: call}
      - {say: "No, it is dark", is: dark, go: works}
      - {say: I'm not sure, is: unsure, go: set-heat}
""",
        tmp_path,
    )
    assert goes(course, "cold/screen.water", "none") == "cold/light"
    assert goes(course, "cold/screen.water", "puddle") == "cold/chair/set-heat"
    assert "cold/chair/light" not in course.pages


def test_a_check_is_skipped_for_one_hazard_or_for_its_location_alone(base):
    full = base.library.catalogue.rulebook.boundaries[FULL]
    no_panel = replace(full, hazards=("walk",))
    assert "cold/panel" not in lay_out(base.library, within=no_panel).pages
    no_unit = replace(full, locations=("chair", "thermostat", "panel"))
    pages = lay_out(base.library, within=no_unit).pages
    assert "cold/off" not in pages
    assert "cold/reset" in pages


def test_a_narrowed_walk_stays_narrowed_whatever_it_is_told_to_keep_to(tmp_path):
    course = course_of(
        """# change: complaints/cold.yml
steps:
  screen: {use: danger-screen, exits: {clear: set-heat, puddle: {go: set-heat, keep-to: chair}}}
  set-heat:
    check: set-heat
    answers:
      - {say: Heat comes, is: yes, go: works}
      - {say: No heat comes, is: no, go: ready, keep-to: look}
      - {say: I'm not sure, is: unsure, go: ready, keep-to: full}
      - {say: I can't, is: not-done, go: ready}
""",
        tmp_path,
    )
    assert goes(course, "cold/screen.water", "puddle") == "cold/chair/set-heat"
    for value in ("no", "unsure", "not-done"):
        assert goes(course, "cold/chair/set-heat", value) == "cold/chair/ready"
    assert goes(course, "cold/set-heat", "no") == "cold/look/ready"
    assert goes(course, "cold/set-heat", "unsure") == "cold/ready"


def test_narrowing_and_hurry_cross_a_link_to_another_tree(tmp_path):
    course = course_of(
        LINKED.replace("go: dark}", "go: dark, hurry: yes, keep-to: look}"), tmp_path
    )
    assert goes(course, "cold/set-heat", "no") == "dark/now-look/lit"
    assert goes(course, "dark/now-look/lit", "on") == "cold/now/call"
    assert goes(course, "dark/now-look/lit", "blank") == "cold/now-look/ready"


def test_skipping_in_a_ring_ends_and_is_seen_as_a_loop(tmp_path):
    found = prove(
        """# change: complaints/cold.yml
steps:
  off:
    check: switch-off
    answers:
      - {say: All is quiet, is: yes, go: panel}
      - {say: It still runs, is: no, go: call}
      - {say: I'm not sure, is: unsure, go: call}
      - {say: I can't do this, is: not-done, go: panel}
  panel:
    check: seat-panel
    answers:
      - {say: The panel is flat, is: flush, go: call}
      - {say: It will not stay, is: loose, go: call}
      - {say: I'm not sure, is: unsure, go: call}
      - {say: I can't do this, is: not-done, go: off}
""",
        tmp_path,
    )
    assert "endless-loop" in found.flaws
    assert "outside-boundary" in found.flaws  # the narrowed copy lands on one of the two


def test_an_answer_that_also_says_unsure_is_the_way_past_a_question(base):
    flat = base.flat["cold", "ready"]
    merged = replace(flat.step.answers[1], values=("no", UNSURE))
    step = replace(flat.step, answers=(flat.step.answers[0], merged))
    skipped = skip_goal(replace(flat, step=step, goals=flat.goals[:2]))
    assert skipped == flat.goals[1]


def test_an_answer_that_stands_for_nothing_is_no_way_past_a_step(base):
    flat = base.flat["cold", "ready"]
    step = replace(flat.step, answers=(replace(flat.step.answers[0], values=()),))
    assert skip_goal(replace(flat, step=step, goals=flat.goals[:1])) is None


# --- Offering less -------------------------------------------------------------------------------


def test_narrow_keeps_what_both_allow_in_the_order_of_the_first():
    one = Boundary("one", "", ("a", "b", "c"), ("h", "i"), ("x", "y"), NOWHERE)
    other = Boundary("other", "", ("c", "b", "z"), ("i",), ("z",), NOWHERE)
    both = narrow(one, other)
    assert (both.id, both.checks, both.hazards, both.locations) == ("one", ("b", "c"), ("i",), ())
    assert holds(one, both)
    assert holds(other, both)
    assert not holds(one, other)


def subsets(names):
    return [each for size in range(len(names) + 1) for each in combinations(names, size)]


def test_whatever_a_company_offers_less_is_proven_again_and_adds_nothing(base):
    full = base.library.catalogue.rulebook.boundaries[FULL]
    whole = lay_out(base.library)
    seen = set()
    for checks in subsets(full.checks):
        for hazards in subsets(full.hazards):
            for locations in (full.locations, ("chair", "thermostat"), ("chair",), ()):
                within = Boundary("company", "", checks, hazards, locations, NOWHERE)
                course = lay_out(base.library, within=within)
                assert course.is_narrowed
                assert course.pages.keys() <= whole.pages.keys()
                for page in course.pages.values():
                    assert not page.at or page.at in locations
                    assert page.check is None or page.check.id in checks
                    assert page.check is None or set(page.check.hazards) <= set(hazards)
                found = verdict(Proof(course))
                assert not found.problems, as_text(found.problems)
                assert found.examined["unreachable-step"] > 0
                seen.add(len(course.pages))
    assert min(seen) < 8 < max(seen) == len(whole.pages)


def test_a_company_cannot_widen_what_a_walk_keeps_to(base):
    everything = Boundary(
        "company", "", ("set-heat", "switch-off", "no-such"), ("walk",), ("chair", "roof"), NOWHERE
    )
    course = lay_out(base.library, within=everything)
    assert course.boundaries["look"].checks == ("set-heat",)
    assert course.boundaries[FULL].checks == ("set-heat", "switch-off")
    assert course.boundaries[FULL].locations == ("chair",)
    assert not lay_out(base.library).is_narrowed


def test_what_a_company_cannot_skip_is_outside_its_boundary(base):
    cold = base.library.trees["cold"]
    off = cold.steps["off"]
    sure = replace(off, answers=tuple(a for a in off.answers if NOT_DONE not in a.values))
    trees = {**base.library.trees, "cold": replace(cold, steps={**cold.steps, "off": sure})}
    full = base.library.catalogue.rulebook.boundaries[FULL]
    within = replace(full, id="company", checks=("set-heat", "reset-breaker"))
    found = verdict(Proof(lay_out(replace(base.library, trees=trees), within=within)))
    assert "`off` has the check `switch-off`, which `full` doesn't offer" in {
        problem.message for problem in found.problems if problem.flaw == "outside-boundary"
    }


# --- Hurry ---------------------------------------------------------------------------------------


def test_a_hurried_walk_stays_hurried_and_danger_pages_have_no_hurried_copy(tmp_path):
    course = course_of(
        """# change: complaints/cold.yml
steps:
  set-heat:
    check: set-heat
    answers:
      - {say: Heat comes, is: yes, go: works}
      - {say: No heat comes, is: no, go: ready, hurry: yes}
      - {say: I'm not sure, is: unsure, go: danger-screen/gas, hurry: yes}
      - {say: I can't, is: not-done, go: ready}
""",
        tmp_path,
    )
    assert goes(course, "cold/set-heat", "no") == "cold/now/ready"
    assert goes(course, "cold/set-heat", "not-done") == "cold/ready"
    assert goes(course, "cold/set-heat", "unsure") == "danger-screen/gas"
    assert goes(course, "cold/now/ready", "no") == "cold/now/call"
    assert goes(course, "cold/ready", "no") == "cold/call"
    assert course.pages["cold/now/call"].outcome is course.pages["cold/call"].outcome
    assert course.pages["cold/now/call"].mode == Mode(FULL, True)


# --- Shared trees in their places ----------------------------------------------------------------

NESTED = """# file: shared/inner.yml
tree: inner
role: shared
title: Inner
starts-with: lit
exits: [lit, dark]
steps:
  lit:
    ask: Is the screen on the wall lit?
    at: thermostat
    finding: display
    answers:
      - {say: "Yes, it is lit", is: on, exit: lit, hurry: yes}
      - {say: "No, it is blank", is: blank, exit: dark}
      - {say: I'm not sure, is: unsure, go: wait}
  wait: {tell: Wait a little., exit: dark}
# file: shared/outer.yml
tree: outer
role: shared
title: Outer
starts-with: first
exits: [fine]
steps:
  first: {use: inner, exits: {lit: {exit: fine, keep-to: look}, dark: again}}
  again: {use: inner, exits: {lit: {exit: fine}, dark: stop}}
outcomes:
  stop:
    kind: call
    title: Stop here and call.
    urgency: today
    say: [My heat is out., I have done the safe checks.]
    do: [Keep warm in one room.]
    leave: {state: as-it-is, until: the technician comes}
    who: technician
    causes: [no-power, board]
# change: complaints/cold.yml
steps:
  set-heat:
    check: set-heat
    answers:
      - {say: Heat comes, is: yes, go: works}
      - {say: No heat comes, is: no, go: one}
      - {say: I'm not sure, is: unsure, go: two}
      - {say: I can't, is: not-done, go: ready}
  one: {use: outer, exits: {fine: {go: ready, keep-to: chair}}}
  two: {use: outer, exits: {fine: ready}}
"""


def test_each_place_of_a_shared_tree_has_pages_of_its_own(tmp_path):
    course = course_of(NESTED, tmp_path)
    assert goes(course, "cold/set-heat", "no") == "cold/one.first.lit"
    assert goes(course, "cold/set-heat", "unsure") == "cold/two.first.lit"
    assert goes(course, "cold/one.first.lit", "blank") == "cold/one.again.lit"
    assert goes(course, "cold/one.first.lit", "unsure") == "cold/one.first.wait"
    assert goes(course, "cold/one.first.wait", "") == "cold/one.again.lit"


def test_an_exit_at_depth_two_gathers_what_each_level_says_on_the_way_out(tmp_path):
    course = course_of(NESTED, tmp_path)
    # the answer hurries, `first` keeps to look, `one` keeps to chair; `two` does not
    assert goes(course, "cold/one.first.lit", "on") == "cold/now-chair/ready"
    assert goes(course, "cold/two.first.lit", "on") == "cold/now-look/ready"
    assert goes(course, "cold/two.again.lit", "on") == "cold/now/ready"
    assert goes(course, "cold/one.again.lit", "blank") == "outer/stop"
    assert goes(course, "cold/two.again.lit", "blank") == "outer/stop"


def test_a_move_over_exits_is_written_where_the_outermost_file_says_so(tmp_path):
    course = course_of(NESTED, tmp_path)
    [move] = [m for m in course.pages["cold/one.first.lit"].moves if m.value == "on"]
    assert move.via.file == "complaints/cold.yml"
    assert move.answer.target.spot.file == "shared/inner.yml"
    [move] = [m for m in course.pages["cold/one.first.lit"].moves if m.value == "unsure"]
    assert move.via == move.answer.target.spot


# --- Links between trees -------------------------------------------------------------------------

LINKED = """# file: complaints/dark.yml
tree: dark
role: part
title: The screen is dark
starts-with: lit
steps:
  lit:
    ask: Is the screen on the wall lit?
    at: thermostat
    finding: display
    answers:
      - {say: "Yes, it is lit", is: on, go: cold/call}
      - {say: "No, it is blank", is: blank, go: cold/ready}
      - {say: I'm not sure, is: unsure, go: start-page}
# change: complaints/cold.yml
steps:
  set-heat:
    check: set-heat
    answers:
      - {say: Heat comes, is: yes, go: danger-screen/keep-away}
      - {say: No heat comes, is: no, go: dark}
      - {say: I'm not sure, is: unsure, go: danger}
      - {say: I can't, is: not-done, go: dark/lit}
"""


def test_links_lead_to_steps_outcomes_trees_and_the_start_page(tmp_path):
    course = course_of(LINKED, tmp_path)
    assert goes(course, "cold/set-heat", "yes") == "danger-screen/keep-away"
    assert goes(course, "cold/set-heat", "no") == "dark/lit"
    assert goes(course, "cold/set-heat", "not-done") == "dark/lit"
    assert goes(course, "cold/set-heat", "unsure") == "danger/index"
    assert goes(course, "dark/lit", "on") == "cold/call"
    assert goes(course, "dark/lit", "blank") == "cold/ready"
    assert goes(course, "dark/lit", "unsure") == START_PAGE
    assert course.roots == ("cold/index", "danger/index")  # a part is no place to begin


# --- What an answer settles ----------------------------------------------------------------------


def test_several_values_of_one_answer_are_moves_of_their_own(tmp_path):
    course = course_of(
        """# change: complaints/cold.yml
steps:
  off:
    check: switch-off
    answers:
      - {say: All is quiet, is: yes, go: panel}
      - {say: Nothing happened, is: [no, unsure, not-done], go: call}
""",
        tmp_path,
    )
    moves = {move.value: move for move in course.pages["cold/off"].moves}
    assert list(moves) == ["yes", "no", "unsure", "not-done"]
    assert moves["yes"].sets == {"went-quiet": "yes", "unit-power": "off"}
    assert moves["no"].sets == {"went-quiet": "no"}
    assert moves["no"].effects == moves["unsure"].effects == ("cuts-light",)
    assert moves["not-done"].sets == {"went-quiet": "not-done"}
    assert moves["not-done"].effects == ()


def test_a_check_ends_readings_then_changes_then_records_its_result(base):
    catalogue = base.library.catalogue
    display = replace(catalogue.findings["display"], ends_with=("cuts-light",))
    findings = {**catalogue.findings, "display": display}
    library = replace(base.library, catalogue=replace(catalogue, findings=findings))
    check = replace(
        catalogue.checks["switch-off"],
        changes={"display": "blank", "unit-power": "on", "went-quiet": "no"},
    )
    ended = settled(library, replace(check, changes={}), "went-quiet", "no")
    assert ended == {"display": NOT_ASKED, "went-quiet": "no"}
    after = settled(library, check, "went-quiet", "yes")
    assert after == {"display": "blank", "went-quiet": "yes", "unit-power": "off"}
    assert settled(library, check, "went-quiet", UNSURE)["unit-power"] == "on"
    assert settled(library, None, "went-quiet", NOT_DONE) == {"went-quiet": NOT_DONE}
    assert settled(library, None, "", "") == {}
