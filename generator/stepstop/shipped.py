"""Where the trees, templates and rule pages that come with Stepstop are."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent
_CHECKOUT = _PACKAGE.parent.parent


def folder(name: str) -> Path:
    """The shipped folder `name`: inside an installed package, or beside it in a checkout."""
    inside = _PACKAGE / "data" / name.removeprefix("content/")
    return inside if inside.is_dir() else _CHECKOUT / name


def drawing_names(folders: tuple[Path, ...]) -> frozenset[str]:
    """Names of the drawings in the `stepstop/drawings` folders below `folders`."""
    return frozenset(
        path.stem for each in folders for path in (each / "stepstop" / "drawings").glob("*.svg")
    )
