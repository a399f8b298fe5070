"""Pages beside the walks: for an address that isn't there, and pointers at old addresses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product
from posixpath import join

from stepstop.course import Page
from stepstop.edition import STOCK, STOP_AND_CALL
from stepstop.model import Tree
from stepstop.pages import views
from stepstop.pages.address import MANIFEST, START, file_of, link, technician_file
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame
from stepstop.pages.likely import has_technician_copy
from stepstop.pages.technician import technician_title

LOST = "404.html"


def lost_view(atlas: Atlas, home: str) -> views.LostView:
    """The view of the page that a host shows for any address that isn't there.

    No relative link can be right on it, for it may stand at any depth: its strip and its "stop and
    call" lead to parts of the page itself, which say the most needed in full. Where `home` is
    known, links from the site's root are added.
    """
    own = frame(LOST, atlas.worded("This page is not here"), atlas, trees=())
    start = join(home, START) if home else ""
    manifest = join(home, MANIFEST) if home and own.manifest else ""
    stock = atlas.course.library.trees[STOCK].outcomes[STOP_AND_CALL]
    edition, at_root = atlas.edition, home.removesuffix(atlas.edition.folder)
    others = tuple(
        replace(each, href=join(at_root, edition.folder_of(tongue), LOST))
        for each, tongue in zip(own.others, edition.others, strict=True)
        if home
    )
    return views.LostView(
        replace(own, danger="#danger", stop="#call", start=start, manifest=manifest, others=others),
        atlas.said("{emergency}"),
        atlas.all_said(stock.say),
        join(home, file_of(atlas.danger)) if home else "",
    )


def moved_views(atlas: Atlas) -> Iterator[tuple[str, views.MovedView]]:
    """(old file, pointer) for every address that a page had before its step was renamed."""
    old = {tree.id: _former(tree) for tree in atlas.course.library.trees.values()}
    for page_id in sorted(atlas.pages):
        page = atlas.pages[page_id]
        for former in _former_ids(page, atlas, old):
            if former not in atlas.pages:
                yield from _moved(former, page, atlas)


def _moved(former: str, page: Page, atlas: Atlas) -> Iterator[tuple[str, views.MovedView]]:
    title = atlas.titles[page.id]
    yield _pointer(file_of(former), file_of(page.id), title, page, atlas)
    if page.outcome and has_technician_copy(page.outcome):
        files = technician_file(former), technician_file(page.id)
        yield _pointer(*files, technician_title(title, atlas), page, atlas)


def _pointer(
    old: str, new: str, title: str, page: Page, atlas: Atlas
) -> tuple[str, views.MovedView]:
    shown = frame(
        old,
        atlas.worded("Moved from {old}: {title}", old=old, title=title),
        atlas,
        trees=atlas.trees_of(page),
        hurry=page.mode.hurry,
    )
    return old, views.MovedView(shown, views.Link(link(old, new), title))


def _former(tree: Tree) -> dict[str, list[str]]:
    """Name of a step or outcome -> its former names."""
    found: dict[str, list[str]] = {}
    for old, new in sorted(tree.renamed.items()):
        found.setdefault(new, []).append(old)
    return found


def _former_ids(
    page: Page, atlas: Atlas, old: Mapping[str, Mapping[str, list[str]]]
) -> Iterator[str]:
    """The ids that `page` had: any name in its address may have been another."""
    folder, _, last = page.id.rpartition("/")
    tree = atlas.course.library.trees[page.tree]
    names = []
    for name in last.split("."):
        names.append([name, *old[tree.id].get(name, ())])
        step = tree.steps.get(name)
        tree = atlas.course.library.trees[step.uses] if step and step.uses else tree
    for former in list(product(*names))[1:]:
        yield f"{folder}/{'.'.join(former)}"
