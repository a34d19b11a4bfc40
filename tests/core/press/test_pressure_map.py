"""Pressure on the die's face: where it is shown, how much, and in colours that everybody can read."""

import numpy as np
import pytest
from shapely.geometry import MultiPoint, MultiPolygon, Point, box
from stampwright.job import Job
from stampwright.plane.frames import die_to_paper
from stampwright.press import map_pressure, try_on_paper
from stampwright.press.pressure_map import scale_colours

# Linear sRGB as people without one kind of cone see it: G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A
# physiologically-based model for simulation of color vision deficiency" (2009), severity 1 (from memory).
SIGHTS = {
    "all cones": np.eye(3),
    "no red cones": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "no green cones": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "no blue cones": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}


@pytest.fixture(scope="module")
def disc():
    """Return a broad disc beside a bar: the disc's outline alone says nothing of its middle."""
    return MultiPolygon([Point(-6, 0).buffer(8, quad_segs=16), box(6, -6, 7, 6)])


@pytest.fixture(scope="module")
def pressed(raise_die, disc):
    die = raise_die(disc)
    trial = try_on_paper(Job().with_values({"press.bow": 0.1, "press.dressing_done": 0.0}), die, disc, allowance=0.2)
    return die, trial, map_pressure(die, trial.prediction.pressing)


def areas_of(shown):
    corners = shown.vertices[shown.triangles]
    return np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2


def test_sheet_is_the_face_and_nothing_else_of_the_die(pressed, disc):
    die, _, shown = pressed
    np.testing.assert_allclose(shown.vertices[:, 2], die.vertices[:, 2].max(), atol=1e-5)
    assert areas_of(shown).sum() == pytest.approx(disc.area, rel=0.02)
    # It reads as the die does: reversed.
    np.testing.assert_allclose(MultiPoint(die_to_paper(shown.vertices)[:, :2]).bounds, disc.bounds, atol=0.01)


def test_triangles_are_fine_enough_to_show_the_middle_of_a_broad_area(pressed):
    _, _, shown = pressed
    ends = shown.vertices[shown.triangles]
    assert np.linalg.norm(ends - np.roll(ends, 1, axis=1), axis=2).max() < 1.5


def test_bowed_disc_is_pressed_hardest_in_its_middle_on_the_side_where_it_lies_on_paper(pressed):
    _, _, shown = pressed
    x, y = die_to_paper(shown.vertices)[:, :2].T
    # The bow's middle is that of the face, which reaches from -14 to 7 mm.
    middle = shown.pressure[np.hypot(x + 3.5, y) < 2.0].mean()
    rim = shown.pressure[(np.hypot(x + 6, y) > 7.5) & (x < -10)].mean()
    assert middle > 5.0 * max(rim, 1e-6)


def test_pressure_over_the_face_adds_up_to_the_push(pressed):
    _, trial, shown = pressed
    load = (areas_of(shown) * shown.pressure[shown.triangles].mean(axis=1)).sum()
    assert load == pytest.approx(trial.job.press.force, rel=0.05)
    assert shown.pressure.max() <= shown.top <= 5.0 * shown.pressure.max()
    assert shown.colours.shape == (len(shown.vertices), 3)


@pytest.mark.parametrize("sight", SIGHTS)
def test_colours_climb_in_lightness_for_every_eye(sight):
    colours = scale_colours(np.linspace(0.0, 1.0, 41)).astype(float)
    linear = np.where(colours <= 0.04045, colours / 12.92, ((colours + 0.055) / 1.055) ** 2.4)
    seen = np.clip(linear @ np.array(SIGHTS[sight]).T, 0.0, 1.0)
    # CIE 1976 lightness from the luminance of sRGB (IEC 61966-2-1).
    luminance = seen @ (0.2126, 0.7152, 0.0722)
    lightness = np.where(luminance > 0.008856, 116.0 * np.cbrt(luminance) - 16.0, 903.3 * luminance)
    steps = np.diff(lightness)
    assert steps.min() > 0.0
    assert steps.max() < 2.5 * steps.mean()
    assert np.ptp(lightness) > 65.0
