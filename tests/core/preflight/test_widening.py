"""Promises of widening: it moves outlines no further than lines lack, and draws no knobs, dents or rough edges."""

import itertools

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from stampwright.job import Job
from stampwright.preflight import NO_ROOM, measure_gap_widths, measure_line_widths, narrowest_width

from ..stages import repaired
from .conftest import laid


def widened(ink, **figures):
    job = Job().with_values({f"preflight.{name}": value for name, value in figures.items()})
    return repaired(job, laid(ink, job))


def serif_letter(hairline=0.06, stem=0.6):
    """An upright stem on hairline serifs, as book faces have them, 3 mm high; brackets as round as the stem is wide."""
    corner = box(0, 0, stem / 2, stem / 2).difference(Point(stem / 2, stem / 2).buffer(stem / 2, quad_segs=16))
    half = shapely.union_all(
        [box(0, 0, 1.0, hairline), box(0, 0, stem / 2, 1.5), affinity.translate(corner, stem / 2, hairline)]
    )
    both = half.union(affinity.scale(half, -1, 1, origin=(0, 0)))
    return both.union(affinity.translate(affinity.scale(both, 1, -1, origin=(0, 0)), 0, 3.0)).buffer(0)


def bumps(ink, least=15.0):
    """How often the outlines of ink turn from one side to the other, by ``least`` degrees or more each time."""
    count = 0
    for ring in shapely.get_rings(shapely.get_parts(ink)):
        points = shapely.get_coordinates(shapely.segmentize(shapely.simplify(ring, 0.03), 0.1))[:-1]
        steps = np.roll(points, -1, axis=0) - points
        angles = np.arctan2(steps[:, 1], steps[:, 0])
        turns = np.degrees(np.angle(np.exp(1j * (angles - np.roll(angles, 1)))))
        signs = np.sign(turns[np.abs(turns) >= least])
        count += int((signs != np.roll(signs, 1)).sum())
    return count


def brush(phase):
    """A brush drawn along a wave, pressed and lifted four times."""
    t = np.linspace(0, 1, 160)
    course = np.column_stack([14 * t, 1.5 * np.sin(7 * t + phase)])
    radii = 0.06 + 0.3 * np.sin(9.4 * t + phase) ** 2
    discs = [Point(place).buffer(radius) for place, radius in zip(course, radii, strict=True)]
    return shapely.union_all([shapely.convex_hull(one.union(other)) for one, other in itertools.pairwise(discs)])


HARD = {
    "serifs": serif_letter(),
    "rows of serifs": MultiPolygon([affinity.translate(serif_letter(), 2.6 * at, 0) for at in range(3)]),
    "leaning serifs": affinity.skew(serif_letter(0.1, 0.5), 12),
    "brush": brush(0.0),
    "lifted brush": brush(1.3),
    "ring": Point(0, 0).buffer(3, quad_segs=32).difference(Point(0, 0).buffer(2.85, quad_segs=32)),
    "crossed hairlines": shapely.union_all(
        [LineString([(-5, 0), (5, 1)]).buffer(0.05), LineString([(0, -4), (1, 4)]).buffer(0.05)]
    ),
}


@pytest.mark.parametrize("ink", HARD.values(), ids=HARD)
def test_outlines_move_no_further_than_half_of_what_is_lacking(ink):
    result = widened(ink)
    assert narrowest_width(result.inked, below=0.37) is None
    lacking = 0.4 - measure_line_widths(ink, below=0.4).narrowest.min()
    assert result.removed.area < 1e-3
    assert result.added.difference(ink.buffer(lacking / 2 + 0.03)).area < 1e-6


@pytest.mark.parametrize("name", [name for name in HARD if name != "brush"])
def test_a_widened_outline_has_no_more_bumps_than_the_drawn_one(name):
    # Both are looked at without what is smaller than 0.03 mm; an end that becomes round counts, hence not every brush.
    assert bumps(widened(HARD[name]).inked) <= bumps(HARD[name])


def test_a_serif_keeps_a_straight_head_across_its_stem():
    result = widened(serif_letter()).inked
    across = [LineString([(x, 2), (x, 4)]).intersection(result).bounds[3] for x in np.linspace(-0.8, 0.8, 33)]
    # Half of what the hairline lacks, over the stem as beside it.
    assert max(across) == pytest.approx(3.0 + 0.17, abs=0.03)
    assert min(across) > max(across) - 0.07
    # The stem, broad enough, keeps its breadth, and so does the letter.
    assert LineString([(-2, 1.5), (2, 1.5)]).intersection(result).length == pytest.approx(0.6, abs=0.01)
    left, _, right, _ = result.bounds
    assert right - left == pytest.approx(2.0, abs=0.02)


def test_thick_and_thin_of_one_stroke_stay_apart():
    stroke = brush(0.0)
    result = widened(stroke)
    # What is broad enough itself keeps its outline.
    broad = shapely.buffer(shapely.buffer(stroke, -0.23), 0.23)
    assert result.added.intersection(broad.buffer(-0.01)).is_empty
    assert (
        result.inked.area
        < stroke.area + 0.4 * LineString([(14 * t, 1.5 * np.sin(7 * t)) for t in np.linspace(0, 1, 99)]).length / 2
    )


def test_rings_near_the_limit_are_widened_evenly_and_keep_their_gaps():
    # At a pitch of 0.62 mm a line of 0.4 leaves 0.22 of paper, which stays open.
    rings = [
        Point(0, 0).buffer(0.62 * at + 0.3, quad_segs=32).difference(Point(0, 0).buffer(0.62 * at, quad_segs=32))
        for at in range(1, 6)
    ]
    result = widened(MultiPolygon(rings))
    assert [finding for finding in result.findings if finding.kind == NO_ROOM] == []
    assert len(measure_gap_widths(result.inked, below=0.19)) == 0
    assert narrowest_width(result.inked, below=0.385) is None
    for part, at in zip(sorted(result.inked.geoms, key=lambda part: part.bounds[2]), range(1, 6), strict=True):
        radii = np.hypot(*shapely.get_coordinates(part.exterior).T)
        assert np.ptp(radii) < 0.03
        assert radii.mean() == pytest.approx(0.62 * at + 0.35, abs=0.02)


@pytest.mark.parametrize("end", ["flat", "round"])
def test_ends_stay_square_or_round_and_where_they_were(end):
    line = LineString([(-5, 0), (5, 2)]).buffer(0.08, cap_style=end)
    result = widened(line).inked
    upright = affinity.rotate(result, -np.degrees(np.arctan2(2, 10)), origin=(0, 1))
    left, bottom, right, top = upright.bounds
    length = np.hypot(10, 2) + (0.16 if end == "round" else 0)
    assert (right - left, top - bottom) == (pytest.approx(length, abs=0.04), pytest.approx(0.41, abs=0.02))
    corner = box(right - 0.06, top - 0.06, right, top)
    assert (upright.intersection(corner).area > 0.8 * corner.area) == (end == "flat")


def test_a_new_pinhole_in_a_crotch_is_filled_and_a_counter_stays():
    # Two strokes that meet at a slight angle, with a bar across: a counter that stays, and a crotch that closes.
    strokes = shapely.union_all([LineString([(0, 0), (8, side)]).buffer(0.06) for side in (1.2, -1.2)])
    result = widened(shapely.union_all([strokes, box(7.5, -1.3, 7.7, 1.3)])).inked
    (part,) = result.geoms
    (counter,) = part.interiors
    assert Polygon(counter).area > 0.7 * (7.5 * 1.2 - 0.4 * 7.5)
