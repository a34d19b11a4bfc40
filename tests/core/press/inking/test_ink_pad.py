"""The ink pad sags into open areas; the floor stays clean when the relief is higher than that."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import PressError
from stampwright.job import Job
from stampwright.press.contact.layers import Layer
from stampwright.press.impression import HeightMap
from stampwright.press.inking.ink_pad import ink_die, ink_pad, inking_finding

PAD = Layer(5.0, 0.3, 0.3)


def two_bars(stand_face, gap):
    return stand_face(MultiPolygon([box(-gap / 2 - 3, -15, -gap / 2, 15), box(gap / 2, -15, gap / 2 + 3, 15)]))


def test_pad_recedes_beside_a_disk_as_sneddon_says():
    # I. N. Sneddon (1965): beside a flat punch of radius a the surface lies d (1 - (2/pi) asin(a/r)) under its face,
    # with d = F / (2 E* a). A pad 60 mm thick under a disk of 2 mm radius is nearly a half-space.
    pitch, radius, stiffness, poisson, force = 0.25, 2.0, 0.3, 0.3, 1.0
    middle = (np.arange(48) - 23.5) * pitch
    away = np.hypot(middle[None, :], middle[:, None])
    height = np.where(away <= 5.0, -2.0, -np.inf)
    face = HeightMap(np.where(away <= radius, 0.0, height), away <= radius, pitch, (-6.0, -6.0), 2.0)
    inking = ink_die(face, Layer(60.0, stiffness, poisson), force)
    depth = force / (2 * stiffness / (1 - poisson**2) * radius)
    rim = math.hypot(*inking.place)
    assert rim == pytest.approx(5.0, abs=0.3)
    assert inking.sag == pytest.approx(depth * (1 - 2 / math.pi * math.asin(radius / rim)), rel=0.04)


def test_wider_openings_sag_more_and_where_they_are(stand_face):
    sags = []
    for gap in (2.0, 6.0, 12.0):
        face = two_bars(stand_face, gap)
        beside = ((np.abs(face.x)[None, :] > gap / 2) | (np.abs(face.y)[:, None] > 10.0)) & ~face.face
        inking = ink_die(replace(face, height=np.where(beside, -np.inf, face.height)), PAD, 10.0)
        sags.append(inking.sag)
        assert inking.place[0] == pytest.approx(0.0, abs=0.3)
        assert inking.span == pytest.approx(gap, abs=0.6)
    assert sags == sorted(sags)


def test_sag_grows_in_step_with_push_and_softness(stand_face):
    face = two_bars(stand_face, 8.0)
    base = ink_die(face, PAD, 10.0).sag
    assert ink_die(face, PAD, 20.0).sag == pytest.approx(2 * base, rel=0.01)
    assert ink_die(face, replace(PAD, stiffness=0.15), 10.0).sag == pytest.approx(2 * base, rel=0.01)


def test_floor_that_takes_ink_is_found_with_the_relief_that_would_do(stand_face):
    shallow = replace(two_bars(stand_face, 12.0), relief=0.4)
    shallow = replace(shallow, height=np.where(shallow.face, 0.0, -0.4).astype(np.float32))
    inking = ink_die(shallow, PAD, 100.0)
    assert inking.touches
    finding = inking_finding(inking, 0.2)
    assert finding.kind == "floor takes ink"
    assert finding.severity == "warns"
    assert finding.place.contains(Point(inking.place))
    deep = ink_die(replace(shallow, relief=finding.limit), PAD, 100.0)
    assert not deep.touches
    assert inking_finding(deep, 0.2) is None
    assert finding.limit / 0.2 == pytest.approx(round(finding.limit / 0.2))


def test_relief_of_common_practice_keeps_the_floor_clean_with_a_light_dab(stand_face):
    job = Job()
    inking = ink_die(two_bars(stand_face, 12.0), ink_pad(job.ink), job.ink.pad_force)
    assert inking_finding(inking, job.printer.layer) is None


def test_face_without_floor_has_nowhere_to_sag():
    face = HeightMap(np.zeros((40, 40)), np.ones((40, 40), bool), 0.25, (0.0, 0.0), 2.0)
    assert ink_die(face, PAD, 5.0).sag == 0.0


def test_nothing_to_ink_is_refused(stand_face):
    face = two_bars(stand_face, 4.0)
    with pytest.raises(PressError, match="no face"):
        ink_die(replace(face, face=np.zeros_like(face.face)), PAD, 5.0)
    with pytest.raises(PressError, match="above 0"):
        ink_die(face, PAD, 0.0)
