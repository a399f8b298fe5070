"""The graph algorithms on small cases, on their errors, and at 100,000 nodes."""

import pytest

from stepstop.graph import (
    HasCycle,
    alike,
    all_bad,
    cycles,
    dominators_of,
    immediate_dominators,
    labels_after,
    least_after,
    longest_path,
    must_analysis,
    reachable,
    shortest_witness,
    strong_components,
    topological_order,
    value_sets,
)

DIAMOND = {"a": ["b", "c"], "b": ["d"], "c": ["d"], "d": []}
MANY = 100_000


def keep(source, index, facts):
    return facts


def chain_of(length):
    return {i: [i + 1] for i in range(length - 1)} | {length - 1: []}


class TestReachable:
    def test_it_holds_the_starts_and_what_follows(self):
        assert reachable(DIAMOND, ["b"]) == {"b", "d"}

    def test_no_start_reaches_nothing(self):
        assert reachable(DIAMOND, []) == set()

    def test_a_node_without_an_entry_has_no_edges(self):
        assert reachable({"a": ["b"]}, ["a", "z"]) == {"a", "b", "z"}


class TestDominators:
    def test_the_root_is_left_out(self):
        assert immediate_dominators(DIAMOND, "a") == {"b": "a", "c": "a", "d": "a"}

    def test_a_node_that_cannot_be_reached_is_left_out_and_changes_nothing(self):
        assert immediate_dominators(DIAMOND | {"x": ["d"]}, "a") == {"b": "a", "c": "a", "d": "a"}

    def test_edges_back_to_the_root_and_to_itself_change_nothing(self):
        graph = {"a": ["b"], "b": ["b", "c"], "c": ["a"]}
        assert immediate_dominators(graph, "a") == {"b": "a", "c": "b"}

    def test_a_lone_root_has_no_dominators(self):
        assert immediate_dominators({}, "a") == {}

    def test_the_root_and_an_unknown_node_have_no_dominators(self):
        idom = immediate_dominators(DIAMOND, "a")
        assert dominators_of(idom, "a") == []
        assert dominators_of(idom, "unknown") == []
        assert dominators_of(idom, "d") == ["a"]


class TestComponentsAndCycles:
    def test_a_graph_without_cycles_has_single_components_targets_first(self):
        assert strong_components(DIAMOND) == [("d",), ("b",), ("c",), ("a",)]
        assert cycles(DIAMOND) == []

    def test_a_node_that_is_only_a_target_counts(self):
        assert strong_components({"a": ["b"]}) == [("b",), ("a",)]

    def test_an_edge_to_itself_is_the_shortest_cycle(self):
        graph = {"a": ["b"], "b": ["c", "b"], "c": ["a"]}
        assert cycles(graph) == [(("a", "b", "c"), ("b", "b"))]

    def test_each_component_shows_one_shortest_cycle(self):
        graph = {1: [2], 2: [3], 3: [1, 4], 4: [5], 5: [6], 6: [4, 5]}
        assert cycles(graph) == [((4, 5, 6), (5, 6, 5)), ((1, 2, 3), (1, 2, 3, 1))]


class TestTopologicalOrder:
    def test_ties_keep_the_order_of_the_mapping(self):
        assert topological_order(DIAMOND) == ["a", "b", "c", "d"]

    def test_parallel_edges_are_all_waited_for(self):
        assert topological_order({"b": ["c"], "a": ["b", "b", "c"]}) == ["a", "b", "c"]

    def test_a_cycle_is_raised_with_its_walk(self):
        with pytest.raises(ValueError, match="b -> c -> b") as raised:
            topological_order({"a": ["b"], "b": ["c"], "c": ["b"]})
        assert isinstance(raised.value, HasCycle)
        assert raised.value.walk == ("b", "c", "b")


class TestLongestPath:
    def test_it_adds_the_minutes_of_the_slower_branch(self):
        weights = {"a": 1, "b": 5, "c": 2, "d": 1}
        assert longest_path(DIAMOND, weights, ["a"]) == (7, ["a", "b", "d"])

    def test_equal_branches_give_the_first_and_reach_an_end_node(self):
        assert longest_path(DIAMOND, dict.fromkeys("abcd", 0), ["a"]) == (0, ["a", "b", "d"])

    def test_the_best_start_is_taken(self):
        assert longest_path(DIAMOND, dict.fromkeys("abcd", 1.5), ["d", "c"]) == (3.0, ["c", "d"])

    def test_a_cycle_elsewhere_does_not_matter(self):
        assert longest_path({"a": ["b"], "x": ["x"]}, {"a": 1, "b": 1}, ["a"]) == (2, ["a", "b"])

    def test_its_errors(self):
        with pytest.raises(HasCycle):
            longest_path({"a": ["b"], "b": ["a"]}, {"a": 1, "b": 1}, ["a"])
        with pytest.raises(KeyError):
            longest_path(DIAMOND, {"a": 1}, ["a"])
        with pytest.raises(ValueError, match="needs a start"):
            longest_path(DIAMOND, dict.fromkeys("abcd", 1), [])


class TestMustAnalysis:
    def test_a_fact_of_one_branch_does_not_survive_the_join(self):
        def adds(source, index, facts):
            return facts | {"asked-" + source}

        universe = {"asked-" + node for node in DIAMOND}
        held = must_analysis(DIAMOND, ["a"], adds, universe)
        assert held["d"] == {"asked-a"}
        assert held["b"] == {"asked-a"}
        assert held["a"] == set()

    def test_parallel_edges_meet(self):
        graph = {"a": ["b", "b"]}
        adds = {("a", 0): {"p", "q"}, ("a", 1): {"q"}}
        held = must_analysis(graph, ["a"], lambda s, i, f: f | adds[s, i], {"p", "q"})
        assert held["b"] == {"q"}

    def test_a_fact_taken_away_round_a_loop_is_gone_at_its_head(self):
        graph = {"a": ["head"], "head": ["body", "end"], "body": ["head"]}

        def transfer(source, index, facts):
            return {"a": facts | {"p"}, "body": facts - {"p"}}.get(source, facts)

        held = must_analysis(graph, ["a"], transfer, {"p"})
        assert held == {"a": set(), "head": set(), "body": set(), "end": set()}

    def test_a_start_holds_nothing_even_with_edges_into_it(self):
        held = must_analysis({"a": ["a"]}, ["a"], lambda s, i, f: f | {"p"}, {"p"})
        assert held["a"] == set()

    def test_everything_holds_where_no_start_leads_and_it_counts_for_nobody(self):
        graph = {"a": ["c"], "b": ["c"]}
        transfer = lambda s, i, f: f | {"p"} if s == "a" else f - {"p"}  # noqa: E731
        held = must_analysis(graph, ["a"], transfer, {"p"})
        assert held == {"a": set(), "b": {"p"}, "c": {"p"}}

    def test_a_fact_outside_the_universe_is_our_bug(self):
        with pytest.raises(ValueError, match="outside the universe"):
            must_analysis({"a": ["b"]}, ["a"], lambda s, i, f: f | {"typo"}, {"p"})


class TestValueSets:
    def test_each_answer_leaves_its_value_and_the_join_holds_both(self):
        answers = {("a", 0): "yes", ("a", 1): "no"}
        sets = value_sets(DIAMOND, ["a"], lambda s, i, v: [answers.get((s, i), v)], ["unasked"])
        assert sets == {"a": {"unasked"}, "b": {"yes"}, "c": {"no"}, "d": {"yes", "no"}}

    def test_an_edge_may_refuse_a_value_or_give_two(self):
        def transfer(source, index, value):
            return ["hot", "cold"] if source == "a" else [value] * (value == "hot")

        sets = value_sets({"a": ["b"], "b": ["c"], "x": ["c"]}, ["a"], transfer, ["unasked"])
        assert sets == {"a": {"unasked"}, "b": {"hot", "cold"}, "c": {"hot"}, "x": frozenset()}

    def test_a_start_without_an_entry_has_the_initial_values(self):
        assert value_sets({}, ["a"], lambda s, i, v: [v], [1, 2]) == {"a": {1, 2}}


FORK = {"start": ["left", "right"], "left": ["bad1"], "right": ["bad2", "bad1"], "bad1": ["x"]}


class TestWitnesses:
    def successors(self, state):
        return FORK.get(state, ())

    def test_of_equally_short_ones_the_first_generated_wins(self):
        found = shortest_witness(["start"], self.successors, lambda s: s.startswith("bad"))
        assert found == ["start", "left", "bad1"]

    def test_a_bad_start_is_its_own_witness(self):
        assert shortest_witness(["x", "start"], self.successors, lambda s: True) == ["x"]

    def test_none_where_nothing_bad_is_reached(self):
        assert shortest_witness(["left"], self.successors, lambda s: s == "bad2") is None
        assert shortest_witness([], self.successors, lambda s: True) is None

    def test_none_may_be_a_state(self):
        assert shortest_witness([0], lambda s: [None], lambda s: s is None) == [0, None]

    def test_it_stops_at_the_first_bad_state(self):
        found = shortest_witness([0], lambda n: [n + 1], lambda n: n == 3)
        assert found == [0, 1, 2, 3]

    def test_an_either_or_needs_the_product_not_two_value_sets(self):
        """At the use, p may be unknown and q may be unknown, but never both on the same path."""
        graph = {"ask": ["p", "q"], "p": ["use"], "q": ["use"]}

        def successors(state):
            node, knows_p, knows_q = state
            for target in graph.get(node, ()):
                yield target, knows_p or node == "p", knows_q or node == "q"

        def witness():
            start = ("ask", False, False)
            return shortest_witness([start], successors, lambda s: s == ("use", False, False))

        for finding in "pq":
            sets = value_sets(graph, ["ask"], lambda s, i, v, f=finding: [v or s == f], [False])
            assert False in sets["use"]
        assert witness() is None
        graph["q"] = ["late"]
        graph["ask"] = ["p", "q", "use"]
        assert witness() == [("ask", False, False), ("use", False, False)]

    def test_all_bad_has_one_witness_each_nearest_first(self):
        found = all_bad(["start"], self.successors, lambda s: s.startswith("bad"))
        assert list(found.items()) == [
            ("bad1", ["start", "left", "bad1"]),
            ("bad2", ["start", "right", "bad2"]),
        ]

    def test_all_bad_goes_on_behind_a_bad_state(self):
        found = all_bad(["bad1"], self.successors, lambda s: True)
        assert found == {"bad1": ["bad1"], "x": ["bad1", "x"]}


class TestAfter:
    def test_labels_of_the_node_and_all_behind_it(self):
        labels = {"a": frozenset("p"), "c": frozenset("qr"), "d": frozenset("s")}
        after = labels_after(DIAMOND, labels)
        assert {node: "".join(sorted(after[node])) for node in "abcd"} == {
            "a": "pqrs",
            "b": "s",
            "c": "qrs",
            "d": "s",
        }

    def test_least_counts_end_nodes_only(self):
        graph = {"a": ["b", "c"], "b": ["low", "high"], "c": ["none"]}
        assert least_after(graph, {"a": 0, "low": 1, "high": 3}) == {
            "a": 1,
            "b": 1,
            "low": 1,
            "high": 3,
        }

    @pytest.mark.parametrize("function", [labels_after, least_after])
    def test_a_cycle_is_raised(self, function):
        with pytest.raises(HasCycle):
            function({"a": ["b"], "b": ["a"]}, {})


class TestAtHundredThousandNodes:
    """None recurses, and none needs time that grows with the square on these shapes."""

    def test_a_chain(self):
        graph = chain_of(MANY)
        last = MANY - 1
        assert len(reachable(graph, [0])) == MANY
        assert len(strong_components(graph)) == MANY
        assert topological_order(graph)[-1] == last
        assert longest_path(graph, dict.fromkeys(graph, 1), [0])[0] == MANY
        assert must_analysis(graph, [0], lambda s, i, f: f | {"p"}, {"p"})[last] == {"p"}
        assert value_sets(graph, [0], lambda s, i, v: [v], ["v"])[last] == {"v"}
        assert labels_after(graph, {last: frozenset("e")})[0] == {"e"}
        assert least_after(graph, {last: 7})[0] == 7

    def test_dominators_of_a_chain_with_an_edge_from_its_end_back_to_every_node(self):
        graph = chain_of(MANY) | {MANY - 1: list(range(MANY))}
        idom = immediate_dominators(graph, 0)
        assert len(dominators_of(idom, MANY - 1)) == MANY - 1

    def test_a_witness_at_the_end_of_a_chain(self):
        found = shortest_witness([0], lambda n: [n + 1], lambda n: n == MANY)
        assert found == list(range(MANY + 1))
        assert list(all_bad([0], lambda n: [n + 1] * (n < MANY), lambda n: n == MANY)) == [MANY]

    def test_one_ring_is_one_cycle(self):
        ring = chain_of(MANY) | {MANY - 1: [0]}
        [(component, walk)] = cycles(ring)
        assert len(component) == MANY
        assert walk == (*range(MANY), 0)

    def test_a_ladder_of_two_way_edges_has_a_cycle_of_two(self):
        ladder = {i: [j for j in (i + 1, i - 1) if 0 <= j < MANY] for i in range(MANY)}
        [(_, walk)] = cycles(ladder)
        assert len(walk) == 3


# ---- folding ----


def test_nodes_that_can_not_be_told_apart_are_one_class():
    graph = {"a": ["x", "y"], "b": ["x", "z"], "c": ["y", "x"], "x": [], "y": [], "z": []}
    of = alike(graph, {"a": 1, "b": 1, "c": 1, "x": "end", "y": "other", "z": "other"})
    assert of["y"] == of["z"]
    assert of["a"] == of["b"]
    assert of["a"] != of["c"], "the order of the targets counts"


def test_a_difference_far_down_the_way_tells_nodes_apart():
    chain = {f"{side}{n}": [f"{side}{n + 1}"] for side in "ab" for n in range(50)}
    same = {**dict.fromkeys(chain, ""), "a50": "", "b50": ""}
    assert len(set(alike(chain, same).values())) == 51
    other = alike(chain, {**same, "b50": "odd"})
    assert len(set(other.values())) == 102


def test_a_target_without_a_label_counts_by_itself():
    assert len(set(alike({"a": ["s"], "b": ["t"]}, {"a": 1, "b": 1}).values())) == 2
    assert len(set(alike({"a": ["s"], "b": ["s"]}, {"a": 1, "b": 1}).values())) == 1


def test_loops_are_folded_too():
    graph = {"a": ["b"], "b": ["a"], "c": ["c"]}
    assert len(set(alike(graph, dict.fromkeys(graph, 0)).values())) == 1
    assert alike({}, {}) == {}
