"""Loading a folder: whole or not at all, and every mistake of every file in one run."""

import gc
import os
import shutil
from pathlib import Path

import pytest

from stepstop.contradictions import MAX_STEPS
from stepstop.loader import load
from stepstop.model import Library
from stepstop.source import Located
from unit.edited import BASE, problems, told, write

COLD = "complaints/cold.yml"
SCREEN = "shared/danger-screen.yml"
GO_TRIED = "is: yes, go: tried}"


def test_the_small_library_is_whole():
    library, found = load(BASE)
    assert found == []
    assert isinstance(library, Library)
    assert sorted(library.trees) == ["cold", "danger", "danger-screen"]
    assert [tree.id for tree in library.complaints()] == ["cold"]
    assert [tree.id for tree in library.roots()] == ["cold", "danger"]


def test_every_text_knows_its_place():
    library, _ = load(BASE)
    title = library.trees["cold"].title
    assert isinstance(title, Located)
    assert (title.spot.file, title.spot.line) == (f"{BASE.as_posix()}/{COLD}", 3)


def test_each_file_is_named_as_it_is_read():
    seen = []
    load(BASE, progress=seen.append)
    assert seen[0] == "findings.yml"
    assert seen[-3:] == ["cold.yml", "danger.yml", "danger-screen.yml"]
    assert len(seen) == 12


def test_garbage_is_collected_again_afterwards(tmp_path):
    assert gc.isenabled()
    load(BASE)
    load(tmp_path)
    assert gc.isenabled()


def test_a_drawing_must_be_among_those_named(tmp_path):
    folder = write(
        tmp_path / "t", (COLD, "    check: seat-panel", "    check: seat-panel\n    drawing: door")
    )
    assert load(folder, drawings=["door", "flue"])[1] == []
    [problem] = load(folder, drawings=["doors", "flue"])[1]
    assert problem.message == "no drawing is called `door`"
    assert problem.mend == "did you mean `doors`?"


def flaws(folder):
    library, found = load(folder)
    assert library is None
    return [(p.spot.file.removeprefix(folder.as_posix()), p.flaw) for p in found]


def test_no_folder_and_a_file_for_a_folder_are_told(tmp_path):
    (tmp_path / "file").write_text("a: b")
    assert flaws(tmp_path / "gone") == [("", "missing-file")]
    assert flaws(tmp_path / "file") == [("", "missing-file")]


def test_an_empty_folder_lacks_each_file_of_the_catalogue_and_a_tree(tmp_path):
    found = flaws(tmp_path)
    assert found[0] == ("", "no-trees")
    assert [flaw for _, flaw in found[1:]] == ["missing-file"] * 9


def test_a_folder_for_a_file_and_a_file_for_a_folder_are_told(tmp_path):
    folder = write(tmp_path / "t")
    (folder / COLD).unlink()
    (folder / COLD).mkdir()
    shutil.rmtree(folder / "catalogue")
    (folder / "catalogue").write_text("findings: {}")
    found = flaws(folder)
    assert (f"/{COLD}", "unreadable-file") in found
    assert [flaw for _, flaw in found].count("missing-file") == 9


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_told(tmp_path):
    folder = write(tmp_path / "t")
    (folder / COLD).chmod(0)
    assert flaws(folder) == [(f"/{COLD}", "unreadable-file")]


def test_a_broken_link_is_told(tmp_path):
    folder = write(tmp_path / "t")
    (folder / "complaints/warm.yml").symlink_to("gone.yml")
    assert flaws(folder) == [("/complaints/warm.yml", "unreadable-file")]


def test_what_editors_and_systems_leave_behind_is_no_tree(tmp_path):
    folder = write(tmp_path / "t")
    for name in (".DS_Store", "complaints/.cold.yml.swp", "shared/x.yml~", "complaints/#a.yml#"):
        (folder / name).write_text("!")
    (folder / "complaints/README.md").write_text("Notes.")
    (folder / "catalogue/notes.txt").write_text("Notes.")
    assert problems_of(folder) == []


def problems_of(folder):
    return load(folder)[1]


@pytest.mark.parametrize(
    "name",
    [
        "warm.yml",
        "warm.yaml",
        "complaints/warm.yaml",
        "complaints/warm.yml.bak",
        "complaints/old/warm.yml",
        "shared/warm",
        "catalogue/finding.yml",
        "catalogue/checks.yaml",
        "catalogues/checks.yml",
        "complaint/warm.yml",
        "share/warm.yml",
    ],
)
def test_a_file_that_would_not_be_read_is_told(name, tmp_path):
    folder = write(tmp_path / "t")
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_text("tree: warm\n")
    [problem] = problems_of(folder)
    assert problem.flaw == "unknown-file"
    assert problem.mend


def test_other_folders_may_stand_beside_the_trees(tmp_path):
    folder = write(tmp_path / "t")
    (folder / "pictures").mkdir()
    assert problems_of(folder) == []


def test_file_names_that_are_no_text_or_no_names_are_told(tmp_path):
    folder = write(tmp_path / "t")
    odd = os.fsencode(folder / "complaints") + b"/\xff.yml"
    Path(os.fsdecode(odd)).write_text("tree: x\nrole: part\ntitle: X\n")
    (folder / "complaints/Warm Room.yml").write_text("tree: warm\nrole: part\ntitle: X\n")
    found = problems_of(folder)
    assert {p.flaw for p in found} == {"wrong-name"}
    for problem in found:
        str(problem.spot).encode("utf-8")


def test_all_mistakes_of_all_files_are_told_at_once_in_order(tmp_path):
    found = told(
        tmp_path / "t",
        ("catalogue/causes.yml", "plain: The furnace may have", "plian: The furnace may have"),
        ("catalogue/urgency.yml", "rank: 0", "rank: zero"),
        (COLD, GO_TRIED, "is: yes, go: tryed}"),
        (SCREEN, "exit: clear", "exit: cleer"),
        ("complaints/danger.yml", "title: Is there danger?", "title: [Is there danger?]"),
    )
    assert found == [
        "catalogue/causes.yml missing-key: the key `plain` is missing here",
        "catalogue/causes.yml unknown-key: the key `plian` is not known here",
        "catalogue/urgency.yml wrong-type: `zero` is not a whole number",
        "complaints/cold.yml unknown-name: no step, outcome or tree is called `tryed`",
        "complaints/danger.yml wrong-type: a text is expected here, not a list",
        "shared/danger-screen.yml unknown-name: no exit of `danger-screen` is called `cleer`",
    ]


UNREADABLE = "a: [\n"


@pytest.mark.parametrize("name", sorted(p.stem for p in (BASE / "catalogue").glob("*.yml")))
@pytest.mark.parametrize("text", [UNREADABLE, "[]\n", "other: {}\n", ""])
def test_a_part_of_the_catalogue_that_cannot_be_read_hides_nothing_and_adds_nothing(
    name, text, tmp_path
):
    folder = write(tmp_path / "t", (COLD, GO_TRIED, "is: yes, go: tryed}"))
    (folder / f"catalogue/{name}.yml").write_text(text)
    found = problems_of(folder)
    own = {p.spot.file.removeprefix(f"{folder}/") for p in found}
    assert own == {f"catalogue/{name}.yml", COLD}
    assert [p.message for p in found if p.spot.file.endswith(COLD)] == [
        "no step, outcome or tree is called `tryed`"
    ]


@pytest.mark.parametrize("text", [UNREADABLE, "[]\n", "\ufeff", "tree: danger-screen\n"])
def test_a_shared_tree_that_cannot_be_read_is_not_missed(text, tmp_path):
    folder = write(tmp_path / "t", (COLD, GO_TRIED, "is: yes, go: danger-screen/anything}"))
    (folder / SCREEN).write_text(text, "utf-8")
    files = {problem.spot.file for problem in problems_of(folder)}
    expected = {f"{folder}/{SCREEN}"}
    if text.startswith("tree"):
        expected |= {f"{folder}/{COLD}", f"{folder}/complaints/danger.yml"}
    assert files == expected


def test_a_danger_tree_that_cannot_be_read_is_not_missed(tmp_path):
    folder = write(tmp_path / "t")
    (folder / "complaints/danger.yml").write_text(UNREADABLE)
    assert flaws(folder) == [("/complaints/danger.yml", "not-yaml")]


def test_a_wrong_kind_of_steps_makes_no_name_of_a_step_unknown(tmp_path):
    folder = write(tmp_path / "t")
    text = (folder / COLD).read_text()
    (folder / COLD).write_text(text.replace("\nsteps:\n", "\nsteps: [a]\nother:\n"))
    assert [p.flaw for p in problems_of(folder)] == ["wrong-type", "unknown-key"]


def test_the_name_of_the_file_counts_where_the_tree_says_another(tmp_path):
    found = told(
        tmp_path / "t",
        (SCREEN, "tree: danger-screen", "tree: screen-of-danger"),
        (COLD, "tree: cold", "tree: warm"),
    )
    assert found == [
        "complaints/cold.yml wrong-name: `warm` stands in the file `cold.yml`",
        "shared/danger-screen.yml wrong-name: `screen-of-danger` stands in the file "
        "`danger-screen.yml`",
    ]


def test_two_files_of_one_name_are_told_with_both_places(tmp_path):
    folder = write(tmp_path / "t")
    shutil.copy(folder / COLD, folder / "shared/cold.yml")
    [problem] = [p for p in problems_of(folder) if p.flaw == "name-taken"]
    assert problem.spot.file == f"{folder}/shared/cold.yml"
    assert [related.spot.file for related in problem.related] == [f"{folder}/{COLD}"]


def test_a_tree_of_too_many_steps_is_told(tmp_path):
    folder = write(tmp_path / "t")
    steps = "".join(f"  s{n}: {{tell: Wait., go: s{n + 1}}}\n" for n in range(MAX_STEPS))
    whole = f"tree: long\nrole: part\ntitle: Long\nstarts-with: s0\nsteps:\n{steps}"
    path = folder / "complaints/long.yml"
    path.write_text(whole.replace(f"go: s{MAX_STEPS}}}", "go: cold}"))
    assert problems_of(folder) == []
    path.write_text(f"{whole}  s{MAX_STEPS}: {{tell: Wait., go: cold}}\n")
    [problem] = problems_of(folder)
    assert problem.flaw == "file-too-large"


def test_the_order_of_problems_does_not_depend_on_the_order_of_files(tmp_path):
    edits = [
        (COLD, GO_TRIED, "is: yes, go: tryed}"),
        (SCREEN, "exit: clear", "exit: cleer"),
        ("catalogue/hazards.yml", "about: live wires", "abuot: live wires"),
    ]
    first = problems(tmp_path / "t", *edits)
    shutil.rmtree(tmp_path / "t")
    assert first == problems(tmp_path / "t", *reversed(edits))


def test_nothing_is_returned_as_soon_as_anything_is_reported(tmp_path):
    folder = write(tmp_path / "t", ("catalogue/places.yml", "us:\n", "us:\n    odd: key\n"))
    library, found = load(folder)
    assert library is None
    assert [problem.flaw for problem in found] == ["unknown-key"]
