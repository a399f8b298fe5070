"""Must-analysis against definite assignment, Java Language Specification chapter 16.

"The variable is certainly assigned before it is used" is the same question as "the answer is
certainly known before it is used". Each program is written as a control-flow graph; an edge marked
`=` assigns k. Cases without "from memory" are of Example 16-1.
"""

from dataclasses import dataclass

import pytest

from stepstop.graph import must_analysis, shortest_witness


@dataclass(frozen=True)
class Flow:
    graph: dict
    assigning: frozenset

    def surely_assigned(self, node):
        held = must_analysis(self.graph, ["start"], self._after, {"k"})
        return "k" in held[node]

    def _after(self, source, index, facts):
        return facts | {"k"} if (source, index) in self.assigning else facts


def flow(text):
    """Read "a>b a=c" into a flow: both are edges, and a=c assigns k."""
    graph, assigning = {}, set()
    for edge in text.split():
        source, target = edge.replace("=", ">").split(">")
        if "=" in edge:
            assigning.add((source, len(graph.get(source, []))))
        graph.setdefault(source, []).append(target)
        graph.setdefault(target, [])
    return Flow(graph, frozenset(assigning))


ACCEPTED = {
    "if (v > 0 && (k = read()) >= 0) use(k);": (
        "start>v_positive v_positive>read v_positive>end read=use read=end use>end"
    ),
    "while (true) { k = n; if (k >= 5) break; n = 6; } use(k);": (
        "start>body body=test test>use test>n_6 n_6>body"
    ),
    "if (n > 2) k = 3; else k = 4; use(k);": "start>then start>else then=use else=use",
    # From memory: rule 16.1.3, `a || b` when false.
    "if (v <= 0 || (k = read()) < 0) return; use(k);": (
        "start>v_positive v_positive>return v_positive>read read=return read=use"
    ),
    # From memory: rule 16.2.11, the body of do runs at least once.
    "do { k = read(); } while (k < 0); use(k);": "start>body body=test test>body test>use",
    # From memory: 16.2.9, every case assigns or leaves, and there is a default.
    "switch (n) { case 1: k = 1; break; case 2: return; default: k = 3; } use(k);": (
        "start>one start>two start>default one=use two>return default=use"
    ),
    # An assignment is never undone by a loop around a later part.
    "k = read(); while (n < 4) n = next(); use(k);": "start=loop loop>next next>loop loop>use",
}

REJECTED = {
    "while (n < 4) { k = n; if (k >= 5) break; n = 6; } use(k);": (
        "start>loop loop>body loop>use body=test test>use test>n_6 n_6>loop"
    ),
    "int n = 5; if (n > 2) k = 3; use(k);": "start>then start>use then=use",
    # From memory: the specification gives it as a variation.
    "if (flag) k = 3; if (!flag) k = 4; use(k);": (
        "start>first start>second first=second second>then second>use then=use"
    ),
    # From memory: rule 16.1.2, `a && b` when false.
    "if (v > 0 && (k = read()) >= 0) return; use(k);": (
        "start>v_positive v_positive>read v_positive>use read=return read=use"
    ),
    # From memory: 16.2.9 without a default.
    "switch (n) { case 1: k = 1; break; case 2: k = 2; } use(k);": (
        "start>one start>two start>use one=use two=use"
    ),
}


@pytest.mark.parametrize("program", ACCEPTED)
def test_accepted_by_the_specification(program):
    assert flow(ACCEPTED[program]).surely_assigned("use")


@pytest.mark.parametrize("program", REJECTED)
def test_rejected_by_the_specification(program):
    assert not flow(REJECTED[program]).surely_assigned("use")


def test_the_assignment_in_a_condition_does_not_reach_past_the_if():
    text = ACCEPTED["if (v > 0 && (k = read()) >= 0) use(k);"]
    assert not flow(text).surely_assigned("end")


def test_anything_is_assigned_where_no_path_leads():
    """JLS: V is definitely assigned after break, as after anything that can't complete normally."""
    broken = flow("start>break break>after_loop dead>use use>after_loop")
    assert broken.surely_assigned("use")
    assert not broken.surely_assigned("after_loop")


# The same shapes as questions: an edge marked `=` is an answer that tells if the light was seen.
ASKED_FIRST = {
    "a check on one branch only is not asked on every path": (
        "start>which_system which_system>light which_system>call light=call",
        False,
    ),
    "each branch asks it in its own step": (
        "start>which_system which_system>gas_light which_system>electric_light "
        "gas_light=call electric_light=call",
        True,
    ),
    "not sure leaves it unasked": (
        "start>light light=filter light=filter light>filter filter>call",
        False,
    ),
    "the branch that doesn't ask ends in danger, away from the use": (
        "start>smell smell>danger smell>light light=call",
        True,
    ),
    "going round again doesn't unask it": (
        "start>light light=filter filter>wait wait>filter wait>call",
        True,
    ),
}


@pytest.mark.parametrize("shape", ASKED_FIRST)
def test_asked_before_used(shape):
    text, certain = ASKED_FIRST[shape]
    assert flow(text).surely_assigned("call") is certain


def test_the_bounded_search_knows_the_flag_that_must_analysis_forgets():
    """`if (flag) k = 3; if (!flag) k = 4; use(k);` is sound once the flag is tracked with k."""
    program = flow(REJECTED["if (flag) k = 3; if (!flag) k = 4; use(k);"])
    taken_if = {("start", 0): True, ("start", 1): False, ("second", 0): False, ("second", 1): True}

    def successors(state):
        node, flag, assigned = state
        for index, target in enumerate(program.graph[node]):
            if taken_if.get((node, index), flag) == flag:
                yield target, flag, assigned or (node, index) in program.assigning

    starts = [("start", flag, False) for flag in (True, False)]
    assert shortest_witness(starts, successors, lambda s: s[0] == "use" and not s[2]) is None
    # It does reach the use, on either value, so the None above says something.
    for flag in (True, False):
        assert shortest_witness(starts, successors, lambda s, f=flag: s == ("use", f, True))
