"""Looks, light, ground and camera: chosen at once, kept where that is asked for, and colours seen as they are."""

import importlib
import json

import bpy
import numpy as np
import pytest
from picturing import make_stamp, picture, rendered, shown
from PIL import Image

LEAST, MOST = 4_000, 40_000
"""Bytes of the picture of a look: smaller shows nothing, larger makes the package large."""


def test_every_look_has_its_picture_and_sets_what_there_is(stamp, mockup):
    choosing = mockup("looks.choosing")
    held = stamp.stampwright.pictures
    seen = set()
    for key, look in choosing.looks().items():
        held.look = key
        settings = {name: getattr(held, name) for name in look.settings}
        assert settings == look.settings
        seen.add(json.dumps(settings, sort_keys=True))
        path = choosing.picture_of(key)
        assert LEAST < path.stat().st_size < MOST
        with Image.open(path) as thumbnail:
            assert thumbnail.width == thumbnail.height
    assert len(seen) == len(choosing.looks())


def test_the_first_look_is_that_of_a_new_stamp(stamp, mockup):
    first = next(iter(mockup("looks.choosing").looks().values()))
    assert {name: getattr(stamp.stampwright.pictures, name) for name in first.settings} == first.settings


def test_a_look_shows_at_once_in_the_picture_that_is_there(stamp, mockup):
    scene = picture("held")
    lamps = sorted(each.name for each in scene.objects if each.type == "LIGHT")
    stamp.stampwright.pictures.look = "NIGHT"
    ground = next(each for each in scene.objects if each.get(mockup("stage").MARK) == "ground")
    shown = ground.data.materials[0].node_tree.nodes["Ground Colour"].outputs[0].default_value
    assert list(shown) == pytest.approx(mockup("materials").colour("ground", "Slate"))
    assert sorted(each.name for each in scene.objects if each.type == "LIGHT") != lamps


@pytest.mark.sweep(2)
@pytest.mark.parametrize(
    "case",
    [
        ("Soot Black", "WINDOW"),
        ("Fern Green", "EVENING"),
        ("Ink Blue", "STUDIO"),
        ("Plum", "BRIGHT"),
        ("Bark Brown", "WINDOW"),
        ("Madder Red", "BRIGHT"),
    ],
)
def test_ink_on_paper_is_seen_in_its_own_colour(stamp, mockup, core, tmp_path, case):
    ink, light = case
    held = stamp.stampwright.pictures
    held.ink, held.light = ink.upper().replace(" ", "_"), light
    scene = picture("flat_lay")
    seen, sheet = in_full_light(scene, mockup, tmp_path)
    (left, low), (right, high) = np.floor(sheet.min(axis=0)), np.ceil(sheet.max(axis=0))
    on_sheet = seen[seen.shape[0] - int(high) : seen.shape[0] - int(low), int(left) : int(right)].reshape(-1, 3)
    dark = on_sheet.mean(axis=1)
    inked = np.median(on_sheet[dark < np.percentile(dark, 4)], axis=0)
    paper = np.median(on_sheet[dark > np.percentile(dark, 60)], axis=0)
    linear = np.array(mockup("materials").colour("ink", ink)[:3])
    wanted = importlib.import_module(f"{core('looks').__name__}.light").from_linear(linear)
    # CIEDE2000; 5 is about what two prints from one pad differ by (common practice).
    assert core("looks.differences").colour_difference(inked, wanted) < 5.0
    assert paper.min() > 0.8


@pytest.mark.sweep(1)
@pytest.mark.parametrize("ink", [(0.784, 0.216, 0.176), (0.114, 0.353, 0.227), (0.922, 0.604, 0.184)])
def test_each_ink_of_a_set_is_seen_in_its_own_colour(stamp, mockup, core, tmp_path, ink):
    scene = picture("flat_lay")
    sheet = next(each for each in scene.objects if each.get(mockup("stage").MARK) == "sheet")
    proof = bpy.data.images.new("proof", 40, 10)
    colours = np.ones((10, 40, 4), dtype=np.float32)
    colours[:, 10:30, :3] = ink
    proof.pixels.foreach_set(colours.ravel())
    view = scene.view_settings.view_transform
    sheet.data.materials[0] = bpy.data.materials.new("paper in colour")
    mockup("materials").build_paper(sheet.data.materials[0], proof, (-8.0, -6.0), (16.0, 12.0), in_colour=view)
    seen, corners = in_full_light(scene, mockup, tmp_path)
    column, up = np.rint(corners.mean(axis=0)).astype(int)
    row = seen.shape[0] - up
    inked = np.median(seen[row - 3 : row + 3, column - 3 : column + 3].reshape(-1, 3), axis=0)
    assert core("looks.differences").colour_difference(inked, np.array(ink)) < 5.0


def in_full_light(scene, mockup, folder):
    """Return a render of a picture in which nothing throws a shadow, and the corners of its sheet there, pixels."""
    if scene.view_settings.view_transform != "Khronos PBR Neutral":
        pytest.skip("this host has no view that keeps colours")
    for each in scene.objects:
        each.hide_render = each.hide_render or each.get(mockup("stage").MARK) in (
            "die",
            "backing",
            "handle",
            "pad",
            "felt",
        )
    seen = rendered(scene, folder / "ink.png", samples=12)
    sheet = shown(scene, mockup, "sheet") * (seen.shape[1], seen.shape[0])
    return seen, sheet


def test_a_kept_camera_sees_the_next_picture_from_where_it_was_put(stamp, mockup):
    scene = picture("beside")
    scene.camera.location.z += 0.01
    scene.camera.data.lens = 50.0
    place = scene.camera.location.copy()
    assert picture("beside").camera.location != place
    bpy.context.scene.camera.location = place
    bpy.context.scene.camera.data.lens = 50.0
    bpy.context.view_layer.update()
    stamp.stampwright.pictures.keep_camera = True
    again = picture("beside")
    assert list(again.camera.location) == pytest.approx(list(place))
    assert again.camera.data.lens == 50.0
    # Another arrangement is seen from the same side, and whole.
    other = picture("held")
    assert other.camera.data.lens == 50.0
    places = shown(other, mockup, "die", "handle", "sheet")
    assert places.min() > 0.0
    assert places.max() < 1.0


def test_kept_ground_and_light_go_with_what_the_user_has_put_there(stamp, mockup):
    scene = picture("beside")
    lamp = next(each for each in scene.objects if each.type == "LIGHT")
    lamp.data.color = (1.0, 0.0, 0.0)
    ground = next(each for each in scene.objects if each.get(mockup("stage").MARK) == "ground")
    own = ground.data.materials[0] = bpy.data.materials.new("my table")
    vase = bpy.data.objects.new("vase", bpy.data.meshes.new("vase"))
    scene.collection.objects.link(vase)
    stamp.stampwright.pictures.keep_stage = True
    for arrangement in ("held", "beside"):
        scene = picture(arrangement)
        assert [1 for each in scene.objects if each.type == "LIGHT" and each.data.color[:] == (1.0, 0.0, 0.0)] == [1]
        ground = next(each for each in scene.objects if each.get(mockup("stage").MARK) == "ground")
        assert ground.data.materials[0] == own
        assert "vase" in scene.objects
    stamp.stampwright.pictures.keep_stage = False
    scene = picture("beside")
    assert not [each for each in scene.objects if each.type == "LIGHT" and each.data.color[:] == (1.0, 0.0, 0.0)]


def test_every_light_is_as_bright_on_paper_however_large_the_subject(scene, mockup):
    lighting = mockup("scenery.moods")
    for mood in lighting.MOODS.values():
        assert sum(lamp.share for lamp in mood.lamps) + mood.room == pytest.approx(1.0)
    root = make_stamp()
    energies = {}
    for width in (50.0, 100.0):
        root.stampwright.base.width = width
        bpy.ops.stampwright.build()
        held = picture("held")
        energies[width] = sum(each.data.energy for each in held.objects if each.type == "LIGHT")
        bpy.ops.stampwright.leave_picture() if bpy.context.window else None
    assert energies[100.0] > 2.0 * energies[50.0]
