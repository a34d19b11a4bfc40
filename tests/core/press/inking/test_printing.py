"""The print: solid ink, creep, flooded gaps, light areas, and the verdict that locates them."""

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright.press import compare
from stampwright.press.faces.surface import bow_out
from stampwright.press.impression import Pressing
from stampwright.press.inking.ink import InkFilm
from stampwright.press.inking.printing import ink_impression
from stampwright.press.inking.verdict import judge_print
from stampwright.press.pushing.conditions import PressConditions
from stampwright.press.pushing.pressing import press_on_paper, push, set_up


def evenly(face, pressure):
    """Return a face that is under the same pressure all over."""
    spread = np.where(face.face, np.float32(pressure), np.float32(0.0))
    force = float(spread.sum()) * face.pitch**2
    return Pressing(face, spread, force, 0.0, (0.0, 0.0), 0.0, "quick", 0, 0.0)


def bars(gap, length=12.0):
    return MultiPolygon([box(-1.0 - gap / 2, 0, -gap / 2, length), box(gap / 2, 0, 1.0 + gap / 2, length)])


def test_flat_face_without_creep_prints_as_the_artwork(stand_face, lettered):
    printed = ink_impression(evenly(stand_face(lettered, dpi=600), 0.1), InkFilm(spread=0.0))
    assert compare(printed, lettered).worst >= 0.99
    assert printed.dpi == pytest.approx(600.0)
    assert printed.outlines.is_valid


def test_ink_creeps_by_the_spread_it_was_measured_with(stand_face):
    line = MultiPolygon([box(0, 0, 1.0, 12)])
    for spread in (0.05, 0.1, 0.2):
        pressing = evenly(stand_face(line, dpi=600), 0.1)
        ink = InkFilm(spread=spread)
        assert ink_impression(pressing, ink).creep == pytest.approx(spread, rel=0.15)
        left, bottom, right, top = ink_impression(pressing, ink).outlines.bounds
        assert right - left == pytest.approx(1.0 + 2 * ink_impression(pressing, ink).creep, abs=0.03)
        assert top - bottom == pytest.approx(12.0 + 2 * ink_impression(pressing, ink).creep, abs=0.03)


def test_creep_is_round_and_exact_beside_a_dot(stand_face):
    dot = MultiPolygon([Point(0, 0).buffer(1.5, quad_segs=64)])
    pressing = evenly(stand_face(dot, dpi=1200), 0.15)
    creep = ink_impression(pressing, InkFilm()).creep
    area = ink_impression(pressing, InkFilm()).outlines.area
    assert area == pytest.approx(np.pi * (1.5 + creep) ** 2, rel=0.01)


def test_gap_narrower_than_twice_the_creep_floods(stand_face):
    for gap, flooded in ((0.15, True), (0.35, False)):
        printed = ink_impression(evenly(stand_face(bars(gap), dpi=600), 0.1), InkFilm(spread=0.1))
        assert (len(printed.outlines.geoms) == 1) is flooded


def test_edge_is_darker_than_the_squeezed_middle_and_light_areas_are_tones(stand_face):
    line = MultiPolygon([box(0, 0, 1.0, 12)])
    face = stand_face(line, dpi=600)
    picture = ink_impression(evenly(face, 0.2), InkFilm()).picture
    across = picture[picture.shape[0] // 2]
    inked = np.flatnonzero(across < 128)
    middle = across[inked[len(inked) // 2]]
    assert across[inked[2]] < middle < 40
    faint = ink_impression(evenly(face, 0.005), InkFilm(solid_from=0.02))
    assert faint.outlines.is_empty
    tones = faint.picture[faint.picture < 255]
    # 1 - exp(-3 / 4) of the grain takes ink at a quarter of the threshold (3 = -ln 0.05).
    assert np.median(tones) == pytest.approx(255 * (1 - (1 - 0.05**0.25)), abs=4)


def test_picture_and_outlines_lie_where_the_face_is(stand_face, lettered):
    printed = ink_impression(evenly(stand_face(lettered), 0.1), InkFilm(spread=0.05))
    rows, columns = np.nonzero(printed.picture < 128)
    pitch = 25.4 / printed.dpi
    left = printed.corner[0] + columns.min() * pitch
    top = printed.corner[1] + (printed.picture.shape[0] - rows.min()) * pitch
    assert left == pytest.approx(printed.outlines.bounds[0], abs=pitch)
    assert top == pytest.approx(printed.outlines.bounds[3], abs=pitch)


class TestVerdict:
    def judge(self, pressing, inked, ink=None):
        ink = InkFilm(spread=0.05) if ink is None else ink
        return judge_print(pressing, ink_impression(pressing, ink), inked, ink)

    def test_good_print_has_nothing_to_find(self, stand_face, lettered):
        verdict = self.judge(press_on_paper(stand_face(lettered), PressConditions(free=False)), lettered)
        assert verdict.findings == ()
        assert verdict.light == verdict.missing == verdict.stray == 0.0

    def test_missing_part_is_located(self, stand_face):
        inked = bars(6.0)
        face = stand_face(inked)
        right = np.broadcast_to(face.x > 0, face.height.shape) & face.face
        low = replace(face, height=np.where(right, -0.5, face.height).astype(np.float32))
        verdict = self.judge(press_on_paper(low, PressConditions(force=5.0, free=False)), inked)
        (finding,) = verdict.findings
        assert finding.kind == "missing"
        assert finding.place.intersection(inked.geoms[1]).area > 0.9 * inked.geoms[1].area
        assert finding.place.intersection(inked.geoms[0]).is_empty
        assert verdict.missing == pytest.approx(12.0, rel=0.03)

    def test_light_end_of_a_bowed_line_is_located(self, stand_face):
        inked = MultiPolygon([box(-15, -0.5, 15, 0.5)])
        rig = set_up(bow_out(stand_face(inked), 0.05), PressConditions(free=False))
        pressing = push(rig, 4.0)
        verdict = self.judge(pressing, inked, InkFilm(spread=0.05, solid_from=0.2))
        kinds = {finding.kind for finding in verdict.findings}
        assert kinds <= {"printed light", "missing"}
        assert verdict.light > 0.0
        ends = [finding.place.centroid.x for finding in verdict.findings if finding.kind == "missing"]
        assert all(abs(x) > 5.0 for x in ends)

    def test_flooded_gap_is_filled_in_and_an_open_one_is_not(self, stand_face):
        for gap, filled in ((0.15, True), (0.6, False)):
            inked = bars(gap)
            ink = InkFilm(spread=0.1)
            verdict = self.judge(evenly(stand_face(inked, dpi=600), 0.1), inked, ink)
            assert [finding.kind for finding in verdict.findings] == (["filled in"] if filled else [])
            if filled:
                assert verdict.filled == pytest.approx(gap * 12.0, rel=0.25)

    def test_ink_far_from_the_artwork_is_stray(self, stand_face):
        wanted = MultiPolygon([box(0, 0, 1, 12)])
        both = MultiPolygon([box(0, 0, 1, 12), box(5, 4, 7, 6)])
        verdict = self.judge(evenly(stand_face(both), 0.1), wanted)
        (finding,) = verdict.findings
        assert finding.kind == "stray"
        assert finding.place.centroid.distance(Point(6, 5)) < 0.3
        assert verdict.stray == pytest.approx(4.0, rel=0.2)

    def test_many_small_places_are_told_together(self, stand_face):
        dots = MultiPolygon([Point(x, y).buffer(0.5) for x in range(0, 30, 2) for y in range(0, 20, 2)])
        face = stand_face(dots)
        nowhere = evenly(face, 0.0)
        verdict = self.judge(replace(nowhere, force=1.0), dots)
        assert len(verdict.findings) == 101
        assert verdict.findings[-1].message.startswith("50 more places")
