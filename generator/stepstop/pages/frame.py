"""What every page has around its own matter: strip, "stop and call", way back, small print."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from stepstop.course import Page
from stepstop.edition import Edition
from stepstop.language.tongue import ENGLISH, Tongue, Worded
from stepstop.model import Review, Tree
from stepstop.pages.address import MANIFEST, START, file_of, link, step_link
from stepstop.pages.atlas import Atlas, stop_and_call
from stepstop.pages.views import Frame, Link, OtherTongue
from stepstop.trail import tree_word


def page_frame(page: Page, atlas: Atlas) -> Frame:
    """The frame of a page of the course."""
    file = file_of(page.id)
    is_danger = page.outcome is not None and page.outcome.kind == "danger"
    begins_or_ends = atlas.is_root(page) or is_danger
    says_to_call = page.outcome is not None and bool(page.outcome.say)
    return frame(
        file,
        atlas.titles[page.id],
        atlas,
        trees=atlas.trees_of(page),
        description=atlas.titles[page.id] if begins_or_ends else "",
        hurry=page.mode.hurry,
        reminds=page.mode.hurry and not says_to_call,
        lost="" if begins_or_ends else link(file, _home(page, atlas)),
        again=None if begins_or_ends else _again(page, file, atlas),
        here=page.id,
        walks=True,
        begins=tree_word(page.tree) if page.id in atlas.course.roots else "",
    )


def frame(
    file: str,
    title: str,
    atlas: Atlas,
    *,
    trees: Iterable[Tree],
    description: str = "",
    hurry: bool = False,
    reminds: bool = False,
    lost: str = "",
    again: Link | None = None,
    here: str = "",
    begins: str = "",
    walks: bool = False,
) -> Frame:
    """The frame of the page in `file`, written in `trees`; `description` lets it be listed.

    `walks` tells that walks lead through it, so that another language goes on with the same walk.
    """
    stop = stop_and_call(hurry=hurry)
    law, edition = atlas.place.disclaimer, atlas.edition
    is_told = bool(description and edition.others)
    return Frame(
        title=title,
        description=description,
        is_listed=bool(description),
        version=atlas.ways.version,
        begins=begins,
        danger=link(file, file_of(atlas.danger)),
        is_danger=here == atlas.danger,
        stop=step_link(file, file_of(stop)),
        is_stop=here == stop,
        is_hurried=reminds,
        lost=lost,
        start="" if file == START else link(file, START),
        manifest=link(file, MANIFEST) if atlas.edition.works_offline else "",
        again=again,
        never=atlas.all_said(atlas.course.library.catalogue.rulebook.never),
        disclaimer=atlas.all_said(tuple(t for t in law if "{" not in t)),
        emergency=atlas.all_said(tuple(t for t in law if "{" in t)),
        is_branded=atlas.edition.is_branded,
        reviews=reviews(trees, atlas.edition.date, atlas.worded),
        place=atlas.place.name,
        dated=atlas.edition.dated,
        hash=atlas.edition.hash,
        others=tuple(_others(file, atlas, step_link if walks else link)),
        here=_address(file, edition.tongue, edition) if is_told else "",
        default=_address(file, edition.tongues[0], edition) if is_told else "",
        theirs="" if atlas.edition.is_first else "../",
    )


def other_tongues(page: Page, atlas: Atlas) -> tuple[OtherTongue, ...]:
    """A page of the course in each other language, with the same walk."""
    return tuple(_others(file_of(page.id), atlas, step_link))


def companys_link(href: str, text: str, atlas: Atlas) -> Link:
    """A link to a page in the company's language, which it names where that is another one."""
    edition = atlas.edition
    if edition.is_first:
        return Link(href, text)
    said = atlas.worded("{text} (in {language})", text=text, language=edition.companys)
    return Link(href, said, tongue=edition.tongues[0].code)


def _others(file: str, atlas: Atlas, linked: Callable[[str, str], str]) -> Iterator[OtherTongue]:
    """The same page in each other language."""
    edition = atlas.edition
    for tongue in edition.others:
        href = linked(f"{edition.folder}{file}", f"{edition.folder_of(tongue)}{file}")
        yield OtherTongue(href, tongue.code, tongue.name, _address(file, tongue, edition))


def _address(file: str, tongue: Tongue, edition: Edition) -> str:
    """The address of a file in a language: whole where the site's is known, else as a link."""
    there = f"{edition.folder_of(tongue)}{file}"
    return edition.address + there if edition.address else link(f"{edition.folder}{file}", there)


def reviews(trees: Iterable[Tree], date: str, worded: Worded = ENGLISH.worded) -> tuple[str, ...]:
    """Who reviewed these trees, each once; empty as soon as one of them has no review.

    A review that should have been repeated before `date` (YYYY-MM-DD, or empty) says so.
    """
    found: dict[str, None] = {}
    for tree in trees:
        if tree.review is None:
            return ()
        found[reviewed(tree.review, date, worded)] = None
    return tuple(found)


def reviewed(review: Review, date: str, worded: Worded = ENGLISH.worded) -> str:
    """Who reviewed it and when, and when again."""
    who = {"role": review.role, "licence": review.licence, "on": review.on, "due": review.due}
    if review.is_overdue(date):
        return worded("{role} ({licence}), {on}; overdue since {due}", **who)
    return worded("{role} ({licence}), {on}; next by {due}", **who)


def _home(page: Page, atlas: Atlas) -> str:
    """Where this walk begins: its complaint, or the list where several lead here."""
    root = atlas.homes.get(page.id) or atlas.roots.get(page.tree)
    return file_of(root) if root else START


def _again(page: Page, file: str, atlas: Atlas) -> Link | None:
    root = atlas.homes.get(page.id) or atlas.roots.get(page.tree)
    if not root:
        return None
    tree = atlas.course.library.trees[atlas.pages[root].tree]
    again = atlas.worded("Start again with “{title}”", title=tree.title)
    return Link(link(file, file_of(root)), again)
