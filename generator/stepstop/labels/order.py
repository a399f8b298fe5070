"""Which labels are printed: of the equipment that a company works on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from stepstop import shipped
from stepstop.company.colours import themes
from stepstop.company.model import Company
from stepstop.company.reading import read_company
from stepstop.edition import look_files
from stepstop.labels.errors import LabelError
from stepstop.labels.said import Label, label_for
from stepstop.language.tongue import ENGLISH, Tongue
from stepstop.loader import load
from stepstop.model import Catalogue, Equipment
from stepstop.places import catalogue_in
from stepstop.problems import Problem, near
from stepstop.source import Spot, spot_of
from stepstop.tongues import Languages


@dataclass(frozen=True, slots=True)
class Read:
    """A company, or all the problems that stand in the way of its labels."""

    company: Company | None
    catalogue: Catalogue | None
    problems: tuple[Problem, ...] = ()
    tongue: Tongue = ENGLISH
    """The language that both are in."""


def read_for(
    path: Path, trees: Path, overrides: tuple[Path, ...] = (), code: str | None = None
) -> Read:
    """The company in the file `path`, whose pages lie at an address, and the catalogue of `trees`.

    They are in the company's language `code`, its own if that is None; raises `NoLanguage`.
    Nothing is proven here: a label says nothing that its pages don't, and these are proven when
    they are built.
    """
    drawings = shipped.drawing_names((shipped.folder("site_overrides"), *overrides))
    library, found = load(trees, drawings=drawings)
    if library is None:
        return Read(None, None, tuple(found))
    behind = themes(look_files(overrides)["page.css"].read_text(encoding="utf-8"))
    speaking = Languages(library, trees, overrides)
    brand, problems = read_company(path, library, behind, speaking.library_in)
    if brand is None:
        return Read(None, None, problems)
    if not brand.company.address:
        return Read(None, None, (_no_address(path),))
    chosen = brand.company.language(code)
    own = speaking.library_in(chosen)
    assert own is not None  # Else its file would have been told to ask for too much.
    catalogue = catalogue_in(own, brand.company.place)
    return Read(brand.company.said_in(chosen), catalogue, tongue=speaking.tongue(chosen))


def _no_address(path: Path) -> Problem:
    message = "the key `address` is missing here, and labels lead to it"
    mend = "add `address`: where the pages lie (https)"
    return Problem(Spot(path.as_posix(), 0, 0), "missing-key", message, mend)


def labels_for(
    company: Company, catalogue: Catalogue, wanted: Sequence[str], tongue: Tongue = ENGLISH
) -> list[Label]:
    """The labels of the equipment `wanted`, or of all that the company works on.

    All is in the language `tongue`.
    Raises `LabelError` for what nobody knows, and for what the company leaves to others.
    """
    units = catalogue.equipment
    for name in wanted:
        if name not in units:
            known = near(name, units) or f"known: {', '.join(units) or 'none'}"
            raise LabelError(f"no equipment `{name}`; {known}")
        if not company.works_on(units[name].trees):
            raise LabelError(_left(units[name], company))
    chosen = [units[name] for name in dict.fromkeys(wanted)] or [
        unit for unit in units.values() if company.works_on(unit.trees)
    ]
    if not chosen:
        raise LabelError("the company works on none of the equipment in catalogue/equipment.yml")
    place = catalogue.places[company.place]
    return [label_for(unit, company, place, tongue) for unit in chosen]


def _left(unit: Equipment, company: Company) -> str:
    assert company.unserved is not None
    spot = spot_of(company.unserved.trees[0])
    return f"{company.name} does not work on `{unit.id}`: see `unserved` ({spot})"
