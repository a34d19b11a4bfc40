"""Files from the stamp: what is written prints what is drawn."""

import importlib
import json
import time
from dataclasses import replace

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f, seen_from_above, text
from in_a_window import InWindow, room
from names import MODULE


@pytest.fixture
def stamp_of_text(scene):
    drawn = text("Rag")
    bpy.ops.stampwright.make_stamp()
    return drawn


def raster_of(path):
    """Return the face of a die in an STL file as the paper sees it, (rows, columns) bool over the ink's bounds.

    Read with numpy alone: triangles at the highest level, filled by the even-odd rule along each row.
    """
    data = path.read_bytes()
    kind = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    corners = np.frombuffer(data, kind, offset=84)["corners"].astype(float)
    top = corners[:, :, 2].max()
    face = corners[(corners[:, :, 2] > top - 1e-4).all(axis=1)][:, :, :2] * (-1.0, 1.0)
    low, high = face.min(axis=(0, 1)), face.max(axis=(0, 1))
    pitch = (high - low).max() / 200
    columns, rows = np.round((high - low) / pitch).astype(int)
    picture = np.zeros((rows, columns), dtype=bool)
    middles = low[0] + (np.arange(columns) + 0.5) * (high - low)[0] / columns
    for row in range(rows):
        y = low[1] + (row + 0.5) * (high - low)[1] / rows
        for triangle in face[(face[:, :, 1].min(axis=1) < y) & (face[:, :, 1].max(axis=1) > y)]:
            crossings = []
            for (x0, y0), (x1, y1) in zip(triangle, np.roll(triangle, -1, axis=0), strict=True):
                if (y0 < y) != (y1 < y):
                    crossings.append(x0 + (y - y0) / (y1 - y0) * (x1 - x0))
            picture[row] |= (middles > min(crossings)) & (middles < max(crossings))
    return picture


def test_the_written_die_prints_what_is_drawn(stamp_of_text, tmp_path):
    # Without a shoulder's flank above the face: the highest level is the face as drawn.
    bpy.context.active_object.stampwright.die.dressing = 0.0
    bpy.context.active_object.stampwright.preflight.accept = json.dumps(["thin line"])
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path)) == {"FINISHED"}
    printed = raster_of(tmp_path / "Rag" / "die.stl")
    shown, _ = seen_from_above([stamp_of_text], pixels=200)
    assert abs(printed.shape[0] - shown.shape[0]) <= 2
    rows, columns = min(printed.shape[0], shown.shape[0]), min(printed.shape[1], shown.shape[1])
    printed, shown = printed[:rows, :columns], shown[:rows, :columns]
    assert (printed & shown).sum() / (printed | shown).sum() > 0.97
    mirrored = printed[:, ::-1]
    assert (mirrored & shown).sum() / (mirrored | shown).sum() < 0.6


def test_all_files_come_into_the_folder(stamp_of_text, tmp_path):
    bpy.ops.stampwright.export_files(directory=str(tmp_path))
    names = {path.name for path in (tmp_path / "Rag").iterdir()}
    assert {"die.stl", "backing.stl", "handle.stl", "stamp.3mf", "proof.svg", "ticket.html", "job.json"} <= names
    report = json.loads((tmp_path / "Rag" / "report.json").read_text())
    assert report["proof"]["iou"] > 0.99


def test_files_that_are_there_are_kept_unless_overwriting_is_asked(stamp_of_text, tmp_path):
    (tmp_path / "Rag").mkdir()
    (tmp_path / "Rag" / "die.stl").write_text("mine")
    with pytest.raises(RuntimeError, match=r"die\.stl"):
        bpy.ops.stampwright.export_files(directory=str(tmp_path))
    assert (tmp_path / "Rag" / "die.stl").read_text() == "mine"
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path), overwrite=True) == {"FINISHED"}
    assert (tmp_path / "Rag" / "die.stl").stat().st_size > 1000


def test_every_stamp_is_written_into_a_folder_of_its_own(scene, tmp_path):
    for name in ("one", "two"):
        curve(name, letter_f())
        bpy.ops.stampwright.make_stamp()
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path), all_stamps=True) == {"FINISHED"}
    assert {path.name for path in tmp_path.iterdir()} == {"one", "two"}
    assert (tmp_path / "two" / "die.stl").exists()


def test_stamps_of_one_name_do_not_overwrite_each_other(scene, tmp_path):
    for _ in range(2):
        curve("same", letter_f())
        bpy.ops.stampwright.make_stamp(job_name="same")
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path), all_stamps=True) == {"FINISHED"}
    assert len(list(tmp_path.glob("*/die.stl"))) == 2


def test_stamps_exported_one_by_one_leave_each_others_files_alone(scene, tmp_path):
    roots = []
    for _ in range(2):
        curve("same", letter_f())
        bpy.ops.stampwright.make_stamp(job_name="same")
        roots.append(bpy.context.active_object)
    for root in roots:
        choose(root)
        assert bpy.ops.stampwright.export_files(directory=str(tmp_path)) == {"FINISHED"}
    assert {path.name for path in tmp_path.iterdir()} == {"same", "same 2"}


def test_a_folder_that_bears_the_stamps_name_is_its_own(stamp_of_text, tmp_path):
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path / "Rag")) == {"FINISHED"}
    assert (tmp_path / "Rag" / "die.stl").exists()


@pytest.mark.sweep(2)
@pytest.mark.parametrize("name", ["CON", "a/b: c?", "...", ""])
def test_names_that_no_folder_may_have_are_written_otherwise(scene, tmp_path, name):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    bpy.context.active_object.stampwright.job_name = name or "x"
    bpy.ops.stampwright.build()
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path)) == {"FINISHED"}
    (folder,) = tmp_path.iterdir()
    assert folder.name.casefold() not in ("con", "...")
    assert (folder / "die.stl").exists()


FOLDERS = {
    "e\u0301tude": "\u00e9tude",
    "\u0939\u093f\u0928\u094d\u0926\u0940": "\u0939\u093f\u0928\u094d\u0926\u0940",
    "\u7a2e" * 200: "\u7a2e" * 40,
    "x" * 119 + "\u00e9": "x" * 119,
}


def test_names_in_any_script_and_of_any_length_are_those_of_folders(extension):
    naming = importlib.import_module(f"{MODULE}.export.naming")
    for name, folder in FOLDERS.items():
        assert naming.as_file_name(name) == folder


def test_stamps_whose_names_differ_only_in_how_accents_are_kept_have_folders_of_their_own(scene, tmp_path):
    for name in ("\u00e9tude", "e\u0301tude"):
        curve(name, letter_f())
        bpy.ops.stampwright.make_stamp()
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path), all_stamps=True) == {"FINISHED"}
    assert {each.name for each in tmp_path.iterdir()} == {"\u00e9tude", "\u00e9tude 2"}


@pytest.mark.sweep(1)
@pytest.mark.parametrize("directory", ["//out", "out"])
def test_a_folder_beside_a_file_that_is_not_saved_is_refused(stamp_of_text, tmp_path, directory, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(RuntimeError, match="not saved yet"):
        bpy.ops.stampwright.export_files(directory=directory)
    assert not list(tmp_path.iterdir())
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "kept.blend"))
    (elsewhere := tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(elsewhere)
    assert bpy.ops.stampwright.export_files(directory=directory) == {"FINISHED"}
    assert (tmp_path / "out" / "Rag" / "die.stl").exists()


def test_a_stamp_that_findings_block_is_not_written(scene, tmp_path):
    # A bar of 0.2 mm beside one of 30 mm: half of what a 0.4 mm nozzle lays.
    curve("thin", letter_f(), [(6, 0), (6.04, 0), (6.04, 5), (6, 5)])
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    with pytest.raises(RuntimeError, match="thin line"):
        bpy.ops.stampwright.export_files(directory=str(tmp_path))
    assert not list(tmp_path.iterdir())
    assert bpy.ops.stampwright.repair() == {"FINISHED"}
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path)) == {"FINISHED"}


def test_the_sheet_shows_the_impression_at_true_size(scene, benches):
    curve("F", letter_f())
    bpy.ops.stampwright.make_stamp()
    root = bpy.context.active_object
    sheet = next(child for child in root.children if child.stampwright.role == "paper")
    bpy.context.view_layer.update()
    impression = benches.bench_of(root).stamp.impression
    rows, columns = impression.picture.shape
    assert np.array(sheet.dimensions[:2]) * 1000 / 25.4 * impression.dpi == pytest.approx((columns, rows), rel=1e-4)
    image = next(each for each in bpy.data.images if "impression" in each.name)
    pixels = np.empty(4 * rows * columns, dtype=np.float32)
    image.pixels.foreach_get(pixels)
    # An F has its stem on the left and its arms at the top, and so has the picture, whose first row is the lowest.
    ink = pixels.reshape(rows, columns, 4)[:, :, 0] < 0.5
    assert ink[:, : columns // 2].sum() > ink[:, columns // 2 :].sum()
    assert ink[rows // 2 :].sum() > ink[: rows // 2].sum()


def exporting_of(extension):
    return importlib.import_module(f"{extension.__name__}.export.exporting")


def wait_for(exporting, number, seconds=60.0):
    end = time.monotonic() + seconds
    while exporting.work_at(number) is not None:
        assert time.monotonic() < end
        time.sleep(0.005)


def test_writing_beside_blender_tells_how_far_it_is_and_ends_with_all_files(stamp_of_text, tmp_path, extension):
    exporting = exporting_of(extension)
    root = bpy.context.active_object
    parcels = exporting.pack([root], tmp_path)
    assert exporting.would_overwrite(parcels) == []
    task = exporting.start(root, parcels, overwrite=False)
    shares = set()
    while exporting.work_at(root.session_uid) is not None:
        shares.add(task.share)
        time.sleep(0.001)
    assert len(shares) > 3
    assert (tmp_path / "Rag" / "report.json").exists()
    assert set(exporting.would_overwrite(parcels)) == set(task.result()[0].files.values())


@pytest.mark.sweep(2)
@pytest.mark.parametrize("step", ["write solids", "read back", "write proof and ticket", "move into place"])
def test_stopped_writing_leaves_nothing_behind(stamp_of_text, tmp_path, extension, core, step):
    exporting = exporting_of(extension)
    root = bpy.context.active_object
    parcels = exporting.pack([root], tmp_path)

    def stop_there(told, _share):
        if told == step:
            raise core("errors").Cancelled("stopped")

    with pytest.raises(core("errors").Cancelled):
        exporting.write(parcels, overwrite=False, tell=stop_there)
    assert not list(tmp_path.iterdir())
    task = exporting.start(root, parcels, overwrite=False)
    exporting.stop_at(root.session_uid)
    task.wait()
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("is_whole", [True, False])
def test_esc_is_answered_with_what_is_written(stamp_of_text, tmp_path, extension, is_whole):
    exporting, root = exporting_of(extension), bpy.context.active_object
    parcels = exporting.pack([root], tmp_path)
    operator = importlib.import_module(f"{extension.__name__}.operators.out.files").STAMPWRIGHT_OT_export_files

    def write(tell):
        # The whole one is past its last look at whether it shall stop, and not at its end yet.
        return exporting.write(parcels, overwrite=False, tell=(lambda *_: None) if is_whole else tell)

    work = exporting.begin(root, exporting.Writing(write))
    window = InWindow(operator, _work=work, _parcels=parcels, _number=root.session_uid)
    assert window.after("ESC") == {"PASS_THROUGH"}
    work.wait()
    assert window.after("TIMER") == {"FINISHED" if is_whole else "CANCELLED"}
    (told,) = window.told
    assert (tmp_path / "Rag" / "die.stl").exists() == is_whole
    assert ("files in" in told) if is_whole else (told == "Stopped; nothing was written")


def test_stopped_after_the_first_of_two_it_says_that_one_is_written(stamp_of_text, tmp_path, extension, core):
    exporting, root = exporting_of(extension), bpy.context.active_object
    (parcel,) = exporting.pack([root], tmp_path)
    other = replace(parcel, folder=tmp_path / "Other")

    def stop_in_the_second(_step, share):
        if share > 0.5:
            raise core("errors").Cancelled("Stopped; nothing was written")

    with pytest.raises(core("errors").Cancelled, match="Stopped; 1 of 2 stamps are written"):
        exporting.write([parcel, other], overwrite=False, tell=stop_in_the_second)
    assert [each.name for each in tmp_path.iterdir()] == ["Rag"]


def test_an_export_goes_on_when_its_stamp_is_deleted(stamp_of_text, tmp_path, extension):
    exporting = exporting_of(extension)
    root = bpy.context.active_object
    number = root.session_uid
    task = exporting.start(root, exporting.pack([root], tmp_path), overwrite=False)
    bpy.data.batch_remove([root, *root.children, stamp_of_text])
    wait_for(exporting, number)
    assert len(task.result()) == 1
    assert (tmp_path / "Rag" / "die.stl").exists()


def test_all_stamps_are_written_beside_blender_too(scene, tmp_path, extension):
    exporting = exporting_of(extension)
    roots = []
    for name in ("one", "two"):
        curve(name, letter_f())
        bpy.ops.stampwright.make_stamp()
        roots.append(bpy.context.active_object)
    parcels = exporting.pack(roots, tmp_path)
    task = exporting.start(roots[1], parcels, overwrite=False)
    assert exporting.work_at(roots[1].session_uid) is task
    wait_for(exporting, roots[1].session_uid)
    assert len(task.result()) == 2
    assert {path.parent.name for path in tmp_path.glob("*/die.stl")} == {"one", "two"}


def test_what_would_be_replaced_is_told_by_name_in_a_dialog_that_fits_the_window(extension, tmp_path):
    files = room(extension, "operators.out.files")
    long = tmp_path / ("a name of a folder that is as long as customers make them, " * 3) / "B"
    there = [folder / name for folder in (tmp_path / "A", long) for name in ("die.stl", "backing.stl", "ticket.html")]
    lines = files.told_of(there)
    assert max(map(len, lines)) <= files.LETTERS
    whole = "".join(lines).replace(" ", "")
    assert all(str(folder).replace(" ", "") in whole for folder in (tmp_path / "A", long))
    assert whole.count("die.stl,backing.stl,ticket.html") == 2
    many = files.told_of([tmp_path / str(number) / "die.stl" for number in range(30)])
    assert len(many) < 30
    assert many[-1] == f"and as many in {30 - files.MOST_FOLDERS} more folders"
