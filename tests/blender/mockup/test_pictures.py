"""Pictures of the finished stamp: true to size, the right way round, framed, in focus, and gone without a trace."""

import bpy
import numpy as np
import pytest
from bpy_extras.object_utils import world_to_camera_view
from drawing import curve, letter_f
from mathutils import Vector
from picturing import ARRANGEMENTS, counts, make_stamp, picture, pixels, rendered, shown


@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_the_whole_subject_is_in_the_picture_and_fills_it(stamp, mockup, arrangement):
    scene = picture(arrangement)
    places = shown(scene, mockup, "die", "backing", "handle", "sheet")
    assert places.min() > 0.0
    assert places.max() < 1.0
    assert np.ptp(places, axis=0).max() > 0.75


@pytest.mark.parametrize("size", [(300, 100), (100, 300), (128, 128)])
def test_a_picture_of_another_form_still_shows_all(stamp, mockup, size):
    scene = picture("beside")
    rendering = mockup("rendering")
    width, height = size
    rendering.set_up(scene, rendering.effort_of(stamp.stampwright.pictures, width=width, height=height))
    places = shown(scene, mockup, "die", "handle", "sheet")
    assert places.min() > 0.0
    assert places.max() < 1.0


@pytest.mark.sweep(2)
@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_a_picture_is_not_blank_and_sharp_at_its_subject(stamp, mockup, arrangement, tmp_path):
    scene = picture(arrangement)
    seen = rendered(scene, tmp_path / "picture.png").mean(axis=2)
    assert 0.15 < seen.mean() < 0.9
    assert seen.std() > 0.08
    # The impression's edge from ink to paper is steep: a blurred one would pass through every shade between.
    left, bottom = shown(scene, mockup, "sheet").min(axis=0)
    right, top = shown(scene, mockup, "sheet").max(axis=0)
    rows, columns = seen.shape
    paper = seen[round((1 - top) * rows) : round((1 - bottom) * rows), round(left * columns) : round(right * columns)]
    steps = np.abs(np.diff(paper, axis=1)).max()
    assert steps > 0.5 * (np.percentile(paper, 95) - np.percentile(paper, 2))


@pytest.mark.sweep(2)
@pytest.mark.parametrize("unit", [1.0, 0.01, 0.001])
def test_the_impression_is_true_to_size_and_the_right_way_round(scene, mockup, unit):
    root = make_stamp(unit)
    staged = picture("beside")
    assert staged.unit_settings.scale_length == 1.0
    sheet = next(each for each in staged.objects if each.get(mockup("stage").MARK) == "sheet")
    nodes = sheet.data.materials[0].node_tree.nodes
    image = nodes["Impression"].image
    grey = np.array(image.pixels[:]).reshape(image.size[1], image.size[0], 4)[::-1, :, 0]
    # An F fills the left of its box from top to bottom, and no other side.
    rows, columns = np.nonzero(grey < 0.5)
    inked = grey[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1] < 0.5
    assert inked[9:-9, 9:18].all()
    assert not inked[9:-9, -18:-9].all()
    # Metres on the stage: the base is 50 mm across, the paper round it wider, the die as large as the base.
    die = next(each for each in staged.objects if each.get(mockup("stage").MARK) == "die")
    assert max(die.dimensions) == pytest.approx(0.05, rel=0.02)
    assert sheet.dimensions.x > 0.05
    assert root.stampwright.base.width == pytest.approx(50.0)


def test_pictures_leave_nothing_behind_and_the_users_scene_as_it_was(stamp, mockup):
    scene = bpy.context.scene
    before = counts()
    held = {each.name: each.matrix_world.copy() for each in scene.objects}
    materials = {
        each.name: [slot.name for slot in each.data.materials] for each in scene.objects if each.type == "MESH"
    }
    for arrangement in ARRANGEMENTS:
        picture(arrangement)
    assert bpy.ops.stampwright.film_turntable() == {"FINISHED"}
    assert bpy.ops.stampwright.film_press() == {"FINISHED"}
    assert {each.name: each.matrix_world for each in scene.objects} == held
    assert {
        each.name: [slot.name for slot in each.data.materials] for each in scene.objects if each.type == "MESH"
    } == materials
    assert bpy.ops.stampwright.remove_pictures() == {"FINISHED"}
    assert counts() == before
    assert bpy.context.scene == scene


def test_a_picture_goes_to_a_file_and_replaces_none_unasked(stamp, mockup, tmp_path):
    path = tmp_path / "new folder" / "stamp.png"
    size = {"width": 64, "height": 48, "quality": "LOOK"}
    assert bpy.ops.stampwright.render_picture(filepath=str(path), arrangement="HELD", **size) == {"FINISHED"}
    assert pixels(path).shape == (48, 64, 3)
    with pytest.raises(RuntimeError, match="there already"):
        bpy.ops.stampwright.render_picture(filepath=str(path), **size)
    with pytest.raises(RuntimeError, match="name ends in"):
        bpy.ops.stampwright.render_picture(filepath=str(tmp_path / "stamp.gif"), **size)
    stamp.stampwright.pictures.folder = str(tmp_path)
    for expected in ("F held.png", "F held 2.png"):
        assert bpy.ops.stampwright.render_picture(**size) == {"FINISHED"}
        assert (tmp_path / expected).exists()


def test_time_is_estimated_beforehand_and_measured_on_request(stamp, mockup, monkeypatch):
    rendering = mockup("rendering")
    monkeypatch.setattr(rendering, "MEASURED", {})
    effort = rendering.effort_of(stamp.stampwright.pictures)
    assert not rendering.estimate(effort).measured
    assert bpy.ops.stampwright.estimate_picture() == {"FINISHED"}
    told = rendering.estimate(effort)
    assert told.measured
    fine = rendering.estimate(rendering.effort_of(stamp.stampwright.pictures, quality="PRINT"))
    assert fine.seconds > told.seconds
    assert rendering.estimate(effort, frames=10).seconds == pytest.approx(10 * told.seconds)


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
    stage, animating = mockup("stage"), mockup("animating")
    die = next(each for each in scene.objects if each.get(stage.MARK) == "die")
    sheet = next(each for each in scene.objects if each.get(stage.MARK) == "sheet")

    def at(share):
        scene.frame_set(1 + round(share * 99))
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
    lifted, pressed, printed = at(1.0)
    assert lifted > 0.02
    assert (pressed, printed) == (0.0, 1.0)


def test_a_film_goes_to_frames_or_to_a_video(stamp, mockup, tmp_path, monkeypatch):
    held = stamp.stampwright.pictures
    held.seconds, held.frame_rate = 0.4, 5
    bpy.ops.stampwright.film_press()
    size = {"width": 32, "height": 24, "quality": "LOOK"}
    assert bpy.ops.stampwright.render_film(filepath=str(tmp_path / "frames"), **size) == {"FINISHED"}
    assert [each.name for each in sorted((tmp_path / "frames").iterdir())] == ["frame 0001.png", "frame 0002.png"]
    with pytest.raises(RuntimeError, match="files in this folder"):
        bpy.ops.stampwright.render_film(filepath=str(tmp_path / "frames"), **size)
    if bpy.app.ffmpeg.supported:
        assert bpy.ops.stampwright.render_film(filepath=str(tmp_path / "film.mp4"), **size) == {"FINISHED"}
        # An MPEG-4 file names its kind in its first box (ISO/IEC 14496-12).
        assert (tmp_path / "film.mp4").read_bytes()[4:8] == b"ftyp"


def test_a_graphics_device_is_used_where_the_preferences_have_one(stamp, mockup, monkeypatch):
    rendering = mockup("rendering")
    scene = picture("beside")
    for has, device in ((True, "GPU"), (False, "CPU")):
        monkeypatch.setattr(rendering, "has_graphics_device", lambda has=has: has)
        rendering.set_up(scene, rendering.effort_of(stamp.stampwright.pictures))
        assert scene.cycles.device == device


def test_eevee_draws_it_where_it_is_chosen(stamp, mockup):
    stamp.stampwright.pictures.engine = "EEVEE"
    scene = picture("beside")
    assert scene.render.engine in ("BLENDER_EEVEE", "BLENDER_EEVEE_NEXT")


def test_every_stamp_of_the_scene_is_in_the_flat_lay(stamp, mockup):
    bpy.ops.object.select_all(action="DESELECT")
    curve("G", letter_f(0.004)[::-1])
    bpy.ops.stampwright.make_stamp()
    scene = picture("flat_lay")
    stage = mockup("stage")
    assert len(scene[stage.STAMPS]) == 2
    assert sum(1 for each in scene.objects if each.get(stage.MARK) == "sheet") == 2
    groups = [each.parent for each in scene.objects if each.get(stage.MARK) == "die"]
    assert (groups[0].matrix_world.translation - groups[1].matrix_world.translation).length > 0.05


def test_a_transparent_picture_has_shadows_and_no_ground(stamp):
    stamp.stampwright.pictures.transparent = True
    scene = picture("beside")
    assert scene.render.film_transparent
    ground = next(each for each in scene.objects if each.name.endswith("ground"))
    assert ground.is_shadow_catcher
    stamp.stampwright.pictures.transparent = False
    assert not scene.render.film_transparent
    assert not ground.is_shadow_catcher


def test_pictures_for_pages_keep_what_is_transparent_and_jpeg_none(stamp, mockup, tmp_path):
    stamp.stampwright.pictures.transparent = True
    scene = picture("apart")
    aim = mockup("rendering").aim_still
    for name, mode in (("one.png", "RGBA"), ("one.jpg", "RGB")):
        aim(scene, tmp_path / name, overwrite=False)
        assert scene.render.image_settings.color_mode == mode


def test_drawn_apart_no_pad_stands_before_a_part_and_the_face_is_seen(stamp, mockup):
    scene = picture("apart")
    assert not [each for each in scene.objects if "pad" in each.name]
    die = next(each for each in scene.objects if each.get(mockup("stage").MARK) == "die")
    camera = scene.camera.matrix_world
    # The face looks at the camera, not away and not past it.
    facing = (die.matrix_world.to_3x3() @ Vector((0.0, 0.0, 1.0))).normalized()
    towards = (camera.translation - die.matrix_world.translation).normalized()
    assert facing.dot(towards) > 0.5


def test_a_stamp_is_shown_as_after_use_by_default(stamp):
    assert stamp.stampwright.pictures.inked > 0.9


def test_parts_drawn_apart_are_named_on_request_each_beside_its_part_and_in_the_picture(stamp, mockup):
    stamp.stampwright.pictures.names = True
    scene = picture("apart")
    scene.view_layers[0].update()
    named = {each.data.body: each for each in scene.objects if each.type == "FONT"}
    assert set(named) == {"Die", "Backing", "Handle"}
    right = scene.camera.matrix_world.to_3x3() @ Vector((1.0, 0.0, 0.0))
    for said, letters in named.items():
        part = next(each for each in scene.objects if each.get(mockup("stage").MARK) == said.lower())
        corners = [part.matrix_world @ Vector(corner) for corner in part.bound_box]
        assert letters.matrix_world.translation.dot(right) > min(corner.dot(right) for corner in corners)
        for corner in letters.bound_box:
            seen = world_to_camera_view(scene, scene.camera, letters.matrix_world @ Vector(corner))
            assert 0.0 < seen.x < 1.0
            assert 0.0 < seen.y < 1.0
    # Letters face the camera: their own right is the picture's.
    letters = named["Die"].matrix_world.to_3x3() @ Vector((1.0, 0.0, 0.0))
    assert letters.normalized().dot(right) > 0.99
    stamp.stampwright.pictures.names = False
    assert not [each for each in picture("apart").objects if each.type == "FONT"]
