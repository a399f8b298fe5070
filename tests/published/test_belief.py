"""Arithmetic on chances against published cases of Bayes, Quinlan, Huffman, repair and diagnosis.

Beside each case: where it is from, and whether its figures were seen there, are from memory, or
were computed with a program other than this one.
"""

from itertools import permutations, product

import numpy as np
import pytest

from stepstop.chance import (
    best_order,
    entropy,
    entropy_bound,
    expected_cost,
    hitting_sets,
    huffman_depth,
    information,
    minimal_diagnoses,
    posterior,
)


def chance_of(table, *given):
    """Return (2,): chances of 0 and 1, from a table of the chance of 1."""
    one = table[given] if given else table
    return np.array([1 - one, one])


# --- Asia ------------------------------------------------------------------------------------
# Lauritzen and Spiegelhalter, J. Royal Statistical Society B 50(2):157-224, 1988. The tables were
# seen in the examples of BUGS, volume 2 ("Asia"). A visit to Asia, S smoking, T tuberculosis,
# L lung cancer, B bronchitis, E = T or L, X-ray, D shortness of breath.

ASIA = "ASTLBEXD"
TUBERCULOSIS = {(0,): 0.01, (1,): 0.05}  # given A
CANCER = {(0,): 0.01, (1,): 0.10}  # given S
BRONCHITIS = {(0,): 0.30, (1,): 0.60}  # given S
X_RAY = {(0,): 0.05, (1,): 0.98}  # given E
BREATH = {(0, 0): 0.1, (0, 1): 0.8, (1, 0): 0.7, (1, 1): 0.9}  # given E and B

# Computed with pgmpy 1.1.2, VariableElimination, to six places; a dash was not computed.
ASIA_EXACT = """
evidence         T        L        B        E        X        D        S        A
none             0.010400 0.055000 0.450000 0.064828 0.110290 0.435971 0.500000 0.010000
D=1              0.018845 0.102759 0.833967 0.120536 0.162098 -        0.633997 0.010325
X=1              0.092411 0.488711 0.506326 0.576040 -        0.640766 0.687754 0.013156
D=1,X=1          0.113933 0.621253 0.681869 0.728725 -        -        0.785610 0.013984
A=1,D=1          0.087751 0.099525 0.811402 0.182300 0.219539 -        0.625920 -
A=1,D=1,X=1      0.391712 0.444271 0.628822 0.813769 -        -        0.702025 -
A=1,D=1,S=0      0.112835 0.022567 0.717942 0.134274 0.174874 -        -        -
A=1,D=1,S=0,X=1  0.632329 0.126466 0.458960 0.752472 -        -        -        -
"""


def asia_rows():
    """Return (evidence, variable, its exact chance) for each figure of the table."""
    rows = []
    heading, *lines = ASIA_EXACT.strip().splitlines()
    for line in lines:
        text, *figures = line.split()
        pairs = [] if text == "none" else [pair.split("=") for pair in text.split(",")]
        evidence = {name: int(value) for name, value in pairs}
        for variable, figure in zip(heading.split()[1:], figures, strict=True):
            if figure != "-":
                case = (evidence, variable, float(figure))
                rows.append(pytest.param(*case, id=f"{variable}|{text}"))
    return rows


def asia_causes():
    """Return (32, 6), states of A S T L B E, and the chance of each state, (32,)."""
    states = [(*five, five[2] | five[3]) for five in product((0, 1), repeat=5)]
    chances = [
        chance_of(0.01)[a]
        * chance_of(0.5)[s]
        * chance_of(TUBERCULOSIS, a)[t]
        * chance_of(CANCER, s)[c]
        * chance_of(BRONCHITIS, s)[b]
        for a, s, t, c, b, _ in states
    ]
    return np.array(states), np.array(chances)


def asia_symptoms(states):
    """Return P(X = 1 | state) and P(D = 1 | state), each (32,)."""
    x_ray = np.array([X_RAY[(e,)] for *_, e in states.tolist()])
    return x_ray, np.array([BREATH[e, b] for *_, b, e in states.tolist()])


def asia_joint():
    """Return (128, 8), states of all eight variables, and the chance of each, (128,)."""
    causes, chances = asia_causes()
    states, joint = [], []
    for cause, chance, x_ray, breath in zip(
        causes.tolist(), chances, *asia_symptoms(causes), strict=True
    ):
        for x, d in product((0, 1), repeat=2):
            states.append([*cause, x, d])
            joint.append(chance * chance_of(x_ray)[x] * chance_of(breath)[d])
    return np.array(states), np.array(joint)


def test_the_joint_of_asia_is_a_distribution():
    _, joint = asia_joint()
    assert len(joint) == 128
    assert joint.sum() == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize(("evidence", "variable", "exact"), asia_rows())
def test_asia_over_its_whole_joint(evidence, variable, exact):
    states, joint = asia_joint()
    seen = [(states[:, ASIA.index(name)] == value) * 1.0 for name, value in evidence.items()]
    found = posterior(joint, seen) @ states[:, ASIA.index(variable)]
    assert found == pytest.approx(exact, abs=1e-6)


@pytest.mark.parametrize(("evidence", "variable", "exact"), asia_rows())
def test_asia_with_its_symptoms_as_noisy_evidence(evidence, variable, exact):
    states, chances = asia_causes()
    x_ray, breath = asia_symptoms(states)
    of_one = dict(zip(ASIA, [*states.T, x_ray, breath], strict=True))
    seen = [of_one[name] if value else 1 - of_one[name] for name, value in evidence.items()]
    assert posterior(chances, seen) @ of_one[variable] == pytest.approx(exact, abs=1e-6)


# --- Tests and witnesses ---------------------------------------------------------------------
# Prior, P(positive | true), P(positive | false), posterior. The figures are from memory unless
# said otherwise; the digits beyond those in quotes are plain arithmetic on them, done elsewhere.

SCREENING = {
    # "7.8 %". Eddy, in Judgment under Uncertainty, Cambridge University Press, 1982.
    "mammography": (0.01, 0.8, 0.096, 0.0776398),
    # "2 %". Casscells, Schoenberger and Graboys, New England J. Medicine 299:999-1001, 1978; that
    # the test misses nobody is the usual reading.
    "Casscells": (0.001, 1, 0.05, 0.0196271),
    # "41 %". Tversky and Kahneman, in Judgment under Uncertainty, 1982.
    "taxicab": (0.15, 0.8, 0.2, 0.4137931),
    # "About 16 %". Seen in a stored copy of an article by Kruschke on Bayesian reasoning.
    "97 % and 5 % at 1 %": (0.01, 0.97, 0.05, 0.1638514),
}


@pytest.mark.parametrize("case", SCREENING)
def test_one_positive_result(case):
    base, hit, false_alarm, expected = SCREENING[case]
    found = posterior([base, 1 - base], [[hit, false_alarm]])
    assert found[0] == pytest.approx(expected, abs=5e-8)


def test_mammography_in_odds():
    after = posterior([0.01, 0.99], [[0.8, 0.096]])
    assert after[0] / after[1] == pytest.approx(0.0841751, abs=5e-8)


# Russell and Norvig, Artificial Intelligence: A Modern Approach, "burglary"; tables from memory.
ALARM = {(0, 0): 0.001, (0, 1): 0.29, (1, 0): 0.94, (1, 1): 0.95}  # given burglary, earthquake


def burglary():
    """Return states (burglary, earthquake, alarm), the chance of each, and that each calls.

    The states are (8, 3), the others (8,); the calls are John's and Mary's.
    """
    states = list(product((0, 1), repeat=3))
    chances = [
        chance_of(0.001)[b] * chance_of(0.002)[e] * chance_of(ALARM, b, e)[a] for b, e, a in states
    ]
    alarm = np.array([a for *_, a in states])
    calls = [np.where(alarm, 0.90, 0.05), np.where(alarm, 0.70, 0.01)]
    return np.array(states), np.array(chances), calls


def test_burglary_when_both_neighbours_call():
    states, chances, calls = burglary()
    found = posterior(chances, calls) @ states[:, 0]
    assert found == pytest.approx(0.2841718, abs=5e-8)
    assert round(found, 3) == 0.284  # as printed


def test_the_printed_joint_of_the_alarm_without_a_cause():
    # P(j, m, a, not b, not e) = P(j, m) * P(a, not b, not e | j, m); printed as 0.000628.
    states, chances, calls = burglary()
    both_call = chances @ np.prod(calls, axis=0)
    false_alarm = (states == (0, 0, 1)).all(axis=1)
    found = both_call * posterior(chances, calls)[false_alarm][0]
    assert found == pytest.approx(0.000628111, abs=5e-10)


# --- Quinlan's gains -------------------------------------------------------------------------
# Quinlan, Machine Learning 1:81-106, 1986, table 1; rows from memory. Exact gains computed with
# scipy.stats.entropy and with scikit-learn's mutual_info_score / ln 2, which agree. The paper
# prints 0.940 and 0.246, 0.151, 0.048, 0.029: the gains are cut, not rounded.

ATTRIBUTES = ("outlook", "temperature", "humidity", "wind")
WEATHER = [
    row.split()
    for row in (
        "sunny hot high weak N",
        "sunny hot high strong N",
        "overcast hot high weak P",
        "rain mild high weak P",
        "rain cool normal weak P",
        "rain cool normal strong N",
        "overcast cool normal strong P",
        "sunny mild high weak N",
        "sunny cool normal weak P",
        "rain mild normal weak P",
        "sunny mild normal strong P",
        "overcast mild high strong P",
        "overcast hot normal weak P",
        "rain mild high strong N",
    )
]
GAINS = {
    "outlook": (0.246750, "0.246"),
    "humidity": (0.151836, "0.151"),
    "wind": (0.048127, "0.048"),
    "temperature": (0.029223, "0.029"),
}
LEFT = {
    "sunny": 0.970951,
    "overcast": 0,
    "rain": 0.970951,
    "high": 0.985228,
    "normal": 0.591673,
    "weak": 0.811278,
    "strong": 1,
    "hot": 1,
    "mild": 0.918296,
    "cool": 0.811278,
}


def class_weights(rows):
    """Return (2,): how many rows are of class N and of class P."""
    return np.array([sum(row[-1] == each for row in rows) for each in "NP"], dtype=float)


def split_by(attribute, rows):
    """Map each value of the attribute to (2,), P(value | class)."""
    column = ATTRIBUTES.index(attribute)
    values = sorted({row[column] for row in rows})
    total = class_weights(rows)
    return {
        value: class_weights([row for row in rows if row[column] == value]) / total
        for value in values
    }


def best_split(rows):
    return max(ATTRIBUTES, key=lambda name: information(class_weights(rows), split_by(name, rows)))


def test_the_classes_of_quinlan():
    assert class_weights(WEATHER).tolist() == [5, 9]
    assert entropy(class_weights(WEATHER)) == pytest.approx(0.940286, abs=5e-7)


@pytest.mark.parametrize("attribute", GAINS)
def test_gain_of(attribute):
    exact, printed = GAINS[attribute]
    found = information(class_weights(WEATHER), split_by(attribute, WEATHER))
    assert found == pytest.approx(exact, abs=5e-7)
    assert f"{found:.6f}".startswith(printed)


@pytest.mark.parametrize("value", LEFT)
def test_entropy_left_after(value):
    rows = [row for row in WEATHER if value in row]
    assert entropy(class_weights(rows)) == pytest.approx(LEFT[value], abs=5e-7)


def test_the_tree_of_quinlan():
    assert best_split(WEATHER) == "outlook"
    assert best_split([row for row in WEATHER if row[0] == "sunny"]) == "humidity"
    assert best_split([row for row in WEATHER if row[0] == "rain"]) == "wind"


# --- Order of repairs ------------------------------------------------------------------------
# That decreasing p/c is optimal for independent repairs: Kadane and Simon, Annals of Statistics
# 5(2):237-255, 1977; credited to them in the abstract of arXiv 1203.3502, which was seen. The
# formula of the expected cost as in Heckerman, Breese and Rommelse, Communications of the ACM
# 38(3):49-57, 1995, from memory. The case is our own, its six costs worked out by hand, such as
# c, b, a: 1 + 0.8 * 2 + 0.5 * 10.

CURES = {"a": 0.5, "b": 0.3, "c": 0.2}
PRICES = {"a": 10, "b": 2, "c": 1}
COSTS = {"cba": 7.6, "bca": 7.7, "bac": 9.2, "cab": 9.6, "acb": 11.1, "abc": 11.2}


def test_the_likeliest_cause_may_come_last():
    assert best_order(CURES, PRICES) == ["c", "b", "a"]


@pytest.mark.parametrize("order", COSTS)
def test_expected_cost_of(order):
    assert expected_cost(order, CURES, PRICES) == pytest.approx(COSTS[order], abs=1e-12)


def test_the_six_costs_are_all_there_are():
    assert {"".join(order) for order in permutations("abc")} == COSTS.keys()


# --- Huffman ---------------------------------------------------------------------------------

# Huffman, Proc. IRE 40(9):1098-1101, 1952, table I: weights and 3.42 from memory; the entropy
# computed from its definition in another program.
TABLE_I = [0.20, 0.18, 0.10, 0.10, 0.10, 0.06, 0.06, 0.04, 0.04, 0.04, 0.04, 0.03, 0.01]
# Cormen, Leiserson, Rivest and Stein, Introduction to Algorithms, section 16.3, in thousands of
# letters: 224,000 bits for 100,000 letters; from memory.
LETTERS = {45: 1, 13: 3, 12: 3, 16: 3, 9: 4, 5: 4}


def test_huffmans_own_table():
    assert huffman_depth(TABLE_I) == pytest.approx(3.42, abs=1e-12)
    assert entropy(TABLE_I) == pytest.approx(3.354561, abs=5e-7)


def test_the_letters_of_the_textbook():
    mean = sum(weight * length for weight, length in LETTERS.items()) / sum(LETTERS)
    assert huffman_depth(list(LETTERS)) == pytest.approx(mean, abs=1e-12)
    assert mean == pytest.approx(2.24)


@pytest.mark.parametrize("weights", [TABLE_I, list(LETTERS)])
def test_entropy_bounds_the_best_tree_from_below_and_within_one_question(weights):
    # Shannon's source coding theorem; Cover and Thomas, Elements of Information Theory, 5.4.
    bound = entropy_bound(weights, 2)
    assert bound == entropy(weights)
    assert bound <= huffman_depth(weights) < bound + 1


# --- Diagnosis from a model ------------------------------------------------------------------
# The polybox: de Kleer and Williams, Artificial Intelligence 32:97-130, 1987. Conflicts and minimal
# diagnoses for F = 10, G = 12 seen in lecture notes on that paper; the other readings, and how many
# of all sets explain the first, computed by trying all sets in another program.

POLYBOX = ("A1", "A2", "M1", "M2", "M3")
WIRE = range(13)  # wide enough: a wire is 6, or a reading less another wire


def polybox_explains(f, g):
    """Tell of a set of faulty parts whether some wires agree with all the sound ones.

    Multipliers M1 = 3*2, M2 = 2*3 and M3 = 2*3 feed the adders A1 = M1 + M2 and A2 = M2 + M3,
    whose results are read as `f` and `g`.
    """

    def explains(faulty):
        wires = [WIRE if name in faulty else (6,) for name in ("M1", "M2", "M3")]
        return any(
            ("A1" in faulty or x + y == f) and ("A2" in faulty or y + z == g)
            for x, y, z in product(*wires)
        )

    return explains


def sets(text):
    """Read "A1 M2,M3" into the sets {A1} and {M2, M3}."""
    return {frozenset(each.split(",")) for each in text.split()}


@pytest.mark.parametrize(
    ("f", "g", "minimal"),
    [
        (10, 12, sets("A1 M1 A2,M2 M2,M3")),
        (10, 10, sets("M2 M1,M3 A2,M1 A1,M3 A1,A2")),
        (12, 12, {frozenset()}),
    ],
)
def test_minimal_diagnoses_of_the_polybox(f, g, minimal):
    found = minimal_diagnoses(POLYBOX, polybox_explains(f, g), len(POLYBOX))
    assert (len(found), set(found)) == (len(minimal), minimal)


def test_of_the_32_sets_of_the_polybox_27_are_diagnoses():
    chosen = product((False, True), repeat=5)
    subsets = [
        frozenset(n for n, taken in zip(POLYBOX, row, strict=True) if taken) for row in chosen
    ]
    assert len(subsets) == 32
    assert sum(map(polybox_explains(10, 12), subsets)) == 27


def test_the_conflicts_of_the_polybox_lead_to_its_diagnoses():
    conflicts = sets("A1,M1,M2 A1,A2,M1,M3")
    assert set(hitting_sets(conflicts)) == sets("A1 M1 A2,M2 M2,M3")


def test_two_faults_at_most_of_the_polybox_are_all_its_minimal_diagnoses():
    explains = polybox_explains(10, 12)
    assert minimal_diagnoses(POLYBOX, explains, 2) == minimal_diagnoses(POLYBOX, explains, 5)
    assert set(minimal_diagnoses(POLYBOX, explains, 1)) == sets("A1 M1")


# The full adder: Reiter, Artificial Intelligence 32:57-95, 1987, after Genesereth. Inputs 1, 0 and
# carry 1 gave sum 1 and carry 0. Circuit and readings from memory; the diagnoses computed by trying
# all sets in another program.

ADDER = ("X1", "X2", "A1", "A2", "O1")


def adder_explains(faulty):
    """Tell whether some values of the inner wires agree with all the sound gates."""
    first, second, carry_in, total, carry_out = 1, 0, 1, 1, 0
    return any(
        all(
            (
                "X1" in faulty or x1 == first ^ second,
                "X2" in faulty or total == x1 ^ carry_in,
                "A1" in faulty or a1 == first & second,
                "A2" in faulty or a2 == x1 & carry_in,
                "O1" in faulty or carry_out == a1 | a2,
            )
        )
        for x1, a1, a2 in product((0, 1), repeat=3)
    )


def test_minimal_diagnoses_of_the_full_adder():
    found = minimal_diagnoses(ADDER, adder_explains, len(ADDER))
    assert (len(found), set(found)) == (3, sets("X1 X2,A2 X2,O1"))


def test_hitting_sets_of_reiter():
    # Figure 1 of the same paper: the sets from memory, the results also by trying all sets.
    family = [{2, 4, 5}, {1, 2, 3}, {1, 3, 5}, {2, 4, 6}, {2, 4}, {2, 3, 5}, {1, 6}]
    expected = [{1, 2}, {1, 3, 4}, {1, 4, 5}, {2, 3, 6}, {2, 5, 6}, {3, 4, 6}]
    assert hitting_sets(family) == expected
