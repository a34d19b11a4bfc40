"""The printed face: beads, bow, and what dressing leaves."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, box
from stampwright.plane.rasters.distance import distance_inside
from stampwright.press.faces.surface import bead_drop, bead_spacing, bow_out, dress, lay_beads, roughness


def test_beads_lie_as_far_apart_as_a_slicer_lays_them():
    # w - h (1 - pi/4) for 0.4 by 0.2 mm: 0.357080 mm; an open slicer's documentation has 0.714 mm for two lines.
    assert bead_spacing(0.4, 0.2) == pytest.approx(0.357080, abs=1e-6)
    assert 2 * bead_spacing(0.4, 0.2) == pytest.approx(0.714, abs=5e-4)


def test_valley_between_beads_is_a_fifth_of_the_layer():
    # Two half-round sides that meet half-way: h/2 (1 - sqrt(1 - (pi/4)²)) = 0.1905 h.
    valley = bead_drop(np.array([bead_spacing(0.4, 0.2) / 2]), 0.4, 0.2)[0]
    assert valley == pytest.approx(0.2 / 2 * (1 - math.sqrt(1 - (math.pi / 4) ** 2)), rel=1e-9)
    assert valley == pytest.approx(0.1905 * 0.2, rel=1e-3)


def test_beads_alone_are_a_little_smoother_than_printed_elastomer_is_measured(stand_face):
    # Ra 9 to 22 µm for printed thermoplastic polyurethane (material table of an additive manufacturing guide).
    face = stand_face(MultiPolygon([box(-8, -8, 8, 8)]), dpi=1200)
    assert 0.005 <= roughness(lay_beads(face, 0.4, 0.2, 3, 45.0)) <= 0.015


def test_beads_run_along_edges_and_straight_within(stand_face):
    face = lay_beads(stand_face(MultiPolygon([box(-10, -10, 10, 10)]), dpi=1200), 0.4, 0.2, 2, 0.0)
    row = int((0.0 - face.corner[1]) / face.pitch)
    crowns = 10.0 - 0.2 - np.array([0, 1]) * bead_spacing(0.4, 0.2)
    for crown in crowns:
        assert face.height[row, int((crown - face.corner[0]) / face.pitch)] == pytest.approx(0.0, abs=1e-3)
    # Straight beads run along x: along their crown nothing falls, across them all of the valley is met.
    column = int((0.0 - face.corner[0]) / face.pitch)
    inner = slice(row - 60, row + 60)
    assert np.ptp(face.height[inner, column]) > 0.03
    assert np.ptp(face.height[row, column - 60 : column + 60]) < 1e-6


def test_only_the_face_is_textured(stand_face):
    plain = stand_face(MultiPolygon([Point(0, 0).buffer(5)]))
    beads = lay_beads(plain, 0.4, 0.2, 3, 30.0)
    np.testing.assert_array_equal(beads.height[~plain.face], plain.height[~plain.face])
    assert beads.height[plain.face].max() <= 0.0


@pytest.mark.parametrize("bow", [0.2, -0.2])
def test_bow_is_the_difference_of_middle_and_edge(stand_face, bow):
    face = bow_out(stand_face(MultiPolygon([Point(0, 0).buffer(10, quad_segs=64)])), bow)
    middle = face.height[face.height.shape[0] // 2, face.height.shape[1] // 2]
    heights = face.height[face.face]
    assert heights.max() == pytest.approx(0.0, abs=1e-3)
    assert middle - (heights.min() if bow > 0 else heights.max()) == pytest.approx(bow, abs=2e-3)


def test_low_places_of_an_uneven_face_bend_with_it(stand_face):
    face = stand_face(MultiPolygon([Point(0, 0).buffer(10, quad_segs=64)]))
    groove = face.face & (np.abs(face.x) < 1.0)[None, :]
    grooved = replace(face, height=np.where(groove, np.float32(-0.12), face.height), face=face.face & ~groove)
    bowed = bow_out(grooved, 0.2)
    # All along it the groove stays as deep as it was beside its banks.
    beside = np.flatnonzero(np.abs(face.x) > 1.0)
    right = beside[face.x[beside] > 0][0]
    rows = np.flatnonzero(grooved.face[:, right])
    middle = int(np.argmin(np.abs(face.x)))
    np.testing.assert_allclose(bowed.height[rows, right] - bowed.height[rows, middle], 0.12, atol=0.01)


@settings(max_examples=25)
@given(depth=st.floats(0.0, 0.5), bow=st.floats(-0.3, 0.3))
def test_dressing_leaves_a_plane_at_its_depth_and_nothing_above(stand_face, depth, bow):
    printed = lay_beads(bow_out(stand_face(MultiPolygon([box(-5, -5, 5, 5)])), bow), 0.4, 0.2, 3, 45.0)
    flat = dress(printed, depth)
    level = printed.height.max() - depth
    assert flat.height.max() == pytest.approx(level, abs=1e-6)
    np.testing.assert_allclose(flat.height, np.minimum(printed.height, level), atol=1e-6)


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1), st.floats(1.0, 12.0))
def test_distances_are_those_to_the_nearest_outside_pixel(seed, limit):
    rng = np.random.default_rng(seed)
    region = rng.random((rng.integers(1, 14), rng.integers(1, 14))) < 0.85
    found = distance_inside(region, limit)
    outside = np.argwhere(~np.pad(region, 1)) - 1
    for place in np.argwhere(region):
        nearest = np.hypot(*(outside - place).T).min()
        assert found[tuple(place)] == pytest.approx(min(nearest, limit), rel=1e-5)
    assert not found[~region].any()
