"""A walk in the terminal: what each page shows, what may be typed, and how it ends."""

import re
from functools import cache

import pytest

from stepstop.course import lay_out
from stepstop.loader import load
from stepstop.walk import OUTSIDE, STRIP, WIDTH, walk
from unit.edited import BASE, write
from unit.terminal import Terminal


@cache
def course_of(folder):
    library, problems = load(folder)
    assert problems == []
    return lay_out(library)


def walked(*typed, folder=BASE, root="cold/index", place="us"):
    """The terminal after a walk that ends by itself."""
    course, terminal = course_of(folder), Terminal(*typed)
    where = course.library.catalogue.places[place]
    walk(course, root, where, ask=terminal.ask, say=terminal.say)
    assert terminal.typed == []
    return terminal


def broken_off(*typed, **options):
    """The text of a walk whose input ends in the middle."""
    course, terminal = course_of(options.get("folder", BASE)), Terminal(*typed)
    us = course.library.catalogue.places["us"]
    with pytest.raises(SystemExit) as ended:
        walk(course, "cold/index", us, ask=terminal.ask, say=terminal.say)
    assert ended.value.code == 1
    return terminal.text


CLEAR = ("2", "2", "3")
"""No gas, no bang, no water."""


def test_it_begins_with_the_complaint_the_small_print_and_the_never_lines():
    first = broken_off().split("\n-- ")[0]
    assert first.startswith("The heat is out\nLocal codes come first.\n")
    assert "Not yet reviewed by a licensed technician." in first
    assert "Never:\n  - Never open a cover that is held by screws.\n" in first


def test_a_page_has_the_danger_strip_the_question_and_numbered_answers():
    page = broken_off().split("\n-- ")[1]
    assert page.splitlines()[:8] == [
        "screen.smell ---------------------------------------------------------------",
        STRIP,
        "",
        "Do you smell gas?",
        "",
        "   1  Yes, I smell gas",
        "   2  No smell",
        "   3  I'm not sure about the smell",
    ]


def test_input_that_ends_in_the_middle_is_told_and_ends_with_status_1():
    for typed in ((), ("2",), (*CLEAR, "2"), ("1",)):
        assert broken_off(*typed).endswith(
            "The input ended here, before an outcome. The walk is not complete.\n"
        )


def test_letters_that_are_no_text_end_it_the_same_way():
    def ask(_):
        raise UnicodeDecodeError("utf-8", b"\xff", 0, 1, "no text")

    course = course_of(BASE)
    with pytest.raises(SystemExit):
        walk(course, "cold/index", course.library.catalogue.places["us"], ask=ask, say=str)


@pytest.mark.parametrize(
    "wrong", ["", "0", "4", "-1", "1.0", "x", "²", "yes", "\x1b[A", "1 2", "9" * 9999]
)
def test_what_is_no_choice_is_told_and_asked_again(wrong):
    terminal = walked(wrong, "q")
    assert terminal.text.count("That is none of the choices.") == 1
    assert terminal.prompts == ["1 to 3, or b (back), d (danger), q (quit): "] * 2
    assert "\x1b" not in terminal.text


def test_blanks_and_capitals_do_not_matter():
    assert "You ended the walk here." in walked(" 2 ", "B", "\tQ").text


def test_b_goes_back_one_page_and_forgets_its_answer():
    text = walked("2", "b", "2", "2", "b", "b", "1", "b", "q").text
    pages = re.findall(r"^-- (\S+) ", text, re.MULTILINE)
    smell, bang, water = "screen.smell", "screen.bang", "screen.water"
    assert pages == [smell, bang, smell, bang, water, bang, smell, "gas", smell]
    assert text.endswith("The way here:\n  - nothing was answered\n")


def test_b_on_the_first_page_says_so():
    assert "This is the first page of the walk." in walked("b", "q").text


def test_q_ends_and_shows_the_way():
    assert walked("2", "q").text.endswith(
        "You ended the walk here.\n\nThe way here:\n  - screen.smell: No smell\n"
    )


def test_d_leads_to_the_danger_page_and_b_comes_back():
    text = walked(*CLEAR, "d", "b", "q").text
    assert re.findall(r"^-- (\S+) ", text, re.MULTILINE)[-3:] == [
        "set-heat",
        "screen.smell",
        "set-heat",
    ]


def test_the_danger_page_leads_on_to_the_list_of_complaints():
    text = walked(*CLEAR, "1", "q", root="danger/index").text
    assert "What is the matter?\n\n   1  The heat is out\n" in text
    assert text.count("-- screen.smell ") == 2


CALL = (*CLEAR, "2", "2")
"""No heat comes, can't walk to it."""


def test_an_outcome_says_whom_to_call_what_to_say_what_to_do_and_what_it_may_be():
    outcome = walked(*CALL).text.split("\n-- ")[-1]
    assert outcome == (
        "call -----------------------------------------------------------------------\n"
        "Stop here and call.\n\nHow soon: today. Call today.\n\n"
        "Call: a licensed technician\n\n"
        "Say this:\n  - My heat is out.\n  - I have done the safe checks.\n\n"
        "Do this:\n  - Keep warm in one room.\n\n"
        "Leave the unit as it is until the technician comes.\n\n"
        "Who may do the work: a licensed technician\n\n"
        "Possible causes; only a technician can tell:\n"
        "  - The furnace may have no power for its controls.\n"
        "  - The furnace's own control may not answer.\n"
        "  - Something else.\n\n"
        "The way here:\n  - screen.smell: No smell\n  - screen.bang: No bang\n"
        "  - screen.water: It is dry\n  - set-heat: No heat comes\n  - ready: No, I can't\n"
    )


def test_an_outcome_that_works_again_names_nobody_to_call():
    outcome = walked(*CLEAR, "1").text.split("\n-- ")[-1]
    assert "Call" not in outcome
    assert "Who" not in outcome
    assert "Leave the unit running until you like." in outcome


def test_the_gas_page_shows_no_number_before_the_person_is_outside():
    before = broken_off("1").split("\n-- ")[-1]
    assert "Take everyone with you." in before
    assert 'Type outside once this is true: "I am outside and away".' in before
    assert not re.search(r"911|call|phone", before, re.IGNORECASE)


def test_behind_the_gate_are_the_number_and_the_way():
    terminal = walked("1", "1", "go", "OUTSIDE")
    assert terminal.text.count("That is none of the choices.") == 2
    assert terminal.prompts[-1] == f"{OUTSIDE}, or b (back), q (quit): "
    assert terminal.text.endswith(
        "\nOnly from outside, well away:\n  - Call 911.\n\n"
        "Leave the unit untouched until they say it is safe.\n\n"
        "Who deals with this: 911\n\n"
        "The way here:\n  - screen.smell: Yes, I smell gas\n"
    )


def test_other_dangers_say_at_once_whom_to_call():
    outcome = walked("2", "2", "1").text.split("\n-- ")[-1]
    assert "Do this:\n  - Call your electric company.\n" in outcome
    assert "How soon" not in outcome


RICH = (
    (
        "catalogue/checks.yml",
        "    do: [Push the panel flat.]\n",
        "    do: [Push the panel flat., Listen.]\n"
        "    before: [The unit is off., Your hands are dry.]\n"
        "    stop-if: [You see sparks.]\n"
        "    never: [Never reach behind the panel.]\n"
        "    cautions:\n"
        "      - {word: CAUTION, text: Edges are sharp.}\n"
        "      - {word: DANGER, text: Parts behind it are live.}\n"
        "    minutes: 5\n"
        "    waits: yes\n",
    ),
    (
        "complaints/cold.yml",
        "    check: seat-panel\n",
        '    check: seat-panel\n    look: ["Call {gas-line} if you smell gas."]\n'
        "    why: A loose panel stops the unit.\n",
    ),
    (
        "complaints/cold.yml",
        "      - {say: I can't do this, is: not-done, go: off}\n",
        "      - {say: I can't do this, is: not-done, go: wait}\n"
        "  wait: {tell: Wait an hour., look: [Sit down.], hurry: yes, go: off}\n",
    ),
    ("complaints/cold.yml", "    urgency: today\n", "    urgency: today\n    hurry-urgency: now\n"),
    (
        "catalogue/places.yml",
        "      disclaimer: {source: common-practice, reviewed: 2026-11-25}\n",
        "      disclaimer: {source: common-practice, reviewed: 2026-11-25}\n"
        "  elsewhere:\n    name: Elsewhere\n    emergency-say: your emergency number\n"
        "    gas-say: your gas line\n    power-say: your power line\n"
        "    temperature: C\n    length: m\n"
        '    who: {gas: somebody}\n    disclaimer: ["Call {emergency} in danger."]\n'
        "    rests-on: {emergency: {source: common-practice, reviewed: 2026-11-25}, "
        "gas: {source: common-practice, reviewed: 2026-11-25}, "
        "disclaimer: {source: common-practice, reviewed: 2026-11-25}}\n",
    ),
)


@pytest.fixture(scope="module")
def rich(tmp_path_factory):
    return write(tmp_path_factory.mktemp("rich") / "t", *RICH)


TO_RESET = (*CLEAR, "2", "1", "1")


def test_a_check_shows_what_must_be_true_before_dangers_instructions_and_never(rich):
    text = walked(*TO_RESET, "2", "1", "q", folder=rich).text
    page = text.split("\n-- panel ")[1]
    assert page.partition(f"{STRIP}\n\n")[2] == (
        "Push the panel home\n"
        "Call your gas company's emergency line if you smell gas.\n\n"
        "Only if all of this is true:\n  - The unit is off.\n  - Your hands are dry.\n"
        "If not, take the last answer.\n\n"
        "DANGER: Parts behind it are live.\n\nCAUTION: Edges are sharp.\n\n"
        "Stop at once, and type d, if:\n  - You see sparks.\n\n"
        "Never here:\n  - Never reach behind the panel.\n\n"
        "Do this:\n  - Push the panel flat.\n  - Listen.\n"
        "It takes about 5 minutes, most of it waiting.\n\n"
        "What this tells us: A loose panel stops the unit.\n\n"
        "What happened?\n\n"
        "   1  The panel is flat\n   2  It will not stay\n   3  I'm not sure about the panel\n"
        "   4  I can't do this\n\n"
        "You ended the walk here.\n\n"
        "The way here:\n  - screen.smell: No smell\n  - screen.bang: No bang\n"
        "  - screen.water: It is dry\n  - set-heat: No heat comes\n  - ready: Yes, I can\n"
        "  - tried: No, nobody has\n  - reset: Still no heat\n  - off: All is quiet\n"
    )


def test_a_note_goes_on_by_one_and_a_hurried_walk_says_to_call_first(rich):
    text = walked(*TO_RESET, "4", "1", "4", folder=rich).text
    assert "Wait an hour.\nSit down.\n\n   1  Go on\n" in text
    pages = text.split("\n-- ")
    assert [page.split()[0] for page in pages[-3:]] == ["wait", "now/off", "call"]
    hurried = [f"{STRIP}\nCall first, then go on while you wait.\n" in page for page in pages]
    assert hurried.index(True) == len(pages) - 2
    assert "How soon: now. Do it now." in pages[-1]


def test_a_narrowed_walk_shows_what_it_is_kept_to():
    pages = re.findall(r"^-- (\S+) ", walked("2", "2", "2", "2", "q").text, re.MULTILINE)
    assert pages[-2:] == ["look/set-heat", "look/ready"]


def test_the_words_are_those_of_the_place(rich):
    text = walked("1", "outside", folder=rich, place="elsewhere").text
    assert "Call your emergency number in danger." in text
    assert "  - Call your emergency number.\n" in text
    assert "911" not in text


def test_answers_and_the_way_have_the_words_of_the_place(tmp_path):
    edit = ("complaints/cold.yml", "say: Heat comes, is", 'say: "Heat, and {gas-line} came", is')
    text = walked(*CLEAR, "1", folder=write(tmp_path / "t", edit)).text
    assert "   1  Heat, and your gas company's emergency line came\n" in text
    assert text.endswith("  - set-heat: Heat, and your gas company's emergency line came\n")


def test_answers_not_done_stand_last(tmp_path):
    line = "      - {say: I can't do this now, is: not-done, go: ready}\n"
    first = "      - {say: Heat comes, is: yes, go: works}\n"
    edits = [
        ("complaints/cold.yml", line, ""),
        ("complaints/cold.yml", first, line + first),
    ]
    text = walked(*CLEAR, "4", "q", folder=write(tmp_path / "t", *edits)).text
    assert "   4  I can't do this now\n" in text


def test_no_line_is_wider_than_the_terminal_and_long_texts_hang_together(tmp_path):
    long = "It is very long and says the same again and again. " * 9
    edits = [
        ("complaints/cold.yml", "ask: Can you walk to the furnace?", f"ask: {long}"),
        ("complaints/cold.yml", '"No, I can\'t"', f'"{long}"'),
        ("complaints/cold.yml", "[Keep warm in one room.]", f"[{long}, {'x' * 200}]"),
        ("catalogue/places.yml", "[Local codes come first.]", f"[{long}]"),
    ]
    text = walked(*CALL, folder=write(tmp_path / "t", *edits)).text
    assert max(len(line) for line in text.splitlines()) == WIDTH
    answer = text[text.index("   2  It is very long") :].splitlines()
    assert answer[1].startswith("      ")
    assert not answer[1].startswith("       ")
