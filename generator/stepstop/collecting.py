"""Python's search for garbage, put off while much is made that stays."""

from __future__ import annotations

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_collecting() -> Iterator[None]:
    """Leave garbage alone meanwhile: nearly all that is made stays, so the search is vain."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


# A process that ends gives back its memory whole: the searches that Python makes before are vain.
atexit.register(gc.freeze)
