"""How the relief gives way: line widths told from a raster, and what they are worth."""

from dataclasses import replace

import numpy as np
import pytest
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.press.pushing.conditions import PressConditions
from stampwright.press.pushing.relief import Blocks, column_compliance, line_widths, measure_lines


def at(blocks, face, x, y):
    column = np.array([(x - face.corner[0]) / face.pitch - 0.5])
    row = np.array([(y - face.corner[1]) / face.pitch - 0.5])
    return float(blocks.at(row, column)[0])


@pytest.mark.parametrize("turn", [0.0, 20.0, 45.0, 77.0])
@pytest.mark.parametrize(("width", "within"), [(0.4, 0.08), (0.8, 0.1), (1.5, 0.2)])
def test_width_of_a_line_is_told_whichever_way_it_runs(stand_face, width, within, turn):
    # The window is square and 4 mm wide: it cuts corners off broad lines that run aslant.
    line = affinity.rotate(box(-15, -width / 2, 15, width / 2), turn, origin=(0, 0))
    face = stand_face(MultiPolygon([line]), dpi=600)
    assert at(line_widths(face), face, 0.0, 0.0) == pytest.approx(width, rel=within)


def test_middle_of_a_broad_area_sees_no_edge(stand_face):
    face = stand_face(MultiPolygon([box(-10, -10, 10, 10)]))
    assert at(line_widths(face), face, 0.0, 0.0) > 100.0


def test_cover_adds_up_to_the_inked_area(stand_face):
    face = stand_face(MultiPolygon([Point(0, 0).buffer(6, quad_segs=64)]))
    _, inked = measure_lines(face)
    assert inked.values.sum() * (inked.side * face.pitch) ** 2 == pytest.approx(face.face_area, rel=1e-9)
    assert face.face_area == pytest.approx(np.pi * 36, rel=0.003)


def test_blocks_blend_a_slope_exactly():
    slope = Blocks(np.add.outer(2.0 * np.arange(6), np.arange(5.0)), 4)
    row, column = np.array([1.5, 8.0, 17.0]), np.array([1.5, 6.0, 12.0])
    expected = 2.0 * ((row + 0.5) / 4 - 0.5) + (column + 0.5) / 4 - 0.5
    np.testing.assert_allclose(slope.at(row, column), expected)


def test_slim_line_is_a_strip_on_its_foot():
    # (4/3) E (1 + k S²) with S = width / (2 height), 0.8 by 2 mm: 1.363 E for k = 0.55 (Gent and Lindley 1959); the
    # bulk modulus in series takes less than 3 % of it.
    conditions = PressConditions(stiffness=28.8, shape=0.55)
    found = column_compliance(np.array([0.8]), 2.0, conditions)[0]
    assert found == pytest.approx(2.0 / (1.363 * 28.8), rel=0.03)


def test_broader_lines_are_stiffer_and_hollow_ones_softer():
    widths = np.array([0.4, 0.8, 2.0, 5.0, 20.0])
    solid = column_compliance(widths, 2.0, PressConditions())
    assert (np.diff(solid) < 0).all()
    hollow = column_compliance(widths, 2.0, replace(PressConditions(), infill=0.3))
    # Within three walls on each side, 2.4 mm, a line has no core to be hollow.
    np.testing.assert_allclose(hollow[:3], solid[:3])
    assert (hollow[3:] > 2.0 * solid[3:]).all()
