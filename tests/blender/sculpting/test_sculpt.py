"""A die's face is sculpted by the host's brushes, within what prints, and refused in words where it cannot be."""

import bpy
import numpy as np
import pytest
import shapely
from brushing import RADIUS, brush, dent, disc, face_heights, heights_of, made, mask, part, points, press_in, sculpted
from drawing import choose, circle, curve, letter_f


def test_the_face_becomes_dense_turned_up_and_all_else_masked(scene):
    root = disc()
    choose(root)
    assert bpy.ops.stampwright.sculpt_face() == {"FINISHED"}
    die = part(root, "die")
    assert bpy.context.mode == "SCULPT"
    assert bpy.context.active_object == die
    at, held = points(die), mask(die) > 0
    on_top = at[:, 2] > at[:, 2].max() - 1e-3
    assert np.array_equal(~held, on_top)
    # Two points to an extrusion width: more than four on each square millimetre.
    assert (~held).sum() > 4 * np.pi * RADIUS**2
    sets = np.empty(len(die.data.polygons), dtype=np.int32)
    die.data.attributes[".sculpt_face_set"].data.foreach_get("value", sets)
    assert set(sets) == {1, 2, 3, 4, 5}
    # Face up: the face is the highest, and looks up.
    bpy.context.view_layer.update()
    assert (die.matrix_world.to_3x3() @ die.data.vertices[int(np.argmax(at[:, 2]))].co).z > 0
    assert bpy.ops.stampwright.end_sculpting() == {"FINISHED"}
    assert bpy.context.mode == "OBJECT"
    assert root.stampwright.standing == "USE"
    bpy.context.view_layer.update()
    assert min((die.matrix_world @ vertex.co).z for vertex in die.data.vertices) == pytest.approx(0.0, abs=1e-6)


def test_strokes_are_mirrored_where_the_artwork_is(scene):
    for drawn, mirrored in ((curve("disc", circle(0.01)), True), (curve("F", letter_f(0.01)), False)):
        root = made(drawn)
        bpy.ops.stampwright.sculpt_face()
        mesh = part(root, "die").data
        assert (mesh.use_mirror_x, mesh.use_mirror_y, mesh.use_mirror_z) == (mirrored, mirrored, False)
        bpy.ops.stampwright.end_sculpting()
    bpy.ops.stampwright.sculpt_face(symmetry="X")
    assert (mesh.use_mirror_x, mesh.use_mirror_y) == (True, False)
    bpy.ops.object.mode_set(mode="OBJECT")


@pytest.mark.parametrize("scale", [1.0, 0.001])
def test_the_brush_has_its_size_on_the_face(scene, scale):
    scene.unit_settings.scale_length = scale
    disc()
    bpy.ops.stampwright.sculpt_face()
    tools = bpy.context.tool_settings
    size = getattr(tools.sculpt, "unified_paint_settings", None) or tools.unified_paint_settings
    assert size.use_locked_size == "SCENE"
    radius = size.unprojected_size / 2 if hasattr(size, "unprojected_size") else size.unprojected_radius
    assert radius * scale * 1000 == pytest.approx(RADIUS / 10, rel=0.01)
    bpy.ops.stampwright.end_sculpting()
    assert bpy.context.mode == "OBJECT"


@pytest.mark.parametrize("scale", [1.0, 0.001])
def test_a_sculpt_comes_back_as_it_was_made(scene, scale):
    scene.unit_settings.scale_length = scale
    root = disc()
    die = sculpted(root)
    at, heights = face_heights(die)
    assert np.abs(heights - dent(at)).max() < 2e-3
    assert heights.min() == pytest.approx(-0.4, abs=0.01)


def test_brushes_of_the_host_move_nothing_that_is_protected(scene):
    root = disc()
    choose(root)
    bpy.ops.stampwright.sculpt_face()
    die = part(root, "die")
    before, held = points(die), mask(die) > 0
    # Without a window there is no step to undo to, which brushes need.
    bpy.ops.ed.undo_push(message="Sculpt Face")
    assert bpy.ops.sculpt.mesh_filter(type="RANDOM", strength=0.3) == {"FINISHED"}
    after = points(die)
    assert np.abs(after - before)[held].max() == 0.0
    assert np.abs(after - before)[~held].max() > 0.01
    bpy.ops.stampwright.end_sculpting()
    assert np.abs(points(die) - before)[held].max() < 1e-6
    assert np.ptp(face_heights(die)[1]) > 0.005


def test_what_is_protected_comes_back_when_the_mask_was_taken_off(scene):
    root = disc()
    choose(root)
    bpy.ops.stampwright.sculpt_face()
    die = part(root, "die")
    before, held = points(die), mask(die) > 0
    brush(die, lambda at: np.full_like(at, 0.3), heed_mask=False)
    bpy.ops.stampwright.end_sculpting()
    assert np.abs(points(die)[held] - before[held]).max() < 1e-6


def test_clearing_leaves_a_plain_die_and_nothing_behind(scene):
    root = disc()
    bpy.ops.stampwright.build()
    plain = points(part(root, "die"))
    meshes = set(bpy.data.meshes)
    die = sculpted(root)
    assert bpy.ops.stampwright.clear_sculpt() == {"FINISHED"}
    assert np.array_equal(points(die), plain)
    assert set(bpy.data.meshes) == meshes
    assert not [each.name for each in die.data.attributes if "sculpt" in each.name or "stampwright" in each.name]
    assert not [name for held in (root, die, die.data) for name in held.keys() if name.startswith("stampwright_")]


@pytest.mark.sweep(1)
@pytest.mark.parametrize(
    ("moves", "lowest", "highest"),
    [
        (lambda at: press_in(at, depth=-0.5), 0.0, 0.0),
        (lambda at: press_in(at, depth=9.0), -0.6, 0.0),
        # An overhang: what lies right of the middle is drawn over what lies left of it, and pressed in.
        (lambda at: np.column_stack((-3 * dent(at, depth=1.5, width=1.5), 0 * at[:, 1], dent(at))), -0.41, 0.0),
    ],
    ids=["above the face", "through the floor", "undercut"],
)
def test_what_does_not_print_is_settled_and_shown_in_place(scene, benches, moves, lowest, highest):
    root = disc()
    die = sculpted(root, moves)
    _, heights = face_heights(die)
    assert heights.min() == pytest.approx(lowest, abs=0.05)
    assert heights.max() <= highest + 1e-6
    found = benches.bench_of(root).settled
    assert found
    assert all(each in benches.bench_of(root).stamp.findings for each in found)
    # In the paper frame the die's x is reversed.
    assert found[0].place.distance(shapely.Point(-4.0, 3.0)) < 4.0
    assert found[0].measured > 0


def test_sculpting_again_goes_on_where_it_was_left(scene):
    root = disc()
    sculpted(root)
    die = sculpted(root, lambda at: press_in(at, depth=0.2, middle=(-6.0, 0.0)))
    at, heights = face_heights(die)
    assert np.abs(heights - dent(at) - dent(at, depth=0.2, middle=(-6.0, 0.0))).max() < 4e-3


def test_a_sculpt_and_a_grain_add_up_and_come_apart_again(scene, live):
    root = disc(face_texture="hatching", face_strength=0.3)
    die = sculpted(root)
    assert np.abs(heights_of(root)[0][heights_of(root)[0] < 0].min() + 0.4) < 0.02
    root.stampwright.face.texture = "none"
    live.catch_up()
    at, heights = face_heights(die)
    assert np.abs(heights - dent(at)).max() < 0.02


def test_added_points_are_refused_in_words_and_nothing_is_lost(scene, live, benches):
    root = disc()
    die = sculpted(root)
    kept, before = heights_of(root)[0].copy(), len(die.data.vertices)
    choose(die)
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.mesh.select_all(action="SELECT")
    bpy.ops.mesh.subdivide()
    bpy.ops.object.mode_set(mode="OBJECT")
    root.stampwright.die.shoulder = 20.0
    live.catch_up()
    assert "only move points" in benches.bench_of(root).message
    assert len(die.data.vertices) > before
    assert np.array_equal(heights_of(root)[0], kept)
    assert bpy.ops.stampwright.clear_sculpt(keep=True) == {"FINISHED"}
    live.catch_up()
    assert benches.bench_of(root).message == ""
    assert np.array_equal(heights_of(root)[0], kept)
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3
    assert bpy.ops.stampwright.clear_sculpt() == {"FINISHED"}
    live.catch_up()
    assert "stampwright_sculpt" not in root


def test_strokes_on_levels_of_a_modifier_are_refused_in_words_and_nothing_is_lost(scene, live, benches):
    root = disc()
    die = sculpted(root)
    kept = heights_of(root)[0].copy()
    choose(die)
    die.modifiers.new("Levels", "MULTIRES")
    bpy.ops.object.multires_subdivide(modifier="Levels")
    bpy.context.view_layer.update()
    live.catch_up()
    assert "Multiresolution" in benches.bench_of(root).message
    assert np.array_equal(heights_of(root)[0], kept)
    die.modifiers.clear()
    bpy.context.view_layer.update()
    live.catch_up()
    assert benches.bench_of(root).message == ""
    assert np.array_equal(heights_of(root)[0], kept)


def test_files_that_hold_no_height_map_are_refused(scene, tmp_path):
    root = disc()
    choose(root)
    (tmp_path / "no.png").write_text("nothing")
    with pytest.raises(RuntimeError, match=r"no\.png"):
        bpy.ops.stampwright.import_sculpt(filepath=str(tmp_path / "no.png"))
    with pytest.raises(RuntimeError, match=r"missing\.png"):
        bpy.ops.stampwright.import_sculpt(filepath=str(tmp_path / "missing.png"))
    with pytest.raises(RuntimeError, match="Nothing is sculpted"):
        bpy.ops.stampwright.export_sculpt(filepath=str(tmp_path / "face.png"))
    assert "stampwright_sculpt" not in root


def test_a_hidden_die_is_not_sculpted(scene):
    root = disc()
    part(root, "die").hide_set(True)
    choose(root)
    with pytest.raises(RuntimeError, match="hidden"):
        bpy.ops.stampwright.sculpt_face()
