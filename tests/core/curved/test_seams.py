from __future__ import annotations

import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, box
from stampwright.curved import bend_die, lay_seam, unroll
from stampwright.errors import SolidError
from stampwright.plane.frames import die_to_paper
from stampwright.press import compare, find_face
from stampwright.solids import check_soundness

from .conftest import FACE, TOP, band, flat_die, roller

CLEAR = 0.6


def bars(*spans: tuple[float, float]) -> MultiPolygon:
    return MultiPolygon([box(low, -8, high, 8) for low, high in spans])


def test_the_seam_stays_where_the_repeat_ends_if_no_ink_is_there():
    bend = roller(60, 1)
    face, floor, laid = lay_seam(bars((-20, -5), (5, 20)), band(bend, 30), bend, reach=CLEAR, at_end=False)
    assert laid.seam == bend.repeat / 2
    assert face.equals(bars((-20, -5), (5, 20)))
    assert floor.bounds == (-30, -15, 30, 15)


@pytest.mark.parametrize("upward", [False, True])
def test_the_seam_goes_to_the_widest_gap_and_the_print_is_the_same(upward):
    bend = roller(60, 1, upward=upward)
    drawn = bars((-31, -20), (-18, 2), (10, 28.5))
    drawn = affinity.affine_transform(drawn, (0, -1, 1, 0, 0, 0)) if upward else drawn
    face, floor, laid = lay_seam(drawn, band(bend, 30), bend, reach=CLEAR, at_end=False)
    assert laid.seam == pytest.approx(6.0, abs=1e-3)
    assert shapely.buffer(floor, -CLEAR).contains(face)
    solid, bent = bend_die(flat_die(face, floor), laid)
    assert check_soundness(solid.vertices, solid.triangles).sound
    (once,) = unroll(solid, bent, "lying")
    printed = find_face(once, depth=TOP - FACE).outlines
    # What reaches over the end of the repeat prints at its beginning.
    axis = (0, bend.repeat) if upward else (bend.repeat, 0)
    tiles = [affinity.translate(drawn, turn * axis[0], turn * axis[1]) for turn in (-1, 0, 1)]
    wanted = die_to_paper(shapely.union_all(tiles).intersection(band(bend, 30)))
    assert compare(printed, MultiPolygon(shapely.get_parts(wanted))).worst > 0.9999


def test_ink_longer_than_the_repeat_cannot_close():
    bend = roller(60, 1)
    with pytest.raises(SolidError, match=r"61\.00 mm long and its repeat only 60\.00 mm"):
        lay_seam(bars((-30.5, 30.5)), band(bend, 30), bend, reach=CLEAR, at_end=False)
