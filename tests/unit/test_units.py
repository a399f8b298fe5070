"""Both units stand in a text, and that of the place comes first."""

import pytest

from stepstop.units import odd_sizes, own_first

PAIRS = [
    ("Above 90 °F (32 °C) inside", "Above 32 °C (90 °F) inside"),
    ("At 20 °F (\u22127 °C) outdoors", "At \u22127 °C (20 °F) outdoors"),
    ("over 103 °F (39.4 °C): call", "over 39.4 °C (103 °F): call"),
    ("5 °F (3 °C) above the room", "3 °C (5 °F) above the room"),
    ("60 to 65 °F (16 to 18 °C)", "16 to 18 °C (60 to 65 °F)"),
    ("60 °F to 65 °F (16\u201318 °C)", "16\u201318 °C (60 °F to 65 °F)"),
    ("from 20 °F (\u22127 °C) to 32 °F (0 °C)", "from \u22127 °C (20 °F) to 0 °C (32 °F)"),
    ("3 ft (1 m) from anything", "1 m (3 ft) from anything"),
    ("Keep 3 feet (1 m) free", "Keep 1 m (3 feet) free"),
    ("within a foot (30 cm) counts", "within 30 cm (a foot) counts"),
    ("2 in (5 cm) of water", "5 cm (2 in) of water"),
    (
        "from 100 to 20,000 square feet (10 to 1,900 square metres)",
        "from 10 to 1,900 square metres (100 to 20,000 square feet)",
    ),
    ("90\u00a0°F (32\u00a0°C)", "32\u00a0°C (90\u00a0°F)"),
]
IN_SPANISH = [
    ("a dos pies (60 cm) de todo", "a 60 cm (dos pies) de todo"),
    ("a 3 pies (1 m) de todo", "a 1 m (3 pies) de todo"),
    (
        "de 100 a 20,000 pies cuadrados (10 a 1,900 metros cuadrados)",
        "de 10 a 1,900 metros cuadrados (100 a 20,000 pies cuadrados)",
    ),
    ("de 60 a 65 °F (16 a 18 °C)", "de 16 a 18 °C (60 a 65 °F)"),
]


@pytest.mark.parametrize(("written", "turned"), PAIRS + IN_SPANISH)
def test_the_units_of_the_place_come_first_and_nothing_is_lost(written, turned):
    assert own_first(written, "C", "m") == turned
    assert own_first(turned, "C", "m") == turned
    assert own_first(turned, "F", "ft") == own_first(written, "F", "ft") == written


def test_temperature_and_length_are_turned_each_by_its_own():
    text = "65 °F (18 °C), 3 ft (1 m)"
    assert own_first(text, "C", "ft") == "18 °C (65 °F), 3 ft (1 m)"
    assert own_first(text, "F", "m") == "65 °F (18 °C), 1 m (3 ft)"


def test_a_size_that_began_a_sentence_stands_small_in_brackets():
    assert own_first("Two feet (60 cm) stay free.", "C", "m") == "60 cm (two feet) stay free."


@pytest.mark.parametrize(
    "text",
    [
        "It shows 12 to 20 psi (about 1 to 1.5 bar).",
        "Go to the cabin (3 doors down).",
        "Look in (through the glass).",
        "Both feet (and hands) are dry.",
        "Blinks 3 in a row",
        "1 in 10 homes, in 5 minutes, 24 V, 4 mice, R-410A",
        "A new one in, start again. Come in on foot.",
    ],
)
def test_what_is_no_size_stays_and_is_not_odd(text):
    assert own_first(text, "C", "m") == text
    assert list(odd_sizes(text)) == []


@pytest.mark.parametrize(("written", "turned"), PAIRS)
def test_a_size_in_both_units_is_not_odd(written, turned):
    assert list(odd_sizes(written)) == []
    assert list(odd_sizes(turned)) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("below 65 °F", "65 °F"),
        ("below 65 F", "65 F"),
        ("below 18°C", "18°C"),
        ("set it to 68°", "68°"),
        ("about 55 degrees", "55 degrees"),
        ("\u22127 °C", "\u22127 °C"),
        ("3 ft away", "3 ft"),
        ("a 3-foot gap", "3-foot"),
        ("two feet free", "two feet"),
        ("within a foot of it", "a foot"),
        ("half-way, an inch of water", "an inch"),
        ("5 m away", "5 m"),
        ("6 meters", "6 meters"),
        ("leave 10 in.", "10 in"),
        ("3 ft (about 1 m)", "3 ft"),
    ],
)
def test_a_size_in_one_unit_is_odd(text, words):
    odd = list(odd_sizes(text))
    assert odd[0].words == words
    assert not odd[0].differs


@pytest.mark.parametrize(
    "text",
    [
        "65 °F (81 °C)",
        "81 °C (65 °F)",
        "20 ft (1 m)",
        "3 m (a foot)",
        "2 in (5 m)",
        "60 to 65 °F (16 °C)",
        "60 to 65 °F (16 to 28 °C)",
        "some feet (2 m)",
    ],
)
def test_two_sizes_that_are_not_the_same_are_odd(text):
    assert [(each.words, each.differs) for each in odd_sizes(text)] == [(text, True)]
