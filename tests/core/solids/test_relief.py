"""A relief on a floor is sound and has the volume that closed formulas give."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.errors import SolidError
from stampwright.plane.frames import on_grid
from stampwright.solids import ReliefHeights, Solid, check_soundness, raise_relief, volume_by_sections
from stampwright.solids.plan.flank import distance_from, raise_flank
from stampwright.solids.plan.outlines import outline

BASE = box(-25, -25, 25, 25)
HEIGHTS = ReliefHeights(floor=2.0, face=4.0, top=4.2)


def raised(face: Polygon | MultiPolygon, shoulder: float, *, base: Polygon = BASE) -> Solid:
    return raise_relief(face, base, HEIGHTS, shoulder=shoulder, name="die")


def relief_volume(face: Polygon | MultiPolygon, shoulder: float) -> float:
    """Volume between floor and finished face: 2 mm high."""
    return raised(face, shoulder).volume - BASE.area * 2.0 - face.area * 0.2


# Steiner's formula for offset areas, A + P r + pi r², integrated over r = k z: V = A h + P k h²/2 + pi k² h³/3, and for
# outlines with right angles A + P r + (c pi/4 - v) r² with c convex and v reflex corners; here h = 2, k = tan 20°.
def test_drafted_rectangle_has_steiners_volume() -> None:
    assert relief_volume(box(-15, -10, 15, 10), 20) == pytest.approx(1273.9038612, rel=1e-5)


def test_drafted_angle_has_steiners_volume() -> None:
    angle = box(-15, -15, 15, 15).difference(box(-5, -5, 15, 15))
    assert relief_volume(angle, 20) == pytest.approx(1088.3868593, rel=1e-5)


def test_drafted_disc_is_a_frustum() -> None:
    # pi h/3 (R² + R r + r²), exact for r = 5; the polygon's own area is 0.016 % less, and the foot has its tolerance.
    assert relief_volume(Point(0, 0).buffer(5, quad_segs=64), 20) == pytest.approx(181.0583713, rel=2e-3)


def test_upright_plate_has_area_times_height() -> None:
    # Common practice for a small hand stamp: a plate 50 mm across and 2 mm thick, 2 mm relief.
    base = on_grid(Point(0, 0).buffer(25, quad_segs=64))
    face = on_grid(MultiPolygon([box(-10, -5, -2, 5), Point(8, 0).buffer(6).difference(Point(8, 0).buffer(3))]))
    solid = raise_relief(face, base, ReliefHeights(floor=2, face=4, top=4), shoulder=0, name="die")
    assert solid.volume == pytest.approx(base.area * 2 + face.area * 2, rel=1e-6)


def test_hole_of_a_drafted_ring_is_drafted_too() -> None:
    # Offsets of a smooth ring grow by P r outside and in the hole alike: A' = A + P r (Steiner, one hole).
    ring = Point(0, 0).buffer(10, quad_segs=200).difference(Point(0, 0).buffer(6, quad_segs=200))
    reach = 2 * math.tan(math.radians(15))
    assert relief_volume(ring, 15) == pytest.approx(ring.area * 2 + ring.length * reach * 2 / 2, rel=2e-3)


def test_neighbouring_flanks_meet_half_way_in_a_valley() -> None:
    # Two bars 0.4 mm apart: the flanks, 15 degrees from the vertical, meet 0.2 / tan 15° = 0.746 mm below the face.
    solid = raised(MultiPolygon([box(-15, 0, 15, 3), box(-15, 3.4, 15, 6.4)]), 15)
    x, y, z = solid.vertices.T
    valley = z[(np.abs(y - 3.2) < 1e-3) & (np.abs(x) < 14)]
    assert len(valley) > 10
    assert np.allclose(valley, 4 - 0.2 / math.tan(math.radians(15)), atol=1e-3)


def test_flank_is_as_deep_as_its_distance_from_the_face() -> None:
    face = outline(MultiPolygon([box(-15, 0, 15, 3), Point(0, 4.3).buffer(1), box(-4, -6, 4, -0.3)]), "face")
    flank = raise_flank(face, 0.536)
    points = np.concatenate((flank.face.points, flank.foot.points, flank.valley))
    depth = np.concatenate((np.zeros(len(flank.face.points)), flank.distance))
    corners = points[flank.triangles]
    first, second = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    areas = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / 2
    middles = corners.mean(axis=1)
    strayed = depth[flank.triangles].mean(axis=1) - np.minimum(distance_from(face, middles), 0.536)
    assert areas.min() > 0
    assert areas.sum() == pytest.approx(flank.foot.area - face.area, rel=1e-9)
    assert (np.abs(strayed) * areas).sum() / areas.sum() < 0.01
    assert np.abs(strayed).max() < 0.15


def test_shoulder_that_leaves_the_base_is_cut_at_its_edge() -> None:
    face = box(-24.8, -10, -10, 10)
    solid = raised(face, 30)
    low, high = solid.bounds
    assert check_soundness(solid.vertices, solid.triangles).sound
    assert (low[0], high[0]) == (-25, 25)
    # Above the floor the base's left wall rises by what the flank still has there: 2 mm less 0.2 / tan 30°.
    wall = solid.vertices[(solid.vertices[:, 0] == -25) & (np.abs(solid.vertices[:, 1]) < 9)]
    assert wall[:, 2].max() == pytest.approx(4 - 0.2 / math.tan(math.radians(30)), abs=1e-3)
    assert solid.volume == pytest.approx(volume_by_sections(solid), rel=1e-9)


def test_relief_that_leaves_the_base_is_cut_at_its_edge() -> None:
    solid = raised(box(-40, -3, 40, 3), 15)
    assert check_soundness(solid.vertices, solid.triangles).sound
    assert np.abs(solid.vertices[:, 0]).max() == 25


@pytest.mark.parametrize("shoulder", [0.0, 15.0])
def test_squares_that_touch_at_their_corners_make_a_sound_relief(shoulder: float) -> None:
    squares = [box(i, j, i + 1.5, j + 1.5) for i in range(-6, 6, 3) for j in range(-6, 6, 3)]
    between = [shapely.affinity.translate(square, 1.5, 1.5) for square in squares]
    solid = raised(MultiPolygon(squares + between), shoulder)
    assert check_soundness(solid.vertices, solid.triangles).sound
    assert solid.volume == pytest.approx(volume_by_sections(solid), rel=1e-6)


def test_corner_that_touches_a_side_makes_a_sound_relief() -> None:
    diamond = Polygon([(0, 3), (2, 5), (0, 7), (-2, 5)])
    solid = raised(MultiPolygon([box(-5, 0, 5, 3), diamond]), 15)
    assert check_soundness(solid.vertices, solid.triangles).sound


@pytest.mark.parametrize("face", [MultiPolygon(), box(30, 30, 40, 40), box(0, 0, 1e-5, 1e-5)])
def test_nothing_on_the_base_is_refused_in_one_line(face: Polygon | MultiPolygon) -> None:
    with pytest.raises(SolidError, match="the artwork on the base is empty"):
        raised(face, 15)


def test_heights_that_make_no_relief_are_refused() -> None:
    with pytest.raises(SolidError, match="make no relief"):
        raise_relief(box(0, 0, 1, 1), BASE, ReliefHeights(floor=2, face=2, top=2), shoulder=0, name="die")


@st.composite
def artworks(draw: st.DrawFn) -> MultiPolygon:
    """Stars, rings and bars, overlapping or almost touching, with holes."""
    region: shapely.Geometry = MultiPolygon()
    for _ in range(draw(st.integers(1, 6))):
        x, y = draw(st.floats(-14, 14)), draw(st.floats(-14, 14))
        radii = draw(st.lists(st.floats(0.3, 7), min_size=3, max_size=12))
        angles = np.linspace(0, 2 * np.pi, len(radii), endpoint=False) + draw(st.floats(0, 6.3))
        star = Polygon(np.column_stack((x + radii * np.cos(angles), y + radii * np.sin(angles))))
        star = shapely.buffer(star, draw(st.sampled_from([0.0, 0.3])))
        region = region.union(star) if draw(st.booleans()) else region.symmetric_difference(star)
    return MultiPolygon([part for part in shapely.get_parts(region) if part.geom_type == "Polygon"])


@settings(max_examples=60, deadline=None)
@given(artworks(), st.sampled_from([0.0, 8.0, 15.0, 35.0, 60.0]))
def test_every_relief_is_sound_and_has_its_volume(face: MultiPolygon, shoulder: float) -> None:
    if face.area < 0.01:
        return
    solid = raised(face, shoulder)
    verdict = check_soundness(solid.vertices, solid.triangles)
    assert verdict.sound, verdict.explain()
    assert verdict.volume == pytest.approx(volume_by_sections(solid), rel=1e-6)
    if shoulder == 0:
        # Joints where parts touch, and rounding to the grid, change areas by less than this.
        assert solid.volume == pytest.approx(BASE.area * 2 + face.area * 2.2, abs=0.02)
    else:
        upright = BASE.area * 2 + face.area * 2.2
        widest = face.buffer(2 * math.tan(math.radians(shoulder))).intersection(BASE).area - face.area
        assert upright - 0.02 < solid.volume < upright + 2 * widest + 0.02
