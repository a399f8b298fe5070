"""The edges of each rule: what just is a flaw, and what just isn't.

Every case is the small library in `base/` with some entries changed.
"""

from dataclasses import replace

import pytest

from rules.lesson import BASE, prove
from stepstop.course import lay_out
from stepstop.grammar import ENGLISH
from stepstop.loader import load
from stepstop.model import Clause, Finding, Leave, Value
from stepstop.proof import Proof
from stepstop.rules import NEED_NO_LOOP, RULES, verdict
from stepstop.rules.asks_too_little import is_as_strict
from stepstop.rules.danger_not_first import must_be_known
from stepstop.rules.wrong_danger_size import fits
from stepstop.source import NOWHERE, Located, spot_of


@pytest.fixture
def found(tmp_path):
    """A function: changes -> what verifying the changed library finds."""

    def look(*changes):
        result = prove("\n".join(changes), tmp_path / "library")
        assert result.verified.course is not None, result.text
        return result

    return look


def of(result, flaw):
    """The problems of this flaw."""
    return [problem for problem in result.verified.problems if problem.flaw == flaw]


CHOICES = ("This one", "That one", "The next one", "The one after", "The fifth", "The sixth")


def step(name, *, at="chair", finding="", check="", **answers):
    """A step in YAML: each answer is `value="target"`, or `value="go: ..., keep-to: ..."`.

    `a__b` stands for several values of one answer, and `_` for the hyphen.
    """
    if check:
        head = [f"    check: {check}"]
    else:
        head = ["    ask: Is it so?", f"    at: {at}", f"    finding: {finding}"]
    lines = [f"  {name}:", *head, "    answers:"]
    for number, (values, target) in enumerate(answers.items()):
        recorded = ", ".join(values.replace("__", ", ").replace("_", "-").split(", "))
        say = "I'm not sure" if "unsure" in recorded else CHOICES[number]
        aim = target if ":" in target else f"go: {target}"
        lines.append(f"      - {{say: {say}, is: [{recorded}], {aim}}}")
    return "\n".join(lines)


def cold(*steps, **top):
    """A change of the complaint `cold`: these steps, and keys at its top."""
    return changed("complaints/cold.yml", *steps, **top)


def changed(path, *steps, **top):
    keys = [f"{key.replace('_', '-')}: {value}" for key, value in top.items()]
    return "\n".join([f"# change: {path}", *keys, "steps:", *steps])


def tree(name, *steps, role="part", starts_with, folder="complaints", exits="", outcomes=()):
    """A whole tree."""
    head = [
        f"# file: {folder}/{name}.yml",
        f"tree: {name}",
        f"role: {role}",
        "title: Some other complaint",
        f"starts-with: {starts_with}",
        *([f"exits: [{exits}]"] if exits else []),
    ]
    ends = ["outcomes:", *outcomes] if outcomes else []
    return "\n".join([*head, "steps:", *steps, *ends])


def entries(path, section, text):
    """A change of the entries in a section of a catalogue file."""
    return f"# change: catalogue/{path}.yml\n{section}:\n{text}"


def outcome(name="call", **other):
    """A change of an outcome of `cold`: the one called `call`, with some keys set or left out."""
    keys = {
        "kind": "call",
        "title": "Stop here and call.",
        "urgency": "today",
        "say": "[My heat is out., I have done the safe checks.]",
        "do": "[Keep warm in one room.]",
        "leave": "{state: as-it-is, until: the technician comes}",
        "who": "technician",
        "causes": "[no-power, board]",
    }
    given = {**keys, **{key.replace("_", "-"): value for key, value in other.items()}}
    lines = [f"    {key}: {value}" for key, value in given.items() if value]
    return "\n".join(["# change: complaints/cold.yml", "outcomes:", f"  {name}:", *lines])


def test_the_base_is_clean_and_every_rule_has_something_to_look_at_but_four(found):
    result = found("")
    assert not result.text
    idle = {flaw for flaw, places in result.verified.examined.items() if not places}
    assert idle == {"light-read-too-late", "weak-evidence", "unsourced-number"}
    assert list(result.verified.examined) == [rule.FLAW for rule in RULES]


# --- danger-not-first

SCREEN = "shared/danger-screen.yml"


def test_a_linked_tree_is_held_at_the_first_step_that_skips_the_screen_and_not_again(found):
    vents = tree(
        "vents",
        step("first", finding="tried-before", none="second", yes="second", unsure="second"),
        step(
            "second", finding="ready-to-walk", yes="cold/tried", no="cold/call", unsure="cold/call"
        ),
        role="complaint",
        starts_with="first",
    )
    problems = of(found(vents), "danger-not-first")
    assert {problem.path for problem in problems} == {("vents > first",)}
    assert len(problems) == 3  # gas, bang and water, each not asked


def test_a_link_into_the_middle_is_shown_where_it_is_written(found):
    vents = tree(
        "vents",
        step("smell", finding="gas-smell", yes="danger-screen/gas", no="cold/ready",
             unsure="danger-screen/gas"),
        role="complaint",
        starts_with="smell",
    )  # fmt: skip
    problems = of(found(vents), "danger-not-first")
    assert {problem.message for problem in problems} == {
        "`ready` can be reached with `bang` not asked",
        "`ready` can be reached with `water` not asked",
    }
    assert {problem.spot.file for problem in problems} == {"complaints/vents.yml"}
    assert {problem.path for problem in problems} == {("vents > smell (no)", "ready")}


def test_a_note_before_the_screen_is_a_step_like_any_other(found):
    before = cold("  hello: {tell: We will help you., go: screen}", starts_with="hello")
    assert {p.path for p in of(found(before), "danger-not-first")} == {("cold > hello",)}


def test_a_harmless_value_and_one_to_stay_clear_of_let_a_walk_go_on(found):
    assert not of(found(""), "danger-not-first")


def test_a_danger_that_a_check_brings_about_stops_the_walk(found):
    leaks = entries(
        "checks",
        "checks",
        "  set-heat: {name: Set the heat, at: thermostat, result: heat, do: [Set it.],"
        " changes: {water: at-wires}}",
    )
    problems = of(found(leaks), "danger-not-first")
    assert [problem.message for problem in problems] == [
        "`ready` can be reached with `water` at `at-wires`"
    ] * len(problems)
    assert problems


def test_a_check_is_no_question_about_danger_even_if_it_finds_one(found):
    sniff = entries(
        "checks", "checks",
        "  sniff: {name: Go and smell, at: chair, result: gas-smell, do: [Smell.]}",
    )  # fmt: skip
    first = cold(
        step("sniff", check="sniff", yes="danger-screen/gas", no="screen",
             unsure="danger-screen/gas", not_done="screen"),
        starts_with="sniff",
    )  # fmt: skip
    problems = of(found(sniff, first), "danger-not-first")
    assert {problem.path for problem in problems} == {("cold > sniff",)}


LISTED = entries(
    "findings",
    "findings",
    """  sign:
    kind: event
    about: all dangers on one page
    values:
      none: {about: none, implies: {gas-smell: no, bang: no, water: none}}
      gas: {about: gas, danger: house, no-phone-inside: yes, implies: {gas-smell: yes}}
      bang: {about: bang, danger: off-and-call, implies: {bang: yes}}
      puddle: {about: puddle, danger: stay-clear, implies: {gas-smell: no, bang: no, water: puddle}}
      wet: {about: wet, danger: thing, implies: {water: at-wires}}
""",
)


def listed_first(unsure):
    return cold(
        step("sign", finding="sign", none="set-heat", gas="danger-screen/gas",
             bang="danger-screen/off-after-bang", puddle="go: set-heat, keep-to: look",
             wet="danger-screen/keep-away", unsure=unsure),
        starts_with="sign",
    )  # fmt: skip


def test_a_list_of_dangers_settles_them_all_and_doubt_is_settled_one_by_one(found):
    result = found(LISTED, listed_first("screen"))
    assert not result.text


def test_doubt_about_a_list_is_no_answer(found):
    result = found(LISTED, listed_first("set-heat"))
    assert {"danger-not-first", "danger-goes-on"} <= result.flaws


def value(name, danger="", **implies):
    told = {key.replace("_", "-"): said for key, said in implies.items()}
    return Value(name, name, danger, told, False, False, NOWHERE)


def finding(name, *values):
    return Finding(name, "event", name, {v.id: v for v in values}, (), (), (), NOWHERE)


def names_of(*findings):
    return [each.id for each in must_be_known({each.id: each for each in findings})]


def test_only_a_list_whose_every_danger_has_a_finding_of_its_own_need_not_be_known():
    gas, water = finding("gas", value("yes", "house")), finding("water", value("wet", "thing"))
    whole = finding("sign", value("g", "house", gas="yes"), value("w", "thing", water="wet"))
    part = finding("sign", value("g", "house", gas="yes"), value("fire", "house"))
    assert names_of(gas, water, whole) == ["gas", "water"]
    assert names_of(gas, water, part) == ["gas", "water", "sign"]


def test_a_list_that_implies_no_danger_or_only_itself_must_be_known():
    gas = finding("gas", value("no"), value("yes", "house"))
    assert names_of(gas, finding("sign", value("g", "house", gas="no"))) == ["gas", "sign"]
    assert names_of(finding("sign", value("g", "house", sign="g"))) == ["sign"]


def test_two_lists_that_lean_on_each_other_must_both_be_known():
    one = finding("one", value("x", "house", other="y"))
    other = finding("other", value("y", "house", one="x"))
    assert names_of(one, other) == ["one", "other"]


# --- danger-goes-on, wrong-danger-size


GOES_ON = {"danger-goes-on", "danger-not-first", "unmet-requirement"}
"""A danger that goes on is not ruled out later, and `reset` needs a dry place."""
WATER = {
    "finding": "water",
    "at_wires": "keep-away",
    "puddle": "exit: puddle, keep-to: look",
    "none": "exit: clear",
    "unsure": "keep-away",
}


@pytest.mark.parametrize(
    ("water", "flaws"),
    [
        ({"puddle": "exit: puddle"}, {"danger-goes-on", "unmet-requirement"}),
        ({"puddle": "exit: puddle, keep-to: full"}, {"danger-goes-on", "unmet-requirement"}),
        ({"puddle": "exit: puddle, keep-to: look"}, set()),
        ({"puddle": "exit: puddle, keep-to: chair"}, set()),
        ({"at_wires": "start-page"}, {"danger-goes-on"}),
        ({"at_wires": "gas"}, {"wrong-danger-size"}),
        ({"at_wires": "cold/call"}, {"wrong-danger-size"}),
        ({"at_wires": "exit: clear"}, GOES_ON),
        ({"unsure": "gas"}, set()),
        ({"unsure": "off-after-bang"}, {"danger-goes-on"}),
        ({"unsure": "ill"}, {"wrong-danger-size"}),
        ({"unsure": "smell-again"}, set()),
        ({"unsure": "start-page"}, {"danger-goes-on"}),
        ({"unsure": "exit: clear"}, GOES_ON),
    ],
)
def test_what_answers_about_water_may_lead_to(found, water, flaws):
    again = step("smell-again", finding="gas-smell", yes="gas", no="keep-away", unsure="gas")
    extra = [again] if "smell-again" in water.values() else []
    ill = gas(name="ill").replace("from: house", "from: nobody") if "ill" in water.values() else ""
    result = found(changed(SCREEN, step("water", **{**WATER, **water}), *extra), ill)
    assert result.flaws == flaws, result.text


@pytest.mark.parametrize(
    ("puddle", "flaws"),
    [
        ("start-page", set()),
        ("off-after-bang", set()),
        ("keep-away", set()),
        ("cold/works", {"wrong-danger-size"}),
    ],
)
def test_a_puddle_may_end_the_walk_too(found, puddle, flaws):
    shared = changed(SCREEN, step("water", **{**WATER, "puddle": puddle}), exits="[clear]")
    users = [
        changed(
            f"complaints/{name}.yml", f"  screen: {{use: danger-screen, exits: {{clear: {to}}}}}"
        )
        for name, to in (("cold", "set-heat"), ("danger", "start-page"))
    ]
    assert found(shared, *users).flaws == flaws


def test_a_boundary_between_full_and_look_is_too_wide_for_a_puddle(found):
    near = BOUNDARY + (
        "    near: {about: near, checks: [set-heat, switch-off], hazards: [walk],"
        " locations: [chair, thermostat, unit]}\n"
    )
    water = changed(SCREEN, step("water", **{**WATER, "puddle": "exit: puddle, keep-to: near"}))
    result = found(entries("boundary", "rulebook", near), water)
    assert result.flaws == {"danger-goes-on"}


def test_a_puddle_goes_on_by_looking_only(found):
    pages = found("").verified.course.pages
    kept = [page for page in pages.values() if page.mode.boundary == "look"]
    assert {page.name for page in kept} == {"set-heat", "ready", "tried"}
    assert not any(page.check and page.check.hazards for page in kept)


@pytest.mark.parametrize(
    ("bang", "flaws"),
    [
        ({"unsure": "keep-away"}, set()),
        ({"unsure": "gas"}, set()),
        ({"unsure": "cold/call"}, {"danger-goes-on"}),
        ({"yes": "cold/call"}, {"wrong-danger-size"}),
        ({"yes": "keep-away"}, set()),
        ({"unsure": "water"}, {"danger-not-first"}),
    ],
)
def test_what_answers_about_a_bang_may_lead_to(found, bang, flaws):
    answers = {"yes": "off-after-bang", "no": "water", "unsure": "off-after-bang"}
    result = found(changed(SCREEN, step("bang", finding="bang", **{**answers, **bang})))
    assert result.flaws == flaws, result.text


def test_doubt_about_gas_does_not_end_where_gas_would_not(found):
    smell = {"finding": "gas-smell", "yes": "gas", "no": "bang"}
    result = found(changed(SCREEN, step("smell", **smell, unsure="keep-away")))
    assert result.flaws == {"wrong-danger-size", "number-before-danger"}
    [problem] = of(result, "wrong-danger-size")
    assert problem.message == (
        "`unsure` on `screen.smell` is a danger of size `house`, "
        "and `keep-away` is a danger from `thing`"
    )


@pytest.mark.parametrize("value", ["no", "unsure"])
def test_each_value_of_a_shared_answer_is_held_by_itself(found, value):
    other = {"unsure": "off-after-bang"} if value == "no" else {"no": "water"}
    both = step("bang", finding="bang", **{f"yes__{value}": "water"}, **other)
    result = found(changed(SCREEN, both))
    assert "`yes` on `screen.bang` goes on to `screen.water`" in result.text


@pytest.mark.parametrize(
    ("size", "kind", "danger_from", "state", "does"),
    [
        ("house", "danger", "house", "untouched", True),
        ("house", "danger", "thing", "untouched", False),
        ("house", "call", "", "off-at-switch", False),
        ("nobody", "danger", "nobody", "untouched", True),
        ("off-and-call", "call", "", "off-at-breaker", True),
        ("off-and-call", "call", "", "running", False),
        ("off-and-call", "call", "", None, False),
        ("off-and-call", "danger", "thing", "untouched", True),
        ("off-and-call", "watch", "", "off-at-switch", False),
        ("stay-clear", "call", "", "as-it-is", True),
        ("stay-clear", "watch", "", "as-it-is", False),
    ],
)
def test_which_outcome_fits_which_size(size, kind, danger_from, state, does):
    library, _ = load(BASE)
    leave = Leave(state, "", NOWHERE) if state else None
    made = replace(
        library.trees["cold"].outcomes["call"], kind=kind, danger_from=danger_from, leave=leave
    )
    assert fits(size, made) is does


# --- number-before-danger


@pytest.mark.parametrize(
    ("text", "tells"),
    [
        ("Call {emergency}.", True),
        ("{gas-line} will come.", True),
        ("Phone your gas company.", True),
        ("Use your cell phone.", True),
        ("Pick up the phone.", True),
        ("Do not wait: call now.", True),
        ("Don't wait, call now.", True),
        ("Do not wait and call now.", True),
        ("Before you go out, call.", True),
        ("Call before you go out.", True),
        ("Start dialing.", True),
        ("Carry this phone as it is: no call, no doorbell.", False),
        ("Take the phone with you.", False),
        ("Do not ring the doorbell.", False),
        ("Never call from inside.", False),
        ("Do not use the phone in here.", False),
        ("Go out before you call.", False),
        ("Go out before calling {emergency}.", False),
        ("A ringing alarm is a sign.", False),
    ],
)
def test_whether_a_line_tells_to_phone(text, tells):
    assert ENGLISH.tells_to_phone(text) is tells


GAS = """# change: shared/danger-screen.yml
outcomes:
  {name}:
    kind: danger
    from: house
    title: {title}
    urgency: now
    do: ["{do}"]
{gate}    leave: {{state: untouched, until: they say it is safe}}
    who: emergency
"""
GATE = '    gate: I am outside and away\n    after: ["Call {emergency}."]\n'


def gas(**other):
    given = {"name": "gas", "title": "Go out now.", "do": "Take everyone with you.", "gate": GATE}
    return GAS.format(**{**given, **other})


def test_the_number_stands_behind_the_gate_alone(found):
    assert not found(gas()).text
    for wrong in (gas(title="Go out and call."), gas(do="Call {emergency}.")):
        assert found(wrong).flaws == {"number-before-danger"}


def test_a_gate_needs_its_link_and_what_comes_behind_it(found):
    for part in (GATE.splitlines(keepends=True)[0], GATE.splitlines(keepends=True)[1], ""):
        result = found(gas(gate=part))
        assert result.messages == ["`gas` is for people who may not phone inside and has no gate"]


def test_doubt_about_gas_may_not_phone_inside_either(found):
    smell = {"finding": "gas-smell", "yes": "gas", "no": "bang", "unsure": "fire"}
    fire = gas(name="fire", do="Call {emergency}.", gate="")
    result = found(changed(SCREEN, step("smell", **smell)), fire)
    assert {p.message for p in of(result, "number-before-danger")} == {
        "`fire` is for people who may not phone inside and has no gate",
        "`fire` tells to phone before the person is outside",
    }


def test_other_dangers_may_phone_at_once(found):
    assert not of(found(""), "number-before-danger")  # `keep-away` says to call in its first line


@pytest.mark.parametrize(
    ("text", "flawed"),
    [
        ("Call 555-0142 now.", True),
        ("Call (555) 010 0142 now.", True),
        ("Call 911 now.", True),
        ("Call 112.", True),
        ("It heats 1,000 square feet.", False),
        ("Set it to 68 or 70.", False),
        ("It says 120 / 240.", False),
        ("Count 1 - 2 - 3 - 4 slowly.", False),
        ("Call 5550142 now.", True),
    ],
)
def test_a_phone_number_is_told_from_other_numbers(found, text, flawed):
    result = found(outcome(do=f'["{text}"]', source="common-practice"))
    assert bool(of(result, "number-before-danger")) is flawed, result.text


# --- unmet-requirement

EITHER = entries(
    "checks",
    "checks",
    "  set-heat: {name: Set the heat, at: thermostat, result: heat, do: [Set it.],"
    " requires: [{thermostat-power: [batteries], heat: [no]}]}",
)


def either(unsure):
    return cold(
        "  screen: {use: danger-screen, exits: {clear: powered, puddle: {go: call}}}",
        step("powered", at="thermostat", finding="thermostat-power", batteries="set-heat",
             wires="warm", unsure="warm"),
        step("warm", finding="heat", no="set-heat", yes="works", unsure=unsure),
    )  # fmt: skip


def test_either_or_holds_where_each_path_has_one_of_the_two(found):
    assert not of(found(EITHER, either("call")), "unmet-requirement")


def test_either_or_fails_on_the_one_path_that_has_neither(found):
    [problem] = of(found(EITHER, either("set-heat")), "unmet-requirement")
    assert problem.message == (
        "`set-heat` can be reached with `heat` unsure and `thermostat-power` at `wires`"
    )
    assert problem.path[-3:] == ("powered (wires)", "warm (unsure)", "set-heat")
    assert problem.related[0].text == (
        "`set-heat` requires `thermostat-power: batteries` or `heat: no`"
    )


def test_unknowns_count_only_where_a_clause_lists_them(found):
    listed = EITHER.replace("heat: [no]", "heat: [no, unsure]")
    assert not of(found(listed, either("set-heat")), "unmet-requirement")


def test_a_check_that_was_not_done_establishes_nothing(found):
    result = found(
        cold(step("off", check="switch-off", yes="panel", no="call", unsure="call",
                  not_done="panel"))
    )  # fmt: skip
    [problem] = of(result, "unmet-requirement")
    assert problem.path[-2:] == ("off (not-done)", "panel")
    assert problem.message == "`panel` can be reached with `unit-power` not asked"


def test_what_a_check_changes_later_no_longer_holds(found):
    back_on = entries(
        "checks", "checks",
        "  switch-on: {name: Switch it on, at: unit, result: heat, do: [Put it to ON.],"
        " requires: [{ready-to-walk: [yes]}], changes: {unit-power: on}}",
    )  # fmt: skip
    offered = entries(
        "boundary", "rulebook", BOUNDARY.replace("seat-panel", "seat-panel, switch-on")
    )
    on = step("on", check="switch-on", yes="panel", no="panel", unsure="panel", not_done="panel")
    off = step("off", check="switch-off", yes="on", no="call", unsure="call", not_done="call")
    [problem] = of(found(back_on, offered, cold(off, on)), "unmet-requirement")
    assert problem.message == "`panel` can be reached with `unit-power` at `on`"


BOUNDARY = (
    "  boundaries:\n"
    "    full: {about: anyone, checks: [set-heat, switch-off, seat-panel, reset-breaker],"
    " hazards: [walk, panel], locations: [chair, thermostat, unit, panel]}\n"
)


def test_a_question_needs_what_its_place_requires(found):
    light = step("light", **LIGHT, lit="ready", dark="ready", unsure="ready")
    heat = step("set-heat", **{**HEAT, "no": "light"})
    [problem] = of(found(cold(light, heat)), "unmet-requirement")
    assert problem.message == "`light` can be reached with `ready-to-walk` not asked"
    assert problem.related[0].text == "`unit` requires `ready-to-walk: yes`"


def test_a_flaw_of_all_copies_is_shown_once_with_a_shortest_walk(found):
    ready = step("ready", finding="ready-to-walk", yes="tried", no="call", unsure="off")
    heat = step("set-heat", **{**HEAT, "no": "go: ready, hurry: yes"})
    result = found(cold(ready, heat))
    assert {"cold/off", "cold/now/off"} <= result.verified.course.pages.keys()
    [problem] = [p for p in of(result, "unmet-requirement") if p.message.startswith("`off`")]
    assert problem.message == "`off` can be reached with `ready-to-walk` unsure"
    assert problem.path[-2:] in (("ready (unsure)", "off"), ("now/ready (unsure)", "now/off"))


def test_a_flaw_of_the_hurried_copy_alone_is_found_there(found):
    heat = step("set-heat", **{**HEAT, "no": "go: panel, hurry: yes"})
    problems = of(found(cold(heat)), "unmet-requirement")
    assert problems
    assert all(problem.path[-1] == "now/panel" for problem in problems)


# --- asks-too-little


def clause(**either):
    made = {name.replace("_", "-"): values for name, values in either.items()}
    return Clause(made, NOWHERE)


@pytest.mark.parametrize(
    ("own", "least", "strict"),
    [
        (clause(a=("x",)), clause(a=("x",)), True),
        (clause(a=("x",)), clause(a=("x", "y")), True),
        (clause(a=("x", "y")), clause(a=("x",)), False),
        (clause(a=("x",)), clause(a=("x",), b=("z",)), True),
        (clause(a=("x",), b=("z",)), clause(a=("x",)), False),
        (clause(b=("x",)), clause(a=("x",)), False),
        (clause(a=("x", "unsure")), clause(a=("x",)), False),
    ],
)
def test_when_a_clause_is_as_strict_as_the_least(own, least, strict):
    assert is_as_strict(own, least) is strict


def test_a_check_that_no_tree_offers_is_held_to_its_hazards_too(found):
    spare = entries(
        "checks", "checks",
        "  spare: {name: Look behind, at: unit, hazards: [walk, panel], result: heat, do: [Look.],"
        " requires: [{ready-to-walk: [yes]}, {unit-power: [off, unsure]}]}",
    )  # fmt: skip
    assert found(spare).messages == ["`spare` doesn't require `unit-power: off`"]


# --- outside-boundary


def test_a_question_in_a_place_that_is_not_offered_is_refused(found):
    ready = step(
        "ready", at="attic", finding="ready-to-walk", yes="tried", no="call", unsure="call"
    )
    [problem] = of(found(cold(ready)), "outside-boundary")
    assert problem.message == "`ready` has the location `attic`, which `full` doesn't offer"


def test_a_check_is_refused_for_itself_and_for_each_hazard(found):
    full = BOUNDARY.replace(", reset-breaker", "").replace("walk, panel", "walk")
    problems = of(found(entries("boundary", "rulebook", full)), "outside-boundary")
    assert {problem.message for problem in problems} == {
        "`panel` has the hazard `panel`, which `full` doesn't offer",
        "`reset` has the check `reset-breaker`, which `full` doesn't offer",
    }


def test_a_boundary_that_offers_more_than_full_is_refused(found):
    wide = BOUNDARY + (
        "    look: {about: wide, checks: [set-heat], hazards: [live],"
        " locations: [chair, thermostat, unit, attic]}\n"
    )
    messages = [
        p.message for p in of(found(entries("boundary", "rulebook", wide)), "outside-boundary")
    ]
    assert messages == [
        "`look` offers `attic`, which `full` doesn't",
        "`look` offers `live`, which `full` doesn't",
    ]


def test_boundaries_of_which_neither_is_inside_the_other_are_refused(found):
    apart = BOUNDARY + (
        "    chair: {about: apart, checks: [set-heat, switch-off], hazards: [walk],"
        " locations: [chair]}\n"
    )
    messages = [
        p.message for p in of(found(entries("boundary", "rulebook", apart)), "outside-boundary")
    ]
    assert messages == ["neither of `look` and `chair` is inside the other"]


# --- history-not-asked


def reset_check(requires, effects="[recloses-breaker]"):
    return entries(
        "checks", "checks",
        "  reset-breaker: {name: Reset the breaker once, at: panel, hazards: [walk], result: heat,"
        f" do: [Push it.], effects: {effects}, requires: [{{ready-to-walk: [yes]}}, {requires}]}}",
    )  # fmt: skip


@pytest.mark.parametrize(
    "requires",
    [
        "{tried-before: [none, unsure]}",
        "{tried-before: [none, yes]}",
        "{tried-before: [none], unit-power: [off]}",
        "{unit-power: [on, not-asked]}",
    ],
)
def test_history_must_be_required_alone_and_at_none(found, requires):
    [problem] = of(found(reset_check(requires)), "history-not-asked")
    assert problem.message == (
        "`reset-breaker` may be done once and doesn't require `tried-before` at `none` or `no`"
    )
    assert problem.related[0].spot.file == "catalogue/checks.yml"


def test_a_once_only_effect_without_a_history_has_none_to_ask_for(found):
    effect = entries(
        "checks",
        "effects",
        "  recloses-breaker: {about: closes it, once: yes, clears: breaker-trip}",
    )
    [problem] = of(found(effect), "history-not-asked")
    assert "`a history finding`" in problem.message


@pytest.mark.parametrize("answer", ["unsure", "yes"])
def test_only_none_leads_to_a_once_only_check(found, answer):
    tried = {"none": "reset", "yes": "off", "unsure": "off"} | {answer: "reset"}
    result = found(cold(step("tried", finding="tried-before", **tried)))
    state = "unsure" if answer == "unsure" else "at `yes`"
    [problem] = of(result, "history-not-asked")
    assert problem.message == f"`reset` can be reached with `tried-before` {state}"
    assert problem.path[-2:] == (f"tried ({answer})", "reset")


def test_history_that_is_never_asked_is_found_on_the_path(found):
    ready = step("ready", finding="ready-to-walk", yes="reset", no="call", unsure="tried")
    problems = of(found(cold(ready)), "history-not-asked")
    assert [p.message for p in problems] == ["`reset` can be reached with `tried-before` not asked"]


def test_two_histories_are_asked_for_one_by_one(found):
    second = entries(
        "checks",
        "effects",
        "  power-cycles: {about: off and on, once: yes, history: panel-fit}",
    )
    both = reset_check(
        "{tried-before: [none], panel-fit: [flush]}", "[recloses-breaker, power-cycles]"
    )
    problems = of(
        found(both, second.replace("# change: catalogue/checks.yml\n", "")), "history-not-asked"
    )
    assert len([p for p in problems if "doesn't require" in p.message]) == 2


def test_an_event_of_the_past_is_not_undone_by_a_later_answer(found):
    """Told once that it was reset, nobody's later "no" makes it never reset."""
    again = cold(
        step(
            "tried", finding="tried-before", none="reset", yes="tried-again", unsure="tried-again"
        ),
        step("tried-again", finding="tried-before", none="reset", yes="off", unsure="off"),
    )
    past = entries(
        "findings", "findings",
        "  tried-before: {kind: event, about: resets, values: {none: nothing tried, yes: reset}}",
    )  # fmt: skip
    assert not of(found(again), "history-not-asked")
    [problem] = of(found(again, past), "history-not-asked")
    assert problem.path[-3:] == ("tried (yes)", "tried-again (none)", "reset")
    assert problem.message == "`reset` can be reached with `tried-before` at `yes`"


# --- done-twice

RESET = {"check": "reset-breaker", "yes": "back", "no": "off", "unsure": "off", "not_done": "off"}


def test_linked_trees_count_together(found):
    other = tree("again", step("more", **RESET_FAR), starts_with="more")
    result = found(cold(step("reset", **{**RESET, "no": "again"})), other)
    [problem] = of(result, "done-twice")
    assert problem.spot.file == "complaints/cold.yml"
    assert problem.path[-2:] == ("reset (no)", "more")


RESET_FAR = {name: to if name == "check" else f"cold/{to}" for name, to in RESET.items()}


def test_shared_trees_count_together(found):
    shared = tree(
        "try", step("go", check="reset-breaker", yes="exit: on", no="exit: off", unsure="exit: off",
                    not_done="exit: off"),
        role="shared", folder="shared", starts_with="go", exits="on, off",
    )  # fmt: skip
    twice = cold(
        "  reset: {use: try, exits: {on: back, off: reset-two}}",
        "  reset-two: {use: try, exits: {on: back, off: off}}",
    )
    problems = of(found(shared, twice), "done-twice")
    assert {problem.message for problem in problems} == {
        "`reset-two.go` can come after `recloses-breaker` has already happened"
    }
    assert {problem.spot.file for problem in problems} == {"complaints/cold.yml"}


def test_a_reset_that_was_not_done_may_be_offered_again(found):
    later = cold(
        step("reset", **{**RESET, "not_done": "reset-two"}),
        step("reset-two", **RESET),
    )
    assert not found(later).text


def test_another_check_with_the_same_effect_counts_too(found):
    twin = entries(
        "checks", "checks",
        "  twin: {name: Push the other one, at: panel, hazards: [walk], result: heat, do: [Push.],"
        " effects: [recloses-breaker], requires: [{ready-to-walk: [yes]}, {tried-before: [none]}]}",
    )  # fmt: skip
    offered = entries("boundary", "rulebook", BOUNDARY.replace("seat-panel", "seat-panel, twin"))
    steps = cold(
        step("reset", **{**RESET, "no": "other"}), step("other", **{**RESET, "check": "twin"})
    )
    assert found(twin, offered, steps).flaws == {"done-twice"}


def test_putting_back_what_the_walk_switched_off_is_not_once_only(found):
    on = """# change: catalogue/checks.yml
effects:
  restores: {about: puts back what this walk switched off}
checks:
  switch-on:
    name: Switch it on again
    at: unit
    hazards: [walk]
    requires: [{ready-to-walk: [yes]}, {unit-power: [off]}]
    changes: {unit-power: on}
    effects: [restores]
    result: heat
    do: [Put the switch to ON.]
"""
    offered = entries(
        "boundary", "rulebook", BOUNDARY.replace("seat-panel", "seat-panel, switch-on")
    )
    to_on = {
        "check": "switch-on",
        "yes": "call",
        "no": "off-two",
        "unsure": "call",
        "not_done": "call",
    }
    to_off = {
        "check": "switch-off",
        "yes": "panel",
        "no": "call",
        "unsure": "call",
        "not_done": "call",
    }
    panel = {
        "check": "seat-panel",
        "flush": "on",
        "loose": "call",
        "unsure": "call",
        "not_done": "call",
    }
    steps = cold(
        step("panel", **panel),
        step("on", **to_on),
        step("off-two", **{**to_off, "yes": "panel-two"}),
        step("panel-two", **{**panel, "flush": "on-two"}),
        step("on-two", **{**to_on, "no": "call"}),
    )
    result = found(on, offered, steps, entries("boundary", "rulebook", LIMITS.format(20, 60)))
    assert not result.text


LIMITS = "  limits: {{longest-steps: {}, longest-minutes: {}, longest-sentence: 18, grade: 6}}"


# --- light-read-too-late

LIGHT = {"at": "unit", "finding": "light-code"}
OFF = {"check": "switch-off", "yes": "panel", "no": "call", "unsure": "call", "not_done": "call"}


def test_the_light_is_too_late_in_a_linked_tree_as_well(found):
    far = tree(
        "far", step("light", **LIGHT, lit="cold/panel", dark="cold/panel", unsure="cold/panel"),
        starts_with="light",
    )  # fmt: skip
    [problem] = of(found(cold(step("off", **{**OFF, "yes": "far"})), far), "light-read-too-late")
    assert problem.path[-2:] == ("off (yes)", "light")


def test_the_light_may_be_read_where_the_power_was_left_alone(found):
    skipped = cold(
        step("off", **{**OFF, "not_done": "light"}),
        step("light", **LIGHT, lit="call", dark="call", unsure="call"),
    )
    assert not found(skipped).text


def test_the_light_is_too_late_whatever_the_check_was_answered(found):
    late = cold(
        step("off", **{**OFF, "unsure": "light"}),
        step("light", **LIGHT, lit="call", dark="call", unsure="call"),
    )
    assert found(late).flaws == {"light-read-too-late"}


# --- weak-evidence

HEAT = {"check": "set-heat", "yes": "works", "no": "lit", "unsure": "ready", "not_done": "ready"}


@pytest.mark.parametrize(
    ("answers", "flawed"),
    [
        ({"on": "ready", "blank": "ready", "unsure": "ready"}, False),
        ({"on": "ready", "blank": "ready", "unsure": "call"}, False),
        ({"on": "ready", "blank": "call", "unsure": "call"}, True),
        ({"on": "ready", "blank__unsure": "call"}, True),
        ({"on__blank__unsure": "ready"}, False),
        (
            {"on": "ready", "blank": "go: ready, hurry: yes", "unsure": "go: ready, hurry: yes"},
            True,
        ),
    ],
)
def test_sure_answers_part_ways_only_on_what_means_something(found, answers, flawed):
    lit = step("lit", at="thermostat", finding="display", **answers)
    result = found(cold(step("set-heat", **HEAT), lit))
    assert bool(of(result, "weak-evidence")) is flawed, result.text


def test_a_meaning_known_on_one_path_only_is_not_established(found):
    powered = step("powered", at="thermostat", finding="thermostat-power",
                   wires="lit", batteries="lit", unsure="ready")  # fmt: skip
    lit = step("lit", at="thermostat", finding="display", on="ready", blank="call", unsure="call")
    [problem] = of(
        found(cold(step("set-heat", **{**HEAT, "no": "powered"}), powered, lit)), "weak-evidence"
    )
    assert problem.path[-2:] == ("powered (batteries)", "lit")


# --- asked-twice


def test_what_was_unsure_may_be_asked_again(found):
    again = step("ready-again", finding="ready-to-walk", yes="tried", no="call", unsure="call")
    ready = {"finding": "ready-to-walk", "yes": "tried", "no": "call", "unsure": "ready-again"}
    assert not of(found(cold(step("ready", **ready), again)), "asked-twice")


@pytest.mark.parametrize(("after", "flawed"), [("set-heat", True), ("reset", False)])
def test_a_reading_may_be_asked_again_once_a_check_has_ended_it(found, after, flawed):
    """`heat` ends with the reset of the breaker; before that, its first answer still holds."""
    warm = step("warm", finding="heat", yes="call", no="call", unsure="call")
    result = {
        "set-heat": step("set-heat", **{**HEAT, "no": "warm"}),
        "reset": step("reset", **{**RESET, "unsure": "warm"}),
    }[after]
    assert bool(of(found(cold(result, warm)), "asked-twice")) is flawed


def test_what_another_answer_implied_counts_as_answered(found):
    implied = entries(
        "findings", "findings",
        "  went-quiet: {kind: reading, about: quiet, values: {yes: {about: quiet,"
        " implies: {unit-power: off, panel-fit: flush}}, no: runs}}",
    )  # fmt: skip
    fit = step("fit", finding="panel-fit", flush="panel", loose="panel", unsure="panel")
    [problem] = of(found(implied, cold(step("off", **{**OFF, "yes": "fit"}), fit)), "asked-twice")
    assert problem.message == "`fit` asks `panel-fit`, known already at `flush`"


def test_danger_may_be_asked_again_and_again(found):
    again = cold(
        "  screen-again:\n    use: danger-screen\n"
        "    exits: {clear: ready, puddle: {go: ready, keep-to: look}}",
        step("set-heat", **{**HEAT, "no": "screen-again"}),
    )
    result = found(again, entries("boundary", "rulebook", LIMITS.format(20, 60)))
    assert not result.text


# --- unsure-goes-riskier


@pytest.mark.parametrize(
    ("works", "flawed"),
    [
        ({"kind": "solved", "who": "", "say": "", "causes": ""}, False),
        ({"kind": "watch", "urgency": "today"}, False),
        ({"kind": "call", "urgency": "can-wait"}, True),
    ],
)
def test_it_works_now_sets_no_limit_to_unsure_and_a_call_does(found, works, flawed):
    """In the base, `unsure` after the thermostat goes on to hazards that `yes` never meets."""
    result = found(outcome("works", **works))
    assert bool(of(result, "unsure-goes-riskier")) is flawed, result.text


def test_a_check_after_it_works_sets_a_limit_again(found):
    more = step("more", check="set-heat", yes="works", no="works", unsure="works", not_done="works")
    heat = step("set-heat", **{**HEAT, "yes": "more", "no": "ready"})
    [problem] = of(found(cold(heat, more)), "unsure-goes-riskier")
    assert problem.message.endswith("which `yes` never does")
    assert problem.related[0].text == "`yes` leads on here"


def test_a_value_that_says_it_works_sets_no_limit_whatever_follows(found):
    more = step("more", check="set-heat", yes="works", no="works", unsure="works", not_done="works")
    heat = step("set-heat", **{**HEAT, "yes": "more", "no": "ready"})
    warm = entries(
        "findings", "findings",
        "  heat: {kind: reading, about: heat, ends-with: [recloses-breaker],"
        " values: {yes: {about: heat comes, works: yes}, no: no heat}}",
    )  # fmt: skip
    assert not of(found(cold(heat, more), warm), "unsure-goes-riskier")


@pytest.mark.parametrize(("doubt", "flawed"), [("call", False), ("reset", True)])
def test_a_second_question_may_settle_a_doubt_if_its_own_is_careful(found, doubt, flawed):
    tried = step("tried", finding="tried-before", none="reset", yes="call", unsure="again")
    again = step("again", finding="ready-to-walk", yes="reset", no="call", unsure=doubt)
    assert bool(of(found(cold(tried, again)), "unsure-goes-riskier")) is flawed


def test_a_second_question_settles_nothing_if_no_answer_leads_to_the_careful_place(found):
    tried = step("tried", finding="tried-before", none="reset", yes="call", unsure="again")
    again = step("again", finding="ready-to-walk", yes="reset", no="reset", unsure="call")
    assert of(found(cold(tried, again)), "unsure-goes-riskier")


def test_a_second_question_settles_nothing_if_an_answer_leads_to_more_than_any_sure_one(found):
    tried = step("tried", finding="tried-before", none="call", yes="call", unsure="again")
    again = step("again", finding="ready-to-walk", yes="off", no="call", unsure="call")
    problems = of(found(cold(tried, again)), "unsure-goes-riskier")
    assert [problem.message for problem in problems] == [
        f"`unsure` on `tried` can lead to `seat-panel`, `switch-off`, which `{value}` never does"
        for value in ("none", "yes")
    ]


def test_a_second_question_settles_nothing_if_an_answer_ends_later_than_any_sure_one(found):
    tried = step("tried", finding="tried-before", none="call", yes="call", unsure="again")
    again = step("again", finding="ready-to-walk", yes="late", no="call", unsure="call")
    late = outcome("late", urgency="can-wait")
    problems = of(found(cold(tried, again), late), "unsure-goes-riskier")
    assert len(problems) == 2
    assert all("`late` (it can wait), not `call` (today)" in each.message for each in problems)


NOTES = {
    "doubt": {"unsure": "note"},
    "careful": {"yes": "note"},
    "settled": {"no": "note"},
}


@pytest.mark.parametrize("where", NOTES)
def test_a_note_on_the_way_to_a_second_question_or_from_it_changes_nothing(found, where):
    to = "again" if where == "doubt" else "call"
    note = f"  note:\n    tell: Thank you.\n    go: {to}"
    first = {"none": "reset", "yes": "call", "unsure": "again"}
    second = {"yes": "reset", "no": "call", "unsure": "call"}
    for value, there in NOTES[where].items():
        (second if where == "settled" else first)[value] = there
    tried = step("tried", finding="tried-before", **first)
    again = step("again", finding="ready-to-walk", **second)
    assert not of(found(cold(tried, again, note)), "unsure-goes-riskier")


def test_a_copy_of_the_careful_step_is_as_careful(found):
    off = {"check": "switch-off", "yes": "panel", "no": "call", "unsure": "call",
           "not_done": "call"}  # fmt: skip
    tried = step("tried", finding="tried-before", none="reset", yes="off", unsure="again")
    again = step("again", finding="ready-to-walk", yes="reset", no="off-too", unsure="off")
    copied = step("off-too", **off)
    assert not of(found(cold(tried, again, copied)), "unsure-goes-riskier")


def test_a_check_without_a_hazard_is_no_risk(found):
    more = step("more", check="set-heat", yes="call", no="call", unsure="call", not_done="call")
    tried = step("tried", finding="tried-before", none="reset", yes="call", unsure="more")
    assert not found(cold(more, tried)).text


def test_a_value_beside_not_done_is_compared_like_any_other(found):
    off = step("off", check="switch-off", yes="panel", no__not_done="call", unsure="call")
    assert not found(cold(off)).text
    reset = step("reset", check="reset-breaker", yes="back", no__not_done="call", unsure="off")
    tried = step("tried", finding="tried-before", none="reset", yes="off", unsure="off")
    [problem] = of(found(cold(reset, tried)), "unsure-goes-riskier")
    assert "which `no` never does" in problem.message


def test_a_value_beside_unsure_goes_where_unsure_goes(found):
    tried = step("tried", finding="tried-before", none="reset", yes__unsure="off")
    assert not found(cold(tried)).text


def test_danger_is_left_to_its_own_rule(found):
    smell = step("smell", finding="gas-smell", yes="gas", no="gas-two", unsure="gas")
    two = step("gas-two", finding="gas-smell", yes="gas", no="bang", unsure="gas")
    assert not of(found(changed(SCREEN, smell, two)), "unsure-goes-riskier")


@pytest.mark.parametrize(
    ("unsure", "hurry_urgency", "flawed"),
    [
        ("tried", "now", True),
        ("go: tried, hurry: yes", "now", False),
        ("tried", "", False),
    ],
)
def test_doubt_about_people_hurries_where_hurry_is_more_urgent(
    found, unsure, hurry_urgency, flawed
):
    people = entries(
        "findings", "findings",
        "  people: {kind: fact, about: people, values: {yes: someone at risk, no: nobody}}",
    )  # fmt: skip
    asked = cold(
        step("ready", finding="ready-to-walk", yes="people", no="call", unsure="call"),
        step("people", finding="people", yes="go: tried, hurry: yes", no="tried", unsure=unsure),
    )
    ends = [outcome(hurry_urgency=hurry_urgency)]
    back = outcome("back", kind="watch", urgency="can-wait", hurry_urgency=hurry_urgency)
    result = found(people, asked, *ends, back)
    problems = of(result, "unsure-goes-riskier")
    assert bool(problems) is flawed, result.text
    assert all("less urgently than `yes`" in problem.message for problem in problems)


def test_in_a_hurried_copy_the_urgency_for_a_hurry_counts(found):
    """`late` is as urgent as `call`, but not in a hurry: doubt may end there only at leisure."""
    tried = step("tried", finding="tried-before", none="reset", yes="call", unsure="late")
    hurried = step("ready", finding="ready-to-walk", yes="go: tried, hurry: yes", no="call",
                   unsure="call")  # fmt: skip
    ends = (outcome(hurry_urgency="now"), outcome("late"))
    assert not found(cold(tried), *ends).text
    result = found(cold(tried, hurried), *ends)
    assert result.messages == [
        f"in a hurry `unsure` on `tried` can end less urgently than `{value}`: "
        "`late` (today), not `call` (now)"
        for value in ("none", "yes")
    ]


def test_doubt_that_ends_less_urgently_is_found_without_any_hazard(found):
    tried = step("tried", finding="tried-before", none="reset", yes="call", unsure="late")
    result = found(cold(tried), outcome("late", urgency="can-wait"))
    assert result.messages == [
        f"`unsure` on `tried` can end less urgently than `{value}`: "
        "`late` (it can wait), not `call` (today)"
        for value in ("none", "yes")
    ]


def test_an_answer_for_unsure_must_be_there(found):
    ready = step("ready", finding="ready-to-walk", yes="tried", no="call")
    assert found(cold(ready)).messages == ["`ready` has no answer `unsure`"]


# --- unlisted-action at the end of a walk


@pytest.mark.parametrize(
    ("line", "flawed"),
    [
        ("Unscrew the box.", True),
        ("Wait, then pull the plug of it.", True),
        ("Set it to OFF.", False),
        ("Is the lid shut? Do not pull it.", False),
        ("It has a pull.", False),
    ],
)
def test_an_ending_asks_nobody_to_put_hands_on_the_unit(found, line, flawed):
    result = found(outcome(do=f"['{line}']"))
    assert bool(of(result, "unlisted-action")) is flawed, result.text
    assert all("`call`" in p.message for p in of(result, "unlisted-action"))


# --- says-otherwise


def saying(value, text):
    """What the rule says where the answer for `value` of `ready` has these words."""

    def put(step):
        return replace(
            step,
            answers=tuple(
                replace(a, say=at(a.say, text)) if value in a.values else a for a in step.answers
            ),
        )

    return [p.message for p in base_with("ready", put).problems if p.flaw == "says-otherwise"]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("yes", "Yes, I can"),
        ("yes", "Notes lie on the way, but I can"),
        ("yes", "I can"),
        ("no", "No"),
        ("no", "Yesterday I could"),
        ("no", "I can't tell that I could"),
        ("unsure", "No, or I'm not sure"),
        ("unsure", "Yes, I think, but I can't tell"),
    ],
)
def test_words_that_fit_or_say_nothing_plain_pass(value, text):
    assert saying(value, text) == []


@pytest.mark.parametrize(
    ("value", "text", "why"),
    [
        ("yes", "No, I can't", "which denies it"),
        ("yes", "NOBODY can", "which denies it"),
        ("no", "Yes, I can", "which agrees"),
        ("yes", "I'm not sure, but yes", "which is doubt"),
        ("no", "Not sure", "which is doubt"),
        ("unsure", "Perhaps", "which has no doubt in it"),
    ],
)
def test_words_that_belie_what_is_recorded_are_refused(value, text, why):
    assert saying(value, text) == [f"`{value}` is recorded for `{text}`, {why}"]


# --- answers-incomplete, answers-overlap


def base_with(page, change):
    """The verdict on the base whose step `page` of `cold` was changed in memory."""
    library, problems = load(BASE)
    assert not problems
    tree = library.trees["cold"]
    steps = {**tree.steps, page: change(tree.steps[page])}
    trees = {**library.trees, "cold": replace(tree, steps=steps)}
    return verdict(Proof(lay_out(replace(library, trees=trees))))


def test_a_check_needs_an_answer_for_not_done(found):
    off = step("off", check="switch-off", yes="panel", no="call", unsure="call")
    assert "`off` has no answer for `not-done`" in found(cold(off)).messages


def at(old, new):
    """The text `new` at the spot of `old`."""
    return Located(new, spot_of(old))


def test_an_answer_that_stands_for_nothing_is_refused():
    def blank(step):
        nothing = replace(step.answers[1], values=(), say=at(step.answers[1].say, "Who knows"))
        return replace(step, answers=(*step.answers, nothing))

    found = base_with("ready", blank)
    assert [p.message for p in found.problems] == ["an answer of `ready` stands for no value"]


def test_a_step_without_answers_is_a_dead_end_and_nothing_else():
    found = base_with("panel", lambda step: replace(step, answers=()))
    assert {(p.flaw, p.message) for p in found.problems} == {
        ("dead-end", "`panel` has no answer"),
    }


def test_one_answer_may_stand_for_several_values(found):
    off = step("off", check="switch-off", yes="panel", no__unsure__not_done="call")
    assert not found(cold(off)).text


SAME = "It is so"


def test_unsure_twice_and_the_same_words_twice_are_refused():
    def twice(step):
        again = replace(step.answers[-1], say=at(step.answers[-1].say, "Not sure"))
        return replace(step, answers=(*step.answers, again))

    def same(step):
        answers = step.answers
        return replace(step, answers=tuple(replace(a, say=at(a.say, SAME)) for a in answers))

    assert [p.message for p in base_with("ready", twice).problems] == [
        "`ready` has 2 answers for `unsure`"
    ]
    found = base_with("ready", same).problems
    assert f"`ready` says '{SAME}' on 3 answers" in [p.message for p in found]
    assert {p.flaw for p in found} == {"answers-overlap", "says-otherwise"}


# --- dead-end, endless-loop, unreachable-step, too-long


def test_a_round_is_an_endless_loop_if_something_leads_out_and_a_dead_end_if_not(found):
    wait = "  wait: {tell: Wait a while., go: more}\n  more: {tell: Wait on., go: wait}"
    panel = step(
        "panel", check="seat-panel", flush="wait", loose="call", unsure="call", not_done="call"
    )
    trapped = found(cold(panel, wait))
    assert trapped.flaws == {"dead-end"}
    asked = step("wait", finding="thermostat-power", wires="more", batteries="call", unsure="call")
    looped = found(cold(panel, asked, "  more: {tell: Wait on., go: wait}"))
    assert "endless-loop" in looped.flaws
    assert "dead-end" not in looped.flaws
    for result in (trapped, looped):
        assert [result.verified.examined[flaw] for flaw in NEED_NO_LOOP] == [-1, -1]


def test_a_round_over_two_trees_is_found(found):
    far = tree("far", "  wait: {tell: Wait a while., go: cold/panel}", starts_with="wait")
    panel = step(
        "panel", check="seat-panel", flush="far", loose="call", unsure="call", not_done="call"
    )
    [problem] = of(found(cold(panel), far), "endless-loop")
    assert sorted(problem.path[:-1]) == ["panel (flush)", "wait"]


def test_a_shared_tree_in_a_place_that_nothing_leads_to_is_unreachable(found):
    result = found(
        cold("  spare: {use: danger-screen, exits: {clear: set-heat, puddle: set-heat}}")
    )
    assert result.messages == ["no path leads to `spare` of `cold`"]


def test_a_shared_tree_that_nobody_uses_is_unreachable(found):
    shared = tree("spare", "  hello: {tell: Wait here., exit: on}", role="shared", folder="shared",
                  starts_with="hello", exits="on")  # fmt: skip
    assert found(shared).messages == ["no path leads to `hello` of `spare`"]


def test_outcomes_kept_in_stock_need_no_path(found):
    stock = (
        "# file: shared/stock.yml\ntree: stock\nrole: shared\ntitle: Stock\n"
        + outcome("spare", causes="").split("\n", 1)[1]
    )
    assert not found(stock).text
    unused = outcome("spare")
    assert found(unused).messages == ["no path leads to `spare` of `cold`"]


def test_a_step_that_is_only_ever_skipped_is_no_flaw_and_what_follows_it_is(found):
    heat = step("set-heat", **{**HEAT, "no": "go: once, keep-to: chair"})
    once = step(
        "once", check="seat-panel", flush="never", loose="call", unsure="call", not_done="call"
    )
    never = "  never: {tell: Well done., go: call}"
    [problem] = of(found(cold(heat, once, never)), "unreachable-step")
    assert problem.message == "no path leads to `never` of `cold`"


@pytest.mark.parametrize(
    ("steps", "minutes", "flaws"), [(10, 30, 0), (9, 30, 1), (10, 6, 0), (10, 5, 1)]
)
def test_a_path_may_be_as_long_as_the_limit_and_no_longer(found, steps, minutes, flaws):
    """The longest path has 10 pages: 4 checks of a minute, 5 questions of 20 s, an outcome."""
    result = found(entries("boundary", "rulebook", LIMITS.format(steps, minutes)))
    problems = of(result, "too-long")
    assert len(problems) == flaws
    assert all(problem.spot.file == "complaints/cold.yml" for problem in problems)


# --- outcome-incomplete, state-not-said, solved-too-soon


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"urgency": ""}, "doesn't say how soon"),
        ({"hurry_urgency": "can-wait"}, "is less urgent in a hurry"),
        ({"say": "[One., Two., Three.]"}, "needs 2 sentences in `say` and has 3"),
        ({"say": ""}, "needs 2 sentences in `say` and has 0"),
        ({"who": ""}, "doesn't say who may do the work"),
        ({"do": ""}, "doesn't say what to do now"),
        ({"from": "thing"}, "says `from` and is no danger"),
    ],
)
def test_what_a_call_may_not_leave_unsaid(found, keys, said):
    assert found(outcome(**keys)).messages == [f"`call` (call) {said}"]


def test_a_call_may_be_more_urgent_in_a_hurry(found):
    assert not found(outcome(hurry_urgency="now")).text


@pytest.mark.parametrize(
    ("gone", "said"),
    [
        ("    from: house\n", "doesn't say from what"),
        ("    urgency: now\n", "doesn't say how soon"),
    ],
)
def test_what_a_danger_may_not_leave_unsaid(found, gone, said):
    result = found(gas().replace(gone, ""))
    assert f"`gas` (danger) {said}" in result.messages


def test_minutes_are_counted_to_the_second(found):
    """With a sixth question the longest path takes 6 minutes exactly."""
    lit = step(
        "powered", finding="thermostat-power", wires="ready", batteries="ready", unsure="ready"
    )
    more = cold(step("set-heat", **{**HEAT, "no": "powered"}), lit)
    assert not found(more, entries("boundary", "rulebook", LIMITS.format(12, 6))).text
    result = found(more, entries("boundary", "rulebook", LIMITS.format(12, 5)))
    assert result.messages == ["the longest path of `cold` takes 6 minutes, more than 5"]


def test_each_place_to_begin_has_a_longest_path_of_its_own(found):
    problems = found(entries("boundary", "rulebook", LIMITS.format(3, 30))).verified.problems
    assert [str(problem.spot) for problem in problems] == [
        "complaints/cold.yml:1:7",
        "complaints/danger.yml:1:7",
    ]


def test_a_danger_is_of_the_highest_urgency(found):
    result = found(gas().replace("urgency: now", "urgency: today"))
    assert result.messages == ["`gas` (danger) is a danger and not urgent now"]


def test_a_danger_without_a_state_is_found_in_a_shared_file(found):
    result = found(gas().replace("    leave: {state: untouched, until: they say it is safe}\n", ""))
    assert result.flaws == {"state-not-said"}


def test_hurry_may_leave_the_urgency_as_it_is(found):
    assert not found(outcome(hurry_urgency="today")).text


def test_solved_is_too_soon_through_another_tree_too(found):
    far = tree("far", "  warm: {tell: Wait for the heat., go: cold/works}", starts_with="warm")
    [problem] = of(found(cold(step("reset", **{**RESET, "unsure": "far"})), far), "solved-too-soon")
    assert problem.path[-3:] == ("reset (unsure)", "warm", "works")
    assert problem.spot.file == "complaints/far.yml"


def test_solved_is_fine_where_the_reset_was_not_done(found):
    result = found(cold(step("reset", **{**RESET, "not_done": "works"})))
    assert not of(result, "solved-too-soon")


# --- The rules of words


def test_no_text_names_a_cause_as_certain(found):
    plain = entries(
        "causes", "causes",
        "  board: {name: board, plain: The problem is the board., frequency: rare,"
        " mended-by: technician, root: Why?}",
    )  # fmt: skip
    assert found(plain).flaws == {"certain-cause"}
    assert found(outcome(title="It must be the board.")).flaws == {"certain-cause"}


@pytest.mark.parametrize(
    ("keys", "flaws"),
    [
        ({"do": "[Bypass the switch.]"}, {"forbidden-words"}),
        ({"never": "[Never bypass a switch.]"}, set()),
        ({"do": "[Keep it below 70.]"}, {"unsourced-number"}),
        ({"do": "[Keep it below 70.]", "source": "common-practice"}, set()),
        ({"do": "[Keep it below seventy.]"}, set()),
        ({"do": "[Mind the condensate.]"}, {"hard-words"}),
        ({"do": "[Open the tap.]"}, set()),
    ],
)
def test_words_of_an_outcome(found, keys, flaws):
    assert found(outcome(**keys)).flaws == flaws


def test_a_sentence_may_be_as_long_as_the_limit(found):
    words = " ".join(["so"] * 18)
    assert not found(outcome(do=f"[{words}.]")).text
    [problem] = found(outcome(do=f"[{words} so.]")).verified.problems
    assert problem.message == "a sentence in `call` has 19 words, more than 18"


def test_a_file_is_graded_as_a_whole(found):
    hard = "Considerable deterioration necessitates investigation"
    [problem] = found(outcome(do=f"[{', '.join([hard] * 9)}]")).verified.problems
    assert problem.flaw == "hard-words"
    assert problem.message.startswith("complaints/cold.yml reads at grade ")
    assert not found(outcome(do=f"[{hard}]")).text


def test_a_file_without_a_word_has_no_grade(found):
    shared = tree(
        "dots",
        '  dots: {tell: "...", exit: on}',
        role="shared",
        folder="shared",
        starts_with="dots",
        exits="on",
    )
    heat = step("set-heat", **{**HEAT, "no": "wait"})
    assert not found(shared, cold(heat, "  wait: {use: dots, exits: {on: ready}}")).text


@pytest.mark.parametrize(
    ("key", "text", "flawed"),
    [
        ("look", "Open the door.", True),
        ("look", "Look and then open the door.", True),
        ("look", "Please gently slide it.", True),
        ("why", "It helps to turn it.", True),
        ("look", "Is the door open?", False),
        ("look", "An open door is bad.", False),
        ("look", "Never open it.", False),
        ("cautions", "Press the button first.", True),
        ("cautions", "Hot parts. Do not press on them.", False),
    ],
)
def test_actions_stand_in_the_catalogue_alone(found, key, text, flawed):
    said = f'[{{word: CAUTION, text: "{text}"}}]' if key == "cautions" else f'"{text}"'
    ready = step("ready", finding="ready-to-walk", yes="tried", no="call", unsure="call")
    result = found(cold(ready.replace("    at:", f"    {key}: {said}\n    at:")))
    assert bool(of(result, "unlisted-action")) is flawed, result.text


@pytest.mark.parametrize("key", ["look", "cautions"])
def test_a_tree_may_not_add_actions_to_a_check(found, key):
    text = "Remove the cover as well."
    said = f'[{{word: CAUTION, text: "{text}"}}]' if key == "cautions" else f'["{text}"]'
    off = step("off", **OFF).replace("    answers:", f"    {key}: {said}\n    answers:")
    assert found(cold(off)).messages == ["'Remove' in `off` asks for an action"]


# --- The verdict


def test_problems_come_sorted_by_place_and_each_once(found):
    ready = step("ready", finding="ready-to-walk", yes="tried", no="call")
    problems = list(
        found(outcome(causes="[no-power]", leave="", who=""), cold(ready)).verified.problems
    )
    assert problems == sorted(problems)
    assert len(problems) == 4
    assert len({(problem.spot, problem.flaw, problem.message) for problem in problems}) == 4


def test_a_proof_counts_what_each_rule_looked_at(found):
    small = found("").verified.examined
    large = found(LISTED, listed_first("screen")).verified.examined
    assert large["danger-goes-on"] > small["danger-goes-on"] > 0
