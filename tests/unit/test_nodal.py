"""Nodal analysis on networks small enough to work by hand."""

import pytest

from stepstop.house.nodal import LEAK_OHMS, Branch, Supply, solve

BATTERY = Supply("E", "top", "C", 12.0, 2.0)


def test_a_divider() -> None:
    found = solve([Branch("up", "top", "mid", 3.0), Branch("down", "mid", "C", 1.0)], [BATTERY])
    assert found.amps["E"] == pytest.approx(2.0)
    assert found.amps["up"] == pytest.approx(2.0)
    assert found.amps["down"] == pytest.approx(2.0)
    assert found.volts == pytest.approx({"C": 0.0, "top": 8.0, "mid": 2.0}, abs=1e-6)


def test_a_current_counts_from_a_to_b() -> None:
    found = solve([Branch("back", "C", "top", 4.0)], [BATTERY])
    assert found.amps["back"] == pytest.approx(-2.0)
    assert found.amps["E"] == pytest.approx(2.0)


def test_a_balanced_bridge_carries_nothing() -> None:
    found = solve(
        [
            Branch("1", "top", "left", 2.0),
            Branch("2", "left", "C", 4.0),
            Branch("3", "top", "right", 3.0),
            Branch("4", "right", "C", 6.0),
            Branch("bridge", "left", "right", 5.0),
        ],
        [BATTERY],
    )
    assert found.amps["bridge"] == pytest.approx(0.0, abs=1e-6)


def test_supplies_that_share_a_load_share_it_by_their_resistance() -> None:
    strong, weak = Supply("strong", "top", "C", 12.0, 1.0), Supply("weak", "top", "C", 12.0, 3.0)
    found = solve([Branch("load", "top", "C", 5.25)], [strong, weak])
    assert found.amps["load"] == pytest.approx(2.0)
    assert found.amps["strong"] == pytest.approx(3 * found.amps["weak"])


def test_a_supply_is_driven_backwards_by_a_higher_one() -> None:
    low = Supply("low", "top", "C", 6.0, 1.0)
    assert solve([], [BATTERY, low]).amps["low"] == pytest.approx(-2.0)


def test_a_floating_node_lies_at_ground_and_one_on_a_dead_end_at_its_feed() -> None:
    loose = Branch("loose", "a", "b", 1.0)
    end = Branch("end", "top", "tip", 1000.0)
    found = solve([loose, end, Branch("load", "top", "C", 4.0)], [BATTERY])
    assert found.volts["a"] == found.volts["b"] == pytest.approx(0.0, abs=1e-9)
    assert found.volts["tip"] == pytest.approx(8.0, abs=1e-4)


def test_the_leak_draws_what_the_module_says() -> None:
    found = solve([], [Supply("E", "top", "C", 27.0, 1.0)])
    assert found.amps["E"] == pytest.approx(27.0 / LEAK_OHMS, rel=1e-6)
    assert found.amps["E"] < 30e-9


def test_another_node_may_be_ground() -> None:
    found = solve([Branch("load", "top", "C", 4.0)], [BATTERY], ground="top")
    assert found.volts == pytest.approx({"top": 0.0, "C": -8.0})


def test_without_a_supply_all_lies_at_ground() -> None:
    found = solve([Branch("load", "top", "C", 4.0)], [])
    assert found.volts == {"C": 0.0, "top": 0.0}
    assert found.amps == {"load": 0.0}


@pytest.mark.parametrize("ohms", [0.0, -1.0, float("nan")])
def test_a_branch_without_resistance_is_refused(ohms: float) -> None:
    with pytest.raises(ValueError, match="loop has no resistance"):
        solve([Branch("loop", "top", "C", ohms)], [BATTERY])


def test_two_parts_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="share a name"):
        solve([Branch("E", "top", "C", 1.0)], [BATTERY])
