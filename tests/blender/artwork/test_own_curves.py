"""Curves drawn for the handle and the base, and what is said of those that do not fit."""

import math

import bpy
import numpy as np
import pytest
from drawing import choose, circle, curve, letter_f, made, part

PROFILE = [(0.025, 0.0), (0.025, 0.004), (0.012, 0.02), (0.018, 0.05), (0.0, 0.06)]


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


def size_of(root, role):
    bpy.context.view_layer.update()
    return np.array(part(root, role).dimensions) * 1000


def build(root):
    choose(root)
    return bpy.ops.stampwright.build()


@pytest.mark.sweep(3)
@pytest.mark.parametrize("way", ["flat", "standing", "to the left", "from the top", "scaled", "elsewhere"])
def test_a_profile_is_turned_on_the_lathe(root, way):
    points = PROFILE
    if way == "to the left":
        points = [(-x, y) for x, y in points]
    if way == "from the top":
        points = points[::-1]
    drawn = curve("profile", points, closed=False, dimensions="3D")
    if way == "standing":
        for point in drawn.data.splines[0].points:
            x, y, _, w = point.co
            point.co = (x, 0.0, y, w)
    if way == "scaled":
        for point in drawn.data.splines[0].points:
            point.co.xyz = point.co.xyz * 100
        drawn.scale = (0.01, 0.01, 0.01)
    if way == "elsewhere":
        drawn.location = (5.0, -3.0, 1.0)
    root.stampwright.handle.form = "turned"
    root.stampwright.profile_curve = drawn
    assert build(root) == {"FINISHED"}
    assert size_of(root, "handle") == pytest.approx((50.0, 50.0, 60.0), abs=0.05)


@pytest.mark.parametrize(
    ("points", "closed", "said"),
    [
        (PROFILE, True, "is closed"),
        ([(0.02, 0.0), (-0.01, 0.03), (0.02, 0.06)], False, "crosses the axis"),
    ],
)
def test_a_profile_that_cannot_be_turned_says_what_to_do(root, points, closed, said):
    root.stampwright.handle.form = "turned"
    root.stampwright.profile_curve = curve("profile", points, closed=closed, dimensions="3D")
    with pytest.raises(RuntimeError, match=f"profile .*{said}"):
        build(root)


def test_an_outline_is_raised_to_a_handle(root):
    root.stampwright.handle.form = "straight"
    root.stampwright.outline_curve = curve("outline", circle(0.02, 48, middle=(1.0, 2.0)))
    assert build(root) == {"FINISHED"}
    assert size_of(root, "handle") == pytest.approx((40.0, 40.0, 45.0), abs=0.1)


def test_an_outline_becomes_the_base(root, benches):
    root.stampwright.base.outline = "custom"
    root.stampwright.base_curve = curve("outline", circle(0.03, 6))
    assert build(root) == {"FINISHED"}
    base = benches.bench_of(root).stamp.layout.base
    assert base.area == pytest.approx(6 * 30.0**2 * math.sqrt(3) / 4, rel=1e-3)


@pytest.mark.parametrize(
    ("rings", "closed", "said"),
    [
        ([letter_f(0.01)], False, "is open: close it"),
        ([circle(0.02), circle(0.01)], True, "2 lines"),
        ([[(0, 0), (0.04, 0.04), (0.04, 0), (0, 0.04)]], True, "never meets itself"),
        ([circle(0.0001)], True, "draw it larger"),
    ],
)
def test_an_outline_that_is_none_says_what_to_do(root, rings, closed, said):
    root.stampwright.base.outline = "custom"
    root.stampwright.base_curve = curve("outline", *rings, closed=closed, fill="NONE")
    with pytest.raises(RuntimeError, match=f"outline .*{said}"):
        build(root)


@pytest.mark.parametrize("scale", [0.001, 0.01])
def test_own_curves_are_true_to_size_at_every_unit_scale(scene, scale):
    scene.unit_settings.scale_length = scale
    unit = 0.001 / scale
    curve("F", letter_f(6 * unit))
    bpy.ops.stampwright.make_stamp()
    root = bpy.context.active_object
    held = root.stampwright
    held.base.outline, held.base_curve = "custom", curve("outline", circle(30 * unit, 48))
    profile = [(x * 1000 * unit, y * 1000 * unit) for x, y in PROFILE]
    held.handle.form, held.profile_curve = "turned", curve("profile", profile, closed=False, dimensions="3D")
    assert build(root) == {"FINISHED"}
    assert size_of(root, "handle") * scale == pytest.approx((50.0, 50.0, 60.0), abs=0.05)
    assert size_of(root, "die")[:2] * scale == pytest.approx((60.0, 60.0), abs=0.1)
