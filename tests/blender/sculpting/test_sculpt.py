"""What is sculpted on a die's face is data of the stamp: it comes back as it was made, whatever else is changed."""

import importlib
from types import SimpleNamespace

import bpy
import numpy as np
import pytest
import shapely
from drawing import choose, circle, curve, letter_f

MM = 0.001
RADIUS = 12.0


def made(*drawn, **figures):
    """Make a stamp of these objects and return its root; figures as ``face_depth=0.6``."""
    choose(*drawn)
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    root = bpy.context.active_object
    for name, value in figures.items():
        section, _, field = name.partition("_")
        setattr(getattr(root.stampwright, section), field, value)
    return root


def disc(**figures):
    """Make a stamp whose face is a disc of 24 mm on a base of 30 mm; small ones are pressed sooner."""
    unit = bpy.context.scene.unit_settings.scale_length
    drawn = curve("disc", circle(RADIUS * MM / unit, 96))
    return made(drawn, layout_size_by="page", base_width=30.0, face_depth=0.6, **figures)


def part(root, role):
    return next((child for child in root.children if child.stampwright.role == role), None)


def points(die):
    """Return the die's points, mm, die frame."""
    places = np.empty(3 * len(die.data.vertices), dtype=np.float32)
    die.data.vertices.foreach_get("co", places)
    return places.reshape(-1, 3).astype(float) * bpy.context.scene.unit_settings.scale_length * 1000


def mask(die):
    values = np.empty(len(die.data.vertices), dtype=np.float32)
    die.data.attributes[".sculpt_mask"].data.foreach_get("value", values)
    return values


def brush(die, moves, *, heed_mask=True):
    """Move the die's points as a brush does: by ``moves`` of their places, mm, less where the mask is."""
    at = points(die)
    shares = (1 - mask(die))[:, None] if heed_mask else 1.0
    moved = (at + moves(at) * shares) / (bpy.context.scene.unit_settings.scale_length * 1000)
    die.data.vertices.foreach_set("co", moved.astype(np.float32).ravel())
    die.data.update()
    bpy.context.view_layer.update()


def dent(at, depth=0.4, middle=(4.0, 3.0), width=3.0):
    """Return how deep a smooth dent is at places, (n, 3) mm, die frame."""
    away = np.hypot(at[:, 0] - middle[0], at[:, 1] - middle[1])
    return -depth * np.exp(-((away / width) ** 2))


def press_in(at, **about):
    return np.column_stack((np.zeros((len(at), 2)), dent(at, **about)))


def face_heights(die):
    """Return the places of the face's points, and their heights over the highest, mm."""
    at = points(die)[mask(die) == 0]
    return at, at[:, 2] - points(die)[:, 2].max()


def heights_of(root):
    """Return what the stamp keeps of its sculpt: heights, corner and spacing."""
    _, x, y, spacing = root["stampwright_sculpt_place"]
    return np.array(root["stampwright_sculpt"], dtype=np.float32), (x, y), spacing


def sculpted(root, moves=press_in):
    """Sculpt a stamp's face from beginning to end, and return its die."""
    choose(root)
    assert bpy.ops.stampwright.sculpt_face() == {"FINISHED"}
    brush(part(root, "die"), moves)
    assert bpy.ops.stampwright.end_sculpting() == {"FINISHED"}
    return part(root, "die")


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


def test_a_rebuild_changes_nothing_that_was_sculpted(scene, live):
    root = disc()
    die = sculpted(root)
    before, kept = points(die), heights_of(root)
    root.stampwright.handle.height = 60.0
    live.catch_up()
    root.stampwright.handle.form = "none"
    live.catch_up()
    bpy.ops.stampwright.build()
    assert np.array_equal(points(die), before)
    assert np.array_equal(heights_of(root)[0], kept[0])


def test_a_sculpt_stays_through_changes_of_size_shoulder_and_artwork(scene, live):
    root = disc()
    die = sculpted(root)
    kept = heights_of(root)[0].copy()
    root.stampwright.die.shoulder = 25.0
    root.stampwright.base.width = 34.0
    live.catch_up()
    at, heights = face_heights(die)
    assert np.abs(heights - dent(at)).max() < 2e-3
    drawn = bpy.data.objects["disc"]
    drawn.scale = (0.6, 0.6, 1.0)
    bpy.context.view_layer.update()
    live.catch_up()
    at, heights = face_heights(die)
    assert np.hypot(at[:, 0], at[:, 1]).max() == pytest.approx(0.6 * RADIUS, abs=0.01)
    assert np.abs(heights - dent(at)).max() < 2e-3
    drawn.scale = (1.0, 1.0, 1.0)
    bpy.context.view_layer.update()
    live.catch_up()
    assert np.array_equal(heights_of(root)[0], kept)
    at, heights = face_heights(die)
    assert np.abs(heights - dent(at)).max() < 2e-3


def test_strokes_are_kept_when_another_edit_comes_in_sculpt_mode(scene, live):
    root = disc()
    choose(root)
    bpy.ops.stampwright.sculpt_face()
    die = part(root, "die")
    brush(die, press_in)
    root.stampwright.die.shoulder = 20.0
    live.catch_up()
    assert bpy.context.mode == "SCULPT"
    at, heights = face_heights(die)
    assert np.abs(heights - dent(at)).max() < 2e-3
    brush(die, lambda at: press_in(at, middle=(-5.0, -4.0)))
    bpy.ops.stampwright.end_sculpting()
    at, heights = face_heights(die)
    assert np.abs(heights - dent(at) - dent(at, middle=(-5.0, -4.0))).max() < 4e-3


def test_the_end_of_a_build_keeps_no_event_from_a_stroke(extension):
    watching = importlib.import_module(f"{extension.__name__}.operators.making").Watching
    over = SimpleNamespace(room=SimpleNamespace(work_at=lambda _: None), _number=1, _work=object())
    released = SimpleNamespace(type="LEFTMOUSE", value="RELEASE")
    assert watching.modal(over, bpy.context, released) == {"PASS_THROUGH"}


def test_leaving_sculpt_mode_by_the_hosts_own_way_takes_the_sculpt_too(scene, live):
    root = disc()
    choose(root)
    bpy.ops.stampwright.sculpt_face()
    die = part(root, "die")
    brush(die, press_in)
    bpy.ops.object.mode_set(mode="OBJECT")
    bpy.context.view_layer.update()
    assert live.is_busy()
    live.catch_up()
    assert root.stampwright.standing == "USE"
    assert heights_of(root)[0].min() == pytest.approx(-0.4, abs=0.01)


def test_a_sculpt_is_saved_and_opened(scene, tmp_path):
    root = disc()
    die = sculpted(root)
    at, name, built, kept = points(die), root.name, root.stampwright.built, heights_of(root)
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "file.blend"))
    root = bpy.data.objects[name]
    assert np.array_equal(points(part(root, "die")), at)
    assert np.array_equal(heights_of(root)[0], kept[0])
    assert heights_of(root)[1:] == kept[1:]
    choose(root)
    bpy.ops.stampwright.build()
    assert root.stampwright.built == built
    assert np.abs(points(part(root, "die")) - at).max() < 1e-6


def test_strokes_are_in_the_file_when_it_is_saved_in_sculpt_mode(scene, tmp_path):
    root = disc()
    choose(root)
    bpy.ops.stampwright.sculpt_face()
    brush(part(root, "die"), press_in)
    name = root.name
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "file.blend"))
    root = bpy.data.objects[name]
    assert heights_of(root)[0].min() == pytest.approx(-0.4, abs=0.01)
    choose(root)
    bpy.ops.stampwright.end_sculpting()
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3


def test_undo_and_redo_take_the_sculpt_along(scene, live):
    root = disc()
    bpy.ops.ed.undo_push(message="made")
    sculpted(root)
    bpy.ops.ed.undo_push(message="sculpted")
    name, kept = root.name, heights_of(root)[0].copy()
    root.stampwright.die.shoulder = 20.0
    live.catch_up()
    bpy.ops.ed.undo_push(message="shoulder")
    bpy.ops.ed.undo()
    live.catch_up()
    root = bpy.data.objects[name]
    assert np.array_equal(heights_of(root)[0], kept)
    bpy.ops.ed.undo()
    live.catch_up()
    root = bpy.data.objects[name]
    assert "stampwright_sculpt" not in root
    bpy.ops.ed.redo()
    bpy.ops.ed.redo()
    live.catch_up()
    root = bpy.data.objects[name]
    assert root.stampwright.die.shoulder == pytest.approx(20.0)
    assert np.array_equal(heights_of(root)[0], kept)
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3


def test_strokes_are_undone_one_by_one_and_the_sculpt_with_them(scene, live):
    root = disc()
    choose(root)
    bpy.ops.stampwright.sculpt_face()
    bpy.ops.ed.undo_push(message="Sculpt Face")
    name, lowest = root.name, []

    def note():
        bpy.context.view_layer.update()
        live.catch_up()
        lowest.append(heights_of(bpy.data.objects[name])[0].min())

    note()
    for stroke in range(2):
        assert bpy.ops.sculpt.mesh_filter("EXEC_DEFAULT", True, type="INFLATE", strength=-1e-4) == {"FINISHED"}
        note()
        if not stroke:
            bpy.data.objects[name].stampwright.die.shoulder = 20.0
            bpy.ops.ed.undo_push(message="Shoulder")
            note()
    none, first, again, second = lowest
    assert none == 0.0
    assert again == first < -0.01
    assert second < first - 0.01
    bpy.ops.ed.undo()
    note()
    assert lowest.pop() == pytest.approx(first, abs=1e-6)
    assert bpy.context.mode == "SCULPT"
    bpy.ops.ed.redo()
    note()
    assert lowest.pop() == pytest.approx(second, abs=1e-6)
    bpy.ops.ed.undo()
    bpy.ops.ed.undo()
    bpy.ops.ed.undo()
    note()
    assert lowest.pop() == 0.0
    assert bpy.data.objects[name].stampwright.die.shoulder == pytest.approx(15.0)


def test_a_sculpt_is_appended_with_its_stamp(scene, tmp_path):
    root = disc()
    sculpted(root)
    kept = heights_of(root)[0].copy()
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    with bpy.data.libraries.load(str(tmp_path / "file.blend")) as (there, here):
        here.collections = [each for each in there.collections if each.startswith("Stamp")]
    bpy.context.scene.collection.children.link(here.collections[0])
    (root,) = [each for each in bpy.data.objects if each.stampwright.role == "stamp"]
    assert np.array_equal(heights_of(root)[0], kept)
    choose(root)
    bpy.ops.stampwright.build()
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3


@pytest.mark.parametrize("linked", [False, True])
def test_a_duplicate_is_sculpted_by_itself(scene, linked):
    root = disc()
    sculpted(root)
    kept = heights_of(root)[0].copy()
    choose(root, *root.children)
    bpy.ops.object.duplicate(linked=linked)
    twin = next(each for each in bpy.context.selected_objects if each.type == "EMPTY")
    sculpted(twin, lambda at: press_in(at, middle=(-5.0, -4.0)))
    assert np.array_equal(heights_of(root)[0], kept)
    assert (heights_of(twin)[0] < -0.2).sum() > 1.5 * (kept < -0.2).sum()
    choose(root)
    bpy.ops.stampwright.build()
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3


@pytest.mark.parametrize("ending", [".png", ".tif"])
def test_a_sculpt_goes_through_a_file(scene, tmp_path, ending):
    root = disc()
    sculpted(root)
    kept = heights_of(root)
    file = str(tmp_path / f"face{ending}")
    assert bpy.ops.stampwright.export_sculpt(filepath=file) == {"FINISHED"}
    assert bpy.ops.stampwright.clear_sculpt() == {"FINISHED"}
    assert bpy.ops.stampwright.import_sculpt(filepath=file) == {"FINISHED"}
    assert np.abs(heights_of(root)[0] - kept[0]).max() < (2e-5 if ending == ".png" else 1e-9)
    assert heights_of(root)[1] == pytest.approx(kept[1])
    assert heights_of(root)[2] == pytest.approx(kept[2])
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3


def test_a_sculpt_that_the_job_names_becomes_the_stamps_own(scene, live, tmp_path):
    root = disc()
    sculpted(root)
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.stampwright.export_sculpt(filepath=str(tmp_path / "face.tif"))
    bpy.ops.stampwright.clear_sculpt()
    root.stampwright.face.sculpt = "//face.tif"
    live.catch_up()
    assert len(points(part(root, "die"))) > 5000
    bpy.ops.stampwright.sculpt_face()
    assert root.stampwright.face.sculpt == ""
    bpy.ops.stampwright.end_sculpting()
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3


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
    bpy.ops.stampwright.clear_sculpt()
    assert benches.bench_of(root).message == ""


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
