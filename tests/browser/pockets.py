"""A file that holds a whole complaint, taken apart, and what of a page must stand in it."""

import re
from dataclasses import dataclass
from functools import cached_property

from bs4 import BeautifulSoup

STEP = re.compile(
    r'(?:<b id="(?P<hurried>[^"]+)"></b>\s*)?(?P<danger><i id="danger"></i>\s*)?'
    r'(?P<html><section id="(?P<id>[^"]+)".*?)'
    r'(?=\s*(?:<b id=|<i id=|<section id=|<p class="stop">))',
    re.DOTALL,
)
ELSEWHERE = (
    "svg, #anew, #once, #brief, .lost, .hurry, .complaint, .stop, .copy, .keep, .counter, .never, "
    ".law, details ul"
)
"""What a page has that stands once in the file, is a drawing, or needs a script or another file."""


def said(element):
    """Its text without runs of space."""
    return " ".join(element.get_text().split())


def lines(soup):
    """What headings, paragraphs and items say, in their order."""
    found = [e for e in soup.find_all(["h1", "h2", "h3", "p", "li"]) if not e.find(["p", "li"])]
    return [said(e) for e in found]


def matter(page):
    """What a page of its own says that must stand in the file, from the parsed page."""
    main = BeautifulSoup(str(page.main), "html.parser")
    for extra in main.select(ELSEWHERE):
        extra.decompose()
    found = [line for line in lines(main) if line != "Where this comes from:"]
    return [re.sub(r"^(One more|At most \d+ more) page", r"\1 step", line) for line in found]


@dataclass(frozen=True)
class Shown:
    """A step as somebody sees it who came by one of its two ids."""

    lines: list[str]
    answers: list[str]
    """The fragments that they lead to, or names of files."""
    reminds: bool
    """Whether it says to call first."""
    gate: str
    """Fragment of what stands behind its gate, or empty."""


@dataclass(frozen=True)
class Step:
    """A step, an outcome, or the part of one that stands behind its gate."""

    id: str
    hurried: str
    is_danger: bool
    html: str

    def shown(self, *, hurry):
        """What stands there when somebody comes by its own or by its hurried id."""
        soup = BeautifulSoup(self.html, "html.parser").section
        for item in soup.select(".answers li"):
            links = item.find_all("a")
            if len(links) > 1:
                links[not hurry].decompose()
        if soup.select_one(".hurried"):
            soup.select_one(".calm" if hurry else ".hurried").decompose()
        links = [a["href"].removeprefix("#") for a in soup.select(".answers a")]
        classes = soup.get("class", [])
        gated = "gated" in classes
        for complaint in soup.select(".complaint"):
            complaint.decompose()
        return Shown(
            lines(soup),
            [] if gated else links,
            hurry and "calls" not in classes,
            links[0] if gated else "",
        )


class Pocket:
    """The whole file."""

    def __init__(self, content):
        self.html = content.decode()
        self.steps = [
            Step(m["id"], m["hurried"] or "", bool(m["danger"]), m["html"])
            for m in STEP.finditer(self.html)
        ]
        self._shown = {}

    @cached_property
    def at(self):
        """Fragment -> (step, whether somebody who comes by it must call first)."""
        found = {step.id: (step, False) for step in self.steps}
        return found | {step.hurried: (step, True) for step in self.steps if step.hurried}

    @cached_property
    def rest(self):
        """What stands once, parsed."""
        return BeautifulSoup(STEP.sub("", self.html), "html.parser")

    @property
    def first(self):
        """Fragment of the first step."""
        return self.steps[0].id

    @property
    def danger(self):
        """Fragment of the step that the strip leads to."""
        return next(step.id for step in self.steps if step.is_danger)

    def stop(self, *, hurry):
        """Fragment that "stop and call" leads to."""
        links = self.rest.select(".stop a")
        return links[hurry]["href"].removeprefix("#")

    def shown(self, fragment):
        """What somebody sees at a fragment."""
        if fragment not in self._shown:
            step, hurry = self.at[fragment]
            self._shown[fragment] = step.shown(hurry=hurry)
        return self._shown[fragment]
