"""Skins over sections."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import Polygon, box
from stampwright.errors import SolidError
from stampwright.solids import check_soundness
from stampwright.solids.loft import loft, rounded_prism

SQUARE = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])


def test_pyramid_frustum_has_the_prismatoids_volume() -> None:
    # Prismatoid: h / 6 (A0 + 4 Am + A1).
    solid = loft(np.stack((SQUARE * 10, SQUARE * 4)), np.array([0.0, 9.0]), name="frustum")
    assert solid.volume == pytest.approx(9 / 6 * (400 + 4 * 196 + 64), rel=1e-6)
    assert check_soundness(solid.vertices, solid.triangles).sound


def test_ring_without_size_is_a_tip() -> None:
    solid = loft(np.stack((SQUARE * 3, SQUARE * 0)), np.array([0.0, 6.0]), name="pyramid")
    assert solid.volume == pytest.approx(36 * 6 / 3, rel=1e-6)
    assert len(solid.triangles) == 8


def test_section_that_cannot_be_seen_whole_is_still_closed() -> None:
    hook = np.array([(0, 0), (10, 0), (10, 10), (8, 10), (8, 2), (2, 2), (2, 10), (0, 10)], dtype=float)
    solid = loft(np.stack((hook, hook)), np.array([0.0, 5.0]), name="hook", centre=(5.0, 5.0))
    assert solid.volume == pytest.approx(5 * (100 - 48), rel=1e-6)


def test_rounded_edge_takes_off_what_the_quarter_round_leaves() -> None:
    # Mitred rectangle drawn in by r (1 - cos t) at r sin t: A (h - r) + A r - P r² (1 - pi/4) + 4 r³ (5/3 - pi/2).
    solid, made = rounded_prism(box(-15, -10, 15, 10), 20.0, 3.0, name="bar")
    wanted = 600 * 20 - 100 * 9 * (1 - math.pi / 4) + 4 * 27 * (5 / 3 - math.pi / 2)
    assert made == 3.0
    assert solid.volume == pytest.approx(wanted, rel=1e-3)


def test_edge_is_rounded_as_far_as_the_outline_has_room() -> None:
    comb = Polygon([(0, 0), (30, 0), (30, 20), (27, 20), (27, 5), (3, 5), (3, 20), (0, 20)])
    solid, made = rounded_prism(comb, 20.0, 4.0, name="comb")
    assert 0.5 <= made < 1.5
    assert check_soundness(solid.vertices, solid.triangles).sound


@pytest.mark.parametrize(
    ("rings", "told"),
    [
        (np.stack((SQUARE, SQUARE[[0, 2, 1, 3]])), "crosses itself"),
        (np.stack((SQUARE, SQUARE[::-1])), "crosses itself"),
        (np.stack((SQUARE,)), "two rings"),
        (np.stack((SQUARE, SQUARE * np.nan)), "no finite number"),
    ],
)
def test_rings_that_make_no_skin_are_refused(rings: np.ndarray, told: str) -> None:
    with pytest.raises(SolidError, match=told):
        loft(rings, np.arange(len(rings), dtype=float), name="skin")
