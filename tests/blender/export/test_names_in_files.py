"""Finished stamps whose names are like no file's, beside things of the same names, as independent readers find them."""

import sys
from pathlib import Path

import bpy
import pytest
import trimesh
from drawing import choose, curve, letter_f, made, part

NAME = "Käfer / Ähre"
PARTS = ("backing", "die", "handle")
ALLOWED = {"", "Xform", "Scope", "Mesh", "Material", "Shader"}
"""Kinds of things that USD archives for phones may hold, of those that the host writes (the format's own checker)."""


@pytest.fixture
def root(scene):
    root = made(curve("F", letter_f()))
    root.name = root.stampwright.job_name = NAME
    root.stampwright.handle.height = 20.0
    # The part's own name, as that of a stamp from a template is.
    for name in PARTS:
        part(root, name).name = part(root, name).data.name = f"{NAME} {name}"
    bpy.ops.stampwright.build()
    return root


def written(path, **given):
    assert bpy.ops.stampwright.export_finished(filepath=str(path), side="256", sheet=True, **given) == {"FINISHED"}
    return path


def usd():
    """Return the format's own library, which comes with the host; 4.2 has none."""
    for each in Path(bpy.utils.system_resource("PYTHON")).glob("lib/**/site-packages"):
        sys.path.append(str(each))
    return pytest.importorskip("pxr.Usd"), pytest.importorskip("pxr.UsdGeom"), pytest.importorskip("pxr.UsdShade")


def test_parts_have_their_names_though_other_things_are_called_so(root, tmp_path):
    mine = bpy.data.images.new("die base colour", 4, 4)
    before = {each: each.name for held in (bpy.data.objects, bpy.data.meshes, bpy.data.images) for each in held}
    read = trimesh.load(written(tmp_path / "stamp.glb"), force="scene")
    assert set(read.geometry) == {f"{NAME} {name}" for name in (*PARTS, "impression")}
    assert {mesh.visual.material.name for mesh in read.geometry.values()} == set(read.geometry)
    assert {each: each.name for each in before} == before
    assert mine.name == "die base colour"


def test_a_name_that_is_too_long_for_the_host_leaves_each_part_its_own(root, tmp_path):
    root.stampwright.job_name = "Ähren " * 16
    read = trimesh.load(written(tmp_path / "stamp.glb"), force="scene")
    assert {name.rpartition(" ")[2] for name in read.geometry} == {*PARTS, "impression"}


def test_pictures_of_obj_are_found_by_readers_that_end_names_at_spaces(root, tmp_path):
    path = written(tmp_path / "Käfer Ähre.obj", kind="OBJ")
    named = [line.split() for line in path.with_suffix(".mtl").read_text(encoding="utf-8").splitlines()]
    pictures = {words[-1] for words in named if words and words[0].startswith("map_")}
    assert pictures == {each.name for each in tmp_path.iterdir() if each.suffix in {".png", ".jpg"}}
    assert {f"Käfer_Ähre_{name}_base_colour.jpg" for name in PARTS} <= pictures
    read = trimesh.load(path, force="scene")
    assert all(mesh.visual.material.image.size[0] >= 256 for mesh in read.geometry.values())


def test_usd_is_as_phones_take_it_whole_and_true_to_size_and_small(root, benches, tmp_path):
    world = bpy.data.worlds.new("Sky")
    bpy.context.scene.world = world
    bpy.data.images.new("die base colour", 4, 4)
    choose(root)
    path = written(tmp_path / f"{NAME.replace('/', '_')}.usdz", kind="USD")
    assert path.stat().st_size < 1_000_000
    stages, geometry, shading = usd()
    stage = stages.Stage.Open(str(path))
    assert geometry.GetStageUpAxis(stage) == "Y"
    assert geometry.GetStageMetersPerUnit(stage) == 1.0
    assert not stage.GetRootLayer().GetExternalReferences()
    assert {each.GetTypeName() for each in stage.Traverse()} <= ALLOWED
    shown = []
    for each in stage.Traverse():
        for socket in shading.Shader(each).GetInputs() if each.GetTypeName() == "Shader" else ():
            if hasattr(socket.Get(), "resolvedPath"):
                assert socket.Get().resolvedPath, socket.Get().path
                shown.append(socket.Get().path.rpartition("/")[2])
    assert sorted(shown) == sorted(
        ["die_roughness.jpg", "impression.png"]
        + [f"{name}_{kind}.jpg" for name in PARTS for kind in ("base_colour", "normal")]
    )
    meshes = {each.GetName().rpartition("_")[2]: each for each in stage.Traverse() if each.GetTypeName() == "Mesh"}
    assert set(meshes) == {*PARTS, "impression"}
    bounds = geometry.BBoxCache(stages.TimeCode.Default(), ["default"])
    for name in PARTS:
        size = bounds.ComputeWorldBound(meshes[name]).ComputeAlignedRange().GetSize()
        solid = getattr(benches.bench_of(root).stamp, name)
        across, deep, high = 1000.0 * size[0], 1000.0 * size[2], 1000.0 * size[1]
        assert (across, deep, high) == pytest.approx(tuple(solid.bounds[1] - solid.bounds[0]), abs=0.01)
