"""Dominators and strong components against the figures of the papers that defined them."""

import networkx as nx
import pytest

from stepstop.graph import dominators_of, immediate_dominators, strong_components


def edges(text):
    """Read "a-b a-c" into a graph; numbers and letters alike stay text."""
    graph = {}
    for pair in text.split():
        source, target = pair.split("-")
        graph.setdefault(source, []).append(target)
        graph.setdefault(target, [])
    return graph


def idoms(nodes, dominators):
    return dict(zip(nodes.split(), dominators.split(), strict=True))


# The first four are also the cases of the Boost Graph Library's dominator tree test.
DOMINATOR_FIGURES = {
    "Lengauer and Tarjan, ACM TOPLAS 1(1), 1979, fig. 1": (
        "R",
        "R-A R-B R-C A-D B-A B-D B-E C-F C-G D-L E-H F-I G-I G-J H-E H-K I-K J-I K-I K-R L-H",
        idoms("A B C D E H I K F G J L", "R R R R R R R R C C G D"),
    ),
    "Appel, Modern Compiler Implementation, fig. 19.4": (
        "0",
        "0-1 1-2 1-3 2-4 2-5 4-6 5-6 6-1",
        idoms("1 2 3 4 5 6", "0 1 1 2 2 2"),
    ),
    "Muchnick, Advanced Compiler Design and Implementation, fig. 8.21": (
        "0",
        "0-1 1-2 2-3 2-4 3-2 4-5 4-6 5-7 6-7",
        idoms("1 2 3 4 5 6 7", "0 1 2 2 4 4 4"),
    ),
    "Cytron et al., ACM TOPLAS 13(4), 1991, fig. 9": (
        "0",
        "0-1 0-13 1-2 2-3 2-7 3-4 3-5 4-6 5-6 6-8 7-8 8-9 9-10 9-11 10-11 11-9 11-12 12-2 12-13",
        idoms("1 2 3 4 5 6 7 8 9 10 11 12 13", "0 1 2 3 3 3 2 2 8 9 9 11 0"),
    ),
    # Edges of the next two from memory; networkx uses the same graphs in its own tests.
    "Cooper, Harvey and Kennedy, A Simple, Fast Dominance Algorithm, 2001, fig. 2": (
        "5",
        "5-4 5-3 4-1 3-2 1-2 2-1",
        idoms("1 2 3 4", "5 5 5 5"),
    ),
    "Cooper, Harvey and Kennedy, A Simple, Fast Dominance Algorithm, 2001, fig. 4": (
        "6",
        "6-5 6-4 5-1 4-2 4-3 1-2 2-1 2-3 3-2",
        idoms("1 2 3 4 5", "6 6 6 6 6"),
    ),
}

COMPONENT_FIGURES = {
    "Tarjan, SIAM J. Computing 1(2), 1972": (
        "1-2 2-3 2-8 3-4 3-7 4-5 5-3 5-6 7-4 7-6 8-1 8-7",
        ["6", "3457", "128"],
    ),
    "Gabow, Information Processing Letters 74, 2000": (
        "1-2 1-3 2-3 2-4 4-3 4-5 5-2 5-6 6-3 6-4",
        ["3", "2456", "1"],
    ),
}


@pytest.mark.parametrize("figure", DOMINATOR_FIGURES)
def test_immediate_dominators_of_the_figure(figure):
    root, text, expected = DOMINATOR_FIGURES[figure]
    assert immediate_dominators(edges(text), root) == expected


@pytest.mark.parametrize("figure", DOMINATOR_FIGURES)
def test_networkx_gives_the_same_dominators(figure):
    root, text, _ = DOMINATOR_FIGURES[figure]
    oracle = dict(nx.immediate_dominators(nx.DiGraph(edges(text)), root))
    oracle.pop(root, None)  # networkx before 3.6 maps the root to itself
    assert immediate_dominators(edges(text), root) == oracle


def test_dominators_of_reads_the_chain_of_cytron_up_to_the_root():
    root, text, _ = DOMINATOR_FIGURES["Cytron et al., ACM TOPLAS 13(4), 1991, fig. 9"]
    idom = immediate_dominators(edges(text), root)
    assert dominators_of(idom, "12") == ["11", "9", "8", "2", "1", "0"]
    assert dominators_of(idom, "13") == ["0"]


@pytest.mark.parametrize("figure", COMPONENT_FIGURES)
def test_strong_components_of_the_figure_come_last_reached_first(figure):
    text, expected = COMPONENT_FIGURES[figure]
    found = strong_components(edges(text))
    assert ["".join(sorted(component)) for component in found] == expected
