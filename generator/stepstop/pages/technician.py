"""The technician's copy of an outcome: causes in the trade's words, and a form to fill by hand."""

from __future__ import annotations

from stepstop.course import Page
from stepstop.language.tongue import phrase
from stepstop.model import Cause
from stepstop.pages import views
from stepstop.pages.address import START, file_of, link, step_link, technician_file
from stepstop.pages.atlas import Atlas
from stepstop.pages.frame import frame
from stepstop.pages.likely import FREQUENCIES, WORDS, pointed
from stepstop.pages.outcome import left, soon
from stepstop.pages.sources import source_lines
from stepstop.rehearsed import Pointed

_FIRST = (
    phrase("What fails"),
    phrase("Danger asked at (time), the answers; the unit is OFF by (which switch), or as it was"),
    phrase("Most likely, and what speaks for it and against it"),
)

_FORM = (
    (
        phrase("Who and where"),
        (
            phrase("Name, address, way in (gate, dog, key, stairs)"),
            phrase("Phone that is answered, language"),
            phrase("At home: baby, over 65, ill, pregnant, powered medical equipment"),
            phrase("Temperature indoors and outdoors"),
        ),
    ),
    (
        phrase("What happened"),
        (
            phrase("The complaint in the caller's own words"),
            phrase("Last worked on (day, hour), and what came just before"),
            phrase(
                "Changed of late: storm, outage, thermostat, filter, building or yard work, animals"
            ),
        ),
    ),
    (
        phrase("Equipment"),
        (
            phrase("Kind and fuel, and how sure; how many systems and zones"),
            phrase("Where it stands"),
            phrase("Age; photo of the label, taken without opening anything"),
        ),
    ),
    (
        phrase("Found"),
        (
            phrase("Thermostat: powered by, screen, mode, room and wanted number, messages"),
            phrase("Works: heat, cooling, fan (yes, no, not known)"),
            phrase("Sounds in order, with seconds between"),
            phrase("Light on the unit: three counts as seen; was the key to it read on this unit?"),
            phrase("Air at the grilles: none, cold, warm, where"),
            phrase("Outdoor unit: silent, hum, fan turning, ice, noise"),
            phrase("Water: where, how much, pan or pump"),
            phrase("Breakers and switches: label, position, how often reset and by whom"),
            phrase("Filter: size, date, look; grilles covered?"),
            phrase("Pipe ends outdoors: before and after clearing"),
            phrase("Fuel: other burners work? tank gauge"),
            phrase("Smells, also those that went away"),
        ),
    ),
    (
        phrase("Done so far"),
        (phrase("Everything tried, in order, with what happened and by whom (also wires, fuses)"),),
    ),
    (
        phrase("For the visit"),
        (
            phrase("Why the walk stopped, and how soon to come"),
            phrase("Parts and tools to bring; second person or ladder"),
            phrase("Questions still open; photos taken"),
        ),
    ),
)


def technician_view(page: Page, atlas: Atlas) -> views.TechnicianView:
    """The view of the copy that goes with the outcome on `page`."""
    assert page.outcome is not None
    catalogue = atlas.course.library.catalogue
    found = {each.cause: each for each in pointed(page, atlas)}
    names = tuple(found) or page.outcome.causes
    used = (source for name in names for source in catalogue.causes[name].source)
    return views.TechnicianView(
        frame=_frame(page, atlas),
        tree=page.tree,
        headline=atlas.said(page.outcome.title),
        complaint=_complaint(page, atlas),
        soon=soon(page, atlas),
        left=left(page.outcome, atlas),
        say=atlas.all_said(page.outcome.say),
        causes=tuple(_cause(catalogue.causes[name], found.get(name), atlas) for name in names),
        is_rehearsed=bool(found),
        first=tuple(map(atlas.worded, _FIRST)),
        form=tuple((atlas.worded(head), tuple(map(atlas.worded, ask))) for head, ask in _FORM),
        sources=source_lines(used, catalogue.sources, atlas.worded),
    )


def technician_title(title: str, atlas: Atlas) -> str:
    """The title of the copy that goes with the page titled `title`."""
    return atlas.worded("For the technician: {title}", title=title)


def _complaint(page: Page, atlas: Atlas) -> str:
    tree = atlas.course.library.trees[page.tree]
    if tree.role == "shared":
        return ""
    return " · ".join(filter(None, [tree.title, tree.equipment]))


def _frame(page: Page, atlas: Atlas) -> views.Frame:
    file = technician_file(page.id)
    return frame(
        file,
        technician_title(atlas.titles[page.id], atlas),
        atlas,
        trees=atlas.trees_of(page),
        hurry=page.mode.hurry,
        lost=link(file, START),
        again=views.Link(
            step_link(file, file_of(page.id)),
            atlas.worded("The page for the person at home"),
            word="",
        ),
    )


def _cause(cause: Cause, found: Pointed | None, atlas: Atlas) -> views.CauseView:
    who = atlas.course.library.catalogue.who[cause.mended_by]
    return views.CauseView(
        name=atlas.plain(cause.name),
        word=atlas.worded(WORDS[found.word]) if found else "",
        frequency=atlas.worded(FREQUENCIES[cause.frequency]),
        supports=_answers(found.supports, atlas) if found else (),
        contradicts=_answers(found.contradicts, atlas) if found else (),
        bring=tuple(atlas.plain(text) for text in cause.bring),
        root=atlas.plain(cause.root),
        mended_by=atlas.plain(who.say),
    )


def _answers(pairs: tuple[tuple[str, str], ...], atlas: Atlas) -> tuple[str, ...]:
    """Answers in a technician's words."""
    findings = atlas.course.library.catalogue.findings
    asked = [(findings[finding], value) for finding, value in pairs]
    return tuple(f"{known.about}: {known.values[value].about}" for known, value in asked)
