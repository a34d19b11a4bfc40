"""Films: what moves in them, and that they come round, the frame after the last being the first again."""

import bpy
import numpy as np
import pytest
from mathutils import Vector
from picturing import make_stamp, rendered, shown
from shapely import MultiPoint

SMALL = (96, 72)


def test_the_turntable_comes_round_once_with_the_subject_always_framed(stamp, mockup):
    held = stamp.stampwright.pictures
    held.seconds, held.frame_rate = 2.0, 12
    assert bpy.ops.stampwright.film_turntable() == {"FINISHED"}
    scene = bpy.context.scene
    assert (scene.frame_start, scene.frame_end, scene.render.fps) == (1, 24, 12)
    pivot = next(each for each in scene.objects if each.get(mockup("stage").MARK) == "turntable")
    turns = []
    for frame in range(1, 26, 4):
        scene.frame_set(frame)
        turns.append(np.degrees(pivot.matrix_world.to_euler().z) % 360)
        places = shown(scene, mockup, "die", "handle", "sheet")
        assert places.min() > -0.01
        assert places.max() < 1.01
    assert turns == pytest.approx([0, 60, 120, 180, 240, 300, 0], abs=0.01)


def test_pressing_comes_down_to_the_paper_gives_and_leaves_the_impression(stamp, mockup):
    held = stamp.stampwright.pictures
    held.seconds, held.frame_rate = 4.0, 25
    assert bpy.ops.stampwright.film_press() == {"FINISHED"}
    scene = bpy.context.scene
    stage, animating = mockup("stage"), mockup("films.animating")
    die = next(each for each in scene.objects if each.get(stage.MARK) == "die")
    sheet = next(each for each in scene.objects if each.get(stage.MARK) == "sheet")

    def at(share):
        scene.frame_set(1 + round(share * 100))
        seen = die.evaluated_get(scene.view_layers[0].depsgraph)
        low = min((seen.matrix_world @ vertex.co).z for vertex in seen.data.vertices)
        printed = sheet.data.materials[0].node_tree.nodes["Printed"].outputs[0].default_value
        return low - sheet.matrix_world.translation.z, die.data.shape_keys.key_blocks["Pressed"].value, printed

    above, pressed, printed = at(0.0)
    assert above > 0.02
    assert (pressed, printed) == (0.0, 0.0)
    touching, pressed, printed = at(animating.PRESSED)
    assert touching == pytest.approx(0.0, abs=2e-5)
    assert (pressed, printed) == (1.0, 1.0)
    lifted, pressed, printed = at(animating.UP)
    assert lifted > 0.02
    assert (pressed, printed) == (0.0, 1.0)


@pytest.mark.parametrize("size", [(192, 108), (108, 192)], ids=["wide", "upright"])
def test_sheets_change_places_without_going_through_the_pad(stamp, mockup, size):
    held = stamp.stampwright.pictures
    (held.width, held.height), held.seconds, held.frame_rate = size, 2.0, 12
    assert bpy.ops.stampwright.film_press() == {"FINISHED"}
    scene, stage = bpy.context.scene, mockup("stage")

    def footprint(role):
        places = [
            each.matrix_world @ Vector(corner)
            for each in scene.objects
            if each.get(stage.MARK) == role
            for corner in each.bound_box
        ]
        return MultiPoint([place[:2] for place in places]).convex_hull

    for frame in range(scene.frame_start, scene.frame_end + 2):
        scene.frame_set(frame)
        assert not [role for role in ("sheet", "fresh") if footprint(role).intersects(footprint("pad"))], frame


@pytest.mark.parametrize("film", ["turntable", "press", "apart", "rolling"])
def test_a_film_comes_round(scene, mockup, tmp_path, film):
    root = make_stamp()
    held = root.stampwright.pictures
    (held.width, held.height), held.seconds, held.frame_rate, held.names = SMALL, 1.0, 20, True
    if film == "rolling":
        root.stampwright.bend.form = "rocker"
        bpy.ops.stampwright.build()
    assert getattr(bpy.ops.stampwright, f"film_{'press' if film == 'rolling' else film}")() == {"FINISHED"}
    scene = bpy.context.scene
    seen = []
    for frame in (scene.frame_start, (scene.frame_start + scene.frame_end) // 2, scene.frame_end + 1):
        scene.frame_set(frame)
        seen.append(rendered(scene, tmp_path / f"{frame}.png", samples=2))
    first, midway, after_last = seen
    # The same rays fall on the same things: but for the last places of floats the pictures are one.
    assert np.abs(first - after_last).mean() < 0.002
    assert np.abs(first - midway).mean() > 0.01


def test_names_do_not_stay_behind_where_parts_move(stamp, mockup):
    stamp.stampwright.pictures.names = True
    bpy.ops.stampwright.film_apart()
    assert not [each for each in bpy.context.scene.objects if each.type in ("FONT", "CURVE")]


def test_parts_come_together_as_they_are_used(stamp, mockup):
    bpy.ops.stampwright.film_apart()
    scene, animating = bpy.context.scene, mockup("films.animating")
    held = {each.get(mockup("stage").MARK): each for each in scene.objects}

    def height_of(part):
        return (held[part].matrix_world @ held[part].data.vertices[0].co - held["die"].matrix_world.translation).length

    apart = height_of("handle")
    scene.frame_set(animating._frame(animating.JOINED, scene.frame_end))
    assert height_of("handle") < apart - 0.01
    assert held["handle"].matrix_basis.translation.z < 0.02
