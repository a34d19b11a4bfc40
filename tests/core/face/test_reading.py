"""What brushes leave comes back as a height map; what cannot print is found, told with its place, and settled."""

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely.geometry import Point
from stampwright.errors import SolidError
from stampwright.face import DenseDie, FaceMap, read_sculpt
from stampwright.face.sculpts.reading import STILL
from stampwright.plane.frames import die_to_paper, paper_to_die

from .conftest import DEPTH, drawn


def hill(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    return -0.4 * np.exp(-((x + 6) ** 2 + (y + 3) ** 2) / 12)


def sculpted(dense: DenseDie) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the face's vertices as they read on paper, to be moved, and the rest of the die's."""
    return die_to_paper(dense.solid.vertices[dense.movable]), dense.solid.vertices.copy()


def put_back(dense: DenseDie, face: NDArray[np.float64]) -> NDArray[np.float64]:
    vertices = dense.solid.vertices.copy()
    vertices[dense.movable] = paper_to_die(face)
    return vertices


def test_map_comes_back_from_the_face_that_bears_it(dense: DenseDie) -> None:
    face, _ = sculpted(dense)
    face[:, 2] += hill(*face[:, :2].T)
    read = read_sculpt(dense, put_back(dense, face))
    assert not read.findings
    assert read.settled.is_empty
    borne = dense.bearing(None, read.map)
    # Points of the grid come back as they were; the edge, which lies between samples, to a hundredth of a layer.
    assert np.abs(borne.solid.vertices - put_back(dense, face)).max() < 2e-3
    inner = dense.movable & (np.abs(dense.solid.vertices[:, :2] / dense.spacing % 1.0).max(axis=1) == 0)
    assert inner.sum() > 1000
    assert np.abs(borne.solid.vertices - put_back(dense, face))[inner].max() < STILL


def test_protected_vertices_come_back_unmoved(dense: DenseDie) -> None:
    moved = dense.solid.vertices + np.random.default_rng(2).uniform(-0.05, 0.05, dense.solid.vertices.shape)
    borne = dense.bearing(None, read_sculpt(dense, moved).map)
    assert np.abs(borne.solid.vertices - dense.solid.vertices)[~dense.movable].max() < 1e-6


def test_face_dragged_sideways_is_read_as_seen_from_above(dense: DenseDie) -> None:
    face, _ = sculpted(dense)
    edge = np.abs(face[:, :2] / dense.spacing % 1.0).max(axis=1) > 0
    drag = np.random.default_rng(3).uniform(-0.3, 0.3, (len(face), 2)) * dense.spacing
    face[~edge, :2] += drag[~edge]
    face[:, 2] += hill(*face[:, :2].T)
    read = read_sculpt(dense, put_back(dense, face))
    wanted = drawn(hill, dense)
    places = np.array([(-6.0, -3.0), (-8.0, 0.0), (0.0, -5.0), (3.0, 5.0)])
    assert read.map.at(places) == pytest.approx(wanted.at(places), abs=2e-3)
    assert not read.findings


def test_what_is_not_touched_stays_to_the_bit(dense: DenseDie) -> None:
    kept = drawn(lambda x, y: -0.1 - 0.1 * np.sin(7 * x + 3 * y), dense)
    borne = dense.bearing(drawn(lambda x, y: -0.1 + 0 * x, dense), kept)
    assert read_sculpt(borne, borne.solid.vertices).map == kept
    face, _ = sculpted(borne)
    near = np.hypot(face[:, 0] - 2, face[:, 1] + 4) < 1.2
    face[near, 2] -= 0.05
    read = read_sculpt(borne, put_back(borne, face)).map
    far = np.hypot(*(kept.samples - (2, -4)).T) > 1.5
    assert (read.heights.reshape(-1)[far] == kept.heights.reshape(-1)[far]).all()
    assert read.at(np.array([(2.0, -4.0)])) == pytest.approx(kept.at(np.array([(2.0, -4.0)])) - 0.05, abs=1e-5)


def test_sculpt_outside_of_the_face_is_kept_for_when_it_returns(dense: DenseDie) -> None:
    blank = drawn(lambda x, y: np.where(np.hypot(x, y) > 0, -0.25, -0.25), dense)
    wide = FaceMap(np.pad(blank.heights, 40, mode="edge"), (blank.corner[0] - 40 * blank.spacing,) * 2, blank.spacing)
    borne = dense.bearing(None, wide)
    face, _ = sculpted(borne)
    face[:, 2] -= 0.1
    read = read_sculpt(borne, put_back(borne, face)).map
    assert read.heights.shape == wide.heights.shape
    assert (read.heights[:40] == wide.heights[:40]).all()


def test_sculpt_is_what_was_added_to_the_grain(dense: DenseDie) -> None:
    grain = drawn(lambda x, y: -0.15 + 0.15 * np.cos(2 * x), dense)
    borne = dense.bearing(grain, None)
    face, _ = sculpted(borne)
    face[:, 2] += hill(*face[:, :2].T) / 2
    read = read_sculpt(borne, put_back(borne, face)).map
    places = np.array([(-6.0, -3.0), (-8.0, 0.0), (2.0, -5.0)])
    assert read.at(places) == pytest.approx(drawn(hill, dense).at(places) / 2, abs=1e-5)


def test_finer_sculpt_keeps_its_samples(dense: DenseDie) -> None:
    fine = FaceMap(np.full((300, 300), -0.2, dtype=np.float32), (-15.0, -15.0), 0.1)
    borne = dense.bearing(None, fine)
    face, _ = sculpted(borne)
    face[np.hypot(face[:, 0] + 6, face[:, 1] + 4) < 1, 2] -= 0.1
    read = read_sculpt(borne, put_back(borne, face)).map
    assert read.spacing == 0.1
    assert read.at(np.array([(-6.0, -4.0), (4.0, 4.0)])) == pytest.approx([-0.3, -0.2], abs=1e-5)


def faults(dense: DenseDie) -> Iterator[tuple[str, NDArray[np.float64], float]]:
    """Yield each sort of fault: its kind, the face with it, and about how much area it takes, mm²."""
    face, _ = sculpted(dense)
    near = np.hypot(face[:, 0] + 6, face[:, 1] + 4)
    lift = np.maximum(0.0, 1 - near / 2)
    raised = face.copy()
    raised[:, 2] += 0.3 * lift
    yield "sculpt above the face", raised, np.pi * 1.93**2
    deep = face.copy()
    deep[:, 2] -= 1.2 * lift
    yield "sculpt too deep", deep, np.pi * (2 * (1 - 0.61 / 1.2)) ** 2
    sunk = face.copy()
    sunk[:, 2] -= 4.4 * lift
    yield "sculpt below the floor", sunk, np.pi * (2 * (1 - 2.2 / 4.4)) ** 2
    # A ledge dragged a millimetre over the hollow beside it.
    ledge = face.copy()
    hollow = (near < 2) & (face[:, 0] > -6)
    ledge[hollow, 2] -= 0.5
    ledge[(near < 2) & (face[:, 0] <= -6) & (face[:, 0] > -7), 0] += 1.0
    yield "sculpt undercut", ledge, 4.0
    folded = face.copy()
    folded[(near < 2) & (face[:, 0] <= -6) & (face[:, 0] > -7), 0] += 1.0
    yield "sculpt folded", folded, 4.0
    dragged = face.copy()
    edge = np.abs(face[:, 0] - 6) < 1e-6
    dragged[edge, 0] += 0.5
    yield "edge dragged", dragged, 16 * dense.spacing


KINDS = (
    "sculpt above the face",
    "sculpt too deep",
    "sculpt below the floor",
    "sculpt undercut",
    "sculpt folded",
    "edge dragged",
)


@pytest.mark.parametrize("kind", KINDS)
def test_fault_is_found_told_with_its_place_and_settled(dense: DenseDie, kind: str) -> None:
    face, area = next((face, area) for name, face, area in faults(dense) if name == kind)
    read = read_sculpt(dense, put_back(dense, face))
    finding = next(finding for finding in read.findings if finding.kind == kind)
    assert finding.severity == "warns"
    assert finding.place is not None
    told = float(finding.message.split()[0])
    assert told == pytest.approx(area, rel=0.35)
    assert read.settled.covers(finding.place.buffer(-1e-6))
    if kind != "edge dragged":
        assert finding.place.distance(Point(-6, -4)) < 0.5
    # Settled, it is borne as it is read, and there is nothing more to say.
    borne = dense.bearing(None, read.map)
    z = borne.solid.vertices[dense.movable, 2] - float(np.float32(dense.top))
    assert z.min() >= -DEPTH - 1e-6
    assert z.max() <= 1e-6
    assert not read_sculpt(dense, borne.solid.vertices).findings


def test_edge_is_the_artworks_again(dense: DenseDie) -> None:
    face = next(face for name, face, _ in faults(dense) if name == "edge dragged")
    borne = dense.bearing(None, read_sculpt(dense, put_back(dense, face)).map)
    assert (borne.solid.vertices[:, :2] == dense.solid.vertices[:, :2]).all()


def test_vertices_sent_far_away_or_nowhere_do_no_harm(dense: DenseDie) -> None:
    face, _ = sculpted(dense)
    near = np.flatnonzero(np.hypot(face[:, 0] + 6, face[:, 1] + 4) < 2)
    face[near[::3]] = np.nan
    face[near[1::3], :2] += 1e7
    read = read_sculpt(dense, put_back(dense, face))
    assert np.isfinite(read.map.heights).all()
    assert read.map.heights.min() >= -DEPTH


def test_remeshed_die_is_refused(dense: DenseDie) -> None:
    with pytest.raises(SolidError, match="remeshed"):
        read_sculpt(dense, dense.solid.vertices[:-1])
