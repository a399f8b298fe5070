# ruff: noqa: E501 - an edit and its line of the tree stand side by side
"""The shipped trees: proven as they are, and refused after one harmful edit.

Each edit makes one line of a tree or of the catalogue unsafe, as a hasty author might; the rule
that must catch it is named beside it.
"""

import shutil

import pytest

from browser.sites import REAL
from stepstop.graph import reachable
from stepstop.report import as_text
from stepstop.verify import verify

POWER = "shared/power.yml"
SCREEN = "shared/danger-screen.yml"
FAN = "complaints/fan-never-stops.yml"
OIL = "complaints/no-heat-oil.yml"
PILOT = "complaints/no-heat-pilot.yml"
CHECKS = "catalogue/checks.yml"

HARMFUL = [
    ("unmet-requirement", POWER, "is: by-hand, go: off-first}", "is: by-hand, go: seat}"),
    ("unmet-requirement", OIL, "is: once, go: pressed}", "is: once, go: light}"),
    ("unmet-requirement", OIL, "is: smell, go: burning-smell/oil-smell}", "is: smell, go: start}"),
    ("unsure-goes-riskier", PILOT, "windows\", is: unsure, go: fumes}", "windows\", is: unsure, go: start}"),
    ("done-twice", POWER, "is: trips-again, go: trips}", "is: trips-again, go: breaker-on}"),
    ("wrong-danger-size", SCREEN, "is: gas-or-exhaust, go: gas, ", "is: gas-or-exhaust, go: wet, "),
    ("danger-goes-on", SCREEN, "is: gas-or-exhaust, go: gas}", "is: gas-or-exhaust, go: each-co}"),
    ("danger-not-first", SCREEN, "is: unsure, go: gas}", "is: unsure, go: each-co}"),
    ("danger-not-first", FAN, "starts-with: screen", "starts-with: people"),
    ("number-before-danger", SCREEN, '- "Leave everything else as it is."', '- "Call {emergency}."'),
    (
        "history-not-asked",
        "shared/history.yml",
        "is: reset-or-cycled, exit: been-tried}",
        "is: reset-or-cycled, exit: fresh}",
    ),
    ("solved-too-soon", "shared/endings.yml", "works-watch:\n    kind: watch", "works-watch:\n    kind: solved"),
    ("light-read-too-late", FAN, "is: runs, go: too-hot}", "is: runs, go: light-hot}"),
    ("weak-evidence", FAN, "is: no-screen, go: choice}", "is: no-screen, go: display-wires}"),
    ("unsure-goes-riskier", FAN, "or a storm hit it\", is: unsure, go: wet-unit}", "or a storm hit it\", is: unsure, go: heat-first}"),
    ("answers-incomplete", FAN, '      - {say: "AUTO", is: auto, go: off-test}\n', ""),
    ("endless-loop", FAN, "is: stopped, go: stops-when-off}", "is: stopped, go: kind}"),
    ("asks-too-little", CHECKS, "      - {unit-dark: dark-and-quiet}\n", ""),
    ("outside-boundary", "catalogue/boundary.yml", "        - reset-breaker-once\n", ""),
    ("state-not-said", FAN, "    leave: {state: as-it-is, until: \"the technician comes\"}\n", ""),
    ("forbidden-words", FAN, "Leave the thermostat and its wires alone", "Jumper the two wires"),
    ("says-otherwise", SCREEN, 'say: "Yes, or a little", is: gas-or-exhaust', 'say: "No, not a bit", is: gas-or-exhaust'),
    ("unlisted-action", FAN, "Look at it from outside only.", "Pull the cover off."),
]  # fmt: skip


def edited(folder, name, old, new, *, kept=None):
    """A copy of the shipped trees in `folder` with the first `old` of a file made `new`.

    Of the complaints only the trees in `kept` are copied: what is proven takes less time.
    """
    shutil.copytree(REAL, folder)
    for path in (folder / "complaints").glob("*.yml") if kept else ():
        if path.stem not in kept:
            path.unlink()
    if kept:
        (folder / "catalogue" / "equipment.yml").unlink()
    path = folder / name
    text = path.read_text("utf-8")
    assert old in text, f"{name} no longer has {old!r}"
    path.write_text(text.replace(old, new, 1), "utf-8")
    return verify(folder)


@pytest.fixture(scope="module")
def shipped():
    return verify(REAL)


def test_the_shipped_trees_are_proven(shipped):
    assert as_text(shipped.problems) == ""
    assert shipped.is_proven


def test_every_rule_looked_at_something(shipped):
    assert {flaw for flaw, places in shipped.examined.items() if places < 1} == set()


@pytest.fixture(scope="module")
def fan(shipped):
    """The trees that walks about a fan come to, and the danger tree."""
    course = shipped.course
    [root] = [root for root in course.roots if root.startswith("fan-never-stops/")]
    return {course.pages[p].tree for p in reachable(course.graph(), [root])} | {"danger"}


@pytest.mark.parametrize(("flaw", "name", "old", "new"), HARMFUL)
def test_one_harmful_edit_is_refused(flaw, name, old, new, tmp_path, fan):
    """An edit that a walk about a fan meets is tried without the other complaints: that is faster."""
    kept = fan if name in (FAN, SCREEN, CHECKS) else None
    found = edited(tmp_path / "trees", name, old, new, kept=kept)
    assert flaw in {problem.flaw for problem in found.problems}
    assert all(problem.mend for problem in found.problems)


def test_a_panel_before_switching_off_is_shown_with_its_place_and_its_path(tmp_path):
    found = edited(tmp_path / "trees", *HARMFUL[0][1:])
    [first, *_] = [p for p in found.problems if p.flaw == "unmet-requirement"]
    line = (tmp_path / "trees" / POWER).read_text("utf-8").splitlines()[first.spot.line - 1]
    assert line[first.spot.column - 1 :].startswith("seat}")
    assert first.path[-1].endswith(".seat")
    assert first.path[-2].endswith(".fastening (by-hand)")
    assert any("requires `unit-dark: dark-and-quiet`" in r.text for r in first.related)


def test_the_twenty_complaints_and_the_danger_page_are_there(shipped):
    roots = {root.split("/")[0] for root in shipped.course.roots}
    assert len(roots) == 21
    assert roots == {"danger", *(tree.id for tree in shipped.course.library.complaints())}


def test_a_gas_smell_and_a_co_alarm_lead_straight_out(shipped):
    pages = shipped.course.pages
    for root in ("gas-smell/index", "co-alarm/index"):
        first = pages[root]
        unsafe = [move for move in first.moves if move.value != "none"]
        assert len(unsafe) == 2
        assert all(pages[move.to].outcome.kind == "danger" for move in unsafe)


def test_complaints_are_found_by_words_of_their_own(shipped):
    said = [word for tree in shipped.course.library.complaints() for word in tree.words]
    assert len(said) == len(set(said))
    assert all(len(tree.words) >= 5 for tree in shipped.course.library.complaints())


def test_no_tree_has_more_than_200_steps(shipped):
    counts = {}
    for tree, _ in shipped.course.flat:
        counts[tree] = counts.get(tree, 0) + 1
    assert max(counts.values()) <= 200


def test_every_check_and_every_finding_of_the_catalogue_is_used(shipped):
    catalogue = shipped.course.library.catalogue
    pages = shipped.course.pages.values()
    checks = {page.check.id for page in pages if page.check}
    assert checks == set(catalogue.checks)
    findings = {page.finding for page in pages if page.finding}
    for check in catalogue.checks.values():
        findings |= set(check.changes)
    for finding in catalogue.findings.values():
        for value in finding.values.values():
            findings |= set(value.implies)
    assert findings == set(catalogue.findings)


def test_every_outcome_is_reached(shipped):
    written = {
        (tree.id, end) for tree in shipped.course.library.trees.values() for end in tree.outcomes
    }
    reached = {(p.tree, p.outcome.id) for p in shipped.course.pages.values() if p.outcome}
    assert reached == written
