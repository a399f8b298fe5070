"""A company of our own invention for tests, with some of its lines changed."""

from browser.sites import TODAY, course_of, write_texts
from stepstop.companies import for_company
from stepstop.company.colours import themes
from stepstop.company.reading import read_company
from stepstop.edition import edition_for, look_files
from stepstop.site import build_site

BEHIND = themes(look_files(())["page.css"].read_text("utf-8"))

PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'
    '<path id="on" fill="#123456" d="M0 0h40v20z"/></svg>'
)

SAMPLE = {
    "company": "sample",
    "name": "Sample Heating (demo)",
    "place": "us",
    "phone": "+12025550143",
    "time-zone": "America/Chicago",
    "hours": [{"days": ["monday", "friday"], "from": "08:00", "until": "17:00"}],
    "licences": [{"number": "DEMO-1", "kind": "contractor", "holder": "the company"}],
    "area": ["Demo County"],
    "nobody-can-come": "Then ask another company.",
}
"""What a company's file must have, and nothing else."""


def write_company(folder, changes=None, *, picture=None, name="sample"):
    """Write the company with `changes` (key -> value, None takes it away); the file."""
    data = {**SAMPLE, **(changes or {})}
    path = folder / f"{name}.yml"
    write_texts({key: value for key, value in data.items() if value is not None}, path)
    if picture is not None:
        (folder / "logo.svg").write_bytes(
            picture if isinstance(picture, bytes) else picture.encode()
        )
    return path


def read(folder, library, changes=None, *, picture=None):
    """(the company with its picture, or None; lines of problems as `flaw: message | mend`)."""
    brand, problems = read_company(write_company(folder, changes, picture=picture), library, BEHIND)
    return brand, [f"{p.flaw}: {p.message} | {p.mend}" for p in problems]


def site_for(path, trees, *, make=build_site):
    """(the company in the file `path` with its course, its pages) of the trees in a folder."""
    made = for_company(path, course_of(trees))
    assert made.problems == ()
    edition = edition_for(made.course, trees, today=TODAY, brand=made.brand, environ={})
    return made, make(made.course, edition)
