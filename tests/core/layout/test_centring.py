"""Promises of size and place by default: as drawn where that is known and fits, in the middle, and level."""

import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork
from stampwright.job import Job
from stampwright.layout.centring import LIGHTEST, levelling_shift
from stampwright.plane.moments import moments_of

from ..stages import laid_out


def artwork(*parts, true_size=True, page=(40.0, 30.0)):
    return Artwork(inked=MultiPolygon(list(parts)), page_size=page, true_size=true_size)


def laid(art, **values):
    return laid_out(Job().with_values({name.replace("__", "."): value for name, value in values.items()}), art)


def test_a_drawing_of_known_size_that_fits_is_printed_as_drawn():
    layout = laid(artwork(box(5, 5, 25, 15)))
    assert layout.scale == 1.0
    assert layout.sized == "20.0 x 10.0 mm, as drawn"


def test_a_drawing_that_does_not_fit_is_fitted_and_its_scale_said():
    layout = laid(artwork(box(0, 0, 92, 10)))
    assert layout.scale == pytest.approx(0.5, abs=0.01)
    assert "fitted to the base" in layout.sized
    assert f"{layout.scale:.3g} times as drawn" in layout.sized


def test_a_drawing_of_no_known_size_is_fitted():
    layout = laid(artwork(box(5, 5, 25, 15), true_size=False))
    assert layout.scale > 2.0
    assert layout.sized.endswith("fitted to the base, as its file gives no size to rely on")
    as_asked = laid(artwork(box(5, 5, 25, 15), true_size=False), layout__size_by="fit")
    assert as_asked.sized.endswith("mm, fitted to the base")


def test_a_size_that_is_a_guess_is_not_called_the_files_own():
    layout = laid(artwork(box(5, 5, 25, 15), true_size=False), layout__size_by="page")
    assert layout.sized == "20.0 x 10.0 mm, the size of its file at an assumed resolution"


@pytest.mark.parametrize("margin", [0.0, 2.0])
def test_ink_made_as_wide_as_advised_fits(margin):
    # 49.98 mm, or 45.98 mm within the margin: rounded up, it would reach over the edge.
    art = artwork(box(0, 0, 60, 1.4))
    values = {"layout__margin": margin, "layout__size_by": "page"}
    (found,) = [each for each in laid(art, **values).findings if each.kind == "artwork too large"]
    wide = float(re.search(r"layout\.size_by=width and layout\.width=([\d.]+)", found.remedy)[1])
    again = laid(art, layout__margin=margin, layout__size_by="width", layout__width=wide)
    assert not [each for each in again.findings if each.severity == "blocks"]
    assert again.base.exterior.distance(again.inked) >= margin


def test_a_rectangle_on_a_rectangle_is_not_too_large_for_its_circle():
    art = artwork(box(0, 0, 44, 4), box(0, 11, 30, 15), page=(60.0, 25.0))
    layout = laid(art, base__outline="rectangle", base__width=60.0, base__height=25.0, layout__size_by="page")
    assert not [finding for finding in layout.findings if finding.severity == "blocks"]


def test_the_page_keeps_its_place_on_the_base():
    art = artwork(box(5, 5, 15, 10))
    layout = laid(art, layout__centre="page", base__outline="rectangle", base__width=40.0, base__height=30.0)
    assert layout.inked.bounds == pytest.approx((-15.0, -10.0, -5.0, -5.0))


def test_ink_that_lies_to_one_side_is_moved_until_it_stands_level():
    # A heavy bar and a light line far from it: the middle of their bounds lies off their centre of area.
    art = artwork(box(0, 0, 30, 8), box(0, 18, 30, 18.6))
    middle, level = laid(art, layout__centre="bounds"), laid(art)
    assert lightest_side(middle.inked) < 0.3
    assert lightest_side(level.inked) >= LIGHTEST - 0.02
    assert level.base.covers(level.inked)


def test_ink_that_stands_level_stays_in_the_middle():
    art = artwork(box(0, 0, 20, 10))
    assert laid(art).matrix == pytest.approx(laid(art, layout__centre="circle").matrix)


def test_mirrored_artwork_reads_the_other_way_round():
    flag = box(0, 0, 2, 10).union(box(2, 6, 8, 10))
    plain, mirrored = laid(artwork(flag)), laid(artwork(flag), layout__mirror=True)
    assert mirrored.inked.equals_exact(affinity.scale(plain.inked, -1, 1, origin=(0, 0)).normalize(), 1e-6) or (
        mirrored.inked.symmetric_difference(affinity.scale(plain.inked, -1, 1, origin=(0, 0))).area < 1e-6
    )


def test_artwork_is_turned_to_where_it_is_largest():
    art = artwork(box(0, 0, 60, 6), true_size=False)
    base = {"base__outline": "rectangle", "base__width": 30.0, "base__height": 50.0}
    upright = laid(art, layout__turn_to_fit=True, **base)
    assert upright.scale > 1.4 * laid(art, **base).scale
    # No bar of that form lies in the room of 26 by 46 mm larger than along its diagonal.
    assert upright.scale * np.hypot(60, 6) <= np.hypot(26, 46) + 1e-6


def lightest_side(inked):
    """The pressure on the side away from a push at the origin, over the mean: a rigid face on even springs."""
    area, centre, spread = moments_of(inked)
    points = shapely.get_coordinates(inked) - centre
    pressures = 1 + points @ np.linalg.solve(spread, -centre)
    assert area > 0
    return pressures.min()


@given(st.lists(st.tuples(*[st.floats(-20, 20)] * 2, st.floats(0.5, 6)), min_size=2, max_size=6))
def test_the_shift_leaves_the_side_opposite_to_the_push_enough(discs):
    inked = shapely.union_all([Point(x, y).buffer(radius) for x, y, radius in discs])
    inked = MultiPolygon(list(shapely.get_parts(inked)))
    shift = levelling_shift(inked)
    assert lightest_side(affinity.translate(inked, *shift)) >= LIGHTEST - 1e-6
    # It is the least: no shorter one, whichever way, does.
    for turn in np.linspace(0, 2 * np.pi, 12, endpoint=False) if shift.any() else ():
        less = 0.98 * np.hypot(*shift) * np.array([np.cos(turn), np.sin(turn)])
        assert lightest_side(affinity.translate(inked, *less)) < LIGHTEST


def test_a_slanted_bar_is_brought_level_across_its_narrow_side():
    """A push that lies off its line tilts it, be its length however great: it was taken as reach that way."""
    bar = affinity.rotate(box(-20, -2, 20, 2), 45, origin=(0, 0)).union(Point(14, 14).buffer(3))
    moved = affinity.translate(MultiPolygon([bar]), 1.5, -1.5)
    assert lightest_side(moved) < 0
    assert lightest_side(affinity.translate(moved, *levelling_shift(moved))) >= LIGHTEST - 1e-6


def test_moments_are_those_of_many_points():
    region = MultiPolygon([box(0, 0, 4, 2).difference(box(1, 0.5, 2, 1)), Point(8, 3).buffer(1.5)])
    area, centre, spread = moments_of(region)
    grid = np.stack(np.meshgrid(np.arange(0.005, 10, 0.01), np.arange(0.005, 5, 0.01)), axis=-1).reshape(-1, 2)
    inside = grid[shapely.contains_xy(region, *grid.T)]
    assert area == pytest.approx(len(inside) * 1e-4, rel=2e-3)
    assert centre == pytest.approx(inside.mean(axis=0), abs=5e-3)
    assert spread == pytest.approx(np.cov(inside.T, bias=True), abs=2e-2)
