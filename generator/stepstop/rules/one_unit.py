"""Every temperature and every length stands there in the units of every place."""

from __future__ import annotations

from collections.abc import Iterator

from stepstop.model import Catalogue
from stepstop.problems import Problem
from stepstop.proof import Proof
from stepstop.source import spot_of
from stepstop.tally import Tally
from stepstop.units import odd_sizes

FLAW = "one-unit"
SUMMARY = "a temperature or a length lacks the other unit, or is another in it"


def examine(proof: Proof, tally: Tally) -> Iterator[Problem]:
    """A problem for each size that can't be shown as every place needs it."""
    told = (speech.text for speech in proof.speeches)
    for text in dict.fromkeys((*told, *_beside(proof.library.catalogue))):
        tally.count()
        for odd in odd_sizes(text):
            if odd.differs:
                message = f"`{odd.words}` says two sizes that are not the same"
                mend = "reckon again, and round alike"
            else:
                message = f"`{odd.words}` is in one unit, and places differ in theirs"
                mend = "write both, as in `68 °F (20 °C)`, `20 ft (6 m)` or `2 in (5 cm)`"
            yield Problem(spot_of(text), FLAW, message, mend)


def _beside(catalogue: Catalogue) -> Iterator[str]:
    """What pages, briefs and call scripts say besides: for technicians, agents, and by place."""
    for finding in catalogue.findings.values():
        yield finding.about
        yield from (value.about for value in finding.values.values())
        yield from (heard.may_be for heard in finding.hear)
    yield from (effect.about for effect in catalogue.effects.values())
    for cause in catalogue.causes.values():
        yield from (cause.name, cause.root, *cause.bring)
    yield from (urgency.advice for urgency in catalogue.urgencies.values())
    yield from (who.say for who in catalogue.who.values())
    for place in catalogue.places.values():
        yield from (*place.who.values(), *place.disclaimer)
    for card in catalogue.calls.cards.values():
        yield from card.do
    yield from catalogue.calls.nobody
