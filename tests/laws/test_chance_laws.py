"""Arithmetic on chances: laws, and slow definitions of the same thing on small cases."""

from functools import cache
from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stepstop.chance import (
    best_order,
    by_label,
    entropy,
    entropy_bound,
    expected_cost,
    hitting_sets,
    huffman_depth,
    information,
    minimal_diagnoses,
    posterior,
    tell_apart,
)

law = settings(max_examples=200, deadline=None, derandomize=True)

chances = st.one_of(st.just(0.0), st.floats(1e-6, 1))
weights = st.lists(st.floats(1e-6, 1), min_size=1, max_size=8)


@st.composite
def evidence(draw, *, most=6):
    """Draw a prior (H,) and a list of likelihoods (H,) that leave something possible."""
    size = draw(st.integers(1, 6))
    row = st.lists(chances, min_size=size, max_size=size)
    prior, *rows = draw(st.lists(row, min_size=1, max_size=most + 1))
    assume(np.prod([prior, *rows], axis=0).any())
    return np.array(prior), [np.array(each) for each in rows]


@st.composite
def splits(draw):
    """Draw weights (H,) and a question: value -> P(value | hypothesis), (H,)."""
    prior = draw(weights)
    values = draw(st.integers(1, 4))
    row = st.lists(chances, min_size=values, max_size=values).filter(any)
    table = np.array([draw(row) for _ in prior])
    table /= table.sum(axis=1, keepdims=True)
    return np.array(prior), {str(value): table[:, value] for value in range(values)}


@st.composite
def repairs(draw):
    """Draw chance and cost of up to 6 actions; the chances add up to 1 at most."""
    parts = draw(st.lists(st.integers(0, 20), min_size=2, max_size=7).filter(any))
    prices = draw(st.lists(st.integers(0, 20), min_size=6, max_size=6))
    chance = {name: part / sum(parts) for name, part in zip("abcdef", parts[1:], strict=False)}
    return chance, {name: prices["abcdef".index(name)] for name in chance}


# --- What evidence says ----------------------------------------------------------------------


@law
@given(evidence(), st.randoms(use_true_random=False))
def test_the_posterior_is_the_same_to_the_bit_in_any_order_of_the_evidence(drawn, shuffler):
    prior, rows = drawn
    shuffled = shuffler.sample(rows, len(rows))
    assert posterior(prior, rows).tolist() == posterior(prior, shuffled).tolist()


@law
@given(evidence())
def test_the_posterior_is_the_product_that_adds_up_to_1(drawn):
    prior, rows = drawn
    product = np.prod([prior, *rows], axis=0)
    found = posterior(prior, rows)
    assert found == pytest.approx(product / product.sum(), rel=1e-9)
    assert found.sum() == pytest.approx(1, abs=1e-12)


@law
@given(evidence(), st.integers(0, 6))
def test_what_is_believed_now_is_the_prior_of_what_comes_next(drawn, place):
    prior, rows = drawn
    now = posterior(prior, rows[:place])
    assert posterior(now, rows[place:]) == pytest.approx(posterior(prior, rows), rel=1e-9)


@law
@given(st.data())
def test_merging_hypotheses_of_equal_rows_changes_nothing(data):
    kinds, evidences = data.draw(st.tuples(st.integers(1, 3), st.integers(0, 4)))
    row = st.lists(chances, min_size=evidences, max_size=evidences)
    kind = data.draw(st.lists(row, min_size=kinds, max_size=kinds))
    rows = np.array(data.draw(st.lists(st.sampled_from(kind), min_size=1, max_size=8)))
    prior = np.array(data.draw(st.lists(chances, min_size=len(rows), max_size=len(rows))))
    assume((prior * rows.prod(axis=1)).any())

    groups = tell_apart(rows)
    apart = posterior(prior, list(rows.T))
    merged = posterior(
        [prior[list(group)].sum() for group in groups],
        [rows[[group[0] for group in groups], column] for column in range(rows.shape[1])],
    )
    assert merged == pytest.approx([apart[list(group)].sum() for group in groups], abs=1e-12)
    for group, whole in zip(groups, merged, strict=True):
        share = prior[list(group)]
        if whole:  # within a group the prior's ratios stay
            assert apart[list(group)] == pytest.approx(whole * share / share.sum(), abs=1e-12)


@law
@given(st.lists(st.lists(st.sampled_from([0, 0.5, 1]), min_size=2, max_size=2), max_size=12))
def test_groups_are_the_classes_of_equal_rows(rows):
    groups = tell_apart(np.array(rows).reshape(len(rows), 2))
    assert sorted(member for group in groups for member in group) == list(range(len(rows)))
    where = {member: group for group in groups for member in group}
    for a, b in combinations(range(len(rows)), 2):
        assert (where[a] == where[b]) == (rows[a] == rows[b])


@law
@given(weights, st.data())
def test_sums_by_label_keep_the_weight_and_never_rise(drawn, data):
    size = len(drawn)
    labels = data.draw(st.lists(st.sampled_from("abc"), min_size=size, max_size=size))
    found = by_label(drawn, labels)
    assert found.keys() == set(labels)
    assert sum(found.values()) == pytest.approx(sum(drawn))
    assert list(found.values()) == sorted(found.values(), reverse=True)


# --- What a question tells -------------------------------------------------------------------


@law
@given(splits())
def test_a_question_tells_no_less_than_nothing_and_no_more_than_there_is(drawn):
    prior, split = drawn
    found = information(prior, split)
    assert 0 <= found <= entropy(prior) + 1e-12


@law
@given(splits())
def test_what_a_question_tells_of_the_cause_the_cause_tells_of_the_answer(drawn):
    prior, split = drawn
    shares = prior / prior.sum()
    answer = np.array([shares @ row for row in split.values()])
    given_cause = sum(
        share * entropy([row[cause] for row in split.values()])
        for cause, share in enumerate(shares)
    )
    assert information(prior, split) == pytest.approx(entropy(answer) - given_cause, abs=1e-9)


@law
@given(weights, st.integers(2, 4))
def test_huffman_lies_between_the_entropy_bound_and_one_question_more(drawn, ways):
    bound = entropy_bound(drawn, ways)
    assert bound - 1e-12 <= huffman_depth(drawn, ways=ways) < bound + 1


def best_depth(shares):
    """Return the least mean depth over every binary tree, by trying each way to halve a set."""

    @cache
    def least(leaves):
        if len(leaves) == 1:
            return 0.0
        first, *others = sorted(leaves)
        halves = (
            frozenset([first, *chosen])
            for size in range(len(others))
            for chosen in combinations(others, size)
        )
        below = min(least(half) + least(leaves - half) for half in halves)
        return below + sum(shares[leaf] for leaf in leaves)

    return least(frozenset(range(len(shares))))


@settings(law, max_examples=60)
@given(st.lists(st.floats(1e-6, 1), min_size=1, max_size=6))
def test_no_binary_tree_beats_huffman(drawn):
    assert huffman_depth(drawn) == pytest.approx(best_depth(np.array(drawn) / sum(drawn)))


# --- What to try first -----------------------------------------------------------------------


@law
@given(repairs())
def test_no_order_of_up_to_six_actions_beats_p_over_c(drawn):
    chance, cost = drawn
    best = expected_cost(best_order(chance, cost), chance, cost)
    for order in permutations(chance):
        assert best <= expected_cost(order, chance, cost) + 1e-9


@law
@given(repairs())
def test_the_expected_cost_is_the_mean_over_what_is_wrong(drawn):
    chance, cost = drawn
    order = list(chance)
    paid = {name: sum(cost[each] for each in order[: order.index(name) + 1]) for name in order}
    mended = sum(chance[name] * paid[name] for name in order)
    never = (1 - sum(chance.values())) * sum(cost.values())
    assert expected_cost(order, chance, cost) == pytest.approx(mended + never)


# --- More than one fault ---------------------------------------------------------------------


@law
@given(st.lists(st.frozensets(st.sampled_from("abcde"), max_size=4), max_size=6))
def test_hitting_sets_are_the_minimal_diagnoses_of_the_conflicts(conflicts):
    def hits_all(faulty):
        return all(faulty & conflict for conflict in conflicts)

    assert hitting_sets(conflicts) == minimal_diagnoses("abcde", hits_all, 5)


@law
@given(st.frozensets(st.frozensets(st.sampled_from("abcd")), max_size=16), st.integers(0, 4))
def test_diagnoses_are_those_that_explain_with_no_part_that_does(explaining, size):
    minimal = {
        each
        for each in explaining
        if len(each) <= size and not any(other < each for other in explaining)
    }
    found = minimal_diagnoses("abcd", explaining.__contains__, size)
    assert (len(found), set(found)) == (len(minimal), minimal)
