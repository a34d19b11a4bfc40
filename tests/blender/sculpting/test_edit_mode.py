"""A part of the stamp in edit mode: the host lets nothing be read or written of it until that is left."""

import bpy
import numpy as np
import pytest
from brushing import dent, disc, face_heights, heights_of, part, sculpted
from drawing import choose


@pytest.mark.parametrize("role", ["handle", "die", "paper"])
def test_a_stamp_whose_part_is_edited_says_so_and_follows_once_that_is_left(scene, live, benches, role):
    root = disc()
    choose(part(root, role))
    bpy.ops.object.mode_set(mode="EDIT")
    root.stampwright.handle.height, root.stampwright.die.relief = 30.0, 1.4
    live.catch_up()
    assert "is in edit mode" in benches.bench_of(root).message
    bpy.ops.object.mode_set(mode="OBJECT")
    bpy.context.view_layer.update()
    assert live.is_busy()
    live.catch_up()
    assert benches.bench_of(root).message == ""
    bpy.context.view_layer.update()
    assert part(root, "handle").dimensions.z * 1000.0 == pytest.approx(30.0, abs=0.01)
    # A floor of 2.0 mm, and 0.2 mm to be dressed off.
    assert part(root, "die").dimensions.z * 1000.0 == pytest.approx(3.6, abs=0.01)


def test_what_was_made_before_is_shown_once_edit_mode_is_left(scene, live, benches):
    root = disc()
    root.stampwright.handle.height = 30.0
    bpy.ops.stampwright.build()
    stamp = benches.bench_of(root).stamp
    root.stampwright.handle.height = 40.0
    showing = live.loading.load("building.showing")
    choose(part(root, "handle"))
    bpy.ops.object.mode_set(mode="EDIT")
    benches.bench_of(root).shown.clear()
    showing.show(root, benches.bench_of(root).read_last, stamp, bpy.context.scene)
    bpy.ops.object.mode_set(mode="OBJECT")
    bpy.context.view_layer.update()
    live.catch_up()
    bpy.context.view_layer.update()
    assert part(root, "handle").dimensions.z * 1000.0 == pytest.approx(40.0, abs=0.01)


def test_a_sculpt_stays_through_edit_mode(scene, live, benches):
    root = disc()
    die = sculpted(root)
    kept = heights_of(root)[0].copy()
    choose(die)
    bpy.ops.object.mode_set(mode="EDIT")
    root.stampwright.die.shoulder = 20.0
    live.catch_up()
    assert "is in edit mode" in benches.bench_of(root).message
    bpy.ops.object.mode_set(mode="OBJECT")
    bpy.context.view_layer.update()
    live.catch_up()
    assert benches.bench_of(root).message == ""
    assert np.array_equal(heights_of(root)[0], kept)
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3
