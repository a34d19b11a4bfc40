"""Seams through ink that goes on and on: closed, watertight, and not to be seen in the print."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
import trimesh
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, box
from stampwright.artwork import read_artwork
from stampwright.curved import bend_die, lay_seam, unroll
from stampwright.examination import lay_out_job
from stampwright.job import Job
from stampwright.layout import NEAR_EDGE
from stampwright.memory import Memory
from stampwright.plane.frames import die_to_paper, on_grid
from stampwright.plane.regions import filled_parts
from stampwright.press import compare, find_face
from stampwright.raising import raise_die
from stampwright.solids import check_soundness

from .conftest import FACE, FLOOR, TOP, band, flat_die, roller

LENGTH, WIDTH = 60.0, 30.0


def stripes(repeat: float) -> MultiPolygon:
    """Return bands that run on for ever."""
    half = repeat / 2
    return MultiPolygon([box(-half, y, half, y + 2) for y in (-9, -3, 4)])


def waves(repeat: float) -> MultiPolygon:
    """Return two waves of different length, and dots, one of them over the end of the repeat."""
    x = np.arange(-90, 91) * repeat / 120
    lines = [
        LineString(np.column_stack((x, level + 2.5 * np.sin(2 * np.pi * count * x / repeat)))).buffer(0.8)
        for level, count in ((-6, 3), (4, 5))
    ]
    dots = [Point(at * repeat / 2, 11).buffer(1.6) for at in (-1, -0.4, 0.4, 1)]
    drawn = shapely.union_all([*lines, *dots]).intersection(box(-repeat / 2, -15, repeat / 2, 15))
    return on_grid(MultiPolygon(shapely.get_parts(drawn)))


def slanted(repeat: float) -> MultiPolygon:
    """Return bars that lean, so that nothing goes straight across between them."""
    step = repeat / 6
    bars = [affinity.skew(box(k * step - 1, -12, k * step + 1, 12), 40, origin=(k * step, 0)) for k in range(-4, 5)]
    drawn = shapely.union_all(bars).intersection(box(-repeat / 2, -15, repeat / 2, 15))
    return on_grid(MultiPolygon(shapely.get_parts(drawn)))


@pytest.mark.sweep(5)
@pytest.mark.parametrize("turns", [1, 2])
@pytest.mark.parametrize("at_end", [False, True])
@pytest.mark.parametrize("upward", [False, True])
@pytest.mark.parametrize("pattern", [stripes, waves, slanted])
def test_a_pattern_that_goes_on_closes_and_prints_without_a_seam(pattern, upward, at_end, turns):
    bend = roller(LENGTH, turns, upward=upward)
    drawn = pattern(bend.repeat)
    drawn = affinity.affine_transform(drawn, (0, -1, 1, 0, 0, 0)) if upward else drawn
    reach = (FACE - FLOOR) * math.tan(math.radians(15))
    face, floor, laid = lay_seam(drawn, band(bend, WIDTH), bend, reach=reach, at_end=at_end)
    assert laid.overlap > 0
    solid, bent = bend_die(flat_die(face, floor), laid)
    mesh = trimesh.Trimesh(solid.vertices.astype(np.float32), solid.triangles, process=True)
    assert mesh.is_watertight
    assert mesh.euler_number == 0
    for once in unroll(solid, bent, "lying"):
        assert check_soundness(once.vertices, once.triangles).sound
        printed = find_face(once, depth=TOP - FACE).outlines
        assert compare(printed, die_to_paper(drawn)).worst > 0.9995
        # Rolled on, both sides of the end meet: nothing of paper shows between them.
        step = (0, bend.repeat) if upward else (bend.repeat, 0)
        twice = shapely.union_all([printed, affinity.translate(printed, *step)], grid_size=1e-4)
        assert len(filled_parts(twice).geoms) <= 2 * len(printed.geoms) - 1


def test_a_pattern_that_goes_on_is_not_said_to_lack_room_at_its_ends(tmp_path):
    job = Job().with_values(
        {
            "bend.form": "roller",
            "bend.repeat": 60.0,
            "bend.band": 24.0,
            "layout.size_by": "page",
            "layout.centre": "page",
        }
    )
    for low, near in ((6.0, False), (0.2, True)):
        page = 'width="60mm" height="24mm" viewBox="0 0 60 24"'
        drawing = f'<svg xmlns="http://www.w3.org/2000/svg" {page}><path d="M0 {low}H60V18H0Z"/></svg>'
        path = tmp_path / "pattern.svg"
        path.write_text(drawing, encoding="utf-8")
        laid = lay_out_job(job, read_artwork(path), Memory(), picture=None)
        assert any(finding.kind == NEAR_EDGE for finding in laid.layout.findings) is near
        die = raise_die(job, laid, Memory(), sculpt=None)
        assert die.bend is not None
        assert die.bend.overlap > 0
        assert compare(find_face(die.flat, depth=TOP - FACE).outlines, die.outlines).worst > 0.999
