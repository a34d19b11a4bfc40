"""Soundness finds each fault that keeps a mesh from being the surface of a solid."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, box
from stampwright.solids import check_soundness, extrude
from stampwright.solids.soundness import merge_equal

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


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_edges_are_counted_as_one_by_one(seed: int) -> None:
    """Blocks, some triangles of them left out, doubled or turned over: against a count of each edge's triangles."""
    chance = np.random.default_rng(seed)
    block = extrude(box(0, 0, 1, 1), 0, 2, name="block")
    points, triangles = [], []
    for number in range(8):
        points.append(block.vertices + np.array([3.0 * number, 0.0, 0.0]))
        triangles.append(block.triangles + len(block.vertices) * number)
    faces = np.concatenate(triangles)
    picked = chance.integers(len(faces), size=3)
    match int(chance.integers(4)):
        case 1:
            faces = np.delete(faces, picked, axis=0)
        case 2:
            faces = np.concatenate((faces, faces[picked]))
        case 3:
            faces[picked] = faces[picked][:, ::-1]
    faces = chance.permutation(faces)
    found = check_soundness(np.concatenate(points), faces)
    uses = Counter((a, b) for face in faces.tolist() for a, b in zip(face, (*face[1:], face[0]), strict=True))
    pairs = {frozenset(edge): (uses[edge], uses[edge[::-1]]) for edge in uses}
    assert found.open_edges == sum(sum(pair) == 1 for pair in pairs.values())
    assert found.non_manifold_edges == sum(sum(pair) > 2 for pair in pairs.values())
    assert found.flipped_edges == sum(pair in ((2, 0), (0, 2)) for pair in pairs.values())


@given(st.lists(st.tuples(*3 * [st.sampled_from([0.0, -0.0, 1.0, 1.0 + 1e-9, -2.5, 7e-5])]), min_size=1, max_size=40))
def test_equal_vertices_become_one_where_the_first_of_them_was(places: list[tuple[float, float, float]]) -> None:
    vertices = np.array(places)
    merged, corners = merge_equal(vertices, np.arange(3 * len(places)).reshape(-1, 3) % len(places))
    rounded = vertices.astype(np.float32).astype(np.float64)
    # By NumPy's sort of rows.
    _, first = np.unique(rounded + 0.0, axis=0, return_index=True)
    assert merged.tolist() == (rounded + 0.0)[np.sort(first)].tolist()
    assert np.array_equal(merged[corners].reshape(-1, 3), rounded[np.arange(3 * len(places)) % len(places)])
