"""A company's own sentences in further languages: all of them, alike, and by each one's rules."""

import pytest

from browser.sites import REAL, course_of, small_library
from stepstop.companies import each_made, for_company
from stepstop.company.reading import read_company
from stepstop.edition import edition_for
from stepstop.tongues import Languages
from unit.companies import BEHIND, write_company
from unit.spoken import speak

AFTER = {"phone": "+12025550158", "say": "One of us calls back.", "fee": "It costs 9 more."}
SAID = {
    "after-hours": {"say": "Uno de nosotros le llama.", "fee": "Cuesta 9 más."},
    "unserved": {"say": "Pregunte a otra empresa."},
    "nobody-can-come": "Llame entonces a otra empresa.",
    "licences": [{"kind": "contratista", "holder": "la empresa"}],
    "area": ["Condado Demo"],
}
REVIEW = {"role": "Demo lead", "licence": "contractor", "on": "2026-11-25", "due": "2027-11-25"}
BOTH = {
    "languages": ["en", "es"],
    "after-hours": AFTER,
    "unserved": {"trees": ["cold"], "say": "Ask another company."},
    "review": REVIEW,
    "translations": {"es": SAID},
}


@pytest.fixture(scope="module")
def trees(tmp_path_factory):
    """The small library, with words in another language."""
    return speak(small_library(tmp_path_factory.mktemp("spoken")))


@pytest.fixture(scope="module")
def languages(trees):
    return Languages(course_of(trees).library, trees)


def read(folder, trees, languages, changes):
    """(the company, or None; lines of problems as `file:line flaw: message | mend`)."""
    path = write_company(folder, {**BOTH, **changes})
    library = course_of(trees).library
    brand, found = read_company(path, library, BEHIND, languages.library_in)
    return brand, [f"{p.spot.line} {p.flaw}: {p.message} | {p.mend}" for p in found]


def test_sentences_are_said_in_each_language_and_names_stay(trees, languages, tmp_path):
    brand, found = read(tmp_path, trees, languages, {})
    assert found == []
    own, other = brand.company, brand.said_in("es").company
    assert own.said_in("en") is own
    assert (other.after.say, other.after.fee) == tuple(SAID["after-hours"].values())
    assert (other.unserved.say, other.nobody_can_come) == (
        SAID["unserved"]["say"],
        SAID["nobody-can-come"],
    )
    assert (other.licences[0].kind, other.licences[0].holder) == ("contratista", "la empresa")
    assert other.licences[0].number == own.licences[0].number == "DEMO-1"
    assert other.area == ("Condado Demo",)
    # Who looked over the pages in one language has not looked over those in another.
    assert own.review is not None
    assert other.review is None
    said = {"translations": {"es": {**SAID, "review": {**REVIEW, "role": "técnica de prueba"}}}}
    brand, found = read(tmp_path, trees, languages, said)
    assert found == []
    assert brand.said_in("es").company.review.role == "técnica de prueba"
    same = ("id", "name", "phone", "opening", "hosts")
    assert [getattr(own, name) for name in same] == [getattr(other, name) for name in same]
    assert (other.after.phone, other.unserved.trees) == (own.after.phone, own.unserved.trees)


def changed(**parts):
    """The translation with other parts; None takes one away."""
    said = {**SAID, **{key.replace("_", "-"): part for key, part in parts.items()}}
    return {"translations": {"es": {k: v for k, v in said.items() if v is not None}}}


REFUSED = [
    ({"translations": None}, "missing-translation", "has no words in `es`", "`nobody-can-come`"),
    (changed(after_hours=None), "missing-translation", "`after-hours: fee` has no words", "write"),
    (changed(after_hours={"say": "Uno llama."}), "missing-translation", "fee` has no words", ""),
    (changed(after_hours={"fee": "Cuesta 9."}), "missing-key", "`say`", "add"),
    (changed(unserved=None), "missing-translation", "`unserved: say` has no words", "write"),
    (changed(nobody_can_come=None), "missing-key", "`nobody-can-come`", "add"),
    (changed(area=None), "missing-translation", "`area: 1` has no words", "write"),
    (changed(area=["Uno", "Dos"]), "unused-translation", "`area: 2` has words here", "take it out"),
    (changed(licences=None), "missing-translation", "`licences: 1: holder` has no words", "write"),
    (changed(review={"role": "técnica"}), "missing-key", "`due`", "add"),
    (changed(nobody_can_come="Then ask another company."), "missing-translation", "same", "es"),
    (changed(nobody_can_come="¿Huele a gas? Espere."), "speaks-of-danger", "'Huele'", "pages"),
    (changed(nobody_can_come="Es totalmente seguro."), "speaks-of-danger", "seguro", "pages"),
    (changed(nobody_can_come=["a", "b"]), "wrong-type", "a text is expected", ""),
    ({"unserved": None}, "unused-translation", "`unserved: say` has words here", "take it out"),
    (changed(after_hours={"say": "Sí.", "fee": "Cuesta 8."}), "number-differs", "numbers", "9"),
    (changed(nobody_can_come="Llame a {emergency}."), "placeholder-differs", "other placehol", ""),
    (changed(nobody_can_come="Llame. " * 20), "translation-too-long", "characters", "fewer words"),
    ({"languages": ["en"]}, "unused-translation", "`es` is none of the further", "behind"),
    ({"languages": ["es", "en"]}, "missing-translation", "has no words in `en`", ""),
    ({"languages": ["en", "es", "es"]}, "duplicate-key", "`es` stands twice", "keep one"),
    (
        {"languages": ["en", "es", "fr"]},
        "missing-language",
        "lack words in the language `fr`",
        "fr",
    ),
    ({"languages": ["en", "xx"]}, "unknown-word", "'xx' is not the code of a language", "es"),
    ({"languages": ["en", "es_MX"]}, "unknown-word", "'es_MX' is not the code", "small letters"),
    ({"languages": []}, "empty-list", "the list is empty", ""),
    (changed(nobody_can_come="Llame al 202-555-0199."), "number-before-danger", "phone number", ""),
]


@pytest.mark.parametrize(("changes", "flaw", "words", "mend"), REFUSED, ids=lambda x: str(x)[:40])
def test_each_mistake_is_named(changes, flaw, words, mend, trees, languages, tmp_path):
    brand, found = read(tmp_path, trees, languages, changes)
    assert brand is None
    told = [line.partition(" | ") for line in found if f" {flaw}: " in line]
    assert any(
        words.replace("'", "`") in line.replace("'", "`") and mend in after
        for line, _, after in told
    ), found
    assert all(int(line.split(" ")[0]) > 0 for line, _, _ in told)


def test_each_language_has_its_own_rules_about_words(tmp_path):
    library = course_of(REAL).library
    languages = Languages(library, REAL)
    unserved = {"trees": ["no-heat-boiler"], "say": "Ask another company."}
    said = {**SAID, "nobody-can-come": "Ponga un puente en el interruptor."}
    path = write_company(tmp_path, {**BOTH, "unserved": unserved, "translations": {"es": said}})
    found = read_company(path, library, BEHIND, languages.library_in)[1]
    line = (
        path.read_text("utf-8")
        .splitlines()
        .index('    "nobody-can-come": "Ponga un puente en el interruptor."')
    )
    assert {(each.flaw, each.spot.line) for each in found} == {
        ("forbidden-words", line + 1),
        ("unlisted-action", line + 1),
    }


def test_the_demo_in_two_languages_is_read_and_both_of_its_courses_ask_the_same(course):
    languages = Languages(course.library, REAL)
    made = for_company(
        REAL / "companies" / "wendlebrook.yml", course, library_in=languages.library_in
    )
    assert made.problems == ()
    edition = edition_for(made.course, REAL, brand=made.brand, environ={})
    spoken = languages.spoken(made.course, edition, made.brand.company.languages)
    [(own, first), (other, second)] = spoken
    assert own is made.course
    assert own.graph() == other.graph()
    assert (first.folder, second.folder) == ("", "es/")
    assert first.hash != second.hash
    assert str(second.brand.company.nobody_can_come).startswith("Si ninguno")


def test_what_a_company_leaves_out_is_left_out_in_each_language(trees, languages, tmp_path):
    left = {**BOTH, "leave-out": {"checks": ["seat-panel"]}, "sooner": {"today": "now"}}
    paths = [
        write_company(tmp_path, {**changes, "company": name}, name=name)
        for name, changes in (("all", BOTH), ("less", left), ("same", left))
    ]
    whole = course_of(trees)
    made = {
        each.path.stem: each for each in each_made(paths, whole, library_in=languages.library_in)
    }
    assert [each.problems for each in made.values()] == [()] * 3
    spoken = {}
    for name, each in made.items():
        edition = edition_for(each.course, trees, brand=each.brand, environ={})
        spoken[name] = languages.spoken(each.course, edition, each.brand.company.languages)
    for name in ("all", "less"):
        (own, _), (other, _) = spoken[name]
        assert own.graph() == other.graph()
        assert [p.urgency for p in own.pages.values()] == [p.urgency for p in other.pages.values()]
        assert own.boundaries == other.boundaries
    assert len(spoken["less"][1][0].pages) < len(spoken["all"][1][0].pages)
    # Laid out once for companies that leave out the same.
    assert spoken["less"][1][0] is spoken["same"][1][0]


def test_without_other_languages_a_file_that_asks_for_one_says_so(trees, tmp_path):
    path = write_company(tmp_path, BOTH)
    made = for_company(path, course_of(trees))
    assert [each.flaw for each in made.problems] == ["missing-language"]
