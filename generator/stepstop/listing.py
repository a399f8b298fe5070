"""What trees may use, as a page in Markdown: checks, findings, causes, shared trees, places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from stepstop.model import NOT_ASKED, UNSURE, Check, Clause, Finding, Library

PARTS = ("checks", "findings", "causes", "shared", "places")
HEAD = """\
# What trees may use

Made of the catalogue and the shared trees that come with Stepstop; `stepstop catalogue` prints the
same of your own. How they are written is told [for authors](authors.md).
"""


def page(library: Library) -> str:
    """The page with all parts; always the same."""
    return "\n".join([HEAD, *(line for part in PARTS for line in lines(library, part))]) + "\n"


def lines(library: Library, part: str) -> Iterator[str]:
    """One of `PARTS` with its heading, as lines of Markdown."""
    known = {
        "checks": _checks,
        "findings": _findings,
        "causes": _causes,
        "shared": _shared,
        "places": _locations,
    }
    yield from known[part](library)
    yield ""


def _checks(library: Library) -> Iterator[str]:
    yield "## Checks\n"
    yield "A step `check: ID` shows it. What it needs must be established on every path there.\n"
    rows = (
        (
            f"`{check.id}`",
            check.name,
            check.at,
            _needs(check, library),
            ", ".join(_happens(check)),
            f"`{check.result}`",
        )
        for check in library.catalogue.checks.values()
    )
    yield from _table(("id", "what is done", "where", "needs", "what it does", "result"), rows)


def _needs(check: Check, library: Library) -> str:
    """Its requirements; what must be absent stands together."""
    absent, others = [], []
    for clause in check.requires:
        found = list(clause.either.items())
        if len(found) == 1 and tuple(found[0][1]) == ("none",):
            absent.append(f"`{found[0][0]}`")
        else:
            others.append(_clause(clause, library))
    parts = [*others, *([f"`none` for {', '.join(absent)}"] if absent else [])]
    return "; ".join(parts)


def _clause(clause: Clause, library: Library) -> str:
    return ", or ".join(
        f"`{finding}` {_is(values, library.catalogue.findings[finding])}"
        for finding, values in clause.either.items()
    )


def _is(values: Sequence[str], finding: Finding) -> str:
    """Which values it may have; of most of them, which it may not."""
    others = [each for each in (*finding.values, NOT_ASKED, UNSURE) if each not in values]
    if len(others) < len(values) / 2:
        return f"is not {' or '.join(f'`{each}`' for each in others)}"
    return f"is {' or '.join(f'`{each}`' for each in values)}"


def _happens(check: Check) -> Iterator[str]:
    yield from (f"`{effect}`" for effect in check.effects)
    yield from (f"`{finding}` becomes `{value}`" for finding, value in check.changes.items())


def _findings(library: Library) -> Iterator[str]:
    yield "## Findings\n"
    yield "A `fact` holds until a check changes it. An `event` is never undone."
    yield "A `reading` may end."
    yield "Every question also has an answer for `unsure`, every check one for `not-done`.\n"
    rows = (
        (
            f"`{finding.id}`",
            finding.kind,
            finding.about,
            ", ".join(f"`{v.id}`{' (danger)' * bool(v.danger)}" for v in finding.values.values()),
        )
        for finding in library.catalogue.findings.values()
    )
    yield from _table(("id", "kind", "what it tells", "values"), rows)


def _causes(library: Library) -> Iterator[str]:
    yield "## Causes\n"
    rows = (
        (f"`{cause.id}`", cause.name, cause.frequency, ", ".join(cause.mended_by))
        for cause in library.catalogue.causes.values()
    )
    yield from _table(("id", "in a technician's words", "how often", "who mends it"), rows)


def _shared(library: Library) -> Iterator[str]:
    yield "## Shared trees\n"
    yield "A step `{use: ID, exits: {...}}` has one in its place; or lead to one of its endings.\n"
    rows = (
        (
            f"`{tree.id}`",
            tree.title,
            ", ".join(f"`{name}`" for name in tree.exits),
            ", ".join(f"`{name}`" for name in tree.outcomes),
        )
        for tree in library.trees.values()
        if tree.role == "shared"
    )
    yield from _table(("id", "about", "exits", "endings"), rows)


def _locations(library: Library) -> Iterator[str]:
    yield "## Where a step takes place\n"
    rows = (
        (f"`{name}`", each.about, "; ".join(_clause(clause, library) for clause in each.requires))
        for name, each in library.catalogue.rulebook.locations.items()
    )
    yield from _table(("`at`", "what it is", "needs"), rows)


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    yield f"| {' | '.join(head)} |"
    yield f"| {' | '.join('---' for _ in head)} |"
    for row in rows:
        yield f"| {' | '.join(str(cell).replace('|', chr(92) + '|') for cell in row)} |"
