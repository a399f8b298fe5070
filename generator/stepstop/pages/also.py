"""What a page of danger says in the other languages: whoever stands there may not read its own."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Page
from stepstop.language.tongue import phrase
from stepstop.model import Outcome
from stepstop.pages import views
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import other_tongues

SAY = phrase("Say this")


def also_views(page: Page, atlas: Atlas) -> tuple[views.AlsoView, ...]:
    """The page of danger in each other language of the site; none for any other page."""
    assert page.outcome is not None
    if page.outcome.kind != "danger":
        return ()
    return tuple(_also(page, atlas))


def _also(page: Page, atlas: Atlas) -> Iterator[views.AlsoView]:
    for tongue, other in zip(other_tongues(page, atlas), atlas.others, strict=True):
        outcome = outcome_on(page, other)
        yield views.AlsoView(
            tongue=tongue,
            direction=other.edition.tongue.direction,
            headline=other.said(outcome.title),
            do=other.all_said(outcome.do),
            gate=outcome.gate,
            after=other.all_said(outcome.after),
            say=other.all_said(outcome.say),
            to_say=other.worded(SAY),
        )


def outcome_on(page: Page, atlas: Atlas) -> Outcome:
    """The outcome of a page in the language of an atlas."""
    found = atlas.pages[page.id].outcome
    assert found is not None
    return found
