"""A table of names: a stamp of each, in the scene's text, which is afterwards as it was."""

import bpy
import pytest
from drawing import text
from in_a_window import InWindow, room
from PIL import Image


@pytest.fixture
def drawn(scene):
    made = text("Rag")
    bpy.ops.stampwright.make_stamp()
    root = bpy.context.active_object
    root.stampwright.preflight.repair = True
    return made


def table_of(tmp_path, content):
    path = tmp_path / "names.csv"
    path.write_text(content, encoding="utf-8")
    return str(path)


def test_each_row_is_written_and_the_text_says_what_it_did(drawn, tmp_path):
    path = table_of(tmp_path, "name,order\nAda,A1\nBo,B1\n")
    assert bpy.ops.stampwright.export_table(filepath=path, directory_out=str(tmp_path / "out")) == {"FINISHED"}
    dies = {folder.name: (folder / "die.stl").read_bytes() for folder in (tmp_path / "out").iterdir()}
    assert dies.keys() == {"A1", "B1"}
    assert dies["A1"] != dies["B1"]
    assert (drawn.data.body, bpy.context.active_object.stampwright.job_name) == ("Rag", "Rag")


def test_run_again_only_what_is_not_there_yet_or_harmed_is_written(drawn, tmp_path):
    path, out = table_of(tmp_path, "name,order\nAda,A1\nBo,B1\n"), tmp_path / "out"
    assert bpy.ops.stampwright.export_table(filepath=path, directory_out=str(out)) == {"FINISHED"}
    before = {name: (out / name / "die.stl").stat().st_mtime_ns for name in ("A1", "B1")}
    path = table_of(tmp_path, "name,order\nAda,A1\nBo,B1\nCy,C1\n")
    (out / "B1" / "backing.stl").write_bytes(b"harmed")
    # What is there and is not the stamp stays, unless it is said to be overwritten.
    assert bpy.ops.stampwright.export_table(filepath=path, directory_out=str(out)) == {"FINISHED"}
    assert (out / "B1" / "backing.stl").read_bytes() == b"harmed"
    assert (out / "C1" / "die.stl").exists()
    bpy.ops.stampwright.export_table(filepath=path, directory_out=str(out), overwrite=True)
    after = {name: (out / name / "die.stl").stat().st_mtime_ns for name in ("A1", "B1")}
    assert (after["A1"] == before["A1"], after["B1"] == before["B1"]) == (True, False)


def test_bad_rows_do_not_keep_the_others_from_being_written(drawn, tmp_path):
    path = table_of(tmp_path, "name\nAda\n\nx,y\n../../Bo\n")
    assert bpy.ops.stampwright.export_table(filepath=path, directory_out=str(tmp_path / "out")) == {"FINISHED"}
    assert len(list((tmp_path / "out").iterdir())) == 2
    assert {each.name for each in tmp_path.iterdir()} == {"names.csv", "out"}


def test_a_column_called_as_a_text_fills_that(drawn, tmp_path):
    path = table_of(tmp_path, f"note,{drawn.name}\nx,Ada\n")
    assert bpy.ops.stampwright.export_table(filepath=path) == {"FINISHED"}
    (folder,) = (each for each in tmp_path.iterdir() if each.is_dir())
    assert folder.name.startswith("ada-")


@pytest.mark.parametrize(
    ("given", "told"), [({"column": "nix"}, "no column 'nix'"), ({"text": "nix"}, "no text"), ({}, "cannot be read")]
)
def test_what_is_not_there_is_told(drawn, tmp_path, given, told):
    path = table_of(tmp_path, "name\nAda\n") if given else str(tmp_path / "none.csv")
    with pytest.raises(RuntimeError, match=told):
        bpy.ops.stampwright.export_table(filepath=path, **given)


def test_pictures_are_rendered_instead(drawn, tmp_path):
    root = bpy.context.active_object
    root.stampwright.pictures.width, root.stampwright.pictures.height = 64, 48
    path = table_of(tmp_path, "name,order\nAda,A1\n")
    before = set(bpy.data.scenes)
    assert bpy.ops.stampwright.export_table(filepath=path, become="PICTURES") == {"FINISHED"}
    assert (tmp_path / "A1" / "picture.png").stat().st_size > 100
    assert set(bpy.data.scenes) == before
    assert drawn.data.body == "Rag"


def test_pictures_of_ones_own_are_neither_rendered_in_their_stead_nor_lost(drawn, tmp_path):
    root = bpy.context.active_object
    held, home = root.stampwright.pictures, bpy.context.scene
    held.width, held.height, held.quality = 64, 48, "LOOK"
    path = table_of(tmp_path, "name,order\nAda,A1\nBo,B1\n")
    told = {"filepath": path, "become": "PICTURES"}
    assert bpy.ops.stampwright.export_table(directory_out=str(tmp_path / "alone"), **told) == {"FINISHED"}
    bpy.ops.stampwright.picture_beside()
    picture = bpy.context.scene
    bpy.ops.mesh.primitive_cube_add()
    cube, there = bpy.context.object, set(picture.objects)
    bpy.context.window.scene = home
    assert bpy.ops.stampwright.export_table(directory_out=str(tmp_path / "beside"), **told) == {"FINISHED"}
    assert set(bpy.data.scenes) == {home, picture}
    assert set(picture.objects) == there
    assert cube.users_scene == (picture,)
    rendered = {
        (out, row): Image.open(tmp_path / out / row / "picture.png").tobytes()
        for out in ("alone", "beside")
        for row in ("A1", "B1")
    }
    assert rendered["beside", "A1"] == rendered["alone", "A1"]
    assert rendered["beside", "B1"] == rendered["alone", "B1"] != rendered["alone", "A1"]
    # It is still known as a picture.
    bpy.ops.stampwright.remove_pictures()
    assert list(bpy.data.scenes) == [home]


def test_a_picture_that_cannot_come_about_is_told_of_its_row(drawn, tmp_path, capfd):
    root = bpy.context.active_object
    root.stampwright.pictures.width, root.stampwright.pictures.height = 64, 48
    (tmp_path / "A1").write_text("in the way")
    path = table_of(tmp_path, "name,order\nAda,A1\nBo,B1\n")
    assert bpy.ops.stampwright.export_table(filepath=path, become="PICTURES") == {"FINISHED"}
    assert (tmp_path / "B1" / "picture.png").is_file()
    assert "row 2, Ada" in capfd.readouterr().out


@pytest.mark.parametrize("is_whole", [True, False])
def test_a_row_that_was_whole_when_it_was_stopped_is_counted(extension, drawn, tmp_path, is_whole):
    root, tables, out = bpy.context.active_object, room(extension, "export.tables"), tmp_path / "out"
    rows, bad = tables.read_names(table_of(tmp_path, "name,order\nAda,A1\nBo,B1\n"), root, "", "")
    told = InWindow(
        room(extension, "operators.out.ordering").STAMPWRIGHT_OT_export_table,
        _table=tables.TableOfStamps(root, rows, bad, out, overwrite=False),
        _root=root.name, _number=root.session_uid, _step="", _writing=None, _is_stopping=False, become="FILES",
    )  # fmt: skip
    told.after("TIMER")
    if is_whole:
        told._writing.wait()
    told.after("ESC")
    told._writing.wait()
    # The host shows what an operator tells only where it does not end as cancelled.
    assert told.after("TIMER") == {"FINISHED"}
    made = len(list(out.glob("*/made.json")))
    assert (made, told.told) == (
        is_whole,
        [f"Stopped: {'1 stamp' if is_whole else '0 stamps'} in {out}; run again for the rest"],
    )
