"""A face pressed on paper: balance, evenness, and what is refused."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import Cancelled, PressError
from stampwright.job import Job
from stampwright.press import stated_conditions
from stampwright.press.contact.layers import Layer
from stampwright.press.contact.push import Push
from stampwright.press.faces.surface import bow_out, lay_beads
from stampwright.press.pushing.conditions import PressConditions
from stampwright.press.pushing.pressing import look_at_print, press_on_paper, push, set_up

SOLVERS = ("quick", "full")


@pytest.fixture(scope="module")
def marks():
    """Return a design with slim lines, a broad spot and nothing symmetric about it."""
    lines = [box(2, y, 14, y + 0.6) for y in np.arange(-6, 8, 1.8)]
    return MultiPolygon([Point(-5, 0).buffer(4), *lines, box(-10, -9, 14, -8)])


@pytest.mark.parametrize("solver", SOLVERS)
def test_pressure_adds_up_to_the_push_and_its_moments(stand_face, marks, solver):
    face = lay_beads(bow_out(stand_face(marks), 0.1), 0.4, 0.2, 3, 45.0)
    pressing = press_on_paper(face, PressConditions(force=50.0, at=(1.0, -0.5), solver=solver))
    load = pressing.pressure.astype(float) * face.pitch**2
    assert load.sum() == pytest.approx(50.0, rel=1e-5)
    assert pressing.force == pytest.approx(50.0, rel=1e-5)
    assert (load.sum(axis=0) @ face.x) / 50.0 == pytest.approx(1.0, abs=1e-3)
    assert (load.sum(axis=1) @ face.y) / 50.0 == pytest.approx(-0.5, abs=1e-3)
    assert (pressing.pressure >= 0.0).all()


@pytest.mark.parametrize("solver", SOLVERS)
def test_off_centre_push_presses_harder_where_it_is_and_prints_light_opposite(stand_face, solver):
    ring = Point(0, 0).buffer(15, quad_segs=32).difference(Point(0, 0).buffer(14, quad_segs=32))
    rig = set_up(stand_face(MultiPolygon([ring])), PressConditions(solver=solver))
    shares, ratios = [], []
    for shift in (0.0, 3.0, 6.0, 10.0):
        pressing = push(rig, 30.0, at=(shift, 0.0))
        right, left = pressing.pressure[:, rig.face.x > 12.0], pressing.pressure[:, rig.face.x < -12.0]
        ratios.append(right.sum() / max(left.sum(), 1e-9))
        shares.append(pressing.printed_share(0.05))
    assert ratios[0] == pytest.approx(1.0, rel=0.02)
    assert ratios == sorted(ratios)
    assert shares[0] > 0.99
    assert shares == sorted(shares, reverse=True)
    assert shares[-1] < 0.8


def test_kept_level_the_stamp_does_not_turn(stand_face, marks):
    pressing = press_on_paper(stand_face(marks), PressConditions(free=False, at=(5.0, 5.0)))
    assert pressing.slopes == (0.0, 0.0)


@pytest.mark.parametrize("solver", SOLVERS)
def test_push_to_the_depth_that_a_force_gave_takes_that_force(stand_face, marks, solver):
    rig = set_up(bow_out(stand_face(marks), 0.05), PressConditions(free=False, solver=solver))
    held = push(rig, 40.0)
    again = push(rig, depth=held.approach)
    assert again.force == pytest.approx(40.0, rel=0.01)


def test_both_solvers_give_a_flat_face_the_same_mean_give(stand_face, marks):
    face = stand_face(marks)
    quick, full = (press_on_paper(face, PressConditions(solver=solver)) for solver in SOLVERS)
    # Springs answer to even pressure as the layers do; uneven pressure is the full solver's to find.
    assert quick.approach == pytest.approx(full.approach, rel=0.1)
    assert quick.printed_share(0.02) == pytest.approx(full.printed_share(0.02), abs=0.02)


@settings(max_examples=15, deadline=None)
@given(st.floats(1.0, 200.0), st.floats(0.0, 0.2))
def test_pushing_harder_prints_more(stand_face, force, bow):
    ring = Point(0, 0).buffer(8, quad_segs=32).difference(Point(0, 0).buffer(6, quad_segs=32))
    rig = set_up(bow_out(stand_face(MultiPolygon([ring])), bow), PressConditions(free=False))
    less, more = push(rig, force), push(rig, force * 1.3)
    assert more.printed_share(0.02) >= less.printed_share(0.02)
    assert more.approach > less.approach


def test_cushion_evens_out_a_bowed_face(stand_face, marks):
    face = bow_out(stand_face(marks), 0.15)
    stiff = press_on_paper(face, PressConditions())
    soft = press_on_paper(face, PressConditions(behind=(Layer(3.0, 0.6, 0.3),)))
    assert soft.printed_share(0.02) > stiff.printed_share(0.02) + 0.1


@pytest.mark.parametrize("solver", SOLVERS)
def test_answer_does_not_hang_on_the_raster(stand_face, marks, solver):
    shares = []
    for dpi in (127.0, 254.0):
        face = bow_out(stand_face(marks, dpi=dpi), 0.1)
        shares.append(press_on_paper(face, PressConditions(solver=solver)).printed_share(0.02))
    assert shares[0] == pytest.approx(shares[1], abs=0.03)


def test_mirrored_face_is_pressed_as_the_mirror_image(stand_face, marks):
    face = stand_face(marks)
    turned = stand_face(affinity.scale(marks, -1, 1, origin=(0, 0)))
    there = press_on_paper(face, PressConditions(at=(1.0, 0.0), solver="full"))
    back = press_on_paper(turned, PressConditions(at=(-1.0, 0.0), solver="full"))
    assert back.slopes[0] == pytest.approx(-there.slopes[0], rel=0.02)
    assert back.pressure.max() == pytest.approx(there.pressure.max(), rel=0.05)


def test_conditions_follow_the_job():
    job = Job().with_values(
        {
            "press.force": 45.0,
            "press.off_centre_x": 3.0,
            "press.turning": "none",
            "cushion.thickness": 2.0,
            "die.material": "tpu-85a",
            "press.solver": "full",
        }
    )
    conditions = stated_conditions(job)
    assert (conditions.force, conditions.at, conditions.free) == (45.0, (3.0, 0.0), False)
    assert conditions.solver == "full"
    # Between the relations for 85 Shore A: 10.2 (error function) and 22.8 (log-linear) MPa.
    assert 10.2 < conditions.stiffness < 22.8
    cushion, (backing,) = conditions.cushion, conditions.behind
    assert conditions.behind_face()[-2:] == (cushion, backing)
    assert (cushion.thickness, cushion.stiffness) == (2.0, job.cushion.stiffness)
    assert backing.thickness == pytest.approx(job.backing.thickness - job.backing.seat_depth)


def test_hollow_floor_is_skins_round_a_soft_core():
    conditions = PressConditions(floor=2.0, walls=2, layer=0.2, infill=0.3)
    skin, core, under = conditions.floor_layers()
    assert (skin.thickness, core.thickness, under.thickness) == pytest.approx((0.4, 1.2, 0.4))
    assert core.stiffness < 0.3 * skin.stiffness


def test_work_can_be_stopped(stand_face, marks):
    def stop(share: float) -> None:
        assert 0.0 <= share <= 1.0
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        press_on_paper(stand_face(marks), PressConditions(solver="full"), progress=stop)


class TestRefusals:
    @pytest.mark.parametrize("force", [0.0, -5.0, math.nan, math.inf])
    def test_force_that_presses_nothing(self, force):
        with pytest.raises(PressError, match="above 0 N"):
            PressConditions(force=force)

    def test_force_beyond_what_the_relief_bears_names_the_most(self, stand_face, marks):
        rig = set_up(stand_face(marks), PressConditions())
        most = rig.greatest_force
        with pytest.raises(PressError, match=f"up to {most:.0f} N"):
            push(rig, most * 1.01)
        assert push(rig, most * 0.99).force == pytest.approx(most * 0.99, rel=1e-4)

    def test_push_outside_the_face_tips_it(self, stand_face, marks):
        with pytest.raises(PressError, match="tip over"):
            press_on_paper(stand_face(marks), PressConditions(at=(40.0, 0.0)))

    def test_no_face(self, stand_face, marks):
        face = stand_face(marks)
        with pytest.raises(PressError, match="less than 1 mm²"):
            set_up(replace(face, face=np.zeros_like(face.face)), PressConditions())

    def test_no_relief(self, stand_face, marks):
        with pytest.raises(PressError, match="raised face"):
            set_up(replace(stand_face(marks), relief=0.0), PressConditions())

    def test_hollow_die_without_infill(self, stand_face, marks):
        with pytest.raises(PressError, match="infill 0"):
            set_up(stand_face(marks), PressConditions(infill=0.0))

    @pytest.mark.parametrize(
        ("figures", "says"),
        [({"solver": "magic"}, "quick or full"), ({"infill": 1.2}, "0 .* 1"), ({"stiffness": 0.0}, "0.01 to 100000")],
    )
    def test_conditions_that_cannot_be(self, figures, says):
        with pytest.raises(PressError, match=says):
            PressConditions(**figures)

    @pytest.mark.parametrize("given_both", [{}, {"force": 1.0, "depth": 1.0}])
    def test_push_takes_force_or_depth(self, given_both):
        with pytest.raises(PressError, match="either"):
            Push(**given_both)

    @pytest.mark.parametrize("layer", [(0.0, 1.0, 0.3), (1.0, -1.0, 0.3), (1.0, 1.0, 0.6), (math.nan, 1.0, 0.3)])
    def test_layers_that_cannot_be(self, layer):
        with pytest.raises(PressError, match="not allowed"):
            Layer(*layer)


def test_a_gauge_lets_a_stamp_tilt_until_its_lip_rests_and_no_further(stand_face):
    face = stand_face(MultiPolygon([box(-2, -2, 2, 2)]), 100.0)
    aside = PressConditions(force=4.0, at=(4.0, 0.0))
    with pytest.raises(PressError, match="tip over"):
        press_on_paper(face, aside)
    held = press_on_paper(face, replace(aside, rests_at=0.05))
    # The die ends 5 mm off the middle of its face: there the lip is down by what it had left.
    assert held.slopes == pytest.approx((0.05 / 5.0, 0.0), rel=0.03)
    assert held.force == pytest.approx(4.0, rel=1e-3)
    # A push that tilts it by less is not touched.
    near = replace(aside, at=(0.1, 0.0))
    assert press_on_paper(face, replace(near, rests_at=0.05)).slopes == press_on_paper(face, near).slopes


@pytest.mark.parametrize("free", [True, False])
def test_a_look_at_a_push_sees_what_its_map_shows_and_which_push_would_do(stand_face, free):
    marks = MultiPolygon([box(-8, -6, -1, 2), box(2, -1, 7, 6)])
    rig = set_up(bow_out(stand_face(marks), 0.08), PressConditions(free=free))
    pressing, seen = push(rig, 15.0), look_at_print(rig, 15.0, 0.1, wanted=0.9)
    assert seen.share == pytest.approx(pressing.printed_share(0.1), abs=1e-4)
    assert seen.strain == pytest.approx(pressing.strain)
    again = look_at_print(rig, 15.0, 0.1, start=np.array([0.4, 0.01, -0.01]))
    assert again.share == pytest.approx(seen.share, abs=1e-4)
    if not free:
        # Kept level it does not turn, so that the push that it names is the one.
        just, less = (look_at_print(rig, share * seen.nearest, 0.1).share for share in (1.001, 0.99))
        assert just >= 0.9 > less


@pytest.mark.parametrize("back", [0.05, 1.0, 30.0])
def test_a_look_arrives_from_a_start_that_hardly_touches(stand_face, marks, back):
    rig = set_up(lay_beads(bow_out(stand_face(marks), 0.1), 0.4, 0.2, 3, 45.0), PressConditions())
    seen = look_at_print(rig, 40.0, 0.05)
    start = seen.motion - (back, 0.03, -0.02)
    assert look_at_print(rig, 40.0, 0.05, start=start).share == pytest.approx(seen.share, abs=1e-4)
