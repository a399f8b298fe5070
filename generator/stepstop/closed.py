"""Closed calls: the trail that led to a visit, and the cause that the technician found.

The file is a table (CSV) with the columns `code` and `cause`: a code or link of the pages, and the
id of a cause, or `something-else` for one that the catalogue doesn't have. It has nothing of
anybody; a column more is refused, so that no name or address gets into it.

Only calls that somebody drove out to are in such a file. What people mended themselves is not, so
shares of causes are those among visits.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from pathlib import Path

from stepstop.belief import ELSE, picked
from stepstop.follow import pointed, read_trail
from stepstop.house.cases import FREQUENCY
from stepstop.model import KINDS, Catalogue
from stepstop.problems import Problem, near, quoted
from stepstop.ranking import Ranking
from stepstop.rehearsed import FOLDER as REHEARSAL
from stepstop.rehearsed import inputs
from stepstop.source import Spot
from stepstop.trail import BadTrail, Trail, Ways
from stepstop.verdicts import Verdicts, read_verdicts

COLUMNS = ("code", "cause")
STRENGTH = 50.0
"""Calls that the judged frequencies are worth beside those counted: see `Weights`."""
ENOUGH = 5
"""Calls about a cause below which another class is not suggested for it."""
SPREAD = 3.0
"""By so much a true cause is made rarer and commoner to see what hangs on its weight: one class."""


@dataclass(frozen=True, slots=True)
class Call:
    """One closed call."""

    trail: Trail
    page: str
    """Id of the page that it ended on."""
    cause: str


@dataclass(frozen=True, slots=True)
class Pointed:
    """What the answers of a call point to."""

    first: str
    """The cause that is ranked first."""
    is_shown: bool
    """Whether the true cause is among those shown."""


@dataclass(frozen=True, slots=True)
class ByCause:
    """The calls about one cause."""

    cause: str
    calls: int
    first: int
    """Ranked first."""
    shown: int
    """Among those that the ranking shows."""
    dangerous: int
    """A hazard, and the call ended less cautiously than any verdict about the cause allows."""

    @property
    def missed(self) -> int:
        """Not among those shown."""
        return self.calls - self.shown


@dataclass(frozen=True, slots=True)
class Weight:
    """How often a frequency class is met among visits."""

    frequency: str
    causes: int
    judged: float
    """Share by the catalogue."""
    counted: int
    estimate: float
    """Mean of the Dirichlet distribution after the calls."""
    error: float
    """Its standard deviation."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A cause that is met more or less often than its class says."""

    cause: str
    frequency: str
    suggested: str
    calls: int


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Share of calls whose cause is shown, with other weights."""

    as_judged: float
    re_estimated: float
    rarer: float
    """Were the weight of each true cause `SPREAD` times less."""
    commoner: float
    first_changes: float
    """Share of calls for which the re-estimated weights put another cause first."""


@dataclass(frozen=True, slots=True)
class Account:
    """All that the calls tell."""

    calls: int
    ranked: int
    """Those with a table of causes: all figures of ranking are of them."""
    causes: tuple[ByCause, ...]
    weights: tuple[Weight, ...]
    moved: tuple[Moved, ...]
    sensitivity: Sensitivity | None


# ---- reading ----


@dataclass(frozen=True, slots=True)
class Read:
    """Closed calls, and what is held to be right."""

    calls: tuple[Call, ...]
    verdicts: Verdicts


def read(path: Path, ways: Ways, trees: Path) -> tuple[Read | None, list[Problem]]:
    """The calls in the file at `path` and the verdicts of the folder `trees`, or all problems."""
    library = ways.course.library
    calls, problems = read_calls(path, ways, library.catalogue)
    verdicts, wrong = read_verdicts(inputs(trees) / REHEARSAL / "verdicts.yml", library)
    if verdicts is None or problems or wrong:
        return None, [*problems, *wrong]
    return Read(calls, verdicts), []


def read_calls(
    path: Path, ways: Ways, catalogue: Catalogue
) -> tuple[tuple[Call, ...], list[Problem]]:
    """The calls in the file at `path`, or all that is wrong with it."""
    file = path.as_posix()
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        why = getattr(error, "strerror", None) or "it is not UTF-8"
        spot = Spot(file, 1, 1, 1)
        return (), [Problem(spot, "unreadable-file", f"the file can't be read: {why}", "")]
    reader = csv.reader(io.StringIO(text))
    rows = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    if not rows:
        message, mend = "the file says nothing", f"begin with the line `{','.join(COLUMNS)}`"
        return (), [Problem(Spot(file, 1, 1, 1), "empty-file", message, mend)]
    problems = list(_heads(rows[0][1], Spot(file, rows[0][0], 1, 1)))
    if problems:
        return (), problems
    where = [cell.strip().lower() for cell in rows[0][1]]
    calls: list[Call] = []
    for line, row in rows[1:]:
        spot = Spot(file, line, 1, 1)
        if len(row) != len(where):
            message = f"{len(row)} cells where {len(where)} are expected"
            problems.append(Problem(spot, "wrong-type", message, "write a code and a cause"))
            continue
        cells = dict(zip(where, (cell.strip() for cell in row), strict=True))
        found = _call(cells["code"], cells["cause"], ways, catalogue, spot)
        problems += [each for each in found if isinstance(each, Problem)]
        calls += [each for each in found if isinstance(each, Call)]
    return (() if problems else tuple(calls)), problems


def _heads(row: Sequence[str], spot: Spot) -> Iterator[Problem]:
    names = [cell.strip().lower() for cell in row]
    for name in COLUMNS:
        if name not in names:
            yield Problem(spot, "missing-key", f"the column `{name}` is missing", f"add `{name}`")
    for name in names:
        if name not in COLUMNS:
            message = f"the column {quoted(name)} has no place here"
            mend = near(name, COLUMNS) or "leave it out: nothing of anybody belongs into this file"
            yield Problem(spot, "unknown-key", message, mend)
        elif names.count(name) > 1:
            yield Problem(spot, "duplicate-key", f"two columns are called `{name}`", "keep one")
            return


def _call(
    code: str, cause: str, ways: Ways, catalogue: Catalogue, spot: Spot
) -> list[Call | Problem]:
    found: list[Call | Problem] = []
    known = {*catalogue.causes, ELSE}
    if cause not in known:
        mend = near(cause, known) or f"write its id, or `{ELSE}`"
        found.append(Problem(spot, "unknown-name", f"no cause is called {quoted(cause)}", mend))
    try:
        trail = read_trail(ways, code)
        page = ways.follow(trail).page
    except BadTrail as error:
        mend = "use the trees of the edition that the call was made with"
        return [*found, Problem(spot, "unknown-word", f"{quoted(code)}: {error}", mend)]
    return found or [Call(trail, page, cause)]


# ---- counting ----


def account(
    read: Read, ways: Ways, rankings: Mapping[str, Ranking], *, strength: float = STRENGTH
) -> Account:
    """What the calls tell of ranking, of danger and of weights."""
    catalogue, calls, verdicts = ways.course.library.catalogue, read.calls, read.verdicts
    weights = _weights(calls, catalogue, strength)
    seen = [
        _Ranked(call, ways, rankings[call.trail.root])
        for call in calls
        if call.trail.root in rankings
    ]
    by_cause = [
        _by_cause(cause, [each for each in seen if each.call.cause == cause], calls, ways, verdicts)
        for cause in sorted({call.cause for call in calls})
    ]
    return Account(
        len(calls),
        len(seen),
        tuple(by_cause),
        weights,
        tuple(_moved(calls, catalogue, strength)),
        _sensitivity(seen, _factors(weights, catalogue)),
    )


class _Ranked:
    """A call with what its answers point to."""

    def __init__(self, call: Call, ways: Ways, ranking: Ranking) -> None:
        self.call, self._ways, self._ranking = call, ways, ranking
        self._followed = ways.follow(call.trail)
        self.judged = self.with_weights({})

    def with_weights(self, factors: Mapping[str, float]) -> Pointed:
        """What they point to with the weights of some causes multiplied."""
        ranking = self._ranking.reweighted(factors) if factors else self._ranking
        chances = pointed(self._ways, self._followed, ranking)
        return Pointed(next(iter(chances), ""), self.call.cause in picked(chances))


def _by_cause(
    cause: str, ranked: Sequence[_Ranked], calls: Sequence[Call], ways: Ways, verdicts: Verdicts
) -> ByCause:
    mine = [call for call in calls if call.cause == cause]
    return ByCause(
        cause,
        len(ranked),
        sum(each.judged.first == cause for each in ranked),
        sum(each.judged.is_shown for each in ranked),
        sum(_is_dangerous(call, ways, verdicts) for call in mine),
    )


def _is_dangerous(call: Call, ways: Ways, verdicts: Verdicts) -> bool:
    """Whether a call about a hazard ended less cautiously than the mildest verdict has it."""
    judged = verdicts.causes.get(call.cause)
    if judged is None or not judged.is_hazard:
        return False
    least = min(KINDS.index(kind) for row in judged.rows for kind in (*row.works, *row.fails))
    outcome = ways.pages[call.page].outcome
    return outcome is None or KINDS.index(outcome.kind) < least


# ---- weights ----


def _weights(calls: Sequence[Call], catalogue: Catalogue, strength: float) -> tuple[Weight, ...]:
    """A Dirichlet distribution over the classes: its prior is the catalogue's, worth `strength`.

    With prior shares p and counts n the mean of class k is (S p_k + n_k) / (S + N). Textbook form
    of the conjugate prior of a multinomial: Gelman et al., Bayesian Data Analysis (from memory).
    """
    often = {cause.id: str(cause.frequency) for cause in catalogue.causes.values()}
    members = Counter(often.values())
    counted = Counter(often[call.cause] for call in calls if call.cause in often)
    whole = sum(FREQUENCY[each] for each in often.values())
    total = sum(counted.values())
    found = []
    for name, weight in FREQUENCY.items():
        if members[name]:
            judged = weight * members[name] / whole
            mean = (strength * judged + counted[name]) / (strength + total)
            error = sqrt(mean * (1.0 - mean) / (strength + total + 1.0))
            found.append(Weight(name, members[name], judged, counted[name], mean, error))
    return tuple(found)


def _factors(weights: Sequence[Weight], catalogue: Catalogue) -> dict[str, float]:
    """Cause -> by how much its weight changes with that of its class."""
    by_class = {each.frequency: each.estimate / each.judged for each in weights}
    return {cause.id: by_class[str(cause.frequency)] for cause in catalogue.causes.values()}


def _moved(calls: Sequence[Call], catalogue: Catalogue, strength: float) -> Iterator[Moved]:
    """Causes whose own mean, by the same method over all causes, is nearer to another class."""
    often = {cause.id: str(cause.frequency) for cause in catalogue.causes.values()}
    whole = sum(FREQUENCY[each] for each in often.values())
    counted = Counter(call.cause for call in calls if call.cause in often)
    total = sum(counted.values())
    for cause, count in sorted(counted.items(), key=lambda pair: (-pair[1], pair[0])):
        if count < ENOUGH:
            continue
        judged = FREQUENCY[often[cause]] / whole
        weight = (strength * judged + count) / (strength + total) * whole
        nearest = min(FREQUENCY, key=lambda name: _steps(weight / FREQUENCY[name]))
        if nearest != often[cause]:
            yield Moved(cause, often[cause], nearest, count)


def _steps(ratio: float) -> float:
    """How far a ratio is from 1, the same both ways."""
    return ratio if ratio >= 1.0 else 1.0 / ratio


def _sensitivity(seen: Sequence[_Ranked], factors: Mapping[str, float]) -> Sensitivity | None:
    if not seen:
        return None

    def share(hits: Iterator[bool]) -> float:
        return sum(hits) / len(seen)

    anew = [each.with_weights(factors) for each in seen]
    return Sensitivity(
        share(each.judged.is_shown for each in seen),
        share(each.is_shown for each in anew),
        share(each.with_weights({each.call.cause: 1.0 / SPREAD}).is_shown for each in seen),
        share(each.with_weights({each.call.cause: SPREAD}).is_shown for each in seen),
        share(one.judged.first != other.first for one, other in zip(seen, anew, strict=True)),
    )


# ---- telling ----


def as_text(found: Account, catalogue: Catalogue, strength: float = STRENGTH) -> str:
    """The account as lines for a terminal."""
    return "\n".join(_lines(found, catalogue, strength))


def _lines(found: Account, catalogue: Catalogue, strength: float) -> Iterator[str]:
    yield f"{found.calls} closed calls; {found.ranked} of them can be ranked."
    yield "Only calls that somebody drove out to: shares are those among visits."
    yield ""
    yield f"{'cause':32}{'calls':>7}{'first':>7}{'shown':>7}{'missed':>8}{'dangerous':>11}"
    for each in sorted(found.causes, key=lambda one: (-one.dangerous, -one.calls, one.cause)):
        row = f"{each.calls:7}{each.first:7}{each.shown:7}{each.missed:8}{each.dangerous:11}"
        yield f"{each.cause:32}{row}"
    yield "`dangerous`: a hazard, and the call ended less cautiously than any verdict allows."
    yield ""
    yield f"Frequency classes: Dirichlet, the catalogue's shares worth {strength:g} calls"
    yield f"{'class':14}{'causes':>7}{'judged':>9}{'counted':>9}{'estimate':>10}{'+-':>7}"
    for weight in found.weights:
        shares = f"{weight.judged:8.1%} {weight.counted:8} {weight.estimate:9.1%} "
        yield f"{weight.frequency:14}{weight.causes:7} {shares}{weight.error:6.1%}"
    for moved in found.moved:
        name = catalogue.causes[moved.cause].name
        said = f"`{moved.frequency}` in the catalogue, nearer to `{moved.suggested}`"
        yield f"  {moved.cause} ({name}): {said} by {moved.calls} calls"
    sense = found.sensitivity
    if sense is not None:
        yield ""
        yield "How much hangs on the weights: calls whose cause is shown"
        yield f"  as judged {sense.as_judged:.1%}, re-estimated {sense.re_estimated:.1%}"
        yield (
            f"  were each true cause {SPREAD:g} times rarer {sense.rarer:.1%}, "
            f"commoner {sense.commoner:.1%}"
        )
        yield f"  another cause first with re-estimated weights: {sense.first_changes:.1%}"
