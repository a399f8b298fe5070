"""The pages that say what a flaw is, as `stepstop explain` prints them."""

from __future__ import annotations

from stepstop import shipped
from stepstop.problems import near
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
    """All flaws, each with a line on what it is."""
    width = max(len(rule.FLAW) for rule in RULES)
    return "\n".join(f"{rule.FLAW:{width}}  {rule.SUMMARY}" for rule in RULES)


def page(flaw: str) -> str | None:
    """The page of `flaw` as Markdown, or None where there is no such rule."""
    if flaw not in {rule.FLAW for rule in RULES}:
        return None
    return (shipped.folder("content/rules") / f"{flaw}.md").read_text("utf-8").rstrip()


def unknown(flaw: str) -> str:
    """What to say to somebody who asks for a flaw that isn't one."""
    hint = near(flaw, (rule.FLAW for rule in RULES))
    return f"no flaw is called `{flaw}`; {hint or '`stepstop explain` lists them all'}"
