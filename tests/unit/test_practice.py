"""A practice call: what the caller says, what the agent may press, and what is told at its end."""

import re
import shutil
from pathlib import Path

import pytest

from stepstop.edition import edition_for
from stepstop.practice import MANNERS
from stepstop.practice.account import GUESSED, MISHEARD, MISLED, RIGHT, UNTOLD, Entry
from stepstop.practice.caller import CallerOnLine, NobodySuch, Told
from stepstop.practice.line import practice
from stepstop.practice.words import HEDGE, HINT, PLAIN, UNKNOWN, Words
from unit.rehearsed import CALLERS, HOUSES, House, bench, write
from unit.terminal import Terminal

VAGUE = "Hm, hard to say."
ENDINGS = Path(__file__).parents[1] / "site" / "more" / "shared" / "endings.yml"
HEAR = (
    "    hear: [{they-say: It is just a chill, is: no, may-be: no heat at all, ask: How warm?}]\n"
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    trees = write(tmp_path_factory.mktemp("practice") / "trees")
    shutil.copy(ENDINGS, trees / "shared" / "endings.yml")
    calls, findings = trees / "catalogue" / "calls.yml", trees / "catalogue" / "findings.yml"
    calls.write_text(calls.read_text("utf-8") + f'\n  hedges: ["{VAGUE}"]\n', "utf-8")
    text = findings.read_text("utf-8")
    about = "    about: heat after the check\n"
    assert about in text
    findings.write_text(text.replace(about, about + HEAR), "utf-8")
    return trees


@pytest.fixture(scope="module")
def world(folder):
    return bench(folder)


@pytest.fixture(scope="module")
def edition(world, folder):
    return edition_for(world.journey.course, folder, environ={"SOURCE_DATE_EPOCH": "1800000000"})


@pytest.fixture(scope="module")
def call(world, edition):
    """Hold a call with these keys."""

    def held(*typed, **wanted):
        terminal = Terminal(*typed)
        practice(world, edition, ask=terminal.ask, say=terminal.say, **{"seed": 1, **wanted})
        assert terminal.typed == []
        return terminal.text

    return held


def account(text):
    """What is told at the end, on one line."""
    return " ".join(text.split("-- What was so ")[1].split())


def meaning(text):
    """The number of the answer that the caller said last in its very words."""
    page = text.split("\n-- ")[-1]
    said = re.findall(r"^The caller(?:, asked again)?: “(.*)”$", page, re.MULTILINE)[-1]
    return next(
        (n for n, t in re.findall(r"^ +(\d)  (.*)$", page, re.MULTILINE) if t == said), None
    )


class Agent(Terminal):
    """Takes the first complaint, and then what was said; asks again where it is no answer."""

    def ask(self, prompt):
        if prompt.startswith("1 to 1,"):
            return "1"
        return meaning(self.text) or "a"


def led(world, edition, **wanted):
    agent = Agent()
    practice(world, edition, ask=agent.ask, say=agent.say, **wanted)
    return agent.text


# ---- one call, key by key ----


def test_it_begins_with_danger_and_the_callers_own_words(call):
    text = call("q", cause="setting", manner="right")
    first = text.split("-- What was so ")[0]
    assert "Say:\n  - “Any smell of gas, or an alarm?”" in first
    assert "The caller: “No, nothing like that.” “no heat”" in first
    assert "   1  The heat is out" in first
    assert first.endswith("You ended the practice here.\n\n")


def test_a_page_has_the_script_the_callers_words_and_numbered_answers(call):
    page = call("1", "2", "2", "3", "q", cause="setting", manner="right").split("\n-- ")[5]
    assert page.startswith("set-heat ---")
    assert "Say:\n  - “Set the heat above the room.”" in page
    assert re.search(r"The caller: “.*”\n\n   1  Heat comes\n   2  No heat comes\n   3  I'm", page)


def test_the_end_tells_the_cause_the_caller_and_the_right_end(call):
    told = account(call("1", "2", "2", "3", "q", cause="board", manner="right", seed=3))
    assert "What was wrong: control board. For the caller: The furnace's own control" in told
    assert "What could hurt while it is there: none." in told
    assert "They called about: The heat is out." in told
    assert "The call has no end: nobody was told what to do." in told
    assert "With every answer as it was, it ends with: Stop here and call." in told
    assert "The same caller again: --seed 3 --caller right" in told


def test_nothing_is_told_of_answers_where_none_was_taken(call):
    told = account(call("q"))
    assert "answers" not in told
    assert "end" not in told.split("The same caller")[0]


@pytest.mark.parametrize("wrong", ["", "0", "4", "x", "1 2", "²", "9" * 999])
def test_what_is_no_choice_is_told_and_asked_again(call, wrong):
    assert call(wrong, "1", wrong, "q").count("That is none of the choices.") == 2


def test_back_goes_one_page_and_forgets_its_answer(call):
    text = call("1", "2", "b", "2", "2", "3", "b", "b", "b", "q", cause="setting", manner="right")
    assert re.findall(r"^-- (\S+) ", text, re.MULTILINE)[1:-1] == [
        "screen.smell",
        "screen.bang",
        "screen.smell",
        "screen.bang",
        "screen.water",
        "set-heat",
        "screen.water",
        "screen.bang",
        "screen.smell",
    ]
    assert "Your answers" not in account(text)


def test_danger_is_one_key_away_and_leads_back(call):
    text = call("1", "2", "d", "b", "q", cause="setting", manner="right")
    assert re.findall(r"^-- (\S+) ", text, re.MULTILINE)[2:5] == [
        "screen.bang",
        "screen.smell",
        "screen.bang",
    ]


def test_danger_before_a_complaint_goes_on_to_the_list(call):
    text = call("d", "2", "2", "3", "1", "q", cause="setting", manner="right")
    assert text.count("Choose what they call about") == 2


def test_what_may_be_heard_is_shown_on_demand(call):
    text = call("1", "h", "2", "2", "3", "h", "q", cause="setting", manner="right")
    assert "Nothing is noted here." in text
    assert "“It is just a chill” may be: no heat at all. Ask: “How warm?”" in text


def test_input_that_ends_before_the_call_is_told(world, edition):
    terminal = Terminal("1")
    with pytest.raises(SystemExit) as ended:
        practice(world, edition, seed=1, ask=terminal.ask, say=terminal.say)
    assert ended.value.code == 1
    assert terminal.text.endswith("The practice is not complete.\n")


# ---- how callers tell things ----


def test_a_right_caller_who_is_heard_right_ends_as_true_answers_do(world, edition):
    for seed in range(25):
        text = account(led(world, edition, manner="right", seed=seed))
        assert "You took every answer as it was told, and it was so." in text
        assert "With every answer as it was" not in text
        assert "MISLED" not in text


def test_a_vague_caller_tells_it_once_asked_again(world, edition):
    hedged = 0
    for seed in range(25):
        text = led(world, edition, manner="vague", seed=seed)
        hedged += VAGUE in text
        assert "MISLED" not in text
        for said, then in re.findall(r"“(Hm, hard to say\.)”(?s:.*?)asked again: “(.*?)”", text):
            assert said
            assert then != VAGUE
    assert hedged > 15


def test_a_misleading_caller_says_once_what_is_not_so(world, edition):
    for seed in range(25):
        caller = CallerOnLine(world, "misleading", {}, seed=seed)
        number, misled = world.journey.roots[caller.first.complaint], False
        told_call = caller.call_anew()
        while world.journey.nodes[number].options:
            told = caller.tell(told_call, number)
            misled = misled or told.misleads
            number = caller.pick(told_call, number, told.said)
        assert misled


def test_words_that_mislead_are_found_out_by_asking_again(world, edition):
    texts = [led(world, edition, manner="misleading", seed=seed) for seed in range(60)]
    chilled = [text for text in texts if "It is just a chill" in text]
    assert chilled
    for text in chilled:
        assert "The caller: “It is just a chill”" in text
        assert "asked again: “No heat comes”" in text


def test_the_same_seed_is_the_same_call(world, edition):
    for manner in MANNERS:
        assert led(world, edition, manner=manner, seed=7) == led(
            world, edition, manner=manner, seed=7
        )
    calls = {led(world, edition, manner="right", seed=seed) for seed in range(12)}
    assert len(calls) > 4


def test_any_manner_is_drawn_and_told_so_that_it_can_be_had_again(world, edition):
    drawn = set()
    for seed in range(12):
        text = led(world, edition, manner="any", seed=seed)
        manner = re.search(r"--caller (\w+)", text)[1]
        drawn.add(manner)
        assert led(world, edition, manner=manner, seed=seed) == text
    assert drawn == set(MANNERS)


def test_without_a_seed_one_is_drawn(world, edition):
    seeds = {re.search(r"--seed (\d+)", led(world, edition, seed=None))[1] for _ in range(6)}
    assert len(seeds) > 1


def test_asked_the_same_again_they_tell_the_same(world):
    for seed in range(20):
        caller = CallerOnLine(world, "misleading", {}, seed=seed)
        for number, node in enumerate(world.journey.nodes):
            if node.options:
                call = caller.call_anew()
                first = caller.tell(call, number)
                assert all(caller.tell(caller.call_anew(), number) == first for _ in range(5))
                assert caller.tell(call, number) == first


def test_callers_tell_what_their_house_shows(world):
    """Drawn often, accurate callers answer as the table of houses says."""
    heats = [n for n, node in enumerate(world.journey.nodes) if node.page.finding == "bang"]
    for seed in range(30):
        caller = CallerOnLine(world, "right", {}, seed=seed)
        told = caller.tell(caller.call_anew(), heats[0])
        assert world.journey.nodes[heats[0]].options[told.true].values == ("no",)


def test_every_cause_can_be_had_and_all_come_up(world):
    for house in HOUSES:
        caller = CallerOnLine(world, "right", {}, seed=2, cause=house.cause)
        assert caller.case.cause == house.cause
    drawn = {CallerOnLine(world, "right", {}, seed=seed).case.cause for seed in range(60)}
    assert drawn == {house.cause for house in HOUSES}


def test_nobody_is_drawn_who_cannot_be(folder):
    certain = bench(folder, houses=(House("leak", "a", 1.0, tells={"gas-smell": "yes"}),))
    assert CallerOnLine(certain, "misleading", {}, seed=1).case.cause == "leak"
    with pytest.raises(NobodySuch, match="no simulated house has `board`"):
        CallerOnLine(certain, "vague", {}, seed=1, cause="board")


def test_nobody_errs_where_nobody_may(folder, tmp_path):
    calm = write(
        tmp_path / "trees", callers=re.sub("(unsure|mistaken): [0-9.]+", r"\1: 0", CALLERS)
    )
    with pytest.raises(NobodySuch, match="nobody about `leak` was vague in 4,000 draws"):
        CallerOnLine(bench(calm), "vague", {}, seed=1, cause="leak")


# ---- how answers went ----

SAME, OTHER = Told(0, 0), Told(0, 1)
"""Option 0 is so; it is told, or another."""


def words(kind, meant):
    return Words("first", "again", kind, meant)


@pytest.mark.parametrize(
    ("told", "said", "asked", "chosen", "went"),
    [
        (SAME, words(PLAIN, 0), False, 0, RIGHT),
        (SAME, words(PLAIN, 0), False, 1, MISHEARD),
        (SAME, words(HINT, 0), False, 0, RIGHT),
        (SAME, words(HINT, 0), False, 1, GUESSED),
        (SAME, words(HINT, 0), True, 1, MISHEARD),
        (SAME, words(HEDGE, 0), False, 0, GUESSED),
        (SAME, words(HEDGE, 0), True, 0, RIGHT),
        (OTHER, words(PLAIN, 1), False, 1, MISLED),
        (OTHER, words(PLAIN, 1), False, 0, MISHEARD),
        (OTHER, words(UNKNOWN, 1), False, 1, UNTOLD),
        (OTHER, words(UNKNOWN, 1), False, 0, MISHEARD),
        (SAME, words(UNKNOWN, 0), False, 0, RIGHT),
        (OTHER, words(HINT, 0), True, 0, RIGHT),
        (OTHER, words(HINT, 0), False, 1, GUESSED),
    ],
)
def test_how_an_answer_went(told, said, asked, chosen, went):
    assert Entry(0, told, said, asked, chosen).went == went


def test_the_first_wrong_answer_is_pointed_out(call):
    text = account(call("1", "2", "2", "3", "3", "3", cause="setting", manner="right", seed=1))
    assert "The way first went wrong at answer" in text
    assert "MISHEARD: they did not say that. So it was:" in text


def test_a_missed_danger_is_told_and_the_right_end_named(call):
    text = account(call("1", "2", "2", "3", "2", "2", cause="leak", manner="right", seed=2))
    assert "smells little" not in text
    assert "A sign of danger was there to tell" in text
    assert "Best is: leave and call for help; at the latest: now. Why: out at once." in text


def test_a_right_end_says_why(call):
    text = account(call("1", "1", cause="leak", manner="right", seed=2))
    assert "Your call ended with:" in text
    assert "That is right: out at once." in text


def test_no_line_is_wider_than_a_terminal(world, edition):
    for seed in range(10):
        for line in led(world, edition, seed=seed).splitlines():
            assert len(line) <= 79
