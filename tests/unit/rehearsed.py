"""A small world to rehearse in: the small library, a handful of houses, two callers.

The checks have names that the simulated house knows. What its houses would answer stands in plain
sight below, so that a test can work out by hand how calls end.
"""

import shutil
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from stepstop.callers import read_callers
from stepstop.course import lay_out
from stepstop.journey import lay
from stepstop.loader import load
from stepstop.rehearsal.bench import Bench
from stepstop.rehearsal.truths import Truths
from stepstop.verdicts import read_verdicts

BASE = Path(__file__).parents[1] / "rules" / "base"
RENAMED = {"reset-breaker": "reset-breaker-once", "seat-panel": "seat-door-panel"}

CAUSES = """\
  setting:
    {name: setting, plain: It may be low., frequency: common, mended-by: you, root: Who set it?}
  leak:
    {name: gas leak, plain: Gas may leak., frequency: rare, mended-by: technician, root: Where?}
  short:
    {name: short circuit, plain: A hurt wire., frequency: rare, mended-by: technician, root: Where?}
"""

CALLERS = """\
callers:
  able:
    about: at home and fit
    weight: 0.75
    reaches: [chair, thermostat, unit, panel]
    people: none
    home: within
    nose: normal
    mends: walk
    says: {tried-before: none}
  seated:
    about: can't walk, smells little, cold inside
    weight: 0.25
    reaches: [chair, thermostat]
    people: someone
    home: past
    nose: weak
    mends: chair
    says: {tried-before: none}
errors:
  usual: {unsure: 0.2, mistaken: 0.05}
  danger: {unsure: 0.02, mistaken: 0.01}
  people: {unsure: 0, mistaken: 0}
weak-nose: {gas-smell: yes}
"""

TODAY = "soonest: today, latest: today"
MENDED = f"works: [watch, solved], fails: [call], {TODAY}, left: [as-it-is, running]"
VERDICTS = f"""\
verdicts:
  setting:
    hazard: none
    rows:
      - {{when: {{may-do: chair}}, {MENDED}, why: "the thermostat is within reach"}}
      - {{{MENDED}, why: "it is mended at the thermostat"}}
  no-power:
    hazard: none
    rows:
      - {{works: watch, fails: call, {TODAY}, left: [as-it-is, running], why: "a reset once"}}
  board:
    hazard: none
    rows:
      - {{works: [], fails: call, {TODAY}, left: as-it-is, why: "needs a technician"}}
  leak:
    hazard: gas
    signs: [{{gas-smell: yes}}]
    unsafe: [set-heat]
    rows:
      - works: []
        fails: [danger]
        soonest: now
        latest: now
        left: untouched
        why: "out at once"
  short:
    hazard: fire
    unsafe: [reset-breaker-once]
    rows:
      - works: []
        fails: [call, danger]
        soonest: now
        latest: today
        left: [as-it-is, untouched]
        why: "nothing shows it"
"""


@dataclass(frozen=True)
class House:
    """One case with all that it would answer."""

    cause: str
    house: str
    weight: float
    half: str = "mended-on"
    mended_by: tuple = ()
    """(field of the acts, value) that makes it work."""
    tells: dict = field(default_factory=dict)
    """Finding -> value, or value -> chance, where it isn't the usual one."""
    wanted: str = "heat"
    weather: str = "cool"
    complaints: tuple = (("cold", 1.0),)

    def works(self, acts):
        return bool(self.mended_by) and getattr(acts, self.mended_by[0]) == self.mended_by[1]

    def answer(self, acts, finding):
        told = self.tells.get(finding, USUAL.get(finding))
        if told is None:
            told = {"heat": "yes" if self.works(acts) else "no"}[finding]
        return told if isinstance(told, dict) else {told: 1.0}


USUAL = {
    "gas-smell": "no",
    "bang": "no",
    "water": "none",
    "went-quiet": "yes",
    "panel-fit": "flush",
}
HOUSES = (
    House("setting", "a", 0.3, mended_by=("thermostat", "heat")),
    House("no-power", "a", 0.2, mended_by=("breaker", "closed-once")),
    House("no-power", "b", 0.1, "held-out", ("breaker", "closed-once"), {"panel-fit": "loose"}),
    House("board", "a", 0.2, tells={"water": {"none": 0.7, "puddle": 0.3}}),
    House("board", "b", 0.1, "held-out", tells={"heat": {"no": 0.9, "yes": 0.1}}),
    House("leak", "a", 0.06, tells={"gas-smell": "yes"}),
    House("short", "a", 0.04),
)


@dataclass(frozen=True, eq=False)
class Table:
    """Houses as a rehearsal sees them."""

    cases: tuple

    def answers(self, acts, finding):
        each = [case.answer(acts, finding) for case in self.cases]
        values = sorted({value for answer in each for value in answer})
        return {v: np.array([answer.get(v, 0.0) for answer in each]) for v in values}

    def works(self, acts):
        return np.array([case.works(acts) for case in self.cases])

    def mendable(self, may_do):
        within = {"walk": ("thermostat", "breaker"), "chair": ("thermostat",)}[may_do]
        return np.array([bool(c.mended_by) and c.mended_by[0] in within for c in self.cases])


def write(folder, *, callers=CALLERS, verdicts=VERDICTS):
    """The small library with its rehearsal folder, written into `folder`."""
    shutil.copytree(BASE, folder)
    for path in sorted(folder.rglob("*.yml")):
        text = path.read_text("utf-8")
        for old, new in RENAMED.items():
            text = text.replace(old, new)
        path.write_text(text + CAUSES * (path.name == "causes.yml"), "utf-8")
    (folder / "rehearsal").mkdir()
    (folder / "rehearsal" / "callers.yml").write_text(callers, "utf-8")
    (folder / "rehearsal" / "verdicts.yml").write_text(verdicts, "utf-8")
    return folder


def library(folder):
    """The library in `folder`, which has no problem."""
    found, problems = load(folder)
    assert not problems
    return found


def bench(folder, *, houses=HOUSES, silent=frozenset()):
    """Everything ready to rehearse in the world that stands in `folder`."""
    read = library(folder)
    callers, odd = read_callers(folder / "rehearsal" / "callers.yml", read.catalogue)
    verdicts, wrong = read_verdicts(folder / "rehearsal" / "verdicts.yml", read)
    assert not odd
    assert not wrong
    table = Table(tuple(houses))
    truths = Truths(table, callers, read.catalogue, silent)
    return Bench(lay(lay_out(read)), table, callers, verdicts, truths)


def shown(bench):
    """What the outcome pages show: the causes that are written there."""
    pages = bench.journey.course.pages.values()
    return {p.id: tuple(p.outcome.causes) for p in pages if p.outcome and p.outcome.causes}
