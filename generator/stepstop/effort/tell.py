"""The account of effort as text and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator
from textwrap import fill

from stepstop.effort.account import Data
from stepstop.effort.costs import PURPOSES
from stepstop.effort.orders import WORTH

WIDTH = 96
SHOWN = 10
"""So many of a long list stand in the text; JSON has all."""
OFTEN = 0.001
"""Steps with fewer callers are left out of the text where steps are ranked."""

BOUND = (
    "The bound: a tree whose pages have no more answers than the page with most, and that brings "
    "these callers to these ends, takes that many steps or more (entropy; Huffman's is nearer). It "
    "would need pages that may ask anything, so a real tree stays above."
)
ORDERS = (
    "Picked by the chance that the walk ends there, per minute (Kadane and Simon 1977). That is "
    "the best order only if the two end walks of different callers, and if neither depends on the "
    "other or shares work with it. So these are proposals: the minutes below are counted on walks "
    "through the changed trees, which all safety rules allow. Read the pages before you change "
    "them."
)


def as_json(data: Data) -> str:
    """The account for programs."""
    return json.dumps(data, indent=2, ensure_ascii=False)


def as_text(data: Data) -> str:
    """The account for a terminal."""
    return "\n".join(_lines(data))


def _lines(data: Data) -> Iterator[str]:
    yield f"{data['heading'].capitalize()}: {data['cases']:,} cases of {data['causes']} causes,"
    yield f"{data['callers']} kinds of callers who err as declared. All weights are judgement."
    yield "A step is a question, check or note; the page where a walk ends is none."
    yield from _costs(data)
    yield from _purposes(data)
    yield from _idle(data)
    yield from _dead(data)
    yield from _tellings(data)
    yield from _orders(data["orders"])


def _costs(data: Data) -> Iterator[str]:
    yield f"\n{'':22}{'':>9}{'steps':>16}{'minutes':>16}{'bound in steps':>20}{'steps':>9}"
    heads = ("calls", "expected", "worst", "expected", "worst", "entropy", "Huffman", "/ bound")
    yield f"{'complaint':22}" + "".join(
        f"{head:>{width}}" for head, width in zip(heads, (9, 9, 7, 9, 7, 11, 9, 9), strict=True)
    )
    for name, cost in {**data["complaints"], "all": data["whole"]}.items():
        ratio = "-" if cost["ratio"] is None else f"{cost['ratio']:.1f}"
        yield (
            f"{name:22}{_percent(cost['calls']):>9}{cost['steps']:9.1f}{cost['worst-steps']:7}"
            f"{cost['minutes']:9.1f}{cost['worst-minutes']:7.0f}{cost['entropy-bound']:11.2f}"
            f"{cost['huffman-bound']:9.2f}{ratio:>9}"
        )
    yield fill(BOUND, WIDTH)


def _purposes(data: Data) -> Iterator[str]:
    yield f"\n{'what the steps are for, a walk':42}{'steps':>9}{'minutes':>9}"
    for name, part in data["whole"]["purposes"].items():
        yield f"{PURPOSES[name]:42}{part['steps']:9.2f}{part['minutes']:9.2f}"
    for complaint, cost in data["complaints"].items():
        parts = (f"{name} {part['steps']:.2f}" for name, part in cost["purposes"].items())
        yield f"   {complaint:19} steps: {', '.join(parts)}"


def _idle(data: Data) -> Iterator[str]:
    yield f"\nAll answers lead to the same page: {len(data['one-way'])}"
    for kind, serves in (
        ("question", "it serves the account for the technician only"),
        ("check", "what is done may mend; what is answered serves the account only"),
    ):
        steps = [each for each in data["one-way"] if each["kind"] == kind]
        yield from (f"  {_step(each)}" for each in steps)
        yield from [f"    {kind}: {serves}"] * bool(steps)
    yield f"Other steps whose answer changes nobody's end: {len(data['same-ends'])}"
    yield from (f"  {_step(each)}" for each in data["same-ends"])
    yield f"Steps that no simulated caller comes to: {len(data['unvisited'])}"
    yield from (f"  {each['at']}  {each['step']}" for each in data["unvisited"])


def _step(each: Data) -> str:
    return f"{each['at']}  {each['step']} ({each['kind']}, {_thousand(each['callers'])})"


def _dead(data: Data) -> Iterator[str]:
    dead = data["dead-answers"]
    yield f"\nAnswers that are true of no simulated caller who comes to them: {len(dead)}"
    yield f"  besides {len(data['dead-unsure'])} answers for whoever can't tell, or hasn't done it"
    yield "  Only errors lead there. It may be needed all the same: no simulated house has what it"
    yield "  is for, or whoever comes there can't get to the place."
    often = sorted(dead, key=lambda each: (-each["callers"], each["at"]))
    for each in often[:SHOWN]:
        yield f"  {each['at']}  {each['step']}: {'/'.join(each['values'])}"
    yield from _rest(len(dead))


def _rest(count: int) -> Iterator[str]:
    if count > SHOWN:
        yield f"  and {count - SHOWN} more; --format json has all"


def _tellings(data: Data) -> Iterator[str]:
    often = [each for each in data["steps"] if each["callers"] >= OFTEN]
    ranked = sorted(often, key=lambda each: (-each["bits-a-minute"], each["at"]))
    least = ranked[max(SHOWN, len(ranked) - SHOWN) :]
    yield f"\nWhat a step tells about the cause; {len(often)} steps with 1 of 1,000 callers or more"
    yield f"{'bits a minute':>14}{'bits':>8}{'minutes':>9}{'of 1,000':>10}"
    yield from (_telling(each) for each in ranked[:SHOWN])
    if least:
        yield "  the least:"
        yield from (_telling(each) for each in least)


def _telling(each: Data) -> str:
    figures = f"{each['bits-a-minute']:14.3f}{each['bits']:8.3f}{each['minutes']:9.2f}"
    return f"{figures}{1000 * each['callers']:10.1f}  {each['step']}  {each['at']}"


def _orders(orders: Data) -> Iterator[str]:
    yield f"\nBetter orders: {orders['pairs']} pairs of neighbours could change places"
    held = len(orders["held-behind-danger"])
    yield f"  {held} not tried: nothing is moved before a question about danger"
    yield f"  {orders['unvisited']} not tried: nobody comes to them"
    seconds = round(60 * WORTH)
    yield f"  {orders['in-order']} stand in the better order, or could save less than {seconds} s"
    flaws = sorted({flaw for each in orders["refused"] for flaw in each["flaws"]})
    why = f": {', '.join(flaws)}" if flaws else ""
    yield f"  {len(orders['refused'])} refused by the safety rules{why}"
    yield f"  {len(orders['not-borne-out'])} save less than that once walks are counted"
    yield f"  {len(orders['proposed'])} proposed"
    yield fill(ORDERS, WIDTH)
    for each in orders["proposed"]:
        yield from _proposal(each)


def _proposal(each: Data) -> Iterator[str]:
    first, second = each["first"], each["second"]
    yield f"\n  {each['tree']}: `{second['step']}` before `{first['step']}`"
    for one in (first, second):
        yield (
            f"    {one['step']:18} ends {_percent(one['ends']):>7} in {one['minutes']:.1f} minutes"
            f"  {one['at']}"
        )
    changes = (f"{kind} {100_000 * change:+.1f}" for kind, change in each["ends"].items())
    ends = ", ".join(changes) or "all as before"
    yield (
        f"    saves {each['minutes']:.2f} minutes for {_thousand(each['callers'])}"
        f" (by the ratios {each['minutes-by-ratio']:.2f})"
    )
    yield f"    kinds of ends, of 100,000 calls: {ends}"


def _thousand(share: float) -> str:
    return f"{1000 * share:.1f} of 1,000 callers"


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"
