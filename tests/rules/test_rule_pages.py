"""Every rule has a page, and the examples on the page are true."""

import os
import re
from functools import cache

import pytest

from rules.lesson import BASE, PAGES, fenced, merged, prove, read_page, with_output
from stepstop import rules
from stepstop.explain import HEADINGS
from stepstop.report import as_text
from stepstop.rules import RULES
from stepstop.verify import verify

FLAWS = [rule.FLAW for rule in RULES]
FLAWED, MENDED, SHOWN = HEADINGS[2:5]
MODULES = sorted(
    path.stem
    for path in (BASE.parents[2] / "generator/stepstop/rules").glob("*.py")
    if path.stem != "__init__"
)


@cache
def page_of(flaw):
    return read_page(PAGES / f"{flaw}.md")


def lines(text):
    return text.strip("\n").split("\n")


def test_a_change_replaces_the_entries_that_it_names_and_adds_the_others():
    base = """
title: Old
steps:
  one: {tell: One., go: two}
  two:
    tell: Two.
    go: end
outcomes:
  end: {kind: call}
"""
    change = """
title: New
steps:
  two: {tell: Second., go: three}
  three:
    answers:
      - {say: It ends, go: end}
"""
    assert merged(lines(base), lines(change), 1) == lines("""
title: New
steps:
  one: {tell: One., go: two}
  two: {tell: Second., go: three}
  three:
    answers:
      - {say: It ends, go: end}
outcomes:
  end: {kind: call}
""")


def test_a_change_of_the_boundary_goes_one_level_deeper():
    base = ["rulebook:", "  locations:", "    chair: {about: here}", "  limits: {grade: 6}"]
    change = ["rulebook:", "  locations:", "    attic: {about: above}", "  limits: {grade: 9}"]
    assert merged(base, change, 2) == [*base[:3], change[2], change[3]]
    assert merged(base, change, 1) == [*change[:3], change[3]]


def test_the_base_library_is_proven():
    verified = verify(BASE)
    assert verified.is_proven, as_text(verified.problems)


def test_every_module_is_a_registered_rule_named_by_its_flaw():
    registered = [rule.__name__.rpartition(".")[2] for rule in RULES]
    assert sorted(registered) == MODULES
    assert [name.replace("_", "-") for name in registered] == FLAWS


def test_every_rule_has_a_page_and_every_page_a_rule():
    assert sorted(p.stem for p in PAGES.glob("*.md") if p.stem != "index") == sorted(FLAWS)


def test_the_index_lists_the_rules_in_order_with_their_summaries():
    index = (PAGES / "index.md").read_text("utf-8")
    listed = re.findall(r"^- \[([a-z-]+)\]\(\1\.md\): (.+)$", index, flags=re.MULTILINE)
    assert listed == [(rule.FLAW, rule.SUMMARY) for rule in RULES]


@pytest.mark.parametrize("rule", RULES, ids=FLAWS)
def test_the_page_has_its_title_summary_and_headings(rule):
    page = page_of(rule.FLAW)
    assert page.title == rule.FLAW
    assert page.summary == f"{rule.SUMMARY[0].upper()}{rule.SUMMARY[1:]}."
    assert page.headings == HEADINGS
    for heading in HEADINGS[:2]:
        assert page.sections[heading].strip()
    assert fenced(page.sections[FLAWED], "yaml")
    assert fenced(page.sections[MENDED], "yaml")


@pytest.mark.parametrize("flaw", FLAWS)
def test_the_flawed_tree_has_this_flaw_alone_and_is_shown_as_the_page_says(flaw, tmp_path):
    found = prove(page_of(flaw).examples(FLAWED), tmp_path)
    assert found.flaws == {flaw}, found.text
    assert found.verified.examined[flaw] > 0
    if os.environ.get("STEPSTOP_ACCEPT") == "1":
        path = PAGES / f"{flaw}.md"
        path.write_text(with_output(path.read_text("utf-8"), found.text), "utf-8")
    assert read_page(PAGES / f"{flaw}.md").shown(SHOWN) == found.text


@pytest.mark.parametrize("flaw", FLAWS)
def test_the_mended_tree_has_no_problem_and_was_looked_at(flaw, tmp_path):
    found = prove(page_of(flaw).examples(MENDED), tmp_path)
    assert not found.text
    assert found.verified.examined[flaw] > 0


@pytest.mark.parametrize("flaw", FLAWS)
def test_every_problem_has_a_place_and_a_mend(flaw, tmp_path):
    for problem in prove(page_of(flaw).examples(FLAWED), tmp_path).verified.problems:
        assert problem.spot.line > 0
        assert problem.mend
        assert problem.path or flaw not in OVER_PATHS


OVER_PATHS = {
    "asked-twice",
    "danger-not-first",
    "done-twice",
    "endless-loop",
    "history-not-asked",
    "light-read-too-late",
    "solved-too-soon",
    "too-long",
    "unmet-requirement",
    "weak-evidence",
}
"""Rules about paths: their problems show one."""


def test_every_rule_examines_and_sums_up_in_one_lower_case_line():
    for rule in rules.RULES:
        assert callable(rule.examine)
        assert "\n" not in rule.SUMMARY
        assert not rule.SUMMARY.endswith(".")
        assert rule.SUMMARY[0] in "`abcdefghijklmnopqrstuvwxyz"
