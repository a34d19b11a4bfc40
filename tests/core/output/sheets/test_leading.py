"""Lines from numbers to places do not cross, and numbers stand clear of each other."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString
from stampwright.output.sheets.leading import Gutters

GUTTERS = Gutters(left=0.0, right=100.0, top=0.0, bottom=80.0, spacing=4.0)

# On a coarse grid, so that many spots share a height or a column.
PLACES = st.lists(
    st.tuples(st.integers(10, 90).map(float), st.integers(0, 80).map(float)),
    unique=True,
    min_size=1,
    max_size=GUTTERS.room,
)


@given(PLACES)
def test_no_two_lines_cross_and_no_two_numbers_meet(spots: list[tuple[float, float]]) -> None:
    stands = GUTTERS.lead(spots)
    lines = [LineString([stand, spot]) for stand, spot in zip(stands, spots, strict=True)]
    for one, other in combinations(lines, 2):
        # What crosses has its meeting within both, by another library.
        assert not one.crosses(other) or one.intersection(other).distance(one.boundary.union(other.boundary)) < 1e-6
    for side in (0.0, 100.0):
        heights = sorted(y for x, y in stands if x == side)
        assert all(0.0 <= y <= 80.0 for y in heights)
        assert all(b - a >= 4.0 - 1e-9 for a, b in pairwise(heights))
    assert all(x in (0.0, 100.0) for x, _ in stands)


def test_a_lone_number_stands_as_high_as_its_place_on_the_nearer_side() -> None:
    assert GUTTERS.lead([(80.0, 33.0)]) == [(100.0, 33.0)]
    assert GUTTERS.lead([(20.0, 33.0)]) == [(0.0, 33.0)]


def test_numbers_that_are_too_many_for_one_side_go_to_the_other() -> None:
    spots = [(10.0, float(index)) for index in range(30)]
    sides = [x for x, _ in GUTTERS.lead(spots)]
    assert sides.count(0.0) == pytest.approx(21)
    assert sides.count(100.0) == 9
