"""Numbers stand clear of the art and of each other, and the lines from them to their places cross little of either."""

from __future__ import annotations

from itertools import combinations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPolygon, Point, box
from stampwright.artwork.made import make_artwork
from stampwright.examination import examine_job
from stampwright.job import Job
from stampwright.job.pieces import Lettering
from stampwright.output.sheets.figure import art_figure
from stampwright.output.sheets.leading import Leader, Numbering
from stampwright.output.sketches.marks import DrawnLine

SIZE = 1.9
EMPTY = MultiPolygon()


def line_of(leader: Leader) -> LineString:
    return LineString([leader.stand, leader.end])


# On a coarse grid, so that many places share a height or a column.
SPOTS = st.lists(st.tuples(st.integers(1, 18), st.integers(1, 14)), unique=True, min_size=1, max_size=12)
BARS = st.lists(st.integers(1, 17), unique=True, max_size=6)


@given(SPOTS, BARS)
def test_numbers_stand_on_the_sheet_off_the_ink_and_apart(spots: list[tuple[int, int]], bars: list[int]) -> None:
    inked = MultiPolygon([box(10.0 * bar, 10.0, 10.0 * bar + 3.0, 140.0) for bar in bars])
    rings = [Point(10.0 * x, 10.0 * y).buffer(1.0) for x, y in spots]
    leaders = Numbering(190.0, 150.0, SIZE, inked).lead(rings)
    for leader, ring in zip(leaders, rings, strict=True):
        assert box(0.0, 0.0, 190.0, 150.0).covers(Point(leader.stand).buffer(SIZE))
        assert inked.is_empty or inked.distance(Point(leader.stand)) > SIZE
        assert ring.exterior.distance(Point(leader.end)) < 1e-6
    for one, other in combinations(leaders, 2):
        assert Point(one.stand).distance(Point(other.stand)) >= 2 * SIZE
        assert not line_of(one).crosses(line_of(other))


def test_a_lone_number_stands_close_to_its_place() -> None:
    (leader,) = Numbering(190.0, 150.0, SIZE, EMPTY).lead([Point(80.0, 33.0).buffer(2.0)])
    assert line_of(leader).length < SIZE + 1.0


def test_a_line_goes_round_ink_where_it_can() -> None:
    # Walled in but for the upper side.
    wall = shapely.difference(box(60.0, 40.0, 130.0, 110.0), box(90.0, 30.0, 100.0, 100.0))
    (leader,) = Numbering(190.0, 150.0, SIZE, MultiPolygon([wall])).lead([Point(95.0, 96.0).buffer(1.0)])
    assert line_of(leader).intersection(wall).length == 0.0


def test_a_number_stands_off_dense_art_and_its_line_takes_the_shortest_way_over_it() -> None:
    hatching = MultiPolygon([box(30.0 + 2.0 * n, 20.0, 31.2 + 2.0 * n, 130.0) for n in range(65)])
    (leader,) = Numbering(190.0, 150.0, SIZE, hatching).lead([Point(95.6, 40.0).buffer(0.5)])
    assert hatching.distance(Point(leader.stand)) > SIZE
    # Straight up, along a line and the gap beside it, it is 20 mm to the edge.
    assert line_of(leader).intersection(hatching).length <= 20.0


def test_the_worst_figure_has_all_its_numbers_off_the_ink() -> None:
    small = Lettering(text="Mossgate Seed Library\nThe Old Malthouse, Wren Lane", weight=400, cap_height=1.8)
    job = Job().with_values({"layout.size_by": "page", "base.outline": "follow"})
    seen = examine_job(job, make_artwork([small]))
    assert sum(finding.place is not None for finding in seen.findings) >= 12
    sheet = art_figure(seen, 190.0)
    ink = next(mark for mark in sheet.marks if hasattr(mark, "laid") and mark.frame is not None).laid
    lines = [LineString(mark.points) for mark in sheet.marks if isinstance(mark, DrawnLine) and mark.width == 0.3]
    leaders = [line for line in lines if len(line.coords) == 2]
    assert len(leaders) >= 12
    assert all(ink.distance(Point(line.coords[0])) > SIZE for line in leaders)
    crossed = sum(line.intersection(ink).length for line in leaders)
    assert crossed == pytest.approx(0.0, abs=0.1 * sum(line.length for line in leaders))


def test_a_number_stands_in_a_solid_beside_a_pinhole_that_lies_deep_in_it() -> None:
    hole = Point(95.0, 75.0).buffer(0.6)
    disc = Point(95.0, 75.0).buffer(60.0).difference(hole)
    (leader,) = Numbering(190.0, 150.0, SIZE, MultiPolygon([disc])).lead([hole.buffer(0.5)])
    assert disc.covers(Point(leader.stand).buffer(SIZE))
    assert line_of(leader).length < SIZE + 2.0


def test_a_number_in_a_hole_stays_there_and_never_goes_to_another_hole() -> None:
    holes = [Point(60.0, 75.0).buffer(8.0), Point(90.0, 75.0).buffer(2.5)]
    solid = box(20.0, 20.0, 170.0, 130.0).difference(shapely.union_all(holes))
    rings = [Point(60.0, 75.0).buffer(1.0), Point(90.0, 75.0).buffer(1.0)]
    one, other = Numbering(190.0, 150.0, SIZE, MultiPolygon([solid])).lead(rings)
    assert holes[0].covers(line_of(one))
    assert not line_of(other).intersects(holes[0])
