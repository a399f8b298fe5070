"""The rehearsal that is shipped: of the trees as they are, and with something to show."""

import json

import pytest

from browser.sites import REAL
from stepstop.belief import SHOWN
from stepstop.picture import shares
from stepstop.rehearsed import FILE, fingerprint, read

AGAIN = "run `make rehearse` and keep decision_trees/rehearsal/rehearsed.json"


@pytest.fixture(scope="module")
def shipped(course):
    assert (REAL / FILE).is_file(), f"nothing is rehearsed: {AGAIN}"
    of = json.loads((REAL / FILE).read_bytes())["of"]
    assert of == fingerprint(REAL, course), f"trees or houses have changed since: {AGAIN}"
    found = read(REAL, course, of)
    assert found is not None, f"the file is damaged: {AGAIN}"
    return found


def test_the_shipped_rehearsal_is_of_the_shipped_trees_and_houses(shipped):
    assert len(shipped.figures.models["accurate"].causes) > 50


def test_every_end_that_is_shown_has_a_few_causes_the_likeliest_first(shipped, course):
    kinds = {f"{p.tree}/{p.outcome.id}": p.outcome.kind for p in course.pages.values() if p.outcome}
    assert shipped.likely
    for name, causes in shipped.likely.items():
        assert kinds[name] in ("call", "watch")
        assert 1 <= len(causes) <= SHOWN[1], name
        chances = [each.chance for each in causes]
        assert chances == sorted(chances, reverse=True), name
        assert sum(chances) <= 1.0 + 0.001 * len(chances), name


def test_figures_of_every_world_and_half_are_there(shipped):
    figures = shipped.figures
    assert set(figures.variations) == {"weights", "errors", "history", "houses", "complaints"}
    for model in figures.models.values():
        assert sum(part.calls for part in model.complaints.values()) == pytest.approx(1.0, abs=1e-3)
        assert all(None not in (m.mended_on, m.held_out) for m in model.marks.values())
    assert sum(figures.models["accurate"].pages.values()) == pytest.approx(1.0, abs=0.01)


def test_the_worst_is_not_left_out(shipped):
    for model in shipped.figures.models.values():
        shares = {c: part.right for c, part in model.causes.items() if part.right is not None}
        lowest = sorted(shares.values())[: len(model.worst)]
        assert [each.right for each in model.worst] == pytest.approx(lowest, abs=1e-3)


def test_the_shipped_shares_are_of_the_same_rehearsal(shipped, course):
    found = shares.kept(course, REAL)
    assert found, "run `make rehearse` and keep decision_trees/rehearsal/shares.json"
    complaints = {tree.id for tree in course.library.complaints()}
    called = shipped.figures.models["accurate"].complaints.keys()
    assert complaints & called <= found.keys()
    for name, each in found.items():
        left = {}
        for (tail, _), share in each.items():
            left[tail] = left.get(tail, 0.0) + share
        assert max(left.values()) <= 1.0 + 1e-3, name
        if name in complaints:
            first = ("step", course.library.trees[name].starts_with)
            assert left[first] == pytest.approx(1.0, abs=1e-3), name
