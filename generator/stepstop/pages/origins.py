"""Where the numbers on the pages come from: each claim, what the place says, sources, reviews."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.edition import UNDATED
from stepstop.language.tongue import phrase
from stepstop.model import Library
from stepstop.pages import views
from stepstop.pages.address import ORIGINS
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame, reviewed
from stepstop.pages.sources import SEEN, source_lines
from stepstop.pages.tables import table
from stepstop.wording import speeches

TITLE = phrase("Where the numbers come from")
UNREVIEWED = phrase("Not yet reviewed by a licensed technician")
_PLACE_SAYS = {
    "emergency": phrase("Emergency number"),
    "gas": phrase("Who may work on gas"),
    "electrical": phrase("Who may work on wiring"),
    "refrigerant": phrase("Who may work on refrigerant"),
    "disclaimer": phrase("What comes before these pages"),
}


def origins_view(atlas: Atlas) -> views.OriginsView:
    """The view of the page."""
    library = atlas.course.library
    return views.OriginsView(
        frame(ORIGINS, atlas.worded(TITLE), atlas, trees=library.written()),
        _claims(atlas),
        _of_place(atlas),
        _sources(atlas),
        table(
            atlas.worded("Every tree"),
            (atlas.worded("Tree"), atlas.worded("Reviewed by")),
            _reviews(atlas),
        ),
    )


def claims(library: Library) -> dict[str, tuple[str, ...]]:
    """Text with a number -> ids of its sources, in the order of the library.

    Pages name sources for all that a step or an outcome says. What one sentence rests on is what
    all places where it stands name; where they share none, what any of them names.
    """
    named: dict[str, list[tuple[str, ...]]] = {}
    for speech in speeches(library):
        if speech.has_number:
            named.setdefault(speech.text, []).append(speech.source)
    return {text: _shared(sources) for text, sources in named.items()}


def _shared(sources: list[tuple[str, ...]]) -> tuple[str, ...]:
    shared = tuple(name for name in sources[0] if all(name in each for each in sources))
    return shared or tuple(dict.fromkeys(name for each in sources for name in each))


def _claims(atlas: Atlas) -> views.TableView:
    catalogue = atlas.course.library.catalogue
    rows = [
        (atlas.plain(text), "; ".join(source_lines(ids, catalogue.sources, atlas.worded)))
        for text, ids in claims(atlas.course.library).items()
    ]
    heads = (atlas.worded("On the pages"), atlas.worded("From"))
    return table(atlas.worded("Every sentence with a number"), heads, rows)


def _of_place(atlas: Atlas) -> views.TableView:
    """What the place of the edition says, each with its sources and the day it was looked at."""
    place, sources = atlas.place, atlas.course.library.catalogue.sources
    said = {"emergency": (place.emergency_say,), "disclaimer": place.disclaimer}
    said |= {work: (who,) for work, who in place.who.items()}
    rows = [
        (
            atlas.worded(_PLACE_SAYS[name]) if name in _PLACE_SAYS else name,
            " ".join(map(atlas.plain, said[name])),
            "; ".join(source_lines(basis.source, sources, atlas.worded)),
            basis.reviewed,
        )
        for name, basis in place.rests_on.items()
    ]
    heads = (
        atlas.worded("What"),
        atlas.worded("On the pages"),
        atlas.worded("From"),
        atlas.worded("Looked at"),
    )
    caption = atlas.worded("What holds in this place: {place}", place=atlas.plain(place.name))
    return table(caption, heads, rows)


def _sources(atlas: Atlas) -> views.TableView:
    known = atlas.course.library.catalogue.sources
    used = {name for speech in speeches(atlas.course.library) for name in speech.source}
    used |= {name for basis in atlas.place.rests_on.values() for name in basis.source}
    rows = [
        (
            source.title,
            source.by,
            atlas.worded(UNDATED) if source.year == UNDATED else source.year,
            atlas.worded(SEEN[source.seen]),
            source.note or "-",
        )
        for name, source in known.items()
        if name in used
    ]
    heads = (
        atlas.worded("Title"),
        atlas.worded("By"),
        atlas.worded("Year"),
        atlas.worded("Seen"),
        atlas.worded("Used for"),
    )
    return table(atlas.worded("Every source that a page names"), heads, rows)


def _reviews(atlas: Atlas) -> Iterator[tuple[str, str]]:
    for tree in atlas.course.library.written():
        by = atlas.worded(UNREVIEWED)
        if tree.review is not None:
            by = reviewed(tree.review, atlas.edition.date, atlas.worded)
        family = f" ({tree.equipment})" if tree.equipment else ""
        yield atlas.plain(tree.title + family), by
