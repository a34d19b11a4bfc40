"""Dies of real icons, a checkerboard and a QR symbol are watertight, well turned and of their volume for trimesh."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import segno
import shapely
import trimesh
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork import read_artwork
from stampwright.face import FaceMap
from stampwright.job import Job
from stampwright.solids import Solid, volume_by_sections

from ..core.stages import dense_die, die_of

BASE = Point(0, 0).buffer(25, quad_segs=64)


def centred(region: MultiPolygon, size: float = 30.0) -> MultiPolygon:
    left, bottom, right, top = region.bounds
    scale = size / max(right - left, top - bottom)
    moved = affinity.translate(region, -(left + right) / 2, -(bottom + top) / 2)
    return affinity.scale(moved, scale, scale, origin=(0, 0))


def judge(solid: Solid, *, by_sections: bool = True) -> None:
    """Judge the loose triangles of a file: 32-bit corners, merged by where they are.

    ``by_sections``: reckon the volume by sections too, which takes one between any two heights of vertices.
    """
    corners = solid.vertices[solid.triangles].astype(np.float32).reshape(-1, 3)
    mesh = trimesh.Trimesh(corners, np.arange(len(corners)).reshape(-1, 3), process=True)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert len(mesh.faces) == len(solid.triangles)
    assert mesh.area_faces.min() > 0
    assert mesh.volume == pytest.approx(solid.volume, rel=1e-6)
    assert not by_sections or volume_by_sections(solid) == pytest.approx(solid.volume, rel=1e-6)


@pytest.mark.parametrize("shoulder", [0.0, 15.0, 40.0])
def test_dies_of_icons_are_sound(icon_files: Callable[[str], list[Path]], sweep: Callable, shoulder: float) -> None:
    job = Job().with_value("die.shoulder", shoulder)
    for path in sweep(icon_files("bootstrap-icons")[::35], quick=20):
        try:
            judge(die_of(job, centred(read_artwork(path, fitted_to=30).inked), BASE))
        except AssertionError as error:
            raise AssertionError(path.name) from error


@pytest.mark.parametrize("shoulder", [0.0, 15.0])
def test_die_of_a_checkerboard_is_sound(shoulder: float) -> None:
    squares = MultiPolygon([box(i, j, i + 1, j + 1) for i in range(12) for j in range(12) if (i + j) % 2])
    judge(die_of(Job().with_value("die.shoulder", shoulder), centred(squares), BASE))


@pytest.mark.parametrize("shoulder", [0.0, 15.0])
def test_die_of_a_qr_symbol_is_sound(shoulder: float) -> None:
    modules = [
        box(column, -row, column + 1, 1 - row)
        for row, line in enumerate(segno.make("MOSSGATE SEED LIBRARY 0042", error="m").matrix)
        for column, dark in enumerate(line)
        if dark
    ]
    symbol = shapely.union_all(modules)
    judge(die_of(Job().with_value("die.shoulder", shoulder), centred(symbol), BASE))


@pytest.mark.parametrize("path", ["geo-alt", "qr-code", "flower1", "fingerprint"])
def test_textured_dies_of_icons(icon_files: Callable[[str], list[Path]], path: str) -> None:
    icon = next(file for file in icon_files("bootstrap-icons") if file.stem == path)
    face = centred(read_artwork(icon).inked)
    rough = np.random.default_rng(8).uniform(-0.8, 0.1, (400, 400)).astype(np.float32)
    dense = dense_die(Job(), face, BASE, sculpt=FaceMap(rough, (-20.0, -20.0), 0.1))
    judge(dense.solid, by_sections=False)
