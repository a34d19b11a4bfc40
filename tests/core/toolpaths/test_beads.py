"""Beads of a toolpath against sections worked by hand."""

import math

import numpy as np
import pytest
from stampwright.toolpaths import lay_beads, read_gcode, width_of
from stampwright.toolpaths.laid.areas import cover

FILAMENT = math.pi / 4 * 1.75**2


@pytest.fixture
def beads(tmp_path):
    """Return a function from G-code to its beads."""

    def beads(text):
        path = tmp_path / "die.gcode"
        path.write_text(text)
        return lay_beads(read_gcode(path))

    return beads


def test_a_bead_is_as_wide_as_its_volume_makes_a_stadium():
    # 10 mm of a stadium 0.2 mm high and 0.5 mm wide: 0.3 * 0.2 between two half rounds of 0.1 mm.
    section = 0.3 * 0.2 + math.pi * 0.1**2
    assert width_of(np.array([section]), 0.2) == pytest.approx([0.5])
    # Less than a full round of 0.2 mm stays round.
    assert width_of(np.array([math.pi / 4 * 0.1**2]), 0.2) == pytest.approx([0.1])


def test_the_area_of_a_bead_has_round_ends(beads):
    section = 0.3 * 0.2 + math.pi * 0.1**2
    laid = beads(f"M83\nG1 Z.2\nG1 X10 E{10 * section / FILAMENT:.6f}\n")
    assert laid.section == pytest.approx([section], rel=1e-4)
    assert cover(laid, 0.2).area == pytest.approx(10 * 0.5 + math.pi * 0.25**2, rel=3e-3)


def test_what_comes_out_where_the_nozzle_stands_belongs_to_the_bead_before(beads):
    laid = beads("M82\nG1 Z.2\nG1 X10 E.40\nG1 X10 E.398\nG1 X20 E.80\nG1 X20 E.8010\n")
    assert laid.section * laid.length == pytest.approx(np.array([0.4, 0.401]) * FILAMENT, rel=1e-3)


def test_coarse_steps_of_the_feed_are_averaged(beads):
    steps = "".join(f"G1 X{0.05 * at:.2f} E{0.00166 * at:.2f}\n" for at in range(1, 1001))
    laid = beads("M82\nG1 Z.2 F900\n" + steps)
    # The first few lay nothing yet that the file tells.
    assert len(laid) >= 995
    assert len(np.unique(laid.run)) == 1
    assert laid.section == pytest.approx(0.00166 / 0.05 * FILAMENT, rel=0.04)


def test_a_travel_stays_a_travel_however_short(beads):
    laid = beads("M82\nG1 Z.2 F900\nG1 X10 E.4\nG0 X10.2 F9000\nG1 X20 E.8 F900\n")
    assert len(laid) == 2
    assert len(np.unique(laid.run)) == 2
