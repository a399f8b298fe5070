"""A question, a check or a note as a page shows it."""

from __future__ import annotations

from collections.abc import Iterable

from stepstop import model
from stepstop.course import Move, Page
from stepstop.language.tongue import phrase
from stepstop.model import NOT_DONE
from stepstop.pages import views
from stepstop.pages.address import file_of, link, pocket_file, step_link
from stepstop.pages.atlas import Atlas
from stepstop.pages.counter import counter_link
from stepstop.pages.frame import page_frame
from stepstop.pages.sources import source_lines
from stepstop.pages.titles import headline
from stepstop.trail import base36

_SIGNS = (phrase("DANGER"), phrase("WARNING"), phrase("CAUTION"), phrase("NOTICE"))
"""The words of safety messages, the most serious first."""


def step_view(page: Page, atlas: Atlas) -> views.StepView:
    """The view of a step's page."""
    assert page.step is not None
    tree = atlas.course.library.trees[page.tree]
    is_complaint = tree.role == "complaint" and atlas.is_root(page)
    return views.StepView(
        frame=page_frame(page, atlas),
        complaint=tree.title if is_complaint else "",
        text=step_text(page, atlas),
        answers=answers(page, atlas),
        more=atlas.more[page.id],
        counter=counter_link(page, atlas),
        pocket=link(file_of(page.id), pocket_file(page.tree)) if is_complaint else "",
    )


def step_text(page: Page, atlas: Atlas) -> views.StepText:
    """What a step's page says, one object for all pages of the step."""
    assert page.step is not None
    step, check = page.step, page.check
    known = atlas.texts.get(id(step))
    if known is None:
        sources = (*(check.source if check else ()), *step.source)
        known = atlas.texts[id(step)] = views.StepText(
            headline=atlas.said(headline(page)),
            look=atlas.all_said(step.look),
            drawing=step.drawing or (check.drawing if check else ""),
            signs=signs((*(check.cautions if check else ()), *step.cautions), atlas),
            check=_check(check, page, atlas) if check else None,
            why=atlas.said(step.why),
            sources=source_lines(sources, atlas.course.library.catalogue.sources, atlas.worded),
        )
    return known


def answers(page: Page, atlas: Atlas) -> tuple[views.Link, ...]:
    """The page's answers once each, as links, "not done" last; a note's names what follows."""
    file = file_of(page.id)
    once = atlas.ways.once_on(page)
    return tuple(
        views.Link(
            step_link(file, file_of(move.to)),
            answer_text(move, atlas),
            move.answer.drawing,
            atlas.ways.word_of(page, move.answer, move.to),
            base36(once) if once and NOT_DONE not in move.answer.values else "",
        )
        for move in choices(page)
    )


def choices(page: Page) -> tuple[Move, ...]:
    """One move for each answer of the page, in the order that it shows them."""
    return tuple(sorted(page.choices, key=lambda move: NOT_DONE in move.answer.values))


def answer_text(move: Move, atlas: Atlas) -> str:
    """What the link of an answer says."""
    return atlas.plain(move.answer.say) or _next(move.to, atlas)


def signs(cautions: Iterable[model.Caution], atlas: Atlas) -> tuple[views.Sign, ...]:
    """The safety messages, the most serious first."""
    ranked = sorted(cautions, key=lambda caution: _SIGNS.index(caution.word))
    return tuple(views.Sign(each.word, atlas.said(each.text)) for each in ranked)


def _check(check: model.Check, page: Page, atlas: Atlas) -> views.Check:
    return views.Check(
        before=atlas.all_said(check.before),
        stop_if=atlas.all_said(check.stop_if),
        never=atlas.all_said(check.never),
        do=atlas.all_said(check.do),
        minutes=check.minutes,
        waits=check.waits,
        is_once=bool(atlas.ways.once_on(page)),
    )


def _next(page_id: str, atlas: Atlas) -> str:
    page = atlas.pages.get(page_id)
    if page is None:
        return atlas.worded("Next: the list of complaints")
    return atlas.worded("Next: {page}", page=atlas.plain(headline(page)))
