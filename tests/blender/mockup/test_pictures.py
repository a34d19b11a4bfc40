"""Pictures of the finished stamp: true to size, the right way round, framed, in focus, and gone without a trace."""

import importlib
import json
import os
import subprocess
from pathlib import Path

import bpy
import numpy as np
import pytest
from drawing import curve, letter_f

ROOT = Path(__file__).resolve().parents[3]
MODULE = "bl_ext.user_default.stampwright"
SIZE = (200, 150)
ARRANGEMENTS = ("beside", "held", "apart", "flat_lay")
KINDS = ("scenes", "objects", "meshes", "materials", "images", "node_groups", "worlds", "lights", "cameras", "actions")


@pytest.fixture
def mockup(extension):
    """Return a function from the name of a room to that room of the pictures."""
    return lambda room: importlib.import_module(f"{MODULE}.mockup.{room}")


@pytest.fixture
def stamp(scene):
    """Return the root of a stamp of the letter F, with small pictures set."""
    return make_stamp()


def make_stamp(unit=1.0):
    bpy.context.scene.unit_settings.scale_length = unit
    curve("F", letter_f(0.005 / unit))
    bpy.ops.stampwright.make_stamp()
    return ready(bpy.context.active_object)


def ready(root):
    held = root.stampwright.pictures
    (held.width, held.height), held.quality = SIZE, "LOOK"
    return root


def counts():
    # The host's own buffer for what it renders is no part of a picture.
    return {
        kind: sorted(each.name for each in getattr(bpy.data, kind) if each.name != "Render Result") for kind in KINDS
    }


def picture(arrangement):
    assert getattr(bpy.ops.stampwright, f"picture_{arrangement}")() == {"FINISHED"}
    return bpy.context.scene


def rendered(scene, path, samples=4):
    """Return a small Cycles render of a picture, (rows, columns, 3) float as shown on screen, top row first."""
    scene.render.engine = "CYCLES"
    scene.cycles.samples, scene.cycles.use_denoising = samples, False
    scene.render.filepath = str(path)
    scene.render.image_settings.file_format = "PNG"
    bpy.ops.render.render(write_still=True, scene=scene.name)
    return pixels(path)


def pixels(path):
    image = bpy.data.images.load(str(path))
    columns, rows = image.size
    held = np.empty(rows * columns * image.channels, dtype=np.float32)
    image.pixels.foreach_get(held)
    held = held.reshape(rows, columns, image.channels)[::-1, :, :3]
    bpy.data.images.remove(image)
    return held


def shown(scene, mockup, *roles):
    """Return where the vertices of parts with these roles come in the picture, (n, 2), 0 to 1, y up."""
    scene.view_layers[0].update()
    stage = mockup("stage")
    found = [each for each in scene.objects if each.get(stage.MARK) in roles and each.type == "MESH"]
    assert found
    places = []
    for each in found:
        held = np.empty(3 * len(each.data.vertices), dtype=np.float32)
        each.data.vertices.foreach_get("co", held)
        matrix = np.array(each.matrix_world)
        places.append(held.reshape(-1, 3) @ matrix[:3, :3].T + matrix[:3, 3])
    return mockup("framing").projected(scene, scene.camera, np.vstack(places))


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


CODE = """
format = 1
[[pieces]]
kind = "qr"
text = "MOSSGATE SEEDS"
module = 1.4
"""

READ = """
import json, sys, zxingcpp
from PIL import Image
found = zxingcpp.read_barcodes(Image.open(sys.argv[1]).convert("L"))
corners = lambda each: [(c.x, c.y) for c in (each.position.top_left, each.position.bottom_right)]
print(json.dumps([(each.text, each.orientation, corners(each)) for each in found]))
"""


def test_a_code_is_read_from_the_impression_in_the_render_and_not_from_the_die(scene, mockup, tmp_path):
    reader = ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not reader.exists():
        pytest.skip("the independent reader of codes is in .venv, which build.py makes")
    code = tmp_path / "code.toml"
    code.write_text(CODE)
    bpy.ops.stampwright.import_artwork(filepath=str(code), become="STAMP")
    held = ready(bpy.context.active_object).stampwright.pictures
    # From above, the die's face to the sky: both are as well to be seen.
    held.width, held.height, held.lay = 400, 300, "FACE_UP"
    seen = rendered(picture("flat_lay"), tmp_path / "code.png", samples=6)
    done = subprocess.run(
        [reader, "-c", READ, tmp_path / "code.png"], capture_output=True, text=True, check=True, timeout=60
    )
    places = shown(bpy.context.scene, mockup, "sheet") * (seen.shape[1], seen.shape[0])
    left, right = places[:, 0].min(), places[:, 0].max()
    on_paper = []
    for text, orientation, corners in json.loads(done.stdout):
        middle = np.mean(corners, axis=0)[0]
        if left < middle < right:
            on_paper.append(text)
            # A reader finds a mirrored code a quarter turn off; the sheet lies within ten degrees of straight.
            assert abs(orientation) < 20
        else:
            assert abs(orientation) > 45
    assert on_paper == ["MOSSGATE SEEDS"]


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


def test_a_material_that_the_user_took_for_their_own_stays(stamp):
    picture("beside")
    taken = next(each for each in bpy.data.materials if "handle" in each.name and each.name.endswith("matte"))
    mine = bpy.data.meshes.new("mine")
    mine.materials.append(taken)
    bpy.ops.stampwright.remove_pictures()
    assert mine.materials[0] is not None


def test_edited_materials_outlive_a_new_arrangement_and_follow_colours(stamp, mockup):
    picture("beside")
    material = next(each for each in bpy.data.materials if each.name.endswith("handle, matte"))
    material.node_tree.nodes["Filament"].inputs["Roughness"].default_value = 0.11
    stamp.stampwright.pictures.handle_colour = "MUSTARD"
    assert list(material.node_tree.nodes["Filament Colour"].outputs[0].default_value) == pytest.approx(
        mockup("materials").colour("filament", "Mustard")
    )
    picture("beside")
    assert material.node_tree.nodes["Filament"].inputs["Roughness"].default_value == pytest.approx(0.11)
    assert sum(1 for each in bpy.data.scenes if mockup("stage").MARK in each) == 1


@pytest.mark.parametrize("finish", ["FLEXIBLE", "PLAIN", "SILK", "MATTE", "WOOD"])
def test_materials_carry_the_jobs_lines_and_every_link_is_valid(stamp, mockup, finish):
    with importlib.import_module(f"{MODULE}.job.changes").quiet():
        stamp.stampwright.printer.layer, stamp.stampwright.printer.nozzle = 0.12, 0.6
    stamp.stampwright.pictures.handle_finish = finish
    bpy.ops.stampwright.build()
    bpy.ops.stampwright.use_materials()
    handle = next(child for child in stamp.children if child.stampwright.role == "handle")
    tree = handle.data.materials[0].node_tree
    lines = tree.nodes["Print Lines"].inputs
    assert lines["Layer Height"].default_value == pytest.approx(0.12)
    assert lines["Line Width"].default_value == pytest.approx(0.6)
    assert lines["Millimetres per Unit"].default_value == pytest.approx(1000.0)
    for each in (tree, tree.nodes["Print Lines"].node_tree):
        assert all(link.is_valid for link in each.links)
        # Both engines draw these; what only one of them has would stay black or smooth in the other.
        assert not [node for node in each.nodes if node.bl_idname == "ShaderNodeScript"]


WALL = [(-0.01, 0, 0), (0.01, 0, 0), (0.01, 0, 0.01), (-0.01, 0, 0.01)]
TOP = [(-0.005, -0.005, 0), (0.005, -0.005, 0), (0.005, 0.005, 0), (-0.005, 0.005, 0)]
FROM_FRONT = ((0.0, -0.05, 0.005), (np.pi / 2, 0.0, 0.0))
FROM_ABOVE = ((0.0, 0.0, 0.05), (0.0, 0.0, 0.0))


@pytest.mark.parametrize(
    "case",
    [(WALL, FROM_FRONT, 0.0, "rows"), (TOP, FROM_ABOVE, 0.0, "rows"), (TOP, FROM_ABOVE, 90.0, "columns")],
    ids=["layers up a side", "beads across a top", "beads turned"],
)
def test_lines_are_as_many_and_run_as_the_printer_lays_them(scene, mockup, tmp_path, case):
    corners, seen_from, direction, along = case
    materials = mockup("materials")
    mesh = bpy.data.meshes.new("plate")
    mesh.from_pydata(corners, [], [(0, 1, 2, 3)])
    material = bpy.data.materials.new("plate")
    finish = materials.FINISHES["PLAIN"]
    materials.build_filament(material, finish, takes_ink=False)
    white = (0.8, 0.8, 0.8, 1.0)
    printed = materials.Printed(layer=1.0, line=1.0, direction=direction)
    materials.set_filament(material, finish, (white, white), printed, 1000.0)
    mesh.materials.append(material)
    lamp = bpy.data.objects.new("lamp", bpy.data.lights.new("lamp", "SUN"))
    lamp.data.energy, lamp.rotation_euler = 0.5, (0.6, 0.6, 0.0)
    camera = scene.camera = bpy.data.objects.new("camera", bpy.data.cameras.new("camera"))
    camera.data.type, camera.data.ortho_scale, camera.data.clip_start = "ORTHO", 0.01, 0.001
    camera.location, camera.rotation_euler = seen_from
    for each in (bpy.data.objects.new("plate", mesh), lamp, camera):
        scene.collection.objects.link(each)
    scene.render.resolution_x = scene.render.resolution_y = 100
    seen = rendered(scene, tmp_path / "plate.png", samples=16).mean(axis=2)
    seen = seen if along == "rows" else seen.T
    across = seen.mean(axis=1) - seen.mean()
    # Ten lines of 1 mm on 10 mm: the tenth harmonic is the strongest, and along the lines nothing changes.
    assert np.abs(np.fft.rfft(across))[1:50].argmax() + 1 == 10
    assert seen.std(axis=1).mean() < 0.3 * across.std()


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


def test_a_stamp_in_a_scene_of_other_units_keeps_its_own_lines(scene, mockup):
    root = make_stamp(0.001)
    bpy.ops.stampwright.use_materials()
    handle = next(child for child in root.children if child.stampwright.role == "handle")
    own = handle.data.materials[0]
    picture("beside")
    assert handle.data.materials[0] == own
    assert own.node_tree.nodes["Print Lines"].inputs["Millimetres per Unit"].default_value == pytest.approx(1.0)
    bpy.ops.stampwright.remove_pictures()
    assert handle.data.materials[0] == own


def test_a_handle_from_a_curve_changes_its_colour_too(stamp, mockup):
    profile = curve("profile", [(0.02, 0.0), (0.015, 0.02), (0.018, 0.04), (0.0, 0.045)], closed=False)
    stamp.stampwright.profile_curve = profile
    stamp.stampwright.handle.form = "turned"
    bpy.context.view_layer.objects.active = stamp
    picture("held")
    stamp.stampwright.pictures.handle_colour = "HEATHER"
    shown_in = [each for each in bpy.data.materials if each.name.endswith("handle, matte")]
    heather = mockup("materials").colour("filament", "Heather")
    assert list(shown_in[0].diffuse_color) == pytest.approx(heather)


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
