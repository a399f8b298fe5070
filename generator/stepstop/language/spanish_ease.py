"""Reading ease of Spanish text: syllables, and the two published formulas with a scale.

Syllables are parted as spelling shows them: a, e and o are sounds of their own, i and u join a
neighbour unless an accent parts them, and h is silent. Words that are read as in English, and what
figures and symbols are read as, are ours.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from functools import lru_cache

from stepstop.reading_ease import (
    Measures,
    Shortened,
    measured,
    require_text,
    sentences,
    together,
)

# --- The formulas ---------------------------------------------------------------------------------


def inflesz(words: int, sentences: int, syllables: int) -> float:
    """Return the score, higher for easier; ValueError unless there are a word and a sentence.

    F. Szigriszt Pazos, "Sistemas predictivos de legibilidad del mensaje escrito: fórmula de
    perspicuidad", thesis, Universidad Complutense de Madrid, 1993 (from memory).
    """
    require_text(words, sentences)
    return 206.835 - 62.3 * syllables / words - words / sentences


def fernandez_huerta(words: int, sentences: int, syllables: int) -> float:
    """Return the score, higher for easier; ValueError unless there are a word and a sentence.

    J. Fernández Huerta, "Medidas sencillas de lecturabilidad", Consigna 214, 1959 (from memory):
    L = 206.84 - 0.60 P - 1.02 F, with P the syllables in 100 words. F was printed there as the
    sentences in 100 words, by which long sentences read easier; we take the corrected form, in
    which F is the words of a sentence.
    """
    require_text(words, sentences)
    return 206.84 - 0.60 * (100 * syllables / words) - 1.02 * words / sentences


_SCALE = (
    (80, "very easy"),
    (65, "fairly easy"),
    (55, "normal"),
    (40, "somewhat difficult"),
)


def grade(score: float) -> str:
    """Return how a text of this INFLESZ score reads.

    I. M. Barrio-Cantalejo et al., "Validación de la Escala INFLESZ para evaluar la legibilidad de
    los textos dirigidos a pacientes", Anales Sis San Navarra 31(2), 2008 (from memory): above 80,
    65 to 80, 55 to 65, 40 to 55 and below; a bound that is met counts as the easier of two.
    """
    return next((name for least, name in _SCALE if score >= least), "very difficult")


def below(said: Sequence[Measures], least: float) -> str:
    """How texts read together that score less than `least`, or nothing."""
    whole = together(said)
    score = inflesz(whole.words, whole.sentences, whole.syllables)
    if score >= least:
        return ""
    other = fernandez_huerta(whole.words, whole.sentences, whole.syllables)
    return (
        f"at {score:.1f} ({grade(score)}), below {least:g} "
        f"(INFLESZ; by Fernández Huerta {other:.1f})"
    )


def measures(text: str) -> Measures:
    """Return what a text comes to; one without an end mark counts as a sentence of its own."""
    return measured(sentences(text, shortened=_SHORTENED), count_syllables)


_SHORTENED = Shortened(
    never_last=frozenset({"sr", "sra", "dr", "dra", "ud", "uds", "p.ej", "ej", "aprox", "ee"}),
    seldom_last=frozenset({"a", "p", "m", "a.m", "p.m", "etc", "ee.uu", "uu", "máx", "mín"}),
)

# --- Syllables ------------------------------------------------------------------------------------

_SYMBOLS = {
    "°": "grados",
    "%": "por ciento",
    "$": "dólares",
    "€": "euros",
    "£": "libras",
    "+": "más",
    "=": "igual",
    "&": "y",
    "½": "medio",
}
_LETTERS = {
    "a": "a", "b": "be", "c": "ce", "d": "de", "e": "e", "f": "efe", "g": "ge", "h": "hache",
    "i": "i", "j": "jota", "k": "ka", "l": "ele", "m": "eme", "n": "ene", "ñ": "eñe", "o": "o",
    "p": "pe", "q": "cu", "r": "erre", "s": "ese", "t": "te", "u": "u", "v": "ve", "w": "doble u",
    "x": "equis", "y": "ye", "z": "zeta",
}  # fmt: skip
_INITIALS = frozenset(
    {"AC", "BTU", "CO", "EM", "GFCI", "HVAC", "ID", "LP", "QR", "TV", "US", "USB", "UV"}
)
"""Spoken letter by letter though they have a vowel."""
_SHORT = {
    "cm": "centímetros", "ft": "pies", "h": "horas", "kg": "kilos", "km": "kilómetros",
    "kwh": "kilovatios hora", "lb": "libras", "m": "metros", "mm": "milímetros", "psi": "pe ese i",
    "v": "voltios", "w": "vatios",
}  # fmt: skip
"""What is written short after a number."""
_EXCEPTIONS = {
    "breaker": 2, "breakers": 2, "code": 1, "cool": 1, "cooling": 2, "delay": 2, "dry": 1,
    "error": 2, "fault": 1, "flame": 1, "furnace": 2, "handler": 2, "heat": 1, "heating": 2,
    "hold": 1, "home": 1, "leak": 1, "line": 1, "mode": 1, "online": 2, "phone": 1, "pressure": 2,
    "pump": 1, "rise": 1, "save": 1, "service": 2, "time": 1, "valve": 1, "voltage": 2,
}  # fmt: skip
"""Words printed on equipment, which are read as in English, and loan words."""

_TELEPHONE = re.compile(r"\D?(?:\d[-.()/]*){7,}")
_PIECE = re.compile(
    r"(?P<figures>\d[\d,]*)(?P<decimals>\.\d+)?|(?P<letters>[^\W\d_]+)|(?P<mark>\S)"
)
_READ_AS = {"911": "nueve once"}


@lru_cache(maxsize=16384)
def count_syllables(word: str) -> int:
    """Return the syllables of a word as read aloud, at least 1 for a letter or a digit.

    Parts with hyphens add up, figures count as spoken ("24": veinticuatro, 4), and words in
    capitals count as words, but known initials and letters without a vowel count one by one.
    """
    plain = unicodedata.normalize("NFC", word)
    if _TELEPHONE.fullmatch(plain):
        return sum(_spoken(spelt(int(digit))) for digit in plain if digit.isdigit())
    return sum(_of_piece(piece) for piece in _PIECE.finditer(plain))


def _of_piece(piece: re.Match[str]) -> int:
    if figures := piece["figures"]:
        return _of_figures(figures.replace(",", ""), (piece["decimals"] or "")[1:])
    if letters := piece["letters"]:
        return _of_letters(letters)
    return _spoken(_SYMBOLS.get(piece[0], ""))


def _of_figures(digits: str, decimals: str) -> int:
    whole = _READ_AS.get(digits) or spelt(int(digits))
    return _spoken(f"{whole} punto {spelt(int(decimals))}" if decimals else whole)


def _of_letters(letters: str) -> int:
    small = letters.lower()
    if small in _EXCEPTIONS:
        return _EXCEPTIONS[small]
    if letters in _INITIALS or (small not in _SHORT and not nuclei(small)):
        return sum(_spoken(_LETTERS.get(letter, "")) for letter in small)
    return _spoken(_SHORT.get(small, small))


def _spoken(text: str) -> int:
    return sum(len(nuclei(word)) for word in text.split())


# --- Sounds ---------------------------------------------------------------------------------------

_SILENT_U = re.compile("(?<=q)u(?=[eiéí])|(?<=g)u(?=[eiéí])")
_GLIDE = re.compile("y(?![aeiouáéíóú])")
_VOWELS = re.compile("[aeiouáéíóúü](?:h?[aeiouáéíóúü])*")
_STRONG = frozenset("aeoáéó")
_PARTED = frozenset("íú")


def nuclei(word: str) -> list[int]:
    """Return where each syllable has its loudest vowel, in a word of small letters."""
    sounds = _GLIDE.sub("i", _SILENT_U.sub("-", word))
    return [at for run in _VOWELS.finditer(sounds) for at in _of_run(run.group(), run.start())]


def _of_run(run: str, start: int) -> list[int]:
    """Return the loudest vowels of vowels in a row: strong ones, and accented weak ones at them."""
    found = [at for at, vowel in enumerate(run) if vowel in _STRONG]
    if found:
        found = [at for at, vowel in enumerate(run) if vowel in _STRONG or vowel in _PARTED]
        return [start + at for at in found]
    doubled = [at for at in range(1, len(run)) if run[at] == run[at - 1]]
    return [start + at for at in (*(at - 1 for at in doubled), len(run) - 1)]


# --- Numbers --------------------------------------------------------------------------------------

_UNITS = (
    "cero", "uno", "dos", "tres", "cuatro", "cinco", "seis", "siete", "ocho", "nueve", "diez",
    "once", "doce", "trece", "catorce", "quince", "dieciséis", "diecisiete", "dieciocho",
    "diecinueve", "veinte", "veintiuno", "veintidós", "veintitrés", "veinticuatro",
    "veinticinco", "veintiséis", "veintisiete", "veintiocho", "veintinueve",
)  # fmt: skip
_TENS = (
    "treinta", "cuarenta", "cincuenta", "sesenta", "setenta", "ochenta", "noventa",
)  # fmt: skip
_HUNDREDS = (
    "ciento", "doscientos", "trescientos", "cuatrocientos", "quinientos", "seiscientos",
    "setecientos", "ochocientos", "novecientos",
)  # fmt: skip


def spelt(number: int) -> str:
    """Return a number below 1,000,000 in words; a larger one digit by digit."""
    if number < 30:
        return _UNITS[number]
    if number < 100:
        return _joined(_TENS[number // 10 - 3], number % 10, " y ")
    if number == 100:
        return "cien"
    if number < 1000:
        return _joined(_HUNDREDS[number // 100 - 1], number % 100, " ")
    if number < 1_000_000:
        thousands = "mil" if number < 2000 else f"{spelt(number // 1000)} mil"
        return _joined(thousands, number % 1000, " ")
    return " ".join(_UNITS[int(digit)] for digit in str(number))


def _joined(first: str, rest: int, between: str) -> str:
    return f"{first}{between}{spelt(rest)}" if rest else first
