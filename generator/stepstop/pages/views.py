"""What each kind of page says: plain frozen data, without a tag of HTML."""

from __future__ import annotations

from dataclasses import dataclass

from stepstop.pages.address import START
from stepstop.pages.words import Said


@dataclass(frozen=True, slots=True)
class Link:
    """A link with a text that is clear by itself."""

    href: str
    text: str
    drawing: str = ""
    """Name of the drawing beside it, or empty."""
    word: str | None = None
    """What it adds to the trail, where it carries one on."""
    done: str = ""
    """Acts that may happen once and that it tells of, as a link writes them; else empty."""
    tongue: str = ""
    """Code of the language that it leads into, which its text names; empty: the same."""


@dataclass(frozen=True, slots=True)
class OtherTongue:
    """The same page in another language."""

    href: str
    code: str
    name: str
    """The language's own name."""
    alternate: str
    """Its address for search engines."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page has around its own matter."""

    title: str
    description: str
    """For search engines; empty where they are told to keep away."""
    is_listed: bool
    """Whether search engines may list the page."""
    version: str
    """The hash of the course's shape, which links with a trail begin with."""
    begins: str
    """The word with which the trails begin that begin here; empty on other pages."""
    danger: str
    """Link of the strip."""
    is_danger: bool
    """Whether this is the page that the strip leads to."""
    stop: str
    """Link of "stop and call"."""
    is_stop: bool
    """Whether this is the page that "stop and call" leads to."""
    is_hurried: bool
    """Whether it reminds to call first."""
    lost: str
    """Where somebody is sent who came without a trail; empty on pages where walks begin or end."""
    start: str
    """Link to the list of complaints; empty on that page itself."""
    manifest: str
    """Link of the manifest, beside which the worker lies; empty where nothing is to be kept."""
    again: Link | None
    """Link to the first page of this complaint."""
    never: tuple[Said, ...]
    disclaimer: tuple[Said, ...]
    """Codes, licences, no substitute: what holds anywhere and names no number."""
    emergency: tuple[Said, ...]
    """The rest of the disclaimer: whom to call. Kept behind the gate of a gas page."""
    is_branded: bool
    """Whether it is a company's, with slots for what is its own."""
    reviews: tuple[str, ...]
    """Who reviewed it; none where somebody still must."""
    place: str
    dated: str
    hash: str
    others: tuple[OtherTongue, ...] = ()
    """The same page in the other languages of the site."""
    here: str = ""
    """Its own address for search engines; empty where they need none."""
    default: str = ""
    """Its address in the site's first language, likewise."""
    theirs: str = ""
    """Where the data of an account lie in the company's language, from `base`; empty if there."""

    @property
    def base(self) -> str:
        """The site's root, as links of this page begin; empty where the page lies in it."""
        return self.start.removesuffix(START)


@dataclass(frozen=True, slots=True)
class Sign:
    """A safety message."""

    word: str
    """DANGER, WARNING, CAUTION or NOTICE."""
    said: Said

    @property
    def hurts(self) -> bool:
        """Whether somebody could be hurt: such a message has the alert symbol."""
        return self.word != "NOTICE"


@dataclass(frozen=True, slots=True)
class Check:
    """The part of a page that tells what to do."""

    before: tuple[Said, ...]
    stop_if: tuple[Said, ...]
    never: tuple[Said, ...]
    do: tuple[Said, ...]
    minutes: int
    waits: bool
    is_once: bool
    """Whether it may happen once at the most."""


@dataclass(frozen=True, slots=True)
class StepText:
    """What a question, a check or a note says wherever it stands."""

    headline: Said
    look: tuple[Said, ...]
    drawing: str
    signs: tuple[Sign, ...]
    check: Check | None
    why: Said
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepView:
    """A question, a check or a note on a page of its own."""

    frame: Frame
    complaint: str
    """Title of the complaint that begins here; empty on all other pages."""
    text: StepText
    answers: tuple[Link, ...]
    more: int
    """Pages still to come at the most."""
    counter: str
    """Link to the page on which people tap along with a light, or empty."""
    pocket: str
    """Link to the whole complaint in one file, where it begins here; empty on all other pages."""

    @property
    def is_pictured(self) -> bool:
        """Whether answers have drawings."""
        return any(answer.drawing for answer in self.answers)


@dataclass(frozen=True, slots=True)
class Soon:
    """How soon somebody must come."""

    id: str
    say: str
    advice: Said


@dataclass(frozen=True, slots=True)
class Left:
    """How the unit is left."""

    state: str
    until: Said


@dataclass(frozen=True, slots=True)
class LikelyView:
    """A cause in a homeowner's words."""

    word: str
    """How likely, or empty where nothing says it."""
    said: Said


@dataclass(frozen=True, slots=True)
class CardView:
    """What a reader of another language says on the phone: in the company's, with its meaning."""

    code: str
    """Of the company's language."""
    direction: str
    title: str
    how: str
    """What to do with the large words."""
    lines: tuple[tuple[Said, Said], ...]
    """(sentence in the company's language, what it means)."""


@dataclass(frozen=True, slots=True)
class AlsoView:
    """What a page of danger says in another language: whoever stands there may not read the first.

    Nothing in it is a link but its numbers, which stand behind the gate where the page has one.
    """

    tongue: OtherTongue
    direction: str
    headline: Said
    do: tuple[Said, ...]
    gate: str
    after: tuple[Said, ...]
    card: CardView | None
    """What is said on the phone; none where that is this very language."""


@dataclass(frozen=True, slots=True)
class TheirsView:
    """What an account takes from its page, in the company's language."""

    name: str
    """The language's name in that of the page."""
    title: str
    soon: str
    left: str


@dataclass(frozen=True, slots=True)
class OutcomeView:
    """Where a walk ends."""

    frame: Frame
    tree: str
    """Id of the tree that it stands in."""
    kind: str
    complaint: str
    headline: Said
    drawing: str
    soon: Soon | None
    whom: Said
    """Whom to call; empty where nobody is to be called."""
    company: tuple[str, ...]
    """Words of the slot that says how to reach the company; empty where it is not to be called."""
    say: tuple[Said, ...]
    do: tuple[Said, ...]
    gate: str
    after: tuple[Said, ...]
    left: Left | None
    who: Said
    licences: tuple[tuple[str, str], ...]
    """(kind of work, who may do it here)."""
    causes: tuple[LikelyView, ...]
    """The likeliest first."""
    never: tuple[Said, ...]
    technician: Link | None
    """To the technician's copy, if there is one."""
    waiting: tuple[Link, ...]
    """How long people can wait for somebody to come."""
    sources: tuple[str, ...]
    card: CardView | None
    """What is said on the phone, where the company's language is another one."""
    also: tuple[AlsoView, ...] = ()
    """The page in the other languages, where it is danger."""
    theirs: TheirsView | None = None
    """None where the page is in the company's language."""


@dataclass(frozen=True, slots=True)
class PocketAnswer:
    """An answer in a file that holds a whole complaint."""

    text: str
    href: str
    """Fragment of the step that it leads to."""
    hurried: str
    """The same once somebody must be called first; empty where it is no other."""


@dataclass(frozen=True, slots=True)
class PocketStep:
    """A step or an outcome in a file that holds a whole complaint."""

    id: str
    hurried: str = ""
    """Its other id, by which those come who must call first; empty where nobody does."""
    is_danger_page: bool = False
    """Whether it is what the strip leads to."""
    away: str = ""
    """Id of what stands behind its gate, or empty."""
    step: StepText | None = None
    more: int = 0
    """Steps still to come at the most, after a step."""
    outcome: OutcomeView | None = None
    """None, like `step`, for the end of the file, where the list of complaints would follow."""
    sooner: Soon | None = None
    """How soon for those who must call first, where that is sooner."""
    answers: tuple[PocketAnswer, ...] = ()


@dataclass(frozen=True, slots=True)
class PocketView:
    """A whole complaint in one file: all that its walks and the strip lead to."""

    frame: Frame
    complaint: str
    begin: str
    """Link to the first step."""
    danger: str
    """Link to the danger page by its number."""
    stop: PocketAnswer
    """Leads to "stop and call"."""
    list: str
    """Link to the list of complaints, which is another file."""
    steps: tuple[PocketStep, ...]
    """The first step first."""


@dataclass(frozen=True, slots=True)
class CauseView:
    """A cause in a technician's words."""

    name: str
    word: str
    """How likely after the answers of this walk, or empty where nothing says it."""
    frequency: str
    """How often it is met at all, as judged."""
    supports: tuple[str, ...]
    """Answers that speak for it."""
    contradicts: tuple[str, ...]
    bring: tuple[str, ...]
    root: str
    mended_by: str


@dataclass(frozen=True, slots=True)
class TechnicianView:
    """The copy for the technician: causes, and a form to fill by hand."""

    frame: Frame
    tree: str
    """Id of the tree that the call was about."""
    headline: Said
    complaint: str
    soon: Soon | None
    left: Left | None
    say: tuple[Said, ...]
    causes: tuple[CauseView, ...]
    is_rehearsed: bool
    """Whether the causes are ranked by rehearsed answers, or else as the tree's author wrote."""
    first: tuple[str, ...]
    """The lines that a dispatcher reads first."""
    form: tuple[tuple[str, tuple[str, ...]], ...]
    """(group, its lines), to be filled by hand."""
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ComplaintView:
    """A complaint in a list of them."""

    link: Link
    words: tuple[str, ...]
    """What people say who have it."""


ListPart = tuple[str, tuple[ComplaintView, ...]]
"""A part of a list: (heading, its complaints); none is empty."""


@dataclass(frozen=True, slots=True)
class StartView:
    """The start page."""

    frame: Frame
    parts: tuple[ListPart, ...]
    about: tuple[Link, ...]
    """Pages about these pages."""
    code: str
    """Where somebody goes on from a code."""

    @property
    def count(self) -> int:
        """How many complaints there are."""
        return sum(len(complaints) for _, complaints in self.parts)


@dataclass(frozen=True, slots=True)
class EquipmentView:
    """The page for whoever stands at a unit."""

    frame: Frame
    id: str
    headline: str
    look: Said
    """How to recognize it."""
    parts: tuple[ListPart, ...]
    """What may be noticed there."""


@dataclass(frozen=True, slots=True)
class CodeView:
    """The page on which somebody goes on from a code; all its words stand in its template."""

    frame: Frame


@dataclass(frozen=True, slots=True)
class CallTongue:
    """A language that a caller may speak, beside that of the page."""

    folder: str
    """Where the page's data lie in it, from the page's own folder."""
    code: str
    name: str
    """The language's own name."""
    direction: str


@dataclass(frozen=True, slots=True)
class CallView:
    """The page of a call agent; its words stand in its template and in its data."""

    frame: Frame
    tongues: tuple[CallTongue, ...]
    """The other languages of the site."""


@dataclass(frozen=True, slots=True)
class CounterView:
    """The page on which people tap along with a light; all its words stand in its template."""

    frame: Frame


@dataclass(frozen=True, slots=True)
class LostView:
    """The page for an address that isn't there: a host shows it anywhere, so it links nowhere."""

    frame: Frame
    emergency: Said
    say: tuple[Said, ...]
    home: str
    """The site's root on its host, or empty where it isn't known."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell of a table, with the head of its column where the table is shown as a list."""

    head: str
    text: str


@dataclass(frozen=True, slots=True)
class TableView:
    """A table: each row is named by its first cell."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class LineView:
    """A temperature that means something."""

    at: float
    """°F."""
    label: str
    say: Said


@dataclass(frozen=True, slots=True)
class WaitPartView:
    """What to do while waiting."""

    id: str
    title: str
    do: tuple[Said, ...]
    never: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class WaitPlot:
    """How a house cools down: the outline of many houses, the lines, and hours below."""

    about: str
    band: str
    lines: tuple[tuple[float, str], ...]
    """(height, label)."""
    ticks: tuple[tuple[float, str], ...]
    """(place, hours)."""


@dataclass(frozen=True, slots=True)
class WaitingView:
    """A page about how long people can wait."""

    frame: Frame
    kind: str
    """`cold` or `hot`."""
    headline: Said
    lead: tuple[Said, ...]
    ask: str
    answers: tuple[Link, ...]
    unit: str
    """`F` or `C`."""
    length: str
    """`ft` or `m`."""
    table: TableView
    lines: tuple[LineView, ...]
    plot: WaitPlot | None
    parts: tuple[WaitPartView, ...]
    soon: tuple[Soon, ...]
    """Urgencies that a reckoning may come to."""
    calm: str
    """The word of a trail that says that nobody is at risk or cold."""
    raised: str
    """The word in its place where somebody must come soon."""
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ControlView:
    """The page of arithmetic for technicians."""

    frame: Frame
    headline: str
    gauges: tuple[int, ...]
    currents: TableView
    fuses: TableView
    wires: TableView
    shorts: TableView


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of a plot, with its corner that is nearest to the origin."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Letters:
    """A text in a plot, at a point of its base line."""

    x: float
    y: float
    anchor: str
    """`start`, `middle` or `end`."""
    text: str


@dataclass(frozen=True, slots=True)
class PlotView:
    """A plot: boxes and letters, with the words for those who can't see it."""

    id: str
    title: str
    about: str
    width: float
    height: float
    boxes: tuple[Box, ...]
    letters: tuple[Letters, ...]


@dataclass(frozen=True, slots=True)
class WorstView:
    """A cause that often ends wrong, with its most likely wrong call."""

    name: str
    right: str
    calls: str
    """Which of its calls: share, caller."""
    pages: tuple[str, ...]
    end: str
    wanted: str


@dataclass(frozen=True, slots=True)
class FiguresView:
    """The figures of a rehearsal in words, tables and plots."""

    cases: str
    causes: str
    callers: str
    bars: tuple[TableView, ...]
    pages: PlotView | None
    right: PlotView
    complaints: TableView
    exposures: TableView
    halves: TableView
    variations: TableView
    worst: tuple[WorstView, ...]
    alike: tuple[str, ...]
    """Groups of causes, each in one line."""
    declared: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OriginsView:
    """The page that tells where the numbers come from."""

    frame: Frame
    claims: TableView
    place: TableView
    sources: TableView
    reviews: TableView


@dataclass(frozen=True, slots=True)
class RehearsedView:
    """The page that tells how the edition was rehearsed."""

    frame: Frame
    command: str
    """Makes the figures anew."""
    figures: FiguresView | None
    """None where the trees have changed since, or were never rehearsed."""


@dataclass(frozen=True, slots=True)
class MovedView:
    """The pointer at an old address."""

    frame: Frame
    to: Link
