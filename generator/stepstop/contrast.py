"""Contrast of two colours as the Web Content Accessibility Guidelines 2.2 define it.

Colours are "#rrggbb" or "#rgb" in sRGB. Ratios are never rounded: 4.478 does not pass 4.5.
"""

import re
from collections.abc import Iterator
from math import dist

Channels = tuple[int, int, int]

_COLOUR = re.compile(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})")
_BLACK: Channels = (0, 0, 0)
_WHITE: Channels = (255, 255, 255)


def relative_luminance(colour: str) -> float:
    """Return 0 for black up to 1 for white (WCAG 2.2, "relative luminance").

    Raises ValueError for anything but "#rrggbb" or "#rgb".
    """
    return _luminance(_channels(colour))


def contrast_ratio(first: str, second: str) -> float:
    """Return the ratio from 1 to 21, in either order of colours (WCAG 2.2, "contrast ratio")."""
    return _ratio(relative_luminance(first), relative_luminance(second))


def nearest_passing(foreground: str, background: str, least: float) -> str:
    """Return the colour nearest to `foreground` with at least that ratio to `background`.

    It has the same hue, to the nearest whole channel value, moved just toward black or white, and
    is written "#rrggbb". Near is the distance in sRGB; of equals, the darker. Raises ValueError
    if no such colour passes.
    """
    own = _channels(foreground)
    behind = relative_luminance(background)
    passing = [shade for shade in _shades(own) if _ratio(_luminance(shade), behind) >= least]
    if not passing:
        raise ValueError(f"no shade of {foreground} has a contrast of {least} to {background}")
    nearest = min(passing, key=lambda shade: dist(shade, own))
    return "#" + "".join(f"{channel:02x}" for channel in nearest)


def _shades(colour: Channels) -> Iterator[Channels]:
    """Yield the colour moved toward black, then toward white, by 0 to 255 parts of 255."""
    for target in (_BLACK, _WHITE):
        for part in range(256):
            red, green, blue = (
                round(own + (end - own) * part / 255)
                for own, end in zip(colour, target, strict=True)
            )
            yield red, green, blue


def _channels(colour: str) -> Channels:
    if not _COLOUR.fullmatch(colour):
        raise ValueError(f"not a colour like #rrggbb or #rgb: {colour!r}")
    digits = colour[1:] if len(colour) == 7 else "".join(digit * 2 for digit in colour[1:])
    red, green, blue = bytes.fromhex(digits)
    return red, green, blue


def _luminance(colour: Channels) -> float:
    red, green, blue = (_linear(channel / 255) for channel in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    """Return the light of an sRGB channel; older texts' limit 0.03928 gives the same in 8 bits."""
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def _ratio(first: float, second: float) -> float:
    return (max(first, second) + 0.05) / (min(first, second) + 0.05)
