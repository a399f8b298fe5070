"""A language that nobody speaks, to see what a translation does to pages before there is one.

Every text is 40 % longer, stands in brackets, has an accent on each letter that can have one, and
runs from right to left: each of its words is turned round by the characters that Unicode has for
it. A text without brackets is not put into words; one without its last bracket is cut.
"""

import re
from dataclasses import replace
from itertools import cycle

from browser.sites import TODAY
from stepstop.course import lay_out
from stepstop.edition import edition_for, look_files
from stepstop.language.prose import reworded
from stepstop.language.tongue import Tongue
from stepstop.pages.rendering import gathered
from stepstop.site import build_site
from stepstop.source import Located, spot_of

CODE = "ar-XB"
"""BCP 47: Arabic, of a region that is for private use."""
LONGER = 1.4
PADDING = ("löřëm", "ïþšümđøļør", "šïţ", "åmëţçøñšëçţëţüř")
KEPT = re.compile(r"(\{[^{}]*\}|<[^<>]*>|&#?\w+;)")
"""Placeholders and markup."""
WORD = re.compile(r"[^\W\d_]+(?:['\u2019][^\W\d_]+)*")
ACCENTS = str.maketrans(
    "AaCcDdEeGgHhIiJjKkLlNnOoRrSsTtUuWwYyZz",
    "ÅåÇçĐđËëĜĝĤĥÏïĴĵĶķĻļÑñÖöŘřŠšŢţÜüŴŵÝýŽž",
)
TURNED, AS_BEFORE = "\u202e", "\u202c"
"""RIGHT-TO-LEFT OVERRIDE, POP DIRECTIONAL FORMATTING."""
ROOT = re.compile(rb'<html lang="[^"]*"(?: dir="[^"]*")?')


def pseudo(text):
    """The text as the language has it."""
    pieces = KEPT.split(text)
    said = "".join(piece if i % 2 else _turned(piece) for i, piece in enumerate(pieces))
    return f"[{said}{_turned(_padding(len(text)))}]"


def _turned(text):
    return WORD.sub(lambda word: f"{TURNED}{word[0].translate(ACCENTS)}{AS_BEFORE}", text)


def _padding(length):
    """Words that make a text of this length as much longer as they should."""
    missing, words = round(length * (LONGER - 1)), ""
    for word in cycle(PADDING):
        if len(words) >= missing:
            return words
        words += f" {word}"
    raise AssertionError("a cycle does not end")


def tongue():
    """The language with its words for the phrases of the shipped pages."""
    phrases = {str(each.text): pseudo(each.text) for each in gathered(look_files(()))}
    return Tongue(CODE, pseudo("Pseudo"), "rtl", phrases)


def mirrored(course, trees):
    """(course, files) of the site of the trees in a folder, in the language."""
    spoken = lay_out(
        reworded(course.library, lambda each: Located(pseudo(each.text), spot_of(each.text)))
    )
    edition = edition_for(course, trees, today=TODAY, environ={})
    place = spoken.library.catalogue.places[edition.place.id]
    own = {"tongue": tongue(), "place": place}
    if hasattr(edition, "tongues"):
        own["tongues"] = (own["tongue"],)  # The site is in no other.
    files = build_site(spoken, replace(edition, **own))
    return spoken, {name: _turned_page(content) for name, content in files.items()}


def _turned_page(content):
    return ROOT.sub(f'<html lang="{CODE}" dir="rtl"'.encode(), content, count=1)
