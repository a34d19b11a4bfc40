"""What a textured face prints lightly is on the customer's page, as light as it prints."""

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon
from stampwright.output.sheets.tones import SHARES, tones_of
from stampwright.press import Impression


def printed(darkness, dpi=300.0, corner=(-5.0, -2.0)):
    picture = np.round(255 * (1 - np.asarray(darkness))).astype(np.uint8)
    return Impression(MultiPolygon(), picture, dpi, corner)


def test_each_tone_is_where_it_prints_and_as_dark():
    darkness = np.zeros((120, 240))
    darkness[20:100, 20:100] = 0.3
    darkness[20:100, 140:220] = 1.0
    tones = list(tones_of(printed(darkness), "#000000"))
    pixel = 25.4 / 300
    light, full = tones[0][0], tones[-1][0]
    square = (80 * pixel) ** 2
    assert light.area == pytest.approx(2 * square, rel=0.03)
    # The darkest tone ends within the cell at its edge.
    assert full.area == pytest.approx(square, rel=0.06)
    assert full.bounds == pytest.approx(
        (-5 + 140 * pixel, -2 + 20 * pixel, -5 + 220 * pixel, -2 + 100 * pixel), abs=0.1
    )
    assert tones[-1][1] == "#000000"
    assert int(tones[0][1][1:3], 16) == pytest.approx(255 * (1 - (SHARES[0] + SHARES[1]) / 2), abs=1)


def test_holes_stay_open_and_islands_in_them_stand():
    darkness = np.zeros((200, 200))
    darkness[20:180, 20:180] = 1.0
    darkness[60:140, 60:140] = 0.0
    darkness[90:110, 90:110] = 1.0
    region, _ = list(tones_of(printed(darkness), "#102030"))[-1]
    assert len(region.geoms) == 2
    assert sum(shapely.get_num_interior_rings(part) for part in region.geoms) == 1


def test_bare_paper_has_no_tones():
    assert list(tones_of(printed(np.zeros((60, 60))), "#000000")) == []
