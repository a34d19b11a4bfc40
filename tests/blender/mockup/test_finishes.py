"""Materials in pictures: the job's own lines and colours, a code that reads, and what the user made of them."""

import importlib
import json
import os
import subprocess

import bpy
import numpy as np
import pytest
from drawing import curve
from picturing import MODULE, ROOT, make_stamp, picture, ready, rendered, shown

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
seen = Image.open(sys.argv[1]).convert("L")
# Modules of three pixels with the grain of a few samples are read when they are drawn larger and smooth.
found = zxingcpp.read_barcodes(seen.resize((2 * seen.width, 2 * seen.height)))
corners = lambda each: [(c.x / 2, c.y / 2) for c in (each.position.top_left, each.position.bottom_right)]
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
    held.width, held.height, held.lay = 640, 480, "FACE_UP"
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


@pytest.mark.sweep(2)
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


def test_hard_parts_show_the_lines_of_their_own_process(stamp, mockup):
    with importlib.import_module(f"{MODULE}.job.changes").quiet():
        printer = stamp.stampwright.printer
        printer.layer, printer.hard_layer, printer.hard_nozzle = 0.1, 0.3, 0.8
    bpy.ops.stampwright.build()
    bpy.ops.stampwright.use_materials()
    shown = {}
    for child in stamp.children:
        if child.stampwright.role in ("die", "handle"):
            inputs = child.data.materials[0].node_tree.nodes["Print Lines"].inputs
            shown[child.stampwright.role] = [inputs[name].default_value for name in ("Layer Height", "Line Width")]
    assert shown["die"] == pytest.approx([0.1, 0.4])
    assert shown["handle"] == pytest.approx([0.3, 0.8])


WALL = [(-0.01, 0, 0), (0.01, 0, 0), (0.01, 0, 0.01), (-0.01, 0, 0.01)]
TOP = [(-0.005, -0.005, 0), (0.005, -0.005, 0), (0.005, 0.005, 0), (-0.005, 0.005, 0)]
FROM_FRONT = ((0.0, -0.05, 0.005), (np.pi / 2, 0.0, 0.0))
FROM_ABOVE = ((0.0, 0.0, 0.05), (0.0, 0.0, 0.0))


@pytest.mark.sweep(2)
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
    materials.build_filament(material, finish)
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
