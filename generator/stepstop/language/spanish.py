"""How Spanish is built, as far as the rules about words ask: verbs, instructions, telephoning."""

from __future__ import annotations

import re

from stepstop.grammar import Grammar
from stepstop.language.spanish_ease import below, measures, nuclei

_ACCENTED = str.maketrans("aeiou", "áéíóú")
_PLAIN = str.maketrans("áéíóú", "aeiou")
_INFINITIVE = re.compile("[aeiíáé]r")
_PRONOUN = "(?:l[oae]s?|se|me|nos)"
_TWO_PRONOUNS = "(?:se|me|nos)l[oae]s?"


def forms(verb: str) -> str:
    """A pattern for a verb, or words with verbs, with and without pronouns behind it.

    `abra` is also `abran`, `ábralo` and `ábransela`, `abrir` also `abrirlo` and `abrírsela`.
    """
    return r"\s+".join(_forms(word) for word in verb.split())


def _forms(word: str) -> str:
    plain = re.escape(word)
    if not _INFINITIVE.fullmatch(word[-2:]):
        return f"(?:{plain}n?|{_stressed(word)}n?(?:{_TWO_PRONOUNS}|{_PRONOUN}))"
    stem, vowel = re.escape(word[:-2]), word[-2]
    accented = f"{stem}{vowel.translate(_ACCENTED)}r{_TWO_PRONOUNS}"
    return f"(?:{plain}{_PRONOUN}?|{accented})"


def _stressed(word: str) -> str:
    """A pattern for the word with the accent that a pronoun behind it asks for."""
    sounds = nuclei(word)
    if word.translate(_PLAIN) != word or not sounds:
        return f"(?:{re.escape(word)}|{re.escape(word.translate(_PLAIN))})"
    at = sounds[-2] if len(sounds) > 1 else sounds[0]
    return re.escape(word[:at]) + word[at].translate(_ACCENTED) + re.escape(word[at + 1 :])


_PHONE = r"\s+(?:(?:el|un|su|este|cualquier|algún|ningún)\s+)?(?:teléfono|celular|móvil)\b"
_CALL = (
    r"(?:\b(?:llamen?|llámen?(?:l[oae]s?|nos|se|me)|llamar(?:l[oae]s?|nos|me)?|marquen?|marcar"
    r"|telefoneen?|telefonear|(?:hagan?|hacer)\s+(?:una|la)\s+llamada)\b"
    r"(?!\s+a\s+(?:la|una|su)\s+puerta)"
    rf"|\b(?:(?:us|tom|agarr|levant)(?:en?|ar)|saquen?|sacar|descuelguen?|descolgar){_PHONE}"
    rf"|\bhabl(?:en?|ar)\s+por{_PHONE}"
    r"|\{(?:emergency|gas-line|power-company)\})"
)

SPANISH = Grammar(
    measures=measures,
    too_hard=below,
    forms=forms,
    before_action=(
        r"(?:^|[.!?;:,]\s+|[¿¡(“]|\b(?:y|e|o|u|pero|luego|después|entonces|ahora|primero|también"
        r"|solo|sólo|simplemente|por\s+favor|suavemente|con\s+cuidado|para|debe|deben|hay\s+que"
        r"|tiene\s+que|tienen\s+que|necesita|intente|trate\s+de|vayan?\s+a)\s+)"
    ),
    clause=re.compile(r"[.;:¿?¡!,]|\b(?:y|luego|entonces|después|pero)\b", re.I),
    calls=re.compile(_CALL, re.I),
    calls_not=re.compile(
        r"\b(?:no|ni|nadie|nunca|jamás|sin|tampoco)\b(?:\s+\w+){0,3}?\s+"
        rf"{_CALL}|\bantes\s+de\s+(?:que\s+)?(?:\w+\s+)?{_CALL}",
        re.I,
    ),
    danger=re.compile(
        r"\b(?:huele[ns]?|oler|olor(?:es)?|humo|fuego|incendios?|alarmas?|monóxido|descargas?"
        r"|(?:línea|tubo|tubería|válvula|llave|fuga)s?\s+del?\s+gas"
        r"|(?:total|completa|perfecta)mente\s+segur[oa]s?|es\s+seguro)\b",
        re.I,
    ),
)
"""As pages speak it: to a person who is called usted, in orders and infinitives."""
