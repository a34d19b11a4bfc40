"""Middle lines are where geometry has them on plain shapes, and where scikit-image finds the skeleton of letters."""

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, box
from skimage.measure import euler_number
from skimage.morphology import skeletonize
from stampwright import make_artwork
from stampwright.examination import examine_job
from stampwright.job import Job
from stampwright.job.pieces import Lettering
from stampwright.plane.axes.middle_lines import drawn_with_pen, middle_lines

PEN = 0.4
STROKE = 0.5  # mm, of the plain shapes
PIXEL = 0.02

CROSS = shapely.union_all([box(-3, -STROKE / 2, 3, STROKE / 2), box(-STROKE / 2, -3, STROKE / 2, 3)])
LETTER_E = shapely.union_all(
    [box(0, -STROKE / 2, STROKE, 4 + STROKE / 2), *(box(0, y - STROKE / 2, 3, y + STROKE / 2) for y in (0, 2, 4))]
)


def skeleton_points(region):
    """Return the pixels that scikit-image keeps of a region, mm (n, 2)."""
    left, bottom, right, top = region.buffer(5 * PIXEL).bounds
    x, y = np.arange(left, right, PIXEL), np.arange(bottom, top, PIXEL)
    inside = shapely.contains_xy(region, *np.meshgrid(x, y))
    rows, columns = np.nonzero(skeletonize(inside))
    return np.stack([x[columns], y[rows]], axis=1)


def test_an_annulus_has_the_circle_in_its_middle():
    ring = Point(0, 0).buffer(5.25, quad_segs=200).difference(Point(0, 0).buffer(4.75, quad_segs=200))
    (line,) = middle_lines(MultiPolygon([ring]), PEN)
    assert line.is_closed
    assert np.hypot(*np.array(line.coords).T) == pytest.approx(5.0, abs=0.012)
    assert line.length == pytest.approx(2 * np.pi * 5, rel=0.002)


@pytest.mark.parametrize(
    ("shape", "expected"),
    [
        (CROSS, [[(-2.8, 0), (2.8, 0)], [(0, -2.8), (0, 2.8)]]),
        (LETTER_E, [[(0.25, 0), (0.25, 4)], *([(0.25, y), (2.8, y)] for y in (0, 2, 4))]),
    ],
    ids=["cross", "E"],
)
@pytest.mark.parametrize("turn", [0, 23])
def test_plain_letters_have_the_lines_they_were_drawn_along(shape, expected, turn):
    """The ends lie half a pen's width within the ends of the ink; bends and joints are rounded by half a stroke."""
    turned = affinity.rotate(shape, turn, origin=(0, 0))
    wanted = affinity.rotate(shapely.multilinestrings([LineString(line) for line in expected]), turn, origin=(0, 0))
    found = shapely.multilinestrings(list(middle_lines(MultiPolygon([turned]), PEN)))
    assert shapely.hausdorff_distance(found.segmentize(0.05), wanted.segmentize(0.05)) < STROKE / 2
    joints = shapely.buffer(shapely.points([(0, 0), (0.25, 0), (0.25, 2), (0.25, 4)]), 1.2 * STROKE)
    plain = found.difference(affinity.rotate(shapely.union_all(joints), turn, origin=(0, 0)))
    # Away from joints they are just there.
    assert shapely.hausdorff_distance(plain, plain.intersection(wanted.buffer(0.015))) < 0.02
    ends = [Point(line[1]) for line in expected[1:]]
    for end in affinity.rotate(shapely.MultiPoint(ends), turn, origin=(0, 0)).geoms:
        assert found.distance(end) < 0.03


@pytest.mark.sweep(6)
@pytest.mark.parametrize("letter", "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghklmnopqrstuvwxyz0123456789&")
def test_letters_have_the_skeleton_that_scikit_image_finds(letter):
    ink = make_artwork([Lettering(text=letter, cap_height=3.0, weight=400)]).inked
    found = shapely.multilinestrings(list(middle_lines(ink, PEN)))
    points = shapely.points(skeleton_points(ink))
    # The skeleton runs on into corners and serifs, by a stroke's width at most, which no pen does.
    assert shapely.distance(points, found).max() < 0.45
    assert np.quantile(shapely.distance(points, found), 0.85) < 0.07
    along = shapely.get_coordinates(found.segmentize(0.05))
    off = shapely.distance(shapely.points(along), shapely.multipoints(points))
    assert np.quantile(off, 0.9) < 0.06


@pytest.mark.sweep(6)
@pytest.mark.parametrize("letter", "ABDEHKMOPQRSWXYZabdegkmopqswxyz04689&%")
def test_letters_drawn_with_a_pen_keep_their_parts_and_counters(letter):
    ink = make_artwork([Lettering(text=letter, cap_height=3.0, weight=400)]).inked
    drawn = drawn_with_pen(ink, PEN)
    left, bottom, right, top = drawn.bounds
    grid = np.meshgrid(np.arange(left - 0.1, right + 0.1, PIXEL / 4), np.arange(bottom - 0.1, top + 0.1, PIXEL / 4))
    numbers = [euler_number(shapely.contains_xy(region, *grid), connectivity=1) for region in (ink, drawn)]
    assert numbers[0] == numbers[1]
    assert shapely.hausdorff_distance(shapely.boundary(ink), shapely.boundary(drawn)) < PEN


def test_single_lines_print_where_the_letters_own_do_not():
    """Regular letters need capitals of 5 mm for a nozzle of 0.4 mm, bold ones 2.5 to 3.5 mm."""
    job = Job().with_values({"layout.size_by": "page", "layout.centre": "bounds", "base.outline": "follow"})
    text = "MOSSGATE SEED LIBRARY\nMossgate seed library jkqvwxyz\n0123456789"
    for drawn, blocks in (("outlines", True), ("middle lines", False)):
        piece = Lettering(text=text, cap_height=2.5, weight=400, spacing=0.1, drawn=drawn)
        seen = examine_job(job, make_artwork([piece]))
        assert bool(seen.blocked) == blocks, [finding.message for finding in seen.blocked]


def test_dots_become_as_large_as_the_pen():
    dot = MultiPolygon([Point(0, 0).buffer(0.1), box(2, 2, 6, 6)])
    drawn = drawn_with_pen(dot, PEN)
    assert sorted(part.area for part in drawn.geoms) == pytest.approx([np.pi * 0.04, 16.0], rel=0.02)
