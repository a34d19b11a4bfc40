"""Soundness finds each fault that keeps a mesh from being the surface of a solid."""

import numpy as np
import pytest
from shapely.geometry import Point, box
from stampwright.solids import check_soundness, extrude

CORNERS = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
FACES = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])


def test_right_tetrahedron_is_sound_and_has_a_sixth_of_a_cube() -> None:
    verdict = check_soundness(CORNERS, FACES)
    assert verdict.sound
    assert verdict.volume == pytest.approx(1 / 6, rel=1e-12)
    assert verdict.explain() == "sound"


def test_euler_holds_for_a_ring() -> None:
    # V - E + F = 2 - 2 g with g = 1 and F = 2 E / 3.
    ring = extrude(Point(0, 0).buffer(5).difference(Point(0, 0).buffer(3)), 0, 2, name="ring")
    verdict = check_soundness(ring.vertices, ring.triangles)
    assert verdict.vertices - verdict.triangles * 3 / 2 + verdict.triangles == 0


def test_missing_face_leaves_open_edges() -> None:
    verdict = check_soundness(CORNERS, FACES[:3])
    assert (verdict.open_edges, verdict.closed, verdict.sound) == (3, False, False)


def test_face_turned_over_is_found() -> None:
    verdict = check_soundness(CORNERS, np.vstack((FACES[:3], FACES[3, ::-1])))
    assert (verdict.closed, verdict.flipped_edges, verdict.sound) == (True, 3, False)


def test_inside_out_is_not_sound() -> None:
    verdict = check_soundness(CORNERS, FACES[:, ::-1])
    assert not verdict.sound
    assert verdict.explain() == "faces that look inward"


def test_bodies_sharing_an_edge_are_not_sound() -> None:
    one, two = extrude(box(0, 0, 1, 1), 0, 1, name="one"), extrude(box(1, 1, 2, 2), 0, 1, name="two")
    verdict = check_soundness(
        np.vstack((one.vertices, two.vertices)), np.vstack((one.triangles, two.triangles + len(one.vertices)))
    )
    assert verdict.non_manifold_edges == 1
    assert not verdict.sound


def test_what_a_file_rounds_together_counts_as_one() -> None:
    # Loose triangles, as in STL, and vertices that differ by less than 32-bit floats can tell.
    loose = CORNERS[FACES].reshape(-1, 3) + 100.0
    loose[0] += 1e-7
    verdict = check_soundness(loose, np.arange(12).reshape(4, 3))
    assert (verdict.vertices, verdict.sound) == (4, True)


def test_triangle_without_area_is_found() -> None:
    corners = np.vstack((CORNERS, [[0.5, 0, 0]]))
    faces = np.vstack((FACES[1:], [[0, 2, 1], [0, 1, 4], [0, 4, 1]]))
    assert check_soundness(corners, faces).degenerate == 2


def test_empty_mesh_is_not_sound() -> None:
    assert not check_soundness(np.empty((0, 3)), np.empty((0, 3), dtype=int)).sound
