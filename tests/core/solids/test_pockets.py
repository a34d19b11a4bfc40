"""Plates with pockets."""

from __future__ import annotations

import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import SolidError
from stampwright.solids import Solid, check_soundness, cut, extrude, revolve, section, unite
from stampwright.solids.pockets import Pocket, sink_pockets, step_top

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


def test_a_lip_stands_out_round_the_foot_and_pockets_may_reach_into_its_height() -> None:
    pockets: list[Pocket] = [(box(-15, -12, 15, 12), 1.0)]
    solid = sink_pockets(PLATE, 4.0, pockets, name="plate", lip=(PLATE.buffer(2, join_style="mitre"), 1.5))
    # 44 x 34 x 1.5 and 40 x 30 x 2.5, less 30 x 24 x 3.
    assert solid.volume == pytest.approx(2244 + 3000 - 2160, rel=1e-9)
    assert check_soundness(solid.vertices, solid.triangles).sound
    assert section(solid, 0.5).area == pytest.approx(1496)
    assert section(solid, 2.0).area == pytest.approx(1200 - 720)


@pytest.mark.parametrize("lip", [(PLATE, 1.0), (PLATE.buffer(1), 4.0), (PLATE.buffer(1), 0.0)])
def test_a_lip_that_does_not_stand_out_or_ends_at_the_top_is_refused(lip) -> None:
    with pytest.raises(SolidError, match="plate: its lip"):
        sink_pockets(PLATE, 4.0, [], name="plate", lip=lip)


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


RING_AND_DOT = MultiPolygon([Point(3, 1).buffer(8).difference(Point(3, 1).buffer(5)), box(2, 0, 5, 2)])


def turned() -> Solid:
    """Return a turned solid with a groove round its level top, which leaves a rim as high."""
    profile = [(0, 0), (20, 0), (20, 12), (18, 12), (17, 11), (16, 12), (0, 12)]
    return revolve(profile, name="turned")


def test_a_step_in_the_top_is_what_cutting_or_uniting_makes() -> None:
    solid = turned()
    sunk, raised = (step_top(solid, RING_AND_DOT, level, name="stepped") for level in (11.0, 13.0))
    tool = extrude(RING_AND_DOT, 11.0, 14.0, name="tool")
    root = extrude(RING_AND_DOT, 11.5, 13.0, name="root")
    assert sunk.volume == pytest.approx(cut(solid, [tool]).volume, rel=1e-5)
    assert raised.volume == pytest.approx(unite([solid, root], name="united").volume, rel=1e-5)
    for stepped in (sunk, raised):
        assert check_soundness(stepped.vertices, stepped.triangles).sound
    assert section(sunk, 11.5).area == pytest.approx(section(solid, 11.5).area - RING_AND_DOT.area, rel=1e-5)
    assert section(raised, 12.5).area == pytest.approx(RING_AND_DOT.area, rel=1e-4)


def test_what_of_a_step_is_not_on_the_top_is_left_out() -> None:
    stepped = step_top(turned(), MultiPolygon([box(0, -2, 40, 2)]), 11.0, name="stepped")
    assert check_soundness(stepped.vertices, stepped.triangles).sound
    with pytest.raises(SolidError, match="step in the top"):
        step_top(turned(), MultiPolygon([box(30, 0, 40, 2)]), 11.0, name="stepped")


def test_a_pointed_solid_has_no_top_to_step() -> None:
    with pytest.raises(SolidError, match="step in the top"):
        step_top(revolve([(0, 0), (20, 0), (0, 12)], name="cone"), RING_AND_DOT, 11.0, name="stepped")


def test_mouth_of_a_pocket_is_chamfered_by_what_a_frustum_takes() -> None:
    seat, grooves = box(-15, -12, 15, 12), MultiPolygon([box(-9, -1, 9, 1), box(-9, 3, 9, 5)])
    plain = sink_pockets(PLATE, 4.0, [(seat, 3.0), (grooves, 2.6)], name="plate")
    for wanted, made in ((0.2, 0.2), (0.4, 0.4), (2.0, 0.5)):  # half the pocket's depth at most
        solid = sink_pockets(PLATE, 4.0, [(seat, 3.0), (grooves, 2.6)], name="plate", mouth=wanted)
        assert check_soundness(solid.vertices, solid.triangles).sound
        middle, upper = ((30 + 2 * by) * (24 + 2 * by) for by in (made / 2, made))
        taken = made / 6 * (720 + 4 * middle + upper) - made * 720
        assert plain.volume - solid.volume == pytest.approx(taken, rel=1e-3)
        assert section(solid, 3.0 + 1e-3).area == pytest.approx(1200 - 720, rel=1e-4)


def test_a_mouth_without_room_on_the_plate_stays_square() -> None:
    seat = box(-19.5, -14.5, 19.5, 14.5)
    assert sink_pockets(PLATE, 4.0, [(seat, 3.0)], name="plate", mouth=0.4).volume == pytest.approx(
        sink_pockets(PLATE, 4.0, [(seat, 3.0)], name="plate").volume
    )
