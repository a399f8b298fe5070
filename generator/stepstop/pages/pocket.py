"""A whole complaint in one file: a browser shows one of its steps at a time, by the fragment.

A step and its copy for those who must call first differ in little, so that they stand as one, with
two ids: the second one shows the reminder, and other answers' links. A fragment ends with a short
mark of the order of the steps, so that an old link does not lead to another step in a new file: it
leads to none, and the file shows its first step, which asks about danger.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from stepstop import graph
from stepstop.course import Page
from stepstop.model import START_PAGE, Tree
from stepstop.pages import views
from stepstop.pages.address import START, link, pocket_file
from stepstop.pages.atlas import Atlas, stop_and_call
from stepstop.pages.frame import frame
from stepstop.pages.outcome import outcome_view, soon
from stepstop.pages.step import answer_text, choices, step_text
from stepstop.pages.trail_data import numbered


def pocket_views(atlas: Atlas) -> Iterator[tuple[str, views.PocketView]]:
    """(file, view) for each tree that people begin with."""
    course, library = atlas.course, atlas.course.library
    written = {tree.id: numbered((*tree.steps, *tree.outcomes)) for tree in library.trees.values()}
    trees = {id: atlas.trees_of(page) for id, page in atlas.pages.items()}
    known = _Known(
        atlas,
        numbered(atlas.pages),
        numbered(graph.topological_order(atlas.edges)),
        dict(_outcomes(atlas)),
        trees,
        {id: written[each[-1].id][_name(atlas.pages[id])] for id, each in trees.items()},
        {id: (page.tree, page.name, page.mode.boundary) for id, page in atlas.pages.items()},
        {
            id: tuple((answer_text(move, atlas), move.to) for move in choices(page))
            for id, page in atlas.pages.items()
        },
    )
    for tree, root in zip(library.roots(), course.roots, strict=True):
        yield pocket_file(tree.id), _pocket_view(tree, root, known)


def _outcomes(atlas: Atlas) -> Iterator[tuple[str, views.OutcomeView]]:
    """(page id, view); an outcome tells how to reach the company as those must who hurry."""
    found = {id: outcome_view(page, atlas) for id, page in atlas.pages.items() if page.outcome}
    for id, view in found.items():
        tree, _, name = id.rpartition("/")
        hurried = found.get(f"{tree}/now/{name}", view)
        yield id, replace(view, company=hurried.company) if hurried is not view else view


@dataclass(frozen=True, slots=True)
class _Known:
    """What all files are made of."""

    atlas: Atlas
    order: Mapping[str, int]
    """Page id -> its place among all pages."""
    rank: Mapping[str, int]
    """Page id -> its place in an order in which no answer leads back; some pages have none."""
    outcomes: Mapping[str, views.OutcomeView]
    trees: Mapping[str, tuple[Tree, ...]]
    """Page id -> the files that it is written in; its step or outcome is in the last one."""
    written: Mapping[str, int]
    """Page id -> the place of its step or outcome in that file."""
    names: Mapping[str, tuple[str, str, str]]
    """Page id -> what it has in common with its copy for those who must call first."""
    answers: Mapping[str, tuple[tuple[str, str], ...]]
    """Page id -> text and next page of each answer, in the order that they are shown."""


@dataclass(frozen=True, slots=True)
class _Pair:
    """A page and its copy for those who must call first; one of them may be missing."""

    calm: Page | None
    hurried: Page | None

    @property
    def page(self) -> Page:
        """The one that is there, the calm one first."""
        found = self.calm or self.hurried
        assert found is not None
        return found


def _pocket_view(tree: Tree, root: str, known: _Known) -> views.PocketView:
    atlas, file = known.atlas, pocket_file(tree.id)
    pages = _pages(root, known)
    pairs = _sorted(_pairs(pages, known), root, known)
    ids = _ids(pairs)
    calls = (ids[stop_and_call(hurry=hurry)] for hurry in (False, True))
    stop = _answer(atlas.worded("Stop here and call"), *calls)
    begin, danger = f"#{ids[root]}", ids[atlas.danger]
    return views.PocketView(
        frame=_frame(tree, file, pages, begin, stop, known),
        complaint=tree.title,
        begin=begin,
        danger=f"#{danger}",
        stop=stop,
        list=link(file, START),
        steps=(
            *(_step(pair, ids, danger, known) for pair in pairs),
            views.PocketStep(ids[START_PAGE]),
        ),
    )


def _frame(
    tree: Tree,
    file: str,
    pages: Iterable[Page],
    begin: str,
    stop: views.PocketAnswer,
    known: _Known,
) -> views.Frame:
    atlas = known.atlas
    written = {each.id: each for page in pages for each in known.trees[page.id]}
    own = frame(
        file,
        atlas.worded("{title}: all steps in one file", title=tree.title),
        atlas,
        trees=[written[name] for name in sorted(written)],
        reminds=True,
        lost=begin,
        again=views.Link(begin, atlas.worded("Start again with “{title}”", title=tree.title)),
    )
    # No manifest: the file may stand alone, far from the site that made it.
    return replace(own, danger="#danger", stop=stop.hurried, manifest="")


def _pages(root: str, known: _Known) -> list[Page]:
    """The pages that a walk from `root`, the strip and "stop and call" lead to."""
    atlas = known.atlas
    shown = graph.reachable(atlas.edges, [root, atlas.danger])
    shown |= {stop_and_call(hurry=False), stop_and_call(hurry=True)}
    found = sorted(shown & known.order.keys(), key=known.order.__getitem__)
    return [atlas.pages[id] for id in found]


def _pairs(pages: Iterable[Page], known: _Known) -> list[_Pair]:
    found: dict[tuple[str, str, str], dict[bool, Page]] = {}
    for page in pages:
        found.setdefault(known.names[page.id], {})[page.mode.hurry] = page
    return [_Pair(pair.get(False), pair.get(True)) for pair in found.values()]


def _sorted(pairs: Iterable[_Pair], root: str, known: _Known) -> list[_Pair]:
    """The first step first, the outcomes last; tree by tree as walks come to them.

    Within a tree they stand as written. So the copies of a step that is used in several places
    follow one another, and so do endings that say the same, which also makes the file small: gzip
    looks back 32 KB for what it has seen.
    """
    placed = sorted(pairs, key=lambda pair: known.rank.get(pair.page.id, len(known.rank)))
    chapters: dict[str, int] = {}
    for pair in placed:
        chapters.setdefault(known.trees[pair.page.id][-1].id, len(chapters))

    def place(pair: _Pair) -> tuple[bool, bool, int, int]:
        page = pair.page
        chapter = chapters[known.trees[page.id][-1].id]
        return page.id != root, page.step is None, chapter, known.written[page.id]

    return sorted(placed, key=place)


def _name(page: Page) -> str:
    written = page.step or page.outcome
    assert written is not None
    return written.id


def _ids(pairs: Sequence[_Pair]) -> dict[str, str]:
    """Page id -> its fragment; the last number is for the list of complaints."""
    mark = _mark(pairs)
    found = {START_PAGE: f"{mark}-{len(pairs) + 1}"}
    for number, pair in enumerate(pairs, 1):
        if pair.calm:
            found[pair.calm.id] = f"{mark}-{number}"
        if pair.hurried:
            found[pair.hurried.id] = f"{mark}-{number}-now"
    return found


def _mark(pairs: Iterable[_Pair]) -> str:
    """Three letters or digits that differ, in all likelihood, for another order of steps."""
    order = "\n".join(pair.page.id for pair in pairs)
    return base64.b32encode(hashlib.sha256(order.encode()).digest())[:3].decode().lower()


def _step(pair: _Pair, ids: Mapping[str, str], danger: str, known: _Known) -> views.PocketStep:
    page, hurried = pair.page, pair.hurried
    own = ids[page.id].removesuffix("-now")
    is_gated = bool(page.outcome and page.outcome.gate)
    return views.PocketStep(
        id=own,
        hurried=ids[hurried.id] if hurried else "",
        is_danger_page=own == danger,
        away=f"{own}-away" if is_gated else "",
        step=step_text(page, known.atlas) if page.step else None,
        more=known.atlas.more.get(page.id, 0),
        outcome=known.outcomes.get(page.id),
        sooner=_sooner(pair, known.atlas),
        answers=tuple(_answers(pair, ids, known)),
    )


def _sooner(pair: _Pair, atlas: Atlas) -> views.Soon | None:
    if not (pair.calm and pair.hurried and pair.page.outcome):
        return None
    calm, hurried = soon(pair.calm, atlas), soon(pair.hurried, atlas)
    return hurried if hurried != calm else None


def _answers(pair: _Pair, ids: Mapping[str, str], known: _Known) -> Iterator[views.PocketAnswer]:
    hurried = known.answers[(pair.hurried or pair.page).id]
    for (text, to), (_, other) in zip(known.answers[pair.page.id], hurried, strict=True):
        yield _answer(text, ids[to], ids[other])


def _answer(text: str, calm: str, hurried: str) -> views.PocketAnswer:
    return views.PocketAnswer(text, f"#{calm}", f"#{hurried}" if hurried != calm else "")
