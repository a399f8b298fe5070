"""The tables of `ranking` as files of the site, each loaded with a brief of its complaint.

Names become numbers as `trail_data` gives them, and each cause comes with its words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from stepstop.pages.atlas import Atlas
from stepstop.pages.trail_data import numbered, script_with, value_number
from stepstop.ranking import Ranking


def likely_file(tree: str) -> str:
    """The file with the table of a tree."""
    return f"{tree}/likely.js"


def likely_data(atlas: Atlas) -> Iterator[tuple[str, bytes]]:
    """(file, content) of each table of the edition."""
    for tree, ranking in atlas.edition.rankings.items():
        yield likely_file(tree), script_with("likely", _Table(atlas, ranking).whole())


class _Table:
    def __init__(self, atlas: Atlas, ranking: Ranking) -> None:
        catalogue = atlas.course.library.catalogue
        self.text, self.data, self.catalogue = atlas.plain, ranking.data, catalogue
        self.finding = numbered(catalogue.findings)
        self.check = numbered(catalogue.checks)

    def whole(self) -> dict[str, Any]:
        data = self.data
        return {
            **{key: data[key] for key in ("cause", "weights", "weight")},
            "causes": [self._cause(name) for name in data["causes"]],
            "moves": {str(self.check[name]): acts for name, acts in data["moves"].items()},
            "findings": {
                str(self.finding[name]): [rates["values"], rates["unsure"], rates["mistaken"]]
                for name, rates in data["findings"].items()
            },
            "columns": [
                [
                    self.finding[name],
                    self._dist(name, mean),
                    [self._dist(name, d) for d in dists],
                    r,
                ]
                for name, mean, dists, r in data["columns"]
            ],
            "column": {self._place(place): number for place, number in data["column"].items()},
        }

    def _place(self, place: str) -> str:
        acts, _, finding = place.partition(":")
        return f"{acts}:{self.finding[finding]}"

    def _dist(self, finding: str, flat: Sequence[Any]) -> list[Any]:
        known = self.catalogue.findings[finding]
        return [value_number(known, each) if isinstance(each, str) else each for each in flat]

    def _cause(self, name: str) -> list[Any]:
        """[for the technician, for the homeowner, what to bring, root-cause question, who]."""
        cause = self.catalogue.causes[name]
        words = (cause.name, cause.plain, ", ".join(cause.bring), cause.root)
        return [*map(self.text, words), self.text(self.catalogue.who[cause.mended_by].say)]
