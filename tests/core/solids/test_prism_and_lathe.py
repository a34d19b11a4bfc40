"""Prisms, turned solids and what the kernel makes of them have the volumes of closed formulas."""

import math

import numpy as np
import pytest
from shapely.geometry import Point, box
from stampwright.errors import SolidError
from stampwright.plane.frames import on_grid
from stampwright.solids import (
    check_soundness,
    cut,
    extrude,
    measure_sections,
    revolve,
    section,
    unite,
    volume_by_sections,
)


def test_prism_has_area_times_height() -> None:
    region = on_grid(box(0, 0, 10, 5).difference(Point(5, 2).buffer(1)))
    prism = extrude(region, 1, 4, name="prism")
    assert prism.volume == pytest.approx(region.area * 3, rel=1e-6)
    assert check_soundness(prism.vertices, prism.triangles).sound


def test_prism_without_height_is_refused() -> None:
    with pytest.raises(SolidError, match="leaves no height"):
        extrude(box(0, 0, 1, 1), 2, 2, name="prism")


def test_cylinder_has_its_volume() -> None:
    cylinder = revolve([(0, 0), (10, 0), (10, 30), (0, 30)], name="cylinder")
    assert cylinder.volume == pytest.approx(math.pi * 100 * 30, rel=1e-6)


def test_frustum_has_its_volume() -> None:
    # pi h/3 (R² + R r + r²) with R = 15, r = 10, h = 25.
    frustum = revolve([(0, 0), (15, 0), (10, 25), (0, 25)], name="frustum")
    assert frustum.volume == pytest.approx(12435.470921, rel=1e-6)


def test_turned_profile_has_pappus_volume() -> None:
    # Pappus: 2 pi times the distance of the profile's centroid, 20, times its area; here a 200-gon of radius 5.
    angles = np.linspace(0, 2 * np.pi, 200, endpoint=False)
    torus = revolve(np.column_stack((20 + 5 * np.cos(angles), 5 * np.sin(angles))), name="torus")
    profile_area = 200 / 2 * 25 * math.sin(2 * math.pi / 200)
    assert torus.volume == pytest.approx(2 * math.pi * 20 * profile_area, rel=1e-6)
    assert torus.volume == pytest.approx(9869.604401, rel=1e-3)
    assert torus.area == pytest.approx(3947.841760, rel=2e-3)


@pytest.mark.parametrize(("length", "volume"), [(30.0, 14137.166941), (50.0, 14137.166941 + math.pi * 225 * 20)])
def test_sphere_and_capsule_have_their_volumes(length: float, volume: float) -> None:
    angles = np.linspace(-np.pi / 2, np.pi / 2, 301)
    stretch = np.where(angles > 0, length - 30, 0)
    radii = np.where(np.abs(angles) == np.pi / 2, 0, 15 * np.cos(angles))
    solid = revolve(np.column_stack((radii, 15 * np.sin(angles) + stretch)), name="capsule")
    assert solid.volume == pytest.approx(volume, rel=1e-4)
    assert check_soundness(solid.vertices, solid.triangles).sound


@pytest.mark.parametrize(
    ("profile", "told"),
    [
        ([(-1, 0), (2, 0), (2, 2)], "crosses the axis"),
        ([(1, 0), (3, 2), (3, 0), (1, 2)], "crosses or touches itself"),
        ([(1, 0), (2, math.nan), (3, 1)], "finite numbers"),
    ],
)
def test_profile_that_does_not_turn_is_refused(profile: list[tuple[float, float]], told: str) -> None:
    with pytest.raises(SolidError, match=told):
        revolve(profile, name="knob")


def test_union_and_cut_add_up() -> None:
    one, two = extrude(box(0, 0, 4, 4), 0, 4, name="one"), extrude(box(2, 2, 6, 6), 2, 6, name="two")
    assert unite([one, two], name="both").volume == pytest.approx(64 + 64 - 8, rel=1e-9)
    assert cut(one, [two]).volume == pytest.approx(64 - 8, rel=1e-9)


def test_cut_that_leaves_nothing_is_refused() -> None:
    with pytest.raises(SolidError, match="nothing is left"):
        cut(extrude(box(0, 0, 1, 1), 0, 1, name="one"), [extrude(box(-1, -1, 2, 2), -1, 2, name="two")])


def test_union_along_an_edge_is_refused() -> None:
    with pytest.raises(SolidError, match="touch along an edge"):
        unite([extrude(box(0, 0, 1, 1), 0, 1, name="one"), extrude(box(1, 1, 2, 2), 0, 1, name="two")], name="both")


def test_sections_of_a_cone_shrink_with_the_square_of_height() -> None:
    cone = revolve([(0, 0), (10, 0), (0, 10)], name="cone")
    areas, lengths = measure_sections(cone, [8.0, 2.0, 11.0])
    assert areas == pytest.approx([math.pi * 4, math.pi * 64, 0], rel=1e-5)
    assert lengths == pytest.approx([math.tau * 2, math.tau * 8, 0], rel=1e-3)
    assert volume_by_sections(cone) == pytest.approx(cone.volume, rel=1e-9)


def test_a_level_through_vertices_counts_as_just_above_them() -> None:
    step = revolve([(0, 0), (5, 0), (5, 4), (3, 4), (3, 8), (0, 8)], name="step")
    areas, _ = measure_sections(step, [0.0, 4.0, 8.0])
    assert areas == pytest.approx([math.pi * 25, math.pi * 9, 0], rel=1e-3)


def test_section_shows_the_hole() -> None:
    tube = extrude(Point(0, 0).buffer(5).difference(Point(0, 0).buffer(3)), 0, 4, name="tube")
    shown = section(tube, 2.0)
    assert [len(part.interiors) for part in shown.geoms] == [1]
    assert shown.area == pytest.approx(tube.volume / 4, rel=1e-6)
    assert section(tube, 9.0).is_empty
