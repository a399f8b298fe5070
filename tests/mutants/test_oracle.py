"""The oracle by itself: pages written by hand, each with one harm or none."""

import ast
import sys
from pathlib import Path

import pytest

from mutants import oracle
from mutants.oracle import ITEMS, harms, seen

STOP = '<p class="stop"><a href="end.html#on">Stop here and call</a></p>'


def page(title, *answers, do=(), look=(), stop=STOP):
    """A question, or with `do` a check."""
    listed = "".join(f'<li><a href="{to}"><span>{text}</span></a></li>' for text, to in answers)
    todo = f'<section class="do"><ol>{"".join(f"<li>{line}</li>" for line in do)}</ol></section>'
    lines = f'<div class="look">{"".join(f"<p>{line}</p>" for line in look)}</div>'
    body = f'<h1>{title}</h1>{todo if do else ""}{lines}<ul class="answers">{listed}</ul>{stop}'
    return f"<html><head><title>x</title></head><body><main>{body}</main></body></html>".encode()


def ending(title="Stop here and call", *, soon="today", say="It is out.", left="Leave it", do=""):
    call = f'<section class="call"><h2>Call</h2><p class="say">{say}</p></section>' if say else ""
    state = (
        f'<section class="left"><p>{left}</p></section>'
        if left
        else '<section class="left"></section>'
    )
    urgency = f'<p class="soon today"><b>How soon: {soon}.</b> Call.</p>' if soon else ""
    todo = f'<section class="do"><ul><li>{do}</li></ul></section>' if do else ""
    return f"<main><h1>{title}</h1>{urgency}{call}{todo}{state}{STOP}</main>".encode()


def alarm(title, do="Take everyone.", after=""):
    todo = f'<div class="do"><ol><li>{do}</li></ol></div>' if do else ""
    gate = (
        '<ul class="answers gate"><li><a href="#away">I am outside</a></li></ul>' if after else ""
    )
    left = '<section class="left"><p>Do not touch it</p></section>'
    rest = f'<section id="away"><p>{after}</p>{left}</section>' if after else left
    return f'<main><div class="alarm"><h1>{title}</h1>{todo}</div>{gate}{rest}</main>'.encode()


DANGERS = [
    ("I smell gas, rotten eggs or strong exhaust", "out.html"),
    ("A CO alarm sounds", "out.html"),
    ("Someone is ill, dizzy, sleepy or confused", "out.html"),
    ("I see smoke, flame or sparks", "out.html"),
    ("It starts with a bang", "end.html"),
    ("A generator, grill or car runs indoors", "out.html"),
    ("A smoke alarm or gas detector sounds", "out.html"),
    ("Water touches wires", "away.html"),
    ("Some lights are far too bright", "away.html"),
    ("A screen shows a leak message", "away.html"),
]
LAST = [("I'm not sure: ask me one by one", "end.html")]


def screen(to, *, without=()):
    rest = [pair for number, pair in enumerate(DANGERS) if number not in without]
    return page("Is any of this true right now?", *rest, ("None of these", to), *LAST)


def site(first, **pages):
    """What is harmful on a site that begins with `first`, by kind."""
    every = {
        "start.html": first,
        "out.html": alarm("Go out now"),
        "away.html": alarm("Keep away from the water and call"),
        "end.html": ending(),
        **{f"{name}.html": content for name, content in pages.items()},
    }
    return sorted({harm.kind for harm in harms(every, ["start.html"])})


WORKING = "Is anyone working on it, or does a tag or lock hang on a switch?"
TRIED = "Since it failed, has anyone reset a breaker, or switched it off and on?"
READY = "Is all of this true for you?"
DOUBT = ("I'm not sure", "end.html")
ON = ["Push the handle fully to OFF, then fully to ON."]
CUT = ["Turn the unit's own switch to OFF."]
BACK = ["Turn the switch that you turned off back to ON."]
LIGHT = ["Look for a small round window in the metal front."]
ASKED = {
    "working": page(WORKING, ("Yes, or maybe", "end.html"), ("No, nobody", "tried.html"), DOUBT),
    "tried": page(TRIED, ("Yes", "end.html"), ("No, nobody has", "ready.html"), DOUBT),
    "ready": page(READY, ("Yes, all of it", "reset.html"), ("No", "end.html"), DOUBT),
}
"""What is asked before a breaker is reset."""
TAIL = [("I'm not sure", "end.html"), ("I can't do this", "end.html")]


def reset(to="end.html"):
    return page("Reset that one breaker, once", ("It runs now", to), *TAIL, do=ON)


def test_a_site_that_asks_all_first_is_without_harm():
    assert site(screen("working.html"), **ASKED, reset=reset()) == []


def test_a_page_is_read_by_its_parts():
    found = seen(page("Is it dark?", ("Yes", "a.html"), DOUBT, look=["Look from where you are."]))
    assert found.title == "Is it dark?"
    assert (found.answers[0].text, found.answers[0].to) == ("Yes", "a.html")
    assert found.look == ("Look from where you are.",)
    assert found.has_stop
    assert not found.is_end
    end = seen(ending(do="Keep warm."))
    assert (end.is_end, end.has_call, end.say, end.do) == (
        True,
        True,
        ("It is out.",),
        ("Keep warm.",),
    )


@pytest.mark.parametrize("missing", range(len(DANGERS)))
def test_a_danger_that_nobody_was_asked_about(missing):
    found = site(screen("working.html", without=(missing,)), **ASKED, reset=reset())
    assert found == ["not-ruled-out"]


@pytest.mark.parametrize("question", ["working", "tried", "ready"])
def test_a_question_that_was_left_out(question):
    order = ["working", "tried", "ready", "reset"]
    after = order[order.index(question) + 1]
    pages = {
        name: content.replace(f"{question}.html".encode(), f"{after}.html".encode())
        for name, content in ASKED.items()
        if name != question
    }
    first = screen(f"{after}.html" if question == "working" else "working.html")
    assert site(first, **pages, reset=reset()) == ["not-ruled-out"]


def test_a_second_reset():
    again = page("Reset it once more", ("It runs", "end.html"), *TAIL, do=ON)
    assert site(screen("working.html"), **ASKED, reset=reset("again.html"), again=again) == [
        "done-twice"
    ]


def test_all_is_well_after_a_reset():
    well = ending("It works", say="")
    assert site(screen("working.html"), **ASKED, reset=reset("well.html"), well=well) == [
        "solved-after-reset"
    ]


def test_the_light_is_read_after_the_power_was_cut():
    pages = {
        "working": page(WORKING, ("Yes", "end.html"), ("No", "off.html"), DOUBT),
        "off": page("Switch it off", ("It is off", "light.html"), *TAIL, do=CUT),
        "light": page("Read the light", ("It blinks", "end.html"), *TAIL, do=LIGHT),
    }
    assert site(screen("working.html"), **pages) == ["light-after-cut"]
    pages["off"] = page("Switch it off", ("It is off", "back.html"), *TAIL, do=CUT)
    pages["back"] = page("Switch it back on", ("It runs", "light.html"), *TAIL, do=BACK)
    assert site(screen("working.html"), **pages) == []


@pytest.mark.parametrize(
    ("first", "kinds"),
    [
        (page("What is it?", ("Yes", "end.html")), []),
        (page("What is it?", ("Yes", "end.html"), ("No", "end.html")), ["no-answer-for-doubt"]),
        (page("What is it?", ("Yes", "gone.html"), DOUBT), ["leads-nowhere"]),
        (page("What is it?"), ["dead-end"]),
        (page("What is it?", ("Yes", "start.html"), DOUBT), ["endless"]),
        (page("What is it?", ("Yes", "end.html"), DOUBT, stop=""), ["no-way-to-stop"]),
        (
            page("What is it?", ("Yes", "end.html"), DOUBT, look=["Pull the panel off."]),
            ["told-outside-a-check"],
        ),
        (
            page("What is it?", ("Yes", "end.html"), DOUBT, look=["Then change the fuse."]),
            ["forbidden"],
        ),
        (
            page("Do you smell gas, rotten eggs or strong exhaust?", ("Yes", "end.html"), DOUBT),
            ["not-told-to-leave"],
        ),
        (
            page("Are some lights far too bright?", ("Yes", "end.html"), ("No", "end.html"),
                 ("I'm not sure", "away.html")),
            ["not-kept-away"],
        ),
    ],
)  # fmt: skip
def test_single_pages(first, kinds):
    assert site(first) == kinds


@pytest.mark.parametrize(
    ("last", "kinds"),
    [
        (ending(), []),
        (ending(soon=""), ["how-soon-not-said"]),
        (ending(say=" "), ["nothing-to-say"]),
        (ending(left=""), ["state-not-said"]),
        (ending(do="Jumper the two wires."), ["forbidden"]),
        (alarm("Go out now", do=""), ["nothing-to-do"]),
        (alarm("Go out now", after="Call <a href='tel:911'>911</a>."), []),
        (
            alarm("Go out now", do="Call <a href='tel:911'>911</a>.", after="Wait."),
            ["number-before-out"],
        ),
    ],
)
def test_single_endings(last, kinds):
    first = page("What is it?", ("It is odd", "last.html"), ("I'm not sure", "last.html"))
    assert site(first, last=last) == kinds


def test_danger_that_goes_on():
    first = page("Do you smell gas, rotten eggs or exhaust?", ("Yes", "more.html"), DOUBT_OUT)
    more = page("What is it?", ("Odd", "end.html"), DOUBT)
    assert site(first, more=more) == ["danger-goes-on"]


DOUBT_OUT = ("I'm not sure", "out.html")


def test_doubt_that_leads_to_more_or_ends_later():
    still = page("And then?", ("Odd", "end.html"), DOUBT)
    first = page("Is it so?", ("Yes", "still.html"), ("I'm not sure", "heat.html"))
    heat = page("Ask for heat", ("Heat", "end.html"), *TAIL, do=["Set the mode to HEAT."])
    assert site(first, still=still, heat=heat) == ["doubt-leads-to-more", "not-ruled-out"]
    late = page("And then?", ("Odd", "late-end.html"), ("I'm not sure", "late-end.html"))
    pages = {"late-end": ending(soon="can wait"), "still": still, "late": late}
    for sure in ("still.html", "end.html"):
        first = page("Is it so?", ("Yes", sure), ("I'm not sure", "late.html"))
        assert site(first, **pages) == ["doubt-leads-later"]
    first = page("Is it so?", ("It works", "well.html"), ("I'm not sure", "late.html"))
    assert site(first, **pages, well=ending("It works", say="")) == []


STILL = page("And then?", ("Odd", "end.html"), DOUBT)
LATER = page("And later?", ("Odd", "late-end.html"), ("I'm not sure", "late-end.html"))
AGAIN = {"It stays": "still.html", "It ended": "later.html", "I'm not sure": "still.html"}


@pytest.mark.parametrize(
    ("again", "kinds"),
    [
        ({}, []),
        ({"I'm not sure": "later.html"}, ["doubt-leads-later"]),
        ({"It stays": "later.html"}, ["doubt-leads-later"]),
        ({"It ended": "heat.html"}, ["doubt-leads-later", "doubt-leads-to-more", "not-ruled-out"]),
    ],
)
@pytest.mark.parametrize("on", ["again.html", "note.html"])
def test_doubt_that_is_asked_once_more(again, kinds, on):
    """The second answers may lead where the first do, and no further; its own doubt is held."""
    first = {"It ended": "later.html", "It stays": "still.html", "I'm not sure": on}
    pages = {
        "again": page("Look once more. Is it so?", *(AGAIN | again).items()),
        "note": page("Thank you", ("Go on", "again.html")),
        "still": STILL,
        "later": LATER,
        "late-end": ending(soon="can wait"),
        "heat": page("Ask for heat", ("Odd", "late-end.html"), *TAIL, do=["Set it to HEAT."]),
    }
    assert site(page("Is it so?", *first.items()), **pages) == kinds


@pytest.mark.parametrize(
    ("words", "kinds"),
    [
        ("I can't look at it now", []),
        ("I can't set it, or I did all this before", []),
        ("I have no new batteries, or they are new", []),
        ("It is blank. I can't set it", ["doubt-leads-later"]),
        ("It is odd", ["doubt-leads-later"]),
    ],
)
def test_what_could_not_be_done_is_no_sure_answer(words, kinds):
    answers = [("It runs", "later.html"), ("I'm not sure", "later.html"), (words, "still.html")]
    pages = {"still": STILL, "later": LATER, "late-end": ending(soon="can wait")}
    first = page("Look at it", *answers, do=["Look at the screen."])
    assert site(first, **pages) == kinds


def test_what_could_not_be_done_was_not_done():
    """Nobody has switched anything off: whether somebody tried before is to be asked still."""
    off = page("Switch it off", ("I can't reach it", "back.html"), DOUBT, do=CUT)
    back = page("Switch it back on", ("It runs", "end.html"), *TAIL, do=BACK)
    working = page(WORKING, ("Yes", "end.html"), ("No", "off.html"), DOUBT)
    assert site(screen("working.html"), working=working, off=off, back=back) == ["not-ruled-out"]


def test_it_knows_nothing_of_the_generator():
    tree = ast.parse(Path(oracle.__file__).read_text("utf-8"))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(str(node.module).split(".")[0])
    assert names <= sys.stdlib_module_names
    assert len(ITEMS) == 10
