"""Promises of preflight: what will not print is found where it is, with its measure; what prints is left alone."""

import math
from collections import Counter

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.findings import blocking
from stampwright.job import Job
from stampwright.preflight import (
    DENSE_OUTLINE,
    FLOODING_COUNTER,
    HIGH_COVER,
    ISOLATED_DOT,
    KINDS,
    NARROW_GAP,
    SPECK,
    SPIKE,
    THIN_LINE,
    TOUCHING_CORNERS,
)
from stampwright.preflight.examining import MOST_OF_A_KIND

from ..stages import examined
from .conftest import laid


def found(ink, job=None):
    return examined(job or Job(), laid(ink, job))


def kinds_of(findings):
    return Counter((finding.severity, finding.kind) for finding in findings)


def test_sound_ink_has_no_findings():
    assert found(Point(0, 0).buffer(8).difference(Point(0, 0).buffer(5))) == ()
    assert found(MultiPolygon()) == ()


def test_line_under_one_extrusion_blocks_with_its_place_and_measure():
    ink = MultiPolygon([box(-10, -5, 10, -3), box(-8, 2, 8, 2.3)])
    (finding,) = found(ink)
    assert (finding.kind, finding.severity, finding.stage) == (THIN_LINE, "blocks", "preflight")
    assert finding.measured == pytest.approx(0.3, abs=1e-6)
    assert finding.limit == pytest.approx(0.4)
    assert finding.place.covers(box(-7.8, 2, 7.8, 2.3))
    assert not finding.place.intersects(ink.geoms[0])
    assert "0.30 mm wide over 15.7 mm" in finding.message
    assert finding.remedy


def test_line_between_one_and_two_extrusions_warns():
    (finding,) = found(box(-8, 0, 8, 0.6))
    assert (finding.kind, finding.severity) == (THIN_LINE, "warns")
    assert (finding.measured, finding.limit) == (pytest.approx(0.6, abs=1e-6), pytest.approx(0.8))


def test_remedy_counts_on_repair_only_until_it_has_been_tried():
    (before,) = found(box(-8, 0, 8, 0.3))
    assert before.remedy.endswith("use a finer nozzle, or let preflight.repair thicken it")
    (after,) = found(box(-8, 0, 8, 0.3), Job().with_value("preflight.repair", True))
    assert after.remedy == "Draw it wider, enlarge the artwork, or use a finer nozzle"


@pytest.mark.parametrize(("width", "severity"), [(0.395, "warns"), (0.385, "blocks")])
def test_limit_holds_within_the_measuring_error(width, severity):
    (finding,) = found(box(-8, 0, 8, width))
    assert finding.severity == severity


def test_limits_follow_nozzle_and_line_ratio():
    fine = Job().with_values({"printer.nozzle": 0.25, "printer.line_ratio": 1.1})
    (finding,) = found(box(-8, 0, 8, 0.3), fine)
    assert finding.severity == "warns"
    assert finding.limit == pytest.approx(2 * 0.275)


def test_each_thin_line_is_one_finding():
    ink = MultiPolygon([box(-8, y, 8, y + 0.3) for y in range(-5, 6)])
    assert kinds_of(found(ink)) == {("blocks", THIN_LINE): 11}


def test_a_long_line_is_told_by_its_own_width_and_by_the_spot_where_it_is_pinched():
    """A line 0.3 mm wide, pinched to 0.04 mm where another shape all but cuts it."""
    pinch = Polygon([(-0.1, 0.02), (0.1, 0.02), (0.1, 0.3), (-0.1, 0.3)])
    (finding,) = found(
        box(-15, -0.15, 15, 0.15).difference(pinch).difference(affinity.scale(pinch, 1, -1, origin=(0, 0)))
    )
    assert "Ink 0.30 mm wide over 29.4 mm, 0.04 mm where it is narrowest, is narrower" in finding.message
    assert finding.measured == pytest.approx(0.04, abs=0.005)


def test_two_thin_places_of_one_outline_are_two_findings():
    ink = shapely.union_all(
        [box(-10, -2, -4, 2), box(4, -2, 10, 2), box(-14, -0.15, -9, 0.15), box(9, -0.15, 14, 0.15)]
    )
    findings = found(MultiPolygon(list(ink.geoms)))
    assert kinds_of(findings) == {("blocks", THIN_LINE): 2}
    assert sorted(round(finding.place.centroid.x) for finding in findings) == [-12, 12]


@pytest.mark.parametrize(("slope", "said"), [(0.25, (THIN_LINE, "blocks")), (1.0, (TOUCHING_CORNERS, "notes"))])
def test_a_waist_is_a_thin_line_where_it_is_long_and_a_joint_where_broad_parts_all_but_touch(slope, said):
    high = 0.08 + 3 * slope
    (finding,) = found(Polygon([(-3, -high), (0, -0.08), (3, -high), (3, high), (0, 0.08), (-3, high)]))
    assert (finding.kind, finding.severity) == said
    assert finding.measured == pytest.approx(0.16)
    assert finding.place.contains(Point(0, 0))


def test_a_notch_near_the_tip_of_a_corner_is_no_thin_line():
    # As tracing leaves a triangle: a notch in both flanks, 0.17 mm apart.
    right = [(0.01, 0.0), (0.1, -0.16), (0.085, -0.17), (1.8, -3.0)]
    triangle = Polygon([*right, *((-x, y) for x, y in reversed(right))])
    assert not {finding.kind for finding in found(triangle)} & {THIN_LINE, SPIKE}


def test_thorn_is_a_spike_with_the_length_that_goes_missing():
    half = math.radians(5)
    (finding,) = found(Polygon([(-10, -10 * math.tan(half)), (0, 0), (-10, 10 * math.tan(half))]))
    assert (finding.kind, finding.severity) == (SPIKE, "warns")
    # Discs narrower than 0.39 mm (the limit less the measuring error) are centred on the last 0.195 / sin(5 deg).
    assert finding.measured == pytest.approx(0.195 / math.sin(half), abs=0.02)


def test_very_long_taper_is_a_line():
    half = math.radians(2)
    (finding,) = found(Polygon([(-20, -20 * math.tan(half)), (0, 0), (-20, 20 * math.tan(half))]))
    assert (finding.kind, finding.severity) == (THIN_LINE, "blocks")


def test_corners_of_stars_and_triangles_are_left_alone():
    angles = np.arange(10) * math.pi / 5
    radii = np.where(np.arange(10) % 2 == 0, 10.0, 3.8196601)
    assert found(Polygon(np.column_stack([radii * np.cos(angles), radii * np.sin(angles)]))) == ()
    assert found(Polygon([(-5, 0), (5, 0), (0, 8)])) == ()


@pytest.mark.parametrize("turn", [0, 30])
def test_serifs_on_both_sides_of_a_stem_are_bumps_of_it_and_not_one_line(turn):
    """However many edges the foot that they share has: straight, it is one."""
    stem, foot = box(-0.41, 0.1, 0.41, 6), box(-0.78, 0, 0.78, 0.3)
    letter = affinity.rotate(stem.union(foot), turn, origin=(0, 0))
    assert not blocking(found(letter))
    assert not blocking(found(shapely.segmentize(letter, 0.1)))


def test_gap_that_the_spread_closes_warns():
    ink = MultiPolygon([box(-8, -3, 8, -0.07), box(-8, 0.07, 8, 3)])
    (finding,) = found(ink)
    assert (finding.kind, finding.severity) == (NARROW_GAP, "warns")
    assert (finding.measured, finding.limit) == (pytest.approx(0.14, abs=1e-6), pytest.approx(0.2))
    assert found(ink, Job().with_value("ink.spread", 0.05)) == ()


def test_pointed_end_of_a_notch_is_no_gap():
    notched = box(-8, -3, 8, 3).difference(Polygon([(-1, 3.1), (0, -1), (1, 3.1)]))
    assert found(notched) == ()


def test_small_counter_floods_and_is_not_named_again_as_a_gap():
    block = box(-4, -4, 4, 4)
    (finding,) = found(block.difference(Point(1, 2).buffer(0.15)))
    assert (finding.kind, finding.severity) == (FLOODING_COUNTER, "warns")
    assert finding.measured == pytest.approx(0.3, abs=0.01)
    assert finding.place.distance(Point(1, 2)) == 0
    (slit,) = found(block.difference(box(-3, 0, 3, 0.15)))
    assert slit.kind == FLOODING_COUNTER
    assert slit.measured == pytest.approx(0.15, abs=0.01)


@pytest.mark.parametrize(("radius", "severity"), [(0.15, "blocks"), (0.3, "warns")])
def test_speck_is_one_finding_however_thin_it_is(radius, severity):
    ink = MultiPolygon([box(-4, -4, 4, 4), Point(6, 0).buffer(radius)])
    (finding,) = found(ink)
    assert (finding.kind, finding.severity) == (SPECK, severity)
    assert finding.measured == pytest.approx(2 * radius, abs=1e-6)


def test_dot_alone_warns_and_dot_in_company_does_not():
    block, dot = box(-20, -4, -12, 4), Point(0, 0).buffer(0.8)
    (finding,) = found(MultiPolygon([block, dot]))
    assert (finding.kind, finding.severity) == (ISOLATED_DOT, "warns")
    assert finding.measured == pytest.approx(1.6, abs=1e-6)
    assert found(MultiPolygon([block, affinity.translate(dot, -8)])) == ()


def test_high_cover_warns_with_the_share():
    (finding,) = found(Point(0, 0).buffer(20, quad_segs=64))
    assert (finding.kind, finding.severity) == (HIGH_COVER, "warns")
    # (20 / 25)^2 of the base's area.
    assert finding.measured == pytest.approx(0.64, abs=1e-3)


def test_dense_outline_is_noted():
    findings = found(Point(0, 0).buffer(5, quad_segs=2000))
    assert kinds_of(findings) == {("notes", DENSE_OUTLINE): 1}
    assert findings[0].measured == pytest.approx(8000 / (10 * math.pi), rel=1e-3)


def test_modules_that_meet_at_corners_are_noted_once():
    modules = MultiPolygon([box(i, j, i + 1, j + 1) for i in range(6) for j in range(6) if (i + j) % 2])
    findings = found(modules)
    assert kinds_of(findings) == {("notes", TOUCHING_CORNERS): 1}
    assert "25 pairs of corners touch" in findings[0].message


def test_findings_come_gravest_and_narrowest_first():
    ink = MultiPolygon([box(-8, y, 8, y + width) for y, width in enumerate((0.7, 0.2, 0.5, 0.3))])
    assert [round(finding.measured, 2) for finding in found(ink)] == [0.2, 0.3, 0.5, 0.7]


def test_very_many_findings_are_counted_and_not_all_listed():
    ink = MultiPolygon([box(0.6 * i - 18, -1, 0.6 * i - 18 + 0.2, 1) for i in range(60)])
    findings = found(ink)
    assert kinds_of(findings) == {("blocks", THIN_LINE): MOST_OF_A_KIND, ("notes", THIN_LINE): 1}
    assert "20 more of this kind block; the 40 worst are listed" in findings[-1].message


def test_accepted_kinds_warn_instead_of_blocking():
    job = Job().with_value("preflight.accept", [THIN_LINE])
    findings = found(MultiPolygon([box(-8, 0, 8, 0.3), Point(0, 4).buffer(0.1)]), job)
    assert kinds_of(findings) == {("warns", THIN_LINE): 1, ("blocks", SPECK): 1}
    assert [finding.kind for finding in blocking(findings)] == [SPECK]


def test_every_kind_of_finding_can_be_named():
    assert len(set(KINDS)) == len(KINDS)
    assert {THIN_LINE, SPIKE, NARROW_GAP, FLOODING_COUNTER, SPECK, ISOLATED_DOT}.issubset(KINDS)


def test_limits_of_nothing_find_nothing():
    job = Job().with_values(
        {
            "preflight.block_lines": 0.0,
            "preflight.warn_lines": 0.0,
            "preflight.speck": 1e-6,
            "preflight.dot": 0.0,
            "ink.spread": 0.0,
        }
    )
    ink = MultiPolygon([box(0, 0, 8, 0.05), box(0, 0.06, 8, 0.1), Point(0, 5).buffer(0.1)])
    assert found(ink, job) == ()


def test_a_barb_smaller_than_anything_is_measured_to_is_no_thin_line():
    """Where outlines were joined, one may step back by a ten-thousandth of a millimetre: nothing prints of that."""
    barb = Polygon([(0, 0), (10, 0), (10, 5), (0, 5), (0, 2.4997), (-0.0002, 2.5), (-0.00003, 2.4995), (0, 2.499)])
    assert found(barb) == ()
    larger = Polygon([(10, 0), (10, 5), (0, 5), (0, 2.7), (-4, 2.6), (0, 2.5), (0, 0)])
    assert found(larger)
