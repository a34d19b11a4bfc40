"""Every triangle of a die belongs to the region that it is part of, by areas in the plan and by heights."""

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Job, make_stamp
from stampwright.artwork import Artwork
from stampwright.parts import REGIONS, mark_regions


@pytest.fixture(params=[{}, {"backing.form": "one-piece"}, {"face.texture": "linen"}, {"die.shoulder": 0.0}], ids=str)
def stamp(request):
    ring = Point(14, 14).buffer(12).difference(Point(14, 14).buffer(7))
    inked = MultiPolygon([ring, box(30, 4, 36, 24)])
    job = Job().with_values({"layout.size_by": "page", "die.relief": 1.6, **request.param})
    return make_stamp(job, Artwork(name="ring", inked=inked, page_size=(40.0, 28.0)))


@pytest.fixture
def marked(stamp):
    return mark_regions(stamp.job, stamp.die, None if stamp.face is None else stamp.face.dense.sets)


def corners_of(stamp, marked, region):
    return stamp.die.vertices[stamp.die.triangles[marked.regions == REGIONS.index(region)]]


def plan(corners):
    """Return the area of triangles as seen from above, those that face down counted as less than nothing, mm²."""
    along, across = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return float((along[:, 0] * across[:, 1] - along[:, 1] * across[:, 0]).sum() / 2)


def test_the_face_is_the_ink_and_the_rest_of_the_plan_is_shoulder_and_floor(stamp, marked):
    areas = {region: plan(corners_of(stamp, marked, region)) for region in REGIONS}
    assert areas["face"] == pytest.approx(stamp.outlines.area, rel=1e-3)
    # What faces up covers the base once; the underside, smaller by the chamfer, is the side's.
    up = areas["face"] + areas["shoulder"] + areas["floor"]
    assert up == pytest.approx(stamp.layout.base.area, rel=1e-3)
    assert areas["side"] == pytest.approx(-up, rel=1e-3)
    assert areas["floor"] > 100.0


def test_heights_are_measured_from_the_floor(stamp, marked):
    assert len(marked.heights) == len(stamp.die.vertices)
    numbers = stamp.die.triangles[marked.regions == REGIONS.index("floor")]
    assert np.abs(marked.heights[numbers]).max() < 1e-4
    if stamp.face is None:
        # The relief of 1.6 mm, and 0.2 mm to be dressed off.
        assert marked.heights.max() == pytest.approx(1.8, abs=1e-5)
    assert marked.heights.max() == pytest.approx(np.ptp(stamp.die.vertices[:, 2]) + marked.heights.min())


def test_shoulders_join_floor_and_face(stamp, marked):
    shoulder = stamp.die.triangles[marked.regions == REGIONS.index("shoulder")]
    assert marked.heights[shoulder].min() > -1e-4
    assert marked.heights[shoulder].max() <= marked.heights.max() + 1e-9
    side = stamp.die.triangles[marked.regions == REGIONS.index("side")]
    assert marked.heights[side].max() < 1e-4


BENT = [
    {"bend.form": "rocker"},
    {"bend.form": "rocker", "bend.rolls": "up", "backing.form": "one-piece"},
    {"bend.form": "roller"},
    {"bend.form": "rocker", "face.texture": "linen"},
]


@pytest.mark.sweep(2)
@pytest.mark.parametrize("settings", BENT, ids=str)
def test_a_bent_die_has_the_regions_of_the_flat_one_and_radial_heights(settings):
    ring = Point(14, 14).buffer(9).difference(Point(14, 14).buffer(5))
    job = Job().with_values({"base.width": 40.0, "layout.size_by": "page", "die.relief": 1.6, **settings})
    stamp = make_stamp(job, Artwork(name="ring", inked=MultiPolygon([ring]), page_size=(28.0, 28.0)))
    marked = mark_regions(stamp.job, stamp.die, None, stamp.bend)
    corners = stamp.die.vertices[stamp.die.triangles]
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
    face = areas[marked.regions == REGIONS.index("face")].sum()
    # Lengths along the finished face stay; what is yet to be dressed off lies a little further out.
    out = stamp.bend.outer / stamp.bend.radius
    rough = 0.15 if "face.texture" in settings else 0.02
    assert face == pytest.approx(stamp.outlines.area * out * max(stamp.bend.turns, 1), rel=rough)
    # The relief of 1.6 mm, and 0.2 mm to be dressed off, out from the axis.
    assert marked.heights.max() == pytest.approx(1.8, abs=2e-3)
    floor = stamp.die.triangles[marked.regions == REGIONS.index("floor")]
    assert np.abs(marked.heights[floor]).max() < 2e-3
    assert len(np.unique(marked.regions)) == len(REGIONS)
