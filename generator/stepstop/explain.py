"""The pages that say what a flaw is, as `stepstop explain` prints them."""

from __future__ import annotations

from stepstop import shipped
from stepstop.problems import (
    COMPANY_FLAWS,
    LANGUAGE_FLAWS,
    OVERLAY_FLAWS,
    READING_FLAWS,
    REVIEW_FLAWS,
    near,
)
from stepstop.rules import RULES

HEADINGS = (
    "Caught when",
    "What could happen to someone",
    "A tree with the flaw",
    "The tree mended",
    "How it is shown",
)
"""The sections of every rule page, in this order."""


def listing() -> str:
    """All flaws, rules first, each with a line on what it is."""
    found = {**READING_FLAWS, **OVERLAY_FLAWS, **COMPANY_FLAWS, **LANGUAGE_FLAWS, **REVIEW_FLAWS}
    known = [(rule.FLAW, rule.SUMMARY) for rule in RULES] + sorted(found.items())
    width = max(len(flaw) for flaw, _ in known)
    return "\n".join(f"{flaw:{width}}  {summary}" for flaw, summary in known)


def page(flaw: str) -> str | None:
    """The page of `flaw` as Markdown, or None where there is no such flaw."""
    if flaw in READING_FLAWS:
        return f"# {flaw}\n\nFound while reading: {READING_FLAWS[flaw]}."
    if flaw in REVIEW_FLAWS:
        return f"# {flaw}\n\nFound by `verify --strict-review`: {REVIEW_FLAWS[flaw]}."
    if flaw in OVERLAY_FLAWS:
        return f"# {flaw}\n\nFound in overlays: {OVERLAY_FLAWS[flaw]}."
    if flaw in LANGUAGE_FLAWS:
        where = "by `stepstop translate`, and in a company's `translations`"
        return f"# {flaw}\n\nFound {where}: {LANGUAGE_FLAWS[flaw]}."
    if flaw in COMPANY_FLAWS:
        return f"# {flaw}\n\nFound in a company's file: {COMPANY_FLAWS[flaw]}."
    if flaw not in {rule.FLAW for rule in RULES}:
        return None
    return (shipped.folder("content/rules") / f"{flaw}.md").read_text("utf-8").rstrip()


def unknown(flaw: str) -> str:
    """What to say to somebody who asks for a flaw that isn't one."""
    others = (*READING_FLAWS, *OVERLAY_FLAWS, *COMPANY_FLAWS, *LANGUAGE_FLAWS, *REVIEW_FLAWS)
    hint = near(flaw, (*(rule.FLAW for rule in RULES), *others))
    return f"no flaw is called `{flaw}`; {hint or '`stepstop explain` lists them all'}"
