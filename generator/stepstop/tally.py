"""How many places a rule looked at, so that one which looked at none is seen."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(slots=True)
class Tally:
    """Counts places."""

    places: int = 0

    def count(self, places: int = 1) -> None:
        """Put down that so many more places were examined."""
        self.places += places
