"""Contrast against known ratios and a second implementation.

Definitions: W3C, Web Content Accessibility Guidelines 2.2, relative luminance and contrast ratio.
The ratios were computed from them and agree with `wcag-contrast-ratio` 0.9; stored web pages have
some of them wrong (#757575 does pass 4.5, #949494 does pass 3).
"""

import colorsys
from itertools import product

import pytest
import wcag_contrast_ratio

from stepstop.contrast import contrast_ratio, nearest_passing, relative_luminance

RATIOS = {
    ("#767676", "#FFF"): 4.5422,
    ("#757575", "#FFF"): 4.6075,
    ("#777777", "#FFF"): 4.4781,
    ("#595959", "#FFF"): 7.0047,
    ("#949494", "#FFF"): 3.0335,
    ("#959595", "#FFF"): 2.9953,
    ("#888888", "#FFF"): 3.5449,
    ("#999999", "#FFF"): 2.8490,
    ("#000", "#FFF"): 21.0,
    ("#FF0000", "#FFF"): 3.9985,
    ("#0000FF", "#FFF"): 8.5925,
    ("#008000", "#FFF"): 5.1374,
    ("#FFFF00", "#000"): 19.5560,
    ("#FFFF00", "#FFF"): 1.0738,
    ("#FF0000", "#000"): 5.2520,
    ("#0000EE", "#FFF"): 9.3976,
}

# Two colours of each hue family, the ends, and both sides of the linear part near black.
GRID = ["#" + bytes(rgb).hex() for rgb in product((0, 10, 11, 119, 200, 255), repeat=3)]


def oracle_colour(colour):
    return tuple(int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))


def oracle_ratio(first, second):
    return wcag_contrast_ratio.rgb(oracle_colour(first), oracle_colour(second))


@pytest.mark.parametrize("pair", RATIOS)
def test_known_ratio_to_four_places_in_either_order(pair):
    assert contrast_ratio(*pair) == pytest.approx(RATIOS[pair], abs=5e-5)
    assert contrast_ratio(*reversed(pair)) == contrast_ratio(*pair)


@pytest.mark.parametrize("background", ["#000000", "#ffffff", "#777777", "#0b5394", "#ffd100"])
def test_the_second_implementation_agrees_over_a_grid(background):
    for colour in GRID:
        found = contrast_ratio(colour, background)
        assert found == pytest.approx(oracle_ratio(colour, background), abs=1e-9)


def test_luminance_of_the_primaries_is_their_published_weight():
    assert relative_luminance("#f00") == pytest.approx(0.2126)
    assert relative_luminance("#0f0") == pytest.approx(0.7152)
    assert relative_luminance("#00f") == pytest.approx(0.0722)
    assert relative_luminance("#fff") == pytest.approx(1)
    assert relative_luminance("#000") == 0


def test_both_published_limits_of_the_linear_part_split_the_greys_alike():
    """0.04045 (sRGB) and 0.03928 (older WCAG text): no 8-bit channel lies between them."""
    assert not [grey for grey in range(256) if 0.03928 < grey / 255 <= 0.04045]
    assert relative_luminance("#0a0a0a") == pytest.approx(10 / 255 / 12.92)
    assert relative_luminance("#0b0b0b") == pytest.approx(((11 / 255 + 0.055) / 1.055) ** 2.4)


def test_short_and_long_forms_and_letter_case_are_one_colour():
    assert contrast_ratio("#aBc", "#fff") == contrast_ratio("#AAbbCC", "#FFFFFF")


@pytest.mark.parametrize("bad", ["", "fff", "#ff", "#ffff", "#fffffff", "#ggg", "red", "#fff\n"])
def test_anything_else_is_refused(bad):
    for call in (lambda: contrast_ratio(bad, "#fff"), lambda: nearest_passing("#fff", bad, 3)):
        with pytest.raises(ValueError, match="not a colour"):
            call()


def test_a_passing_colour_is_its_own_nearest():
    assert nearest_passing("#757575", "#FFF", 4.5) == "#757575"
    assert nearest_passing("#00E", "#FFF", 7) == "#0000ee"


def test_the_nearest_grey_on_white_is_the_published_last_one_that_passes():
    assert nearest_passing("#777777", "#FFF", 4.5) == "#767676"
    assert nearest_passing("#999", "#FFF", 3) == "#949494"
    assert nearest_passing("#888888", "#FFF", 7) == "#595959"


def test_it_moves_toward_white_on_a_dark_background():
    found = nearest_passing("#333333", "#000", 4.5)
    assert found > "#333333"
    assert contrast_ratio(found, "#000") >= 4.5


def test_it_crosses_to_the_other_side_when_only_that_side_passes():
    """On #777777 white has 4.48 only, black 4.69 (21 / 4.4781)."""
    assert contrast_ratio(nearest_passing("#fff", "#777777", 4.5), "#777777") >= 4.5
    assert nearest_passing("#fff", "#777777", 4.5) < "#777777"


@pytest.mark.parametrize("least", [3, 4.5, 7])
@pytest.mark.parametrize("background", ["#ffffff", "#101418", "#ffd100"])
def test_the_nearest_passes_keeps_its_hue_and_one_step_less_fails(background, least):
    for colour in ("#ff8200", "#c8102e", "#005387", "#237f52", "#808000"):
        found = nearest_passing(colour, background, least)
        assert oracle_ratio(found, background) >= least
        hues = [colorsys.rgb_to_hsv(*oracle_colour(c))[0] for c in (colour, found)]
        if 0.1 < relative_luminance(found) < 0.9:
            assert abs(hues[0] - hues[1]) % 1 < 0.01
        if found != colour:
            assert oracle_ratio(one_step_back(found, colour), background) < least


def one_step_back(found, colour):
    """Return `found` with each channel that moved put back by one toward `colour`."""
    channels = zip(bytes.fromhex(found[1:]), bytes.fromhex(colour[1:]), strict=True)
    return "#" + bytes(new + (own > new) - (own < new) for new, own in channels).hex()


def test_the_ends_are_within_reach_and_an_exact_ratio_passes():
    assert nearest_passing("#777", "#777777", 4.689) == "#000000"
    assert nearest_passing("#808080", "#000", 20.9999) == "#ffffff"
    assert nearest_passing("#000", "#fff", contrast_ratio("#000", "#fff")) == "#000000"


def test_out_of_reach_is_refused():
    with pytest.raises(ValueError, match=r"no shade of #123456 has a contrast of 7 to #777777"):
        nearest_passing("#123456", "#777777", 7)
