"""An outcome as a page shows it: whom to call, what to say, the next hour, how the unit is left."""

from __future__ import annotations

from stepstop.course import Page
from stepstop.language.tongue import phrase
from stepstop.model import Outcome
from stepstop.pages import views
from stepstop.pages.address import file_of, step_link, technician_file
from stepstop.pages.also import also_views, card_view, outcome_on
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import companys_link, page_frame
from stepstop.pages.likely import has_technician_copy, likely_views
from stepstop.pages.sources import source_lines
from stepstop.pages.waiting import waiting_links
from stepstop.pages.words import Said, plain, sentence

_STATES = {
    "as-it-is": phrase("Leave it as it is"),
    "off-at-thermostat": phrase("Leave it OFF at the thermostat"),
    "off-at-switch": phrase("Leave it OFF at its own switch"),
    "off-at-breaker": phrase("Leave its breaker OFF"),
    "running": phrase("Leave it running"),
    "untouched": phrase("Do not touch it"),
}

_OF_PLACE = {
    "emergency": "{emergency}",
    "gas-company": "{gas-line}",
    "power-company": "{power-company}",
}
"""Whom the place has its own words for."""

COMPANYS = ("licensed-hvac", "certified-refrigerant")
"""Whose work is that of the company whose pages these are."""

_WORK = {
    "licensed-hvac": ("gas", "electrical", "refrigerant"),
    "certified-refrigerant": ("refrigerant",),
    "licensed-electrician": ("electrical",),
}
"""Who -> kinds of work that the place may have a licence for."""

_WORK_WORDS = {
    "gas": phrase("On gas"),
    "electrical": phrase("On wiring"),
    "refrigerant": phrase("On refrigerant"),
}


def outcome_view(page: Page, atlas: Atlas) -> views.OutcomeView:
    """The view of an outcome's page."""
    assert page.outcome is not None
    outcome, file = page.outcome, file_of(page.id)
    tree = atlas.course.library.trees[page.tree]
    catalogue = atlas.course.library.catalogue
    copy = None
    if has_technician_copy(outcome):
        there = step_link(file, technician_file(page.id))
        copy = companys_link(there, atlas.worded("Copy for the technician"), atlas)
    return views.OutcomeView(
        frame=page_frame(page, atlas),
        tree=page.tree,
        kind=outcome.kind,
        complaint="" if tree.role == "shared" else tree.title,
        headline=atlas.said(outcome.title),
        drawing=outcome.drawing,
        soon=soon(page, atlas),
        whom=_whom(outcome, atlas),
        company=_company(page, atlas),
        say=atlas.all_said(outcome.say),
        do=atlas.all_said(outcome.do),
        gate=outcome.gate,
        after=atlas.all_said(outcome.after),
        left=left(outcome, atlas),
        who=_named(outcome, atlas),
        licences=_licences(outcome, atlas),
        causes=likely_views(page, atlas),
        never=atlas.all_said(outcome.never),
        technician=copy,
        waiting=_waiting(page, atlas),
        sources=source_lines(outcome.source, catalogue.sources, atlas.worded),
        card=card_view(page, atlas),
        also=also_views(page, atlas),
        theirs=_theirs(page, atlas) if copy else None,
    )


def _theirs(page: Page, atlas: Atlas) -> views.TheirsView | None:
    """What the account of a walk takes from its end, for a company of another language."""
    if atlas.edition.is_first:
        return None
    first = atlas.first
    outcome = outcome_on(page, first)
    how_soon, how_left = soon(page, first), left(outcome, first)
    return views.TheirsView(
        name=atlas.edition.companys,
        title=first.plain(outcome.title),
        soon=how_soon.say if how_soon else "",
        left=f"{how_left.state}, {plain(how_left.until)}" if how_left else "",
    )


def _waiting(page: Page, atlas: Atlas) -> tuple[views.Link, ...]:
    """Where somebody is called: how long people can wait until then."""
    if page.outcome is None or page.outcome.kind != "call":
        return ()
    home = atlas.homes.get(page.id, "")
    tree = atlas.course.library.trees[atlas.pages[home].tree if home else page.tree]
    return waiting_links(page.id, tree.under, atlas)


def soon(page: Page, atlas: Atlas) -> views.Soon | None:
    """How soon somebody must come, sooner where the walk was hurried."""
    if not page.urgency:
        return None
    urgency = atlas.course.library.catalogue.urgencies[page.urgency]
    return views.Soon(urgency.id, urgency.say, atlas.said(urgency.advice))


def left(outcome: Outcome, atlas: Atlas) -> views.Left | None:
    """How the unit is left, and until when."""
    if outcome.leave is None:
        return None
    until = outcome.leave.until
    # A translator writes the whole of it; in English, trees may leave the first word out.
    if atlas.edition.tongue.phrases is None and not until.startswith("until "):
        until = f"until {until}"
    state = atlas.worded(_STATES[outcome.leave.state])
    return views.Left(state, atlas.said(until.rstrip(".")))


def _whom(outcome: Outcome, atlas: Atlas) -> Said:
    """Whom to call, by the place's own words and numbers: nobody where nothing is to be said."""
    if not outcome.say or outcome.who in ("", "homeowner"):
        return ()
    who = atlas.course.library.catalogue.who[outcome.who]
    return atlas.said(_OF_PLACE.get(outcome.who, who.say))


def is_companys(outcome: Outcome, atlas: Atlas) -> bool:
    """Whether the company whose pages these are is to come, if it works on that."""
    return atlas.edition.is_branded and outcome.who in COMPANYS and outcome.kind != "danger"


def _company(page: Page, atlas: Atlas) -> tuple[str, ...]:
    """How the slot for the company is called here: kind, urgency, tree, who may do the work."""
    assert page.outcome is not None
    outcome, how_soon = page.outcome, soon(page, atlas)
    if not (is_companys(outcome, atlas) and how_soon):
        return ()
    return outcome.kind, how_soon.id, page.tree, outcome.who


def _named(outcome: Outcome, atlas: Atlas) -> Said:
    """Who may do the work, as a sentence."""
    if not outcome.who:
        return ()
    return sentence(atlas.said(atlas.course.library.catalogue.who[outcome.who].say))


def _licences(outcome: Outcome, atlas: Atlas) -> tuple[tuple[str, str], ...]:
    known = atlas.place.who
    return tuple(
        (atlas.worded(_WORK_WORDS[work]), known[work])
        for work in _WORK.get(outcome.who, ())
        if work in known
    )
