"""A small library with words in a further language, for tests of what is done with languages.

The words are the English ones with a sign behind them, and pass lists that are made for them: so it
is seen which language stands where, without a translation of trees that nobody else reads.
"""

from babel.messages.pofile import read_po, write_po

from browser.sites import laid_out, read_texts, write_texts
from stepstop.language.lists import lists_file
from stepstop.language.messages import file_of, update
from stepstop.language.prose import texts

SIGN = "\u00b6"
NEVER = "qwzx"
"""Stands in no text."""


def speak(trees, code="es"):
    """Give the trees in a folder words in a language: each text as it is, with `SIGN` behind it."""
    path = file_of(trees, code)
    update(texts(laid_out(trees).library), path)
    catalog = read_po(path.read_bytes().splitlines(keepends=True))
    for entry in catalog:
        if entry.id:
            entry.string = f"{entry.id} {SIGN}"
    with path.open("wb") as file:
        write_po(file, catalog)
    rulebook = read_texts(trees / "catalogue" / "boundary.yml")["rulebook"]
    lists = {
        "limits": {"longest-sentence": "60", "longest-breath": "60", "least-ease": "1"},
        "action-words": [NEVER],
        "hands-on": [NEVER],
        "forbidden": [{"pattern": NEVER, "why": "nobody says it"}],
        "certain": [{"pattern": NEVER, "why": "nobody says it"}],
        "hard": [{"pattern": NEVER, "why": "nobody says it"}],
        "says": rulebook["says"],
    }
    write_texts(lists, lists_file(trees, code))
    return trees
