"""Bent stamps in the scene: live from the base's panel, and back to flat."""

import bpy
import numpy as np
import pytest
from drawing import curve, letter_f


@pytest.fixture
def root(scene):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    return bpy.context.active_object


def part(root, role):
    return next((child for child in root.children if child.stampwright.role == role), None)


def places(child):
    found = np.empty(3 * len(child.data.vertices))
    child.data.vertices.foreach_get("co", found)
    return found.reshape(-1, 3)


def rebuilt(root):
    bpy.ops.stampwright.build()
    return root


def test_a_rocker_follows_its_radius_and_goes_back_to_flat(root):
    flat = np.ptp(places(part(root, "die"))[:, 2])
    root.stampwright.bend.form = "rocker"
    rebuilt(root)
    bent = np.ptp(places(part(root, "die"))[:, 2])
    assert bent > 1.5 * flat
    root.stampwright.bend.radius *= 2
    rebuilt(root)
    assert flat < np.ptp(places(part(root, "die"))[:, 2]) < bent
    root.stampwright.bend.form = "flat"
    rebuilt(root)
    assert np.ptp(places(part(root, "die"))[:, 2]) == pytest.approx(flat, rel=1e-5)


def test_a_roller_brings_drum_and_fork_and_can_be_pressed(root):
    root.stampwright.bend.form = "roller"
    rebuilt(root)
    size = np.ptp(places(part(root, "backing")), axis=0)
    assert size[0] == pytest.approx(size[2], rel=0.01)
    assert len(places(part(root, "handle"))) > 20
    # The full solver takes half a minute for so large a face, and is tried on flat ones.
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}


@pytest.mark.parametrize("form", ["rocker", "roller"])
def test_the_pressure_lies_on_the_curved_face(root, form):
    root.stampwright.bend.form = form
    root.stampwright.show_pressure = True
    rebuilt(root)
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}
    die = part(root, "die")
    sheet = next(each for each in die.children if each.stampwright.role == "pressure")
    solid, laid = places(die), places(sheet)
    # As far from the axis, which runs along y, as the face itself and what the sheet is lifted by.
    top = solid[:, 2].max()
    radius = 60.0 if form == "rocker" else 120.0 / (2 * np.pi)
    unit = 1000.0 * bpy.context.scene.unit_settings.scale_length
    axis = top * unit - radius - 0.2
    away = np.hypot(laid[:, 0], laid[:, 2] - axis / unit) * unit
    assert len(laid) > 100
    assert away == pytest.approx(radius + 0.2 + 0.4, abs=0.05)


def test_a_bent_face_is_not_sculpted(root):
    root.stampwright.bend.form = "rocker"
    with pytest.raises(RuntimeError, match="A bent face cannot be sculpted"):
        bpy.ops.stampwright.sculpt_face()


def values(mesh, name, kind=np.float32):
    held = np.empty(len(mesh.attributes[name].data), dtype=kind)
    mesh.attributes[name].data.foreach_get("value", held)
    return held


@pytest.mark.sweep(1)
@pytest.mark.parametrize("form", ["rocker", "roller"])
def test_a_bent_die_says_what_its_faces_are_how_high_its_points_lie_and_how_they_are_pressed(root, form):
    root.stampwright.base.width, root.stampwright.bend.form, root.stampwright.bend.turns = 30.0, form, 2
    rebuilt(root)
    assert bpy.ops.stampwright.press(full=False) == {"FINISHED"}
    mesh = part(root, "die").data
    regions, heights, pressure = values(mesh, "region", np.int32), values(mesh, "height"), values(mesh, "pressure")
    assert set(regions) == {0, 1, 2, 3}
    # A relief of 2.0 mm with 0.2 mm to be dressed off, out from the axis.
    assert heights.max() == pytest.approx(2.2, abs=5e-3)
    assert pressure.max() > 0.01
    assert pressure[heights < 1.0].max() == 0.0
    # Some of every repeat of a roller is pressed: what is measured is told all the way round.
    places = np.empty(3 * len(mesh.vertices), dtype=np.float32)
    mesh.vertices.foreach_get("co", places)
    pressed = places.reshape(-1, 3)[pressure > 0.0]
    middle = places.reshape(-1, 3)[:, 2].mean()
    assert form == "rocker" or (pressed[:, 2] < middle).any()
