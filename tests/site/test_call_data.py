"""What an agent's page says: every page of the course, as speech."""

import json
import re

import pytest

from browser.sites import REAL, course_of, site_of
from stepstop.model import NOT_DONE, UNSURE
from stepstop.pages.spoken import CAN_NOT, NOT_SURE, SURE
from stepstop.pages.step import choices
from stepstop.schema import BREATH
from stepstop.trail import Ways


@pytest.fixture(scope="module")
def data():
    text = site_of(REAL)["calls.js"].decode()
    return json.loads(text[text.index(" = ") + 3 :].rstrip().removesuffix(";"))


@pytest.fixture(scope="module")
def ways():
    return Ways(course_of(REAL))


def texts(data):
    """Every text that is said, with the title of its page."""
    for body in data["bodies"]:
        for name in ("say", "do", "before", "stop", "never", "outside"):
            for text in body.get(name, ()):
                yield body["title"], text


def test_every_page_is_there_with_its_answers_their_words_and_where_they_lead(data, ways):
    number = {page: i for i, page in enumerate(ways.by_page)}
    assert len(data["pages"]) == len(number) == len(ways.pages)
    for page_id, here in number.items():
        page, row = ways.pages[page_id], data["pages"][here]
        body = data["bodies"][row[0]]
        if page.step is None:
            assert len(row) == 1
            assert body["kind"] == page.outcome.kind
            continue
        moves = choices(page)
        _, steps, words, done = row
        assert [None if step is None else here + step for step in steps] == [
            number.get(move.to) for move in moves
        ]
        assert [None if word is None else data["words"][word] for word in words] == [
            ways.word_of(page, move.answer, move.to) for move in moves
        ]
        assert done == ways.once_on(page)
        kinds = [NOT_DONE in m.answer.values or 2 * (UNSURE in m.answer.values) for m in moves]
        wanted = [CAN_NOT if kind is True else NOT_SURE if kind else SURE for kind in kinds]
        assert [kind for _, kind in body["answers"]] == wanted


def test_nothing_speaks_of_pages_or_of_the_danger_button(data):
    odd = re.compile(r"\b(?:th(?:is|ese) pages?|danger button|danger list|start page)\b", re.I)
    assert [each for each in texts(data) if odd.search(each[1])] == []
    assert sum(1 for _ in texts(data)) > 1000


def test_what_is_said_fits_into_a_breath_or_is_cut_by_a_full_stop(data):
    long = [
        (title, sentence)
        for title, text in texts(data)
        for sentence in re.split(r"(?<=[.?!:])\s", text)
        if len(sentence.split()) > BREATH
    ]
    assert long == []


def test_a_danger_is_said_with_its_first_words_and_its_number_outside_only(data, ways):
    for body in data["bodies"]:
        if body["kind"] == "danger":
            spoken = ways.course.library.catalogue.calls.spoken
            assert body["say"][0] == spoken(f"{body['title']}.")
            if "outside" in body:
                assert not any("911" in text for text in body["say"])


def test_what_callers_say_stands_beside_the_question_that_it_is_about(data, ways):
    findings = ways.course.library.catalogue.findings
    number = {page: i for i, page in enumerate(ways.by_page)}
    shown = set()
    for page_id, page in ways.pages.items():
        heard = findings[page.finding].hear if page.finding else ()
        rows = data["bodies"][data["pages"][number[page_id]][0]].get("hear", [])
        assert [row[0] for row in rows] == [str(each.they_say) for each in heard]
        shown |= {page.finding} if heard else set()
    assert shown == {finding.id for finding in findings.values() if finding.hear}
    assert len(shown) >= 20


def test_an_order_of_its_own_for_speech_replaces_what_is_written(data, ways):
    steps = {id(p.step): p.step for p in ways.pages.values() if p.step and p.step.speak}
    said = {text for _, text in texts(data)}
    assert len(steps) >= 10
    for step in steps.values():
        assert set(map(str, step.speak)) <= said


def test_the_file_is_small_enough_to_be_had_at_once(data):
    import gzip

    assert len(gzip.compress(site_of(REAL)["calls.js"], 9)) < 160_000
