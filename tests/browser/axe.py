"""axe-core on a page that is open: the rules of access that a program can check."""

from axe_playwright_python.sync_playwright import Axe

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ENHANCED = "color-contrast-enhanced"
"""WCAG 1.4.6, beside those of the tags."""
_OPTIONS = {
    "runOnly": {"type": "tag", "values": TAGS},
    "rules": {ENHANCED: {"enabled": True}},
    # Of what is in order it names one place, not all: half of the time.
    "resultTypes": ["violations"],
}


def looked_over(tab):
    """([(rule, markup of the first that breaks it), ...], ids of the rules that are kept)."""
    found = Axe().run(tab, options=_OPTIONS).response
    broken = [(rule["id"], rule["nodes"][0]["html"]) for rule in found["violations"]]
    return broken, {rule["id"] for rule in found["passes"]}
