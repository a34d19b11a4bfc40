"""A dense face is sound, keeps its outlines, and takes the volume that closed formulas give; nothing else moves."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import SolidError
from stampwright.face import FACE as FACE_SET
from stampwright.face import HAIR, SET_NAMES, UPRIGHT, DenseDie, FaceMap
from stampwright.face.dense import settled_heights
from stampwright.plane.frames import die_to_paper, paper_to_die
from stampwright.solids import check_soundness, raise_relief, section, volume_by_sections

from .conftest import BASE, DEPTH, FACE, HEIGHTS, drawn, raised

SQUARE = MultiPolygon([box(-10, -10, 10, 10)])


def taken(formula, *, spacing: float = 0.1) -> float:
    """Volume, mm³, that a formula's texture takes from a plate of 20 by 20 mm."""
    dense = raised(SQUARE, spacing=spacing)
    return dense.solid.volume - dense.bearing(drawn(formula, dense), None).solid.volume


# Cone: pi r² d / 3. Paraboloid of revolution: pi r² d / 2, half of its cylinder (Archimedes). Ripple of whole waves:
# half of its box. A face of flat triangles is off by the square of their size over that of the feature.
def test_cone_takes_a_third_of_its_cylinder() -> None:
    volume = taken(lambda x, y: -0.5 * np.maximum(1 - np.hypot(x - 3, y + 1) / 5, 0))
    assert volume == pytest.approx(math.pi * 25 * 0.5 / 3, rel=1e-3)


def test_paraboloid_takes_half_of_its_cylinder() -> None:
    volume = taken(lambda x, y: -0.5 * np.maximum(1 - ((x + 2) ** 2 + (y - 3) ** 2) / 36, 0))
    assert volume == pytest.approx(math.pi * 36 * 0.5 / 2, rel=1e-3)


def test_ripple_of_whole_waves_takes_half_of_its_box() -> None:
    volume = taken(lambda x, y: -0.3 * (1 - np.cos(2 * np.pi * y / 4)))
    assert volume == pytest.approx(20 * 20 * 0.3, rel=1e-3)


def test_error_falls_with_the_square_of_the_spacing() -> None:
    def off(spacing: float) -> float:
        return abs(taken(lambda x, y: -0.3 * (1 - np.cos(2 * np.pi * x / 5)), spacing=spacing) - 120.0)

    assert off(0.2) < off(0.4) / 3


def test_untouched_face_has_the_volume_of_a_plain_relief(dense: DenseDie) -> None:
    upright = replace(HEIGHTS, face=HEIGHTS.top - DEPTH - HAIR)
    plain = raise_relief(paper_to_die(FACE), BASE, upright, shoulder=15, name="plain")
    assert dense.solid.volume == pytest.approx(plain.volume, rel=1e-5)
    assert volume_by_sections(dense.solid) == pytest.approx(dense.solid.volume, rel=1e-9)


def test_face_is_even(dense: DenseDie) -> None:
    triangles = dense.solid.triangles[dense.sets == FACE_SET]
    corners = dense.solid.vertices[triangles]
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max()
    assert longest < 2.5 * dense.spacing
    assert len(triangles) == pytest.approx(2 * FACE.area / dense.spacing**2, rel=0.2)
    assert dense.squares > 0.8 * len(triangles)


def test_texture_moves_nothing_but_the_face_and_that_up_and_down(dense: DenseDie) -> None:
    borne = dense.bearing(drawn(lambda x, y: -0.3 + 0.3 * np.sin(3 * x) * np.cos(2 * y), dense), None)
    before, after = dense.solid.vertices, borne.solid.vertices
    assert np.abs(after - before)[~dense.movable].max() == 0
    assert np.abs(after - before)[:, :2].max() == 0
    assert (before - after)[dense.movable, 2].max() > 0.5


def test_outline_stays_the_artwork_under_any_texture(dense: DenseDie) -> None:
    rough = np.random.default_rng(5).uniform(-1, 0.3, (200, 200)).astype(np.float32)
    borne = dense.bearing(None, FaceMap(rough, (-15.0, -15.0), 0.15))
    found = section(borne.solid, dense.top - DEPTH - HAIR / 2)
    # Points added along straight edges lie on the grid of 32-bit floats, an eight thousandth of a millimetre off.
    assert found.symmetric_difference(paper_to_die(FACE)).area < FACE.length * 2.0**-13


def test_roughest_texture_leaves_the_die_sound_and_within_its_envelope(dense: DenseDie) -> None:
    rough = np.random.default_rng(6).uniform(-9, 9, (300, 300)).astype(np.float32)
    borne = dense.bearing(None, FaceMap(rough, (-15.0, -15.0), 0.1))
    assert check_soundness(borne.solid.vertices, borne.solid.triangles).sound
    low, high = borne.solid.bounds
    assert low[2] == 0
    assert high[2] == np.float32(HEIGHTS.top)
    assert borne.solid.vertices[dense.movable, 2].min() >= np.float32(HEIGHTS.top) - np.float32(DEPTH) - 1e-6


def test_map_lies_on_the_face_as_it_reads_on_paper(dense: DenseDie) -> None:
    right_half = drawn(lambda x, y: np.where(x > 0, -0.4, 0.0), dense)
    borne = dense.bearing(right_half, None)
    lowered = dense.top - borne.solid.vertices[dense.movable, 2] > 0.3
    assert (die_to_paper(borne.solid.vertices[dense.movable])[lowered, 0] > -dense.spacing).all()
    assert lowered.any()


def test_grain_and_sculpt_add_up_and_stay_in_bounds(dense: DenseDie) -> None:
    grain, sculpt = (drawn(lambda x, y, d=d: np.full_like(x, d), dense) for d in (-0.2, -0.3))
    places = dense.places
    assert settled_heights(places, DEPTH, grain, sculpt) == pytest.approx(-0.5, abs=1e-6)
    assert settled_heights(places, 0.4, grain, sculpt) == pytest.approx(-0.4, abs=1e-6)
    deep = dense.bearing(grain, sculpt)
    assert deep.solid.vertices[dense.movable, 2] == pytest.approx(dense.top - 0.5, abs=1e-6)


def test_sets_tell_the_parts_apart(dense: DenseDie) -> None:
    z = dense.solid.vertices[:, 2][dense.solid.triangles]
    areas = {name: np.count_nonzero(dense.sets == number) for number, name in enumerate(SET_NAMES)}
    assert all(areas.values())
    assert (z[dense.sets == FACE_SET] == np.float32(dense.top)).all()
    assert z[dense.sets == UPRIGHT].min() == pytest.approx(dense.top - DEPTH - HAIR, abs=1e-6)


def test_upright_relief_bears_texture_too() -> None:
    dense = raised(shoulder=0.0)
    borne = dense.bearing(drawn(lambda x, y: -0.3 + 0.3 * np.sin(3 * x), dense), None)
    assert check_soundness(borne.solid.vertices, borne.solid.triangles).sound


def test_ink_narrower_than_the_grid_is_covered_all_the_same() -> None:
    hairs = MultiPolygon([box(-5, y, 5, y + 0.12) for y in range(-5, 6)] + [Point(8, 8).buffer(0.1)])
    dense = raised(hairs)
    assert check_soundness(dense.solid.vertices, dense.solid.triangles).sound
    assert section(dense.solid, dense.top - 0.1).area == pytest.approx(hairs.area, rel=1e-3)


def test_more_points_than_can_be_held_are_refused() -> None:
    with pytest.raises(SolidError, match=r"face\.fineness"):
        raised(spacing=0.001)
