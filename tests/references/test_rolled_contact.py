"""A rolled cylinder against what handbooks say of line contact.

H. Hertz 1882 for a cylinder on a half-space, and the bonded thin layer, both as in K. L. Johnson, "Contact Mechanics"
(1985): sections 4.2(c) and 5.8, from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, box
from stampwright.plane.rasters.raster import picture_grid, picture_of
from stampwright.press.contact.bounded import Bed, press_on_bed
from stampwright.press.contact.elastic import layered
from stampwright.press.contact.layers import Layer
from stampwright.press.contact.push import Places, Push
from stampwright.press.contact.rolling import Rolling, roll_on_springs
from stampwright.press.impression import HeightMap
from stampwright.press.pushing.conditions import PressConditions
from stampwright.press.pushing.pressing import push, set_up


def standing_face(inked: MultiPolygon) -> HeightMap:
    """Return a flat face, 2 mm over its floor, in pixels of a quarter of a millimetre."""
    left, bottom, right, top = inked.bounds
    shape, corner = picture_grid((left - 3, bottom - 3, right + 3, top + 3), 101.6)
    meant = picture_of(inked, shape, corner, 101.6)[::-1] < 128
    return HeightMap(np.where(meant, 0.0, -2.0).astype(np.float32), meant, 0.25, corner, 2.0)


def line_contact(layer: Layer, radius: float, per_width: float, *, half: float, pitch: float):
    """Return x, pressure and the band's width of a cylinder held against a layer by the full solver, plane strain."""
    rows, columns = 8, 2 * round(half / pitch)
    x = (np.arange(columns) - columns / 2 + 0.5) * pitch
    grid_x, grid_y = np.meshgrid(x, np.arange(rows) * pitch)
    rolling = Rolling(radius=radius)
    heights = -rolling.set_back(grid_x.ravel(), 0.0)
    near = np.flatnonzero(np.abs(grid_x.ravel()) < half / 2)
    places = Places(heights[near], grid_x.ravel()[near], grid_y.ravel()[near], pitch**2)
    # What repeats across the way, with even rows, is plane strain.
    surface = layered((rows, columns), pitch, ((layer,),), "float64", periodic=True)
    held = press_on_bed(
        places, Bed(surface, near, np.zeros(len(near))), Push(force=per_width * rows * pitch), tolerance=1e-5
    )
    pressure = np.zeros(rows * columns)
    pressure[near] = held.pressure
    line = pressure.reshape(rows, columns)[0]
    return x, line, float((line > 0).sum() * pitch)


@pytest.mark.parametrize(("radius", "per_width"), [(20.0, 0.5), (60.0, 0.2)])
def test_a_cylinder_on_a_thick_layer_presses_as_hertz_says(radius, per_width):
    thick, poisson, modulus = 60.0, 0.45, 10.0
    reduced = modulus / (1 - poisson**2)
    half_band = math.sqrt(4 * per_width * radius / (math.pi * reduced))
    peak = math.sqrt(per_width * reduced / (math.pi * radius))
    pitch = half_band / 40
    x, line, band = line_contact(Layer(thick, modulus, poisson), radius, per_width, half=12 * half_band, pitch=pitch)
    assert band == pytest.approx(2 * half_band, rel=0.03)
    assert line.max() == pytest.approx(peak, rel=0.01)
    within = np.abs(x) < 0.95 * half_band
    assert line[within] == pytest.approx(peak * np.sqrt(1 - (x[within] / half_band) ** 2), rel=0.03)


@pytest.mark.parametrize(("radius", "per_width"), [(20.0, 4.0), (60.0, 10.0)])
def test_a_cylinder_on_a_thin_bonded_layer_presses_as_its_closed_form_says(radius, per_width):
    thin, poisson, modulus = 0.05, 0.3, 10.0
    # A thin compressible layer is a bed of confined columns: p = K/b (a² - x²) / (2 R), P = 2 K a³ / (3 R b).
    stiff = modulus * (1 - poisson) / ((1 + poisson) * (1 - 2 * poisson))
    half_band = (3 * radius * thin * per_width / (2 * stiff)) ** (1 / 3)
    peak = 3 * per_width / (4 * half_band)
    assert half_band > 10 * thin
    pitch = half_band / 80
    x, line, band = line_contact(Layer(thin, modulus, poisson), radius, per_width, half=4 * half_band, pitch=pitch)
    assert band == pytest.approx(2 * half_band, rel=0.05)
    assert line.max() == pytest.approx(peak, rel=0.02)
    within = np.abs(x) < 0.8 * half_band
    assert line[within] == pytest.approx(peak * (1 - (x[within] / half_band) ** 2), rel=0.04)


@pytest.mark.parametrize("round_once", [0.0, 40.0])
def test_springs_that_are_rolled_over_give_the_closed_form_everywhere(round_once):
    radius, stiffness, width, length, pitch = 30.0, 4.0, 6.0, 40.0, 0.1
    along = (np.arange(round(length / pitch)) + 0.5) * pitch - length / 2
    grid_x, grid_y = np.meshgrid(along, (np.arange(round(width / pitch)) + 0.5) * pitch)
    places = Places(np.zeros(grid_x.size), grid_x.ravel(), grid_y.ravel(), pitch**2)
    per_width = 0.8
    half_band = (3 * radius * per_width / (2 * stiffness)) ** (1 / 3)
    rolling = Rolling(radius=radius, round_once=round_once)
    rolled = roll_on_springs(places, np.full(grid_x.size, 1 / stiffness), rolling, per_width * width, deepest=2.0)
    # Where the face ends, less of the band is in touch, and that is pressed harder; on a roller it goes on.
    inside = np.abs(rolled.at) < (length / 2 - half_band - 1 if round_once == 0.0 else length)
    assert rolled.band[inside] == pytest.approx(2 * half_band, rel=0.01)
    middle = np.abs(places.x) < length / 2 - half_band - 2 if round_once == 0.0 else np.ones(len(places.x), bool)
    assert rolled.pressure[middle] == pytest.approx(3 * per_width / (4 * half_band), rel=0.02)


def test_a_striped_face_is_pressed_alike_on_springs_and_all_together():
    stripes = MultiPolygon([box(-8, y, 8, y + 1.2) for y in (-6, -3, 0, 3)])
    face = standing_face(stripes)
    # Under so thin a bedding little is felt beside the band, so both solvers should say nearly the same.
    conditions = PressConditions(
        force=6.0, floor=0.4, bedding=(Layer(0.3, 5.0, 0.1),), rolling=Rolling(radius=60.0), free=False
    )
    rig = set_up(face, conditions)
    quick, full = push(rig), push(rig, solver="full")
    assert full.solver == "rolled, full"
    inside = face.face & (np.abs(face.x)[None, :] < 5)
    assert quick.pressure[inside].mean() == pytest.approx(full.pressure[inside].mean(), rel=0.15)
    assert quick.band == pytest.approx(full.band)


def test_rolling_takes_a_fraction_of_the_push_and_more_on_a_larger_radius():
    face = standing_face(MultiPolygon([box(-20, -8, 20, 8)]))
    shares = []
    for rolling in (Rolling(radius=30.0), Rolling(radius=300.0), None):
        rig = set_up(face, PressConditions(force=5.0, free=False, rolling=rolling))
        shares.append(float(push(rig).pressure[face.face].mean()))
    assert shares[0] > shares[1] > shares[2]
