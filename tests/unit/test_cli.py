"""The command: what it prints, where, and with which exit status."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from stepstop import __version__
from stepstop.cli import main
from stepstop.explain import HEADINGS
from stepstop.rules import RULES
from unit.edited import BASE, write

ROOT = Path(__file__).parents[2]
FLAWS = [rule.FLAW for rule in RULES]
COLD = "complaints/cold.yml"
TO_THE_PANEL = (
    COLD,
    '"Yes, someone has", is: yes, go: off',
    '"Yes, someone has", is: yes, go: panel',
)
"""Leads to the panel before the unit has been switched off."""
TYPO = (COLD, "is: none, go: reset", "is: none, go: rest")
WALK = "2\n2\n3\n2\n2\n"
"""No danger, no heat, can't walk to the furnace: the call."""


def run(*arguments, typed=""):
    """What the command does, in this process."""
    return CliRunner().invoke(main, [str(each) for each in arguments], input=typed)


def spawned(*arguments, typed="", **environment):
    """What the command does, as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "stepstop", *map(str, arguments)],
        input=typed,
        capture_output=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONPATH": str(ROOT / "generator"), **environment},
        cwd=ROOT,
        timeout=60,
        check=False,
    )


# ---- verify ----


def test_verify_says_what_was_checked_and_how_much():
    result = run("verify", BASE)
    assert result.exit_code == 0
    assert result.output.startswith("checked against our safety rules: 2 trees, ")
    assert f"{len(RULES)} rules" in result.output
    assert result.output.endswith("no problem\n")


def test_verify_never_calls_a_tree_safe():
    assert " safe " not in run("verify", BASE).output.replace("safety", "")


def test_a_check_that_comes_before_its_requirement_is_shown_with_place_and_path(tmp_path):
    folder = write(tmp_path / "t", TO_THE_PANEL)
    result = run("verify", folder)
    assert result.exit_code == 1
    lines = result.output.splitlines()
    [start] = [n for n, line in enumerate(lines) if ": unmet-requirement: " in line]
    number = 1 + (folder / COLD).read_text().splitlines().index(
        '      - {say: "Yes, someone has", is: yes, go: panel}'
    )
    assert lines[start : start + 4] == [
        f"{folder}/{COLD}:{number}:48: unmet-requirement: "
        "`panel` can be reached with `unit-power` not asked",
        f'   {number} |       - {{say: "Yes, someone has", is: yes, go: panel}}',
        "      |                                                ^^^^^",
        "   path: cold > screen.smell (no) > screen.bang (no) > screen.water (none) > "
        "set-heat (no) > ready (yes) > tried (yes) > panel",
    ]
    assert (
        f"`seat-panel` requires `unit-power: off` ({folder}/catalogue/checks.yml:"
        in lines[start + 4]
    )
    assert lines[start + 5].startswith("   mend: ")


def test_the_number_of_problems_comes_last(tmp_path):
    one = run("verify", write(tmp_path / "one", TYPO)).output
    assert one.endswith("\n\n1 problem; `stepstop explain FLAW` says more of each\n")
    two = run(
        "verify", write(tmp_path / "two", TYPO, (COLD, "check: seat-panel", "check: x"))
    ).output
    assert two.endswith("\n\n2 problems; `stepstop explain FLAW` says more of each\n")


def test_json_lists_every_rule_with_its_count():
    result = run("verify", BASE, "--format", "json")
    found = json.loads(result.output)
    assert result.exit_code == 0
    assert (found["format"], found["problems"]) == (1, [])
    assert list(found["rules"]) == FLAWS
    assert all(count >= 0 for count in found["rules"].values())
    assert found["rules"]["unmet-requirement"] > 0


def test_json_has_the_place_and_path_of_a_problem(tmp_path):
    result = run("verify", write(tmp_path / "t", TO_THE_PANEL), "--format", "json")
    assert result.exit_code == 1
    found = json.loads(result.output)
    [problem] = [p for p in found["problems"] if p["flaw"] == "unmet-requirement"]
    assert problem["place"]["file"].endswith(COLD)
    assert (problem["place"]["column"], problem["place"]["length"]) == (48, 5)
    assert problem["path"][0] == "cold > screen.smell (no)"
    assert problem["path"][-1] == "panel"
    assert problem["related"][0]["place"]["file"].endswith("catalogue/checks.yml")
    assert list(found["rules"]) == FLAWS


def test_json_says_null_for_a_rule_that_a_loop_kept_away(tmp_path):
    edit = (COLD, "The panel is flat, is: flush, go: call", "The panel is flat, is: flush, go: off")
    found = json.loads(run("verify", write(tmp_path / "t", edit), "--format", "json").output)
    assert found["rules"]["too-long"] is None
    assert found["rules"]["endless-loop"] > 0


def test_json_of_trees_that_cannot_be_read_has_their_problems_and_no_rule(tmp_path):
    result = run("verify", write(tmp_path / "t", TYPO), "--format", "json")
    found = json.loads(result.output)
    assert result.exit_code == 1
    assert [problem["flaw"] for problem in found["problems"]] == ["unknown-name"]
    assert found["rules"] == {}


def test_json_goes_to_standard_output_alone():
    result = spawned("verify", BASE, "--format", "json")
    assert json.loads(result.stdout)["format"] == 1
    assert result.stderr == ""


# ---- misuse ----


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("verify", "/gone/away"), "does not exist"),
        (("verify", __file__), "is a file"),
        (("verify", BASE, "--format", "xml"), "'xml' is not one of"),
        (("verify", BASE, "too", "much"), "unexpected extra argument"),
        (("wlak", "cold"), "No such command 'wlak'"),
        (("walk", "--trees", BASE), "which complaint? Known: cold, danger"),
        (("walk", "cold", "--trees", BASE, "--practice"), "leave it out"),
        (("walk", "--trees", BASE, "--practice", "--cause", "gremlins"), "no cause `gremlins`"),
        (("walk", "cold", "--trees", BASE, "--caller", "vague"), "--caller needs --practice"),
        (("walk", "cold", "--trees", BASE, "--seed", "3"), "--seed needs --practice"),
        (("walk", "hot", "--trees", BASE), "no complaint `hot`; known: cold, danger"),
        (("walk", "cold", "--trees", BASE, "--place", "mars"), "no place `mars`; known: us"),
        (("walk", "cold", "--trees", "/gone/away"), "does not exist"),
        (("explain", "done-twic"), "did you mean `done-twice`"),
        (("explain", "xyz"), "`stepstop explain` lists them all"),
        (("--odd",), "No such option"),
    ],
    ids=lambda value: " ".join(map(str, value))[:30] if isinstance(value, tuple) else "",
)
def test_misuse_is_told_with_status_2(arguments, said):
    result = run(*arguments)
    assert result.exit_code == 2
    assert said in result.output
    assert "Traceback" not in result.output


# ---- help ----


def test_help_teaches_the_commands_and_the_exit_status():
    for option in ("--help", "-h"):
        text = run(option).output
        for command in ("verify", "walk", "build", "export", "explain"):
            assert f"stepstop {command}" in text
        assert "Exit status: 0 all well, 1 problems in the trees, 2 misuse" in text


@pytest.mark.parametrize("command", ["verify", "walk", "build", "export", "explain"])
def test_every_command_explains_itself(command):
    result = run(command, "--help")
    assert result.exit_code == 0
    assert len(result.output.splitlines()) > 5


def test_the_version_is_that_of_the_package():
    assert run("--version").output == f"stepstop, version {__version__}\n"


# ---- explain ----


def test_explain_lists_every_flaw_with_a_line_on_it():
    result = run("explain")
    assert result.exit_code == 0
    listed = [line.split("  ")[0] for line in result.output.splitlines()]
    assert set(FLAWS) <= set(listed)


@pytest.mark.parametrize("flaw", FLAWS)
def test_explain_prints_the_page_of_a_flaw(flaw):
    result = run("explain", flaw)
    assert result.exit_code == 0
    assert result.output.startswith(f"# {flaw}\n")
    for heading in HEADINGS:
        assert f"\n## {heading}\n" in result.output


# ---- walk ----


def test_walk_takes_its_answers_from_a_pipe_and_shows_them():
    result = spawned("walk", "cold", "--trees", BASE, typed=WALK)
    assert result.returncode == 0
    assert result.stderr == ""
    assert result.stdout.count("1 to 3, or b (back), d (danger), q (quit): 2\n") == 3
    assert "Call: a licensed technician" in result.stdout
    assert result.stdout.endswith("  - ready: No, I can't\n")


def test_walk_ends_with_status_1_where_the_pipe_ends_too_early():
    for typed in ("", "2\n", WALK[:-2], "1\n", "2\nx\n"):
        result = spawned("walk", "cold", "--trees", BASE, typed=typed)
        assert result.returncode == 1
        assert result.stdout.endswith("The walk is not complete.\n")
        assert result.stderr == ""


def test_walk_takes_a_last_answer_without_a_line_end():
    assert spawned("walk", "cold", "--trees", BASE, typed=WALK.rstrip()).returncode == 0


def test_walk_passes_the_gate_in_a_pipe():
    result = spawned("walk", "cold", "--trees", BASE, typed="1\noutside\n")
    assert result.returncode == 0
    before, after = result.stdout.split("Only from outside, well away:")
    assert "911" not in before
    assert "Call 911." in after


def test_walk_survives_bytes_that_are_no_text():
    command = [sys.executable, "-m", "stepstop", "walk", "cold", "--trees", str(BASE)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "generator"), "PYTHONUTF8": "1"}
    result = subprocess.run(
        command,
        input=b"2\n\xff\xfe\n",
        capture_output=True,
        env=environment,
        timeout=60,
        check=False,
    )
    assert result.returncode == 1
    assert b"Traceback" not in result.stderr


def test_walk_refuses_trees_with_problems(tmp_path):
    result = spawned("walk", "cold", "--trees", write(tmp_path / "t", TO_THE_PANEL), typed=WALK)
    assert result.returncode == 1
    assert result.stdout == ""
    assert "unmet-requirement" in result.stderr


def test_walk_in_this_process_gives_the_same():
    result = run("walk", "cold", "--trees", BASE, typed=WALK)
    assert result.exit_code == 0
    assert result.output.endswith("  - ready: No, I can't\n")


# ---- as a process ----


@pytest.mark.parametrize(("edits", "status"), [((), 0), ((TYPO,), 1)], ids=["well", "typo"])
def test_the_status_reaches_the_shell(edits, status, tmp_path):
    result = spawned("verify", write(tmp_path / "t", *edits))
    assert result.returncode == status
    assert result.stderr == ""


def test_misuse_reaches_the_shell():
    result = spawned("verify", "/gone/away")
    assert result.returncode == 2
    assert result.stdout == ""
    assert "does not exist" in result.stderr


def test_file_names_from_elsewhere_can_be_printed(tmp_path):
    folder = write(tmp_path / "t")
    (folder / "complaints" / os.fsdecode(b"\xff\xe9.yml")).write_text("a: b\n")
    for form in ("text", "json"):
        result = spawned("verify", folder, "--format", form)
        assert result.returncode == 1
        assert result.stderr == ""
