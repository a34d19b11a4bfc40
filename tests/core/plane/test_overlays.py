"""Overlays where edges all but coincide, and of parts that run into each other by a hair."""

import pytest
import shapely
from shapely.geometry import MultiPolygon, Polygon, box
from stampwright.plane.overlays import common, joined, without

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
