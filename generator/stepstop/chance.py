"""Exact arithmetic on chances: what evidence says, what a question tells, what to try first.

Hypotheses are positions in an array. Weights are chances up to a common factor: they need not add
up to 1, and are never below zero. Every result follows from the arguments alone, ties included.
"""

import heapq
import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from itertools import combinations
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Component = TypeVar("Component", int, str)

SAME = 1e-12
"""Rows of chances that differ by no more than this, in every column, count as equal."""

ROUNDING = 1e-9
"""Chances that should add up to 1 may miss it by this much."""


# --- What evidence says ----------------------------------------------------------------------


def posterior(prior: ArrayLike, likelihoods: Sequence[ArrayLike]) -> Floats:
    """Return the chance of each hypothesis after all the evidence, adding up to 1.

    `prior` is (H,), weights; each of `likelihoods` is (H,), P(what was seen | hypothesis), up to a
    factor. Bayes's theorem for evidence that is independent once the hypothesis is known. Raises
    ValueError if nothing is left possible. The order of the evidence doesn't change one bit; a
    chance too small for a float comes out as 0.
    """
    start = _weights(prior)
    rows = [_row(each, len(start)) for each in likelihoods]
    with np.errstate(divide="ignore"):
        logs = np.log(np.vstack([start, *rows]))
    # Logarithms, since a product of many small chances would run out of digits and become 0;
    # sorted, since a sum of floats depends on its order.
    total = np.sort(logs, axis=0).sum(axis=0)
    best = total.max(initial=-np.inf)
    if np.isneginf(best):
        raise ValueError(_why_nothing_is_possible(logs))
    return _normalised(np.exp(total - best))


def _why_nothing_is_possible(logs: Floats) -> str:
    """Name the first row, the prior being row 0, after which no hypothesis is left."""
    first = int(np.argmax(np.isneginf(logs.cumsum(axis=0)).all(axis=1)))
    if first == 0:
        return "no hypothesis has a weight above zero"
    return f"no hypothesis is left possible after evidence {first} of {len(logs) - 1}"


def by_label(weights: ArrayLike, labels: Sequence[str]) -> dict[str, float]:
    """Sum the weights of the hypotheses that share a label: heaviest first, then by name."""
    found = _weights(weights)
    parts: dict[str, list[float]] = {}
    for label, weight in zip(labels, found.tolist(), strict=True):
        parts.setdefault(label, []).append(weight)
    # `fsum` is exact whatever the order, so that labels of equal weight do tie.
    sums = {label: math.fsum(each) for label, each in parts.items()}
    return dict(sorted(sums.items(), key=lambda item: (-item[1], item[0])))


def tell_apart(rows: ArrayLike) -> list[tuple[int, ...]]:
    """Return the groups of hypotheses that no evidence in the table can tell apart.

    `rows` is (H, K), one row a hypothesis. Every hypothesis is in one group, alone if need be;
    groups come by their first member, which each other member equals within `SAME`.
    """
    table = _table(rows)
    groups: list[list[int]] = []
    firsts = np.empty_like(table)
    for members in _exactly_equal(table):
        row = table[members[0]]
        close = (np.abs(firsts[: len(groups)] - row) <= SAME).all(axis=1)
        if close.any():
            groups[int(np.argmax(close))] += members
        else:
            firsts[len(groups)] = row
            groups.append(members)
    return [tuple(sorted(group)) for group in groups]


def _exactly_equal(table: Floats) -> Iterable[list[int]]:
    """Return the positions of equal rows, by first position; cheap, and most rows are equal."""
    found: dict[bytes, list[int]] = {}
    for position, row in enumerate(table):
        found.setdefault(row.tobytes(), []).append(position)
    return found.values()


# --- What a question tells -------------------------------------------------------------------


def entropy(weights: ArrayLike) -> float:
    """Return Shannon's entropy in bits: 0 if no more than one hypothesis has any weight."""
    shares = _normalised(_weights(weights))
    shares = shares[shares > 0]
    return 0.0 - float((shares * np.log2(shares)).sum())


def information(weights: ArrayLike, split: Mapping[str, ArrayLike]) -> float:
    """Return by how many bits the entropy drops, on average, once the value is known; never < 0.

    `split` maps each value to (H,), P(value | hypothesis); for every hypothesis with a weight the
    values' chances add up to 1, else ValueError. Quinlan's gain, Machine Learning 1:81-106, 1986.
    """
    shares = _normalised(_weights(weights))
    rows = [_row(each, len(shares)) for each in split.values()]
    sums = np.sum(rows, axis=0) if rows else np.zeros_like(shares)
    if (np.abs(sums - 1)[shares > 0] > ROUNDING).any():
        raise ValueError("the chances of the values don't add up to 1 for every hypothesis")
    joints = [shares * row for row in rows]
    left = math.fsum(float(joint.sum()) * entropy(joint) for joint in joints)
    return max(0.0, entropy(shares) - left)


def huffman_depth(weights: ArrayLike, *, ways: int = 2) -> float:
    """Return the mean number of questions of the best tree that tells every hypothesis apart.

    Each question has `ways` answers and may ask anything; no tree of real checks does better.
    A hypothesis without weight needs no leaf. Huffman, Proc. IRE 40(9):1098-1101, 1952.
    """
    _check_ways(ways)
    shares = _normalised(_weights(weights))
    heap = shares[shares > 0].tolist()
    heap += [0.0] * ((1 - len(heap)) % (ways - 1))  # so that every question is filled
    heapq.heapify(heap)
    merged: list[float] = []
    while len(heap) > 1:
        merged.append(math.fsum(heapq.heappop(heap) for _ in range(ways)))
        heapq.heappush(heap, merged[-1])
    return math.fsum(merged)


def entropy_bound(weights: ArrayLike, ways: int) -> float:
    """Return the number of questions, each of `ways` answers, that no tree's mean goes below.

    The best tree is less than one question above it. Shannon, Bell System Technical J. 27, 1948.
    """
    _check_ways(ways)
    return entropy(weights) / math.log2(ways)


def _check_ways(ways: int) -> None:
    if ways < 2:
        raise ValueError(f"a question needs two answers or more, not {ways}")


# --- What to try first -----------------------------------------------------------------------


def best_order(chance: Mapping[str, float], cost: Mapping[str, float]) -> list[str]:
    """Return the actions by decreasing chance of a cure per cost, then by name.

    No order has a lower expected cost if: there is one fault at most; each action mends its own
    cause and no other; whether it did is seen at once; and no cost or chance depends on what was
    done before. A cover opened for several actions, or a test that mends nothing, breaks this.
    Kadane and Simon, "Optimal strategies for a class of constrained sequential problems", Annals
    of Statistics 5(2):237-255, 1977.
    """
    _check_actions(chance, cost)
    return sorted(chance, key=lambda action: (-_ratio(chance[action], cost[action]), action))


def expected_cost(
    order: Sequence[str], chance: Mapping[str, float], cost: Mapping[str, float]
) -> float:
    """Return the mean cost of trying the actions in this order until one cures.

    Under the conditions of `best_order`; where the chances add up to less than 1, the rest is a
    fault that no action mends, and all are tried. `order` holds each action once, else ValueError.
    """
    _check_actions(chance, cost)
    if sorted(order) != sorted(chance):
        raise ValueError("the order doesn't hold each action once")
    tried = [math.fsum(chance[each] for each in order[:place]) for place in range(len(order))]
    return math.fsum(cost[each] * (1 - done) for each, done in zip(order, tried, strict=True))


def _ratio(chance: float, cost: float) -> float:
    return chance / cost if cost > 0 else math.inf


def _check_actions(chance: Mapping[str, float], cost: Mapping[str, float]) -> None:
    """Raise ValueError unless both name the same actions, with chances of one fault at most."""
    if chance.keys() != cost.keys():
        odd = ", ".join(sorted(chance.keys() ^ cost.keys()))
        raise ValueError(f"without a chance or without a cost: {odd}")
    _weights(list(cost.values()))
    if _weights(list(chance.values())).sum() > 1 + ROUNDING:
        raise ValueError("the chances of the actions add up to more than 1")


# --- More than one fault ---------------------------------------------------------------------


def minimal_diagnoses(
    components: Sequence[Component],
    explains: Callable[[frozenset[Component]], bool],
    size: int,
) -> list[frozenset[Component]]:
    """Return the sets of at most `size` faulty components that explain what was seen, minimal.

    Minimal: no smaller part of the set explains it too. That every larger set explains it is not
    assumed: it need not once faults have a behaviour. Fewest first, then in the order of
    `components`. After de Kleer and Williams, Artificial Intelligence 32:97-130, 1987.
    """
    found: list[frozenset[Component]] = []
    for candidate in _subsets(components, min(size, len(components))):
        if not any(smaller <= candidate for smaller in found) and explains(candidate):
            found.append(candidate)
    return found


def _subsets(components: Sequence[Component], size: int) -> Iterator[frozenset[Component]]:
    for count in range(size + 1):
        yield from (frozenset(chosen) for chosen in combinations(components, count))


def hitting_sets(
    conflicts: Iterable[AbstractSet[Component]],
) -> list[frozenset[Component]]:
    """Return the minimal sets that share a member with every conflict; fewest first, then sorted.

    A conflict is a set of components that can't all be sound; the results are then the minimal
    diagnoses: Reiter, "A theory of diagnosis from first principles", Artificial Intelligence
    32:57-95, 1987. Found one conflict at a time, as in Berge, Hypergraphs, 1989, chapter 2.
    """
    found: list[frozenset[Component]] = [frozenset()]
    for conflict in conflicts:
        found = _minimal([hitting | {member} for hitting in found for member in conflict])
    return sorted(found, key=lambda hitting: (len(hitting), sorted(hitting)))


def _minimal(sets: Collection[frozenset[Component]]) -> list[frozenset[Component]]:
    kept: list[frozenset[Component]] = []
    for candidate in sorted(sets, key=len):
        if not any(smaller <= candidate for smaller in kept):
            kept.append(candidate)
    return kept


# --- Arrays ----------------------------------------------------------------------------------


def _weights(values: ArrayLike) -> Floats:
    """Return the values as (H,); raises ValueError if one is below zero or not finite."""
    found = np.asarray(values, dtype=np.float64)
    if found.ndim != 1:
        raise ValueError(f"one number a hypothesis is needed, not the shape {found.shape}")
    if not (np.isfinite(found) & (found >= 0)).all():
        raise ValueError("a weight, chance or cost is below zero or not finite")
    return found


def _row(values: ArrayLike, length: int) -> Floats:
    """Return the values as (length,), checked like weights."""
    found = _weights(values)
    if len(found) != length:
        raise ValueError(f"{len(found)} chances for {length} hypotheses")
    return found


def _table(rows: ArrayLike) -> Floats:
    """Return the rows as (H, K); raises ValueError if a number in them is not finite."""
    table = np.asarray(rows, dtype=np.float64)
    if table.ndim != 2:
        raise ValueError(f"a row for each hypothesis is needed, not the shape {table.shape}")
    if not np.isfinite(table).all():
        raise ValueError("a chance in the table is not finite")
    return table


def _normalised(weights: Floats) -> Floats:
    """Return the weights scaled to add up to 1; all 0 if there is no weight."""
    largest = weights.max(initial=0.0)
    if largest == 0:
        return np.zeros_like(weights)
    scaled: Floats = weights / largest  # first, so that the sum of huge weights stays finite
    scaled /= scaled.sum()
    return scaled
