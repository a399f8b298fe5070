"""The agent's page with a caller on the line: by keyboard alone, from `file://`, nothing kept."""

import csv
import json
import random
import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator, FormatChecker
from playwright.sync_api import expect

from bench import keys
from browser.sites import REAL, course_of
from browser.test_trail import some_trail
from stepstop.brief import brief
from stepstop.pages.step import choices
from stepstop.pages.words import fill, plain
from stepstop.trail import Trail, Ways, in_groups

SCHEMA = json.loads((REAL.parent / "content" / "call-notes.schema.json").read_text("utf-8"))
GUARD = 230
"""Milliseconds after which a new screen takes a key, and a bit."""
COMPLAINTS = ("no-heat", "no-cooling", "fan-never-stops", "water", "blinking-light")


@pytest.fixture(scope="module")
def ways(sites):
    return Ways(sites["real"].course)


class Desk:
    """The page, as an agent works at it."""

    def __init__(self, tab, ways):
        self.tab, self.ways = tab, ways
        self.pressed = 0

    def key(self, *names):
        """Press keys, each on a screen of its own."""
        for name in names:
            self.pressed += 1
            self.tab.clock.run_for(GUARD)
            self.tab.keyboard.press(name)

    def type(self, text):
        self.tab.keyboard.type(text)

    @property
    def title(self):
        return " ".join(self.tab.locator("#step h1").inner_text().split())

    @property
    def notes(self):
        return self.tab.locator("#notes").input_value().replace("\u00a0", " ")

    def answers(self):
        """Text of an answer -> its key."""
        buttons = self.tab.locator("#step .choices button")
        return {
            " ".join(each.locator("span").inner_text().split()): each.locator("kbd").inner_text()
            for each in buttons.all()
        }

    def path(self):
        """[(question, answer)] of what was answered, as the page shows it."""
        lines = self.tab.locator("#path li button").all()
        return [(e.locator("span").inner_text(), e.locator("b").inner_text()) for e in lines]

    def greet(self, words):
        """From the first words to the complaint whose words are typed."""
        self.key("2")
        self.type("202 555 0100")
        self.key("Enter")
        self.type("Pat Demo")
        self.key("Enter")
        self.type("1 Demo Street")
        self.key("Enter", "1")
        self.type(words)
        self.key("Enter")

    def answer(self, text):
        found = self.answers()
        assert text in found, (text, found)
        self.key(found[text])

    def walk(self, walked):
        """Give the answers of a walk, in order."""
        for page, move in walked:
            assert self.title == said(headline(page))
            self.answer("Next" if page.step.kind == "note" else said(move.answer.say))


def headline(page):
    return page.check.name if page.check else page.step.ask if page.step else page.outcome.title


def said(text):
    """A text of the trees as a page in the US shows it."""
    place = course_of(REAL).library.catalogue.places["us"]
    return " ".join(plain(fill(text, place)).split())


@pytest.fixture
def desk(browser, sites, ways):
    context = browser.new_context(viewport={"width": 1280, "height": 860})
    tab = context.new_page()
    tab.set_default_timeout(15_000)
    tab.clock.install(time=1_800_000_000)
    wrong = []
    tab.on("pageerror", lambda error: wrong.append(str(error)))
    tab.on("console", lambda message: wrong.append(message.text))
    tab.goto(sites["real"].url("call.html"))
    expect(tab.locator("#step h1")).to_be_visible()
    yield Desk(tab, ways)
    assert wrong == []
    assert tab.url == sites["real"].url("call.html")
    kept = tab.evaluate(
        "[localStorage.length, sessionStorage.length, document.cookie, window.name]"
    )
    assert kept == [0, 0, "", ""]
    context.close()


@dataclass
class Call:
    """A walk with the trail that it leaves."""

    walked: list
    trail: Trail
    end: object


def some_call(ways, root, *, seed=0, kind="call", least=6):
    """A walk from `root` to an ending, not by way of a danger."""
    draw = random.Random(f"{root} {seed}")
    while True:
        page, walked, words = ways.pages[ways.roots[root]], [], []
        while page.step is not None:
            moves = [m for m in choices(page) if ways.word_of(page, m.answer, m.to) is not None]
            if not moves:
                break
            move = draw.choice(moves)
            word = ways.word_of(page, move.answer, move.to)
            words += [word] if word else []
            walked.append((page, move))
            page = ways.pages[move.to]
        if page.outcome and page.outcome.kind == kind and len(walked) >= least:
            return Call(walked, Trail(root, tuple(words)), page)


# ---- whole calls ----


@pytest.mark.parametrize("root", COMPLAINTS)
def test_a_whole_call_by_keyboard_alone(desk, ways, root):
    tree = ways.course.library.trees[root]
    for seed in range(2):
        call, before = some_call(ways, root, seed=seed), desk.pressed
        desk.greet(str(tree.words[0]))
        assert desk.path()[0] == ("What is wrong?", said(tree.title))
        desk.walk(call.walked)
        assert desk.title == said(call.end.outcome.title)
        assert desk.pressed - before == keys.GREETING + len(call.walked)
        notes = desk.notes
        assert "Call back: 202 555 0100" in notes
        assert "Address and way in: 1 Demo Street" in notes
        assert f"“{tree.words[0]}”" in notes
        followed = ways.follow(call.trail)
        told = brief(ways, followed, said)
        assert f"Danger, as answered: {said(call.walked[0][1].answer.say)}" in notes
        for _, lines in told.parts:
            for line in lines:
                assert line.split(" [done on")[0] in notes
        for line in told.tried:
            assert line in notes
        done = ways.done_on(followed.ways)
        trail = Trail(root, call.trail.words, done)
        assert f"Code: {in_groups(ways.code(trail))}\n" in notes
        desk.tab.once("dialog", lambda dialog: dialog.accept())
        desk.key("a")
        assert desk.title == "First words of every call"
        assert desk.tab.locator("#f-number").input_value() == ""
        assert desk.path() == []


def test_likely_causes_come_with_the_notes_and_tell_what_to_bring(desk, ways):
    call = some_call(ways, "no-heat", seed=3)
    desk.greet("no heat")
    desk.walk(call.walked)
    expect(desk.tab.locator("#notes")).to_have_value(re.compile("RANKED BY"))
    notes = desk.notes
    assert "Before swapping parts:" in notes
    assert "It may also be something that is not on this list." in notes


def test_the_first_words_are_about_danger_and_come_before_name_and_number(desk):
    say = desk.tab.locator("#step .say").inner_text()
    assert "Any gas smell, alarm, smoke, or anyone feeling sick?" in say
    assert desk.answers() == {"Yes, or not sure": "1", "No to all of it": "2"}
    assert desk.tab.evaluate("document.activeElement.tagName") == "BODY"
    desk.key("2")
    assert desk.tab.evaluate("document.activeElement.id") == "f-number"


def test_a_gas_smell_sends_out_first_and_names_no_number_before(desk):
    desk.key("1")
    desk.answer("I smell gas, rotten eggs or strong exhaust")
    first, outside = (each.inner_text() for each in desk.tab.locator("#step .say").all())
    assert first.split()[:4] == ["Say", "Go", "out", "now."]
    assert "911" not in first
    assert outside.startswith("From outside only")
    assert "911" in outside
    assert "end the call" in desk.tab.locator("#step").inner_text()
    assert "Ended at: Go out now" in desk.notes


# ---- danger is always at hand ----


def test_danger_is_one_key_away_in_a_field_too_and_leads_back(desk, ways):
    call = some_call(ways, "no-heat", seed=1)
    desk.greet("no heat")
    desk.walk(call.walked[:4])
    here = desk.title
    desk.key("/")
    desk.type("it hums a bit")
    desk.key("Escape")
    assert desk.title == "Is any of this true right now?"
    assert desk.tab.locator(".complaint").inner_text().startswith("Danger")
    desk.answer("None of these")
    assert desk.title == here
    desk.walk(call.walked[4:])
    assert desk.notes.count("Danger, as answered: None of these") == 2


def test_danger_at_once_after_a_new_screen(desk):
    desk.tab.keyboard.press("Escape")
    assert desk.title == "Is any of this true right now?"


def test_the_strip_does_what_its_key_does(desk):
    desk.tab.locator("#strip").click()
    assert desk.title == "Is any of this true right now?"


def test_cards_are_one_key_away_and_lead_back(desk, ways):
    desk.greet("no heat")
    here = desk.title
    for card in ways.course.library.catalogue.calls.cards.values():
        desk.key(card.key)
        assert desk.title == said(card.name)
        shown = desk.tab.locator("#step").inner_text()
        for text in (*card.say, *card.do):
            assert said(text) in shown
        desk.key("Backspace")
        assert desk.title == here


def test_what_happened_on_the_call_is_in_the_notes(desk):
    desk.greet("no heat")
    desk.key("l", "Enter", "Escape")
    desk.answer("A smoke alarm or gas detector sounds")
    assert "WHAT HAPPENED ON THE CALL" in desk.notes
    assert "The line dropped" in desk.notes


def test_not_at_the_house_is_answered_before_anything_else(desk):
    desk.key("2")
    desk.tab.locator("#step h1").focus()
    desk.key("2")
    assert desk.title == "Not at the house"
    desk.key("Enter")
    assert desk.title == "What is wrong?"
    assert desk.tab.locator("#f-there").inner_text() == "no"


def test_the_timer_says_when_to_call_back(desk):
    desk.tab.locator("#f-number").fill("202 555 0100")
    desk.tab.locator("#step h1").focus()
    desk.key("t")
    timer = desk.tab.locator("#timer")
    assert "Call back in 5 minutes" in timer.inner_text()
    desk.tab.clock.run_for(4 * 60_000)
    assert "Call back in" in timer.inner_text()
    desk.tab.clock.run_for(61_000)
    assert timer.inner_text() == "Call back now. 202 555 0100"


def test_the_clock_counts_the_call(desk):
    assert desk.tab.locator("#clock").inner_text() == "0:00"
    desk.key("2")
    desk.tab.clock.run_for(75_000)
    assert desk.tab.locator("#clock").inner_text() in ("1:15", "1:14")


# ---- answers taken back ----


def test_back_goes_question_by_question_to_the_first_words(desk, ways):
    call = some_call(ways, "no-heat", seed=2)
    desk.greet("no heat")
    titles = []
    for page, move in call.walked:
        titles.append(desk.title)
        desk.walk([(page, move)])
    notes = {said(page.step.ask) for page, _ in call.walked if page.step.kind == "note"}
    for title in reversed(titles):
        if title not in notes:
            desk.key("Backspace")
            assert desk.title == title
    assert desk.path() == [("What is wrong?", "The heat does not come on")]
    desk.key("Backspace")
    assert desk.title == "What is wrong?"
    desk.tab.locator("#step h1").focus()
    desk.key("Backspace")
    assert desk.title == "Who, and where"
    desk.tab.locator("#step h1").focus()
    desk.key("Backspace")
    assert desk.title == "First words of every call"


def test_an_earlier_answer_is_changed_and_what_still_fits_stays(desk, ways):
    call = some_call(ways, "no-heat", seed=4, least=9)
    desk.greet("no heat")
    desk.walk(call.walked)
    before = desk.path()
    line = desk.tab.locator("#path li button").nth(len(before) - 3)
    question, answer = before[-3]
    line.focus()
    desk.key("Enter")
    assert desk.title == question
    pressed = desk.tab.locator("#step .choices [aria-pressed=true] span")
    assert pressed.inner_text() == answer
    desk.answer(answer)
    assert desk.path() == before
    assert desk.title == said(call.end.outcome.title)

    other = next(text for text in desk_answers_of(desk, line) if text != answer)
    desk.answer(other)
    after = desk.path()
    assert after[: len(before) - 3] == before[:-3]
    assert after[len(before) - 3] == (question, other)


def desk_answers_of(desk, line):
    line.focus()
    desk.key("Enter")
    return desk.answers()


def test_answers_that_no_longer_fit_are_told_of(desk, ways):
    desk.greet("no heat")
    for text in ("None of these", "No, nobody like that", "In between"):
        desk.answer(text)
    desk.answer("Yes, it takes batteries")
    desk.key("/")
    desk.type("it's kind of grey")
    desk.key("Enter")
    desk.answer("The screen is on, and I can read it")
    desk.tab.locator("#path li button").nth(4).focus()
    desk.key("Enter")
    desk.answer("It has no screen, just a lever or a dial")
    desk.key(".")
    assert "TAKEN BACK" in desk.notes
    assert "Read the thermostat screen → The screen is on, and I can read it" in desk.notes


def test_what_was_done_once_stays_done_when_it_is_taken_back(desk, ways):
    once, page_id = some_trail(ways, lambda p: bool(p.check and ways.once_on(p)), root="no-heat")
    resume(desk, ways, once)
    page = ways.pages[page_id]
    assert desk.title == said(page.check.name)
    assert "done already" not in desk.tab.locator("#step").inner_text()
    desk.answer(said(choices(page)[0].answer.say))
    desk.key("Backspace")
    assert desk.title == said(page.check.name)
    assert "done already on this call" in desk.tab.locator("#step").inner_text()


def resume(desk, ways, trail):
    desk.key("2")
    desk.tab.locator("#step h1").focus()
    desk.key("1")
    desk.type(in_groups(ways.code(trail)))
    desk.key("Enter")


# ---- the beginning ----


@pytest.mark.parametrize(
    ("words", "title"),
    [
        ("no heat", "The heat does not come on"),
        ("furnace wont strat", "The heat does not come on"),
        ("fan runs all the time", "The fan never stops"),
        ("rotten egs", "I smell gas or rotten eggs"),
    ],
)
def test_a_complaint_is_found_in_the_callers_words_with_slips(desk, words, title):
    desk.key("2")
    desk.tab.locator("#step h1").focus()
    desk.key("1")
    desk.type(words)
    desk.key("Enter")
    assert desk.path()[0] == ("What is wrong?", title)


def test_words_that_fit_nothing_leave_the_whole_list(desk, ways):
    desk.key("2")
    desk.tab.locator("#step h1").focus()
    desk.key("1")
    desk.type("zzzz")
    status = desk.tab.locator("#step [role=status]")
    assert status.inner_text() == "Nothing fits these words. This is the whole list."
    complaints = list(ways.course.library.complaints())
    assert desk.tab.locator("#step .choices button").count() == len(complaints)


@pytest.mark.parametrize("root", ["no-heat", "no-cooling", "water"])
def test_a_code_puts_the_agent_where_the_caller_stopped(desk, ways, root):
    call = some_call(ways, root, seed=7, least=9)
    words, here = [], None
    for page, move in call.walked[:7]:
        word = ways.word_of(page, move.answer, move.to)
        words += [word] if word else []
        if word or page.step.kind == "note":
            here = move.to
    trail = Trail(root, tuple(words))
    page_id = ways.follow(trail).page
    resume(desk, ways, trail)
    assert desk.title == said(headline(ways.pages[page_id]))
    assert here is not None
    rest = [step for step in call.walked if step[0].id == page_id]
    if rest:
        desk.walk(call.walked[call.walked.index(rest[0]) :])
        whole = Trail(root, call.trail.words, ways.done_on(ways.follow(call.trail).ways))
        assert f"Code: {in_groups(ways.code(whole))}" in desk.notes


def test_a_wrong_code_is_said_to_be_wrong(desk, ways):
    trail, _ = some_trail(ways, lambda page: page.finding == "thermostat-power")
    code = ways.code(trail)
    wrong = code[:-1] + str((int(code[-1]) + 1) % 10)
    desk.key("2")
    desk.tab.locator("#step h1").focus()
    desk.key("1")
    desk.type(wrong)
    desk.key("Enter")
    assert "one digit may be wrong" in desk.tab.locator("#step [role=status]").inner_text()
    assert desk.title == "What is wrong?"


def test_in_a_site_of_one_language_there_is_none_to_choose(desk):
    assert desk.tab.locator("select").count() == 0
    desk.greet("no heat")
    assert desk.tab.locator(".meant, .theirs").count() == 0
    loaded = desk.tab.evaluate("[...document.scripts].filter(e => e.src).map(e => e.src)")
    assert [name.rpartition("/")[2] for name in loaded].count("calls.js") == 1


# ---- what is said ----


def test_a_check_is_said_back_before_it_is_done(desk, ways):
    trail, page_id = some_trail(ways, lambda page: bool(page.check and page.check.stop_if))
    resume(desk, ways, trail)
    check = ways.pages[page_id].check
    shown = (each.inner_text() for each in desk.tab.locator("#step .say").all())
    sections = [" ".join(text.split()) for text in shown]
    assert all(said(text) in sections[0] for text in check.do)
    assert "Do not start yet." in sections[1]
    assert said(check.name) in sections[1]
    stops = " ".join(desk.tab.locator("#step .stop-if").inner_text().split())
    calls = ways.course.library.catalogue.calls
    assert all(said(calls.spoken(text)) in stops for text in check.stop_if)


def test_words_of_their_own_stand_beside_the_answer(desk):
    desk.greet("no heat")
    for text in ("None of these", "No, nobody like that", "In between"):
        desk.answer(text)
    desk.key("/")
    desk.type("1 or 2 of those little ones")
    desk.key("Enter")
    desk.answer("Yes, it takes batteries")
    assert "“1 or 2 of those little ones”" in desk.tab.locator("#path").inner_text()
    desk.key(".")
    line = "“1 or 2 of those little ones” → Yes, it takes batteries"
    assert f"Does your thermostat take batteries? {line}" in desk.notes


def test_health_is_told_as_an_urgency_and_nothing_else(desk):
    desk.greet("no heat")
    desk.answer("None of these")
    assert desk.tab.locator("#raw").count() == 0
    desk.answer("Yes, or maybe")
    desk.answer("Cold: below 65 °F (18 °C), or it freezes outside")
    desk.key("1", ".")
    assert "urgency raised" in desk.notes
    assert "Yes, or maybe" not in desk.notes + desk.tab.locator("#path").inner_text()
    assert "below 65" not in desk.notes


def test_blinks_are_tapped_along_with_the_voice(desk, ways):
    trail, _ = some_trail(ways, lambda p: p.finding == "light-count", root="blinking-light")
    resume(desk, ways, trail)
    for _ in range(3):
        for blink in range(4):
            desk.tab.keyboard.down(" ")
            desk.tab.clock.run_for(150)
            desk.tab.keyboard.up(" ")
            desk.tab.clock.run_for(2500 if blink == 3 else 450)
    assert desk.tab.locator("#step .count").inner_text() == "4 blinks"
    assert "Choose that below." in desk.tab.locator("#step .tap").inner_text()
    title = desk.title
    desk.key("4")
    assert desk.title != title


# ---- keys ----


def test_a_key_pressed_twice_in_haste_answers_once(desk):
    desk.greet("no heat")
    desk.tab.clock.run_for(GUARD)
    key = desk.answers()["None of these"]
    desk.tab.keyboard.press(key)
    title = desk.title
    desk.tab.keyboard.press("1")
    assert desk.title == title


def test_keys_can_be_turned_off(desk):
    desk.tab.locator("#facts summary").click()
    desk.tab.locator("#keys-on").uncheck()
    desk.tab.locator("#step h1").focus()
    desk.key("2")
    assert desk.title == "First words of every call"
    desk.tab.locator("#step .choices button").nth(1).click()
    assert desk.title == "Who, and where"


def test_every_answer_of_every_page_has_a_key_of_its_own(desk):
    clashes = desk.tab.evaluate(
        """() => stepstop.calls.bodies.filter(({ answers }) => answers &&
          (answers.filter(([, kind]) => !kind).length > 15 ||
           answers.filter(([, kind]) => kind === 1).length > 1 ||
           answers.filter(([, kind]) => kind === 2).length > 1)).map(({ title }) => title)"""
    )
    assert clashes == []


# ---- the notes ----


def test_notes_as_json_fit_their_published_form(desk, ways):
    call = some_call(ways, "no-cooling", seed=5)
    desk.greet("no cooling")
    desk.walk(call.walked)
    expect(desk.tab.locator("#notes")).to_have_value(re.compile("RANKED BY"))
    desk.tab.context.grant_permissions(["clipboard-read", "clipboard-write"])
    desk.key("d")
    expect(desk.tab.locator("#step .notes [role=status]")).to_have_text("Copied.")
    data = json.loads(desk.tab.evaluate("navigator.clipboard.readText()"))
    Draft202012Validator(SCHEMA, format_checker=FormatChecker()).validate(data)
    assert data["complaint"] == {"tree": "no-cooling", "title": said_title(ways, "no-cooling")}
    assert data["caller"]["number"] == "202 555 0100"
    assert data["caller"]["at-the-house"] is True
    asked = [page for page, _ in call.walked if page.step.kind != "note"]
    assert [each["question"] for each in data["answers"]] == [said(headline(p)) for p in asked]
    assert data["causes"]
    desk.key("c")
    assert desk.tab.evaluate("navigator.clipboard.readText()").startswith("Notes of a call")


def said_title(ways, tree):
    return said(ways.course.library.trees[tree].title)


def test_a_danger_at_the_first_words_has_notes_in_the_published_form(desk):
    desk.key("1")
    desk.answer("A CO alarm sounds, or it did and stopped or was silenced")
    desk.tab.context.grant_permissions(["clipboard-read", "clipboard-write"])
    desk.key("d")
    expect(desk.tab.locator("#step .notes [role=status]")).to_have_text("Copied.")
    data = json.loads(desk.tab.evaluate("navigator.clipboard.readText()"))
    Draft202012Validator(SCHEMA, format_checker=FormatChecker()).validate(data)
    assert data["complaint"] is None
    assert data["end"]["kind"] == "danger"


def test_an_unfinished_call_is_not_left_without_a_warning(browser, sites):
    context = browser.new_context()
    tab = context.new_page()
    asked = []

    def told(dialog):
        asked.append(dialog.type)
        dialog.accept()

    tab.on("dialog", told)
    tab.goto(sites["real"].url("call.html"))
    expect(tab.locator("#step h1")).to_be_visible()
    tab.goto(sites["real"].url("index.html"))
    assert asked == []
    tab.goto(sites["real"].url("call.html"))
    tab.locator("#step .choices button").nth(1).click()
    tab.goto(sites["real"].url("index.html"))
    assert asked == ["beforeunload"]
    context.close()


def test_without_a_script_it_leads_to_the_question_pages(browser, sites):
    context = browser.new_context(java_script_enabled=False)
    tab = context.new_page()
    tab.goto(sites["real"].url("call.html"))
    assert not tab.locator("#desk").is_visible()
    tab.get_by_role("link", name="Start with the list").click()
    assert tab.url == sites["real"].url("index.html")
    context.close()


def test_the_schema_is_one(ways):
    Draft202012Validator.check_schema(SCHEMA)
    assert Path(REAL.parent / "content" / "call-notes.schema.json").is_file()


def test_how_calls_ended_can_be_saved_as_numbers(desk, ways):
    ended = []
    for seed in (1, 1, 2):
        call = some_call(ways, "no-heat", seed=seed)
        desk.greet("no heat")
        desk.walk(call.walked)
        ended.append(said(call.end.outcome.title))
        desk.tab.once("dialog", lambda dialog: dialog.accept())
        desk.key("a")
    desk.key("1")
    desk.answer("I smell gas, rotten eggs or strong exhaust")
    desk.tab.once("dialog", lambda dialog: dialog.accept())
    desk.key("a")
    assert desk.tab.locator("#tally-count").inner_text() == "4"
    with desk.tab.expect_download() as download:
        desk.tab.locator("#tally-save").click()
    rows = list(csv.reader(Path(download.value.path()).read_text("utf-8").splitlines()))
    title = said_title(ways, "no-heat")
    wanted = {(title, "call", end): ended.count(end) for end in ended}
    wanted[("", "danger", "Go out now")] = 1
    assert rows[0] == ["complaint", "kind", "ending", "calls"]
    assert {tuple(row[:3]): int(row[3]) for row in rows[1:]} == wanted


@pytest.mark.parametrize("which", ["health", "before"])
def test_answers_of_a_code_can_be_changed_and_health_is_asked_again(desk, ways, which):
    trail, _ = some_trail(ways, lambda page: page.finding == "thermostat-power")
    resume(desk, ways, trail)
    lines = desk.path()
    health = [number for number, (_, answer) in enumerate(lines) if answer == "asked, not kept"]
    assert health == [2]
    desk.tab.locator("#path li button").nth(health[0] - (which == "before")).focus()
    desk.key("Enter")
    if which == "before":
        desk.answer("None of these")
        assert desk.title == lines[health[0]][0]
    for text in ("No, nobody like that", "In between"):
        desk.answer(text)
    desk.answer("Yes, it takes batteries")
    desk.key(".")
    assert "urgency not raised" in desk.notes


def test_a_danger_told_by_changing_an_answer_is_in_the_notes(desk):
    desk.greet("no heat")
    desk.answer("None of these")
    desk.tab.locator("#path li button").nth(1).focus()
    desk.key("Enter")
    desk.answer("A smoke alarm or gas detector sounds")
    assert "Danger, as answered: A smoke alarm or gas detector sounds" in desk.notes
