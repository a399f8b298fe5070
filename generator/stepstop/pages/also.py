"""What pages say for readers of another language than theirs, or than the company's.

A page of danger says its own in all languages of the site: whoever stands there may not read the
first. What is to be said on the phone stands in the company's language, since that is what is
answered in, with its meaning beside it: a card to read out, or to show.
"""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.course import Page
from stepstop.language.tongue import phrase
from stepstop.model import Outcome
from stepstop.pages import views
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import other_tongues

SAY_IN = phrase("Say this, in {language}")
HOW = phrase("Read the large words aloud, or show them. Below each is what it means.")
SPEAKS = phrase("I speak {language}. Is there somebody who speaks it?")
"""Said before all else: many who answer can call an interpreter (common practice, no source)."""


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
            card=card_view(page, other),
        )


def card_view(page: Page, atlas: Atlas) -> views.CardView | None:
    """What readers of the atlas's language say on the phone at the end of a walk.

    None where that is the company's language, or where nothing is said.
    """
    first, edition = atlas.first, atlas.edition
    means = outcome_on(page, atlas).say
    if edition.is_first or not means:
        return None
    mine, theirs = edition.tongue, first.edition.tongue
    asked = first.worded(SPEAKS, language=theirs.name_of(mine))
    meant = atlas.worded(SPEAKS, language=mine.name_of(mine))
    said = outcome_on(page, first).say
    return views.CardView(
        code=theirs.code,
        direction=theirs.direction,
        title=atlas.worded(SAY_IN, language=mine.name_of(theirs)),
        how=atlas.worded(HOW),
        lines=(
            (first.said(asked), atlas.said(meant)),
            *zip(first.all_said(said), atlas.all_said(means), strict=True),
        ),
    )


def outcome_on(page: Page, atlas: Atlas) -> Outcome:
    """The outcome of a page in the language of an atlas."""
    found = atlas.pages[page.id].outcome
    assert found is not None
    return found
