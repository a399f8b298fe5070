"""How callers err: unsure, or mistaken, drawn once for each caller and finding.

Whoever couldn't tell a finding can't tell it when it is asked again, and whoever was wrong is wrong
again. What was told as a fact is told again, until a check changes it; a reading is taken anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from stepstop.callers import Rates
from stepstop.journey import Node, Option
from stepstop.rehearsal.house_table import Floats
from stepstop.rehearsal.truths import fallback

RIGHT, CANT_TELL, WRONG = "right", "unsure", "mistaken"
Kept = tuple[str, str, str]
"""What is kept of one answer: finding, how it went, and the value told where it lasts."""
Memory = tuple[Kept, ...]
"""All that is kept of a walk, sorted."""


@dataclass(frozen=True, slots=True)
class Part:
    """Some of the callers on a page: those who choose one option in one way."""

    option: int
    chance: Floats
    """(cases, callers), either axis maybe of length 1."""
    kept: Kept | None
    """What is to be remembered of it, or None for nothing new."""


def parts(
    node: Node, truth: Floats, rates: Rates, *, kept: Kept | None, tracked: bool, lasts: bool
) -> Iterator[Part]:
    """How callers part on `node`, by what they would truly answer.

    `kept` is how they answered its finding before; `tracked` says whether it can be asked again,
    and `lasts` whether what is told of it is a fact.
    """
    sure = [j for j, option in enumerate(node.options) if option.is_sure]
    yield from (Part(j, truth[j], None) for j in range(len(truth)) if j not in sure)
    if kept is not None:
        yield from _again(node, truth, sure, kept, lasts=lasts)
        return
    went = _ways(rates, len(sure))
    for way, share in went.items():
        for j, chance in _chosen(node, truth, sure, way):
            if share:
                yield Part(j, chance * share, _keep(node, j, way, lasts=lasts) if tracked else None)


def _ways(rates: Rates, choices: int) -> dict[str, float]:
    """Way -> share of callers; nobody chooses another answer where there is only one."""
    mistaken = rates.mistaken if choices > 1 else 0.0
    return {RIGHT: 1.0 - rates.unsure - mistaken, CANT_TELL: rates.unsure, WRONG: mistaken}


def _chosen(node: Node, truth: Floats, sure: list[int], way: str) -> Iterator[tuple[int, Floats]]:
    """(option, chance) of those who could tell, when it goes this way."""
    if not sure:
        return
    if way == RIGHT:
        yield from ((j, truth[j]) for j in sure)
        return
    whole = np.asarray(truth[sure].sum(axis=0))
    if way == CANT_TELL:
        yield fallback(node), whole
        return
    others = max(1, len(sure) - 1)
    yield from ((j, (whole - truth[j]) / others) for j in sure)


def _again(
    node: Node, truth: Floats, sure: list[int], kept: Kept, *, lasts: bool
) -> Iterator[Part]:
    _, way, said = kept
    held = [j for j in sure if said and said in node.options[j].values]
    if held:
        yield Part(held[0], np.asarray(truth[sure].sum(axis=0)), kept)
        return
    for j, chance in _chosen(node, truth, sure, way):
        yield Part(j, chance, _keep(node, j, way, lasts=lasts))


def _keep(node: Node, option: int, way: str, *, lasts: bool) -> Kept:
    chosen = node.options[option]
    said = chosen.values[0] if lasts and way != CANT_TELL else ""
    return node.page.finding, way, said


def remembered(memory: Memory, new: Kept | None, option: Option, later: frozenset[str]) -> Memory:
    """The memory after `option`, with nothing in it that can't be asked any more."""
    kept = {each[0]: each for each in memory}
    if new is not None:
        kept[new[0]] = new
    for finding in option.settles & set(kept):
        kept[finding] = (finding, kept[finding][1], "")
    return tuple(sorted(each for finding, each in kept.items() if finding in later))


def recalled(memory: Memory, finding: str) -> Kept | None:
    """What is kept of an answer to `finding`."""
    return next((each for each in memory if each[0] == finding), None)
