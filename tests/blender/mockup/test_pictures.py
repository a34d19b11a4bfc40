"""Pictures of the finished stamp: true to size, the right way round, framed, in focus, and gone without a trace."""

from itertools import combinations

import bpy
import numpy as np
import pytest
from bpy_extras.object_utils import world_to_camera_view
from drawing import curve, letter_f
from mathutils import Vector
from picturing import ARRANGEMENTS, SIZE, counts, make_stamp, picture, pixels, rendered, shown
from PIL import Image
from shapely import MultiPoint


def pressed():
    assert bpy.ops.stampwright.film_press() == {"FINISHED"}
    return bpy.context.scene


@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_the_whole_subject_is_in_the_picture_and_fills_it(stamp, mockup, arrangement):
    scene = picture(arrangement)
    places = shown(scene, mockup, "die", "backing", "handle", "sheet")
    assert places.min() > 0.0
    assert places.max() < 1.0
    # The pad is in the picture too, whole, and much larger than a small stamp.
    assert np.ptp(places, axis=0).max() > 0.5
    with_pad = shown(scene, mockup, "die", "handle", "sheet", "pad", "felt")
    assert np.ptp(with_pad, axis=0).max() > 0.75


@pytest.mark.parametrize("size", [(300, 100), (100, 300), (128, 128)])
def test_a_picture_of_another_form_still_shows_all(stamp, mockup, size):
    scene = picture("beside")
    rendering = mockup("rendering")
    width, height = size
    rendering.set_up(scene, mockup("timing").effort_of(stamp.stampwright.pictures, width=width, height=height))
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
        rendering.set_up(scene, mockup("timing").effort_of(stamp.stampwright.pictures))
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


def test_a_cut_out_has_soft_shadows_that_lie_on_any_page(stamp, tmp_path):
    """What the shadow covers is neither clear nor solid, and dark: seen by an independent reader of the file."""
    stamp.stampwright.pictures.transparent, stamp.stampwright.pictures.pad = True, False
    picture("held")
    assert bpy.ops.stampwright.render_picture(filepath=str(tmp_path / "cut.png")) == {"FINISHED"}
    cut = np.asarray(Image.open(tmp_path / "cut.png")).astype(float)
    assert cut.shape[2] == 4
    alpha = cut[..., 3]
    # Edges of what is solid are half clear, too, in its own colours.
    beside = np.lib.stride_tricks.sliding_window_view(np.pad(alpha, 2), (5, 5)).max(axis=(2, 3)) > 200
    soft = (alpha > 8) & ~beside
    assert soft.mean() > 0.02
    assert (cut[soft][:, :3].max(axis=1) < 60).mean() > 0.8
    assert (alpha == 0).mean() > 0.2
    # No shadow is cut by the picture's edge: a step of 2 % is hardly seen; what smooths noise errs in the very corners.
    border = np.concatenate([alpha[0], alpha[-1], alpha[:, 0], alpha[:, -1]])
    assert np.percentile(border, 95) < 0.02 * 255


def test_pictures_for_pages_keep_what_is_transparent_and_jpeg_none(stamp, mockup, tmp_path):
    stamp.stampwright.pictures.transparent = True
    scene = picture("apart")
    aim = mockup("rendering").aim_still
    for name, mode in (("one.png", "RGBA"), ("one.jpg", "RGB")):
        aim(scene, tmp_path / name, overwrite=False)
        assert scene.render.image_settings.color_mode == mode


@pytest.mark.parametrize("arrangement", ["beside", "held", "flat_lay", "press"])
@pytest.mark.parametrize("size", [(192, 108), (120, 120), (108, 192)], ids=["wide", "square", "upright"])
def test_a_picture_of_any_shape_shows_all_and_is_filled_by_it(stamp, mockup, arrangement, size):
    stamp.stampwright.pictures.width, stamp.stampwright.pictures.height = size
    scene = picture(arrangement) if arrangement != "press" else pressed()
    places = shown(scene, mockup, "die", "handle", "sheet", "pad", "felt")
    assert places.min() > 0.0
    assert places.max() < 1.0
    # Not a strip in the middle with half of the picture bare over and under it.
    assert np.ptp(places, axis=0).min() > 0.45
    outlines = [
        MultiPoint(shown(scene, mockup, *roles)).convex_hull
        for roles in (("die", "backing", "handle"), ("sheet",), ("pad", "felt"))
    ]
    meant = {(0, 1)} if arrangement == "press" else set()
    assert not {pair for pair in combinations(range(3), 2) if outlines[pair[0]].intersects(outlines[pair[1]])} - meant


def test_the_ground_bends_up_without_bands(stamp, mockup):
    ground = next(each for each in picture("apart").objects if each.get(mockup("stage").MARK) == "ground")
    assert all(face.use_smooth for face in ground.data.polygons)


def test_a_tiny_stamp_has_a_tiny_pad(stamp, mockup):
    stamp.stampwright.base.width = 12.0
    bpy.ops.stampwright.build()
    pad = next(each for each in picture("beside").objects if each.get(mockup("stage").MARK) == "pad")
    assert max(pad.dimensions) < 0.04


@pytest.mark.parametrize("light", ["WINDOW", "EVENING", "STUDIO"])
def test_a_face_beside_its_print_is_lit_and_shades_no_paper(stamp, mockup, light):
    """The chief lamp stands where the face looks to, also when light is changed."""
    scene = picture("beside")
    stamp.stampwright.pictures.light = light
    scene.view_layers[0].update()
    stage = mockup("stage")
    die, sheet = (next(each for each in scene.objects if each.get(stage.MARK) == role) for role in ("die", "sheet"))
    face = die.matrix_world.to_3x3() @ Vector((0.0, 0.0, 1.0))
    first = mockup("scenery.moods").MOODS[light].lamps[0].name
    key = next(each for each in scene.objects if each.get(stage.MARK) == "lamp" and first in each.name)
    middle = die.matrix_world.translation
    assert (key.matrix_world.translation - middle).normalized().dot(face.normalized()) > 0.3
    # The shadow falls to the other side than the paper lies on.
    assert (key.matrix_world.translation - middle).x * (sheet.matrix_world.translation - middle).x > 0.0


@pytest.mark.parametrize("size", [(192, 108), (144, 180), (108, 192)], ids=["wide", "portrait", "upright"])
def test_parts_drawn_apart_cover_none_of_each_other(stamp, mockup, size):
    stamp.stampwright.pictures.width, stamp.stampwright.pictures.height = size
    scene = picture("apart")
    outlines = [MultiPoint(shown(scene, mockup, name)).convex_hull for name in ("die", "backing", "handle", "sheet")]
    assert not [pair for pair in combinations(outlines, 2) if pair[0].intersects(pair[1])]


@pytest.mark.parametrize("names", [False, True])
@pytest.mark.parametrize("size", [(192, 108), (144, 180), (108, 192), (300, 100)])
def test_parts_drawn_apart_fill_a_picture_of_any_shape(stamp, mockup, size, names):
    held = stamp.stampwright.pictures
    (held.width, held.height), held.names = size, names
    # Four parts, and taller than wide: across an upright picture they come out small, with half of it bare.
    stamp.stampwright.cushion.thickness = 2.0
    stamp.stampwright.base.outline, stamp.stampwright.base.width, stamp.stampwright.base.height = (
        "rectangle",
        44.0,
        60.0,
    )
    bpy.ops.stampwright.build()
    places = shown(picture("apart"), mockup, "die", "cushion", "backing", "handle", "sheet")
    assert places.min() > 0.0
    assert places.max() < 1.0
    assert np.ptp(places, axis=0).min() > 0.5


@pytest.mark.parametrize("arrangement", ["beside", "held"])
@pytest.mark.parametrize("size", [(144, 180), (108, 192)], ids=["portrait", "upright"])
def test_in_an_upright_picture_the_stamp_is_not_lost_beside_its_pad(stamp, mockup, arrangement, size):
    stamp.stampwright.base.width = 50.0
    bpy.ops.stampwright.build()
    stamp.stampwright.pictures.width, stamp.stampwright.pictures.height = size
    scene = picture(arrangement)
    body, pad = (
        MultiPoint(shown(scene, mockup, *roles) * size).convex_hull
        for roles in (("die", "backing", "handle"), ("pad", "felt"))
    )
    assert body.area > pad.area


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


@pytest.mark.parametrize("width", [30.0, 120.0])
def test_the_handle_is_seen_beside_however_large_the_base_is(stamp, mockup, width):
    stamp.stampwright.base.width = width
    bpy.ops.stampwright.build()
    scene = picture("beside")
    handle, before = (
        MultiPoint(shown(scene, mockup, *roles) * SIZE).convex_hull for roles in (("handle",), ("die", "backing"))
    )
    assert handle.intersection(before).area < 0.75 * handle.area


@pytest.mark.sweep(2)
@pytest.mark.parametrize("rolls", ["up", "across"])
@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_a_roller_turns_its_print_to_the_eye(stamp, mockup, arrangement, rolls):
    stamp.stampwright.bend.form, stamp.stampwright.bend.rolls = "roller", rolls
    bpy.ops.stampwright.build()
    scene = picture(arrangement)
    scene.view_layers[0].update()
    die = next(each for each in scene.objects if each.get(mockup("stage").MARK) == "die")
    heights = np.array([each.value for each in die.data.attributes["height"].data])
    places = np.array([die.matrix_world @ each.co for each in die.data.vertices])
    axle = (places[heights < 0.0].max(axis=0) + places[heights < 0.0].min(axis=0)) / 2.0
    nearer = (places[heights > 2.1].mean(axis=0) - axle) @ np.array(scene.camera.matrix_world)[:3, 2]
    # As much of it as its tilt lets: most of the drum's radius.
    assert nearer > 0.4 * np.linalg.norm(places[heights > 2.1].mean(axis=0) - axle)


def test_a_long_narrow_print_fills_its_sheet(stamp, mockup):
    base = stamp.stampwright.base
    base.outline, base.width, base.height = "rectangle", 150.0, 20.0
    bpy.ops.stampwright.build()
    sheet = next(each for each in picture("beside").objects if each.get(mockup("stage").MARK) == "sheet")
    assert sheet.dimensions.y < 0.05
    assert sheet.dimensions.x > 0.16


def test_names_stand_over_the_edge_of_their_part_and_cross_nothing_of_it(stamp, mockup):
    # Of a rectangle the upper edge has no point near its middle, the art on it has.
    stamp.stampwright.base.outline = "rectangle"
    bpy.ops.stampwright.build()
    stamp.stampwright.pictures.names = True
    scene = picture("apart")
    heights = shown(scene, mockup, "die")[:, 1]
    leader = next(each for each in scene.objects if each.name.startswith("Die leader"))
    foot = leader.data.splines[0].points[2].co[:3]
    seen = mockup("scenery.framing").projected(scene, scene.camera, [foot])[0, 1]
    assert seen > heights.max() - 0.06 * np.ptp(heights)


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


@pytest.mark.parametrize("width", [12.0, 90.0])
@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920)], ids=["wide", "upright"])
def test_names_can_be_read_however_large_the_stamp_is_and_cross_nothing(stamp, mockup, size, width):
    held = stamp.stampwright.pictures
    (held.width, held.height), held.names = size, True
    stamp.stampwright.base.width = width
    bpy.ops.stampwright.build()
    scene = picture("apart")
    scene.view_layers[0].update()
    projected, named, tall = mockup("scenery.framing").projected, {}, []
    for letters in [each for each in scene.objects if each.type == "FONT"]:
        matrix = letters.matrix_world
        foot, top = projected(scene, scene.camera, [matrix @ Vector((0, y, 0)) for y in (0.0, letters.data.size)])
        tall.append((top[1] - foot[1]) * size[1])
        places = projected(scene, scene.camera, [matrix @ Vector(corner) for corner in letters.bound_box])
        named[letters.data.body] = MultiPoint(places * size).convex_hull
    # Pixels at full size, and near or far the same.
    assert min(tall) > 32.0
    assert max(tall) < 1.05 * min(tall)
    parts = [MultiPoint(shown(scene, mockup, name.lower()) * size).convex_hull for name in named]
    assert not [pair for pair in combinations([*named.values(), *parts], 2) if pair[0].intersects(pair[1])]
