"""What can't be printed."""

from __future__ import annotations


class LabelError(Exception):
    """A label, or a sheet of them, can't be made; the message says why, and a way out."""
