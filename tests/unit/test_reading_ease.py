"""Sentences, words, figures, symbols and initials of the reading-ease counter, and its errors."""

import pytest

from stepstop.reading_ease import (
    Measures,
    count_syllables,
    flesch_kincaid_grade,
    flesch_reading_ease,
    grade_of,
    measures,
    sentences,
    words,
)


def graded(texts):
    """The grade of texts together."""
    return grade_of([measures(text) for text in texts])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Stop. Call us!  Is it hot? Wait…", ["Stop.", "Call us!", "Is it hot?", "Wait…"]),
        ("No end mark", ["No end mark"]),
        ("One. then no mark", ["One.", "then no mark"]),
        ("Set it to 3.5 or 68.5 °F. Wait.", ["Set it to 3.5 or 68.5 °F.", "Wait."]),
        ("Use a light, e.g. a torch. Look.", ["Use a light, e.g. a torch.", "Look."]),
        ("We open at 8 a.m. and close late.", ["We open at 8 a.m. and close late."]),
        ("We open at 8 a.m. Call then.", ["We open at 8 a.m.", "Call then."]),
        ("Ask Dr. Demo. Go.", ["Ask Dr. Demo.", "Go."]),
        ('He said "Stop!" and left. "Go."', ['He said "Stop!" and left.', '"Go."']),
        ("It hums (a lot). Then stops.", ["It hums (a lot).", "Then stops."]),
        ("1. Turn it off. 2. Wait.", ["1. Turn it off.", "2. Wait."]),
        ("Join the C wire to C. Call.", ["Join the C wire to C.", "Call."]),
        ("A heading\n\nA text\nover lines.", ["A heading", "A text over lines."]),
        ("Really?! Yes.", ["Really?!", "Yes."]),
        ("", []),
        (" ... ! — ", []),
    ],
)
def test_sentences(text, expected):
    assert sentences(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Don't touch it, call us.", ["Don't", "touch", "it", "call", "us"]),
        ("a step-by-step A/C check", ["a", "step-by-step", "A/C", "check"]),
        ("off — now \u2013 or…then", ["off", "now", "or", "then"]),
        ("**OFF** (68 °F), 50% “wet”", ["OFF", "68", "°F", "50%", "wet"]),
        ("$5 & up * -- 555-0100", ["$5", "up", "555-0100"]),
        ("", []),
    ],
)
def test_words(text, expected):
    assert words(text) == expected


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        # Figures and symbols as spoken.
        ("0", 2),
        ("7", 2),
        ("17", 3),
        ("20", 2),
        ("77", 5),
        ("100", 3),
        ("120", 5),
        ("1,200", 6),  # one thousand two hundred
        ("30000", 4),  # thirty thousand
        ("3.5", 3),
        ("911", 3),
        ("555-0100", 10),  # digit by digit, as any telephone number
        ("+1-555-555-0100", 14),
        ("0100", 7),
        ("1,000,000", 5),  # one thousand thousand
        ("24-volt", 4),
        ("68", 3),
        ("°F", 3),
        ("50%", 4),
        ("$5", 3),
        ("£5", 2),
        ("€5", 3),
        ("+5", 2),
        ("=5", 3),
        ("R&D", 3),
        ("1st", 1),
        ("24V", 4),
        # Initials, letters and capitals.
        ("Hmm", 1),
        ("Shh", 1),
        ("LED", 3),
        ("led", 1),
        ("HVAC", 2),
        ("CO", 2),
        ("A/C", 2),
        ("W", 3),
        ("DANGER", 2),
        ("OFF", 1),
        # Hyphens, apostrophes, plurals and accents.
        ("step-by-step", 3),
        ("Wi-Fi", 2),
        ("house's", 2),
        ("neighbor's", 2),
        ("neighbors'", 2),
        ("people's", 2),
        ("it'll", 2),
        ("you'll", 1),
        ("could\u2019ve", 2),
        ("haven't", 2),
        ("aren't", 1),
        ("weren't", 1),
        ("aged", 1),
        ("recipes", 3),
        ("carriages", 3),
        ("café", 2),
        ("e.g", 2),
        ("—", 0),
    ],
)
def test_count_syllables(word, expected):
    assert count_syllables(word) == expected


SPOKEN_SHORT = {
    1: "ft lb hr",
    2: "AC ID LP OK QR TV UL US UV Mr Mrs Dr min",
    3: "BTU CFM DIY LCD LEDs PDF PVC SMS USB",
    4: "GFCI etc",
    5: "kWh",
}


def test_initials_and_abbreviations_count_as_spoken():
    for expected, line in SPOKEN_SHORT.items():
        assert {word: count_syllables(word) for word in line.split()} == dict.fromkeys(
            line.split(), expected
        )


ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
)
TENS = "twenty thirty forty fifty sixty seventy eighty ninety"


def spelled(number):
    """Return a number under 1,000,000 in words."""
    if number < 20:
        return ONES.split()[number]
    if number < 100:
        return TENS.split()[number // 10 - 2] + (" " + spelled(number % 10) if number % 10 else "")
    size, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    rest = " " + spelled(number % size) if number % size else ""
    return f"{spelled(number // size)} {name}{rest}"


@pytest.mark.parametrize(
    "number", [*range(111), 120, 199, 200, 519, 999_000, 1918, 70_077, 999_998]
)
def test_figures_have_the_syllables_of_the_number_in_words(number):
    assert count_syllables(str(number)) == sum(map(count_syllables, spelled(number).split()))


def test_grade_pools_texts_and_counts_each_as_at_least_a_sentence():
    apart = graded(["Yes", "No", "Not sure"])
    assert apart == pytest.approx(flesch_kincaid_grade(4, 3, 4))
    assert graded(["Yes No Not sure"]) == pytest.approx(flesch_kincaid_grade(4, 1, 4))
    assert graded(["The furnace is off. Wait", ""]) == flesch_kincaid_grade(5, 2, 6)


def test_formulas_at_two_sentences():
    """10 words, 2 sentences, 14 syllables, by hand: 5 words a sentence, 1.4 syllables a word."""
    assert flesch_kincaid_grade(10, 2, 14) == pytest.approx(1.95 + 16.52 - 15.59)
    assert flesch_reading_ease(10, 2, 14) == pytest.approx(206.835 - 5.075 - 118.44)


def test_grade_is_higher_for_harder_words_and_for_longer_sentences():
    easy = graded(["Turn the heat off. Call us now."])
    assert graded(["Turn the heat off and then call us now."]) > easy
    assert graded(["Deactivate the appliance. Telephone immediately."]) > easy


def test_the_measures_of_a_text_count_its_longest_sentence_by_words():
    found = measures("Deactivate everything. Go on out.")
    assert found == Measures(words=5, sentences=2, syllables=9, longest=3)
    assert measures("") == Measures(0, 0, 0, 0)


@pytest.mark.parametrize("formula", [flesch_kincaid_grade, flesch_reading_ease])
@pytest.mark.parametrize("counts", [(0, 1, 0), (1, 0, 1)])
def test_no_text_has_no_score(formula, counts):
    with pytest.raises(ValueError, match="at least one word"):
        formula(*counts)


@pytest.mark.parametrize("texts", [[], [""], ["...", "—"]])
def test_texts_without_a_word_have_no_grade(texts):
    with pytest.raises(ValueError, match="at least one word"):
        graded(texts)
