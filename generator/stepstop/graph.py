"""Graph algorithms on plain mappings: what is reached, what must hold, the shortest witness.

A graph maps each node to its targets, in order. Parallel edges count apart (an edge is its source
and its index in that order), and a node that is only a target, or only a start, has no edges.
Nothing recurses, and every result follows the order of the mapping and of the sequences handed in.
"""

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from itertools import chain, product
from typing import Literal, TypeVar

Node = TypeVar("Node", bound=Hashable)
Fact = TypeVar("Fact", bound=Hashable)
Value = TypeVar("Value", bound=Hashable)
State = TypeVar("State", bound=Hashable)
Weight = TypeVar("Weight", int, float)

Graph = Mapping[Node, Sequence[Node]]
Event = tuple[Literal["enter", "again", "leave"], Node, Node]


class HasCycle(ValueError):
    """A graph that should have no cycle has one: `walk`, its first node repeated last."""

    def __init__(self, walk: tuple[Hashable, ...]) -> None:
        super().__init__("the graph has a cycle: " + " -> ".join(str(node) for node in walk))
        self.walk = walk


# --- Walking ---------------------------------------------------------------------------------


def reachable(graph: Graph[Node], starts: Iterable[Node]) -> set[Node]:
    """Return the nodes on some path from a start, the starts among them."""
    return set(_breadth_first(starts, lambda node: graph.get(node, ()), {}))


def _breadth_first(
    starts: Iterable[State],
    successors: Callable[[State], Iterable[State]],
    parents: dict[State, State],
) -> Iterator[State]:
    """Yield each state once, nearest first and then in order of generation.

    `parents` receives the state each one was first generated from; a start is its own parent.
    """
    waiting = deque(dict.fromkeys(starts))
    parents.update((start, start) for start in waiting)
    while waiting:
        state = waiting.popleft()
        yield state
        for following in successors(state):
            if following not in parents:
                parents[following] = state
                waiting.append(following)


def _depth_first(graph: Graph[Node], roots: Iterable[Node]) -> Iterator[Event[Node]]:
    """Yield ("enter", parent, node), ("again", source, node already seen), ("leave", parent, node).

    A root is its own parent.
    """
    seen: set[Node] = set()
    for root in roots:
        if root in seen:
            continue
        seen.add(root)
        yield "enter", root, root
        open_nodes = [(root, iter(graph.get(root, ())))]
        while open_nodes:
            node, targets = open_nodes[-1]
            for target in targets:
                if target not in seen:
                    seen.add(target)
                    yield "enter", node, target
                    open_nodes.append((target, iter(graph.get(target, ()))))
                    break
                yield "again", node, target
            else:
                open_nodes.pop()
                yield "leave", open_nodes[-1][0] if open_nodes else node, node


def _all_nodes(graph: Graph[Node]) -> list[Node]:
    """Return every node once: those with an entry, then those that are only targets."""
    return list(dict.fromkeys(chain(graph, chain.from_iterable(graph.values()))))


# --- Dominators ------------------------------------------------------------------------------


def immediate_dominators(graph: Graph[Node], root: Node) -> dict[Node, Node]:
    """Map each node reachable from the root to its immediate dominator, in depth-first order.

    The root itself and nodes that can't be reached are left out. The simple version of Lengauer
    and Tarjan, "A fast algorithm for finding dominators in a flowgraph", ACM TOPLAS 1(1), 1979:
    O(edges * log nodes), also where one late node goes back to very many earlier ones.
    """
    order, parent, sources = _depth_first_numbers(graph, root)
    semi = list(range(len(order)))
    forest = _Forest(semi)
    idom = [0] * len(order)
    bucket: list[list[int]] = [[] for _ in order]
    for node in range(len(order) - 1, 0, -1):
        semi[node] = min(semi[forest.least(source)] for source in sources[node])
        bucket[semi[node]].append(node)
        forest.link(parent[node], node)
        for held in bucket[parent[node]]:
            best = forest.least(held)
            idom[held] = best if semi[best] < semi[held] else parent[node]
        bucket[parent[node]].clear()
    for node in range(1, len(order)):
        if idom[node] != semi[node]:
            idom[node] = idom[idom[node]]
    return {order[node]: order[idom[node]] for node in range(1, len(order))}


def dominators_of(idom: Mapping[Node, Node], node: Node) -> list[Node]:
    """Return the nodes that every path to `node` passes before it, nearest first, the root last.

    `idom` is as from `immediate_dominators`; empty for its root and for a node it doesn't know.
    """
    above = []
    while node in idom:
        node = idom[node]
        above.append(node)
    return above


def _depth_first_numbers(
    graph: Graph[Node], root: Node
) -> tuple[list[Node], list[int], list[list[int]]]:
    """Return the nodes in depth-first order and, by number in it, each one's parent and sources."""
    number: dict[Node, int] = {}
    parent: list[int] = []
    edges: list[tuple[Node, Node]] = []
    for event, source, node in _depth_first(graph, [root]):
        if event == "enter":
            number[node] = len(number)
            parent.append(number[source])
        if event != "leave":
            edges.append((source, node))
    sources: list[list[int]] = [[] for _ in number]
    for source, node in edges:
        sources[number[node]].append(number[source])
    return list(number), parent, sources


class _Forest:
    """The linked part of the depth-first tree, with path compression (EVAL of the paper)."""

    def __init__(self, semi: list[int]) -> None:
        self._semi = semi
        self._above = [-1] * len(semi)
        self._label = list(range(len(semi)))

    def link(self, parent: int, node: int) -> None:
        self._above[node] = parent

    def least(self, node: int) -> int:
        """Return the node of least `semi` on the linked path to `node`, less its top node."""
        path = []
        top = node
        while self._above[top] >= 0:
            path.append(top)
            top = self._above[top]
        for lower in reversed(path[:-1]):
            upper = self._above[lower]
            if self._semi[self._label[upper]] < self._semi[self._label[lower]]:
                self._label[lower] = self._label[upper]
            self._above[lower] = self._above[upper]
        return self._label[node]


# --- Components, cycles, order ---------------------------------------------------------------


def strong_components(graph: Graph[Node]) -> list[tuple[Node, ...]]:
    """Return the strongly connected components, each after every component it leads to.

    R. Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Computing 1(2), 1972.
    """
    number: dict[Node, int] = {}
    low: dict[Node, int] = {}
    place: dict[Node, int] = {}
    pending: list[Node] = []
    components = []
    for event, source, node in _depth_first(graph, _all_nodes(graph)):
        if event == "enter":
            number[node] = low[node] = len(number)
            place[node] = len(pending)
            pending.append(node)
        elif event == "again" and node in place:
            low[source] = min(low[source], number[node])
        elif event == "leave":
            low[source] = min(low[source], low[node])
            if low[node] == number[node]:
                components.append(tuple(pending[place[node] :]))
                del pending[place[node] :]
                for member in components[-1]:
                    del place[member]
    return components


def cycles(graph: Graph[Node]) -> list[tuple[tuple[Node, ...], tuple[Node, ...]]]:
    """Return (component, walk) for each strong component with a cycle.

    The walk is a shortest cycle of the component, its first node repeated last. Time is nodes times
    edges at worst, when a component has many cycles and all of them are long.
    """
    found = []
    for component in strong_components(graph):
        members = set(component)
        inside = {
            node: [target for target in graph.get(node, ()) if target in members]
            for node in component
        }
        if inside[component[0]]:
            found.append((component, _shortest_cycle(inside)))
    return found


def _shortest_cycle(graph: Graph[Node]) -> tuple[Node, ...]:
    """Return a shortest cycle of a graph that has one, its first node repeated last.

    Every cycle holds an edge back to a node still open in a depth-first walk, so it is enough to
    look for the shortest way home of those nodes.
    """
    best: tuple[Node, ...] = ()
    for home in _back_targets(graph):
        best = _way_home(graph, home, len(best)) or best
    return best


def _back_targets(graph: Graph[Node]) -> list[Node]:
    """Return the nodes that an edge of the depth-first walk goes back to."""
    still_open: set[Node] = set()
    targets: dict[Node, None] = {}
    for event, _, node in _depth_first(graph, graph):
        if event == "enter":
            still_open.add(node)
        elif event == "leave":
            still_open.remove(node)
        elif node in still_open:
            targets[node] = None
    return list(targets)


def _way_home(graph: Graph[Node], home: Node, limit: int) -> tuple[Node, ...]:
    """Return a shortest closed walk from `home` of fewer than `limit` entries (0: any), else ()."""
    parents: dict[Node, Node] = {}
    depth = {home: 0}
    for node in _breadth_first([home], lambda node: graph.get(node, ()), parents):
        depth[node] = depth[parents[node]] + 1
        if limit and depth[node] + 1 >= limit:
            return ()
        if home in graph.get(node, ()):
            return (*path_to(node, parents), home)
    return ()


def topological_order(graph: Graph[Node]) -> list[Node]:
    """Return every node before all that it leads to; raise HasCycle (a ValueError) if none is.

    A. B. Kahn, "Topological sorting of large networks", Comm. ACM 5(11), 1962.
    """
    nodes = _all_nodes(graph)
    unmet = dict.fromkeys(nodes, 0)
    for target in chain.from_iterable(graph.values()):
        unmet[target] += 1
    ready = deque(node for node in nodes if not unmet[node])
    order = []
    while ready:
        order.append(ready.popleft())
        for target in graph.get(order[-1], ()):
            unmet[target] -= 1
            if not unmet[target]:
                ready.append(target)
    if len(order) < len(nodes):
        raise HasCycle(cycles(graph)[0][1])
    return order


def longest_path(
    graph: Graph[Node], weights: Mapping[Node, Weight], starts: Iterable[Node]
) -> tuple[Weight, list[Node]]:
    """Return the greatest sum of node weights on a path from a start to an end node, and that path.

    Of equal ones the first edge wins. Raises HasCycle if a start leads to a cycle, KeyError if a
    node on the way has no weight, ValueError if there is no start.
    """
    starts = list(starts)
    if not starts:
        raise ValueError("longest_path needs a start")
    reached = list(_breadth_first(starts, lambda node: graph.get(node, ()), {}))
    part = {node: graph.get(node, ()) for node in reached}
    total = longest_from(part, weights)
    path = [max(starts, key=total.__getitem__)]
    while part[path[-1]]:
        path.append(max(part[path[-1]], key=total.__getitem__))
    return total[path[0]], path


def longest_from(graph: Graph[Node], weights: Mapping[Node, Weight]) -> dict[Node, Weight]:
    """Map each node to the greatest sum of node weights on a path from it to an end node.

    Raises HasCycle if the graph has one, KeyError if a node has no weight.
    """
    total: dict[Node, Weight] = {}
    for node in reversed(topological_order(graph)):
        after = [total[target] for target in graph.get(node, ())]
        total[node] = weights[node] + max(after) if after else weights[node]
    return total


# --- What holds at each node -----------------------------------------------------------------


def must_analysis(
    graph: Graph[Node],
    starts: Iterable[Node],
    transfer: Callable[[Node, int, frozenset[Fact]], frozenset[Fact]],
    universe: AbstractSet[Fact],
) -> dict[Node, frozenset[Fact]]:
    """Map each node to the facts that hold on every path from a start to it.

    `transfer(source, edge_index, facts)` gives the facts after that edge: never fewer for more
    before it, and all from `universe` (else ValueError). Nothing holds at a start; all of
    `universe` holds at a node that no start reaches, so report those nodes apart. The greatest
    fixed point of G. Kildall, "A unified approach to global program optimization", POPL 1973:
    exact where edges only add and remove facts, and never too many facts elsewhere.
    """
    everything = frozenset(universe)
    starts = list(starts)
    facts = dict.fromkeys(_all_nodes(graph), everything)
    facts.update(dict.fromkeys(starts, frozenset()))
    waiting = deque(forward_order(graph, starts))
    queued = set(waiting)
    while waiting:
        node = waiting.popleft()
        queued.remove(node)
        for index, target in enumerate(graph.get(node, ())):
            after = transfer(node, index, facts[node])
            if not after <= everything:
                raise ValueError(f"edge {index} of {node} gives facts outside the universe")
            if facts[target] <= after:
                continue
            facts[target] &= after
            if target not in queued:
                queued.add(target)
                waiting.append(target)
    return facts


def value_sets(
    graph: Graph[Node],
    starts: Iterable[Node],
    transfer: Callable[[Node, int, Value], Iterable[Value]],
    initial: Iterable[Value],
) -> dict[Node, frozenset[Value]]:
    """Map each node to the values that one finding can have there, each on at least one path.

    `transfer(source, edge_index, value)` yields the values possible after that edge; none means
    that the edge isn't taken with this value. A node that no start reaches has no value. Values
    must be finitely many.
    """

    def following(state: tuple[Node, Value]) -> Iterator[tuple[Node, Value]]:
        node, value = state
        for index, target in enumerate(graph.get(node, ())):
            for after in transfer(node, index, value):
                yield target, after

    firsts = list(product(starts, initial))
    found: dict[Node, set[Value]] = {node: set() for node in _all_nodes(graph)}
    for node, value in _breadth_first(firsts, following, {}):
        found.setdefault(node, set()).add(value)
    return {node: frozenset(values) for node, values in found.items()}


def forward_order(graph: Graph[Node], starts: Iterable[Node]) -> list[Node]:
    """Return the reachable nodes, each before its targets as far as cycles allow.

    The reverse of the order in which a depth-first walk leaves them.
    """
    left = [node for event, _, node in _depth_first(graph, starts) if event == "leave"]
    return left[::-1]


# --- Witnesses -------------------------------------------------------------------------------


def shortest_witness(
    starts: Iterable[State],
    successors: Callable[[State], Iterable[State]],
    is_bad: Callable[[State], bool],
) -> list[State] | None:
    """Return the shortest list of states from a start to a bad one, or None if none is reached.

    Of equally short ones the first in order of generation wins. States must be finitely many.
    Breadth-first search: E. F. Moore, "The shortest path through a maze", 1959.
    """
    parents: dict[State, State] = {}
    for state in _breadth_first(starts, successors, parents):
        if is_bad(state):
            return path_to(state, parents)
    return None


def all_bad(
    starts: Iterable[State],
    successors: Callable[[State], Iterable[State]],
    is_bad: Callable[[State], bool],
) -> dict[State, list[State]]:
    """Map every bad state reached, nearest first, to a shortest list of states from a start to it.

    The search goes on through bad states, so a witness may pass another one.
    """
    parents: dict[State, State] = {}
    bad = [state for state in _breadth_first(starts, successors, parents) if is_bad(state)]
    return {state: path_to(state, parents) for state in bad}


def explore(
    starts: Iterable[State], successors: Callable[[State], Iterable[State]]
) -> dict[State, State]:
    """Map every state reached, nearest first, to the state before it; a start to itself."""
    parents: dict[State, State] = {}
    for _ in _breadth_first(starts, successors, parents):
        pass
    return parents


def path_to(state: State, parents: Mapping[State, State]) -> list[State]:
    """Return the states from the start, its own parent, to `state`."""
    path = [state]
    while parents[path[-1]] != path[-1]:
        path.append(parents[path[-1]])
    return path[::-1]


# --- What comes after ------------------------------------------------------------------------


def labels_after(
    graph: Graph[Node], labels: Mapping[Node, frozenset[Fact]]
) -> dict[Node, frozenset[Fact]]:
    """Map each node to the labels of all nodes reachable from it, itself among them.

    A node without an entry in `labels` has none. Raises HasCycle if the graph has one.
    """
    after: dict[Node, frozenset[Fact]] = {}
    none: frozenset[Fact] = frozenset()
    for node in reversed(topological_order(graph)):
        below = {after[target] for target in graph.get(node, ())}
        after[node] = labels.get(node, none).union(*below)
    return after


def least_after(graph: Graph[Node], value: Mapping[Node, int]) -> dict[Node, int]:
    """Map each node to the least value of the end nodes reachable from it.

    An end node has no targets; a value of any other node doesn't count. A node that reaches no end
    node with a value is left out. Raises HasCycle if the graph has a cycle.
    """
    least: dict[Node, int] = {}
    for node in reversed(topological_order(graph)):
        targets = graph.get(node, ())
        known = least if targets else value
        found = [known[end] for end in targets or (node,) if end in known]
        if found:
            least[node] = min(found)
    return least


# --- Folding ---------------------------------------------------------------------------------


def alike(graph: Graph[Node], label: Mapping[Node, Hashable]) -> dict[Node, int]:
    """Node -> number of its class, for each node of `label`: the fewest classes that tell all.

    Two nodes are in one class if they have one label and their targets, in order, are in the same
    classes: whoever follows the edges from either can't tell which it was. Targets that have no
    label count by themselves. Classes are numbered in the order of the nodes.
    """
    of = _numbered({node: (label[node],) for node in label})
    count = len(set(of.values()))
    while True:
        told = {
            node: (of[node], *(of.get(to, ("", to)) for to in graph.get(node, ()))) for node in of
        }
        of = _numbered(told)
        now = len(set(of.values()))
        if now == count:
            return of
        count = now


def _numbered(told: Mapping[Node, Hashable]) -> dict[Node, int]:
    """Equal values have one number, in the order of their coming."""
    numbers: dict[Hashable, int] = {}
    return {node: numbers.setdefault(value, len(numbers)) for node, value in told.items()}
