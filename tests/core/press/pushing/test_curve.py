"""The push curve, the push that prints whole, advice, and what the assumptions do."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright.job import Job
from stampwright.job.materials import MATERIALS
from stampwright.looks.numbers import newtons
from stampwright.press.faces.printed import Texture, dressed, scaled, thinned
from stampwright.press.inking.ink import InkFilm
from stampwright.press.pushing.advice import Design, advise
from stampwright.press.pushing.assumptions import assumptions, sensitivities
from stampwright.press.pushing.conditions import PressConditions, stiffness_of
from stampwright.press.pushing.hands import (
    FINGERS,
    FINGERTIPS,
    HAND_FORCES,
    PALM_ON_SHEET,
    SEATED_PALM,
    STANDING_PALM,
)
from stampwright.press.pushing.off_centre import OffCentre, reach_off_centre
from stampwright.press.pushing.pressing import push, set_up
from stampwright.press.pushing.push_curve import WHOLE, force_to_print, push_curve

from ... import stages

INK = InkFilm()


@pytest.fixture(scope="module")
def face(stand_face):
    """Return a heavy face: a ring, a spot and bars."""
    ring = Point(0, 0).buffer(18, quad_segs=32).difference(Point(0, 0).buffer(16, quad_segs=32))
    bars = [box(-9, y, 9, y + 1.2) for y in (-8, -5, -2, 5, 8)]
    return stand_face(MultiPolygon([ring, *bars, Point(0, 2).buffer(1.2)]), dpi=100)


@pytest.fixture(scope="module")
def design(face):
    return Design(face, Texture(bow=0.12), 0.0, PressConditions(), INK)


def test_curve_climbs_from_little_to_all(face):
    curve = push_curve(set_up(dressed(face, Texture(), 0.05), PressConditions()), INK)
    assert list(curve.shares) == sorted(curve.shares)
    assert curve.shares[0] < 0.6
    assert curve.shares[-1] > WHOLE
    assert curve.forces[0] < curve.whole_at < curve.forces[-1]


def test_push_for_the_whole_is_the_least_that_does(face):
    rig = set_up(dressed(face, Texture(), 0.05), PressConditions())
    force = force_to_print(rig, INK)
    assert push(rig, force).printed_share(INK.solid_from) >= WHOLE
    assert push(rig, force * 0.97).printed_share(INK.solid_from) < WHOLE


def test_dressing_brings_the_push_down_to_what_evenness_needs(face):
    forces = [
        force_to_print(set_up(dressed(face, Texture(bow=0.12), depth), PressConditions()), INK)
        for depth in (0.0, 0.08, 0.2)
    ]
    assert forces == sorted(forces, reverse=True)
    # Flat, every place needs the threshold and no more; a little over, for the layers yield most where ink is dense.
    least = INK.solid_from * face.face_area * WHOLE
    assert least * 0.9 < forces[-1] < 2.0 * least


def test_face_that_no_push_prints_whole_has_no_such_push(face):
    half_low = replace(face, height=face.height.copy())
    half_low.height[:, face.x > 3.0] -= 1.95
    assert force_to_print(set_up(half_low, PressConditions(free=False)), INK) is None


def test_curve_leaves_out_what_the_relief_cannot_bear(stand_face):
    tiny = stand_face(MultiPolygon([box(0, 0, 2, 2)]))
    curve = push_curve(set_up(tiny, PressConditions(stiffness=1.0, free=False)), INK)
    assert curve.forces
    assert max(curve.forces) < 100.0


class TestAdvice:
    def test_advice_does_what_it_says_when_solved_again(self, design):
        now, pieces = advise(design, SEATED_PALM, 34.0)
        assert now > SEATED_PALM.newtons
        by_change = {piece.change: piece for piece in pieces}
        assert by_change["dress deeper"].enough
        deeper = dressed(design.face, design.texture, by_change["dress deeper"].value)
        force = force_to_print(set_up(deeper, design.conditions), INK)
        assert force == pytest.approx(by_change["dress deeper"].force, rel=0.03)
        assert force <= SEATED_PALM.newtons
        assert all(piece.force < now for piece in pieces)
        assert all(newtons(piece.force) in piece.message for piece in pieces)
        assert [piece.enough for piece in pieces] == sorted((piece.enough for piece in pieces), reverse=True)

    def test_comfortable_stamp_needs_no_advice(self, design):
        flat = replace(design, dressing=0.3)
        now, pieces = advise(flat, STANDING_PALM, 34.0)
        assert now < STANDING_PALM.newtons
        assert pieces == ()

    def test_slim_handle_is_advised_to_be_broader(self, design):
        middling = replace(design, dressing=0.11)
        now, pieces = advise(middling, FINGERS, 20.0)
        assert FINGERS.newtons < now < STANDING_PALM.newtons
        assert "broader handle" in {piece.change for piece in pieces}
        _, pieces = advise(middling, replace(FINGERS, newtons=now / 1.5), 40.0)
        assert "broader handle" not in {piece.change for piece in pieces}

    def test_smaller_and_thinner_designs_are_that(self, face):
        assert scaled(face, 0.8).face_area == pytest.approx(0.64 * face.face_area)
        thin = thinned(face, 0.2)
        assert 0.5 * face.face_area < thin.face_area < face.face_area
        assert (thin.height[face.face & ~thin.face] == -face.relief).all()


def test_hand_forces_name_posture_and_source():
    assert [force.newtons for force in HAND_FORCES] == sorted(force.newtons for force in HAND_FORCES)
    assert all(force.posture and force.source for force in HAND_FORCES)
    # Eastman Kodak, Ergonomic Design for People at Work: 110 N standing with arms out, 225 N with the whole body.
    assert STANDING_PALM.newtons == 110.0
    # EN 1005-3 (from memory): seated one arm down 75 N, times 0.5.
    assert pytest.approx(0.5 * 75) == SEATED_PALM.newtons
    # FAA Human Factors Design Standard 14.5.2.1: 48 N thumb and finger, less 30 % when more than once per 30 s.
    assert pytest.approx(0.7 * 48) == FINGERS.newtons


def test_handle_decides_which_hand_pushes():
    assert stages.hand(Job()) == STANDING_PALM
    assert stages.hand(Job().with_values({"handle.grip_width": 20.0, "handle.neck_width": 16.0})) == FINGERS
    bare = Job().with_value("handle.form", "none")
    assert stages.hand(bare) == PALM_ON_SHEET
    assert stages.hand(bare.with_value("base.width", 20.0)) == FINGERTIPS
    assert "handle" not in f"{PALM_ON_SHEET}{FINGERTIPS}"
    # What a block is over a narrow base, a profile or an outline of one's own, is what is held.
    assert stages.hand(Job().with_values({"handle.form": "block", "base.width": 12.0})) == FINGERS
    turned = {"handle.form": "turned", "handle.profile": ((10, 0), (12, 30))}
    assert stages.hand(Job().with_values(turned)) == FINGERS


class TestAssumptions:
    def test_every_assumption_has_a_span_round_its_value_and_a_basis(self):
        span = stiffness_of(MATERIALS["tpu-95a"])
        setting = stages.setting(Job().with_values({"die.infill": 0.4, "cushion.thickness": 2.0}))
        listed = assumptions(setting, span)
        wanted = {
            "stiffness of the die",
            "ink film",
            "pressure that prints solid",
            "stiffness of the infill, filled",
            "stiffness of the cushion",
        }
        assert wanted | {"stiffness of the ink pad"} <= {about.name for about in listed}
        for about in listed:
            assert about.low <= about.value <= about.high, about.name
            assert about.basis
            assert about.set_to(setting, about.high) != setting, about.name
            assert about.set_to(setting, about.value) == setting, about.name

    def test_stiffer_dies_and_harder_beds_need_more_push(self, face):
        span = stiffness_of(MATERIALS["tpu-95a"])
        bowed = dressed(face, Texture(), 0.05)
        setting = stages.setting(Job())
        rig = set_up(bowed, setting.conditions)
        found = {effect.assumption.name: effect for effect in sensitivities(rig, setting, span)}
        for harder in ("stiffness of the die", "stiffness of paper and bedding", "pressure that prints solid"):
            assert found[harder].low.force < found[harder].high.force, harder
        assert found["thickness of paper and bedding"].low.force > found["thickness of paper and bedding"].high.force
        assert found["ink film"].low.creep < found["ink film"].high.creep
        assert found["ink film"].low.force == found["ink film"].high.force
        assert "18.9 to 43.8" in str(found["stiffness of the die"])

    def test_firmer_ink_pad_sags_less_and_pushes_no_harder(self, face):
        span = stiffness_of(MATERIALS["tpu-95a"])
        setting = stages.setting(Job())
        rig = set_up(face, setting.conditions)
        found = {effect.assumption.name: effect for effect in sensitivities(rig, setting, span)}
        pad = found["stiffness of the ink pad"]
        assert pad.low.sag > 2.0 * pad.high.sag > 0.0
        assert pad.low.force == pad.high.force
        assert "ink pad sags" in str(pad)
        assert "ink pad sags" not in str(found["stiffness of the die"])

    def test_softer_cushion_takes_less_push(self, face):
        setting = stages.setting(Job().with_value("cushion.thickness", 2.0))
        bowed = dressed(face, Texture(bow=0.2), 0.0)
        span = stiffness_of(MATERIALS["tpu-95a"])
        rig = set_up(bowed, setting.conditions)
        found = {effect.assumption.name: effect for effect in sensitivities(rig, setting, span)}
        cushion = found["stiffness of the cushion"]
        assert cushion.low.force < cushion.high.force


class TestOffCentre:
    def test_reach_is_where_one_side_begins_to_print_light(self, face):
        rig = set_up(dressed(face, Texture(), 0.2), PressConditions(force=40.0))
        found = reach_off_centre(rig, INK)
        assert 1.0 < found.reach < 15.0
        assert push(rig, at=place_of(face, found, 0.0)).printed_share(INK.solid_from) >= WHOLE
        assert push(rig, at=place_of(face, found, 0.5)).printed_share(INK.solid_from) < WHOLE

    def test_light_side_lies_across_from_the_push(self, face):
        rig = set_up(dressed(face, Texture(), 0.2), PressConditions(force=40.0))
        found = reach_off_centre(rig, INK)
        x, y = place_of(face, found, 1.0)
        pressing = push(rig, at=(x, y))
        light = face.face & (pressing.pressure < INK.solid_from)
        row, column = np.nonzero(light)
        assert (face.x[column] * x + face.y[row] * y < 0.0).all()
        for toward, side in ((0.0, "left"), (90.0, "bottom"), (225.0, "upper right")):
            assert f"5.0 mm off centre; beyond, its {side} prints light" in str(OffCentre(40.0, 5.0, toward))

    def test_broader_face_bears_more(self, stand_face):
        reaches = []
        for half in (6, 12):
            frame = box(-half, -half, half, half).difference(box(1 - half, 1 - half, half - 1, half - 1))
            rig = set_up(stand_face(MultiPolygon([frame]), dpi=100), PressConditions(force=40.0))
            reaches.append(reach_off_centre(rig, INK).reach)
        assert reaches[1] > 1.5 * reaches[0]

    def test_face_that_does_not_print_whole_bears_nothing(self, face):
        found = reach_off_centre(set_up(dressed(face, Texture(bow=0.3), 0.0), PressConditions(force=5.0)), INK)
        assert found.reach == 0.0
        assert "does not print whole" in str(found)

    def test_reach_counts_from_the_middle_wherever_it_is_pushed(self, face):
        printed = dressed(face, Texture(), 0.2)
        here, there = (
            reach_off_centre(set_up(printed, PressConditions(force=40.0, at=at)), INK) for at in ((0, 0), (4, 1))
        )
        assert there == here

    def test_push_beyond_what_the_relief_bears_is_held_to_that(self, stand_face):
        rig = set_up(stand_face(MultiPolygon([box(0, 0, 3, 3)])), PressConditions(force=4000.0))
        assert 0.0 < reach_off_centre(rig, INK).force < 4000.0

    def test_level_stamp_has_no_reach(self, face):
        assert reach_off_centre(set_up(face, PressConditions(free=False)), INK) is None


def place_of(face, found, beyond):
    """Return the place so many mm beyond the reach, where a push may stray least."""
    (x, y), turn, away = face.middle, math.radians(found.toward), found.reach + beyond
    return x + away * math.cos(turn), y + away * math.sin(turn)
