"""Python's search for garbage, put off while much is made that stays."""

from __future__ import annotations

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager

_is_short = False
"""Whether this process makes one site and ends."""


def makes_one_site() -> None:
    """Say that this process makes one site and ends, so that nothing it makes turns into garbage.

    In one that goes on, what is made anew would be kept beside what was made before.
    """
    global _is_short
    _is_short = True


@contextmanager
def no_collecting() -> Iterator[None]:
    """Leave garbage alone meanwhile: nearly all that is made stays, so the search is vain."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            if _is_short:
                # All that was made counts as old now, or else the next search would go through it.
                gc.freeze()
                gc.unfreeze()
            gc.enable()


# A process that ends gives back its memory whole: the searches that Python makes before are vain.
atexit.register(gc.freeze)
