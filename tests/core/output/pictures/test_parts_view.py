"""The isometric picture: every part is there, in its colour, at one scale."""

import tracemalloc

import numpy as np
import pytest
import trimesh
from stampwright.errors import OutputError
from stampwright.output import view_parts
from stampwright.output.pictures import parts_view
from stampwright.output.pictures.parts_view import PART_COLOURS
from stampwright.solids.solid import Solid


def block(name: str, size: tuple[float, float, float]) -> Solid:
    mesh = trimesh.creation.box(size)
    mesh.apply_translation([0, 0, size[2] / 2])
    return Solid(name, np.array(mesh.vertices), np.array(mesh.faces, dtype=np.int32))


def drawn_columns(picture: np.ndarray) -> np.ndarray:
    return np.flatnonzero((picture < 250).any(axis=(0, 2)))


def test_parts_stand_side_by_side_and_do_not_hide_each_other():
    picture = view_parts([block("backing", (20, 20, 10)), block("handle", (20, 20, 10))], width=400)
    assert picture.shape[1:] == (400, 3)
    columns = drawn_columns(picture)
    gaps = np.flatnonzero(np.diff(columns) > 1)
    assert len(gaps) == 1
    left, right = columns[gaps[0]] - columns[0], columns[-1] - columns[gaps[0] + 1]
    assert left == pytest.approx(right, abs=2)


def test_a_cube_is_seen_isometrically():
    picture = view_parts([block("backing", (20, 20, 20))], width=400)
    rows = np.flatnonzero((picture < 250).any(axis=(1, 2)))
    columns = drawn_columns(picture)
    # The outline of a cube in isometric view is a regular hexagon standing on a corner: sqrt(3)/2 as wide as high.
    assert np.ptp(columns) / np.ptp(rows) == pytest.approx(np.sqrt(3) / 2, rel=0.02)


def test_the_face_of_a_die_is_dark_as_inked():
    above = [view_parts([block(name, (30, 30, 2))], width=200)[60:70, 95:105].mean() for name in ("die", "other")]
    assert above[0] < 0.6 * above[1]
    assert set(PART_COLOURS) == {"die", "backing", "handle"}


@pytest.mark.parametrize("width", [0, 99, 8001])
def test_a_picture_of_absurd_width_is_refused(width):
    with pytest.raises(OutputError, match="100 to 8000"):
        view_parts([block("die", (10, 10, 2))], width=width)


def test_a_picture_is_the_same_however_much_of_it_is_drawn_at_a_time(monkeypatch):
    ball = trimesh.creation.icosphere(subdivisions=4, radius=9)
    ball.apply_translation([0, 0, 9])
    solids = [block("die", (20, 14, 6)), Solid("handle", np.array(ball.vertices), np.array(ball.faces, dtype=np.int32))]
    whole = view_parts(solids, width=300)
    for samples in (1, 5_000, 40_000):
        monkeypatch.setattr(parts_view, "MOST_SAMPLES", samples)
        # A sample on an edge may round the other way.
        assert np.abs(view_parts(solids, width=300).astype(int) - whole).max() <= 1


def test_a_large_picture_takes_little_more_memory_than_it_has_itself():
    solids = [block("die", (40, 40, 6)), block("handle", (30, 30, 60))]
    tracemalloc.start()
    try:
        picture = view_parts(solids, width=4000)
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < picture.nbytes + 400e6
