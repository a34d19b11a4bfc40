"""Plates with pockets."""

from __future__ import annotations

import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import SolidError
from stampwright.solids import check_soundness, section
from stampwright.solids.pockets import Pocket, sink_pockets

PLATE = box(-20, -15, 20, 15)


def test_volume_is_plate_less_pockets() -> None:
    frame = box(-10, -10, 10, 10).difference(box(-5, -5, 5, 5))
    pockets: list[Pocket] = [(box(-15, -12, 15, 12), 3.0), (MultiPolygon([frame, box(-2, -2, 2, 2)]), 1.0)]
    solid = sink_pockets(PLATE, 4.0, pockets, name="plate")
    # 40 x 30 x 4, less 30 x 24 x 1, less (20 x 20 - 10 x 10 + 4 x 4) x 2.
    assert solid.volume == pytest.approx(4800 - 720 - 316 * 2, rel=1e-9)
    assert check_soundness(solid.vertices, solid.triangles).sound
    assert section(solid, 2.0).area == pytest.approx(1200 - 316)


def test_plate_without_pockets_is_a_prism() -> None:
    assert sink_pockets(PLATE, 4.0, [], name="plate").volume == pytest.approx(4800)


@pytest.mark.parametrize(
    "pockets",
    [
        [(box(-20, -15, 0, 15), 2.0)],
        [(box(-5, -5, 5, 5), 2.0), (box(-5, -5, 0, 5), 1.0)],
        [(Point(0, 0).buffer(5), 0.0)],
        [(Point(0, 0).buffer(5), 4.0)],
        [(Point(0, 0).buffer(5), 2.0), (Point(0, 0).buffer(3), 2.0)],
    ],
)
def test_pocket_that_touches_an_edge_or_has_no_depth_or_floor_is_refused(pockets: list[Pocket]) -> None:
    with pytest.raises(SolidError, match="pocket"):
        sink_pockets(PLATE, 4.0, pockets, name="plate")
