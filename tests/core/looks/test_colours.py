"""Colours: letters that can be read on their ground, ramps that get lighter all the way, no need of hue."""

from itertools import combinations, pairwise

import pytest
from stampwright.findings import SEVERITIES
from stampwright.looks import colours
from stampwright.looks.colours import (
    BAND,
    BLUE,
    GREEN,
    INK,
    MADDER,
    MUSTARD,
    PAPER,
    PURPLE,
    QUIET,
    SEVERITY,
    contrast,
    lightness,
    ramp,
    rgb,
)

TEXT = 4.5
"""Least contrast of letters with their ground (WCAG 2.2, success criterion 1.4.3)."""

GRAPHICS = 3.0
"""Least contrast of what must be seen to understand a drawing (WCAG 2.2, success criterion 1.4.11)."""


@pytest.mark.parametrize(
    ("colour", "grey"),
    # Worked out by others: W3C's note on G18 calls #767676 the lightest grey that passes on white, #777777 fails.
    [("#767676", True), ("#777777", False)],
)
def test_contrast_is_the_standards(colour, grey):
    assert (contrast(rgb(colour), rgb("#fff")) >= TEXT) is grey


def test_lightness_is_the_standards():
    # CIE 15 by way of colour tables that everybody prints: sRGB red, green, blue and mid-grey.
    for colour, expected in (("#ff0000", 53.24), ("#00ff00", 87.73), ("#0000ff", 32.30), ("#777777", 50.03)):
        assert lightness(rgb(colour)) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("ground", [PAPER, BAND])
@pytest.mark.parametrize("letters", [INK, QUIET, MADDER, MUSTARD, BLUE, GREEN, PURPLE])
def test_letters_can_be_read_on_their_ground(letters, ground):
    assert contrast(rgb(letters), rgb(ground)) >= TEXT


def test_numbers_can_be_read_in_a_filled_sign():
    assert contrast(rgb(PAPER), rgb(SEVERITY["blocks"])) >= TEXT


def test_lines_can_be_seen_on_paper():
    # Hairlines of a table only part what stands apart already.
    assert contrast(rgb(colours.RULE), rgb(PAPER)) >= 2.5
    for colour, _ in colours.CURVES:
        assert contrast(rgb(colour), rgb(BAND)) >= GRAPHICS


def test_every_severity_has_a_colour_of_its_own():
    assert set(SEVERITY) == set(SEVERITIES)
    assert len(set(SEVERITY.values())) == len(SEVERITIES)


def test_curves_of_a_diagram_differ_in_their_dashes_too():
    for (one, dashes), (other, others) in combinations(colours.CURVES, 2):
        assert one != other
        assert dashes != others


def test_ramp_gets_lighter_by_even_steps():
    lights = [lightness(colour) for colour in ramp(33)]
    steps = [after - before for before, after in pairwise(lights)]
    assert min(steps) > 0
    assert steps == pytest.approx([sum(steps) / len(steps)] * len(steps), rel=1e-3)
    assert lights[-1] - lights[0] > 70


def test_ramp_goes_from_ink_blue_to_mustard():
    dark, light = ramp(9)[0], ramp(9)[-1]
    assert dark[2] == max(dark)
    assert light[2] == min(light)
    assert all(0.0 <= part <= 1.0 for colour in ramp(64) for part in colour)


@pytest.mark.parametrize("name", ["cividis", "viridis", "plasma", "inferno", "magma", "turbo"])
def test_ramp_is_nobody_elses(name):
    maps = pytest.importorskip("matplotlib").colormaps
    published = [maps[name](step / 32)[:3] for step in range(33)]
    apart = [
        sum((a - b) ** 2 for a, b in zip(*pair, strict=True)) ** 0.5 for pair in zip(ramp(33), published, strict=True)
    ]
    assert max(apart) > 0.1


def test_signs_can_be_seen_over_a_dark_view():
    seen = [*colours.SEVERITY_IN_VIEW.values(), colours.ADDED_IN_VIEW, colours.REMOVED_IN_VIEW]
    assert set(colours.SEVERITY_IN_VIEW) == set(SEVERITIES)
    assert all(contrast(rgb(colour), rgb(colours.VIEW)) >= GRAPHICS for colour in seen)
