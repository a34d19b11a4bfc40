"""The backing and the cushion."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon
from stampwright.job import Job
from stampwright.parts.backing import backing_outline, examine_backing, groove_region
from stampwright.parts.cushion import build_cushion
from stampwright.plane.frames import die_to_paper, paper_to_die
from stampwright.solids import Solid, section

from ..stages import backing_height, backing_of, seat_height
from .conftest import judged, leaning_drop, outline_for

PLAIN = Job().with_values({"handle.up_mark": False, "backing.grooves": False})


def test_plate_with_a_seat_is_wider_than_the_die_by_clearance_and_rim() -> None:
    backing = backing_of(Job(), outline_for(Job()))
    assert backing is not None
    low, high = judged(backing).bounds
    # 50 mm of die, 0.2 mm of clearance and 2 mm of rim each side.
    assert high[0] - low[0] == pytest.approx(54.4, abs=0.02)
    assert high[2] == 4.0


def test_die_sits_in_its_seat_with_the_clearance_all_round() -> None:
    job = PLAIN.with_values({"base.outline": "rectangle", "base.width": 60.0, "base.height": 22.0})
    backing = backing_of(job, base := outline_for(job))
    assert backing is not None
    rim = section(backing, 3.5).geoms[0]
    seat = Polygon(rim.interiors[0])
    assert seat.contains(base)
    assert seat.exterior.distance(base.exterior) == pytest.approx(0.2, abs=0.01)
    assert seat.exterior.hausdorff_distance(base.exterior) == pytest.approx(0.2, abs=0.01)


def test_volume_is_plate_less_seat_less_grooves() -> None:
    job = Job().with_values({"handle.up_mark": False, "backing.chamfer": 0.0})
    base = outline_for(job)
    backing = backing_of(job, base)
    assert backing is not None
    # Seat 1.0 deep, grooves 0.4 under it, plate 4.0: three sections, three heights.
    parts = section(backing, 1.0).area * 2.6 + section(backing, 2.8).area * 0.4 + section(backing, 3.5).area * 1.0
    assert backing.volume == pytest.approx(parts, rel=1e-6)
    seat = base.buffer(0.2)
    assert section(backing, 1.0).area - section(backing, 2.8).area == pytest.approx(
        groove_region(seat, job.backing).area, rel=1e-3
    )


def test_plain_glue_face_has_the_dies_own_outline_and_no_rim() -> None:
    job = PLAIN.with_value("backing.seat_depth", 0.0)
    backing = backing_of(job, base := outline_for(job))
    assert backing is not None
    assert backing.volume == pytest.approx(base.area * 4.0, rel=1e-5)
    assert section(backing, 3.99).area == pytest.approx(base.area, rel=1e-5)


def test_plate_follows_a_lopsided_base_as_the_die_does() -> None:
    base = leaning_drop()
    backing = backing_of(PLAIN, base)
    assert backing is not None
    wanted = paper_to_die(backing_outline(base, PLAIN.backing))
    assert section(backing, 1.0).symmetric_difference(wanted).area < 0.05
    assert section(backing, 1.0).symmetric_difference(backing_outline(base, PLAIN.backing)).area > 20


def test_glue_grooves_stay_within_the_seat() -> None:
    seat = outline_for(Job()).buffer(0.2)
    grooves = groove_region(seat, Job().backing)
    assert grooves.area > 0.1 * seat.area
    assert seat.contains(grooves)
    assert grooves.distance(seat.exterior) > 0.95
    assert len(grooves.geoms) == 1, "glue can run from any groove to any other"


def test_no_number_of_grooves_takes_for_ever() -> None:
    job = Job().with_values({"backing.groove_width": 0.2, "backing.groove_spacing": 0.5})
    crossings = groove_region(Point(0, 0).buffer(150), job.backing).geoms[0].interiors
    assert len(crossings) < 60 * 60


def test_cushion_deepens_the_seat_and_thickens_the_plate_by_itself() -> None:
    job = PLAIN.with_value("cushion.thickness", 2.0)
    backing, cushion = backing_of(job, outline_for(job)), build_cushion(outline_for(job), job.cushion)
    assert backing is not None
    assert cushion is not None
    judged(cushion)
    assert backing_height(job) == backing.vertices[:, 2].max() == 6.0
    assert seat_height(job) == 3.0
    assert section(backing, 3.1).area < section(backing, 2.9).area
    # What stands out of the seat with the cushion in it is what stood out without one.
    stands_out = seat_height(job) + cushion.vertices[:, 2].max() + job.die.floor - backing_height(job)
    assert stands_out == pytest.approx(seat_height(PLAIN) + PLAIN.die.floor - backing_height(PLAIN))


def test_cushion_under_a_plain_glue_face_leaves_the_plate_as_it_is() -> None:
    job = PLAIN.with_values({"cushion.thickness": 2.0, "backing.seat_depth": 0.0})
    assert backing_height(job) == 4.0


def test_job_without_plate_or_cushion_builds_none() -> None:
    for form in ("one-piece", "none"):
        job = Job().with_value("backing.form", form)
        assert backing_of(job, outline_for(job)) is None
        assert backing_outline(outline_for(job), job.backing).area == pytest.approx(outline_for(job).area)
    assert build_cushion(outline_for(Job()), Job().cushion) is None


def test_up_mark_is_a_nick_in_the_rim_at_the_side_that_is_up() -> None:
    base = leaning_drop()
    marked, plain = backing_of(Job(), base), backing_of(Job().with_value("handle.up_mark", False), base)
    assert marked is not None
    assert plain is not None
    missing = die_to_paper(section(plain, 3.5)).difference(die_to_paper(section(marked, 3.5)))
    assert missing.area == pytest.approx(1.0, rel=0.3)
    assert missing.centroid.y > 0.9 * base.bounds[3]
    assert missing.centroid.x == pytest.approx(base.centroid.x, abs=0.3)
    assert len(section(marked, 3.5).geoms[0].interiors) == 1, "the rim stays whole"


def test_rim_near_the_paper_is_found() -> None:
    assert examine_backing(Job().backing, Job().die) == ()
    (near,) = examine_backing(
        (job := Job().with_values({"backing.thickness": 8.0, "backing.seat_depth": 3.5})).backing, job.die
    )
    assert (near.severity, near.measured) == ("warns", pytest.approx(0.5))
    (over,) = examine_backing(
        (job := Job().with_values({"backing.thickness": 8.0, "backing.seat_depth": 4.0})).backing, job.die
    )
    assert over.severity == "blocks"


@settings(max_examples=20, deadline=None)
@given(
    corners=st.lists(st.tuples(st.floats(-40, 40), st.floats(-40, 40)), min_size=3, max_size=9),
    seat=st.sampled_from([0.0, 0.6, 1.0]),
)
def test_any_base_gets_a_sound_plate(corners: list[tuple[float, float]], seat: float) -> None:
    # Wandering outlines, made simple and at least 2 mm across everywhere, as a following base is.
    outline = shapely.MultiPoint(corners).convex_hull.buffer(2).difference(Point(corners[0]).buffer(1.5)).buffer(-0.5)
    base = max(shapely.get_parts(outline.buffer(0.5)), key=lambda part: part.area)
    if base.area < 10:
        return
    backing = backing_of(Job().with_value("backing.seat_depth", seat), Polygon(base.exterior))
    assert isinstance(backing, Solid)
    judged(backing)
