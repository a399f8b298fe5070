"""Overlays: what is laid over what, what is refused, and what a newer release touches."""

import json
import shutil

import pytest
from click.testing import CliRunner

from browser.sites import REAL
from project.small_site import ENDINGS
from stepstop.cli import main
from stepstop.edition import edition_for
from stepstop.loader import load
from stepstop.model import Library
from stepstop.overlay.layers import files_of, folders, layers
from stepstop.overlay.seen import NAME, due, look, put_down
from stepstop.rehearsed import FILE, fingerprint, inputs, kept, read
from stepstop.verify import unreviewed, verify
from unit.edited import BASE

TITLE = "changes/complaints/cold.yml"
REVIEW = "review: {role: technician, licence: gas, on: '2026-01-31', due: '2027-01-31'}\n"


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


class Overlay:
    """The small library below, in a folder of its own, and an overlay with the given files."""

    def __init__(self, folder, **more):
        self.below, self.folder = folder / "below", folder / "mine"
        shutil.copytree(BASE, self.below)
        self.folder.mkdir()
        self.write("over.yml", more.pop("over", "over: ../below\n"))
        self.write(more)

    def write(self, files, text=None):
        for name, content in {files: text}.items() if text is not None else files.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, "utf-8")
        return self

    def edit_below(self, name, old, new):
        path = self.below / name
        text = path.read_text("utf-8")
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), "utf-8")

    def library(self):
        library, problems = load(self.folder)
        assert problems == []
        assert isinstance(library, Library)
        return library

    def told(self):
        """What loading reports: file below the two folders, flaw and message."""
        top = self.folder.parent.as_posix()
        return [
            (p.spot.file.removeprefix(f"{top}/"), p.spot.line, p.flaw, p.message, p.mend)
            for p in load(self.folder)[1]
        ]

    def see(self):
        found, problems = look(self.folder)
        assert problems == []
        put_down(found)
        return self

    def states(self):
        found, problems = look(self.folder)
        assert problems == []
        return {f"{each.name} {each.key}": each.state for each in found.touched}


@pytest.fixture
def mine(tmp_path):
    return Overlay(tmp_path)


# ---- laying ----


def test_with_no_change_it_is_the_library_below(mine):
    below, _ = load(mine.below)
    over = mine.library()
    assert over.trees == below.trees
    assert over.catalogue == below.catalogue
    assert list(over.trees) == list(below.trees)


def test_keys_are_laid_over_keys_and_keep_the_spot_of_their_file(mine):
    mine.write(TITLE, "title: The heat is off\noutcomes: {call: {title: Wait for us.}}\n")
    tree = mine.library().trees["cold"]
    assert tree.title == "The heat is off"
    assert (tree.title.spot.file, tree.title.spot.line) == ((mine.folder / TITLE).as_posix(), 1)
    call = tree.outcomes["call"]
    assert call.title == "Wait for us."
    assert call.do == ("Keep warm in one room.",)
    assert call.do[0].spot.file == (mine.below / "complaints/cold.yml").as_posix()
    assert verify(mine.folder, seen=False).problems == ()


def test_a_list_is_replaced_as_a_whole(mine):
    mine.write(TITLE, "words: [it is cold]\noutcomes: {call: {causes: board}}\n")
    tree = mine.library().trees["cold"]
    assert tree.words == ("it is cold",)
    assert tree.outcomes["call"].causes == ("board",)


def test_an_empty_value_takes_a_key_away(mine):
    mine.write(TITLE, "words:\noutcomes: {back: {who: }}\n")
    tree = mine.library().trees["cold"]
    assert tree.words == ()
    assert tree.outcomes["back"].who == ""


def test_steps_and_causes_are_added(mine):
    mine.write(
        {
            TITLE: "steps: {panel: {answers: [{say: It is flat, is: flush, go: more},"
            " {say: It will not stay, is: loose, go: call},"
            " {say: I'm not sure about it, is: unsure, go: call},"
            " {say: I can't do this, is: not-done, go: call}]},\n"
            " more: {tell: Thank you., go: call}}\n"
            "outcomes: {call: {causes: [no-power, board, rust]}}\n",
            "changes/catalogue/causes.yml": "causes: {rust: {name: rust, plain: A part may have "
            "rusted., frequency: rare, mended-by: technician, root: Is it damp there?}}\n",
        }
    )
    library = mine.library()
    assert list(library.catalogue.causes) == ["no-power", "board", "rust"]
    assert "more" in library.trees["cold"].steps
    found = verify(mine.folder, seen=False)
    assert found.problems == ()
    assert "cold/more" in {f"{p.tree}/{p.step.id}" for p in found.course.pages.values() if p.step}


def test_trees_of_its_own_stand_beside_and_others_are_left_out(tmp_path):
    text = (BASE / "complaints/cold.yml").read_text("utf-8")
    mine = Overlay(tmp_path, over="over: ../below\nwithout: cold\n")
    mine.write("complaints/chilly.yml", text.replace("tree: cold", "tree: chilly"))
    assert sorted(mine.library().trees) == ["chilly", "danger", "danger-screen"]


def test_a_whole_file_takes_the_place_of_one_that_is_left_out(tmp_path):
    text = (BASE / "complaints/cold.yml").read_text("utf-8")
    mine = Overlay(tmp_path, over="over: ../below\nwithout: [cold]\n")
    mine.write("complaints/cold.yml", text.replace("The heat is out", "My own"))
    assert mine.library().trees["cold"].title == "My own"
    assert mine.states() == {"complaints/cold.yml ": "new"}


def test_an_overlay_lies_over_another(tmp_path):
    mine = Overlay(tmp_path, **{TITLE: "title: Franchise\nwords: [cold]\n"})
    branch = tmp_path / "branch"
    (branch / "changes/complaints").mkdir(parents=True)
    (branch / "over.yml").write_text("over: ../mine\n")
    (branch / TITLE).write_text("title: Branch\n")
    library, problems = load(branch)
    assert problems == []
    assert library.trees["cold"].title == "Branch"
    assert library.trees["cold"].words == ("cold",)
    assert folders(branch) == (branch, tmp_path / "mine", tmp_path / "below")
    touched = look(branch)[0].touched
    assert [(each.key, each.now) for each in touched] == [("title", "Franchise")]
    mine.edit_below("complaints/cold.yml", "[no heat]", "[no heat at all]")
    assert look(branch)[0].touched == touched


def test_a_changed_tree_loses_its_review_and_others_keep_theirs(mine):
    for path in (*mine.below.glob("complaints/*.yml"), *mine.below.glob("shared/*.yml")):
        path.write_text(f"{path.read_text('utf-8').rstrip()}\n{REVIEW}", "utf-8")
    assert unreviewed(mine.library(), "2026-06-01") == []
    mine.write(TITLE, "title: The heat is off\n")
    late = unreviewed(mine.library(), "2026-06-01")
    assert [problem.message.split("`")[1] for problem in late] == ["cold"]
    mine.write(TITLE, f"title: The heat is off\n{REVIEW}")
    assert unreviewed(mine.library(), "2026-06-01") == []


def test_a_change_that_is_not_safe_is_refused_at_its_own_line(mine):
    mine.write(
        TITLE,
        "steps:\n  ready:\n    answers:\n"
        '      - {say: "Yes, I can", is: yes, go: tried}\n'
        '      - {say: "No, I can\'t", is: no, go: panel}\n'
        "      - {say: I'm not sure I can, is: unsure, go: call}\n",
    )
    problems = verify(mine.folder, seen=False).problems
    assert problems
    assert all(each.spot.file == (mine.folder / TITLE).as_posix() for each in problems)


# ---- what is refused ----

REFUSED = [
    ({"over.yml": "over: ../gone\n"}, "missing-file", "no folder is at", 1),
    ({"over.yml": "over: .\n"}, "contradiction", "this folder would lie over itself", 1),
    ({"over.yml": "under: ../below\n"}, "unknown-key", "the key `under`", 1),
    ({"over.yml": "over: ../below\nwithout: [cald]\n"}, "unknown-name", "no tree below is", 2),
    ({"over.yml": "over: ../below\nwithout: [causes]\n"}, "unknown-name", "no tree below is", 2),
    ({"changes/complaints/cald.yml": "title: A\n"}, "unknown-name", "lies below", 0),
    ({"changes/cold.yml": "title: A\n"}, "unknown-file", "nothing is read from here", 0),
    ({"changes/complaint/cold.yml": "title: A\n"}, "unknown-file", "this folder is not read", 0),
    ({"changes/complaints/cold.yaml": "title: A\n"}, "unknown-file", "this is not read", 0),
    ({"changes/catalogue/cause.yml": "a: b\n"}, "unknown-file", "not a file of the catalogue", 0),
    ({TITLE: "- title\n"}, "wrong-type", "a set of keys, as in the file below", 1),
    ({TITLE: "title: [A]\n"}, "wrong-type", "a text is expected here", 1),
    ({TITLE: "titel: A\n"}, "unknown-key", "the key `titel` is not known here", 1),
    ({TITLE: "steps: {pannel: }\n"}, "unknown-name", "`pannel` is not below", 1),
    ({TITLE: "title:\n"}, "missing-key", "the key `title` is missing here", 1),
    ({TITLE: "title: A: B\n"}, "not-yaml", "this is not YAML", 1),
    ({TITLE: ""}, "empty-file", "the file says nothing", 0),
    ({TITLE: "steps: {new: {look: Look.}}\n"}, "wrong-type", "a step needs exactly one of", 1),
    ({"complaints/cold.yml": "tree: cold\n"}, "name-taken", "a file of this name also lies", 0),
    ({"shared/cold.yml": "tree: cold\n"}, "name-taken", "a file of this name also lies", 0),
    ({"catalogue/causes.yml": "causes: {}\n"}, "name-taken", "a file of this name also lies", 0),
]


@pytest.mark.parametrize(("files", "flaw", "said", "line"), REFUSED, ids=str)
def test_a_mistake_is_told_with_its_place_and_a_mend(mine, files, flaw, said, line):
    mine.write(files)
    [name] = files
    found = [
        (file, at, mend)
        for file, at, what, message, mend in mine.told()
        if what == flaw and said in message
    ]
    assert (f"mine/{name}".replace("/complaint/cold.yml", "/complaint"), line) in [
        each[:2] for each in found
    ]
    assert all(mend for *_, mend in found)


def test_names_that_were_meant_are_offered(mine):
    mine.write({"changes/complaints/cald.yml": "title: A\n", TITLE: "steps: {panl: }\n"})
    mends = [mend for *_, mend in mine.told()]
    assert "did you mean `cold`?" in mends
    assert "did you mean `panel`?" in mends


def test_a_broken_over_file_is_told_alone(mine):
    mine.write("over.yml", "over: [")
    assert [told[:3] for told in mine.told()] == [("mine/over.yml", 2, "not-yaml")]


def test_a_broken_change_hides_nothing_and_makes_nothing_up(mine):
    mine.write({TITLE: "steps: {", "changes/catalogue/causes.yml": "causes: {board: {root: }}\n"})
    told = mine.told()
    assert {name for name, *_ in told} == {f"mine/{TITLE}", "mine/changes/catalogue/causes.yml"}
    assert {flaw for _, _, flaw, *_ in told} == {"not-yaml", "missing-key"}


def test_what_names_a_tree_that_is_left_out_is_told_where_it_was_left_out(tmp_path):
    mine = Overlay(tmp_path, over="over: ../below\nwithout: [danger-screen]\n")
    [problem, *_] = [p for p in load(mine.folder)[1] if p.flaw == "unknown-name"]
    assert problem.message.endswith("is called `danger-screen`")
    over = (mine.folder / "over.yml").as_posix()
    assert problem.mend == f"it is left out in {over}:2:11: change what names it, or keep it"
    assert problem.related[0].spot.line == 2


def test_a_mistyped_name_is_offered_where_what_stands_there_is_not_whole(mine):
    mine.write(TITLE, "steps: {pannel: {look: Look.}}\noutcomes: {cal: {title: Call.}}\n")
    mends = {line: mend for _, line, flaw, _, mend in mine.told() if flaw != "unused-name"}
    assert mends[1].startswith("this is not below, so it must be whole: did you mean `panel`? Or")
    assert "did you mean `call`?" in mends[2]


def test_broken_changes_of_all_layers_are_told_at_once(tmp_path):
    mine = Overlay(tmp_path, **{TITLE: "steps: {"})
    (tmp_path / "branch/changes/complaints").mkdir(parents=True)
    (tmp_path / "branch/over.yml").write_text("over: ../mine\n")
    (tmp_path / "branch" / TITLE).write_text("title: [")
    files = {problem.spot.file for problem in load(tmp_path / "branch")[1]}
    assert files == {(mine.folder / TITLE).as_posix(), (tmp_path / "branch" / TITLE).as_posix()}


def test_changes_of_nothing_are_told(tmp_path):
    trees = tmp_path / "trees"
    shutil.copytree(BASE, trees)
    (trees / "changes").mkdir()
    [problem] = load(trees)[1]
    assert (problem.flaw, problem.mend) == ("missing-file", "write over.yml beside it")


def test_a_misnamed_over_file_is_told(tmp_path):
    trees = tmp_path / "trees"
    shutil.copytree(BASE, trees)
    (trees / "overlay.yml").write_text("over: shipped\n")
    [problem] = load(trees)[1]
    assert problem.mend == "name it over.yml"


def test_folders_in_a_ring_end(tmp_path):
    for name, over in (("a", "../b"), ("b", "../a")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "over.yml").write_text(f"over: {over}\n")
    [problem] = layers(tmp_path / "a")[1]
    assert problem.message == "this folder would lie over itself"
    assert folders(tmp_path / "a") == (tmp_path / "a", tmp_path / "b")


def test_a_tower_of_folders_ends(tmp_path):
    for number in range(12):
        (tmp_path / str(number)).mkdir()
        (tmp_path / str(number) / "over.yml").write_text(f"over: ../{number + 1}\n")
    [problem] = layers(tmp_path / "0")[1]
    assert problem.flaw == "nested-too-deep"


# ---- what a newer release touches ----


@pytest.fixture
def seen(mine):
    """An overlay that was looked at: a text, a step, and an ending."""
    mine.write(
        TITLE,
        "title: The heat is off\nsteps: {panel: {look: The lower one.}}\n"
        "outcomes: {back: {title: It works for now.}}\n",
    )
    assert verify(mine.folder, seen=False).problems == ()
    return mine.see()


def test_all_is_as_it_was_seen(seen):
    assert set(seen.states().values()) == {"same"}
    assert due(seen.folder) == []
    assert verify(seen.folder).is_proven


def test_what_is_changed_elsewhere_below_asks_for_nothing(seen):
    seen.edit_below("complaints/cold.yml", "Can you walk to the furnace?", "Can you walk there?")
    assert set(seen.states().values()) == {"same"}
    assert verify(seen.folder).is_proven


def test_what_changed_below_a_change_stops_the_build_until_it_is_seen(seen):
    seen.edit_below("complaints/cold.yml", "The panel is flat,", "The panel sits flat,")
    assert seen.states() == {
        "complaints/cold.yml title": "same",
        "complaints/cold.yml steps/panel": "else",
        "complaints/cold.yml outcomes/back": "same",
    }
    [problem] = verify(seen.folder).problems
    assert (problem.flaw, problem.spot.line) == ("below-changed", 2)
    assert "`steps/panel` below is another" in problem.message
    assert "stepstop touched" in problem.mend
    assert verify(seen.folder, seen=False).problems == ()
    seen.see()
    assert verify(seen.folder).is_proven


def test_what_is_gone_below_is_told_beside_what_it_breaks(seen):
    seen.edit_below("complaints/cold.yml", "is: yes, go: panel}", "is: yes, go: call}")
    text = (seen.below / "complaints/cold.yml").read_text("utf-8")
    start, end = text.index("  panel:\n"), text.index("outcomes:\n")
    (seen.below / "complaints/cold.yml").write_text(text[:start] + text[end:], "utf-8")
    assert seen.states()["complaints/cold.yml steps/panel"] == "gone"
    messages = [problem.message for problem in verify(seen.folder).problems]
    assert "`steps/panel` is no longer below, so this changes nothing there" in messages
    assert any(message.startswith("a step needs exactly one of") for message in messages)


def test_what_is_below_now_and_was_not_is_told(seen):
    seen.write(
        "changes/catalogue/causes.yml",
        "causes: {rust: {name: rust, plain: A part may have rusted., frequency: rare, "
        "mended-by: technician, root: Is it damp there?}}\n",
    )
    seen.write(TITLE, "outcomes: {call: {causes: [no-power, board, rust]}}\n")
    seen.see()
    assert seen.states()["catalogue/causes.yml causes/rust"] == "same"
    path = seen.below / "catalogue/causes.yml"
    path.write_text(
        path.read_text("utf-8") + "  rust: {name: corrosion, plain: A contact may be bad., "
        "frequency: rare, mended-by: technician, root: Is it wet there?}\n"
    )
    assert seen.states()["catalogue/causes.yml causes/rust"] == "there"


def test_a_change_that_is_newer_than_the_last_look(seen):
    seen.write("changes/complaints/danger.yml", "title: Danger here\n")
    assert seen.states()["complaints/danger.yml title"] == "new"
    assert verify(seen.folder).is_proven
    seen.edit_below("complaints/cold.yml", "Can you walk to the furnace?", "Can you walk there?")
    assert seen.states()["complaints/danger.yml title"] == "unseen"
    [problem] = verify(seen.folder).problems
    assert problem.message.startswith("`title`: this change is new")


def test_line_ends_below_are_no_change(seen):
    for path in seen.below.rglob("*.yml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    found, _ = look(seen.folder)
    record = json.loads((seen.folder / "changes" / NAME).read_text("utf-8"))
    assert found.below == record["below"]
    assert due(seen.folder) == []


def test_nothing_put_down_yet_is_told_once(mine):
    assert due(mine.folder) == []
    mine.write(TITLE, "title: The heat is off\nwords: [cold]\n")
    [problem] = verify(mine.folder).problems
    assert (problem.flaw, problem.spot.file) == (
        "below-changed",
        (mine.folder / "over.yml").as_posix(),
    )


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "{}",
        '{"format": 2, "below": "", "parts": {}}',
        "9" * 5000,
        "[" * 9999,
        '{"format": 1, "below": "", "parts": []}',
        '{"format": 1, "below": "", "parts": {"a": 1}}',
    ],
)
def test_a_record_that_is_none_is_told(seen, text):
    path = seen.folder / "changes" / NAME
    path.write_text(text)
    [problem] = verify(seen.folder).problems
    assert (problem.flaw, problem.spot.file) == ("unreadable-file", path.as_posix())
    assert "delete it" in problem.mend


def test_a_folder_that_lies_over_nothing_has_nothing_due():
    assert look(BASE) == (None, [])
    assert due(BASE) == []


# ---- the command ----


def test_the_command_shows_old_new_and_yours(seen):
    assert run("touched", seen.folder).exit_code == 0
    seen.edit_below("complaints/cold.yml", "The panel is flat,", "The panel sits flat,")
    result = run("touched", seen.folder)
    assert result.exit_code == 1
    shown = [line.strip() for line in result.output.splitlines()]
    assert "-  - say: The panel is flat" in shown
    assert "+  - say: The panel sits flat" in shown
    assert shown[shown.index("yours:") + 1] == "look: The lower one."
    assert "3 parts below touched: 2 as you last saw it, 1 changed below" in result.output
    assert run("touched", seen.folder, "--seen").exit_code == 0
    assert "3 as you last saw it" in run("touched", seen.folder).output
    assert run("verify", seen.folder).exit_code == 0


def test_the_command_says_what_is_missing_or_not_there(mine):
    assert "nothing is changed" in run("touched", mine.folder).output
    mine.write(TITLE, "title: The heat is off\n")
    result = run("touched", mine.folder)
    assert result.exit_code == 1
    assert "title: not put down yet  (" in result.output
    assert "stepstop touched --seen" in result.output
    mine.write(TITLE, "outcomes: {new: {title: New.}}\n")
    assert "outcomes/new: not put down yet, added by you  (" in run("touched", mine.folder).output
    result = run("touched", mine.below)
    assert result.exit_code == 2
    assert "lies over nothing" in result.output
    mine.write("over.yml", "over: ../gone\n")
    result = run("touched", mine.folder)
    assert result.exit_code == 1
    assert "no folder is at" in result.output


def test_a_difference_is_shown_before_it_was_looked_at(seen):
    """Whoever takes a newer release wants to see its effect on callers first."""
    seen.edit_below("complaints/cold.yml", "The panel is flat,", "The panel sits flat,")
    assert run("walk", "cold", "--trees", seen.folder, "--place", "us").exit_code == 1
    assert "below-changed" not in run("diff", seen.folder, seen.folder).output


# ---- editions and rehearsals ----


def test_an_edition_has_another_name_for_each_change_above_or_below(seen):
    (seen.below / "shared/endings.yml").write_text(ENDINGS, "utf-8")

    def named():
        course = verify(seen.folder, seen=False).course
        return edition_for(course, seen.folder, place="us").hash

    first = named()
    assert named() == first
    seen.edit_below("complaints/cold.yml", "Keep warm in one room.", "Keep warm in a room.")
    second = named()
    seen.write(TITLE, "title: The heat is gone\n")
    assert len({first, second, named()}) == 3


def test_words_laid_over_our_trees_keep_what_was_rehearsed(tmp_path):
    trees = tmp_path / "mine"
    (trees / "changes/complaints").mkdir(parents=True)
    (trees / "over.yml").write_text("over: shipped\n")
    (trees / "changes/complaints/no-heat.yml").write_text('title: "The heat is off"\n')
    course = verify(trees, seen=False).course
    of = fingerprint(trees, course)
    assert of == fingerprint(REAL, course)
    assert inputs(trees) == REAL
    assert kept(trees, of) / "rehearsed.json" == REAL / FILE
    assert read(trees, course, of) is not None


def test_files_of_its_own_on_callers_come_first(mine):
    assert inputs(mine.folder) == mine.folder
    (mine.below / "rehearsal").mkdir()
    (mine.below / "rehearsal/callers.yml").touch()
    assert inputs(mine.folder) == mine.below
    mine.write("rehearsal/callers.yml", "")
    assert inputs(mine.folder) == mine.folder


def test_files_are_found_as_far_as_they_can_be(mine):
    mine.write({TITLE: "{", "changes/complaints/gone.yml": "a: b\n", "over.yml": "over: ../below"})
    found = {each.name: each for each in files_of(mine.folder)}
    assert found["complaints/cold.yml"].changes == (mine.folder / TITLE,)
    assert "complaints/gone.yml" not in found
    mine.write("over.yml", "over: ../nowhere\n")
    assert files_of(mine.folder) == []
