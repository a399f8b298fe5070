"""Reading ease of English text: sentences, words, syllables, and the two published formulas.

Words and sentences are counted as R. Flesch, "A new readability yardstick", J. Applied Psychology
32(3), 1948, says (from memory): a contraction or a hyphenated word is one word, and figures and
symbols have the syllables they are read aloud with. The syllable rule and its exceptions are ours.
"""

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

# --- The formulas ----------------------------------------------------------------------------


def flesch_kincaid_grade(words: int, sentences: int, syllables: int) -> float:
    """Return the US school grade; ValueError unless there are a word and a sentence.

    Kincaid, Fishburne, Rogers and Chissom, Research Branch Report 8-75, Naval Air Station
    Memphis, 1975.
    """
    require_text(words, sentences)
    return 0.39 * words / sentences + 11.8 * syllables / words - 15.59


def flesch_reading_ease(words: int, sentences: int, syllables: int) -> float:
    """Return Flesch's score, higher for easier; ValueError unless there are a word and a sentence.

    R. Flesch, "A new readability yardstick", J. Applied Psychology 32(3), 1948.
    """
    require_text(words, sentences)
    return 206.835 - 1.015 * words / sentences - 84.6 * syllables / words


@dataclass(frozen=True, slots=True)
class Measures:
    """What a text comes to."""

    words: int
    sentences: int
    syllables: int
    longest: int
    """Words of its longest sentence."""


def measures(text: str) -> Measures:
    """Return what an English text comes to.

    A text that has no end mark counts as a sentence of its own, as a button or a heading does.
    """
    return measured(sentences(text), count_syllables)


def measured(said: Sequence[str], syllables: Callable[[str], int]) -> Measures:
    """Return what sentences come to, in any language whose `syllables` of a word are counted."""
    counts = [words(sentence) for sentence in said]
    return Measures(
        words=sum(map(len, counts)),
        sentences=len(counts),
        syllables=sum(syllables(word) for found in counts for word in found),
        longest=max(map(len, counts), default=0),
    )


def together(found: Sequence[Measures]) -> Measures:
    """Return what several texts come to together."""
    return Measures(
        words=sum(each.words for each in found),
        sentences=sum(each.sentences for each in found),
        syllables=sum(each.syllables for each in found),
        longest=max((each.longest for each in found), default=0),
    )


def grade_of(found: Sequence[Measures]) -> float:
    """Return the Flesch-Kincaid grade over all texts together; ValueError if they hold no word."""
    whole = together(found)
    return flesch_kincaid_grade(whole.words, whole.sentences, whole.syllables)


def require_text(words: int, sentences: int) -> None:
    """Raise ValueError unless there are a word and a sentence."""
    if words < 1 or sentences < 1:
        raise ValueError("reading ease needs at least one word and one sentence")


# --- Sentences and words ---------------------------------------------------------------------

_CLOSING = "\"'”\u2019»)]*_"
_END_MARK = re.compile(rf"[.!?…]+[{re.escape(_CLOSING)}]*(?=\s)")
_BLANK_LINE = re.compile(r"\n\s*\n")


@dataclass(frozen=True, slots=True)
class Shortened:
    """Words with a point of their own, in small letters and without it."""

    never_last: frozenset[str]
    seldom_last: frozenset[str]
    """Those that end a sentence now and then: before a capital letter they do."""


_SHORTENED = Shortened(
    never_last=frozenset({"mr", "mrs", "ms", "dr", "vs", "e.g", "i.e", "approx", "fig"}),
    seldom_last=frozenset({"a.m", "p.m", "etc", "u.s", "in", "ft", "min", "max", "temp"}),
)
_WORD_BREAK = re.compile(r"[\s—\u2013]+|\.{2,}|…")  # em and en dash
_LETTER_OR_DIGIT = re.compile(r"[^\W_]")


def sentences(text: str, *, shortened: Shortened = _SHORTENED) -> list[str]:
    """Return the sentences in order, each with its end mark and on one line.

    One ends at . ! ? or …, at a blank line, and at the end of the text. The point of "3.5", of
    "e.g." and of a list's "1." ends none, nor that of "5 p.m." or of a quotation before a small
    letter.
    """
    return [
        " ".join(sentence.split())
        for block in _BLANK_LINE.split(text)
        for sentence in _sentences_of_block(block, shortened)
    ]


def _sentences_of_block(block: str, shortened: Shortened) -> list[str]:
    found = []
    start = 0
    for mark in _END_MARK.finditer(block):
        before, after = block[start : mark.start()], block[mark.end() :]
        if _is_sentence_end(before, mark.group(), after, shortened):
            found.append(block[start : mark.end()])
            start = mark.end()
    return [*found, block[start:]] if words(block[start:]) else found


def _is_sentence_end(before: str, mark: str, after: str, shortened: Shortened) -> bool:
    if not any(character.isalpha() for character in before):
        return False
    last = before.split()[-1].lstrip("(\"'“\u2018[").lower()
    goes_on_small = after.lstrip()[:1].islower()
    if mark != "." or last not in shortened.never_last | shortened.seldom_last:
        return not (goes_on_small and mark[-1] in _CLOSING)
    return last in shortened.seldom_last and not goes_on_small


def words(text: str) -> list[str]:
    """Return the words in order, without the marks around them; figures are words.

    Dashes part words; hyphens, slashes and apostrophes don't.
    """
    parts = (_trim(part) for part in _WORD_BREAK.split(text))
    return [part for part in parts if part]


@lru_cache(maxsize=16384)
def _trim(part: str) -> str:
    """Return the part from its first to its last letter, digit or symbol that is read aloud."""
    if not _LETTER_OR_DIGIT.search(part):
        return ""
    return part.strip("".join(c for c in part if not (c.isalnum() or c in _SYMBOLS)))


# --- Syllables -------------------------------------------------------------------------------

_SYMBOLS = {"°": 2, "%": 2, "$": 2, "€": 2, "£": 1, "+": 1, "=": 2, "&": 1}
"""As read aloud: degrees, percent, dollars, euros, pounds, plus, equals, and."""

_INITIALS = {
    "AC": 2, "BTU": 3, "CFM": 3, "CO": 2, "DIY": 3, "GFCI": 4, "HVAC": 2, "ID": 2, "LCD": 3,
    "LED": 3, "LEDs": 3, "LP": 2, "OK": 2, "PDF": 3, "PVC": 3, "QR": 2, "SMS": 3, "TV": 2,
    "UL": 2, "US": 2, "USB": 3, "UV": 2,
}  # fmt: skip
"""Spoken letter by letter (HVAC: aitch-vac); in small letters some would be other words."""

_EXCEPTIONS = {
    "aged": 1, "anyone": 3, "aren't": 1, "behavior": 3, "behaviour": 3, "business": 2, "cafe": 2,
    "carriage": 2, "celsius": 3, "centre": 2, "creature": 2, "dr": 2, "embed": 2, "etc": 4,
    "evening": 2, "every": 2, "everybody": 4, "everyday": 3, "everyone": 3, "everything": 3,
    "everywhere": 3, "eye": 1, "ft": 1, "hatred": 2, "hmm": 1, "hr": 1, "hundred": 2, "kwh": 5,
    "lawyer": 2, "lb": 1, "leopard": 2, "litre": 2, "lukewarm": 2, "luncheon": 2, "marriage": 2,
    "maybe": 2, "metre": 2, "min": 2, "mr": 2, "mrs": 2, "naive": 2, "naked": 2, "nausea": 3,
    "patio": 3, "people": 2, "ragged": 2, "ratio": 3, "recipe": 3, "rugged": 2, "sacred": 2,
    "shh": 1, "wednesday": 2, "weren't": 1, "wicked": 2,
}  # fmt: skip
"""Words that the rule gets wrong; their plurals follow them."""

_TELEPHONE = re.compile(r"\D?(?:\d[-.()/]*){7,}")
_PIECE = re.compile(r"(?P<figures>\d[\d,]*)(?:st|nd|rd|th)?|(?P<letters>[A-Za-z']+)|(?P<mark>\S)")


@lru_cache(maxsize=16384)
def count_syllables(word: str) -> int:
    """Return the syllables of a word as read aloud, at least 1 for a letter of a-z or a digit.

    Hyphenated parts add up, figures count as spoken ("24-volt": 4), and words in capitals count as
    words, but known initials and letters without a vowel count one by one ("LED": 3).
    """
    plain = without_accents(word.replace("\u2019", "'"))
    if _TELEPHONE.fullmatch(plain):
        return _count_digits(re.sub(r"\D", "", plain))
    return sum(_count_piece(piece) for piece in _PIECE.finditer(plain))


def without_accents(word: str) -> str:
    """The word with each letter that has an accent as that letter alone."""
    letters = unicodedata.normalize("NFKD", word)
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def _count_piece(piece: re.Match[str]) -> int:
    if figures := piece["figures"]:
        return _count_figures(figures.replace(",", ""))
    if letters := (piece["letters"] or "").strip("'"):
        return _INITIALS.get(letters) or _count_word(letters.lower())
    followed_by_digit = piece.string[piece.end() : piece.end() + 1].isdigit()
    return 1 if piece["mark"] == "." and followed_by_digit else _SYMBOLS.get(piece[0], 0)


# Zero to nineteen, then the tens from twenty.
_UNITS = (2, 1, 1, 1, 1, 1, 1, 2, 1, 1, 1, 3, 1, 2, 2, 2, 2, 3, 2, 2)
_TENS = (2, 2, 2, 2, 2, 3, 2, 2)
_READ_BY_DIGIT = frozenset({"112", "811", "911", "999"})
"""Short telephone numbers; figures after a 0 are read so as well."""


def _count_figures(digits: str) -> int:
    if digits in _READ_BY_DIGIT or (digits[0] == "0" and len(digits) > 1):
        return _count_digits(digits)
    return _count_number(int(digits))


def _count_digits(digits: str) -> int:
    return sum(_UNITS[int(digit)] for digit in digits)


def _count_number(number: int) -> int:
    """Return the syllables of a number: 1200 is one thousand two hundred."""
    if number < 20:
        return _UNITS[number]
    if number < 100:
        return _TENS[number // 10 - 2] + (_UNITS[number % 10] if number % 10 else 0)
    size = 1000 if number >= 1000 else 100
    rest = number % size
    return _count_number(number // size) + 2 + (_count_number(rest) if rest else 0)


_CONTRACTED = re.compile(r"(?:'s|'ll|'ve|'d|'re|'m|n't|')$")
_SIBILANT = re.compile(r"(?:s|z|x|ch|sh|ce|ge|se|ze)$")
_VOWEL_SOUND_BEFORE = {
    "'s": _SIBILANT,
    "'ll": re.compile(r"[^aeiouyw]$"),
    "'ve": re.compile(r"[^aeiouyw]$"),
    "'d": re.compile(r"[dt]$"),
    "n't": re.compile(r"(?:[dst]|ve)$"),
}
"""After which stems a contraction is a syllable of its own: house's, it'll, didn't."""


def _count_word(word: str) -> int:
    """Return the syllables of a word in small letters, with or without an apostrophe."""
    if word in _EXCEPTIONS:
        return _EXCEPTIONS[word]
    if ending := _CONTRACTED.search(word):
        stem, ending_sounds = word[: ending.start()], _VOWEL_SOUND_BEFORE.get(ending[0])
        return _count_word(stem) + bool(ending_sounds and ending_sounds.search(stem))
    singular = word.removesuffix("s")
    if singular in _EXCEPTIONS:
        return _EXCEPTIONS[singular] + bool(_SIBILANT.search(singular))
    if not re.search("[aeiouy]", word):
        return sum(3 if letter == "w" else 1 for letter in word if letter != "'")
    return sum(_count_part(part) for part in _parts(word))


_FIRST_PART = re.compile(
    "(?:base|bore|care|drive|else|file|fire|frame|gate|grate|here|home|hope|horse|house|ice|life|"
    "like|live|make|more|name|nine|note|one|pipe|place|plate|safe|shore|side|smoke|some|space|"
    "spare|stove|there|time|type|use|voice|where|while|white|whole|wide|wire|write)"
    "(?=[a-z]*[aeiouy])(?![aeiud]|ver|rn|rs|ry|ns)"
)
"""First parts of compounds, whose last e stays silent: some-thing, home-owner, wire-less."""


def _parts(word: str) -> list[str]:
    if first := _FIRST_PART.match(word):
        return [first[0], word[first.end() :]]
    return [word]


_VOWELS = re.compile("[aeiouy]+")


def _count_part(part: str) -> int:
    """Return the groups of vowels, with those that are two syllables, less silent ones."""
    sounds = re.sub("^y(?=[aeiou])", "j", part.replace("qu", "kw"))
    groups = len(_VOWELS.findall(sounds))
    return max(1, groups + len(_TWO_SOUNDS.findall(sounds)) - len(_SILENT.findall(sounds)))


_SILENT = re.compile(
    "(?<=[^aeiouy])e$(?<![^aeiouyrlw]le)"  # valve, not cable
    "|(?<=[^aeiouyszxcg])es$(?<![cs]hes)(?<![^aeiouyrl]les)"  # valves, not hoses or cables
    "|(?<=[^aeiouytd])ed$(?<![^aeiouyrl]led)"  # tripped, not tested or cycled
    "|(?<=[aeou]y)ed$"  # played, whose y and e count as two sounds
    "|(?<=[^aeiouyl])e(?=ly|ful|less|ness|ty$)(?<!^.e)"  # safely, careful
    "|(?:(?<=[cgsv])|(?<=[aeiouy][^aeiouyl]))e(?=ment)(?<!^.e)"  # movement, not increment
    "|(?<=ic)a(?=lly$)"  # typically
    "|(?<=g)ue$"  # league
)

_TWO_SOUNDS = re.compile(
    "(?<![cghst])(?!(?<=[aeiou]l)ia[nr]s?$)i[aou](?<![ln]io)"  # radiator; not special, million
    "|(?<=[ct])ia(?=t[eio])"  # initiate
    "|[aeiouy](?=ing)"  # going, trying
    "|(?<=[aeou])y(?=[aeo])"  # layer, beyond
    "|(?<=[^aeoulw])y(?=er)"  # dryer
    "|(?<!g)eo|geo(?=[mt])"  # video, gaseous; not surgeon
    "|(?<![cstgnx])ie(?=n[ct])|scie(?=n)"  # client, science; not efficient
    "|ie(?=t)|(?<=[a-z]{2}[^t])ie(?=rs?$|st$)"  # quiet, easier
    "|(?<![gqs])ua|sua(?=l)"  # manual, usual
    "|u(?=ou)"  # continuous
    "|(?<!g)ue(?=ls?$|n[ct]|ts?$)"  # fuel, influence
    "|[lr]ui(?=[dn])|(?<!r)ui(?=t[yi])"  # fluid, continuity
    "|oe(?=[mt])|^co(?=e|ord|ope)"  # poem, cooperate
    "|crea(?=t)|idea|area|linea|ai(?=c)"
    "|^re(?=act|ass|app|arr|in|o|u|en)"  # reassemble, reopen
    "|(?<=s)m(?=s?$)|(?<=th)m(?=s?$)"  # mechanism, rhythm
)
