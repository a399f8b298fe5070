"""Words of other languages in overlays: one's own for one's own texts, for the rest those below."""

import pytest
from babel.messages.pofile import read_po, write_po
from click.testing import CliRunner

from browser.sites import course_of, small_library
from stepstop.cli import main
from stepstop.edition import edition_for
from stepstop.language.lists import lists_file
from stepstop.language.messages import file_of
from stepstop.overlay.seen import look, put_down
from stepstop.tongues import Languages, MissingWords, lists_folder, words_of
from unit.spoken import SIGN, speak

TITLE = "The heat is off"
CALL = "Wait for us."
"""What the overlay says otherwise than the trees below: titles of a tree and of an ending."""


@pytest.fixture
def mine(tmp_path):
    """An overlay with two texts of its own, over a small library that has words in Spanish."""
    speak(small_library(tmp_path / "below"))
    folder = tmp_path / "mine"
    (folder / "changes/complaints").mkdir(parents=True)
    (folder / "over.yml").write_text("over: ../below\n")
    (folder / "changes/complaints/cold.yml").write_text(
        f"title: {TITLE}\noutcomes: {{call: {{title: {CALL}}}}}\n"
    )
    found, problems = look(folder)
    assert problems == []
    put_down(found)
    return folder


def translate(folder, *options):
    return CliRunner().invoke(main, ["translate", "es", str(folder), *options])


def put_words(path, words):
    """Put words (text -> its words) into the file of a language."""
    catalog = read_po(path.read_bytes().splitlines(keepends=True))
    for entry in catalog:
        if entry.id in words:
            entry.string = words[entry.id]
    with path.open("wb") as file:
        write_po(file, catalog)


def titles(folder):
    """Tree -> its title in Spanish."""
    course = course_of(folder)
    edition = edition_for(course, folder, environ={})
    [(own, _)] = Languages(course.library, folder).spoken(course, edition, ("es",))
    return {tree.id: str(tree.title) for tree in own.library.trees.values()}


def test_only_its_own_texts_lack_words(mine):
    course = course_of(mine)
    with pytest.raises(MissingWords) as found:
        Languages(course.library, mine).spoken(
            course, edition_for(course, mine, environ={}), ("es",)
        )
    assert {each.flaw for each in found.value.problems} == {"missing-translation"}
    told = " ".join(each.message for each in found.value.problems)
    assert TITLE in told
    assert CALL in told
    assert len(found.value.problems) == 2
    assert {each.spot.file for each in found.value.problems} == {
        (mine / "changes/complaints/cold.yml").as_posix()
    }


def test_the_command_writes_its_own_texts_alone_and_then_the_pages_speak(mine):
    result = translate(mine, "--write")
    assert result.exit_code == 1
    assert "es.po: 2 texts, 2 without words" in result.output
    own = file_of(mine, "es")
    put_words(own, {TITLE: "La calefacción no anda", CALL: "Espérenos."})
    result = translate(mine)
    assert result.exit_code == 0, result.output
    found = titles(mine)
    assert found["cold"] == "La calefacción no anda"
    assert found["hot"].endswith(SIGN)
    assert len(words_of(mine, "es")[0].of) > 50
    # Written anew, it has the same words and nothing else.
    assert translate(mine, "--write").exit_code == 0
    before = own.read_bytes()
    assert before.count(b"msgctxt") == 2
    assert translate(mine, "--write").exit_code == 0
    assert own.read_bytes() == before


def test_words_of_its_own_for_a_text_below_come_first_and_unused_ones_are_told(mine):
    translate(mine, "--write")
    own = file_of(mine, "es")
    put_words(own, {TITLE: "La calefacción no anda", CALL: "Espérenos."})
    text = own.read_text("utf-8")
    title = str(course_of(mine).library.trees["hot"].title)
    own.write_text(
        f'{text}\nmsgctxt "tree.title"\nmsgid "{title}"\nmsgstr "Hace calor"\n\n'
        'msgctxt "tree.title"\nmsgid "Nowhere"\nmsgstr "En ningún lado"\n',
        "utf-8",
    )
    result = translate(mine)
    assert result.exit_code == 1
    assert "no text is `Nowhere` any more" in result.output
    assert "1 problem" in result.output
    assert titles(mine)["hot"] == "Hace calor"
    assert "2 texts" not in translate(mine, "--write").output
    assert "Nowhere" not in own.read_text("utf-8")
    assert titles(mine)["hot"] == "Hace calor"


def test_an_overlay_without_texts_of_its_own_needs_no_words(mine):
    (mine / "changes/complaints/cold.yml").write_text("words: [no heat]\n")
    found, _ = look(mine)
    put_down(found)
    result = translate(mine, "--write")
    assert result.exit_code == 0, result.output
    assert not file_of(mine, "es").exists()
    assert titles(mine)["cold"].endswith(SIGN)


def test_its_lists_take_the_place_of_those_below_as_a_whole(mine):
    assert lists_folder(mine, "es") == mine.parent / "below"
    below = lists_file(mine.parent / "below", "es").read_text("utf-8")
    lists_file(mine, "es").parent.mkdir(exist_ok=True)
    lists_file(mine, "es").write_text(below.replace('"qwzx"', '"calienta"'), "utf-8")
    assert lists_folder(mine, "es") == mine
    translate(mine, "--write")
    put_words(file_of(mine, "es"), {TITLE: "La casa no calienta", CALL: "Espérenos."})
    result = translate(mine)
    assert result.exit_code == 1
    assert "forbidden-words" in result.output


def test_a_broken_file_below_is_told(mine):
    file_of(mine.parent / "below", "es").write_text("msgid nothing", "utf-8")
    words, wrong = words_of(mine, "es")
    assert words is None
    assert [each.flaw for each in wrong] == ["not-gettext"]
