"""Prints on ruled and squared paper, whose lines are of another colour than the ink's."""

import numpy as np
import pytest
from PIL import Image
from stampwright.prints.measuring import measure_prints
from stampwright.prints.testdie.chart import draw_chart

from .synthetic import Stamped, scanned


@pytest.mark.parametrize(("colour", "every"), [((0.3, 0.5, 0.85), 5.0), ((0.9, 0.4, 0.4), 7.0)])
def test_lines_of_the_paper_in_another_colour_are_left_out(colour, every, tmp_path):
    scanned(
        [Stamped(draw_chart(30.0).inked, 0.09)], tmp_path / "plain.png", dpi=400.0, page=(44, 44), places=((22, 22),)
    )
    light = np.asarray(Image.open(tmp_path / "plain.png").convert("L"), dtype=np.float64)[..., None]
    places = np.indices(light.shape[:2]) * 25.4 / 400
    ruled = (places % every < 0.3).any(axis=0)[..., None]
    shown = np.where(ruled, light * np.array(colour), light * np.ones(3))
    Image.fromarray(shown.astype(np.uint8)).save(tmp_path / "squared.png", dpi=(400, 400))
    measured = measure_prints([tmp_path / "squared.png"])
    spread = next(figure for figure in measured.figures if figure.name == "ink spread")
    assert spread.value == pytest.approx(0.09, abs=0.012)
    assert any("another colour" in note for note in measured.notes)
