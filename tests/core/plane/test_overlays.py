"""Overlays where edges all but coincide, and of parts that run into each other by a hair."""

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Polygon, box
from stampwright.plane.overlays import all_joined, common, in_each, joined, unshared, without

# Found in parting a coloured icon: GEOS 3.14.1 says that these two have nothing in common.
TRAP = Polygon(
    [
        (-6.442580297167164, 0.2339333747078364),
        (-5.429443359375, 1.2470703125),
        (1.4587896938383442, -7.673967216197915),
        (1.3803004842699262, -7.746067769173556),
    ]
)
DARKER = Polygon(
    [(17.4375, 1.4130859375), (-14.9873046875, -22.447998046875), (-19.975830078125, 17.45947265625)],
    [[(1.4592317892457862, -7.673561105300382), (1.33349609375, -7.7890625), (1.45947265625, -7.67333984375)]],
)


def test_what_two_regions_share_is_found_where_the_kernel_says_nothing():
    shared = common(TRAP, DARKER)
    # By area of the outline within the one without its hole, which is a hair.
    assert shared.area == pytest.approx(TRAP.intersection(Polygon(DARKER.exterior)).area, abs=0.02)
    assert common(DARKER, TRAP).area == pytest.approx(shared.area)
    assert without(TRAP, DARKER).area + shared.area == pytest.approx(TRAP.area, abs=1e-3)
    assert joined(TRAP, DARKER).area + shared.area == pytest.approx(TRAP.area + DARKER.area, abs=1e-3)


def test_neighbours_share_nothing_and_lines_stay_lines():
    assert common(box(0, 0, 1, 1), box(1, 0, 2, 1)).area == 0.0
    assert common(box(0, 0, 1, 1), box(3, 0, 4, 1)).is_empty
    assert common(MultiPolygon(), box(0, 0, 1, 1)).is_empty
    assert common(box(0, 0, 1, 1), shapely.linestrings([[-1, 0.5], [2, 0.5]])).length == 1.0


def test_parts_that_run_into_each_other_by_a_hair_are_taken_as_what_they_enclose():
    hair = 1e-9
    parts = MultiPolygon([box(0, 0, 1, 2), box(1 - hair, 0.5, 2, 1.5)])
    assert not parts.is_valid
    around = box(-1, -1, 3, 3)
    assert without(around, parts).area == pytest.approx(16.0 - 3.0, abs=1e-3)
    assert common(around, parts).area == pytest.approx(3.0, abs=1e-3)


@pytest.mark.parametrize("overlay", [common, without, joined])
def test_many_at_once_are_overlaid_as_each_by_itself(overlay):
    ones = np.array([TRAP, box(0, 0, 1, 1), DARKER, box(30, 0, 31, 1)])
    others = np.array([DARKER, box(1, 0, 2, 1), TRAP, DARKER])
    alone = [overlay(one, other).area for one, other in zip(ones, others, strict=True)]
    assert shapely.area(in_each(overlay, ones, others)) == pytest.approx(alone)
    assert shapely.area(in_each(overlay, ones, DARKER))[0] == pytest.approx(alone[0])


@pytest.mark.parametrize("scale", [1.0, 1e-4, 1e4])
def test_what_is_not_valid_is_overlaid_at_any_size(scale):
    # As drawings come in units of their own. The kernel raises on parts that cross.
    parts = MultiPolygon([box(0, 0, 1, 2), box(0.7, 0.5, 2, 1.5)])
    parts, around, beside = (
        shapely.transform(each, lambda points: scale * points) for each in (parts, box(-1, -1, 3, 3), box(2, 0, 4, 2))
    )
    with pytest.raises(shapely.errors.GEOSException):
        shapely.intersection(around, parts)
    assert in_each(common, np.array([around, beside]), parts)[0].area == pytest.approx(3.0 * scale**2, rel=1e-3)
    assert unshared(around, parts).area == pytest.approx(13.0 * scale**2, rel=1e-3)
    assert all_joined([parts, beside]).area == pytest.approx(7.0 * scale**2, rel=1e-3)
    assert all_joined([parts, beside], scattered=True).area == pytest.approx(7.0 * scale**2, rel=1e-3)


def test_areas_with_lines_beside_them_are_overlaid_as_areas():
    mixed = shapely.GeometryCollection([DARKER, shapely.LineString([(-30, 0), (-31, 0)])])
    assert common(TRAP, mixed).area == pytest.approx(common(TRAP, DARKER).area)
    assert joined(mixed, TRAP).area == pytest.approx(joined(DARKER, TRAP).area)
