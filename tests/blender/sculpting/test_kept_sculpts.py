"""What is sculpted on a die's face is data of the stamp: it comes back as it was made, whatever else is changed."""

import importlib
from types import SimpleNamespace

import bpy
import numpy as np
import pytest
from brushing import RADIUS, brush, dent, disc, face_heights, heights_of, part, points, press_in, sculpted
from drawing import choose


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
    watching = importlib.import_module(f"{extension.__name__}.operators.watching").Watching
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
    kept, held = heights_of(root)[0].copy(), root.users_collection[0].name
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "file.blend"))
    bpy.ops.wm.read_homefile(use_empty=True)
    bpy.ops.wm.append(directory=str(tmp_path / "file.blend" / "Collection") + "/", filename=held)
    (root,) = [each for each in bpy.data.objects if each.stampwright.role == "stamp"]
    assert np.array_equal(heights_of(root)[0], kept)
    choose(root)
    bpy.ops.stampwright.build()
    at, heights = face_heights(part(root, "die"))
    assert np.abs(heights - dent(at)).max() < 2e-3


@pytest.mark.sweep(1)
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


@pytest.mark.sweep(1)
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
