"""A drawing into its files: all of them, or none."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

from stepstop.labels.drawing import Drawing
from stepstop.labels.errors import LabelError
from stepstop.labels.face import Face
from stepstop.labels.pdf import pdf_file
from stepstop.labels.svg import svg_pages


def written(drawing: Drawing, into: Path, face: Face, dated: str) -> list[Path]:
    """Write `drawing` to `into` (.pdf or .svg); the files, of several pages SVG has as many.

    Raises `LabelError` where it can't be done; files that were there are then as they were.
    """
    files = _files(drawing, into, face, dated)
    drafts = {path: path.with_name(f".{path.name}.{secrets.token_hex(4)}") for path in files}
    try:
        for path, draft in drafts.items():
            draft.write_bytes(files[path])
        for path, draft in drafts.items():
            os.replace(draft, path)
    except OSError as error:
        raise LabelError(f"{into} can't be written: {error.strerror or error}") from None
    finally:
        for draft in drafts.values():
            with suppress(OSError):
                draft.unlink(missing_ok=True)
    return list(files)


def _files(drawing: Drawing, into: Path, face: Face, dated: str) -> dict[Path, bytes]:
    if not into.parent.is_dir():
        raise LabelError(f"{into.parent} is no folder; make it first")
    if into.suffix == ".pdf":
        return {into: pdf_file(drawing, face, dated)}
    if into.suffix != ".svg":
        raise LabelError(f"`{into.name}` is neither .pdf nor .svg; end the name with one of them")
    if not face.is_core:
        raise LabelError("--font is for a PDF: an SVG is set in the fonts of whoever opens it")
    pages = svg_pages(drawing)
    if len(pages) == 1:
        return {into: pages[0]}
    digits = len(str(len(pages)))
    names = (f"{into.stem}-{number:0{digits}}.svg" for number in range(1, len(pages) + 1))
    return {into.with_name(name): page for name, page in zip(names, pages, strict=True)}
