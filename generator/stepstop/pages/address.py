"""Where a page lies below the site's root, and how one page links to another."""

from __future__ import annotations

from functools import lru_cache

from stepstop.model import START_PAGE

START = "index.html"
"""The list of complaints."""
ORIGINS = "sources.html"
"""Where the numbers on the pages come from."""
REHEARSED = "rehearsed.html"
"""How the edition was rehearsed."""

COUNTER = "blink-counter.html"
"""Where people tap along with a blinking light."""

CODE = "code.html"
"""Where somebody goes on from a code."""
CODE_SCRIPT = "code.js"
"""What makes an account of a code."""
CALL = "call.html"
"""What an agent reads with a caller on the line."""
CALL_SCRIPT = "call.js"
"""What makes that page work."""
CALL_DATA = "calls.js"
"""What that page says."""
WAITING = {"cold": "cold-house.html", "hot": "hot-house.html"}
"""How long people can wait, without heat and without cooling."""
WAITING_SCRIPT = "waiting.js"
"""What reckons on those pages."""
CONTROL = "control-circuit.html"
"""Arithmetic for technicians."""
BRIEF = "brief.js"
"""What makes a brief of a trail."""
TRAIL = "trail.js"
"""What scripts follow trails by."""
EMBED = "embed/embed.js"
"""What a site copies that shows our pages in a frame."""
MANIFEST = "app.webmanifest"
"""What a phone must know to keep the pages like a program of its own."""
WORKER = "worker.js"
"""What answers for the pages when there is no network."""

ON = "#on"
"""Ends the links inside a walk: a page opened with it knows that the danger came first."""


def file_of(page_id: str) -> str:
    """The file of a page of the course."""
    return START if page_id == START_PAGE else f"{page_id}.html"


def equipment_file(equipment: str) -> str:
    """The file of the page for whoever stands at a unit."""
    return f"{equipment}/index.html"


def technician_file(page_id: str) -> str:
    """The file of an outcome's technician's copy."""
    return f"{page_id}.technician.html"


def pocket_file(tree: str) -> str:
    """The file that holds a whole complaint."""
    return f"{tree}/pocket.html"


def link(source: str, target: str) -> str:
    """The relative link from one file to another, good below any path and from `file://`."""
    return _relative(source.rpartition("/")[0], target)


def step_link(source: str, target: str) -> str:
    """The same for a link inside a walk."""
    return link(source, target) + ON


@lru_cache(maxsize=65536)
def _relative(folder: str, target: str) -> str:
    """What `posixpath.relpath` gives for two plain paths below the root, without a look at ours."""
    here, there = folder.split("/") if folder else [], target.split("/")
    same = 0
    while same < min(len(here), len(there) - 1) and here[same] == there[same]:
        same += 1
    return "/".join((*[".."] * (len(here) - same), *there[same:]))
