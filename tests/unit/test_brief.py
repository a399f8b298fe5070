"""What a brief tells of answers, in which order, and how each is marked."""

import re

import pytest

from stepstop.brief import TITLES, brief
from stepstop.model import BRIEF_FIELDS
from stepstop.trail import Trail, Ways
from unit.test_trail import drawn


@pytest.fixture(scope="module")
def ways(course):
    return Ways(course)


def as_written(text):
    return str(text)


def answered(ways, root, *says, done=frozenset()):
    """The brief of a walk from `root` that gives answers which begin like `says`, in turn."""
    here, words = ways.roots[root], []
    for say in says:
        options = [w for w in ways.by_page[here] if w.answer and w.answer.say.startswith(say)]
        # What is asked of people has no answers here, only what follows from them.
        found = options or [w for w in ways.by_page[here] if w.word == say]
        assert len(found) == 1, (here, say, ways.by_page[here])
        words.append(found[0].word)
        here = found[0].to
    return brief(ways, ways.follow(Trail(root, tuple(words), done)), as_written)


FAN = (
    "None of these",
    "vH4Ta",
    "Like the room, or cold",
    "The house wires, no",
    "Numbers and words, as",
    "AUTO",
)
"""A fan that never stops, up to the test with the thermostat off; nobody is at risk."""


def lines(found, part):
    return dict(found.parts).get(TITLES[part], ())


def test_no_answer_tells_the_complaint_alone(ways):
    found = brief(ways, ways.follow(Trail("fan-never-stops", ())), as_written)
    assert found.fails == str(ways.course.library.trees["fan-never-stops"].title)
    assert (found.danger, found.parts, found.tried) == ("", (), ())
    assert list(found.missing) == [TITLES[name] for name in BRIEF_FIELDS if name != "other"]


def test_in_another_language_every_phrase_is_put_into_its_words(ways):
    for trail in drawn(ways, 200, seed=10):
        followed = ways.follow(trail)
        plain = brief(ways, followed, as_written)
        found = brief(ways, followed, as_written, lambda phrase: f"<{phrase}>")
        assert [title for title, _ in found.parts] == [f"<{title}>" for title, _ in plain.parts]
        assert found.missing == tuple(f"<{title}>" for title in plain.missing)
        told = [line for _, each in found.parts for line in each if not line.startswith("<")]
        assert all(re.search(r" \[<[^>]+>\]( “|$)", line) for line in told)


def test_each_fact_is_marked_with_how_it_is_known(ways):
    found = answered(ways, "fan-never-stops", *FAN)
    assert "“None of these”" in found.danger
    said = "“The house wires, no batteries”"
    [power] = [line for line in lines(found, "thermostat") if said in line]
    assert power.endswith((f"[told] {said}", f"[seen] {said}"))
    marks = re.findall(r"\[([^\]]*)\]", "\n".join(line for _, part in found.parts for line in part))
    assert {"told", "seen"} & set(marks)


def test_what_could_not_be_told_says_why_and_has_no_value(ways):
    told = answered(ways, "fan-never-stops", *FAN[:2], "I'm not sure: it may be hot")
    [line] = lines(told, "air")
    about = ways.course.library.catalogue.findings["grille-air"].about
    assert line == f"{about} [not checked: could not tell] “I'm not sure: it may be hot”"


def test_a_check_that_was_not_done_is_told_and_settles_nothing(ways):
    not_done = answered(ways, "fan-never-stops", *FAN, "I can't do this now")
    stopped = answered(ways, "fan-never-stops", *FAN, "The fan has stopped")
    assert not_done.tried == (
        stopped.tried[0].replace("The fan has stopped", "I can't do this now"),
    )
    text = "\n".join(line for _, part in not_done.parts for line in part)
    assert "[not checked: not done] “I can't do this now”" in text
    assert text.count("[inferred]") <= str(stopped.parts).count("[inferred]")


def test_nothing_told_of_health_is_in_it_but_the_urgency(ways):
    calm = answered(ways, "fan-never-stops", *FAN)
    urgent = answered(ways, "fan-never-stops", "None of these", "S8Gqv", *FAN[2:])
    assert lines(calm, "people") == ("asked, not kept here; urgency not raised",)
    assert lines(urgent, "people") == ("asked, not kept here; urgency raised: call first",)
    findings = ways.course.library.catalogue.findings.values()
    secret = [str(f.about) for f in findings if f.health]
    assert secret
    for trail in drawn(ways, 300, seed=4):
        found = brief(ways, ways.follow(trail), as_written)
        assert not [about for about in secret if about in str(found.parts)]


def test_what_was_done_once_is_told_even_where_this_walk_did_not_ask_for_it(ways):
    found = answered(ways, "fan-never-stops", *FAN, done=frozenset({"restarts"}))
    about = ways.course.library.catalogue.effects["restarts"].about
    assert lines(found, "electrical")[-1] == f"{about} [done on this visit]"


def test_parts_keep_their_order_and_what_is_missing_is_the_rest(ways):
    order = list(TITLES.values())
    for trail in drawn(ways, 300, seed=3):
        found = brief(ways, ways.follow(trail), as_written)
        titles = [title for title, each in found.parts if each]
        assert titles == sorted(titles, key=order.index)
        assert set(found.missing) == set(order) - set(titles) - {TITLES["other"]}


def test_words_are_filled_for_a_place(ways):
    found = brief(ways, ways.follow(next(drawn(ways, 1, seed=9))), lambda text: "filled")
    assert found.fails == "filled"
