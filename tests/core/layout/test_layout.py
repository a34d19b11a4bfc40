"""Promises of the layout: real size, the right middle, an exact margin, and a clear word when it does not fit."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.artwork.artwork import Artwork
from stampwright.errors import ArtworkError, JobError
from stampwright.job import Job
from stampwright.layout import BASE_JOINED, NEAR_EDGE, OFF_BED, TOO_LARGE, fit_to_base, outline_base
from stampwright.layout.bases import CHORD_ERROR

from .. import stages

ARROW = [(40, 40), (30, 40), (0, 30), (-30, 40), (-40, 40), (-40, -40), (40, -40)]
"""A base with a hollow on top, the middle of its bounds at the origin."""


def artwork_of(*parts):
    return Artwork(inked=MultiPolygon(list(parts)), page_size=(100.0, 100.0), name="mark")


def wedge_mark():
    """Ink with no symmetry, so that the three middles differ."""
    return artwork_of(Polygon([(10, 10), (40, 12), (20, 30)]), Point(38, 26).buffer(3))


def laid_out(artwork, **figures):
    return stages.laid_out(
        Job().with_values({path.replace("__", "."): value for path, value in figures.items()}), artwork
    )


@pytest.mark.parametrize("rotation", [0.0, 30.0, 90.0, -135.5])
@pytest.mark.parametrize("centre", ["bounds", "area", "circle"])
@pytest.mark.parametrize(
    "base",
    [
        {"base__outline": "round", "base__width": 40.0},
        {"base__outline": "rectangle", "base__width": 60.0, "base__height": 25.0, "base__corner_radius": 6.0},
        {"base__outline": "rectangle", "base__width": 60.0, "base__height": 25.0, "base__corner_radius": 0.0},
        {"base__outline": "ellipse", "base__width": 70.0, "base__height": 30.0},
        {"base__outline": "custom", "base__points": ARROW},
    ],
)
def test_fitted_ink_comes_exactly_to_the_margin(base, centre, rotation):
    layout = laid_out(wedge_mark(), layout__margin=2.5, layout__centre=centre, layout__turn=rotation, **base)
    assert layout.base.contains(layout.inked)
    assert layout.base.exterior.distance(layout.inked) == pytest.approx(2.5, abs=1e-3)


@settings(max_examples=60, deadline=None)
@given(
    points=st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=12),
    outline=st.sampled_from(["round", "rectangle", "ellipse", "custom"]),
    margin=st.floats(0.0, 8.0),
)
def test_any_hull_fits_any_base_exactly(points, outline, margin):
    hull = MultiPolygon([shapely.MultiPoint(points).buffer(0.5).convex_hull])
    layout = laid_out(
        artwork_of(*hull.geoms),
        base__outline=outline,
        base__width=60.0,
        base__height=32.0,
        base__points=ARROW,
        layout__margin=margin,
    )
    assert layout.base.buffer(1e-6).contains(layout.inked)
    assert layout.base.exterior.distance(layout.inked) == pytest.approx(margin, abs=1e-3)


@pytest.mark.parametrize("smoothing", [0.0, 4.0, 20.0])
def test_base_that_follows_keeps_its_margin_and_fills_its_size(smoothing):
    star = Polygon(
        [(math.cos(i * 0.6283) * r, math.sin(i * 0.6283) * r) for i in range(10) for r in [10 - 5 * (i % 2)]]
    )
    layout = laid_out(
        artwork_of(star),
        base__outline="follow",
        base__margin=3.0,
        base__smoothing=smoothing,
        base__width=50.0,
        base__height=80.0,
    )
    left, _, right, _ = layout.base.bounds
    assert right - left == pytest.approx(50.0, abs=2e-3)
    assert layout.base.exterior.distance(layout.inked) == pytest.approx(3.0, abs=1e-3)


def test_hollows_of_a_following_base_are_rounded_by_the_smoothing():
    # Two discs leave a waist: nowhere may the edge bend inwards more sharply than the smoothing's radius.
    dumbbell = shapely.union_all([Point(-8, 0).buffer(6), Point(8, 0).buffer(6), box(-8, -1, 8, 1)])
    layout = laid_out(
        artwork_of(dumbbell), base__outline="follow", base__margin=2.0, base__smoothing=5.0, layout__size_by="page"
    )
    closed_again = layout.base.buffer(5.0, quad_segs=64).buffer(-5.0, quad_segs=64)
    assert closed_again.symmetric_difference(layout.base).area < 0.05
    unsmoothed = laid_out(
        artwork_of(dumbbell), base__outline="follow", base__margin=2.0, base__smoothing=0.0, layout__size_by="page"
    )
    assert layout.base.area > unsmoothed.base.area + 1.0


def test_far_apart_parts_share_one_following_base():
    layout = laid_out(
        artwork_of(box(0, 0, 4, 4), box(60, 0, 64, 4)),
        base__outline="follow",
        base__smoothing=1.0,
        layout__size_by="page",
    )
    assert layout.base.geom_type == "Polygon"
    assert not layout.base.interiors
    assert layout.base.contains(layout.inked)
    assert [finding.kind for finding in layout.findings] == [BASE_JOINED]


def test_ink_inside_a_ring_leaves_no_hole_in_a_following_base():
    ring = Point(20, 20).buffer(18).difference(Point(20, 20).buffer(12))
    layout = laid_out(artwork_of(ring, Point(20, 20).buffer(4)), base__outline="follow", layout__size_by="page")
    assert not layout.base.interiors
    assert layout.base.exterior.distance(layout.inked) == pytest.approx(3.0, abs=1e-3)


@pytest.mark.parametrize(("size_by", "index"), [("width", 0), ("height", 1)])
@pytest.mark.parametrize("rotation", [0.0, 25.0])
def test_ink_has_the_size_asked_for_as_it_lies_on_paper(size_by, index, rotation):
    layout = laid_out(
        wedge_mark(),
        layout__size_by=size_by,
        layout__width=22.0,
        layout__height=22.0,
        layout__turn=rotation,
    )
    left, bottom, right, top = layout.inked.bounds
    assert (right - left, top - bottom)[index] == pytest.approx(22.0, abs=1e-9)


def test_page_size_is_kept():
    layout = laid_out(wedge_mark(), layout__size_by="page")
    assert layout.scale == 1.0
    assert layout.inked.area == pytest.approx(wedge_mark().inked.area, rel=1e-12)


def test_matrix_takes_the_page_to_the_paper_frame():
    artwork = wedge_mark()
    layout = laid_out(artwork, layout__turn=33.0, layout__centre="area")
    moved = affinity.affine_transform(artwork.inked, layout.matrix)
    assert moved.symmetric_difference(layout.inked).area < 1e-9
    assert math.hypot(layout.matrix[0], layout.matrix[2]) == pytest.approx(layout.scale)


def test_middle_of_the_ink_comes_to_the_origin():
    by_bounds = laid_out(wedge_mark(), layout__centre="bounds", layout__turn=20.0).inked.bounds
    assert by_bounds[0] == pytest.approx(-by_bounds[2], abs=1e-9)
    assert by_bounds[1] == pytest.approx(-by_bounds[3], abs=1e-9)
    centroid = laid_out(wedge_mark(), layout__centre="area", layout__turn=20.0).inked.centroid
    assert centroid.distance(Point(0, 0)) < 1e-9
    circled = laid_out(wedge_mark(), layout__centre="circle", layout__turn=20.0).inked
    radii = np.sort(np.hypot(*shapely.get_coordinates(circled).T))[::-1]
    # The smallest enclosing circle rests on at least two points.
    assert radii[2] == pytest.approx(radii[0], abs=1e-6)


def test_rotation_is_counter_clockwise():
    layout = laid_out(artwork_of(box(0, 0, 10, 2)), layout__turn=90.0, layout__size_by="page")
    assert layout.inked.bounds == pytest.approx((-1, -5, 1, 5), abs=1e-12)


@pytest.mark.parametrize(
    ("section", "area"),
    [
        ({"base.outline": "round", "base.width": 50.0}, math.pi * 25**2),
        ({"base.outline": "ellipse", "base.width": 60.0, "base.height": 20.0}, math.pi * 30 * 10),
        (
            {"base.outline": "rectangle", "base.width": 40.0, "base.height": 30.0, "base.corner_radius": 5.0},
            40 * 30 - (4 - math.pi) * 25,
        ),
        (
            {"base.outline": "rectangle", "base.width": 30.0, "base.height": 30.0, "base.corner_radius": 15.0},
            math.pi * 225,
        ),
    ],
)
def test_base_outline_has_the_area_of_its_formula(section, area):
    outline = outline_base(Job().with_values(section).base)
    assert outline.is_valid
    assert outline.exterior.is_ccw
    # Chords lie inside the curve by at most CHORD_ERROR all round.
    assert area - CHORD_ERROR * outline.length <= outline.area <= area + 1e-9


def test_round_base_measures_its_diameter_both_ways():
    assert outline_base(Job().base).bounds == pytest.approx((-25, -25, 25, 25), abs=1e-12)


def test_custom_outline_is_centred_by_its_bounds():
    outline = outline_base(
        Job().with_values({"base.outline": "custom", "base.points": [(0, 0), (0, 20), (30, 0)]}).base
    )
    assert outline.bounds == pytest.approx((-15, -10, 15, 10))
    assert outline.exterior.is_ccw


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(0, 0), (10, 10), (10, 0), (0, 10)], "one plain outline"),
        ([(0, 0), (10, 0), (10, 0), (0, 0)], "3 different points"),
        ([(0, 0), (10, 0), (20, 0), (0, 0)], "base.points"),
        ([(0, 0), (10, 0), (10, 0.2), (0, 0.2)], "at least 1 mm"),
    ],
)
def test_unusable_custom_outline_is_refused_in_words(points, words):
    with pytest.raises(JobError, match=words):
        outline_base(Job().with_values({"base.outline": "custom", "base.points": points}).base)


def test_too_large_ink_blocks_and_names_the_size_that_fits():
    artwork = artwork_of(box(0, 0, 40, 20))
    layout = laid_out(artwork, layout__size_by="width", layout__width=60.0)
    (finding,) = layout.findings
    assert (finding.kind, finding.severity) == (TOO_LARGE, "blocks")
    assert finding.measured == pytest.approx(60.0)
    again = laid_out(artwork, layout__size_by="width", layout__width=finding.limit)
    assert again.findings == ()
    assert again.base.exterior.distance(again.inked) == pytest.approx(2.0, abs=1e-3)


def test_ink_too_near_the_edge_for_its_shoulder_warns():
    layout = laid_out(artwork_of(Point(20, 20).buffer(10)), layout__margin=0.3)
    (finding,) = layout.findings
    assert (finding.kind, finding.severity) == (NEAR_EDGE, "warns")
    assert finding.measured == pytest.approx(0.3, abs=1e-3)
    # 2.0 relief + 0.2 dressing at 15 degrees: 2.2 x 0.267949.
    assert finding.limit == pytest.approx(0.58949, abs=1e-5)


def test_base_larger_than_the_bed_blocks():
    layout = laid_out(artwork_of(box(0, 0, 5, 5)), base__width=250.0)
    assert [finding.kind for finding in layout.findings] == [OFF_BED]


@pytest.mark.parametrize(
    "figures",
    [
        {"layout__margin": 25.0},
        {"base__outline": "follow", "base__margin": 30.0},
        {"base__outline": "custom", "base__points": [(0, 0), (20, 0), (20, 20), (18, 20), (18, 2), (0, 2)]},
    ],
)
def test_margin_that_leaves_no_room_is_refused_in_words(figures):
    with pytest.raises(JobError, match="leaves no room"):
        laid_out(artwork_of(box(0, 0, 5, 5)), **figures)


def test_too_large_ink_on_a_base_without_room_is_still_a_finding():
    layout = laid_out(artwork_of(box(0, 0, 5, 5)), layout__size_by="width", layout__width=60.0, layout__margin=25.0)
    assert [finding.kind for finding in layout.findings] == [TOO_LARGE]


def test_artwork_without_ink_is_refused():
    with pytest.raises(ArtworkError, match="mark holds no ink"):
        laid_out(artwork_of())
    with pytest.raises(ArtworkError, match="no size"):
        laid_out(artwork_of(box(0, 0, 1e-9, 1e-9)))


def test_sliver_sized_by_its_missing_width_is_refused():
    with pytest.raises(ArtworkError, match="no width"):
        laid_out(artwork_of(box(0, 0, 1e-8, 10)), layout__size_by="width")


def test_fit_in_a_hollow_base_stops_at_the_first_contact():
    # Above the step the base is wide again, but artwork grown from its middle meets the notch first.
    base = Polygon([(-30, -30), (30, -30), (30, 30), (4, 30), (4, 6), (-4, 6), (-4, 30), (-30, 30)])
    scale = fit_to_base(MultiPolygon([box(-1, -1, 1, 1)]), base, margin=1.0)
    assert scale == pytest.approx(5.0, abs=1e-3)


def test_outlines_that_rounding_makes_cross_keep_their_area():
    # A slit whose sides are one unit in the last place apart: scaled and turned, its outline crosses itself.
    edge = math.nextafter(10.0, 11.0)
    slit = Polygon([(0, 0), (20, 0), (20, 20), (edge, 20), (10.0, 1), (10.0, 20), (0, 20)])
    angles = np.linspace(0.0, 90.0, 25)
    turned = [laid_out(artwork_of(slit), layout__turn=angle, layout__size_by="page").inked for angle in angles]
    assert not all(affinity.rotate(slit, angle, origin=(0, 0)).is_valid for angle in angles)
    assert all(inked.is_valid for inked in turned)
    assert [inked.area for inked in turned] == pytest.approx([slit.area] * len(turned), rel=1e-9)


def test_ink_too_near_the_edge_of_a_base_that_follows_it_warns_too():
    follow = {"base__outline": "follow", "die__shoulder": 45.0}
    layout = laid_out(artwork_of(Point(20, 20).buffer(10)), base__margin=0.5, **follow)
    (finding,) = layout.findings
    assert (finding.kind, finding.severity) == (NEAR_EDGE, "warns")
    # 2.0 relief + 0.2 dressing at 45 degrees.
    assert (finding.measured, finding.limit) == (pytest.approx(0.5, abs=1e-3), pytest.approx(2.2))
    assert "base.margin" in finding.remedy
    assert laid_out(artwork_of(Point(20, 20).buffer(10)), base__margin=2.2, **follow).findings == ()


@pytest.mark.parametrize("base", [{"base__width": 41.0}, {"base__outline": "ellipse", "base__height": 45.0}])
def test_another_centre_at_which_artwork_fits_is_named_and_does_fit(base):
    # A disc with an ear: it fits by its circle, not by where it balances.
    ear = shapely.union_all([box(0, 0, 30, 1), Point(2, 10).buffer(10), box(2, 0, 12, 20)])
    figures = {"layout__size_by": "page", "layout__centre": "area", "layout__margin": 0.0, **base}
    figures["base__width"] = 41.0 if len(base) == 1 else 44.0
    layout = laid_out(artwork_of(ear), **figures)
    (finding,) = [each for each in layout.findings if each.kind == TOO_LARGE]
    named = dict(part.split("=") for part in finding.remedy.split(", or else")[0].removeprefix("Set ").split(" and "))
    assert named
    changed = {path.replace(".", "__"): value for path, value in named.items()}
    again = laid_out(artwork_of(ear), **figures | changed)
    assert TOO_LARGE not in {each.kind for each in again.findings}


def test_a_turn_that_fits_is_named():
    upright = {"base__outline": "rectangle", "base__width": 20.0, "base__height": 60.0, "layout__size_by": "page"}
    layout = laid_out(artwork_of(box(0, 0, 50, 10)), **upright)
    (finding,) = layout.findings
    assert finding.remedy.startswith("Set layout.turn=90, or else set layout.size_by=fit")
    assert laid_out(artwork_of(box(0, 0, 50, 10)), **upright, layout__turn=90).findings == ()


def test_where_no_place_fits_the_size_is_the_remedy():
    (finding,) = laid_out(artwork_of(box(0, 0, 80, 80)), layout__size_by="page").findings
    assert finding.remedy.startswith("Set layout.size_by=fit, or layout.size_by=width")
