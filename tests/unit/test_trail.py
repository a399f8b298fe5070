"""Trails as links and as numbers to say: each way back again, and what no link may hold."""

import random
import statistics
from dataclasses import replace
from functools import partial

import pytest

from stepstop.model import NOT_DONE
from stepstop.trail import (
    URGENCY_WORDS,
    BadTrail,
    Trail,
    Ways,
    answer_word,
    base36,
    in_groups,
    tree_word,
)

ONCE = ("cycles-power", "recloses-breaker", "restarts")


@pytest.fixture(scope="module")
def ways(course):
    return Ways(course)


def drawn(ways, count, *, seed=1, goes_on=0.97):
    """So many trails, each of any root and of any answers, some of them not gone to their end."""
    draw = random.Random(seed)
    for _ in range(count):
        root = draw.choice(list(ways.roots))
        here, words = ways.roots[root], []
        while ways.by_page[here] and draw.random() < goes_on:
            way = draw.choice(ways.by_page[here])
            words.append(way.word)
            here = way.to
        done = frozenset(each for each in ways.once if draw.random() < 0.1)
        yield Trail(root, tuple(words), done, draw.randrange(40_000_000), draw.randrange(500))


def test_a_link_gives_its_trail_back(ways):
    for trail in drawn(ways, 2000):
        assert ways.read_link(ways.link(trail)) == trail
        assert ways.read_link(ways.link(trail) + "~l") == trail


def test_a_code_gives_its_trail_back_without_the_time(ways):
    for trail in drawn(ways, 2000):
        timeless = replace(trail, begun=0, last=0)
        assert ways.read_code(in_groups(ways.code(trail))) == timeless


def test_codes_are_short_enough_to_say(ways):
    lengths = [len(ways.code(trail)) for trail in drawn(ways, 5000)]
    assert statistics.median(lengths) <= 15
    most = max(sum(ways.counts(page)) for page in ways.roots.values())
    assert 2 + 1 + len(str(most - 1)) + 2 <= 20


def test_walks_of_the_usual_length_have_at_most_15_digits(ways):
    """Half of all simulated calls end within 11 pages, most within 20: see the figures' page."""
    for page in ways.roots.values():
        assert 2 + 1 + len(str(sum(ways.counts(page)[:16]))) + 2 <= 15


def wrong_digits(code):
    for i, digit in enumerate(code):
        for other in "0123456789":
            if other != digit:
                yield code[:i] + other + code[i + 1 :]


def swapped_neighbours(code):
    for i in range(len(code) - 1):
        if code[i] != code[i + 1]:
            yield code[:i] + code[i + 1] + code[i] + code[i + 2 :]


@pytest.mark.parametrize("mistakes", [wrong_digits, swapped_neighbours])
def test_every_wrong_digit_and_every_swap_of_neighbours_is_caught(ways, mistakes):
    tried = 0
    for trail in drawn(ways, 300, seed=2):
        for code in mistakes(ways.code(trail)):
            tried += 1
            with pytest.raises(BadTrail):
                ways.read_code(code)
    assert tried > 1000


def test_every_number_below_the_count_is_one_trail_and_no_other_is(ways):
    root = "burning-smell"
    count = sum(ways.counts(ways.roots[root]))
    codes = {ways.code(Trail(root, ways._unplaced(root, place))) for place in range(count)}
    assert len(codes) == count
    with pytest.raises(BadTrail, match="no such code"):
        ways._unplaced(root, count)


def test_counts_are_those_of_all_trails_written_out(ways):
    def longer(page):
        yield 0
        for way in ways.by_page[page]:
            yield from (1 + more for more in longer(way.to))

    for root in ("burning-smell", "gas-smell", "noise", "one-room"):
        page = ways.roots[root]
        found = list(longer(page))
        assert [found.count(k) for k in range(max(found) + 1)] == ways.counts(page)


def test_a_code_of_other_trees_is_not_taken(ways):
    other = Ways(ways.course)
    other.__dict__["version"] = "AAAAA"
    taken = 0
    for trail in drawn(ways, 500, seed=3):
        try:
            other.read_code(ways.code(trail))
            taken += 1
        except BadTrail:
            pass
    assert taken / 500 < 0.03


def test_a_link_of_other_trees_is_recognised(ways):
    link = ways.link(Trail("no-heat")).replace(ways.version, "AAAAA")
    with pytest.raises(BadTrail, match="another edition"):
        ways.read_link(link)


@pytest.mark.parametrize(
    "link",
    [
        "",
        "#on",
        "#away",
        "on=",
        "#on={v}.1.1.0.",
        "#on={v}.1.1.0.abcd",
        "#on={v}.1.1.0.AAAAA",
        "#on={v}.1.1.9.{root}",
        "#on={v}.-1.1.0.{root}",
        "#on={v}.1.1.0.{root}<img src=x onerror=alert(1)>",
        "#on={v}.1.1.0.{root}" + 201 * "AAAAA",
        "#on={v}.111111111.1.0.{root}",
    ],
)
def test_what_is_no_trail_is_refused(ways, link):
    with pytest.raises(BadTrail):
        ways.read_link(link.format(v=ways.version, root=tree_word("no-heat")))


@pytest.mark.parametrize("code", ["", "1", "12345", "99 000 000 000", "12a456", "1" * 31, "٣" * 12])
def test_what_is_no_code_is_refused(ways, code):
    with pytest.raises(BadTrail):
        ways.read_code(code)


def test_an_answer_that_its_page_does_not_have_is_refused(ways):
    with pytest.raises(BadTrail, match="answer 1"):
        ways.follow(Trail("no-heat", ("AAAAA",)))
    with pytest.raises(BadTrail, match="no complaint"):
        ways.follow(Trail("no-such-tree"))


# ---- what a link tells ----


def health_pages(ways):
    findings = ways.course.library.catalogue.findings
    return [p for p in ways.pages.values() if p.finding and findings[p.finding].health]


def test_no_word_tells_of_anybodys_health(ways):
    pages = health_pages(ways)
    assert {page.finding for page in pages} >= {"people-at-risk", "medical-device", "person-ill"}
    told = {answer_word(p.finding, move.answer.values) for p in pages for move in p.moves}
    told |= {answer_word(p.finding, (move.value,)) for p in pages for move in p.moves}
    held = {way.word for each in ways.by_page.values() for way in each}
    assert not told & held
    for page in pages:
        for way in ways.by_page[page.id]:
            assert way.word in URGENCY_WORDS.values()
            assert way.answer is None


def test_of_the_answers_about_health_only_the_urgency_is_left(ways):
    """With the same urgency they come to the same page, so that no later page tells them apart."""
    for page in health_pages(ways):
        urgencies = [way.word for way in ways.by_page[page.id]]
        assert len(urgencies) == len(set(urgencies))
        for move in page.moves:
            word = ways.word_of(page, move.answer, move.to)
            is_danger = (target := ways.pages.get(move.to)) is None or (
                target.outcome is not None and target.outcome.kind == "danger"
            )
            assert (word is None) == is_danger, (page.id, move.answer.say)


def test_no_trail_leads_into_a_danger(ways):
    for each in ways.by_page.values():
        for way in each:
            outcome = ways.pages[way.to].outcome
            assert outcome is None or outcome.kind != "danger"


def test_words_of_different_meanings_differ(ways):
    meanings = {}
    for page in ways.pages.values():
        for move in page.moves:
            if page.finding and move.answer.values:
                meaning = (page.finding, move.answer.values)
                meanings.setdefault(answer_word(*meaning), set()).add(meaning)
    meanings |= {tree_word(tree): {tree} for tree in ways.roots}
    assert len(meanings) > 400
    assert all(len(each) == 1 for each in meanings.values())


def test_a_word_does_not_hang_on_wording_or_order(ways):
    assert answer_word("display", ("blank",)) == answer_word("display", ["blank"])
    assert answer_word("display", ("blank",)) != answer_word("display", ("on",))


# ---- what was done ----


def test_acts_that_may_happen_once_are_counted_where_they_were_done(ways):
    assert ways.once == ONCE
    [page] = [p for p in ways.pages.values() if p.id == "no-heat-gas/dark.breaker-reset"] or [
        next(p for p in ways.pages.values() if ways.once_on(p))
    ]
    assert ways.once_on(page)
    for way in ways.by_page[page.id]:
        done = ways.done_on([way])
        assert bool(done) == (NOT_DONE not in way.answer.values)


def test_acts_as_a_sum_and_back(ways):
    for number in range(8):
        assert ways.number_of(ways.effects_of(number)) == number
    with pytest.raises(BadTrail):
        ways.effects_of(8)


def test_numbers_in_links_are_those_that_a_browser_reads():
    to_int = partial(int, base=36)
    for number in (0, 1, 35, 36, 1295, 1296, 29_700_000):
        assert to_int(base36(number)) == number


@pytest.mark.parametrize(
    ("code", "said"), [("1", "1"), ("123", "123"), ("1234", "1 234"), ("14034207", "14 034 207")]
)
def test_a_code_is_said_in_threes(code, said):
    assert in_groups(code) == said
