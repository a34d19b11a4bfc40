from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh
from shapely.geometry import MultiPolygon, Point, box
from stampwright.curved import Bend, bend_die, bend_plate, unroll
from stampwright.errors import SolidError
from stampwright.job.sections.bending import BendSection
from stampwright.parts.rolling import as_printed
from stampwright.solids import check_soundness
from stampwright.solids.pockets import sink_pockets

from .conftest import FACE, FLOOR, TOP, band, dots, flat_die, pappus, roller

BASE = Point(0, 0).buffer(32)


def round_axis(solid, bend):
    """Return angle and distance of a lying die's vertices about its axis, reckoned here anew."""
    x, y, z = solid.vertices.T
    side, up = (y if bend.upward else x), z - bend.lift
    return np.arctan2(side, up), np.hypot(side, up)


@pytest.mark.parametrize("radius", [24.0, 60.0, 400.0])
@pytest.mark.parametrize("upward", [False, True])
def test_a_bent_die_is_sound_and_keeps_the_length_of_its_face(radius, upward):
    flat = flat_die(dots(), BASE, chamfer=0.4)
    solid, bend = bend_die(flat, Bend(radius=radius, height=FACE, dressing=TOP - FACE, upward=upward))
    mesh = trimesh.Trimesh(solid.vertices.astype(np.float32), solid.triangles, process=True)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert solid.vertices[:, 2].min() == 0.0
    angles, distances = round_axis(solid, bend)
    # Every height over the flat die's underside is a radius now, and the arc at the finished face the way on paper.
    heights = distances - (radius - FACE)
    assert heights.min() == pytest.approx(0.0, abs=1e-4)
    assert heights.max() == pytest.approx(TOP, abs=1e-4)
    along = flat.vertices[:, 1 if upward else 0]
    assert angles.max() * radius == pytest.approx(along.max(), rel=1e-4)
    assert angles.min() * radius == pytest.approx(along.min(), rel=1e-4)


@pytest.mark.parametrize("radius", [24.0, 60.0, 400.0])
def test_no_chord_strays_further_from_the_cylinder_than_promised(radius):
    solid, bend = bend_die(flat_die(dots(), BASE), Bend(radius=radius, height=FACE, dressing=TOP - FACE))
    corners = solid.vertices[solid.triangles]
    weights = np.array([[1, 1, 1], [1, 1, 0], [0, 1, 1], [1, 0, 1]]) / np.array([[3], [2], [2], [2]])
    _, at_corners = round_axis(solid, bend)
    level = np.ptp(at_corners[solid.triangles], axis=1) < 1e-4
    assert level.any()
    for share in weights:
        middle = np.einsum("k,mkj->mj", share, corners[level])
        distances = np.hypot(middle[:, 0], middle[:, 2] - bend.lift)
        assert np.abs(distances - at_corners[solid.triangles[level, 0]]).max() < 0.005


@pytest.mark.parametrize("radius", [24.0, 60.0, 400.0])
def test_volume_is_that_of_pappus(radius):
    flat = flat_die(dots(), BASE, chamfer=0.4)
    bend = Bend(radius=radius, height=FACE, dressing=TOP - FACE)
    solid, _ = bend_die(flat, bend)
    # All that chords leave out, over upper and lower side, is two thirds of 0.005 mm times their area at most.
    assert solid.volume == pytest.approx(pappus(flat, bend), abs=2 / 3 * 0.005 * flat.area)


def test_a_roller_s_shell_has_the_volume_of_its_closed_form():
    bend = roller(80, 1)
    width = 40.0
    line = box(-20, -10, 20, 10)
    solid, _ = bend_die(flat_die(MultiPolygon([line]), band(bend, width), shoulder=0.0), bend)
    radius = bend.radius
    shell = math.pi * ((radius - 2) ** 2 - (radius - 4) ** 2) * width
    raised = 40 / radius / 2 * ((radius + 0.2) ** 2 - (radius - 2) ** 2) * 20
    assert solid.volume == pytest.approx(shell + raised, rel=2.5e-3)


@pytest.mark.parametrize("turns", [1, 2, 3, 7])
@pytest.mark.parametrize("upward", [False, True])
def test_a_roller_closes_and_unrolls_to_what_it_was_every_time_round(turns, upward):
    bend = roller(72, turns, upward=upward)
    flat = flat_die(dots(reach=12), band(bend, 60))
    solid, bend = bend_die(flat, bend)
    assert check_soundness(solid.vertices, solid.triangles).sound
    # One shell round a hole: a torus, whose Euler characteristic is 0.
    mesh = trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
    assert mesh.euler_number == 0
    for stands, pose in (("lying", "lying"), ("standing", "standing")):
        printed = as_printed(solid, bend, BendSection(form="roller", stands=stands))
        assert printed.vertices[:, 2].min() == pytest.approx(0.0, abs=1e-5)
        repeats = unroll(printed, bend, pose)
        assert len(repeats) == turns
        for once in repeats:
            assert check_soundness(once.vertices, once.triangles).sound
            assert once.volume == pytest.approx(flat.volume, rel=1e-5)
            assert np.allclose(once.bounds, flat.bounds, atol=2e-4)


def test_a_die_that_does_not_end_plainly_closes_to_no_roller():
    bend = roller(72, 1)
    short = box(-36, -20, 35, 20)
    with pytest.raises(SolidError, match="ends of its repeat do not meet"):
        bend_die(flat_die(dots(reach=12), short), bend)


def test_a_base_too_long_for_its_radius_is_refused_with_one_that_does():
    flat = flat_die(dots(), BASE)
    with pytest.raises(SolidError, match=r"set bend\.radius to 23 mm or more"):
        bend_die(flat, Bend(radius=20.0, height=FACE))
    bend_die(flat, Bend(radius=23.0, height=FACE))


@pytest.mark.parametrize("upward", [False, True])
def test_a_rocker_s_plate_seats_the_die_and_stands_on_a_plane(upward):
    plate, seat = Point(0, 0).buffer(30), Point(0, 0).buffer(28)
    flat = sink_pockets(plate, 4.0, [(seat, 3.0)], name="backing")
    solid, bend = bend_plate(flat, Bend(radius=60, height=FACE, upward=upward), lies_on=3.0)
    assert check_soundness(solid.vertices, solid.triangles).sound
    below = solid.vertices[solid.vertices[:, 2] < 1e-6]
    assert len(below) > 100
    side, up = solid.vertices[:, 1 if upward else 0], solid.vertices[:, 2] + bend.plane
    distances = np.hypot(side, up)[solid.vertices[:, 2] > 1e-6]
    # The seat's floor has the radius of the die's underside, the rim a millimetre more.
    assert np.isclose(distances, 60 - FACE, atol=1e-4).sum() > 100
    assert distances.max() == pytest.approx(60 - FACE + 1.0, abs=1e-4)
    # The sides go straight down.
    assert np.abs(side).max() == pytest.approx(np.abs(below[:, 1 if upward else 0]).max(), abs=1e-4)


def test_a_one_piece_rocker_stands_on_a_plane_and_still_unrolls_to_its_face():
    flat = flat_die(dots(), BASE)
    solid, bend = bend_die(flat, Bend(radius=60, height=FACE, dressing=TOP - FACE), flat_underside=True)
    assert check_soundness(solid.vertices, solid.triangles).sound
    assert (solid.vertices[:, 2] < 1e-6).sum() > 50
    (once,) = unroll(solid, bend, "lying")
    assert once.bounds[1] == pytest.approx(flat.bounds[1], abs=2e-4)
    assert FLOOR < FACE
