"""The finished stamp in other programs' files: as an independent reader finds it, true to size, sound and coloured."""

import importlib
import zipfile

import bpy
import numpy as np
import pytest
import trimesh
from drawing import choose, curve, letter_f, made, part

PARTS = ("die", "backing", "handle")


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


def opened(path):
    """Return the parts of a file by their names, in metres, z up, by trimesh."""
    scene = trimesh.load(path, force="scene")
    found = {}
    for node in scene.graph.nodes_geometry:
        placed, name = scene.graph[node]
        mesh = scene.geometry[name].copy()
        mesh.apply_transform(placed)
        mesh.merge_vertices(merge_tex=True, merge_norm=True)
        found[next(part for part in (*PARTS, "impression") if part in f"{node} {name}")] = mesh
    return found


@pytest.mark.parametrize("scale_length", [1.0, 0.001])
def test_gltf_holds_the_parts_put_together_true_to_size_and_sound(root, benches, tmp_path, scale_length):
    bpy.context.scene.unit_settings.scale_length = scale_length
    choose(root)
    root.stampwright.standing = "PRINT"
    root.location = (0.4, 0.2, 0.0)
    assert bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.glb"), textures=False) == {"FINISHED"}
    found, stamp = opened(tmp_path / "stamp.glb"), benches.bench_of(root).stamp
    assert set(found) == set(PARTS)
    for name, mesh in found.items():
        assert mesh.is_watertight, name
        assert mesh.volume * 1e9 == pytest.approx(getattr(stamp, name).volume, rel=1e-3)
    # glTF has y up: the handle stands over the die, round about its middle.
    assert found["handle"].bounds[0][1] > found["die"].bounds[0][1]
    assert found["handle"].bounds[1][1] > 0.04
    assert np.abs(found["die"].bounds.mean(axis=0)[[0, 2]]).max() < 1e-4
    assert np.ptp(found["die"].bounds[:, 0]) == pytest.approx(0.025, rel=1e-3)


def test_gltf_has_the_chosen_colours_and_is_small(root, tmp_path):
    root.stampwright.pictures.handle_colour = "MUSTARD"
    root.stampwright.pictures.handle_finish = "SILK"
    assert bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.glb"), textures=False) == {"FINISHED"}
    material = opened(tmp_path / "stamp.glb")["handle"].visual.material
    # c8962e in sRGB is this in linear light (IEC 61966-2-1), as glTF 2.0 has factors of colour.
    linear = [(part / 255 + 0.055) / 1.055 for part in (0xC8, 0x96, 0x2E)]
    read = np.asarray(material.baseColorFactor[:3], dtype=float)
    read = read / 255.0 if read.max() > 1.0 else read
    assert read == pytest.approx([part**2.4 for part in linear], abs=0.01)
    assert material.metallicFactor == pytest.approx(0.45, abs=0.01)
    assert (tmp_path / "stamp.glb").stat().st_size < 3_000_000


def test_the_impression_comes_as_a_small_picture(root, tmp_path):
    assert bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.glb"), sheet=True, textures=False) == {
        "FINISHED"
    }
    picture = opened(tmp_path / "stamp.glb")["impression"].visual.material.baseColorTexture
    assert max(picture.size) <= 512
    grey = np.asarray(picture.convert("L"))
    assert grey.min() < 60
    assert grey.max() > 200


def test_the_impression_has_the_colour_of_the_ink_that_is_chosen(root, tmp_path):
    root.stampwright.pictures.ink = "MADDER_RED"
    assert bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.glb"), sheet=True, textures=False) == {
        "FINISHED"
    }
    picture = opened(tmp_path / "stamp.glb")["impression"].visual.material.baseColorTexture.convert("RGB")
    seen = np.asarray(picture).reshape(-1, 3).astype(float)
    inked = np.median(seen[seen.sum(axis=1) < 500], axis=0)
    assert inked == pytest.approx([0x99, 0x25, 0x2A], abs=12)
    assert seen.max() > 245


def test_obj_and_usd_are_written_and_obj_reads_as_the_same_parts(root, benches, tmp_path):
    assert bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.obj"), kind="OBJ", textures=False) == {
        "FINISHED"
    }
    whole = trimesh.load(tmp_path / "stamp.obj", force="mesh", skip_materials=True)
    stamp = benches.bench_of(root).stamp
    assert whole.volume * 1e9 == pytest.approx(sum(solid.volume for solid in stamp.parts.values()), rel=1e-3)
    assert (tmp_path / "stamp.mtl").is_file()
    path = tmp_path / "stamp.usdz"
    assert bpy.ops.stampwright.export_finished(filepath=str(path), kind="USD", textures=False) == {"FINISHED"}
    with zipfile.ZipFile(path) as held:
        # The first file is the scene, in the crate format, which begins so.
        assert held.read(held.namelist()[0])[:8] == b"PXR-USDC"


def test_nothing_of_it_stays_in_the_scene(root, tmp_path):
    choose(part(root, "die"))
    before = {
        kind: len(getattr(bpy.data, kind)) for kind in ("objects", "meshes", "materials", "images", "node_groups")
    }
    chosen = list(bpy.context.selected_objects)
    assert bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.glb"), sheet=True, side="256") == {
        "FINISHED"
    }
    assert {kind: len(getattr(bpy.data, kind)) for kind in before} == before
    assert list(bpy.context.selected_objects) == chosen


def test_a_place_that_cannot_be_written_is_told_in_one_line(root, tmp_path):
    with pytest.raises(RuntimeError, match="could not be written"):
        bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "none" / "stamp.obj"), kind="OBJ")
    assert len(bpy.data.objects) == 1 + 1 + len(root.children)


@pytest.mark.parametrize("kind", ["USD", "GLB"])
def test_a_host_without_the_exporter_is_told_of_in_one_line_before_anything_is_baked(
    root, extension, monkeypatch, tmp_path, kind
):
    finished = importlib.import_module(f"{extension.__name__}.export.finished")
    monkeypatch.setitem(finished.EXPORTERS, kind, ("wm", "no_such_export"))
    monkeypatch.delattr(finished, "baked")
    told = {"USD": "built without USD", "GLB": r"glTF 2\.0 add-on"}
    with pytest.raises(RuntimeError, match=told[kind]):
        bpy.ops.stampwright.export_finished(filepath=str(tmp_path / "stamp.x"), kind=kind)
    assert not list(tmp_path.iterdir())


def test_viewport_colours_are_those_of_the_pictures_unless_they_are_ones_own(root):
    die = part(root, "die")
    moss = tuple(die.data.materials[0].diffuse_color)
    root.stampwright.pictures.die_colour = "CHARCOAL"
    assert tuple(die.data.materials[0].diffuse_color) != moss
    assert die.data.materials[0].diffuse_color[0] == pytest.approx(((0x2E / 255 + 0.055) / 1.055) ** 2.4, abs=1e-3)
    mine = die.data.materials[0] = bpy.data.materials.new("Mine")
    root.stampwright.pictures.die_colour = "MUSTARD"
    bpy.ops.stampwright.build()
    assert die.data.materials[0] == mine
