from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.curved import Bend, bend_die
from stampwright.errors import JobError
from stampwright.files import read_stl, stl_bytes
from stampwright.job import Job
from stampwright.job.sections.bending import BendSection
from stampwright.parts.rolling import as_printed
from stampwright.plane.frames import die_to_paper
from stampwright.plane.grid import GRID
from stampwright.press import compare, find_face, repeats_in, rolled_on, unbend
from stampwright.solids import ReliefHeights, Solid, raise_relief, refine

DRESSING = 0.2
HEIGHTS = ReliefHeights(floor=2.0, face=4.0, top=4.0 + DRESSING)


def mark() -> MultiPolygon:
    """Return ink that reads one way only, in the die frame."""
    letter = shapely.union_all([box(-12, -9, -8, 9), box(-12, 5, 8, 9), box(-12, -2, 2, 2), Point(9, -5).buffer(3)])
    return MultiPolygon(shapely.get_parts(letter))


def written(tmp_path, bend: Bend, base: Polygon, stands: str) -> tuple[Solid, MultiPolygon]:
    """Return a bent die as read back from its file, and the print that it was made for."""
    face = affinity.rotate(mark(), 90, origin=(0, 0)) if bend.upward else mark()
    solid, bend = bend_die(raise_relief(face, base, HEIGHTS, shoulder=15.0, name="die"), bend)
    form = "roller" if bend.closed else "rocker"
    path = tmp_path / "die.stl"
    path.write_bytes(stl_bytes(as_printed(solid, bend, BendSection(form=form, stands=stands))))
    return read_stl(path), die_to_paper(face)


@pytest.mark.parametrize("stands", ["standing", "lying"])
@pytest.mark.parametrize("radius", [25.0, 60.0, 200.0])
def test_a_rocker_is_recognised_in_its_file_and_prints_its_artwork(tmp_path, radius, stands):
    bend = Bend(radius=radius, height=4.0, dressing=DRESSING)
    mesh, wanted = written(tmp_path, bend, Point(0, 0).buffer(20), stands)
    unbent = unbend(mesh, dressing=DRESSING)
    assert unbent.bend is not None
    assert not unbent.bend.closed
    assert unbent.bend.radius == pytest.approx(radius, rel=1e-5)
    assert compare(find_face(unbent.mesh, depth=DRESSING).outlines, wanted).worst > 0.999


@pytest.mark.parametrize("stands", ["standing", "lying"])
@pytest.mark.parametrize("upward", [False, True])
def test_a_roller_is_recognised_and_comes_again_and_again(tmp_path, stands, upward):
    repeat = round(70 / (2 * GRID)) * 2 * GRID
    bend = Bend(
        radius=repeat / (2 * math.pi),
        height=4.0,
        dressing=DRESSING,
        upward=upward,
        repeat=repeat,
        turns=1,
        seam=repeat / 2,
    )
    base = box(-12, -35, 12, 35) if upward else box(-35, -12, 35, 12)
    mesh, wanted = written(tmp_path, bend, base, stands)
    # A file that stands says nothing of which way is up the print; one that lies does.
    unbent = unbend(mesh, dressing=DRESSING, upward=upward if stands == "standing" else None)
    assert unbent.bend is not None
    assert unbent.bend.closed
    assert unbent.bend.repeat == pytest.approx(repeat, abs=0.01)
    face = rolled_on(find_face(unbent.mesh, depth=DRESSING), unbent.bend, 3)
    step = (0, repeat) if upward else (repeat, 0)
    thrice = shapely.union_all([affinity.translate(wanted, turn * step[0], turn * step[1]) for turn in range(3)])
    assert compare(face.outlines, MultiPolygon(shapely.get_parts(thrice))).worst > 0.999


@pytest.mark.parametrize(("turns", "upward"), [(1, False), (3, True), (4, False)])
def test_the_repeats_of_a_roller_are_found_in_its_file_alone(tmp_path, turns, upward):
    repeat = round(40 / (2 * GRID)) * 2 * GRID
    radius = turns * repeat / (2 * math.pi)
    bend = Bend(
        radius=radius, height=4.0, dressing=DRESSING, upward=upward, repeat=repeat, turns=turns, seam=repeat / 2
    )
    base = box(-12, -20, 12, 20) if upward else box(-20, -12, 20, 12)
    mesh, _ = written(tmp_path, bend, base, "standing")
    unbent = unbend(mesh, dressing=DRESSING, upward=upward)
    face = find_face(unbent.mesh, depth=DRESSING)
    assert repeats_in(face, unbent.bend) == turns
    assert unbent.of_job(Job(), turns).bend.turns == turns
    if turns == 4:
        # A dot on one of them alone: the print comes once in a turn.
        dotted = replace(face, outlines=MultiPolygon([*face.outlines.geoms, Point(6, -9).buffer(0.4)]))
        assert repeats_in(dotted, unbent.bend) == 1


def test_a_turned_file_is_recognised_as_well(tmp_path):
    mesh, wanted = written(tmp_path, Bend(radius=40.0, height=4.0, dressing=DRESSING), Point(0, 0).buffer(20), "lying")
    cos, sin = math.cos(0.3), math.sin(0.3)
    turned = mesh.vertices @ np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]]).T + (100, -20, 5)
    unbent = unbend(Solid("die", turned, mesh.triangles), dressing=DRESSING)
    assert unbent.bend is not None
    assert unbent.bend.radius == pytest.approx(40.0, rel=5e-3)
    printed = find_face(unbent.mesh, depth=DRESSING, dpi=200).outlines
    centred = affinity.translate(printed, -printed.centroid.x, -printed.centroid.y)
    there = affinity.translate(wanted, -wanted.centroid.x, -wanted.centroid.y)
    assert compare(centred, there).iou > 0.97


@pytest.mark.parametrize("base", [Point(0, 0).buffer(20), Point(0, 0).buffer(20, quad_segs=90), box(-20, -20, 20, 20)])
@pytest.mark.parametrize("step", [None, 3.0, 0.5])
def test_flat_dies_stay_as_they_are(base, step):
    flat = raise_relief(mark(), base, HEIGHTS, shoulder=15.0, name="die")
    # In small triangles, what is level lies nearly as well on a cylinder that is far away.
    flat = flat if step is None else refine(flat, step)
    assert unbend(flat, dressing=DRESSING).bend is None
    assert unbend(flat, dressing=DRESSING).mesh is flat


def test_flat_dies_of_arrows_and_bars_stay_as_they_are():
    arrow = Polygon([(-20, -2), (6, -2), (6, -8), (20, 0), (6, 8), (6, 2), (-20, 2)])
    drawn = MultiPolygon([arrow, Point(-10, 14).buffer(4), box(-18, -16, 18, -12)])
    flat = raise_relief(drawn, Point(0, 0).buffer(25), HEIGHTS, shoulder=15.0, name="die")
    for turn in range(0, 180, 15):
        cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        turned = flat.vertices @ np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]]).T
        assert unbend(Solid("die", turned, flat.triangles), dressing=DRESSING).bend is None


def test_a_tall_small_round_die_is_no_roller():
    heights = ReliefHeights(floor=16.0, face=18.0, top=18.2)
    small = affinity.scale(mark(), 0.3, 0.3, origin=(0, 0))
    flat = raise_relief(small, Point(0, 0).buffer(6), heights, shoulder=15.0, name="die")
    assert unbend(flat, dressing=DRESSING).bend is None


def test_an_axis_that_is_not_there_or_not_known_is_refused():
    flat = raise_relief(mark(), box(-20, -20, 20, 20), HEIGHTS, shoulder=15.0, name="die")
    with pytest.raises(JobError, match="no cylinder is found round an axis along x"):
        unbend(flat, axis="x")
    with pytest.raises(JobError, match="takes one of auto, flat, x, y, z"):
        unbend(flat, axis="up")
    with pytest.raises(JobError, match="turns = 0 is not allowed"):
        rolled_on(find_face(flat, depth=DRESSING), None, 0)


def test_a_job_says_what_its_file_does_not(tmp_path):
    job = Job().with_values({"bend.form": "rocker", "bend.rolls": "up", "bend.radius": 60.0})
    bend = Bend(radius=60.0, height=4.0, dressing=DRESSING, upward=True)
    mesh, wanted = written(tmp_path, bend, Point(0, 0).buffer(20), "standing")
    # The allowance is not told here, so the file alone would take the longer arc over it for that of the face.
    unbent = unbend(mesh, job=job)
    assert unbent.bend is not None
    assert unbent.bend.radius == 60.0
    assert compare(find_face(unbent.mesh, depth=DRESSING).outlines, wanted).worst > 0.999
    assert unbent.of_job(Job()).bend.form == "rocker"
    assert unbent.of_job(Job()).bend.rolls == "up"
