"""The words of other languages: which texts need them, and what is told of a gettext file."""

from dataclasses import replace

import pytest
from click.testing import CliRunner

from browser.sites import REAL, course_of, small_library
from stepstop.cli import main
from stepstop.edition import edition_for, look_files
from stepstop.language.messages import LanguageError, file_of, problems, read, update
from stepstop.language.prose import reworded, texts
from stepstop.language.tongue import Tongue
from stepstop.model import Caution
from stepstop.pages import control, front, origins, waiting
from stepstop.pages.atlas import atlas_of
from stepstop.pages.outcome import left
from stepstop.pages.rendering import gathered
from stepstop.pages.step import step_view
from stepstop.pages.technician import technician_view
from stepstop.pages.trail_data import trail_data
from stepstop.pages.words import plain
from stepstop.problems import LANGUAGE_FLAWS
from stepstop.source import NOWHERE, Located, Spot
from stepstop.wording import speeches


@pytest.fixture(scope="module")
def library():
    """The shipped one."""
    return course_of(REAL).library


@pytest.fixture
def small(tmp_path):
    """(folder, library) of the small one, with a file for Spanish that has all words but one."""
    folder = small_library(tmp_path / "trees")
    made = course_of(folder).library
    path = file_of(folder, "es")
    update(texts(made), path)
    assert all(problem.flaw == "missing-translation" for problem in problems(texts(made), path))
    put(path, lambda text: text)
    assert problems(texts(made), path) == []
    return folder, made


def put(path, worded):
    """Put `worded(text)` as the words of each text."""
    lines = path.read_text("utf-8").split("\n")
    text, found = "", []
    for line in lines:
        if line.startswith("msgid "):
            text = line.removeprefix("msgid ")
        elif line.startswith('"') and found and text is not None:
            text += "\n" + line
        if line.startswith("msgstr ") and text not in ('""', ""):
            line = "msgstr " + worded(text)
        found.append(line)
    path.write_text("\n".join(found), "utf-8")


def changed(path, before, after):
    """The line, from 1, on which `before` became `after`."""
    text = path.read_text("utf-8")
    assert text.count(before) >= 1, before
    path.write_text(text.replace(before, after, 1), "utf-8")
    return text[: text.index(before)].count("\n") + 1


# --- Which texts ----------------------------------------------------------------------------------


def test_every_text_that_a_homeowner_may_read_needs_words(library):
    known = {str(each.text) for each in texts(library)}
    spoken = {str(each.spoken) for each in library.catalogue.calls.instead}
    assert {str(each.text) for each in speeches(library)} - known <= spoken
    assert len(known) > 4000


def test_what_the_brief_and_the_small_print_say_needs_words_too(library):
    known = {(each.context, str(each.text)) for each in texts(library)}
    catalogue = library.catalogue
    for finding in catalogue.findings.values():
        assert ("finding.about", finding.about) in known
        assert all(("value.about", v.about) in known for v in finding.values.values())
    for place in catalogue.places.values():
        assert all(("place.disclaimer", text) in known for text in place.disclaimer)


def test_ids_patterns_and_numbers_are_no_texts(library):
    contexts = {each.context for each in texts(library)}
    assert not contexts & {"step.id", "wording.pattern", "place.emergency", "source.year"}


def test_words_take_the_place_of_every_text_and_of_nothing_else(library):
    loud = reworded(library, lambda each: each.text.upper())
    assert all(each.text == each.text.upper() for each in texts(loud))
    assert loud.trees.keys() == library.trees.keys()
    tree = loud.trees["no-heat"]
    assert (
        tree.steps["power"].answers[0].target
        == library.trees["no-heat"].steps["power"].answers[0].target
    )
    assert tree.review == library.trees["no-heat"].review


def test_what_has_the_same_words_stays_the_same_object(library):
    assert reworded(library, lambda each: each.text) is library


def test_a_text_is_told_with_its_kind_and_its_place(library):
    found = [each for each in texts(library) if each.context == "answer.say"]
    assert found[0].place.count(" / ") >= 1
    one = Caution("WARNING", Located("Hot.", Spot("f", 1, 1)), NOWHERE)
    assert [each.context for each in texts(one)] == ["caution.text"]


# --- The file of a language -----------------------------------------------------------------------


def test_spanish_has_words_for_every_text(library):
    assert problems(texts(library), file_of(REAL, "es")) == []


def test_a_text_without_words_is_told_where_it_is_written(small):
    folder, library = small
    path = file_of(folder, "es")
    text = library.trees["cold"].title
    lines = path.read_text("utf-8").split("\n")
    at = lines.index(f'msgid "{text}"')
    lines[at + 1] = 'msgstr ""'
    path.write_text("\n".join(lines), "utf-8")
    [problem] = problems(texts(library), path)
    assert (problem.flaw, problem.spot) == ("missing-translation", text.spot)
    assert "tree.title" in problem.message


@pytest.mark.parametrize(
    ("flaw", "worded"),
    [
        ("translation-too-long", '"{} and so on, and on, and on, and on, and on, and on, and on."'),
        ("number-differs", '"{} 7"'),
        ("placeholder-differs", '"{} {{emergency}}"'),
    ],
)
def test_words_that_differ_in_what_must_not_differ_are_told_at_their_line(small, flaw, worded):
    folder, library = small
    path = file_of(folder, "es")
    text = library.trees["cold"].title
    line = changed(path, f'msgstr "{text}"', f"msgstr {worded.format(text)}")
    found = problems(texts(library), path)
    assert flaw in {problem.flaw for problem in found}
    assert {problem.spot.file for problem in found} == {path.as_posix()}
    assert all(abs(problem.spot.line - line) <= 3 for problem in found)


def test_a_mark_of_doubt_is_told(small):
    folder, library = small
    path = file_of(folder, "es")
    text = library.trees["cold"].title
    changed(
        path,
        f'msgctxt "tree.title"\nmsgid "{text}"',
        f'#, fuzzy\nmsgctxt "tree.title"\nmsgid "{text}"',
    )
    [problem] = problems(texts(library), path)
    assert problem.flaw == "missing-translation"
    assert "fuzzy" in problem.message
    update(texts(library), path)
    assert "fuzzy" in problems(texts(library), path)[0].message


def test_words_for_no_text_are_told_and_an_update_takes_them_out(small):
    folder, library = small
    path = file_of(folder, "es")
    with path.open("a", encoding="utf-8") as file:
        file.write('\nmsgctxt "tree.title"\nmsgid "Gone"\nmsgstr "Ido"\n')
    [problem] = problems(texts(library), path)
    assert problem.flaw == "unused-translation"
    assert "Gone" in problem.message
    update(texts(library), path)
    assert problems(texts(library), path) == []


@pytest.mark.parametrize(
    ("content", "flaw"),
    [
        (None, "missing-language"),
        (b"no gettext at all", "not-gettext"),
        (b"\xff\xfe", "not-gettext"),
    ],
)
def test_a_file_that_cannot_be_read_says_why(small, content, flaw):
    folder, library = small
    path = file_of(folder, "es")
    path.unlink()
    if content is not None:
        path.write_bytes(content)
    [problem] = problems(texts(library), path)
    assert problem.flaw == flaw
    assert problem.mend
    if content is not None:
        before = path.read_bytes()
        with pytest.raises(LanguageError):
            update(texts(library), path)
        assert path.read_bytes() == before


def test_an_update_keeps_words_and_gives_the_same_bytes_again(small):
    folder, library = small
    path = file_of(folder, "es")
    words, _ = read(path)
    assert update(texts(library), path)[1] == 0
    assert read(path)[0].of == words.of
    again = path.read_bytes()
    update(texts(library), path)
    assert path.read_bytes() == again


def test_a_code_that_is_no_language_is_refused(small):
    folder, library = small
    with pytest.raises(LanguageError, match="no language"):
        update(texts(library), file_of(folder, "zz-nowhere"))


def test_each_flaw_is_explained():
    for flaw in LANGUAGE_FLAWS:
        assert LANGUAGE_FLAWS[flaw] in CliRunner().invoke(main, ["explain", flaw]).output


def test_the_command_writes_a_file_and_looks_it_over(tmp_path):
    folder = small_library(tmp_path / "trees")
    ran = CliRunner().invoke(main, ["translate", "es", str(folder)])
    assert ran.exit_code == 1
    assert "--write" in ran.output
    ran = CliRunner().invoke(main, ["translate", "es", str(folder), "--write"])
    assert "without words" in ran.output
    assert ran.exit_code == 1
    assert file_of(folder, "es").exists()


# --- Pages ----------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def atlases():
    """The atlas of the shipped trees in English, and with each phrase in angle brackets."""
    course = course_of(REAL)
    edition = edition_for(course, REAL)
    marked = {str(each.text): f"<{each.text}>" for each in gathered(look_files(()))}
    tongue = Tongue("es", "Español", phrases=marked)
    return atlas_of(course, edition), atlas_of(course, replace(edition, tongue=tongue))


def test_modules_word_each_phrase_that_they_show_and_those_are_gathered(atlases):
    _, marked = atlases
    assert all(title.endswith(" · <call first>") for title in hurried(marked))
    views = [front.start_view(marked), origins.origins_view(marked), control.control_view(marked)]
    views += [view for _, view in waiting.waiting_views(marked)]
    assert [view.frame.title[0] for view in views[:3]] == ["<"] * 3
    comes = next(p for p in marked.pages.values() if p.outcome and p.outcome.kind == "call")
    copy = technician_view(comes, marked)
    assert all(line.startswith("<") for line in (*copy.first, *(head for head, _ in copy.form)))
    note = next(p for p in marked.pages.values() if p.step and p.step.kind == "note")
    assert [link.text[:7] for link in step_view(note, marked).answers] == ["<Next: "]
    assert '"or":" <or> "' in trail_data(marked).decode()


def hurried(atlas):
    return [
        title.rpartition(" · ")[0] if title[-1].isdigit() else title
        for page, title in atlas.titles.items()
        if atlas.pages[page].mode.hurry
    ]


def test_how_long_a_unit_is_left_stands_as_a_translator_wrote_it(atlases):
    english, other = atlases
    outcomes = [page.outcome for page in english.pages.values() if page.outcome]
    leave = [each for each in outcomes if each.leave]
    short = next(each for each in leave if not each.leave.until.startswith("until "))
    until = plain(left(short, english).until)
    assert until == f"until {plain(left(short, other).until)}"
    assert left(short, other).state == f"<{left(short, english).state}>"
