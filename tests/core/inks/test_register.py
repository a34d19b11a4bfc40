"""Play and misregister: closed forms of plain shapes, and what a miss shows."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import SolidError
from stampwright.inks import Separation, play_by_hand, play_in_gauge, throw_inks, trap_inks
from stampwright.inks.misregister import COUNTER, GAP, THROWS, width_of
from stampwright.inks.play import SEED, moved_by
from stampwright.job import Job
from stampwright.job.heights import snap_heights
from stampwright.job.inks import Ink
from stampwright.layout.bases import outline_base
from stampwright.parts import build_backing
from stampwright.parts.backing import lip_height, seat_height
from stampwright.parts.gauge import SHEET, UNDER, build_gauge, rest_of
from stampwright.plane.frames import die_to_paper, paper_to_die
from stampwright.solids import section
from stampwright.solids.soundness import check_soundness

LEFT, RIGHT = MultiPolygon([box(-10, -5, 0, 5)]), MultiPolygon([box(0, -5, 10, 5)])
C = 0.15

YELLOW, GREEN = Ink(name="yellow", colour="#f2c230"), Ink(name="green", colour="#1f6b3a")
RED = Ink(name="red", colour="#c0302b")


def test_a_dot_in_the_middle_of_a_square_backing_moves_by_the_diagonal_of_the_clearance():
    play = play_in_gauge(box(-20, -20, 20, 20), C, 0.0, Point(0, 0).buffer(0.01))
    assert play.worst == pytest.approx(2 * C * math.sqrt(2), rel=0.02)
    # Turned as far as it goes about its middle, its corners touch: 20 (cos t + sin t) = 20 + c.
    assert math.radians(play.turn) == pytest.approx(C / 20, rel=0.02)


def test_a_long_backing_turns_less_and_what_is_far_out_moves_more():
    near, far = (play_in_gauge(box(-30, -10, 30, 10), C, 0.0, Point(x, 0).buffer(0.01)) for x in (0, 29))
    assert far.likely > near.likely
    assert far.worst == pytest.approx(near.worst)
    assert math.radians(far.turn) == pytest.approx(C / 30, rel=0.02)


def test_every_place_that_is_drawn_keeps_the_backing_in_its_window():
    outline = Point(0, 0).buffer(25).union(box(20, -4, 28, 4))
    window = outline.buffer(C + 1e-3, join_style="mitre")
    play = play_in_gauge(outline, C, 0.0, outline)
    for place in play.draw(200, np.random.default_rng(1)):
        assert moved_by(outline, place).difference(window).area < 0.02
    assert play.likely < play.worst


def test_the_sheet_adds_to_the_play():
    art = Point(0, 0).buffer(5)
    plain, loose = (play_in_gauge(box(-20, -20, 20, 20), C, sheet, art) for sheet in (0.0, 0.2))
    assert loose.worst == pytest.approx(plain.worst + 2 * 0.2 * math.sqrt(2))


def test_gaps_of_two_rectangles_that_abut_are_as_wide_as_the_miss():
    play = play_by_hand(0.6, LEFT, measured=True)
    missed = throw_inks([LEFT, RIGHT], play)
    shift = missed.worst.places[1][0]
    assert 0.4 < shift <= 0.6
    assert missed.worst.gap_area == pytest.approx(10 * shift, rel=0.05)
    assert missed.worst.gap_width == pytest.approx(shift, rel=0.02)
    assert missed.perfect.gap_area == 0.0
    assert [finding.kind for finding in missed.findings] == [GAP]


def test_a_trap_as_wide_as_the_miss_leaves_no_gap():
    play = play_by_hand(0.6, LEFT, measured=True)
    under = MultiPolygon([box(-10, -5, 0.6, 5)])
    missed = throw_inks([under, RIGHT], play)
    assert missed.worst.gap_area < 0.05
    assert missed.perfect.overlap == pytest.approx(6.0)
    assert not missed.findings


def test_the_worst_throw_is_that_of_all_which_bares_the_most_paper():
    # Three inks meet round a few dots, where little is bared in few throws: far less than spots lie apart.
    ground, dots = box(-15, -15, 15, 15), [Point(9 * math.cos(at), 9 * math.sin(at)).buffer(1.4) for at in range(6)]
    leaf = Point(0, 0).buffer(9, quad_segs=32)
    top = MultiPolygon(dots)
    regions = (leaf.difference(top), ground.difference(leaf).difference(top), top)
    inks = (YELLOW, GREEN, RED)
    given = [Separation(ink, MultiPolygon([*shapely.get_parts(each)])) for ink, each in zip(inks, regions, strict=True)]
    printed = [each.region for each in trap_inks(given, 0.66, gap=0.4).separations]
    play = play_by_hand(0.75, ground, measured=True)

    chance = np.random.default_rng(SEED)
    throws = np.stack([play.draw(THROWS, chance) for _ in printed], axis=1)
    bared = []
    for places in throws - throws[:, :1]:
        landed = [affinity.translate(ink, x, y) for ink, (x, y, _) in zip(printed, places, strict=True)]
        bared.append(ground.buffer(-2).difference(shapely.union_all(landed)).area)
    missed = throw_inks(printed, play)
    assert 0.01 < max(bared) < 0.5
    assert missed.worst.gap_area == pytest.approx(max(bared), rel=0.02)


def test_a_counter_between_two_inks_that_a_likely_miss_closes_is_told():
    play = play_by_hand(0.8, LEFT, measured=True)
    slot = box(-0.25, -2, 0.25, 2)
    missed = throw_inks(
        [MultiPolygon([box(-10, -5, 0, 5).difference(slot)]), MultiPolygon([box(0, -5, 10, 5).difference(slot)])], play
    )
    assert COUNTER in [finding.kind for finding in missed.findings]


def test_width_is_that_of_the_widest_disc():
    assert width_of(MultiPolygon([box(0, 0, 10, 0.4), box(20, 0, 20.2, 5)])) == pytest.approx(0.4, rel=0.01)


@pytest.mark.parametrize("outline", ["round", "rectangle", "ellipse"])
def test_a_backing_goes_into_the_gauge_with_its_clearance_and_in_one_way_only(outline):
    job = Job().with_values({"backing.key": True, "base.outline": outline, "base.width": 46.0, "base.height": 46.0})
    base = outline_base(job.base)
    gauge = build_gauge(base, job)
    assert check_soundness(gauge.solid.vertices, gauge.solid.triangles).sound
    backing = build_backing(base, job.backing, job.cushion, layer=0.2, up_mark=True)
    # Both as they are written: the gauge lies on its face, the backing on its back, each reversed once.
    cut = die_to_paper(section(gauge.solid, 1.0))
    window = shapely.Polygon(max(cut.geoms, key=lambda part: part.area).interiors[0])
    plate = shapely.Polygon(die_to_paper(section(backing, 2.9)).geoms[0].exterior)
    assert window.contains(plate)
    assert plate.distance(window.exterior) == pytest.approx(job.register.clearance, abs=0.01)
    for turn in range(5, 360, 5):
        turned = affinity.rotate(plate, turn, origin=(0, 0))
        assert turned.difference(window).area > 0.5, turn


@pytest.mark.parametrize("settings", [{}, {"printer.hard_layer": 0.3}, {"cushion.thickness": 2.0}, {"die.relief": 1.2}])
def test_the_lip_rests_on_the_gauge_just_after_the_dressed_face_has_touched(settings):
    job = Job().with_values({"backing.key": True, **settings})
    base, layer = outline_base(job.base), job.printer.hard.layer
    gauge = build_gauge(base, job)
    backing = build_backing(base, job.backing, job.cushion, layer=layer, up_mark=True)
    assert check_soundness(backing.vertices, backing.triangles).sound
    under, over = (shapely.Polygon(section(backing, z).geoms[0].exterior) for z in (0.5, lip_height(layer) + 0.05))
    # Lip and window: what is wider than the window goes all round it.
    assert under.contains(paper_to_die(gauge.window))
    assert paper_to_die(gauge.window).contains(over)
    heights = snap_heights(job)
    lies_on = seat_height(job.backing, layer) - lip_height(layer)
    touches = SHEET + heights.floor + heights.relief + job.cushion.thickness + lies_on
    assert rest_of(job) == pytest.approx(touches - gauge.height)
    assert 0.07 < rest_of(job) < 0.1 + layer


def test_a_plate_that_is_hardly_thicker_than_its_lip_goes_into_no_gauge_and_is_refused():
    job = Job().with_values({"backing.key": True, "backing.thickness": 1.6, "backing.seat_depth": 0.4})
    with pytest.raises(SolidError, match=r"lip 1.6 mm of that.*backing.thickness to 2 or more, or register.gauge"):
        build_backing(outline_base(job.base), job.backing, job.cushion, layer=0.2, up_mark=True)
    thicker = job.with_value("backing.thickness", 2.0)
    assert build_backing(outline_base(job.base), thicker.backing, job.cushion, layer=0.2, up_mark=True)


def test_the_sheet_goes_under_the_frame_and_stops_at_both_fences():
    job = Job().with_values({"backing.key": True})
    gauge = build_gauge(outline_base(job.base), job)
    fences = die_to_paper(section(gauge.solid, gauge.height - UNDER / 2))
    x, y = gauge.corner
    sheet = box(x, y - 100, x + 150, y)
    assert fences.intersection(sheet).area < 1e-3
    assert fences.distance(sheet) == pytest.approx(0.0, abs=1e-3)
    assert fences.bounds[0] < x - 5
    assert fences.bounds[3] > y + 5
    assert x == pytest.approx(-25 - job.register.inset)
