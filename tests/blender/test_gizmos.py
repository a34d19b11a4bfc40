"""Handles in the viewport stand where what they size is, and set what they are moved to."""

import importlib
import math
from types import SimpleNamespace

import bpy
import numpy as np
import pytest
from drawing import curve, letter_f, made, part
from mathutils import Matrix, Vector
from names import MODULE


@pytest.fixture
def gizmos(extension):
    return importlib.import_module(f"{MODULE}.gizmos")


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


def grips(gizmos, root):
    bpy.context.view_layer.update()
    found = {each.name: each for each in gizmos.grips_of(root, bpy.context.scene)}
    return {name.removeprefix("STAMPWRIGHT_PG_"): grip for name, grip in found.items()}


def tip(grip):
    """Return where an arrow ends in the world: so far along its z axis as it reads."""
    assert tuple(grip.matrix.to_scale()) == pytest.approx((1.0, 1.0, 1.0), abs=1e-6)
    return grip.matrix @ Vector((0.0, 0.0, grip.read()))


def reach(child, axis):
    """Return how far a part goes along an axis of the world."""
    return max((child.matrix_world @ vertex.co).dot(axis) for vertex in child.data.vertices)


@pytest.mark.parametrize(("standing", "scale_length"), [("USE", 0.001), ("APART", 1.0), ("PRINT", 1.0)])
def test_arrows_end_at_the_edge_of_what_they_size(gizmos, root, live, standing, scale_length):
    bpy.context.scene.unit_settings.scale_length = scale_length
    root.rotation_euler.z, root.location = 0.7, (0.3, -0.2, 0.1)
    root.stampwright.standing = standing
    root.stampwright.base.outline = "rectangle"
    live.catch_up()
    bpy.ops.stampwright.build()
    across, up, high = (root.matrix_world.to_3x3() @ Vector(axis) for axis in ((1, 0, 0), (0, 1, 0), (0, 0, 1)))
    found = grips(gizmos, root)
    die = part(root, "die")
    assert tip(found["base.width"]).dot(across) == pytest.approx(reach(die, across), rel=1e-4)
    assert tip(found["base.height"]).dot(up) == pytest.approx(reach(die, up), rel=1e-4)
    top = max((part(root, "handle").matrix_world @ v.co).dot(high) for v in part(root, "handle").data.vertices)
    if standing != "PRINT":
        assert tip(found["handle.height"]).dot(high) == pytest.approx(top, rel=1e-3)


def test_what_is_dragged_is_set_and_built(gizmos, root, live):
    found = grips(gizmos, root)
    found["base.width"].write(0.030)
    found["handle.height"].write(0.060)
    found["turn"].write(math.radians(30.0))
    held = root.stampwright
    assert held.base.width == pytest.approx(60.0)
    assert held.handle.height == pytest.approx(60.0)
    assert held.layout.turn == pytest.approx(30.0)
    live.catch_up()
    bpy.context.view_layer.update()
    assert part(root, "die").dimensions.x == pytest.approx(0.060, rel=1e-3)
    # The ring goes round the base.
    assert grips(gizmos, root)["turn"].radius > 0.030


def test_the_margin_is_measured_from_the_edge_inwards(gizmos, root, live):
    root.stampwright.layout.size_by = "fit"
    live.catch_up()
    grip = grips(gizmos, root)["layout.margin"]
    grip.write(0.006)
    assert root.stampwright.layout.margin == pytest.approx(6.0)
    edge = min((part(root, "die").matrix_world @ vertex.co).y for vertex in part(root, "die").data.vertices)
    assert grip.matrix.translation.y == pytest.approx(edge, abs=1e-5)
    assert tip(grip).y == pytest.approx(edge + 0.006, abs=1e-5)


def test_only_what_is_a_figure_of_the_form_has_a_handle(gizmos, root, live):
    held = root.stampwright
    assert set(grips(gizmos, root)) == {"base.width", "layout.margin", "turn", "handle.height"}
    held.base.outline = "follow"
    held.handle.form = "none"
    live.catch_up()
    assert set(grips(gizmos, root)) == {"base.margin", "turn"}
    held.base.outline, held.bend.form = "round", "rocker"
    live.catch_up()
    assert set(grips(gizmos, root)) == set()


def test_a_rocker_has_the_arrow_of_its_handle(gizmos, root, live):
    root.stampwright.base.width, root.stampwright.bend.form = 30.0, "rocker"
    live.catch_up()
    found = grips(gizmos, root)
    assert set(found) == {"handle.height"}
    assert tip(found["handle.height"]).z == pytest.approx(reach(part(root, "handle"), Vector((0, 0, 1))), rel=1e-3)


def test_a_scaled_empty_does_not_move_the_handles_off_the_parts(gizmos, root):
    root.matrix_world = Matrix.Scale(2.0, 4)
    found = grips(gizmos, root)
    assert tip(found["base.width"]).x == pytest.approx(reach(part(root, "die"), Vector((1, 0, 0))), rel=1e-4)
    found["base.width"].write(0.060)
    assert root.stampwright.base.width == pytest.approx(60.0)


def test_handles_are_shown_with_the_empty_as_those_of_a_lamp_are(gizmos, root):
    assert gizmos.STAMPWRIGHT_GGT_stamp.poll(bpy.context)
    bpy.context.view_layer.objects.active = part(root, "die")
    assert not gizmos.STAMPWRIGHT_GGT_stamp.poll(bpy.context)


@pytest.mark.parametrize("scale_length", [1.0, 0.1, 0.001])
@pytest.mark.parametrize("width", [20.6, 43.27, 50.0])
def test_what_is_dragged_back_is_what_was_typed(gizmos, root, live, scale_length, width):
    """After Esc the host sets a handle to where it was, in the world's units and its own short figures."""
    bpy.context.scene.unit_settings.scale_length = scale_length
    root.stampwright.base.width, root.stampwright.layout.turn = width, 12.3
    live.catch_up()
    before = root.stampwright.base.width, root.stampwright.layout.turn
    found = grips(gizmos, root)
    for name in ("base.width", "turn"):
        found[name].write(float(np.float32(found[name].read())))
    assert (root.stampwright.base.width, root.stampwright.layout.turn) == before


def test_the_status_bar_says_what_is_dragged_and_which_keys_do_what(gizmos, root, monkeypatch):
    shown = []
    workspace = SimpleNamespace(status_text_set=shown.append)
    found = grips(gizmos, root)
    root.stampwright.base.width = 43.2
    gizmos._show_hint(workspace, found["base.width"].told(), is_turn=False)
    assert shown[-1].startswith("Width 43.20 mm ")
    assert "Esc: Cancel" in shown[-1]
    gizmos._show_hint(workspace, found["turn"].told(), is_turn=True)
    assert "Ctrl: Snap" in shown[-1]
    gizmos._end_drag(workspace, is_moved=False)
    assert shown[-1] is None
