"""The rules about words in Spanish: lists, verbs, reading ease, and the shipped words."""

import re
from dataclasses import replace

import pytest
from click.testing import CliRunner

from browser.sites import REAL, course_of, small_library
from stepstop.cli import main
from stepstop.grammar import ENGLISH
from stepstop.language.lists import grammar_of, lists_file, read_lists, ruled
from stepstop.language.messages import file_of, read, update
from stepstop.language.prose import texts
from stepstop.language.spanish import SPANISH, forms
from stepstop.language.spanish_ease import (
    below,
    count_syllables,
    fernandez_huerta,
    grade,
    inflesz,
    measures,
    spelt,
)
from stepstop.language.worded import worded_wrong
from stepstop.wording import Refused

# --- Syllables and formulas -----------------------------------------------------------------------

SYLLABLES = {
    1: "y muy hay rey gas bien pies tres más luz diez cien LED guion fluir buey",
    2: "agua aire calor quieto pingüe causa ruido país día oír aún hielo hueco llame abra breaker "
    "siete veinte cuyo guía leer búho CO furnace ciudad quien-es panel peor",
    3: "caldera apague ahora oído caliente toalla ábralo vacío construía prohibido cuidado hoy-día "
    "dieciséis doscientos poeta",
    4: "calefactor vehículo desahogo teléfono calefacción averigüéis veinticuatro ventilador aéreo "
    "energía termostato emergencia",
    5: "electricidad calentadores temperatura refrigerante aeropuerto continuaría",
}
"""Known counts -> words."""


@pytest.mark.parametrize(
    ("word", "count"),
    [(word, count) for count, row in SYLLABLES.items() for word in row.split()],
)
def test_syllables(word, count):
    assert count_syllables(word) == count


@pytest.mark.parametrize(
    ("word", "count"),
    [
                ("guitarra", 3), ("queso", 2), ("vergüenza", 3), ("cigüeña", 3), ("reúne", 3),
        ("baúl", 2), ("Raúl", 2), ("caímos", 3), ("construí", 2), ("jesuita", 3), ("viuda", 2),
        ("cacahuete", 4), ("playa", 2), ("Uruguay", 3), ("apáguelo", 4), ("encienda", 3),
    ],
)  # fmt: skip
def test_syllables_where_vowels_meet(word, count):
    assert count_syllables(word) == count


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("24", 4), ("100", 1), ("105", 4), ("911", 4), ("1.5", 6), ("68", 6), ("2,000", 2),
        ("120", 4), ("20", 2), ("90", 3), ("555-0100", 14), ("°F", 4), ("°", 2), ("50%", 6),
        ("30", 2), ("cm", 4), ("psi", 4), ("AC", 2), ("F", 2), ("V", 2), ("HEAT", 1), ("OFF", 1),
    ],
)  # fmt: skip
def test_figures_symbols_and_letters_count_as_they_are_read_aloud(word, count):
    assert count_syllables(word) == count


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, "cero"),
        (16, "dieciséis"),
        (31, "treinta y uno"),
        (100, "cien"),
        (101, "ciento uno"),
        (555, "quinientos cincuenta y cinco"),
        (1000, "mil"),
        (20_000, "veinte mil"),
        (1_000_001, "uno cero cero cero cero cero uno"),
    ],
)
def test_numbers_in_words(number, words):
    assert spelt(number) == words


def test_what_a_spanish_text_comes_to():
    found = measures(
        "¿Huele a gas? Salga, p. ej. por atrás. Llame al Sr. Demo a las 5 p. m. Espere."
    )
    assert (found.sentences, found.words) == (4, 18)
    assert measures("Apague el equipo").syllables == 3 + 1 + 3


def test_formulas():
    # Hand-reckoned: 100 words, 5 sentences, 190 syllables.
    assert inflesz(100, 5, 190) == pytest.approx(206.835 - 62.3 * 1.9 - 20)
    assert fernandez_huerta(100, 5, 190) == pytest.approx(206.84 - 0.60 * 190 - 1.02 * 20)
    for formula in (inflesz, fernandez_huerta):
        assert formula(100, 10, 190) > formula(100, 5, 190) > formula(100, 5, 220)
        with pytest.raises(ValueError, match="at least one word"):
            formula(0, 0, 0)


@pytest.mark.parametrize(
    ("score", "name"),
    [
        (80.1, "very easy"),
        (79.9, "fairly easy"),
        (65, "fairly easy"),
        (64.9, "normal"),
        (54.9, "somewhat difficult"),
        (39.9, "very difficult"),
    ],
)
def test_the_scale(score, name):
    assert grade(score) == name


def test_texts_below_the_bar_are_told_with_both_scores():
    hard = "La verificación periódica de las instalaciones residenciales corresponde al fabricante."
    assert "below 65 (INFLESZ; by Fernández Huerta" in below([measures(hard)], 65)
    assert below([measures("Apague el equipo. Luego llame.")], 65) == ""


# --- Verbs, instructions, telephoning -------------------------------------------------------------


@pytest.mark.parametrize(
    ("verb", "said"),
    [
        ("abra", "abra abran ábralo ábrala ábranlos ábrasela"),
        ("abrir", "abrir abrirlo abrirlas abrirse abrírsela"),
        ("quite", "quite quítelo quítenla"),
        ("cambie", "cambie cámbielo"),
        ("vacíe", "vacíe vacíela"),
        ("limpie", "limpie límpielos"),
        ("desenchufe", "desenchufe desenchúfelo"),
        ("dé", "dé déle dele"),
    ],
)
def test_a_verb_is_known_in_all_its_forms(verb, said):
    for form in said.split():
        assert re.fullmatch(forms(verb), form), form


def test_a_verb_in_the_past_is_another_word():
    assert not re.fullmatch(forms("cambie"), "cambié")
    assert not re.fullmatch(forms("quite"), "quité")


@pytest.mark.parametrize(
    ("text", "tells"),
    [
        ("Llame al {emergency}.", True),
        ("Salga y llame desde afuera.", True),
        ("Llámenos ahora.", True),
        ("Llámela ahora.", True),
        ("Vaya con un vecino para llamar a los bomberos.", True),
        ("Marque el número.", True),
        ("Use un teléfono.", True),
        ("Saque su celular.", True),
        ("Haga una llamada.", True),
        ("Hable por teléfono con {gas-line}.", True),
        ("No llame desde adentro.", False),
        ("No use el teléfono adentro.", False),
        ("Que nadie use ningún teléfono.", False),
        ("Salga antes de llamar.", False),
        ("Salga sin llamar a nadie.", False),
        ("No vuelva a entrar; llame desde la calle.", True),
        ("La llama está apagada.", False),
        ("Llame a la puerta de un vecino.", False),
        ("El teléfono se queda adentro.", False),
    ],
)
def test_whether_a_line_tells_to_phone(text, tells):
    assert SPANISH.tells_to_phone(text) is tells


def test_english_is_what_trees_are_written_in(course):
    assert course.library.catalogue.rulebook.grammar is ENGLISH
    assert grammar_of("es") is grammar_of("es_MX") is grammar_of("es-419") is SPANISH
    assert grammar_of("fr") is None


# --- The lists ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def course():
    """The shipped one."""
    return course_of(REAL)


@pytest.fixture(scope="module")
def lists():
    """The shipped ones of Spanish."""
    found, problems = read_lists(lists_file(REAL, "es"))
    assert problems == []
    return found


@pytest.fixture(scope="module")
def rulebook(course, lists):
    """That of the Spanish library."""
    return ruled(course.library, lists, SPANISH).catalogue.rulebook


FORBIDDEN = (
    ("Afloje los tornillos.", "Quítele los dos tornillos.", "Puede sacar el tornillo"),
    ("Dé media vuelta al tornillo.",),
    ("Mire los cables de adentro.", "Mire dentro, entre los cables."),
    ("Haga un bypass.",),
    ("Anule la protección.", "Sáltese ese interruptor.", "Desactive el sensor."),
    ("Pase por alto el interruptor.",),
    ("Ponga un jumper.", "Use un cable puente."),
    ("Puentéelo.", "Está puenteado.", "Haga un puente entre los dos."),
    ("Junte los dos cables.", "Hay que unir los cables"),
    ("Ponga en corto los dos cables.", "Hay que cortocircuitar"),
    ("Sujete el interruptor.", "Trabe la palanca.", "Mantenga presionado el botón."),
    ("Deje apretado el botón.",),
    ("Ponga cinta sobre el interruptor.",),
    ("Reenciéndalo.", "Vuelva a encender la llama.", "Trate de reencender"),
    ("Encienda el piloto.", "Ayude a prender la llama pequeña"),
    ("Encienda la llama.", "Prenda esa llama."),
    ("Use un tester.", "Revise con un medidor de voltaje."),
    ("Con un multímetro se ve.", "Mida el voltaje.", "Un voltimetro"),
    ("Use una lámpara de prueba.", "Un probador de voltaje"),
    ("Agregue refrigerante.", "Recargue el equipo con gas.", "Échele más líquido refrigerante."),
    ("Cambie el fusible.", "Puede reemplazar ese fusible quemado", "Sáquele los fusibles."),
    ("Quite la tapa del quemador.", "Abra el panel de control.", "Destornille la caja eléctrica."),
    ("Empalme los cables.", "Conecte esos dos cables.", "Pele el cable."),
    ("Toque el cable.", "Primero (con guantes). Toque los cables.", "Vaya y toque ese cable."),
    ("Cierre la llave de gas.", "Abra la válvula principal del gas.", "La perilla del gas"),
    ("El reset del quemador", "Presione el botón rojo.", "Oprima el botón de reinicio."),
    ("Jale la manija.", "Abra el desconectador.", "Saque la caja pequeña."),
    ("Presione el botón de prueba del GFCI.", "Reinicie el tomacorriente de falla a tierra."),
    ("Destape el desagüe.", "Vacíe la bandeja.", "Sople la manguera."),
    ("Llene la caldera.", "Purgue el radiador.", "Añada agua a la caldera."),
    ("Gire las aspas.", "Dé vuelta a la hélice.", "Empuje la paleta del ventilador."),
    ("Haga girar el ventilador con la mano.", "Empuje el ventilador."),
    (
        "Presione una y otra vez.",
        "Siga intentando.",
        "Insista.",
        "cuantas veces sea necesario",
        "hasta que arranque",
    ),
    ("Use una escalera.", "Súbase a la escalera.", "Busque una escalera."),
)
CERTAIN = (
    ("El problema es definitivamente este.", "Esto es sin duda grave."),
    (
        "No hay duda.",
        "Es seguramente el motor.",
        "Con toda seguridad",
        "Es 100 % seguro.",
        "Está garantizado.",
    ),
    ("La falla es el motor.", "El problema está en la válvula.", "La causa debe ser un cable."),
    ("Su motor está quemado.", "Sus cables están dañados.", "Su equipo quedó muerto."),
    (
        "Su motor se quemó.",
        "Su motor se ha roto.",
        "Su unidad exterior ya no sirve.",
        "Su ventilador grande falló.",
    ),
    ("Esto significa que el motor está roto.", "Eso demuestra que su bomba se dañó."),
    ("Necesita un motor nuevo.", "Usted necesita una nueva bomba."),
)
HARD = (
    ("el termopar", "la termocupla"),
    ("el transformador",),
    ("los capacitores",),
    ("un contactor",),
    ("el inductor de tiro",),
    ("el soplador", "la turbina"),
    ("el interruptor de límite", "el interruptor límite"),
    ("el interruptor de presión", "un presostato"),
    ("el encendedor", "la bujía"),
    ("el sensor de llama",),
    ("el intercambiador de calor",),
    ("un solenoide", "la electroválvula"),
    ("el relé", "un relevador", "los relays"),
    ("el secuenciador",),
    ("el compresor",),
    ("el evaporador",),
    ("la condensadora", "el condensador"),
    ("la bomba de condensado",),
    ("el plenum",),
    ("la combustión",),
    ("la polaridad",),
    ("de bajo voltaje", "24 V", "baja tensión"),
    ("15 amperios", "40 VA"),
    ("la tarjeta de control", "la placa electrónica"),
    ("velocidad variable", "de dos etapas"),
    ("la consigna", "el punto de ajuste"),
    ("los registros", "el difusor"),
    ("el neutro", "una fase"),
    ("R410A", "A2L"),
    ("Apaga tu equipo", "¿Puedes oírlo?"),
)


@pytest.mark.parametrize(
    ("kind", "examples"), [("forbidden", FORBIDDEN), ("certain", CERTAIN), ("hard", HARD)]
)
def test_each_entry_catches_what_it_is_for(rulebook, kind, examples):
    wordings = getattr(rulebook, kind)
    for wording, said in zip(wordings, examples, strict=True):
        for text in said:
            assert [*Refused([wording]).find(text)], (text, wording.pattern)


@pytest.mark.parametrize(
    "text",
    [
        "No toque los cables y llame.",
        "Cierre la puerta y no toque ningún cable ahí.",
        "Deje el breaker en OFF (apagado).",
        "¿Presionó alguien un botón de reinicio?",
        "Algunas compañías la encienden gratis.",
        "Saque a todos de la casa.",
        "¿Se agregó líquido refrigerante en los últimos años?",
        "La llama pequeña está apagada.",
        "Va afuera con un vecino.",
        "Puede que solo le falte un filtro nuevo.",
        "La corriente puede haber vuelto.",
    ],
)
def test_what_may_be_said_is_not_refused(rulebook, text):
    for kind in (rulebook.forbidden, rulebook.certain, rulebook.hard):
        assert [*Refused(kind).find(text)] == []


@pytest.mark.parametrize("kind", ["forbidden", "certain", "hard"])
def test_spanish_refuses_all_that_english_refuses(course, lists, kind):
    english = getattr(course.library.catalogue.rulebook, kind)
    spanish = getattr(lists, kind)
    assert len(spanish) >= len(english)
    assert {w.why.partition(":")[0] for w in english} <= {w.why.partition(":")[0] for w in spanish}


VERBS = {
    "open": "Ábrala", "close": "Ciérrela", "pull": "Jálelo", "push": "Empújelo",
    "press": "Presiónelo", "slide": "Deslícela", "flip": "Mueva la palanca",
    "turn": "Gírelo", "switch": "Apáguelo", "set": "Póngalo en HEAT", "remove": "Quítela",
    "take off": "Retírela", "take out": "Sáquelo", "lift": "Levántela", "unplug": "Desenchúfelo",
    "plug": "Enchúfelo", "unscrew": "Desatorníllelo", "loosen": "Aflójelo", "tighten": "Apriételo",
    "reset": "Restablézcalo", "restart": "Reinícielo", "change": "Cámbielo",
    "replace": "Reemplácelo", "clear": "Despéjela", "clean": "Límpielo", "wash": "Lávelo",
    "rinse": "Enjuáguelo", "drain": "Drénelo", "pour": "Viértala", "empty": "Vacíelo",
    "brush": "Cepíllelo", "touch": "Tóquelo", "tap": "Dé golpecitos", "shake": "Sacúdalo",
    "jiggle": "Menéelo", "reach": "Meta la mano", "climb": "Súbase", "undo": "Suéltelo",
    "unlatch": "Destrábela", "unhook": "Desengánchela", "detach": "Despréndalo",
    "disconnect": "Desconéctelo", "pry": "Haga palanca", "flick": "Mueva el interruptor",
    "poke": "Pínchelo", "jam": "Trábelo", "wedge": "Cálcelo", "hit": "Golpéelo",
    "put in": "Insértelo", "pop": "Encájelo", "snap": "Encájela", "screw": "Atorníllelo",
    "try the": "Pruebe el interruptor", "try it": "Pruébelo",
}  # fmt: skip
"""Each action word of English, as a Spanish page would ask for it."""


def asked(verbs):
    """Any of the verbs as an instruction."""
    either = "|".join(forms(verb) for verb in verbs)
    return re.compile(rf"{SPANISH.before_action}({either})\b(?!\s*(?:\?|/))", re.IGNORECASE)


def test_every_action_word_of_english_has_its_spanish_ones(course, rulebook):
    english = course.library.catalogue.rulebook
    assert set(english.action_words) == VERBS.keys()
    in_steps, at_ends = asked(rulebook.action_words), asked(rulebook.hands_on)
    for verb, said in VERBS.items():
        assert in_steps.search(f"{said}."), verb
        assert in_steps.search(f"Espere y {said[0].lower()}{said[1:]}."), verb
        if verb in english.hands_on:
            assert at_ends.search(f"{said}."), verb


@pytest.mark.parametrize(
    "text", ["No la abra.", "Cambié el filtro.", "¿Alguien lo abrió?", "El interruptor se apaga."]
)
def test_what_is_no_instruction_is_none(rulebook, text):
    assert not asked(rulebook.action_words).search(text)


# --- What is found, and where ---------------------------------------------------------------------


@pytest.fixture(scope="module")
def words():
    """The shipped ones."""
    return read(file_of(REAL, "es"))[0]


def test_the_shipped_spanish_has_no_problem(course, words):
    assert worded_wrong(course, words, REAL) == []


SEEDED = {
    "step.look": ("unlisted-action", "Ahora quítela con cuidado.", "asks for an action"),
    "check.do": ("forbidden-words", "Haga un puente entre los dos.", "defeats a safety device"),
    "cause.plain": ("certain-cause", "Su motor está quemado.", "too sure"),
    "outcome.do": ("number-before-danger", "Llame al 911.", "a phone number"),
    "outcome.title": ("hard-words", "Revise el capacitor y llame", "a part name"),
    "step.why": ("hard-words", " ".join(["luz"] * 23) + ".", "has 23 words, more than 22"),
    "step.speak": ("text-too-long", "luz. " * 26, "26 words, more than 25"),
}


@pytest.fixture(scope="module")
def seeded(course, words):
    """(kind -> its entry, problems) of words with a fault in the first entry of each kind."""
    of, spots = dict(words.of), {}
    for kind, (_, text, _) in SEEDED.items():
        key = next(key for key in of if key[0] == kind and not key[1].startswith("Look in"))
        of[key], spots[kind] = text, words.spots[key]
    return spots, worded_wrong(course, replace(words, of=of), REAL)


@pytest.mark.parametrize("kind", SEEDED)
def test_a_fault_is_told_at_the_line_of_its_entry(seeded, kind):
    spots, problems = seeded
    flaw, _, told = SEEDED[kind]
    there = [each for each in problems if each.spot == spots[kind] and each.flaw == flaw]
    assert any(told in each.message for each in there), problems


def with_words(words, changed):
    """The words with others for some texts: (kind, text) -> words."""
    assert changed.keys() <= words.of.keys()
    return replace(words, of={**words.of, **changed})


def test_an_answer_that_says_otherwise_is_told(course, words):
    steps = [step for tree in course.library.trees.values() for step in tree.steps.values()]
    answers = [answer for step in steps for answer in step.answers]
    doubt = next(answer for answer in answers if answer.say and "unsure" in answer.values)
    key = ("answer.say", str(doubt.say))
    found = worded_wrong(course, with_words(words, {key: "Sí, creo"}), REAL)
    assert {(each.flaw, each.spot) for each in found} == {("says-otherwise", words.spots[key])}


def test_a_number_without_a_source_and_a_call_before_the_gate_are_told(course, words):
    steps = [step for tree in course.library.trees.values() for step in tree.steps.values()]
    bare = next(step for step in steps if step.why and not step.source)
    gated = next(
        outcome
        for tree in course.library.trees.values()
        for outcome in tree.outcomes.values()
        if outcome.gate
    )
    number, call = ("step.why", str(bare.why)), ("outcome.do", str(gated.do[0]))
    changed = {number: "Dura 3 horas.", call: "Llame desde la cocina."}
    found = worded_wrong(course, with_words(words, changed), REAL)
    told = {(each.flaw, each.spot) for each in found}
    assert ("unsourced-number", words.spots[number]) in told
    assert ("number-before-danger", words.spots[call]) in told


def test_a_tree_that_reads_too_hard_is_told_by_its_name(course, words):
    hard = "La verificación periódica de instalaciones residenciales corresponde al fabricante."
    tree = course.library.trees["gas-smell"]
    changed = {
        (context, str(text)): hard
        for step in tree.steps.values()
        for context, text in (("step.ask", step.ask), *(("step.look", t) for t in step.look))
        if text
    }
    changed |= {("outcome.do", str(t)): hard for o in tree.outcomes.values() for t in o.do}
    found = worded_wrong(course, with_words(words, changed), REAL)
    assert any("gas-smell.yml reads at " in each.message for each in found)


def test_what_an_agent_cannot_say_is_told(course, words):
    key = ("step.look", "Smoke or haze in the air? Use the danger button.")
    found = worded_wrong(course, with_words(words, {key: "¿Humo? Toca el botón."}), REAL)
    [problem] = [each for each in found if each.flaw == "missing-translation"]
    assert problem.spot == words.spots[key]
    assert "Then tell me at once" in problem.mend


def test_nothing_speaks_of_pages_or_of_the_danger_button(course, words, lists):
    odd = re.compile(r"\b(?:est[ae]s? páginas?|botón de peligro|lista de peligros)\b", re.I)
    calls = ruled(course.library, lists, SPANISH).catalogue.calls
    spoken = ("step.ask", "step.look", "step.speak", "check.do", "check.stop-if", "outcome.do")
    for (context, english), said in words.of.items():
        on_calls = course.library.catalogue.calls.spoken(english)
        if context in spoken and on_calls != english:
            assert not odd.search(calls.spoken(said)), said


# --- The file of lists ----------------------------------------------------------------------------


@pytest.fixture
def small(tmp_path):
    """(folder, course, words) of the small library, with a file of words for Spanish."""
    folder = small_library(tmp_path / "trees")
    made = course_of(folder)
    update(texts(made.library), file_of(folder, "es"))
    return folder, made, read(file_of(folder, "es"))[0]


def test_without_lists_the_rules_cannot_hold(small):
    folder, course, words = small
    [problem] = worded_wrong(course, words, folder)
    assert problem.flaw == "missing-language"
    assert problem.spot.file.endswith("languages/es.yml")
    ran = CliRunner().invoke(main, ["translate", "es", str(folder)])
    assert ran.exit_code == 1
    assert "es.yml" in ran.output


@pytest.mark.parametrize(
    ("before", "after", "flaw"),
    [
        ("least-ease:", "least-easy:", "unknown-key"),
        ("pattern: 'consignas?", "pattern: '(consignas?", "wrong-type"),
        ("longest-breath: 25", "longest-breath: many", "wrong-type"),
        ("says:\n", "sayz:\n", "unknown-key"),
    ],
)
def test_a_mistake_in_the_lists_is_told_at_its_line(small, before, after, flaw):
    folder, course, words = small
    text = lists_file(REAL, "es").read_text("utf-8")
    assert text.count(before) == 1
    lists_file(folder, "es").write_text(text.replace(before, after), "utf-8")
    line = text[: text.index(before)].count("\n") + 1
    found = worded_wrong(course, words, folder)
    assert (flaw, line) in {(each.flaw, each.spot.line) for each in found}


def test_what_is_said_instead_of_no_text_is_told(small):
    folder, course, words = small
    shipped = lists_file(REAL, "es")
    lists_file(folder, "es").write_text(shipped.read_text("utf-8"), "utf-8")
    found = worded_wrong(course, words, folder)
    assert {each.flaw for each in found} == {"unused-translation"}
    assert {each.spot.file for each in found} == {lists_file(folder, "es").as_posix()}


def test_a_language_without_a_grammar_is_told(small):
    folder, course, words = small
    [problem] = worded_wrong(course, replace(words, file="trees/languages/fr.po"), folder)
    assert problem.flaw == "missing-language"
    assert "`fr`" in problem.message


def test_the_command_tells_what_the_rules_find(tmp_path):
    ran = CliRunner().invoke(main, ["translate", "es", str(REAL)])
    assert ran.exit_code == 0, ran.output
    assert "the rules hold" in ran.output
