"""The graph algorithms against slow definitions of the same thing, on many small graphs.

The definitions are enumeration of paths, removal of nodes, and networkx.
"""

from itertools import pairwise, product

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepstop.graph import (
    HasCycle,
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

law = settings(max_examples=300, deadline=None, derandomize=True)

FACTS = frozenset("pqr")
some_facts = st.frozensets(st.sampled_from("pqr"))


@st.composite
def graphs(draw, *, acyclic=False, largest=7):
    """Draw a graph of 1 to `largest` nodes in any order, with parallel edges and bare targets."""
    size = draw(st.integers(1, largest))
    nodes = draw(st.permutations(range(size)))
    pairs = st.tuples(st.integers(0, size - 1), st.integers(0, size - 1))
    graph = {node: [] for node in nodes}
    for a, b in draw(st.lists(pairs, max_size=2 * size)):
        if acyclic and a == b:
            continue
        first, second = (min(a, b), max(a, b)) if acyclic else (a, b)
        graph[nodes[first]].append(nodes[second])
    bare = draw(st.booleans())
    return {node: targets for node, targets in graph.items() if targets or not bare}


@st.composite
def flows(draw, *, acyclic):
    """Draw a graph, its starts and, for every edge, (facts added, facts removed)."""
    graph = draw(graphs(acyclic=acyclic, largest=6))
    starts = draw(st.lists(st.sampled_from(nodes_of(graph) or [0]), min_size=1, max_size=2))
    edge = st.tuples(some_facts, some_facts)
    change = {(n, i): draw(edge) for n, targets in graph.items() for i in range(len(targets))}
    return graph, starts, change


def nodes_of(graph):
    return sorted({*graph, *(target for targets in graph.values() for target in targets)})


def networkx_of(graph):
    made = nx.MultiDiGraph()
    made.add_nodes_from(nodes_of(graph))
    made.add_edges_from((n, target) for n, targets in graph.items() for target in targets)
    return made


def edge_paths(graph, node):
    """Yield every path of a DAG from `node` as (end, list of edges), the empty one first."""
    yield node, []
    for index, target in enumerate(graph.get(node, ())):
        for end, rest in edge_paths(graph, target):
            yield end, [(node, index), *rest]


def full_paths(graph, node):
    """Yield every path of a DAG from `node` to an end node, as nodes."""
    if not graph.get(node):
        yield [node]
    for target in graph.get(node, ()):
        for rest in full_paths(graph, target):
            yield [node, *rest]


def walks(graph, starts, length):
    """Yield every walk of `length` nodes, in order of choices: first start, first edges."""
    if length == 1:
        yield from ([start] for start in starts)
        return
    for walk in walks(graph, starts, length - 1):
        for target in graph.get(walk[-1], ()):
            yield [*walk, target]


def changed(change, edge, facts):
    added, removed = change[edge]
    return (facts - removed) | added


@law
@given(graphs(), st.integers(0, 6))
def test_reachable_is_a_start_and_its_descendants(graph, start):
    oracle = networkx_of(graph)
    oracle.add_node(start)
    assert reachable(graph, [start]) == {start} | nx.descendants(oracle, start)


@law
@given(graphs(), st.integers(0, 6))
def test_a_dominator_is_a_node_whose_removal_cuts_off(graph, root):
    idom = immediate_dominators(graph, root)
    reached = reachable(graph, [root])
    assert set(idom) == reached - {root}
    for node in idom:
        strict = {
            other
            for other in reached - {node}
            if other == root or node not in reachable(without(graph, other), [root])
        }
        found = dominators_of(idom, node)
        assert set(found) == strict
        assert len(found) == len(strict)
        assert found[-1] == root
        for nearer, farther in pairwise(found):
            assert farther in dominators_of(idom, nearer)


def without(graph, gone):
    return {
        node: [target for target in targets if target != gone]
        for node, targets in graph.items()
        if node != gone
    }


@law
@given(graphs(largest=12), st.integers(0, 11))
def test_networkx_finds_the_same_dominators(graph, root):
    oracle = networkx_of(graph)
    oracle.add_node(root)
    expected = dict(nx.immediate_dominators(oracle, root))
    expected.pop(root, None)
    assert immediate_dominators(graph, root) == expected


@law
@given(graphs(largest=10))
def test_strong_components_are_those_of_networkx_and_come_after_what_they_lead_to(graph):
    found = strong_components(graph)
    expected = nx.strongly_connected_components(networkx_of(graph))
    assert {frozenset(component) for component in found} == {frozenset(c) for c in expected}
    assert sum(len(component) for component in found) == len(nodes_of(graph))
    place = {node: i for i, component in enumerate(found) for node in component}
    assert all(place[target] <= place[n] for n, targets in graph.items() for target in targets)


@law
@given(graphs())
def test_cycles_are_shortest_of_their_component(graph):
    simple = list(nx.simple_cycles(nx.DiGraph(networkx_of(graph))))
    found = cycles(graph)
    assert {node for component, _ in found for node in component} >= {n for c in simple for n in c}
    for component, walk in found:
        lengths = [len(cycle) for cycle in simple if set(cycle) <= set(component)]
        assert len(walk) - 1 == min(lengths)
        assert_closed_walk(graph, walk)
        assert set(walk) <= set(component)


def assert_closed_walk(graph, walk):
    assert len(walk) > 1
    assert walk[0] == walk[-1]
    assert all(b in graph.get(a, ()) for a, b in pairwise(walk))


@law
@given(graphs())
def test_topological_order_exists_just_where_there_is_no_cycle(graph):
    if not nx.is_directed_acyclic_graph(networkx_of(graph)):
        with pytest.raises(HasCycle) as raised:
            topological_order(graph)
        assert_closed_walk(graph, raised.value.walk)
        return
    order = topological_order(graph)
    assert sorted(order) == nodes_of(graph)
    place = {node: i for i, node in enumerate(order)}
    assert all(place[n] < place[target] for n, targets in graph.items() for target in targets)


@law
@given(
    graphs(acyclic=True),
    st.lists(st.integers(-3, 9), min_size=7, max_size=7),
    st.lists(st.integers(0, 6), min_size=1, max_size=3),
)
def test_longest_path_is_the_greatest_of_all_paths(graph, weights, starts):
    total, path = longest_path(graph, dict(enumerate(weights)), starts)
    every = [candidate for start in starts for candidate in full_paths(graph, start)]
    assert total == max(sum(weights[node] for node in candidate) for candidate in every)
    assert total == sum(weights[node] for node in path)
    assert path in every


@law
@given(flows(acyclic=True))
def test_must_analysis_of_a_dag_is_what_all_paths_share(flow):
    graph, starts, change = flow
    held = must_analysis(graph, starts, lambda s, i, f: changed(change, (s, i), f), FACTS)
    expected = dict.fromkeys(nodes_of(graph), FACTS)
    for start in starts:
        for end, edges in edge_paths(graph, start):
            facts = frozenset()
            for edge in edges:
                facts = changed(change, edge, facts)
            expected[end] = expected.get(end, FACTS) & facts
    assert held == expected | {start: frozenset() for start in starts}


@law
@given(flows(acyclic=False))
def test_must_analysis_with_cycles_is_what_all_reachable_fact_sets_share(flow):
    graph, starts, change = flow
    held = must_analysis(graph, starts, lambda s, i, f: changed(change, (s, i), f), FACTS)
    expected = dict.fromkeys([*nodes_of(graph), *starts], FACTS)
    seen = set()
    new = {(start, frozenset()) for start in starts}
    while new:
        seen |= new
        new = {
            (target, changed(change, (node, i), facts))
            for node, facts in new
            for i, target in enumerate(graph.get(node, ()))
        } - seen
    for node, facts in seen:
        expected[node] &= facts
    assert held == expected


@law
@given(flows(acyclic=True), st.sets(st.integers(0, 3), min_size=1, max_size=2))
def test_value_sets_of_a_dag_are_the_values_over_all_paths(flow, initial):
    graph, starts, change = flow
    expected = {node: set() for node in [*nodes_of(graph), *starts]}
    for start, value in product(starts, initial):
        for end, edges in edge_paths(graph, start):
            values = {value}
            for edge in edges:
                values = {after for v in values for after in steered(change, edge, v)}
            expected[end] |= values
    found = value_sets(graph, starts, lambda s, i, v: steered(change, (s, i), v), initial)
    assert found == expected


def steered(change, edge, value):
    """Return the values after an edge: none, kept, changed or split, as its drawn facts say."""
    added, removed = change[edge]
    kept = [] if "p" in removed else [value]
    return kept + [(value + len(added)) % 4] * ("q" in added)


@law
@given(flows(acyclic=False), st.sets(st.integers(0, 3), min_size=1, max_size=2))
def test_value_sets_with_cycles_are_reachability_over_node_and_value(flow, initial):
    graph, starts, change = flow
    states = nx.DiGraph()
    for node, value in product([*nodes_of(graph), *starts], range(4)):
        states.add_node((node, value))
        for i, target in enumerate(graph.get(node, ())):
            states.add_edges_from(
                ((node, value), (target, after)) for after in steered(change, (node, i), value)
            )
    firsts = set(product(starts, initial))
    reached = firsts.union(*(nx.descendants(states, first) for first in firsts))
    found = value_sets(graph, starts, lambda s, i, v: steered(change, (s, i), v), initial)
    assert {(node, value) for node, values in found.items() for value in values} == reached
    assert set(found) == {*nodes_of(graph), *starts}


@law
@given(
    graphs(largest=6),
    st.lists(st.integers(0, 5), max_size=2, unique=True),
    st.sets(st.integers(0, 5), max_size=3),
)
def test_the_witness_is_the_first_of_the_shortest_walks_to_a_bad_state(graph, starts, bad):
    found = shortest_witness(starts, lambda n: graph.get(n, ()), bad.__contains__)
    every = (walk for length in range(1, 7) for walk in walks(graph, starts, length))
    assert found == next((walk for walk in every if walk[-1] in bad), None)


@law
@given(
    graphs(),
    st.lists(st.integers(0, 6), min_size=1, max_size=2, unique=True),
    st.sets(st.integers(0, 6)),
)
def test_all_bad_has_a_shortest_witness_for_every_bad_state_reached(graph, starts, bad):
    oracle = networkx_of(graph)
    oracle.add_nodes_from(starts)
    distance = nx.multi_source_dijkstra_path_length(oracle, set(starts))
    found = all_bad(starts, lambda n: graph.get(n, ()), bad.__contains__)
    assert set(found) == bad & set(distance)
    lengths = [len(path) for path in found.values()]
    assert lengths == sorted(lengths)
    for state, path in found.items():
        assert path[0] in starts
        assert path[-1] == state
        assert len(path) == distance[state] + 1
        assert all(b in graph.get(a, ()) for a, b in pairwise(path))


@law
@given(graphs(acyclic=True), st.dictionaries(st.integers(0, 6), some_facts))
def test_labels_after_are_those_of_the_node_and_its_descendants(graph, labels):
    oracle = networkx_of(graph)
    expected = {
        node: frozenset().union(
            *(labels.get(other, frozenset()) for other in {node} | nx.descendants(oracle, node))
        )
        for node in nodes_of(graph)
    }
    assert labels_after(graph, labels) == expected


@law
@given(graphs(acyclic=True), st.dictionaries(st.integers(0, 6), st.integers(0, 4)))
def test_least_after_is_the_least_of_the_ends_among_the_descendants(graph, value):
    oracle = networkx_of(graph)
    expected = {}
    for node in nodes_of(graph):
        ends = [n for n in {node} | nx.descendants(oracle, node) if not graph.get(n)]
        valued = [value[end] for end in ends if end in value]
        if valued:
            expected[node] = min(valued)
    assert least_after(graph, value) == expected
