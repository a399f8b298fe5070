"""Arithmetic on chances: its edges, its ties and its errors."""

import math

import numpy as np
import pytest

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

NOTHING = np.array([])
ZEROS = np.zeros(3)
MEASURES = [
    entropy,
    huffman_depth,
    lambda weights: entropy_bound(weights, 2),
    lambda weights: information(weights, {"yes": np.ones(len(weights))}),
]


class TestEveryMeasure:
    @pytest.mark.parametrize("measure", MEASURES)
    @pytest.mark.parametrize("weights", [NOTHING, ZEROS, [7.0], [0.0, 0.2, 0.0], [5e-324]])
    def test_it_is_plain_zero_where_nothing_is_left_to_ask(self, measure, weights):
        assert str(measure(np.array(weights))) == "0.0"

    @pytest.mark.parametrize("measure", MEASURES)
    @pytest.mark.parametrize("wrong", [-1e-9, math.nan, math.inf])
    def test_it_refuses_what_is_no_weight(self, measure, wrong):
        with pytest.raises(ValueError, match="below zero or not finite"):
            measure(np.array([1.0, wrong]))

    @pytest.mark.parametrize("measure", MEASURES)
    def test_it_refuses_a_table_for_weights(self, measure):
        with pytest.raises(ValueError, match=r"not the shape \(2, 2\)"):
            measure(np.eye(2))


class TestEntropy:
    def test_four_of_equal_weight_are_two_bits(self):
        assert entropy([3, 3, 3, 3]) == 2

    def test_huge_and_tiny_weights_neither_overflow_nor_divide_by_zero(self):
        assert entropy([1e308, 1e308, 5e-324]) == 1
        assert entropy([5e-324, 5e-324]) == 1


class TestInformation:
    def test_a_question_that_halves_tells_one_bit(self):
        assert information([1, 1, 1, 1], {"yes": [1, 1, 0, 0], "no": [0, 0, 1, 1]}) == 1

    def test_an_answer_that_is_alike_for_all_tells_nothing(self):
        assert information([1, 2], {"yes": [0.3, 0.3], "no": [0.7, 0.7]}) == pytest.approx(0)

    def test_a_noisy_question_tells_the_capacity_of_a_binary_symmetric_channel(self):
        noise = -(0.9 * math.log2(0.9) + 0.1 * math.log2(0.1))
        found = information([1, 1], {"yes": [0.9, 0.1], "no": [0.1, 0.9]})
        assert found == pytest.approx(1 - noise, abs=1e-12)

    def test_a_value_that_never_happens_changes_nothing(self):
        split = {"yes": [1, 0], "no": [0, 1]}
        assert information([1, 3], split | {"never": [0, 0]}) == information([1, 3], split)

    @pytest.mark.parametrize("split", [{}, {"yes": [1, 0.5]}, {"yes": [1, 1], "no": [0, 0.1]}])
    def test_values_that_do_not_cover_a_hypothesis_once_are_refused(self, split):
        with pytest.raises(ValueError, match="don't add up to 1"):
            information([1, 1], split)

    def test_a_hypothesis_without_weight_needs_no_values(self):
        assert information([1, 1, 0], {"yes": [1, 0, 0], "no": [0, 1, 0]}) == 1

    def test_a_row_of_another_length_is_refused(self):
        with pytest.raises(ValueError, match="3 chances for 2 hypotheses"):
            information([1, 1], {"yes": [1, 1, 1]})


class TestPosterior:
    def test_without_evidence_it_is_the_prior_made_to_add_up_to_1(self):
        assert posterior(np.array([1.0, 3.0]), []).tolist() == [0.25, 0.75]

    def test_what_is_impossible_gets_exactly_nothing(self):
        found = posterior([1, 1, 2], [[0.5, 0, 0.5], [0.2, 1, 0.2]])
        assert found[1] == 0
        assert found == pytest.approx([1 / 3, 0, 2 / 3])

    def test_a_factor_common_to_all_hypotheses_is_no_evidence(self):
        assert posterior([1, 3], [[1e-300, 1e-300]]) == pytest.approx([0.25, 0.75], abs=1e-12)

    def test_a_trail_too_long_for_a_plain_product_keeps_its_digits(self):
        assert 1e-5**10_000 == 0
        trail = [[1e-5, 2e-5]] * 5_000 + [[2e-5, 1e-5]] * 4_999
        assert posterior([1, 1], trail) == pytest.approx([1 / 3, 2 / 3], abs=1e-9)

    def test_a_hypothesis_may_come_back_from_far_below_the_smallest_float(self):
        trail = [[1, 1e-300], [1, 1e-300], [1e-300, 1], [1e-300, 1]]
        assert posterior([1, 1], trail) == pytest.approx([0.5, 0.5], abs=1e-12)

    def test_the_arguments_are_left_as_they_were(self):
        prior, row = np.array([2.0, 2.0]), np.array([0.5, 0.1])
        posterior(prior, [row])
        assert (prior.tolist(), row.tolist()) == ([2, 2], [0.5, 0.1])

    @pytest.mark.parametrize("prior", [NOTHING, ZEROS])
    def test_no_weight_at_all_is_refused(self, prior):
        with pytest.raises(ValueError, match="no hypothesis has a weight above zero"):
            posterior(prior, [np.ones(len(prior))])

    def test_impossible_evidence_is_refused_with_its_place(self):
        trail = [[0.5, 0.5], [1, 0], [0, 1], [1, 1]]
        with pytest.raises(ValueError, match="left possible after evidence 3 of 4"):
            posterior([1, 1], trail)

    @pytest.mark.parametrize("row", [[0.5], [0.5, 0.5, 0.5]])
    def test_evidence_about_other_hypotheses_is_refused(self, row):
        with pytest.raises(ValueError, match="chances for 2 hypotheses"):
            posterior([1, 1], [row])

    @pytest.mark.parametrize("wrong", [-0.1, math.nan, math.inf])
    def test_what_is_no_likelihood_is_refused(self, wrong):
        with pytest.raises(ValueError, match="below zero or not finite"):
            posterior([1, 1], [[0.5, wrong]])


class TestByLabel:
    def test_hypotheses_of_a_cause_add_up_and_the_heaviest_comes_first(self):
        found = by_label([0.1, 0.4, 0.3, 0.2], ["fuse", "breaker", "fuse", "wire"])
        assert list(found) == ["breaker", "fuse", "wire"]
        assert found == pytest.approx({"breaker": 0.4, "fuse": 0.4, "wire": 0.2})

    def test_equal_weights_go_by_name_whatever_the_order_of_their_parts(self):
        parts = [0.1, 0.2, 0.3]
        assert sum(parts) != sum(reversed(parts))
        found = by_label([*parts, *reversed(parts)], ["z"] * 3 + ["a"] * 3)
        assert list(found) == ["a", "z"]

    def test_a_label_without_weight_is_kept(self):
        assert by_label([0, 1], ["a", "b"]) == {"b": 1, "a": 0}

    def test_nothing_gives_nothing(self):
        assert by_label(NOTHING, []) == {}

    @pytest.mark.parametrize("labels", [["a"], ["a", "b", "c"]])
    def test_each_hypothesis_has_one_label(self, labels):
        with pytest.raises(ValueError, match="argument 2 is"):
            by_label([1, 1], labels)


class TestTellApart:
    def test_equal_rows_are_together_in_order_of_their_first(self):
        rows = [[0.1, 0.9], [1, 0], [0.1, 0.9], [0, 1], [1, 0]]
        assert tell_apart(np.array(rows)) == [(0, 2), (1, 4), (3,)]

    def test_rounding_is_no_difference(self):
        assert tell_apart([[0.1 + 0.2], [0.3], [0.3 + 2e-12]]) == [(0, 1), (2,)]

    def test_members_come_in_order_also_when_found_late(self):
        assert tell_apart([[0.5], [0.5 + 5e-13], [0.5], [0.5 + 5e-13]]) == [(0, 1, 2, 3)]

    def test_each_member_is_close_to_the_first_and_not_only_to_its_neighbour(self):
        assert tell_apart([[0.0], [9e-13], [1.8e-12], [2.7e-12]]) == [(0, 1), (2, 3)]

    def test_every_column_counts(self):
        assert tell_apart([[1, 1, 1, 0], [1, 1, 1, 1]]) == [(0,), (1,)]

    def test_both_zeros_are_one(self):
        assert tell_apart([[0.0], [-0.0]]) == [(0, 1)]

    def test_without_a_question_all_are_alike_and_without_hypotheses_there_is_no_group(self):
        assert tell_apart(np.empty((3, 0))) == [(0, 1, 2)]
        assert tell_apart(np.empty((0, 4))) == []

    @pytest.mark.parametrize(
        ("rows", "why"), [([1.0, 2.0], "a row for each"), ([[math.nan]], "not finite")]
    )
    def test_what_is_no_table_is_refused(self, rows, why):
        with pytest.raises(ValueError, match=why):
            tell_apart(rows)


class TestHuffmanDepth:
    def test_two_need_one_question(self):
        assert huffman_depth([1, 1e-9]) == pytest.approx(1)

    def test_powers_of_two_reach_the_bound(self):
        weights = [8, 4, 2, 1, 1]
        assert huffman_depth(weights) == entropy_bound(weights, 2) == 1.875

    def test_nine_need_two_questions_of_three_answers(self):
        assert huffman_depth([1] * 9, ways=3) == pytest.approx(2)

    @pytest.mark.parametrize("ways", [4, 5, 100])
    def test_one_question_with_an_answer_for_each_is_enough(self, ways):
        assert huffman_depth([5, 1, 1, 1], ways=ways) == pytest.approx(1)

    def test_a_question_with_empty_answers_is_the_last_one(self):
        # Four leaves, three answers: the two lightest share the only second question.
        assert huffman_depth([4, 3, 2, 1], ways=3) == pytest.approx(1.3)

    def test_a_hypothesis_without_weight_needs_no_leaf(self):
        assert huffman_depth([0, 1, 0, 1]) == 1

    @pytest.mark.parametrize("ways", [1, 0, -2])
    def test_a_question_has_two_answers_or_more(self, ways):
        with pytest.raises(ValueError, match="two answers or more"):
            huffman_depth([1, 1], ways=ways)
        with pytest.raises(ValueError, match="two answers or more"):
            entropy_bound([1, 1], ways)


class TestEntropyBound:
    def test_it_is_the_entropy_in_questions(self):
        assert entropy_bound([1] * 16, 2) == 4
        assert entropy_bound([1] * 16, 4) == 2


class TestOrder:
    def test_a_tie_goes_by_name(self):
        chance = {"wash": 0.2, "turn": 0.1, "look": 0.4}
        assert best_order(chance, {"wash": 2, "turn": 1, "look": 4}) == ["look", "turn", "wash"]

    def test_what_costs_nothing_comes_first_and_what_cannot_cure_last(self):
        chance = {"a": 0.0, "b": 0.9, "c": 0.01}
        assert best_order(chance, {"a": 5, "b": 1, "c": 0}) == ["c", "b", "a"]

    def test_no_action_has_no_order_and_no_cost(self):
        assert best_order({}, {}) == []
        assert expected_cost([], {}, {}) == 0

    def test_the_first_action_is_always_paid_in_full(self):
        assert expected_cost(["a"], {"a": 1}, {"a": 7}) == 7

    def test_a_fault_that_no_action_mends_costs_all_of_them(self):
        assert expected_cost(["a", "b"], {"a": 0, "b": 0}, {"a": 3, "b": 4}) == 7

    @pytest.mark.parametrize("order", [["a"], ["a", "a"], ["a", "b", "b"], ["a", "x"]])
    def test_an_order_holds_each_action_once(self, order):
        with pytest.raises(ValueError, match="each action once"):
            expected_cost(order, {"a": 0.5, "b": 0.5}, {"a": 1, "b": 1})

    @pytest.mark.parametrize(
        ("chance", "cost", "why"),
        [
            ({"a": 0.5, "b": 0.5}, {"b": 1, "c": 1}, "without a cost: a, c"),
            ({"a": 0.6, "b": 0.6}, {"a": 1, "b": 1}, "more than 1"),
            ({"a": -0.1}, {"a": 1}, "below zero or not finite"),
            ({"a": 0.1}, {"a": -1}, "below zero or not finite"),
            ({"a": math.nan}, {"a": 1}, "below zero or not finite"),
        ],
    )
    def test_what_is_no_case_of_one_fault_is_refused_with_the_reason(self, chance, cost, why):
        with pytest.raises(ValueError, match=why):
            best_order(chance, cost)
        with pytest.raises(ValueError, match=why):
            expected_cost(list(chance), chance, cost)


class TestMinimalDiagnoses:
    def test_what_needs_no_fault_has_the_empty_diagnosis_only(self):
        assert minimal_diagnoses("abc", lambda faulty: True, 2) == [frozenset()]

    def test_what_nothing_explains_has_none(self):
        assert minimal_diagnoses("abc", lambda faulty: False, 3) == []

    def test_no_more_than_size_components_are_tried(self):
        tried = []
        assert minimal_diagnoses("abcd", tried.append, 2) == []
        assert sorted(map(len, tried)) == [0] + [1] * 4 + [2] * 6

    def test_a_size_above_the_number_of_components_is_no_error(self):
        assert minimal_diagnoses("ab", lambda faulty: len(faulty) == 2, 9) == [frozenset("ab")]

    def test_they_come_fewest_first_then_in_the_order_of_the_components(self):
        seen = {frozenset("z"), frozenset("ba"), frozenset("ca")}
        found = minimal_diagnoses("zbca", seen.__contains__, 3)
        assert found == [frozenset("z"), frozenset("ba"), frozenset("ca")]

    def test_one_fault_may_explain_what_two_do_not(self):
        # With behaviours, one switch stuck open may look as it did; another stuck shut undoes it.
        found = minimal_diagnoses("ab", {frozenset("a"), frozenset("b")}.__contains__, 2)
        assert found == [frozenset("a"), frozenset("b")]

    def test_a_component_named_twice_is_one(self):
        assert minimal_diagnoses("aa", lambda faulty: len(faulty) == 1, 2) == [frozenset("a")]


class TestHittingSets:
    def test_without_a_conflict_nothing_need_be_faulty(self):
        assert hitting_sets([]) == [frozenset()]

    def test_an_empty_conflict_can_not_be_hit(self):
        assert hitting_sets([{"a"}, set()]) == []

    def test_a_conflict_within_another_makes_that_one_needless(self):
        assert hitting_sets([{"a", "b"}, {"a"}]) == [frozenset("a")]

    def test_they_come_fewest_first_then_sorted(self):
        found = hitting_sets([{"c", "b", "a"}, {"c", "d"}])
        assert found == [frozenset("c"), frozenset("ad"), frozenset("bd")]
