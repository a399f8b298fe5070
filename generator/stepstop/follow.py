"""A trail read in a terminal: what was answered, where it ends, what it points to."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.belief import in_words, picked
from stepstop.brief import brief
from stepstop.edition import Edition
from stepstop.pages.titles import headline
from stepstop.pages.words import fill, plain
from stepstop.ranking import Ranking
from stepstop.trail import Followed, Trail, Ways, in_groups


def read_trail(ways: Ways, given: str) -> Trail:
    """The trail of a link, of its fragment, or of a code; raises `BadTrail`."""
    _, mark, fragment = given.partition("#")
    if mark:
        return ways.read_link(fragment)
    return ways.read_link(given) if given.startswith("on=") else ways.read_code(given)


def pointed(ways: Ways, followed: Followed, ranking: Ranking) -> dict[str, float]:
    """Causes of the catalogue with their chances after a trail, the greatest first."""
    answers = [(ways.pages[w.page], w.answer.values) for w in followed.ways if w.answer]
    known = ways.course.library.catalogue.causes
    chances = ranking.chances(ranking.told(answers))
    return {cause: share for cause, share in chances.items() if cause in known}


def trail_text(ways: Ways, edition: Edition, trail: Trail) -> str:
    """What the trail tells, as lines for a terminal; raises `BadTrail`."""
    return "\n".join(_lines(ways, edition, trail))


def _lines(ways: Ways, edition: Edition, trail: Trail) -> Iterator[str]:
    def text(each: str) -> str:
        return plain(fill(each, edition.place))

    followed = ways.follow(trail)
    told = brief(ways, followed, text)
    page = ways.pages[followed.page]
    yield f"What fails: {told.fails}"
    yield f"Danger, as answered: {told.danger or 'not asked'}"
    where = text(page.outcome.title if page.outcome else headline(page))
    yield f"Ends at: {where} ({followed.page}.html)"
    yield f"Code: {in_groups(ways.code(trail))}"
    for title, lines in (*told.parts, ("Tried, in order", told.tried)):
        if lines:
            yield from ("", title, *(f"  {line}" for line in lines))
    ranking = edition.rankings.get(trail.root)
    if ranking is not None:
        chances = pointed(ways, followed, ranking)
        known = ways.course.library.catalogue.causes
        yield from ("", "Possible causes (simulated calls, no field results)")
        yield from (f"  {text(known[c].name)}: {in_words(chances[c])}" for c in picked(chances))
