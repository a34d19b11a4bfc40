"""Traps: how far one ink runs under another, which of two does, and what stays open, against shapely's own offsets."""

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.inks import Separation, trap_inks
from stampwright.inks.separating import density_of
from stampwright.job.inks import Ink

YELLOW = Ink(name="yellow", colour="#f2c230")
GREEN = Ink(name="green", colour="#1f6b3a")
BLACK = Ink(name="black", colour="#101010", laid="overprint")

WIDTH = 0.3


def region(*parts):
    return MultiPolygon([part for each in parts for part in shapely.get_parts(each)])


def trapped(*pairs, width=WIDTH, gap=0.0):
    return [
        each.region
        for each in trap_inks([Separation(ink, region(part)) for ink, part in pairs], width, gap=gap).separations
    ]


def test_the_lighter_of_two_inks_runs_under_the_darker_by_the_width():
    left, right = box(-10, -5, 0, 5), box(0, -5, 10, 5)
    for one, other in (((YELLOW, left), (GREEN, right)), ((GREEN, left), (YELLOW, right))):
        done = dict(zip((one[0].name, other[0].name), trapped(one, other), strict=True))
        light, dark = (left, right) if one[0] is YELLOW else (right, left)
        expected = light.union(light.buffer(WIDTH, join_style="mitre").intersection(dark))
        assert done["yellow"].symmetric_difference(expected).area < 0.02
        assert done["green"].equals(dark)


def test_round_a_dot_the_trap_is_the_ring_that_an_offset_cuts():
    dot = Point(0, 0).buffer(4, quad_segs=64)
    light, dark = trapped((YELLOW, box(-10, -10, 10, 10).difference(dot)), (GREEN, dot))
    ring = dot.difference(dot.buffer(-WIDTH, quad_segs=64))
    assert light.intersection(dark).symmetric_difference(ring).area < 0.02 * ring.area
    assert dark.equals(region(dot))


def test_no_trap_goes_across_a_gap_or_over_paper():
    light, dark = box(-10, -5, 0, 5), box(0.2, -5, 10, 5)
    done = trapped((YELLOW, light), (GREEN, dark), width=0.5)
    assert done[0].equals(region(light))
    assert done[1].equals(region(dark))
    # A slit in the darker ink, narrower than the trap: beyond it nothing of the lighter appears.
    slit = box(0.1, -5, 0.2, 4)
    dark = box(0, -5, 10, 5).difference(slit)
    done = trapped((YELLOW, light), (GREEN, dark), width=0.5)
    assert done[0].intersection(slit).area == pytest.approx(0.0, abs=1e-9)
    assert not done[0].intersects(box(0.25, -5, 10, 3))


def test_under_a_thin_line_the_lighter_ink_stays_out_of_sight():
    light, line = box(-10, -5, 0, 5), box(0, -5, 0.4, 5)
    done = trapped((YELLOW, light), (GREEN, line), width=0.4)
    assert done[0].bounds[2] == pytest.approx(0.2, abs=0.005)


def test_what_a_trap_leaves_open_under_the_darker_ink_is_closed_where_it_would_not_print():
    dot = Point(0, 0).buffer(0.5, quad_segs=32)
    ground = box(-5, -5, 5, 5).difference(dot)
    open_still, _ = trapped((YELLOW, ground), (GREEN, dot))
    closed, _ = trapped((YELLOW, ground), (GREEN, dot), gap=0.6)
    assert sum(len(part.interiors) for part in open_still.geoms) == 1
    assert sum(len(part.interiors) for part in closed.geoms) == 0


def test_an_ink_that_overprints_fills_holes_below_but_for_paper_which_is_choked():
    ring = Point(0, 0).buffer(4, quad_segs=64).difference(Point(0, 0).buffer(2, quad_segs=64))
    ground = box(-10, -10, 10, 10).difference(Point(0, 0).buffer(4, quad_segs=64))
    light, dark = trapped((YELLOW, ground), (BLACK, ring))
    choked = Point(0, 0).buffer(2 + WIDTH, quad_segs=64)
    assert (
        light.intersection(Point(0, 0).buffer(3.9))
        .symmetric_difference(Point(0, 0).buffer(3.9).difference(choked))
        .area
        < 0.04
    )
    assert dark.equals(region(ring))


def test_three_inks_give_way_by_their_densities():
    done = trap_inks(
        [
            Separation(YELLOW, region(box(0, 0, 5, 5))),
            Separation(GREEN, region(box(5, 0, 10, 5))),
            Separation(Ink(name="blue", colour="#101c50"), region(box(10, 0, 15, 5))),
        ],
        WIDTH,
    )
    assert [(trap.lighter, trap.darker) for trap in done.traps] == [("yellow", "green"), ("green", "blue")]
    assert all(trap.densities[0] < trap.densities[1] for trap in done.traps)
    assert density_of(YELLOW) < density_of(GREEN)


def test_no_width_traps_nothing():
    left, right = box(-10, -5, 0, 5), box(0, -5, 10, 5)
    assert trapped((YELLOW, left), (GREEN, right), width=0.0) == [region(left), region(right)]


def test_a_seam_that_two_outlines_leave_is_no_gap():
    left, right = box(-10, -5, -0.004, 5), box(0.004, -5, 10, 5)
    light, dark = trapped((YELLOW, left), (GREEN, right))
    assert light.intersection(dark).area == pytest.approx(10 * WIDTH, rel=0.05)


def test_outlines_that_all_but_coincide_leave_no_pinholes_along_a_trap():
    steps = np.linspace(-5, 5, 81)
    # As two tracings of one edge lie: a few thousandths to either side of each other.
    edge = np.column_stack((0.004 * np.sin(40 * steps), steps))
    other = np.column_stack((0.004 * np.cos(31 * steps), steps + 0.03))
    light = Polygon([(-10, -5), *edge.tolist(), (-10, 5)])
    dark = Polygon([(10, -5), *other.tolist(), (10, 5)]).difference(light)
    under, _ = trapped((YELLOW, light), (GREEN, region(dark)), gap=0.4)
    assert len(under.geoms) == 1
    assert not [ring for part in under.geoms for ring in part.interiors]
    # But for the seam between the two.
    assert under.difference(light.union(dark).buffer(0.01)).area < 1e-6


def test_a_speck_between_inks_goes_to_the_one_that_is_round_it_and_is_told():
    speck, window = box(2, 2, 2.2, 2.2), box(5, 5, 8, 8)
    dark = box(-10, -10, 10, 10).difference(speck).difference(window)
    done = trap_inks([Separation(YELLOW, region(speck, window)), Separation(GREEN, region(dark))], WIDTH, gap=0.4)
    under, over = (each.region for each in done.separations)
    assert over.contains(speck)
    assert not under.intersects(box(1, 1, 3, 3))
    assert not over.intersects(window.buffer(-0.01))
    ((name, taken),) = done.specks
    assert name == "yellow"
    assert taken.area == pytest.approx(0.04, rel=0.01)


def test_a_speck_beside_paper_stays_with_its_ink():
    speck = box(0, 0, 0.2, 0.2)
    done = trap_inks([Separation(YELLOW, region(speck)), Separation(GREEN, region(box(0.2, -5, 9, 5)))], WIDTH, gap=0.4)
    assert not done.specks
    assert done.separations[0].region.contains(speck)
