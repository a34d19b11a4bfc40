"""Parts that the scene shows otherwise than the settings make them are told of, and nothing of them is lost unasked."""

import bpy
import pytest
from drawing import choose, curve, letter_f, made, part


def across(drawn):
    places = [vertex.co.x for vertex in drawn.data.vertices]
    return (max(places) - min(places)) * drawn.matrix_world.to_scale().x


def test_a_part_with_a_delta_scale_is_told_and_build_brings_it_back(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    handle = part(root, "handle")
    handle.delta_scale = (1.0, 1.0, 2.0)
    assert "handle was changed" in told(root)["part changed by hand"]
    choose(root)
    bpy.ops.stampwright.build()
    assert "part changed by hand" not in told(root)
    assert handle.delta_scale[:] == (1.0, 1.0, 1.0)


def test_a_part_that_was_hung_on_its_scaled_stamp_again_stands_true_in_it(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    handle = part(root, "handle")
    before, place = across(handle), handle.matrix_world.copy()
    root.scale = (2.0, 2.0, 2.0)
    bpy.context.view_layer.update()
    choose(handle)
    bpy.ops.object.parent_clear(type="CLEAR")
    choose(root, handle)
    bpy.ops.object.parent_set(type="OBJECT")
    root.scale = (1.0, 1.0, 1.0)
    told(root)
    choose(root)
    bpy.ops.stampwright.build()
    assert "part changed by hand" not in told(root)
    assert across(handle) == pytest.approx(before)
    assert (handle.matrix_world.translation - place.translation).length == pytest.approx(0.0, abs=1e-6)


def with_array(handle):
    choose(handle)
    bpy.ops.object.modifier_add(type="ARRAY")


def with_displacement(handle):
    choose(handle)
    bpy.ops.object.modifier_add(type="DISPLACE")
    handle.modifiers[0].strength = 0.005


def with_copied_scale(handle):
    bpy.ops.object.empty_add()
    bpy.context.active_object.scale = (2.0, 2.0, 2.0)
    handle.constraints.new("COPY_SCALE").target = bpy.context.active_object


def with_shape_key(handle):
    choose(handle)
    for _ in range(2):
        bpy.ops.object.shape_key_add(from_mix=False)
    key = handle.data.shape_keys.key_blocks[1]
    for point in key.data:
        point.co.z *= 1.5
    key.value = 1.0


def without_what_was_put_on(handle):
    handle.modifiers.clear()
    handle.constraints.clear()
    handle.shape_key_clear()


@pytest.mark.parametrize("put_on", [with_array, with_displacement, with_copied_scale, with_shape_key])
def test_what_shows_a_part_otherwise_than_files_hold_it_is_told(scene, small_stamps, told, put_on):
    root = made(curve("F", letter_f()))
    handle = part(root, "handle")
    put_on(handle)
    assert "show another handle" in told(root)["part changed by hand"]
    without_what_was_put_on(handle)
    assert "part changed by hand" not in told(root)


def test_shading_smooth_by_angle_is_no_other_shape(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    for child in root.children:
        choose(child)
        bpy.ops.object.shade_smooth_by_angle()
        child.modifiers.new("Weighted", "WEIGHTED_NORMAL")
    assert "part changed by hand" not in told(root)


def test_shape_keys_go_along_with_a_part_that_is_made_another_size(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    backing = part(root, "backing")
    with_shape_key(backing)
    told(root)
    before = [point.co.z for point in backing.data.shape_keys.key_blocks[1].data]
    root.stampwright.backing.thickness += 0.6
    told(root)
    assert backing.data.shape_keys is not None
    after = [point.co.z for point in backing.data.shape_keys.key_blocks[1].data]
    rises = [1000 * (late - early) for early, late in zip(before, after, strict=True)]
    assert max(rises) == pytest.approx(0.6, abs=1e-3)
    assert min(rises) == pytest.approx(0.0, abs=1e-3)
    backing.shape_key_clear()
    assert "part changed by hand" not in told(root)


def test_what_was_changed_by_hand_is_told_again_and_not_lost_when_the_file_is_opened(
    scene, small_stamps, told, tmp_path
):
    root = made(curve("F", letter_f()))
    told(root)
    handle = part(root, "handle")
    choose(handle)
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.transform.resize(value=(1.2, 1.2, 1.0))
    bpy.ops.object.mode_set(mode="OBJECT")
    told(root)
    before = across(handle)
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "file.blend"))
    root = bpy.data.objects["Stamp F"]
    assert "handle" in told(root)["part changed by hand"]
    assert across(part(root, "handle")) == pytest.approx(before)


def test_what_was_changed_by_hand_is_told_again_when_it_is_done_again(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    told(root)
    bpy.ops.ed.undo_push(message="made")
    choose(part(root, "handle"))
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.ed.undo_push(message="into Edit Mode")
    bpy.ops.transform.resize(value=(1.2, 1.2, 1.0))
    bpy.ops.ed.undo_push(message="resized")
    bpy.ops.object.mode_set(mode="OBJECT")
    bpy.ops.ed.undo_push(message="out of Edit Mode")
    told(root)
    for _ in range(3):
        bpy.ops.ed.undo()
        told(bpy.data.objects["Stamp F"])
    assert "part changed by hand" not in told(bpy.data.objects["Stamp F"])
    for _ in range(3):
        bpy.ops.ed.redo()
        told(bpy.data.objects["Stamp F"])
    assert "handle" in told(bpy.data.objects["Stamp F"])["part changed by hand"]


def test_an_artists_material_on_the_sheet_stays_and_no_pictures_pile_up(scene, small_stamps, told):
    root = made(curve("F", letter_f()))
    paint = bpy.data.materials.new("paint")
    for child in root.children:
        child.data.materials[0] = paint
    told(root)
    before = len(bpy.data.images)
    for width in (26.0, 27.0, 28.0):
        root.stampwright.base.width = width
        told(root)
    assert part(root, "paper").data.materials[0] == paint
    assert len(bpy.data.images) == before
