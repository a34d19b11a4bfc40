"""Finishes baked into pictures for web shops: as an independent reader finds them, small, the host left as it was."""

import importlib
import zipfile

import bpy
import numpy as np
import pytest
import trimesh
from drawing import choose, curve, letter_f, made, part
from PIL import Image

SIDE = 256
PARTS = ("die", "backing", "handle")
MOSS, OAT = (0x67, 0x70, 0x4C), (0xD9, 0xC7, 0xA3)
"""Colours of die and backing, sRGB."""


@pytest.fixture
def root(scene):
    root = made(curve("F", letter_f()))
    # Small parts: what is baked is the same.
    root.stampwright.handle.height = 20.0
    return root


def written(path, **given):
    assert bpy.ops.stampwright.export_finished(filepath=str(path), side=str(SIDE), **given) == {"FINISHED"}
    return path


def state_of(scene):
    kinds = ("objects", "meshes", "materials", "images", "node_groups", "scenes")
    counts = [len(getattr(bpy.data, kind)) for kind in kinds]
    hidden = [each.hide_render for each in scene.objects]
    render = (scene.render.engine, scene.cycles.samples, scene.cycles.device)
    return counts, hidden, render, bpy.context.active_object, bpy.context.mode, list(bpy.context.selected_objects)


def parts_of(path):
    scene = trimesh.load(path, force="scene")
    return {next(part for part in PARTS if part in name): mesh for name, mesh in scene.geometry.items()}


def colours_on(mesh, triangles):
    """Return the colours in the middles of triangles, (n, 3) 0 to 255, looked up in the picture by hand."""
    picture = np.asarray(mesh.visual.material.baseColorTexture.convert("RGB")).astype(float)
    u, v = mesh.visual.uv[mesh.faces[triangles]].mean(axis=1).T
    rows = np.clip(((1.0 - v) * picture.shape[0]).astype(int), 0, picture.shape[0] - 1)
    columns = np.clip((u * picture.shape[1]).astype(int), 0, picture.shape[1] - 1)
    return picture[rows, columns]


def test_gltf_shows_each_finish_by_small_pictures_that_an_independent_reader_finds(root, tmp_path):
    pictures = root.stampwright.pictures
    pictures.die_colour, pictures.backing_colour = "MOSS", "OAT"
    pictures.die_finish, pictures.backing_finish, pictures.handle_finish = "MATTE", "PLAIN", "WOOD"
    path = written(tmp_path / "stamp.glb")
    parts = parts_of(path)
    assert set(parts) == set(PARTS)
    for mesh in parts.values():
        look = mesh.visual.material
        for picture in (look.baseColorTexture, look.normalTexture):
            assert picture.size == (SIDE, SIDE)
        # Normals that point straight out are (128, 128, 255), and lines make some of them lean.
        normals = np.asarray(look.normalTexture.convert("RGB")).astype(float)
        assert np.median(normals, axis=(0, 1)) == pytest.approx([128, 128, 255], abs=3)
        assert normals[..., :2].std() > 2.0
    assert path.stat().st_size < 1_500_000
    die, backing, handle = (parts[name] for name in PARTS)
    # Ink is wetter than the matte die: that alone differs in roughness from place to place.
    assert die.visual.material.metallicRoughnessTexture.size == (SIDE, SIDE)
    assert handle.visual.material.metallicRoughnessTexture is None
    assert backing.visual.material.roughnessFactor == pytest.approx(0.38, abs=0.01)
    # Ink lies on the face and nowhere else. The die's own frame has its face up, and glTF has y up.
    heights, ups = die.triangles_center[:, 1], die.face_normals[:, 1] > 0.9
    face = ups & (heights > heights.max() - 1e-4)
    assert colours_on(die, face).mean() < 0.75 * np.mean(MOSS)
    assert np.median(colours_on(die, ups & ~face), axis=0) == pytest.approx(MOSS, abs=20)
    plain, grained = (colours_on(mesh, np.arange(len(mesh.faces))) for mesh in (backing, handle))
    assert np.median(plain, axis=0) == pytest.approx(OAT, abs=20)
    assert grained.std(axis=0).mean() > 2.0 * plain.std(axis=0).mean()


def test_a_material_of_ones_own_is_baked_as_it_is_seen(root, tmp_path):
    """Nodes that other programs do not know, green and red in turn; and what has no shader is given as it is."""
    walnut = bpy.data.materials.new("Walnut")
    walnut.use_nodes = True
    nodes, links = walnut.node_tree.nodes, walnut.node_tree.links
    bands, places = nodes.new("ShaderNodeTexChecker"), nodes.new("ShaderNodeTexCoord")
    bands.inputs["Color1"].default_value, bands.inputs["Color2"].default_value = (1, 0, 0, 1), (0, 1, 0, 1)
    bands.inputs["Scale"].default_value = 100.0
    links.new(places.outputs["Object"], bands.inputs["Vector"])
    links.new(bands.outputs["Color"], nodes["Principled BSDF"].inputs["Base Color"])
    part(root, "handle").data.materials[0] = walnut
    part(root, "backing").data.materials[0] = plain = bpy.data.materials.new("Plain")
    plain.use_nodes = True
    plain.node_tree.nodes["Principled BSDF"].inputs["Base Color"].default_value = (0, 0, 1, 1)
    parts = parts_of(written(tmp_path / "stamp.glb"))
    seen = colours_on(parts["handle"], np.arange(len(parts["handle"].faces)))
    red, green = (seen[:, 0] > 200).mean(), (seen[:, 1] > 200).mean()
    assert (red, green) == pytest.approx((0.5, 0.5), abs=0.2)
    blue = colours_on(parts["backing"], np.arange(len(parts["backing"].faces)))
    assert np.median(blue, axis=0) == pytest.approx([0, 0, 255], abs=10)
    assert [each.data.materials[0].name for each in (part(root, "handle"), part(root, "backing"))] == [
        "Walnut",
        "Plain",
    ]
    plain.node_tree.nodes.clear()
    written(tmp_path / "again.usdz", kind="USD")


@pytest.mark.sweep(1)
@pytest.mark.parametrize("rolls", ["across", "up"])
def test_the_whole_face_of_a_rocker_is_inked_and_nothing_else(root, benches, tmp_path, rolls):
    root.stampwright.bend.form, root.stampwright.bend.rolls, root.stampwright.bend.radius = "rocker", rolls, 20.0
    bpy.ops.stampwright.build()
    die = parts_of(written(tmp_path / "stamp.glb"))["die"]
    bend = benches.bench_of(root).stamp.bend
    # The die's own frame has its face up, and glTF has y up and z to the front: the axis lies level along one of both.
    aside = die.vertices[:, 2 if rolls == "up" else 0] * 1000.0
    from_axis = np.hypot(aside, die.vertices[:, 1] * 1000.0 - bend.lift)
    lowest, highest = (pick(from_axis[die.faces], axis=1) for pick in (np.min, np.max))
    face, floor = lowest > bend.outer - 0.01, highest < bend.outer - 1.0
    assert np.ptp(die.vertices[np.unique(die.faces[face])][:, 1]) > 0.0003
    dark, pale = colours_on(die, face).mean(axis=1), colours_on(die, floor).mean(axis=1)
    assert np.percentile(dark, 90) < 0.5 * np.median(pale)


def test_obj_names_pictures_that_lie_beside_it_and_the_host_is_left_as_it_was(root, tmp_path):
    scene = bpy.context.scene
    choose(part(root, "die"))
    lamp = bpy.data.objects.new("lamp", bpy.data.lights.new("lamp", "SUN"))
    scene.collection.objects.link(lamp)
    before = state_of(scene)
    written(tmp_path / "stamp.obj", kind="OBJ", sheet=True)
    assert state_of(scene) == before
    assert "stampwright_colour" in part(root, "handle").data.materials[0]
    text = (tmp_path / "stamp.mtl").read_text(encoding="utf-8")
    named = {line.split()[-1] for line in text.splitlines() if line.startswith("map_")}
    there = {path.name for path in tmp_path.iterdir() if path.suffix in {".jpg", ".png"}}
    assert named == there
    assert {"stamp_handle_base_colour.jpg", "stamp_handle_normal.jpg", "stamp_impression.png"} <= there
    assert max(max(Image.open(tmp_path / name).size) for name in there) <= 512


def test_usd_is_one_file_with_its_pictures_as_its_archive_must_be(root, tmp_path):
    path = written(tmp_path / "stamp.usdz", kind="USD")
    assert [each.name for each in tmp_path.iterdir()] == ["stamp.usdz"]
    with zipfile.ZipFile(path) as held:
        entries = held.infolist()
        # The USDZ specification: stored as they are, the scene first, each beginning at a multiple of 64 bytes.
        assert all(each.compress_type == zipfile.ZIP_STORED for each in entries)
        assert entries[0].filename.endswith(".usdc")
        assert sum(each.filename.endswith((".png", ".jpg")) for each in entries) >= 6
        for each in entries:
            with path.open("rb") as raw:
                raw.seek(each.header_offset + 26)
                name, extra = np.frombuffer(raw.read(4), "<u2")
            assert (each.header_offset + 30 + int(name) + int(extra)) % 64 == 0


def test_without_the_renderer_it_is_told_in_a_line_and_nothing_is_written(root, tmp_path, monkeypatch, extension):
    baking = importlib.import_module(f"{extension.__name__}.export.baking")
    real = baking.set_for_a_while

    def without(*settings):
        # As the host refuses an engine that it does not have.
        return real(*((owner, name, "NONE" if name == "engine" else value) for owner, name, value in settings))

    monkeypatch.setattr(baking, "set_for_a_while", without)
    with pytest.raises(RuntimeError, match="enable Blender's own Cycles"):
        bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.glb"))
    assert not list(tmp_path.iterdir())
    assert not [each for each in bpy.context.scene.objects if each.hide_render]
