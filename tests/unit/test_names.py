"""Names that lead nowhere, and what can't hold together although every name leads somewhere."""

import pytest

from stepstop.loader import load
from stepstop.verify import verify
from unit.edited import problems, told, write

COLD = "complaints/cold.yml"
SCREEN = "shared/danger-screen.yml"
CHECKS = "catalogue/checks.yml"
FINDINGS = "catalogue/findings.yml"
BOUNDARY = "catalogue/boundary.yml"
SEAT_PANEL = "    requires: [{ready-to-walk: [yes]}, {unit-power: [off]}]"
LIVE = "  live: {about: live wires}"
CALL = "    causes: [no-power, board]"

UNKNOWN = {
    "finding of a question": (COLD, "finding: tried-before", "finding: x", "finding"),
    "location of a question": (
        COLD,
        "    at: chair\n    finding: tried-before",
        "    at: x\n    finding: tried-before",
        "location",
    ),
    "check of a step": (COLD, "check: seat-panel", "check: x", "check"),
    "drawing of a step": (
        COLD,
        "    check: seat-panel",
        "    check: seat-panel\n    drawing: x",
        "drawing",
    ),
    "source of a step": (
        COLD,
        "    check: seat-panel",
        "    check: seat-panel\n    source: x",
        "source",
    ),
    "drawing of an answer": (
        COLD,
        "is: none, go: reset",
        "is: none, go: reset, drawing: x",
        "drawing",
    ),
    "boundary": (COLD, "is: none, go: reset", "is: none, go: reset, keep-to: x", "boundary"),
    "first step": (COLD, "starts-with: screen", "starts-with: x", "step"),
    "an outcome as first step": (COLD, "starts-with: screen", "starts-with: call", "step"),
    "target": (COLD, "is: none, go: reset", "is: none, go: x", "step, outcome or tree"),
    "tree of a target": (COLD, "is: none, go: reset", "is: none, go: x/call", "tree"),
    "page of another tree": (
        COLD,
        "is: none, go: reset",
        "is: none, go: danger/x",
        "page of `danger`",
    ),
    "outcome of a shared tree": (
        COLD,
        "is: none, go: reset",
        "is: none, go: danger-screen/x",
        "page of `danger-screen`",
    ),
    "shared tree": (COLD, "use: danger-screen", "use: x", "shared tree with steps"),
    "exit of a shared tree": (
        COLD,
        "puddle: set-heat",
        "puddle: set-heat, x: set-heat",
        "exit of `danger-screen`",
    ),
    "target of an exit": (COLD, "puddle: set-heat", "puddle: x", "step, outcome or tree"),
    "exit taken": (
        SCREEN,
        "is: at-wires, go: keep-away",
        "is: at-wires, exit: x",
        "exit of `danger-screen`",
    ),
    "value": (COLD, "is: none, go: reset", "is: [none, x], go: reset", "value of `tried-before`"),
    "not done on a question": (
        COLD,
        "is: none, go: reset",
        "is: [none, not-done], go: reset",
        "value of `tried-before`",
    ),
    "not asked as an answer": (
        COLD,
        "is: loose, go: call",
        "is: [loose, not-asked], go: call",
        "value of `panel-fit`",
    ),
    "urgency": (COLD, "urgency: today", "urgency: x", "urgency"),
    "urgency in a hurry": (
        COLD,
        "urgency: today",
        "urgency: today\n    hurry-urgency: x",
        "urgency",
    ),
    "who": (
        COLD,
        "    who: technician\n    causes",
        "    who: x\n    causes",
        "person who may do the work",
    ),
    "cause": (COLD, CALL, "    causes: [no-power, board, x]", "cause"),
    "drawing of an outcome": (COLD, CALL, f"{CALL}\n    drawing: x", "drawing"),
    "source of an outcome": (COLD, CALL, f"{CALL}\n    source: x", "source"),
    "page after a new name": (COLD, "outcomes:", "renamed: {old: x}\noutcomes:", "step or outcome"),
    "location of a check": (CHECKS, "at: panel", "at: x", "location"),
    "hazard": (CHECKS, "hazards: [walk, panel]", "hazards: [walk, panel, x]", "hazard"),
    "finding required": (CHECKS, SEAT_PANEL, f"{SEAT_PANEL[:-1]}, {{x: [off]}}]", "finding"),
    "value required": (
        CHECKS,
        "{unit-power: [off]}",
        "{unit-power: [off, x]}",
        "value of `unit-power`",
    ),
    "finding changed": (CHECKS, SEAT_PANEL, f"{SEAT_PANEL}\n    changes: {{x: off}}", "finding"),
    "value changed": (
        CHECKS,
        SEAT_PANEL,
        f"{SEAT_PANEL}\n    changes: {{unit-power: x}}",
        "value of `unit-power`",
    ),
    "effect": (CHECKS, "effects: [recloses-breaker]", "effects: [recloses-breaker, x]", "effect"),
    "result": (CHECKS, "result: panel-fit", "result: x", "finding"),
    "drawing of a check": (CHECKS, SEAT_PANEL, f"{SEAT_PANEL}\n    drawing: x", "drawing"),
    "source of a check": (CHECKS, SEAT_PANEL, f"{SEAT_PANEL}\n    source: x", "source"),
    "history": (CHECKS, "history: tried-before", "history: x", "finding"),
    "finding that gives meaning": (
        FINDINGS,
        "[{thermostat-power: [wires]}]",
        "[{x: [wires]}]",
        "finding",
    ),
    "value that gives meaning": (
        FINDINGS,
        "[{thermostat-power: [wires]}]",
        "[{thermostat-power: [x]}]",
        "value of `thermostat-power`",
    ),
    "effect that ends": (FINDINGS, "ends-with: [recloses-breaker]", "ends-with: [x]", "effect"),
    "effect that spoils": (FINDINGS, "spoiled-by: [cuts-light]", "spoiled-by: [x]", "effect"),
    "finding implied": (FINDINGS, "implies: {unit-power: off}", "implies: {x: off}", "finding"),
    "value implied": (
        FINDINGS,
        "implies: {unit-power: off}",
        "implies: {unit-power: x}",
        "value of `unit-power`",
    ),
    "finding that a hazard requires": (
        "catalogue/hazards.yml",
        LIVE,
        "  live: {about: live wires, requires: [{x: [off]}]}",
        "finding",
    ),
    "finding that a place requires": (BOUNDARY, "{water: [none]}", "{x: [none]}", "finding"),
    "check of a boundary": (
        BOUNDARY,
        "{about: a puddle is there, checks: [set-heat]",
        "{about: a puddle is there, checks: [x]",
        "check",
    ),
    "hazard of a boundary": (
        BOUNDARY,
        "hazards: [walk, panel]",
        "hazards: [walk, panel, x]",
        "hazard",
    ),
    "location of a boundary": (
        BOUNDARY,
        "[chair, thermostat, unit, panel]",
        "[chair, thermostat, unit, panel, x]",
        "location",
    ),
    "who mends": (
        "catalogue/causes.yml",
        "frequency: occasional, mended-by: technician",
        "frequency: occasional, mended-by: x",
        "person who may do the work",
    ),
    "source of a cause": (
        "catalogue/causes.yml",
        "frequency: occasional",
        "source: x, frequency: occasional",
        "source",
    ),
    "source of a place": (
        "catalogue/places.yml",
        "emergency: {source: common-practice",
        "emergency: {source: x",
        "source",
    ),
    "what a place says": (
        "catalogue/places.yml",
        "      gas: {",
        "      x: {source: common-practice, reviewed: 2026-11-25}\n      gas: {",
        "thing that `us` says",
    ),
    "place of a complaint": (
        "complaints/cold.yml",
        "role: complaint\n",
        "role: complaint\nplaces: [x]\n",
        "place",
    ),
}


@pytest.mark.parametrize(("file", "old", "new", "what"), UNKNOWN.values(), ids=UNKNOWN)
def test_a_name_that_leads_nowhere_is_told_at_its_place_and_alone(file, old, new, what, tmp_path):
    [problem] = problems(tmp_path / "t", (file, old, new))
    assert problem.flaw == "unknown-name"
    assert problem.message.startswith(f"no {what} is called `")
    assert problem.mend
    line = (tmp_path / "t" / file).read_text().splitlines()[problem.spot.line - 1]
    name = problem.message.split("`")[-2]
    start = problem.spot.column - 1
    assert line[start : start + problem.spot.length].rpartition("/")[2].startswith(name) or (
        line[start : start + problem.spot.length].startswith(f"{name}/")
    )


KNOWN = {
    "a page of another tree": (COLD, "is: none, go: reset", "is: none, go: cold/reset"),
    "an outcome of a shared tree": (COLD, "is: none, go: reset", "is: none, go: danger-screen/gas"),
    "the first page of a tree": (COLD, "is: none, go: reset", "is: none, go: danger"),
    "the list of complaints": (COLD, "is: none, go: reset", "is: none, go: start-page"),
    "a boundary": (COLD, "is: none, go: reset", "is: none, go: reset, keep-to: chair"),
    "an unknown state required": (CHECKS, "{unit-power: [off]}", "{unit-power: [off, not-asked]}"),
    "an unsure state changed": (
        CHECKS,
        SEAT_PANEL,
        f"{SEAT_PANEL}\n    changes: {{display: unsure}}",
    ),
    "a page after a new name": (COLD, "outcomes:", "renamed: {old: call, older: off}\noutcomes:"),
}


@pytest.mark.parametrize("edit", KNOWN.values(), ids=KNOWN)
def test_a_name_that_leads_somewhere_is_no_problem(edit, tmp_path):
    assert told(tmp_path / "t", edit) == []


def mend_of(folder, *edits):
    return [problem.mend for problem in problems(folder, *edits)]


def test_near_names_are_offered_or_else_the_known_ones(tmp_path):
    edit = (COLD, "is: none, go: reset", "is: none, go: rest")
    assert mend_of(tmp_path / "a", edit) == ["did you mean `reset`?"]
    edit = (COLD, "urgency: today", "urgency: xyz")
    assert mend_of(tmp_path / "b", edit) == ["known: can-wait, now, today"]
    edit = (COLD, "check: seat-panel", "check: seat-panel\n    drawing: xyz")
    assert mend_of(tmp_path / "c", edit) == ["none is known: add it"]


def test_going_to_a_shared_tree_says_how_to_use_it(tmp_path):
    for name in ("danger-screen", "danger-screen/smell"):
        [mend] = mend_of(tmp_path / name.replace("/", "-"), (COLD, "go: reset", f"go: {name}"))
        assert "`use: danger-screen`" in mend


def test_using_a_tree_that_is_not_shared_says_how_to_go_there(tmp_path):
    [mend] = mend_of(
        tmp_path / "t", (COLD, "  reset:\n", "  far: {use: danger, exits: {}}\n  reset:\n")
    )
    assert "`go`" in mend


def test_an_exit_outside_a_shared_tree_says_to_go(tmp_path):
    [mend] = mend_of(tmp_path / "t", (COLD, "is: none, go: reset", "is: none, exit: reset"))
    assert mend == "only a shared tree has exits: write `go`"


def test_an_exit_that_is_not_led_on_is_told_with_both_places(tmp_path):
    [problem] = problems(tmp_path / "t", (COLD, ", puddle: set-heat", ""))
    assert problem.message == "the exit `puddle` of `danger-screen` leads nowhere here"
    assert [related.spot.line for related in problem.related] == [5]


def test_an_exit_that_nothing_takes_is_told(tmp_path):
    folder = write(tmp_path / "t", (SCREEN, "[clear, puddle]", "[clear, puddle, flood]"))
    found = load(folder)[1]
    assert [p.message for p in found if p.flaw == "unused-name"] == [
        "no answer takes the exit `flood`"
    ]


def shared(folder, name, uses):
    """Write a shared tree that uses others in a row."""
    names = [f"s{n}" for n in range(len(uses))]
    steps = "".join(
        f"  {step}: {{use: {used}, exits: {{on: {after}}}}}\n"
        for step, used, after in zip(names, uses, [*names[1:], "{exit: on}"], strict=True)
    )
    text = f"tree: {name}\nrole: shared\ntitle: T\nexits: [on]\nstarts-with: s0\nsteps:\n{steps}"
    (folder / f"shared/{name}.yml").write_text(text)


def nested(folder, **uses):
    """What is told of shared trees, each with those that it uses; `last` uses none."""
    write(folder)
    (folder / "shared/last.yml").write_text(
        "tree: last\nrole: shared\ntitle: T\nexits: [on]\nstarts-with: s0\n"
        "steps:\n  s0: {tell: Wait., exit: on}\n"
    )
    for name, used in uses.items():
        shared(folder, name, used.split())
    return [problem.message for problem in load(folder)[1]]


def test_a_shared_tree_may_use_one_that_uses_none(tmp_path):
    assert nested(tmp_path / "t", a="last last", b="last") == []


def test_a_shared_tree_may_not_use_one_that_uses_another(tmp_path):
    assert nested(tmp_path / "t", a="b", b="last") == [
        "`b` uses a shared tree itself: nested deeper than 2"
    ]


def test_shared_trees_that_use_themselves_are_told_and_do_not_hang(tmp_path):
    assert nested(tmp_path / "one", a="a") == ["`a` uses itself"]
    assert nested(tmp_path / "two", a="b", b="a") == ["`a` uses itself", "`b` uses itself"]
    found = nested(tmp_path / "three", a="b", b="c", c="b a last")
    assert {"`a` uses itself", "`b` uses itself", "`c` uses itself"} == set(found)


VALUES = "    values: {on: power on, off: power off}"
BREAKER = "    ends-with: [recloses-breaker]"

CONTRADICTIONS = {
    "a fact that ends": (
        (FINDINGS, VALUES, f"{VALUES}\n    ends-with: [cuts-light]"),
        "`unit-power` is a fact, and only a reading ends",
    ),
    "a finding that gives itself its meaning": (
        (FINDINGS, "[{thermostat-power: [wires]}]", "[{display: [on]}]"),
        "`display` can't be what gives `display` its meaning",
    ),
    "a value that is always there": (
        (FINDINGS, "{on: power on,", "{not-asked: nobody asked, on: power on,"),
        "`not-asked` is there for every finding by itself",
    ),
    "a value that implies another of itself": (
        (FINDINGS, "implies: {unit-power: off}", "implies: {went-quiet: no}"),
        "`went-quiet: yes` implies another value of itself",
    ),
    "an implied value that implies more": (
        (FINDINGS, "off: power off}", "off: {about: off, implies: {display: blank}}}"),
        "`unit-power: off` implies `display: blank`, which `went-quiet: yes` doesn't say",
    ),
    "an implied value that implies the contrary": (
        (FINDINGS, "off: power off}", "off: {about: off, implies: {went-quiet: no}}}"),
        "`unit-power: off` implies `went-quiet: no`, which `went-quiet: yes` doesn't say",
    ),
    "a requirement of four findings": (
        (
            CHECKS,
            "{unit-power: [off]}",
            "{unit-power: [off], heat: [no], display: [on], water: [none]}",
        ),
        "a requirement names 4 findings, more than 3",
    ),
    "a danger ruled out by a check": (
        (CHECKS, SEAT_PANEL, f"{SEAT_PANEL}\n    changes: {{water: none}}"),
        "the check `seat-panel` would rule out the danger `water`, which nobody was asked about",
    ),
    "a danger made smaller by an answer": (
        (FINDINGS, "implies: {unit-power: off}", "implies: {water: puddle}"),
        "`went-quiet: yes` would rule out the danger `water`, which nobody was asked about",
    ),
    "a list of dangers with one that says nothing": (
        (FINDINGS, "      no: no bang", "      no: {about: no bang, implies: {gas-smell: no}}"),
        "`bang` lists dangers, and `yes` doesn't say which one it is",
    ),
    "a list of dangers with one of another size": (
        (
            FINDINGS,
            "yes: {about: a bang was heard, danger: off-and-call}",
            "yes: {about: a bang was heard, danger: off-and-call, implies: {gas-smell: yes}}",
        ),
        "`bang` lists dangers, and `yes` doesn't say which one it is",
    ),
    "exits of a tree that is not shared": (
        (COLD, "role: complaint", "role: complaint\nexits: [out]"),
        "only a shared tree has exits",
    ),
    "a step and an outcome of one name": (
        (COLD, "outcomes:\n", "outcomes:\n  off: {kind: call, title: Off.}\n"),
        "`off` is both a step and an outcome",
    ),
    "an old name that is still a page": (
        (COLD, "outcomes:", "renamed: {off: panel}\noutcomes:"),
        "`off` is still a page of this tree",
    ),
}


@pytest.mark.parametrize(("edit", "message"), CONTRADICTIONS.values(), ids=CONTRADICTIONS)
def test_what_cannot_hold_together_is_told(edit, message, tmp_path):
    [problem] = problems(tmp_path / "t", edit)
    assert (problem.flaw, problem.message) == ("contradiction", message) or (
        (problem.flaw, problem.message) == ("name-taken", message)
    )
    assert problem.mend


FINE = {
    "values that imply each other": (
        (FINDINGS, "off: power off}", "off: {about: off, implies: {went-quiet: yes}}}"),
    ),
    "a value that says all that follows": (
        (FINDINGS, "off: power off}", "off: {about: off, implies: {display: blank}}}"),
        (FINDINGS, "implies: {unit-power: off}", "implies: {unit-power: off, display: blank}"),
    ),
    "a check that finds a danger": (
        (FINDINGS, "implies: {unit-power: off}", "implies: {bang: yes}"),
    ),
    "a list of dangers": (
        (
            FINDINGS,
            "  thermostat-power:",
            "  signs:\n    kind: event\n    about: the list\n    values:\n"
            "      gas: {about: gas, danger: house, implies: {gas-smell: yes}}\n"
            "      wet: {about: puddle, danger: stay-clear, implies: {water: puddle, bang: no}}\n"
            "      none: {about: none, implies: {gas-smell: no, bang: no, water: none}}\n"
            "  thermostat-power:",
        ),
    ),
    "either-or of three": (
        (CHECKS, "{unit-power: [off]}", "{unit-power: [off], heat: [no], display: [blank]}"),
    ),
}


@pytest.mark.parametrize("edits", FINE.values(), ids=FINE)
def test_what_holds_together_is_no_problem(edits, tmp_path):
    assert told(tmp_path / "t", *edits) == []


@pytest.mark.parametrize(
    "name", ["index", "technician", "pocket", "start-page", "now", "look", "now-chair"]
)
@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  reset:\n", "  {}: {{tell: Wait., go: off}}\n  reset:\n"),
        ("outcomes:\n", "outcomes:\n  {}: {{kind: call, title: Call.}}\n"),
        ("outcomes:\n", "renamed: {{{}: off}}\noutcomes:\n"),
    ],
    ids=["step", "outcome", "old name"],
)
def test_names_of_our_own_pages_are_taken(name, old, new, tmp_path):
    assert told(tmp_path / "t", (COLD, old, new.format(name))) == [
        f"complaints/cold.yml name-taken: `{name}` is the name of a page or folder of our own"
    ]


@pytest.mark.parametrize("name", ["index", "technician", "pocket", "start-page"])
def test_a_tree_may_not_have_the_name_of_a_page_of_our_own(name, tmp_path):
    folder = write(tmp_path / "t")
    text = f"tree: {name}\nrole: shared\ntitle: T\noutcomes: {{}}\n"
    (folder / f"shared/{name}.yml").write_text(text)
    [problem] = load(folder)[1]
    assert problem.message == f"`{name}` is the name of a page of our own"


@pytest.mark.parametrize("name", ["full", "looks", "a-now", "indexes"])
def test_names_that_only_look_like_ours_are_free(name, tmp_path):
    edit = (COLD, "  reset:\n", f"  {name}: {{tell: Wait., go: off}}\n  reset:\n")
    assert told(tmp_path / "t", edit) == []


def test_a_boundary_may_not_be_the_folder_of_hurried_pages(tmp_path):
    found = told(tmp_path / "t", (BOUNDARY, "    chair: {about: stays", "    now-x: {about: stays"))
    assert found == [
        "catalogue/boundary.yml name-taken: `now-x` is the folder of pages that say to call first"
    ]


def test_one_tree_is_the_danger_page(tmp_path):
    folder = write(tmp_path / "t", ("complaints/danger.yml", "role: danger", "role: part"))
    [problem] = load(folder)[1]
    assert (str(problem.spot), problem.flaw) == (str(folder), "missing-key")
    (folder / "complaints/danger.yml").write_text(
        (folder / "complaints/danger.yml").read_text().replace("role: part", "role: danger")
    )
    text = (folder / "complaints/danger.yml").read_text().replace("tree: danger", "tree: again")
    (folder / "complaints/again.yml").write_text(text)
    [problem] = load(folder)[1]
    assert problem.flaw == "name-taken"
    assert len(problem.related) == 1


def test_the_boundary_of_all_that_is_offered_must_be_there(tmp_path):
    [problem] = problems(tmp_path / "t", (BOUNDARY, "    full: {about", "    whole: {about"))
    assert problem.message == "no boundary is called `full`"


def test_a_tree_without_a_beginning_is_told(tmp_path):
    [problem] = problems(tmp_path / "t", (COLD, "starts-with: screen\n", ""))
    assert problem.message == "the key `starts-with` is missing here"


def test_a_complaint_without_steps_is_told(tmp_path):
    folder = write(tmp_path / "t")
    (folder / "complaints/warm.yml").write_text("tree: warm\nrole: complaint\ntitle: Warm\n")
    [problem] = load(folder)[1]
    assert problem.message == "the key `steps` is missing here"


def test_a_shared_tree_may_have_outcomes_alone(tmp_path):
    folder = write(tmp_path / "t", (COLD, "is: none, go: reset", "is: none, go: ends/stop"))
    (folder / "shared/ends.yml").write_text(
        "tree: ends\nrole: shared\ntitle: Ends\n"
        "outcomes:\n  stop: {kind: call, title: Stop., leave: {state: running, until: then}}\n"
    )
    assert load(folder)[1] == []


# ---- equipment ----

UNIT = """equipment:
  furnace:
    name: the furnace
    label: Furnace stopped?
    look: A cabinet that blows warm air.
    complaints: [cold]
    trees: [cold]
"""


def told_of_unit(folder, *edits, text=UNIT):
    """What is told of the small library with a unit, as messages with their mends."""
    write(folder)
    for old, new in edits:
        assert text.count(old) == 1
        text = text.replace(old, new)
    (folder / "catalogue/equipment.yml").write_text(text)
    found = load(folder)[1]
    assert all(problem.spot.file.endswith("catalogue/equipment.yml") for problem in found)
    assert all(problem.spot.line for problem in found)
    return [(p.flaw, p.message, p.mend) for p in found]


def test_a_unit_names_complaints_and_trees_that_are_there(tmp_path):
    assert told_of_unit(tmp_path / "t") == []
    found = told_of_unit(
        tmp_path / "u",
        ("complaints: [cold]", "complaints: [colt]"),
        ("trees: [cold]", "trees: [x]"),
    )
    assert found == [
        ("unknown-name", "no complaint is called `colt`", "did you mean `cold`?"),
        ("unknown-name", "no tree of a complaint is called `x`", "known: cold, danger"),
    ]


def test_a_unit_leads_to_complaints_alone_and_no_company_leaves_danger_to_others(tmp_path):
    found = told_of_unit(
        tmp_path / "t",
        ("complaints: [cold]", "complaints: [danger]"),
        ("trees: [cold]", "trees: [danger]"),
    )
    assert [message for _, message, _ in found] == [
        "`danger` is not listed as a complaint: its role is `danger`",
        "`danger` is about danger, which nobody leaves to others",
    ]


def test_a_complaint_whose_file_can_t_be_read_may_be_one(tmp_path):
    folder = write(tmp_path / "t")
    (folder / "catalogue/equipment.yml").write_text(UNIT)
    (folder / COLD).write_text("{")
    assert {problem.spot.file for problem in load(folder)[1]} == {str(folder / COLD)}


@pytest.mark.parametrize("name", ["cold", "danger-screen"])
def test_a_unit_may_not_have_the_name_of_a_tree(name, tmp_path):
    [(flaw, message, _)] = told_of_unit(tmp_path / "t", ("  furnace:", f"  {name}:"))
    assert (flaw, message) == (
        "name-taken",
        f"`{name}` is also a tree, and both would have one page",
    )


@pytest.mark.parametrize("name", ["index", "pocket", "offline", "embed", "complaints"])
def test_a_unit_may_not_have_the_name_of_a_page_or_folder_of_our_own(name, tmp_path):
    [(flaw, message, _)] = told_of_unit(tmp_path / "t", ("  furnace:", f"  {name}:"))
    assert (flaw, message) == (
        "name-taken",
        f"`{name}` is the name of a page or folder of our own",
    )


@pytest.mark.parametrize(
    ("old", "new", "flaw"),
    [
        ("A cabinet that blows", "Open the cabinet that blows", "unlisted-action"),
        ("A cabinet that blows", "A cabinet with 5 doors that blows", "unsourced-number"),
    ],
)
def test_the_texts_of_a_unit_pass_the_rules_about_words(old, new, flaw, tmp_path):
    folder = write(tmp_path / "t")
    (folder / "catalogue/equipment.yml").write_text(UNIT.replace(old, new))
    assert [problem.flaw for problem in verify(folder).problems] == [flaw]
