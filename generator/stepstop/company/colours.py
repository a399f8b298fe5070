"""A company's two colours: proven readable in both themes, and not taken for danger.

Text needs a contrast of 7 (WCAG 2.2, 1.4.6), as with our own colours. Frames and signs, which need
3 (1.4.11), have the same colours and so keep it.
"""

from __future__ import annotations

import colorsys
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from stepstop.company.model import Colours
from stepstop.contrast import contrast_ratio, nearest_passing
from stepstop.problems import Problem
from stepstop.source import Located

TEXT = 7.0
"""WCAG 2.2, success criterion 1.4.6 (AAA)."""
RED = 25 / 360
"""Half the range of hues, around red, that stand for danger on a page: a judgement of ours."""
VIVID = 0.3
"""Saturation (HSV) from which a colour has a hue to be seen: a judgement of ours."""
_ON = ("#ffffff", "#0c1620")
"""What may stand on the colour: the nearer to our own, the better."""

_DARK = "@media (prefers-color-scheme: dark)"
_ROOT = re.compile(r":root\s*\{([^}]*)\}")
_SET = re.compile(r"--([\w-]+):\s*(#[0-9a-fA-F]{3,6})\s*;")


@dataclass(frozen=True, slots=True)
class Themes:
    """What stands behind texts, as the style sheet of every page has it."""

    light: Mapping[str, str]
    """Name of a colour -> the colour."""
    dark: Mapping[str, str]


def themes(sheet: str) -> Themes:
    """The colours of `page.css`; what the dark theme doesn't set is as in the light one."""
    before, _, after = sheet.partition(_DARK)
    light, dark = (_ROOT.search(part) for part in (before, after))
    found = {name: dict(_SET.findall(m[1])) if m else {} for name, m in (("l", light), ("d", dark))}
    return Themes(found["l"], {**found["l"], **found["d"]})


def problems(colours: Colours, behind: Themes) -> Iterator[Problem]:
    """Each colour that can't be read, or looks like danger."""
    for colour, theme, name in (
        (colours.light, behind.light, "light"),
        (colours.dark, behind.dark, "dark"),
    ):
        if colour:
            yield from _faint(colour, theme, name)
            yield from _red(colour)


def _faint(colour: str, theme: Mapping[str, str], name: str) -> Iterator[Problem]:
    grounds = [theme[each] for each in ("paper", "card")]
    least = min(contrast_ratio(colour, ground) for ground in grounds)
    if least >= TEXT and on(colour):
        return
    assert isinstance(colour, Located)
    message = f"`{colour}` has a contrast of {least:.2f} on {name} pages, less than {TEXT:g}"
    better = [shade for shade in _nearest(colour, grounds) if on(shade)]
    mend = f"the nearest that can be read: {better[0]}" if better else "choose another color"
    yield Problem(colour.spot, "low-contrast", message, mend)


def _nearest(colour: str, grounds: list[str]) -> Iterator[str]:
    """Shades of `colour` that pass on all `grounds`."""
    for ground in grounds:
        shade = nearest_passing(colour, ground, TEXT)
        if all(contrast_ratio(shade, each) >= TEXT for each in grounds):
            yield shade


def on(colour: str) -> str:
    """What can be read on `colour`, or an empty text."""
    return next((each for each in _ON if contrast_ratio(each, colour) >= TEXT), "")


def _red(colour: str) -> Iterator[Problem]:
    red, green, blue = (part / 255 for part in bytes.fromhex(colour[1:]))
    hue, saturation, _ = colorsys.rgb_to_hsv(red, green, blue)
    if saturation >= VIVID and min(hue, 1 - hue) <= RED:
        assert isinstance(colour, Located)
        message = f"`{colour}` is a red, and red stands for danger on these pages"
        yield Problem(colour.spot, "looks-like-danger", message, "choose another color")


def sheet(colours: Colours) -> str:
    """The style sheet that follows ours; on paper our own black stays."""
    rule = ":root{{--accent:{};--on-accent:{}}}"
    light = rule.format(colours.light, on(colours.light))
    dark = rule.format(colours.dark, on(colours.dark))
    return f"@media screen{{{light}}}@media screen and (prefers-color-scheme:dark){{{dark}}}"
