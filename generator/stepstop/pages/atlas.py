"""All that the pages of one site need to know of each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from stepstop.course import FULL, Course, Mode, Page
from stepstop.edition import STOCK, STOP_AND_CALL, Edition
from stepstop.model import START_PAGE, Place, Tree
from stepstop.pages.ahead import most_pages_after, only_root
from stepstop.pages.titles import titles
from stepstop.pages.views import StepText
from stepstop.pages.words import Said, fill, plain
from stepstop.trail import Ways

Spoken = tuple[Course, Edition]
"""A course in the language of an edition."""


@dataclass(frozen=True, slots=True)
class Atlas:
    """The pages of a site with their titles, where walks begin, and how far they go."""

    course: Course
    edition: Edition
    pages: Mapping[str, Page]
    """Those of the course, and the frame's own outcomes."""
    titles: Mapping[str, str]
    """Page id -> text of its `<title>`, each another."""
    roots: Mapping[str, str]
    """Tree id -> id of its first page, for complaints and danger."""
    danger: str
    """Id of the page behind the strip."""
    homes: Mapping[str, str]
    """Page id -> root of the only complaint that leads to it."""
    more: Mapping[str, int]
    """Page id -> pages still to come at the most."""
    ways: Ways
    """The trails that links carry."""
    edges: Mapping[str, tuple[str, ...]]
    """Page id -> ids of the next pages."""
    together: dict[str, Atlas] = field(default_factory=dict, compare=False, repr=False)
    """Code of each language of the site -> its atlas, this one too: one mapping for all of them."""
    texts: dict[int, StepText] = field(default_factory=dict, compare=False, repr=False)
    """Step, by its identity -> what its pages say, as far as one was made."""
    _filled: dict[str, Said] = field(default_factory=dict, compare=False, repr=False)
    """Texts for this place: the same stand on many pages."""
    _together: dict[tuple[str, ...], tuple[Said, ...]] = field(
        default_factory=dict, compare=False, repr=False
    )
    _plain: dict[str, str] = field(default_factory=dict, compare=False, repr=False)

    @property
    def place(self) -> Place:
        """Whose numbers and words the pages use."""
        return self.edition.place

    @property
    def first(self) -> Atlas:
        """That of the company's language: what a technician reads is in it."""
        return self.together.get(self.edition.tongues[0].code, self)

    @property
    def others(self) -> tuple[Atlas, ...]:
        """Those of the other languages, in the order of the edition."""
        return tuple(self.together[tongue.code] for tongue in self.edition.others)

    def worded(self, phrase: str, **given: object) -> str:
        """The words for a phrase in the language of these pages, see `Tongue.worded`."""
        return self.edition.tongue.worded(phrase, **given)

    def said(self, text: str) -> Said:
        """`text` for this place."""
        if text not in self._filled:
            self._filled[text] = fill(text, self.place)
        return self._filled[text]

    def plain(self, text: str) -> str:
        """The text with the numbers of the place, as text alone."""
        if text not in self._plain:
            self._plain[text] = plain(self.said(text))
        return self._plain[text]

    def all_said(self, texts: tuple[str, ...]) -> tuple[Said, ...]:
        """Each text for this place."""
        if texts not in self._together:
            self._together[texts] = tuple(map(self.said, texts))
        return self._together[texts]

    def is_root(self, page: Page) -> bool:
        """Whether walks begin at `page`."""
        return self.roots.get(page.tree) == page.id

    def trees_of(self, page: Page) -> tuple[Tree, ...]:
        """The files that `page` is written in: its tree, and the shared one that stands there."""
        tree = self.course.library.trees[page.tree]
        flat = self.course.flat.get((page.tree, page.label.removeprefix(page.mode.prefix)))
        return (tree,) if flat is None or flat.home is tree else (tree, flat.home)


def atlases_of(spoken: Iterable[Spoken]) -> tuple[Atlas, ...]:
    """The atlas of each language of a site; they know each other."""
    found = tuple(atlas_of(course, edition) for course, edition in spoken)
    together = {atlas.edition.tongue.code: atlas for atlas in found}
    for atlas in found:
        atlas.together.update(together)
    return found


def atlas_of(course: Course, edition: Edition) -> Atlas:
    """The atlas of the pages that show `course` in `edition`, which knows of no other language."""
    trees = list(course.library.roots())
    roots = {tree.id: root for tree, root in zip(trees, course.roots, strict=True)}
    danger = next(roots[tree.id] for tree in trees if tree.role == "danger")
    pages = {**course.pages, **{p.id: p for p in _stop_and_call(course)}}
    pages.pop(START_PAGE, None)
    edges = course.graph()
    return Atlas(
        course,
        edition,
        pages,
        titles(pages.values(), course.library, edition.place, edition.tongue.worded),
        roots,
        danger,
        _homes(edges, [root for root in course.roots if root != danger]),
        most_pages_after(edges),
        Ways(course),
        edges,
    )


def _homes(edges: Mapping[str, tuple[str, ...]], roots: list[str]) -> dict[str, str]:
    """Page id -> root of the only complaint that leads to it: all lead to "stop and call"."""
    from_all = {stop_and_call(hurry=each) for each in (False, True)}
    homes = only_root(edges, roots)
    return {page: root for page, root in homes.items() if page not in from_all}


def stop_and_call(*, hurry: bool) -> str:
    """The id of the page behind "stop and call"."""
    return f"{STOCK}/{'now/' * hurry}{STOP_AND_CALL}"


def _stop_and_call(course: Course) -> Iterator[Page]:
    outcome = course.library.trees[STOCK].outcomes[STOP_AND_CALL]
    for hurry in (False, True):
        mode = Mode(FULL, hurry)
        page_id = stop_and_call(hurry=hurry)
        yield Page(page_id, STOCK, STOP_AND_CALL, mode, None, outcome, None, "", "", ())
